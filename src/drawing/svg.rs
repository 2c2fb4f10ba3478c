//! A sheet as SVG, for report and job pack: print first, legible without colour.

use super::sheet::{Mark, Sheet, Stroke, hatched};
use super::{Drawing, Ink};
use std::fmt::Write as _;

/// The lines of each ink: width in px, and dashes. All are black, since paper goes through copiers.
pub(crate) fn line(ink: Ink) -> (f32, &'static str) {
    match ink {
        Ink::Wall => (2.0, ""),
        Ink::Joist => (1.1, ""),
        Ink::CutJoist => (1.0, "3 2"),
        Ink::Header => (2.0, ""),
        Ink::Opening => (2.7, ""),
        Ink::Shutter => (1.2, "2 2"),
        Ink::ClearSpace => (0.9, "10 3 2 3 2 3"),
        Ink::Fan => (1.6, "10 3 2 3"),
        Ink::Roof => (2.0, ""),
        Ink::Fixed => (1.8, ""),
        Ink::Movable => (1.2, "5 3"),
        Ink::Fixture => (1.2, ""),
        Ink::Block => (1.4, ""),
        Ink::Packing => (0.8, ""),
        Ink::Facing => (1.2, "9 3"),
        Ink::Dam => (0.9, "1 2"),
        Ink::Temporary => (1.4, "6 4"),
        Ink::Hole => (1.6, ""),
        Ink::Diagonal => (0.7, ""),
        Ink::Insulation => (1.2, "1 4"),
        Ink::Mark => (1.4, ""),
        Ink::Dimension => (0.8, ""),
    }
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// A short piece of an ink with its hatch, 30 × 10 px, for a legend.
pub fn sample_strokes(ink: Ink) -> Vec<Stroke> {
    let stroke = |points: Vec<(f32, f32)>, closed, thin| Stroke {
        points,
        closed,
        ink,
        thin,
        field: None,
    };
    let across = vec![(1.0, 5.0), (29.0, 5.0)];
    match ink {
        Ink::Insulation | Ink::Roof | Ink::Diagonal | Ink::Dimension | Ink::Wall => {
            vec![stroke(across, false, false)]
        }
        Ink::Mark => vec![
            stroke(vec![(10.0, 5.0), (20.0, 5.0)], false, false),
            stroke(vec![(15.0, 0.0), (15.0, 10.0)], false, false),
        ],
        _ => {
            let area = vec![(1.0, 0.5), (29.0, 0.5), (29.0, 9.5), (1.0, 9.5)];
            let hatch = hatched(ink, &area).into_iter();
            let mut all: Vec<Stroke> = hatch.map(|it| stroke(it, false, true)).collect();
            all.push(stroke(area, true, false));
            all
        }
    }
}

/// The same as an `<svg>` element.
pub fn sample(ink: Ink) -> String {
    let strokes: String = sample_strokes(ink).iter().map(path).collect();
    format!(
        "<svg viewBox=\"0 0 30 10\" width=\"30\" height=\"10\" aria-hidden=\"true\">{strokes}</svg>"
    )
}

/// A stroke as a `<path>` element.
fn path(stroke: &Stroke) -> String {
    let (width, dashes) = line(stroke.ink);
    let mut path = String::new();
    for (index, (x, y)) in stroke.points.iter().enumerate() {
        let _ = write!(path, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
    }
    if stroke.closed {
        path.push('Z');
    }
    let width = if stroke.thin { 0.5 } else { width };
    let dashes = if dashes.is_empty() || stroke.thin {
        String::new()
    } else {
        format!(" stroke-dasharray=\"{dashes}\"")
    };
    format!(
        "<path class=\"{}\" d=\"{path}\" fill=\"none\" stroke=\"#000\" stroke-width=\"{width}\"{dashes}/>",
        stroke.ink.class()
    )
}

/// The sheet as one `<svg>` element that needs nothing else; `title` is read out by screen readers,
/// `scale` stands under the scale bar.
pub fn write(sheet: &Sheet, drawing: &Drawing, title: &str, scale: &str) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let (w, h) = (sheet.width, sheet.height);
    // In points, so that the scale is true wherever the page is printed whole.
    let (wide, tall) = (w * 0.75, h * 0.75);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w:.1} {h:.1}\" width=\"{wide:.2}pt\" height=\"{tall:.2}pt\" role=\"img\" aria-label=\"{}\" font-size=\"{:.1}\" font-family=\"sans-serif\">",
        escape(title),
        sheet.letters
    );
    let _ = write!(out, "<title>{}</title>", escape(title));
    for stroke in &sheet.strokes {
        out.push_str(&path(stroke));
    }
    for text in &sheet.texts {
        let (x, y) = text.at;
        let words = escape(&text.text);
        match text.mark {
            Mark::Number => {
                let r = sheet.letters * 0.8;
                let _ = write!(
                    out,
                    "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\" fill=\"#fff\" stroke=\"#000\"/><text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\" dominant-baseline=\"central\" font-weight=\"bold\">{words}</text>"
                );
            }
            mark => {
                let turned = match mark {
                    Mark::DimensionUp | Mark::WordsUp => {
                        format!(" transform=\"rotate(-90 {x:.1} {y:.1})\"")
                    }
                    _ => String::new(),
                };
                let weight = match mark {
                    Mark::Words | Mark::WordsUp => "",
                    _ => " font-weight=\"bold\"",
                };
                let _ = write!(
                    out,
                    "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\" dominant-baseline=\"central\"{weight} stroke=\"#fff\" stroke-width=\"3\" paint-order=\"stroke\"{turned}>{words}</text>"
                );
            }
        }
    }
    // The scale bar, in two halves.
    let (length, _) = sheet.bar;
    let (x, y) = (sheet.letters, h - sheet.letters * 1.1);
    let tall = sheet.letters * 0.4;
    let _ = write!(
        out,
        "<path d=\"M{x:.1} {y:.1}h{:.1}v{tall:.1}h-{:.1}Z\" fill=\"#000\"/><path d=\"M{x:.1} {y:.1}h{length:.1}v{tall:.1}h-{length:.1}Z\" fill=\"none\" stroke=\"#000\"/>",
        length / 2.0,
        length / 2.0
    );
    let _ = write!(
        out,
        "<text x=\"{:.1}\" y=\"{:.1}\" dominant-baseline=\"central\">{}</text>",
        x + length + sheet.letters * 0.6,
        y + tall / 2.0,
        escape(scale)
    );
    out.push_str("</svg>");
    debug_assert!(!drawing.items.is_empty());
    out
}
