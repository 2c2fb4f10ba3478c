//! A sheet before it is HTML or PDF: headings, paragraphs, tables, cautions, drawings. Both are written from this
//! one, so that both say the same.
//!
//! All texts in it are in the reader's language already, and all figures in the reader's units.

use crate::drawing::{Drawing, Sheet};
use crate::words::Language;

/// The number of a figure in its sheet, from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct FigureId(pub u32);

/// A piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// What it says.
    pub text: String,
    /// Whether it is set bold.
    pub strong: bool,
    /// The figure that it is, so that it leads to where that comes from.
    pub figure: Option<FigureId>,
}

/// A line of text, broken into lines where it is set.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Line(pub Vec<Piece>);

impl Line {
    /// A plain text.
    pub fn plain(text: impl Into<String>) -> Self {
        Line(vec![Piece {
            text: text.into(),
            strong: false,
            figure: None,
        }])
    }

    /// The same, all bold.
    #[must_use]
    pub fn strong(mut self) -> Self {
        for piece in &mut self.0 {
            piece.strong = true;
        }
        self
    }

    /// With another line after it.
    #[must_use]
    pub fn then(mut self, other: Line) -> Self {
        self.0.extend(other.0);
        self
    }

    /// Its text alone.
    pub fn text(&self) -> String {
        self.0.iter().map(|piece| piece.text.as_str()).collect()
    }

    /// The figures in it.
    pub fn figures(&self) -> impl Iterator<Item = FigureId> {
        self.0.iter().filter_map(|piece| piece.figure)
    }
}

/// What stands before each entry of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marks {
    /// A dot.
    Dots,
    /// Its number: the order matters.
    Numbers,
    /// A box to tick.
    Boxes,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its heading.
    pub head: Line,
    /// Its share of the width.
    pub share: f32,
    /// Whether it holds numbers, set to the right.
    pub numbers: bool,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its cells, one a column.
    pub cells: Vec<Line>,
    /// The figure that it explains, for links to it.
    pub explains: Option<FigureId>,
}

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// A drawing with its scale and its key.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What it shows.
    pub title: Line,
    /// What is drawn.
    pub drawing: Drawing,
    /// The same laid out for paper.
    pub sheet: Sheet,
    /// What stands beside the scale bar.
    pub scale: String,
    /// What its numbers mean, in order.
    pub key: Vec<Line>,
    /// What its lines and hatches mean.
    pub inks: Vec<(crate::drawing::Ink, String)>,
}

/// One block of a sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading; level 2 opens a section, level 3 a part of it.
    Heading {
        /// 2 or 3.
        level: u8,
        /// What it says.
        text: Line,
    },
    /// A paragraph.
    Paragraph(Line),
    /// Small print.
    Note(Line),
    /// A list.
    List {
        /// What stands before each entry.
        marks: Marks,
        /// The entries.
        entries: Vec<Line>,
    },
    /// A table.
    Table(Table),
    /// Cautions in a frame that nobody overlooks.
    Cautions {
        /// The word over them.
        word: String,
        /// The cautions.
        entries: Vec<Line>,
    },
    /// What stands over everything else: that there is nothing to build yet, or who must be asked first.
    Notice {
        /// Its heading.
        word: String,
        /// What it says.
        entries: Vec<Line>,
    },
    /// A drawing.
    Picture(Box<Picture>),
    /// What follows begins on a new page.
    NewPage,
}

/// One sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The stem of its files' names.
    pub name: &'static str,
    /// The language it is in.
    pub language: Language,
    /// Its title.
    pub title: String,
    /// Job, client, address and the like: what, and what it is here.
    pub head: Vec<(String, String)>,
    /// Its blocks.
    pub blocks: Vec<Block>,
    /// What stands at the foot: which program, survey and fan list it comes from.
    pub foot: String,
    /// The words for "page … of …", with `{page}` and `{pages}`.
    pub page_words: &'static str,
}

impl Document {
    /// Every line in it, in order.
    pub fn lines(&self) -> Vec<&Line> {
        let mut lines = Vec::new();
        for block in &self.blocks {
            match block {
                Block::Heading { text, .. } | Block::Paragraph(text) | Block::Note(text) => {
                    lines.push(text);
                }
                Block::List { entries, .. }
                | Block::Cautions { entries, .. }
                | Block::Notice { entries, .. } => lines.extend(entries),
                Block::Table(table) => {
                    lines.extend(table.columns.iter().map(|it| &it.head));
                    lines.extend(table.rows.iter().flat_map(|it| &it.cells));
                }
                Block::Picture(picture) => {
                    lines.push(&picture.title);
                    lines.extend(&picture.key);
                }
                Block::NewPage => {}
            }
        }
        lines
    }
}
