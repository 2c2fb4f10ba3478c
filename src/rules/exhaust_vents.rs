//! Whether the attic's vents let out what the fan blows in: net free area against the need.

use super::finding::{Finding, Outcome, Say, Who, number};
use super::sheet::SheetSources;
use super::{RuleContext, WithFan};
use crate::house::air::{Eaves, VentNeed, vent_need};
use crate::measure::quantity::Area;
use crate::need::{Need, Vents};
use crate::survey::{attic, vents};
use crate::trade::airflow::energy_rule;
use crate::trade::codes::{Building, Energy};
use crate::trade::fan::Fan;
use crate::trade::source::Source;
use crate::trade::vent_area::{COVER_SOURCE, ToAdd, reduced_rule};

const SHARE: Source = Source::confirmed("IRC R806.2: 1/150 of the vented area");
const STEEP: Source = Source::confirmed(
    "Field guide: 20 % more vent area for roofs of 7:12 to 10:12, 30 % for steeper ones",
);
const USUAL: Source = Source::from_memory(
    "US DOE fact sheet DOE/GO-10099-745: 1 ft² of net free vent area per 750 cfm",
);
const SHEET: Source = Source::given("The fan's sheet, where it asks for a vent area");

macro_rules! sources {
    ($building:ident, $first:expr) => {{
        static SOURCES: SheetSources<6> = SheetSources::new([
            $first,
            SHEET,
            SHARE,
            reduced_rule(Building::$building).source,
            COVER_SOURCE,
            STEEP,
        ]);
        &SOURCES
    }};
    ($building:ident) => {
        [
            sources!($building, USUAL),
            sources!($building, by_energy(Energy::California2013)),
            sources!($building, by_energy(Energy::California2016)),
        ]
    };
}

/// What gives the vent area for the fan's airflow.
const fn by_energy(energy: Energy) -> Source {
    match energy_rule(energy) {
        Some(rule) => rule.source,
        None => USUAL,
    }
}

fn sources(building: Building, energy: Energy, fan: &Fan) -> &'static [Source] {
    let by_energy: [&'static SheetSources<6>; 3] = match building {
        Building::Irc2012 => sources!(Irc2012),
        Building::Irc2015 => sources!(Irc2015),
        Building::Irc2018 => sources!(Irc2018),
        Building::Irc2021 => sources!(Irc2021),
        Building::Irc2024 => sources!(Irc2024),
    };
    let of = match energy {
        Energy::None => by_energy[0],
        Energy::California2013 => by_energy[1],
        Energy::California2016 => by_energy[2],
    };
    of.of(fan)
}

pub(super) fn rule(with: WithFan) -> Finding {
    let house = with.at.house;
    let vents = &house.air.vents;
    let need = vent_need(&with);
    let mut a = RuleContext::spot(
        with.at,
        "exhaust-vents",
        "Do the attic's vents let the air out?",
        sources(house.codes.building, house.codes.energy, with.fan),
    );
    let floor = with.at.spot.attic.attic_floor_area;
    let no_floor = floor.is_some_and(|it| it.ft2() <= 0.0);
    let have = vents.have.total();
    a.figure("net free vent area", have);
    a.figure("vent area for the fan's airflow", need.airflow);
    if let Some(sheet) = need.sheet {
        a.figure("vent area by the fan's sheet", sheet);
    }
    if let (Some(share), Some(steep)) = (need.share, need.steep) {
        a.figure("1/150 of the attic floor", share.full);
        a.figure("1/300 of the attic floor", share.reduced);
        if steep > 1.0 {
            a.ratio("factor for a steep roof", steep);
        }
    }
    if need.code_may_govern {
        a.figure("net free vent area, upper", vents.have.upper);
        a.figure("net free vent area, lower", vents.have.lower);
    }
    let closed = Eaves::of(&with.at.spot.attic) == Eaves::Closed && vents.have.lower.ft2() > 0.0;
    if closed {
        a.note_given(attic::INSULATION);
        a.note_given(attic::EAVES_OPEN);
        a.figure("net free vent area closed at the eaves", vents.have.lower);
    }
    let given = |a: &mut RuleContext| {
        // What is known so far is enough; the list as far as it goes.
        a.get(attic::ATTIC_FLOOR_AREA);
        a.get(attic::ROOF_SLOPE);
        a.complete(vents::VENTS);
    };
    let mut finding = match (need.worst, need.best) {
        (Some(worst), _) if worst.is_none() && !no_floor => {
            given(&mut a);
            let needed = need.fan().max(worst.code_share);
            a.figure("vent area needed", needed);
            a.settled(
                Outcome::Holds,
                Say::new("{have} of net free vent area lets the air out; {need} is needed: {why}.")
                    .with("have", area(have))
                    .with("need", area(needed))
                    .with("why", why(&need, &worst)),
            )
            .amounts(area(needed), area(have), area(have - needed))
        }
        (worst, Some(best)) if !best.is_none() => {
            if need.whole {
                a.vents_need(&with, &need);
            } else {
                given(&mut a);
            }
            let add = match (need.whole, worst) {
                (true, Some(worst)) => worst,
                _ => best,
            };
            let needed = have + add.total();
            a.figure("vent area needed", needed);
            a.figure("vent area to add", add.total());
            if add.upper.ft2() > 0.0 || add.lower.ft2() > 0.0 {
                a.figure("vent area to add, upper", add.upper);
                a.figure("vent area to add, lower", add.lower);
            }
            let misplaced = add.by_split && have >= need.fan().max(add.code_share);
            let text = if need.whole && misplaced {
                "{have} of net free vent area would do, but for 1/300 of the attic floor too little of it sits where it \
                 must: at least 40 % within 3 ft of the top, the rest at the eaves."
            } else if need.whole {
                "{have} of net free vent area is too little; {need} is needed: {why}."
            } else {
                "{have} of net free vent area is too little; at least {need} is needed: {why}."
            };
            let finding = a
                .settled(
                    Outcome::Mend,
                    Say::new(text)
                        .with("have", area(have))
                        .with("need", area(needed))
                        .with("why", why(&need, &add)),
                )
                .amounts(area(needed), area(have), area(have - needed));
            finding.needs(
                Who::Anybody,
                Need::Vents(Vents {
                    upper: add.upper,
                    lower: add.lower,
                    anywhere: add.anywhere,
                }),
            )
        }
        _ => {
            a.vents_need(&with, &need);
            if no_floor && vents.whole() {
                return a.contradiction(Say::new("an attic cannot have no floor area."));
            }
            return a.not_measured();
        }
    };
    if vents.powered > 0 {
        finding = finding.caution(
            Say::new("Powered vents do not count; left out: {count}. With the fan they would pull house air.")
                .with("count", vents.powered),
        );
    }
    if closed {
        finding = finding.caution(
            Say::new(
                "{area} of it lies at the eaves, where insulation closes the air's way: that counts here as it will once the \
                 eaves are open, and lets nothing out before.",
            )
            .with("area", area(vents.have.lower)),
        );
    }
    if vents.unscreened {
        finding = finding.caution(Say::new(
            "A vent stands open: openings must be screened to between 1/16 and 1/4 in (IRC R806.1), which takes from \
             their area.",
        ));
    }
    if vents.taken_at_least {
        finding = finding.caution(Say::new(
            "A ridge vent or perforated panel without a mark was counted at the least that such vents let through.",
        ));
    }
    if vents.unseen {
        finding = finding.caution(Say::new(
            "Nobody has looked behind the vents: nests, paint or insulation may block more of them than was said.",
        ));
    }
    finding
}

fn area(value: Area) -> super::Arg {
    number(value.ft2(), "ft²", 2)
}

/// What the need comes from.
fn why(need: &VentNeed, add: &ToAdd) -> &'static str {
    let fan = need.fan();
    if add.code_share > fan {
        if add.by_split {
            "1/300 of the attic floor, split between top and eaves"
        } else if need.share.is_some_and(|share| add.code_share < share.full) {
            "1/300 of the attic floor"
        } else {
            "1/150 of the attic floor"
        }
    } else if need.sheet.is_some_and(|sheet| sheet > need.airflow) {
        "the fan's sheet asks for it"
    } else if add.upper.ft2() > 0.0 || add.lower.ft2() > 0.0 {
        "the fan's airflow, and 1/300 of the attic floor split between top and eaves"
    } else {
        "the fan's airflow"
    }
}
