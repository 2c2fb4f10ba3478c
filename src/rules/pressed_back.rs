//! Attic air that comes back through the ceiling's leaks while the fan presses the attic: told, never refused, since no
//! vent area that a code asks for ends it.

use super::finding::{Finding, Outcome, Say, number};
use super::{Asking, WithFan};
use crate::house::air::{in_the_opening, path_as_it_is};
use crate::house::settled::leakage;
use crate::measure::quantity::{Airflow, Pressure};
use crate::trade::leakage::{CEILING_SHARE, CEILING_SOURCE, LEAK_SOURCE, vents_for};
use crate::trade::network::balance;
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    LEAK_SOURCE,
    CEILING_SOURCE,
    Source::derived(
        "The attic stands above the house by what its vents and the open windows cost the fan's air",
    ),
];

/// Where the attic need not be pressed harder than this, hardly anything comes back (derived).
const GENTLE: Pressure = Pressure::from_pa(5.0);

pub(super) fn rule(with: WithFan) -> Finding {
    let house = with.at.house;
    let (survey, air) = (house.survey, house.air);
    let mut a = Asking::spot(
        "pressed-back",
        "Does attic air come back into the rooms?",
        SOURCES,
        with.at.spot.id,
    );
    let path = path_as_it_is(&with, &in_the_opening(&with));
    if survey.flame.leakage.is_some() {
        a.note_given("flame.leakage");
    }
    let cfm50 = leakage(survey, &air.rooms);
    let (Some(leak), true) = (cfm50, path.whole && air.density_known()) else {
        return a.settled(
            Outcome::Holds,
            Say::new("Some attic air comes back through the ceiling's leaks: how much shows once rooms, windows and vents are measured."),
        );
    };
    let found = balance(with.fan.high(), path.worst, Airflow::ZERO, air.dense);
    let ceiling = leak.share(CEILING_SHARE);
    let over = found.attic - found.house;
    let back = ceiling.at(over);
    a.figure("attic over the house, high speed", over);
    a.figure("leakage of the house at 50 Pa", leak.cfm50());
    a.figure("attic air that comes back, at most", back);
    let share = match found.airflow.cfm() > 0.0 {
        true => back / found.airflow * 100.0,
        false => 0.0,
    };
    let vents = vents_for(found.airflow, GENTLE);
    a.figure("vent area for an attic at 5 Pa", vents);
    let mut finding = a.settled(
        Outcome::Holds,
        Say::new(
            "On high the attic stands {over} above the house. At most {back} come back through the ceiling's leaks, {share} of \
             what the fan moves. Vents of {vents} net would bring the attic to {gentle}.",
        )
        .with("over", number(over.pa(), "Pa", 1))
        .with("back", number(back.cfm(), "cfm", 0))
        .with("share", number(share, "%", 0))
        .with("vents", number(vents.ft2(), "ft²", 1))
        .with("gentle", number(GENTLE.pa(), "Pa", 0)),
    );
    // From which rooms: a room's part of the ceiling, where the floors of all rooms are measured.
    let rooms = &with.at.spot.hall.rooms;
    let floors: Option<f64> = rooms
        .items
        .iter()
        .map(|it| Some(it.floor_area?.ft2()))
        .sum();
    if let (true, Some(floors)) = (rooms.complete, floors)
        && floors > 0.0
    {
        let mut parts: Vec<(&str, f64)> = rooms
            .items
            .iter()
            .filter_map(|it| Some((it.name.as_deref()?, it.floor_area?.ft2() / floors)))
            .collect();
        parts.sort_by(|a, b| b.1.total_cmp(&a.1));
        let said = parts.into_iter().map(|(name, part)| {
            Say::new("“{room}” {air}")
                .with("room", name.to_owned())
                .with("air", number(back.cfm() * part, "cfm", 0))
        });
        let all = said.reduce(|some, more| {
            Say::new("{some}; {more}")
                .with("some", some)
                .with("more", more)
        });
        if let Some(rooms) = all {
            finding = finding.caution(
                Say::new("Into the rooms, at most: {rooms}. Seal the ceilings there first; a room behind a shut door gets attic air only.")
                    .with("rooms", rooms),
            );
        }
    }
    finding
}
