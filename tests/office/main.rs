//! The office: a register that loses and doubles nothing, on SQLite and on PostgreSQL alike.

#[path = "../made/bundles.rs"]
mod bundles;
mod command;
#[path = "../common/mod.rs"]
mod common;
mod demo;
mod intake;
#[path = "../made/pictures.rs"]
mod pictures;
mod register;
mod server;
mod surveys;
#[path = "../made/zips.rs"]
mod zips;
