//! A finding's figures as people read them: each by its name in their language, with as many decimals as it bears.
//!
//! The permit sheet, the window, the bundle's report and the job pack show figures by these, so that all say the same; the
//! last two fold them away by [`folded`].

use crate::measure::{Figure, Length};
use crate::rules::{Arg, number};
use crate::words::Language;
use maud::{Markup, html};

/// What a figure is called in the reader's language.
///
/// # Examples
/// ```
/// use joistlight::job::figures;
/// use joistlight::measure::{Figure, Temperature};
/// use joistlight::words::Language;
///
/// let figure = Figure::new("heat index", Temperature::from_f(109.0));
/// assert_eq!(figures::name(&figure, Language::English), "heat index");
/// assert_eq!(figures::name(&figure, Language::Spanish), "índice de calor");
/// ```
pub fn name(figure: &Figure, language: Language) -> String {
    language
        .find(figure.name)
        .map_or_else(|| figure.name.to_owned(), str::to_owned)
}

/// A figure's number for a sentence or a table.
///
/// # Units
/// A figure in inches becomes a length, which is shown on the reader's own tape. Every other keeps its unit; only less
/// than 1 ft³ is told in in³, as boxes are stamped.
///
/// # Examples
/// ```
/// use joistlight::job::figures::amount;
/// use joistlight::measure::{Area, Figure, Length, Volume};
/// use joistlight::rules::{Arg, number};
///
/// let area = Figure::new("net free area needed", Area::from_ft2(6.0));
/// assert_eq!(amount(&area), number(6.0, "ft²", 2));
/// let box_volume = Figure::new("box volume", Volume::from_ft3(0.0125));
/// assert_eq!(amount(&box_volume), number(21.6, "in³", 2));
/// let rise = Figure::new("rise", Length::inches(4));
/// assert_eq!(amount(&rise), Arg::Length(Length::inches(4)));
/// ```
pub fn amount(figure: &Figure) -> Arg {
    let value = figure.value;
    match figure.unit {
        "in" => Arg::Length(Length::from_in(value)),
        "" if value.fract() == 0.0 && value.abs() < 1e9 => Arg::Count(value as i64),
        "" => number(value, "", 2),
        // Rooms are told in cubic feet, boxes in cubic inches.
        "ft³" if value < 1.0 => number(value * 1728.0, "in³", 2),
        "ft³" => number(value, "ft³", 0),
        "ft²" => number(value, "ft²", 2),
        "A" | "V" | "Pa" | "lb" | "psf" => number(value, figure.unit, 1),
        unit => number(value, unit, if value.abs() < 10.0 { 2 } else { 0 }),
    }
}

/// The arithmetic behind a finding as a part of a page, shut until somebody wants to check it; nothing where there is none.
/// `heading` is what it is called in the reader's language, and `show` writes an amount.
pub fn folded(
    figures: &[Figure],
    heading: &str,
    language: Language,
    show: impl Fn(&Arg) -> String,
) -> Markup {
    html! {
        @if !figures.is_empty() {
            details {
                summary { (heading) ": " (figures.len()) }
                table { @for figure in figures {
                    tr {
                        th { (name(figure, language)) }
                        td.figure { (show(&amount(figure))) }
                    }
                } }
            }
        }
    }
}
