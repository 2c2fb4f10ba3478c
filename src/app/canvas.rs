//! Drawings as pixels: a sheet of lines and words, drawn for one window at its scale.
//!
//! The window's own paths cannot be dashed, and its words cannot be turned; so a sheet is drawn here, letters
//! too, from the outlines of the typeface that the window shows. It is drawn anew for each view of it, so that
//! it is crisp however near one looks.

use crate::drawing::{Ink, Mark, Sheet, svg};
use crate::measure::Length;
use crate::survey::FieldRef;
use skrifa::instance::{LocationRef, Size};
use skrifa::outline::{DrawSettings, OutlinePen};
use skrifa::{FontRef, MetadataProvider};
use tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Rect, Stroke, StrokeDash,
    Transform,
};

const TYPEFACE: &[u8] = include_bytes!("../../ui/fonts/B612-Regular.otf");

/// How near a finger must come to a thing, in the window's px.
const REACH: f32 = 26.0;

/// Red, green and blue.
pub type Rgb = [u8; 3];

/// The colours of the shade that is in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Colours {
    /// What is drawn on.
    pub ground: Rgb,
    /// Words, walls and the roof.
    pub ink: Rgb,
    /// Dimensions.
    pub soft: Rgb,
    /// The fan and the space it needs.
    pub chalk: Rgb,
    /// Wood.
    pub work: Rgb,
    /// What is cut, and what nobody can move.
    pub fails: Rgb,
    /// What somebody can move.
    pub holds: Rgb,
    /// What sits on the ceiling.
    pub open: Rgb,
    /// Joists.
    pub wood: Rgb,
    /// The strip of tape on which a measured length stands, and its figures.
    pub blade: Rgb,
    /// The figures on it.
    pub blade_ink: Rgb,
}

impl Colours {
    fn of(&self, ink: Ink) -> Rgb {
        match ink {
            Ink::Wall | Ink::Roof | Ink::Opening | Ink::Shutter | Ink::Mark | Ink::Hole => self.ink,
            Ink::Joist => self.wood,
            Ink::Header | Ink::Block | Ink::Temporary => self.work,
            Ink::CutJoist | Ink::Fixed => self.fails,
            Ink::ClearSpace | Ink::Fan => self.chalk,
            Ink::Movable => self.holds,
            Ink::Fixture => self.open,
            Ink::Insulation | Ink::Diagonal | Ink::Dimension => self.soft,
        }
    }
}

/// Which part of a sheet is seen, and how large; lengths are px of the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// Width of what is looked through.
    pub width: f32,
    /// Its height.
    pub height: f32,
    /// How much larger than whole the sheet is.
    pub zoom: f32,
    /// How far the sheet is pushed to the right.
    pub right: f32,
    /// How far it is pushed down.
    pub down: f32,
}

impl View {
    /// Where the upper left corner of a sheet lies: one that is smaller than the view lies in its middle.
    pub fn corner(&self, sheet: &Sheet) -> (f32, f32) {
        (
            (self.width - sheet.width) / 2.0 + self.right,
            (self.height - sheet.height) / 2.0 + self.down,
        )
    }
}

/// Pixels to be shown, red, green, blue and whole.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Painted {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// Row by row.
    pub rgba: Vec<u8>,
}

/// Draws what is seen of a sheet; `scale` is the window's pixels to a px, `bar` the words at the scale bar.
pub fn paint(sheet: &Sheet, view: &View, colours: &Colours, scale: f32, bar: &str) -> Painted {
    let size = |px: f32| (px * scale).round().clamp(1.0, 8192.0) as u32;
    let (width, height) = (size(view.width), size(view.height));
    let Some(mut canvas) = Canvas::new(width, height, colours) else {
        return Painted {
            width: 1,
            height: 1,
            rgba: vec![0; 4],
        };
    };
    let (left, top) = view.corner(sheet);
    canvas.at = Transform::from_row(scale, 0.0, 0.0, scale, left * scale, top * scale);
    let seen = (-left, -top, view.width - left, view.height - top);
    let mut from = 0;
    while from < sheet.strokes.len() {
        // Neighbours of one kind are one path.
        let (ink, thin) = (sheet.strokes[from].ink, sheet.strokes[from].thin);
        let mut path = PathBuilder::new();
        while let Some(stroke) = sheet
            .strokes
            .get(from)
            .filter(|it| (it.ink, it.thin) == (ink, thin))
        {
            from += 1;
            if !meets(&stroke.points, seen) {
                continue;
            }
            for (index, (x, y)) in stroke.points.iter().enumerate() {
                if index == 0 {
                    path.move_to(*x, *y);
                } else {
                    path.line_to(*x, *y);
                }
            }
            if stroke.closed {
                path.close();
            }
        }
        if let Some(path) = path.finish() {
            let (_, width, dashes) = svg::line(ink);
            let dashes = if thin { "" } else { dashes };
            let width = if thin { 1.0 } else { width.max(1.3) };
            canvas.line(&path, colours.of(ink), width, dashes);
        }
    }
    let letters = sheet.letters;
    for text in &sheet.texts {
        let (x, y) = text.at;
        match text.mark {
            Mark::Number => canvas.number(&text.text, (x, y), letters),
            Mark::Dimension | Mark::DimensionUp => {
                let upright = text.mark == Mark::DimensionUp;
                // What was measured stands on tape, and a tap types it anew; what follows from it does not.
                let plate = if text.field.is_some() {
                    Plate::Tape
                } else {
                    Plate::Ground
                };
                canvas.words(&text.text, (x, y), letters, upright, plate);
            }
        }
    }
    // The scale bar stays in its corner of the view.
    canvas.at = Transform::from_scale(scale, scale);
    canvas.bar(sheet, view, bar);
    let mut rgba = canvas.pixels.take();
    for pixel in rgba.chunks_exact_mut(4) {
        pixel[3] = 255;
    }
    Painted {
        width,
        height,
        rgba,
    }
}

/// A short piece of an ink's line with its hatch, for a legend; sizes in px.
pub fn sample(ink: Ink, colours: &Colours, scale: f32) -> Painted {
    let (wide, tall) = (40.0, 20.0);
    let size = |px: f32| (px * scale).round() as u32;
    let (width, height) = (size(wide).max(1), size(tall).max(1));
    let Some(mut canvas) = Canvas::new(width, height, colours) else {
        return Painted {
            width: 1,
            height: 1,
            rgba: vec![0; 4],
        };
    };
    canvas.at = Transform::from_scale(scale, scale);
    for line in crate::drawing::hatched(ink, &[(4.0, 4.0), (36.0, 4.0), (36.0, 16.0), (4.0, 16.0)])
    {
        let mut path = PathBuilder::new();
        path.move_to(line[0].0, line[0].1);
        path.line_to(line[1].0, line[1].1);
        if let Some(path) = path.finish() {
            canvas.line(&path, colours.of(ink), 1.0, "");
        }
    }
    let (_, line, dashes) = svg::line(ink);
    let mut path = PathBuilder::new();
    match ink {
        Ink::Mark => {
            path.move_to(12.0, 10.0);
            path.line_to(28.0, 10.0);
            path.move_to(20.0, 2.0);
            path.line_to(20.0, 18.0);
        }
        Ink::Insulation | Ink::Roof | Ink::Diagonal => {
            path.move_to(2.0, 10.0);
            path.line_to(38.0, 10.0);
        }
        _ => {
            if let Some(rect) = Rect::from_ltrb(4.0, 4.0, 36.0, 16.0) {
                path.push_rect(rect);
            }
        }
    }
    if let Some(path) = path.finish() {
        canvas.line(&path, colours.of(ink), line.max(1.3), dashes);
    }
    let mut rgba = canvas.pixels.take();
    for pixel in rgba.chunks_exact_mut(4) {
        pixel[3] = 255;
    }
    Painted {
        width,
        height,
        rgba,
    }
}

/// The answer behind what lies at a point of the view: a number first, then the smallest thing under the
/// finger, then the nearest line.
pub fn touched(sheet: &Sheet, view: &View, (x, y): (f32, f32)) -> Option<FieldRef> {
    let (left, top) = view.corner(sheet);
    let at = (x - left, y - top);
    let numbers = sheet.texts.iter().filter_map(|text| {
        let off = (text.at.0 - at.0).hypot(text.at.1 - at.1);
        Some((off, text.field?)).filter(|(off, _)| *off <= REACH)
    });
    if let Some((_, field)) = numbers.min_by(|a, b| a.0.total_cmp(&b.0)) {
        return Some(field);
    }
    let mut within: Option<(f32, FieldRef)> = None;
    let mut near: Option<(f32, FieldRef)> = None;
    for stroke in &sheet.strokes {
        let Some(field) = stroke.field else { continue };
        if stroke.thin && !stroke.closed {
            continue;
        }
        // Walls stand round everything: only their lines are theirs.
        if stroke.closed && stroke.ink != Ink::Wall && inside(&stroke.points, at) {
            let area = area(&stroke.points);
            if within.is_none_or(|(least, _)| area < least) {
                within = Some((area, field));
            }
        }
        let off = distance(&stroke.points, stroke.closed, at);
        if off <= REACH && near.is_none_or(|(least, _)| off < least) {
            near = Some((off, field));
        }
    }
    within.or(near).map(|(_, field)| field)
}

type P = (f32, f32);

fn meets(points: &[P], (left, top, right, bottom): (f32, f32, f32, f32)) -> bool {
    let span = |pick: fn(&P) -> f32| {
        points
            .iter()
            .map(pick)
            .fold((f32::MAX, f32::MIN), |(low, high), it| {
                (low.min(it), high.max(it))
            })
    };
    let (x, y) = (span(|p| p.0), span(|p| p.1));
    x.1 >= left && x.0 <= right && y.1 >= top && y.0 <= bottom
}

fn inside(points: &[P], at: P) -> bool {
    let mut odd = false;
    for (index, a) in points.iter().enumerate() {
        let b = points[(index + 1) % points.len()];
        if (a.1 > at.1) != (b.1 > at.1) && at.0 < (b.0 - a.0) * (at.1 - a.1) / (b.1 - a.1) + a.0 {
            odd = !odd;
        }
    }
    odd
}

fn area(points: &[P]) -> f32 {
    let twice: f32 = points
        .iter()
        .enumerate()
        .map(|(index, a)| {
            let b = points[(index + 1) % points.len()];
            a.0 * b.1 - b.0 * a.1
        })
        .sum();
    twice.abs() / 2.0
}

fn distance(points: &[P], closed: bool, at: P) -> f32 {
    let count = points.len();
    let pieces = if closed {
        count
    } else {
        count.saturating_sub(1)
    };
    (0..pieces)
        .map(|index| {
            let (a, b) = (points[index], points[(index + 1) % count]);
            let (dx, dy) = (b.0 - a.0, b.1 - a.1);
            let long = dx * dx + dy * dy;
            let t = if long == 0.0 {
                0.0
            } else {
                (((at.0 - a.0) * dx + (at.1 - a.1) * dy) / long).clamp(0.0, 1.0)
            };
            (a.0 + dx * t - at.0).hypot(a.1 + dy * t - at.1)
        })
        .fold(f32::MAX, f32::min)
}

/// What words stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Plate {
    /// Nothing.
    None,
    /// The ground's colour, so that no line runs through them.
    Ground,
    /// A strip of tape.
    Tape,
}

/// Pixels with a pen.
struct Canvas<'a> {
    pixels: Pixmap,
    colours: &'a Colours,
    at: Transform,
    face: Option<FontRef<'static>>,
}

/// Collects a letter's outline: `x` to the right, upwards turned down.
struct Letter<'a> {
    path: &'a mut PathBuilder,
    x: f32,
}

impl OutlinePen for Letter<'_> {
    fn move_to(&mut self, x: f32, y: f32) {
        self.path.move_to(self.x + x, -y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.path.line_to(self.x + x, -y);
    }
    fn quad_to(&mut self, cx: f32, cy: f32, x: f32, y: f32) {
        self.path.quad_to(self.x + cx, -cy, self.x + x, -y);
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.path
            .cubic_to(self.x + cx0, -cy0, self.x + cx1, -cy1, self.x + x, -y);
    }
    fn close(&mut self) {
        self.path.close();
    }
}

fn solid(rgb: Rgb) -> Paint<'static> {
    let mut paint = Paint {
        anti_alias: true,
        ..Paint::default()
    };
    paint.set_color_rgba8(rgb[0], rgb[1], rgb[2], 255);
    paint
}

impl<'a> Canvas<'a> {
    fn new(width: u32, height: u32, colours: &'a Colours) -> Option<Self> {
        let mut pixels = Pixmap::new(width, height)?;
        let [r, g, b] = colours.ground;
        pixels.fill(Color::from_rgba8(r, g, b, 255));
        Some(Canvas {
            pixels,
            colours,
            at: Transform::identity(),
            face: FontRef::new(TYPEFACE).ok(),
        })
    }

    fn line(&mut self, path: &Path, colour: Rgb, width: f32, dashes: &str) {
        let dashes: Vec<f32> = dashes
            .split_whitespace()
            .filter_map(|it| it.parse().ok())
            .collect();
        let stroke = Stroke {
            width,
            line_cap: LineCap::Butt,
            line_join: LineJoin::Miter,
            dash: StrokeDash::new(dashes, 0.0),
            ..Stroke::default()
        };
        self.pixels
            .stroke_path(path, &solid(colour), &stroke, self.at, None);
    }

    fn fill(&mut self, path: &Path, colour: Rgb, at: Transform) {
        self.pixels
            .fill_path(path, &solid(colour), FillRule::Winding, at, None);
    }

    /// The outlines of words with their left end at nought on the base line, and their width.
    fn outlines(&self, words: &str, letters: f32) -> (Option<Path>, f32) {
        let Some(face) = &self.face else {
            return (None, 0.0);
        };
        let size = Size::new(letters);
        let charmap = face.charmap();
        let widths = face.glyph_metrics(size, LocationRef::default());
        let glyphs = face.outline_glyphs();
        let mut path = PathBuilder::new();
        let mut x = 0.0;
        for letter in words.chars() {
            let glyph = charmap.map(letter).unwrap_or_default();
            if let Some(outline) = glyphs.get(glyph) {
                let settings = DrawSettings::unhinted(size, LocationRef::default());
                // A letter that cannot be drawn leaves its room empty.
                let _ = outline.draw(settings, &mut Letter { path: &mut path, x });
            }
            x += widths.advance_width(glyph).unwrap_or(letters * 0.5);
        }
        (path.finish(), x)
    }

    /// Words with their middle at a place; turned to read upwards; on a plate.
    fn words(&mut self, words: &str, (x, y): P, letters: f32, upright: bool, plate: Plate) {
        let (path, width) = self.outlines(words, letters);
        let turned = if upright {
            self.at.pre_translate(x, y).pre_rotate(-90.0)
        } else {
            self.at.pre_translate(x, y)
        };
        let (half, tall) = (width / 2.0, letters * 0.55);
        let (ground, ink) = match plate {
            Plate::None => (None, self.colours.ink),
            Plate::Ground => (Some(self.colours.ground), self.colours.ink),
            Plate::Tape => (Some(self.colours.blade), self.colours.blade_ink),
        };
        let (beside, below) = match plate {
            Plate::Tape => (letters * 0.4, tall * 1.5),
            _ => (2.0, tall),
        };
        if let Some(ground) = ground
            && let Some(rect) = Rect::from_ltrb(-half - beside, -tall * 1.15, half + beside, below)
        {
            self.fill(&PathBuilder::from_rect(rect), ground, turned);
        }
        if plate == Plate::Tape {
            self.ticks(half + beside, below, letters, turned);
        }
        if let Some(path) = path {
            let place = turned.pre_translate(-half, letters * 0.35);
            self.fill(&path, ink, place);
        }
    }

    /// The marks of a tape along the lower edge of its strip.
    fn ticks(&mut self, half: f32, below: f32, letters: f32, turned: Transform) {
        let step = letters * 0.4;
        let mut path = PathBuilder::new();
        let mut x = -half + step;
        let mut count = 0;
        while x < half {
            let tall = if count % 2 == 0 { 0.14 } else { 0.28 } * letters;
            path.move_to(x, below);
            path.line_to(x, below - tall);
            x += step;
            count += 1;
        }
        if let Some(path) = path.finish() {
            let stroke = Stroke {
                width: 1.0,
                ..Stroke::default()
            };
            self.pixels
                .stroke_path(&path, &solid(self.colours.blade_ink), &stroke, turned, None);
        }
    }

    fn number(&mut self, words: &str, at: P, letters: f32) {
        if let Some(ring) = PathBuilder::from_circle(at.0, at.1, letters * 0.85) {
            self.fill(&ring, self.colours.ground, self.at);
            self.line(&ring, self.colours.ink, 1.6, "");
        }
        self.words(words, at, letters, false, Plate::None);
    }

    fn bar(&mut self, sheet: &Sheet, view: &View, words: &str) {
        let (length, house) = sheet.bar;
        if house == Length::ZERO {
            return;
        }
        let letters = sheet.letters;
        let (x, y) = (letters * 0.7, view.height - letters * 1.2);
        let tall = letters * 0.4;
        let (_, width) = self.outlines(words, letters);
        let right = x + length + letters * 0.6 + width;
        if let Some(rect) =
            Rect::from_ltrb(0.0, y - letters * 0.5, right + letters * 0.5, view.height)
        {
            self.fill(&PathBuilder::from_rect(rect), self.colours.ground, self.at);
        }
        if let Some(half) = Rect::from_xywh(x, y, length / 2.0, tall) {
            self.fill(&PathBuilder::from_rect(half), self.colours.ink, self.at);
        }
        if let Some(whole) = Rect::from_xywh(x, y, length, tall) {
            self.line(&PathBuilder::from_rect(whole), self.colours.ink, 1.3, "");
        }
        let middle = x + length + letters * 0.6 + width / 2.0;
        self.words(words, (middle, y + tall / 2.0), letters, false, Plate::None);
    }
}
