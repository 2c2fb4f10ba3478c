//! Where a figure of a sheet comes from.

use crate::survey::FieldRef;
use crate::trade::source::Source;
use crate::typeset::document::{FigureId, Line};

/// What a figure comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum Root {
    /// An answer of the survey.
    Answer(FieldRef),
    /// The fan's sheet: which entry of it.
    FanSheet(&'static str),
    /// A rule of the assessment.
    Rule(&'static str),
    /// A document and its section.
    Source(Source),
    /// Another figure.
    Figure(FigureId),
}

/// One thing that a figure leans on.
#[derive(Debug, Clone, PartialEq)]
pub struct Lean {
    /// What it is.
    pub root: Root,
    /// The same in words; where it is another figure or a rule, with the number that leads there.
    pub line: Line,
}

/// A figure of a sheet, and how it comes about.
#[derive(Debug, Clone, PartialEq)]
pub struct Origin {
    /// Its number.
    pub id: FigureId,
    /// What it is.
    pub what: Line,
    /// Its value, as the sheet shows it.
    pub value: String,
    /// How it comes about.
    pub how: Line,
    /// What it leans on.
    pub leans: Vec<Lean>,
}

impl Origin {
    /// What it leans on, in one line.
    pub fn leaning(&self) -> Line {
        let mut all = Line::default();
        for (index, lean) in self.leans.iter().enumerate() {
            if index > 0 {
                all = all.then(Line::plain("; "));
            }
            all = all.then(lean.line.clone());
        }
        all
    }
}
