//! Compiles the window's `.slint` files when the `ui` feature is on.
fn main() {}
