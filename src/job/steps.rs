//! The order of work: what the crew does, step by step, for this layout.

use super::layout::{Layout, Use};
use crate::rules::Framing;

/// One step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
    /// Dust sheets, doors, furnace; cautions read aloud.
    Protect,
    /// The probe is drilled and checked from the attic.
    Probe,
    /// Insulation is cleared away, and the dam set where there is one.
    Clear,
    /// Holes within the corners, off the joists; diagonals.
    Corners,
    /// Temporary boards are screwed on.
    HoldUp,
    /// Joists are doubled before anything is cut.
    DoubleFirst,
    /// The doublers are tried in their places, and nailed on where headers hang in hangers.
    TryDoublers,
    /// The ceiling board is cut, freed from the joists that stay across the opening.
    CutBoardUnderJoists,
    /// The ceiling board is cut, where no joist stays across it.
    CutBoard,
    /// Joists are cut.
    CutJoists,
    /// Headers are set, and the cut joists nailed to them.
    Headers,
    /// Doublers are nailed on after the headers' ends.
    DoubleAfter,
    /// Blocks between joists left whole, side pieces and packing.
    Blocks,
    /// Pieces across the ends, between two joists, side pieces and packing.
    EndPieces,
    /// Side pieces and packing beside headers.
    Sides,
    /// Diagonals again; the ceiling board is nailed to the frame.
    NailBoard,
    /// Facing, and every gap sealed.
    Facing,
    /// Temporary boards come off.
    LetGo,
    /// The fan goes in.
    Fan,
    /// The shutter is hung, its fixed vane under a joist that stays.
    ShutterUnderJoist,
    /// The shutter is hung.
    Shutter,
    /// The electrician connects.
    Connect,
    /// First run.
    Run,
    /// Flues are watched with the fan on high.
    Draft,
    /// Alarms tested, swept, handed over.
    HandOver,
}

/// The steps for a layout.
pub fn in_order(layout: &Layout) -> Vec<Step> {
    let cuts = !layout.cuts.is_empty();
    let doubled = layout.of(Use::Doubler).next().is_some();
    let mut steps = vec![Step::Protect, Step::Probe, Step::Clear, Step::Corners];
    if cuts {
        steps.push(Step::HoldUp);
    }
    match (doubled, cuts) {
        (true, true) => steps.push(Step::TryDoublers),
        (true, false) => steps.push(Step::DoubleFirst),
        (false, _) => {}
    }
    steps.push(if layout.standing.is_empty() {
        Step::CutBoard
    } else {
        Step::CutBoardUnderJoists
    });
    if cuts {
        steps.extend([Step::CutJoists, Step::Headers]);
        if doubled {
            steps.push(Step::DoubleAfter);
        }
        if layout
            .of(Use::Side)
            .chain(layout.of(Use::Packing))
            .next()
            .is_some()
        {
            steps.push(Step::Sides);
        }
    } else if layout.framing == Framing::Whole {
        steps.push(Step::Blocks);
    } else {
        steps.push(Step::EndPieces);
    }
    steps.extend([Step::NailBoard, Step::Facing]);
    if cuts {
        steps.push(Step::LetGo);
    }
    steps.push(Step::Fan);
    steps.push(
        if layout.framing == Framing::Whole && !layout.standing.is_empty() {
            Step::ShutterUnderJoist
        } else {
            Step::Shutter
        },
    );
    steps.extend([Step::Connect, Step::Run, Step::Draft, Step::HandOver]);
    steps
}
