//! The two faces that documents are set in: Roboto Condensed and Roboto Condensed Bold (Apache License 2.0, see
//! `ui/fonts`), narrow and open, with figures all of one width. They stand in the program, so that a document looks the
//! same on every machine. Each is a part of the whole face: Latin with all its accents, Greek, Cyrillic, and what
//! measurements are written with.

/// Roboto Condensed.
pub(super) const REGULAR: &[u8] = include_bytes!("../../ui/fonts/RobotoCondensed-Regular.ttf");
/// Roboto Condensed Bold.
pub(super) const BOLD: &[u8] = include_bytes!("../../ui/fonts/RobotoCondensed-Bold.ttf");
