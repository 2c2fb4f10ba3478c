//! The office: taking bundles in, the register of surveys, and the job pack.
//!
//! * [`register`] — the list of surveys, with what they came to; SQLite in a folder, or PostgreSQL on a server.
//! * [`vault`] — the bundles themselves, byte for byte, and those that were refused.
//! * [`intake`] — takes bundles in: checks, judges again, enters.
//! * [`watch`] — folders in which bundles arrive.
//! * [`jobpack`] — the sheets for whoever plans and does the work.
//! * [`order`] — the order list of a quote as a file for whoever orders.
//! * [`summary`] — what a judgement comes to, in short.
//! * [`log`] — everything that ever happened to a register.
//! * [`differences`] — where the office's judgement differs from the phone's.
//! * [`changes`] — what changed between two revisions.
//! * [`export`] — the list as a file for other programs.
//! * [`search`] — words as the register searches them.
//! * `database` — one set of queries for both databases.
//!
//! Nothing here overwrites what a surveyor captured. What the office knows better is kept beside it as a
//! correction with its reason; a survey's statuses are a history.

pub mod changes;
mod database;
pub mod differences;
pub mod export;
pub mod intake;
pub mod jobpack;
pub mod log;
pub mod order;
pub mod register;
pub mod search;
pub mod summary;
pub mod vault;
pub mod watch;

pub use database::DatabaseError;

/// A text to be translated; marks it for the check that every one of them is.
const fn key(english: &'static str) -> &'static str {
    english
}
