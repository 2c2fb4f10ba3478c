//! The office: a register that loses and doubles nothing, on SQLite and on PostgreSQL alike.

#[path = "../made/bundles.rs"]
mod bundles;
mod command;
#[path = "../common/mod.rs"]
mod common;
mod demo;
#[path = "../made/disks.rs"]
mod disks;
mod full_disk;
mod intake;
#[path = "../made/pictures.rs"]
mod pictures;
mod register;
mod server;
mod surveys;
mod trust;
mod upgrade;
#[path = "../made/zips.rs"]
mod zips;
