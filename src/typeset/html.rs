//! A sheet as one HTML file that needs nothing beside it and prints on Letter and A4 alike.

use super::document::{Block, Document, Line, Marks, Picture, Table};
use super::fonts;
use crate::drawing::svg;
use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::sync::LazyLock;

const STYLE: &str = include_str!("sheet.css");

/// The faces of the sheets, within the page: so it breaks its lines alike everywhere.
static FACES: LazyLock<String> = LazyLock::new(|| {
    [(fonts::REGULAR, 400), (fonts::BOLD, 700)]
        .map(|(face, weight)| {
            format!(
                "@font-face {{ font-family: B612; font-weight: {weight}; src: url(data:font/otf;base64,{}); }}\n",
                BASE64.encode(face)
            )
        })
        .concat()
});

/// The whole file.
pub fn write(document: &Document) -> String {
    let job = document.head.first().map_or("", |(_, value)| value);
    html! {
        (DOCTYPE)
        html lang=(document.language.code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; font-src data:; style-src 'unsafe-inline'";
                title { (document.title) " – " (job) }
                style { (PreEscaped(FACES.as_str())) (PreEscaped(STYLE)) }
            }
            body {
                header { h1 { (document.title) } }
                dl.head {
                    @for (what, value) in &document.head { div { dt { (what) } dd { (value) } } }
                }
                main { @for block in &document.blocks { (self::block(block)) } }
                footer { p { (document.foot) } }
            }
        }
    }
    .into_string()
}

fn line(line: &Line) -> Markup {
    html! {
        @for piece in &line.0 {
            @match (piece.figure, piece.strong) {
                (Some(id), _) => a.figure href={ "#figure-" (id.0) } { (piece.text) },
                (None, true) => strong { (piece.text) },
                (None, false) => (piece.text),
            }
        }
    }
}

fn block(block: &Block) -> Markup {
    html! {
        @match block {
            Block::Heading { level: 2, text } => h2 { (line(text)) },
            Block::Heading { text, .. } => h3 { (line(text)) },
            Block::Paragraph(text) => p { (line(text)) },
            Block::Note(text) => p.note { (line(text)) },
            Block::List { marks: Marks::Numbers, entries } => ol { @for entry in entries { li { (line(entry)) } } },
            Block::List { marks, entries } => ul.boxes[*marks == Marks::Boxes] {
                @for entry in entries { li { (line(entry)) } }
            },
            Block::Table(it) => (table(it)),
            Block::Cautions { word, entries } => section.cautions {
                p.word { (word) }
                ul { @for entry in entries { li { (line(entry)) } } }
            },
            Block::Notice { word, entries } => section.notice {
                p.word { (word) }
                @for entry in entries { p { (line(entry)) } }
            },
            Block::Picture(it) => (picture(it)),
            Block::NewPage => div.new-page {},
        }
    }
}

fn table(table: &Table) -> Markup {
    let all: f32 = table.columns.iter().map(|it| it.share).sum();
    let headed = table
        .columns
        .iter()
        .any(|it| !it.head.0.is_empty() && it.head.text() != "");
    html! {
        table.short[table.rows.len() <= 8] {
            colgroup { @for column in &table.columns {
                col style={ "width:" (format!("{:.1}", column.share / all * 100.0)) "%" };
            } }
            @if headed { thead { tr { @for column in &table.columns {
                th.numbers[column.numbers] { (line(&column.head)) }
            } } } }
            tbody { @for row in &table.rows {
                tr id=[row.explains.map(|id| format!("figure-{}", id.0))] {
                    @for (cell, column) in row.cells.iter().zip(&table.columns) {
                        td.numbers[column.numbers] { (line(cell)) }
                    }
                }
            } }
        }
    }
}

fn picture(picture: &Picture) -> Markup {
    let title = picture.title.text();
    html! {
        figure {
            figcaption { (line(&picture.title)) }
            (PreEscaped(svg::write(&picture.sheet, &picture.drawing, &title, &picture.scale)))
            @if !picture.key.is_empty() {
                ul.key { @for entry in &picture.key { li { (line(entry)) } } }
            }
            p.inks { @for (ink, label) in &picture.inks {
                span.ink { (PreEscaped(svg::sample(*ink))) " " (label) } " "
            } }
        }
    }
}
