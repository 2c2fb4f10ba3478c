//! The two faces that sheets are set in: B612 and B612 Bold (SIL Open Font License, see `ui/fonts`), made to be read in
//! bad light. They stand in the program, so that a sheet looks the same on every machine.

/// B612.
pub(super) const REGULAR: &[u8] = include_bytes!("../../ui/fonts/B612-Regular.otf");
/// B612 Bold.
pub(super) const BOLD: &[u8] = include_bytes!("../../ui/fonts/B612-Bold.otf");
