//! Whether what is printed can be built: checked before anything is printed, and a pack that fails is refused.
//!
//! The checks know nothing of how a layout came about: each looks at the finished plan, and asks what would go wrong in
//! the attic if a crew did exactly what the sheets say.
//!
//! # Source
//! Nails within their wood, holes beside joists, pieces on the lists: common practice, no source. Smoke alarms 36 in from
//! the fan's air: NFPA 72 has 36 in from a supply register or the tip of a paddle fan's blade (section from memory).

use super::cutlist::Size;
use super::layout::{HOLE_CLEAR, Layout, OnCeiling, Use};
use super::materials::Joint;
use super::steps::Step;
use super::{Job, Plan};
use crate::measure::Length;
use crate::survey::{FixtureKind, ItemId, Spot};
use crate::trade::solid::Span;

/// How far smoke alarms stay from the shutter.
pub const ALARM_FROM_SHUTTER: Length = Length::inches(36);

/// Why a plan must not be printed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Fault {
    /// A hole lies in a joist or in a piece of the frame, or under one.
    #[error("Hole {hole} would be drilled into a joist or a piece of the frame.")]
    HoleInWood {
        /// P, or the corner's number.
        hole: String,
    },
    /// A nail is longer than the wood that it is driven into.
    #[error("A nail of {nail} is longer than its {wood} of wood.")]
    NailTooLong {
        /// The nail's length.
        nail: String,
        /// The wood.
        wood: String,
    },
    /// A piece is not on the cut list.
    #[error("A piece of the frame is missing from the cut list.")]
    NotOnCutList,
    /// A piece on the cut list is on no board to buy.
    #[error("A piece of the cut list is missing from the boards to buy.")]
    NotBought,
    /// A piece of the frame has no nails.
    #[error("A joint of the frame has no nails on the list.")]
    NoNails,
    /// The ceiling board stays nailed to a joist across the opening.
    #[error("The ceiling board is not freed from the joist that stays across the opening.")]
    BoardNotFreed,
    /// Insulation rises over the joists, and no dam is set.
    #[error("Insulation rises over the joists, and there is no dam.")]
    NoDam,
    /// A smoke alarm stands too near to the shutter, and nobody moves it.
    #[error("A smoke alarm stands too near to the shutter, and no sheet says who moves it.")]
    AlarmTooNear,
    /// The shutter reaches beyond the hall's ceiling.
    #[error("The shutter reaches beyond the hall's ceiling.")]
    ShutterBeyondHall,
    /// The shutter covers something on the ceiling that stays.
    #[error("The shutter covers something on the ceiling that nobody moves.")]
    ShutterOverThing,
    /// Something that stays reaches into the fan.
    #[error("A duct, pipe or brace that nobody moves stands where the fan goes.")]
    ThingInFan,
}

/// Smoke alarms nearer to the shutter than they may be, and how near the edge of each is.
pub fn alarms_near(spot: &Spot, layout: &Layout) -> Vec<(ItemId, Length)> {
    let beyond = |at: Length, span: Span| (span.low - at).max(at - span.high).max(Length::ZERO);
    let alarms = spot.hall.fixtures.items.iter();
    alarms
        .filter(|it| it.kind == Some(FixtureKind::SmokeAlarm))
        .filter_map(|it| {
            let (ahead, left) = (it.ahead?.length(), it.left?.length());
            let middle = super::layout::diagonal(
                beyond(ahead, layout.shutter.0),
                beyond(left, layout.shutter.1),
            );
            let half = it.size_across.map_or(Length::ZERO, |it| it.length() / 2);
            let off = (middle - half).max(Length::ZERO);
            (off < ALARM_FROM_SHUTTER).then_some((it.id, off))
        })
        .collect()
}

/// Everything that is wrong with the job's plan; nothing where there is no plan.
pub fn check(job: &Job) -> Vec<Fault> {
    let Some(plan) = &job.plan else {
        return Vec::new();
    };
    let joists = job.scene.joists.known.as_ref();
    let joists = joists.map_or(&[][..], |it| &it.offsets[..]);
    let mut faults = of_plan(plan, joists);
    if job
        .insulation_over_joists()
        .is_some_and(|it| it > Length::ZERO)
        && plan.layout.of(Use::DamEnd).next().is_none()
    {
        faults.push(Fault::NoDam);
    }
    for (alarm, _) in alarms_near(job.spot, &plan.layout) {
        if !plan.alarms.iter().any(|(id, _)| *id == alarm) {
            faults.push(Fault::AlarmTooNear);
        }
    }
    faults.extend(around(job, plan));
    faults
}

/// What is wrong with a plan by itself, among joists with these middles.
pub fn of_plan(plan: &Plan, joists: &[Length]) -> Vec<Fault> {
    let layout = &plan.layout;
    let mut faults = Vec::new();
    let holes = layout.holes.iter().zip(["1", "2", "3", "4"]);
    let holes = holes.filter_map(|(at, name)| Some(((*at)?, name)));
    for (at, name) in holes.chain([(layout.probe, "P")]) {
        if in_wood(layout, joists, at) {
            let hole = name.to_owned();
            faults.push(Fault::HoleInWood { hole });
        }
    }
    let show = |it: Length| it.show(crate::measure::Tape::Sixteenth).text;
    for nailing in plan.materials.fasteners.iter().flat_map(|it| &it.nailings) {
        if nailing.kind.length() > nailing.wood {
            faults.push(Fault::NailTooLong {
                nail: show(nailing.kind.length()),
                wood: show(nailing.wood),
            });
        }
    }
    let listed = |used: Use| -> usize {
        let rows = plan.cut_list.rows.iter().filter(|it| it.used == used);
        rows.map(|it| it.count as usize).sum()
    };
    for piece in &layout.pieces {
        if listed(piece.used) != layout.of(piece.used).count() {
            faults.push(Fault::NotOnCutList);
        }
        let nailed = joints_of(piece.used).iter().any(|joint| {
            let all = plan.materials.fasteners.iter().flat_map(|it| &it.nailings);
            all.filter(|it| it.joint == *joint).any(|it| it.count() > 0)
        });
        if !nailed {
            faults.push(Fault::NoNails);
        }
    }
    for row in &plan.cut_list.rows {
        let bought = plan.cut_list.buy.iter().any(|it| it.size == row.size);
        let scrap = matches!(row.size, Size::Packing { .. });
        if !bought && !scrap {
            faults.push(Fault::NotBought);
        }
    }
    let freed = plan.steps.contains(&Step::CutBoardUnderJoists);
    if !layout.standing.is_empty() && !freed {
        faults.push(Fault::BoardNotFreed);
    }
    faults.dedup();
    faults
}

/// The joints that hold a piece of this use.
const fn joints_of(used: Use) -> &'static [Joint] {
    match used {
        Use::Header => &[Joint::HeaderEnds],
        Use::Doubler => &[Joint::Doublers],
        Use::Side | Use::EndBlock => &[Joint::Blocks],
        Use::Packing => &[Joint::Packing],
        Use::Ledger => &[Joint::Ledgers],
        Use::Temporary => &[Joint::TemporaryBoards],
        Use::FacingEnd | Use::FacingSide => &[Joint::Facing],
        Use::DamEnd | Use::DamSide => &[Joint::DamCorners],
        Use::QuietEnd | Use::QuietSide => &[Joint::FanFrame],
    }
}

fn in_wood(layout: &Layout, joists: &[Length], at: OnCeiling) -> bool {
    let (along, across) = layout.among_joists(at);
    let (along, across) = (
        Span::about(along, HOLE_CLEAR * 2),
        Span::about(across, HOLE_CLEAR * 2),
    );
    let joist = |it: &Length| Span::about(*it, layout.joist_thickness).overlaps(across);
    joists.iter().any(joist)
        || layout
            .pieces
            .iter()
            .filter(|it| it.used.stands_on_ceiling())
            .any(|it| it.along.overlaps(along) && it.across.overlaps(across))
}

/// What stands around: the hall's walls, things on its ceiling, things in the attic.
fn around(job: &Job, plan: &Plan) -> Vec<Fault> {
    use crate::trade::placement::Which;
    let layout = &plan.layout;
    let Some(place) = &job.place else {
        return Vec::new();
    };
    let mut faults = Vec::new();
    let (ahead, left) = layout.shutter;
    let tolerance = job.scene.tolerance();
    if let Some(hall) = job.scene.hall.known {
        let grown = |it: Span| Span::new(it.low - tolerance, it.high + tolerance);
        if !grown(hall.ahead).holds(ahead) || !grown(hall.left).holds(left) {
            faults.push(Fault::ShutterBeyondHall);
        }
    }
    for (number, thing) in job.scene.ceiling.known.iter().enumerate() {
        let moved = place
            .moves
            .iter()
            .any(|it| it.which == Which::OnCeiling(number));
        let less = |it: Span| Span::about(it.middle(), it.length() - tolerance * 2);
        if !moved && thing.ahead.overlaps(less(ahead)) && thing.left.overlaps(less(left)) {
            faults.push(Fault::ShutterOverThing);
        }
    }
    for (number, thing) in job.scene.obstacles.known.iter().enumerate() {
        let moved = place
            .moves
            .iter()
            .any(|it| it.which == Which::InAttic(number));
        let (along, across) = layout.fan_frame;
        let (ahead, left) = match layout.axis {
            crate::trade::placement::Axis::Ahead => (along, across),
            crate::trade::placement::Axis::Left => (across, along),
        };
        let less = |it: Span| Span::about(it.middle(), it.length() - tolerance * 2);
        let body = crate::trade::solid::Block {
            ahead: less(ahead),
            left: less(left),
            up: Span::new(tolerance, job.fan.frame.height - tolerance),
        };
        if !moved && thing.solid.hits(&body) {
            faults.push(Fault::ThingInFan);
        }
    }
    faults
}
