//! What things of a job are called, in English; keys for translations.

use super::builder::key;
use crate::job::cutlist::Size;
use crate::job::layout::Use;
use crate::job::materials::{Fastener, Joint};
use crate::job::vents::Where;
use crate::rules::{Arg, Say};
use crate::trade::fan::{Control, Drive};

pub(super) const fn used(it: Use) -> &'static str {
    match it {
        Use::Header => key("header"),
        Use::Doubler => key("doubles a joist"),
        Use::Side => key("side piece between headers or blocks"),
        Use::Packing => key("packing in the gap beside the joist"),
        Use::EndBlock => key("block at the opening's end"),
        Use::Ledger => key("ledger under the tail joists"),
        Use::Temporary => key("temporary board, comes out again"),
        Use::FacingEnd => key("facing, end"),
        Use::FacingSide => key("facing, side"),
        Use::QuietEnd => key("quiet box, end"),
        Use::QuietSide => key("quiet box, side"),
    }
}

/// A size of lumber in words.
pub(super) fn size(it: Size) -> Arg {
    match it {
        Size::TwoByTwo => Arg::Word("2 × 2"),
        Size::Nominal(nominal) => Arg::Word(nominal.label()),
        Size::Packing { thickness, depth } => {
            Say::new(key("plywood or scrap, {thickness} thick, {depth} wide"))
                .with("thickness", thickness)
                .with("depth", depth)
                .into()
        }
        Size::Measured { thickness, depth } => Say::new(key("{thickness} × {depth} as measured"))
            .with("thickness", thickness)
            .with("depth", depth)
            .into(),
    }
}

pub(super) const fn fastener(it: Fastener) -> &'static str {
    match it {
        Fastener::CommonNail => key("12d common nails, 3 1/4 in"),
        Fastener::DrywallNail => key("ring-shank drywall nails, 1 5/8 in"),
        Fastener::DeckScrew => key("deck screws No. 8 × 2 1/2 in"),
    }
}

pub(super) const fn joint(it: Joint) -> &'static str {
    match it {
        Joint::HeaderEnds => key("header ends, through the trimmers"),
        Joint::TailJoists => key("ends of the cut joists, through the headers"),
        Joint::HeaderPlies => key("headers' two pieces together"),
        Joint::Doublers => key("doubled joists together"),
        Joint::Blocks => key("ends of side pieces and blocks"),
        Joint::Packing => key("packing on its joist"),
        Joint::Ledgers => key("ledgers under the tail joists"),
        Joint::Facing => key("facing boards on the frame"),
        Joint::CeilingBoard => key("ceiling board on the new frame"),
        Joint::FanFrame => key("fan frame on its boards, two a side"),
        Joint::TemporaryBoards => key("temporary boards on the joists"),
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
