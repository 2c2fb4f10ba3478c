//! Which fan, and whether joists are cut for it: every choice at a spot, the best first, and why.
//!
//! The order, each next point deciding only among equals:
//!
//! 1. the verdict;
//! 2. fewer things that fail, then fewer to be mended for this choice;
//! 3. joists left whole before joists cut;
//! 4. air changes as delivered within 30 to 60 an hour (facts A1: US DOE consumer guidance, confirmed), else
//!    as near to that as can be; not computable comes last;
//! 5. more air;
//! 6. the order of the office's own list.

use super::finding::{Outcome, Remedy, Say, number};
use super::verdict::{Choice, Framing, SpotAssessment};
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

/// The better choice comes first; with what decided it.
fn compare(a: &Choice, b: &Choice) -> (Ordering, Option<Say>) {
    let verdicts = b.verdict.cmp(&a.verdict);
    if verdicts.is_ne() {
        let say = Say::new("Its verdict: {verdict}; that of the next one: {other}.")
            .with("verdict", a.verdict.label())
            .with("other", b.verdict.label());
        return (verdicts, Some(say));
    }
    for (outcome, text) in [
        (Outcome::Fails, "Fewer things fail: {count}, not {other}."),
        (
            Outcome::Mend,
            "Less is to be mended for it: {count} things, not {other}.",
        ),
    ] {
        let (of_a, of_b) = (count(a, outcome), count(b, outcome));
        if of_a != of_b {
            let say = Say::new(text).with("count", of_a).with("other", of_b);
            return (of_a.cmp(&of_b), Some(say));
        }
    }
    let cuts = (a.framing == Framing::Cut).cmp(&(b.framing == Framing::Cut));
    if cuts.is_ne() {
        return (cuts, Some(Say::new("No joist is cut for it.")));
    }
    let range = outside(a).total_cmp(&outside(b));
    if range.is_ne() {
        let changes = |choice: &Choice| choice.air.as_ref().and_then(|air| air.air_changes);
        let say = changes(a).map(|it| {
            Say::new(
                "It changes the air {changes} times an hour, nearer to 30 to 60 than the next one.",
            )
            .with("changes", number(it.per_hour(), "", 0))
        });
        return (range, say);
    }
    let more = delivered(b).total_cmp(&delivered(a));
    if more.is_ne() {
        let say = Say::new("It moves more air: {air}, not {other}.")
            .with("air", number(delivered(a), "cfm", 0))
            .with("other", number(delivered(b), "cfm", 0));
        return (more, Some(say));
    }
    (
        Ordering::Equal,
        Some(Say::new(
            "It stands earlier in the office's list; nothing else sets them apart.",
        )),
    )
}

/// Every choice at a spot, the best first.
pub fn ranked(spot: &SpotAssessment) -> Vec<Ranked<'_>> {
    let mut choices: Vec<&Choice> = spot.choices.iter().collect();
    // A stable sort: equals keep the list's order.
    choices.sort_by(|a, b| compare(a, b).0);
    choices
        .iter()
        .enumerate()
        .map(|(place, choice)| Ranked {
            choice,
            work: choice
                .findings
                .iter()
                .filter(|finding| finding.outcome == Outcome::Mend)
                .flat_map(|finding| &finding.remedies)
                .collect(),
            why: choices
                .get(place + 1)
                .and_then(|next| compare(choice, next).1),
        })
        .collect()
}

/// The best choice at a spot.
pub(super) fn best(spot: &SpotAssessment) -> Option<&Choice> {
    spot.choices.iter().reduce(|best, next| {
        if compare(next, best).0.is_lt() {
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
            assert_ne!(compare(pair[0].choice, pair[1].choice).0, Ordering::Greater);
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
        let (order, why) = compare(&of(Framing::Whole), &of(Framing::Cut));
        assert_eq!(order, Ordering::Less);
        assert_eq!(why.unwrap().english(), "No joist is cut for it.");
    }
}
