//! A measured house on the device before the window opens, for tests of what is made from answers.

use crate::driver::Driver;
use joistlight::store::Store;
use joistlight::survey::Survey;
use std::path::Path;

/// The demo's house: three spots, of which one fits with work, one does not fit and one is half measured.
pub fn survey() -> Survey {
    joistlight::demo::survey().expect("the demo's house")
}

/// Opens the program over this one survey, standing in it at its first spot.
pub fn open(data: &Path, survey: Survey, size: (u32, u32)) -> Driver {
    let id = survey.id;
    let store = Store::open(data).expect("a store");
    store.begin(survey).expect("begun");
    store.note_open(Some(id)).expect("noted");
    drop(store);
    let d = Driver::open(data, size);
    assert!(d.app.session().open().is_some(), "the survey is open");
    d
}
