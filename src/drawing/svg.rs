//! A sheet as SVG, for report and job pack: print first, legible without colour.

use super::sheet::{Mark, Sheet};
use super::{Drawing, Ink};
use std::fmt::Write as _;

/// The lines of each ink: colour, width in px, dashes.
pub(crate) fn line(ink: Ink) -> (&'static str, f32, &'static str) {
    match ink {
        Ink::Wall => ("#222", 2.2, ""),
        Ink::Joist => ("#7a5a2a", 1.0, ""),
        Ink::CutJoist => ("#a03010", 1.0, "3 2"),
        Ink::Header => ("#7a5a2a", 2.0, ""),
        Ink::Opening => ("#000", 2.4, ""),
        Ink::Shutter => ("#000", 1.2, "8 3"),
        Ink::ClearSpace => ("#1a4e8a", 1.6, "10 4 2 4"),
        Ink::Fan => ("#1a4e8a", 1.2, ""),
        Ink::Roof => ("#222", 2.6, ""),
        Ink::Fixed => ("#8a1a1a", 1.6, ""),
        Ink::Movable => ("#2a6a2a", 1.4, "5 3"),
        Ink::Fixture => ("#5a3a8a", 1.2, ""),
        Ink::Block => ("#7a5a2a", 1.4, ""),
        Ink::Temporary => ("#7a5a2a", 1.4, "6 4"),
        Ink::Hole => ("#000", 1.6, ""),
        Ink::Diagonal => ("#444", 0.8, "12 3"),
        Ink::Insulation => ("#777", 1.2, "1 4"),
        Ink::Mark => ("#000", 1.4, ""),
        Ink::Dimension => ("#444", 0.8, ""),
    }
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}

/// A short piece of an ink's line, for a key.
pub fn sample(ink: Ink) -> String {
    let (colour, width, dashes) = line(ink);
    let dashes = if dashes.is_empty() {
        String::new()
    } else {
        format!(" stroke-dasharray=\"{dashes}\"")
    };
    format!(
        "<svg viewBox=\"0 0 30 8\" width=\"30\" height=\"8\" aria-hidden=\"true\"><path d=\"M0 4H30\" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}/></svg>"
    )
}

/// The sheet as one `<svg>` element that needs nothing else; `title` is read out by screen readers,
/// `scale` stands under the scale bar.
pub fn write(sheet: &Sheet, drawing: &Drawing, title: &str, scale: &str) -> String {
    let mut out = String::with_capacity(16 * 1024);
    let (w, h) = (sheet.width, sheet.height);
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {w:.1} {h:.1}\" width=\"{w:.1}\" height=\"{h:.1}\" role=\"img\" aria-label=\"{}\" font-size=\"{:.1}\" font-family=\"sans-serif\">",
        escape(title),
        sheet.letters
    );
    let _ = write!(out, "<title>{}</title>", escape(title));
    for stroke in &sheet.strokes {
        let (colour, width, dashes) = line(stroke.ink);
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
        let _ = write!(
            out,
            "<path class=\"{}\" d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\"{dashes}/>",
            stroke.ink.class()
        );
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
            Mark::Dimension => {
                let _ = write!(
                    out,
                    "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\" dominant-baseline=\"central\">{words}</text>"
                );
            }
            Mark::DimensionUp => {
                let _ = write!(
                    out,
                    "<text x=\"{x:.1}\" y=\"{y:.1}\" text-anchor=\"middle\" dominant-baseline=\"central\" transform=\"rotate(-90 {x:.1} {y:.1})\">{words}</text>"
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::contrast::contrast;

    /// The colour of `#rgb` or `#rrggbb`.
    fn rgb(hex: &str) -> [u8; 3] {
        let digits: Vec<u8> = hex
            .chars()
            .filter_map(|it| Some(it.to_digit(16)? as u8))
            .collect();
        match digits[..] {
            [r, g, b] => [r * 17, g * 17, b * 17],
            [a, b, c, d, e, f] => [a * 16 + b, c * 16 + d, e * 16 + f],
            _ => panic!("{hex}"),
        }
    }

    /// Lines at least 3 : 1 on white paper (WCAG 2.2, success criterion 1.4.11); words are black.
    #[test]
    fn every_ink_stands_out_on_paper() {
        let on_paper = |colour| contrast(rgb(colour), [255; 3]);
        assert!((on_paper("#000") - 21.0).abs() < 1e-9);
        for ink in Ink::ALL {
            let (colour, width, _) = line(*ink);
            let ratio = on_paper(colour);
            assert!(ratio >= 3.0, "{ink:?}: {ratio:.2}");
            assert!(width > 0.0);
        }
    }
}
