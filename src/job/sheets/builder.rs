//! Writes sheets: words in the reader's language, figures with where they come from.

use super::Edition;
pub(super) use super::origin::Root;
use super::origin::{Lean, Origin};
use crate::drawing::{Drawing, Fitting, Ink, Sheet, scale_words};
use crate::job::{Job, figures};
use crate::measure::{Figure, Length};
use crate::rules::{Arg, Finding, Outcome, Say};
use crate::survey::{FieldRef, ItemId, Kind, Record, Value, Ways, fields};
use crate::trade::source::Status;
use crate::typeset::document::{
    Block, Column, Document, FigureId, Head, Line, Marks, Photo, PhotoMark, Picture, Piece, Row,
    Table,
};
use crate::words::Language;
use std::borrow::Cow;
use std::collections::BTreeSet;

/// A text to be translated; marks it for the check that every one of them is.
pub(super) const fn key(english: &'static str) -> &'static str {
    english
}

/// A sentence with places for values, figures and other lines.
#[derive(Debug, Clone)]
pub(super) struct Phrase {
    text: &'static str,
    parts: Vec<(&'static str, Part)>,
}

/// What goes into a place of a sentence.
#[derive(Debug, Clone)]
pub(super) enum Part {
    Arg(Arg),
    Figure(FigureId),
    Line(Line),
}

/// A sentence, by its English text.
pub(super) const fn phrase(text: &'static str) -> Phrase {
    Phrase {
        text,
        parts: Vec::new(),
    }
}

impl Phrase {
    pub(super) fn with(mut self, name: &'static str, part: impl Into<Part>) -> Self {
        self.parts.push((name, part.into()));
        self
    }
}

impl From<&Say> for Phrase {
    fn from(say: &Say) -> Self {
        Phrase {
            text: say.text,
            parts: say
                .args
                .iter()
                .map(|(name, arg)| (*name, Part::Arg(arg.clone())))
                .collect(),
        }
    }
}
impl From<&'static str> for Phrase {
    fn from(text: &'static str) -> Self {
        phrase(text)
    }
}
impl From<FigureId> for Part {
    fn from(figure: FigureId) -> Self {
        Part::Figure(figure)
    }
}
impl From<Line> for Part {
    fn from(line: Line) -> Self {
        Part::Line(line)
    }
}
impl<T: Into<Arg>> From<T> for Part {
    fn from(arg: T) -> Self {
        Part::Arg(arg.into())
    }
}

/// A figure, and how it comes about.
#[derive(Debug, Clone)]
struct Known {
    what: Line,
    value: Arg,
    how: Line,
    roots: Vec<Root>,
}

/// Writes one sheet.
pub(super) struct SheetBuilder<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) language: Language,
    pub(super) ways: Ways,
    pub(super) edition: &'a Edition,
    known: Vec<Known>,
    blocks: Vec<Block>,
}

impl<'a> SheetBuilder<'a> {
    pub(super) fn new(
        job: &'a Job<'a>,
        language: Language,
        ways: Ways,
        edition: &'a Edition,
    ) -> Self {
        SheetBuilder {
            job,
            language,
            ways,
            edition,
            known: Vec::new(),
            blocks: Vec::new(),
        }
    }

    /// A builder for a part of this sheet, which goes on with its figures.
    pub(super) fn apart(&mut self) -> SheetBuilder<'a> {
        SheetBuilder {
            known: std::mem::take(&mut self.known),
            blocks: Vec::new(),
            ..*self
        }
    }

    /// The same for the part beside this one, which keeps its blocks.
    pub(super) fn beside(&mut self) -> SheetBuilder<'a> {
        self.apart()
    }

    /// The blocks of a part.
    pub(super) fn take(&mut self) -> Vec<Block> {
        std::mem::take(&mut self.blocks)
    }

    /// Goes on after parts side by side, with the figures of the last one.
    pub(super) fn join(&mut self, mut last: SheetBuilder<'a>, columns: Vec<(f32, Vec<Block>)>) {
        self.known = std::mem::take(&mut last.known);
        self.put(Block::Columns(columns));
    }

    // ----- words

    /// A text of our own in the reader's language.
    pub(super) fn t(&self, english: &'static str) -> &'static str {
        self.language.say(english)
    }

    pub(super) fn length(&self, length: Length) -> String {
        length.show_as(self.ways.tape, self.ways.style).text
    }

    pub(super) fn arg(&self, arg: &Arg) -> String {
        arg.render(&|text| Cow::Borrowed(self.t(text)), &|it| self.length(it))
    }

    /// A sentence in the reader's words.
    pub(super) fn line(&self, phrase: impl Into<Phrase>) -> Line {
        let phrase = phrase.into();
        let text = self.t(phrase.text);
        let mut pieces: Vec<Piece> = Vec::new();
        let mut put = |text: &str, figure| {
            if !text.is_empty() {
                pieces.push(Piece {
                    text: text.to_owned(),
                    strong: false,
                    figure,
                });
            }
        };
        let mut rest = text;
        while let Some((before, after)) = rest.split_once('{') {
            put(before, None);
            let Some((name, after)) = after.split_once('}') else {
                rest = after;
                break;
            };
            match phrase.parts.iter().find(|(it, _)| *it == name) {
                Some((_, Part::Arg(arg))) => put(&self.arg(arg), None),
                Some((_, Part::Figure(id))) => put(&self.value(*id), Some(*id)),
                Some((_, Part::Line(line))) => {
                    for piece in &line.0 {
                        put(&piece.text, piece.figure);
                    }
                }
                None => put(name, None),
            }
            rest = after;
        }
        put(rest, None);
        Line(pieces)
    }

    /// A figure by itself.
    pub(super) fn shown(&self, id: FigureId) -> Line {
        Line(vec![Piece {
            text: self.value(id),
            strong: false,
            figure: Some(id),
        }])
    }

    /// A value that is no figure of ours.
    pub(super) fn bare(&self, arg: impl Into<Arg>) -> Line {
        Line::plain(self.arg(&arg.into()))
    }

    /// A text that follows from a figure, and leads to it.
    pub(super) fn led(&self, text: impl Into<Arg>, to: FigureId) -> Line {
        let mut line = self.bare(text);
        for piece in &mut line.0 {
            piece.figure = Some(to);
        }
        line
    }

    /// A text that follows from a rule, and leads to its entry where it has one.
    pub(super) fn led_by_rule(&mut self, text: impl Into<Arg>, rule: &str) -> Line {
        match self.rule_entry(rule) {
            Some(id) => self.led(text, id),
            None => self.bare(text),
        }
    }

    fn value(&self, id: FigureId) -> String {
        let known = &self.known[id.0 as usize - 1];
        self.arg(&known.value)
    }

    // ----- figures

    /// Notes a figure: what it is, its value, how it comes about, and what from.
    pub(super) fn figure(
        &mut self,
        what: impl Into<Phrase>,
        value: impl Into<Arg>,
        how: impl Into<Phrase>,
        roots: impl Into<Vec<Root>>,
    ) -> FigureId {
        let known = Known {
            what: self.line(what),
            value: value.into(),
            how: self.line(how),
            roots: roots.into(),
        };
        let same =
            |it: &Known| it.what == known.what && it.value == known.value && it.how == known.how;
        let at = match self.known.iter().position(same) {
            Some(at) => at,
            None => {
                self.known.push(known);
                self.known.len() - 1
            }
        };
        FigureId(u32::try_from(at + 1).unwrap_or(u32::MAX))
    }

    /// An answer of the survey as a figure.
    pub(super) fn answer(&mut self, at: FieldRef) -> Option<FigureId> {
        let value = self.job.survey.answer(at)?;
        let arg = match &value {
            Value::Length(reading) => Arg::Length(reading.length()),
            _ => Arg::Text(self.answer_text(at, &value)),
        };
        let what = Say::new("{what}").with("what", self.answer_label(at));
        Some(self.figure(
            &what,
            arg,
            phrase(key("measured in the house")),
            [Root::Answer(at)],
        ))
    }

    /// An answer about this job's spot.
    pub(super) fn at_spot(&mut self, field: &'static str) -> Option<FigureId> {
        let at = FieldRef::spot(field, self.job.spot.id);
        self.answer(at)
    }

    /// An answer about the whole house.
    pub(super) fn of_house(&mut self, field: &'static str) -> Option<FigureId> {
        self.answer(FieldRef::house(field))
    }

    /// An entry of the fan's sheet, airflow, blade and frame aside.
    pub(super) fn fan_sheet(&mut self, what: &'static str, value: impl Into<Arg>) -> FigureId {
        self.of_fan(what, value.into(), self.job.fan.rest_status)
    }

    /// Airflow, blade or frame of the fan, which have a status of their own.
    pub(super) fn fan_size(&mut self, what: &'static str, value: impl Into<Arg>) -> FigureId {
        self.of_fan(what, value.into(), self.job.fan.sizes_status)
    }

    fn of_fan(&mut self, what: &'static str, value: Arg, status: Status) -> FigureId {
        let how = match status {
            Status::Given => phrase(key("from the fan's sheet")),
            Status::Invented => phrase(key(
                "from the fan list, where it is made up for trying out: order and cut by the sheet of the fan itself",
            )),
            other => phrase(key("from the fan list ({status})")).with("status", other.label()),
        };
        self.figure(phrase(what), value, how, [Root::FanSheet(what)])
    }

    /// A figure that a rule computed.
    pub(super) fn ruled(&mut self, rule: &'static str, name: &str) -> Option<FigureId> {
        let finding = self.job.finding(rule)?;
        let figure = finding.figures.iter().find(|it| it.name == name)?;
        let what = Say::new("{what}").with("what", self.figure_name(figure));
        let how = phrase(key("computed by the rule “{rule}”")).with("rule", finding.title);
        Some(self.figure(&what, figures::amount(figure), how, [Root::Rule(rule)]))
    }

    /// A rule's figure's name in the reader's language.
    pub(super) fn figure_name(&self, figure: &Figure) -> String {
        figures::name(figure, self.language)
    }

    // ----- answers

    /// What an answer is called, with the item that it belongs to.
    pub(super) fn answer_label(&self, at: FieldRef) -> String {
        let label = self.t(fields::label_of(at.field));
        let item = at.item.and_then(|item| self.item_label(at, item));
        match item {
            Some(item) => format!("{item}: {label}"),
            None => label.to_owned(),
        }
    }

    fn item_label(&self, at: FieldRef, item: ItemId) -> Option<String> {
        let entry = fields::list_of_item_field(at.field)?;
        let ids = self.job.survey.list(entry.id, at.spot)?.ids();
        let number = ids.iter().position(|id| *id == item)? + 1;
        Some(format!("{} {number}", self.t(entry.one)))
    }

    pub(super) fn answer_text(&self, at: FieldRef, value: &Value) -> String {
        match (fields::kind_of(at.field), value) {
            (Some(Kind::Choice(words)), Value::Choice(code)) => words
                .iter()
                .find(|word| word.code == *code)
                .map_or((*code).to_owned(), |word| self.t(word.label).to_owned()),
            (Some(Kind::Complete), Value::YesNo(true)) => {
                self.t(key("that is all of them")).to_owned()
            }
            (_, Value::YesNo(yes)) => self.t(if *yes { key("yes") } else { key("no") }).to_owned(),
            _ => value.show(&self.ways),
        }
    }

    /// An answer in one text: what it is called, and what was given.
    fn answered(&self, at: FieldRef) -> String {
        let label = self.answer_label(at);
        match self.job.survey.answer(at) {
            Some(value) => format!("{label}: {}", self.answer_text(at, &value)),
            None => format!("{label}: {}", self.t(key("not measured yet"))),
        }
    }

    /// An answer that is missing: what it is called and at which stop it is measured.
    pub(super) fn missing(&self, at: FieldRef) -> Line {
        let label = self.answer_label(at);
        Line::plain(match fields::stop_of(at.field) {
            Some(stop) => format!("{label} ({})", self.t(stop.label())),
            None => label,
        })
    }

    /// The answers of an item of the house that were given, in one line: what, and what it is. What was measured leads
    /// to its entry.
    pub(super) fn given(&mut self, record: &dyn Record, item: ItemId) -> Line {
        let mut all = Line::default();
        for slot in record.slots() {
            let Some(value) = record.get(slot.name) else {
                continue;
            };
            let at = FieldRef::house(slot.id).item(item);
            let before = if all.0.is_empty() { "" } else { "; " };
            all = all.then(Line::plain(format!("{before}{}: ", self.t(slot.label))));
            let text = self.answer_text(at, &value);
            // Words need no entry of their own.
            let told = match self.answer(at) {
                Some(id) if text.contains(|it: char| it.is_ascii_digit()) => self.shown(id),
                _ => Line::plain(text),
            };
            all = all.then(told);
        }
        all
    }

    // ----- blocks

    pub(super) fn put(&mut self, block: Block) {
        self.blocks.push(block);
    }

    pub(super) fn section(&mut self, text: impl Into<Phrase>) {
        self.section_with(text, Line::default());
    }

    /// A heading with a remark at its right end.
    pub(super) fn section_with(&mut self, text: impl Into<Phrase>, aside: Line) {
        let text = self.line(text);
        self.put(Block::Heading { text, aside });
    }

    pub(super) fn say(&mut self, text: impl Into<Phrase>) {
        let line = self.line(text);
        self.put(Block::Paragraph(line));
    }

    pub(super) fn note(&mut self, text: impl Into<Phrase>) {
        let line = self.line(text);
        self.put(Block::Note(line));
    }

    pub(super) fn list(&mut self, marks: Marks, columns: usize, entries: Vec<Line>) {
        if !entries.is_empty() {
            self.put(Block::List {
                marks,
                entries,
                columns,
            });
        }
    }

    pub(super) fn cautions(&mut self, word: &'static str, entries: Vec<Line>) {
        if !entries.is_empty() {
            let word = self.t(word).to_owned();
            self.put(Block::Cautions { word, entries });
        }
    }

    /// Empty lines to write on: what, and its unit.
    pub(super) fn blanks(&mut self, blanks: &[(&'static str, &'static str)]) {
        let blanks = blanks
            .iter()
            .map(|(what, unit)| (self.line(*what), Line::plain(*unit)))
            .collect();
        self.put(Block::Blanks(blanks));
    }

    /// What lines and hatches mean.
    pub(super) fn legend(&mut self, inks: Vec<Ink>) {
        let inks = inks
            .into_iter()
            .map(|ink| (ink, self.t(ink.label()).to_owned()))
            .collect();
        self.put(Block::Legend(inks));
    }

    /// Columns: heading, share of the width, whether numbers.
    pub(super) fn table(&mut self, columns: &[(&'static str, f32, bool)], rows: Vec<Vec<Line>>) {
        let columns = columns
            .iter()
            .map(|(head, share, numbers)| Column {
                head: Line::plain(if head.is_empty() { "" } else { self.t(head) }),
                share: *share,
                numbers: *numbers,
            })
            .collect();
        let rows = rows
            .into_iter()
            .map(|cells| Row {
                cells,
                explains: None,
            })
            .collect();
        self.put(Block::Table(Table { columns, rows }));
    }

    /// A table of two columns: what, and what it is here.
    pub(super) fn facts(&mut self, rows: Vec<(&'static str, Line)>) {
        let rows = rows
            .into_iter()
            .map(|(what, value)| vec![self.line(what), value])
            .collect();
        self.table(&[("", 2.0, false), ("", 3.0, false)], rows);
    }

    /// A drawing at one of the trade's scales, no wider and no higher than so many px.
    pub(super) fn picture(&mut self, drawing: Drawing, width: f32, height: f32) {
        let fit = Fitting {
            width,
            height,
            letters: 12.0,
            usual_scale: true,
        };
        let sheet = Sheet::lay(&drawing, fit, &|it| self.length(it), &|word| {
            self.t(word).to_owned()
        });
        let metric = self.length(Length::inches(12)).contains("mm");
        let scale = format!(
            "{} · {}",
            self.length(sheet.bar.1),
            scale_words(sheet.one_to, metric)
        );
        let title = self.t(drawing.title).to_owned();
        self.put(Block::Picture(Box::new(Picture {
            title,
            drawing,
            sheet,
            scale,
        })));
    }

    /// The same with its legend, and with what is not drawn.
    pub(super) fn drawn(&mut self, drawing: Drawing, width: f32, height: f32) {
        let open = drawing.open.clone();
        let inks = drawing.inks();
        self.picture(drawing, width, height);
        self.legend(inks);
        if !open.is_empty() {
            let mut line = self.line(key("Not drawn, because it is not measured yet: "));
            for (index, it) in open.into_iter().enumerate() {
                if index > 0 {
                    line = line.then(Line::plain("; "));
                }
                line = line.then(self.line(it));
            }
            self.put(Block::Note(line));
        }
    }

    /// What the numbers on a drawing mean.
    pub(super) fn key_of(&mut self, drawing: &Drawing) -> Vec<Line> {
        let lines = drawing.key.iter().map(|it| {
            let say = self.line(&it.say).then(self.by_rule("place"));
            Line::plain(format!("{}  ", it.number)).strong().then(say)
        });
        lines.collect()
    }

    /// The first photos that are wanted and whose pictures are at hand.
    pub(super) fn photos(
        &self,
        most: usize,
        wanted: impl Fn(&crate::survey::Photo) -> bool,
    ) -> Vec<Photo> {
        use crate::survey::Stroke;
        let share = |it: [u16; 2]| it.map(|it| f32::from(it) / 1000.0);
        let photos = self.job.survey.photos.iter().filter(|it| wanted(it));
        let at_hand = photos.filter_map(|it| Some((it, self.edition.photos.get(&it.sha256)?)));
        at_hand
            .take(most)
            .map(|(it, jpeg)| {
                let what = Line::plain(format!("{}. ", self.t(it.subject.label()))).strong();
                let remark = it.remark.clone().unwrap_or_default();
                Photo {
                    jpeg: jpeg.clone(),
                    ratio: it.height as f32 / it.width.max(1) as f32,
                    marks: it
                        .strokes
                        .iter()
                        .map(|it| match *it {
                            Stroke::Arrow { from, to } => PhotoMark::Arrow(share(from), share(to)),
                            Stroke::Ring { middle, radius } => {
                                PhotoMark::Ring(share(middle), f32::from(radius) / 1000.0)
                            }
                        })
                        .collect(),
                    caption: what.then(Line::plain(remark)),
                }
            })
            .collect()
    }

    /// What a finding says, in one line, with a link to where it comes from.
    pub(super) fn finding(&mut self, finding: &Finding) -> Line {
        let say = self.line(&finding.say);
        let title = Line::plain(self.t(finding.title)).strong();
        let outcome = Line::plain(format!(" ({}) ", self.t(finding.outcome.label())));
        title
            .then(outcome)
            .then(say)
            .then(self.by_rule(finding.rule))
    }

    /// Says nothing, but leads to a rule's entry among the figures.
    pub(super) fn by_rule(&mut self, rule: &'static str) -> Line {
        match self.rule_entry(rule) {
            Some(id) => Line(vec![Piece {
                text: String::new(),
                strong: false,
                figure: Some(id),
            }]),
            None => Line::default(),
        }
    }

    /// What these findings warn of: what several say is said once, and leads to all of them.
    pub(super) fn warnings<'f>(
        &mut self,
        findings: impl IntoIterator<Item = &'f Finding>,
    ) -> Vec<Line> {
        let mut told: Vec<(&Say, Line)> = Vec::new();
        for finding in findings {
            for caution in &finding.cautions {
                let entry = self.by_rule(finding.rule);
                match told.iter_mut().find(|(said, _)| *said == caution) {
                    Some((_, line)) => *line = std::mem::take(line).then(entry),
                    None => told.push((caution, self.line(caution).then(entry))),
                }
            }
        }
        told.into_iter().map(|(_, line)| line).collect()
    }

    /// Remedies of a finding, each with who does it.
    pub(super) fn remedies(&mut self, finding: &Finding) -> Vec<Line> {
        finding
            .remedies
            .iter()
            .map(|remedy| {
                let what = self.line(&remedy.what);
                let who = Line::plain(format!(" ({})", self.t(remedy.who.label())));
                what.then(who).then(self.by_rule(finding.rule))
            })
            .collect()
    }

    // ----- where figures come from

    /// The entry that tells what a rule said and what it leans on.
    fn rule_entry(&mut self, rule: &str) -> Option<FigureId> {
        let finding = self.job.finding(rule)?;
        let what = Say::new("{what}").with("what", finding.title);
        let mut roots: Vec<Root> = finding.hangs_on.iter().copied().map(Root::Answer).collect();
        roots.extend(finding.sources.iter().copied().map(Root::Source));
        let how = Say::new("{say}").with("say", finding.say.clone());
        Some(self.figure(&what, Arg::Word(finding.outcome.label()), &how, roots))
    }

    fn root(&mut self, root: &Root) -> Line {
        match root {
            Root::Answer(at) => Line::plain(self.answered(*at)),
            Root::FanSheet(what) => {
                let what = self.t(what).to_owned();
                self.line(
                    phrase(key("sheet of the fan “{fan}”: {what}"))
                        .with("fan", self.language.name(&self.job.fan.name))
                        .with("what", what),
                )
            }
            Root::Rule(rule) => {
                let title = self.job.finding(rule).map_or("", |it| it.title);
                let line = self.line(phrase(key("rule “{rule}”")).with("rule", title));
                line.then(self.by_rule(rule))
            }
            Root::Source(source) => Line::plain(format!(
                "{} ({})",
                source.cite,
                self.t(source.status.label())
            )),
            Root::Figure(id) => {
                let what = self.known[id.0 as usize - 1].what.clone();
                let mut line = what.then(Line::plain(format!(" [{}]", id.0)));
                for piece in &mut line.0 {
                    piece.figure = Some(*id);
                }
                line
            }
        }
    }

    /// Every figure with how it comes about.
    pub(super) fn origins(&mut self) -> Vec<Origin> {
        let mut origins = Vec::new();
        let mut at = 0;
        // Rules are noted on the way, so the list grows while it is written.
        while at < self.known.len() {
            let known = self.known[at].clone();
            let leans = known.roots.into_iter().map(|root| Lean {
                line: self.root(&root),
                root,
            });
            origins.push(Origin {
                id: FigureId(u32::try_from(at + 1).unwrap_or(u32::MAX)),
                what: known.what,
                leans: leans.collect(),
                value: self.arg(&known.value),
                how: known.how,
            });
            at += 1;
        }
        origins
    }

    /// The table that takes every figure back to measurement, rule and source.
    pub(super) fn list_origins(&mut self, origins: &[Origin]) {
        self.note(key(
            "Each figure on the sheets, how it comes about, and the measurements, rules and documents that it leans on. “From memory” means: check against the printed document before relying on it.",
        ));
        let rows = origins
            .iter()
            .map(|origin| Row {
                cells: vec![
                    Line::plain(origin.id.0.to_string()),
                    origin.what.clone(),
                    Line::plain(origin.value.clone()),
                    origin.how.clone(),
                    origin.leaning(),
                ],
                explains: Some(origin.id),
            })
            .collect();
        let head = |builder: &Self, text: &'static str, share, numbers| Column {
            head: Line::plain(builder.t(text)),
            share,
            numbers,
        };
        let columns = vec![
            head(self, key("No."), 0.7, true),
            head(self, key("Figure"), 3.0, false),
            head(self, key("Value"), 1.7, false),
            head(self, key("How it comes about"), 4.0, false),
            head(self, key("Leans on"), 5.0, false),
        ];
        self.put(Block::Table(Table { columns, rows }));
    }

    /// The office's corrections of the survey, where there are some.
    pub(super) fn corrections(&mut self) {
        let edition = self.edition;
        if edition.corrections.is_empty() {
            return;
        }
        self.section(key("Corrections of the survey"));
        let entries = edition.corrections.iter();
        let entries = entries.map(|it| Line::plain(it.clone())).collect();
        self.list(Marks::Dashes, 1, entries);
    }

    /// The sheet; what comes after goes on with its figures.
    pub(super) fn finish(
        mut self,
        name: &'static str,
        letter: &'static str,
        title: &'static str,
    ) -> (Document, SheetBuilder<'a>) {
        let appendix = name == "appendix";
        if !appendix {
            number_sections(&mut self.blocks);
        }
        let assessment = self.job.assessment;
        let job = self.job.survey.arrival.job_reference.clone();
        let short = self.job.survey.id.to_string();
        let foot = [
            if appendix {
                self.line(
                    phrase(key(
                        "Made by joistlight {version}. A wrong measurement makes a wrong sheet.",
                    ))
                    .with("version", assessment.rules.to_owned()),
                )
                .text()
            } else {
                self.t(key("Where figures come from: appendix A."))
                    .to_owned()
            },
            format!(
                "{} · {} · {} · {}",
                job.unwrap_or_default(),
                short.get(..8).unwrap_or(&short),
                assessment.codes.building.code(),
                assessment.codes.electrical.code()
            ),
        ];
        let document = Document {
            name,
            language: self.language,
            head: self.head(letter, title),
            blocks: std::mem::take(&mut self.blocks),
            foot,
            size: match name {
                "household" | "quote" => 10.5,
                "electrician" | "vents" => 9.5,
                _ => 9.0,
            },
            explained_in: (!appendix).then_some("appendix"),
        };
        (document, self)
    }

    fn head(&self, letter: &'static str, title: &'static str) -> Head {
        let job = self.job;
        let arrival = &job.survey.arrival;
        let number = job.survey.spots.iter().position(|it| it.id == job.spot.id);
        let spot = job.spot.name.clone().unwrap_or_else(|| {
            format!("{} {}", self.t(key("Spot")), number.map_or(0, |it| it + 1))
        });
        let when = arrival.visited_at.unwrap_or(job.survey.begun).to_string();
        let day = when.get(..10).unwrap_or(&when).to_owned();
        let row = |what: &'static str, value: String| (self.t(what).to_owned(), value);
        let given = [&arrival.job_reference, &arrival.client];
        let given: Vec<&str> = given.into_iter().flatten().map(String::as_str).collect();
        let edition = self.edition;
        let mut issue = Vec::new();
        match edition.issue {
            Some(number) => issue
                .push(self.text(phrase(key("Issue {number} of job pack")).with("number", number))),
            None => issue.push(self.t(key("Job pack, not issued")).to_owned()),
        }
        if let Some(printed) = &edition.printed {
            issue.push(self.text(phrase(key("Printed {when}")).with("when", printed.clone())));
        }
        issue.push(
            self.text(
                phrase(key("Survey {day}, rev. {revision}"))
                    .with("day", day)
                    .with("revision", job.survey.revision),
            ),
        );
        issue.push(match edition.corrections.as_slice() {
            [] => self.t(key("Corrections: none")).to_owned(),
            all => self
                .text(phrase(key("Corrections: {count}, see appendix")).with("count", all.len())),
        });
        Head {
            letter,
            title: self.t(title).to_owned(),
            under: vec![
                given.join(" · "),
                arrival.address.clone().unwrap_or_default(),
            ],
            facts: vec![
                row(key("Spot"), spot),
                row(key("Fan"), self.language.name(&job.fan.name)),
                row(key("Joists"), self.t(job.choice.framing.label()).to_owned()),
                row(key("Result"), self.t(job.choice.verdict.label()).to_owned()),
            ],
            issue,
        }
    }

    pub(super) fn text(&self, phrase: impl Into<Phrase>) -> String {
        self.line(phrase).text()
    }

    /// Where there is nothing to build: says so, and what is open. Returns whether there is a plan.
    pub(super) fn nothing_to_build(&mut self) -> bool {
        let job = self.job;
        if job.plan.is_some() {
            return false;
        }
        let mut entries = vec![self.line(
            phrase(key(
                "For this fan at this spot the verdict is: {verdict}. Nothing may be ordered, drilled, cut or promised on this sheet.",
            ))
            .with("verdict", job.choice.verdict.label()),
        )];
        for finding in job.that(Outcome::Fails) {
            let line = self.finding(finding);
            entries.push(line);
        }
        let mut missing = job.missing();
        if missing.is_empty() && job.fits() {
            missing = job.lacking();
        }
        if !missing.is_empty() {
            let mut open = self.line(key("Still to be measured: "));
            for (index, at) in missing.iter().enumerate() {
                if index > 0 {
                    open = open.then(Line::plain("; "));
                }
                open = open.then(self.missing(*at));
            }
            entries.push(open);
        }
        let word = self.t(key("Nothing to build yet")).to_owned();
        self.put(Block::Notice { word, entries });
        true
    }
}

/// Puts the numbers of a section's figures at the right end of its heading, so that paper leads to the appendix too.
fn number_sections(blocks: &mut [Block]) {
    let mut numbers: BTreeSet<u32> = BTreeSet::new();
    for block in blocks.iter_mut().rev() {
        match block {
            Block::Heading { aside, .. } => {
                let ranges = ranges(&std::mem::take(&mut numbers));
                if !ranges.is_empty() {
                    if !aside.is_empty() {
                        *aside = std::mem::take(aside).then(Line::plain(" · "));
                    }
                    *aside = std::mem::take(aside).then(Line::plain(format!("A {ranges}")));
                }
            }
            Block::Columns(columns) => {
                for (_, blocks) in columns {
                    number_sections(blocks);
                }
            }
            other => {
                let lines = crate::typeset::document::lines_of(other);
                numbers.extend(lines.into_iter().flat_map(Line::figures).map(|it| it.0));
            }
        }
    }
}

/// Numbers as ranges, such as `1–4, 7`; no more than three of them, the rest in one.
fn ranges(numbers: &BTreeSet<u32>) -> String {
    let mut ranges: Vec<(u32, u32)> = Vec::new();
    for &number in numbers {
        match ranges.last_mut() {
            Some((_, to)) if *to + 1 == number => *to = number,
            _ => ranges.push((number, number)),
        }
    }
    while ranges.len() > 3 {
        // The two that lie nearest to each other become one.
        let gap = |at: &usize| ranges[at + 1].0 - ranges[*at].1;
        let Some(at) = (0..ranges.len() - 1).min_by_key(gap) else {
            break;
        };
        ranges[at].1 = ranges[at + 1].1;
        ranges.remove(at + 1);
    }
    let told = ranges.iter().map(|(from, to)| {
        if from == to {
            from.to_string()
        } else {
            format!("{from}–{to}")
        }
    });
    told.collect::<Vec<_>>().join(", ")
}
