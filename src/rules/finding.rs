//! What a rule answers.

use super::answers::Answers;
use crate::measure::{Figure, Length};
use crate::survey::Mover;
use crate::trade::source::Source;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize, Serializer};
use std::borrow::Cow;

/// A rule's answer for one house, spot or choice of fan and framing.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
pub enum Outcome {
    /// What is needed is there.
    #[serde(rename = "holds")]
    Holds,
    /// It is not there, but the remedies would bring it.
    #[serde(rename = "fails but can be mended")]
    Mend,
    /// An answer that decides it is missing.
    #[serde(rename = "not measured yet")]
    NotMeasured,
    /// It is not there and cannot be brought.
    #[serde(rename = "fails")]
    Fails,
}

impl Outcome {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Outcome::Holds => "holds",
            Outcome::Mend => "fails but can be mended",
            Outcome::NotMeasured => "not measured yet",
            Outcome::Fails => "fails",
        }
    }
}

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
/// use joistlight::rules::Say;
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

/// Who would mend something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, JsonSchema)]
pub enum Who {
    /// Anybody on the crew.
    #[serde(rename = "anybody")]
    Anybody,
    /// A carpenter who frames.
    #[serde(rename = "carpenter")]
    Carpenter,
    /// A registered design professional: an engineer or architect licensed where the house stands.
    #[serde(rename = "engineer")]
    Engineer,
    /// An electrician.
    #[serde(rename = "electrician")]
    Electrician,
    /// A plumber.
    #[serde(rename = "plumber")]
    Plumber,
    /// A duct fitter.
    #[serde(rename = "duct fitter")]
    DuctFitter,
    /// Nobody.
    #[serde(rename = "nobody")]
    Nobody,
}

impl Who {
    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Who::Anybody => Mover::Anybody.label(),
            Who::Carpenter => "Carpenter",
            Who::Engineer => "Engineer",
            Who::Electrician => Mover::Electrician.label(),
            Who::Plumber => Mover::Plumber.label(),
            Who::DuctFitter => Mover::DuctFitter.label(),
            Who::Nobody => Mover::Nobody.label(),
        }
    }
}

impl From<Mover> for Who {
    fn from(mover: Mover) -> Self {
        match mover {
            Mover::Anybody => Who::Anybody,
            Mover::Electrician => Who::Electrician,
            Mover::Plumber => Who::Plumber,
            Mover::DuctFitter => Who::DuctFitter,
            Mover::Nobody => Who::Nobody,
        }
    }
}

/// What would mend a failing finding, and who does it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Remedy {
    /// Who would do it.
    pub who: Who,
    /// What to do.
    pub what: Say,
}

/// One rule's answer: what is needed, what was measured, by how much it holds or fails, what would mend it,
/// and where the rule comes from.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// The rule's name, such as `clear-space`.
    pub rule: &'static str,
    /// What the rule asks, in English; a key for translations.
    pub title: &'static str,
    /// The answer.
    pub outcome: Outcome,
    /// The answer in a sentence.
    pub say: Say,
    /// What is needed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<Arg>,
    /// What was measured or computed from measurements.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub measured: Option<Arg>,
    /// By how much it holds (positive) or fails (negative).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<Arg>,
    /// Whether the margin is within the tape's tolerance, so that it should be measured again.
    pub measure_again: bool,
    /// What would mend it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Remedy>,
    /// What to mind, whatever the outcome; the first is what a screen shows before anything is opened.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Say>,
    /// Where the rule and its figures come from.
    pub sources: &'static [Source],
    /// Every figure computed on the way, with its unit.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub figures: Vec<Figure>,
    /// The answers it was judged from.
    pub hangs_on: Answers,
    /// The answers that are missing and could still change it.
    #[serde(skip_serializing_if = "Answers::is_empty")]
    pub missing: Answers,
}
