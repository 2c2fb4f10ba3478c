//! Whether the ceiling is cut under the federal rule for lead paint.
//!
//! The rule exempts up to 6 ft² a room, but not demolition, and whether sawing out a painted ceiling is
//! demolition it leaves open. So in a house from before 1978 whose paint nobody has shown to be free of lead,
//! the work is planned lead-safe whatever the size of the opening; the finding says which case it is.

use super::{Finding, Outcome, RuleContext, Say, Who, WithFan, number};
use crate::measure::Area;
use crate::survey::arrival;
use crate::trade::lead_paint::{FREE_FROM_YEAR, LeadWork, MINOR_REPAIR, lead_work};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed(
        "40 CFR 745.83: before 1978; minor repair of at most 6 ft² a room, no demolition",
    ),
    Source::derived(
        "sawing out a painted ceiling may count as demolition: plan for it (judgement)",
    ),
];

/// Can the ceiling be cut without disturbing lead paint?
pub fn lead_paint(with: WithFan) -> Finding {
    let mut asking = RuleContext::spot(
        with.at,
        "lead-paint",
        "Can the ceiling be cut without disturbing lead paint?",
        SOURCES,
    );
    let area = with.fan.opening.length * with.fan.opening.width;
    asking.figure("ceiling cut out", area);
    let year = asking.get(arrival::YEAR_BUILT);
    if year.is_some_and(|year| year >= FREE_FROM_YEAR) {
        return asking.settled(
            Outcome::Holds,
            Say::new("The house was built in 1978 or later."),
        );
    }
    let free = asking.get(arrival::PAINT_LEAD_FREE);
    if free == Some(true) {
        return asking.settled(
            Outcome::Holds,
            Say::new("The ceiling's paint was shown to be free of lead."),
        );
    }
    let (Some(year), Some(free)) = (year, free) else {
        return asking.not_measured();
    };
    let ft2 = |area: Area| number(area.ft2(), "ft²", 2);
    let say = match lead_work(year, free, area, false) {
        LeadWork::Minor => Say::new(
            "Built before 1978, {area} of painted ceiling cut: exempt at up to {limit}, but not if sawing it out counts as demolition.",
        ),
        _ => Say::new(
            "Built before 1978, {area} of painted ceiling cut, over {limit}: the federal rule for lead paint applies.",
        ),
    };
    asking
        .settled(
            Outcome::Mend,
            say.with("area", ft2(area)).with("limit", ft2(MINOR_REPAIR)),
        )
        .remedy(
            Who::Anybody,
            Say::new("Have the ceiling cut lead-safe by a firm certified for it, or have the paint tested first."),
        )
        .amounts(ft2(MINOR_REPAIR), ft2(area), ft2(MINOR_REPAIR - area))
        .caution(Say::new(
            "Cut, scrape and sand nothing painted before that. Keep children and pregnant women away; all work in the room within 30 days counts as one job.",
        ))
        .caution(Say::new(
            "Textured ceilings and tiles of that age may hold asbestos: have them tested before cutting.",
        ))
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{codes, fan, survey, with_fan};
    use super::*;

    fn judge(year: &str, free: &str, id: &str) -> Finding {
        let survey = survey(&[
            (arrival::YEAR_BUILT.id, year),
            (arrival::PAINT_LEAD_FREE.id, free),
        ]);
        with_fan(&survey, &codes(), &fan(id), lead_paint)
    }

    #[test]
    fn later_houses_and_tested_paint_are_free() {
        assert_eq!(judge("1978", "", "belt-36").outcome, Outcome::Holds);
        assert_eq!(judge("", "yes", "belt-36").outcome, Outcome::Holds);
        assert_eq!(judge("1950", "yes", "belt-36").outcome, Outcome::Holds);
    }

    #[test]
    fn older_paint_is_cut_lead_safe_and_the_area_is_told() {
        let large = judge("1977", "no", "belt-36");
        assert_eq!(large.outcome, Outcome::Mend);
        assert!(
            large
                .say
                .english()
                .contains("9.00 ft² of painted ceiling cut, over")
        );
        let small = judge("1977", "no", "direct-24");
        assert_eq!(small.outcome, Outcome::Mend);
        assert!(small.say.english().contains("4.00 ft²"));
        assert!(small.say.english().contains("demolition"));
    }

    #[test]
    fn what_is_missing_is_named() {
        let (year, free) = (
            arrival::YEAR_BUILT.of_house(),
            arrival::PAINT_LEAD_FREE.of_house(),
        );
        assert_eq!(judge("", "", "belt-36").missing, [year, free]);
        assert_eq!(judge("1950", "", "belt-36").missing, [free]);
        assert_eq!(judge("", "no", "belt-36").missing, [year]);
    }
}
