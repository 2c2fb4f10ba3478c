//! A drawing laid out for a screen or a page.
//!
//! Units here are px, 96 to the inch of paper, with y downwards as screens and SVG have it.

use super::{At, Drawing, Form, Ink, Item, at};
use crate::measure::{Length, Tape};
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

impl Edge {
    /// Whether it runs upwards.
    const fn is_upright(self) -> bool {
        matches!(self, Edge::Left | Edge::Right)
    }
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
    /// Whether the scale is to be one of the trade's (3/4" = 1'-0" …), for paper.
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
    /// Words, middle on the place.
    Words,
    /// Words turned upwards.
    WordsUp,
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
    /// Areas that the frame cuts, closed along it: not to be drawn, but a tap may lie within.
    pub areas: Vec<Stroke>,
    /// Texts.
    pub texts: Vec<Text>,
    /// The scale bar's length in px and in the house.
    pub bar: (f32, Length),
}

/// Scales of paper in feet and inches, from 3" = 1'-0" to 1/16" = 1'-0": one inch is so many of the house.
const FEET_AND_INCHES: &[f32] = &[
    4.0, 8.0, 12.0, 16.0, 24.0, 32.0, 48.0, 64.0, 96.0, 128.0, 192.0,
];
/// Scales of paper in the metric system (ISO 5455, and the halves between them).
const METRIC: &[f32] = &[
    5.0, 10.0, 15.0, 20.0, 25.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0,
];

/// A scale as it is written on paper: `3/4" = 1'-0"`, or `1 : 20`.
///
/// # Examples
/// ```
/// use joistlight::drawing::scale_words;
/// assert_eq!(scale_words(16.0, false), "3/4\" = 1'-0\"");
/// assert_eq!(scale_words(8.0, false), "1 1/2\" = 1'-0\"");
/// assert_eq!(scale_words(20.0, true), "1 : 20");
/// ```
pub fn scale_words(one_to: f32, metric: bool) -> String {
    let sixteenths = 192.0 / one_to;
    if metric || (sixteenths - sixteenths.round()).abs() > 1e-3 {
        return format!("1 : {}", one_to.round());
    }
    let inches = Length::sixteenths(sixteenths.round() as i64);
    format!("{} = 1'-0\"", inches.show(Tape::Sixteenth).text)
}

/// How far apart lanes of dimensions are, in heights of the letters.
const LANE: f32 = 2.0;
/// The radius of a number's ring, in heights of the letters: the largest that any face of a sheet draws.
const RING: f32 = 0.85;
/// What is nearer than this to the frame lies on it, px.
const NEAR: f32 = 0.01;

/// The part of the house that is shown, and where it lies on the sheet.
struct Frame {
    low: At,
    high: At,
    /// Margins, px.
    left: f32,
    top: f32,
    right: f32,
    bottom: f32,
    /// px for an inch of the house.
    scale: f32,
    letters: f32,
}

/// Where a dimension's line runs along its edge, and what stands at it.
struct Measure {
    from: f32,
    to: f32,
    /// Whether it goes on beyond the frame, at either end.
    cut: (bool, bool),
    text: String,
}

impl Frame {
    /// Lays the drawing into the room that there is; `kept` says which lanes of dimensions get some of it.
    fn of(drawing: &Drawing, fit: Fitting, metric: bool, kept: &dyn Fn(Edge, u8) -> bool) -> Frame {
        let letters = fit.letters;
        let lanes = |edge: Edge| {
            drawing
                .items
                .iter()
                .filter_map(|item| match item.form {
                    Form::Dimension { edge: e, lane, .. } if e == edge && kept(e, lane) => {
                        Some(f32::from(lane) + 1.0)
                    }
                    _ => None,
                })
                .fold(0.0_f32, f32::max)
                * letters
                * LANE
        };
        let (left, top, right, bottom) = if drawing.close {
            // Only the scale bar has a margin of its own.
            (letters * 0.5, letters * 0.5, letters * 0.5, letters * 1.8)
        } else {
            (
                lanes(Edge::Left) + 2.0 * letters,
                lanes(Edge::Top) + 2.0 * letters,
                lanes(Edge::Right) + letters,
                lanes(Edge::Bottom) + letters * 3.0,
            )
        };
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
            let usual = if metric { METRIC } else { FEET_AND_INCHES }
                .iter()
                .copied()
                .find(|it| *it >= wanted)
                .unwrap_or(wanted);
            scale = 96.0 / usual;
        }
        let (mut low, mut high) = (drawing.low, drawing.high);
        if drawing.close && !fit.usual_scale {
            // No room is left empty: on the side where there is more of it, more is shown.
            let more = |has: f32, room: f32| {
                Length::from_in(f64::from((room / scale - has).max(0.0) / 2.0))
            };
            let (x, y) = (more(wide, room.0), more(tall, room.1));
            low = at(low.x - x, low.y - y);
            high = at(high.x + x, high.y + y);
        }
        Frame {
            low,
            high,
            left,
            top,
            right,
            bottom,
            scale,
            letters,
        }
    }

    fn x(&self, it: Length) -> f32 {
        self.left + (it - self.low.x).to_in() as f32 * self.scale
    }

    fn y(&self, it: Length) -> f32 {
        self.top + (self.high.y - it).to_in() as f32 * self.scale
    }

    fn put(&self, it: At) -> P {
        (self.x(it.x), self.y(it.y))
    }

    /// Upper left and lower right corner, px.
    fn corners(&self) -> [P; 2] {
        [
            (self.x(self.low.x), self.y(self.high.y)),
            (self.x(self.high.x), self.y(self.low.y)),
        ]
    }

    fn holds(&self, it: At) -> bool {
        (self.low.x..=self.high.x).contains(&it.x) && (self.low.y..=self.high.y).contains(&it.y)
    }

    /// A dimension as far as it is within the frame; none where there is no room for its words.
    fn dimension(
        &self,
        form: &Form,
        length: &dyn Fn(Length) -> String,
        word: &dyn Fn(&'static str) -> String,
    ) -> Option<Measure> {
        let &Form::Dimension {
            edge,
            from,
            to,
            what,
            ..
        } = form
        else {
            return None;
        };
        let [first, last] = self.corners();
        let (a, b, least, most) = if edge.is_upright() {
            (self.y(to), self.y(from), first.1, last.1)
        } else {
            (self.x(from), self.x(to), first.0, last.0)
        };
        let cut = (a < least - NEAR, b > most + NEAR);
        let (a, b) = (a.max(least), b.min(most));
        let shown = length(to - from);
        let whole = what.map(|what| format!("{} {shown}", word(what)));
        let text = whole
            .into_iter()
            .chain([shown])
            .find(|it| words_width(it, self.letters) <= b - a)?;
        Some(Measure {
            from: a,
            to: b,
            cut,
            text,
        })
    }

    /// Where a number's ring stands: wholly within the frame, so that it lies on no dimension's words, and beside a
    /// small thing, which it would hide.
    fn ring(&self, place: At, beside: bool) -> P {
        let r = self.letters * RING + 1.0;
        let off = if beside { self.letters * 1.3 } else { 0.0 };
        let [first, last] = self.corners();
        let (x, y) = self.put(place);
        (
            settled(x, off, (first.0 + r, last.0 - r)),
            settled(y, -off, (first.1 + r, last.1 - r)),
        )
    }
}

/// A place moved by `off`, or to the other side where there is no room, or as far as the limits allow.
fn settled(place: f32, off: f32, (least, most): (f32, f32)) -> f32 {
    if least > most {
        return (least + most) / 2.0;
    }
    [place + off, place - off]
        .into_iter()
        .find(|it| (least..=most).contains(it))
        .unwrap_or_else(|| (place + off).clamp(least, most))
}

impl Sheet {
    /// Lays out a drawing; `length` shows a length, `word` translates a dimension's word.
    ///
    /// What the frame cuts is left open there, and walls that go on get a thin line with zigzags, so that nothing
    /// seems to end where only the drawing does. A dimension without room for its words is not drawn.
    pub fn lay(
        drawing: &Drawing,
        fit: Fitting,
        length: &dyn Fn(Length) -> String,
        word: &dyn Fn(&'static str) -> String,
    ) -> Sheet {
        // Lanes in which nothing can be read leave their room to the drawing.
        let metric = length(Length::inches(12)).contains("mm");
        let all = Frame::of(drawing, fit, metric, &|_, _| true);
        let kept: Vec<(Edge, u8)> = drawing
            .items
            .iter()
            .filter_map(|item| match item.form {
                Form::Dimension { edge, lane, .. } => {
                    all.dimension(&item.form, length, word)?;
                    Some((edge, lane))
                }
                _ => None,
            })
            .collect();
        let frame = Frame::of(drawing, fit, metric, &|edge, lane| {
            kept.contains(&(edge, lane))
        });
        let [first, last] = frame.corners();
        let width = last.0 + frame.right;
        let mut sheet = Sheet {
            width,
            height: last.1 + frame.bottom,
            letters: fit.letters,
            px_per_in: frame.scale,
            one_to: 96.0 / frame.scale,
            strokes: Vec::new(),
            areas: Vec::new(),
            texts: Vec::new(),
            bar: (0.0, Length::ZERO),
        };
        for item in &drawing.items {
            match &item.form {
                Form::Line(points) => {
                    let points: Vec<_> = points.iter().map(|p| frame.put(*p)).collect();
                    for pair in points.windows(2) {
                        if let Some((a, b)) = clip_line(pair[0], pair[1], [first, last]) {
                            sheet.stroke(vec![a, b], false, false, item);
                        }
                    }
                }
                Form::Area(points) => {
                    let points = points.iter().map(|p| frame.put(*p)).collect();
                    sheet.area(points, [first, last], item);
                }
                Form::Round { middle, radius } => {
                    let (cx, cy) = frame.put(*middle);
                    let r = (radius.to_in() as f32 * frame.scale).max(2.0);
                    let points = (0..24)
                        .map(|n| {
                            let turn = n as f32 / 24.0 * std::f32::consts::TAU;
                            (cx + r * turn.cos(), cy + r * turn.sin())
                        })
                        .collect();
                    sheet.area(points, [first, last], item);
                }
                Form::Cross(middle) => {
                    if frame.holds(*middle) {
                        let (cx, cy) = frame.put(*middle);
                        let r = fit.letters * 0.8;
                        sheet.stroke(vec![(cx - r, cy), (cx + r, cy)], false, false, item);
                        sheet.stroke(vec![(cx, cy - r), (cx, cy + r)], false, false, item);
                    }
                }
                Form::Number { at, number, beside } => sheet.texts.push(Text {
                    at: frame.ring(*at, *beside),
                    text: number.to_string(),
                    mark: Mark::Number,
                    field: item.field,
                }),
                Form::Letter { at, name } => sheet.texts.push(Text {
                    at: frame.ring(*at, false),
                    text: name.clone(),
                    mark: Mark::Number,
                    field: item.field,
                }),
                Form::Words { at, say, upright } => {
                    let text = say.render(&|text| word(text).into(), length);
                    let (x, y) = frame.put(*at);
                    // Wholly within the frame, whatever the words' language.
                    let half = words_width(&text, fit.letters) / 2.0;
                    let tall = fit.letters * 0.6;
                    let (w, h) = if *upright { (tall, half) } else { (half, tall) };
                    sheet.texts.push(Text {
                        at: (
                            settled(x, 0.0, (first.0 + w, last.0 - w)),
                            settled(y, 0.0, (first.1 + h, last.1 - h)),
                        ),
                        text,
                        mark: if *upright { Mark::WordsUp } else { Mark::Words },
                        field: item.field,
                    });
                }
                Form::Distance { from, to } => {
                    let (a, b) = (frame.put(*from), frame.put(*to));
                    let upright = (a.0 - b.0).abs() < (a.1 - b.1).abs();
                    sheet.stroke(vec![a, b], false, true, item);
                    let tick = fit.letters * 0.35;
                    for end in [a, b] {
                        let tick = vec![(end.0 - tick, end.1 + tick), (end.0 + tick, end.1 - tick)];
                        sheet.stroke(tick, false, false, item);
                    }
                    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
                    let off = fit.letters * 0.75;
                    sheet.texts.push(Text {
                        at: if upright {
                            (middle.0 - off, middle.1)
                        } else {
                            (middle.0, middle.1 - off)
                        },
                        text: length(if upright {
                            (to.y - from.y).abs()
                        } else {
                            (to.x - from.x).abs()
                        }),
                        mark: if upright {
                            Mark::DimensionUp
                        } else {
                            Mark::Dimension
                        },
                        field: item.field,
                    });
                }
                Form::Dimension {
                    edge, lane: number, ..
                } => {
                    if !kept.contains(&(*edge, *number)) {
                        continue;
                    }
                    let Some(measure) = frame.dimension(&item.form, length, word) else {
                        continue;
                    };
                    let off = fit.letters * LANE * (f32::from(*number) + 0.9);
                    let line = match edge {
                        Edge::Top => first.1 - off,
                        Edge::Bottom => last.1 + off,
                        Edge::Left => first.0 - off,
                        Edge::Right => last.0 + off,
                    };
                    let upright = edge.is_upright();
                    let turn = |along: f32, across: f32| {
                        if upright {
                            (across, along)
                        } else {
                            (along, across)
                        }
                    };
                    let (a, b) = (measure.from, measure.to);
                    sheet.stroke(vec![turn(a, line), turn(b, line)], false, false, item);
                    let tick = fit.letters * 0.4;
                    for (end, inwards, cut) in [(a, tick, measure.cut.0), (b, -tick, measure.cut.1)]
                    {
                        // A tick where it ends, an arrow where it goes on.
                        let points = if cut {
                            vec![
                                turn(end + inwards, line - tick),
                                turn(end, line),
                                turn(end + inwards, line + tick),
                            ]
                        } else {
                            vec![turn(end, line - tick), turn(end, line + tick)]
                        };
                        sheet.stroke(points, false, false, item);
                    }
                    sheet.texts.push(Text {
                        at: turn((a + b) / 2.0, line - fit.letters * 0.75),
                        text: measure.text,
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
            .rfind(|it| it.to_in() as f32 * frame.scale <= width * 0.4)
            .unwrap_or(lengths[0]);
        sheet.bar = (bar.to_in() as f32 * frame.scale, bar);
        sheet
    }

    fn stroke(&mut self, points: Vec<P>, closed: bool, thin: bool, item: &Item) {
        if points.len() > 1 {
            self.strokes.push(Stroke {
                points,
                closed,
                ink: item.ink,
                thin: thin || item.beyond,
                field: item.field,
            });
        }
    }

    /// An area as far as the frame shows it: its hatch, and its sides without those along which the frame cuts it.
    fn area(&mut self, points: Vec<P>, frame: [P; 2], item: &Item) {
        let seen = clip_area(points, frame);
        let points: Vec<P> = seen.iter().map(|side| side.from).collect();
        for line in hatch(&points, item) {
            self.stroke(line, false, true, item);
        }
        if !seen.iter().any(|side| side.cut) {
            self.stroke(points, true, false, item);
            return;
        }
        for line in uncut(&seen) {
            self.stroke(line, false, false, item);
        }
        if item.ink == Ink::Wall {
            for (index, side) in seen.iter().enumerate() {
                let to = points[(index + 1) % points.len()];
                if side.cut
                    && let Some(line) = broken(side.from, to, self.letters)
                {
                    self.stroke(line, false, true, item);
                }
            }
        }
        self.areas.push(Stroke {
            points,
            closed: true,
            ink: item.ink,
            thin: item.beyond,
            field: item.field,
        });
    }
}

/// About how wide a text is, px: enough to leave it out where it has no room.
pub(super) fn words_width(text: &str, letters: f32) -> f32 {
    // A little more than in the window's typeface, since other faces have other widths.
    let width = |letter: char| match letter {
        'm' | 'w' | 'M' | 'W' => 0.97,
        '0'..='9' => 0.66,
        '"' => 0.46,
        ' ' | '\'' | '.' | ',' | 'i' | 'j' | 'l' => 0.36,
        _ => 0.64,
    };
    text.chars().map(width).sum::<f32>() * letters
}

/// How an ink's areas are hatched: the angle of the lines in degrees and their distance in px.
fn hatching(ink: Ink) -> &'static [(f32, f32)] {
    match ink {
        Ink::Joist => &[(45.0, 6.0)],
        Ink::CutJoist => &[(45.0, 6.0), (-45.0, 6.0)],
        Ink::Packing => &[(45.0, 1.2)],
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

/// One side of an area, from its corner to the next one's.
#[derive(Debug, Clone, Copy)]
struct Side {
    from: P,
    /// Whether it lies along the frame because the area goes on beyond it.
    cut: bool,
}

/// The part of a convex area within the frame (Sutherland and Hodgman's way).
fn clip_area(area: Vec<P>, frame: [P; 2]) -> Vec<Side> {
    let mut area: Vec<Side> = area
        .into_iter()
        .map(|from| Side { from, cut: false })
        .collect();
    // Left, right, upper and lower side: whether it is a level of y, which, and which way is inside.
    let sides = [
        (false, frame[0].0, 1.0),
        (false, frame[1].0, -1.0),
        (true, frame[0].1, 1.0),
        (true, frame[1].1, -1.0),
    ];
    for (of_y, limit, sign) in sides {
        let pick = |p: P| if of_y { p.1 } else { p.0 };
        let inside = |p: P| (pick(p) - limit) * sign >= -NEAR;
        let mut kept = Vec::with_capacity(area.len() + 2);
        for (index, side) in area.iter().enumerate() {
            let (a, b) = (side.from, area[(index + 1) % area.len()].from);
            if inside(a) {
                kept.push(*side);
            }
            if inside(a) != inside(b) {
                let t = (limit - pick(a)) / (pick(b) - pick(a));
                kept.push(Side {
                    from: (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t),
                    // From where it leaves the frame, the area runs along it.
                    cut: side.cut || inside(a),
                });
            }
        }
        area = kept;
    }
    area
}

/// The sides that the frame does not cut, each run of them as one line.
fn uncut(area: &[Side]) -> Vec<Vec<P>> {
    let mut lines = Vec::new();
    let Some(first) = area.iter().position(|side| side.cut) else {
        return lines;
    };
    let mut line = Vec::new();
    for step in 1..=area.len() {
        let side = area[(first + step) % area.len()];
        line.push(side.from);
        if side.cut {
            lines.push(std::mem::take(&mut line));
        }
    }
    lines.retain(|line| line.len() > 1);
    lines
}

/// A thin line with zigzags: what it ends goes on beyond it (ISO 128's line for views that are broken off; from
/// memory). None where there is no room for one.
fn broken(from: P, to: P, letters: f32) -> Option<Vec<P>> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let long = dx.hypot(dy);
    if long < letters * 3.0 {
        return None;
    }
    let (dx, dy) = (dx / long, dy / long);
    let on = |along: f32, aside: f32| {
        (
            from.0 + dx * along - dy * aside,
            from.1 + dy * along + dx * aside,
        )
    };
    let (half, tall, beyond) = (letters * 0.35, letters * 0.45, letters * 0.4);
    let count = (long / (letters * 6.0)).floor().max(1.0);
    let mut points = vec![on(-beyond, 0.0)];
    for zigzag in 0..count as usize {
        let middle = long * (zigzag as f32 + 0.5) / count;
        points.extend([
            on(middle - half, 0.0),
            on(middle - half / 2.0, tall),
            on(middle + half / 2.0, -tall),
            on(middle + half, 0.0),
        ]);
    }
    points.push(on(long + beyond, 0.0));
    Some(points)
}
