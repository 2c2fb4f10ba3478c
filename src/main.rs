//! The desktop entry: opens the window, or runs a command.

use std::process::ExitCode;

fn main() -> ExitCode {
    #[cfg(feature = "ui")]
    if std::env::args_os().len() <= 1 {
        return open_window();
    }
    #[cfg(feature = "office")]
    return joistlight::command::run(std::env::args_os());
    #[cfg(not(feature = "office"))]
    {
        eprintln!("This joistlight was built without the office's commands.");
        ExitCode::from(2)
    }
}

/// Opens the window over the surveys of this user.
#[cfg(feature = "ui")]
fn open_window() -> ExitCode {
    let opened = joistlight::app::Options::of_this_device()
        .and_then(|options| joistlight::app::run(&options));
    match opened {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}
