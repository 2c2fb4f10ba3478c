//! A sentence with places for values, kept apart from its words until a reader's language and units are known.

use crate::measure::Length;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Serialize, Serializer};
use std::borrow::Cow;

/// One value inside a sentence, shown with the reader's units and language.
#[derive(Debug, Clone, PartialEq)]
pub enum Arg {
    /// A length, shown to the tape's division.
    Length(Length),
    /// A number with its unit, shown with so many decimals.
    Number {
        /// The number.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// Decimals shown.
        decimals: u8,
    },
    /// A count.
    Count(i64),
    /// Words of the program's own, which are translated.
    Word(&'static str),
    /// Words of somebody else's, which are not.
    Text(String),
    /// A sentence within the sentence.
    Say(Box<Say>),
    /// A value that is less than the other: shown so, even where both round to the same.
    Below(Box<(Arg, Arg)>),
}

impl From<Length> for Arg {
    fn from(length: Length) -> Self {
        Arg::Length(length)
    }
}
impl From<&'static str> for Arg {
    fn from(word: &'static str) -> Self {
        Arg::Word(word)
    }
}
impl From<String> for Arg {
    fn from(text: String) -> Self {
        Arg::Text(text)
    }
}
impl From<usize> for Arg {
    fn from(count: usize) -> Self {
        Arg::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}
impl From<u32> for Arg {
    fn from(count: u32) -> Self {
        Arg::Count(i64::from(count))
    }
}
impl From<Say> for Arg {
    fn from(say: Say) -> Self {
        Arg::Say(Box::new(say))
    }
}

/// A number with its unit, for a sentence.
pub fn number(value: f64, unit: &'static str, decimals: u8) -> Arg {
    Arg::Number {
        value,
        unit,
        decimals,
    }
}

/// A sentence with places for values: the English text is also the key for translations.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::say::Say;
/// let say = Say::new("{what} reaches {by} into the clear space.")
///     .with("what", "Duct")
///     .with("by", Length::inches(4));
/// assert_eq!(say.english(), "Duct reaches 4\" into the clear space.");
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Say {
    /// The English text, with `{names}` where values go.
    pub text: &'static str,
    /// The values by name.
    pub args: Vec<(&'static str, Arg)>,
}

impl Say {
    /// A sentence.
    pub const fn new(text: &'static str) -> Self {
        Say {
            text,
            args: Vec::new(),
        }
    }

    /// The sentence with one more value.
    #[must_use]
    pub fn with(mut self, name: &'static str, arg: impl Into<Arg>) -> Self {
        self.args.push((name, arg.into()));
        self
    }

    /// The sentence in the reader's words: `translate` gives the text for an English key, `length` shows a length.
    pub fn render(
        &self,
        translate: &dyn Fn(&'static str) -> Cow<'static, str>,
        length: &dyn Fn(Length) -> String,
    ) -> String {
        let text = translate(self.text);
        let mut out = String::with_capacity(text.len() + 32);
        let mut rest: &str = &text;
        while let Some(open) = rest.find('{') {
            out.push_str(&rest[..open]);
            let Some(close) = rest[open..].find('}') else {
                break;
            };
            let name = &rest[open + 1..open + close];
            match self.args.iter().find(|(n, _)| *n == name) {
                Some((_, arg)) => out.push_str(&arg.render(translate, length)),
                None => out.push_str(&rest[open..=open + close]),
            }
            rest = &rest[open + close + 1..];
        }
        out.push_str(rest);
        out
    }

    /// The sentence in English with inches to 1/16.
    pub fn english(&self) -> String {
        self.render(&|text| Cow::Borrowed(text), &|length| {
            length.show(crate::measure::Tape::Sixteenth).text
        })
    }
}

impl Arg {
    /// The value in the reader's words.
    pub fn render(
        &self,
        translate: &dyn Fn(&'static str) -> Cow<'static, str>,
        length: &dyn Fn(Length) -> String,
    ) -> String {
        match self {
            Arg::Length(it) => length(*it),
            Arg::Number {
                value,
                unit,
                decimals,
            } => {
                let digits = grouped(*value, usize::from(*decimals));
                if unit.is_empty() {
                    digits
                } else if *unit == "%" || unit.starts_with('°') {
                    format!("{digits}\u{202f}{unit}")
                } else {
                    format!("{digits} {unit}")
                }
            }
            Arg::Count(count) => count.to_string(),
            Arg::Word(word) => translate(word).into_owned(),
            Arg::Text(text) => text.clone(),
            Arg::Say(say) => say.render(translate, length),
            Arg::Below(both) => {
                let told = both.0.render(translate, length);
                let other = both.1.render(translate, length);
                if told == other {
                    both.0.lowered(translate, length, &other)
                } else {
                    told
                }
            }
        }
    }

    /// The value one step of its display lower, so that it no longer reads like `other`.
    fn lowered(
        &self,
        translate: &dyn Fn(&'static str) -> Cow<'static, str>,
        length: &dyn Fn(Length) -> String,
        other: &str,
    ) -> String {
        match self {
            Arg::Length(it) => {
                // No tape that is read is coarser than 1/8 in.
                let steps = (1..=32).map(|step| length(*it - Length::thousandths_in(4) * step));
                steps
                    .into_iter()
                    .find(|text| text != other)
                    .unwrap_or_else(|| other.to_owned())
            }
            Arg::Number {
                value,
                unit,
                decimals,
            } => number(value - 10_f64.powi(-i32::from(*decimals)), unit, *decimals)
                .render(translate, length),
            _ => other.to_owned(),
        }
    }

    /// This value where it stands beside a larger one that may round to the same: [`Arg::Below`] if they are so near.
    #[must_use]
    pub fn below(self, other: &Arg) -> Arg {
        let near = match (&self, other) {
            (Arg::Length(less), Arg::Length(more)) => {
                less < more && *more - *less < Length::thousandths_in(128)
            }
            (
                Arg::Number {
                    value: less,
                    unit,
                    decimals,
                },
                Arg::Number {
                    value: more,
                    unit: other_unit,
                    decimals: other_decimals,
                },
            ) => {
                (unit, decimals) == (other_unit, other_decimals)
                    && less < more
                    && more - less < 10_f64.powi(-i32::from(*decimals))
            }
            _ => false,
        };
        if near {
            Arg::Below(Box::new((self, other.clone())))
        } else {
            self
        }
    }
}

/// A number with so many decimals and a thin space between thousands from 10 000 on; no minus before zero.
fn grouped(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        _ => text,
    };
    let (sign, body) = match text.strip_prefix('-') {
        Some(body) => ("−", body),
        None => ("", text.as_str()),
    };
    let (whole, fraction) = match body.split_once('.') {
        Some((whole, fraction)) => (whole, format!(".{fraction}")),
        None => (body, String::new()),
    };
    let mut out = String::from(sign);
    for (index, digit) in whole.chars().enumerate() {
        if whole.len() >= 4 && index > 0 && (whole.len() - index) % 3 == 0 {
            out.push(',');
        }
        out.push(digit);
    }
    out + &fraction
}

impl Serialize for Say {
    /// As the English sentence, its key and its values.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&self.english())
    }
}

impl Serialize for Arg {
    /// A length or number as value and unit, anything else as its English words.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        #[derive(Serialize)]
        struct WithUnit<'a> {
            value: f64,
            unit: &'a str,
        }
        match self {
            Arg::Length(it) => WithUnit {
                value: it.to_in(),
                unit: "in",
            }
            .serialize(serializer),
            Arg::Number { value, unit, .. } => WithUnit {
                value: *value,
                unit,
            }
            .serialize(serializer),
            Arg::Count(count) => count.serialize(serializer),
            Arg::Below(both) => both.0.serialize(serializer),
            other => serializer.collect_str(&other.render(&|text| Cow::Borrowed(text), &|l| {
                l.show(crate::measure::Tape::Sixteenth).text
            })),
        }
    }
}

impl JsonSchema for Say {
    fn schema_name() -> Cow<'static, str> {
        "Sentence".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string",
            "description": "An English sentence; lengths in it are shown to 1/16 in."
        })
    }
}

impl JsonSchema for Arg {
    fn schema_name() -> Cow<'static, str> {
        "Amount".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A number with its unit, a count, or words.",
            "oneOf": [
                {
                    "type": "object",
                    "description": "A number with its unit (empty for a ratio); lengths are in inches.",
                    "properties": { "value": { "type": "number" }, "unit": { "type": "string" } },
                    "required": ["value", "unit"],
                    "additionalProperties": false
                },
                { "type": "integer", "description": "A count." },
                { "type": "string", "description": "English words." }
            ]
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use proptest::prelude::*;

    fn shown(arg: &Arg, tape: Tape) -> String {
        arg.render(&|text| Cow::Borrowed(text), &|length| {
            length.show(tape).text
        })
    }

    #[test]
    fn a_hair_less_never_reads_as_enough() {
        let (need, there) = (
            Arg::Length(Length::inches(36)),
            Length::inches(36) - Length::of_25_nm(1),
        );
        let there = Arg::Length(there).below(&need);
        assert_eq!(shown(&there, Tape::Sixteenth), "35 15/16\"");
        assert_eq!(shown(&there, Tape::Millimetre), "913 mm");
        assert_eq!(serde_json::to_value(&there).unwrap()["unit"], "in");
        let room = number(15.999, "in³", 2).below(&number(16.0, "in³", 2));
        assert_eq!(shown(&room, Tape::Sixteenth), "15.99 in³");
    }

    proptest! {
        #[test]
        fn what_is_less_reads_as_less(more in 1_i64..40_000_000, by in 1_i64..2_000_000, cents in 1_u32..90_000, under in 1e-9_f64..2.0) {
            let (need, there) = (Length::of_25_nm(more), Length::of_25_nm(more - by));
            let told = Arg::Length(there).below(&Arg::Length(need));
            for tape in [Tape::Eighth, Tape::Sixteenth, Tape::Millimetre] {
                prop_assert_ne!(shown(&told, tape), shown(&Arg::Length(need), tape));
            }
            let need = f64::from(cents) / 7.0;
            for decimals in 0..3 {
                let enough = number(need, "A", decimals);
                let told = number(need - under, "A", decimals).below(&enough);
                prop_assert_ne!(shown(&told, Tape::Sixteenth), shown(&enough, Tape::Sixteenth));
            }
        }
    }
}
