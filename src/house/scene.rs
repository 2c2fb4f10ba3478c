//! A spot as one scene: hall, joists, roof and what stands in the way, all in the mark's frame.
//!
//! It is made once a spot and handed to every rule, so that a rule neither reads the same forty answers again nor
//! forgets one of them: each part carries the answers that it comes from, for the rule's record.

use super::Framing;
use super::answers::Run as Answered;
use crate::measure::{Length, Reading, Tape};
use crate::say::Say;
use crate::survey::{
    Field, FieldRef, Fixture, FixtureKind, FlueKind, FramingKind, ItemId, JoistRun, List, Mover,
    NominalSize, Obstruction, ObstructionKind, RoofFall, Shape, Spot, SpotSection, attic, fixture,
    hall, joist, obstruction,
};
use crate::trade::clearance::{ALARM_FROM_OPENING, Hot};
use crate::trade::fan::{Fan, FanList};
use crate::trade::frame_strength::{Extra, Timber};
use crate::trade::opening_frame::Plies;
use crate::trade::placement::{
    self, Axis, InAttic, Manner, Move, OnCeiling, Place, Placing, Site, Which, Why, Work,
};
use crate::trade::roof::{Fall, Roof, Slope};
use crate::trade::sizing::hung_on_trimmers;
use crate::trade::solid::{Block, Point, Post, Run, Solid, Span};

/// The answers that a part of the scene comes from, while they are asked.
#[derive(Debug, Default)]
struct Asked {
    given: Vec<FieldRef>,
    missing: Vec<FieldRef>,
}

impl Asked {
    fn note(&mut self, at: FieldRef, given: bool) {
        if given {
            self.given.push(at);
        } else {
            self.missing.push(at);
        }
    }

    fn get<R: SpotSection, T: Copy>(&mut self, spot: &Spot, field: Field<R, T>) -> Option<T> {
        let answer = field.read(R::of(spot)).copied();
        self.note(field.at(spot.id), answer.is_some());
        answer
    }

    fn length<R: SpotSection>(&mut self, spot: &Spot, field: Field<R, Reading>) -> Option<Length> {
        self.get(spot, field).map(Reading::length)
    }

    /// What it is, which decides how far wood stays away from it.
    fn kind_of(&mut self, spot: &Spot, it: &Obstruction) {
        if it.kind.is_none() {
            self.note(obstruction::KIND.at(spot.id).item(it.id), false);
        }
        if it.kind == Some(ObstructionKind::Flue) && it.flue.is_none() {
            self.note(obstruction::FLUE.at(spot.id).item(it.id), false);
        }
    }

    fn complete<R: SpotSection, I>(&mut self, spot: &Spot, list: List<R, I>) {
        let complete = list.read(R::of(spot)).complete;
        self.note(list.complete_at(spot.id), complete);
    }
}

/// The answers that a part of the scene comes from, to be named by many findings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Noted {
    /// Those that are given.
    pub given: Answered,
    /// Those that are missing.
    pub missing: Answered,
}

impl From<Asked> for Noted {
    fn from(asked: Asked) -> Self {
        Noted {
            given: asked.given.into(),
            missing: asked.missing.into(),
        }
    }
}

/// One part of the scene.
#[derive(Debug, Clone, PartialEq)]
pub struct Part<T> {
    /// The part, where every answer that it needs is given and they agree.
    pub known: Option<T>,
    /// The answers it comes from.
    pub asked: Noted,
    /// Which given answers cannot both be right; then it must be measured again, whatever is still missing.
    pub clash: Option<Say>,
}

/// The hall's ceiling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HallPlan {
    /// From the wall behind to the wall ahead.
    pub ahead: Span,
    /// From the right wall to the left wall.
    pub left: Span,
}

/// The joists over a spot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joists {
    /// The middle of each joist from the mark, across the joists, in order; even ones are continued over the hall.
    pub offsets: Vec<Length>,
    /// The spacing where they are even.
    pub spacing: Option<Length>,
}

/// Something in the attic.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Obstacle {
    /// Its name in the survey.
    pub id: ItemId,
    /// What it is, where that was said.
    pub kind: Option<ObstructionKind>,
    /// Its shape and place.
    pub solid: Solid,
    /// What stays away from it, where it is hot.
    pub hot: Option<Hot>,
    /// Who could move it: whoever its kind asks for at the least, or who was said where that is more. `None` where it
    /// may still turn out that nobody can.
    pub mover: Option<Mover>,
}

/// Who moves such a thing at the least (a truss web: nobody without the truss's designer, IRC R802.10.4; whoever is
/// licensed for flues, gas and wires; else common practice, no source).
fn least_mover(kind: Option<ObstructionKind>, framing: Option<FramingKind>) -> Mover {
    use ObstructionKind as Kind;
    match kind {
        Some(Kind::TrussWeb) => Mover::Nobody,
        Some(Kind::Brace) if framing == Some(FramingKind::Trusses) => Mover::Nobody,
        Some(Kind::Brace | Kind::RoofStrut | Kind::CollarTie | Kind::Strongback) => Mover::Engineer,
        Some(Kind::Flue | Kind::GasPipe | Kind::Appliance) => Mover::Technician,
        Some(Kind::Wire | Kind::RecessedLight) => Mover::Electrician,
        Some(Kind::Pipe) => Mover::Plumber,
        Some(Kind::Duct) => Mover::DuctFitter,
        Some(Kind::Other) | None => Mover::Anybody,
    }
}

/// How much it takes to be allowed to move something.
fn rank(mover: Mover) -> u8 {
    match mover {
        Mover::Anybody => 0,
        Mover::Electrician | Mover::Plumber | Mover::DuctFitter => 1,
        Mover::Technician => 2,
        Mover::Engineer => 3,
        Mover::Nobody => 4,
    }
}

/// Who moves something of this kind where this was said: that can raise what the kind asks for, never lower it.
fn mover(least: Mover, said: Option<Mover>) -> Option<Mover> {
    match said {
        _ if least == Mover::Nobody => Some(least),
        Some(said) if rank(said) > rank(least) => Some(said),
        Some(_) => Some(least),
        None => None,
    }
}

/// What wood keeps away from in a thing of this kind, where that is known.
fn hot(kind: Option<ObstructionKind>, flue: Option<FlueKind>) -> Option<Hot> {
    match kind? {
        ObstructionKind::Flue => Some(match flue? {
            FlueKind::TypeB => Hot::TypeB,
            FlueKind::TypeL => Hot::TypeL,
            FlueKind::SingleWall => Hot::SingleWall,
            FlueKind::StovePipe => Hot::StovePipe,
            FlueKind::FactoryChimney => Hot::FactoryChimney,
            FlueKind::Masonry => Hot::Masonry,
            FlueKind::Plastic => Hot::PlasticVent,
            FlueKind::Unknown => Hot::UnknownFlue,
        }),
        ObstructionKind::RecessedLight => Some(Hot::RecessedLight),
        ObstructionKind::Appliance => Some(Hot::Equipment),
        _ => None,
    }
}

/// Whether it is known how far wood stays away from it: what it is, and of a flue which kind.
fn is_told(it: &Obstruction) -> bool {
    match it.kind {
        None => false,
        Some(ObstructionKind::Flue) => it.flue.is_some(),
        Some(_) => true,
    }
}

/// Something on the hall ceiling.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CeilingThing {
    /// Its name in the survey.
    pub id: ItemId,
    /// What it is, where that was said.
    pub kind: Option<FixtureKind>,
    /// Its extent down the hall.
    pub ahead: Span,
    /// Its extent across the hall.
    pub left: Span,
}

impl CeilingThing {
    /// Who moves such a thing (common practice, no source); `None` where its kind was not said.
    pub fn mover(&self) -> Option<Mover> {
        self.kind.map(|kind| match kind {
            FixtureKind::Light
            | FixtureKind::SmokeAlarm
            | FixtureKind::PaddleFan
            | FixtureKind::Speaker => Mover::Electrician,
            FixtureKind::Register => Mover::DuctFitter,
            FixtureKind::Hatch
            | FixtureKind::Skylight
            | FixtureKind::OldOpening
            | FixtureKind::Other => Mover::Nobody,
        })
    }

    /// Whether joists end at it.
    fn cuts_joists(&self) -> bool {
        matches!(
            self.kind,
            Some(FixtureKind::Hatch | FixtureKind::Skylight | FixtureKind::OldOpening)
        )
    }

    /// How far it stays from the fan's opening.
    fn from_opening(&self) -> Length {
        match self.kind {
            Some(FixtureKind::SmokeAlarm) => ALARM_FROM_OPENING,
            _ => Length::ZERO,
        }
    }
}

/// A list's things as far as they are measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Things<T> {
    /// Those whose shape and place are known and which could be in the way.
    pub known: Vec<T>,
    /// The answers that decide where such things are: that the list is all of them, and every hole in an item.
    pub asked: Noted,
    /// Who could move those that are in `known` without an answer to it.
    pub movers_missing: Answered,
    /// Which given answers cannot both be right.
    pub clash: Option<Say>,
}

/// What came of looking for a place for one fan and way of framing.
#[derive(Debug, Clone, PartialEq)]
pub enum Placed {
    /// It goes here. Where the place has moves, that is what must be moved first, and somebody can.
    Found {
        /// The best place.
        place: Place,
        /// The best of other kinds: with other joists cut, or with the shutter turned half a turn.
        others: Vec<Place>,
    },
    /// It goes nowhere, whatever the missing answers turn out to be.
    Nowhere(Nowhere),
    /// Answers that decide it are missing.
    Unknown,
}

/// Why an opening goes nowhere.
#[derive(Debug, Clone, PartialEq)]
pub struct Nowhere {
    /// Why, in a sentence.
    pub why: Say,
    /// By how much it misses, where that is a length.
    pub by: Option<Length>,
    /// Whether it misses by no more than the tape's tolerance, or answers contradict each other.
    pub measure_again: bool,
    /// The least change that would make a place: what would have to be moved there, some of which nobody can.
    pub closest: Option<Place>,
}

impl Placed {
    /// The place, where one was found.
    pub fn found(&self) -> Option<&Place> {
        match self {
            Placed::Found { place, .. } => Some(place),
            _ => None,
        }
    }
}

/// One spot in the mark's frame: *ahead* down the hall, *left* of it, *up* from the top of the joists.
#[derive(Debug, Clone)]
pub struct Scene {
    /// The hall's walls.
    pub hall: Part<HallPlan>,
    /// The axis along which the joists run.
    pub axis: Part<Axis>,
    /// The joists' places.
    pub joists: Part<Joists>,
    /// The thickness of a joist.
    pub thickness: Part<Length>,
    /// Where sawn joists bear, on their own axis; of no account for other framing, which is never cut.
    pub bearings: Part<Option<Span>>,
    /// The roof.
    pub roof: Part<Roof>,
    /// What is in the way in the attic.
    pub obstacles: Things<Obstacle>,
    /// What is on the ceiling.
    pub ceiling: Things<CeilingThing>,
    /// What the place of an opening hangs on, joists cut or left whole.
    place_asked: [Vec<Noted>; 2],
    /// Length and width of the hall as far as they are given.
    hall_size: (Option<Length>, Option<Length>),
    /// The hall as a site for an opening, with all that is known so far.
    site: Option<Site>,
    /// How far the tape may be off.
    tolerance: Length,
}

/// How many divisions of the tape a difference of two readings may be off.
const READINGS: i64 = 2;

/// The least spacing that joists can have; a smaller one was misread.
const LEAST_SPACING: Length = Length::inches(3);
/// How far even joists are continued where the hall's size is not known.
const FAR: Length = Length::feet(15);

fn again(text: &'static str) -> Say {
    Say::new(text)
}

impl Scene {
    /// The spot as a scene, for choosing among these fans: what lies beyond the reach of every one of them is
    /// left out, and its holes with it.
    pub fn of(spot: &Spot, fans: &FanList, tape: Tape) -> Scene {
        let hall = hall(spot);
        let axis = axis(spot);
        let joists = joists(spot, &hall, &axis);
        let thickness = thickness(spot);
        let bearings = bearings(spot);
        let roof = roof(spot);
        let reach = Reach::of(fans, hall.known);
        let obstacles = obstacles(spot, &reach);
        let ceiling = ceiling(spot, &hall);
        let whole = vec![
            hall.asked.clone(),
            axis.asked.clone(),
            joists.asked.clone(),
            roof.asked.clone(),
            obstacles.asked.clone(),
            ceiling.asked.clone(),
        ];
        let mut cut = whole.clone();
        cut.push(thickness.asked.clone());
        cut.push(bearings.asked.clone());
        let length = |reading: Option<Reading>| reading.map(Reading::length);
        let site = hall.known.zip(axis.known).map(|(plan, axis)| {
            let movable = |mover: Option<Mover>| mover.map(|it| it != Mover::Nobody);
            let known = joists.known.as_ref();
            Site::new(
                axis,
                plan.ahead,
                plan.left,
                placement::Joists {
                    at: known.map(|it| it.offsets.clone()).unwrap_or_default(),
                    thickness: thickness.known,
                    bearings: bearings.known.flatten(),
                    holes: ceiling
                        .known
                        .iter()
                        .filter(|it| it.cuts_joists())
                        .map(|it| placement::Hole {
                            ahead: it.ahead,
                            left: it.left,
                        })
                        .collect(),
                    under_struts: under_struts(&obstacles.known, known, axis, thickness.known),
                },
                roof.known,
                obstacles.known.iter().map(|it| InAttic {
                    solid: it.solid,
                    movable: movable(it.mover),
                    clear: it.hot.map_or(Length::ZERO, Hot::clearance),
                }),
                ceiling.known.iter().map(|it| OnCeiling {
                    ahead: it.ahead,
                    left: it.left,
                    movable: movable(it.mover()),
                    from_opening: it.from_opening(),
                }),
            )
        });
        Scene {
            hall,
            axis,
            joists,
            thickness,
            bearings,
            roof,
            obstacles,
            ceiling,
            place_asked: [cut, whole],
            hall_size: (length(spot.hall.length), length(spot.hall.width)),
            site,
            tolerance: tape.division() * READINGS,
        }
    }

    /// The answers that the place of an opening hangs on; who moves things in the way aside.
    pub fn place_asked(&self, framing: Framing) -> &[Noted] {
        match framing {
            Framing::Cut => &self.place_asked[0],
            Framing::Whole => &self.place_asked[1],
        }
    }

    /// The answers still missing on who could move what may be in the way.
    pub fn movers_missing(&self) -> [&Answered; 2] {
        [&self.obstacles.movers_missing, &self.ceiling.movers_missing]
    }

    /// The joists that carry their ceiling alone: no opening cuts them, no roof strut stands on them.
    pub fn sound_joists(&self) -> Vec<Length> {
        self.site.as_ref().map(Site::sound).unwrap_or_default()
    }

    /// The hot things within reach, and how far wood keeps from each.
    pub fn hot_things(&self) -> impl Iterator<Item = (Hot, Length)> {
        let hot = self.obstacles.known.iter().filter_map(|it| it.hot);
        hot.map(|hot| (hot, hot.clearance()))
    }

    /// Whether what must be moved is hot.
    pub fn is_hot(&self, it: &Move) -> bool {
        matches!(it.which, Which::InAttic(number) if self.obstacles.known[number].hot.is_some())
    }

    /// What is in the way at this place besides what must be moved for it anyway, with such work done and, where told,
    /// so many pieces in headers and trimmers.
    pub fn further_moves(
        &self,
        fan: &Fan,
        framing: Framing,
        place: &Place,
        work: &Work,
        pieces: Option<(Plies, Plies)>,
    ) -> Vec<Move> {
        let Some(site) = &self.site else {
            return Vec::new();
        };
        let mut moves = site.moves_at(fan, manner(framing), place, work, pieces);
        moves.retain(|it| place.moves.iter().all(|had| had.which != it.which));
        moves
    }

    /// The thing on the ceiling that an opening in the joists is.
    pub fn opening(&self, number: usize) -> Option<&CeilingThing> {
        let openings = self.ceiling.known.iter().filter(|it| it.cuts_joists());
        openings.skip(number).next()
    }

    /// What openings that are already there hang on joists of this wood.
    pub fn hung_on_joists(&self, timber: &Timber, bearings: Span) -> Vec<Extra> {
        let gaps = self.site.iter().flat_map(Site::gaps);
        gaps.flat_map(|(cut, trimmers, hole)| {
            hung_on_trimmers(timber, bearings, hole, trimmers, cut)
        })
        .collect()
    }

    /// How far two readings of the tape may be off together.
    pub fn tolerance(&self) -> Length {
        self.tolerance
    }

    /// Looks for a place for this fan, framed so.
    pub fn place(&self, fan: &Fan, framing: Framing) -> Placed {
        if let Some(nowhere) = self.contradiction(framing).or_else(|| self.too_small(fan)) {
            return Placed::Nowhere(nowhere);
        }
        let Some(site) = &self.site else {
            return Placed::Unknown;
        };
        let manner = manner(framing);
        if self.joists.known.is_none()
            || (framing == Framing::Cut && self.thickness.known.is_none())
        {
            return match site.walls_and_roof(fan) {
                Ok(()) => Placed::Unknown,
                Err(why) => Placed::Nowhere(self.nowhere(why, None)),
            };
        }
        // What is missing can only take places away, so that none now is none at last.
        let work = Work {
            tolerance: self.tolerance,
            ..Work::default()
        };
        match site.place(fan, manner, &work) {
            Placing::Nowhere { why, closest } => Placed::Nowhere(self.nowhere(why, closest)),
            Placing::Found { place, others } => {
                let all_known = self
                    .place_asked(framing)
                    .iter()
                    .all(|it| it.missing.is_empty());
                let movers_known = self.movers_missing().iter().all(|it| it.is_empty());
                if all_known && (place.moves.is_empty() || movers_known) {
                    Placed::Found { place, others }
                } else {
                    Placed::Unknown
                }
            }
        }
    }

    fn contradiction(&self, framing: Framing) -> Option<Nowhere> {
        let (thickness, bearings) = match framing {
            Framing::Cut => (self.thickness.clash.as_ref(), self.bearings.clash.as_ref()),
            Framing::Whole => (None, None),
        };
        let clash = [
            self.hall.clash.as_ref(),
            self.joists.clash.as_ref(),
            thickness,
            bearings,
            self.roof.clash.as_ref(),
            self.obstacles.clash.as_ref(),
            self.ceiling.clash.as_ref(),
        ]
        .into_iter()
        .flatten()
        .next()?;
        Some(Nowhere {
            why: Say::new("Measure again: {what}").with("what", clash.clone()),
            by: None,
            measure_again: true,
            closest: None,
        })
    }

    /// Where hall or roof are too small for the fan, whatever else is missing.
    fn too_small(&self, fan: &Fan) -> Option<Nowhere> {
        let short = |size: Option<Length>, need: Length| size.map(|size| need - size);
        let (length, width) = self.hall_size;
        let lying = |along: Option<Length>, across: Option<Length>| {
            short(along, fan.shutter.length).max(short(across, fan.shutter.width))
        };
        // For joists along the hall and for joists across it.
        let (along, across) = (lying(length, width), lying(width, length));
        let by = match self.axis.known {
            Some(Axis::Ahead) => along,
            Some(Axis::Left) => across,
            None => along.min(across),
        };
        if let Some(by) = by.filter(|by| *by > Length::ZERO) {
            return Some(self.nowhere(Why::Hall { by }, None));
        }
        let height = fan.clear_space().height.max(fan.frame.height);
        let by = height - self.roof.known?.peak();
        (by > Length::ZERO).then(|| self.nowhere(Why::Roof { by }, None))
    }

    fn nowhere(&self, why: Why, closest: Option<Place>) -> Nowhere {
        let (say, by) = match why {
            Why::Hall { by } => (
                Say::new("The shutter is {by} too large for the hall's ceiling.").with("by", by),
                Some(by),
            ),
            Why::Bearings { by } => (
                Say::new(
                    "Between the joists' bearings the opening with its headers lacks {by} within the hall.",
                )
                .with("by", by),
                Some(by),
            ),
            Why::Roof { by } => (
                Say::new("The roof is {by} too low for the fan everywhere over the hall.")
                    .with("by", by),
                Some(by),
            ),
            Why::Joists { by: Some(by) } => (
                Say::new(
                    "No joist lies right for it within walls and roof; the nearest misses by {by}.",
                )
                .with("by", by),
                Some(by),
            ),
            Why::Joists { by: None } => (
                Say::new("Measure again: no joist is listed on one side of wherever it could go."),
                None,
            ),
            Why::Broken => (
                Say::new(
                    "Wherever it could go, it meets a joist that a hatch or an older opening cuts, or that a roof strut stands on.",
                ),
                None,
            ),
            Why::InTheWay => (
                Say::new("Wherever it could go, something is in the way that nobody can move."),
                closest.as_ref().and_then(|place| {
                    place
                        .moves
                        .iter()
                        .filter(|it| it.movable == Some(false))
                        .map(|it| it.shift.by)
                        .max()
                }),
            ),
        };
        Nowhere {
            why: say,
            by,
            measure_again: why != Why::Broken && by.is_none_or(|by| by <= self.tolerance),
            closest,
        }
    }
}

fn manner(framing: Framing) -> Manner {
    match framing {
        Framing::Cut => Manner::Cut,
        Framing::Whole => Manner::Whole,
    }
}

/// The middles of joists that roof struts stand on: their lower end is at the joists' top and over a joist.
fn under_struts(
    obstacles: &[Obstacle],
    joists: Option<&Joists>,
    axis: Axis,
    thickness: Option<Length>,
) -> Vec<Length> {
    let half = thickness.unwrap_or(Length::ZERO);
    let mut under = Vec::new();
    for it in obstacles {
        if it.kind != Some(ObstructionKind::RoofStrut) {
            continue;
        }
        let extent = match it.solid {
            // A slanting one stands on its lower end.
            Solid::Run(run) => {
                let foot = if run.from.up <= run.to.up {
                    run.from
                } else {
                    run.to
                };
                HallPlan {
                    ahead: Span::about(foot.ahead, run.diameter),
                    left: Span::about(foot.left, run.diameter),
                }
            }
            solid => {
                let extent = solid.extent();
                HallPlan {
                    ahead: extent.ahead,
                    left: extent.left,
                }
            }
        };
        let across = match axis {
            Axis::Ahead => extent.left,
            Axis::Left => extent.ahead,
        };
        let joists = joists.map_or(&[][..], |it| &it.offsets);
        under.extend(joists.iter().filter(|joist| {
            Span::about(**joist, half.max(Length::sixteenths(1))).overlaps(across)
        }));
    }
    under
}

fn hall(spot: &Spot) -> Part<HallPlan> {
    let mut asked = Asked::default();
    let length = asked.length(spot, hall::LENGTH);
    let width = asked.length(spot, hall::WIDTH);
    let start = asked.length(spot, hall::MARK_FROM_START);
    let side = asked.length(spot, hall::MARK_FROM_LEFT);
    let mut clash = None;
    if length.is_some_and(|it| it <= Length::ZERO) || width.is_some_and(|it| it <= Length::ZERO) {
        clash = Some(again("the hall has no length or no width."));
    } else if start.is_some_and(Length::is_negative)
        || side.is_some_and(Length::is_negative)
        || matches!((start, length), (Some(start), Some(length)) if start > length)
        || matches!((side, width), (Some(side), Some(width)) if side > width)
    {
        clash = Some(again("the mark lies outside the hall's walls."));
    }
    let known = match (length, width, start, side) {
        (Some(length), Some(width), Some(start), Some(side)) if clash.is_none() => Some(HallPlan {
            ahead: Span::new(-start, length - start),
            left: Span::new(side - width, side),
        }),
        _ => None,
    };
    Part {
        known,
        asked: asked.into(),
        clash,
    }
}

fn axis(spot: &Spot) -> Part<Axis> {
    let mut asked = Asked::default();
    let run = asked.get(spot, attic::JOIST_RUN);
    Part {
        known: run.map(|run| match run {
            JoistRun::AlongHall => Axis::Ahead,
            JoistRun::AcrossHall => Axis::Left,
        }),
        asked: asked.into(),
        clash: None,
    }
}

/// The joists: from spacing and nearest joist where they are even, else from the one-by-one list.
fn joists(spot: &Spot, hall: &Part<HallPlan>, axis: &Part<Axis>) -> Part<Joists> {
    let (attic, id) = (&spot.attic, spot.id);
    let list = &attic.joists;
    let mut asked = Asked::default();
    let even = asked.get(spot, attic::JOISTS_EVEN);
    if even != Some(true) {
        asked.complete(spot, attic::JOISTS);
        let mut offsets: Vec<Length> = Vec::with_capacity(list.items.len());
        for joist in &list.items {
            match joist.at {
                Some(at) => offsets.push(at.length()),
                None => asked.note(joist::AT.at(id).item(joist.id), false),
            }
        }
        if even == Some(false) {
            let whole = list.complete && offsets.len() == list.items.len();
            let clash = (list.complete && list.items.is_empty())
                .then(|| again("the joists are said to be uneven, yet none is listed."));
            offsets.sort_unstable();
            offsets.dedup();
            return Part {
                known: (whole && clash.is_none()).then_some(Joists {
                    offsets,
                    spacing: None,
                }),
                asked: asked.into(),
                clash,
            };
        }
    }
    let spacing = asked.length(spot, attic::JOIST_SPACING);
    let nearest = asked.length(spot, attic::NEAREST_JOIST);
    // Until it is said that they are even, the spacing may count for nothing.
    let clash = (even == Some(true) && spacing.is_some_and(|it| it < LEAST_SPACING))
        .then(|| again("joists cannot lie closer than 3 in, from middle to middle."));
    let known = match (spacing, nearest) {
        (Some(spacing), Some(nearest)) if clash.is_none() && even == Some(true) => {
            let across = match (hall.known, axis.known) {
                (Some(hall), Some(Axis::Ahead)) => hall.left,
                (Some(hall), Some(Axis::Left)) => hall.ahead,
                _ => Span::new(-FAR, FAR),
            };
            Some(Joists {
                offsets: evenly(nearest, spacing, across),
                spacing: Some(spacing),
            })
        }
        _ => None,
    };
    Part {
        known,
        asked: asked.into(),
        clash,
    }
}

/// Even joists over `across` and two beyond on either side.
fn evenly(nearest: Length, spacing: Length, across: Span) -> Vec<Length> {
    let first = ((across.low - nearest) / spacing).floor() as i64 - 2;
    let last = ((across.high - nearest) / spacing).ceil() as i64 + 2;
    (first..=last).map(|n| nearest + spacing * n).collect()
}

fn thickness(spot: &Spot) -> Part<Length> {
    let mut asked = Asked::default();
    let nominal = asked.get(spot, attic::NOMINAL_SIZE);
    let measured = if nominal.is_none_or(|it| it == NominalSize::Other) {
        asked.length(spot, attic::JOIST_THICKNESS)
    } else {
        None
    };
    // Dressed lumber of two inches nominal is 1 1/2 in thick (American Softwood Lumber Standard PS 20, from memory).
    let thickness = match nominal {
        None => None,
        Some(NominalSize::Other) => measured,
        Some(_) => Some(Length::sixteenths(24)),
    };
    let clash = thickness
        .is_some_and(|it| it <= Length::ZERO)
        .then(|| again("a joist cannot have no thickness."));
    Part {
        known: thickness.filter(|_| clash.is_none()),
        asked: asked.into(),
        clash,
    }
}

fn bearings(spot: &Spot) -> Part<Option<Span>> {
    let mut asked = Asked::default();
    let framing = asked.get(spot, attic::FRAMING);
    if framing.is_some_and(|it| it != FramingKind::SawnJoists) {
        return Part {
            known: Some(None),
            asked: asked.into(),
            clash: None,
        };
    }
    let span = asked.length(spot, attic::BEARING_SPAN);
    let mark = asked.length(spot, attic::MARK_FROM_BEARING);
    let wrong = span.is_some_and(|it| it <= Length::ZERO)
        || mark.is_some_and(Length::is_negative)
        || matches!((span, mark), (Some(span), Some(mark)) if mark > span);
    // Only sawn joists are cut, so until that is known it may be of no account.
    let clash = (framing.is_some() && wrong)
        .then(|| again("the joists have no span, or the mark lies beyond their bearing."));
    let known = match (framing, span, mark) {
        (Some(_), Some(span), Some(mark)) if !wrong => Some(Some(Span::new(-mark, span - mark))),
        _ => None,
    };
    Part {
        known,
        asked: asked.into(),
        clash,
    }
}

fn roof(spot: &Spot) -> Part<Roof> {
    let mut asked = Asked::default();
    let height = asked.length(spot, attic::ROOF_HEIGHT);
    let fall = asked.get(spot, attic::ROOF_FALL);
    let fall = match fall {
        Some(RoofFall::Level) => {
            return Part {
                known: height.map(|height| Roof {
                    height,
                    slope: None,
                }),
                asked: asked.into(),
                clash: None,
            };
        }
        Some(RoofFall::Ahead) => Some(Fall::Ahead),
        Some(RoofFall::Back) => Some(Fall::Back),
        Some(RoofFall::Left) => Some(Fall::Left),
        Some(RoofFall::Right) => Some(Fall::Right),
        None => None,
    };
    let pitch = asked.get(spot, attic::ROOF_SLOPE);
    let ridge = asked.length(spot, attic::RIDGE_DISTANCE);
    let wrong = |rise: f64| !rise.is_finite() || rise < 0.0;
    let clash = (fall.is_some()
        && (pitch.is_some_and(|it| wrong(it.rise_per_12()))
            || ridge.is_some_and(Length::is_negative)))
    .then(|| again("the roof's slope or its distance to the ridge is below nothing."));
    let known = match (height, fall, pitch, ridge) {
        (Some(height), Some(fall), Some(pitch), Some(ridge)) if clash.is_none() => Some(Roof {
            height,
            slope: (pitch.rise_per_12() > 0.0).then_some(Slope { pitch, fall, ridge }),
        }),
        _ => None,
    };
    Part {
        known,
        asked: asked.into(),
        clash,
    }
}

/// How far any fan of a list, and the wood that is put in with it, can reach.
struct Reach {
    /// Over the hall and what may stand out beyond its walls in the attic.
    plan: Option<HallPlan>,
    /// The highest top of a clear space.
    top: Length,
}

impl Reach {
    fn of(fans: &FanList, hall: Option<HallPlan>) -> Reach {
        let mut out = Length::ZERO;
        let mut top = Length::ZERO;
        for fan in &fans.fans {
            let short = fan.shutter.length.min(fan.shutter.width);
            for part in [fan.clear_space(), fan.frame] {
                // Either way round, since the run of the joists may not be known.
                let long = part.length.max(part.width);
                out = out.max((long - short) / 2);
                top = top.max(part.height);
            }
            let wood = placement::wood_over_joists(fan);
            out = out.max((wood - short) / 2);
        }
        out += Length::sixty_fourths(1);
        let wider = |span: Span| Span::new(span.low - out, span.high + out);
        Reach {
            plan: hall.map(|hall| HallPlan {
                ahead: wider(hall.ahead),
                left: wider(hall.left),
            }),
            top,
        }
    }

    /// Whether something so wide, whose underside is there, lies beside all that can be put in. Headers reach as far as
    /// the next whole joists, wherever these are, so that nothing below the joists' tops does.
    fn beyond(
        &self,
        ahead: Option<Span>,
        left: Option<Span>,
        bottom: Option<Length>,
        clear: Length,
    ) -> bool {
        let apart =
            |it: Span, plan: Span| !Span::new(it.low - clear, it.high + clear).overlaps(plan);
        bottom.is_some_and(|it| it >= clear)
            && self.plan.is_some_and(|plan| {
                ahead.is_some_and(|it| apart(it, plan.ahead))
                    || left.is_some_and(|it| apart(it, plan.left))
            })
    }
}

/// One obstruction's answers, as they are asked.
struct Look<'a> {
    it: &'a Obstruction,
    spot: ItemId,
    missing: Vec<FieldRef>,
}

impl Look<'_> {
    fn at<T>(&self, field: Field<Obstruction, T>) -> FieldRef {
        field.at(self.spot).item(self.it.id)
    }

    fn length(&mut self, field: Field<Obstruction, Reading>) -> Option<Length> {
        let answer = field.read(self.it).copied();
        if answer.is_none() {
            let at = self.at(field);
            self.missing.push(at);
        }
        answer.map(Reading::length)
    }
}

enum Looked {
    /// Beyond the reach of every fan.
    Beyond,
    /// Its shape and place.
    Whole(Solid),
    /// Something is missing.
    Open,
    /// Its answers cannot all be right.
    Clash,
}

fn look(look: &mut Look, reach: &Reach, clear: Length) -> Looked {
    let it = look.it;
    let Some(shape) = it.shape else {
        let at = look.at(obstruction::SHAPE);
        look.missing.push(at);
        for field in [
            obstruction::AHEAD,
            obstruction::LEFT,
            obstruction::TO_AHEAD,
            obstruction::TO_LEFT,
            obstruction::SIZE_ALONG,
            obstruction::SIZE_ACROSS,
            obstruction::DIAMETER,
            obstruction::BOTTOM,
            obstruction::TOP,
        ] {
            look.length(field);
        }
        return Looked::Open;
    };
    let about = |middle: Option<Length>, size: Option<Length>| {
        middle
            .zip(size)
            .map(|(middle, size)| Span::about(middle, size))
    };
    let bad = |size: Option<Length>| size.is_some_and(|it| it <= Length::ZERO);
    match shape {
        Shape::Box | Shape::Upright => {
            let ahead = look.length(obstruction::AHEAD);
            let left = look.length(obstruction::LEFT);
            let (along, across) = if shape == Shape::Box {
                (
                    look.length(obstruction::SIZE_ALONG),
                    look.length(obstruction::SIZE_ACROSS),
                )
            } else {
                let diameter = look.length(obstruction::DIAMETER);
                (diameter, diameter)
            };
            let bottom = look.length(obstruction::BOTTOM);
            let top = look.length(obstruction::TOP);
            if bottom.is_some_and(|it| it >= reach.top + clear)
                || reach.beyond(about(ahead, along), about(left, across), bottom, clear)
            {
                return Looked::Beyond;
            }
            let (Some(ahead), Some(left), Some(along), Some(across), Some(bottom), Some(top)) =
                (ahead, left, along, across, bottom, top)
            else {
                return Looked::Open;
            };
            if bad(Some(along)) || bad(Some(across)) || top < bottom {
                return Looked::Clash;
            }
            let up = Span::new(bottom, top);
            Looked::Whole(if shape == Shape::Box {
                Solid::Block(Block {
                    ahead: Span::about(ahead, along),
                    left: Span::about(left, across),
                    up,
                })
            } else {
                Solid::Post(Post {
                    ahead,
                    left,
                    diameter: along,
                    up,
                })
            })
        }
        Shape::Run => {
            let ahead = look.length(obstruction::AHEAD);
            let left = look.length(obstruction::LEFT);
            let to_ahead = look.length(obstruction::TO_AHEAD);
            let to_left = look.length(obstruction::TO_LEFT);
            let diameter = look.length(obstruction::DIAMETER);
            let bottom = look.length(obstruction::BOTTOM);
            let top = look.length(obstruction::TOP);
            if let (Some(diameter), Some(bottom), Some(top)) = (diameter, bottom, top)
                && bottom.min(top - diameter) >= reach.top + clear
            {
                return Looked::Beyond;
            }
            let spread = |a: Option<Length>, b: Option<Length>| {
                let (a, b, diameter) = (a?, b?, diameter?);
                let radius = diameter - diameter / 2;
                Some(Span::new(a.min(b) - radius, a.max(b) + radius))
            };
            let lowest = bottom
                .zip(top)
                .zip(diameter)
                .map(|((bottom, top), diameter)| bottom.min(top - diameter));
            if reach.beyond(
                spread(ahead, to_ahead),
                spread(left, to_left),
                lowest,
                clear,
            ) {
                return Looked::Beyond;
            }
            let (
                Some(ahead),
                Some(left),
                Some(to_ahead),
                Some(to_left),
                Some(diameter),
                Some(bottom),
                Some(top),
            ) = (ahead, left, to_ahead, to_left, diameter, bottom, top)
            else {
                return Looked::Open;
            };
            if bad(Some(diameter)) {
                return Looked::Clash;
            }
            let radius = diameter / 2;
            Looked::Whole(Solid::Run(Run {
                from: Point {
                    ahead,
                    left,
                    up: bottom + radius,
                },
                to: Point {
                    ahead: to_ahead,
                    left: to_left,
                    up: top - radius,
                },
                diameter,
            }))
        }
    }
}

fn obstacles(spot: &Spot, reach: &Reach) -> Things<Obstacle> {
    let list = &spot.attic.obstructions;
    let mut things = Things {
        known: Vec::with_capacity(list.items.len()),
        asked: Noted::default(),
        movers_missing: Answered::default(),
        clash: None,
    };
    let mut asked = Asked::default();
    let mut movers_missing = Vec::new();
    asked.complete(spot, attic::OBSTRUCTIONS);
    if list
        .items
        .iter()
        .any(|it| it.kind == Some(ObstructionKind::Brace))
    {
        // In trusses a brace may be a web, which nobody moves.
        asked.get(spot, attic::FRAMING);
    }
    for it in &list.items {
        let mut at = Look {
            it,
            spot: spot.id,
            missing: Vec::new(),
        };
        let hot = hot(it.kind, it.flue);
        // Until it is known what it is, it may have to stay as far away as anything.
        let clear = match (hot, is_told(it)) {
            (Some(hot), _) => hot.clearance(),
            (None, true) => Length::ZERO,
            (None, false) => Hot::UnknownFlue.clearance(),
        };
        let looked = look(&mut at, reach, clear);
        let mover_at = at.at(obstruction::MOVER);
        let mover = mover(least_mover(it.kind, spot.attic.framing), it.mover);
        match looked {
            Looked::Beyond => {}
            Looked::Open => {
                asked.missing.append(&mut at.missing);
                asked.kind_of(spot, it);
                if mover.is_none() {
                    movers_missing.push(mover_at);
                }
            }
            // Where the walls are not known yet, it may turn out to lie beyond reach.
            Looked::Clash if reach.plan.is_none() => {}
            Looked::Clash => {
                things.clash = Some(again(
                    "a thing in the way has no size, or its upper side lies below its underside.",
                ));
            }
            Looked::Whole(solid) => {
                asked.kind_of(spot, it);
                if mover.is_none() {
                    movers_missing.push(mover_at);
                }
                things.known.push(Obstacle {
                    id: it.id,
                    kind: it.kind,
                    solid,
                    hot,
                    mover,
                });
            }
        }
    }
    things.asked = asked.into();
    things.movers_missing = movers_missing.into();
    things
}

fn ceiling(spot: &Spot, hall: &Part<HallPlan>) -> Things<CeilingThing> {
    let list = &spot.hall.fixtures;
    let mut things = Things {
        known: Vec::with_capacity(list.items.len()),
        asked: Noted::default(),
        movers_missing: Answered::default(),
        clash: None,
    };
    let mut asked = Asked::default();
    asked.complete(spot, hall::FIXTURES);
    for it in &list.items {
        let Fixture {
            id,
            kind,
            ahead,
            left,
            size_along,
            size_across,
        } = *it;
        let about = |middle: Option<Reading>, size: Option<Reading>| {
            middle
                .zip(size)
                .map(|(middle, size)| Span::about(middle.length(), size.length()))
        };
        let (along, across) = (about(ahead, size_along), about(left, size_across));
        let outside = hall.known.is_some_and(|hall| {
            along.is_some_and(|it| !it.overlaps(hall.ahead))
                || across.is_some_and(|it| !it.overlaps(hall.left))
        });
        // Joists that end at an opening outside the hall's walls are not whole over the hall either.
        let opening = matches!(
            kind,
            Some(FixtureKind::Hatch | FixtureKind::Skylight | FixtureKind::OldOpening)
        );
        if outside && !opening {
            continue;
        }
        // It may yet be a smoke alarm, or an opening that joists end at.
        if kind.is_none() {
            asked.note(fixture::KIND.at(spot.id).item(id), false);
        }
        match (along, across) {
            (Some(ahead), Some(left)) => {
                let none = ahead.length() <= Length::ZERO || left.length() <= Length::ZERO;
                if none && hall.known.is_some() {
                    things.clash = Some(again("a thing on the ceiling has no size."));
                }
                if !none {
                    things.known.push(CeilingThing {
                        id,
                        kind,
                        ahead,
                        left,
                    });
                }
            }
            _ => {
                for field in [
                    fixture::AHEAD,
                    fixture::LEFT,
                    fixture::SIZE_ALONG,
                    fixture::SIZE_ACROSS,
                ] {
                    if field.read(it).is_none() {
                        asked.missing.push(field.at(spot.id).item(id));
                    }
                }
            }
        }
    }
    things.asked = asked.into();
    things
}
