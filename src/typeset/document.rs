//! A document before it is HTML or PDF: headings, paragraphs, tables, cautions, drawings, photos. Both are written from
//! this one, so that both say the same.
//!
//! All texts in it are in the reader's language already, and all figures in the reader's units.

use crate::drawing::{Drawing, Ink, Sheet};
use crate::words::Language;
use std::sync::Arc;

/// The number of a figure in its document, from 1.
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

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|piece| piece.text.is_empty())
    }
}

impl From<&str> for Line {
    fn from(text: &str) -> Self {
        Line::plain(text)
    }
}

/// What stands before each entry of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Marks {
    /// A dash.
    Dashes,
    /// A box to tick, then its number: the order matters.
    Steps,
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

/// A drawing with its scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// What it shows, for those who cannot see it.
    pub title: String,
    /// What is drawn.
    pub drawing: Drawing,
    /// The same laid out for paper.
    pub sheet: Sheet,
    /// What stands beside the scale bar.
    pub scale: String,
}

/// A mark on a photo; places are shares of its width and height, radii of its width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PhotoMark {
    /// An arrow from one place to another.
    Arrow([f32; 2], [f32; 2]),
    /// A ring.
    Ring([f32; 2], f32),
}

/// A photo with what was marked on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// The JPEG.
    pub jpeg: Arc<Vec<u8>>,
    /// Its height over its width.
    pub ratio: f32,
    /// What was marked on it.
    pub marks: Vec<PhotoMark>,
    /// What stands under it.
    pub caption: Line,
}

/// One block of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading over a rule, with a remark at its right end.
    Heading {
        /// What it says.
        text: Line,
        /// The remark.
        aside: Line,
    },
    /// A paragraph.
    Paragraph(Line),
    /// The answer, in large letters.
    Lead(Line),
    /// Small print.
    Note(Line),
    /// A list.
    List {
        /// What stands before each entry.
        marks: Marks,
        /// The entries.
        entries: Vec<Line>,
        /// In how many columns it stands.
        columns: usize,
    },
    /// A table.
    Table(Table),
    /// A frame that nobody overlooks, with dashes before its entries.
    Cautions {
        /// The words over them.
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
    /// What lines and hatches mean.
    Legend(Vec<(Ink, String)>),
    /// Photos side by side.
    Photos(Vec<Photo>),
    /// Blocks side by side, each column with its share of the width.
    Columns(Vec<(f32, Vec<Block>)>),
    /// Empty lines to write on, each with what to write.
    Blanks(Vec<(Line, Line)>),
    /// What follows begins on a new page.
    NewPage,
}

/// What stands over a document.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Head {
    /// The sheet's letter, by which loose paper is sorted.
    pub letter: &'static str,
    /// The document's title.
    pub title: String,
    /// Under the title: job and customer, then the address.
    pub under: Vec<String>,
    /// Spot, fan and the like: what, and what it is here.
    pub facts: Vec<(String, String)>,
    /// In a frame on the right: the issue first, then when it was printed and from what.
    pub issue: Vec<String>,
}

/// One document.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// The stem of its files' names.
    pub name: &'static str,
    /// The language it is in.
    pub language: Language,
    /// What stands over it.
    pub head: Head,
    /// Its blocks.
    pub blocks: Vec<Block>,
    /// At the foot of each page, on the left and in the middle.
    pub foot: [String; 2],
    /// Size of its running text, in points.
    pub size: f32,
    /// The stem of the document in which its figures are explained; none where it explains them itself.
    pub explained_in: Option<&'static str>,
}

impl Document {
    /// Every block in it, those within columns too, in order.
    pub fn all_blocks(&self) -> Vec<&Block> {
        fn gather<'a>(blocks: &'a [Block], into: &mut Vec<&'a Block>) {
            for block in blocks {
                into.push(block);
                if let Block::Columns(columns) = block {
                    for (_, blocks) in columns {
                        gather(blocks, into);
                    }
                }
            }
        }
        let mut all = Vec::new();
        gather(&self.blocks, &mut all);
        all
    }

    /// Every line in it, in order.
    pub fn lines(&self) -> Vec<&Line> {
        self.all_blocks().into_iter().flat_map(lines_of).collect()
    }
}

/// The lines of a block, those of blocks within it aside.
pub fn lines_of(block: &Block) -> Vec<&Line> {
    match block {
        Block::Heading { text, aside } => vec![text, aside],
        Block::Paragraph(text) | Block::Note(text) | Block::Lead(text) => vec![text],
        Block::List { entries, .. }
        | Block::Cautions { entries, .. }
        | Block::Notice { entries, .. } => entries.iter().collect(),
        Block::Table(table) => {
            let heads = table.columns.iter().map(|it| &it.head);
            heads
                .chain(table.rows.iter().flat_map(|it| &it.cells))
                .collect()
        }
        Block::Photos(photos) => photos.iter().map(|it| &it.caption).collect(),
        Block::Blanks(blanks) => blanks.iter().map(|(what, _)| what).collect(),
        Block::Picture(_) | Block::Legend(_) | Block::Columns(_) | Block::NewPage => Vec::new(),
    }
}
