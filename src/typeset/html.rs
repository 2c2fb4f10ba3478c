//! A document as one HTML file that needs nothing beside it and prints on Letter and A4 alike.

use super::document::{Block, Document, Line, Marks, Photo, PhotoMark, Picture, Table};
use super::layout::unbroken;
use super::{fonts, pdf};
use crate::drawing::svg;
use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::sync::LazyLock;

const STYLE: &str = include_str!("sheet.css");

/// The faces of the page, within it: so it breaks its lines alike everywhere.
static FACES: LazyLock<String> = LazyLock::new(|| {
    [(fonts::REGULAR, 400), (fonts::BOLD, 700)]
        .map(|(face, weight)| {
            format!(
                "@font-face {{ font-family: sheet; font-weight: {weight}; src: url(data:font/ttf;base64,{}); }}\n",
                BASE64.encode(face)
            )
        })
        .concat()
});

/// The whole file.
pub fn write(document: &Document) -> String {
    let head = &document.head;
    let job = head.under.first().map_or("", String::as_str);
    html! {
        (DOCTYPE)
        html lang=(document.language.code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; font-src data:; img-src data:; style-src 'unsafe-inline'";
                title { (head.title) " – " (job) }
                style { (PreEscaped(FACES.as_str())) (PreEscaped(STYLE)) }
            }
            body style={ "font-size:" (document.size) "pt" } {
                header {
                    @if !head.letter.is_empty() { div.letter aria-hidden="true" { (head.letter) } }
                    div.title {
                        h1 { (head.title) }
                        @for text in &head.under { p { (text) } }
                    }
                    dl { @for (what, value) in &head.facts { div { dt { (what) } " " dd { (value) } } } }
                    div.issue { @for text in &head.issue { p { (text) } } }
                }
                main { (Writer(document).blocks(&document.blocks)) }
                footer { @for text in &document.foot { p { (text) } } }
            }
        }
    }
    .into_string()
}

struct Writer<'a>(&'a Document);

impl Writer<'_> {
    fn line(&self, line: &Line) -> Markup {
        let other = self.0.explained_in;
        html! {
            @for piece in &line.0 {
                @let text = unbroken(&piece.text);
                @match (piece.figure, piece.strong) {
                    (Some(id), strong) => a.figure.strong[strong]
                        href={ @if let Some(other) = other { (other) ".html" } "#" (pdf::anchor(id)) } { (text) },
                    (None, true) => strong { (text) },
                    (None, false) => (text),
                }
            }
        }
    }

    fn blocks(&self, blocks: &[Block]) -> Markup {
        html! { @for block in blocks { (self.block(block)) } }
    }

    fn block(&self, block: &Block) -> Markup {
        html! {
            @match block {
                Block::Heading { text, aside } => h2 {
                    span { (self.line(text)) } @if !aside.is_empty() { " " small { (self.line(aside)) } }
                },
                Block::Paragraph(text) => p { (self.line(text)) },
                Block::Lead(text) => p.lead { (self.line(text)) },
                Block::Note(text) => p.note { (self.line(text)) },
                Block::List { marks, entries, columns } => @match marks {
                    Marks::Steps => ol.boxes.two[*columns > 1] { @for entry in entries { li { (self.line(entry)) } } },
                    _ => ul.boxes[*marks == Marks::Boxes].two[*columns > 1] {
                        @for entry in entries { li { (self.line(entry)) } }
                    },
                },
                Block::Table(it) => (self.table(it)),
                Block::Cautions { word, entries } => section.cautions {
                    p.word { (word) }
                    ul { @for entry in entries { li { (self.line(entry)) } } }
                },
                Block::Notice { word, entries } => section.notice {
                    p.word { (word) }
                    ul { @for entry in entries { li { (self.line(entry)) } } }
                },
                Block::Picture(it) => (picture(it)),
                Block::Legend(inks) => p.legend { @for (ink, label) in inks {
                    span { (PreEscaped(svg::sample(*ink))) " " (label) } " "
                } },
                Block::Photos(photos) => div.photos { @for it in photos { (self.photo(it)) } },
                Block::Columns(columns) => {
                    @let shares: Vec<String> = columns.iter().map(|(share, _)| format!("minmax(0,{share}fr)")).collect();
                    div.columns style={ "grid-template-columns:" (shares.join(" ")) } {
                        @for (_, blocks) in columns { div { (self.blocks(blocks)) } }
                    }
                },
                Block::Blanks(blanks) => div.blanks { @for (what, unit) in blanks {
                    p { span { (self.line(what)) } i {} span { (self.line(unit)) } }
                } },
                Block::NewPage => div.new-page {},
            }
        }
    }

    fn table(&self, table: &Table) -> Markup {
        let all: f32 = table.columns.iter().map(|it| it.share).sum();
        let headed = table.columns.iter().any(|it| !it.head.is_empty());
        html! {
            table.short[table.rows.len() <= 8] {
                colgroup { @for column in &table.columns {
                    col style={ "width:" (format!("{:.1}", column.share / all * 100.0)) "%" };
                } }
                @if headed { thead { tr { @for column in &table.columns {
                    th.numbers[column.numbers] { (self.line(&column.head)) }
                } } } }
                tbody { @for row in &table.rows {
                    tr id=[row.explains.map(pdf::anchor)] {
                        @for (cell, column) in row.cells.iter().zip(&table.columns) {
                            td.numbers[column.numbers] { (self.line(cell)) }
                        }
                    }
                } }
            }
        }
    }

    fn photo(&self, photo: &Photo) -> Markup {
        let (wide, tall) = (1000.0, 1000.0 * photo.ratio);
        html! {
            figure.photo {
                svg viewBox={ "0 0 " (wide) " " (format!("{tall:.0}")) } role="img" aria-label=(photo.caption.text()) {
                    image width=(wide) height=(format!("{tall:.0}"))
                        href={ "data:image/jpeg;base64," (BASE64.encode(photo.jpeg.as_ref())) } {}
                    @for (colour, width) in [("#fff", 16), ("#000", 7)] { @for mark in &photo.marks {
                        @match mark {
                            PhotoMark::Ring([x, y], r) => circle cx=(x * wide) cy=(y * tall) r=(r * wide)
                                fill="none" stroke=(colour) stroke-width=(width) {},
                            PhotoMark::Arrow([ax, ay], [bx, by]) => path
                                d=(arrow([ax * wide, ay * tall], [bx * wide, by * tall]))
                                fill="none" stroke=(colour) stroke-width=(width) {},
                        }
                    } }
                }
                figcaption { (self.line(&photo.caption)) }
            }
        }
    }
}

/// The path of an arrow with an open head.
fn arrow([ax, ay]: [f32; 2], [bx, by]: [f32; 2]) -> String {
    let (dx, dy) = (bx - ax, by - ay);
    let long = dx.hypot(dy).max(0.1);
    let (dx, dy) = (dx / long * 30.0, dy / long * 30.0);
    let head = [
        (bx - dx + dy * 0.6, by - dy - dx * 0.6),
        (bx - dx - dy * 0.6, by - dy + dx * 0.6),
    ];
    format!(
        "M{ax:.0} {ay:.0}L{bx:.0} {by:.0}M{:.0} {:.0}L{bx:.0} {by:.0}L{:.0} {:.0}",
        head[0].0, head[0].1, head[1].0, head[1].1
    )
}

fn picture(picture: &Picture) -> Markup {
    html! {
        figure {
            (PreEscaped(svg::write(&picture.sheet, &picture.drawing, &picture.title, &picture.scale)))
        }
    }
}
