//! A drawing laid out for a screen or a page.
//!
//! Units here are px, 96 to the inch of paper, with y downwards as screens and SVG have it.

use super::{At, Drawing, Form, Ink, Item};
use crate::measure::Length;
use crate::survey::FieldRef;

/// Beside which edge of a drawing a dimension stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Over it.
    Top,
    /// Under it.
    Bottom,
    /// On its left.
    Left,
    /// On its right.
    Right,
}

/// How a drawing is to be laid out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitting {
    /// Width to be filled at most, px.
    pub width: f32,
    /// Height to be filled at most, px.
    pub height: f32,
    /// Height of the letters, px.
    pub letters: f32,
    /// Whether the scale is to be a usual one (1:8, 1:10, 1:12 …), for paper.
    pub usual_scale: bool,
}

/// A line or an area on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    /// Its points, px.
    pub points: Vec<(f32, f32)>,
    /// Whether it is closed.
    pub closed: bool,
    /// What it is.
    pub ink: Ink,
    /// Whether it is drawn thin: the hatch of an area, or what lies before or behind the section.
    pub thin: bool,
    /// The answer it hangs on.
    pub field: Option<FieldRef>,
}

/// Where a text's place lies in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// A dimension's words, middle on the place.
    Dimension,
    /// A dimension's words turned upwards.
    DimensionUp,
    /// A number of the key, in a ring of this sheet's letter height.
    Number,
}

/// A text on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// Its middle, px.
    pub at: (f32, f32),
    /// What it says.
    pub text: String,
    /// What it is.
    pub mark: Mark,
    /// The answer it hangs on.
    pub field: Option<FieldRef>,
}

/// A drawing laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Width, px.
    pub width: f32,
    /// Height, px.
    pub height: f32,
    /// Height of the letters, px.
    pub letters: f32,
    /// px for an inch of the house.
    pub px_per_in: f32,
    /// The scale as paper has it: one inch on paper is so many inches of the house.
    pub one_to: f32,
    /// Lines and areas, the lowest first.
    pub strokes: Vec<Stroke>,
    /// Texts.
    pub texts: Vec<Text>,
    /// The scale bar's length in px and in the house.
    pub bar: (f32, Length),
}

/// The usual scales of paper.
const USUAL: &[f32] = &[
    4.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 32.0, 40.0, 48.0, 64.0, 96.0,
];

impl Sheet {
    /// Lays out a drawing; `length` shows a length, `word` translates a dimension's word.
    pub fn lay(
        drawing: &Drawing,
        fit: Fitting,
        length: &dyn Fn(Length) -> String,
        word: &dyn Fn(&'static str) -> String,
    ) -> Sheet {
        let lane = fit.letters * 2.0;
        let lanes = |edge: Edge| {
            drawing
                .items
                .iter()
                .filter_map(|item| match item.form {
                    Form::Dimension { edge: e, lane, .. } if e == edge => {
                        Some(f32::from(lane) + 1.0)
                    }
                    _ => None,
                })
                .fold(0.0_f32, f32::max)
                * lane
        };
        let (left, right) = (
            lanes(Edge::Left) + 2.0 * fit.letters,
            lanes(Edge::Right) + fit.letters,
        );
        let (top, bottom) = (
            lanes(Edge::Top) + 2.0 * fit.letters,
            lanes(Edge::Bottom) + fit.letters * 3.0,
        );
        let (wide, tall) = (
            (drawing.high.x - drawing.low.x).to_in() as f32,
            (drawing.high.y - drawing.low.y).to_in() as f32,
        );
        let room = (
            (fit.width - left - right).max(20.0),
            (fit.height - top - bottom).max(20.0),
        );
        let mut scale = (room.0 / wide.max(1.0)).min(room.1 / tall.max(1.0));
        if fit.usual_scale {
            let wanted = 96.0 / scale;
            let usual = USUAL
                .iter()
                .copied()
                .find(|it| *it >= wanted)
                .unwrap_or(wanted);
            scale = 96.0 / usual;
        }
        let width = left + wide * scale + right;
        let height = top + tall * scale + bottom;
        let low = drawing.low;
        let x = |it: Length| left + (it - low.x).to_in() as f32 * scale;
        let y = |it: Length| top + tall * scale - (it - low.y).to_in() as f32 * scale;
        let put = |it: At| (x(it.x), y(it.y));
        let frame = [(left, top), (left + wide * scale, top + tall * scale)];
        let mut sheet = Sheet {
            width,
            height,
            letters: fit.letters,
            px_per_in: scale,
            one_to: 96.0 / scale,
            strokes: Vec::new(),
            texts: Vec::new(),
            bar: (0.0, Length::ZERO),
        };
        for item in &drawing.items {
            let mut stroke = |points: Vec<(f32, f32)>, closed, thin: bool| {
                if points.len() > 1 {
                    sheet.strokes.push(Stroke {
                        points,
                        closed,
                        ink: item.ink,
                        thin: thin || item.beyond,
                        field: item.field,
                    });
                }
            };
            match &item.form {
                Form::Line(points) => {
                    let points: Vec<_> = points.iter().map(|p| put(*p)).collect();
                    for pair in points.windows(2) {
                        if let Some((a, b)) = clip_line(pair[0], pair[1], frame) {
                            stroke(vec![a, b], false, false);
                        }
                    }
                }
                Form::Area(points) => {
                    let points = clip_area(points.iter().map(|p| put(*p)).collect(), frame);
                    for line in hatch(&points, item) {
                        stroke(line, false, true);
                    }
                    stroke(points, true, false);
                }
                Form::Round { middle, radius } => {
                    let (cx, cy) = put(*middle);
                    let r = (radius.to_in() as f32 * scale).max(2.0);
                    let points = (0..24)
                        .map(|n| {
                            let turn = n as f32 / 24.0 * std::f32::consts::TAU;
                            (cx + r * turn.cos(), cy + r * turn.sin())
                        })
                        .collect();
                    let points = clip_area(points, frame);
                    for line in hatch(&points, item) {
                        stroke(line, false, true);
                    }
                    stroke(points, true, false);
                }
                Form::Cross(middle) => {
                    let (cx, cy) = put(*middle);
                    let r = fit.letters * 0.8;
                    stroke(vec![(cx - r, cy), (cx + r, cy)], false, false);
                    stroke(vec![(cx, cy - r), (cx, cy + r)], false, false);
                }
                Form::Number { at, number, beside } => sheet.texts.push(Text {
                    at: {
                        // Beside a small round thing the number must not hide it.
                        let (x, y) = put(*at);
                        let off = if *beside { fit.letters * 1.3 } else { 0.0 };
                        (x + off, y - off)
                    },
                    text: number.to_string(),
                    mark: Mark::Number,
                    field: item.field,
                }),
                Form::Dimension {
                    edge,
                    lane: number,
                    from,
                    to,
                    what,
                } => {
                    let off = lane * (f32::from(*number) + 0.9);
                    let tick = fit.letters * 0.4;
                    let shown = length(*to - *from);
                    let text = match what {
                        Some(what) => format!("{} {shown}", word(what)),
                        None => shown,
                    };
                    let upright = matches!(edge, Edge::Left | Edge::Right);
                    let (a, b, line) = match edge {
                        Edge::Top => (x(*from), x(*to), top - off),
                        Edge::Bottom => (x(*from), x(*to), top + tall * scale + off),
                        Edge::Left => (y(*to), y(*from), left - off),
                        Edge::Right => (y(*to), y(*from), left + wide * scale + off),
                    };
                    let turn = |along: f32, across: f32| {
                        if upright {
                            (across, along)
                        } else {
                            (along, across)
                        }
                    };
                    stroke(vec![turn(a, line), turn(b, line)], false, false);
                    for end in [a, b] {
                        stroke(
                            vec![turn(end, line - tick), turn(end, line + tick)],
                            false,
                            false,
                        );
                    }
                    // Words only where there is room for them along the line.
                    let room = (b - a).abs();
                    let text = if words_width(&text, fit.letters) <= room {
                        Some(text)
                    } else {
                        let short = length(*to - *from);
                        (words_width(&short, fit.letters) <= room).then_some(short)
                    };
                    if let Some(text) = text {
                        let beside = line - fit.letters * 0.75;
                        sheet.texts.push(Text {
                            at: turn((a + b) / 2.0, beside),
                            text,
                            mark: if upright {
                                Mark::DimensionUp
                            } else {
                                Mark::Dimension
                            },
                            field: item.field,
                        });
                    }
                }
            }
        }
        let metric = length(Length::inches(12)).contains("mm");
        let lengths: &[Length] = if metric {
            &[Length::mm(200), Length::mm(500), Length::mm(1000)]
        } else {
            &[
                Length::inches(6),
                Length::inches(12),
                Length::inches(24),
                Length::inches(36),
            ]
        };
        let bar = lengths
            .iter()
            .copied()
            .rfind(|it| it.to_in() as f32 * scale <= width * 0.4)
            .unwrap_or(lengths[0]);
        sheet.bar = (bar.to_in() as f32 * scale, bar);
        sheet
    }
}

/// About how wide a text is, px: enough to leave it out where it has no room.
fn words_width(text: &str, letters: f32) -> f32 {
    text.chars().count() as f32 * letters * 0.62
}

/// How an ink's areas are hatched: the angle of the lines in degrees and their distance in px.
fn hatching(ink: Ink) -> &'static [(f32, f32)] {
    match ink {
        Ink::Joist => &[(45.0, 6.0)],
        Ink::CutJoist => &[(45.0, 6.0), (-45.0, 6.0)],
        Ink::Header => &[(90.0, 4.0)],
        Ink::Block => &[(0.0, 4.0)],
        Ink::Fixed => &[(45.0, 5.0), (-45.0, 5.0)],
        Ink::Movable => &[(-30.0, 8.0)],
        Ink::Fixture => &[(0.0, 6.0)],
        _ => &[],
    }
}

/// The hatch lines within a convex area.
fn hatch(area: &[(f32, f32)], item: &Item) -> Vec<Vec<(f32, f32)>> {
    if item.beyond {
        return Vec::new();
    }
    hatched(item.ink, area)
}

/// The hatch lines of an ink within a convex area, px: each from one point to another.
pub fn hatched(ink: Ink, area: &[(f32, f32)]) -> Vec<Vec<(f32, f32)>> {
    let mut lines = Vec::new();
    if area.len() < 3 {
        return lines;
    }
    for &(degrees, distance) in hatching(ink) {
        let (sin, cos) = degrees.to_radians().sin_cos();
        // The coordinate across the hatch lines.
        let across = |p: (f32, f32)| p.1 * cos - p.0 * sin;
        let low = area.iter().map(|p| across(*p)).fold(f32::MAX, f32::min);
        let high = area.iter().map(|p| across(*p)).fold(f32::MIN, f32::max);
        let first = (low / distance).ceil() as i32;
        let last = (high / distance).floor() as i32;
        if last - first > 400 {
            continue;
        }
        for step in first..=last {
            let level = step as f32 * distance;
            let mut crossings: Vec<(f32, f32)> = Vec::with_capacity(2);
            for (index, a) in area.iter().enumerate() {
                let b = area[(index + 1) % area.len()];
                let (da, db) = (across(*a) - level, across(b) - level);
                if (da <= 0.0) != (db <= 0.0) {
                    let t = da / (da - db);
                    crossings.push((a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t));
                }
            }
            if crossings.len() == 2 {
                lines.push(crossings);
            }
        }
    }
    lines
}

type P = (f32, f32);

/// The part of a line within the frame (Liang and Barsky's way).
fn clip_line(a: P, b: P, frame: [P; 2]) -> Option<(P, P)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut t0, mut t1) = (0.0_f32, 1.0_f32);
    for (p, q) in [
        (-dx, a.0 - frame[0].0),
        (dx, frame[1].0 - a.0),
        (-dy, a.1 - frame[0].1),
        (dy, frame[1].1 - a.1),
    ] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else {
            let r = q / p;
            if p < 0.0 {
                t0 = t0.max(r);
            } else {
                t1 = t1.min(r);
            }
        }
    }
    let on = |t: f32| (a.0 + dx * t, a.1 + dy * t);
    (t0 <= t1).then_some((on(t0), on(t1)))
}

/// The part of a convex area within the frame (Sutherland and Hodgman's way).
fn clip_area(mut area: Vec<P>, frame: [P; 2]) -> Vec<P> {
    // Left, right, upper and lower side: whether it is a level of y, which, and which way is inside.
    let sides = [
        (false, frame[0].0, 1.0),
        (false, frame[1].0, -1.0),
        (true, frame[0].1, 1.0),
        (true, frame[1].1, -1.0),
    ];
    for (of_y, limit, sign) in sides {
        let pick = |p: P| if of_y { p.1 } else { p.0 };
        let inside = |p: P| (pick(p) - limit) * sign >= 0.0;
        let mut kept = Vec::with_capacity(area.len() + 2);
        for (index, &a) in area.iter().enumerate() {
            let b = area[(index + 1) % area.len()];
            if inside(a) {
                kept.push(a);
            }
            if inside(a) != inside(b) {
                let t = (limit - pick(a)) / (pick(b) - pick(a));
                kept.push((a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t));
            }
        }
        area = kept;
    }
    area
}
