//! Contrast as it is in the pixels: W3C, WCAG 2.2, “contrast ratio” and “relative luminance”; at least 7 : 1 for text
//! (SC 1.4.6) and 3 : 1 for graphics and the edges of what is tapped or typed into (SC 1.4.11). What cannot be used
//! at the moment is left out, as there.
//!
//! The ground of a text is the colour that most of its rectangle has. Its ink is the colour of its strokes' core:
//! edges are blended with the ground, so the strongest pixels count, and four of them, so that no stray one does.
//!
//! Pictures are left out: what a photograph shows has the contrast that it has, and the ink of drawings is measured
//! where they are painted.

use crate::look::{Area, Kind, Look};
use crate::theme::contrast;
use image::RgbaImage;
use std::collections::BTreeMap;

/// The least contrast of a text, and of a graphic.
const TEXT: f64 = 7.0;
const GRAPHIC: f64 = 3.0;

/// What was measured in one picture.
pub struct Measured {
    pub faults: Vec<String>,
    /// The weakest text and the weakest graphic, and how many of each were measured.
    pub text: (f64, usize),
    pub graphic: (f64, usize),
}

type Colour = [u8; 3];

fn ratio(a: Colour, b: Colour) -> f64 {
    let share = |colour: Colour| colour.map(|channel| f64::from(channel) / 255.0);
    contrast(share(a), share(b))
}

/// Measures everything that can be seen whole.
pub fn measure(look: &Look, picture: &RgbaImage) -> Measured {
    let mut measured = Measured {
        faults: Vec::new(),
        text: (21.0, 0),
        graphic: (21.0, 0),
    };
    for (at, item) in look.items.iter().enumerate() {
        let whole = item.seen.holds(&item.ink) && item.ink.is_more_than(2.0);
        if item.faint || !whole {
            continue;
        }
        let text = match &item.kind {
            Kind::Text { text, .. } | Kind::Input { text, .. } if !text.trim().is_empty() => true,
            Kind::Drawing => false,
            Kind::Ground { border, .. } if *border > 0.0 && frames_something(look, at) => {
                if look.is_hidden(at) {
                    continue;
                }
                if let Some(found) = edge(item.area, *border, picture) {
                    measured.note(found, false, || format!("border of {}", look.name(at)));
                }
                continue;
            }
            _ => continue,
        };
        if look.is_hidden(at) {
            continue;
        }
        if let Some(found) = strongest(item.ink, picture) {
            measured.note(found, text, || look.name(at));
        }
    }
    measured
}

impl Measured {
    fn note(&mut self, found: f64, text: bool, name: impl Fn() -> String) {
        let (worst, least) = if text {
            (&mut self.text, TEXT)
        } else {
            (&mut self.graphic, GRAPHIC)
        };
        worst.0 = worst.0.min(found);
        worst.1 += 1;
        if found < least {
            self.faults
                .push(format!("{found:.2}, less than {least} : 1: {}", name()));
        }
    }
}

/// Whether this ground is the frame of something that is tapped or typed into.
fn frames_something(look: &Look, at: usize) -> bool {
    let area = look.items[at].area;
    look.items[at + 1..].iter().take(12).any(|it| {
        matches!(it.kind, Kind::Target { .. }) && it.area.holds(&area) && area.holds(&it.area)
    })
}

fn pixel(picture: &RgbaImage, x: f32, y: f32) -> Option<Colour> {
    let inside = x >= 0.0 && y >= 0.0 && x < picture.width() as f32 && y < picture.height() as f32;
    inside.then(|| {
        let [r, g, b, _] = picture.get_pixel(x as u32, y as u32).0;
        [r, g, b]
    })
}

/// The contrast of the strongest ink in an area to what most of the area is.
fn strongest(area: Area, picture: &RgbaImage) -> Option<f64> {
    let mut count: BTreeMap<Colour, usize> = BTreeMap::new();
    for y in area.top.max(0.0) as u32..(area.bottom.ceil() as u32).min(picture.height()) {
        for x in area.left.max(0.0) as u32..(area.right.ceil() as u32).min(picture.width()) {
            let [r, g, b, _] = picture.get_pixel(x, y).0;
            *count.entry([r, g, b]).or_default() += 1;
        }
    }
    let (ground, _) = count.iter().max_by_key(|(_, count)| **count)?;
    let mut inks: Vec<(f64, usize)> = count
        .iter()
        .map(|(colour, count)| (ratio(*colour, *ground), *count))
        .collect();
    inks.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut seen = 0;
    inks.iter()
        .find(|(_, count)| {
            seen += count;
            seen >= 4
        })
        .map(|(ratio, _)| *ratio)
}

/// How well a frame stands out, at the middle of its left edge: its line from what is beside it, or its inside from
/// its outside.
fn edge(area: Area, border: f32, picture: &RgbaImage) -> Option<f64> {
    let y = (area.top + area.bottom) / 2.0;
    // Edges between two pixels are drawn in either.
    let outside = pixel(picture, area.left - 3.0, y)?;
    let inside = pixel(picture, area.left + border + 3.0, y)?;
    let mut best = ratio(inside, outside);
    let mut x = area.left - 1.0;
    while x < area.left + border + 1.0 {
        let line = pixel(picture, x, y)?;
        best = best.max(ratio(line, outside)).max(ratio(line, inside));
        x += 1.0;
    }
    Some(best)
}
