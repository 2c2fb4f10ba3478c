//! Checks against references that are not ours: published tables, worked examples, and general-purpose
//! libraries run in a Python virtual environment that the checks make for themselves.
//!
//! A check with a library works in three steps: make random cases from a printed seed and compute our answers
//! in Rust; write both as JSON under `target/outside/`; let the Python file beside it compute the same with the
//! reference library and compare. The Python file exits with an error that names the first differing cases.

mod air;
#[cfg(feature = "office")]
mod assessment;
mod bag;
mod boards;
mod heat;
mod joists;
mod passage;
mod placement;
mod power;
mod python;
#[cfg(feature = "office")]
mod quote;
#[cfg(feature = "office")]
mod sheets;
mod solids;
mod spans;

/// The seed of the random cases; another one by JOISTLIGHT_SEED.
fn seed() -> u64 {
    std::env::var("JOISTLIGHT_SEED")
        .ok()
        .and_then(|seed| seed.parse().ok())
        .unwrap_or(20_261_124)
}
