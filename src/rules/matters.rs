//! What still matters: which missing answers can still change a spot's verdict, and how much.
//!
//! # Why it is sound
//! A finding other than *not measured yet* stands whatever the missing answers turn out to be, and one that is
//! *not measured yet* names every missing answer it may read (the rules' habit, see [`RuleContext`](super::RuleContext)).
//! A spot's verdict is the best of its choices. So a missing answer can change it only through an unmeasured
//! finding of an unsettled choice, and only where that choice could still come out better than the best choice
//! that is final already. Every other answer *no longer matters*.
//!
//! # Which part it can change
//! An answer names the parts of the verdict ([`Part`]) that it can change. An unmeasured finding can change its own part
//! where it can still come out worse than what the rest of that part comes to anyway; where the spot's answer to that
//! part is final, it can only change which choice is the best, and with it the other part, or the work. Whatever may
//! turn out to need mending can change the work. A finding that can do neither names nothing, and its answers do not
//! matter for it.
//!
//! # How the rest is ordered
//! Each unsettled choice that could still win has one share; its unmeasured findings divide it evenly, and each
//! finding's missing answers divide that evenly again. What an answer collects from all choices, divided by the
//! number of such choices, is its weight: 1 where it alone decides everything, near 0 where much else is missing.

use super::finding::{Finding, Outcome};
use super::part::{Open, Part, PartAnswer, PartSet, Parts};
use super::verdict::{Assessment, Choice, Verdict};
use crate::house::answers::Run;
use crate::survey::{FieldRef, ItemId, Stop, fields};
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::HashMap;

/// A missing answer that can still change a spot's verdict.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Matter {
    /// Which answer.
    pub field: FieldRef,
    /// How much of the open question hangs on it, from 0 to 1.
    pub weight: f64,
    /// Whether this answer alone can settle a finding that blocks a choice.
    pub alone: bool,
    /// The parts of the verdict that it can change.
    pub parts: PartSet,
}

impl Matter {
    /// The stop where it is measured.
    pub fn stop(&self) -> Option<Stop> {
        fields::stop_of(self.field.field)
    }
}

/// What still matters for one spot, the weightiest first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpotMatters {
    /// Which spot.
    pub spot: ItemId,
    /// The answers, the weightiest first; empty where the verdict is settled.
    pub matters: Vec<Matter>,
}

/// The best verdict that an unsettled choice with these findings can still reach.
fn could_be<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> Verdict {
    let mut best = Verdict::Fits;
    for finding in findings {
        match finding.outcome {
            Outcome::Fails => return Verdict::DoesNotFit,
            Outcome::Mend => best = Verdict::FitsWithWork,
            Outcome::Holds | Outcome::NotMeasured => {}
        }
    }
    best
}

/// The verdict of the best choice that is final already.
fn best_final(choices: &[Choice]) -> Verdict {
    choices
        .iter()
        .map(|choice| choice.verdict)
        .filter(|verdict| *verdict != Verdict::NotSettled)
        .max()
        .unwrap_or(Verdict::DoesNotFit)
}

/// What still matters for each spot.
pub fn what_matters(assessment: &Assessment) -> Vec<SpotMatters> {
    assessment
        .spots
        .iter()
        .map(|spot| SpotMatters {
            spot: spot.spot,
            matters: spot.still_matters.clone(),
        })
        .collect()
}

fn unmeasured(findings: &[Finding]) -> impl Iterator<Item = &Finding> {
    findings
        .iter()
        .filter(|finding| finding.outcome == Outcome::NotMeasured)
}

/// The parts of the verdict that an unmeasured finding of a choice can change.
fn changes(finding: &Finding, choice: &Open, spot: &Parts) -> PartSet {
    let mut parts = PartSet::default();
    if finding.at_worst >= Outcome::Mend {
        parts = parts.with(Part::Work);
    }
    // What the part comes to even if all that is missing turns out well.
    let alters = choice
        .part(finding.part)
        .is_some_and(|part| finding.at_worst > part.best);
    if !alters {
        return parts;
    }
    let is_open = |part: &Part| spot.of(*part) == PartAnswer::Open;
    let others = [finding.part, Part::GoesIn, Part::Safe, Part::Work];
    match others.into_iter().find(is_open) {
        Some(part) => parts.with(part),
        None => parts,
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct Weight {
    weight: f64,
    alone: bool,
    parts: PartSet,
}

impl Weight {
    fn add(&mut self, more: Weight) {
        self.weight += more.weight;
        self.alone |= more.alone;
        self.parts = self.parts.and(more.parts);
    }
}

/// What still matters at a spot, from the findings of the house, of the spot and of its choices.
pub(super) fn of_spot<'a>(
    house: &'a [Finding],
    spot: &'a [Finding],
    choices: &'a [Choice],
    open: &[Open],
    spot_parts: &Parts,
) -> Vec<Matter> {
    let floor = best_final(choices);
    let shared = could_be(house.iter().chain(spot));
    let shared_open = unmeasured(house).chain(unmeasured(spot)).count();
    // A run of answers that many findings wait for is weighed once; its answers share what it collects.
    let mut runs: Vec<(&Run, Weight)> = Vec::new();
    let mut weights: HashMap<FieldRef, Weight> = HashMap::new();
    let mut add = |finding: &'a Finding, parts: PartSet, share: f64| {
        let more = Weight {
            parts,
            weight: share / finding.missing.len() as f64,
            alone: finding.missing.len() == 1,
        };
        for field in finding.missing.own() {
            weights.entry(*field).or_default().add(more);
        }
        for run in finding.missing.runs() {
            match runs.iter_mut().find(|(held, _)| held.is(run)) {
                Some((_, weight)) => weight.add(more),
                None => runs.push((run, more)),
            }
        }
    };
    let mut open_choices = 0_usize;
    let mut shared_share = 0.0;
    let mut shared_parts = vec![PartSet::default(); house.len() + spot.len()];
    for (choice, can_be) in choices.iter().zip(open) {
        if choice.verdict != Verdict::NotSettled || could_be(&choice.findings).min(shared) <= floor
        {
            continue;
        }
        open_choices += 1;
        let open = shared_open + unmeasured(&choice.findings).count();
        let share = 1.0 / open as f64;
        shared_share += share;
        for finding in unmeasured(&choice.findings) {
            add(finding, changes(finding, can_be, spot_parts), share);
        }
        for (finding, parts) in house.iter().chain(spot).zip(&mut shared_parts) {
            if finding.outcome == Outcome::NotMeasured {
                *parts = parts.and(changes(finding, can_be, spot_parts));
            }
        }
    }
    if open_choices == 0 {
        return Vec::new();
    }
    for (finding, parts) in house.iter().chain(spot).zip(shared_parts) {
        if finding.outcome == Outcome::NotMeasured {
            add(finding, parts, shared_share);
        }
    }
    for (run, more) in runs {
        for field in run.iter() {
            weights.entry(*field).or_default().add(more);
        }
    }
    let mut matters: Vec<Matter> = weights
        .into_iter()
        .filter(|(_, weight)| !weight.parts.is_empty())
        .map(|(field, weight)| Matter {
            field,
            weight: weight.weight / open_choices as f64,
            alone: weight.alone,
            parts: weight.parts,
        })
        .collect();
    // The map's order is random; the weight, then the field's name, make the order the same every time.
    matters.sort_by(|a, b| {
        b.weight
            .total_cmp(&a.weight)
            .then_with(|| a.field.cmp(&b.field))
    });
    matters
}
