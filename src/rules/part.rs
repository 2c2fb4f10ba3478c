//! The three questions that a verdict answers: does it go in, is it safe, what work is there.
//!
//! Every rule belongs to one [`Part`]. Each part is answered from the findings of its rules alone, as soon as no
//! missing answer can change it: whether the fan goes in can be final while the list of work is still open.
//!
//! # How a part is answered
//! A finding that waits for answers can still turn out between *holds* and [`Finding::at_worst`]. A part is as good
//! as the worst of its findings; where the best and the worst that all of them can turn out are the same, that is the
//! part's answer, and otherwise it is open. A spot answers for all of its choices:
//!
//! * *does it go in*: the best of any choice;
//! * *is it safe*: the best of the choices that go in; where none does, the best of any;
//! * *what work*: open until nothing missing can change the spot's verdict, then as the best choice has it.

use super::finding::{Finding, Outcome};
use super::verdict::Verdict;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;

/// One of the three questions that a verdict answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub enum Part {
    /// Room, framing and way in.
    #[serde(rename = "goes in")]
    GoesIn,
    /// Air, flame, power, hazards and people.
    #[serde(rename = "safe")]
    Safe,
    /// Everything to be done, and who does it.
    #[serde(rename = "work")]
    Work,
}

impl Part {
    /// All three, in the order in which they are shown.
    pub const ALL: [Part; 3] = [Part::GoesIn, Part::Safe, Part::Work];

    /// The question in English, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Part::GoesIn => "Does it go in?",
            Part::Safe => "Is it safe?",
            Part::Work => "What work?",
        }
    }

    /// An answer to this question in English, also the key for translations.
    pub const fn words(self, answer: PartAnswer) -> &'static str {
        match (self, answer) {
            (Part::GoesIn, PartAnswer::Yes) => "It goes in.",
            (Part::GoesIn, PartAnswer::WithWork) => "It goes in, with work.",
            (Part::GoesIn, PartAnswer::No) => "It does not go in.",
            (Part::Safe, PartAnswer::Yes) => "Nothing found against it.",
            (Part::Safe, PartAnswer::WithWork) => "Only after the work listed.",
            (Part::Safe, PartAnswer::No) => "Not safe here.",
            (Part::GoesIn | Part::Safe, PartAnswer::Open) => "Not known yet.",
            (Part::Work, PartAnswer::Yes) => "Nothing but the fan itself.",
            (Part::Work, PartAnswer::WithWork) => "The list is complete.",
            (Part::Work, PartAnswer::No) => "None: the fan does not fit.",
            (Part::Work, PartAnswer::Open) => "The list is not complete yet.",
        }
    }

    const fn bit(self) -> u8 {
        1 << self as u8
    }
}

/// What one part of a verdict comes to. Ordered from the worst to the best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
pub enum PartAnswer {
    /// No, and no work brings it.
    #[serde(rename = "no")]
    No,
    /// A missing answer can still change it.
    #[serde(rename = "open")]
    Open,
    /// Yes, once work is done.
    #[serde(rename = "yes, with work")]
    WithWork,
    /// Yes, as it is.
    #[serde(rename = "yes")]
    Yes,
}

impl PartAnswer {
    /// The verdict of the same mark.
    pub const fn verdict(self) -> Verdict {
        match self {
            PartAnswer::No => Verdict::DoesNotFit,
            PartAnswer::Open => Verdict::NotSettled,
            PartAnswer::WithWork => Verdict::FitsWithWork,
            PartAnswer::Yes => Verdict::Fits,
        }
    }
}

/// The three parts of a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Parts {
    /// Does it go in?
    pub goes_in: PartAnswer,
    /// Is it safe?
    pub safe: PartAnswer,
    /// What work? *Open* until the list is complete.
    pub work: PartAnswer,
}

impl Parts {
    /// The answer of one part.
    pub const fn of(&self, part: Part) -> PartAnswer {
        match part {
            Part::GoesIn => self.goes_in,
            Part::Safe => self.safe,
            Part::Work => self.work,
        }
    }

    /// The same for a settled spot with this verdict.
    #[must_use]
    pub(super) fn settled(self, verdict: Verdict) -> Parts {
        Parts {
            work: work(verdict),
            ..self
        }
    }
}

/// Some of the three parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct PartSet(u8);

impl PartSet {
    /// With one more.
    #[must_use]
    pub const fn with(self, part: Part) -> Self {
        PartSet(self.0 | part.bit())
    }

    /// With those of another set.
    #[must_use]
    pub const fn and(self, other: PartSet) -> Self {
        PartSet(self.0 | other.0)
    }

    /// Whether the part is among them.
    pub const fn has(self, part: Part) -> bool {
        self.0 & part.bit() != 0
    }

    /// Whether there are none.
    pub const fn is_empty(self) -> bool {
        self.0 == 0
    }

    /// Those that are there, in the order in which they are shown.
    pub fn iter(self) -> impl Iterator<Item = Part> {
        Part::ALL.into_iter().filter(move |part| self.has(*part))
    }
}

impl Serialize for PartSet {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.iter())
    }
}

impl JsonSchema for PartSet {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        Vec::<Part>::schema_name()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<Part>::json_schema(generator)
    }
}

/// A rule with the part of the verdict that it belongs to.
#[derive(Debug, Clone, Copy)]
pub struct Rule<F> {
    /// The part.
    pub part: Part,
    /// The worst that it ever answers.
    pub at_worst: Outcome,
    /// The rule itself.
    pub judge: F,
}

impl<F: Copy> Rule<F> {
    /// A rule with its part and the worst that it ever answers.
    pub const fn new(part: Part, at_worst: Outcome, judge: F) -> Self {
        Rule {
            part,
            at_worst,
            judge,
        }
    }

    /// A finding of this rule, marked as its own.
    pub(super) fn mark(&self, mut finding: Finding) -> Finding {
        finding.part = self.part;
        if finding.outcome == Outcome::NotMeasured {
            finding.at_worst = finding.at_worst.min(self.at_worst);
        } else {
            finding.at_worst = finding.outcome;
            debug_assert!(
                finding.outcome <= self.at_worst,
                "{}: worse than it ever answers",
                finding.rule
            );
        }
        finding
    }
}

/// The best and the worst that some findings together can still turn out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    pub best: Outcome,
    pub worst: Outcome,
}

impl Span {
    const HOLDS: Span = Span {
        best: Outcome::Holds,
        worst: Outcome::Holds,
    };

    fn of_finding(finding: &Finding) -> Span {
        match finding.outcome {
            Outcome::NotMeasured => Span {
                best: Outcome::Holds,
                worst: finding.at_worst,
            },
            outcome => Span {
                best: outcome,
                worst: outcome,
            },
        }
    }

    /// As good as the worst of both.
    fn and(self, other: Span) -> Span {
        Span {
            best: self.best.max(other.best),
            worst: self.worst.max(other.worst),
        }
    }

    /// Of the findings of one part.
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding>, part: Part) -> Span {
        findings
            .into_iter()
            .filter(|finding| finding.part == part)
            .map(Span::of_finding)
            .fold(Span::HOLDS, Span::and)
    }

    /// Whether it is still open.
    pub fn is_open(self) -> bool {
        self.best != self.worst
    }

    fn answer(self) -> PartAnswer {
        match (self.is_open(), self.best) {
            (true, _) | (false, Outcome::NotMeasured) => PartAnswer::Open,
            (false, Outcome::Holds) => PartAnswer::Yes,
            (false, Outcome::Mend) => PartAnswer::WithWork,
            (false, Outcome::Fails) => PartAnswer::No,
        }
    }
}

/// What a choice can still turn out in the two parts that decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Open {
    pub goes_in: Span,
    pub safe: Span,
}

impl Open {
    pub fn of<'a>(findings: impl IntoIterator<Item = &'a Finding> + Clone) -> Open {
        Open {
            goes_in: Span::of(findings.clone(), Part::GoesIn),
            safe: Span::of(findings, Part::Safe),
        }
    }

    pub fn and(self, other: Open) -> Open {
        Open {
            goes_in: self.goes_in.and(other.goes_in),
            safe: self.safe.and(other.safe),
        }
    }

    pub fn part(&self, part: Part) -> Option<Span> {
        match part {
            Part::GoesIn => Some(self.goes_in),
            Part::Safe => Some(self.safe),
            Part::Work => None,
        }
    }

    /// The parts of a choice with this verdict.
    pub fn parts(self, verdict: Verdict) -> Parts {
        Parts {
            goes_in: self.goes_in.answer(),
            safe: self.safe.answer(),
            work: work(verdict),
        }
    }
}

const fn work(verdict: Verdict) -> PartAnswer {
    match verdict {
        Verdict::DoesNotFit => PartAnswer::No,
        Verdict::NotSettled => PartAnswer::Open,
        Verdict::FitsWithWork => PartAnswer::WithWork,
        Verdict::Fits => PartAnswer::Yes,
    }
}

/// The parts of a spot whose choices can still turn out so; its work is open until the spot is settled.
pub(super) fn of_spot(choices: &[Open]) -> Parts {
    let best = |of: &mut dyn Iterator<Item = Outcome>| of.min();
    let each = || choices.iter();
    let goes_in = Span {
        best: best(&mut each().map(|it| it.goes_in.best)).unwrap_or(Outcome::Fails),
        worst: best(&mut each().map(|it| it.goes_in.worst)).unwrap_or(Outcome::Fails),
    };
    let never = |open: &&Open| open.goes_in.best == Outcome::Fails;
    let surely = |open: &&Open| open.goes_in.worst != Outcome::Fails;
    let may = || each().filter(|open| !never(open));
    let safe = if may().next().is_none() {
        // None goes in, whatever is missing.
        Span {
            best: best(&mut each().map(|it| it.safe.best)).unwrap_or(Outcome::Fails),
            worst: best(&mut each().map(|it| it.safe.worst)).unwrap_or(Outcome::Fails),
        }
    } else {
        let sure = best(&mut each().filter(surely).map(|it| it.safe.worst));
        let none_may = sure.is_none();
        Span {
            best: best(
                &mut may()
                    .chain(each().filter(|_| none_may))
                    .map(|it| it.safe.best),
            )
            .unwrap_or(Outcome::Fails),
            worst: sure
                .or_else(|| may().map(|it| it.safe.worst).max())
                .unwrap_or(Outcome::Fails),
        }
    };
    Parts {
        goes_in: goes_in.answer(),
        safe: safe.answer(),
        work: PartAnswer::Open,
    }
}
