//! Where the office's judgement of a survey differs from the phone's, and why it may.

use super::summary::spot_name;
use crate::bundle::{Judged, JudgedChoice, JudgedFinding, JudgedSpot};
use crate::rules::{Assessment, Finding, Framing};
use crate::survey::{ItemId, Survey};
use serde::{Deserialize, Serialize};
use serde_json::Value as Json;
use std::collections::{HashMap, HashSet};

/// Where the office's judgement differs from the phone's.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Differences {
    /// What they judged by, where that differs: the rules' version, a code edition, the fan list.
    #[serde(alias = "yardstick")]
    pub criteria: Vec<Difference>,
    /// Verdicts of spots.
    pub verdicts: Vec<Difference>,
    /// Findings.
    pub findings: Vec<Difference>,
}

/// One thing in which the phone and the office differ.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Difference {
    /// What it is about, such as `Spot 1, direct-24, joists left whole: clear-space`.
    pub about: String,
    /// What the phone saw.
    pub phone: String,
    /// What the office sees.
    pub office: String,
}

impl Differences {
    /// Compares what the phone wrote with the office's own assessment.
    pub fn between(survey: &Survey, phone: &Judged, office: &Assessment) -> Differences {
        let mut differences = Differences::default();
        let mut judged_by = |about: &str, phone: &str, office: &str| {
            if phone != office {
                differences.criteria.push(Difference {
                    about: about.to_owned(),
                    phone: phone.to_owned(),
                    office: office.to_owned(),
                });
            }
        };
        judged_by("rules", &phone.rules, office.rules);
        let (theirs, ours) = (&phone.codes, &office.codes);
        judged_by("building code", &theirs.building, ours.building.code());
        judged_by("energy code", &theirs.energy, ours.energy.code());
        judged_by(
            "electrical code",
            &theirs.electrical,
            ours.electrical.code(),
        );
        if phone.fan_list_sha256 != office.fan_list_sha256 {
            let name = |list: &str, version: &str, sha256: &str| {
                let digits = sha256.get(..8).unwrap_or(sha256);
                format!("{list}, version {version} ({digits})")
            };
            judged_by(
                "fan list",
                &name(
                    &phone.fan_list,
                    &phone.fan_list_version,
                    &phone.fan_list_sha256,
                ),
                &name(
                    &office.fan_list,
                    &office.fan_list_version,
                    &office.fan_list_sha256,
                ),
            );
        }
        let into = &mut differences.findings;
        compare("the house", &phone.house, &office.house, into);
        let phone_spots: HashMap<ItemId, &JudgedSpot> =
            phone.spots.iter().map(|spot| (spot.spot, spot)).collect();
        for spot in &office.spots {
            let name = spot_name(survey, spot.spot);
            let Some(theirs) = phone_spots.get(&spot.spot) else {
                differences.verdicts.push(Difference {
                    about: name,
                    phone: "not judged".to_owned(),
                    office: spot.verdict.label().to_owned(),
                });
                continue;
            };
            if theirs.verdict != spot.verdict {
                differences.verdicts.push(Difference {
                    about: name.clone(),
                    phone: theirs.verdict.label().to_owned(),
                    office: spot.verdict.label().to_owned(),
                });
            }
            compare(&name, &theirs.findings, &spot.findings, into);
            let their_choices: HashMap<(&str, Framing), &JudgedChoice> = theirs
                .choices
                .iter()
                .map(|choice| ((choice.fan.as_str(), choice.framing), choice))
                .collect();
            for choice in &spot.choices {
                // A fan that only one of the two lists has is a matter of the lists, said above.
                let key = (choice.fan.as_str(), choice.framing);
                if let Some(theirs) = their_choices.get(&key) {
                    let about = format!("{name}, {}, {}", choice.fan, choice.framing.label());
                    compare(&about, &theirs.findings, &choice.findings, into);
                }
            }
        }
        differences
    }

    /// Whether they came to the same, whatever they judged by.
    pub fn same_result(&self) -> bool {
        self.verdicts.is_empty() && self.findings.is_empty()
    }

    /// How many verdicts and findings differ.
    pub fn count(&self) -> usize {
        self.verdicts.len() + self.findings.len()
    }
}

/// The same outcome from the same amounts. Sentences may be worded anew from one version to the next.
fn alike(phone: &JudgedFinding, office: &Finding) -> bool {
    let amounts = [
        (&phone.need, &office.need),
        (&phone.measured, &office.measured),
        (&phone.margin, &office.margin),
    ];
    phone.outcome == office.outcome
        && amounts.into_iter().all(|(phone, office)| {
            let office = office
                .as_ref()
                .and_then(|arg| serde_json::to_value(arg).ok());
            same_amount(phone.as_ref(), office.as_ref())
        })
}

/// Equal texts and units, and numbers equal but for the last digits, which are lost on the way through text.
fn same_amount(a: Option<&Json>, b: Option<&Json>) -> bool {
    match (a, b) {
        (Some(Json::Number(a)), Some(Json::Number(b))) => match (a.as_f64(), b.as_f64()) {
            (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * a.abs().max(b.abs()),
            _ => a == b,
        },
        (Some(Json::Object(a)), Some(Json::Object(b))) => {
            a.len() == b.len() && a.keys().all(|key| same_amount(a.get(key), b.get(key)))
        }
        _ => a == b,
    }
}

fn compare(about: &str, phone: &[JudgedFinding], office: &[Finding], into: &mut Vec<Difference>) {
    let mut theirs: HashMap<&str, &JudgedFinding> = phone
        .iter()
        .map(|finding| (finding.rule.as_str(), finding))
        .collect();
    let say = |outcome: &str, sentence: &str| format!("{outcome}: {sentence}");
    for finding in office {
        let theirs = theirs.remove(finding.rule);
        if theirs.is_some_and(|theirs| alike(theirs, finding)) {
            continue;
        }
        into.push(Difference {
            about: format!("{about}: {}", finding.rule),
            phone: theirs.map_or("not judged".to_owned(), |theirs| {
                say(theirs.outcome.label(), &theirs.say)
            }),
            office: say(finding.outcome.label(), &finding.say.english()),
        });
    }
    let left: HashSet<&str> = theirs.into_keys().collect();
    for finding in phone.iter().filter(|f| left.contains(f.rule.as_str())) {
        into.push(Difference {
            about: format!("{about}: {}", finding.rule),
            phone: say(finding.outcome.label(), &finding.say),
            office: "not judged".to_owned(),
        });
    }
}
