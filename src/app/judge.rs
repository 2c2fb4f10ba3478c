//! The judgement as the screens need it: per spot, for the fan and framing that is looked at.

use super::place::Sign;
use super::reader::Reader;
use crate::job::figures;
use crate::measure::Figure;
use crate::rules::{
    self, Assessment, Finding, Framing, Outcome, Say, SpotAssessment, Verdict, fan_choice,
    matters::{Matter, SpotMatters, what_matters},
};
use crate::survey::{FieldRef, ItemId, Stop, Survey};
use crate::trade::codes::Codes;
use crate::trade::fan::FanList;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// A fan of the list with one way of framing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// The fan's id in the list.
    pub fan: String,
    /// Cut or left whole.
    pub framing: Framing,
}

/// One finding in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// What the rule asks.
    pub title: String,
    /// The answer in a sentence.
    pub outcome: String,
    /// Its mark.
    pub sign: Sign,
    /// What is needed.
    pub need: String,
    /// What was measured.
    pub measured: String,
    /// By how much it holds or fails.
    pub margin: String,
    /// What would mend it, and who.
    pub remedy: String,
    /// What to mind before anything else; empty where there is nothing.
    pub caution: String,
    /// What else to mind.
    pub minds: String,
    /// Where the rule comes from, and how sure that is.
    pub source: String,
    /// Whether it should be measured again.
    pub again: bool,
    /// The answers it hangs on, with those that are missing first.
    pub fields: Vec<FieldRef>,
    figures: Vec<Figure>,
    /// Whether its cautions are about life.
    of_life: bool,
    /// Whether its first caution tells to stop, and not only to mind something.
    stops: bool,
    /// The rule behind it.
    rule: &'static str,
    /// How many answers it lacks.
    missing: usize,
    rank: Outcome,
}

/// The rules whose cautions are about the life of whoever goes in or lives there: heat, hazards, burnt gas and fire.
/// What a crew minds at its work stands on the crew's sheets.
const OF_LIFE: &[&str] = &[
    "heat",
    "fireplace",
    "flues",
    "combustion-air",
    "backdraft",
    "garage",
    "smoke-alarms",
    "co-alarms",
    "switch-place",
];

fn is_of_life(rule: &str) -> bool {
    rule.starts_with("hazard-") || OF_LIFE.contains(&rule)
}

/// Whether a caution tells to stop: its first word is the act.
fn tells_to_stop(caution: &Say) -> bool {
    ["Do not go in", "Stay out", "Stop", "Leave the attic"]
        .iter()
        .any(|act| caution.text.starts_with(act))
}

impl Told {
    fn new(finding: &Finding, reader: &Reader) -> Told {
        let say =
            |arg: &Option<rules::Arg>| arg.as_ref().map_or(String::new(), |a| reader.argument(a));
        let remedies: Vec<String> = finding
            .remedies
            .iter()
            .map(|remedy| {
                format!(
                    "{} ({})",
                    reader.said(&remedy.what),
                    reader.tr(remedy.who.label())
                )
            })
            .collect();
        let mut cautions = finding.cautions.iter().map(|caution| reader.said(caution));
        Told {
            title: reader.tr(finding.title),
            outcome: reader.said(&finding.say),
            sign: sign_of(finding.outcome),
            need: say(&finding.need),
            measured: say(&finding.measured),
            margin: say(&finding.margin),
            remedy: remedies.join("\n"),
            caution: cautions.next().unwrap_or_default(),
            minds: cautions.collect::<Vec<_>>().join("\n"),
            source: finding
                .sources
                .iter()
                .map(|s| format!("{} ({})", s.cite, reader.tr(s.status.label())))
                .collect::<Vec<_>>()
                .join("\n"),
            again: finding.measure_again,
            fields: finding
                .missing
                .iter()
                .chain(&finding.hangs_on)
                .copied()
                .collect(),
            figures: finding.figures.clone(),
            of_life: is_of_life(finding.rule),
            stops: finding.cautions.first().is_some_and(tells_to_stop),
            rule: finding.rule,
            missing: finding.missing.len(),
            rank: finding.outcome,
        }
    }

    /// The caution, where it is about the life of whoever goes in or lives there.
    pub fn life_caution(&self) -> Option<&str> {
        (self.of_life && !self.caution.is_empty()).then_some(self.caution.as_str())
    }

    /// Whether its caution tells to stop: it is red then.
    pub fn stops(&self) -> bool {
        self.of_life && self.stops
    }

    /// Whether it is about the life of whoever goes in or lives there.
    pub fn is_of_life(&self) -> bool {
        self.of_life
    }

    /// The rule behind it.
    pub fn rule(&self) -> &'static str {
        self.rule
    }

    /// The arithmetic behind it: every figure on the way, a line each.
    pub fn figures(&self, reader: &Reader) -> String {
        self.figures
            .iter()
            .map(|figure| {
                format!(
                    "{} = {}",
                    figures::name(figure, reader.language),
                    reader.argument(&figures::amount(figure))
                )
            })
            .collect::<Vec<_>>()
            .join("\n")
    }

    /// The question and the answer to it.
    pub fn both(&self) -> String {
        let gap = if self.title.ends_with('?') { " " } else { ": " };
        format!("{}{gap}{}", self.title, self.outcome)
    }

    /// How it came out.
    pub fn outcome_is(&self) -> Outcome {
        self.rank
    }

    /// Whether it hangs on such an answer.
    pub fn touches(&self, here: impl Fn(&FieldRef) -> bool) -> bool {
        self.fields.iter().any(here)
    }
}

/// The mark of an outcome.
pub fn sign_of(outcome: Outcome) -> Sign {
    match outcome {
        Outcome::Holds => Sign::Holds,
        Outcome::Mend => Sign::Work,
        Outcome::NotMeasured => Sign::Open,
        Outcome::Fails => Sign::Fails,
    }
}

/// The mark of a verdict.
pub fn sign_of_verdict(verdict: Verdict) -> Sign {
    match verdict {
        Verdict::Fits => Sign::Holds,
        Verdict::FitsWithWork => Sign::Work,
        Verdict::NotSettled => Sign::Open,
        Verdict::DoesNotFit => Sign::Fails,
    }
}

/// A survey judged, with what the screens ask of it.
#[derive(Debug, Clone)]
pub struct Judged {
    assessment: Assessment,
    reader: Reader,
    spot: ItemId,
    /// The way that is looked at, for each spot where the surveyor picked one.
    picked: BTreeMap<ItemId, Way>,
    matters: Vec<SpotMatters>,
    told: Vec<Told>,
}

impl Judged {
    /// Judges a survey; its first spot is looked at.
    pub fn of(survey: &Survey, fans: &FanList, codes: &Codes, reader: &Reader) -> Judged {
        let spot = survey.spots.first().map_or(ItemId(0), |spot| spot.id);
        Judged::at(survey, fans, codes, reader, spot, &BTreeMap::new())
    }

    /// Judges a survey and looks at `spot`, with the ways that the surveyor picked.
    pub fn at(
        survey: &Survey,
        fans: &FanList,
        codes: &Codes,
        reader: &Reader,
        spot: ItemId,
        picked: &BTreeMap<ItemId, Way>,
    ) -> Judged {
        let mut judged = Judged {
            assessment: rules::assess(survey, fans, codes),
            reader: *reader,
            spot,
            picked: picked.clone(),
            matters: Vec::new(),
            told: Vec::new(),
        };
        judged.look();
        judged
    }

    fn look(&mut self) {
        self.matters = what_matters(&self.assessment);
        let mut told: Vec<Told> = match self.spot() {
            Some(spot) => match self.way_index(spot) {
                Some(index) => self
                    .assessment
                    .bearing_on(spot, &spot.choices[index])
                    .map(|finding| Told::new(finding, &self.reader))
                    .collect(),
                None => Vec::new(),
            },
            None => Vec::new(),
        };
        // What fails comes first, then what is open, then what is work.
        told.sort_by_key(|told| Reverse(told.rank));
        self.told = told;
    }

    /// The assessment itself.
    pub fn assessment(&self) -> &Assessment {
        &self.assessment
    }

    /// The spot that is looked at.
    pub fn spot(&self) -> Option<&SpotAssessment> {
        self.assessment
            .spots
            .iter()
            .find(|spot| spot.spot == self.spot)
    }

    /// The answers that still matter at the present spot, the weightiest first.
    pub fn open(&self) -> impl Iterator<Item = &Matter> {
        self.matters
            .iter()
            .filter(|spot| spot.spot == self.spot)
            .flat_map(|spot| &spot.matters)
    }

    /// Whether this answer is missing and can still change the verdict of some spot.
    pub fn matters(&self, at: &FieldRef) -> bool {
        self.all_open().any(|matter| matter.field == *at)
    }

    /// Whether this answer is missing and can still change the verdict of the present spot.
    pub fn matters_here(&self, at: &FieldRef) -> bool {
        self.open().any(|matter| matter.field == *at)
    }

    /// Whether an entry lacks an answer that still matters.
    pub fn matters_of_item(&self, item: ItemId) -> bool {
        self.all_open()
            .any(|matter| matter.field.item == Some(item))
    }

    fn all_open(&self) -> impl Iterator<Item = &Matter> {
        self.matters.iter().flat_map(|spot| &spot.matters)
    }

    /// How many answers still matter at a stop.
    pub fn still_at(&self, stop: Stop) -> usize {
        self.open()
            .filter(|matter| matter.stop() == Some(stop))
            .count()
    }

    /// How many answers still matter at the present spot.
    pub fn still(&self) -> usize {
        self.open().count()
    }

    /// The findings on the way that is looked at, the gravest first.
    pub fn findings(&self) -> impl Iterator<Item = &Told> {
        self.told.iter()
    }

    /// The finding that this answer decides: one that came out otherwise than in `before`, then one that has an
    /// answer at all, then the one that lacks least; among equals the gravest.
    pub fn decided_by(&self, at: &FieldRef, before: Option<&Judged>) -> Option<&Told> {
        let changed = |told: &Told| {
            before.is_some_and(|before| {
                !before
                    .told
                    .iter()
                    .any(|old| old.title == told.title && old.outcome == told.outcome)
            })
        };
        self.told
            .iter()
            .filter(|told| told.fields.contains(at))
            .min_by_key(|told| {
                let open = told.rank == Outcome::NotMeasured;
                (open, !changed(told), told.missing)
            })
    }

    /// The ways of a spot, the best first, as indices into its choices; in the order of
    /// [`SpotAssessment::best`].
    pub fn ranked(&self, spot: &SpotAssessment) -> Vec<usize> {
        fan_choice::order(&spot.choices)
    }

    /// The way that is looked at: the one picked, or the best.
    pub fn way_index(&self, spot: &SpotAssessment) -> Option<usize> {
        let picked = self.picked.get(&spot.spot).and_then(|way| {
            spot.choices
                .iter()
                .position(|choice| choice.fan == way.fan && choice.framing == way.framing)
        });
        picked.or_else(|| self.ranked(spot).first().copied())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Length, Tape};
    use crate::rules::test_house::survey;
    use crate::rules::{Asking, Who};
    use crate::words::Language;

    /// A house of which only the attic's heat is known.
    fn heat(temperature: &str, humidity: &str, reader: &Reader) -> Told {
        let survey = survey(&[
            ("arrival.attic_temperature", temperature),
            ("arrival.attic_humidity", humidity),
        ]);
        let fans = crate::trade::fan::generic();
        let judged = Judged::of(&survey, fans, &Codes::default(), reader);
        let title = reader.tr("How hot is the attic for the one who goes in?");
        judged
            .findings()
            .find(|told| told.title == title)
            .cloned()
            .expect("the finding on heat")
    }

    fn in_spanish() -> Reader {
        Reader {
            language: Language::Spanish,
            ..Reader::default()
        }
    }

    #[test]
    fn a_source_says_how_sure_it_is() {
        let told = heat("100 °F", "40 %", &Reader::default());
        let sources: Vec<&str> = told.source.lines().collect();
        assert!(
            sources.contains(&"US OSHA, Using the Heat Index: bands for work (confirmed)"),
            "{sources:?}"
        );
        assert!(sources.iter().any(|it| it.ends_with(" (derived)")));
        let told = heat("100 °F", "40 %", &in_spanish());
        assert!(told.source.contains(" (confirmado)\n"), "{}", told.source);
        assert!(told.source.ends_with(" (derivado)"), "{}", told.source);
    }

    #[test]
    fn what_to_mind_stands_by_itself_the_gravest_first() {
        let told = heat("130 °F", "15 %", &Reader::default());
        assert_eq!(told.outcome_is(), Outcome::Holds);
        assert_eq!(
            told.caution,
            "Do not go in. Come back in the cool of the morning."
        );
        assert_eq!(told.life_caution(), Some(told.caution.as_str()));
        assert!(told.minds.contains("heavy work"), "{}", told.minds);
        assert_eq!(told.remedy, "");
        let cool = heat("70 °F", "15 %", &Reader::default());
        assert_eq!((cool.caution.as_str(), cool.life_caution()), ("", None));
    }

    #[test]
    fn what_a_crew_minds_is_no_caution_about_the_life_of_a_household() {
        let told = |rule| {
            let finding = Asking::house(rule, "Question", &[])
                .settled(Outcome::Mend, Say::new("Answer."))
                .remedy(Who::Anybody, Say::new("Mend it."))
                .caution(Say::new("Mind this."));
            Told::new(&finding, &Reader::default())
        };
        for rule in ["rafter-ties", "disconnect", "heating"] {
            assert_eq!(told(rule).caution, "Mind this.");
            assert_eq!(told(rule).remedy, "Mend it. (Anybody)");
            assert_eq!(told(rule).life_caution(), None, "{rule}");
        }
        for rule in ["heat", "hazard-mould", "backdraft", "fireplace"] {
            assert_eq!(told(rule).life_caution(), Some("Mind this."), "{rule}");
        }
    }

    #[test]
    fn every_rule_whose_cautions_are_about_life_is_there() {
        let assessment = rules::assess(
            &survey(&[]),
            crate::trade::fan::generic(),
            &Codes::default(),
        );
        let spot = &assessment.spots[0];
        let rules: Vec<&str> = assessment
            .bearing_on(spot, &spot.choices[0])
            .map(|finding| finding.rule)
            .collect();
        for rule in OF_LIFE {
            assert!(rules.contains(rule), "{rule}");
        }
        assert!(rules.iter().any(|rule| rule.starts_with("hazard-")));
    }

    #[test]
    fn the_arithmetic_is_told_in_the_readers_words_and_units() {
        let english = Reader::default();
        let told = heat("100 °F", "40 %", &english);
        // The index of 100 °F and 40 % in the National Weather Service's chart.
        assert_eq!(told.figures(&english), "heat index = 109\u{202f}°F");
        assert_eq!(
            told.figures(&in_spanish()),
            "índice de calor = 109\u{202f}°F"
        );
        let mut asking = Asking::house("rule", "Question", &[]);
        asking.figure("depth", Length::inches(10));
        asking.ratio("share", 0.5);
        let finding = asking.settled(Outcome::Holds, Say::new("Answer."));
        let told = Told::new(&finding, &english);
        assert_eq!(told.figures(&english), "depth = 10\"\nshare = 0.50");
        let mut metric = english;
        metric.ways.tape = Tape::Millimetre;
        assert_eq!(told.figures(&metric), "depth = 254 mm\nshare = 0.50");
    }
}
