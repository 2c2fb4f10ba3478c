//! Where the surveyor is, and the rows that are asked there.
//!
//! The rows come out of the survey's own catalogue, so a field that is captured cannot be forgotten here.

use super::control::safety::HAZARDS;
use super::judge::{Judged, Told};
use super::quick::Part;
use super::reader::{Reader, capital};
use crate::measure::Reading;
use crate::rules::{self, Say};
use crate::survey::fields::{self, ListEntry, SPOT_NAME};
use crate::survey::{
    FieldRef, ItemId, Kind, Obstruction, Shape, Side, Slot, Stop, Subject, Survey, Value, VentKind,
    Word,
};
use std::collections::BTreeMap;

/// A page of fields: a stop, or one entry of a list there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// A stop of the walk.
    Stop(Stop),
    /// An entry of a list.
    Item {
        /// The list.
        list: &'static ListEntry,
        /// The entry.
        item: ItemId,
    },
}

/// What a row stands for; kept as text in the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Key {
    /// An answer.
    Field(FieldRef),
    /// An entry of a list, to open or take out.
    Entry {
        /// The list.
        list: &'static ListEntry,
        /// The entry.
        item: ItemId,
    },
    /// Adding an entry to a list.
    Add(&'static ListEntry),
    /// Adding a copy of the present entry.
    Another,
    /// Adding a copy of the present spot.
    CopySpot,
    /// Taking the present spot out.
    RemoveSpot,
    /// On which side of the spot a thing lies.
    Side,
    /// Between the quick entry and all measurements of a thing in the way.
    Full,
    /// A thing in the way with what the last one was like.
    AsLast,
    /// What a stop has in common with another spot.
    AsSpot,
    /// "None of these seen", of all hazards at once.
    NoneSeen,
    /// The pictures of this place.
    Photos,
    /// The next stop.
    Next,
    /// Nothing to tap.
    Nothing,
}

/// How a row is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowKind {
    /// A heading.
    Heading,
    /// A sentence.
    Note,
    /// A length or another quantity.
    Tape,
    /// A whole number.
    Count,
    /// One of several words.
    Choice,
    /// One of several words, all of them in the row.
    Buttons,
    /// Yes or no.
    YesNo,
    /// Free words.
    Words,
    /// An entry of a list.
    Entry,
    /// Adds something.
    Add,
    /// "That is all of them".
    All,
    /// Pictures tied to this place.
    Photos,
    /// A finding.
    Finding,
    /// Goes somewhere.
    Go,
}

/// The mark on a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sign {
    /// None.
    #[default]
    None,
    /// It holds, it fits.
    Holds,
    /// It can be mended.
    Work,
    /// It fails.
    Fails,
    /// Not measured yet.
    Open,
    /// Something to mind.
    Caution,
}

/// One row of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// How it is drawn.
    pub kind: RowKind,
    /// What it stands for.
    pub key: Key,
    /// Its label.
    pub label: String,
    /// The answer as shown.
    pub value: String,
    /// Whether there is an answer.
    pub known: bool,
    /// Whether the answer is missing and still matters.
    pub matters: bool,
    /// How to measure.
    pub help: String,
    /// Why what was typed last was not taken.
    pub trouble: String,
    /// The answers to pick from.
    pub picks: Vec<String>,
    /// Which one is picked.
    pub picked: Option<usize>,
    /// Its mark.
    pub sign: Sign,
}

impl Row {
    fn new(kind: RowKind, key: Key, label: impl Into<String>) -> Row {
        Row {
            kind,
            key,
            label: label.into(),
            value: String::new(),
            known: false,
            matters: false,
            help: String::new(),
            trouble: String::new(),
            picks: Vec::new(),
            picked: None,
            sign: Sign::None,
        }
    }
}

/// How a stop stands: what is measured, and what is missing and still matters.
#[derive(Debug, Clone, PartialEq)]
pub struct StopState {
    /// Which stop.
    pub stop: Stop,
    /// How many answers there are.
    pub known: usize,
    /// How many are asked.
    pub asked: usize,
    /// What is missing and still matters for the present spot, in the order in which it is asked.
    pub open: Vec<FieldRef>,
}

/// What a page of rows is made from.
pub struct Seen<'a> {
    /// The survey.
    pub survey: &'a Survey,
    /// The spot that the surveyor is at.
    pub spot: ItemId,
    /// Who reads.
    pub reader: &'a Reader,
    /// The judgement.
    pub judged: &'a Judged,
    /// Texts that were refused, with the reason.
    pub troubles: &'a BTreeMap<FieldRef, String>,
    /// Whether a thing in the way is entered quickly, and on which side of the spot.
    pub quick: Option<Quick>,
}

/// The quick entry of a thing in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Quick {
    /// The thing.
    pub item: ItemId,
    /// The side that was tapped, or that its answers say.
    pub side: Option<Side>,
}

/// The headings within a stop, each before the field where it begins.
const HEADINGS: &[(&str, &str)] = &[
    ("arrival.job_reference", "The job"),
    ("arrival.year_built", "The house"),
    ("arrival.outdoor_temperature", "The air"),
    ("arrival.pebble_insulation", "Hazards"),
    ("arrival.smoke_alarms", "Alarms and people"),
    ("hall.length", "The hall"),
    ("hall.mark_from_start", "The mark"),
    ("hall.switch_place", "The switch"),
    ("attic.framing", "Framing"),
    ("attic.bearing_span", "Span"),
    ("attic.clear_length", "Clear space"),
    ("attic.roof_slope", "Roof"),
    ("attic.insulation", "Attic floor"),
    ("attic.hatch_length", "Way in"),
    ("power.voltage", "Power"),
    ("power.cable_across_joists", "In the attic"),
    ("flame.fireplace", "Flame and windows"),
];

/// What spots of one house mostly have in common, by stop: answers, lists, and what they are called in a few words.
/// Everything that is measured from the mark stays out.
const COMMON: &[(Stop, &[&str], &[&str], &str)] = &[
    (
        Stop::Hall,
        &[
            "hall.ceiling_height",
            "hall.ceiling_thickness",
            "hall.ceiling_material",
            "hall.switch_height",
            "hall.box_volume",
        ],
        &["hall.rooms", "hall.box_contents"],
        "Ceiling, switch box and rooms as at: {spot}",
    ),
    (
        Stop::Attic,
        &[
            "attic.framing",
            "attic.nominal_size",
            "attic.joist_thickness",
            "attic.joist_depth",
            "attic.species",
            "attic.grade",
            "attic.joist_run",
            "attic.joists_even",
            "attic.joist_spacing",
            "attic.bearing_length",
            "attic.rafter_ties",
            "attic.storage",
            "attic.insulation",
            "attic.insulation_depth",
            "attic.eaves_open",
            "attic.attic_floor_area",
            "attic.hatch_length",
            "attic.hatch_width",
            "attic.hatch_headroom",
            "attic.permanent_stair",
        ],
        &[],
        "Framing, attic floor and way in as at: {spot}",
    ),
];

/// What can be taken over from another spot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Common {
    /// The other spot.
    pub of: ItemId,
    /// The answers that are missing here and known there.
    pub fields: Vec<&'static str>,
    /// The lists that are empty here and not there.
    pub lists: Vec<&'static str>,
    says: &'static str,
}

impl Place {
    /// The stop at which this place is.
    pub fn stop(self) -> Stop {
        match self {
            Place::Stop(stop) => stop,
            Place::Item { list, .. } => list.stop,
        }
    }

    /// Whether each spot has one of these.
    pub fn of_spot(self) -> bool {
        match self {
            Place::Stop(stop) => matches!(stop, Stop::Hall | Stop::Attic),
            Place::Item { list, .. } => list.of_spot,
        }
    }

    /// The place where `field` is answered.
    pub fn of(field: FieldRef) -> Option<Place> {
        match field.item {
            Some(item) => Some(Place::Item {
                list: fields::list_of_item_field(field.field)?,
                item,
            }),
            None => Some(Place::Stop(fields::stop_of(field.field)?)),
        }
    }

    /// Whether the place still exists.
    pub fn exists(self, survey: &Survey, spot: ItemId) -> bool {
        match self {
            Place::Stop(_) => true,
            Place::Item { list, item } => survey
                .list(list.id, list.of_spot.then_some(spot))
                .is_some_and(|entries| entries.item(item).is_some()),
        }
    }

    /// What the page is called.
    pub fn title(self, survey: &Survey, spot: ItemId, reader: &Reader) -> String {
        match self {
            Place::Stop(stop) => reader.tr(stop.label()),
            Place::Item { list, item } => entry_title(survey, list, spot, item, reader),
        }
    }

    /// The rows that are asked here.
    pub fn rows(self, seen: &Seen) -> Vec<Row> {
        let mut rows = Vec::new();
        match self {
            Place::Stop(stop) => seen.stop(stop, &mut rows),
            Place::Item { list, item } => seen.item(list, item, &mut rows),
        }
        rows
    }
}

/// What an entry is called: its kind or name where it has one, else its number.
fn entry_title(
    survey: &Survey,
    list: &ListEntry,
    spot: ItemId,
    item: ItemId,
    reader: &Reader,
) -> String {
    let owner = list.of_spot.then_some(spot);
    let Some(entries) = survey.list(list.id, owner) else {
        return reader.tr(list.one);
    };
    let number = entries
        .ids()
        .iter()
        .position(|id| *id == item)
        .map_or(0, |n| n + 1);
    let named = entries.item(item).and_then(|record| {
        list.slots
            .iter()
            .take(1)
            .filter(|slot| matches!(slot.kind, Kind::Choice(_) | Kind::Text))
            .find_map(|slot| record.get(slot.name).map(|value| (slot.kind, value)))
    });
    match named {
        Some((kind, value)) => format!("{number}. {}", capital(&reader.shown(kind, &value))),
        None => format!("{number}. {}", reader.tr(list.one)),
    }
}

impl Seen<'_> {
    /// Every answer that is asked at a stop, of the present spot, in the order in which it is asked.
    pub fn questions(&self, stop: Stop) -> Vec<FieldRef> {
        let mut all = Vec::new();
        if stop == Stop::Hall {
            all.push(FieldRef::spot(SPOT_NAME.id, self.spot));
        }
        for (_, of_spot, slots) in fields::SECTIONS.iter().filter(|(at, ..)| *at == stop) {
            all.extend(slots.iter().map(|slot| FieldRef {
                field: slot.id,
                spot: of_spot.then_some(self.spot),
                item: None,
            }));
        }
        for list in fields::LISTS.iter().filter(|list| list.stop == stop) {
            let spot = list.of_spot.then_some(self.spot);
            let Some(entries) = self.survey.list(list.id, spot) else {
                continue;
            };
            for item in entries.ids() {
                all.extend(self.questions_of(list, item));
            }
            all.push(FieldRef {
                field: list.complete,
                spot,
                item: None,
            });
        }
        all
    }

    /// Every answer that is asked of an entry.
    pub fn questions_of(&self, list: &ListEntry, item: ItemId) -> Vec<FieldRef> {
        let spot = list.of_spot.then_some(self.spot);
        if let (Some(quick), Some(it)) = (self.quick, self.thing(item))
            && quick.item == item
            && list.id == "attic.obstructions"
        {
            let parts = Part::of(it.shape)
                .iter()
                .map(|part| part.field(it.shape, quick.side));
            return ["obstruction.kind", "obstruction.shape"]
                .into_iter()
                .chain(parts)
                .chain(["obstruction.mover"])
                .map(|field| FieldRef {
                    field,
                    spot,
                    item: Some(item),
                })
                .collect();
        }
        list.slots
            .iter()
            .map(|slot| {
                let at = FieldRef {
                    field: slot.id,
                    spot,
                    item: Some(item),
                };
                (slot, at)
            })
            .filter(|(slot, at)| {
                self.survey.answer(*at).is_some()
                    || self.judged.matters(at)
                    || self.asked(list, item, slot)
            })
            .map(|(_, at)| at)
            .collect()
    }

    /// How a stop stands.
    pub fn state(&self, stop: Stop) -> StopState {
        let all = self.questions(stop);
        StopState {
            stop,
            known: all
                .iter()
                .filter(|at| self.survey.answer(**at).is_some())
                .count(),
            asked: all.len(),
            open: all
                .into_iter()
                .filter(|at| self.judged.matters_here(at))
                .collect(),
        }
    }

    /// A heading.
    pub(super) fn heading(&self, text: &'static str) -> Row {
        Row::new(RowKind::Heading, Key::Nothing, self.reader.tr(text))
    }

    fn stop(&self, stop: Stop, rows: &mut Vec<Row>) {
        if stop == Stop::Hall {
            rows.push(self.heading("The spot"));
            rows.push(self.field(&SPOT_NAME, FieldRef::spot(SPOT_NAME.id, self.spot)));
        }
        rows.extend(self.as_spot(stop));
        for (at, of_spot, slots) in fields::SECTIONS {
            if *at != stop {
                continue;
            }
            for slot in *slots {
                if let Some((_, heading)) = HEADINGS.iter().find(|(id, _)| *id == slot.id) {
                    rows.push(self.heading(heading));
                }
                let at = FieldRef {
                    field: slot.id,
                    spot: of_spot.then_some(self.spot),
                    item: None,
                };
                rows.push(self.field(slot, at));
                if HAZARDS.last() == Some(&slot.id) {
                    rows.extend(self.none_seen());
                }
            }
        }
        for list in fields::LISTS.iter().filter(|list| list.stop == stop) {
            self.list(list, rows);
        }
        self.photos(rows);
        self.findings(rows, |field| fields::stop_of(field.field) == Some(stop));
        if stop == Stop::Hall {
            rows.push(self.heading("This spot"));
            rows.push(Row::new(
                RowKind::Add,
                Key::CopySpot,
                self.reader.tr("Another spot with the same answers"),
            ));
            if self.survey.spots.len() > 1 {
                rows.push(Row::new(
                    RowKind::Go,
                    Key::RemoveSpot,
                    self.reader.tr("Take this spot out"),
                ));
            }
        }
        if let Some(next) = next_stop(stop) {
            let mut row = Row::new(
                RowKind::Go,
                Key::Next,
                self.reader
                    .said(&Say::new("On to: {stop}").with("stop", next.label())),
            );
            row.value = self.reader.still(self.judged.still_at(next));
            rows.push(row);
        }
    }

    /// What this stop can take over from another spot: the one before that is known best, or the first that is.
    pub fn common(&self, stop: Stop) -> Option<Common> {
        const FEW: usize = 3;
        let (_, fields, lists, says) = COMMON.iter().find(|(at, ..)| *at == stop)?;
        let others = self.survey.spots.iter().filter(|spot| spot.id != self.spot);
        others
            .map(|other| {
                let known = |field: &&'static str, spot: ItemId| {
                    self.survey.answer(FieldRef::spot(field, spot)).is_some()
                };
                let empty = |list: &&'static str, spot: ItemId| {
                    let it = self.survey.list(list, Some(spot));
                    it.is_none_or(|list| list.is_empty() && !list.complete())
                };
                Common {
                    of: other.id,
                    fields: fields
                        .iter()
                        .copied()
                        .filter(|field| known(field, other.id) && !known(field, self.spot))
                        .collect(),
                    lists: lists
                        .iter()
                        .copied()
                        .filter(|list| !empty(list, other.id) && empty(list, self.spot))
                        .collect(),
                    says,
                }
            })
            .filter(|common| common.fields.len() + common.lists.len() >= FEW)
            .max_by_key(|common| {
                let number = self.survey.spots.iter().position(|it| it.id == common.of);
                let last = number.map_or(0, |number| number + 1);
                (common.fields.len() + common.lists.len(), usize::MAX - last)
            })
    }

    /// One tap for what this stop has in common with another spot.
    fn as_spot(&self, stop: Stop) -> Option<Row> {
        let common = self.common(stop)?;
        let number = self.survey.spots.iter().position(|it| it.id == common.of)?;
        let name = self.survey.spots[number].name.clone();
        let name = name
            .filter(|name| !name.trim().is_empty())
            .unwrap_or_else(|| {
                let say = Say::new("Spot {number}").with("number", number + 1);
                self.reader.said(&say)
            });
        let label = self.reader.said(&Say::new(common.says).with("spot", name));
        Some(Row::new(RowKind::Add, Key::AsSpot, label))
    }

    /// One tap for all hazards that nobody has answered yet.
    fn none_seen(&self) -> Option<Row> {
        let missing = |field: &&&'static str| self.survey.answer(FieldRef::house(field)).is_none();
        let names: Vec<String> = HAZARDS
            .iter()
            .filter(missing)
            .map(|field| self.reader.tr(fields::label_of(field)))
            .collect();
        if names.len() < 2 {
            return None;
        }
        let label =
            Say::new("Checked for each of these: {hazards}").with("hazards", names.join("; "));
        let mut row = Row::new(RowKind::All, Key::NoneSeen, self.reader.said(&label));
        row.picks = vec![self.reader.tr("None of these seen")];
        Some(row)
    }

    /// The thing that is entered quickly.
    fn thing(&self, item: ItemId) -> Option<&Obstruction> {
        self.survey
            .spot(self.spot)?
            .attic
            .obstructions
            .items
            .iter()
            .find(|it| it.id == item)
    }

    /// The rows of the quick entry: everything on one sheet.
    fn quick(&self, quick: Quick, it: &Obstruction, list: &'static ListEntry, rows: &mut Vec<Row>) {
        let at = |field: &'static str| FieldRef::spot(field, self.spot).item(quick.item);
        let word = |field: &'static str| {
            let slot = fields::slot(field)?;
            let mut row = self.field(slot, at(field));
            row.kind = RowKind::Buttons;
            Some(row)
        };
        let first = self.survey.spot(self.spot).is_some_and(|spot| {
            spot.attic.obstructions.items.first().map(|it| it.id) == Some(quick.item)
        });
        if it.kind.is_none() && !first {
            rows.push(Row::new(
                RowKind::Add,
                Key::AsLast,
                self.reader.tr("The same kind and size as the last one"),
            ));
        }
        rows.extend(word("obstruction.kind"));
        rows.extend(word("obstruction.shape"));
        let mut side = Row::new(
            RowKind::Buttons,
            Key::Side,
            self.reader.tr("Seen from the spot's middle it lies"),
        );
        side.picks = Side::ALL
            .iter()
            .map(|side| self.reader.tr(side.label()))
            .collect();
        side.picked = Side::ALL.iter().position(|it| Some(*it) == quick.side);
        side.known = side.picked.is_some();
        side.help = self.reader.tr("Looking down the hall from its start.");
        rows.push(side);
        for part in Part::of(it.shape) {
            let field = part.field(it.shape, quick.side);
            let Some(slot) = fields::slot(field) else {
                continue;
            };
            let mut row = self.field(slot, at(field));
            row.label = self.reader.tr(part.label(quick.side));
            // The side says which way; the tape has no sign.
            if let (true, Some(Value::Length(reading))) = (
                matches!(part, Part::Far | Part::Reach),
                self.survey.answer(at(field)),
            ) {
                let length = reading.length();
                let plain = if length.is_negative() {
                    -length
                } else {
                    length
                };
                let reading = Reading::new(plain, reading.system());
                row.value = self.reader.shown(slot.kind, &Value::Length(reading));
            }
            rows.push(row);
        }
        rows.extend(word("obstruction.mover"));
        rows.push(Row::new(
            RowKind::Go,
            Key::Full,
            self.reader.tr("All its measurements, one by one"),
        ));
        self.after_entry(list, quick.item, rows);
    }

    fn item(&self, list: &'static ListEntry, item: ItemId, rows: &mut Vec<Row>) {
        if let (Some(quick), Some(it)) = (self.quick, self.thing(item))
            && quick.item == item
            && list.id == "attic.obstructions"
        {
            self.quick(quick, it, list, rows);
            return;
        }
        for slot in list.slots {
            let at = FieldRef {
                field: slot.id,
                spot: list.of_spot.then_some(self.spot),
                item: Some(item),
            };
            let row = self.field(slot, at);
            if row.known || row.matters || !row.trouble.is_empty() || self.asked(list, item, slot) {
                rows.push(row);
            }
        }
        if list.id == "attic.obstructions" {
            rows.push(Row::new(
                RowKind::Go,
                Key::Full,
                self.reader.tr("Back to the quick entry"),
            ));
        }
        self.after_entry(list, item, rows);
    }

    /// What stands under an entry's answers.
    fn after_entry(&self, list: &'static ListEntry, item: ItemId, rows: &mut Vec<Row>) {
        self.photos(rows);
        self.findings(rows, |field| field.item == Some(item));
        rows.push(Row::new(
            RowKind::Add,
            Key::Another,
            self.reader.tr("Another one like this"),
        ));
        rows.push(Row::new(
            RowKind::Add,
            Key::Add(list),
            self.reader.tr("Add another one"),
        ));
        rows.extend(self.is_that_all(list));
    }

    /// Whether an entry of this shape or kind has such a size. Anything answered is shown all the same.
    fn asked(&self, list: &ListEntry, item: ItemId, slot: &Slot) -> bool {
        let owner = list.of_spot.then_some(self.spot);
        let word = |name: &str| {
            let value = self.survey.list(list.id, owner)?.item(item)?.get(name);
            match value {
                Some(Value::Choice(code)) => Some(code),
                _ => None,
            }
        };
        match slot.id {
            "obstruction.size_along" | "obstruction.size_across" => {
                word("shape").is_none_or(|shape| shape == Shape::Box.code())
            }
            "obstruction.to_ahead" | "obstruction.to_left" => {
                word("shape").is_some_and(|shape| shape == Shape::Run.code())
            }
            "obstruction.diameter" => word("shape").is_some_and(|shape| shape != Shape::Box.code()),
            "vent.diameter" => word("kind").is_some_and(|kind| {
                [
                    VentKind::RoundHole,
                    VentKind::Turbine,
                    VentKind::Powered,
                    VentKind::RoofBox,
                ]
                .iter()
                .any(|k| k.code() == kind)
            }),
            "vent.width" | "vent.height" => word("kind").is_none_or(|kind| {
                ![VentKind::RoundHole, VentKind::Turbine]
                    .iter()
                    .any(|k| k.code() == kind)
            }),
            "vent.length" => word("kind").is_some_and(|kind| {
                [
                    VentKind::SoffitStrip,
                    VentKind::Ridge,
                    VentKind::PerforatedSoffit,
                ]
                .iter()
                .any(|k| k.code() == kind)
            }),
            _ => true,
        }
    }

    /// The row of one answer.
    pub(super) fn field(&self, slot: &Slot, at: FieldRef) -> Row {
        let answer = self.survey.answer(at);
        let mut row = Row::new(
            row_kind(slot.kind),
            Key::Field(at),
            self.reader.tr(slot.label),
        );
        row.known = answer.is_some();
        row.matters = self.judged.matters(&at);
        row.trouble = self.troubles.get(&at).cloned().unwrap_or_default();
        if matches!(slot.kind, Kind::YesNo | Kind::Text) {
            row.help = self.reader.tr(slot.help.trim());
        }
        if let Some(value) = &answer {
            row.value = self.reader.shown(slot.kind, value);
        }
        match slot.kind {
            Kind::YesNo => {
                row.picks = vec![self.reader.tr("Yes"), self.reader.tr("No")];
                row.picked = match answer {
                    Some(Value::YesNo(true)) => Some(0),
                    Some(Value::YesNo(false)) => Some(1),
                    _ => None,
                };
            }
            Kind::Choice(words) => {
                if side_by_side(words) {
                    row.kind = RowKind::YesNo;
                }
                row.picks = words
                    .iter()
                    .map(|word| self.reader.tr(word.label))
                    .collect();
                row.picked = match answer {
                    Some(Value::Choice(code)) => words.iter().position(|word| word.code == code),
                    _ => None,
                };
            }
            _ => {}
        }
        row
    }

    fn list(&self, list: &'static ListEntry, rows: &mut Vec<Row>) {
        let owner = list.of_spot.then_some(self.spot);
        let Some(entries) = self.survey.list(list.id, owner) else {
            return;
        };
        rows.push(self.heading(list.label));
        for item in entries.ids() {
            let title = entry_title(self.survey, list, self.spot, item, self.reader);
            let mut row = Row::new(RowKind::Entry, Key::Entry { list, item }, title);
            row.value = self.summary(list, item);
            row.matters = self.judged.matters_of_item(item);
            rows.push(row);
        }
        rows.push(Row::new(
            RowKind::Add,
            Key::Add(list),
            self.reader
                .said(&Say::new("Add: {what}").with("what", list.one)),
        ));
        rows.extend(self.is_that_all(list));
    }

    /// "That is all of them", or "looked: there are none".
    fn is_that_all(&self, list: &'static ListEntry) -> Option<Row> {
        let owner = list.of_spot.then_some(self.spot);
        let entries = self.survey.list(list.id, owner)?;
        let at = FieldRef {
            field: list.complete,
            spot: owner,
            item: None,
        };
        let (label, pick) = if entries.is_empty() {
            ("{list}: none there?", "Looked: there are none")
        } else {
            ("{list}: is that all?", "That is all of them")
        };
        let label = self.reader.said(&Say::new(label).with("list", list.label));
        let mut row = Row::new(RowKind::All, Key::Field(at), label);
        row.picks = vec![self.reader.tr(pick)];
        row.known = entries.complete();
        row.picked = entries.complete().then_some(0);
        row.matters = self.judged.matters(&at);
        Some(row)
    }

    /// The answers of an entry in a few words.
    fn summary(&self, list: &ListEntry, item: ItemId) -> String {
        let owner = list.of_spot.then_some(self.spot);
        let Some(record) = self.survey.list(list.id, owner).and_then(|l| l.item(item)) else {
            return String::new();
        };
        let skip = usize::from(matches!(
            list.slots.first().map(|slot| slot.kind),
            Some(Kind::Choice(_) | Kind::Text)
        ));
        let words: Vec<String> = list
            .slots
            .iter()
            .skip(skip)
            .filter_map(|slot| {
                let value = record.get(slot.name)?;
                let text = self.reader.shown(slot.kind, &value);
                Some(match slot.kind {
                    Kind::Choice(_) | Kind::Text => text,
                    _ => format!("{} {text}", self.reader.tr(slot.label)),
                })
            })
            .take(4)
            .collect();
        if words.is_empty() {
            self.reader.tr("nothing measured yet")
        } else {
            words.join(", ")
        }
    }

    fn photos(&self, rows: &mut Vec<Row>) {
        let mut row = Row::new(RowKind::Photos, Key::Photos, self.reader.tr("Pictures"));
        row.value = match self.survey.photos.len() {
            0 => self.reader.tr("none yet"),
            1 => self.reader.tr("1 in this survey"),
            count => self
                .reader
                .said(&Say::new("{count} in this survey").with("count", count)),
        };
        rows.push(row);
    }

    fn findings(&self, rows: &mut Vec<Row>, here: impl Fn(&FieldRef) -> bool) {
        let mut found: Vec<&Told> = self
            .judged
            .findings()
            .filter(|finding| finding.touches(&here))
            .collect();
        if found.is_empty() {
            return;
        }
        rows.push(self.heading("What this decides"));
        let mut say = |text: &str, sign| {
            let mut row = Row::new(RowKind::Finding, Key::Nothing, text);
            row.sign = sign;
            rows.push(row);
        };
        // What is about life comes first, with its caution: it decides whether anybody goes on here at all.
        found.sort_by_key(|finding| finding.life_caution().is_none());
        for finding in found {
            say(&finding.both(), finding.sign);
            // What keeps everybody out stands in the band over the page.
            if finding.rule() == "heat" && rules::too_hot(self.survey).is_some() {
                continue;
            }
            if let Some(caution) = finding.life_caution() {
                say(caution, Sign::Caution);
            }
        }
    }
}

/// Whether the answers are few and short enough to stand side by side in their row.
fn side_by_side(words: &[Word]) -> bool {
    const FEW: usize = 3;
    const SHORT: usize = 36;
    words.len() <= FEW
        && words
            .iter()
            .map(|word| word.label.chars().count())
            .sum::<usize>()
            <= SHORT
}

fn row_kind(kind: Kind) -> RowKind {
    match kind {
        _ if kind.counts_things() => RowKind::Count,
        Kind::Choice(_) => RowKind::Choice,
        Kind::YesNo => RowKind::YesNo,
        Kind::Complete => RowKind::All,
        Kind::Text => RowKind::Words,
        _ => RowKind::Tape,
    }
}

/// The stop after this one.
pub fn next_stop(stop: Stop) -> Option<Stop> {
    let at = Stop::ALL.iter().position(|s| *s == stop)?;
    Stop::ALL.get(at + 1).copied()
}

/// What a picture taken here most likely shows.
pub fn likely_subject(place: Place) -> Subject {
    match place {
        Place::Item { list, .. } => match list.id {
            "attic.obstructions" => Subject::Obstruction,
            "attic.joists" | "attic.joist_cuts" => Subject::Joists,
            "vents.vents" => Subject::Vent,
            "flame.appliances" => Subject::Appliance,
            "hall.box_contents" => Subject::SwitchBox,
            "hall.fixtures" => Subject::HallCeiling,
            _ => Subject::Other,
        },
        Place::Stop(stop) => match stop {
            Stop::Arrival => Subject::House,
            Stop::Hall => Subject::HallCeiling,
            Stop::Attic => Subject::SpotFromAbove,
            Stop::Vents => Subject::Vent,
            Stop::PowerAndFlame => Subject::Panel,
            Stop::WrapUp => Subject::Other,
        },
    }
}

impl std::fmt::Display for Key {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let number = |id: &Option<ItemId>| id.map_or("-".to_owned(), |id| id.0.to_string());
        match self {
            Key::Field(at) => write!(
                f,
                "field {} {} {}",
                at.field,
                number(&at.spot),
                number(&at.item)
            ),
            Key::Entry { list, item } => write!(f, "entry {} {}", list.id, item.0),
            Key::Add(list) => write!(f, "add {}", list.id),
            Key::Another => f.write_str("another"),
            Key::CopySpot => f.write_str("copy-spot"),
            Key::RemoveSpot => f.write_str("remove-spot"),
            Key::Side => f.write_str("side"),
            Key::Full => f.write_str("full"),
            Key::AsLast => f.write_str("as-last"),
            Key::AsSpot => f.write_str("as-spot"),
            Key::NoneSeen => f.write_str("none-seen"),
            Key::Photos => f.write_str("photos"),
            Key::Next => f.write_str("next"),
            Key::Nothing => Ok(()),
        }
    }
}

impl Key {
    /// The key back from its text.
    pub fn parse(text: &str) -> Option<Key> {
        let number = |text: &str| match text {
            "-" => Some(None),
            digits => digits.parse().ok().map(|n| Some(ItemId(n))),
        };
        let mut words = text.split(' ');
        Some(match words.next()? {
            "field" => {
                let name = words.next()?;
                let field = match fields::slot(name) {
                    Some(slot) => slot.id,
                    None => fields::list(name).map(|list| list.complete)?,
                };
                Key::Field(FieldRef {
                    field,
                    spot: number(words.next()?)?,
                    item: number(words.next()?)?,
                })
            }
            "entry" => Key::Entry {
                list: fields::list(words.next()?)?,
                item: ItemId(words.next()?.parse().ok()?),
            },
            "add" => Key::Add(fields::list(words.next()?)?),
            "another" => Key::Another,
            "copy-spot" => Key::CopySpot,
            "remove-spot" => Key::RemoveSpot,
            "side" => Key::Side,
            "full" => Key::Full,
            "as-last" => Key::AsLast,
            "as-spot" => Key::AsSpot,
            "none-seen" => Key::NoneSeen,
            "photos" => Key::Photos,
            "next" => Key::Next,
            _ => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use crate::survey::{Ways, When};
    use std::collections::BTreeSet;

    fn filled() -> Survey {
        let now: When = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let mut survey = Survey::begin(uuid::Uuid::nil(), now, Tape::default());
        for list in fields::LISTS {
            let spot = list.of_spot.then(|| survey.spots[0].id);
            let id = survey.fresh_id();
            survey.list_mut(list.id, spot).unwrap().add(id);
        }
        survey
    }

    #[test]
    fn every_answer_of_the_catalogue_has_its_row() {
        let mut survey = filled();
        let spot = survey.spots[0].id;
        let judged = Judged::of(
            &survey,
            crate::trade::fan::generic(),
            &Default::default(),
            &Reader::default(),
        );
        let mut asked = BTreeSet::new();
        // Each shape and kind asks for its own sizes.
        for (shape, kind) in [
            (Shape::Box, VentKind::Ridge),
            (Shape::Run, VentKind::RoundHole),
        ] {
            let thing = survey.spot(spot).unwrap().attic.obstructions.items[0].id;
            let vent = survey.vents.vents.items[0].id;
            for (field, item, owner, word) in [
                ("obstruction.shape", thing, Some(spot), shape.code()),
                ("vent.kind", vent, None, kind.code()),
            ] {
                let at = FieldRef {
                    field,
                    spot: owner,
                    item: Some(item),
                };
                survey.type_in(at, word, &Ways::default()).unwrap();
            }
            let seen = Seen {
                survey: &survey,
                spot,
                reader: &Reader::default(),
                judged: &judged,
                troubles: &BTreeMap::new(),
                quick: None,
            };
            let mut places: Vec<Place> = Stop::ALL.iter().map(|s| Place::Stop(*s)).collect();
            for list in fields::LISTS {
                let owner = list.of_spot.then_some(spot);
                let item = survey.list(list.id, owner).unwrap().ids()[0];
                places.push(Place::Item { list, item });
            }
            for place in places {
                for row in place.rows(&seen) {
                    assert_eq!(
                        Key::parse(&row.key.to_string()).unwrap_or(Key::Nothing),
                        row.key
                    );
                    if let Key::Field(at) = row.key {
                        asked.insert(at);
                    }
                }
            }
        }
        for at in survey.places() {
            assert!(asked.contains(&at), "{} is asked nowhere", at.field);
        }
    }

    /// What a stop says of a house of which only this is known.
    fn told_at(stop: Stop, known: &[(&'static str, &str)]) -> Vec<(Sign, String)> {
        let survey = crate::rules::test_house::survey(known);
        let reader = Reader::default();
        let fans = crate::trade::fan::generic();
        let judged = Judged::of(&survey, fans, &Default::default(), &reader);
        let seen = Seen {
            survey: &survey,
            spot: survey.spots[0].id,
            reader: &reader,
            judged: &judged,
            troubles: &BTreeMap::new(),
            quick: None,
        };
        Place::Stop(stop)
            .rows(&seen)
            .into_iter()
            .filter(|row| row.kind == RowKind::Finding)
            .map(|row| (row.sign, row.label))
            .collect()
    }

    #[test]
    fn what_keeps_everybody_out_is_no_line_among_findings() {
        let told = told_at(
            Stop::Arrival,
            &[
                ("arrival.attic_temperature", "130 °F"),
                ("arrival.attic_humidity", "15 %"),
            ],
        );
        let cautions = |told: &[(Sign, String)]| {
            told.iter()
                .filter(|(sign, _)| *sign == Sign::Caution)
                .count()
        };
        // What keeps everybody out stands in the band over the page, never under the mark of a finding.
        assert_eq!(cautions(&told), 0, "{told:?}");
        let cool = told_at(
            Stop::Arrival,
            &[
                ("arrival.attic_temperature", "70 °F"),
                ("arrival.attic_humidity", "15 %"),
            ],
        );
        assert_eq!(cautions(&cool), 0, "{cool:?}");
    }

    #[test]
    fn hazards_and_fire_tell_their_cautions_at_the_stop() {
        for (stop, field, answer, caution) in [
            (
                Stop::Arrival,
                "arrival.knob_and_tube",
                "yes",
                "Leave the attic and touch nothing.",
            ),
            (
                Stop::PowerAndFlame,
                "flame.fireplace",
                "tight damper",
                "Never run the fan while a fire burns",
            ),
        ] {
            let told = told_at(stop, &[(field, answer)]);
            assert!(
                told.iter()
                    .any(|(sign, text)| *sign == Sign::Caution && text.starts_with(caution)),
                "{field}: {told:?}"
            );
        }
    }

    #[test]
    fn every_heading_stands_before_a_field_that_there_is() {
        for (id, _) in HEADINGS {
            assert!(fields::slot(id).is_some(), "{id}");
        }
    }
}
