//! What changed between two revisions of a survey, answer by answer.

use super::key;
use super::register::exact;
use super::summary::spot_name;
use crate::rules::{Assessment, Finding, Say};
use crate::survey::{FieldRef, ItemId, Survey, fields};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// One answer that is another one now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Change {
    /// Which answer.
    #[serde(flatten)]
    pub at: FieldRef,
    /// Its English label.
    pub label: &'static str,
    /// What it was; nothing where it was not measured yet.
    pub before: Option<String>,
    /// What it is; nothing where it was taken back.
    pub after: Option<String>,
}

/// What changed from one revision to another.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Changes {
    /// Answers, in the order of the walk. Those of things that came or went are among them.
    pub answers: Vec<Change>,
    /// Spots that are new.
    pub spots_added: Vec<ItemId>,
    /// Spots that are gone.
    pub spots_removed: Vec<ItemId>,
    /// Things in lists that are new.
    pub items_added: Vec<ItemId>,
    /// Things in lists that are gone.
    pub items_removed: Vec<ItemId>,
    /// Pictures that are new, by their checksums.
    pub photos_added: Vec<String>,
    /// Pictures that are gone, by their checksums.
    pub photos_removed: Vec<String>,
}

impl Changes {
    /// Everything in which `after` is another survey than `before`.
    pub fn between(before: &Survey, after: &Survey) -> Changes {
        let mut places = before.places();
        places.extend(after.places());
        let mut seen = BTreeSet::new();
        places.retain(|place| seen.insert(*place));
        let answer = |survey: &Survey, at: FieldRef| survey.answer(at).as_ref().map(exact);
        let answers = places
            .into_iter()
            .filter_map(|at| {
                let (before, after) = (answer(before, at), answer(after, at));
                (before != after).then(|| Change {
                    at,
                    label: fields::label_of(at.field),
                    before,
                    after,
                })
            })
            .collect();
        let spots = |survey: &Survey| survey.spots.iter().map(|spot| spot.id).collect();
        let items = |survey: &Survey| -> BTreeSet<ItemId> {
            let mut ids = BTreeSet::new();
            for entry in fields::LISTS {
                let of: Vec<Option<ItemId>> = match entry.of_spot {
                    true => survey.spots.iter().map(|spot| Some(spot.id)).collect(),
                    false => vec![None],
                };
                let lists = of
                    .into_iter()
                    .filter_map(|spot| survey.list(entry.id, spot));
                ids.extend(lists.flat_map(|list| list.ids()));
            }
            ids
        };
        // The same picture may be tied to several things.
        let photos = |survey: &Survey| -> BTreeSet<String> {
            let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
            let names = survey.photos.iter().map(|photo| {
                let count = counts.entry(photo.sha256.as_str()).or_default();
                *count += 1;
                match *count {
                    1 => photo.sha256.clone(),
                    again => format!("{} ({again})", photo.sha256),
                }
            });
            names.collect()
        };
        let (spots_added, spots_removed) = gone_and_come(spots(before), spots(after));
        let (items_added, items_removed) = gone_and_come(items(before), items(after));
        let (photos_added, photos_removed) = gone_and_come(photos(before), photos(after));
        Changes {
            answers,
            spots_added,
            spots_removed,
            items_added,
            items_removed,
            photos_added,
            photos_removed,
        }
    }
}

/// What something is judged as.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Judgement {
    /// The outcome or verdict in a word; a key for translations.
    pub outcome: &'static str,
    /// The sentence with its figures.
    pub say: Say,
}

impl Judgement {
    /// In English.
    pub fn english(&self) -> String {
        format!("{}: {}", self.outcome, self.say.english())
    }
}

/// One thing that is judged otherwise.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// The spot that it is about, by its name; nothing for the whole house.
    pub spot: Option<String>,
    /// What was asked; a key for translations.
    pub title: &'static str,
    /// What it came to; nothing where it was not judged.
    pub before: Option<Judgement>,
    /// What it comes to; nothing where it is judged no more.
    pub after: Option<Judgement>,
}

/// Two revisions of a survey side by side: answers, and what they come to.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Comparison {
    /// The answers.
    #[serde(flatten)]
    pub changes: Changes,
    /// Verdicts, and findings with their figures; those of the best fan, where they hang on one.
    pub figures: Vec<Figure>,
}

/// What something is called: a spot's name, and the question.
type About = (Option<String>, &'static str);

impl Comparison {
    /// Both surveys with what they are judged as, the earlier one first.
    pub fn of(before: (&Survey, &Assessment), after: (&Survey, &Assessment)) -> Comparison {
        let (was, mut is) = (judgements(before.0, before.1), judgements(after.0, after.1));
        let mut figures = Vec::new();
        for ((spot, title), before) in was {
            let at = is
                .iter()
                .position(|(about, _)| *about == (spot.clone(), title));
            let after = at.map(|at| is.remove(at).1);
            if after.as_ref() != Some(&before) {
                figures.push(Figure {
                    spot,
                    title,
                    before: Some(before),
                    after,
                });
            }
        }
        figures.extend(is.into_iter().map(|((spot, title), after)| Figure {
            spot,
            title,
            before: None,
            after: Some(after),
        }));
        Comparison {
            changes: Changes::between(before.0, after.0),
            figures,
        }
    }
}

/// What a survey is judged as, verdicts first.
fn judgements(survey: &Survey, assessment: &Assessment) -> Vec<(About, Judgement)> {
    let of = |spot: Option<String>, finding: &Finding| {
        let judgement = Judgement {
            outcome: finding.outcome.label(),
            say: finding.say.clone(),
        };
        ((spot, finding.title), judgement)
    };
    let mut all = Vec::new();
    for spot in &assessment.spots {
        let best = spot.best();
        let say = match best {
            Some(best) => Say::new("{fan}, {framing}")
                .with("fan", best.fan.clone())
                .with("framing", best.framing.label()),
            None => Say::new(key("No fan.")),
        };
        let judgement = Judgement {
            outcome: spot.verdict.label(),
            say,
        };
        let name = spot_name(survey, spot.spot);
        all.push(((Some(name), key("Verdict")), judgement));
    }
    all.extend(assessment.house.iter().map(|finding| of(None, finding)));
    for spot in &assessment.spots {
        let of_best = spot.best().into_iter().flat_map(|best| &best.findings);
        for finding in spot.findings.iter().chain(of_best) {
            all.push(of(Some(spot_name(survey, spot.spot)), finding));
        }
    }
    all
}

/// What only the second has, and what only the first had.
fn gone_and_come<T: Ord + Clone>(before: BTreeSet<T>, after: BTreeSet<T>) -> (Vec<T>, Vec<T>) {
    (
        after.difference(&before).cloned().collect(),
        before.difference(&after).cloned().collect(),
    )
}
