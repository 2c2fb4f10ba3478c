//! Lays a document out on paper: breaks lines and pages, and says what is drawn where.

use super::document::{
    Block, Column, Document, FigureId, Line, Marks, Photo, PhotoMark, Picture, Row, Table,
};
use super::font_set::FontSet;
use super::pdf::Paper;
use crate::drawing::{Ink, Mark, svg};
use std::collections::BTreeMap;

/// Paper kept free on the left and on the right.
const SIDE: f32 = 32.4;
/// Paper kept free above.
const TOP: f32 = 28.8;
/// Paper kept free below the page's foot.
const BOTTOM: f32 = 27.4;
/// Room for the page's foot.
const FOOT: f32 = 15.0;
/// The smallest letters anywhere.
const SMALL: f32 = 9.0;
/// From line to line, in sizes.
const LEADING: f32 = 1.14;
/// Between columns.
const GUTTER: f32 = 12.0;
/// Screen px on paper.
pub(super) const PX: f32 = 0.75;

/// Grey, from black 0 to white 255.
pub(super) type Grey = u8;
const INK: Grey = 0;
const RULE: Grey = 0x70;
const WHITE: Grey = 255;

/// What an element is, for screen readers.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Element {
    Title,
    Heading,
    Paragraph,
    List,
    Item,
    Table,
    Row,
    HeadCell,
    Cell,
    Figure(String),
}

/// An element of the document, and the one it stands in.
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
        text: String,
        /// Turned upwards about its start.
        upright: bool,
    },
    /// A line or an area.
    Path {
        points: Vec<(f32, f32)>,
        closed: bool,
        stroke: Option<(Grey, f32, Vec<f32>)>,
        fill: Option<Grey>,
    },
    /// A ring, filled white or not at all.
    Ring {
        x: f32,
        y: f32,
        r: f32,
        width: f32,
        fill: Option<Grey>,
    },
    /// A photo of the document, by its number in order.
    Image {
        left: f32,
        top: f32,
        width: f32,
        height: f32,
        photo: Photo,
    },
}

/// Where something stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) page: usize,
    pub(super) y: f32,
}

/// A document, laid out.
pub(super) struct Layout {
    pub(super) width: f32,
    pub(super) height: f32,
    /// What is drawn on each page, with the element that it belongs to; none for what only decorates.
    pub(super) pages: Vec<Vec<(Option<usize>, Op)>>,
    /// Where figures lead: page, left, top, right, bottom, figure.
    pub(super) links: Vec<(usize, [f32; 4], FigureId)>,
    /// Where each figure is explained.
    pub(super) targets: BTreeMap<FigureId, Place>,
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
}

const fn plain(size: f32) -> Style {
    Style {
        size,
        strong: false,
    }
}

const fn bold(size: f32) -> Style {
    Style { size, strong: true }
}

pub(super) struct Layouter<'a> {
    faces: &'a FontSet,
    document: &'a Document,
    layout: Layout,
    /// Edges of the column that is filled.
    left: f32,
    right: f32,
    page: usize,
    y: f32,
    element: Option<usize>,
}

impl<'a> Layouter<'a> {
    pub(super) fn new(faces: &'a FontSet, document: &'a Document, paper: Paper) -> Self {
        let (width, height) = match paper {
            Paper::Letter => (612.0, 792.0),
            Paper::A4 => (595.276, 841.89),
        };
        Layouter {
            faces,
            document,
            layout: Layout {
                width,
                height,
                pages: vec![Vec::new()],
                links: Vec::new(),
                targets: BTreeMap::new(),
                sections: Vec::new(),
                tree: Vec::new(),
            },
            left: SIDE,
            right: width - SIDE,
            page: 0,
            y: TOP,
            element: None,
        }
    }

    pub(super) fn layout(mut self) -> Layout {
        self.head();
        let document = self.document;
        self.blocks(&document.blocks);
        self.feet();
        self.layout
    }

    fn width(&self) -> f32 {
        self.right - self.left
    }

    fn bottom(&self) -> f32 {
        self.layout.height - BOTTOM - FOOT
    }

    /// Where a page's blocks begin.
    fn top(&self) -> f32 {
        if self.page == 0 {
            TOP + 54.0
        } else {
            TOP + 31.0
        }
    }

    fn at_top(&self) -> bool {
        self.y <= self.top()
    }

    fn turn(&mut self) {
        self.page += 1;
        if self.page == self.layout.pages.len() {
            self.layout.pages.push(Vec::new());
            self.short_head();
        }
        self.y = self.top();
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
        self.layout.pages[self.page].push((self.element, op));
    }

    fn decorate(&mut self, op: Op) {
        self.layout.pages[self.page].push((None, op));
    }

    fn rule(&mut self, y: f32, grey: Grey, width: f32) {
        let (left, right) = (self.left, self.right);
        self.decorate(line(&[(left, y), (right, y)], grey, width));
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
        let baseline = y + style.size * 0.96;
        for run in runs {
            self.draw(Op::Text {
                x,
                y: baseline,
                size: style.size,
                strong: run.strong,
                text: run.text.clone(),
                upright: false,
            });
            if let Some(figure) = run.figure {
                let area = [x, y, x + run.width, y + style.size * LEADING];
                self.layout.links.push((self.page, area, figure));
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

    fn wide(&self, text: &str, style: Style) -> f32 {
        self.faces.face(style.strong).width(text, style.size)
    }

    /// A text on one line, its upper edge at `y`; what has no room is left out.
    fn label(&mut self, text: &str, style: Style, x: f32, y: f32, width: f32) {
        let line = Line::plain(text);
        if let Some(runs) = self.wrap(&line, style, width).first() {
            self.put(runs, style, x, y, None);
        }
    }

    // ----- heads and feet

    /// The sheet's letter in a square.
    fn letter(&mut self, x: f32, y: f32, side: f32) {
        let letter = self.document.head.letter;
        let style = bold(side * 0.66);
        let wide = self.wide(letter, style);
        self.decorate(frame(x, y, x + side, y + side, side * 0.05));
        self.label(
            letter,
            style,
            x + (side - wide) / 2.0,
            y + (side - style.size) / 2.0,
            side,
        );
    }

    fn head(&mut self) {
        let head = &self.document.head;
        let (left, right) = (self.left, self.right);
        let title = self.element(Element::Title, None);
        let side = if head.letter.is_empty() { 0.0 } else { 42.0 };
        if side > 0.0 {
            self.letter(left, TOP, side);
        }
        let x = left + if side > 0.0 { side + 9.0 } else { 0.0 };
        let middle = left + self.width() * 0.42;
        self.element = Some(title);
        self.label(&head.title, bold(19.0), x, TOP - 3.0, middle - x - 6.0);
        for (row, text) in head.under.iter().enumerate() {
            self.element(Element::Paragraph, None);
            let y = TOP + 20.5 + row as f32 * 11.2;
            self.label(text, plain(SMALL), x, y, middle - x - 6.0);
        }
        let frame_left = right - 138.0;
        for (row, (what, value)) in head.facts.iter().enumerate() {
            self.element(Element::Paragraph, None);
            let text = Line::plain(format!("{what} "))
                .strong()
                .then(Line::plain(value.clone()));
            let y = TOP - 1.0 + row as f32 * 11.2;
            if let Some(runs) = self
                .wrap(&text, plain(SMALL), frame_left - middle - 8.0)
                .first()
            {
                self.put(runs, plain(SMALL), middle, y, None);
            }
        }
        self.decorate(frame(frame_left, TOP, right, TOP + 46.0, 1.0));
        for (row, text) in head.issue.iter().enumerate() {
            self.element(Element::Paragraph, None);
            let style = if row == 0 { bold(11.0) } else { plain(SMALL) };
            let y = if row == 0 {
                TOP + 1.0
            } else {
                TOP + 13.2 + (row as f32 - 1.0) * 10.6
            };
            self.label(text, style, frame_left + 5.0, y, 130.0);
        }
        self.rule(TOP + 50.0, INK, 1.6);
        self.y = TOP + 54.0;
    }

    /// One line over each page but the first.
    fn short_head(&mut self) {
        let (element, left, right) = (self.element, self.left, self.right);
        (self.left, self.right) = (SIDE, self.layout.width - SIDE);
        let head = &self.document.head;
        let side = if head.letter.is_empty() { 0.0 } else { 22.0 };
        if side > 0.0 {
            self.letter(SIDE, TOP, side);
        }
        self.element = None;
        let x = SIDE + if side > 0.0 { side + 8.0 } else { 0.0 };
        let title = format!("{}  ", head.title);
        let wide = self.wide(&title, bold(12.0));
        let frame_left = self.right - 205.0;
        self.label(&title, bold(12.0), x, TOP + 4.5, frame_left - x);
        let under = head.under.first().map_or("", String::as_str);
        let room = frame_left - x - wide - 6.0;
        if room > 40.0 {
            self.label(under, plain(SMALL), x + wide, TOP + 7.0, room);
        }
        let issue: Vec<&str> = head.issue.iter().take(2).map(String::as_str).collect();
        let edge = self.right;
        self.decorate(frame(frame_left, TOP + 2.0, edge, TOP + 20.0, 1.0));
        self.label(
            &issue.join(" · "),
            bold(SMALL),
            frame_left + 5.0,
            TOP + 5.5,
            197.0,
        );
        self.rule(TOP + 27.0, INK, 1.6);
        (self.element, self.left, self.right) = (element, left, right);
    }

    fn feet(&mut self) {
        let pages = self.layout.pages.len();
        let y = self.layout.height - BOTTOM - SMALL;
        (self.left, self.right) = (SIDE, self.layout.width - SIDE);
        self.element = None;
        for page in 0..pages {
            self.page = page;
            self.rule(y - 3.0, INK, 0.8);
            let letter = self.document.head.letter;
            let tag = format!("{letter} {}/{pages}", page + 1);
            let wide = self.wide(&tag, bold(SMALL));
            let right = self.right;
            self.label(&tag, bold(SMALL), right - wide, y, wide + 1.0);
            let [first, second] = &self.document.foot;
            let own = self.wide(first, plain(SMALL));
            self.label(first, plain(SMALL), SIDE, y, self.width() * 0.4);
            let room = self.width() - wide - own - 30.0;
            let at = SIDE + own + 15.0;
            let second_wide = self.wide(second, plain(SMALL)).min(room);
            self.label(
                second,
                plain(SMALL),
                at + (room - second_wide) / 2.0,
                y,
                room,
            );
        }
    }

    // ----- blocks

    fn blocks(&mut self, blocks: &[Block]) {
        for (index, block) in blocks.iter().enumerate() {
            if let Block::Heading { text, aside } = block {
                self.heading(text, aside, blocks.get(index + 1));
            } else {
                self.block(block);
            }
        }
    }

    fn block(&mut self, block: &Block) {
        let size = self.document.size;
        let (left, width) = (self.left, self.width());
        match block {
            Block::Heading { text, aside } => self.heading(text, aside, None),
            Block::Paragraph(text) => {
                self.element(Element::Paragraph, None);
                self.text(text, plain(size), left, width);
                self.space(2.5);
            }
            Block::Lead(text) => {
                self.element(Element::Paragraph, None);
                self.text(text, plain(size + 2.0), left, width);
                self.space(3.0);
            }
            Block::Note(text) => {
                self.element(Element::Paragraph, None);
                self.text(text, plain(SMALL), left, width);
                self.space(2.5);
            }
            Block::List {
                marks,
                entries,
                columns,
            } => {
                let list = self.element(Element::List, None);
                self.entries(entries, *marks, *columns, list);
                self.space(2.5);
            }
            Block::Table(table) => self.table(table),
            Block::Cautions { word, entries } => self.framed(word, entries, false),
            Block::Notice { word, entries } => self.framed(word, entries, true),
            Block::Picture(picture) => self.picture(picture),
            Block::Legend(inks) => self.legend(inks),
            Block::Photos(photos) => self.photos(photos),
            Block::Columns(columns) => self.columns(columns),
            Block::Blanks(blanks) => self.blanks(blanks),
            Block::NewPage => {
                if !self.at_top() {
                    self.turn();
                }
            }
        }
    }

    /// Blocks side by side; each column goes on over as many pages as it takes.
    fn columns(&mut self, columns: &[(f32, Vec<Block>)]) {
        let (left, right) = (self.left, self.right);
        let start = (self.page, self.y);
        let all: f32 = columns.iter().map(|it| it.0).sum();
        let gutters = GUTTER * columns.len().saturating_sub(1) as f32;
        let room = right - left - gutters;
        let mut end = start;
        let mut x = left;
        for (share, blocks) in columns {
            (self.page, self.y) = start;
            self.left = x;
            self.right = x + room * share / all;
            self.blocks(blocks);
            if self.page > end.0 || (self.page == end.0 && self.y > end.1) {
                end = (self.page, self.y);
            }
            x = self.right + GUTTER;
        }
        (self.left, self.right) = (left, right);
        (self.page, self.y) = end;
    }

    /// So much of a block must stand under its heading.
    fn beginning(&self, block: Option<&Block>) -> f32 {
        match block {
            Some(Block::Picture(picture)) => picture.sheet.height * PX,
            Some(Block::Columns(columns)) => columns
                .iter()
                .map(|(_, blocks)| self.beginning(blocks.first()))
                .fold(0.0, f32::max),
            _ => 30.0,
        }
    }

    fn heading(&mut self, text: &Line, aside: &Line, next: Option<&Block>) {
        let style = bold(11.0);
        let tall = style.size * LEADING;
        self.space(4.0);
        // A heading stays with what follows it.
        let below = self.beginning(next).min(self.bottom() - self.top() - 40.0);
        self.room(tall + below);
        let branch = self.element(Element::Heading, None);
        let place = Place {
            page: self.page,
            y: self.y,
        };
        self.layout.sections.push((text.text(), place));
        let (left, right, y) = (self.left, self.right, self.y);
        self.text(text, style, left, self.width());
        let wide = self.wide(&text.text(), style);
        if !aside.is_empty() {
            let room = right - left - wide - 8.0;
            let runs = self.wrap(aside, plain(SMALL), room.max(30.0));
            self.element(Element::Paragraph, None);
            if room > 30.0 && runs.len() == 1 {
                self.put(&runs[0], plain(SMALL), left, y + 2.2, Some(right));
            } else {
                self.text(aside, plain(SMALL), left, right - left);
            }
        }
        self.element = Some(branch);
        self.y += 0.5;
        self.rule(self.y, INK, 0.8);
        self.y += 2.5;
    }

    /// Where entries part into so many columns of about the same height.
    fn balanced(&self, entries: &[Line], columns: usize, width: f32) -> Vec<usize> {
        let heights: Vec<f32> = entries
            .iter()
            .map(|it| self.height(it, plain(self.document.size), width) + 0.7)
            .collect();
        let mut ends = Vec::new();
        let mut from = 0;
        for left in (1..=columns).rev() {
            if left == 1 {
                ends.push(entries.len());
                break;
            }
            let rest: f32 = heights[from..].iter().sum();
            // The first columns are the fuller ones, so that the eye goes on down.
            let share = rest / left as f32;
            let mut used = 0.0;
            let mut to = from;
            while to < entries.len() && used + heights[to] / 2.0 < share {
                used += heights[to];
                to += 1;
            }
            ends.push(to);
            from = to;
        }
        ends
    }

    fn entries(&mut self, entries: &[Line], marks: Marks, columns: usize, list: usize) {
        let size = self.document.size;
        let columns = columns.max(1);
        let (left, right) = (self.left, self.right);
        let each = (right - left - GUTTER * (columns as f32 - 1.0)) / columns as f32;
        let indent = match marks {
            Marks::Dashes => 9.0,
            Marks::Boxes => 15.0,
            Marks::Steps => 30.0,
        };
        let start = (self.page, self.y);
        let mut end = start;
        let mut from = 0;
        let ends = self.balanced(entries, columns, each - indent);
        for (column, to) in ends.into_iter().enumerate() {
            (self.page, self.y) = start;
            self.left = left + (each + GUTTER) * column as f32;
            self.right = self.left + each;
            for (number, entry) in entries.iter().enumerate().take(to).skip(from) {
                let height = self.height(entry, plain(size), each - indent);
                // Short entries are kept whole.
                self.room(height.min(80.0));
                self.element(Element::Item, Some(list));
                self.mark(marks, number);
                let x = self.left + indent;
                self.text(entry, plain(size), x, each - indent);
                self.y += 0.7;
            }
            from = to;
            if self.page > end.0 || (self.page == end.0 && self.y > end.1) {
                end = (self.page, self.y);
            }
        }
        (self.left, self.right) = (left, right);
        (self.page, self.y) = end;
    }

    fn mark(&mut self, marks: Marks, number: usize) {
        let (x, y, size) = (self.left, self.y, self.document.size);
        if marks != Marks::Dashes {
            self.decorate(frame(x, y + 1.8, x + 8.5, y + 10.3, 0.9));
        }
        match marks {
            Marks::Dashes => self.label("–", plain(size), x, y, 10.0),
            Marks::Boxes => {}
            Marks::Steps => {
                let text = (number + 1).to_string();
                let wide = self.wide(&text, bold(size));
                self.label(&text, bold(size), x + 25.0 - wide, y, 20.0);
            }
        }
    }

    /// Entries in a frame, in two columns where there is room.
    fn framed(&mut self, word: &str, entries: &[Line], heavy: bool) {
        const PAD: f32 = 5.0;
        let size = self.document.size;
        let (left, right) = (self.left, self.right);
        let columns = if self.width() > 380.0 && entries.len() > 1 && !heavy {
            2
        } else {
            1
        };
        let inner = right - left - 2.0 * PAD;
        let each = (inner - GUTTER * (columns as f32 - 1.0)) / columns as f32 - 9.0;
        let ends = self.balanced(entries, columns, each);
        let mut tallest: f32 = 0.0;
        let mut from = 0;
        for to in ends {
            let tall: f32 = entries[from..to]
                .iter()
                .map(|it| self.height(it, plain(size), each) + 0.7)
                .sum();
            tallest = tallest.max(tall);
            from = to;
        }
        let title = bold(11.0);
        let whole = tallest + title.size * LEADING + 2.0 * PAD;
        self.space(3.0);
        // Kept whole where a page holds it.
        self.room(whole.min(self.bottom() - self.top()));
        let (first, top) = (self.page, self.y);
        self.y += PAD - 2.0;
        (self.left, self.right) = (left + PAD, right - PAD);
        let list = self.element(Element::List, None);
        self.element(Element::Item, Some(list));
        self.text(&Line::plain(word), title, left + PAD, inner);
        self.entries(entries, Marks::Dashes, columns, list);
        (self.left, self.right) = (left, right);
        self.y += PAD - 2.0;
        let last = self.page;
        let end = self.y;
        for page in first..=last {
            self.page = page;
            let from = if page == first { top } else { self.top() - 2.0 };
            let to = if page == last { end } else { self.bottom() };
            let width = if heavy { 2.4 } else { 1.4 };
            self.decorate(frame(left, from, right, to, width));
        }
        (self.page, self.y) = (last, end);
        self.y += 4.0;
    }

    // ----- tables

    fn table(&mut self, table: &Table) {
        let explains = table.rows.iter().any(|it| it.explains.is_some());
        let size = if explains { SMALL } else { self.document.size };
        let all: f32 = table.columns.iter().map(|it| it.share).sum();
        let mut edges = vec![self.left];
        for column in &table.columns {
            let last = edges[edges.len() - 1];
            edges.push(last + column.share / all * self.width());
        }
        let branch = self.element(Element::Table, None);
        let headed = table.columns.iter().any(|it| !it.head.is_empty());
        if headed {
            // The heading stays with the first row.
            self.room(size * LEADING * 2.0 + 10.0);
            self.table_head(&table.columns, &edges, branch);
        }
        for row in &table.rows {
            self.row(row, table, &edges, size, branch, headed);
        }
        self.y += 2.0;
    }

    fn table_head(&mut self, columns: &[Column], edges: &[f32], table: usize) {
        let style = bold(SMALL);
        let row = self.element(Element::Row, Some(table));
        let from = self.y;
        let mut tallest: f32 = 0.0;
        for (index, column) in columns.iter().enumerate() {
            self.element(Element::HeadCell, Some(row));
            let (left, right) = cell(edges, index);
            let lines = self.wrap(&column.head, style, right - left);
            for (number, runs) in lines.iter().enumerate() {
                let y = from + number as f32 * style.size * LEADING;
                self.put(runs, style, left, y, column.numbers.then_some(right));
            }
            tallest = tallest.max(lines.len() as f32 * style.size * LEADING);
        }
        self.y += tallest + 0.8;
        self.rule(self.y, INK, 0.8);
        self.y += 0.8;
    }

    fn row(
        &mut self,
        row: &Row,
        table: &Table,
        edges: &[f32],
        size: f32,
        branch: usize,
        headed: bool,
    ) {
        let style = plain(size);
        let leading = size * LEADING;
        let cells: Vec<Vec<Vec<Run>>> = row
            .cells
            .iter()
            .enumerate()
            .map(|(index, it)| {
                let (left, right) = cell(edges, index);
                self.wrap(it, style, right - left)
            })
            .collect();
        let tallest = cells.iter().map(Vec::len).max().unwrap_or(0);
        let whole = tallest as f32 * leading + 2.0;
        // Kept whole where a page holds it, else broken between lines.
        if self.y + whole > self.bottom() && whole < (self.bottom() - self.top()) * 0.6 {
            self.turn_in_table(table, edges, branch, headed);
        }
        if let Some(figure) = row.explains {
            let place = Place {
                page: self.page,
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
                self.turn_in_table(table, edges, branch, headed);
                fits = (((self.bottom() - self.y) / leading).floor() as usize).max(1);
            }
            let until = tallest.min(done + fits);
            let from = self.y;
            for (index, lines) in cells.iter().enumerate() {
                self.element = Some(elements[index]);
                let (left, right) = cell(edges, index);
                let right = table.columns[index].numbers.then_some(right);
                for (number, runs) in lines.iter().enumerate().take(until).skip(done) {
                    let y = from + (number - done) as f32 * leading;
                    self.put(runs, style, left, y, right);
                }
            }
            self.y += (until - done) as f32 * leading;
            done = until;
        }
        self.y += 1.0;
        self.rule(self.y, RULE, 0.5);
        self.y += 1.0;
    }

    fn turn_in_table(&mut self, table: &Table, edges: &[f32], branch: usize, headed: bool) {
        self.turn();
        if headed {
            self.table_head(&table.columns, edges, branch);
        }
    }

    /// Empty lines to write on.
    fn blanks(&mut self, blanks: &[(Line, Line)]) {
        let style = plain(self.document.size);
        let tall = style.size * LEADING + 5.0;
        for (what, unit) in blanks {
            self.room(tall);
            let (left, right, y) = (self.left, self.right, self.y + 4.0);
            self.element(Element::Paragraph, None);
            let lines = self.wrap(what, style, (right - left) * 0.62);
            for (number, runs) in lines.iter().enumerate() {
                let y = y + number as f32 * style.size * LEADING;
                self.put(runs, style, left, y, None);
            }
            let down = (lines.len().max(1) - 1) as f32 * style.size * LEADING;
            let wide: f32 = lines
                .last()
                .map_or(0.0, |runs| runs.iter().map(|it| it.width).sum());
            let room = self.wide(&unit.text(), style);
            let base = y + down + style.size;
            let to = right - room - if room > 0.0 { 3.0 } else { 0.0 };
            let from = (left + wide + 6.0)
                .max(left + (right - left) * 0.45)
                .min(to - 20.0);
            self.decorate(line(&[(from, base + 1.0), (to, base + 1.0)], INK, 0.5));
            if let Some(runs) = self.wrap(unit, style, room + 1.0).first() {
                self.put(runs, style, left, y + down, Some(right));
            }
            self.y += tall + down;
        }
    }

    // ----- drawings and photos

    fn picture(&mut self, picture: &Picture) {
        let tall = picture.sheet.height * PX;
        self.room(tall.min(self.bottom() - self.top()));
        self.element(Element::Figure(picture.title.clone()), None);
        self.drawing(picture);
        self.y += tall + 2.0;
    }

    /// What lines and hatches mean, each after a piece of it.
    fn legend(&mut self, inks: &[(Ink, String)]) {
        self.element(Element::Paragraph, None);
        let branch = self.element;
        let mut x = self.left;
        self.room(SMALL * LEADING);
        for (ink, label) in inks {
            let wide = 28.0 + self.wide(label, plain(SMALL));
            if x + wide > self.right && x > self.left {
                x = self.left;
                self.y += SMALL * LEADING;
                self.room(SMALL * LEADING);
            }
            let y = self.y;
            self.element = None;
            for stroke in svg::sample_strokes(*ink) {
                let points = stroke.points.iter();
                let points = points.map(|p| (x + p.0 * PX, y + 1.5 + p.1 * PX)).collect();
                self.decorate(path(points, stroke.closed, stroke.ink, stroke.thin));
            }
            self.element = branch;
            let room = self.right - x - 25.0;
            self.label(label, plain(SMALL), x + 25.0, y, room);
            x += wide + 7.0;
        }
        self.y += SMALL * LEADING + 2.0;
    }

    fn drawing(&mut self, picture: &Picture) {
        let sheet = &picture.sheet;
        let (left, top) = (self.left, self.y);
        let put = |(x, y): (f32, f32)| (left + x * PX, top + y * PX);
        for stroke in &sheet.strokes {
            let points = stroke.points.iter().copied().map(put).collect();
            self.draw(path(points, stroke.closed, stroke.ink, stroke.thin));
        }
        let size = sheet.letters * PX;
        for text in &sheet.texts {
            let (x, y) = put(text.at);
            let strong = text.mark != Mark::Words && text.mark != Mark::WordsUp;
            let wide = self.faces.face(strong).width(&text.text, size);
            let upright = matches!(text.mark, Mark::DimensionUp | Mark::WordsUp);
            if text.mark == Mark::Number {
                self.draw(Op::Ring {
                    x,
                    y,
                    r: size * 0.72,
                    width: 0.9,
                    fill: Some(WHITE),
                });
            } else {
                let (w, h) = if upright {
                    (size * 0.5, wide / 2.0 + 1.0)
                } else {
                    (wide / 2.0 + 1.0, size * 0.5)
                };
                self.draw(area(x - w, y - h, x + w, y + h, WHITE));
            }
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
                text: text.text.clone(),
                upright,
            });
        }
        // The scale bar, in two halves.
        let (long, _) = sheet.bar;
        let (x, y) = (left + size, top + sheet.height * PX - size * 0.9);
        let (long, tall) = (long * PX, size * 0.35);
        self.draw(area(x, y, x + long / 2.0, y + tall, INK));
        self.draw(frame(x, y, x + long, y + tall, 0.7));
        self.draw(Op::Text {
            x: x + long + size * 0.6,
            y: y + tall / 2.0 + size * 0.35,
            size,
            strong: true,
            text: picture.scale.clone(),
            upright: false,
        });
    }

    fn photos(&mut self, photos: &[Photo]) {
        const GAP: f32 = 8.0;
        /// No photo is higher than so much of its width.
        const TALLEST: f32 = 0.8;
        if photos.is_empty() {
            return;
        }
        let count = photos.len() as f32;
        let each = (self.width() - GAP * (count - 1.0)) / count;
        let tall = |photo: &Photo| (each * photo.ratio).min(each * TALLEST);
        let tallest = photos.iter().map(tall).fold(0.0, f32::max);
        let captions = photos
            .iter()
            .map(|it| self.height(&it.caption, plain(SMALL), each))
            .fold(0.0, f32::max);
        self.room(tallest + captions + 3.0);
        let (page, y) = (self.page, self.y);
        for (number, photo) in photos.iter().enumerate() {
            let height = tall(photo);
            let width = height / photo.ratio;
            let left = self.left + (each + GAP) * number as f32;
            self.element(Element::Figure(photo.caption.text()), None);
            self.draw(Op::Image {
                left,
                top: y,
                width,
                height,
                photo: photo.clone(),
            });
            for mark in &photo.marks {
                self.photo_mark(*mark, [left, y, width, height]);
            }
            self.y = y + tallest + 2.0;
            self.element(Element::Paragraph, None);
            self.text(&photo.caption, plain(SMALL), left, each);
            self.page = page;
        }
        self.y = y + tallest + captions + 5.0;
    }

    /// A mark on a photo: black, with white beside it, so that it is seen on both.
    fn photo_mark(&mut self, mark: PhotoMark, [left, top, width, height]: [f32; 4]) {
        let put = |[x, y]: [f32; 2]| (left + x * width, top + y * height);
        for (grey, wide) in [(WHITE, 3.2), (INK, 1.4)] {
            match mark {
                PhotoMark::Ring(middle, radius) => {
                    let (x, y) = put(middle);
                    let points = (0..=32)
                        .map(|n| {
                            let turn = n as f32 / 32.0 * std::f32::consts::TAU;
                            let r = radius * width;
                            (x + r * turn.cos(), y + r * turn.sin())
                        })
                        .collect::<Vec<_>>();
                    self.draw(line(&points, grey, wide));
                }
                PhotoMark::Arrow(from, to) => {
                    let (a, b) = (put(from), put(to));
                    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
                    let long = dx.hypot(dy).max(0.1);
                    let (dx, dy) = (dx / long * 6.0, dy / long * 6.0);
                    let head = [
                        (b.0 - dx + dy * 0.6, b.1 - dy - dx * 0.6),
                        b,
                        (b.0 - dx - dy * 0.6, b.1 - dy + dx * 0.6),
                    ];
                    self.draw(line(&[a, b], grey, wide));
                    self.draw(line(&head, grey, wide));
                }
            }
        }
    }
}

/// The edges of a cell's text.
fn cell(edges: &[f32], index: usize) -> (f32, f32) {
    let gap = if index + 2 == edges.len() { 0.0 } else { 5.0 };
    (edges[index], edges[index + 1] - gap)
}

/// A drawing's line on paper: black, whatever the screen has.
fn path(points: Vec<(f32, f32)>, closed: bool, ink: Ink, thin: bool) -> Op {
    let (width, dashes) = svg::line(ink);
    let (width, dashes) = if thin {
        (0.5, Vec::new())
    } else {
        let dashes = dashes.split_whitespace();
        let dashes = dashes.filter_map(|it| it.parse::<f32>().ok());
        (width, dashes.map(|it| it * PX).collect())
    };
    Op::Path {
        points,
        closed,
        stroke: Some((INK, width * PX, dashes)),
        fill: None,
    }
}

fn area(left: f32, top: f32, right: f32, bottom: f32, fill: Grey) -> Op {
    Op::Path {
        points: vec![(left, top), (right, top), (right, bottom), (left, bottom)],
        closed: true,
        stroke: None,
        fill: Some(fill),
    }
}

fn frame(left: f32, top: f32, right: f32, bottom: f32, width: f32) -> Op {
    Op::Path {
        points: vec![(left, top), (right, top), (right, bottom), (left, bottom)],
        closed: true,
        stroke: Some((INK, width, Vec::new())),
        fill: None,
    }
}

fn line(points: &[(f32, f32)], grey: Grey, width: f32) -> Op {
    Op::Path {
        points: points.to_vec(),
        closed: false,
        stroke: Some((grey, width, Vec::new())),
        fill: None,
    }
}

/// The text with blanks that must not be broken: between an inch and its fraction.
pub(super) fn unbroken(text: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let fraction = |at: usize| {
        let digits = letters[at..].iter().take_while(|it| it.is_ascii_digit());
        let digits = digits.count();
        digits > 0 && letters.get(at + digits) == Some(&'/')
    };
    let blank = |at: usize| {
        letters[at] == ' ' && at > 0 && letters[at - 1].is_ascii_digit() && fraction(at + 1)
    };
    (0..letters.len())
        .map(|at| if blank(at) { '\u{a0}' } else { letters[at] })
        .collect()
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
        let text = unbroken(&piece.text);
        for letter in text.chars() {
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
    use super::super::document::{Head, Piece};
    use super::*;
    use crate::words::Language;

    fn document(blocks: Vec<Block>) -> Document {
        Document {
            name: "test",
            language: Language::English,
            head: Head {
                letter: "T",
                title: "Test".to_owned(),
                ..Head::default()
            },
            blocks,
            foot: [String::new(), String::new()],
            size: 9.5,
            explained_in: None,
        }
    }

    #[test]
    fn words_part_at_blanks_only_and_never_between_inch_and_fraction() {
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
        assert_eq!(words.len(), 3);
        assert_eq!(words[1].len(), 2, "the comma stays with its figure");
        assert_eq!(unbroken("2 × 6, 14 1/2 in"), "2 × 6, 14\u{a0}1/2 in");
    }

    #[test]
    fn no_line_is_wider_than_its_column() {
        let faces = FontSet::new();
        let document = document(Vec::new());
        let layouter = Layouter::new(&faces, &document, Paper::A4);
        let long = "Pneumonoultramicroscopicsilicovolcanoconiosis ".repeat(3) + &"x".repeat(200);
        for width in [40.0, 90.0, 300.0] {
            for runs in layouter.wrap(&Line::plain(long.clone()), plain(9.5), width) {
                let text: String = runs.iter().map(|it| it.text.as_str()).collect();
                let wide = faces.face(false).width(text.trim_end(), 9.5);
                assert!(wide <= width + 0.01, "{wide} > {width}: {text}");
            }
        }
    }

    #[test]
    fn columns_go_on_on_the_same_pages_and_nothing_is_lost() {
        let faces = FontSet::new();
        let many = |what: &str, count: usize| Block::List {
            marks: Marks::Boxes,
            entries: (0..count)
                .map(|it| Line::plain(format!("{what}{it}")))
                .collect(),
            columns: 1,
        };
        let last = Block::Paragraph(Line::plain("last"));
        let document = document(vec![
            Block::Columns(vec![(1.0, vec![many("a", 90)]), (1.0, vec![many("b", 10)])]),
            last,
        ]);
        let layout = Layouter::new(&faces, &document, Paper::Letter).layout();
        assert_eq!(layout.pages.len(), 2);
        let on = |wanted: &str| {
            let found = layout.pages.iter().position(|ops| {
                ops.iter()
                    .any(|(_, op)| matches!(op, Op::Text { text, .. } if text == wanted))
            });
            found.unwrap_or_else(|| panic!("{wanted}"))
        };
        for number in 0..90 {
            on(&format!("a{number}"));
        }
        assert_eq!((on("a0"), on("b0"), on("b9"), on("last")), (0, 0, 0, 1));
    }

    #[test]
    fn nothing_is_set_in_less_than_9_points() {
        let faces = FontSet::new();
        let document = document(vec![Block::Note(Line::plain("small"))]);
        let layout = Layouter::new(&faces, &document, Paper::Letter).layout();
        let mut seen = 0;
        for (_, op) in layout.pages.iter().flatten() {
            if let Op::Text { size, .. } = op {
                seen += 1;
                assert!(*size >= 9.0, "{op:?}");
            }
        }
        assert!(seen > 2);
    }

    #[test]
    fn the_faces_have_what_sheets_write() {
        let faces = FontSet::new();
        let letters = "áéíóúüñÁÉÍÓÚÜÑ¿¡«»“”‘’–—…·×÷±≈≤≥−²³½¼¾⅛°Ω′″\u{202f}\u{a0}•ŁłŐőşŞğΑωЖя";
        assert!(faces.face(false).has(letters) && faces.face(true).has(letters));
    }
}
