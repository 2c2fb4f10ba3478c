//! Answers and sentences in the reader's words.

use crate::measure::Length;
use crate::rules::{Arg, Say};
use crate::survey::{Kind, Value, Ways};
use crate::words::Language;
use std::borrow::Cow;

/// An area below this is shown in square inches.
const SMALL_FT2: f64 = 10.0;

/// Who reads: the units of the tape, and the language.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Reader {
    /// How answers are read and shown.
    pub ways: Ways,
    /// The language of the program's own words.
    pub language: Language,
}

impl Reader {
    /// The reader's wording of an English text of the program.
    pub fn tr(&self, english: &'static str) -> String {
        self.language.say(english).to_owned()
    }

    /// An answer as it is shown in its row.
    pub fn shown(&self, kind: Kind, value: &Value) -> String {
        match (kind, value) {
            (Kind::Choice(words), Value::Choice(code)) => words
                .iter()
                .find(|word| word.code == *code)
                .map_or_else(|| (*code).to_owned(), |word| self.tr(word.label)),
            (_, Value::When(when)) => when_shown(&when.to_string()),
            (_, Value::YesNo(true)) => self.tr("Yes"),
            (_, Value::YesNo(false)) => self.tr("No"),
            // Vents and grilles are sized in square inches, rooms in square feet.
            (_, Value::Area(area)) if !self.ways.metric() && area.ft2() < SMALL_FT2 => {
                let in2 = format!("{:.2}", area.in2());
                format!("{} in²", in2.trim_end_matches('0').trim_end_matches('.'))
            }
            _ => value.show(&self.ways),
        }
    }

    /// A sentence in the reader's words and units.
    pub fn said(&self, say: &Say) -> String {
        say.render(&|text| Cow::Borrowed(self.language.say(text)), &|length| {
            self.length(length)
        })
    }

    /// A value of the rules in the reader's words and units.
    pub fn argument(&self, arg: &Arg) -> String {
        arg.render(&|text| Cow::Borrowed(self.language.say(text)), &|length| {
            self.length(length)
        })
    }

    /// A computed length on the divisions of the reader's tape.
    pub fn length(&self, length: Length) -> String {
        length.show_as(self.ways.tape, self.ways.style).text
    }

    /// “3 answers still matter here”, with its plural; empty for none.
    pub fn still(&self, count: usize) -> String {
        match count {
            0 => String::new(),
            1 => self.tr("1 answer still matters here"),
            _ => self.said(&Say::new("{count} answers still matter here").with("count", count)),
        }
    }
}

/// `2026-05-03T18:20:00-07:00` as `2026-05-03 18:20 -07:00`: the seconds matter to nobody.
pub fn when_shown(text: &str) -> String {
    match (text.get(..10), text.get(11..16), text.get(19..)) {
        (Some(day), Some(time), Some(offset)) => format!("{day} {time} {offset}"),
        _ => text.to_owned(),
    }
}

/// What was typed for a date and time, made whole: a missing day is today's, a missing offset this device's.
///
/// `now` is RFC 3339.
pub fn when_typed(typed: &str, now: &str) -> String {
    let (today, offset) = (now.get(..10).unwrap_or(""), now.get(19..).unwrap_or(""));
    let mut words = typed.split(|c: char| c.is_whitespace() || c == 'T');
    let words: Vec<&str> = words.by_ref().filter(|w| !w.is_empty()).collect();
    let (day, time, own_offset) = match words[..] {
        [time] if time.contains(':') => (today, time, None),
        [day, time] => (day, time, None),
        [day, time, offset] => (day, time, Some(offset)),
        _ => return typed.to_owned(),
    };
    // An offset may be written onto the time: 18:20-07:00.
    let cut = time.find(['+', '-', 'Z', '−']).unwrap_or(time.len());
    let (time, written) = time.split_at(cut);
    let offset = own_offset.unwrap_or(if written.is_empty() { offset } else { written });
    let seconds = if time.matches(':').count() == 1 {
        ":00"
    } else {
        ""
    };
    format!("{day}T{time}{seconds}{offset}")
}

/// The text with its first letter large.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::When;

    #[test]
    fn a_typed_moment_is_made_whole_and_reads_back_as_shown() {
        let now = "2026-05-03T18:20:45-07:00";
        for (typed, whole) in [
            ("9:05", "2026-05-03T9:05:00-07:00"),
            ("2026-05-02 09:05", "2026-05-02T09:05:00-07:00"),
            ("2026-05-02 09:05 +01:00", "2026-05-02T09:05:00+01:00"),
            ("2026-05-02T09:05:30Z", "2026-05-02T09:05:30Z"),
            ("2026-05-02 09:05-06:00", "2026-05-02T09:05:00-06:00"),
        ] {
            assert_eq!(when_typed(typed, now), whole, "{typed}");
        }
        let when: When = "2026-05-02T09:05:00-07:00".parse().unwrap();
        let text = Reader::default().shown(Kind::When, &Value::When(when));
        assert_eq!(text, "2026-05-02 09:05 -07:00");
        assert_eq!(when_typed(&text, now).parse(), Ok(when));
    }
}
