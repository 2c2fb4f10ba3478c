//! The verdict, spot by spot.

use super::{from_index, index, model, update};
use crate::app::judge::{Told, Way, sign_of_verdict};
use crate::app::place::{Key, Place};
use crate::app::session::{Session, View};
use crate::app::{
    FindingLine, Handle, MainWindow, Pick, SpotVerdict, Theme, VerdictAdapter, WayLine, act,
};
use crate::rules::fan_choice::{self, Ranked};
use crate::rules::{Outcome, Say, number};
use crate::survey::fields;
use slint::{ComponentHandle, SharedString};

pub fn connect(window: &MainWindow, app: &Handle) {
    let verdict = window.global::<VerdictAdapter>();
    let handle = app.clone();
    verdict.on_pick_spot(move |at| {
        if let Some(at) = from_index(at) {
            act(&handle, move |session| session.go_spot(at));
        }
    });
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

    let spots = open
        .judged
        .assessment()
        .spots
        .iter()
        .enumerate()
        .map(|(at, spot)| SpotVerdict {
            label: session.spot_title(at).into(),
            words: reader.tr(spot.verdict.label()).into(),
            detail: match (spot.settled, spot.verdict) {
                (true, _) => reader.tr("Settled: nothing left to measure can change this."),
                (false, _) => reader.tr("Open: what is still to be measured can change this."),
            }
            .into(),
            mark: sign_of_verdict(spot.verdict).into(),
        })
        .collect();
    update(adapter.get_spots(), spots, |spots| adapter.set_spots(spots));
    adapter.set_spot(super::number(session.spot_index()));

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

    // The figures are many. They are told where the page can be seen, not at every key that is pressed at a stop.
    let seen = session.view() == View::Verdict || window.global::<Theme>().get_is_wide();
    let findings = GROUPS
        .iter()
        .enumerate()
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
            of.into_iter()
                .take(most)
                .enumerate()
                .map(move |(at, told)| {
                    let heading = if at == 0 { heading.as_str() } else { "" };
                    let mut line = finding(session, told);
                    line.heading = heading.into();
                    line.folds = folds;
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

/// The findings by what is to be done about them, in the order in which one minds them.
const GROUPS: [&str; 5] = [
    "Stands in the way: {count}",
    "To be mended first: {count}",
    "Still to be measured: {count}",
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
        mark: told.sign.into(),
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
