//! The desktop entry: opens the window, or runs a command.

use std::process::ExitCode;

#[cfg(feature = "office")]
fn main() -> ExitCode {
    joistlight::command::run(std::env::args_os())
}

#[cfg(not(feature = "office"))]
fn main() -> ExitCode {
    ExitCode::SUCCESS
}
