//! One invented house, entered through the real screens by taps and typed keys alone.

use crate::driver::{Driver, SIZES, platform};

#[test]
fn begins() {
    platform();
    let data = tempfile::tempdir().unwrap();
    let mut d = Driver::open(data.path(), SIZES[1]);
    d.tap("Begin a survey");
    d.tap("Attic");
    d.tap("Framing");
    d.tap("Sawn joists");
    d.snapshot("x1");
    println!("{}", d.labels().join("\n"));
    d.wheel(-300.0);
    println!("-----\n{}", d.labels().join("\n"));
    d.snapshot("x2");
}
