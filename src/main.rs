//! The desktop entry: without arguments the window opens, with arguments a command runs.

use std::process::ExitCode;

fn main() -> ExitCode {
    #[cfg(feature = "ui")]
    if cfg!(not(feature = "office")) || std::env::args_os().len() == 1 {
        use joistlight::app::{self, Options};
        return match Options::of_this_device().and_then(|options| app::run(&options)) {
            Ok(()) => ExitCode::SUCCESS,
            Err(error) => {
                eprintln!("{error}");
                ExitCode::FAILURE
            }
        };
    }
    #[cfg(feature = "office")]
    return joistlight::command::run(std::env::args_os());
    #[cfg(not(feature = "office"))]
    ExitCode::SUCCESS
}
