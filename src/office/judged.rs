//! What the office's judgement of a survey comes to, in short; and where it differs from the phone's.

use crate::rules::matters::what_matters;
use crate::rules::{Assessment, Finding, Outcome, Verdict};
use crate::survey::{ItemId, Survey};
use serde::{Deserialize, Serialize};
use serde_json::Value as Json;
use std::collections::{HashMap, HashSet};

/// A survey's judgement as the register keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Judged {
    /// The best that any spot comes to.
    pub verdict: Verdict,
    /// Whether no missing answer can change the verdict of any spot.
    pub settled: bool,
    /// Each spot.
    pub spots: Vec<JudgedSpot>,
}

/// A spot's judgement as the register keeps it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct JudgedSpot {
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

impl Judged {
    /// The short of an assessment.
    pub fn of(survey: &Survey, assessment: &Assessment) -> Self {
        let mut matters: HashMap<ItemId, usize> = what_matters(assessment)
            .into_iter()
            .map(|spot| (spot.spot, spot.matters.len()))
            .collect();
        let spots: Vec<JudgedSpot> = assessment
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
                JudgedSpot {
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
        Judged {
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
    pub fn best_spot(&self) -> Option<&JudgedSpot> {
        self.spots.iter().find(|spot| spot.verdict == self.verdict)
    }

    /// How many missing answers can still change a verdict, over all spots.
    pub fn missing(&self) -> usize {
        self.spots.iter().map(|spot| spot.missing).sum()
    }
}

/// Where the office's judgement differs from the phone's.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Differences {
    /// What they judged by, where that differs: the rules' version, a code edition, the fan list.
    pub yardstick: Vec<Difference>,
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

/// The findings as the phone wrote them, as far as they are compared. What a newer or older phone says beyond
/// that is no reason to refuse a bundle.
#[derive(Debug, Deserialize)]
struct PhoneAssessment {
    rules: String,
    codes: Json,
    fan_list: String,
    fan_list_version: String,
    fan_list_sha256: String,
    house: Vec<PhoneFinding>,
    spots: Vec<PhoneSpot>,
}

#[derive(Debug, Deserialize)]
struct PhoneSpot {
    spot: ItemId,
    verdict: Verdict,
    findings: Vec<PhoneFinding>,
    choices: Vec<PhoneChoice>,
}

#[derive(Debug, Deserialize)]
struct PhoneChoice {
    fan: String,
    framing: String,
    findings: Vec<PhoneFinding>,
}

#[derive(Debug, Deserialize)]
struct PhoneFinding {
    rule: String,
    outcome: String,
    say: String,
    need: Option<Json>,
    measured: Option<Json>,
    margin: Option<Json>,
}

impl Differences {
    /// Compares what the phone wrote with the office's own assessment.
    ///
    /// # Errors
    /// Where the phone's file is no assessment at all; the sentence names the field.
    pub fn between(
        survey: &Survey,
        phone: &[u8],
        office: &Assessment,
    ) -> Result<Differences, String> {
        let phone: PhoneAssessment =
            serde_path_to_error::deserialize(&mut serde_json::Deserializer::from_slice(phone))
                .map_err(|error| error.to_string())?;
        let mut differences = Differences::default();
        let mut judged_by = |about: &str, phone: String, office: String| {
            if phone != office {
                differences.yardstick.push(Difference {
                    about: about.to_owned(),
                    phone,
                    office,
                });
            }
        };
        judged_by("rules", phone.rules, office.rules.to_owned());
        let codes = serde_json::to_value(office.codes).unwrap_or_default();
        for name in ["building", "energy", "electrical"] {
            let of = |codes: &Json| codes[name].as_str().unwrap_or("").to_owned();
            judged_by(&format!("{name} code"), of(&phone.codes), of(&codes));
        }
        if phone.fan_list_sha256 != office.fan_list_sha256 {
            let name = |list: &str, version: &str, sha256: &str| {
                let digits = sha256.get(..8).unwrap_or(sha256);
                format!("{list}, version {version} ({digits})")
            };
            judged_by(
                "fan list",
                name(
                    &phone.fan_list,
                    &phone.fan_list_version,
                    &phone.fan_list_sha256,
                ),
                name(
                    &office.fan_list,
                    &office.fan_list_version,
                    &office.fan_list_sha256,
                ),
            );
        }
        let into = &mut differences.findings;
        compare("the house", &phone.house, &office.house, into);
        let phone_spots: HashMap<ItemId, &PhoneSpot> =
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
            let their_choices: HashMap<(&str, &str), &PhoneChoice> = theirs
                .choices
                .iter()
                .map(|choice| ((choice.fan.as_str(), choice.framing.as_str()), choice))
                .collect();
            for choice in &spot.choices {
                // A fan that only one of the two lists has is a matter of the lists, said above.
                let key = (choice.fan.as_str(), choice.framing.label());
                if let Some(theirs) = their_choices.get(&key) {
                    let about = format!("{name}, {}, {}", choice.fan, choice.framing.label());
                    compare(&about, &theirs.findings, &choice.findings, into);
                }
            }
        }
        Ok(differences)
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
fn alike(phone: &PhoneFinding, office: &Finding) -> bool {
    let amounts = [
        (&phone.need, &office.need),
        (&phone.measured, &office.measured),
        (&phone.margin, &office.margin),
    ];
    phone.outcome == office.outcome.label()
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

fn compare(about: &str, phone: &[PhoneFinding], office: &[Finding], into: &mut Vec<Difference>) {
    let mut theirs: HashMap<&str, &PhoneFinding> = phone
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
                say(&theirs.outcome, &theirs.say)
            }),
            office: say(finding.outcome.label(), &finding.say.english()),
        });
    }
    let left: HashSet<&str> = theirs.into_keys().collect();
    for finding in phone.iter().filter(|f| left.contains(f.rule.as_str())) {
        into.push(Difference {
            about: format!("{about}: {}", finding.rule),
            phone: say(&finding.outcome, &finding.say),
            office: "not judged".to_owned(),
        });
    }
}
