//! Smoke and carbon monoxide alarms: work under a permit indoors brings them up to date.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::{Fireplace, arrival, flame};
use crate::trade::source::Source;

const SMOKE: &[Source] = &[Source::confirmed(
    "IRC R314: each bedroom, outside each sleeping area, each storey; 36 in from the tip of a paddle fan and from the path of a supply register",
)];
const CO: &[Source] = &[Source::confirmed(
    "IRC R315: outside each sleeping area where fuel burns or a garage is attached",
)];

/// Are smoke alarms where they belong?
pub fn smoke_alarms(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "smoke-alarms",
        "Are smoke alarms where they belong?",
        SMOKE,
    );
    match asking.get(arrival::SMOKE_ALARMS) {
        None => asking.not_measured(),
        Some(true) => asking
            .settled(
                Outcome::Holds,
                Say::new("Smoke alarms are where they belong."),
            )
            .caution(Say::new(
                "Keep smoke alarms 3 ft away from the fan's opening; the air it draws can keep smoke from them.",
            )),
        Some(false) => asking
            .settled(Outcome::Mend, Say::new("Smoke alarms are missing."))
            .remedy(
                Who::Electrician,
                Say::new("Put smoke alarms in each bedroom, outside each sleeping area and on each storey, joined so that all sound together where local code asks for it."),
            ),
    }
}

/// Are carbon monoxide alarms where they belong?
///
/// A fireplace of any kind counts as a fuel burned (our judgement: the code says fuel-fired appliance).
pub fn co_alarms(house: House) -> Finding {
    let survey = house.survey;
    let mut asking = RuleContext::house(
        house,
        "co-alarms",
        "Are carbon monoxide alarms where they belong?",
        CO,
    );
    let alarms = asking.get(arrival::CO_ALARMS);
    if alarms == Some(true) {
        return asking.settled(
            Outcome::Holds,
            Say::new("Carbon monoxide alarms are where they belong."),
        );
    }
    let garage = asking.get(arrival::ATTACHED_GARAGE);
    let all_appliances = asking.complete(flame::APPLIANCES);
    let fireplace = asking.get(flame::FIREPLACE);
    let appliance = !survey.flame.appliances.items.is_empty();
    let burns =
        garage == Some(true) || appliance || fireplace.is_some_and(|kind| kind != Fireplace::None);
    let nothing_burns =
        garage == Some(false) && all_appliances && !appliance && fireplace == Some(Fireplace::None);
    if nothing_burns {
        return asking.settled(
            Outcome::Holds,
            Say::new("No fuel burns in the house and no garage is attached: none are needed."),
        );
    }
    if alarms == Some(false) && burns {
        return asking
            .settled(
                Outcome::Mend,
                Say::new("Carbon monoxide alarms are missing, and fuel burns in the house or a garage is attached."),
            )
            .remedy(
                Who::Electrician,
                Say::new("Put carbon monoxide alarms outside each sleeping area before the fan first runs."),
            )
            .caution(Say::new(
                "An alarm warns of burnt gas drawn into the house; it does not make it safe.",
            ));
    }
    asking.not_measured()
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;
    use crate::survey::{AnyList, FieldRef};

    #[test]
    fn smoke_alarms_are_there_or_are_put_there() {
        let outcome = |answer: &str| {
            about_house(
                &survey(&[(arrival::SMOKE_ALARMS.id, answer)]),
                &codes(),
                smoke_alarms,
            )
            .outcome
        };
        assert_eq!(outcome("yes"), Outcome::Holds);
        assert_eq!(outcome("no"), Outcome::Mend);
        assert_eq!(outcome(""), Outcome::NotMeasured);
    }

    #[test]
    fn co_alarms_matter_only_where_something_burns() {
        let codes = codes();
        let co =
            |answers: &[(&'static str, &str)]| about_house(&survey(answers), &codes, co_alarms);
        assert_eq!(
            co(&[(arrival::CO_ALARMS.id, "yes")]).outcome,
            Outcome::Holds
        );
        let open = co(&[(arrival::CO_ALARMS.id, "no")]);
        assert_eq!(open.outcome, Outcome::NotMeasured);
        assert_eq!(
            open.missing,
            [
                arrival::ATTACHED_GARAGE.id,
                flame::APPLIANCES.complete,
                flame::FIREPLACE.id
            ]
            .map(FieldRef::house)
        );
        for something in [
            (arrival::ATTACHED_GARAGE.id, "yes"),
            (flame::FIREPLACE.id, "no damper"),
        ] {
            let missing = co(&[(arrival::CO_ALARMS.id, "no"), something]);
            assert_eq!(missing.outcome, Outcome::Mend);
            assert!(missing.missing.is_empty());
            // Whether they are there is still open.
            assert_eq!(co(&[something]).outcome, Outcome::NotMeasured);
        }
        let all_electric = [
            (arrival::ATTACHED_GARAGE.id, "no"),
            (flame::APPLIANCES.complete, "yes"),
            (flame::FIREPLACE.id, "none"),
        ];
        assert_eq!(co(&all_electric).outcome, Outcome::Holds);
        let mut with_a_stove = survey(&all_electric);
        let id = with_a_stove.fresh_id();
        with_a_stove.flame.appliances.add(id);
        let open = about_house(&with_a_stove, &codes, co_alarms);
        assert_eq!(open.missing, [arrival::CO_ALARMS.of_house()]);
    }
}
