//! No wrong house and no false pass: which survey somebody means, what a later revision may do to a job under way, and
//! what a correction made at the wrong moment comes to.

use super::server::on_both;
use super::surveys::{enter, sound, survey, when};
use crate::bundles::device;
use joistlight::bundle::Watch;
use joistlight::office::intake::{self, IntakeOutcome};
use joistlight::office::register::{Entered, JudgingCriteria, Marked, Register, Status, Wanted};
use joistlight::survey::{FieldRef, Survey, Ways};
use joistlight::trade::codes::{Building, Codes};
use joistlight::trade::fan;
use std::sync::atomic::AtomicBool;

fn mark(register: &mut Register, survey: &Survey, status: Status) {
    let now = when("2026-05-05T08:00:00-07:00");
    register
        .set_status(survey.id, status, Marked::default(), "Office One", now)
        .unwrap();
}

fn say(survey: &mut Survey, field: &'static str, text: &str) {
    let at = FieldRef::house(field);
    survey.type_in(at, text, &Ways::default()).unwrap();
}

#[test]
fn a_job_is_found_by_its_reference_and_an_id_only_as_one() {
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let mut by_job = survey(1);
        by_job.id = "ffff0000-0000-4000-8000-000000000001".parse().unwrap();
        say(&mut by_job, "arrival.job_reference", "1042");
        let mut by_id = survey(2);
        by_id.id = "10420000-0000-4000-8000-000000000002".parse().unwrap();
        say(&mut by_id, "arrival.job_reference", "J-2");
        enter(&mut register, &by_id);
        // Only its id begins so: that is no job.
        let none = register.find("1042").unwrap_err().to_string();
        assert!(
            none.contains("no job “1042”") && none.contains("id:1042"),
            "{none}"
        );
        enter(&mut register, &by_job);
        assert_eq!(register.find("1042").unwrap(), by_job.id);
        assert_eq!(register.find("id:1042").unwrap(), by_id.id);
        assert_eq!(
            register.find(&format!("id:{}", by_id.id)).unwrap(),
            by_id.id
        );
        assert_eq!(register.find("j 2").unwrap(), by_id.id);
        assert!(register.find(&by_id.id.to_string()).is_err());
        let none = register.find("id:aaaa").unwrap_err().to_string();
        assert!(none.contains("no survey “id:aaaa”"), "{none}");
        // As it is written goes before what is only searched alike.
        let mut alike = survey(3);
        say(&mut alike, "arrival.job_reference", "j 2");
        enter(&mut register, &alike);
        assert_eq!(register.find("j 2").unwrap(), alike.id);
        assert_eq!(register.find("J-2").unwrap(), by_id.id);
        let both = register.find("J 2").unwrap_err().to_string();
        for named in [
            &*by_id.id.to_string(),
            &*alike.id.to_string(),
            "2 Fern Row",
            "3 Fern Row",
        ] {
            assert!(both.contains(named), "{named}: {both}");
        }
        // Two of the very same reference.
        let mut twin = survey(4);
        say(&mut twin, "arrival.job_reference", "1042");
        enter(&mut register, &twin);
        let both = register.find("1042").unwrap_err().to_string();
        for named in [
            &*by_job.id.to_string(),
            &*twin.id.to_string(),
            "is 2 surveys",
        ] {
            assert!(both.contains(named), "{named}: {both}");
        }
    });
}

#[test]
fn a_correction_made_while_everything_is_judged_again_is_not_lost() {
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let demo = joistlight::demo::survey().unwrap();
        enter(&mut register, &demo);
        for number in 1..=3 {
            enter(&mut register, &survey(number));
        }
        let codes = Codes {
            building: Building::Irc2012,
            ..Codes::default()
        };
        // A list of one fan: the demo's best changes, and is told while the office still works.
        let fans: Vec<&str> = fan::GENERIC.split("[[fan]]").collect();
        let fans = [fans[0], fans[fans.len() - 1]].join("[[fan]]");
        let other = JudgingCriteria::new(codes, "other.toml", &fans).unwrap();
        let mut elsewhere = Register::open(location).unwrap();
        let spot = demo.spots[0].id;
        let now = when("2026-05-05T08:00:00-07:00");
        let mut corrected = false;
        register
            .judge_again(&other, Some(("Office One", now)), &mut |_| {
                if !corrected {
                    let at = FieldRef::spot("attic.roof_height", spot);
                    elsewhere
                        .correct(demo.id, at, "20 in", "misread", "Office Two", now)
                        .unwrap();
                    corrected = true;
                }
            })
            .unwrap();
        assert!(corrected);
        let (survey, _) = register.corrected(demo.id).unwrap();
        let line = register.line(demo.id).unwrap();
        assert_eq!(line.summary, Some(other.summary(&survey)));
        assert_ne!(line.summary, Some(other.summary(&demo)));
        assert!(!line.stale);
        sound(&mut register);
    });
}

#[test]
fn a_later_revision_of_a_job_under_way_waits_until_somebody_accepts_it() {
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let first = joistlight::demo::survey().unwrap();
        let spot = first.spots[0].id;
        enter(&mut register, &first);
        mark(&mut register, &first, Status::Quoted);
        let shown = register.line(first.id).unwrap();
        let mut second = first.clone();
        second.revision += 1;
        say(&mut second, "arrival.client", "Bel Placeholder");
        let roof = FieldRef::spot("attic.roof_height", spot);
        second.type_in(roof, "20 in", &Ways::default()).unwrap();
        let (later, how) = enter(&mut register, &second);
        assert_eq!(how, Entered::Waits);
        let line = register.line(first.id).unwrap();
        assert_eq!((line.revision, line.waiting), (shown.revision, 1));
        assert_eq!(
            (&line.client, &line.summary),
            (&shown.client, &shown.summary)
        );
        assert_eq!(register.current(first.id).unwrap(), first);
        let waiting = Wanted {
            waiting: true,
            ..Wanted::default()
        };
        assert_eq!(register.list(&waiting).unwrap().all, 1);
        sound(&mut register);

        // Side by side: the answers and the figures that differ.
        let bundle = register.bundle_to_accept(first.id, None, None).unwrap();
        assert_eq!(bundle.bundle, later);
        let before = register.bundle_of(first.id, None).unwrap().bundle;
        let compared = register.compare(&before, &later).unwrap();
        let labels: Vec<&str> = compared.changes.answers.iter().map(|it| it.label).collect();
        assert_eq!(labels.len(), 2, "{labels:?}");
        let verdict = &compared.figures[0];
        let told =
            |it: &Option<joistlight::office::changes::Judgement>| it.as_ref().unwrap().english();
        assert!(
            told(&verdict.before).starts_with("fits with work"),
            "{verdict:?}"
        );
        assert!(
            told(&verdict.after).starts_with("does not fit"),
            "{verdict:?}"
        );

        let now = when("2026-05-06T08:00:00-07:00");
        let nobody = register.accept(first.id, &later, " ", now).unwrap_err();
        assert!(nobody.to_string().contains("name"), "{nobody}");
        register
            .accept(first.id, &later, "Office Two", now)
            .unwrap();
        let line = register.line(first.id).unwrap();
        assert_eq!((line.revision, line.waiting), (second.revision, 0));
        assert_eq!(line.client, "Bel Placeholder");
        assert!(register.bundle_to_accept(first.id, None, None).is_err());
        sound(&mut register);
        // What is still later waits again, and to accept the shown one is to pass over it.
        let mut third = second.clone();
        third.revision += 1;
        say(&mut third, "arrival.client", "Cato Placeholder");
        assert_eq!(enter(&mut register, &third).1, Entered::Waits);
        register
            .accept(first.id, &later, "Office Two", now)
            .unwrap();
        let line = register.line(first.id).unwrap();
        assert_eq!((line.client.as_str(), line.waiting), ("Bel Placeholder", 0));
        sound(&mut register);
    });
}

#[test]
fn a_count_that_its_clock_belies_pins_nothing() {
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let mut forged = survey(1);
        forged.revision = 9_999;
        say(&mut forged, "arrival.client", "Forged Name");
        let mut honest = survey(1);
        honest.revision = 2;
        honest.changed = when("2026-05-03T19:20:00-07:00");
        enter(&mut register, &forged);
        // The honest one is not hidden behind a count that no device reached: somebody is asked.
        let (bundle, how) = enter(&mut register, &honest);
        assert_eq!(how, Entered::Waits);
        assert_eq!(register.line(honest.id).unwrap().waiting, 1);
        let now = when("2026-05-06T08:00:00-07:00");
        register
            .accept(honest.id, &bundle, "Office One", now)
            .unwrap();
        let line = register.line(honest.id).unwrap();
        assert_eq!((line.client.as_str(), line.waiting), ("Émile Sampleton", 0));
        sound(&mut register);
    });
}

#[test]
fn a_clock_or_a_count_that_cannot_be_is_refused_by_its_field() {
    let sent = tempfile::tempdir().unwrap();
    let now = joistlight::survey::When::now();
    let hours = |hours: i64| {
        let at = now.timestamp() + jiff::SignedDuration::from_hours(hours);
        joistlight::survey::When::new(at, jiff::tz::Offset::UTC)
    };
    // What the bundle's survey says, what the sentence begins with, and whether it comes in.
    let mut cases = Vec::new();
    for (number, (changed, revision, field)) in [
        (hours(0), 1, None),
        (hours(23), 1, None),
        (hours(25), 1, Some("changed: ")),
        (when("9998-01-01T00:00:00Z"), 1, Some("changed: ")),
        (when("2019-12-31T23:00:00Z"), 1, Some("changed: ")),
        (hours(0), 10_000, None),
        (hours(0), u32::MAX, Some("revision: ")),
    ]
    .into_iter()
    .enumerate()
    {
        let mut device = device(number as u64 + 1, 0, (64, 48));
        let mut survey = device.survey().clone();
        survey.id = uuid::Uuid::from_u128(900 + number as u128);
        survey.changed = changed;
        survey.revision = revision;
        device.open = device.store.begin(survey).unwrap();
        let folder = sent.path().join(number.to_string());
        std::fs::create_dir(&folder).unwrap();
        cases.push((device.bundle(&folder, Watch::default()).unwrap(), field));
    }
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        for (file, field) in &cases {
            let mut came_to = None;
            let files = std::slice::from_ref(file);
            intake::take_in(&mut register, files, &AtomicBool::new(false), &mut |step| {
                came_to = Some(step.outcome.clone());
            })
            .unwrap();
            match (came_to.unwrap(), field) {
                (IntakeOutcome::Entered { .. }, None) => {}
                (IntakeOutcome::Refused { reason, .. }, Some(field)) => {
                    let start = format!("{}: {field}", file.display());
                    assert!(reason.starts_with(&start), "{reason}");
                }
                (other, field) => panic!("{field:?}: {other:?}"),
            }
        }
        assert_eq!(register.list(&Wanted::default()).unwrap().all, 3);
    });
}

#[test]
fn the_whole_line_of_a_job_is_kept_with_day_and_crew() {
    on_both(|location| {
        let mut register = Register::open(location).unwrap();
        let survey = survey(1);
        enter(&mut register, &survey);
        let now = when("2026-05-05T08:00:00-07:00");
        let mut set = |status: Status, date: Option<&str>, crew: Option<&str>| {
            let marked = Marked {
                date,
                crew,
                remark: "",
            };
            register.set_status(survey.id, status, marked, "Office One", now)
        };
        for status in &Status::ALL[1..4] {
            set(*status, None, None).unwrap();
        }
        for (date, crew) in [
            (None, None),
            (Some("2026-06-15"), None),
            (Some("2026-06-15"), Some(" ")),
            (Some("someday"), Some("Crew B")),
            (Some("2026-06-31"), Some("Crew B")),
        ] {
            assert!(
                set(Status::Scheduled, date, crew).is_err(),
                "{date:?} {crew:?}"
            );
        }
        assert!(set(Status::Built, Some("2026-06-15"), None).is_err());
        set(Status::Scheduled, Some("2026-06-15"), Some("Crew B")).unwrap();
        set(Status::Built, None, None).unwrap();
        set(Status::Inspected, None, None).unwrap();
        set(Status::Paid, None, None).unwrap();
        let line = register.line(survey.id).unwrap();
        assert_eq!(line.status, Status::Paid);
        assert_eq!(
            (line.scheduled.as_str(), line.crew.as_str()),
            ("2026-06-15", "Crew B")
        );
        let history = register.statuses(survey.id).unwrap();
        let all: Vec<Status> = history.iter().map(|one| one.status).collect();
        assert_eq!(all, Status::ALL[1..8]);
        assert_eq!(history[3].crew.as_deref(), Some("Crew B"));
        sound(&mut register);
    });
}
