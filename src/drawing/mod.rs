//! Drawings of a spot from its measurements: the plan and the section.
//!
//! A [`Drawing`] is what is to be seen, in real lengths: lines, areas, numbers, dimensions, each with the [`Ink`]
//! that says what it is and the answer that it hangs on. [`Sheet`] lays it out for a screen or a page at a scale;
//! [`svg`] writes a sheet as SVG for report and job pack, and the window draws the same sheet with its own paths.
//! Meaning is never by colour alone: every ink has its own line or hatch.

#[cfg(all(test, feature = "ui"))]
pub(crate) mod contrast;
mod plan;
mod section;
mod sheet;
pub mod svg;

pub use plan::plan;
pub use section::section;
pub use sheet::{Edge, Fitting, Mark, Sheet, Stroke, Text, hatched, scale_words};

use crate::measure::Length;
use crate::rules::Say;
use crate::survey::{FieldRef, ItemId};

/// A point on paper: to the right and upwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At {
    /// To the right.
    pub x: Length,
    /// Upwards.
    pub y: Length,
}

/// A point on paper.
pub const fn at(x: Length, y: Length) -> At {
    At { x, y }
}

/// What a line or an area is; decides its line and hatch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ink {
    /// The hall's walls, or the ceiling board.
    Wall,
    /// A joist that stays whole.
    Joist,
    /// A joist that is cut, between its cuts.
    CutJoist,
    /// Headers and doubled joists that are added.
    Header,
    /// Blocks, side pieces and packing that close the frame.
    Block,
    /// What fills a gap too narrow for a board.
    Packing,
    /// Boards that lie flat on the frame.
    Facing,
    /// The dam that holds insulation back.
    Dam,
    /// Temporary boards over joists that are cut.
    Temporary,
    /// The opening.
    Opening,
    /// The shutter's frame on the ceiling.
    Shutter,
    /// The clear space that the fan needs.
    ClearSpace,
    /// The fan on its frame.
    Fan,
    /// The roof's underside.
    Roof,
    /// In the way, and nobody can move it.
    Fixed,
    /// In the way, and somebody can move it.
    Movable,
    /// On the ceiling.
    Fixture,
    /// Insulation.
    Insulation,
    /// The mark.
    Mark,
    /// A locating hole.
    Hole,
    /// A diagonal, to check that the opening is square.
    Diagonal,
    /// A dimension.
    Dimension,
}

impl Ink {
    /// All inks.
    pub const ALL: &'static [Ink] = &[
        Ink::Wall,
        Ink::Joist,
        Ink::CutJoist,
        Ink::Header,
        Ink::Block,
        Ink::Packing,
        Ink::Facing,
        Ink::Dam,
        Ink::Temporary,
        Ink::Opening,
        Ink::Shutter,
        Ink::ClearSpace,
        Ink::Fan,
        Ink::Roof,
        Ink::Fixed,
        Ink::Movable,
        Ink::Fixture,
        Ink::Insulation,
        Ink::Mark,
        Ink::Hole,
        Ink::Diagonal,
        Ink::Dimension,
    ];

    /// The English words for it, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Ink::Wall => "Walls and ceiling",
            Ink::Joist => "Joist",
            Ink::CutJoist => "Joist, cut out",
            Ink::Header => "Header or doubled joist",
            Ink::Block => "Block or side piece",
            Ink::Packing => "Packing",
            Ink::Facing => "Facing, flat on top",
            Ink::Dam => "Insulation dam",
            Ink::Temporary => "Temporary board",
            Ink::Opening => "Opening",
            Ink::Shutter => "Shutter frame",
            Ink::ClearSpace => "Clear space",
            Ink::Fan => "Fan",
            Ink::Roof => "Roof, underside",
            Ink::Fixed => "In the way, cannot be moved",
            Ink::Movable => "In the way, can be moved",
            Ink::Fixture => "On the ceiling",
            Ink::Insulation => "Insulation",
            Ink::Mark => "Mark",
            Ink::Hole => "Locating hole",
            Ink::Diagonal => "Diagonal",
            Ink::Dimension => "Dimension",
        }
    }

    /// The name of its class in SVG.
    pub const fn class(self) -> &'static str {
        match self {
            Ink::Wall => "wall",
            Ink::Joist => "joist",
            Ink::CutJoist => "cut",
            Ink::Header => "header",
            Ink::Block => "block",
            Ink::Packing => "packing",
            Ink::Facing => "facing",
            Ink::Dam => "dam",
            Ink::Temporary => "temporary",
            Ink::Opening => "opening",
            Ink::Shutter => "shutter",
            Ink::ClearSpace => "clear",
            Ink::Fan => "fan",
            Ink::Roof => "roof",
            Ink::Fixed => "fixed",
            Ink::Movable => "movable",
            Ink::Fixture => "fixture",
            Ink::Insulation => "insulation",
            Ink::Mark => "mark",
            Ink::Hole => "hole",
            Ink::Diagonal => "diagonal",
            Ink::Dimension => "dimension",
        }
    }
}

/// Something to be drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// A line through these points.
    Line(Vec<At>),
    /// A closed area.
    Area(Vec<At>),
    /// A circle.
    Round {
        /// Its middle.
        middle: At,
        /// Its radius.
        radius: Length,
    },
    /// The mark's cross.
    Cross(At),
    /// A number in a ring, which the key explains.
    Number {
        /// Where; beyond what is shown, it stands at the edge of it.
        at: At,
        /// The number.
        number: usize,
        /// Whether it stands beside that place, not on it.
        beside: bool,
    },
    /// Words on the drawing, their middle at a place.
    Words {
        /// The middle.
        at: At,
        /// What they say.
        say: Say,
        /// Whether they are turned upwards.
        upright: bool,
    },
    /// A letter or number in a ring, which stands in a table beside the drawing.
    Letter {
        /// Where.
        at: At,
        /// What it is called there.
        name: String,
    },
    /// A distance within the drawing, level or upright.
    Distance {
        /// From here.
        from: At,
        /// To here.
        to: At,
    },
    /// A dimension beside the drawing.
    Dimension {
        /// Beside which edge of the drawing.
        edge: Edge,
        /// How far out: 0 is nearest to the drawing.
        lane: u8,
        /// From here along the edge; what lies beyond the drawing's edge is measured too, but not drawn.
        from: Length,
        /// To here along the edge.
        to: Length,
        /// What it says, where it says more than the distance.
        what: Option<&'static str>,
    },
}

/// One thing on the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What is drawn.
    pub form: Form,
    /// What it is.
    pub ink: Ink,
    /// The answer it hangs on, which a tap opens.
    pub field: Option<FieldRef>,
    /// Whether it lies before or behind what is cut: drawn thin and without hatch.
    pub beyond: bool,
}

/// One line of the key to the numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct KeyLine {
    /// The number on the drawing.
    pub number: usize,
    /// What it is.
    pub say: Say,
    /// The answer it hangs on.
    pub field: Option<FieldRef>,
}

/// A drawing in real lengths.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// What it shows, in English; a key for translations.
    pub title: &'static str,
    /// What is drawn, the lowest first.
    pub items: Vec<Item>,
    /// What the numbers mean.
    pub key: Vec<KeyLine>,
    /// What could not be drawn because it is not measured yet, in English; keys for translations.
    pub open: Vec<&'static str>,
    /// Lower left corner of what is shown.
    pub low: At,
    /// Upper right corner of what is shown.
    pub high: At,
    /// What it is about: the opening's middle, or the mark as long as there is none.
    pub middle: At,
    /// Whether it is looked at from near: it has no dimensions, and fills its room.
    pub close: bool,
}

/// How far from its middle a drawing is seen from near.
const NEAR: Length = Length::inches(30);
/// How far from its middle even the thing that one looks for is seen.
const FAR: Length = Length::feet(10);

/// How far `shown` must reach for a thing at `thing` to be seen, each from low to high: all of a short one, the
/// nearest foot of a long one.
fn reach_for(thing: (Length, Length), shown: (Length, Length)) -> (Length, Length) {
    let foot = Length::feet(1);
    if thing.1 - thing.0 <= NEAR {
        thing
    } else if thing.0 > shown.1 - foot {
        (thing.0, thing.0 + foot)
    } else if thing.1 < shown.0 + foot {
        (thing.1 - foot, thing.1)
    } else {
        shown
    }
}

/// Lower left and upper right corner of what these points enclose.
fn extent(points: &[At]) -> Option<(At, At)> {
    let first = *points.first()?;
    Some(points.iter().fold((first, first), |(low, high), it| {
        (
            at(low.x.min(it.x), low.y.min(it.y)),
            at(high.x.max(it.x), high.y.max(it.y)),
        )
    }))
}

impl Drawing {
    pub(crate) fn new(title: &'static str, low: At, high: At) -> Self {
        Drawing {
            title,
            items: Vec::new(),
            key: Vec::new(),
            open: Vec::new(),
            low,
            high,
            middle: at((low.x + high.x) / 2, (low.y + high.y) / 2),
            close: false,
        }
    }

    /// The same for where there is little room: without dimensions, no more of it than lies round its middle, and the
    /// thing `item`, which is looked for. Numbers go too, but for that thing's, since no key stands beside it.
    pub fn near(&self, item: Option<ItemId>) -> Drawing {
        let middle = self.middle;
        let mut low = at(middle.x - NEAR, middle.y - NEAR);
        let mut high = at(middle.x + NEAR, middle.y + NEAR);
        let looked_for =
            |it: &Item| item.is_some() && it.field.and_then(|field| field.item) == item;
        for it in &self.items {
            let span = match &it.form {
                Form::Area(points) | Form::Line(points) if looked_for(it) => extent(points),
                Form::Round { middle, radius } if looked_for(it) => Some((
                    at(middle.x - *radius, middle.y - *radius),
                    at(middle.x + *radius, middle.y + *radius),
                )),
                Form::Cross(mark) => Some((*mark, *mark)),
                _ => None,
            };
            let Some((from, to)) = span else { continue };
            // So that its edge does not lie on the frame.
            let margin = Length::inches(4);
            let x = reach_for((from.x - margin, to.x + margin), (low.x, high.x));
            let y = reach_for((from.y - margin, to.y + margin), (low.y, high.y));
            low = at(low.x.min(x.0), low.y.min(y.0));
            high = at(high.x.max(x.1), high.y.max(y.1));
        }
        low = at(low.x.max(middle.x - FAR), low.y.max(middle.y - FAR));
        high = at(high.x.min(middle.x + FAR), high.y.min(middle.y + FAR));
        let items = self
            .items
            .iter()
            .filter(|it| match it.form {
                Form::Dimension { .. }
                | Form::Words { .. }
                | Form::Letter { .. }
                | Form::Distance { .. } => false,
                Form::Number { .. } => looked_for(it),
                _ => true,
            })
            .cloned()
            .collect();
        Drawing {
            items,
            low,
            high,
            close: true,
            ..self.clone()
        }
    }

    /// Whether walls go on beyond what is shown.
    pub fn goes_on(&self) -> bool {
        let beyond = |it: &At| {
            it.x < self.low.x || it.x > self.high.x || it.y < self.low.y || it.y > self.high.y
        };
        self.items.iter().any(|item| match &item.form {
            Form::Area(points) => item.ink == Ink::Wall && points.iter().any(beyond),
            _ => false,
        })
    }

    /// What is drawn, each ink once: the lines of a legend.
    pub fn inks(&self) -> Vec<Ink> {
        let mut inks: Vec<Ink> = Vec::new();
        for item in &self.items {
            let drawn = item.ink != Ink::Dimension;
            if drawn && !inks.contains(&item.ink) {
                inks.push(item.ink);
            }
        }
        inks.sort();
        inks
    }

    pub(crate) fn add(&mut self, ink: Ink, form: Form) -> &mut Item {
        self.items.push(Item {
            form,
            ink,
            field: None,
            beyond: false,
        });
        let last = self.items.len() - 1;
        &mut self.items[last]
    }

    pub(crate) fn rectangle(&mut self, ink: Ink, low: At, high: At) -> &mut Item {
        self.add(
            ink,
            Form::Area(vec![low, at(high.x, low.y), high, at(low.x, high.y)]),
        )
    }

    pub(crate) fn measure(
        &mut self,
        edge: Edge,
        lane: u8,
        from: Length,
        to: Length,
        what: Option<&'static str>,
    ) {
        self.measure_of(None, edge, lane, from, to, what);
    }

    /// A dimension that an answer gives.
    pub(crate) fn measure_of(
        &mut self,
        field: Option<FieldRef>,
        edge: Edge,
        lane: u8,
        from: Length,
        to: Length,
        what: Option<&'static str>,
    ) {
        if from != to {
            self.add(
                Ink::Dimension,
                Form::Dimension {
                    edge,
                    lane,
                    from: from.min(to),
                    to: from.max(to),
                    what,
                },
            )
            .field = field;
        }
    }

    #[cfg(feature = "office")]
    pub(crate) fn words(&mut self, at: At, say: Say, upright: bool) {
        self.add(Ink::Dimension, Form::Words { at, say, upright });
    }

    #[cfg(feature = "office")]
    pub(crate) fn letter(&mut self, at: At, name: String) {
        self.add(Ink::Dimension, Form::Letter { at, name });
    }

    #[cfg(feature = "office")]
    pub(crate) fn distance(&mut self, from: At, to: At) {
        self.add(Ink::Dimension, Form::Distance { from, to });
    }

    pub(crate) fn number(&mut self, place: At, beside: bool, say: Say, field: Option<FieldRef>) {
        let number = self.key.len() + 1;
        self.key.push(KeyLine { number, say, field });
        self.add(
            Ink::Dimension,
            Form::Number {
                at: place,
                number,
                beside,
            },
        )
        .field = field;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::house::scene::Placed;
    use crate::house::scene::Scene;
    use crate::measure::Tape;
    use crate::rules::{Framing, assess};
    use crate::survey::{Survey, Ways, attic, fixture, hall, obstruction};
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;

    /// A hall 42 in wide with joists across it, a duct, a vent stack and a lamp.
    fn sample() -> Survey {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let mut survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
        let spot = survey.spots[0].id;
        let ways = Ways::default();
        for (field, text) in [
            (hall::LENGTH.id, "118"),
            (hall::WIDTH.id, "48"),
            (hall::MARK_FROM_START.id, "60"),
            (hall::MARK_FROM_LEFT.id, "24"),
            (hall::CEILING_THICKNESS.id, "5/8"),
            (attic::FRAMING.id, "sawn joists"),
            (attic::JOIST_RUN.id, "across the hall"),
            (attic::JOISTS_EVEN.id, "yes"),
            (attic::JOIST_SPACING.id, "16"),
            (attic::NEAREST_JOIST.id, "3"),
            (attic::NOMINAL_SIZE.id, "2x6"),
            (attic::BEARING_SPAN.id, "96"),
            (attic::MARK_FROM_BEARING.id, "48"),
            (attic::JOIST_DEPTH.id, "5 1/2"),
            (attic::ROOF_HEIGHT.id, "46"),
            (attic::ROOF_FALL.id, "left"),
            (attic::ROOF_SLOPE.id, "5"),
            (attic::RIDGE_DISTANCE.id, "30"),
            (attic::INSULATION_DEPTH.id, "8"),
        ] {
            survey
                .type_in(FieldRef::spot(field, spot), text, &ways)
                .unwrap();
        }
        let mut add = |list: &str, complete: &'static str, answers: &[(&'static str, &str)]| {
            let id = survey.fresh_id();
            survey.list_mut(list, Some(spot)).unwrap().add(id);
            for (field, text) in answers {
                let at = FieldRef::spot(field, spot).item(id);
                survey.type_in(at, text, &ways).unwrap();
            }
            survey
                .type_in(FieldRef::spot(complete, spot), "yes", &ways)
                .unwrap();
        };
        add(
            attic::OBSTRUCTIONS.id,
            attic::OBSTRUCTIONS.complete,
            &[
                (obstruction::KIND.id, "duct"),
                (obstruction::SHAPE.id, "run"),
                (obstruction::AHEAD.id, "34"),
                (obstruction::LEFT.id, "-40"),
                (obstruction::TO_AHEAD.id, "30"),
                (obstruction::TO_LEFT.id, "44"),
                (obstruction::DIAMETER.id, "8"),
                (obstruction::BOTTOM.id, "2"),
                (obstruction::TOP.id, "10"),
                (obstruction::MOVER.id, "duct fitter"),
            ],
        );
        add(
            attic::OBSTRUCTIONS.id,
            attic::OBSTRUCTIONS.complete,
            &[
                (obstruction::KIND.id, "pipe"),
                (obstruction::SHAPE.id, "upright"),
                (obstruction::AHEAD.id, "-36"),
                (obstruction::LEFT.id, "14"),
                (obstruction::DIAMETER.id, "4"),
                (obstruction::BOTTOM.id, "-6"),
                (obstruction::TOP.id, "50"),
                (obstruction::MOVER.id, "nobody"),
            ],
        );
        add(
            hall::FIXTURES.id,
            hall::FIXTURES.complete,
            &[
                (fixture::KIND.id, "light"),
                (fixture::AHEAD.id, "38"),
                (fixture::LEFT.id, "0"),
                (fixture::SIZE_ALONG.id, "12"),
                (fixture::SIZE_ACROSS.id, "12"),
            ],
        );
        survey
    }

    #[test]
    fn plan_and_section_show_what_was_measured() {
        let survey = sample();
        let spot = &survey.spots[0];
        let fans = generic();
        let _ = assess(&survey, fans, &Codes::default());
        let scene = Scene::of(spot, fans, survey.tape);
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/drawings");
        std::fs::create_dir_all(&folder).unwrap();
        for framing in Framing::ALL {
            let fan = &fans.fans[0];
            let placed = scene.place(fan, framing);
            let Placed::Found { place, .. } = &placed else {
                panic!("{placed:?}");
            };
            let drawings = [
                plan(spot.id, &scene, Some((fan, place))),
                section(spot.id, &spot.hall, &spot.attic, &scene, Some((fan, place))),
            ];
            for (number, drawing) in drawings.iter().enumerate() {
                assert!(drawing.open.is_empty(), "{:?}", drawing.open);
                let cut = drawing.items.iter().any(|item| item.ink == Ink::CutJoist);
                assert_eq!(cut, framing == Framing::Cut);
                assert_eq!(drawing.key.len(), 3 - number, "lamp, duct, stack");
                let fit = Fitting {
                    width: 680.0,
                    height: 700.0,
                    letters: 12.0,
                    usual_scale: true,
                };
                let sheet = Sheet::lay(
                    drawing,
                    fit,
                    &|length| length.show(Tape::Sixteenth).text,
                    &|word| word.to_owned(),
                );
                assert!(sheet.width <= 681.0 && sheet.height <= 701.0);
                for stroke in &sheet.strokes {
                    for (x, y) in &stroke.points {
                        assert!((-1.0..=sheet.width + 1.0).contains(x), "{stroke:?}");
                        assert!((-1.0..=sheet.height + 1.0).contains(y), "{stroke:?}");
                    }
                }
                let svg = svg::write(&sheet, drawing, drawing.title, "1 : 12");
                std::fs::write(
                    folder.join(format!("{}-{number}.svg", framing.label())),
                    svg,
                )
                .unwrap();
            }
        }
    }

    fn lay(drawing: &Drawing, width: f32, height: f32) -> Sheet {
        let fit = Fitting {
            width,
            height,
            letters: 14.0,
            usual_scale: false,
        };
        Sheet::lay(
            drawing,
            fit,
            &|length| length.show(Tape::Sixteenth).text,
            &|word| word.to_owned(),
        )
    }

    /// The sample's plan, with the place of a fan or without one.
    fn plan_of(survey: &Survey, framing: Option<Framing>) -> Drawing {
        let spot = &survey.spots[0];
        let fans = generic();
        let scene = Scene::of(spot, fans, survey.tape);
        let fan = &fans.fans[0];
        let placed = framing.map(|framing| scene.place(fan, framing));
        let place = placed
            .as_ref()
            .map(|it| it.found().expect("a place for the opening"));
        plan(spot.id, &scene, place.map(|place| (fan, place)))
    }

    /// The sample with a hall of 170 in whose start lies 99 in behind the mark.
    fn long_hall() -> Survey {
        let mut survey = sample();
        let spot = survey.spots[0].id;
        for (field, text) in [(hall::LENGTH.id, "170"), (hall::MARK_FROM_START.id, "99")] {
            survey
                .type_in(FieldRef::spot(field, spot), text, &Ways::default())
                .unwrap();
        }
        survey
    }

    /// Points of a sheet in inches from the mark, to the right and upwards, to a hundredth.
    fn inches(sheet: &Sheet, points: &[(f32, f32)]) -> Vec<(f32, f32)> {
        let cross: Vec<&Stroke> = sheet
            .strokes
            .iter()
            .filter(|it| it.ink == Ink::Mark)
            .collect();
        assert_eq!(cross.len(), 2, "a cross");
        let (x, y) = (cross[1].points[0].0, cross[0].points[0].1);
        let to_in = |px: f32| (px / sheet.px_per_in * 100.0).round() / 100.0;
        points
            .iter()
            .map(|p| (to_in(p.0 - x), to_in(y - p.1)))
            .collect()
    }

    /// The lines of an ink that are no hatch, each in inches from the mark.
    fn outlines(sheet: &Sheet, ink: Ink) -> Vec<(Vec<(f32, f32)>, bool)> {
        sheet
            .strokes
            .iter()
            .filter(|it| it.ink == ink && !it.thin)
            .map(|it| (inches(sheet, &it.points), it.closed))
            .collect()
    }

    fn assert_alike(found: &[(f32, f32)], expected: &[(f32, f32)]) {
        let alike = |a: &(f32, f32), b: &(f32, f32)| (a.0 - b.0).hypot(a.1 - b.1) < 0.05;
        assert!(
            found.len() == expected.len()
                && expected.iter().all(|b| found.iter().any(|a| alike(a, b))),
            "{found:?} instead of {expected:?}"
        );
    }

    /// Worked out by hand from the answers of [`sample`]: the hall is 118 in long with its start 60 in behind the mark,
    /// and 48 in wide with its left wall 24 in away; joists 1 1/2 in thick lie every 16 in from 3 in ahead.
    #[test]
    fn the_plan_shows_walls_joists_and_things_where_they_were_measured() {
        let drawing = plan_of(&sample(), None);
        for (width, height) in [(680.0, 700.0), (360.0, 380.0)] {
            let sheet = lay(&drawing, width, height);
            let walls = outlines(&sheet, Ink::Wall);
            assert_eq!(walls.len(), 1, "{walls:?}");
            assert!(walls[0].1, "the whole hall is shown");
            assert_alike(
                &walls[0].0,
                &[(-24.0, -60.0), (24.0, -60.0), (24.0, 58.0), (-24.0, 58.0)],
            );
            // 6 in round the hall are shown, so joists from 61 in behind to 51 in ahead, as long as the plan is wide.
            let mut sides = Vec::new();
            for middle in [-61.0, -45.0, -29.0, -13.0, 3.0, 19.0, 35.0, 51.0] {
                sides.extend([middle - 0.75, middle + 0.75]);
            }
            let joists = outlines(&sheet, Ink::Joist);
            assert_eq!(joists.len(), sides.len());
            for y in sides {
                assert!(
                    joists.iter().any(|(points, closed)| {
                        !closed
                            && points.iter().all(|p| (p.1 - y).abs() < 0.05)
                            && points.iter().any(|p| (p.0 + 30.0).abs() < 0.05)
                            && points.iter().any(|p| (p.0 - 30.0).abs() < 0.05)
                    }),
                    "no joist's side at {y}: {joists:?}"
                );
            }
            // The lamp, 12 in square, 38 in ahead; the stack of 4 in, 36 in behind and 14 in to the left.
            let lamp = outlines(&sheet, Ink::Fixture);
            assert_alike(
                &lamp[0].0,
                &[(-6.0, 32.0), (6.0, 32.0), (6.0, 44.0), (-6.0, 44.0)],
            );
            let stack = outlines(&sheet, Ink::Fixed);
            assert_eq!(stack.len(), 1);
            assert!(stack[0].0.iter().all(|p| {
                let r = (p.0 + 14.0).hypot(p.1 + 36.0);
                (r - 2.0).abs() < 0.1
            }));
        }
        let sheet = lay(&drawing, 680.0, 700.0);
        let mut said: Vec<&str> = sheet
            .texts
            .iter()
            .filter(|it| it.mark != Mark::Number)
            .map(|it| it.text.as_str())
            .collect();
        said.sort_unstable();
        let mut expected = vec!["16\""; 7];
        expected.extend(["hall 118\"", "hall 48\""]);
        assert_eq!(said, expected);
    }

    #[test]
    fn a_hall_that_goes_on_has_no_wall_at_the_frame_and_its_whole_length_in_words() {
        let drawing = plan_of(&long_hall(), None);
        assert!(drawing.goes_on());
        assert!(!plan_of(&sample(), None).goes_on());
        for (width, height) in [(680.0, 700.0), (412.0, 420.0)] {
            let sheet = lay(&drawing, width, height);
            // 6 ft and a margin of 6 in behind the mark the frame cuts it; 71 in ahead it ends.
            let walls = outlines(&sheet, Ink::Wall);
            assert_eq!(walls.len(), 1, "{walls:?}");
            let (points, closed) = &walls[0];
            assert!(!closed);
            assert_alike(
                points,
                &[(24.0, -78.0), (24.0, 71.0), (-24.0, 71.0), (-24.0, -78.0)],
            );
            assert!(
                points[0].1 < 0.0 && points[3].1 < 0.0,
                "open behind: {points:?}"
            );
            // There is a thin line with zigzags instead.
            let broken: Vec<&Stroke> = sheet
                .strokes
                .iter()
                .filter(|it| it.ink == Ink::Wall && it.thin)
                .collect();
            assert_eq!(broken.len(), 1);
            assert!(!broken[0].closed && broken[0].points.len() >= 6);
            let levels = inches(&sheet, &broken[0].points);
            assert!(levels.iter().any(|p| p.1 > -77.9) && levels.iter().any(|p| p.1 < -78.1));
            // A tap in the hall still finds it.
            assert_eq!(
                sheet
                    .areas
                    .iter()
                    .filter(|it| it.ink == Ink::Wall && it.closed)
                    .count(),
                1
            );
            let length = sheet
                .texts
                .iter()
                .find(|it| it.text.ends_with("170\""))
                .expect("the hall's length");
            assert_eq!(length.mark, Mark::DimensionUp);
            // The dimension's line stays on the sheet, with an arrow where it goes on.
            let arrows = sheet
                .strokes
                .iter()
                .filter(|it| it.ink == Ink::Dimension && it.points.len() == 3);
            assert_eq!(arrows.count(), 1);
        }
    }

    #[test]
    fn every_dimension_has_its_words_and_no_number_lies_on_them() {
        let mut lines_in_all = 0;
        for survey in [sample(), long_hall()] {
            for framing in [None, Some(Framing::Cut), Some(Framing::Whole)] {
                let drawing = plan_of(&survey, framing);
                for (width, height) in [
                    (680.0, 700.0),
                    (412.0, 427.0),
                    (360.0, 260.0),
                    (600.0, 300.0),
                    (300.0, 150.0),
                ] {
                    let sheet = lay(&drawing, width, height);
                    let letters = sheet.letters;
                    let (numbers, words): (Vec<&Text>, Vec<&Text>) =
                        sheet.texts.iter().partition(|it| it.mark == Mark::Number);
                    // What is longer than a tick is a dimension's line.
                    let lines: Vec<&Stroke> = sheet
                        .strokes
                        .iter()
                        .filter(|it| it.ink == Ink::Dimension && it.points.len() == 2)
                        .filter(|it| {
                            let (a, b) = (it.points[0], it.points[1]);
                            (a.0 - b.0).hypot(a.1 - b.1) > letters * 0.81
                        })
                        .collect();
                    assert_eq!(lines.len(), words.len(), "{width} x {height}");
                    lines_in_all += lines.len();
                    for line in &lines {
                        let (a, b) = (line.points[0], line.points[1]);
                        let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
                        let long = (a.0 - b.0).hypot(a.1 - b.1);
                        assert!(
                            words.iter().any(|it| {
                                let off = (it.at.0 - middle.0).hypot(it.at.1 - middle.1);
                                off < letters
                                    && sheet::words_width(&it.text, letters) <= long + 0.01
                            }),
                            "no words at {line:?}"
                        );
                    }
                    for text in &words {
                        let half = sheet::words_width(&text.text, letters) / 2.0;
                        let (wide, tall) = match text.mark {
                            Mark::DimensionUp => (letters * 0.55, half),
                            _ => (half, letters * 0.55),
                        };
                        for ring in &numbers {
                            let off = (
                                ((ring.at.0 - text.at.0).abs() - wide).max(0.0),
                                ((ring.at.1 - text.at.1).abs() - tall).max(0.0),
                            );
                            assert!(
                                off.0.hypot(off.1) >= letters * 0.85,
                                "{ring:?} on {text:?}, {width} x {height}"
                            );
                        }
                    }
                }
            }
        }
        assert!(lines_in_all > 100, "{lines_in_all}");
    }

    #[test]
    fn from_near_a_small_drawing_shows_joists_opening_and_the_thing_that_is_entered() {
        let survey = sample();
        let spot = &survey.spots[0];
        // Entered last, 36 in behind the mark.
        let stack = spot.attic.obstructions.items[1].id;
        for framing in Framing::ALL {
            let whole = plan_of(&survey, Some(framing));
            let (width, height) = (360.0, 150.0);
            let near = whole.near(None);
            let sheet = lay(&near, width, height);
            assert!((sheet.width - width).abs() < 0.5, "{}", sheet.width);
            assert!((sheet.height - height).abs() < 0.5, "{}", sheet.height);
            assert!(sheet.px_per_in > 2.0 * lay(&whole, width, height).px_per_in);
            assert!(sheet.texts.is_empty());
            assert!(sheet.strokes.iter().all(|it| it.ink != Ink::Dimension));
            for ink in [Ink::Wall, Ink::Joist, Ink::Opening, Ink::Mark] {
                assert!(sheet.strokes.iter().any(|it| it.ink == ink), "{ink:?}");
            }
            // All of the opening is seen, 30 in to each side of its middle.
            let opening = outlines(&sheet, Ink::Opening);
            assert!(opening.len() == 1 && opening[0].1, "{opening:?}");
            let reach = Length::inches(30);
            for drawing in [&near, &whole.near(Some(stack))] {
                assert!(drawing.low.x <= whole.middle.x - reach);
                assert!(drawing.low.y <= whole.middle.y - reach);
                assert!(drawing.high.x >= whole.middle.x + reach);
                assert!(drawing.high.y >= whole.middle.y + reach);
            }
            let sheet = lay(&whole.near(Some(stack)), width, height);
            let seen = outlines(&sheet, Ink::Fixed);
            assert!(seen.len() == 1 && seen[0].1, "all of it: {seen:?}");
            assert_eq!(sheet.texts.len(), 1, "its own number only");
            assert_eq!(sheet.texts[0].field.and_then(|it| it.item), Some(stack));
        }
        // A long run needs no more room than its nearest foot.
        let duct = spot.attic.obstructions.items[0].id;
        let near = plan_of(&survey, None).near(Some(duct));
        assert!(near.high.x <= Length::inches(48) && near.low.x >= Length::inches(-48));
    }

    #[test]
    fn an_empty_spot_says_what_is_open_and_draws_the_mark() {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
        let spot = &survey.spots[0];
        let scene = Scene::of(spot, generic(), survey.tape);
        let plan = plan(spot.id, &scene, None);
        assert_eq!(plan.open.len(), 3);
        assert!(
            plan.items
                .iter()
                .any(|item| matches!(item.form, Form::Cross(_)))
        );
        let section = section(spot.id, &spot.hall, &spot.attic, &scene, None);
        assert!(section.open.contains(&"the roof's height and slope"));
    }
}
