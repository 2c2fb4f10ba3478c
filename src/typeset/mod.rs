//! A small document to HTML and PDF: paragraphs, tables, lists, drawings, pages.
//!
//! * [`document`] — what a document is made of, before it is HTML or PDF.
//! * [`html`] — one file that needs nothing beside it.
//! * [`pdf`] — the same on paper, with its fonts inside and tags for screen readers.
//!
//! It knows lines, tables and drawings, and nothing of surveys, rules or jobs: those who write documents do.

pub mod document;
mod font_set;
mod fonts;
pub mod html;
mod layout;
pub mod pdf;
