//! Drawings of a spot from its measurements: the plan and the section.
//!
//! A [`Drawing`] is what is to be seen, in real lengths: lines, areas, numbers, dimensions, each with the [`Ink`]
//! that says what it is and the answer that it hangs on. [`Sheet`] lays it out for a screen or a page at a scale;
//! [`svg`] writes a sheet as SVG for report and job pack, and the window draws the same sheet with its own paths.
//! Meaning is never by colour alone: every ink has its own line or hatch.

mod plan;
mod section;
mod sheet;
pub mod svg;

pub use plan::plan;
pub use section::section;
pub use sheet::{Edge, Fitting, Mark, Sheet, Stroke, Text, hatched};

use crate::measure::Length;
use crate::rules::Say;
use crate::survey::FieldRef;

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
            Ink::Block => "Block, side piece or packing",
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
        /// Where.
        at: At,
        /// The number.
        number: usize,
        /// Whether it stands beside that place, not on it.
        beside: bool,
    },
    /// A dimension beside the drawing.
    Dimension {
        /// Beside which edge of the drawing.
        edge: Edge,
        /// How far out: 0 is nearest to the drawing.
        lane: u8,
        /// From here along the edge.
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
        }
    }

    /// What is drawn, each ink once: the lines of a legend.
    pub fn inks(&self) -> Vec<Ink> {
        let mut inks: Vec<Ink> = Vec::new();
        for item in &self.items {
            let drawn = !matches!(item.form, Form::Number { .. } | Form::Dimension { .. });
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

    pub(crate) fn number(&mut self, place: At, beside: bool, say: Say, field: Option<FieldRef>) {
        let number = self.key.len() + 1;
        self.key.push(KeyLine { number, say, field });
        let place = at(
            place.x.max(self.low.x).min(self.high.x),
            place.y.max(self.low.y).min(self.high.y),
        );
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
    use crate::measure::Tape;
    use crate::rules::Scene;
    use crate::rules::scene::Placed;
    use crate::rules::{Framing, assess};
    use crate::survey::{Survey, Ways};
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;

    /// A hall 42 in wide with joists across it, a duct, a vent stack and a lamp.
    fn sample() -> Survey {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let mut survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
        let spot = survey.spots[0].id;
        let ways = Ways::default();
        for (field, text) in [
            ("hall.length", "118"),
            ("hall.width", "48"),
            ("hall.mark_from_start", "60"),
            ("hall.mark_from_left", "24"),
            ("hall.ceiling_thickness", "5/8"),
            ("attic.framing", "sawn joists"),
            ("attic.joist_run", "across the hall"),
            ("attic.joists_even", "yes"),
            ("attic.joist_spacing", "16"),
            ("attic.nearest_joist", "3"),
            ("attic.nominal_size", "2x6"),
            ("attic.bearing_span", "96"),
            ("attic.mark_from_bearing", "48"),
            ("attic.joist_depth", "5 1/2"),
            ("attic.roof_height", "46"),
            ("attic.roof_fall", "left"),
            ("attic.roof_slope", "5"),
            ("attic.ridge_distance", "30"),
            ("attic.insulation_depth", "8"),
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
            "attic.obstructions",
            "attic.obstructions.complete",
            &[
                ("obstruction.kind", "duct"),
                ("obstruction.shape", "run"),
                ("obstruction.ahead", "34"),
                ("obstruction.left", "-40"),
                ("obstruction.to_ahead", "30"),
                ("obstruction.to_left", "44"),
                ("obstruction.diameter", "8"),
                ("obstruction.bottom", "2"),
                ("obstruction.top", "10"),
                ("obstruction.mover", "duct fitter"),
            ],
        );
        add(
            "attic.obstructions",
            "attic.obstructions.complete",
            &[
                ("obstruction.kind", "pipe"),
                ("obstruction.shape", "upright"),
                ("obstruction.ahead", "-36"),
                ("obstruction.left", "14"),
                ("obstruction.diameter", "4"),
                ("obstruction.bottom", "-6"),
                ("obstruction.top", "50"),
                ("obstruction.mover", "nobody"),
            ],
        );
        add(
            "hall.fixtures",
            "hall.fixtures.complete",
            &[
                ("fixture.kind", "light"),
                ("fixture.ahead", "38"),
                ("fixture.left", "0"),
                ("fixture.size_along", "12"),
                ("fixture.size_across", "12"),
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
