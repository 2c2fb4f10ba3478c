//! What follows from a verdict: the opening's layout, cut list, boards to buy, materials, and the sheets for those
//! who do the work.
//!
//! * [`mod@layout`] — where to drill, what to cut, and each piece of wood in its place.
//! * [`cutlist`] — each piece of wood with its size, length, angle and use.
//! * [`boards`] — which boards to buy for a cut list, with the least bought in all.
//! * [`mod@materials`] — fasteners, hangers, foam, dam and patches.
//! * [`steps`] — the order of work.
//! * [`check`] — whether what is printed can be built.
//! * [`mod@wiring`] — cable, box and switch.
//! * [`vents`] — vents to add, by kind and count.
//! * `price` — what a job costs by the office's price list (with the `office` feature).
//! * [`figures`] — a finding's figures as people read them.
//! * `sheets` — a sheet for each who needs one, as HTML and as PDF (with the `office` feature).
//!
//! A job begins with a judged survey, one of its spots, one fan and one way of framing. Where that does not fit, or is
//! not settled, there is no [`Plan`], and every sheet says so.

pub mod boards;
pub mod check;
pub mod cutlist;
pub mod figures;
pub mod layout;
pub mod materials;
#[cfg(feature = "office")]
pub mod price;
#[cfg(feature = "office")]
pub mod sheets;
pub mod steps;
pub mod vents;
pub mod wiring;

use crate::house::scene::{Placed, Scene};
use crate::measure::{Figure, Length};
use crate::need::Need;
use crate::rules::fan_choice::ranked;
use crate::rules::{Assessment, Choice, Finding, Framing, Outcome, SpotAssessment, Verdict};
use crate::survey::{FieldRef, FramingKind, ItemId, NominalSize, Spot, Survey, attic};
use crate::trade::fan::{Fan, FanList};
use crate::trade::insulation_clearance::dam_over_joists;
use crate::trade::opening_frame::Plies;
use crate::trade::placement::{Place, Which};
use crate::trade::section::{Nominal, Section};
use cutlist::CutList;
use layout::{Along, FramePlies, Joists, Layout, OnCeiling, layout};
use materials::{Materials, materials};
use steps::Step;
use vents::{Gap, vents_to_add};
use wiring::{Wiring, wiring};

/// One fan at one spot, framed one way.
#[derive(Debug, Clone)]
pub struct Job<'a> {
    /// The survey.
    pub survey: &'a Survey,
    /// What it came to.
    pub assessment: &'a Assessment,
    /// The spot.
    pub spot: &'a Spot,
    /// What the spot came to.
    pub judged: &'a SpotAssessment,
    /// The fan and framing, judged.
    pub choice: &'a Choice,
    /// The fan.
    pub fan: &'a Fan,
    /// The spot in the mark's frame.
    pub scene: Scene,
    /// Where the opening goes, where a place was found.
    pub place: Option<Place>,
    /// What is built; none where it does not fit, or is not settled.
    pub plan: Option<Plan>,
}

/// What is built.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Where to drill and cut, and each piece in its place.
    pub layout: Layout,
    /// The pieces, and boards for them.
    pub cut_list: CutList,
    /// The same for the quiet box, which may be left out.
    pub quiet_box: CutList,
    /// Fasteners and the rest.
    pub materials: Materials,
    /// Cable, box and switch.
    pub wiring: Wiring,
    /// Vents to add.
    pub vents: Vec<Gap>,
    /// The work, in order.
    pub steps: Vec<Step>,
    /// Smoke alarms that stand too near to the shutter, and how near.
    pub alarms: Vec<(ItemId, Length)>,
}

/// Why there is no such job.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum JobError {
    /// The survey has no spot.
    #[error("The survey has no spot.")]
    NoSpot,
    /// No such spot.
    #[error("The survey has no spot number {number}; it has {spots}.")]
    NoSuchSpot {
        /// The number asked for, from 1.
        number: usize,
        /// How many there are.
        spots: usize,
    },
    /// No such fan.
    #[error("The fan list has no fan “{id}”; it has: {known}.")]
    NoSuchFan {
        /// The id asked for.
        id: String,
        /// The ids that there are.
        known: String,
    },
}

/// Which spot, fan and framing; what is left open is chosen as the office would offer it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Chosen {
    /// The spot's number in the survey, from 1; else the first of the best.
    pub spot: Option<usize>,
    /// The fan's id; else the best.
    pub fan: Option<String>,
    /// The framing; else the best.
    pub framing: Option<Framing>,
}

impl<'a> Job<'a> {
    /// The job that was chosen.
    ///
    /// # Errors
    /// Where there is no such spot or fan.
    pub fn new(
        survey: &'a Survey,
        fans: &'a FanList,
        assessment: &'a Assessment,
        chosen: &Chosen,
    ) -> Result<Self, JobError> {
        let spots = &assessment.spots;
        let judged =
            match chosen.spot {
                Some(number) => number.checked_sub(1).and_then(|at| spots.get(at)).ok_or(
                    JobError::NoSuchSpot {
                        number,
                        spots: spots.len(),
                    },
                )?,
                // The first of the best.
                None => spots
                    .iter()
                    .rev()
                    .max_by_key(|spot| spot.verdict)
                    .ok_or(JobError::NoSpot)?,
            };
        let no_fan = |id: &str| JobError::NoSuchFan {
            id: id.to_owned(),
            known: fans
                .fans
                .iter()
                .map(|fan| fan.id.as_str())
                .collect::<Vec<_>>()
                .join(", "),
        };
        if let Some(id) = &chosen.fan
            && !judged.choices.iter().any(|it| it.fan == *id)
        {
            return Err(no_fan(id));
        }
        let wanted = |it: &&Choice| {
            chosen.fan.as_ref().is_none_or(|id| it.fan == *id)
                && chosen.framing.is_none_or(|framing| it.framing == framing)
        };
        // Of what is left open, the best as the office ranks them.
        let choice = ranked(judged)
            .into_iter()
            .map(|it| it.choice)
            .find(wanted)
            .ok_or_else(|| no_fan(chosen.fan.as_deref().unwrap_or("")))?;
        let fan = fans
            .fans
            .iter()
            .find(|fan| fan.id == choice.fan)
            .ok_or_else(|| no_fan(&choice.fan))?;
        let spot = survey.spot(judged.spot).ok_or(JobError::NoSpot)?;
        let scene = Scene::of(spot, fans, survey.tape);
        let place = match scene.place(fan, choice.framing) {
            Placed::Found { place, .. } => Some(place),
            Placed::Nowhere(_) | Placed::Unknown => None,
        };
        let mut job = Job {
            survey,
            assessment,
            spot,
            judged,
            choice,
            fan,
            scene,
            place,
            plan: None,
        };
        job.plan = job.plan();
        Ok(job)
    }

    /// The best other fan at this spot that fits too, as the office ranks them.
    pub fn runner_up(&self) -> Option<&'a str> {
        let fits = |it: &&Choice| {
            it.fan != self.fan.id && matches!(it.verdict, Verdict::Fits | Verdict::FitsWithWork)
        };
        let mut all = ranked(self.judged).into_iter().map(|it| it.choice);
        all.find(fits).map(|it| it.fan.as_str())
    }

    /// Every finding that bears on it.
    pub fn findings(&self) -> impl Iterator<Item = &'a Finding> + use<'a> {
        self.assessment.bearing_on(self.judged, self.choice)
    }

    /// The findings with this outcome.
    pub fn that(&self, outcome: Outcome) -> impl Iterator<Item = &'a Finding> + use<'a> {
        self.findings().filter(move |it| it.outcome == outcome)
    }

    /// The finding of this rule.
    pub fn finding(&self, rule: &str) -> Option<&'a Finding> {
        self.findings().find(|it| it.rule == rule)
    }

    /// What is to be done, in typed amounts, each thing once.
    pub fn needs(&self) -> impl Iterator<Item = &'a Need> + use<'a> {
        self.choice
            .work
            .iter()
            .filter_map(|task| task.need.as_ref())
    }

    /// One figure of one rule, in this unit.
    pub fn figure(&self, rule: &str, name: &str, unit: &str) -> Option<f64> {
        let figures: &[Figure] = &self.finding(rule)?.figures;
        let figure = figures.iter().find(|it| it.name == name)?;
        debug_assert_eq!(figure.unit, unit, "{rule}: {name}");
        (figure.unit == unit).then_some(figure.value)
    }

    /// The answers still missing, each once.
    pub fn missing(&self) -> Vec<FieldRef> {
        let mut all: Vec<FieldRef> = Vec::new();
        for at in self.findings().flat_map(|it| &it.missing) {
            if !all.contains(at) {
                all.push(*at);
            }
        }
        all
    }

    /// Whether there is something to build.
    pub fn fits(&self) -> bool {
        matches!(self.choice.verdict, Verdict::Fits | Verdict::FitsWithWork)
    }

    /// The mark, from the reference corner.
    pub fn mark(&self) -> Option<OnCeiling> {
        Some(OnCeiling {
            from_start: self.spot.hall.mark_from_start?.length(),
            from_left: self.spot.hall.mark_from_left?.length(),
        })
    }

    /// A joist's section.
    pub fn section(&self) -> Option<Section> {
        let attic = &self.spot.attic;
        Some(Section::dressed(match attic.nominal_size? {
            NominalSize::TwoByFour => Nominal::TwoByFour,
            NominalSize::TwoBySix => Nominal::TwoBySix,
            NominalSize::TwoByEight => Nominal::TwoByEight,
            NominalSize::TwoByTen => Nominal::TwoByTen,
            NominalSize::TwoByTwelve => Nominal::TwoByTwelve,
            NominalSize::Other => {
                let (thick, deep) = (attic.joist_thickness?, attic.joist_depth?);
                return Section::measured(thick.length(), deep.length()).ok();
            }
        }))
    }

    /// The joists, as the layout needs them.
    fn joists(&self) -> Option<Joists> {
        let attic = &self.spot.attic;
        let section = self.section()?;
        let along = attic
            .bearing_span
            .zip(attic.mark_from_bearing)
            .map(|(span, mark)| Along {
                span: span.length(),
                mark: mark.length(),
                bearing: attic.bearing_length.map_or(Length::ZERO, |it| it.length()),
            });
        Some(Joists {
            axis: self.scene.axis.known?,
            thickness: section.breadth(),
            depth: section.depth(),
            sawn: attic.framing == Some(FramingKind::SawnJoists),
            offsets: self.scene.joists.known.as_ref()?.offsets.clone(),
            along,
        })
    }

    /// How many pieces the strength rules give the members.
    fn plies(&self) -> FramePlies {
        let of = |name| match self.figure("joist-strength", name, "") {
            Some(pieces) if pieces > 1.0 => Plies::Double,
            _ => Plies::Single,
        };
        let joists = of("pieces in each joist");
        FramePlies {
            headers: of("pieces in each header"),
            trimmers: of("pieces in each trimmer").max(joists),
        }
    }

    /// How far insulation rises over the joists.
    pub fn insulation_over_joists(&self) -> Option<Length> {
        let depth = self.spot.attic.insulation_depth?.length();
        Some(dam_over_joists(depth, self.section()?.depth()))
    }

    /// Sizes of the holes that things moved off the ceiling leave, down the hall and across it.
    fn holes_left(&self, place: &Place) -> Vec<(Length, Length)> {
        let mut items: Vec<ItemId> = Vec::new();
        let mut sizes = Vec::new();
        for moved in &place.moves {
            let Which::OnCeiling(number) = moved.which else {
                continue;
            };
            if let Some(thing) = self.scene.ceiling.known.get(number)
                && !items.contains(&thing.id)
            {
                items.push(thing.id);
                sizes.push((thing.ahead.length(), thing.left.length()));
            }
        }
        sizes
    }

    /// The answers without which nothing can be laid out, beyond those that the rules ask for.
    pub fn lacking(&self) -> Vec<FieldRef> {
        let attic = &self.spot.attic;
        let other = attic.nominal_size == Some(NominalSize::Other);
        [
            (attic::NOMINAL_SIZE.id, attic.nominal_size.is_none()),
            (
                attic::JOIST_THICKNESS.id,
                other && attic.joist_thickness.is_none(),
            ),
            (attic::JOIST_DEPTH.id, other && attic.joist_depth.is_none()),
        ]
        .into_iter()
        .filter(|(_, lacks)| *lacks)
        .map(|(field, _)| FieldRef::spot(field, self.spot.id))
        .collect()
    }

    fn plan(&self) -> Option<Plan> {
        if !self.fits() {
            return None;
        }
        let (place, joists) = (self.place.as_ref()?, self.joists()?);
        let section = self.section()?;
        let mut layout = layout(
            self.mark()?,
            &joists,
            self.fan,
            self.choice.framing,
            place,
            self.plies(),
        );
        if let Some(height) = self.insulation_over_joists()
            && height > Length::ZERO
        {
            layout.add_dam(height);
        }
        let materials = materials(
            &layout,
            self.fan,
            self.figure("joist-strength", "16d common nails at each header end", "")
                .map(|count| count as u32),
            self.insulation_over_joists(),
            &self.holes_left(place),
        );
        Some(Plan {
            cut_list: CutList::of(&layout.pieces, section),
            quiet_box: CutList::of(&layout.quiet_box, section),
            materials,
            steps: steps::in_order(&layout),
            alarms: check::alarms_near(self.spot, &layout),
            wiring: wiring(self),
            vents: vents_to_add(self),
            layout,
        })
    }
}
