//! The office: taking bundles in, the register of surveys, and the job pack.
//!
//! * [`register`] — the list of surveys, with what they came to; SQLite in a folder, or PostgreSQL on a server.
//! * [`vault`] — the bundles themselves, byte for byte, and those that were refused.
//! * [`judged`] — a judgement in short, and where the office's differs from the phone's.
//! * [`search`] — words as the register searches them.
//! * `database` — one set of queries for both databases.
//!
//! Nothing here overwrites what a surveyor captured. What the office knows better is kept beside it as a
//! correction with its reason; a survey's statuses are a history.

mod database;
pub mod judged;
pub mod register;
pub mod search;
pub mod vault;

pub use database::DatabaseError;
