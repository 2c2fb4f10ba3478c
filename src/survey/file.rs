//! The survey file: JSON in, a survey out, or a sentence that names the file and the field; and the schema.

use super::answer::{AnswerError, Kind, TEXT_MOST, Value};
use super::record::Slotted;
use super::{Door, FORMAT, FORMAT_VERSION, FieldRef, ItemId, Stroke, Survey, fields};
use crate::measure::Length;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize};
use serde_json::Value as Json;
use std::borrow::Cow;
use std::collections::BTreeSet;
use uuid::Uuid;

/// The name of the JSON Schema of survey files, for `$id` and `$ref`.
pub const SCHEMA_ID: &str = "urn:joistlight:survey:1";

/// Why a survey file was refused. Every sentence names the file, and the field where there is one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FileError {
    /// Bytes that are no UTF-8.
    #[error(
        "{file}: the text is not UTF-8 (at byte {at}); the file is damaged, or of another kind."
    )]
    NotUtf8 {
        /// The file.
        file: String,
        /// Where, in bytes from the start.
        at: usize,
    },
    /// Text that is no JSON, such as half a file.
    #[error("{file}: the text is not JSON (line {line}, column {column}: {what}).")]
    NotJson {
        /// The file.
        file: String,
        /// The line, counted from one.
        line: usize,
        /// The column, counted from one.
        column: usize,
        /// What the JSON reader says.
        what: String,
    },
    /// JSON that does not say that it is a survey.
    #[error(
        "{file}: this is not a joistlight survey; its “format” should say “joistlight survey”."
    )]
    NotASurvey {
        /// The file.
        file: String,
    },
    /// A survey, or findings, of a later format.
    #[error(
        "{file}: this file has format version {version}; this program knows versions up to {known}. \
         A newer joistlight opens it; the file is left as it is."
    )]
    Newer {
        /// The file.
        file: String,
        /// The version found.
        version: u64,
        /// The newest version known here.
        known: u32,
    },
    /// A field that does not hold what it should.
    #[error("{file}, {field}: {what}.")]
    Field {
        /// The file.
        file: String,
        /// The field, such as `spots[0].attic.roof_height`.
        field: String,
        /// What is wrong with it.
        what: String,
    },
}

/// Reads a survey file; `file` names it in errors.
///
/// Beside the types it is checked that every text is written as the schema has it, that ids are unique and below the next one, that digests are digests,
/// and that every answer is one that its field takes. An answer about a thing that is no longer there is
/// no error.
///
/// # Errors
/// The first thing wrong. A file of a later format is told from a damaged one before its fields are looked at.
///
/// # Examples
/// ```
/// use joistlight::measure::Tape;
/// use joistlight::survey::{self, Survey, When};
/// let survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
/// assert_eq!(survey::read("survey.json", &survey.to_json()), Ok(survey));
/// let error = survey::read("survey.json", b"{").unwrap_err();
/// assert!(error.to_string().starts_with("survey.json: the text is not JSON"));
/// ```
pub fn read(file: &str, bytes: &[u8]) -> Result<Survey, FileError> {
    #[derive(Deserialize)]
    struct Head {
        format: Option<Json>,
        version: Option<Json>,
    }
    let text = text(file, bytes)?;
    let field = |field: &str, what: String| FileError::Field {
        file: file.to_owned(),
        field: field.to_owned(),
        what,
    };
    let not_a_survey = || FileError::NotASurvey {
        file: file.to_owned(),
    };
    let head: Head = serde_json::from_str(text).map_err(|error| match error.classify() {
        serde_json::error::Category::Data => not_a_survey(),
        _ => not_json(file, &error),
    })?;
    if head.format.as_ref().and_then(|format| format.as_str()) != Some(FORMAT) {
        return Err(not_a_survey());
    }
    let mut text = Cow::Borrowed(text);
    match head.version.as_ref().and_then(Json::as_u64) {
        Some(version) if version > u64::from(FORMAT_VERSION) => {
            return Err(FileError::Newer {
                file: file.to_owned(),
                version,
                known: FORMAT_VERSION,
            });
        }
        Some(1) => {
            let mut older: Json =
                serde_json::from_str(&text).map_err(|error| not_json(file, &error))?;
            from_version_1(&mut older);
            text = Cow::Owned(older.to_string());
        }
        Some(2..) => {}
        _ => return Err(field("version", "a whole number from 1 is expected".into())),
    }
    let survey: Survey = read_fields(file, &text)?;
    check(&survey).map_err(|(at, what)| field(&at, what))?;
    let given: Json = serde_json::from_str(&text).map_err(|error| not_json(file, &error))?;
    let ours = serde_json::to_value(&survey).expect("plain data is JSON");
    match loosely_written(&given, &ours) {
        Some((at, what)) => Err(field(&at, what)),
        None => Ok(survey),
    }
}

/// Brings a file of version 1 up to version 2. There a room said in one word whether its door stood open *or* had a gap or
/// grille: a "yes" is kept as just that, and judged by the gap until somebody says which.
fn from_version_1(survey: &mut Json) {
    survey["version"] = 2.into();
    let spots = survey["spots"].as_array_mut();
    for spot in spots.into_iter().flatten() {
        let rooms = spot
            .pointer_mut("/hall/rooms/items")
            .and_then(Json::as_array_mut);
        for room in rooms.into_iter().flatten() {
            let Some(room) = room.as_object_mut() else {
                continue;
            };
            let door = match room.get("open").and_then(Json::as_bool) {
                Some(true) => Door::Unsure,
                Some(false) => Door::Shut,
                None => continue,
            };
            room.remove("open");
            room.insert("door".to_owned(), door.code().into());
        }
    }
}

/// The first text that is written in a way that the schema does not know, such as `3 ft` for `36 in`, and how it
/// should be. Typing may be loose, but whoever reads our files by the schema relies on it.
fn loosely_written(given: &Json, ours: &Json) -> Option<(String, String)> {
    let mut differing = Vec::new();
    differing_texts(&mut Vec::new(), given, ours, &mut differing);
    if differing.is_empty() {
        return None;
    }
    let schema = schema();
    differing.into_iter().find_map(|(steps, given, ours)| {
        let node = steps
            .iter()
            .try_fold(&schema, |node, step| within(node, &schema, step))?;
        if text_fits(node, &schema, given) {
            return None;
        }
        let at: String = steps.iter().map(Step::to_string).collect();
        let what = visible(&format!("“{given}” should be written “{ours}”"));
        Some((at.trim_start_matches('.').to_owned(), what))
    })
}

/// One step into JSON.
#[derive(Clone, Copy)]
enum Step<'a> {
    Field(&'a str),
    Number(usize),
}

impl std::fmt::Display for Step<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Step::Field(name) => write!(f, ".{name}"),
            Step::Number(number) => write!(f, "[{number}]"),
        }
    }
}

fn differing_texts<'a>(
    at: &mut Vec<Step<'a>>,
    given: &'a Json,
    ours: &'a Json,
    found: &mut Vec<(Vec<Step<'a>>, &'a str, &'a str)>,
) {
    match (given, ours) {
        (Json::String(given), Json::String(ours)) if given != ours => {
            found.push((at.clone(), given, ours));
        }
        (Json::Object(given), Json::Object(ours)) => {
            for (name, ours) in ours {
                if let Some(given) = given.get(name) {
                    at.push(Step::Field(name));
                    differing_texts(at, given, ours, found);
                    at.pop();
                }
            }
        }
        (Json::Array(given), Json::Array(ours)) => {
            for (number, (given, ours)) in given.iter().zip(ours).enumerate() {
                at.push(Step::Number(number));
                differing_texts(at, given, ours, found);
                at.pop();
            }
        }
        _ => {}
    }
}

/// The schema of what stands one step within `node`.
fn within<'a>(node: &'a Json, schema: &'a Json, step: &Step) -> Option<&'a Json> {
    let node = match node["$ref"].as_str() {
        Some(reference) => schema.pointer(reference.strip_prefix('#')?)?,
        None => node,
    };
    match step {
        Step::Field(name) => node["properties"].get(name),
        Step::Number(_) => node.get("items"),
    }
}

/// Whether the schema takes this text at `node`, as far as patterns say.
fn text_fits(node: &Json, schema: &Json, text: &str) -> bool {
    let matches = |pattern: &Json| {
        let pattern = pattern.as_str().map(regex_lite::Regex::new);
        pattern.and_then(Result::ok).map(|it| it.is_match(text))
    };
    let referred = node["$ref"].as_str().and_then(|reference| {
        let node = schema.pointer(reference.strip_prefix('#')?)?;
        Some(text_fits(node, schema, text))
    });
    let any = node["anyOf"]
        .as_array()
        .map(|nodes| nodes.iter().any(|node| text_fits(node, schema, text)));
    node["type"] != "null"
        && referred.unwrap_or(true)
        && any.unwrap_or(true)
        && matches(&node["pattern"]).unwrap_or(true)
        && !matches(&node["not"]["pattern"]).unwrap_or(false)
}

/// Reads plain data that this program wrote, such as settings; `file` names it in errors.
///
/// # Errors
/// The first field that does not hold what it should.
pub(crate) fn read_json<T: DeserializeOwned>(file: &str, bytes: &[u8]) -> Result<T, FileError> {
    read_fields(file, text(file, bytes)?)
}

fn text<'a>(file: &str, bytes: &'a [u8]) -> Result<&'a str, FileError> {
    std::str::from_utf8(bytes).map_err(|error| FileError::NotUtf8 {
        file: file.to_owned(),
        at: error.valid_up_to(),
    })
}

fn read_fields<T: DeserializeOwned>(file: &str, text: &str) -> Result<T, FileError> {
    let mut json = serde_json::Deserializer::from_str(text);
    let data = serde_path_to_error::deserialize(&mut json).map_err(|error| {
        let inner = error.inner();
        // A number where a word belongs counts as bad syntax, though it stands in a field.
        let in_a_field = match inner.classify() {
            serde_json::error::Category::Data => true,
            serde_json::error::Category::Syntax => error.path().iter().len() > 0,
            _ => false,
        };
        match in_a_field {
            true => FileError::Field {
                file: file.to_owned(),
                field: visible(&error.path().to_string()),
                what: plain(inner),
            },
            false => not_json(file, inner),
        }
    })?;
    json.end().map_err(|error| not_json(file, &error))?;
    Ok(data)
}

fn not_json(file: &str, error: &serde_json::Error) -> FileError {
    FileError::NotJson {
        file: file.to_owned(),
        line: error.line(),
        column: error.column(),
        what: plain(error),
    }
}

/// The JSON reader's words without the place, which is said otherwise, and without long lists of names.
fn plain(error: &serde_json::Error) -> String {
    let whole = error.to_string();
    let words = match whole.rfind(" at line ") {
        Some(end) => &whole[..end],
        None => &whole,
    };
    let words = match words.split_once(", expected ") {
        Some((unknown, _)) if words.starts_with("unknown field") => unknown,
        _ => words,
    };
    // The sentence around it has the full stop.
    visible(words.trim_end_matches('.'))
}

/// Somebody else's text for a sentence: at most 300 characters of it, and none that moves the cursor, changes
/// colours or turns the reading direction.
pub(crate) fn visible(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    for (number, c) in text.chars().enumerate() {
        if number == 300 {
            shown.push('…');
            break;
        }
        let turns = matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}');
        match c.is_control() || turns {
            true => shown.extend(c.escape_unicode()),
            false => shown.push(c),
        }
    }
    shown
}

/// What the types alone do not say; the field and what is wrong with it.
fn check(survey: &Survey) -> Result<(), (String, String)> {
    let mut seen = BTreeSet::new();
    let mut id = |at: String, id: ItemId| {
        if !seen.insert(id) {
            return Err((at, format!("the id {} is used twice", id.0)));
        }
        if id.0 >= survey.next_id {
            let next = survey.next_id;
            return Err((
                at,
                format!("the id {} is not below next_id, which is {next}", id.0),
            ));
        }
        Ok(())
    };
    for (number, spot) in survey.spots.iter().enumerate() {
        id(format!("spots[{number}].id"), spot.id)?;
    }
    for entry in fields::LISTS {
        let owners: Vec<Option<ItemId>> = match entry.of_spot {
            true => survey.spots.iter().map(|spot| Some(spot.id)).collect(),
            false => vec![None],
        };
        for owner in owners {
            let items = survey
                .list(entry.id, owner)
                .map(|list| list.ids())
                .unwrap_or_default();
            for (number, item) in items.into_iter().enumerate() {
                id(
                    path(survey, entry.id, owner, &format!(".items[{number}].id")),
                    item,
                )?;
            }
        }
    }
    for (number, photo) in survey.photos.iter().enumerate() {
        let at = |name: &str| format!("photos[{number}].{name}");
        id(at("id"), photo.id)?;
        if !is_digest(&photo.sha256) {
            return Err((
                at("sha256"),
                "64 digits of 0-9 and a-f are expected".to_owned(),
            ));
        }
        if photo.width == 0 || photo.height == 0 {
            return Err((at("width"), "a picture is at least one pixel wide".into()));
        }
        let remark = photo.remark.clone().map(Value::Text);
        answer_fits(Kind::Text, remark).map_err(|what| (at("remark"), what))?;
        let taken_at = photo.taken_at.clone().map(Value::Text);
        answer_fits(Kind::Text, taken_at).map_err(|what| (at("taken_at"), what))?;
        let within = |place: [u16; 2]| place.iter().all(|&thousandths| thousandths <= 1000);
        let inside = |stroke: &Stroke| match *stroke {
            Stroke::Arrow { from, to } => within(from) && within(to),
            Stroke::Ring { middle, radius } => within(middle) && radius <= 1000,
        };
        if let Some(bad) = photo.strokes.iter().position(|stroke| !inside(stroke)) {
            return Err((
                at(&format!("strokes[{bad}]")),
                "places go from 0 to 1000 thousandths".to_owned(),
            ));
        }
    }
    for place in survey.places() {
        let kind = fields::kind_of(place.field).unwrap_or(Kind::Text);
        answer_fits(kind, survey.answer(place)).map_err(|what| (path_of(survey, place), what))?;
    }
    Ok(())
}

/// Whether `text` is a SHA-256 digest as it is written here: 64 lower-case hexadecimal digits.
fn is_digest(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

fn answer_fits(kind: Kind, answer: Option<Value>) -> Result<(), String> {
    match (kind, answer) {
        (Kind::Length, Some(Value::Length(reading))) if reading.length() < Length::ZERO => {
            Err(format!("{reading} is less than nothing"))
        }
        (Kind::Count { least, most }, Some(Value::Count(count)))
            if !(least..=most).contains(&count) =>
        {
            let typed = count.to_string();
            let error = AnswerError::Count { typed, least, most };
            Err(error.to_string().trim_end_matches('.').to_owned())
        }
        (_, Some(Value::Text(text))) if text.chars().count() > TEXT_MOST => {
            let (length, most) = (text.chars().count(), TEXT_MOST);
            let error = AnswerError::TooLong { length, most };
            Err(error.to_string().trim_end_matches('.').to_owned())
        }
        _ => Ok(()),
    }
}

/// Where `field` of a house or spot stands in the file, with `more` behind it.
fn path(survey: &Survey, field: &str, spot: Option<ItemId>, more: &str) -> String {
    let number = spot.and_then(|id| survey.spots.iter().position(|spot| spot.id == id));
    match number {
        Some(number) if field == fields::SPOT_NAME.id => format!("spots[{number}].name{more}"),
        Some(number) => format!("spots[{number}].{field}{more}"),
        None => format!("{field}{more}"),
    }
}

/// Where an answer stands in the file, such as `spots[0].attic.obstructions.items[2].top`.
pub(crate) fn path_of(survey: &Survey, at: FieldRef) -> String {
    let of_item = || {
        let list = fields::list_of_item_field(at.field)?;
        let ids = survey.list(list.id, at.spot)?.ids();
        let number = ids.iter().position(|id| Some(*id) == at.item)?;
        let name = at.field.rsplit_once('.')?.1;
        let more = format!(".items[{number}].{name}");
        Some(path(survey, list.id, at.spot, &more))
    };
    of_item().unwrap_or_else(|| path(survey, at.field, at.spot, ""))
}

impl Survey {
    /// The survey as the text of its file: JSON in UTF-8, indented, one newline at the end. The same survey
    /// gives the same bytes.
    pub fn to_json(&self) -> Vec<u8> {
        pretty(self)
    }
}

/// Indented JSON with one newline at the end, of plain data.
pub(crate) fn pretty<T: Serialize>(data: &T) -> Vec<u8> {
    // Maps with text keys, numbers, text: none of what JSON cannot hold.
    let mut text = serde_json::to_vec_pretty(data).expect("plain data is JSON");
    text.push(b'\n');
    text
}

/// The JSON Schema of survey files: draft 2020-12, generated from the types.
///
/// Everything that [`read`] takes, it takes; [`read`] is stricter where a schema cannot speak: ids are unique
/// and below the next one, and no quantity is out of this world.
///
/// # Examples
/// ```
/// let schema = joistlight::survey::schema();
/// assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
/// assert_eq!(schema["$id"], joistlight::survey::SCHEMA_ID);
/// ```
pub fn schema() -> Json {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut schema = generator.into_root_schema_for::<Survey>().to_value();
    schema["$id"] = SCHEMA_ID.into();
    schema["title"] = "joistlight survey".into();
    schema["properties"]["format"]["const"] = FORMAT.into();
    schema["properties"]["version"]["const"] = FORMAT_VERSION.into();
    schema
}

/// Puts into a record's schema what the catalogue knows: labels, bounds of counts, the most characters,
/// and that a plain length has no minus.
pub(super) fn describe<R: Slotted>(schema: &mut Schema) {
    let Some(properties) = schema.get_mut("properties") else {
        return;
    };
    for slot in R::ALL_SLOTS {
        let property = &mut properties[slot.name];
        property["title"] = slot.label.into();
        match slot.kind {
            Kind::Count { least, most } => {
                property["minimum"] = least.into();
                property["maximum"] = most.into();
            }
            Kind::Text => property["maxLength"] = TEXT_MOST.into(),
            Kind::Length => {
                property["not"] = serde_json::json!({ "type": "string", "pattern": "^[-−]" })
            }
            _ => {}
        }
    }
}

/// A SHA-256 digest in a schema.
pub(super) fn digest_schema(_: &mut schemars::SchemaGenerator) -> Schema {
    schemars::json_schema!({ "type": "string", "pattern": "^[0-9a-f]{64}$" })
}

/// A survey's id, in the one spelling that files have: small letters and hyphens (RFC 9562, section 4).
pub(super) fn hyphenated<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Uuid, D::Error> {
    let text = String::deserialize(deserializer)?;
    let id = Uuid::parse_str(&text).ok();
    id.filter(|id| id.to_string() == text).ok_or_else(|| {
        let expected = "such as 3f0c6f0e-6f2b-4f0e-9d9c-0b5a5a3c1d2e";
        serde::de::Error::custom(format!("“{text}” is not an id {expected}"))
    })
}

/// A survey's id in a schema.
pub(super) fn id_schema(_: &mut schemars::SchemaGenerator) -> Schema {
    schemars::json_schema!({
        "type": "string",
        "format": "uuid",
        "pattern": "^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$",
    })
}

/// A place or a radius in thousandths in a schema.
pub(super) fn place_schema(generator: &mut schemars::SchemaGenerator) -> Schema {
    let mut schema = <[u16; 2]>::json_schema(generator);
    schema.insert(
        "items".into(),
        serde_json::json!({ "type": "integer", "minimum": 0, "maximum": 1000 }),
    );
    schema
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::{Reading, Tape};
    use serde_json::json;

    fn sample() -> Survey {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let mut survey = Survey::begin(uuid::Uuid::nil(), now, Tape::default());
        let spot = survey.spots[0].id;
        for list in fields::LISTS {
            let id = survey.fresh_id();
            let owner = list.of_spot.then_some(spot);
            survey.list_mut(list.id, owner).unwrap().add(id);
        }
        survey.spots[0].attic.roof_height = Some(Reading::inches(60));
        survey.arrival.year_built = Some(1962);
        survey
    }

    fn photo(sha256: &str) -> Json {
        json!({"id": 80, "subject": "house", "sha256": sha256, "width": 4, "height": 3})
    }

    fn refusal(change: impl FnOnce(&mut Json)) -> String {
        let mut json = serde_json::to_value(sample()).unwrap();
        json["next_id"] = json!(90);
        change(&mut json);
        read("a.json", &serde_json::to_vec(&json).unwrap())
            .unwrap_err()
            .to_string()
    }

    #[test]
    fn what_was_written_is_read() {
        let survey = sample();
        assert_eq!(read("a.json", &survey.to_json()), Ok(survey));
    }

    #[test]
    fn what_no_device_writes_is_refused_with_file_and_field() {
        let digest = "0".repeat(64);
        let stroke = |stroke: Json| {
            let mut photo = photo(&digest);
            photo["strokes"] = json!([stroke]);
            refusal(|j| j["photos"] = json!([photo]))
        };
        let attic = |field: &str, value: Json| refusal(|j| j["spots"][0]["attic"][field] = value);
        let begins = [
            (
                "a.json: this is not a joistlight survey",
                refusal(|j| j["format"] = json!("x")),
            ),
            (
                "a.json: this file has format version 3",
                refusal(|j| j["version"] = json!(3)),
            ),
            ("a.json, version: ", refusal(|j| j["version"] = json!(0))),
            ("a.json, version: ", refusal(|j| j["version"] = json!("1"))),
            (
                "a.json, spots[0].attic.roof_height: “tall”",
                attic("roof_height", json!("tall")),
            ),
            (
                "a.json, spots[0].attic.rof_height: unknown field",
                attic("rof_height", json!("60 in")),
            ),
            (
                "a.json, spots[0].attic.roof_height: -2 in is less",
                attic("roof_height", json!("-2 in")),
            ),
            (
                "a.json, spots[0].attic.roof_height: “12001 in”",
                attic("roof_height", json!("12001 in")),
            ),
            (
                "a.json, arrival.year_built: “3”",
                refusal(|j| j["arrival"]["year_built"] = json!(3)),
            ),
            (
                "a.json, spots[0].attic.roof_height: “3 ft” should be written “36 in”",
                attic("roof_height", json!("3 ft")),
            ),
            (
                "a.json, arrival.client: 4001 characters",
                refusal(|j| j["arrival"]["client"] = json!("x".repeat(TEXT_MOST + 1))),
            ),
            (
                "a.json, spots[0].name: 4001 characters",
                refusal(|j| j["spots"][0]["name"] = json!("x".repeat(TEXT_MOST + 1))),
            ),
            (
                "a.json, vents.vents.items[0].id: the id 1 is used twice",
                refusal(|j| j["vents"]["vents"]["items"][0]["id"] = json!(1)),
            ),
            (
                "a.json, spots[0].attic.obstructions.items[0].top: ",
                refusal(|j| {
                    j["spots"][0]["attic"]["obstructions"]["items"][0]["top"] = json!("up")
                }),
            ),
            (
                "a.json, spots[0].id: the id 1 is not below",
                refusal(|j| j["next_id"] = json!(1)),
            ),
            (
                "a.json, spots[0].id: ",
                refusal(|j| j["spots"][0]["id"] = json!(-1)),
            ),
            (
                "a.json, photos[0].sha256: ",
                refusal(|j| j["photos"] = json!([photo("../../x")])),
            ),
            (
                "a.json, photos[0].sha256: ",
                refusal(|j| j["photos"] = json!([photo(&"A".repeat(64))])),
            ),
            (
                "a.json, photos[0].strokes[0]: ",
                stroke(json!({"stroke": "ring", "middle": [10, 1001], "radius": 3})),
            ),
            (
                "a.json, photos[0].strokes[0]",
                stroke(json!({"stroke": "arrow", "from": [10], "to": [0, 0]})),
            ),
        ];
        for (begin, sentence) in begins {
            assert!(
                sentence.starts_with(begin),
                "{sentence} should begin with {begin}"
            );
        }
    }

    #[test]
    fn what_is_no_survey_at_all_is_told_apart() {
        use FileError::*;
        let of = |bytes: &[u8]| read("a.json", bytes).unwrap_err();
        assert!(matches!(of(b""), NotJson { .. }));
        assert!(matches!(of(b"{"), NotJson { .. }));
        assert!(matches!(of(b"hello"), NotJson { .. }));
        assert!(matches!(of(b"\xff\xfe{"), NotUtf8 { at: 0, .. }));
        assert!(matches!(of(b"[]"), NotASurvey { .. }));
        assert!(matches!(of(b"{\"format\": 3}"), NotASurvey { .. }));
        let deep = "[".repeat(100_000);
        read("a.json", deep.as_bytes()).unwrap_err();
        let text = String::from_utf8(sample().to_json()).unwrap();
        let twice = text.replacen('{', "{\"revision\":7,", 1);
        assert!(of(twice.as_bytes()).to_string().contains("duplicate field"));
        let trailing = format!("{text} {{}}");
        assert!(matches!(of(trailing.as_bytes()), NotJson { .. }));
        for end in 0..text.len() - 1 {
            assert!(
                matches!(of(&text.as_bytes()[..end]), NotJson { .. }),
                "{end}"
            );
        }
        // Whatever a later version looks like, it is told from a damaged file.
        let newer = b"{\"format\": \"joistlight survey\", \"version\": 3, \"spots\": 3}";
        assert!(matches!(
            of(newer),
            Newer {
                version: 3,
                known: 2,
                ..
            }
        ));
    }

    /// A file of version 1, as that program wrote it: nothing of it is lost, and its doors say no more than they did.
    #[test]
    fn a_survey_of_version_1_still_opens() {
        let text = include_str!("../../tests/houses/version-1.json");
        assert!(text.contains("\"version\": 1"));
        let given: Json = serde_json::from_str(text).unwrap();
        let survey = read("version-1.json", text.as_bytes()).unwrap();
        assert_eq!(survey.version, FORMAT_VERSION);
        let area = survey.flame.openable_window_area.unwrap();
        assert_eq!(area.to_string(), "40 ft²");
        let rooms = given["spots"][0]["hall"]["rooms"]["items"]
            .as_array()
            .unwrap();
        for (room, given) in survey.spots[0].hall.rooms.items.iter().zip(rooms) {
            let door = match given["open"].as_bool().unwrap() {
                true => Door::Unsure,
                false => Door::Shut,
            };
            assert_eq!(
                (room.door, room.name.as_deref()),
                (Some(door), given["name"].as_str())
            );
        }
        // Every other answer is there as it was, and what is written now is read again.
        fn holds(ours: &Json, given: &Json) -> bool {
            match (ours, given) {
                (Json::Object(ours), Json::Object(given)) => given.iter().all(|(name, given)| {
                    name == "open"
                        || name == "version"
                        || ours.get(name).is_some_and(|ours| holds(ours, given))
                }),
                (Json::Array(ours), Json::Array(given)) => {
                    let mut pairs = ours.iter().zip(given);
                    ours.len() == given.len() && pairs.all(|(ours, given)| holds(ours, given))
                }
                // Texts are read and written anew, as exactly as they were.
                (Json::String(_), Json::String(_)) => true,
                _ => ours == given,
            }
        }
        assert!(holds(&serde_json::to_value(&survey).unwrap(), &given));
        assert_eq!(read("again.json", &survey.to_json()), Ok(survey));
    }

    #[test]
    fn what_others_wrote_cannot_play_tricks_in_a_sentence() {
        let sentence = refusal(|j| j["arrival"]["altitude"] = json!("\u{1b}[2J\u{202e}tall"));
        assert!(!sentence.contains(['\u{1b}', '\u{202e}']), "{sentence}");
        assert!(sentence.contains("\\u{1b}[2J\\u{202e}tall"), "{sentence}");
        let sentence = refusal(|j| j["arrival"]["\n\u{7}"] = json!(1));
        assert!(!sentence.contains(['\n', '\u{7}']), "{sentence}");
        let sentence = refusal(|j| j["tape"] = json!("x".repeat(5000)));
        assert!(sentence.chars().count() < 500, "{sentence}");
    }

    #[test]
    fn the_schema_names_every_answer_and_its_bounds() {
        let schema = schema();
        for (_, _, slots) in fields::SECTIONS {
            let (section, _) = slots[0].id.split_once('.').unwrap();
            let definition = schema["$defs"]
                .as_object()
                .unwrap()
                .values()
                .find(|d| {
                    slots
                        .iter()
                        .all(|slot| !d["properties"][slot.name].is_null())
                })
                .unwrap_or_else(|| panic!("{section}"));
            for slot in *slots {
                let property = &definition["properties"][slot.name];
                assert_eq!(property["title"], slot.label);
                if let Kind::Count { least, .. } = slot.kind {
                    assert_eq!(property["minimum"], least);
                }
            }
        }
    }
}
