//! Which fan, and whether joists are cut for it: every choice at a spot, the best first, and why.
//!
//! The order, each next point deciding only among equals:
//!
//! 1. the verdict;
//! 2. fewer things that fail, then fewer to be mended for this choice;
//! 3. joists left whole before joists cut;
//! 4. air changes as delivered within 30 to 60 an hour (US Department of Energy, consumer guidance on
//!    cooling with a whole house fan, confirmed), else
//!    as near to that as can be; not computable comes last;
//! 5. more air;
//! 6. the order of the office's own list.

use super::finding::{Outcome, Remedy, Say, number};
use super::verdict::{Choice, SpotAssessment, Verdict};
use crate::house::Framing;
use schemars::JsonSchema;
use serde::Serialize;
use std::cmp::Ordering;

/// The air changes an hour that cooling by a whole-house fan takes.
const USUAL: (f64, f64) = (30.0, 60.0);

/// One choice in its rank.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked<'a> {
    /// The choice.
    pub choice: &'a Choice,
    /// What must be done for it, beyond what every choice at this spot needs.
    pub work: Vec<&'a Remedy>,
    /// Why it stands before the next one; `None` for the last.
    pub why: Option<Say>,
}

/// A choice in its rank, as the assessment tells it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Standing {
    /// The fan's id in the list.
    pub fan: String,
    /// Cut or left whole.
    pub framing: Framing,
    /// Why it stands before the next one; absent for the last.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<Say>,
}

fn count(choice: &Choice, outcome: Outcome) -> usize {
    choice
        .findings
        .iter()
        .filter(|finding| finding.outcome == outcome)
        .count()
}

/// How far the delivered air changes lie outside the usual range; endless where they are not known.
fn outside(choice: &Choice) -> f64 {
    let changes = choice.air.as_ref().and_then(|air| air.air_changes);
    changes.map_or(f64::INFINITY, |it| {
        (USUAL.0 - it.per_hour())
            .max(it.per_hour() - USUAL.1)
            .max(0.0)
    })
}

fn delivered(choice: &Choice) -> f64 {
    choice
        .air
        .as_ref()
        .map_or(0.0, |air| air.high.airflow.cfm())
}

/// What sets two choices apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Decides {
    Verdict,
    Fails,
    Mends,
    Cuts,
    Changes,
    Air,
    List,
}

/// What a choice is ranked by, read off once.
#[derive(Debug, Clone, Copy)]
struct Key {
    verdict: Verdict,
    fails: usize,
    mends: usize,
    cut: bool,
    outside: f64,
    delivered: f64,
}

impl Key {
    fn of(choice: &Choice) -> Key {
        Key {
            verdict: choice.verdict,
            fails: count(choice, Outcome::Fails),
            mends: count(choice, Outcome::Mend),
            cut: choice.framing == Framing::Cut,
            outside: outside(choice),
            delivered: delivered(choice),
        }
    }
}

/// The better choice comes first; with what decides it.
fn compare(a: Key, b: Key) -> (Ordering, Decides) {
    [
        (b.verdict.cmp(&a.verdict), Decides::Verdict),
        (a.fails.cmp(&b.fails), Decides::Fails),
        (a.mends.cmp(&b.mends), Decides::Mends),
        (a.cut.cmp(&b.cut), Decides::Cuts),
        (a.outside.total_cmp(&b.outside), Decides::Changes),
        (b.delivered.total_cmp(&a.delivered), Decides::Air),
    ]
    .into_iter()
    .find(|(order, _)| order.is_ne())
    .unwrap_or((Ordering::Equal, Decides::List))
}

/// Why `a` stands before `b`; `None` where only the numbers of air changes set them apart and those of `a` are not
/// known.
fn why(a: &Choice, b: &Choice) -> Option<Say> {
    let counts = |text, outcome| {
        Say::new(text)
            .with("count", count(a, outcome))
            .with("other", count(b, outcome))
    };
    Some(match compare(Key::of(a), Key::of(b)).1 {
        Decides::Verdict => Say::new("Its verdict: {verdict}; that of the next one: {other}.")
            .with("verdict", a.verdict.label())
            .with("other", b.verdict.label()),
        Decides::Fails => counts("Fewer things fail: {count}, not {other}.", Outcome::Fails),
        Decides::Mends => counts(
            "Less is to be mended for it: {count} things, not {other}.",
            Outcome::Mend,
        ),
        Decides::Cuts => Say::new("No joist is cut for it."),
        Decides::Changes => Say::new(
            "It changes the air {changes} times an hour, nearer to 30 to 60 than the next one.",
        )
        .with(
            "changes",
            number(a.air.as_ref()?.air_changes?.per_hour(), "", 0),
        ),
        Decides::Air => Say::new("It moves more air: {air}, not {other}.")
            .with("air", number(delivered(a), "cfm", 0))
            .with("other", number(delivered(b), "cfm", 0)),
        Decides::List => {
            Say::new("It stands earlier in the office's list; nothing else sets them apart.")
        }
    })
}

/// The choices of a spot by their numbers in its list, the best first.
pub fn order(choices: &[Choice]) -> Vec<usize> {
    let keys: Vec<Key> = choices.iter().map(Key::of).collect();
    let mut order: Vec<usize> = (0..choices.len()).collect();
    // A stable sort: equals keep the list's order.
    order.sort_by(|a, b| compare(keys[*a], keys[*b]).0);
    order
}

/// Every choice at a spot in its rank, for the assessment.
pub(super) fn ranking(choices: &[Choice]) -> Vec<Standing> {
    let order = order(choices);
    order
        .iter()
        .enumerate()
        .map(|(place, at)| Standing {
            fan: choices[*at].fan.clone(),
            framing: choices[*at].framing,
            why: order
                .get(place + 1)
                .and_then(|next| why(&choices[*at], &choices[*next])),
        })
        .collect()
}

/// Every choice at a spot, the best first.
pub fn ranked(spot: &SpotAssessment) -> Vec<Ranked<'_>> {
    let order = order(&spot.choices);
    order
        .iter()
        .enumerate()
        .map(|(place, at)| {
            let choice = &spot.choices[*at];
            Ranked {
                choice,
                work: choice
                    .findings
                    .iter()
                    .filter(|finding| finding.outcome == Outcome::Mend)
                    .flat_map(|finding| &finding.remedies)
                    .collect(),
                why: order
                    .get(place + 1)
                    .and_then(|next| why(choice, &spot.choices[*next])),
            }
        })
        .collect()
}

/// The best choice at a spot.
pub(super) fn best(spot: &SpotAssessment) -> Option<&Choice> {
    spot.choices.iter().reduce(|best, next| {
        if compare(Key::of(next), Key::of(best)).0.is_lt() {
            next
        } else {
            best
        }
    })
}

#[cfg(test)]
mod tests {
    use super::super::{Framing, assess, trial::Trial};
    use super::*;
    use crate::trade::codes::Codes;

    #[test]
    fn the_best_comes_first_and_says_why() {
        let trial = Trial::well();
        let assessment = assess(&trial.survey, &trial.fans, &Codes::default());
        let spot = &assessment.spots[0];
        let ranked = ranked(spot);
        assert_eq!(ranked.len(), trial.fans.fans.len() * 2);
        assert_eq!(Some(ranked[0].choice), spot.best());
        for pair in ranked.windows(2) {
            let [a, b] = [pair[0].choice, pair[1].choice].map(Key::of);
            assert_ne!(compare(a, b).0, Ordering::Greater);
            assert!(pair[0].why.is_some());
        }
        assert!(ranked.last().unwrap().why.is_none());
        for one in &ranked {
            let mends = count(one.choice, Outcome::Mend);
            assert!(one.work.len() >= mends, "each thing to be mended says how");
        }
    }

    #[test]
    fn whole_joists_come_before_cut_ones_among_equals() {
        let trial = Trial::well();
        let assessment = assess(&trial.survey, &trial.fans, &Codes::default());
        let of = |framing| {
            let mut choice = assessment.spots[0].choices[0].clone();
            choice.framing = framing;
            choice
        };
        let (whole, cut) = (of(Framing::Whole), of(Framing::Cut));
        assert_eq!(
            compare(Key::of(&whole), Key::of(&cut)),
            (Ordering::Less, Decides::Cuts)
        );
        assert_eq!(
            why(&whole, &cut).unwrap().english(),
            "No joist is cut for it."
        );
    }
}
