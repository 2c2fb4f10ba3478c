//! What lets air into the hall of a spot: the windows of each room behind its door, in still air and in wind.
//!
//! Rooms without windows let nothing in. A house leaks besides, but no leak is counted on.

use super::answers::Run;
use crate::measure::quantity::{Airflow, Area, Pressure};
use crate::measure::{Length, Reading};
use crate::say::Say;
use crate::survey::{
    Door, FieldRef, HouseSide, ItemId, Room, Spot, Survey, Window, flame, hall, room, window,
};
use crate::trade::network::AirResistance;
use crate::trade::opening::{Discharge, flow, standard_air};
use crate::trade::weather::{Face, JUDGED_WIND, wind_pressure};
use crate::trade::zones::STRAIGHT_PA;
use schemars::JsonSchema;
use serde::Serialize;

/// An open doorway of 30 × 80 in; it is no obstacle, so that its very size does not matter (derived).
fn doorway() -> Area {
    Length::inches(30) * Length::inches(80)
}

/// Insect screens halve a window's opening, as they halve a vent's (field guide, confirmed; the extension sheet's
/// window rule doubles the area for them as well).
pub(crate) const SCREENED: f64 = 2.0;

/// Four sides of a house, in the order of [`HouseSide::ALL`].
type Sides<T> = [T; 4];

const fn side_number(side: HouseSide) -> usize {
    match side {
        HouseSide::Front => 0,
        HouseSide::Back => 1,
        HouseSide::Left => 2,
        HouseSide::Right => 3,
    }
}

/// Windows of one size in a room.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Sash {
    window: ItemId,
    side: usize,
    /// What one of them lets through, as a bare opening.
    each: Area,
    count: u32,
}

/// A room with windows.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Inlet {
    /// The room; `None` for windows whose rooms nobody noted.
    room: Option<ItemId>,
    name: Option<String>,
    door: Door,
    /// What passes its door, or the lack of one, as it was said to stand.
    passage: Area,
    sashes: Vec<Sash>,
}

/// What lets air into the hall.
#[derive(Debug, Clone)]
pub struct Inlets {
    rooms: Vec<Inlet>,
    /// Whether rooms and windows are measured so far that the air can be reckoned with.
    pub(crate) known: bool,
    /// The answers that are missing for it.
    pub(crate) holes: Run,
    /// Which answers cannot both be right.
    pub(crate) clash: Option<Say>,
    /// Windows in rooms that do not open to this hall.
    pub(crate) elsewhere: u32,
    /// Area of windows whose rooms nobody noted, where it counts.
    pub(crate) unplaced: Option<Area>,
    screens: Option<bool>,
    as_said: Opened,
    doors_open: Opened,
    least: [Least; 2],
}

/// Windows and doors that stand open at once.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Opened {
    /// Each room's windows by side, ft², and its passage, ft².
    parts: Vec<(Sides<f64>, f64)>,
}

/// What one square foot passes at one pascal in standard air, cfm.
fn per_ft2() -> f64 {
    flow(
        Discharge::SHARP_EDGE,
        Area::from_ft2(1.0),
        Pressure::from_pa(1.0),
        standard_air(),
    )
    .cfm()
}

/// The area that lets through as much as two openings one behind the other.
fn behind(windows: f64, passage: f64) -> f64 {
    if windows <= 0.0 || passage <= 0.0 {
        0.0
    } else {
        1.0 / (windows.powi(-2) + passage.powi(-2)).sqrt()
    }
}

/// The root of a pressure with its sign, straight where the network's law is.
fn signed_root(pa: f64) -> f64 {
    if pa.abs() <= STRAIGHT_PA {
        return pa / STRAIGHT_PA.sqrt();
    }
    pa.abs().sqrt().copysign(pa)
}

impl Opened {
    /// The opening straight to outdoors that lets as much into the hall, in still air.
    pub(crate) fn area(&self) -> Area {
        Area::from_ft2(
            self.parts
                .iter()
                .map(|(sides, passage)| behind(sides.iter().sum(), *passage))
                .sum(),
        )
    }

    /// What it costs the air.
    pub(crate) fn resistance(&self) -> AirResistance {
        AirResistance::of_opening(Discharge::SHARP_EDGE, self.area())
    }

    /// Windows so many times as large behind the same doors.
    pub(crate) fn widened(&self, times: f64) -> Opened {
        let wide = |sides: Sides<f64>| sides.map(|it| it * times);
        Opened {
            parts: self.parts.iter().map(|(s, p)| (wide(*s), *p)).collect(),
        }
    }

    /// On how many sides of the house windows stand open.
    pub(crate) fn sides(&self) -> usize {
        let open = |side: usize| self.parts.iter().any(|(s, p)| s[side] > 0.0 && *p > 0.0);
        (0..4).filter(|side| open(*side)).count()
    }

    /// What flows into the hall at this pressure, with the wind on one side; all in standard air.
    pub(crate) fn inflow(&self, hall: Pressure, wind: &Wind) -> Airflow {
        let hall = hall.pa();
        let cfm: f64 = self
            .parts
            .iter()
            .filter(|(_, passage)| *passage > 0.0)
            .map(|(sides, passage)| into_hall(sides, *passage, hall, &wind.0))
            .sum();
        Airflow::from_cfm(cfm * per_ft2())
    }
}

/// What a room passes on to the hall, as ft²·√Pa.
fn into_hall(sides: &Sides<f64>, passage: f64, hall: f64, outside: &Sides<f64>) -> f64 {
    let mut open = (0..4).filter(|side| sides[*side] > 0.0);
    let Some(first) = open.next() else {
        return 0.0;
    };
    if open.all(|side| outside[side] == outside[first]) {
        return behind(sides.iter().sum(), passage) * signed_root(outside[first] - hall);
    }
    // Air may blow through the room; its pressure lies between all that surround it.
    let (mut low, mut high) = (hall, hall);
    for side in 0..4 {
        if sides[side] > 0.0 {
            low = low.min(outside[side]);
            high = high.max(outside[side]);
        }
    }
    let surplus = |room: f64| -> f64 {
        let through = |side: usize| sides[side] * signed_root(outside[side] - room);
        (0..4).map(through).sum::<f64>() - passage * signed_root(room - hall)
    };
    for _ in 0..48 {
        let middle = 0.5 * (low + high);
        if surplus(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    passage * signed_root(0.5 * (low + high) - hall)
}

/// What the wind puts on each side of the house, Pa in standard air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wind(Sides<f64>);

impl Wind {
    /// The wind on each of the four sides in turn.
    pub(crate) fn all() -> [(HouseSide, Wind); 4] {
        let on = |face| wind_pressure(face, JUDGED_WIND, standard_air()).pa();
        let (ward, beside, behind) = (on(Face::Windward), on(Face::Beside), on(Face::Behind));
        [
            (HouseSide::Front, Wind([ward, behind, beside, beside])),
            (HouseSide::Back, Wind([behind, ward, beside, beside])),
            (HouseSide::Left, Wind([beside, beside, ward, behind])),
            (HouseSide::Right, Wind([beside, beside, behind, ward])),
        ]
    }

    /// What it puts on the vents of a low roof.
    pub(crate) fn on_roof() -> Pressure {
        wind_pressure(Face::Roof, JUDGED_WIND, standard_air())
    }
}

/// Windows of one entry to open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct OpenWindows {
    /// The entry in the list of windows.
    pub window: ItemId,
    /// How many of it.
    pub count: u32,
}

/// What to open in one room.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct OpenRoom {
    /// The entry in the hall's list of rooms; absent for windows whose rooms nobody noted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub room: Option<ItemId>,
    /// What the room is called.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// The windows.
    pub windows: Vec<OpenWindows>,
    /// Whether its door must stand open, too.
    pub door: bool,
}

impl OpenRoom {
    /// How many windows.
    pub fn count(&self) -> u32 {
        self.windows.iter().map(|it| it.count).sum()
    }
}

/// The fewest windows and doors that must stand open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ToOpen {
    /// Room by room, in the order of the list.
    pub rooms: Vec<OpenRoom>,
}

/// What a room may have open: so many of its windows, the largest first, and its door.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Take {
    windows: u32,
    door: bool,
}

/// For every number of things that stand open, and for the sides that their windows are on, what lets in most.
#[derive(Debug, Clone, Default)]
struct Least {
    /// Room by room: by sides and number the best area and what this room had open in it.
    layers: Vec<Vec<Option<(f64, Take)>>>,
    most: usize,
}

/// All the sides as bits.
const MASKS: usize = 16;
/// Things that are counted at most; more windows than that need no counting.
const THINGS: usize = 40;

impl Inlet {
    /// All windows, the largest first.
    fn singles(&self) -> Vec<(usize, f64, ItemId)> {
        let mut all: Vec<_> = self
            .sashes
            .iter()
            .flat_map(|it| {
                let one = (it.side, it.each.ft2(), it.window);
                std::iter::repeat_n(one, it.count.min(THINGS as u32) as usize)
            })
            .collect();
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }

    fn said_open(&self) -> bool {
        matches!(self.door, Door::Open | Door::NoDoor)
    }

    /// What passes its door when that is open, or when it is shut.
    fn passage(&self, door: bool) -> f64 {
        match self.door {
            Door::NoDoor => doorway().ft2(),
            _ if door => doorway().ft2().max(self.passage.ft2()),
            // Nobody measured the gap of a door that stands open.
            Door::Open => 0.0,
            Door::Shut | Door::Unsure => self.passage.ft2(),
        }
    }

    /// Its windows by side and its passage with all windows open.
    fn part(&self, door: bool) -> (Sides<f64>, f64) {
        let mut sides = [0.0; 4];
        for it in &self.sashes {
            sides[it.side] += it.each.ft2() * f64::from(it.count);
        }
        (sides, self.passage(door))
    }
}

impl Least {
    /// `any_door`: whether a door that was said to be shut may be opened.
    fn of(rooms: &[Inlet], any_door: bool) -> Least {
        let things: usize = rooms
            .iter()
            .map(|it| it.singles().len() + usize::from(it.door != Door::NoDoor))
            .sum();
        let most = things.min(THINGS);
        let at = |mask: usize, things: usize| mask * (most + 1) + things;
        let mut layers: Vec<Vec<Option<(f64, Take)>>> = Vec::new();
        let none = Take {
            windows: 0,
            door: false,
        };
        let mut before = vec![None; MASKS * (most + 1)];
        before[at(0, 0)] = Some((0.0, none));
        for room in rooms {
            let singles = room.singles();
            let mut now: Vec<Option<(f64, Take)>> = before
                .iter()
                .map(|it| it.map(|(area, _)| (area, none)))
                .collect();
            for door in [false, true] {
                let opens = door && room.door != Door::NoDoor && (any_door || room.said_open());
                if door && !opens {
                    continue;
                }
                let passage = room.passage(door);
                if passage <= 0.0 {
                    continue;
                }
                let (mut area, mut mask) = (0.0, 0);
                for (number, (side, each, _)) in singles.iter().enumerate() {
                    area += each;
                    mask |= 1 << side;
                    let (let_in, adds) = (behind(area, passage), number + 1 + usize::from(opens));
                    let take = Take {
                        windows: number as u32 + 1,
                        door: opens,
                    };
                    for old in 0..MASKS {
                        for things in 0..(most + 1).saturating_sub(adds) {
                            let Some((sum, _)) = before[at(old, things)] else {
                                continue;
                            };
                            let held = &mut now[at(old | mask, things + adds)];
                            if held.is_none_or(|(best, _)| sum + let_in > best) {
                                *held = Some((sum + let_in, take));
                            }
                        }
                    }
                }
            }
            layers.push(now.clone());
            before = now;
        }
        Least { layers, most }
    }

    /// What each room has open where so many things on these sides let in most.
    fn takes(&self, rooms: &[Inlet], mask: usize, things: usize) -> Option<Vec<Take>> {
        let at = |mask: usize, things: usize| mask * (self.most + 1) + things;
        let (mut mask, mut things) = (mask, things);
        let mut takes = Vec::with_capacity(rooms.len());
        for number in (0..rooms.len()).rev() {
            let (area, take) = self.layers[number][at(mask, things)]?;
            takes.push(take);
            if take.windows == 0 {
                continue;
            }
            // The state before: the same room's take came on top of it.
            let singles = rooms[number].singles();
            let opened = &singles[..take.windows as usize];
            let own = opened.iter().fold(0, |mask, it| mask | 1 << it.0);
            let let_in = behind(
                opened.iter().map(|it| it.1).sum(),
                rooms[number].passage(take.door),
            );
            things -= take.windows as usize + usize::from(take.door);
            let before = |mask: usize| match number {
                0 => (mask == 0 && things == 0).then_some(0.0),
                _ => self.layers[number - 1][at(mask, things)].map(|it| it.0),
            };
            mask = (0..MASKS).find(|old| {
                old | own == mask
                    && before(*old).is_some_and(|sum| (sum + let_in - area).abs() <= 1e-9)
            })?;
        }
        takes.reverse();
        Some(takes)
    }
}

impl Inlets {
    /// What lets air into a spot's hall.
    pub fn of(survey: &Survey, spot: &Spot) -> Inlets {
        let mut holes = Vec::new();
        let (list, windows) = (&spot.hall.rooms, &survey.flame.windows);
        if !list.complete {
            holes.push(hall::ROOMS.complete_at(spot.id));
        }
        if !windows.complete {
            holes.push(flame::WINDOWS.complete_of_house());
        }
        let screens = survey.flame.window_screens;
        let mut rooms: Vec<Inlet> = Vec::new();
        let (mut elsewhere, mut clash, mut unplaced) = (0, None, None);
        for window in &windows.items {
            let Some((room, sash)) = sash(window, screens, &mut holes) else {
                continue;
            };
            let same = |it: &&Room| it.name.as_deref().is_some_and(|it| alike(it, room));
            let found: Vec<&Room> = list.items.iter().filter(same).collect();
            if found.is_empty() {
                elsewhere += sash.count;
            }
            // Where two rooms have one name, the windows are in the one that lets less through.
            let mut least: Option<(&Room, Door, Area)> = None;
            let mut open = false;
            for room in found {
                match passage(room, spot.id, &mut holes) {
                    Some((door, area)) if least.is_none_or(|(.., held)| area < held) => {
                        least = Some((room, door, area));
                    }
                    Some(_) => {}
                    None => open = true,
                }
            }
            let (Some((room, door, passage)), false) = (least, open) else {
                continue;
            };
            match rooms.iter_mut().find(|it| it.room == Some(room.id)) {
                Some(inlet) => inlet.sashes.push(sash),
                None => rooms.push(Inlet {
                    room: Some(room.id),
                    name: room.name.clone(),
                    door,
                    passage,
                    sashes: vec![sash],
                }),
            }
        }
        if !windows.items.is_empty() {
            for room in list.items.iter().filter(|room| room.name.is_none()) {
                holes.push(room::NAME.at(spot.id).item(room.id));
            }
            if screens.is_none() {
                holes.push(flame::WINDOW_SCREENS.of_house());
            }
            if elsewhere > 0 && rooms.is_empty() && holes.is_empty() {
                clash = Some(Say::new(
                    "no window is in a room of this hall's list: call the rooms alike in both lists.",
                ));
            }
        } else if windows.complete {
            let area = survey.flame.openable_window_area;
            if area.is_none() {
                holes.push(flame::OPENABLE_WINDOW_AREA.of_house());
            }
            let area = area.filter(|it| it.ft2() > 0.0);
            if area.is_some() && screens.is_none() {
                holes.push(flame::WINDOW_SCREENS.of_house());
            }
            // Nobody noted where they are: behind the door that lets the least through.
            if let Some(area) = area {
                unplaced = Some(area);
                let mut through = match list.items.is_empty() {
                    // No room: they are in the hall itself.
                    true => Area::from_ft2(1e6),
                    false => doorway(),
                };
                for room in &list.items {
                    if let Some((_, area)) = passage(room, spot.id, &mut holes)
                        && area < through
                    {
                        through = area;
                    }
                }
                let each = if screens == Some(false) {
                    area
                } else {
                    area / SCREENED
                };
                rooms.push(Inlet {
                    room: None,
                    name: None,
                    door: Door::Unsure,
                    passage: through,
                    sashes: vec![Sash {
                        window: ItemId(0),
                        side: 0,
                        each,
                        count: 1,
                    }],
                });
            }
        }
        let order = |it: &Inlet| list.items.iter().position(|room| Some(room.id) == it.room);
        rooms.sort_by_key(order);
        let known = holes.is_empty() && clash.is_none();
        let opened = |any: bool| Opened {
            parts: rooms
                .iter()
                .map(|it| it.part(any || it.said_open()))
                .collect(),
        };
        let least = |any_door| match known {
            true => Least::of(&rooms, any_door),
            false => Least::default(),
        };
        Inlets {
            as_said: opened(false),
            doors_open: opened(true),
            least: [least(false), least(true)],
            rooms,
            known,
            holes: holes.into(),
            clash,
            elsewhere,
            unplaced,
            screens,
        }
    }

    /// Clear opening that lets through as much as this area without screens; the screens as they are.
    pub(crate) fn clear_opening(&self, bare: Area) -> Area {
        match self.screens {
            Some(false) => bare,
            _ => bare * SCREENED,
        }
    }

    /// All windows open, doors as they were said to stand.
    pub(crate) fn as_said(&self) -> &Opened {
        &self.as_said
    }

    /// All windows and doors open.
    pub(crate) fn doors_open(&self) -> &Opened {
        &self.doors_open
    }

    /// The fewest windows and doors that let in what this opening straight to outdoors would, and with which all is well
    /// besides; windows on two sides of the house first. With `any_door` doors that were said to be shut are opened, too.
    pub(crate) fn least(
        &self,
        need: Area,
        any_door: bool,
        well: impl Fn(&Opened) -> bool,
    ) -> Option<ToOpen> {
        if !self.known || self.unplaced.is_some() {
            return None;
        }
        let table = &self.least[usize::from(any_door)];
        let last = table.layers.last()?;
        let area = |mask: usize, things: usize| last[mask * (table.most + 1) + things];
        for things in 0..=table.most {
            let mut masks: Vec<(usize, f64)> = (0..MASKS)
                .filter_map(|mask| Some((mask, area(mask, things)?.0)))
                .filter(|(_, area)| *area + 1e-9 >= need.ft2())
                .collect();
            // More sides first, then more area.
            masks.sort_by(|a, b| {
                let sides = |mask: usize| mask.count_ones().min(2);
                sides(b.0).cmp(&sides(a.0)).then(b.1.total_cmp(&a.1))
            });
            for (mask, _) in masks {
                let Some(takes) = table.takes(&self.rooms, mask, things) else {
                    continue;
                };
                if well(&self.opened(&takes)) {
                    return Some(self.to_open(&takes));
                }
            }
        }
        None
    }

    fn opened(&self, takes: &[Take]) -> Opened {
        let parts = self.rooms.iter().zip(takes).map(|(room, take)| {
            let mut sides = [0.0; 4];
            for (side, each, _) in &room.singles()[..take.windows as usize] {
                sides[*side] += each;
            }
            (sides, room.passage(take.door))
        });
        Opened {
            parts: parts.collect(),
        }
    }

    fn to_open(&self, takes: &[Take]) -> ToOpen {
        let opens = self.rooms.iter().zip(takes);
        let rooms = opens
            .filter(|(_, take)| take.windows > 0)
            .map(|(room, take)| {
                let mut windows: Vec<OpenWindows> = Vec::new();
                for (.., window) in &room.singles()[..take.windows as usize] {
                    match windows.iter_mut().find(|it| it.window == *window) {
                        Some(held) => held.count += 1,
                        None => windows.push(OpenWindows {
                            window: *window,
                            count: 1,
                        }),
                    }
                }
                OpenRoom {
                    room: room.room,
                    name: room.name.clone(),
                    windows,
                    door: take.door,
                }
            });
        ToOpen {
            rooms: rooms.collect(),
        }
    }
}

impl ToOpen {
    /// "the 2 windows in the front bedroom and its door; …"
    pub fn say(&self) -> Option<Say> {
        let one = |room: &OpenRoom| {
            let name = room.name.clone().unwrap_or_default();
            let text = match (room.count(), room.door) {
                (1, true) => "1 window in “{room}” and its door",
                (1, false) => "1 window in “{room}”",
                (_, true) => "{count} windows in “{room}” and its door",
                (_, false) => "{count} windows in “{room}”",
            };
            let say = Say::new(text).with("room", name);
            match room.count() {
                1 => say,
                count => say.with("count", count),
            }
        };
        let mut rooms = self.rooms.iter().map(one);
        let first = rooms.next()?;
        Some(rooms.fold(first, |say, next| {
            Say::new("{some}; {more}")
                .with("some", say)
                .with("more", next)
        }))
    }
}

/// Whether two names of rooms mean the same.
fn alike(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// A window's room and what it lets through; notes what is missing.
fn sash<'a>(
    window: &'a Window,
    screens: Option<bool>,
    holes: &mut Vec<FieldRef>,
) -> Option<(&'a str, Sash)> {
    for (field, gone) in [
        (window::ROOM.id, window.room.is_none()),
        (window::COUNT.id, window.count.is_none()),
        (window::WIDTH.id, window.width.is_none()),
        (window::HEIGHT.id, window.height.is_none()),
        (window::SIDE.id, window.side.is_none()),
    ] {
        if gone {
            holes.push(FieldRef::house(field).item(window.id));
        }
    }
    let (width, height) = (window.width?.length(), window.height?.length());
    let bare = width * height;
    let sash = Sash {
        window: window.id,
        side: side_number(window.side?),
        each: if screens == Some(false) {
            bare
        } else {
            bare / SCREENED
        },
        count: window.count?,
    };
    Some((window.room.as_deref()?, sash))
}

/// How a room's door stands and what passes it; notes what is missing.
fn passage(room: &Room, spot: ItemId, holes: &mut Vec<FieldRef>) -> Option<(Door, Area)> {
    let mut ask = |field, gone: bool| {
        let at = FieldRef::spot(field, spot).item(room.id);
        if gone && !holes.contains(&at) {
            holes.push(at);
        }
    };
    if let Some(door @ (Door::Open | Door::NoDoor)) = room.door {
        return Some((door, doorway()));
    }
    ask(room::DOOR.id, room.door.is_none());
    ask(room::DOOR_WIDTH.id, room.door_width.is_none());
    ask(room::UNDERCUT.id, room.undercut.is_none());
    ask(room::TRANSFER_AREA.id, room.transfer_area.is_none());
    let gap = room.door_width.map(Reading::length)? * room.undercut.map(Reading::length)?;
    Some((room.door?, gap + room.transfer_area?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use crate::survey::Ways;
    use crate::trade::fan::generic;
    use crate::trade::network::{AirPath, balance, flow_from};
    use crate::trade::zones::{Side, Zones};
    use proptest::prelude::*;

    fn say(survey: &mut Survey, at: FieldRef, text: &str) {
        survey.type_in(at, text, &Ways::default()).unwrap();
    }

    fn add(
        survey: &mut Survey,
        spot: Option<ItemId>,
        list: &str,
        answers: &[(&'static str, &str)],
    ) {
        let id = survey.fresh_id();
        survey.list_mut(list, spot).unwrap().add(id);
        for (field, text) in answers {
            let at = FieldRef {
                field,
                spot,
                item: Some(id),
            };
            say(survey, at, text);
        }
    }

    /// Rooms by door (open, shut, none), each with windows by side and count, 30 × 3/4 in under a shut door.
    fn inlets(rooms: &[(usize, Vec<(usize, u32, i64)>)]) -> Inlets {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let mut survey = Survey::begin(uuid::Uuid::nil(), now, Tape::default());
        let spot = survey.spots[0].id;
        say(&mut survey, hall::ROOMS.complete_at(spot), "yes");
        say(&mut survey, flame::WINDOWS.complete_of_house(), "yes");
        say(&mut survey, flame::WINDOW_SCREENS.of_house(), "no");
        for (number, (door, windows)) in rooms.iter().enumerate() {
            let name = format!("Room {number}");
            let door = ["open", "shut", "no door"][*door];
            add(
                &mut survey,
                Some(spot),
                hall::ROOMS.id,
                &[
                    (room::NAME.id, &name),
                    (room::DOOR.id, door),
                    (room::DOOR_WIDTH.id, "30"),
                    (room::UNDERCUT.id, "3/4"),
                    (room::TRANSFER_AREA.id, "0 in2"),
                ],
            );
            for (side, count, inches) in windows {
                add(
                    &mut survey,
                    None,
                    flame::WINDOWS.id,
                    &[
                        (window::ROOM.id, &name),
                        (window::COUNT.id, &count.to_string()),
                        (window::WIDTH.id, &inches.to_string()),
                        (window::HEIGHT.id, "36"),
                        (window::SIDE.id, HouseSide::ALL[*side].code()),
                    ],
                );
            }
        }
        Inlets::of(&survey, &survey.spots[0])
    }

    fn some_rooms() -> impl Strategy<Value = Vec<(usize, Vec<(usize, u32, i64)>)>> {
        let window = (0..4_usize, 1..3_u32, 10..50_i64);
        let room = (0..3_usize, prop::collection::vec(window, 1..3));
        prop::collection::vec(room, 1..4)
    }

    proptest! {
        /// Every way to open windows and doors is tried; none with fewer things lets in as much.
        #[test]
        fn nothing_less_would_do(rooms in some_rooms(), share in 0.05..1.0_f64, any in any::<bool>()) {
            let inlets = inlets(&rooms);
            let all = if any { inlets.doors_open().area() } else { inlets.as_said().area() };
            let need = all * share;
            let found = inlets.least(need, any, |_| true).expect("all of them do");
            let things: u32 = found.rooms.iter().map(|it| it.count() + u32::from(it.door)).sum();
            // By room: every number of windows of each size, door open or not.
            let mut ways: Vec<(u32, f64)> = vec![(0, 0.0)];
            for room in &inlets.rooms {
                let mut own = vec![(0, 0.0)];
                let mut counts: Vec<(u32, f64)> = vec![(0, 0.0)];
                for sash in &room.sashes {
                    counts = counts.iter().flat_map(|(n, a)| {
                        (0..=sash.count).map(move |k| (n + k, a + f64::from(k) * sash.each.ft2()))
                    }).collect();
                }
                for door in [false, true] {
                    let real = room.door != Door::NoDoor;
                    if door && (!real || !(any || room.said_open())) { continue; }
                    for (n, area) in &counts {
                        own.push((n + u32::from(door), behind(*area, room.passage(door))));
                    }
                }
                ways = ways.iter().flat_map(|(n, a)| own.iter().map(move |(k, b)| (n + k, a + b))).collect();
            }
            let fewest = ways.iter().filter(|(_, area)| area + 1e-9 >= need.ft2()).map(|it| it.0).min();
            prop_assert_eq!(Some(things), fewest);
        }

        /// The rooms folded into one opening, and the whole network of zones, still or in wind, come to the same.
        #[test]
        fn folded_rooms_settle_like_the_network(rooms in some_rooms(), turn in 0..5_usize, exhaust in 0.0..800.0_f64) {
            let inlets = inlets(&rooms);
            let opened = inlets.doors_open();
            let wind = match turn {
                4 => Wind([0.0; 4]),
                side => Wind::all()[side].1,
            };
            let on_roof = if turn == 4 { Pressure::ZERO } else { Wind::on_roof() };
            let speed = generic().fans[0].high();
            let vents = Area::from_ft2(6.0);
            let mut zones = Zones::new();
            let (hall, attic) = (zones.zone(), zones.zone());
            for (sides, passage) in &opened.parts {
                let room = zones.zone();
                for (side, ft2) in sides.iter().enumerate().filter(|(_, ft2)| **ft2 > 0.0) {
                    let outside = Side::Outdoors(Pressure::from_pa(wind.0[side]));
                    zones.opening(outside, Side::Zone(room), Discharge::SHARP_EDGE, Area::from_ft2(*ft2));
                }
                zones.opening(Side::Zone(room), Side::Zone(hall), Discharge::SHARP_EDGE, Area::from_ft2(*passage));
            }
            zones.opening(Side::Zone(attic), Side::Outdoors(on_roof), Discharge::SHARP_EDGE, vents);
            zones.exhaust(hall, Airflow::from_cfm(exhaust));
            zones.fan(hall, attic, speed);
            let found = zones.settle(standard_air());
            prop_assert!(found.unbalanced().cfm() < 1e-4);
            let at = found.pressure(hall);
            let rest = AirResistance::of_opening(Discharge::SHARP_EDGE, vents);
            let drawn = flow_from(speed, at, on_roof, rest, standard_air()).cfm() + exhaust;
            prop_assert!((opened.inflow(at, &wind).cfm() - drawn).abs() < 0.5 + 1e-4 * drawn);
            if turn == 4 {
                let path = AirPath { windows: opened.resistance(), ceiling: AirResistance::NONE, vents: rest };
                let house = balance(speed, path, Airflow::from_cfm(exhaust), standard_air()).house;
                prop_assert!((house.pa() - at.pa()).abs() < 1e-3 * at.pa().abs().max(1.0), "{} {}", house, at);
            }
        }
    }
}
