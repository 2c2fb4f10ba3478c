//! The air side of a house and of a choice, worked out once so that no rule adds sixty vents up again.
//!
//! What is not measured yet is carried as a span: the worst and the best that the air can turn out to meet. A rule
//! that comes to the same answer at both ends has its answer.

use super::answers::Run;
use super::{AtSpot, Framing, House, WithFan};
use crate::measure::Length;
use crate::measure::quantity::{
    AirChanges, Airflow, Altitude, Area, Density, Pressure, Temperature, Volume,
};
use crate::say::Say;
use crate::survey::{
    Appliance, ApplianceKind, AppliancePlace, Attic, CombustionAir, Covering, Door, ExhaustEnd,
    ExhaustKind, Field, FieldRef, InsulationKind, SpillageTest, Survey, Vent, VentKind, VentPlace,
    Venting, appliance, arrival, exhaust, storey, vent,
};
use crate::trade::airflow::{air_changes, energy_rule};
use crate::trade::backdraft::{Burner, Flue, Limit, limit};
use crate::trade::codes::Codes;
use crate::trade::network::{AirPath, AirResistance, Balance, balance, blocked_width};
use crate::trade::opening::{Discharge, air_density};
use crate::trade::vent_area::{
    self, CodeShare, Cover, Form, Placed, ReducedRule, Reduction, ToAdd, USUAL_PER_VENT,
    code_share, fan_need, net_free, reduced_rule, retarder_zone, steep_roof_factor, to_add,
    together,
};
use crate::trade::weather::stack;
use schemars::JsonSchema;
use serde::Serialize;

/// The coldest of the evenings that a house is judged in, 50 to 70 °F: its air is the thickest and pulls hardest. Below
/// it nobody cools a house with a fan (common practice, no source).
pub const COLD_EVENING: Temperature = Temperature::from_f(50.0);

/// The air side of a house.
#[derive(Debug, Clone)]
pub struct HouseAir {
    /// The rooms to be cooled.
    pub(crate) rooms: Rooms,
    /// The attic's vents.
    pub(crate) vents: VentsFound,
    /// What else blows air out of the house.
    pub(crate) exhausts: Exhausts,
    /// What burns.
    pub(crate) flames: Flames,
    /// The thickest air that is possible here: on the coldest evening.
    pub(crate) dense: Density,
    /// The thinnest that it can turn out to be on that evening, while the height above the sea is not known.
    pub(crate) thin: Density,
    /// The rule of 1/300 in force.
    pub(crate) reduced: ReducedRule,
}

/// The rooms to be cooled, as far as they are measured.
#[derive(Debug, Clone)]
pub(crate) struct Rooms {
    /// Volume of the storeys measured so far.
    pub volume: Volume,
    /// Floor of the storeys measured so far.
    pub floor: Area,
    /// Whether the list is said to hold all storeys.
    pub listed: bool,
    /// Missing answers in it.
    pub holes: Run,
    /// Which answers cannot be right.
    pub clash: Option<&'static str>,
}

impl Rooms {
    /// Whether all is measured.
    pub fn whole(&self) -> bool {
        self.listed && self.holes.is_empty()
    }
}

/// The attic's vents, as far as they are measured.
#[derive(Debug, Clone)]
pub(crate) struct VentsFound {
    /// Net free area measured so far, by place; of unknown place in between.
    pub have: Placed,
    /// The part of it that is known to sit elsewhere than at the eaves.
    pub off_eaves: Area,
    /// Whether some of it is in vents of which it is not known where they sit.
    pub unplaced: bool,
    /// Whether the list is said to hold all vents.
    pub listed: bool,
    /// Missing answers that net free area hangs on.
    pub area_holes: Run,
    /// Missing answers to where a vent sits.
    pub place_holes: Run,
    /// Powered vents, which do not count.
    pub powered: u32,
    /// Whether a vent stands open without any screen.
    pub unscreened: bool,
    /// Whether a ridge vent or a perforated panel without a mark was counted at the least of its kind.
    pub taken_at_least: bool,
    /// Whether it was said that nobody looked behind them.
    pub unseen: bool,
}

impl VentsFound {
    /// Whether net free area is known.
    pub fn whole(&self) -> bool {
        self.listed && self.area_holes.is_empty()
    }

    /// Whether it matters to what was measured so far if the eaves are open.
    pub fn at_eaves(&self) -> bool {
        self.unplaced || self.have.lower.ft2() > 0.0
    }

    /// The least and the most net free area, of what was measured so far, that the air finds as it is: vents at the eaves
    /// count for nothing where insulation closes its way there.
    pub fn as_they_are(&self, eaves: Eaves) -> (Area, Area) {
        let all = self.have.total();
        let unless_at_eaves = if self.unplaced {
            self.have.upper + self.have.between
        } else {
            self.off_eaves
        };
        match eaves {
            Eaves::Open => (all, all),
            _ if !self.at_eaves() => (all, all),
            Eaves::Closed => (self.off_eaves, unless_at_eaves),
            Eaves::Unknown => (self.off_eaves, all),
        }
    }
}

/// The air's way between insulation and roof at the eaves, as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Eaves {
    /// Open, or nothing is there to close it.
    Open,
    /// Insulation closes it.
    Closed,
    /// Not looked at yet, or no insulation named that could close it.
    Unknown,
}

impl Eaves {
    /// What was found in a spot's attic.
    pub fn of(attic: &Attic) -> Eaves {
        match (attic.insulation, attic.eaves_open) {
            (Some(InsulationKind::None), _) | (_, Some(true)) => Eaves::Open,
            (Some(_), Some(false)) => Eaves::Closed,
            _ => Eaves::Unknown,
        }
    }
}

/// A flame and its limit.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flame {
    /// What burns.
    pub kind: Option<ApplianceKind>,
    /// The limit of its room.
    pub limit: Limit,
    /// What of the hall's pressure reaches its room: all of it, but for one with an opening of its own to outdoors
    /// behind a door.
    pub share: f64,
    /// By how much its room stands below outdoors for lying below the open windows.
    pub below: Pressure,
    /// What a technician measured in its room with the fan running.
    pub measured: Option<Pressure>,
}

impl Flame {
    /// The hall's limit in still air for the sake of this flame.
    pub fn in_hall(&self) -> Pressure {
        self.limit.pressure * (1.0 / self.share)
    }

    /// The same on a cool evening, when warm rooms pull as well.
    pub fn in_hall_when_cool(&self) -> Pressure {
        (self.limit.pressure + self.below) * (1.0 / self.share)
    }

    /// Whether what was measured keeps within the limit; `None` where nothing was measured.
    pub fn stands_measured(&self) -> Option<bool> {
        self.measured.map(|it| it >= self.limit.pressure)
    }

    /// What burns, in words.
    pub fn word(&self) -> &'static str {
        self.kind
            .map_or("Fuel-burning appliance", ApplianceKind::label)
    }
}

/// What burns in the house.
#[derive(Debug, Clone)]
pub(crate) struct Flames {
    /// Those with a limit; the tightest first.
    pub limits: Vec<Flame>,
    /// Whether the list is said to hold all appliances.
    pub listed: bool,
    /// Missing answers that a limit hangs on.
    pub holes: Run,
    /// Whether a spillage test was passed.
    pub passed: bool,
    /// Whether one stands in the garage, open to the house as far as is known.
    pub in_garage: bool,
}

impl Flames {
    /// Whether all limits are known.
    pub fn whole(&self) -> bool {
        self.listed && self.holes.is_empty()
    }

    /// The flames of which nobody measured the room, the tightest for the hall first.
    pub fn unmeasured(&self) -> impl Iterator<Item = &Flame> {
        self.limits.iter().filter(|it| it.measured.is_none())
    }

    /// The flame whose room was measured and stands too low.
    pub fn measured_too_low(&self) -> Option<&Flame> {
        let low = |it: &&Flame| it.stands_measured() == Some(false);
        self.limits.iter().find(low)
    }
}

impl HouseAir {
    /// Whether the density of the air is known.
    pub(crate) fn density_known(&self) -> bool {
        self.dense == self.thin
    }

    /// Adds up the air side of a house.
    pub fn of(survey: &Survey, codes: &Codes) -> HouseAir {
        // The worst evening decides, and cold air pulls hardest; what was measured on the day changes nothing.
        let at = |altitude| air_density(altitude, COLD_EVENING);
        let altitude = survey.arrival.altitude;
        let dense = at(altitude.unwrap_or(Altitude::LOWEST));
        let thin = at(altitude.unwrap_or(Altitude::HIGHEST));
        HouseAir {
            rooms: rooms(survey),
            vents: vents(survey),
            exhausts: exhausts(survey),
            flames: flames(survey),
            dense,
            thin,
            reduced: reduced_rule(codes.building),
        }
    }
}

fn rooms(survey: &Survey) -> Rooms {
    let list = &survey.arrival.storeys;
    let mut rooms = Rooms {
        volume: Volume::ZERO,
        floor: Area::ZERO,
        listed: list.complete,
        holes: Run::default(),
        clash: None,
    };
    let mut holes = Vec::new();
    if list.complete && list.items.is_empty() {
        rooms.clash = Some("the list of storeys is said to be complete, but none is in it.");
    }
    for storey in &list.items {
        let at = |field| FieldRef::house(field).item(storey.id);
        if storey.floor_area.is_none() {
            holes.push(at(storey::FLOOR_AREA.id));
        }
        if storey.ceiling_height.is_none() {
            holes.push(at(storey::CEILING_HEIGHT.id));
        }
        let nothing = storey.floor_area.is_some_and(|it| it.ft2() <= 0.0)
            || storey
                .ceiling_height
                .is_some_and(|it| it.length() <= Length::ZERO);
        if nothing {
            rooms.clash = Some("a storey has no floor area or no height.");
        }
        if let (Some(floor), Some(height)) = (storey.floor_area, storey.ceiling_height) {
            rooms.floor += floor;
            rooms.volume += floor * height.length();
        }
    }
    rooms.holes = holes.into();
    rooms
}

const fn cover(covering: Covering) -> Cover {
    match covering {
        Covering::Open => Cover::Open,
        Covering::HardwareCloth => Cover::HardwareCloth,
        Covering::EighthMesh => Cover::EighthMesh,
        Covering::InsectMesh | Covering::MetalLouversInsectMesh => Cover::InsectMesh,
        Covering::WoodLouversCloth => Cover::WoodLouversCloth,
        Covering::WoodLouversEighthMesh => Cover::WoodLouversEighthMesh,
        Covering::WoodLouversInsectMesh => Cover::WoodLouversInsectMesh,
    }
}

/// Reads one vent's answers; keeps the holes that its area hangs on.
struct VentLook<'a> {
    vent: &'a Vent,
    holes: &'a mut Vec<FieldRef>,
}

impl VentLook<'_> {
    fn get<T: Copy>(&mut self, field: Field<Vent, T>) -> Option<T> {
        let answer = field.read(self.vent).copied();
        if answer.is_none() {
            self.holes.push(field.of_house().item(self.vent.id));
        }
        answer
    }

    /// Net free area of one such vent from its sizes and its covering.
    fn unmarked(&mut self, kind: Option<VentKind>) -> Option<Area> {
        use VentKind::*;
        // Before the kind is known, any size may come to count.
        let any = kind.is_none();
        let sides = any
            || matches!(
                kind,
                Some(UnderEave | GableRectangle | GableTriangle | RoofBox)
            );
        let strip = matches!(kind, Some(SoffitStrip | PerforatedSoffit));
        let width = (sides || strip).then(|| self.get(vent::WIDTH)).flatten();
        let height = sides.then(|| self.get(vent::HEIGHT)).flatten();
        let length = (any || strip || kind == Some(Ridge))
            .then(|| self.get(vent::LENGTH))
            .flatten();
        let diameter = (any || matches!(kind, Some(Turbine | RoundHole)))
            .then(|| self.get(vent::DIAMETER))
            .flatten();
        let bare = matches!(kind, Some(Ridge | PerforatedSoffit | Turbine));
        let covering = (!bare).then(|| self.get(vent::COVERING)).flatten();
        let through = |form| Some(net_free(form, cover(covering?)));
        let both = |a: Option<crate::measure::Reading>, b: Option<crate::measure::Reading>| {
            Some((a?.length(), b?.length()))
        };
        match kind? {
            UnderEave | GableRectangle | RoofBox => {
                let (width, height) = both(width, height)?;
                through(Form::Rectangle { width, height })
            }
            GableTriangle => {
                let (width, height) = both(width, height)?;
                through(Form::Triangle { width, height })
            }
            SoffitStrip => {
                let (width, height) = both(width, length)?;
                through(Form::Rectangle { width, height })
            }
            RoundHole => through(Form::Circle {
                diameter: diameter?.length(),
            }),
            Turbine => Some(vent_area::gross(Form::Circle {
                diameter: diameter?.length(),
            })),
            PerforatedSoffit => {
                let (width, length) = both(width, length)?;
                Some(vent_area::unmarked_perforated(width * length))
            }
            Ridge => Some(vent_area::unmarked_ridge(length?.length())),
            Powered => Some(Area::ZERO),
        }
    }
}

fn vents(survey: &Survey) -> VentsFound {
    let list = &survey.vents.vents;
    let mut found = VentsFound {
        have: Placed::NONE,
        off_eaves: Area::ZERO,
        unplaced: false,
        listed: list.complete,
        area_holes: Run::default(),
        place_holes: Run::default(),
        powered: 0,
        unscreened: false,
        taken_at_least: false,
        unseen: survey.vents.looked_behind == Some(false),
    };
    let mut area_holes = Vec::new();
    let mut place_holes = Vec::new();
    for vent in &list.items {
        if vent.kind == Some(VentKind::Powered) {
            found.powered += vent.count.unwrap_or(1);
            continue;
        }
        let mut look = VentLook {
            vent,
            holes: &mut area_holes,
        };
        let kind = look.get(vent::KIND);
        let count = look.get(vent::COUNT);
        let blocked = look.get(vent::BLOCKED);
        // A mark wins; sizes count only where it was said that there is none.
        let each = match look.get(vent::MARKED) {
            Some(true) => look.get(vent::MARKED_AREA),
            Some(false) => look.unmarked(kind),
            None => {
                look.get(vent::MARKED_AREA);
                look.unmarked(kind);
                None
            }
        };
        if vent.place.is_none() {
            place_holes.push(vent::PLACE.of_house().item(vent.id));
        }
        let unmarked = vent.marked == Some(false);
        found.taken_at_least |=
            unmarked && matches!(kind, Some(VentKind::Ridge | VentKind::PerforatedSoffit));
        found.unscreened |= unmarked && vent.covering == Some(Covering::Open);
        // The kind may still turn out to be a powered one, which does not count.
        let (Some(_), Some(count), Some(blocked), Some(each)) = (kind, count, blocked, each) else {
            continue;
        };
        let area = together(each, count, blocked.percent());
        match vent.place {
            Some(VentPlace::Upper) => found.have.upper += area,
            Some(VentPlace::Lower) => found.have.lower += area,
            Some(VentPlace::Between) | None => found.have.between += area,
        }
        match vent.place {
            Some(VentPlace::Upper | VentPlace::Between) => found.off_eaves += area,
            Some(VentPlace::Lower) => {}
            None => found.unplaced |= area.ft2() > 0.0,
        }
    }
    found.area_holes = area_holes.into();
    found.place_holes = place_holes.into();
    found
}

/// What else blows air out of the house, at its marked or usual flow.
#[derive(Debug, Clone)]
pub(crate) struct Exhausts {
    /// All of them together.
    pub total: Airflow,
    /// Whether the list is said to hold all of them.
    pub listed: bool,
    /// Missing answers in it.
    pub holes: Run,
}

impl Exhausts {
    /// Whether all is known.
    pub fn whole(&self) -> bool {
        self.listed && self.holes.is_empty()
    }
}

fn exhausts(survey: &Survey) -> Exhausts {
    let list = &survey.flame.exhausts;
    let mut holes = Vec::new();
    let mut total = Airflow::ZERO;
    for it in &list.items {
        let mut ask = |field, gone: bool| {
            if gone {
                holes.push(FieldRef::house(field).item(it.id));
            }
        };
        ask(exhaust::ENDS.id, it.ends.is_none());
        if it.ends == Some(ExhaustEnd::Room) {
            continue;
        }
        ask(exhaust::KIND.id, it.kind.is_none());
        ask(exhaust::COUNT.id, it.count.is_none());
        ask(exhaust::MARKED.id, it.marked.is_none());
        ask(
            exhaust::AIRFLOW.id,
            it.marked != Some(false) && it.airflow.is_none(),
        );
        let each = match it.marked {
            Some(true) => it.airflow,
            _ => it.kind.map(usual_exhaust),
        };
        if let (Some(each), Some(count)) = (each, it.count) {
            total += each * f64::from(count);
        }
    }
    Exhausts {
        total,
        listed: list.complete,
        holes: holes.into(),
    }
}

/// What an exhaust moves where nothing is marked on it: 50 cfm in a bath (ASHRAE 62.2, confirmed), 150 a dryer
/// (Lawrence Berkeley National Laboratory's guide: 100 to 150, confirmed); 400 a range hood, of which there are such of
/// 100 to 1400 (common practice, no source).
const fn usual_exhaust(kind: ExhaustKind) -> Airflow {
    Airflow::from_cfm(match kind {
        ExhaustKind::Bath => 50.0,
        ExhaustKind::RangeHood => 400.0,
        ExhaustKind::Dryer | ExhaustKind::Other => 150.0,
    })
}

/// What one appliance means for the house's pressure.
enum Flaming {
    /// Nothing: it stands outdoors or in the attic, or has no vent.
    Free,
    /// It has a limit.
    Limited(Limit),
    /// Something is missing.
    Open,
}

/// Which flue it is; `None` for an appliance without a vent.
pub(crate) const fn flue(venting: Venting) -> Option<Flue> {
    Some(match venting {
        Venting::NaturalDraft => Flue::Natural,
        Venting::NaturalDraftDamper => Flue::NaturalDamper,
        Venting::Induced => Flue::Induced,
        Venting::PowerVent => Flue::PowerVent,
        Venting::ChimneyTopInducer => Flue::ChimneyTop,
        Venting::Sealed => Flue::Sealed,
        Venting::Unvented => return None,
    })
}

const fn burner(kind: ApplianceKind) -> Burner {
    match kind {
        ApplianceKind::WaterHeater => Burner::WaterHeater,
        ApplianceKind::Furnace | ApplianceKind::Boiler => Burner::FurnaceOrBoiler,
        ApplianceKind::SpaceHeater
        | ApplianceKind::Range
        | ApplianceKind::Dryer
        | ApplianceKind::WoodStove
        | ApplianceKind::Other => Burner::Other,
    }
}

/// Whether the house's pressure acts on an appliance that stands there. A garage counts as part of the house, as
/// if the door to it stood open.
pub(crate) const fn in_house(place: AppliancePlace) -> bool {
    !matches!(place, AppliancePlace::Outdoors | AppliancePlace::Attic)
}

/// Whether a spillage test says anything about this appliance: it has a flue and breathes the air of the house.
pub(crate) fn can_spill(venting: Venting) -> bool {
    !matches!(venting, Venting::Unvented | Venting::Sealed)
}

fn flaming(it: &Appliance, holes: &mut Vec<FieldRef>) -> Flaming {
    let mut missing = |field, gone: bool| {
        if gone {
            holes.push(FieldRef::house(field).item(it.id));
        }
    };
    if it.place.is_some_and(|place| !in_house(place)) || it.venting == Some(Venting::Unvented) {
        return Flaming::Free;
    }
    missing(appliance::PLACE.id, it.place.is_none());
    missing(appliance::VENTING.id, it.venting.is_none());
    // Of the sealed and the blown ones neither kind nor sharing matters.
    let (asks_kind, asks_shared) = match it.venting.and_then(flue) {
        None => (true, true),
        Some(Flue::Natural | Flue::NaturalDamper) => (
            true,
            it.kind.is_none_or(|kind| burner(kind) != Burner::Other),
        ),
        Some(Flue::Induced) => (false, true),
        Some(Flue::PowerVent | Flue::ChimneyTop | Flue::Sealed) => (false, false),
    };
    missing(appliance::KIND.id, asks_kind && it.kind.is_none());
    missing(
        appliance::SHARED_VENT.id,
        asks_shared && it.shared_vent.is_none(),
    );
    let (Some(_), Some(flue)) = (it.place, it.venting.and_then(flue)) else {
        return Flaming::Open;
    };
    let burner = match (asks_kind, it.kind) {
        (_, Some(kind)) => burner(kind),
        (true, None) => return Flaming::Open,
        (false, None) => Burner::Other,
    };
    let shared = match (asks_shared, it.shared_vent) {
        (true, Some(shared)) => shared,
        (true, None) => return Flaming::Open,
        (false, _) => false,
    };
    Flaming::Limited(limit(burner, flue, shared))
}

fn flames(survey: &Survey) -> Flames {
    let list = &survey.flame.appliances;
    let mut flames = Flames {
        limits: Vec::new(),
        listed: list.complete,
        holes: Run::default(),
        passed: false,
        in_garage: false,
    };
    let mut holes = Vec::new();
    for it in &list.items {
        match flaming(it, &mut holes) {
            Flaming::Limited(limit) => {
                flames.passed |= it.spillage_test == Some(SpillageTest::Passed);
                let below = below_windows(survey, it, &mut holes);
                let share = reaching(it, &mut holes);
                flames.in_garage |= it.place == Some(AppliancePlace::Garage) && share == Some(1.0);
                if let (Some(share), Some(below)) = (share, below) {
                    flames.limits.push(Flame {
                        kind: it.kind,
                        limit,
                        share,
                        below,
                        measured: it
                            .room_pressure
                            .filter(|_| it.pressure_measured == Some(true)),
                    });
                }
            }
            Flaming::Free => {}
            Flaming::Open => {}
        }
    }
    // Below zero: the tightest is the greatest; a stable sort keeps the list's order among equals.
    flames
        .limits
        .sort_by(|a, b| b.in_hall().total_cmp(&a.in_hall()));
    flames.holes = holes.into();
    flames
}

/// What of the hall's pressure reaches an appliance's room. Where it has air of its own from outdoors, door and opening
/// part the pressure between them; any other room takes the hall's, however its door stands.
fn reaching(it: &Appliance, holes: &mut Vec<FieldRef>) -> Option<f64> {
    let mut ask = |field, gone: bool| {
        if gone {
            holes.push(FieldRef::house(field).item(it.id));
        }
    };
    // What was measured there needs no reckoning.
    ask(
        appliance::PRESSURE_MEASURED.id,
        it.pressure_measured.is_none(),
    );
    ask(
        appliance::ROOM_PRESSURE.id,
        it.pressure_measured != Some(false) && it.room_pressure.is_none(),
    );
    if it.pressure_measured == Some(true) {
        return Some(1.0);
    }
    ask(appliance::COMBUSTION_AIR.id, it.combustion_air.is_none());
    if it
        .combustion_air
        .is_some_and(|air| air != CombustionAir::Outdoors)
    {
        return Some(1.0);
    }
    ask(appliance::DOOR.id, it.door.is_none());
    if let Some(Door::Open | Door::NoDoor) = it.door {
        return Some(1.0);
    }
    ask(appliance::DOOR_GAPS.id, it.door_gaps.is_none());
    ask(appliance::OUTDOOR_OPENING.id, it.outdoor_opening.is_none());
    it.combustion_air?;
    it.door?;
    let (door, outdoors) = (it.door_gaps?.ft2(), it.outdoor_opening?.ft2());
    let (door, outdoors) = (door * door, outdoors * outdoors);
    // An airtight door lets nothing through; a share of nothing would be no limit at all.
    match door + outdoors > 0.0 && outdoors > 0.0 {
        true => Some((door / (door + outdoors)).max(0.01)),
        false => Some(1.0),
    }
}

/// How warm the rooms are at most when the fan is switched on of a cool evening (common practice, no source).
const ROOMS_THEN: Temperature = Temperature::from_f(72.0);
/// From floor to floor (common practice, no source).
const STOREY: Length = Length::feet(9);

/// By how much an appliance's room stands below outdoors on the coolest evening for lying under the open windows: those of
/// the top storey, it on the lowest.
fn below_windows(survey: &Survey, it: &Appliance, holes: &mut Vec<FieldRef>) -> Option<Pressure> {
    let storeys = &survey.arrival.storeys;
    let hole = arrival::STOREYS.complete_of_house();
    if !storeys.complete && it.pressure_measured != Some(true) && !holes.contains(&hole) {
        holes.push(hole);
    }
    let down = storeys.items.len().max(1) - 1;
    let basement = usize::from(it.place == Some(AppliancePlace::Basement));
    let storeys = i64::try_from(down + basement).unwrap_or(i64::MAX);
    Some(stack(STOREY * storeys, COLD_EVENING, ROOMS_THEN))
}

/// Whether an appliance would take air from the attic, where it matters.
pub(crate) fn takes_attic_air(it: &Appliance) -> bool {
    it.combustion_air == Some(CombustionAir::Attic)
}

/// What joists left whole cost in the ceiling opening: the worst and the best, and which answers clash.
pub(crate) struct InTheOpening {
    pub worst: AirResistance,
    pub best: AirResistance,
    pub blocked: Option<Length>,
    pub clash: Option<Say>,
}

/// What stands in the ceiling opening.
pub(crate) fn in_the_opening(with: &WithFan) -> InTheOpening {
    let clear = InTheOpening {
        worst: AirResistance::NONE,
        best: AirResistance::NONE,
        blocked: None,
        clash: None,
    };
    if with.framing == Framing::Cut {
        return clear;
    }
    let scene = with.at.scene;
    let clash = scene
        .joists
        .clash
        .as_ref()
        .or(scene.thickness.clash.as_ref());
    let (Some(joists), Some(thickness)) = (&scene.joists.known, scene.thickness.known) else {
        return InTheOpening {
            worst: AirResistance::SHUT,
            clash: clash.cloned(),
            ..clear
        };
    };
    let opening = with.fan.opening;
    let spacing = joists.spacing.or_else(|| {
        joists
            .offsets
            .windows(2)
            .map(|pair| pair[1] - pair[0])
            .min()
    });
    let blocked = match spacing {
        Some(spacing) => blocked_width(opening.width, spacing, thickness),
        None => thickness.min(opening.width),
    };
    let open_share = 1.0 - blocked / opening.width;
    let bars = AirResistance::of_bars(open_share, opening.length * opening.width);
    InTheOpening {
        worst: bars,
        best: bars,
        blocked: Some(blocked),
        clash: None,
    }
}

/// What the vents must come to for one fan at one spot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct VentNeed {
    /// What the fan's airflow needs.
    pub airflow: Area,
    /// What the fan's sheet asks for.
    pub sheet: Option<Area>,
    /// The code's shares, where the floor is measured; with the steepest roof where the slope is not.
    pub share: Option<CodeShare>,
    /// The factor for a steep roof, where the slope is measured.
    pub steep: Option<f64>,
    /// Whether the code's share can come to more than the fan needs.
    pub code_may_govern: bool,
    /// Whether the vapour retarder can matter.
    pub retarder_matters: bool,
    /// What must be added at worst.
    pub worst: Option<ToAdd>,
    /// What must be added at best, from the vents measured so far; `None` where vents may still turn up.
    pub best: Option<ToAdd>,
    /// Whether all is measured: then worst and best are the same.
    pub whole: bool,
}

impl VentNeed {
    /// What fan and sheet need.
    pub fn fan(&self) -> Area {
        self.sheet.map_or(self.airflow, |it| it.max(self.airflow))
    }
}

/// The vent area that the attic must have for this fan.
pub(crate) fn vent_need(with: &WithFan) -> VentNeed {
    let AtSpot { house, spot, .. } = with.at;
    let air = house.air;
    let arrival = &house.survey.arrival;
    let per_vent = energy_rule(house.codes.energy).map_or(USUAL_PER_VENT, |rule| rule.per_vent);
    let airflow = fan_need(with.fan.rated_airflow(), per_vent);
    let sheet = with.fan.vent_area;
    let fan = sheet.map_or(airflow, |it| it.max(airflow));
    let floor = spot.attic.attic_floor_area;
    let steep = spot.attic.roof_slope.map(steep_roof_factor);
    let share_at = |factor: f64| floor.map(|floor| code_share(floor, factor));
    let share = share_at(steep.unwrap_or(1.3));
    let code_may_govern = share.is_none_or(|share| share.full > fan);
    let zone = arrival
        .climate_zone
        .map(|zone| retarder_zone(house.codes.energy, zone));
    let retarder = arrival.vapour_retarder;
    let rule = &air.reduced;
    let known = match (zone, retarder) {
        (Some(false), _) => Some(rule.reduction(false, false)),
        (Some(true), Some(retarder)) => Some(rule.reduction(true, retarder)),
        _ => None,
    };
    let (at_worst, at_best) = match (known, rule.both) {
        (Some(known), _) => (known, known),
        (None, true) => (Reduction::No, Reduction::WithSplit),
        (None, false) => (Reduction::WithSplit, Reduction::However),
    };
    let vents = &air.vents;
    let placed = vents.place_holes.is_empty();
    let worst = share.map(|share| to_add(fan, share, at_worst, rule, vents.have));
    let best = vents.whole().then(|| {
        let share = share_at(steep.unwrap_or(1.0)).unwrap_or(code_share(Area::ZERO, 1.0));
        // Before it is known where they sit, they may all sit well.
        let reduction = match at_best {
            Reduction::WithSplit if !placed => Reduction::However,
            other => other,
        };
        to_add(fan, share, reduction, rule, vents.have)
    });
    let whole = vents.whole()
        && floor.is_some()
        && steep.is_some()
        && (!code_may_govern || (known.is_some() && placed));
    VentNeed {
        airflow,
        sheet,
        share,
        steep,
        code_may_govern,
        retarder_matters: zone != Some(false),
        worst,
        best,
        whole,
    }
}

/// The way of the air at its worst and its best for the airflow, with the vents as they are.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PathSpan {
    pub worst: AirPath,
    pub best: AirPath,
    /// The air's way at the eaves.
    pub eaves: Eaves,
    /// Net free area that counts as it is, of what was measured so far, at most.
    pub vents: Area,
    /// What the vents at worst and at best come to once the eaves are open.
    pub opened: (AirResistance, AirResistance),
    /// Whether all is measured: then worst and best are the same.
    pub whole: bool,
}

pub(crate) fn path_as_it_is(with: &WithFan, opening: &InTheOpening) -> PathSpan {
    let air = with.at.house.air;
    let through = |area| AirResistance::of_opening(Discharge::SHARP_EDGE, area);
    let eaves = Eaves::of(&with.at.spot.attic);
    let (least, most) = air.vents.as_they_are(eaves);
    let vents_known = air.vents.whole();
    // While vents may still turn up, nothing need be lost at them at best.
    let at_best = |area| {
        if vents_known {
            through(area)
        } else {
            AirResistance::NONE
        }
    };
    let all = air.vents.have.total();
    let inlets = with.at.inlets;
    let windows = inlets.as_said().resistance();
    PathSpan {
        worst: AirPath {
            windows,
            ceiling: opening.worst,
            vents: through(least),
        },
        best: AirPath {
            windows,
            ceiling: opening.best,
            vents: at_best(most),
        },
        eaves,
        vents: most,
        opened: (through(all), at_best(all)),
        whole: vents_known && least == most && inlets.known && opening.worst == opening.best,
    }
}

/// How one speed of a fan settles in this house.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AtSpeed {
    /// What is delivered.
    pub airflow: Airflow,
    /// The house against outdoors.
    pub house: Pressure,
    /// The attic against outdoors.
    pub attic: Pressure,
}

impl From<Balance> for AtSpeed {
    fn from(balance: Balance) -> Self {
        AtSpeed {
            airflow: balance.airflow,
            house: balance.house,
            attic: balance.attic,
        }
    }
}

/// What a fan comes to with the vents and windows as they are.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct AirSummary {
    /// What its sheet rates it at.
    pub rated: Airflow,
    /// Air changes an hour at high speed, where the rooms are measured.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air_changes: Option<AirChanges>,
    /// At its fastest.
    pub high: AtSpeed,
    /// At its slowest.
    pub low: AtSpeed,
}

impl AirSummary {
    /// The summary of one choice, other exhausts off; `None` where rooms, windows, vents, the air's way to those at the
    /// eaves, joists or the height above the sea are not measured yet.
    pub fn of(with: &WithFan) -> Option<AirSummary> {
        let House { survey, air, .. } = with.at.house;
        survey.arrival.altitude?;
        let opening = in_the_opening(with);
        let path = path_as_it_is(with, &opening);
        if !path.whole {
            return None;
        }
        let at = |speed| AtSpeed::from(balance(speed, path.worst, Airflow::ZERO, air.dense));
        let high = at(with.fan.high());
        let rooms = &air.rooms;
        Some(AirSummary {
            rated: with.fan.rated_airflow(),
            air_changes: rooms
                .whole()
                .then(|| air_changes(rooms.volume, high.airflow))
                .flatten(),
            high,
            low: at(with.fan.low()),
        })
    }
}
