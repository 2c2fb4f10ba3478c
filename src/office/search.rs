//! Words as the register searches them: lower case, without accents, cut at everything that is neither letter
//! nor digit. What is stored and what is asked for go through the same function, so that both databases find
//! the same.

use crate::survey::{Survey, Value};
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// The most different words that are kept of one survey.
const WORDS_MOST: usize = 2000;
/// The most characters of a word that are kept.
const LETTERS_MOST: usize = 40;

/// The plain letters of a lower-case letter that Unicode takes for one of its own, without a mark on another.
fn plain_letters(letter: char) -> Option<&'static str> {
    Some(match letter {
        'ß' => "ss",
        'æ' => "ae",
        'œ' => "oe",
        'þ' => "th",
        'ŋ' => "ng",
        'ø' => "o",
        'đ' | 'ð' => "d",
        'ł' => "l",
        'ħ' => "h",
        'ŧ' => "t",
        'ı' => "i",
        'ƒ' => "f",
        _ => return None,
    })
}

/// The words of a text, in its order.
///
/// # Examples
/// ```
/// use joistlight::office::search::words_in;
/// assert_eq!(words_in("Émile's 2×4, 18 Fern Row"), ["emile", "s", "2", "4", "18", "fern", "row"]);
/// assert_eq!(words_in("Łódź Søndergårdsstraße"), ["lodz", "sondergardsstrasse"]);
/// ```
pub fn words_in(text: &str) -> Vec<String> {
    let mut plain = String::new();
    let letters = text.nfkd().filter(|c| !is_combining_mark(*c));
    for letter in letters.flat_map(char::to_lowercase) {
        match plain_letters(letter) {
            Some(letters) => plain += letters,
            None => plain.push(letter),
        }
    }
    plain
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| word.chars().take(LETTERS_MOST).collect())
        .collect()
}

/// A text as lists are sorted by it.
pub(super) fn sort_key(text: &str) -> String {
    words_in(text).join(" ")
}

/// Every different word that people wrote into a survey, and its id.
pub(super) fn words_of(survey: &Survey) -> Vec<String> {
    let mut words = words_in(&survey.id.to_string());
    for place in survey.places() {
        if let Some(Value::Text(text)) = survey.answer(place) {
            words.extend(words_in(&text));
        }
    }
    for remark in survey
        .photos
        .iter()
        .filter_map(|photo| photo.remark.as_ref())
    {
        words.extend(words_in(remark));
    }
    words.sort_unstable();
    words.dedup();
    words.truncate(WORDS_MOST);
    words
}
