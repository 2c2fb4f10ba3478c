//! The office: a register that loses and doubles nothing, on SQLite and on PostgreSQL alike.

mod demo;
mod register;
mod server;
mod surveys;
