//! Wet wood, mould and animals: what must be put right before wood is cut or a fan moves the attic's air.

use super::{Finding, House, Outcome, RuleContext, Say, Who};
use crate::survey::arrival;
use crate::trade::source::Source;

const WOOD: &[Source] = &[Source::practice(
    "decayed members are replaced before new loads",
)];
const MOULD: &[Source] = &[Source::from_memory(
    "US EPA, A Brief Guide to Mold, Moisture and Your Home: find the water; over 10 ft² call a professional",
)];
const ANIMALS: &[Source] = &[Source::from_memory(
    "US CDC, cleaning up after rodents: wet droppings first, never sweep them dry",
)];

/// Is the wood dry and sound?
pub fn wet_wood(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "hazard-wet-wood",
        "Is the attic's wood dry and sound?",
        WOOD,
    );
    match asking.get(arrival::WET_OR_ROTTEN_WOOD) {
        None => asking.not_measured(),
        Some(false) => asking.settled(Outcome::Holds, Say::new("No wet or rotten wood was seen.")),
        Some(true) => asking
            .settled(Outcome::Mend, Say::new("Wet or rotten wood was seen."))
            .remedy(
                Who::Carpenter,
                Say::new("Find where the water comes from and stop it; replace the rotten wood."),
            )
            .caution(Say::new(
                "Do not stand on or hang anything from soft wood. Where joists or rafters are rotten, a licensed engineer says what holds.",
            )),
    }
}

/// Is the attic free of mould?
pub fn mould(house: House) -> Finding {
    let mut asking =
        RuleContext::house(house, "hazard-mould", "Is the attic free of mould?", MOULD);
    match asking.get(arrival::MOULD) {
        None => asking.not_measured(),
        Some(false) => asking.settled(Outcome::Holds, Say::new("No mould was seen.")),
        Some(true) => asking
            .settled(Outcome::Mend, Say::new("Mould was seen."))
            .remedy(
                Who::Anybody,
                Say::new("Find and stop the moisture, then have the mould removed; a patch over 10 ft² by a firm for it."),
            )
            .caution(Say::new(
                "Wear a fitted respirator, and stir up nothing. Do not run a fan over mould.",
            )),
    }
}

/// Is the attic free of animals?
pub fn animals(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "hazard-animals",
        "Is the attic free of animals and droppings?",
        ANIMALS,
    );
    match asking.get(arrival::ANIMALS) {
        None => asking.not_measured(),
        Some(false) => asking.settled(
            Outcome::Holds,
            Say::new("No animals or droppings were seen."),
        ),
        Some(true) => asking
            .settled(Outcome::Mend, Say::new("Animals or droppings were seen."))
            .remedy(
                Who::Anybody,
                Say::new("Have the animals removed as local law allows, the droppings cleaned up wet, and the ways in closed without closing vents."),
            )
            .caution(Say::new(
                "Droppings carry disease: wear gloves and a fitted respirator, and never sweep them dry. Some animals are protected.",
            )),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;
    use crate::survey::FieldRef;

    #[test]
    fn each_can_be_mended_and_says_how() {
        type Rule = fn(House) -> Finding;
        let rules = [
            (arrival::WET_OR_ROTTEN_WOOD.id, wet_wood as Rule),
            (arrival::MOULD.id, mould),
            (arrival::ANIMALS.id, animals),
        ];
        for (field, rule) in rules {
            let codes = codes();
            let open = about_house(&survey(&[]), &codes, rule);
            assert_eq!(open.outcome, Outcome::NotMeasured);
            assert_eq!(open.missing, [FieldRef::house(field)]);
            let clear = about_house(&survey(&[(field, "no")]), &codes, rule);
            assert_eq!(clear.outcome, Outcome::Holds);
            let seen = about_house(&survey(&[(field, "yes")]), &codes, rule);
            assert_eq!(seen.outcome, Outcome::Mend);
            assert_eq!((seen.remedies.len(), seen.cautions.len()), (1, 1));
        }
    }
}
