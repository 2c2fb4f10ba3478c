//! The window: one adapter a page joins `ui/` to the rest.

#[allow(missing_docs, clippy::all)]
mod generated {
    slint::include_modules!();
}
pub use generated::*;
