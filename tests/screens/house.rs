//! One invented house, entered through the real screens by taps and typed keys alone.

use crate::driver::{Driver, SIZES, platform};

#[test]
fn begins() {
    platform();
    let data = tempfile::tempdir().unwrap();
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.snapshot("surveys-empty");
    d.tap("Begin a survey");
    d.snapshot("arrival");
    println!("{}", d.labels().join("\n"));
    d.tap("Client");
    d.type_text("Meadow Lane 12");
    d.tap("Year built");
    d.type_text("1962");
    d.snapshot("arrival-year");
    d.tap("done");
    d.tap("Attached garage: Yes");
    d.snapshot("arrival-2");
    d.tap("Hall");
    d.snapshot("hall");
    d.tap("Attic");
    d.snapshot("attic");
    d.tap("Framing");
    d.snapshot("framing");
    d.tap("Sawn joists");
    d.tap("Roof height at the mark");
    d.type_text("36 1/2");
    d.snapshot("roof");
    d.tap("done");
    d.snapshot("attic-2");
    d.tap("Add: Thing in the way");
    d.snapshot("thing");
    d.tap("menu");
    d.snapshot("menu");
    d.tap("Verdict");
    d.snapshot("verdict");
}
