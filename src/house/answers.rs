//! Answers by name: which a part of the house or a finding hangs on; a list of which long runs are shared.
//!
//! Half-way through a house some hundred answers about things in the attic may be missing, and each fan and way of
//! framing has several findings that wait for all of them. They are kept once, and what still matters weighs them
//! once.

use crate::survey::FieldRef;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};
use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

/// Answers that are found once and named by many findings.
#[derive(Clone, PartialEq)]
pub struct Run {
    fields: Arc<[FieldRef]>,
    names: u64,
}

impl Run {
    /// The answers.
    pub fn iter(&self) -> std::slice::Iter<'_, FieldRef> {
        self.fields.iter()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.fields.is_empty()
    }

    /// Whether this is the very same run, and not one that is merely alike.
    pub fn is(&self, other: &Run) -> bool {
        Arc::ptr_eq(&self.fields, &other.fields)
    }

    /// Whether `at` is one of them.
    fn contains(&self, at: &FieldRef) -> bool {
        self.names & bit(at) != 0 && self.fields.contains(at)
    }
}

impl Default for Run {
    fn default() -> Self {
        Run::from(Vec::new())
    }
}

impl From<Vec<FieldRef>> for Run {
    fn from(fields: Vec<FieldRef>) -> Self {
        Run {
            names: fields.iter().fold(0, |names, at| names | bit(at)),
            fields: fields.into(),
        }
    }
}

impl fmt::Debug for Run {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.fields.fmt(f)
    }
}

/// One of 64 bits by the field's name, so that most runs without a field are told at a glance.
fn bit(at: &FieldRef) -> u64 {
    let name = at.field.as_bytes();
    let sum = name.iter().fold(name.len() as u64, |sum, letter| {
        sum.wrapping_mul(31).wrapping_add(u64::from(*letter))
    });
    1 << (sum >> 3 & 63)
}

/// Answers in the order in which they were asked.
#[derive(Clone, Default)]
pub struct Answers {
    /// Those that no run has, in order.
    own: Vec<FieldRef>,
    /// The runs in order, each behind so many of the answers' own.
    runs: Vec<(usize, Run)>,
}

impl Answers {
    /// Empty, with room for so many answers and so many runs.
    fn with_room(own: usize, runs: usize) -> Self {
        Answers {
            own: Vec::with_capacity(own),
            runs: Vec::with_capacity(runs),
        }
    }

    /// With one more.
    pub fn push(&mut self, at: FieldRef) {
        self.own.push(at);
    }

    /// With a whole run more; what is there already is not there twice.
    pub fn share(&mut self, run: &Run) {
        if run.is_empty() || self.runs().any(|held| held.is(run)) {
            return;
        }
        let double = self.own.iter().any(|at| run.contains(at))
            || self
                .runs()
                .filter(|held| held.names & run.names != 0)
                .any(|held| held.iter().any(|at| run.contains(at)));
        if double {
            for at in run.iter() {
                if !self.contains(at) {
                    self.push(*at);
                }
            }
        } else {
            self.runs.push((self.own.len(), run.clone()));
        }
    }

    /// All of them in order.
    pub fn iter(&self) -> impl Iterator<Item = &FieldRef> + Clone {
        let begins = std::iter::once(0).chain(self.runs.iter().map(|(behind, _)| *behind));
        let ends = self.runs.iter().map(|(behind, run)| (*behind, Some(run)));
        begins
            .zip(ends.chain([(self.own.len(), None)]))
            .flat_map(|(from, (to, run))| {
                let run: &[FieldRef] = run.map_or(&[], |run| &run.fields);
                self.own[from..to].iter().chain(run)
            })
    }

    /// Those that no run has.
    pub fn own(&self) -> impl Iterator<Item = &FieldRef> {
        self.own.iter()
    }

    /// The runs.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        self.runs.iter().map(|(_, run)| run)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.own.len() + self.runs().map(|run| run.fields.len()).sum::<usize>()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.own.is_empty() && self.runs.is_empty()
    }

    /// Whether `at` is one of them.
    pub fn contains(&self, at: &FieldRef) -> bool {
        self.own.contains(at) || self.runs().any(|run| run.contains(at))
    }
}

/// Answers asked for, in order, each with whether it was given: what [`Answers`] of one kind are picked from.
#[derive(Debug)]
pub(crate) struct Asked {
    steps: Vec<(Step, bool)>,
    /// Answers and runs that were given, and those that were not.
    counts: [(usize, usize); 2],
}

#[derive(Debug)]
enum Step {
    One(FieldRef),
    Run(Run),
}

impl Asked {
    /// None yet.
    pub fn new() -> Self {
        Asked {
            steps: Vec::with_capacity(16),
            counts: [(0, 0); 2],
        }
    }

    /// One more.
    pub fn push(&mut self, at: FieldRef, given: bool) {
        self.counts[usize::from(given)].0 += 1;
        self.steps.push((Step::One(at), given));
    }

    /// A whole run more.
    pub fn share(&mut self, run: &Run, given: bool) {
        if !run.is_empty() {
            self.counts[usize::from(given)].1 += 1;
            self.steps.push((Step::Run(run.clone()), given));
        }
    }

    /// Whether `at` is one of them.
    pub fn contains(&self, at: &FieldRef) -> bool {
        self.steps.iter().any(|(step, _)| match step {
            Step::One(one) => one == at,
            Step::Run(run) => run.contains(at),
        })
    }

    /// Whether any of them is missing.
    pub fn lacks(&self) -> bool {
        self.counts[0] != (0, 0)
    }

    fn pick(&self, room: (usize, usize), which: impl Fn(bool) -> bool) -> Answers {
        let mut answers = Answers::with_room(room.0, room.1);
        for (step, given) in &self.steps {
            match step {
                _ if !which(*given) => {}
                Step::One(at) => answers.push(*at),
                Step::Run(run) => answers.share(run),
            }
        }
        answers
    }

    /// All of them.
    pub fn all(&self) -> Answers {
        let [missing, given] = self.counts;
        self.pick((missing.0 + given.0, missing.1 + given.1), |_| true)
    }

    /// Those that were given, or those that were not.
    pub fn only(&self, given: bool) -> Answers {
        self.pick(self.counts[usize::from(given)], |one| one == given)
    }
}

impl<'a> IntoIterator for &'a Answers {
    type Item = &'a FieldRef;
    type IntoIter = Box<dyn Iterator<Item = &'a FieldRef> + 'a>;

    fn into_iter(self) -> Self::IntoIter {
        Box::new(self.iter())
    }
}

impl FromIterator<FieldRef> for Answers {
    fn from_iter<I: IntoIterator<Item = FieldRef>>(fields: I) -> Self {
        let mut answers = Answers::default();
        fields.into_iter().for_each(|at| answers.push(at));
        answers
    }
}

impl PartialEq for Answers {
    fn eq(&self, other: &Self) -> bool {
        self.iter().eq(other.iter())
    }
}

impl PartialEq<[FieldRef]> for Answers {
    fn eq(&self, other: &[FieldRef]) -> bool {
        self.iter().eq(other)
    }
}

impl<const N: usize> PartialEq<[FieldRef; N]> for Answers {
    fn eq(&self, other: &[FieldRef; N]) -> bool {
        self.iter().eq(other)
    }
}

impl fmt::Debug for Answers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.iter()).finish()
    }
}

impl Serialize for Answers {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.iter())
    }
}

impl JsonSchema for Answers {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        Vec::<FieldRef>::schema_name()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        Vec::<FieldRef>::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{arrival, flame, power};

    const A: FieldRef = arrival::YEAR_BUILT.of_house();
    const B: FieldRef = power::VOLTAGE.of_house();
    const C: FieldRef = flame::FIREPLACE.of_house();

    #[test]
    fn nothing_is_there_twice_and_the_order_is_kept() {
        let mut answers = Answers::default();
        answers.push(B);
        let run = Run::from(vec![A, B]);
        answers.share(&run);
        answers.share(&run);
        assert_eq!(answers, [B, A]);
        let both = Run::from(vec![A, B]);
        let mut answers = Answers::default();
        answers.share(&both);
        answers.share(&both.clone());
        answers.share(&Run::from(vec![C]));
        answers.share(&Run::from(vec![C, B]));
        assert_eq!(answers, [A, B, C]);
        assert_eq!((answers.len(), answers.runs().count()), (3, 2));
        assert!(answers.contains(&C) && !Answers::default().contains(&C));
        assert_eq!(
            serde_json::to_value(&answers).unwrap(),
            serde_json::to_value([A, B, C]).unwrap()
        );
    }

    #[test]
    fn an_empty_run_leaves_them_empty() {
        let mut answers = Answers::default();
        answers.share(&Run::default());
        assert!(answers.is_empty());
    }
}
