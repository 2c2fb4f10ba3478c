//! The office: a register that loses and doubles nothing, on SQLite and on PostgreSQL alike.

mod command;
mod demo;
mod full_disk;
mod intake;
mod rebuilt;
mod register;
mod server;
mod surveys;
mod trust;
mod upgrade;
