//! What a judgement comes to, in short: as much as the list shows.

use crate::rules::matters::what_matters;
use crate::rules::{Assessment, Outcome, Verdict};
use crate::survey::{ItemId, Survey};
use serde::{Deserialize, Serialize};
use std::collections::HashMap;

/// A survey's judgement in short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct VerdictSummary {
    /// The best that any spot comes to.
    pub verdict: Verdict,
    /// Whether no missing answer can change the verdict of any spot.
    pub settled: bool,
    /// Each spot.
    pub spots: Vec<SpotSummary>,
}

/// A spot's judgement in short.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SpotSummary {
    /// Which spot.
    pub spot: ItemId,
    /// What the surveyor calls it, or its number.
    pub name: String,
    /// What it comes to.
    pub verdict: Verdict,
    /// Whether no missing answer can change that.
    pub settled: bool,
    /// The best fan of the office's list.
    pub fan: Option<String>,
    /// How it would be framed.
    pub framing: Option<String>,
    /// The rules that fail for that fan but can be mended.
    pub work: Vec<String>,
    /// The rules that fail for that fan and cannot be mended.
    pub against: Vec<String>,
    /// How many missing answers can still change the verdict.
    pub missing: usize,
}

/// What people call a spot: its name, or its place in the list.
pub(super) fn spot_name(survey: &Survey, spot: ItemId) -> String {
    let at = survey.spots.iter().position(|other| other.id == spot);
    at.and_then(|at| survey.spots[at].name.clone())
        .unwrap_or_else(|| format!("Spot {}", at.map_or(0, |at| at + 1)))
}

impl VerdictSummary {
    /// The short of an assessment.
    pub fn of(survey: &Survey, assessment: &Assessment) -> Self {
        let mut matters: HashMap<ItemId, usize> = what_matters(assessment)
            .into_iter()
            .map(|spot| (spot.spot, spot.matters.len()))
            .collect();
        let spots: Vec<SpotSummary> = assessment
            .spots
            .iter()
            .map(|spot| {
                let best = spot.best();
                let rules = |outcome: Outcome| {
                    let bearing = best
                        .into_iter()
                        .flat_map(|choice| assessment.bearing_on(spot, choice));
                    bearing
                        .filter(|finding| finding.outcome == outcome)
                        .map(|finding| finding.rule.to_owned())
                        .collect::<Vec<String>>()
                };
                SpotSummary {
                    spot: spot.spot,
                    name: spot_name(survey, spot.spot),
                    verdict: spot.verdict,
                    settled: spot.settled,
                    fan: best.map(|choice| choice.fan.clone()),
                    framing: best.map(|choice| choice.framing.label().to_owned()),
                    work: rules(Outcome::Mend),
                    against: rules(Outcome::Fails),
                    missing: matters.remove(&spot.spot).unwrap_or(0),
                }
            })
            .collect();
        VerdictSummary {
            verdict: spots
                .iter()
                .map(|spot| spot.verdict)
                .max()
                .unwrap_or(Verdict::NotSettled),
            settled: spots.iter().all(|spot| spot.settled),
            spots,
        }
    }

    /// The spot to offer: the first of the best ones.
    pub fn best_spot(&self) -> Option<&SpotSummary> {
        self.spots.iter().find(|spot| spot.verdict == self.verdict)
    }

    /// How many missing answers can still change a verdict, over all spots.
    pub fn missing(&self) -> usize {
        self.spots.iter().map(|spot| spot.missing).sum()
    }
}
