//! What changed between two revisions of a survey, answer by answer.

use super::register::exact;
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

/// What only the second has, and what only the first had.
fn gone_and_come<T: Ord + Clone>(before: BTreeSet<T>, after: BTreeSet<T>) -> (Vec<T>, Vec<T>) {
    (
        after.difference(&before).cloned().collect(),
        before.difference(&after).cloned().collect(),
    )
}
