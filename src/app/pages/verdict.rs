//! The verdict, spot by spot.

use super::{from_index, index, model, update};
use crate::app::judge::{Told, Way, sign_of_verdict};
use crate::app::place::{Key, Place, Sign};
use crate::app::reader::capital;
use crate::app::session::{Session, View};
use crate::app::{
    FindingLine, Handle, MainWindow, MarkKind, PartLine, Pick, Theme, VerdictAdapter, WayLine, act,
};
use crate::rules::fan_choice::{self, Ranked};
use crate::rules::{Outcome, Say, SpotAssessment, Verdict, number};
use crate::survey::{FieldRef, fields};
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &MainWindow, app: &Handle) {
    let verdict = window.global::<VerdictAdapter>();
    let handle = app.clone();
    verdict.on_pick_way(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| {
                if let Some(way) = ways(session).into_iter().nth(at) {
                    session.pick_way(way);
                }
            });
        }
    });
    let handle = app.clone();
    verdict.on_draw(move || act(&handle, |session| session.go(View::Drawing)));
    let handle = app.clone();
    verdict.on_fold(move || act(&handle, |_| {}));
    let handle = app.clone();
    verdict.on_go_on(move || {
        act(&handle, |session| match onward(session) {
            Onward::Measure(at) => session.go_field(at),
            Onward::Spot(at) => session.go_spot(at),
            Onward::HandOver => session.go(View::HandOver),
        });
    });
    let handle = app.clone();
    verdict.on_go(move |key| {
        if let Some(Key::Field(at)) = Key::parse(&key) {
            act(&handle, move |session| session.go_field(at));
        }
    });
}

/// The ways of the present spot, in the order in which they are shown.
fn ways(session: &Session) -> Vec<Way> {
    let Some((open, spot)) = session
        .open()
        .and_then(|open| Some((open, open.judged.spot()?)))
    else {
        return Vec::new();
    };
    open.judged
        .ranked(spot)
        .into_iter()
        .map(|at| Way {
            fan: spot.choices[at].fan.clone(),
            framing: spot.choices[at].framing,
        })
        .collect()
}

pub fn show(window: &MainWindow, session: &Session) {
    // Beside the page in a wide window it is always up.
    if !matches!(session.view(), View::Verdict | View::Walk | View::Place(_)) {
        return;
    }
    let Some(open) = session.open() else { return };
    let adapter = window.global::<VerdictAdapter>();
    let reader = session.reader();

    let Some(spot) = open.judged.spot() else {
        return;
    };
    let order = open.judged.ranked(spot);
    let rows = fan_choice::ranked(spot)
        .iter()
        .enumerate()
        .map(|(place, ranked)| way_line(session, ranked, place == 0))
        .collect();
    update(adapter.get_ways(), rows, |rows| adapter.set_ways(rows));
    let looked = open.judged.way_index(spot);
    adapter.set_way(index(order.iter().position(|at| Some(*at) == looked)));

    head(&adapter, session, spot);
    // The figures are many. They are told where the page can be seen, not at every key that is pressed at a stop.
    let seen = session.view() == View::Verdict || window.global::<Theme>().get_is_wide();
    adapter.set_checks(super::number(open.judged.findings().count()));
    let all = adapter.get_all_checks();
    let findings = GROUPS
        .iter()
        .enumerate()
        .filter(|_| all)
        .flat_map(|(group, &heading)| {
            let of: Vec<&Told> = open
                .judged
                .findings()
                .filter(|told| group_of(told) == group)
                .collect();
            let heading = reader.said(&Say::new(heading).with("count", of.len()));
            let folds = group == IN_ORDER;
            // What is in order and folded away is not there but for the first, which carries the heading.
            let most = if folds && !adapter.get_in_order() {
                1
            } else {
                of.len()
            };
            let last = of.len().min(most).saturating_sub(1);
            of.into_iter()
                .take(most)
                .enumerate()
                .map(move |(at, told)| {
                    let heading = if at == 0 { heading.as_str() } else { "" };
                    let mut line = finding(session, told);
                    line.heading = heading.into();
                    line.folds = folds;
                    line.first = at == 0;
                    line.last = at == last;
                    if seen {
                        line.figures = told.figures(&session.reader()).into();
                    }
                    line
                })
        })
        .collect();
    update(adapter.get_findings(), findings, |rows| {
        adapter.set_findings(rows)
    });
}

/// What leads on from a verdict: what is still to be measured, the spot that does fit, or the office.
enum Onward {
    Measure(FieldRef),
    Spot(usize),
    HandOver,
}

fn onward(session: &Session) -> Onward {
    let Some((open, spot)) = session
        .open()
        .and_then(|open| Some((open, open.judged.spot()?)))
    else {
        return Onward::HandOver;
    };
    if !spot.settled
        && let Some(first) = open.judged.open().next()
    {
        return Onward::Measure(first.field);
    }
    let spots = &open.judged.assessment().spots;
    let better = (0..spots.len()).max_by_key(|at| (spots[*at].verdict, std::cmp::Reverse(*at)));
    match better {
        Some(at)
            if spot.verdict == Verdict::DoesNotFit && spots[at].verdict > Verdict::NotSettled =>
        {
            Onward::Spot(at)
        }
        _ => Onward::HandOver,
    }
}

/// The word, the one reason, the three lines and the fan.
fn head(adapter: &VerdictAdapter, session: &Session, spot: &SpotAssessment) {
    let Some(open) = session.open() else { return };
    let reader = session.reader();
    adapter.set_word(capital(&reader.tr(spot.verdict.label())).into());
    adapter.set_reason(reason(session, spot).into());
    let parts = parts(session);
    update(adapter.get_parts(), parts, |rows| adapter.set_parts(rows));
    let stop = open.judged.findings().find(|told| told.stops());
    adapter.set_band(stop.and_then(Told::life_caution).unwrap_or("").into());
    let choice = open.judged.way_index(spot).map(|at| &spot.choices[at]);
    // Where nothing fits there is no fan to speak of.
    let choice = choice.filter(|_| spot.verdict != Verdict::DoesNotFit);
    adapter.set_fan_how(
        choice
            .map_or(String::new(), |choice| {
                capital(&reader.tr(choice.framing.label()))
            })
            .into(),
    );
    adapter.set_fan(
        choice
            .map_or(String::new(), |choice| {
                let fan = session.fans.fans.iter().find(|fan| fan.id == choice.fan);
                reader
                    .language
                    .name(fan.map_or(choice.fan.as_str(), |fan| fan.name.as_str()))
            })
            .into(),
    );
    let air = choice.and_then(|choice| choice.air.as_ref());
    adapter.set_air(
        air.map_or(String::new(), |air| {
            reader.argument(&number(air.high.airflow.cfm(), "cfm", 0))
        })
        .into(),
    );
    let need = open
        .judged
        .findings()
        .find(|told| told.rule() == "airflow" && !told.need.is_empty())
        .filter(|_| air.is_some());
    adapter.set_air_needed(
        need.map_or(String::new(), |told| {
            reader.said(&Say::new("needs {air}").with("air", told.need.clone()))
        })
        .into(),
    );
    let still = open.judged.still();
    adapter.set_final(
        if spot.settled || still == 0 {
            reader.tr("Final. Nothing left to measure here changes this.")
        } else {
            reader.said(
                &Say::new("{count} to go. The verdict can still change.").with("count", still),
            )
        }
        .into(),
    );
    let (word, note) = match onward(session) {
        Onward::Measure(at) => {
            let label = reader.tr(fields::label_of(at.field));
            (
                reader.said(&Say::new("Next: {field}").with("field", label)),
                Place::of(at).map_or(String::new(), |place| reader.tr(place.stop().label())),
            )
        }
        Onward::Spot(at) => (
            reader.said(&Say::new("See {spot}").with("spot", session.spot_title(at))),
            reader.tr("a spot that fits"),
        ),
        Onward::HandOver => (reader.tr("Hand over"), String::new()),
    };
    adapter.set_onward(word.into());
    adapter.set_onward_note(note.into());
}

/// The one reason for a verdict: what stands in its way first.
fn reason(session: &Session, spot: &SpotAssessment) -> String {
    let Some(open) = session.open() else {
        return String::new();
    };
    let reader = session.reader();
    let first = |outcome: Outcome| {
        open.judged
            .findings()
            .find(|told| told.outcome_is() == outcome)
            .map_or(String::new(), |told| told.outcome.clone())
    };
    match spot.verdict {
        Verdict::DoesNotFit => first(Outcome::Fails),
        Verdict::FitsWithWork => {
            let jobs = jobs(session);
            let say = match jobs.len() {
                1 => Say::new("Fix one thing first: {what}"),
                _ => Say::new("Fix {count} things first. Above all: {what}")
                    .with("count", jobs.len()),
            };
            reader.said(&say.with("what", first(Outcome::Mend)))
        }
        Verdict::NotSettled => match open.judged.open().next() {
            Some(matter) => reader.said(
                &Say::new("{count} to go. First: {field}.")
                    .with("count", open.judged.still())
                    .with("field", fields::label_of(matter.field.field)),
            ),
            None => reader.tr("Not enough is known yet."),
        },
        Verdict::Fits => reader.tr("Nothing has to be fixed first."),
    }
}

/// What is to be fixed before the fan goes in.
fn jobs(session: &Session) -> Vec<&Told> {
    session.open().map_or(Vec::new(), |open| {
        open.judged
            .findings()
            .filter(|told| told.outcome_is() == Outcome::Mend)
            .collect()
    })
}

/// The rules that tell whether the fan goes in at all.
const GOES_IN: &[&str] = &[
    "place",
    "clear-space",
    "joists-and-fan",
    "joist-strength",
    "joist-bearing",
    "joist-condition",
    "opening-framing",
    "rafter-ties",
    "way-in",
    "private-attic",
];

/// The three lines of a verdict: does it go in, is it safe, what work is there.
fn parts(session: &Session) -> Vec<PartLine> {
    let Some(open) = session.open() else {
        return Vec::new();
    };
    let reader = session.reader();
    let of = |wanted: &dyn Fn(&Told) -> bool| -> Vec<&Told> {
        open.judged.findings().filter(|told| wanted(told)).collect()
    };
    let line = |name: &'static str, told: &[&Told], holds: &'static str, open: &'static str| {
        // The gravest first; a caution about life is graver than anything that holds.
        let worst = told
            .iter()
            .find(|it| it.outcome_is() != Outcome::Holds)
            .or_else(|| told.iter().find(|it| it.life_caution().is_some()));
        let (mark, value, note) = match worst {
            None => (MarkKind::Holds, reader.tr(holds), String::new()),
            Some(it) => match (it.outcome_is(), it.life_caution()) {
                (Outcome::Fails, _) => (MarkKind::Fails, reader.tr("No"), it.outcome.clone()),
                (Outcome::NotMeasured, _) => {
                    let missing = told
                        .iter()
                        .filter(|it| it.outcome_is() == Outcome::NotMeasured)
                        .count();
                    let note = reader.said(&match missing {
                        1 => Say::new("1 check still open"),
                        _ => Say::new("{count} checks still open").with("count", missing),
                    });
                    (MarkKind::Open, reader.tr(open), note)
                }
                (Outcome::Mend, _) => (
                    MarkKind::Work,
                    reader.tr("After the work below"),
                    it.outcome.clone(),
                ),
                (Outcome::Holds, caution) => (
                    MarkKind::Caution,
                    reader.tr("With care"),
                    caution.unwrap_or_default().to_owned(),
                ),
            },
        };
        PartLine {
            name: reader.tr(name).into(),
            mark,
            value: value.into(),
            note: note.into(),
        }
    };
    let goes_in = of(&|told| GOES_IN.contains(&told.rule()));
    let safe = of(&Told::is_of_life);
    let jobs = jobs(session);
    let work = PartLine {
        name: reader.tr("Work").into(),
        mark: if jobs.is_empty() {
            MarkKind::Holds
        } else {
            MarkKind::Work
        },
        value: match jobs.len() {
            0 => reader.tr("Nothing to fix first"),
            1 => reader.tr("1 job"),
            count => reader.said(&Say::new("{count} jobs").with("count", count)),
        }
        .into(),
        note: jobs
            .first()
            .map_or("", |told| told.remedy.lines().next().unwrap_or(""))
            .into(),
    };
    vec![
        line("Goes in", &goes_in, "Yes", "Not known yet"),
        line("Safe", &safe, "Safety checks hold", "Not known yet"),
        work,
    ]
}

/// The findings by what is to be done about them, in the order in which one minds them.
const GROUPS: [&str; 5] = [
    "Deal-breakers: {count}",
    "Fix first: {count}",
    "Still to measure: {count}",
    "In order, with a caution: {count}",
    "In order: {count}",
];

/// The group that is folded away.
const IN_ORDER: usize = 4;

/// The group of a finding. What holds but has a caution about life is not folded away with the rest that holds.
fn group_of(told: &Told) -> usize {
    match told.outcome_is() {
        Outcome::Fails => 0,
        Outcome::Mend => 1,
        Outcome::NotMeasured => 2,
        Outcome::Holds if told.life_caution().is_some() => 3,
        Outcome::Holds => IN_ORDER,
    }
}

/// As many answers of one finding as can be gone to from it.
const FIELDS_MOST: usize = 6;

fn way_line(session: &Session, ranked: &Ranked, first: bool) -> WayLine {
    let reader = session.reader();
    let choice = ranked.choice;
    let fan = session.fans.fans.iter().find(|fan| fan.id == choice.fan);
    let air = choice.air.as_ref().map_or_else(
        || reader.tr("What it delivers is not known yet."),
        |air| {
            let delivers = number(air.high.airflow.cfm(), "cfm", 0);
            reader.said(&match air.air_changes {
                Some(changes) => Say::new("Delivers {air}: {changes} air changes an hour.")
                    .with("air", delivers)
                    .with("changes", number(changes.per_hour(), "", 0)),
                None => Say::new("Delivers {air}.").with("air", delivers),
            })
        },
    );
    let work = match ranked.work.len() {
        0 => String::new(),
        1 => reader.tr("1 thing to do for this fan"),
        count => reader.said(&Say::new("{count} things to do for this fan").with("count", count)),
    };
    let why =
        ranked.why.as_ref().filter(|_| first).map(|why| {
            reader.said(&Say::new("Why it comes first: {why}").with("why", why.clone()))
        });
    WayLine {
        title: format!(
            "{}, {}",
            reader
                .language
                .name(fan.map_or(choice.fan.as_str(), |fan| fan.name.as_str())),
            reader.tr(choice.framing.label())
        )
        .into(),
        words: reader.tr(choice.verdict.label()).into(),
        mark: sign_of_verdict(choice.verdict).into(),
        air: air.into(),
        work: work.into(),
        why: why.unwrap_or_default().into(),
    }
}

fn finding(session: &Session, told: &Told) -> FindingLine {
    let reader = session.reader();
    let fields = told
        .fields
        .iter()
        .filter(|at| Place::of(**at).is_some())
        .take(FIELDS_MOST)
        .map(|at| Pick {
            key: Key::Field(*at).to_string().into(),
            label: reader.tr(fields::label_of(at.field)).into(),
        })
        .collect();
    FindingLine {
        key: SharedString::new(),
        title: told.title.as_str().into(),
        outcome: told.outcome.as_str().into(),
        // Nothing that warns of danger stands under the mark of what holds.
        mark: match told.sign {
            Sign::Holds if told.life_caution().is_some() => MarkKind::Caution,
            sign => sign.into(),
        },
        need: told.need.as_str().into(),
        measured: told.measured.as_str().into(),
        margin: told.margin.as_str().into(),
        remedy: told.remedy.as_str().into(),
        caution: told.caution.as_str().into(),
        minds: told.minds.as_str().into(),
        source: told.source.as_str().into(),
        figures: SharedString::new(),
        again: told.again,
        heading: SharedString::new(),
        folds: false,
        first: true,
        last: true,
        fields: model(fields),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::judge::Judged;
    use crate::app::reader::Reader;
    use crate::rules::test_house::survey;

    #[test]
    fn what_holds_with_a_caution_about_life_is_not_folded_away() {
        let of = |temperature: &str| {
            let survey = survey(&[
                ("arrival.attic_temperature", temperature),
                ("arrival.attic_humidity", "15 %"),
            ]);
            let fans = crate::trade::fan::generic();
            let reader = Reader::default();
            let judged = Judged::of(&survey, fans, &Default::default(), &reader);
            judged
                .findings()
                .find(|told| told.title == "How hot is the attic for the one who goes in?")
                .cloned()
                .expect("the finding on heat")
        };
        let (hot, cool) = (of("130 °F"), of("70 °F"));
        assert_eq!(hot.outcome_is(), cool.outcome_is());
        assert_eq!(group_of(&cool), IN_ORDER);
        assert_ne!(group_of(&hot), IN_ORDER);
        assert_eq!(GROUPS[IN_ORDER], "In order: {count}");
    }
}
