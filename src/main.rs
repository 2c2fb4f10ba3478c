//! The desktop entry: opens the window, or runs a command.
fn main() {}
