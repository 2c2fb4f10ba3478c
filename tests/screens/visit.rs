//! The first visit of a salesperson, the page for the customer, and the verdict page, by taps.

use crate::driver::{SIZES, platform};
use crate::ready;
use joistlight::app::judge::Told;
use joistlight::app::session::View;
use joistlight::rules::first_visit::MOST;
use joistlight::survey::{FieldRef, FramingKind, Kind, Stop, fields};

#[test]
fn ten_answers_from_the_hall_give_a_verdict_and_the_survey_goes_on_from_them() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = crate::driver::Driver::open(data.path(), SIZES[1]);
    d.snapshot_sizes("surveys-first-visit");
    d.tap("First visit: ten answers");
    assert_eq!(d.app.session().view(), View::FirstVisit);
    d.snapshot_sizes("first-visit");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());

    let mut given = 0;
    for _ in 0..MOST {
        let next = d
            .app
            .session()
            .first_answers()
            .into_iter()
            .find(|it| !it.given);
        let Some(next) = next else { break };
        let slot = fields::slot(next.field.field).expect("a field");
        match slot.kind {
            Kind::YesNo => d.tap(&format!("{}: No", slot.label)),
            Kind::Choice(_) if slot.id == "attic.framing" => {
                d.tap(slot.label);
                d.tap(FramingKind::Trusses.label());
            }
            Kind::Choice(words) => {
                d.tap(slot.label);
                d.tap(words[0].label);
            }
            _ => {
                d.tap(slot.label);
                // A hall too narrow for any fan.
                d.type_text(if slot.id == "hall.width" { "11" } else { "60" });
                d.tap("save");
            }
        }
        // Where the next question comes up by itself it is put away: this test goes its own way.
        while d.app.session().sheet().is_some() {
            d.press(slint::platform::Key::Escape);
        }
        given += 1;
        let answers = d.app.session().first_answers();
        assert!(answers.len() <= MOST, "{answers:?}");
        assert!(d.app.session().survey_holds(next.field), "{}", slot.id);
    }
    assert!((1..=MOST).contains(&given));
    d.snapshot_sizes("first-visit-answered");
    let said = d.labels().join("\n");
    assert!(said.contains("So far: does not fit"), "{said}");
    let taps = d.taps;
    println!("{given} answers, {taps} taps");

    // It is a survey, and goes on as one.
    let spot = d.app.session().open().expect("open").spot;
    let width = FieldRef::spot("hall.width", spot);
    assert!(d.app.session().survey_holds(width));
    d.tap("Go on with the whole survey");
    assert!(matches!(
        d.app.session().view(),
        View::Place(joistlight::app::place::Place::Stop(Stop::Arrival))
    ));
    assert!(d.app.session().survey_holds(width));
}

#[test]
fn the_customer_reads_plain_words_in_either_language() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("For the customer");
    d.snapshot_sizes("customer");
    let english = d.labels().join("\n");
    assert!(
        english.contains("A whole-house fan fits here, with some work first."),
        "{english}"
    );
    d.tap("language of this page: Español");
    d.snapshot_sizes("customer-es");
    let spanish = d.labels().join("\n");
    assert!(spanish.contains("Aquí se puede poner"), "{spanish}");
    // The rest of the window stays as it was.
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Walk);
    assert!(d.find("menu").is_some(), "{:?}", d.labels());
    assert!(d.find("Arrival").is_some(), "{:?}", d.labels());
    assert!(!d.labels().join("\n").contains("Aquí se puede poner"));
}

#[test]
fn the_verdict_says_what_to_do_why_the_first_is_first_and_leads_to_the_answers() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Verdict");
    d.snapshot_sizes("verdict-demo");
    assert_eq!(d.too_small(48.0), Vec::<String>::new());
    let holds = d.app.session();
    let judged = &holds.open().expect("open").judged;
    let spot = judged.spot().expect("a spot");
    let order = judged.ranked(spot);
    let best = spot.best().expect("a choice");
    assert!(std::ptr::eq(&spot.choices[order[0]], best));
    drop(holds);

    // What is in order is folded away, and opens.
    let fold = d
        .labels_everywhere()
        .into_iter()
        .find(|label| label.starts_with("In order: "))
        .expect("what is in order");
    d.tap(&fold);
    d.snapshot("verdict-in-order");
    // A finding opens to its answers, and a tap leads there.
    let mend = d
        .labels_everywhere()
        .into_iter()
        .find(|label| label == "Do the attic's vents let the air out?")
        .or_else(|| Some("Strength of joists".to_owned()))
        .expect("a finding");
    d.tap(&mend);
    d.snapshot("verdict-finding-open");
    let go = d
        .labels_everywhere()
        .into_iter()
        .find(|label| label.starts_with("Go to: "))
        .expect("a way to an answer");
    d.tap(&go);
    assert!(matches!(d.app.session().view(), View::Place(_)));
    d.press(slint::platform::Key::Escape);
    d.tap("back");
    assert_eq!(d.app.session().view(), View::Verdict);
    d.tap("See it drawn");
    assert_eq!(d.app.session().view(), View::Drawing);
}

/// What an opened finding says, each part under its name.
type Part = (&'static str, fn(&Told) -> &str);
const PARTS: [Part; 5] = [
    ("needed", |it| it.need.as_str()),
    ("measured", |it| it.measured.as_str()),
    ("margin", |it| it.margin.as_str()),
    ("what mends it", |it| it.remedy.as_str()),
    ("source", |it| it.source.as_str()),
];

#[test]
fn an_opened_finding_says_need_measured_margin_remedy_and_source() {
    platform();
    let data = tempfile::tempdir().expect("a folder");
    let mut d = ready::open(data.path(), ready::survey(), SIZES[1]);
    d.tap("menu");
    d.tap("Verdict");
    let fold = d
        .labels_everywhere()
        .into_iter()
        .find(|label| label.starts_with("In order: "))
        .expect("what is in order");
    d.tap(&fold);
    let all: Vec<Told> = {
        let session = d.app.session();
        let judged = &session.open().expect("open").judged;
        judged.findings().cloned().collect()
    };
    // A tap finds a row by its title: those that are there once. For each part the first that has it.
    let alone = |it: &&Told| all.iter().filter(|other| other.title == it.title).count() == 1;
    let mut opened: Vec<&Told> = Vec::new();
    for (name, part) in PARTS {
        let it = all
            .iter()
            .filter(alone)
            .find(|it| !part(it).is_empty())
            .unwrap_or_else(|| panic!("no finding has: {name}"));
        if !opened.iter().any(|other| other.title == it.title) {
            opened.push(it);
        }
    }
    let shut = d.labels_everywhere();
    for (name, _) in PARTS {
        assert!(!shut.iter().any(|label| label == name), "{name}");
    }
    for it in opened {
        d.tap(&it.title);
        let said = d.labels_everywhere();
        for (name, part) in PARTS {
            let text = part(it);
            let has = |wanted: &str| said.iter().any(|label| label == wanted);
            assert_eq!(has(name), !text.is_empty(), "{}: {name}", it.title);
            assert!(text.is_empty() || has(text), "{}: {name}: {text}", it.title);
        }
        d.tap(&it.title);
    }
}
