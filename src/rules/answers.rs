//! Which answers a finding hangs on: a list of which long runs are shared.
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

#[derive(Debug, Clone)]
enum Piece {
    Own(Vec<FieldRef>),
    Shared(Run),
}

impl Piece {
    fn fields(&self) -> &[FieldRef] {
        match self {
            Piece::Own(fields) => fields,
            Piece::Shared(run) => &run.fields,
        }
    }
}

/// Answers in the order in which they were asked.
#[derive(Clone, Default)]
pub struct Answers {
    pieces: Vec<Piece>,
}

impl Answers {
    /// With one more.
    pub fn push(&mut self, at: FieldRef) {
        match self.pieces.last_mut() {
            Some(Piece::Own(fields)) => fields.push(at),
            _ => self.pieces.push(Piece::Own(vec![at])),
        }
    }

    /// With a whole run more; what is there already is not there twice.
    pub fn share(&mut self, run: &Run) {
        if run.is_empty() {
            return;
        }
        let mut double = false;
        for piece in &self.pieces {
            match piece {
                Piece::Shared(held) if held.is(run) => return,
                Piece::Shared(held) if held.names & run.names == 0 => {}
                _ => double |= piece.fields().iter().any(|at| run.contains(at)),
            }
        }
        if double {
            for at in run.iter() {
                if !self.contains(at) {
                    self.push(*at);
                }
            }
        } else {
            self.pieces.push(Piece::Shared(run.clone()));
        }
    }

    /// All of them in order.
    pub fn iter(&self) -> impl Iterator<Item = &FieldRef> + Clone {
        self.pieces.iter().flat_map(|piece| piece.fields())
    }

    /// Those that no run has.
    pub fn own(&self) -> impl Iterator<Item = &FieldRef> {
        self.pieces
            .iter()
            .filter(|piece| matches!(piece, Piece::Own(_)))
            .flat_map(|piece| piece.fields())
    }

    /// The runs.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Own(_) => None,
            Piece::Shared(run) => Some(run),
        })
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.pieces.iter().map(|piece| piece.fields().len()).sum()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.pieces.is_empty()
    }

    /// Whether `at` is one of them.
    pub fn contains(&self, at: &FieldRef) -> bool {
        self.pieces.iter().any(|piece| match piece {
            Piece::Own(fields) => fields.contains(at),
            Piece::Shared(run) => run.contains(at),
        })
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

    const A: FieldRef = FieldRef::house("arrival.year_built");
    const B: FieldRef = FieldRef::house("power.voltage");
    const C: FieldRef = FieldRef::house("flame.fireplace");

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
