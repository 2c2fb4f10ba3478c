//! The clock that the surveyor's window goes by. Tests bring one of their own.

use crate::survey::When;
use std::cell::Cell;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// Date and time of day, and time that only moves forward.
#[derive(Debug, Clone, Copy)]
pub struct Clock {
    /// Date and time of day, as the device has them.
    pub now: fn() -> When,
    /// The time since some moment; it never goes back, whatever is done to the device's clock.
    pub elapsed: fn() -> Duration,
    /// When this program was built, in seconds since 1970: no clock that is right is before it.
    pub built: i64,
}

impl Clock {
    /// This device's clock.
    pub fn system() -> Clock {
        Clock {
            now: When::now,
            elapsed: since_the_start,
            built: env!("JOISTLIGHT_BUILT").parse().unwrap_or(0),
        }
    }

    /// A clock of which every look is a second after the one before: for whoever drives a session without a
    /// window, and never hurries.
    pub fn unhurried(now: fn() -> When) -> Clock {
        Clock {
            now,
            elapsed: second_by_second,
            built: 0,
        }
    }
}

fn since_the_start() -> Duration {
    static START: OnceLock<Instant> = OnceLock::new();
    START.get_or_init(Instant::now).elapsed()
}

fn second_by_second() -> Duration {
    thread_local! {
        static SECONDS: Cell<u64> = const { Cell::new(0) };
    }
    SECONDS.set(SECONDS.get() + 1);
    Duration::from_secs(SECONDS.get())
}
