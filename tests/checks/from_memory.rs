//! What nobody who wrote this has seen in print says so: the figures that are still from memory , by rule and by
//! the words of their source. Whoever reads one of them in print changes its status here and at the rule together.
//!
//! Of the entries there is no figure in the rules for: IRC R502.10 and R301.7, the numbering of ASHRAE's equations,
//! ASHRAE 62.2 section 6.4, NEC 430.42 and 240.4(G), ANSI C84.1 range B, the Canadian code's −5 Pa, OSHA's 4:1, and −25 Pa for
//! sealed combustion. The cells of IRC Table R802.5.1 are in `tests/outside/spans.rs`, which says of each row whether it is
//! from memory. That each ground beyond four adds a quarter since 2020 was read since, in a thread of a trade's forum
//! (`trade::box_fill`).

use joistlight::measure::Tape;
use joistlight::rules::{Finding, assess};
use joistlight::survey::Survey;
use joistlight::trade::codes::{Building, Codes, Energy};
use joistlight::trade::fan::generic;
use joistlight::trade::source::Status;
use joistlight::trade::vent_area::{NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_UNDER_EAVE};
use std::collections::BTreeMap;

/// The status of every source, by rule and by its words, under these editions.
fn sources(codes: Codes) -> BTreeMap<(&'static str, &'static str), Status> {
    let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
    let survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
    let assessment = assess(&survey, generic(), &codes);
    let spot = &assessment.spots[0];
    let of = |finding: &Finding| {
        let rule = finding.rule;
        let pairs = finding.sources.iter();
        pairs
            .map(|source| ((rule, source.cite), source.status))
            .collect::<Vec<_>>()
    };
    let house = assessment.house.iter().chain(&spot.findings);
    let choices = spot.choices.iter().flat_map(|it| &it.findings);
    house.chain(choices).flat_map(of).collect()
}

fn under(building: Building, energy: Energy) -> Codes {
    Codes {
        building,
        energy,
        ..Codes::default()
    }
}

#[test]
fn figures_from_memory_say_so() {
    let usual = under(Building::Irc2021, Energy::None);
    let california = under(Building::Irc2021, Energy::California2016);
    let table = [
        (usual, "airflow", "HVI 916 and 920"),
        (usual, "exhaust-vents", "DOE/GO-10099-745"),
        (california, "airflow", "§150.1(c)12"),
        (california, "exhaust-vents", "§150.1(c)12"),
        (usual, "pressed-back", "A quarter of a house's leaks"),
        (usual, "garage", "IRC R302.6: ⅝ in Type X"),
        (usual, "insulation-clearance", "IRC R302.14: 3 in"),
        (usual, "attic-light", "NEC 210.70(C)"),
        (usual, "attic-light", "NEC 210.63"),
        (usual, "switch-rating", "NEC 430.109(C)"),
        (usual, "circuit", "430.53(A)"),
        (usual, "new-wood", "type L vent"),
        (usual, "new-wood", "plastic vent"),
        (usual, "new-wood", "heating equipment"),
        (usual, "joist-strength", "NDS 12.3.1"),
        (usual, "joist-strength", "NDS Supplement Table 4B"),
        (
            under(Building::Irc2015, Energy::None),
            "exhaust-vents",
            "IRC 2015 R806.2",
        ),
        (
            under(Building::Irc2018, Energy::None),
            "exhaust-vents",
            "IRC 2018 R806.2",
        ),
        (
            under(Building::Irc2024, Energy::None),
            "exhaust-vents",
            "IRC 2024 R806.2",
        ),
    ];
    for (codes, rule, words) in table {
        let found: Vec<Status> = sources(codes)
            .into_iter()
            .filter(|((of, cite), _)| *of == rule && cite.contains(words))
            .map(|(_, status)| status)
            .collect();
        assert_eq!(found, [Status::FromMemory], "{rule}: {words}");
    }
    // And nothing else in the rules is from memory under the usual editions, so that a figure that becomes so is listed.
    let mut listed = Vec::new();
    for ((rule, cite), status) in sources(usual) {
        let known = table
            .iter()
            .any(|(_, of, words)| *of == rule && cite.contains(words));
        if status == Status::FromMemory && !known {
            listed.push((rule, cite));
        }
    }
    let beyond = [
        // Guidance for households, and two of the electrical code's.
        ("hazard-animals", "US CDC"),
        ("hazard-mould", "US EPA, A Brief Guide to Mold"),
        ("circuit", "NEC 110.14(C)(1)(a)"),
    ];
    for (rule, cite) in listed {
        assert!(
            beyond
                .iter()
                .any(|(of, words)| *of == rule && cite.starts_with(words)),
            "{rule}: {cite}"
        );
    }
}

#[test]
fn vents_that_are_named_to_be_added_are_from_memory() {
    for vent in [NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_UNDER_EAVE] {
        assert_eq!(
            vent.source.status,
            Status::FromMemory,
            "{}",
            vent.source.cite
        );
    }
}
