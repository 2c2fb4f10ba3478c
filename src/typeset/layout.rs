//! Lays a document out on paper: breaks lines and pages, and says what is drawn where.

use super::document::{Block, Column, Document, FigureId, Line, Marks, Picture, Row, Table};
use super::font_set::FontSet;
use super::pdf::Paper;
use crate::drawing::{Ink, Mark};
use std::collections::HashMap;

/// Paper kept free on every side.
const MARGIN: f32 = 40.0;
/// Kept free below for the page's foot.
const FOOT: f32 = 22.0;
/// Size of running text.
const BODY: f32 = 9.6;
/// Size of small print and of long tables.
const SMALL: f32 = 7.9;
/// From line to line, in sizes.
const LEADING: f32 = 1.34;
/// Screen px on paper.
pub(super) const PX: f32 = 0.75;

/// A colour as red, green, blue.
pub(super) type Colour = [u8; 3];
const INK: Colour = [0x16, 0x20, 0x2a];
const SOFT: Colour = [0x4d, 0x58, 0x62];
const RULE: Colour = [0xb9, 0xb3, 0x9f];
const BAND: Colour = [0x1f, 0x31, 0x40];
const LAMP: Colour = [0xf0, 0xc6, 0x3e];
const STOP: Colour = [0x8d, 0x1d, 0x10];
const LINK: Colour = [0x1a, 0x4e, 0x8a];
const WHITE: Colour = [0xff, 0xff, 0xff];

/// What an element is, for screen readers.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Element {
    Title,
    Heading(u8),
    Paragraph,
    List,
    Item,
    Table,
    Row,
    HeadCell,
    Cell,
    Figure(String),
}

/// An element of the sheet, and the one it stands in.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Branch {
    pub(super) element: Element,
    pub(super) parent: Option<usize>,
}

/// Something drawn on a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Op {
    /// A text with its baseline's start.
    Text {
        x: f32,
        y: f32,
        size: f32,
        strong: bool,
        colour: Colour,
        text: String,
        /// Turned upwards about its start.
        upright: bool,
    },
    /// A line or an area.
    Path {
        points: Vec<(f32, f32)>,
        closed: bool,
        stroke: Option<(Colour, f32, Vec<f32>)>,
        fill: Option<Colour>,
    },
    /// A ring.
    Ring { x: f32, y: f32, r: f32 },
}

/// Where something stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) page: usize,
    pub(super) y: f32,
}

/// A sheet, set.
pub(super) struct Layout {
    pub(super) width: f32,
    pub(super) height: f32,
    /// What is drawn on each page, with the element that it belongs to; none for what only decorates.
    pub(super) pages: Vec<Vec<(Option<usize>, Op)>>,
    /// Where figures lead: page, left, top, right, bottom, figure.
    pub(super) links: Vec<(usize, [f32; 4], FigureId)>,
    /// Where each figure is explained.
    pub(super) targets: HashMap<FigureId, Place>,
    /// Sections.
    pub(super) sections: Vec<(String, Place)>,
    /// All elements.
    pub(super) tree: Vec<Branch>,
}

/// A stretch of text in one style.
#[derive(Debug, Clone)]
struct Run {
    text: String,
    strong: bool,
    figure: Option<FigureId>,
    width: f32,
}

/// How text is set.
#[derive(Debug, Clone, Copy)]
struct Style {
    size: f32,
    strong: bool,
    colour: Colour,
}

const PLAIN: Style = Style {
    size: BODY,
    strong: false,
    colour: INK,
};
const FINE: Style = Style {
    size: SMALL,
    strong: false,
    colour: SOFT,
};

const PICTURE_TITLE: Style = Style {
    size: BODY + 0.6,
    strong: true,
    colour: INK,
};

pub(super) struct Layouter<'a> {
    faces: &'a FontSet,
    layout: Layout,
    y: f32,
    element: Option<usize>,
}

impl<'a> Layouter<'a> {
    pub(super) fn new(faces: &'a FontSet, paper: Paper) -> Self {
        let (width, height) = match paper {
            Paper::Letter => (612.0, 792.0),
            Paper::A4 => (595.276, 841.89),
        };
        Layouter {
            faces,
            layout: Layout {
                width,
                height,
                pages: vec![Vec::new()],
                links: Vec::new(),
                targets: HashMap::new(),
                sections: Vec::new(),
                tree: Vec::new(),
            },
            y: MARGIN,
            element: None,
        }
    }

    pub(super) fn layout(mut self, document: &Document) -> Layout {
        self.head(document);
        for (index, block) in document.blocks.iter().enumerate() {
            if let Block::Heading { level, text } = block {
                let next = document.blocks.get(index + 1);
                self.heading(*level, text, next);
            } else {
                self.block(block);
            }
        }
        self.space(10.0);
        self.element(Element::Paragraph, None);
        self.text(
            &Line::plain(document.foot.clone()),
            FINE,
            MARGIN,
            self.width(),
        );
        self.feet(document);
        self.layout
    }

    fn width(&self) -> f32 {
        self.layout.width - 2.0 * MARGIN
    }

    fn bottom(&self) -> f32 {
        self.layout.height - MARGIN - FOOT
    }

    fn page(&self) -> usize {
        self.layout.pages.len() - 1
    }

    fn at_top(&self) -> bool {
        self.y <= MARGIN
    }

    fn turn(&mut self) {
        self.layout.pages.push(Vec::new());
        self.y = MARGIN;
    }

    /// Room for so much, on this page or on a new one.
    fn room(&mut self, height: f32) {
        if self.y + height > self.bottom() && !self.at_top() {
            self.turn();
        }
    }

    fn space(&mut self, height: f32) {
        if !self.at_top() {
            self.y += height;
        }
    }

    fn draw(&mut self, op: Op) {
        let element = self.element;
        self.decorate_as(element, op);
    }

    fn decorate(&mut self, op: Op) {
        self.decorate_as(None, op);
    }

    fn decorate_as(&mut self, element: Option<usize>, op: Op) {
        if let Some(page) = self.layout.pages.last_mut() {
            page.push((element, op));
        }
    }

    /// Begins an element; what is drawn from now on belongs to it.
    fn element(&mut self, element: Element, parent: Option<usize>) -> usize {
        self.layout.tree.push(Branch { element, parent });
        let at = self.layout.tree.len() - 1;
        self.element = Some(at);
        at
    }

    // ----- text

    /// Breaks a line into lines no wider than `width`.
    fn wrap(&self, line: &Line, style: Style, width: f32) -> Vec<Vec<Run>> {
        let mut lines: Vec<Vec<Run>> = Vec::new();
        let mut current: Vec<Run> = Vec::new();
        let mut used = 0.0;
        // Words may have pieces of several styles in them; only blanks part them.
        for word in words(line) {
            if word.is_empty() {
                lines.push(std::mem::take(&mut current));
                used = 0.0;
                continue;
            }
            let runs: Vec<Run> = word
                .into_iter()
                .map(|(text, strong, figure)| self.run(text, strong || style.strong, figure, style))
                .collect();
            let wide: f32 = runs.iter().map(|it| it.width).sum();
            let blank = if current.is_empty() {
                0.0
            } else {
                self.faces.face(style.strong).width(" ", style.size)
            };
            if used + blank + wide > width && !current.is_empty() {
                lines.push(std::mem::take(&mut current));
                used = 0.0;
            } else if !current.is_empty() {
                self.blank(&mut current, style);
                used += blank;
            }
            for run in runs {
                self.fit(run, style, width, &mut current, &mut used, &mut lines);
            }
        }
        lines.push(current);
        lines
    }

    fn run(&self, text: String, strong: bool, figure: Option<FigureId>, style: Style) -> Run {
        let width = self.faces.face(strong).width(&text, style.size);
        Run {
            text,
            strong,
            figure,
            width,
        }
    }

    /// A blank after what stands on the line.
    fn blank(&self, current: &mut Vec<Run>, style: Style) {
        match current.last_mut() {
            Some(last) if last.figure.is_none() => {
                last.text.push(' ');
                last.width = self.faces.face(last.strong).width(&last.text, style.size);
            }
            _ => {
                let blank = self.run(" ".to_owned(), style.strong, None, style);
                current.push(blank);
            }
        }
    }

    /// Puts a run on the line; one that is wider than a whole line is broken where it must be.
    fn fit(
        &self,
        run: Run,
        style: Style,
        width: f32,
        current: &mut Vec<Run>,
        used: &mut f32,
        lines: &mut Vec<Vec<Run>>,
    ) {
        if *used + run.width <= width {
            *used += run.width;
            current.push(run);
            return;
        }
        let mut rest = String::new();
        let mut wide = 0.0;
        for letter in run.text.chars() {
            let step = self
                .faces
                .face(run.strong)
                .width(letter.encode_utf8(&mut [0; 4]), style.size);
            if *used + wide + step > width && (*used > 0.0 || !rest.is_empty()) {
                if !rest.is_empty() {
                    let text = std::mem::take(&mut rest);
                    current.push(self.run(text, run.strong, run.figure, style));
                }
                lines.push(std::mem::take(current));
                (*used, wide) = (0.0, 0.0);
            }
            rest.push(letter);
            wide += step;
        }
        let last = self.run(rest, run.strong, run.figure, style);
        *used += last.width;
        current.push(last);
    }

    /// One line that is broken already, its upper edge at `y`.
    fn put(&mut self, runs: &[Run], style: Style, x: f32, y: f32, right: Option<f32>) {
        let wide: f32 = runs.iter().map(|it| it.width).sum();
        let mut x = match right {
            Some(right) => right - wide,
            None => x,
        };
        let baseline = y + style.size * 1.0;
        for run in runs {
            let colour = if run.figure.is_some() && style.colour == INK {
                LINK
            } else {
                style.colour
            };
            self.draw(Op::Text {
                x,
                y: baseline,
                size: style.size,
                strong: run.strong,
                colour,
                text: run.text.clone(),
                upright: false,
            });
            if let Some(figure) = run.figure {
                let page = self.page();
                let area = [x, y, x + run.width, y + style.size * LEADING];
                self.layout.links.push((page, area, figure));
            }
            x += run.width;
        }
    }

    /// Text from `x`, over as many pages as it takes.
    fn text(&mut self, line: &Line, style: Style, x: f32, width: f32) {
        for runs in self.wrap(line, style, width) {
            self.room(style.size * LEADING);
            let y = self.y;
            self.put(&runs, style, x, y, None);
            self.y += style.size * LEADING;
        }
    }

    fn height(&self, line: &Line, style: Style, width: f32) -> f32 {
        self.wrap(line, style, width).len() as f32 * style.size * LEADING
    }

    // ----- blocks

    fn head(&mut self, document: &Document) {
        let (left, right) = (0.0, self.layout.width);
        self.decorate(area(left, 0.0, right, 58.0, BAND));
        self.decorate(area(left, 58.0, right, 62.0, LAMP));
        self.element(Element::Title, None);
        self.draw(Op::Text {
            x: MARGIN,
            y: 41.0,
            size: 20.0,
            strong: true,
            colour: WHITE,
            text: document.title.clone(),
            upright: false,
        });
        self.y = 72.0;
        let column = self.width() / 2.0;
        let mut rows = document.head.chunks(2);
        for pair in &mut rows {
            let mut tallest: f32 = 0.0;
            for (index, (what, value)) in pair.iter().enumerate() {
                self.element(Element::Paragraph, None);
                let x = MARGIN + column * index as f32;
                let line =
                    Line::plain(format!("{what}: ")).then(Line::plain(value.clone()).strong());
                let from = self.y;
                let lines = self.wrap(&line, PLAIN, column - 10.0);
                for (number, runs) in lines.iter().enumerate() {
                    self.put(runs, PLAIN, x, from + number as f32 * BODY * LEADING, None);
                }
                tallest = tallest.max(lines.len() as f32 * BODY * LEADING);
            }
            self.y += tallest;
        }
        self.y += 4.0;
    }

    fn feet(&mut self, document: &Document) {
        let pages = self.layout.pages.len();
        let job = document.head.first().map_or("", |(_, value)| value);
        let left = format!("{} – {job}", document.title);
        let y = self.layout.height - MARGIN + 4.0;
        for number in 0..pages {
            let page_of = document
                .page_words
                .replace("{pages}", &pages.to_string())
                .replace("{page}", &(number + 1).to_string());
            let wide = self.faces.face(false).width(&page_of, SMALL);
            let text = |x, text: &str| Op::Text {
                x,
                y,
                size: SMALL,
                strong: false,
                colour: SOFT,
                text: text.to_owned(),
                upright: false,
            };
            // The job's own words may be long; they give way to the page number.
            let room = self.width() - wide - 12.0;
            let line = Line::plain(left.clone());
            let shown: String = self
                .wrap(&line, FINE, room)
                .first()
                .map(|runs| runs.iter().map(|it| it.text.as_str()).collect())
                .unwrap_or_default();
            let right = self.layout.width - MARGIN - wide;
            let rule = line_to(
                MARGIN,
                y - 11.0,
                self.layout.width - MARGIN,
                y - 11.0,
                RULE,
                0.7,
            );
            self.layout.pages[number].push((None, rule));
            self.layout.pages[number].push((None, text(MARGIN, &shown)));
            self.layout.pages[number].push((None, text(right, &page_of)));
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading { level, text } => self.heading(*level, text, None),
            Block::Paragraph(text) => {
                self.element(Element::Paragraph, None);
                self.text(text, PLAIN, MARGIN, self.width());
                self.space(4.0);
            }
            Block::Note(text) => {
                self.element(Element::Paragraph, None);
                self.text(text, FINE, MARGIN, self.width());
                self.space(4.0);
            }
            Block::List { marks, entries } => {
                let list = self.element(Element::List, None);
                self.entries(entries, *marks, MARGIN, self.width(), list);
                self.space(4.0);
            }
            Block::Table(table) => self.table(table),
            Block::Cautions { word, entries } => self.framed(word, entries, true),
            Block::Notice { word, entries } => self.framed(word, entries, false),
            Block::Picture(picture) => self.picture(picture),
            Block::NewPage => {
                if !self.at_top() {
                    self.turn();
                }
            }
        }
    }

    /// So much of a block must stand under its heading.
    fn beginning(&self, block: Option<&Block>) -> f32 {
        match block {
            Some(Block::Picture(picture)) => self.picture_height(picture),
            Some(Block::Cautions { entries, .. } | Block::Notice { entries, .. }) => {
                let all: f32 = entries
                    .iter()
                    .map(|it| self.height(it, PLAIN, self.width() - 40.0) + 1.6)
                    .sum();
                all + 40.0
            }
            Some(Block::Heading { .. }) => 90.0,
            _ => 60.0,
        }
    }

    fn heading(&mut self, level: u8, text: &Line, next: Option<&Block>) {
        let (size, before, after) = if level == 2 {
            (13.5, 14.0, 5.0)
        } else {
            (10.8, 9.0, 2.0)
        };
        let style = Style {
            size,
            strong: true,
            colour: INK,
        };
        self.space(before);
        // A heading stays with what follows it.
        let below = self.beginning(next).min(self.bottom() - MARGIN - 40.0);
        self.room(size * LEADING + after + below);
        self.element(Element::Heading(level), None);
        if level == 2 {
            let place = Place {
                page: self.page(),
                y: self.y,
            };
            self.layout.sections.push((text.text(), place));
        }
        self.text(text, style, MARGIN, self.width());
        if level == 2 {
            let (y, right) = (self.y, self.layout.width - MARGIN);
            self.decorate(line_to(MARGIN, y, right, y, INK, 1.2));
        }
        self.y += after;
    }

    fn entries(&mut self, entries: &[Line], marks: Marks, x: f32, width: f32, list: usize) {
        const INDENT: f32 = 17.0;
        for (number, entry) in entries.iter().enumerate() {
            let height = self.height(entry, PLAIN, width - INDENT);
            // Short entries are kept whole.
            self.room(height.min(80.0));
            self.element(Element::Item, Some(list));
            let y = self.y;
            let mark = |text: String| Op::Text {
                x,
                y: y + BODY,
                size: BODY,
                strong: true,
                colour: INK,
                text,
                upright: false,
            };
            match marks {
                Marks::Dots => self.draw(mark("•".to_owned())),
                Marks::Numbers => self.draw(mark(format!("{}.", number + 1))),
                Marks::Boxes => {
                    let (a, b) = (y + 2.0, y + 10.5);
                    let points = vec![(x, a), (x + 8.5, a), (x + 8.5, b), (x, b)];
                    self.decorate(Op::Path {
                        points,
                        closed: true,
                        stroke: Some((INK, 0.9, Vec::new())),
                        fill: None,
                    });
                }
            }
            self.text(entry, PLAIN, x + INDENT, width - INDENT);
            self.y += 1.6;
        }
    }

    /// Entries in a frame with a thick left edge.
    fn framed(&mut self, word: &str, entries: &[Line], dots: bool) {
        const PAD: f32 = 7.0;
        let x = MARGIN + 16.0;
        let width = self.width() - 16.0 - PAD;
        let indent = if dots { 17.0 } else { 0.0 };
        let title = Style {
            size: 11.0,
            strong: true,
            colour: if dots { INK } else { STOP },
        };
        let height: f32 = entries
            .iter()
            .map(|it| self.height(it, PLAIN, width - indent) + 1.6)
            .sum::<f32>()
            + title.size * LEADING
            + 2.0 * PAD;
        self.space(6.0);
        // Kept whole where a page holds it.
        self.room(height.min(self.bottom() - MARGIN));
        let (first, top) = (self.page(), self.y);
        self.y += PAD;
        let list = self.element(Element::List, None);
        self.element(Element::Item, Some(list));
        self.text(&Line::plain(word.to_uppercase()), title, x, width);
        if dots {
            self.entries(entries, Marks::Dots, x, width, list);
        } else {
            for entry in entries {
                self.element(Element::Item, Some(list));
                self.text(entry, PLAIN, x, width);
                self.y += 1.6;
            }
        }
        self.y += PAD;
        let last = self.page();
        let edge = if dots { LAMP } else { STOP };
        let frame = if dots { INK } else { STOP };
        for page in first..=last {
            let from = if page == first { top } else { MARGIN - 4.0 };
            let to = if page == last {
                self.y
            } else {
                self.bottom() + 4.0
            };
            let right = self.layout.width - MARGIN;
            let ops = [
                area(MARGIN, from, MARGIN + 7.0, to, edge),
                Op::Path {
                    points: vec![(MARGIN, from), (right, from), (right, to), (MARGIN, to)],
                    closed: true,
                    stroke: Some((frame, 1.2, Vec::new())),
                    fill: None,
                },
            ];
            for op in ops {
                self.layout.pages[page].push((None, op));
            }
        }
        self.y += 6.0;
    }

    // ----- tables

    fn table(&mut self, table: &Table) {
        let explains = table.rows.iter().any(|it| it.explains.is_some());
        let style = Style {
            size: if explains || table.columns.len() > 6 {
                SMALL
            } else {
                BODY - 0.5
            },
            strong: false,
            colour: INK,
        };
        let all: f32 = table.columns.iter().map(|it| it.share).sum();
        let mut edges = vec![MARGIN];
        for column in &table.columns {
            let last = edges[edges.len() - 1];
            edges.push(last + column.share / all * self.width());
        }
        let branch = self.element(Element::Table, None);
        let headed = table.columns.iter().any(|it| !it.head.text().is_empty());
        self.space(2.0);
        if headed {
            // The heading stays with the first row.
            self.room(style.size * LEADING * 2.0 + 14.0);
            self.table_head(&table.columns, &edges, style, branch);
        }
        for row in &table.rows {
            self.row(row, table, &edges, style, branch, headed);
        }
        self.y += 6.0;
    }

    fn table_head(&mut self, columns: &[Column], edges: &[f32], style: Style, table: usize) {
        let style = Style {
            strong: true,
            colour: SOFT,
            ..style
        };
        let row = self.element(Element::Row, Some(table));
        let from = self.y;
        let mut tallest: f32 = 0.0;
        for (index, column) in columns.iter().enumerate() {
            self.element(Element::HeadCell, Some(row));
            let (left, right) = (edges[index], edges[index + 1] - 6.0);
            let lines = self.wrap(&column.head, style, right - left);
            for (number, runs) in lines.iter().enumerate() {
                let y = from + number as f32 * style.size * LEADING;
                self.put(runs, style, left, y, column.numbers.then_some(right));
            }
            tallest = tallest.max(lines.len() as f32 * style.size * LEADING);
        }
        self.y += tallest + 2.0;
        let (y, right) = (self.y, self.layout.width - MARGIN);
        self.decorate(line_to(MARGIN, y, right, y, SOFT, 1.1));
        self.y += 2.0;
    }

    fn row(
        &mut self,
        row: &Row,
        table: &Table,
        edges: &[f32],
        style: Style,
        branch: usize,
        headed: bool,
    ) {
        let leading = style.size * LEADING;
        let cells: Vec<Vec<Vec<Run>>> = row
            .cells
            .iter()
            .enumerate()
            .map(|(index, cell)| {
                let width = edges[index + 1] - 6.0 - edges[index];
                self.wrap(cell, style, width)
            })
            .collect();
        let tallest = cells.iter().map(Vec::len).max().unwrap_or(0);
        let whole = tallest as f32 * leading + 4.0;
        // Kept whole where a page holds it, else broken between lines.
        if self.y + whole > self.bottom() && whole < (self.bottom() - MARGIN) * 0.6 {
            self.turn_in_table(table, edges, style, branch, headed);
        }
        if let Some(figure) = row.explains {
            let place = Place {
                page: self.page(),
                y: self.y,
            };
            self.layout.targets.insert(figure, place);
        }
        let branch_row = self.element(Element::Row, Some(branch));
        let elements: Vec<usize> = cells
            .iter()
            .map(|_| self.element(Element::Cell, Some(branch_row)))
            .collect();
        let mut done = 0;
        while done < tallest {
            let mut fits = ((self.bottom() - self.y) / leading).floor().max(0.0) as usize;
            if fits == 0 {
                self.turn_in_table(table, edges, style, branch, headed);
                fits = (((self.bottom() - self.y) / leading).floor() as usize).max(1);
            }
            let until = tallest.min(done + fits);
            let from = self.y;
            for (index, lines) in cells.iter().enumerate() {
                self.element = Some(elements[index]);
                let right = table.columns[index].numbers.then(|| edges[index + 1] - 8.0);
                for (number, runs) in lines.iter().enumerate().take(until).skip(done) {
                    let y = from + (number - done) as f32 * leading;
                    self.put(runs, style, edges[index], y, right);
                }
            }
            self.y += (until - done) as f32 * leading;
            done = until;
        }
        self.y += 2.0;
        let (y, right) = (self.y, self.layout.width - MARGIN);
        self.decorate(line_to(MARGIN, y, right, y, RULE, 0.6));
        self.y += 2.0;
    }

    fn turn_in_table(
        &mut self,
        table: &Table,
        edges: &[f32],
        style: Style,
        branch: usize,
        headed: bool,
    ) {
        self.turn();
        if headed {
            self.table_head(&table.columns, edges, style, branch);
        }
    }

    // ----- drawings

    /// The height of a drawing with its title and the first lines of its key.
    fn picture_height(&self, picture: &Picture) -> f32 {
        let lines = picture.key.len().min(6) + picture.inks.len().div_ceil(5);
        picture.sheet.height * PX
            + PICTURE_TITLE.size * LEADING
            + lines as f32 * SMALL * LEADING
            + 16.0
    }

    fn picture(&mut self, picture: &Picture) {
        let title = PICTURE_TITLE;
        let tall = picture.sheet.height * PX;
        let whole = self.picture_height(picture);
        self.space(4.0);
        self.room(whole.min(self.bottom() - MARGIN));
        self.element(Element::Paragraph, None);
        self.text(&picture.title, title, MARGIN, self.width());
        self.y += 2.0;
        self.element(Element::Figure(picture.title.text()), None);
        self.drawing(picture);
        self.y += tall + 2.0;
        if !picture.key.is_empty() {
            let list = self.element(Element::List, None);
            for entry in &picture.key {
                self.element(Element::Item, Some(list));
                self.text(entry, FINE, MARGIN, self.width());
            }
        }
        self.key_of_inks(&picture.inks);
        self.y += 6.0;
    }

    /// What lines and hatches mean, each after a piece of its line.
    fn key_of_inks(&mut self, inks: &[(Ink, String)]) {
        self.element(Element::Paragraph, None);
        let mut x = MARGIN;
        self.room(SMALL * LEADING);
        for (ink, label) in inks {
            let label = format!("{label}  ");
            let wide = 26.0 + self.faces.face(false).width(&label, SMALL);
            if x + wide > self.layout.width - MARGIN && x > MARGIN {
                x = MARGIN;
                self.y += SMALL * LEADING;
                self.room(SMALL * LEADING);
            }
            let y = self.y;
            let (colour, width, dashes) = pen(*ink);
            self.decorate(Op::Path {
                points: vec![(x, y + 6.0), (x + 21.0, y + 6.0)],
                closed: false,
                stroke: Some((colour, width, dashes)),
                fill: None,
            });
            self.draw(Op::Text {
                x: x + 24.0,
                y: y + SMALL,
                size: SMALL,
                strong: false,
                colour: SOFT,
                text: label,
                upright: false,
            });
            x += wide + 8.0;
        }
        self.y += SMALL * LEADING;
    }

    fn drawing(&mut self, picture: &Picture) {
        let sheet = &picture.sheet;
        let (left, top) = (MARGIN, self.y);
        let put = |(x, y): (f32, f32)| (left + x * PX, top + y * PX);
        for stroke in &sheet.strokes {
            let (colour, width, dashes) = pen(stroke.ink);
            let (width, dashes) = if stroke.thin {
                (0.5 * PX, Vec::new())
            } else {
                (width, dashes)
            };
            self.draw(Op::Path {
                points: stroke.points.iter().copied().map(put).collect(),
                closed: stroke.closed,
                stroke: Some((colour, width, dashes)),
                fill: None,
            });
        }
        let size = sheet.letters * PX;
        for text in &sheet.texts {
            let (x, y) = put(text.at);
            let strong = text.mark == Mark::Number;
            let wide = self.faces.face(strong).width(&text.text, size);
            if strong {
                self.draw(Op::Ring {
                    x,
                    y,
                    r: size * 0.8,
                });
            }
            let upright = text.mark == Mark::DimensionUp;
            // The middle of the letters on the place.
            let (x, y) = if upright {
                (x + size * 0.35, y + wide / 2.0)
            } else {
                (x - wide / 2.0, y + size * 0.35)
            };
            self.draw(Op::Text {
                x,
                y,
                size,
                strong,
                colour: INK,
                text: text.text.clone(),
                upright,
            });
        }
        // The scale bar, in two halves.
        let (long, _) = sheet.bar;
        let (x, y) = (left + size, top + sheet.height * PX - size * 1.1);
        let (long, tall) = (long * PX, size * 0.4);
        self.draw(area(x, y, x + long / 2.0, y + tall, INK));
        self.draw(Op::Path {
            points: vec![(x, y), (x + long, y), (x + long, y + tall), (x, y + tall)],
            closed: true,
            stroke: Some((INK, 0.7, Vec::new())),
            fill: None,
        });
        self.draw(Op::Text {
            x: x + long + size * 0.6,
            y: y + tall / 2.0 + size * 0.35,
            size,
            strong: false,
            colour: INK,
            text: picture.scale.clone(),
            upright: false,
        });
    }
}

/// Colour, width and dashes of an ink on paper.
fn pen(ink: Ink) -> (Colour, f32, Vec<f32>) {
    let (colour, width, dashes) = crate::drawing::svg::line(ink);
    let hex: Vec<u8> = colour
        .chars()
        .filter_map(|it| it.to_digit(16))
        .filter_map(|it| u8::try_from(it).ok())
        .collect();
    let colour = match hex[..] {
        [r, g, b] => [r * 17, g * 17, b * 17],
        [a, b, c, d, e, f] => [a * 16 + b, c * 16 + d, e * 16 + f],
        _ => INK,
    };
    let dashes = dashes
        .split_whitespace()
        .filter_map(|it| it.parse::<f32>().ok())
        .map(|it| it * PX)
        .collect();
    (colour, width * PX, dashes)
}

fn area(left: f32, top: f32, right: f32, bottom: f32, fill: Colour) -> Op {
    Op::Path {
        points: vec![(left, top), (right, top), (right, bottom), (left, bottom)],
        closed: true,
        stroke: None,
        fill: Some(fill),
    }
}

fn line_to(x0: f32, y0: f32, x1: f32, y1: f32, colour: Colour, width: f32) -> Op {
    Op::Path {
        points: vec![(x0, y0), (x1, y1)],
        closed: false,
        stroke: Some((colour, width, Vec::new())),
        fill: None,
    }
}

/// A stretch of a word: its text, whether bold, and the figure that it is.
type Stretch = (String, bool, Option<FigureId>);

/// A line's words, each of stretches in one style; an empty word stands for a forced line break.
fn words(line: &Line) -> Vec<Vec<Stretch>> {
    let mut words: Vec<Vec<Stretch>> = Vec::new();
    let mut word: Vec<Stretch> = Vec::new();
    for piece in &line.0 {
        let mut stretch = String::new();
        let close = |stretch: &mut String, word: &mut Vec<Stretch>| {
            if !stretch.is_empty() {
                word.push((std::mem::take(stretch), piece.strong, piece.figure));
            }
        };
        for letter in piece.text.chars() {
            match letter {
                ' ' | '\t' | '\r' => {
                    close(&mut stretch, &mut word);
                    if !word.is_empty() {
                        words.push(std::mem::take(&mut word));
                    }
                }
                '\n' => {
                    close(&mut stretch, &mut word);
                    if !word.is_empty() {
                        words.push(std::mem::take(&mut word));
                    }
                    words.push(Vec::new());
                }
                other => stretch.push(other),
            }
        }
        close(&mut stretch, &mut word);
    }
    if !word.is_empty() {
        words.push(word);
    }
    words
}

#[cfg(test)]
mod tests {
    use super::super::document::Piece;
    use super::*;

    #[test]
    fn words_part_at_blanks_only() {
        let line = Line(vec![
            Piece {
                text: "cut ".into(),
                strong: false,
                figure: None,
            },
            Piece {
                text: "31 1/2\"".into(),
                strong: false,
                figure: Some(FigureId(1)),
            },
            Piece {
                text: ", then".into(),
                strong: false,
                figure: None,
            },
        ]);
        let words = words(&line);
        assert_eq!(words.len(), 4);
        assert_eq!(words[2].len(), 2, "the comma stays with its figure");
    }

    #[test]
    fn no_line_is_wider_than_its_column() {
        let faces = FontSet::new();
        let setter = Layouter::new(&faces, Paper::A4);
        let long = "Pneumonoultramicroscopicsilicovolcanoconiosis ".repeat(3) + &"x".repeat(200);
        for width in [40.0, 90.0, 300.0] {
            for runs in setter.wrap(&Line::plain(long.clone()), PLAIN, width) {
                let text: String = runs.iter().map(|it| it.text.as_str()).collect();
                let wide = faces.face(false).width(text.trim_end(), BODY);
                assert!(wide <= width + 0.01, "{wide} > {width}: {text}");
            }
        }
    }

    #[test]
    fn the_faces_have_what_the_sheets_write() {
        let faces = FontSet::new();
        let letters = "áéíóúüñÁÉÍÓÚÜÑ¿¡«»“”‘’–—…·×÷±≈≤≥−²³½¼¾⅛°Ω′″\u{202f}\u{a0}•";
        assert!(faces.face(false).has(letters) && faces.face(true).has(letters));
    }
}
