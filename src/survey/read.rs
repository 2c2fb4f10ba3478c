//! Reading a survey file, refusing what no device could have written.
//!
//! The types alone let some nonsense through (a hall of minus two feet, an id used twice); this is where it
//! is stopped, once for the store, the bundle and the office. Where something is refused, the sentence names
//! the file and the field.

use super::{FORMAT, FORMAT_VERSION, FieldRef, ItemId, Kind, Survey, TEXT_MOST, Value, fields};
use crate::measure::Length;
use serde::Deserialize;
use std::collections::HashSet;

/// Why a survey file was refused; names the file and, where one is to blame, the field.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}{}: {what}", if field.is_empty() { String::new() } else { format!(", {field}") })]
pub struct ReadError {
    /// The file, as the caller named it.
    pub file: String,
    /// The field, such as `spots[0].attic.roof_height`; empty where no single one is to blame.
    pub field: String,
    /// What is wrong with it.
    pub what: String,
}

/// The two answers that must be understood before anything else is looked at.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
}

/// Reads a survey file; `file` names it in errors.
///
/// # Errors
/// Text that is not UTF-8 or not JSON, another format, a newer version of it, an unknown or missing field,
/// an answer that its field cannot have, an id used twice.
///
/// # Examples
/// ```
/// use joistlight::measure::Tape;
/// use joistlight::survey::{Survey, When, read};
/// let survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
/// let json = serde_json::to_vec(&survey).unwrap();
/// assert_eq!(read("survey.json", &json).unwrap(), survey);
///
/// let newer = String::from_utf8(json).unwrap().replace("\"version\":1", "\"version\":2");
/// let refused = read("survey.json", newer.as_bytes()).unwrap_err();
/// assert!(refused.to_string().starts_with("survey.json, version: "));
/// ```
pub fn read(file: &str, bytes: &[u8]) -> Result<Survey, ReadError> {
    let refuse = |field: &str, what: String| ReadError {
        file: file.to_owned(),
        field: field.to_owned(),
        what,
    };
    let text = std::str::from_utf8(bytes).map_err(|error| {
        refuse(
            "",
            format!(
                "this is no text in UTF-8 (byte {} does not fit).",
                error.valid_up_to() + 1
            ),
        )
    })?;
    // Surveys carry their format first of all: a file of another kind or of a newer program is told from a
    // damaged one.
    match serde_json::from_str::<Head>(text) {
        Err(error) if error.is_syntax() || error.is_eof() => {
            return Err(refuse("", format!("this is no JSON: {error}.")));
        }
        Err(error) => return Err(refuse("", format!("this is no survey: {error}."))),
        Ok(head) if head.format != FORMAT => {
            return Err(refuse(
                "format",
                format!("“{}” is not “{FORMAT}”.", shortened(&head.format)),
            ));
        }
        Ok(head) if head.version > FORMAT_VERSION => {
            return Err(refuse(
                "version",
                format!(
                    "this is version {} of the format, and this program reads up to version \
                     {FORMAT_VERSION}; it takes a newer joistlight.",
                    head.version
                ),
            ));
        }
        Ok(head) if head.version == 0 => {
            return Err(refuse("version", "there is no version 0.".into()));
        }
        Ok(_) => {}
    }
    let deserializer = &mut serde_json::Deserializer::from_str(text);
    let survey: Survey = serde_path_to_error::deserialize(deserializer).map_err(|error| {
        let path = error.path().to_string();
        let field = if path == "." { "" } else { &path };
        refuse(field, format!("{}.", error.inner()))
    })?;
    check(&survey).map_err(|(field, what)| refuse(&field, what))?;
    Ok(survey)
}

/// What the types cannot say: bounds of answers, and ids.
fn check(survey: &Survey) -> Result<(), (String, String)> {
    let mut ids = HashSet::new();
    let lists = fields::LISTS.iter().flat_map(|entry| {
        let owners: Vec<Option<ItemId>> = if entry.of_spot {
            survey.spots.iter().map(|spot| Some(spot.id)).collect()
        } else {
            vec![None]
        };
        owners
            .into_iter()
            .filter_map(|owner| survey.list(entry.id, owner))
            .flat_map(move |list| list.ids().into_iter().map(|id| (entry.id, id)))
    });
    let named = survey
        .spots
        .iter()
        .map(|spot| ("spots", spot.id))
        .chain(survey.photos.iter().map(|photo| ("photos", photo.id)))
        .chain(lists);
    for (list, id) in named {
        if id.0 >= survey.next_id {
            return Err((
                list.to_owned(),
                format!(
                    "id {} is not below next_id, which is {}.",
                    id.0, survey.next_id
                ),
            ));
        }
        if !ids.insert(id) {
            return Err((list.to_owned(), format!("id {} is used twice.", id.0)));
        }
    }
    for place in survey.places() {
        let Some(value) = survey.answer(place) else {
            continue;
        };
        if let Err(what) = within(place, &value) {
            return Err((place_name(place), what));
        }
    }
    for (index, photo) in survey.photos.iter().enumerate() {
        let wrong =
            |field: &str, what: &str| Err((format!("photos[{index}].{field}"), what.to_owned()));
        let hex = |c: u8| c.is_ascii_digit() || (b'a'..=b'f').contains(&c);
        if photo.sha256.len() != 64 || !photo.sha256.bytes().all(hex) {
            return wrong("sha256", "a SHA-256 has 64 digits 0-9 and a-f.");
        }
        if photo.width == 0 || photo.height == 0 {
            return wrong("width", "a picture has at least one pixel.");
        }
        if photo.remark.as_ref().is_some_and(|text| too_long(text)) {
            return wrong("remark", "the text is too long.");
        }
    }
    Ok(())
}

fn too_long(text: &str) -> bool {
    text.chars().count() > TEXT_MOST
}

/// Whether the field takes this answer, had it been typed.
fn within(place: FieldRef, value: &Value) -> Result<(), String> {
    let Some(kind) = fields::kind_of(place.field) else {
        return Ok(());
    };
    match (kind, value) {
        (Kind::Length, Value::Length(reading)) if reading.length().is_negative() => {
            Err(format!("{reading} is less than nothing."))
        }
        (Kind::Length | Kind::Offset, Value::Length(reading))
            if reading.length().abs() > Length::LONGEST_TYPED =>
        {
            Err(format!(
                "{reading} is more than the {} that a survey holds.",
                Length::LONGEST_TYPED
            ))
        }
        (Kind::Count { least, most }, Value::Count(count)) if !(least..=most).contains(count) => {
            Err(format!("{count} is not from {least} to {most}."))
        }
        (Kind::Text, Value::Text(text)) if too_long(text) => Err(format!(
            "the text is longer than the {TEXT_MOST} characters that fit."
        )),
        _ => Ok(()),
    }
}

/// The field with its spot and item, as `attic.roof_height of spot 1`.
fn place_name(place: FieldRef) -> String {
    let mut name = place.field.to_owned();
    if let Some(item) = place.item {
        name += &format!(" of item {}", item.0);
    }
    if let Some(spot) = place.spot {
        name += &format!(" of spot {}", spot.0);
    }
    name
}

/// At most 60 characters of somebody else's text, for a sentence.
fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(60).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Reading, Tape};
    use serde_json::{Value as Json, json};

    fn sample() -> Survey {
        let mut survey = Survey::begin(
            uuid::Uuid::nil(),
            "2026-05-03T18:20:00-07:00".parse().unwrap(),
            Tape::default(),
        );
        let spot = survey.spots[0].id;
        for list in fields::LISTS {
            let id = survey.fresh_id();
            survey
                .list_mut(list.id, list.of_spot.then_some(spot))
                .unwrap()
                .add(id);
        }
        survey.spots[0].attic.roof_height = Some(Reading::inches(60));
        survey.arrival.year_built = Some(1962);
        survey
    }

    fn refusal(change: impl FnOnce(&mut Json)) -> String {
        let mut json = serde_json::to_value(sample()).unwrap();
        change(&mut json);
        read("a.json", &serde_json::to_vec(&json).unwrap())
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn what_was_written_is_read() {
        let survey = sample();
        let json = serde_json::to_vec_pretty(&survey).unwrap();
        assert_eq!(read("a.json", &json), Ok(survey));
    }

    #[test]
    fn what_no_device_writes_is_refused_with_file_and_field() {
        let begins: Vec<(&str, String)> = vec![
            ("a.json, format: ", refusal(|j| j["format"] = json!("x"))),
            ("a.json, version: ", refusal(|j| j["version"] = json!(2))),
            ("a.json, version: ", refusal(|j| j["version"] = json!(0))),
            (
                "a.json: this is no survey",
                refusal(|j| j["version"] = json!("1")),
            ),
            (
                "a.json, spots[0].attic.roof_height: ",
                refusal(|j| j["spots"][0]["attic"]["roof_height"] = json!("tall")),
            ),
            (
                "a.json, spots[0].attic.rof_height: unknown field",
                refusal(|j| j["spots"][0]["attic"]["rof_height"] = json!("60 in")),
            ),
            (
                "a.json, attic.roof_height of spot 1: -2 in",
                refusal(|j| j["spots"][0]["attic"]["roof_height"] = json!("-2 in")),
            ),
            (
                "a.json, arrival.year_built: 3 ",
                refusal(|j| j["arrival"]["year_built"] = json!(3)),
            ),
            (
                "a.json, arrival.client: ",
                refusal(|j| j["arrival"]["client"] = json!("x".repeat(TEXT_MOST + 1))),
            ),
            (
                "a.json, vents.vents: id 1 is used twice",
                refusal(|j| j["vents"]["vents"]["items"][0]["id"] = json!(1)),
            ),
            ("a.json, spots: id 1 ", refusal(|j| j["next_id"] = json!(1))),
            (
                "a.json, spots[0].id: ",
                refusal(|j| j["spots"][0]["id"] = json!(-1)),
            ),
            (
                "a.json, photos[0].sha256: ",
                refusal(|j| {
                    j["next_id"] = json!(90);
                    j["photos"] = json!([{"id": 80, "subject": "house", "sha256": "../../x",
                        "width": 4, "height": 3}]);
                }),
            ),
        ];
        for (begin, sentence) in begins {
            assert!(
                sentence.starts_with(begin),
                "{sentence} should begin with {begin}"
            );
        }
        for bytes in [&b"{"[..], b"", b"\xff\xfe", b"[]", b"{\"format\": 3}"] {
            assert!(read("a.json", bytes).is_err(), "{bytes:?}");
        }
        let deep = "[".repeat(100_000);
        assert!(read("a.json", deep.as_bytes()).is_err());
        let twice = serde_json::to_string(&sample())
            .unwrap()
            .replacen('{', "{\"revision\":7,", 1);
        assert!(read("a.json", twice.as_bytes()).is_err());
    }
}
