//! joistlight surveys a house for a whole-house fan.
//!
//! The modules, in the order that data flows:
//!
//! * [`measure`] — lengths as they are read off a tape and the other quantities, typed.
//! * [`list_file`] — an office's own list in TOML, with errors that name line and field.
//! * [`digest`] — the SHA-256 of some bytes, written one way everywhere.
//! * [`survey`] — what was seen and measured in one house: plain data, no judgement.
//! * [`trade`] — the trade's arithmetic, one computation a file; knows nothing of surveys or screens.
//! * [`words`] — the program's own sentences in the reader's language.
//! * [`say`] — a sentence with places for values, apart from its words.
//! * [`house`] — what a survey makes of a house, solved once for all rules.
//! * [`need`] — what is to be done, in typed amounts; two asks for one thing become one.
//! * [`rules`] — a survey in, findings and a verdict out; one question a file.
//! * [`job`] — what follows from a verdict: layout, cut list, materials, and a sheet for each who needs one.
//! * [`drawing`] — plan and section of a spot, laid out for screen or paper.
//! * `typeset` — a small document to HTML and PDF (with the `office` feature).
//! * [`photo`] — takes a camera's file in: upright, sized, without position or any other metadata.
//! * [`disk`] — files that are whole or not there.
//! * [`store`] — the surveys on this device, safe through crashes.
//! * [`bundle`] — a finished survey as one file for the office, and back.
//! * `office` — taking bundles in, the register of surveys, the job pack (with the `office` feature).
//! * `demo` — the whole job on an invented house (with the `office` feature).
//! * `command` — the command line (with the `office` feature).
//! * `app` — the window: one adapter a page joins `ui/` to the rest (with the `ui` feature).

#[cfg(all(target_os = "android", feature = "ui"))]
mod android;
#[cfg(feature = "ui")]
pub mod app;
pub mod bundle;
#[cfg(feature = "office")]
pub mod command;
#[cfg(feature = "office")]
pub mod demo;
pub mod digest;
pub mod disk;
pub mod drawing;
pub mod house;
pub mod job;
pub mod list_file;
pub mod measure;
pub mod need;
#[cfg(feature = "office")]
pub mod office;
pub mod photo;
pub mod rules;
pub mod say;
pub mod store;
pub mod survey;
pub mod trade;
#[cfg(feature = "office")]
pub mod typeset;
pub mod words;
