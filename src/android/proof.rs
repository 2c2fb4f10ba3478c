//! By what a test outside of a phone sees that the core does the same here as on a desktop.
//!
//! `tests/phone` loads the very library that is packed for phones and calls this; nothing in the app does, and
//! nothing outside of it can.

use crate::bundle::{self, Contents, Watch};
use crate::rules;
use crate::store::Store;
use crate::survey::Ways;
use crate::trade::codes::Codes;
use crate::trade::fan;
use crate::words::Language;
use std::error::Error;
use std::ffi::{CStr, OsStr, c_char, c_int};
use std::os::unix::ffi::OsStrExt as _;
use std::path::Path;

/// Judges every survey of a data folder and writes its bundle into another folder; how many, or less than nothing.
///
/// # Safety
/// Both are paths, ended by a nought.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn joistlight_proof(data: *const c_char, out: *const c_char) -> c_int {
    // SAFETY: as the caller promises.
    let path = |text| {
        Path::new(OsStr::from_bytes(
            unsafe { CStr::from_ptr(text) }.to_bytes(),
        ))
    };
    match bundles(path(data), path(out)) {
        Ok(count) => count,
        Err(error) => {
            eprintln!("{error}");
            -1
        }
    }
}

fn bundles(data: &Path, out: &Path) -> Result<c_int, Box<dyn Error>> {
    let store = Store::open(data)?;
    let mut count = 0;
    for facts in store.list()?.0 {
        let open = store.survey(facts.id)?;
        let assessment = rules::assess(open.survey(), fan::generic(), &Codes::default());
        let contents = Contents {
            survey: open.survey(),
            assessment: &assessment,
            fans: fan::generic(),
            pictures: open.folder(),
            ways: Ways::default(),
            language: Language::English,
        };
        bundle::write(&contents, out, Watch::default())?;
        count += 1;
    }
    Ok(count)
}
