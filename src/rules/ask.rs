//! How a rule asks the survey: every question is noted, with or without an answer.

use super::WithFan;
use super::finding::{Arg, Finding, Outcome, Remedy, Say, Who};
use super::part::Part;
use crate::house::answers::{Answers, Asked, Run};
use crate::house::scene::{Noted, Placed};
use crate::measure::{Figure, Length, Measured};
use crate::need::Need;
use crate::survey::{FieldRef, ItemId, Listed};
use crate::trade::source::Source;

/// A rule at work: it notes which answers were asked for and which of them are missing.
///
/// Soundness of "no longer matters" rests on one habit: **a rule asks for everything it may need before it
/// decides anything**. An outcome other than *not measured yet* must stand whatever the answers still missing
/// turn out to be; then [`Asking::settled`] drops them. Otherwise [`Asking::not_measured`] names them all.
#[derive(Debug)]
pub struct Asking {
    rule: &'static str,
    title: &'static str,
    sources: &'static [Source],
    spot: Option<ItemId>,
    asked: Asked,
    figures: Vec<Figure>,
}

impl Asking {
    /// Begins a rule about the whole house.
    pub fn house(rule: &'static str, title: &'static str, sources: &'static [Source]) -> Self {
        Asking {
            rule,
            title,
            sources,
            spot: None,
            asked: Asked::new(),
            figures: Vec::new(),
        }
    }

    /// Begins a rule about one spot.
    pub fn spot(
        rule: &'static str,
        title: &'static str,
        sources: &'static [Source],
        spot: ItemId,
    ) -> Self {
        Asking {
            spot: Some(spot),
            ..Self::house(rule, title, sources)
        }
    }

    fn at(&self, field: &'static str) -> FieldRef {
        // Spots own the halls and attics; everything else belongs to the house.
        let of_spot = field.starts_with("hall.") || field.starts_with("attic.");
        FieldRef {
            field,
            spot: if of_spot { self.spot } else { None },
            item: None,
        }
    }

    fn note(&mut self, at: FieldRef, given: bool) {
        self.asked.push(at, given);
    }

    /// Asks for one answer of the house or of this spot.
    pub fn ask<T: Copy>(&mut self, field: &'static str, answer: Option<T>) -> Option<T> {
        self.note(self.at(field), answer.is_some());
        answer
    }

    /// Asks for one answer of a certain spot, in a rule about the whole house.
    pub fn ask_of_spot<T: Copy>(
        &mut self,
        field: &'static str,
        spot: ItemId,
        answer: Option<T>,
    ) -> Option<T> {
        self.note(FieldRef::spot(field, spot), answer.is_some());
        answer
    }

    /// Asks for one answer of an item; `of_spot` where its list belongs to this spot.
    pub fn ask_item<T: Copy>(
        &mut self,
        field: &'static str,
        of_spot: bool,
        item: ItemId,
        answer: Option<T>,
    ) -> Option<T> {
        let at = FieldRef {
            field,
            spot: if of_spot { self.spot } else { None },
            item: Some(item),
        };
        self.note(at, answer.is_some());
        answer
    }

    /// Asks for a list; returns whether it is all of them. `complete` is such as `attic.obstructions.complete`.
    pub fn ask_list<T>(&mut self, complete: &'static str, list: &Listed<T>) -> bool {
        self.note(self.at(complete), list.complete);
        list.complete
    }

    /// Takes over the answers that a part of the scene comes from, given and missing; none twice.
    pub fn adopt(&mut self, noted: &Noted) {
        self.know(&noted.given);
        self.lack(&noted.missing);
    }

    /// Takes over the answers that the place of the opening hangs on, and returns what came of it.
    ///
    /// Where it is [`Placed::Unknown`] something is missing; any other result stands whatever is missing.
    pub fn place<'a>(&mut self, with: &WithFan<'a>) -> &'a Placed {
        let scene = with.at.scene;
        let parts = scene.place_asked(with.framing);
        for part in parts {
            self.know(&part.given);
        }
        if *with.place == Placed::Unknown {
            for part in parts {
                self.lack(&part.missing);
            }
            for movers in scene.movers_missing() {
                self.lack(movers);
            }
        }
        with.place
    }

    /// Notes an answer that is given and changes no outcome, such as one that only a caution rests on.
    pub fn note_given(&mut self, field: &'static str) {
        let at = self.at(field);
        if !self.asked.contains(&at) {
            self.note(at, true);
        }
    }

    /// Notes given answers that were found before; none twice.
    fn know(&mut self, answers: &Run) {
        self.asked.share(answers, true);
    }

    /// Notes missing answers that were found before; none twice.
    pub fn lack(&mut self, holes: &Run) {
        self.asked.share(holes, false);
    }

    fn compute(&mut self, figure: Figure) {
        // Most rules that compute at all have more than four.
        if self.figures.is_empty() {
            self.figures.reserve(8);
        }
        self.figures.push(figure);
    }

    /// Notes a figure computed on the way.
    pub fn figure(&mut self, name: &'static str, value: impl Measured) {
        self.compute(Figure::new(name, value));
    }

    /// Notes a plain ratio computed on the way.
    pub fn ratio(&mut self, name: &'static str, ratio: f64) {
        self.compute(Figure::ratio(name, ratio));
    }

    /// Whether anything asked for is missing.
    pub fn lacks(&self) -> bool {
        self.asked.lacks()
    }

    fn finish(self, outcome: Outcome, say: Say, hangs_on: Answers, missing: Answers) -> Finding {
        Finding {
            rule: self.rule,
            title: self.title,
            // The list of rules says which part, and how bad it can get.
            part: Part::Safe,
            outcome,
            at_worst: match outcome {
                Outcome::NotMeasured => Outcome::Fails,
                known => known,
            },
            say,
            need: None,
            measured: None,
            margin: None,
            measure_again: false,
            remedies: Vec::new(),
            cautions: Vec::new(),
            sources: self.sources,
            figures: self.figures,
            hangs_on,
            missing,
        }
    }

    /// The rule cannot answer yet: the missing answers are named.
    ///
    /// # Panics
    /// In debug builds, where nothing is missing: then the rule must answer.
    pub fn not_measured(self) -> Finding {
        debug_assert!(self.lacks(), "{}: nothing is missing", self.rule);
        let (asked, missing) = (self.asked.all(), self.asked.only(false));
        self.finish(
            Outcome::NotMeasured,
            Say::new("Not measured yet."),
            asked,
            missing,
        )
    }

    /// Given answers cannot all be right, whatever the missing ones turn out to be: `what` says which.
    pub fn contradiction(self, what: Say) -> Finding {
        Finding {
            measure_again: true,
            ..self.settled(
                Outcome::Fails,
                Say::new("Measure again: {what}").with("what", what),
            )
        }
    }

    /// The rule's answer, which stands whatever the missing answers turn out to be.
    pub fn settled(self, outcome: Outcome, say: Say) -> Finding {
        debug_assert!(outcome != Outcome::NotMeasured);
        let given = self.asked.only(true);
        self.finish(outcome, say, given, Answers::default())
    }
}

impl Finding {
    /// With a need, what was measured, and the margin between the two, all lengths; marks a margin of at most
    /// `readings` tape divisions as one to measure again.
    #[must_use]
    pub fn lengths(
        mut self,
        need: Length,
        measured: Length,
        readings: i64,
        division: Length,
    ) -> Self {
        let margin = measured - need;
        self.need = Some(need.into());
        self.measured = Some(measured.into());
        self.margin = Some(margin.into());
        self.measure_again = margin.abs() <= division * readings;
        self.told_apart()
    }

    /// With a need, a measure and a margin of any kind.
    #[must_use]
    pub fn amounts(
        mut self,
        need: impl Into<Arg>,
        measured: impl Into<Arg>,
        margin: impl Into<Arg>,
    ) -> Self {
        self.need = Some(need.into());
        self.measured = Some(measured.into());
        self.margin = Some(margin.into());
        self.told_apart()
    }

    /// What was measured and is too little reads as less than the need, here and in the sentence, however it is rounded.
    fn told_apart(mut self) -> Self {
        if let (Some(need), Some(measured)) = (&self.need, &self.measured) {
            let below = measured.clone().below(need);
            for (_, arg) in &mut self.say.args {
                if *arg == *measured {
                    *arg = below.clone();
                }
            }
            self.measured = Some(below);
        }
        self
    }

    /// With one more remedy.
    #[must_use]
    pub fn remedy(mut self, who: impl Into<Who>, what: Say) -> Self {
        self.remedies.push(Remedy {
            who: who.into(),
            what,
            need: None,
        });
        self
    }

    /// With one more remedy in typed amounts, told as such needs are.
    #[must_use]
    pub fn needs(self, who: impl Into<Who>, need: Need) -> Self {
        let what = super::work::told(&need).unwrap_or_else(|| Say::new(need.name()));
        self.needs_as(who, need, what)
    }

    /// With one more remedy in typed amounts, told in these words.
    #[must_use]
    pub fn needs_as(mut self, who: impl Into<Who>, need: Need, what: Say) -> Self {
        self.remedies.push(Remedy {
            who: who.into(),
            what,
            need: Some(need),
        });
        self
    }

    /// Not measured yet, and never worse than this, whatever the missing answers turn out to be.
    #[must_use]
    pub fn at_worst(mut self, worst: Outcome) -> Self {
        if self.outcome == Outcome::NotMeasured {
            self.at_worst = worst;
        }
        self
    }

    /// With one more caution.
    #[must_use]
    pub fn caution(mut self, say: Say) -> Self {
        self.cautions.push(say);
        self
    }
}
