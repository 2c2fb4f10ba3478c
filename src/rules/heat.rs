//! How hot it is for the one who crawls in.
//!
//! The heat says nothing about whether a fan fits, so a reading never spoils the verdict: the finding holds and
//! carries its warning. Not read yet, it is *not measured yet* like any other: the two readings are taken at the
//! hatch before going in.

use super::{Finding, House, Outcome, RuleContext, Say, number};
use crate::measure::{Humidity, Temperature};
use crate::survey::{Survey, arrival};
use crate::trade::heat_index::{
    HOTTEST_AIR, HeatIndex, WorkBand, heat_index, public_band, work_band,
};
use crate::trade::source::Source;

const SOURCES: &[Source] = &[
    Source::confirmed("US National Weather Service, Technical Attachment SR 90-23"),
    Source::confirmed("US OSHA, Using the Heat Index: bands for work"),
    Source::derived(
        "no number beyond 112 °F of air or an index of 137 °F, where the equation's data end",
    ),
];

/// Below this air the heat index has no bands (source as above), in degrees Fahrenheit.
const LOWEST_F: f64 = 80.0;

/// Is the attic cool enough to work in?
pub fn heat(house: House) -> Finding {
    let mut asking = RuleContext::house(
        house,
        "heat",
        "How hot is the attic for the one who goes in?",
        SOURCES,
    );
    let air = asking.get(arrival::ATTIC_TEMPERATURE);
    let Some(air) = air else {
        asking.get(arrival::ATTIC_HUMIDITY);
        return asking.not_measured();
    };
    if air.f() < LOWEST_F {
        return asking.settled(
            Outcome::Holds,
            Say::new("The attic has {air}: below the bands for heat.")
                .with("air", number(air.f(), "°F", 0)),
        );
    }
    let humidity = asking.get(arrival::ATTIC_HUMIDITY);
    let Some(index) = index_of(air, humidity) else {
        return asking.not_measured();
    };
    let band = work_band(index);
    let say = match index {
        HeatIndex::Index(index) => {
            asking.figure("heat index", index);
            Say::new("Heat index {index}: {band} risk for work by OSHA's bands, {public} by the Weather Service's.")
                .with("index", number(index.f(), "°F", 0))
                .with("band", band.label())
                .with("public", public_band(HeatIndex::Index(index)).label())
        }
        HeatIndex::Beyond => Say::new(
            "The attic has {air}: beyond what the heat index is made for. Extreme risk, no number.",
        )
        .with("air", number(air.f(), "°F", 0)),
    };
    // What decides over going in comes first: it is read without opening anything.
    let mind = match band {
        WorkBand::Lower => Say::new("Drink water; know where the shade is."),
        WorkBand::Moderate => Say::new(
            "Drink about four cups of water an hour, rest in the shade, and let somebody watch the hatch.",
        ),
        WorkBand::High => Say::new(
            "Do not go in alone. Short spells only, water and shade at hand, and out at the first dizziness.",
        ),
        WorkBand::VeryHigh => Say::new("Do not go in. Come back in the cool of the morning."),
    };
    asking.settled(Outcome::Holds, say).caution(mind).caution(
        Say::new("Crawling in protective clothing is heavy work: mind the next band, {band}.")
            .with("band", band.heavy_work().label()),
    )
}

/// How hot it feels; none where that hangs on the humidity, and nobody has read it.
fn index_of(air: Temperature, humidity: Option<Humidity>) -> Option<HeatIndex> {
    match humidity {
        Some(humidity) => Some(heat_index(air, humidity)),
        // Above the hottest air of the equation no humidity is needed to say so.
        None => (air > HOTTEST_AIR).then_some(HeatIndex::Beyond),
    }
}

/// The air in the attic, where the reading at the hatch keeps everybody out.
pub fn too_hot(survey: &Survey) -> Option<Temperature> {
    let arrival = &survey.arrival;
    let air = arrival
        .attic_temperature
        .filter(|air| air.f() >= LOWEST_F)?;
    let index = index_of(air, arrival.attic_humidity)?;
    (work_band(index) == WorkBand::VeryHigh).then_some(air)
}

#[cfg(test)]
mod tests {
    use super::super::test_house::{about_house, codes, survey};
    use super::*;

    fn at(temperature: &str, humidity: &str) -> Finding {
        about_house(
            &survey(&[
                (arrival::ATTIC_TEMPERATURE.id, temperature),
                (arrival::ATTIC_HUMIDITY.id, humidity),
            ]),
            &codes(),
            heat,
        )
    }

    #[test]
    fn heat_warns_and_never_spoils_the_verdict() {
        let cases = [
            (
                "100 °F",
                "40 %",
                "Heat index 109\u{202f}°F: high risk for work by OSHA's bands, danger by the Weather Service's.",
            ),
            (
                "84 °F",
                "40 %",
                "Heat index 83\u{202f}°F: lower risk for work by OSHA's bands, caution by the Weather Service's.",
            ),
            (
                "130 °F",
                "15 %",
                "The attic has 130\u{202f}°F: beyond what the heat index is made for. Extreme risk, no number.",
            ),
        ];
        for (temperature, humidity, say) in cases {
            let finding = at(temperature, humidity);
            assert_eq!(finding.outcome, Outcome::Holds);
            assert_eq!(finding.say.english(), say);
            assert!(finding.cautions.len() >= 2);
            let house = survey(&[
                (arrival::ATTIC_TEMPERATURE.id, temperature),
                (arrival::ATTIC_HUMIDITY.id, humidity),
            ]);
            assert_eq!(too_hot(&house).is_some(), temperature == "130 °F");
        }
        let go = "Do not go in. Come back in the cool of the morning.";
        assert_eq!(at("130 °F", "15 %").cautions[0].text, go);
        assert_eq!(at("104 °F", "45 %").cautions[0].text, go);
    }

    #[test]
    fn nothing_is_said_before_it_is_read() {
        let both = [
            arrival::ATTIC_TEMPERATURE.of_house(),
            arrival::ATTIC_HUMIDITY.of_house(),
        ];
        assert_eq!(at("", "").missing, both);
        assert_eq!(at("", "40 %").missing, both[..1]);
        assert_eq!(at("95 °F", "").missing, both[1..]);
        // Below 80 °F and beyond the equation, humidity adds nothing.
        assert_eq!(at("75 °F", "").outcome, Outcome::Holds);
        assert_eq!(at("140 °F", "").outcome, Outcome::Holds);
        assert!(at("140 °F", "").figures.is_empty());
    }
}
