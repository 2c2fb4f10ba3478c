//! Smoke and carbon monoxide alarms: work under a permit indoors brings them up to date.

use super::{Asking, Finding, House, Outcome, Say, Who};
use crate::survey::Fireplace;
use crate::trade::source::Source;

const SMOKE: &[Source] = &[Source::confirmed(
    "IRC R314: each bedroom, outside each sleeping area, each storey; 36 in from the tip of a paddle fan and from the path of a supply register",
)];
const CO: &[Source] = &[Source::confirmed(
    "IRC R315: outside each sleeping area where fuel burns or a garage is attached",
)];

/// Are smoke alarms where they belong?
pub fn smoke_alarms(house: House) -> Finding {
    let mut asking = Asking::house("smoke-alarms", "Are smoke alarms where they belong?", SMOKE);
    match asking.ask("arrival.smoke_alarms", house.survey.arrival.smoke_alarms) {
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
    let mut asking = Asking::house(
        "co-alarms",
        "Are carbon monoxide alarms where they belong?",
        CO,
    );
    let alarms = asking.ask("arrival.co_alarms", survey.arrival.co_alarms);
    if alarms == Some(true) {
        return asking.settled(
            Outcome::Holds,
            Say::new("Carbon monoxide alarms are where they belong."),
        );
    }
    let garage = asking.ask("arrival.attached_garage", survey.arrival.attached_garage);
    let all_appliances = asking.ask_list("flame.appliances.complete", &survey.flame.appliances);
    let fireplace = asking.ask("flame.fireplace", survey.flame.fireplace);
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
                &survey(&[("arrival.smoke_alarms", answer)]),
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
        assert_eq!(co(&[("arrival.co_alarms", "yes")]).outcome, Outcome::Holds);
        let open = co(&[("arrival.co_alarms", "no")]);
        assert_eq!(open.outcome, Outcome::NotMeasured);
        assert_eq!(
            open.missing,
            [
                "arrival.attached_garage",
                "flame.appliances.complete",
                "flame.fireplace"
            ]
            .map(FieldRef::house)
        );
        for something in [
            ("arrival.attached_garage", "yes"),
            ("flame.fireplace", "no damper"),
        ] {
            let missing = co(&[("arrival.co_alarms", "no"), something]);
            assert_eq!(missing.outcome, Outcome::Mend);
            assert!(missing.missing.is_empty());
            // Whether they are there is still open.
            assert_eq!(co(&[something]).outcome, Outcome::NotMeasured);
        }
        let all_electric = [
            ("arrival.attached_garage", "no"),
            ("flame.appliances.complete", "yes"),
            ("flame.fireplace", "none"),
        ];
        assert_eq!(co(&all_electric).outcome, Outcome::Holds);
        let mut with_a_stove = survey(&all_electric);
        let id = with_a_stove.fresh_id();
        with_a_stove.flame.appliances.add(id);
        let open = about_house(&with_a_stove, &codes, co_alarms);
        assert_eq!(open.missing, [FieldRef::house("arrival.co_alarms")]);
    }
}
