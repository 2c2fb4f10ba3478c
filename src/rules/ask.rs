//! How a rule asks the survey: every question is noted, with or without an answer.

use super::finding::{Arg, Finding, Outcome, Remedy, Say, Who};
use super::part::Part;
use super::{AtSpot, House, WithFan};
use crate::house::answers::{Answers, Asked, Run};
use crate::house::scene::{Noted, Placed};
use crate::measure::{Figure, Length, Measured, Reading};
use crate::need::Need;
use crate::survey::{Entry, Field, FieldRef, ItemId, List, Section, Spot, SpotSection, Survey};
use crate::trade::source::Source;

/// A rule at work: it reads the survey, and notes which answers were asked for and which of them are missing.
///
/// Soundness of "no longer matters" rests on one habit: **a rule asks for everything it may need before it
/// decides anything**. An outcome other than *not measured yet* must stand whatever the answers still missing
/// turn out to be; then [`RuleContext::settled`] drops them. Otherwise [`RuleContext::not_measured`] names them all.
///
/// An answer is read through its typed name, so that what is noted and what is read cannot part:
///
/// ```ignore
/// let mut ctx = RuleContext::spot(at, "eaves", "Is the air's way open at the eaves?", SOURCES);
/// let open = ctx.get(attic::EAVES_OPEN); // Option<bool>
/// let depth = ctx.length(attic::INSULATION_DEPTH); // Option<Length>
/// let all = ctx.complete(vents::VENTS); // whether the list is said to be whole
/// for vent in &at.house.survey.vents.vents.items {
///     let count = ctx.get_of(vent, vent::COUNT); // Option<u32>
/// }
/// ```
#[derive(Debug)]
pub struct RuleContext<'a> {
    rule: &'static str,
    title: &'static str,
    sources: &'static [Source],
    survey: &'a Survey,
    spot: Option<&'a Spot>,
    asked: Asked,
    figures: Vec<Figure>,
}

impl<'a> RuleContext<'a> {
    /// Begins a rule about the whole house.
    pub fn house(
        house: House<'a>,
        rule: &'static str,
        title: &'static str,
        sources: &'static [Source],
    ) -> Self {
        RuleContext {
            rule,
            title,
            sources,
            survey: house.survey,
            spot: None,
            asked: Asked::new(),
            figures: Vec::new(),
        }
    }

    /// Begins a rule about one spot.
    pub fn spot(
        at: AtSpot<'a>,
        rule: &'static str,
        title: &'static str,
        sources: &'static [Source],
    ) -> Self {
        RuleContext {
            spot: Some(at.spot),
            ..Self::house(at.house, rule, title, sources)
        }
    }

    /// Where an answer of this rule stands: halls and attics are the spot's, everything else the house's.
    fn at(&self, field: &'static str, of_spot: bool, item: Option<ItemId>) -> FieldRef {
        debug_assert!(
            !of_spot || self.spot.is_some(),
            "{}: a rule about the house asks no spot for {field}",
            self.rule
        );
        let spot = self.spot.filter(|_| of_spot).map(|spot| spot.id);
        FieldRef { field, spot, item }
    }

    fn note(&mut self, at: FieldRef, given: bool) {
        self.asked.push(at, given);
    }

    /// Asks for one answer of the house or of this spot.
    pub fn get<R: Section, T: Copy>(&mut self, field: Field<R, T>) -> Option<T> {
        let answer = R::within(self.survey, self.spot).and_then(|it| field.read(it).copied());
        self.note(self.at(field.id, R::OF_SPOT, None), answer.is_some());
        answer
    }

    /// Asks for one length of the house or of this spot.
    pub fn length<R: Section>(&mut self, field: Field<R, Reading>) -> Option<Length> {
        self.get(field).map(Reading::length)
    }

    /// Asks for one answer of a certain spot, in a rule about the whole house.
    pub fn get_at<R: SpotSection, T: Copy>(
        &mut self,
        spot: &Spot,
        field: Field<R, T>,
    ) -> Option<T> {
        let answer = field.read(R::of(spot)).copied();
        self.note(field.at(spot.id), answer.is_some());
        answer
    }

    /// Asks for one answer of an entry in a list of the house or of this spot.
    pub fn get_of<R: Entry, T: Copy>(&mut self, entry: &R, field: Field<R, T>) -> Option<T> {
        let answer = field.read(entry).copied();
        let at = self.at(field.id, R::OF_SPOT, Some(entry.id()));
        self.note(at, answer.is_some());
        answer
    }

    /// Asks for one length of an entry in a list of the house or of this spot.
    pub fn length_of<R: Entry>(&mut self, entry: &R, field: Field<R, Reading>) -> Option<Length> {
        self.get_of(entry, field).map(Reading::length)
    }

    /// Asks for a list; returns whether it is all of them.
    pub fn complete<R: Section, I>(&mut self, list: List<R, I>) -> bool {
        let complete = R::within(self.survey, self.spot).is_some_and(|it| list.read(it).complete);
        self.note(self.at(list.complete, R::OF_SPOT, None), complete);
        complete
    }

    /// Takes over the answers that a part of the scene comes from, given and missing; none twice.
    pub fn adopt(&mut self, noted: &Noted) {
        self.know(&noted.given);
        self.lack(&noted.missing);
    }

    /// Takes over the answers that the place of the opening hangs on, and returns what came of it.
    ///
    /// Where it is [`Placed::Unknown`] something is missing; any other result stands whatever is missing.
    pub fn place<'w>(&mut self, with: &WithFan<'w>) -> &'w Placed {
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
    pub fn note_given<R: Section, T>(&mut self, field: Field<R, T>) {
        let at = self.at(field.id, R::OF_SPOT, None);
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
