//! One survey.

use super::{from_index, index, model, number, on, put_picks, update};
use crate::app::desk::names;
use crate::app::desk::{Desk, Handle, Leaf, Looked, View};
use crate::app::judge::sign_of_verdict;
use crate::app::reader::Reader;
use crate::app::{
    AnswerLine, ChangeLine, DeskSurveyAdapter, DeskWindow, HistoryLine, LeanLine, MarkKind,
    OriginLine, RevisionLine, SpotLine,
};
use crate::job::sheets::origin::Root;
use crate::office::changes::{Figure, Judgement};
use crate::office::register::{Status, exact, place};
use crate::rules::{Say, Verdict};
use crate::survey::{FieldRef, ItemId, Survey, Value, fields};
use crate::trade::fan::FanList;
use crate::words::Language;
use slint::{ComponentHandle, SharedString};

/// The leaves, in the order of [`Leaf::ALL`].
const LEAVES: [&str; 4] = [
    "What it comes to",
    "Answers",
    "Revisions",
    "Where figures come from",
];

pub fn connect(window: &DeskWindow, app: &Handle) {
    let survey = window.global::<DeskSurveyAdapter>();
    on!(survey, app, on_turn, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.turn_leaf(at);
        }
    });
    on!(survey, app, on_type_remark, |desk, text: SharedString| desk
        .type_remark(&text));
    on!(survey, app, on_set_status, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.set_status(at);
        }
    });
    on!(survey, app, on_pick_language, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.pick_language(at);
        }
    });
    on!(survey, app, on_type_out, |desk, text: SharedString| desk
        .type_out(&text));
    on!(survey, app, on_job_pack, |desk| desk.write_job_pack());
    on!(survey, app, on_bundle, |desk, at: i32| {
        let shown = |desk: &Desk| {
            let revisions = &desk.looked()?.revisions;
            revisions.iter().position(|revision| revision.current)
        };
        if let Some(at) = from_index(at).or_else(|| shown(desk)) {
            desk.write_bundle(at);
        }
    });
    on!(survey, app, on_find_answers, |desk, text: SharedString| {
        desk.find_answers(&text)
    });
    on!(survey, app, on_show_open, |desk, show: bool| desk
        .show_open(show));
    on!(survey, app, on_edit, |desk, key: SharedString| {
        if let Some(at) = read_key(&key) {
            desk.edit(at);
        }
    });
    on!(survey, app, on_leave_edit, |desk| desk.leave_edit());
    on!(survey, app, on_type_answer, |desk, text: SharedString| desk
        .type_answer(&text));
    on!(survey, app, on_pick_answer, |desk, at: i32| desk
        .pick_answer(from_index(at)));
    on!(survey, app, on_type_reason, |desk, text: SharedString| desk
        .type_reason(&text));
    on!(survey, app, on_correct, |desk| desk.correct());
    on!(survey, app, on_withdraw, |desk, number: i32| desk
        .withdraw(u64::try_from(number).unwrap_or(0)));
    on!(survey, app, on_type_day, |desk, text: SharedString| desk
        .type_day(&text));
    on!(survey, app, on_type_crew, |desk, text: SharedString| desk
        .type_crew(&text));
    on!(survey, app, on_accept, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.accept(at);
        }
    });
    on!(
        survey,
        app,
        on_pick_revision,
        |desk, later: bool, at: i32| {
            let last = desk
                .looked()
                .map_or(0, |it| it.revisions.len().saturating_sub(1));
            if let Some(at) = from_index(at) {
                desk.pick_revision(later, last.saturating_sub(at));
            }
        }
    );
    on!(survey, app, on_pick_sheet, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.pick_sheet(at);
        }
    });
    on!(survey, app, on_open_figure, |desk, at: i32| {
        if let Some(at) = from_index(at) {
            desk.open_figure(at);
        }
    });
    on!(survey, app, on_go_to_answer, |desk, key: SharedString| {
        if let Some(at) = read_key(&key) {
            desk.go_to_answer(at);
        }
    });
}

/// An answer's place as the window hands it back.
fn key(at: FieldRef) -> SharedString {
    let id = |id: Option<ItemId>| id.map_or(String::new(), |id| id.0.to_string());
    format!("{}|{}|{}", at.field, id(at.spot), id(at.item)).into()
}

fn read_key(key: &str) -> Option<FieldRef> {
    let mut parts = key.split('|');
    let field = parts.next()?;
    let mut id = || parts.next().and_then(|id| id.parse().ok()).map(ItemId);
    let (spot, item) = (id(), id());
    place(field, spot, item)
}

/// An answer in words: what is picked in the reader's language, lengths exactly as they were read.
fn answer(at: FieldRef, value: &Value, reader: &Reader) -> String {
    match (fields::kind_of(at.field), value) {
        (Some(kind), Value::Choice(_) | Value::YesNo(_) | Value::When(_)) => {
            reader.shown(kind, value)
        }
        _ => exact(value),
    }
}

pub fn show(window: &DeskWindow, desk: &Desk) {
    if desk.view() != View::Survey {
        return;
    }
    let Some(looked) = desk.looked() else { return };
    let adapter = window.global::<DeskSurveyAdapter>();
    let reader = desk.reader();
    let line = &looked.line;
    adapter.set_title(super::list::name(line).into());
    let visited = line.visited_at.get(..16).unwrap_or("").replace('T', " ");
    let detail: Vec<&str> = [line.address.as_str(), visited.as_str(), &line.surveyor]
        .into_iter()
        .filter(|text| !text.is_empty())
        .collect();
    adapter.set_detail(detail.join(" · ").into());
    let summary = line.summary.as_ref();
    adapter.set_mark(summary.map_or(MarkKind::None, |it| sign_of_verdict(it.verdict).into()));
    let verdict = summary.map(|it| reader.tr(it.verdict.label()));
    adapter.set_verdict(verdict.unwrap_or_default().into());
    put_picks(
        adapter.get_leaves(),
        LEAVES.map(|name| reader.tr(name)),
        |rows| adapter.set_leaves(rows),
    );
    adapter.set_leaf(index(Leaf::ALL.iter().position(|it| *it == looked.leaf)));
    adapter.set_writing(looked.writing);
    let (written, not_written) = match &looked.written {
        Ok(told) => (told.as_str(), ""),
        Err(told) => ("", told.as_str()),
    };
    adapter.set_written(written.into());
    adapter.set_not_written(not_written.into());
    match looked.leaf {
        Leaf::Summary => summary_leaf(&adapter, looked, desk.fans(), &reader),
        Leaf::Answers => answers_leaf(&adapter, looked, &reader),
        Leaf::Revisions => revisions_leaf(&adapter, looked, &reader),
        Leaf::Figures => figures_leaf(&adapter, looked),
    }
}

fn summary_leaf(
    adapter: &DeskSurveyAdapter,
    looked: &Looked,
    fans: Option<&FanList>,
    reader: &Reader,
) {
    let summary = looked.line.summary.as_ref();
    let spots = summary.into_iter().flat_map(|summary| &summary.spots);
    let spots = spots.map(|spot| {
        let judged = (looked.assessment.spots.iter()).find(|it| it.spot == spot.spot);
        let rules = |codes: &[String]| {
            judged.map_or_else(
                || codes.join("\n"),
                |judged| names::rules(codes, &looked.assessment, judged, reader).join("\n"),
            )
        };
        let framing = spot.framing.as_ref().map(|framing| {
            let told = reader.language.find(framing);
            told.map_or_else(|| framing.clone(), str::to_owned)
        });
        let fan = spot.fan.as_ref().map(|id| names::fan(id, fans, reader));
        let fan: Vec<String> = fan.into_iter().chain(framing).collect();
        SpotLine {
            name: names::spot(&looked.survey, spot.spot, reader).into(),
            mark: sign_of_verdict(spot.verdict).into(),
            verdict: reader.tr(spot.verdict.label()).into(),
            fan: match spot.verdict {
                Verdict::DoesNotFit => String::new(),
                _ => fan.join(", "),
            }
            .into(),
            work: rules(&spot.work).into(),
            against: rules(&spot.against).into(),
            missing: reader.still(spot.missing).into(),
        }
    });
    update(adapter.get_spots(), spots.collect(), |rows| {
        adapter.set_spots(rows);
    });
    let statuses = Status::ALL.iter().map(|status| reader.tr(status.label()));
    put_picks(adapter.get_statuses(), statuses, |rows| {
        adapter.set_statuses(rows);
    });
    let now = looked.line.status;
    adapter.set_status(index(Status::ALL.iter().position(|it| *it == now)));
    adapter.set_remark(looked.remark.as_str().into());
    adapter.set_day(looked.day.as_str().into());
    adapter.set_crew(looked.crew.as_str().into());
    let history = looked.statuses.iter().rev().map(|change| {
        let when = change.changed_at.get(..16).unwrap_or("").replace('T', " ");
        let mut text = reader.tr(change.status.label());
        for part in [&change.date, &change.crew].into_iter().flatten() {
            text = format!("{text} · {part}");
        }
        if !change.remark.is_empty() {
            text = format!("{text}: {}", change.remark);
        }
        HistoryLine {
            number: 0,
            text: text.into(),
            detail: format!("{when} · {}", change.who).into(),
        }
    });
    update(adapter.get_history(), history.collect(), |rows| {
        adapter.set_history(rows);
    });
    let languages = Language::ALL.iter().map(|it| it.own_name().to_owned());
    put_picks(adapter.get_languages(), languages, |rows| {
        adapter.set_languages(rows);
    });
    let language = Language::ALL.iter().position(|it| *it == looked.language);
    adapter.set_language(index(language));
    adapter.set_out(looked.out.as_str().into());
}

fn answers_leaf(adapter: &DeskSurveyAdapter, looked: &Looked, reader: &Reader) {
    adapter.set_find(looked.find.as_str().into());
    adapter.set_with_open(looked.with_open);
    let shown = |survey: &Survey, at: FieldRef| {
        let value = survey.answer(at);
        value.map_or(String::new(), |value| answer(at, &value, reader))
    };
    let answers = looked.answers(|at| names::answer(&looked.survey, at, reader));
    let answers = answers.into_iter().map(|(at, label)| AnswerLine {
        key: key(at),
        label: label.into(),
        value: shown(&looked.survey, at).into(),
        captured: match shown(&looked.captured, at) {
            text if text.is_empty() => reader.tr("not measured yet"),
            text => text,
        }
        .into(),
        corrected: looked.standing(at).is_some(),
    });
    update(adapter.get_answers(), answers.collect(), |rows| {
        adapter.set_answers(rows);
    });
    let or_nothing = |text: &Option<String>| match text {
        Some(text) => text.clone(),
        None => reader.tr("not measured yet"),
    };
    let corrections = looked.corrections.iter().rev().map(|made| {
        let at = place(&made.field, made.spot, made.item);
        let name = at.map_or_else(
            || made.field.clone(),
            |at| names::answer(&looked.survey, at, reader),
        );
        let state = match (&made.withdrawn_by, made.stands) {
            (Some(who), _) => reader.said(&Say::new("withdrawn by {who}").with("who", who.clone())),
            (None, true) => reader.tr("stands"),
            (None, false) => reader.tr("no longer stands: there is a later answer"),
        };
        let when = made.made_at.get(..16).unwrap_or("").replace('T', " ");
        HistoryLine {
            number: match made.withdrawn_by {
                None => i32::try_from(made.number).unwrap_or(0),
                Some(_) => 0,
            },
            text: reader
                .said(
                    &Say::new("{name}: {answer} instead of {was}")
                        .with("name", name)
                        .with("answer", or_nothing(&made.answer))
                        .with("was", or_nothing(&made.was)),
                )
                .into(),
            detail: format!("{} · {} · {when} · {state}", made.reason, made.who).into(),
        }
    });
    update(adapter.get_corrections(), corrections.collect(), |rows| {
        adapter.set_corrections(rows);
    });
    adapter.set_editing(looked.editing.is_some());
    if let Some(editing) = &looked.editing {
        adapter.set_edit_label(editing.label.as_str().into());
        let captured = shown(&looked.captured, editing.at);
        adapter.set_edit_captured(captured.into());
        adapter.set_edit_text(editing.text.as_str().into());
        let picks = editing.picks.iter().map(|(_, label)| label.clone());
        put_picks(adapter.get_edit_picks(), picks, |rows| {
            adapter.set_edit_picks(rows);
        });
        let picked = (editing.picks.iter()).position(|(code, _)| *code == editing.text);
        adapter.set_edit_picked(index(picked));
        adapter.set_edit_reason(editing.reason.as_str().into());
        adapter.set_edit_trouble(editing.trouble.as_str().into());
    }
}

fn revisions_leaf(adapter: &DeskSurveyAdapter, looked: &Looked, reader: &Reader) {
    let named = |number: u32| reader.said(&Say::new("revision {number}").with("number", number));
    let revisions = looked.revisions.iter().map(|revision| {
        let when = revision.taken_in.get(..16).unwrap_or("").replace('T', " ");
        let mut title = format!("{} · {}", named(revision.revision), revision.name);
        if revision.current {
            title += " · ";
            title += &reader.tr("the one in the list");
        }
        if revision.waits {
            title += " · ";
            title += &reader.tr("waits to be accepted");
        }
        let differences = &revision.differences;
        let told = (differences.criteria.iter())
            .chain(&differences.verdicts)
            .chain(&differences.findings)
            .map(|it| {
                let say = Say::new("{about}: the phone had “{phone}”, the office has “{office}”")
                    .with("about", it.about.clone())
                    .with("phone", it.phone.clone())
                    .with("office", it.office.clone());
                SharedString::from(reader.said(&say))
            });
        RevisionLine {
            title: title.into(),
            detail: reader
                .said(
                    &Say::new("taken in {when}, {count} bytes, SHA-256 {digest}")
                        .with("when", when)
                        .with("count", revision.bytes.to_string())
                        .with("digest", revision.bundle.to_string()),
                )
                .into(),
            differences: model(told.collect()),
            waits: revision.waits,
        }
    });
    update(adapter.get_revisions(), revisions.collect(), |rows| {
        adapter.set_revisions(rows);
    });
    // To read from the earlier to the later.
    let numbers = looked.revisions.iter().rev().map(|it| named(it.revision));
    put_picks(adapter.get_numbers(), numbers, |rows| {
        adapter.set_numbers(rows);
    });
    let [earlier, later] = looked.compared;
    let last = looked.revisions.len().saturating_sub(1);
    adapter.set_earlier(number(last.saturating_sub(earlier)));
    adapter.set_later(number(last.saturating_sub(later)));
    let mut lines = Vec::new();
    let mut sum = String::new();
    if looked.revisions.len() < 2 {
        sum = reader.tr("There is one revision only.");
    } else if let Some(both) = &looked.changes {
        let (compared, before, after) = &**both;
        lines = change_lines(&compared.changes, before, after, reader);
        lines.extend(figure_lines(&compared.figures, reader));
        sum = match lines.len() {
            0 => reader.tr("Nothing changed."),
            1 => reader.tr("1 thing changed:"),
            count => reader.said(&Say::new("{count} things changed:").with("count", count)),
        };
    }
    adapter.set_changes_sum(sum.into());
    update(adapter.get_changes(), lines, |rows| {
        adapter.set_changes(rows);
    });
}

/// What is judged otherwise, line by line.
fn figure_lines(figures: &[Figure], reader: &Reader) -> Vec<ChangeLine> {
    let told = |judged: &Option<Judgement>| {
        judged.as_ref().map_or(String::new(), |it| {
            format!("{}: {}", reader.tr(it.outcome), reader.said(&it.say))
        })
    };
    let line = |figure: &Figure| {
        let title = reader.tr(figure.title);
        ChangeLine {
            label: match &figure.spot {
                Some(spot) => format!("{spot} · {title}"),
                None => title,
            }
            .into(),
            before: told(&figure.before).into(),
            after: told(&figure.after).into(),
            is_answer: true,
        }
    };
    figures.iter().map(line).collect()
}

/// What changed, line by line: what came and went first, then every answer.
fn change_lines(
    changes: &crate::office::changes::Changes,
    before: &Survey,
    after: &Survey,
    reader: &Reader,
) -> Vec<ChangeLine> {
    let sentence = |say: Say| ChangeLine {
        label: reader.said(&say).into(),
        ..ChangeLine::default()
    };
    let mut lines = Vec::new();
    for (spots, survey, text) in [
        (&changes.spots_added, after, "{spot}: this spot is new."),
        (&changes.spots_removed, before, "{spot}: this spot is gone."),
    ] {
        lines.extend(
            spots.iter().map(|spot| {
                sentence(Say::new(text).with("spot", names::spot(survey, *spot, reader)))
            }),
        );
    }
    for (count, text) in [
        (
            changes.items_added.len(),
            "{count} things in lists are new.",
        ),
        (
            changes.items_removed.len(),
            "{count} things in lists are gone.",
        ),
        (changes.photos_added.len(), "{count} pictures are new."),
        (changes.photos_removed.len(), "{count} pictures are gone."),
    ] {
        if count > 0 {
            lines.push(sentence(Say::new(text).with("count", count)));
        }
    }
    lines.extend(changes.answers.iter().map(|change| {
        // A thing that went has its name in the earlier revision only.
        let there = after.places().contains(&change.at);
        let survey = if there { after } else { before };
        let shown = |survey: &Survey| {
            let value = survey.answer(change.at);
            value.map_or(String::new(), |value| answer(change.at, &value, reader))
        };
        ChangeLine {
            label: names::answer(survey, change.at, reader).into(),
            before: shown(before).into(),
            after: shown(after).into(),
            is_answer: true,
        }
    }));
    lines
}

fn figures_leaf(adapter: &DeskSurveyAdapter, looked: &Looked) {
    let sheets = looked.sheets.iter().map(|sheet| sheet.title.clone());
    put_picks(adapter.get_sheets(), sheets, |rows| {
        adapter.set_sheets(rows);
    });
    adapter.set_sheet(number(looked.sheet));
    adapter.set_no_figures(looked.no_figures.as_str().into());
    adapter.set_figure(index(looked.figure));
    let figures = looked
        .sheets
        .get(looked.sheet)
        .map_or(&[][..], |sheet| &sheet.figures);
    let rows = figures.iter().enumerate().map(|(at, figure)| {
        let opened = looked.figure == Some(at);
        // Only the opened one shows what it leans on.
        let leans = figure.leans.iter().filter(|_| opened).map(|lean| LeanLine {
            text: lean.line.text().into(),
            figure: match &lean.root {
                Root::Figure(id) => number(id.0 as usize) - 1,
                Root::Rule(_) => lean
                    .line
                    .figures()
                    .next()
                    .map_or(-1, |id| number(id.0 as usize) - 1),
                _ => -1,
            },
            answer: match &lean.root {
                Root::Answer(at) => key(*at),
                _ => SharedString::new(),
            },
        });
        OriginLine {
            number: figure.id.0.to_string().into(),
            what: figure.what.text().into(),
            value: figure.value.as_str().into(),
            how: figure.how.text().into(),
            opened,
            leans: model(leans.collect()),
        }
    });
    update(adapter.get_figures(), rows.collect(), |rows| {
        adapter.set_figures(rows);
    });
}
