//! The two faces that sheets are set in, and how wide text is in them.

use super::fonts::{BOLD, REGULAR};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

/// One face.
pub(super) struct Face {
    pub(super) font: Font,
    table: FontRef<'static>,
}

/// Both faces.
pub(super) struct FontSet {
    regular: Face,
    bold: Face,
}

impl Face {
    fn new(bytes: &'static [u8]) -> Face {
        // Both are part of the program; every test that sets a sheet reads them.
        let font = Font::new(bytes.to_vec().into(), 0);
        let table = FontRef::new(bytes);
        match (font, table) {
            (Some(font), Ok(table)) => Face { font, table },
            _ => unreachable!("the program's own fonts can be read"),
        }
    }

    /// The glyphs of a text, each with its place in the text; advances are for a size of one.
    pub(super) fn glyphs(&self, text: &str) -> Vec<KrillaGlyph> {
        let map = self.table.charmap();
        let metrics = self
            .table
            .glyph_metrics(Size::unscaled(), LocationRef::default());
        let em = self.font.units_per_em();
        text.char_indices()
            .map(|(at, letter)| {
                let glyph = map.map(stand_in(letter)).unwrap_or(skrifa::GlyphId::NOTDEF);
                let advance = metrics.advance_width(glyph).unwrap_or(0.0) / em;
                KrillaGlyph::new(
                    GlyphId::new(glyph.to_u32()),
                    advance,
                    0.0,
                    0.0,
                    0.0,
                    at..at + letter.len_utf8(),
                    None,
                )
            })
            .collect()
    }

    /// How wide a text is at a size.
    pub(super) fn width(&self, text: &str, size: f32) -> f32 {
        self.glyphs(text).iter().map(|it| it.x_advance).sum::<f32>() * size
    }

    /// Whether the face has every letter of a text.
    #[cfg(test)]
    pub(super) fn has(&self, text: &str) -> bool {
        let map = self.table.charmap();
        text.chars()
            .all(|letter| map.map(stand_in(letter)).is_some())
    }
}

/// What is drawn for letters that the faces lack; the text itself stays what it is.
fn stand_in(letter: char) -> char {
    match letter {
        '\u{202f}' | '\u{2009}' => '\u{a0}',
        '\u{2044}' => '/',
        other => other,
    }
}

impl FontSet {
    pub(super) fn new() -> Self {
        FontSet {
            regular: Face::new(REGULAR),
            bold: Face::new(BOLD),
        }
    }

    pub(super) fn face(&self, strong: bool) -> &Face {
        if strong { &self.bold } else { &self.regular }
    }
}
