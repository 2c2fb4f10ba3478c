//! What has been typed on the keypad so far, and what its keys do.
//!
//! The buffer holds text as the trade writes it (`3' 0 8/16"`), so that a real keyboard and the keypad
//! type the same thing and the survey's own parser judges it. The keypad only saves the typing of marks:
//! 36, *in*, 8, */16* gives `36 8/16"`.

use crate::measure::{Length, Reading, System, Tape};
use crate::survey::{Kind, Value, Ways};

/// One key beside the figures: what it does and what stands on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cap {
    /// Handed back when it is pressed.
    pub key: String,
    /// What stands on it; nothing where the place stays empty.
    pub label: String,
}

/// What the key left of the nought does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// A decimal point.
    Point,
    /// Turns the sign, for distances that can lie the other way.
    Sign,
    /// Nothing: whole numbers.
    None,
}

/// The keys for one kind of answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Layout {
    /// Three keys for units or fractions, then two steps.
    pub extra: [Cap; 5],
    /// The key left of the nought.
    pub corner: Corner,
}

/// What has been typed so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Typed(String);

impl Layout {
    /// The keys for `kind` with these settings; `None` for kinds that are not typed on the keypad.
    pub fn of(kind: Kind, ways: &Ways) -> Option<Layout> {
        let metric = ways.metric();
        let fraction = denominator(ways.tape);
        let (caps, corner): (Vec<(&str, &str)>, Corner) = match kind {
            Kind::Length | Kind::Offset => {
                let corner = if kind == Kind::Offset {
                    Corner::Sign
                } else {
                    Corner::Point
                };
                let caps = match ways.tape {
                    Tape::Millimetre => vec![
                        ("unit mm", "mm"),
                        ("unit cm", "cm"),
                        ("unit m", "m"),
                        ("less", "− 1 mm"),
                        ("more", "+ 1 mm"),
                    ],
                    Tape::Eighth => vec![
                        ("feet", "ft ′"),
                        ("inches", "in ″"),
                        ("fraction", "/8"),
                        ("less", "− 1/8"),
                        ("more", "+ 1/8"),
                    ],
                    Tape::Sixteenth => vec![
                        ("feet", "ft ′"),
                        ("inches", "in ″"),
                        ("fraction", "/16"),
                        ("less", "− 1/16"),
                        ("more", "+ 1/16"),
                    ],
                    Tape::ThirtySecond => vec![
                        ("feet", "ft ′"),
                        ("inches", "in ″"),
                        ("fraction", "/32"),
                        ("less", "− 1/32"),
                        ("more", "+ 1/32"),
                    ],
                };
                debug_assert!(fraction.is_some() != metric);
                (caps, corner)
            }
            Kind::Area if metric => (
                vec![("unit m²", "m²"), ("unit in²", "in²"), ("unit ft²", "ft²")],
                Corner::Point,
            ),
            Kind::Area => (
                vec![("unit ft²", "ft²"), ("unit in²", "in²"), ("unit m²", "m²")],
                Corner::Point,
            ),
            Kind::BoxVolume => (vec![("unit in³", "in³")], Corner::Point),
            Kind::Voltage => (vec![("unit V", "V")], Corner::Point),
            Kind::Current => (vec![("unit A", "A")], Corner::Point),
            Kind::Temperature => (vec![("unit °F", "°F"), ("unit °C", "°C")], Corner::Sign),
            Kind::Humidity | Kind::Share => (vec![("unit %", "%")], Corner::Point),
            Kind::Pitch => (vec![("unit :12", ": 12"), ("unit °", "°")], Corner::Point),
            Kind::HeatRate => (
                vec![("unit Btu/h", "Btu/h"), ("unit kW", "kW")],
                Corner::Point,
            ),
            Kind::Altitude => (vec![("unit ft", "ft"), ("unit m", "m")], Corner::Sign),
            Kind::Airflow => (
                vec![("unit cfm", "cfm"), ("unit m³/h", "m³/h")],
                Corner::None,
            ),
            Kind::Pressure => (vec![("unit Pa", "Pa")], Corner::Sign),
            Kind::Count { .. } => (
                vec![
                    ("", ""),
                    ("", ""),
                    ("", ""),
                    ("less", "− 1"),
                    ("more", "+ 1"),
                ],
                Corner::None,
            ),
            Kind::When => (
                vec![
                    ("type -", "–"),
                    ("type :", ":"),
                    ("type  ", "space"),
                    ("now", "now"),
                ],
                Corner::None,
            ),
            Kind::Choice(_) | Kind::YesNo | Kind::Text | Kind::Complete => return None,
        };
        let mut caps = caps.into_iter();
        let extra = std::array::from_fn(|_| {
            let (key, label) = caps.next().unwrap_or_default();
            Cap {
                key: key.to_owned(),
                label: label.to_owned(),
            }
        });
        Some(Layout { extra, corner })
    }
}

/// The tape's fraction of an inch.
fn denominator(tape: Tape) -> Option<&'static str> {
    match tape {
        Tape::Eighth => Some("8"),
        Tape::Sixteenth => Some("16"),
        Tape::ThirtySecond => Some("32"),
        Tape::Millimetre => None,
    }
}

impl Typed {
    /// Begins with this text.
    pub fn new(text: &str) -> Self {
        Typed(text.to_owned())
    }

    /// The text typed so far.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// Whether nothing is typed.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// A figure or another character, from the keypad or a keyboard.
    ///
    /// A figure after a mark begins the next part: inches after `'`, a fraction after `"`.
    pub fn press(&mut self, text: &str) {
        for c in text.chars().filter(|c| !c.is_control()) {
            if is_private(c) || self.0.chars().count() >= 40 {
                continue;
            }
            if c.is_ascii_digit() {
                if self.0.ends_with('"') && !self.0.contains('/') {
                    self.0.pop();
                    self.0.push(' ');
                } else if self.0.ends_with('\'') {
                    self.0.push(' ');
                }
            }
            self.0.push(c);
        }
    }

    /// One of the keys beside the figures.
    pub fn extra(&mut self, key: &str, kind: Kind, before: Option<&Value>, ways: &Ways) {
        match key {
            "feet" => self.feet(),
            "inches" => self.inches(),
            "fraction" => self.fraction(ways.tape),
            "less" => self.step(-1, kind, before, ways),
            "more" => self.step(1, kind, before, ways),
            "sign" => self.turn_sign(),
            _ => {
                if let Some(unit) = key.strip_prefix("unit ") {
                    self.unit(unit);
                } else if let Some(text) = key.strip_prefix("type ") {
                    self.press(text);
                }
            }
        }
    }

    fn feet(&mut self) {
        if self.ends_in_figure() && !self.0.contains(['\'', '"', '/']) {
            self.0.push('\'');
        }
    }

    fn inches(&mut self) {
        if self.ends_in_figure() && !self.0.contains('"') {
            self.0.push('"');
        }
    }

    /// Turns the last figures into so many parts of an inch.
    fn fraction(&mut self, tape: Tape) {
        let Some(denominator) = denominator(tape) else {
            return;
        };
        if !self.ends_in_figure() || self.0.contains('/') {
            return;
        }
        // After feet alone the inches are none: `3' 0 8/16"`.
        if let Some((feet, inches)) = self.0.split_once('\'') {
            let inches = inches.trim();
            if !inches.contains(' ') {
                self.0 = format!("{feet}' 0 {inches}");
            }
        }
        self.0.push('/');
        self.0.push_str(denominator);
        self.0.push('"');
    }

    fn unit(&mut self, unit: &str) {
        let figures: String = self
            .0
            .chars()
            .take_while(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '−'))
            .collect();
        if figures.chars().any(|c| c.is_ascii_digit()) {
            let gap = if unit.starts_with(':') { "" } else { " " };
            self.0 = format!("{figures}{gap}{unit}");
        }
    }

    fn turn_sign(&mut self) {
        match self.0.strip_prefix('-') {
            Some(rest) => self.0 = rest.to_owned(),
            None => self.0.insert(0, '-'),
        }
    }

    /// One division of the tape (or one) more or less than what is typed, or than the answer there was.
    fn step(&mut self, by: i64, kind: Kind, before: Option<&Value>, ways: &Ways) {
        let now = if self.0.is_empty() {
            before.cloned()
        } else {
            kind.parse(&self.0, ways).ok().flatten()
        };
        let stepped = match now {
            Some(Value::Length(reading)) => {
                let division = match reading.system() {
                    System::Metric => Length::mm(1),
                    System::Inch if ways.tape == Tape::Millimetre => Length::sixteenths(1),
                    System::Inch => ways.tape.division(),
                };
                let length = reading.length() + division * by;
                if kind == Kind::Length && length.is_negative() {
                    return;
                }
                Some(Reading::new(length, reading.system()).to_string())
            }
            Some(Value::Count(count)) => {
                let count = i64::from(count) + by;
                let text = count.max(0).to_string();
                kind.parse(&text, ways).is_ok().then_some(text)
            }
            None => match kind {
                // What was never counted has nothing that could be one less or, for a year, one more.
                Kind::Count { least, .. } if kind.counts_things() && by > 0 => {
                    Some(least.max(1).to_string())
                }
                _ => None,
            },
            Some(_) => None,
        };
        if let Some(text) = stepped {
            self.0 = text;
        }
    }

    /// Rubs out the last figure, or the last mark as a whole.
    pub fn erase(&mut self) {
        if self.0.ends_with('"')
            && let Some(slash) = self.0.rfind('/')
        {
            self.0.truncate(slash);
            return;
        }
        self.0.pop();
        while self.0.ends_with(' ') {
            self.0.pop();
        }
    }

    /// Whether only figures were typed, which any unit can follow.
    pub fn is_bare(&self) -> bool {
        !self.0.is_empty() && self.0.chars().all(|c| c.is_ascii_digit() || c == '.')
    }

    fn ends_in_figure(&self) -> bool {
        self.0.ends_with(|c: char| c.is_ascii_digit())
    }
}

/// Slint reports keys without a character (arrows, function keys) in Unicode's private area.
fn is_private(c: char) -> bool {
    ('\u{e000}'..='\u{f8ff}').contains(&c)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(keys: &[&str]) -> String {
        let mut typed = Typed::default();
        for key in keys {
            match *key {
                "feet" | "inches" | "fraction" | "less" | "more" | "sign" => {
                    typed.extra(key, Kind::Offset, None, &Ways::default());
                }
                "erase" => typed.erase(),
                figure => typed.press(figure),
            }
        }
        typed.0
    }

    fn read(text: &str) -> Length {
        match Kind::Offset.parse(text, &Ways::default()) {
            Ok(Some(Value::Length(reading))) => reading.length(),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn keys_type_what_the_parser_reads() {
        let half = Length::sixteenths(8);
        for (keys, length) in [
            (&["3", "6"][..], Length::inches(36)),
            (
                &["3", "6", "inches", "8", "fraction"],
                Length::inches(36) + half,
            ),
            (
                &["3", "feet", "0", "inches", "8", "fraction"],
                Length::inches(36) + half,
            ),
            (&["3", "feet", "8", "fraction"], Length::inches(36) + half),
            (&["3", "feet", "6"], Length::inches(42)),
            (&["8", "fraction"], half),
            (&["1", "1", "fraction"], Length::sixteenths(11)),
            (&["4", "sign"], Length::inches(-4)),
            (&["4", "sign", "sign"], Length::inches(4)),
            (&["3", "6", ".", "5"], Length::inches(36) + half),
            (
                &["3", "6", "more"],
                Length::inches(36) + Length::sixteenths(1),
            ),
            (
                &["1", "less", "less"],
                Length::inches(1) - Length::sixteenths(2),
            ),
        ] {
            let text = typed(keys);
            assert_eq!(read(&text), length, "{keys:?} typed {text}");
        }
    }

    #[test]
    fn a_keyboard_types_as_the_trade_writes() {
        let mut it = Typed::default();
        it.press("3' 0 1/2\"");
        assert_eq!(it.text(), "3' 0 1/2\"");
        it.press("\u{f700}");
        assert_eq!(it.text(), "3' 0 1/2\"", "an arrow key types nothing");
    }

    #[test]
    fn erasing_undoes_the_last_key() {
        assert_eq!(
            typed(&["3", "feet", "0", "inches", "8", "fraction", "erase"]),
            "3' 0 8"
        );
        assert_eq!(typed(&["3", "feet", "erase"]), "3");
        assert_eq!(typed(&["erase"]), "");
    }

    #[test]
    fn steps_start_from_the_answer_there_was() {
        let mut it = Typed::default();
        let before = Value::Length(Reading::inches(24));
        it.extra("less", Kind::Length, Some(&before), &Ways::default());
        assert_eq!(read(it.text()), Length::inches(24) - Length::sixteenths(1));
        let mut none = Typed::default();
        none.extra("less", Kind::Length, None, &Ways::default());
        assert!(none.is_empty());
    }

    #[test]
    fn a_stray_step_invents_no_year_and_no_zone() {
        for (least, most) in [(1600, 2200), (1, 16)] {
            let kind = Kind::Count { least, most };
            for key in ["less", "more"] {
                let mut none = Typed::default();
                none.extra(key, kind, None, &Ways::default());
                assert!(none.is_empty(), "{least} to {most}: {}", none.text());
            }
        }
        let things = Kind::Count { least: 1, most: 99 };
        let mut first = Typed::default();
        first.extra("less", things, None, &Ways::default());
        assert!(first.is_empty());
        first.extra("more", things, None, &Ways::default());
        assert_eq!(first.text(), "1");
    }

    #[test]
    fn bare_figures_can_be_kept_for_another_unit() {
        assert!(Typed::new("1130").is_bare());
        assert!(Typed::new("36.5").is_bare());
        assert!(!Typed::new("3' 6").is_bare());
        assert!(!Typed::new("36 1/2").is_bare());
        assert!(!Typed::default().is_bare());
    }

    #[test]
    fn every_unit_key_gives_an_answer_that_is_read() {
        for metric in [false, true] {
            let ways = Ways {
                tape: if metric {
                    Tape::Millimetre
                } else {
                    Tape::Sixteenth
                },
                ..Ways::default()
            };
            for kind in [
                Kind::Length,
                Kind::Offset,
                Kind::Area,
                Kind::BoxVolume,
                Kind::Voltage,
                Kind::Current,
                Kind::Temperature,
                Kind::Humidity,
                Kind::Share,
                Kind::Pitch,
                Kind::HeatRate,
                Kind::Altitude,
                Kind::Airflow,
                Kind::Pressure,
            ] {
                let layout = Layout::of(kind, &ways).expect("typed on the keypad");
                for cap in layout
                    .extra
                    .iter()
                    .filter(|cap| cap.key.starts_with("unit"))
                {
                    let mut it = Typed::default();
                    it.press("5");
                    it.extra(&cap.key, kind, None, &ways);
                    assert!(
                        matches!(kind.parse(it.text(), &ways), Ok(Some(_))),
                        "{kind:?} {}",
                        it.text()
                    );
                }
            }
        }
    }
}
