//! What things of a job are called, in English; keys for translations.

use super::builder::key;
use crate::job::cutlist::Size;
use crate::job::layout::Use;
use crate::job::materials::{Fastener, Joint};
use crate::job::vents::Where;
use crate::rules::{Arg, Say};
use crate::trade::fan::{Control, Drive};
use crate::trade::fastening::Nail;

pub(super) const fn used(it: Use) -> &'static str {
    match it {
        Use::Header => key("header"),
        Use::Doubler => key("doubles a joist"),
        Use::Side => key("side piece between headers or blocks"),
        Use::Packing => key("packing on outer joists"),
        Use::EndBlock => key("blocks, ends of opening"),
        Use::Ledger => key("ledger under the tail joists"),
        Use::Temporary => key("temporary board, comes out again"),
        Use::FacingEnd => key("facing, end"),
        Use::FacingSide => key("facing, side"),
        Use::DamEnd => key("insulation dam, end"),
        Use::DamSide => key("insulation dam, side"),
        Use::QuietEnd => key("quiet box, end"),
        Use::QuietSide => key("quiet box, side"),
    }
}

/// A size of lumber in words.
pub(super) fn size(it: Size) -> Arg {
    match it {
        Size::TwoByTwo => Arg::Word("2 × 2"),
        Size::Nominal(nominal) => Arg::Word(nominal.label()),
        Size::Packing { thickness, depth } => Say::new(key("plywood {thickness} × {depth}"))
            .with("thickness", thickness)
            .with("depth", depth)
            .into(),
        Size::Measured { thickness, depth } => Say::new(key("{thickness} × {depth} as measured"))
            .with("thickness", thickness)
            .with("depth", depth)
            .into(),
    }
}

pub(super) const fn fastener(it: Fastener) -> &'static str {
    match it {
        Fastener::Nail(Nail::Common4d) => key("4d common, 1 1/2 in"),
        Fastener::Nail(Nail::Common6d) => key("6d common, 2 in"),
        Fastener::Nail(Nail::Common8d) => key("8d common, 2 1/2 in"),
        Fastener::Nail(Nail::Common10d) => key("10d common, 3 in"),
        Fastener::Nail(Nail::Drywall) => key("ring-shank drywall, 1 5/8 in"),
        // Nothing is nailed with any other.
        Fastener::Nail(_) => key("12d common, 3 1/4 in"),
        Fastener::DeckScrew => key("deck screw No. 8 × 2 1/2 in"),
    }
}

pub(super) const fn joint(it: Joint) -> &'static str {
    match it {
        Joint::HeaderEnds => key("header ends, through trimmers"),
        Joint::TailJoists => key("cut joists, through headers"),
        Joint::HeaderPlies => key("headers' two pieces"),
        Joint::Doublers => key("doubled joists"),
        Joint::Blocks => key("side pieces and blocks, an end"),
        Joint::Packing => key("packing on joist"),
        Joint::Ledgers => key("ledgers, a joist"),
        Joint::Facing => key("facing on the frame"),
        Joint::CeilingBoard => key("ceiling board, 7 in apart"),
        Joint::FanFrame => key("fan frame, a side"),
        Joint::DamCorners => key("corners of the dam"),
        Joint::DamOnJoists => key("dam on joists, toenailed"),
        Joint::TemporaryBoards => key("temporary boards"),
    }
}

pub(super) const fn place(it: Where) -> &'static str {
    match it {
        Where::Upper => key("within 3 ft of the top of the roof"),
        Where::Lower => key("at the eaves"),
        Where::Anywhere => key("anywhere in the attic"),
    }
}

pub(super) const fn control(it: Control) -> &'static str {
    match it {
        Control::OneSpeed => key("on and off"),
        Control::TwoSpeeds => key("two fixed speeds"),
        Control::Variable => key("any speed, by the control that the fan's sheet names"),
    }
}

pub(super) const fn drive(it: Drive) -> &'static str {
    match it {
        Drive::Direct => key("direct drive"),
        Drive::Belt => key("belt drive"),
    }
}

/// A rough rule of who leans on a rule: its sheet.
pub(super) const POWER_RULES: &[&str] = &[
    "circuit",
    "voltage",
    "disconnect",
    "switch-rating",
    "switch-box",
    "switch-place",
    "cable-protection",
    "panel",
    "attic-light",
    "hazard-knob-and-tube",
    "hazard-damaged-wiring",
];

pub(super) const VENT_RULES: &[&str] = &["exhaust-vents", "eaves", "private-attic", "garage"];

/// What the customer is told: of flames, air and alarms.
pub(super) const LIVING_RULES: &[&str] = &[
    "airflow",
    "backdraft",
    "flues",
    "fireplace",
    "combustion-air",
    "smoke-alarms",
    "co-alarms",
];
