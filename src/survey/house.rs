//! The records of a survey: what can be answered at each stop.

use super::answer::Kind;
use super::choice::*;
use super::slot::{Offers, OnlyFor, Reach};
use super::when::When;
use crate::measure::Reading;
use crate::measure::quantity::{
    Airflow, Altitude, Area, Current, HeatRate, Humidity, Pitch, Pressure, Temperature, Voltage,
    Volume,
};

const fn count(least: u32, most: u32) -> Kind {
    Kind::Count { least, most }
}

const fn sizes(inch: &'static [&'static str], metric: &'static [&'static str]) -> Offers {
    Offers::Sizes { inch, metric }
}

/// A thing has two sides where it is a box, or of no shape yet.
const BOX: OnlyFor = OnlyFor {
    by: "shape",
    codes: &[Shape::Box.code()],
    unsaid: true,
};
/// A second end is a lying run's.
const RUN: OnlyFor = OnlyFor {
    by: "shape",
    codes: &[Shape::Run.code()],
    unsaid: false,
};
const ROUND: OnlyFor = OnlyFor {
    by: "shape",
    codes: &[Shape::Run.code(), Shape::Upright.code()],
    unsaid: false,
};
/// What kind of flue it is: a flue's alone.
const FLUES: OnlyFor = OnlyFor {
    by: "kind",
    codes: &[ObstructionKind::Flue.code()],
    unsaid: false,
};
const ROUND_VENTS: OnlyFor = OnlyFor {
    by: "kind",
    codes: &[
        VentKind::RoundHole.code(),
        VentKind::Turbine.code(),
        VentKind::Powered.code(),
        VentKind::RoofBox.code(),
    ],
    unsaid: false,
};
const SIDED_VENTS: OnlyFor = OnlyFor {
    by: "kind",
    codes: &[
        VentKind::SoffitStrip.code(),
        VentKind::UnderEave.code(),
        VentKind::PerforatedSoffit.code(),
        VentKind::GableRectangle.code(),
        VentKind::GableTriangle.code(),
        VentKind::Ridge.code(),
        VentKind::RoofBox.code(),
        VentKind::Powered.code(),
    ],
    unsaid: true,
};
const LONG_VENTS: OnlyFor = OnlyFor {
    by: "kind",
    codes: &[
        VentKind::SoffitStrip.code(),
        VentKind::Ridge.code(),
        VentKind::PerforatedSoffit.code(),
    ],
    unsaid: false,
};

record! {
    /// What is asked on arrival, of the whole house.
    Arrival arrival "arrival" of house at Arrival {
        /// The number or name under which the office knows this job.
        job_reference: String => "Job reference" { heading: Some("The job") },
        /// Who asked for the survey.
        client: String => "Client",
        /// Where the house stands.
        address: String => "Address",
        /// Who measures.
        surveyor: String => "Surveyor",
        /// Date and time of the visit, with the offset from UTC.
        visited_at: When => "Date and time",
        /// The year the house was built, from papers or the owner.
        year_built: u32 as count(1600, 2200) => "Year built" { heading: Some("The house") },
        /// Whether the attic belongs to this dwelling alone, with no opening to a neighbour's.
        private_attic: bool => "Attic private to this dwelling" { reach: Some(Reach::Hall), decides: true },
        /// Whether a garage is attached to the house.
        attached_garage: bool => "Attached garage" { reach: Some(Reach::Hall) },
        /// Whether the attic over the spot is open to the space over or in the garage.
        attic_open_to_garage: bool => "Attic open to the garage",
        /// Height of the site above the sea, for the density of the air.
        altitude: Altitude => "Height above sea level",
        /// The energy code's climate zone number, from the office's map.
        climate_zone: u32 as count(1, 16) => "Climate zone" { offers: Offers::alike(&["3", "4", "5"]) },
        /// Whether a vapour retarder (Class I or II) lies on the warm side of the ceiling.
        vapour_retarder: bool => "Vapour retarder at the ceiling",
        /// Air temperature outdoors in the shade.
        outdoor_temperature: Temperature => "Outdoor temperature" { heading: Some("The air") },
        /// Air temperature in the attic, read at the hatch before going in.
        attic_temperature: Temperature => "Attic temperature",
        /// Relative humidity in the attic, read at the hatch before going in.
        attic_humidity: Humidity => "Attic humidity",
        /// Pebble-like, grey-brown or silver-gold insulation; look from the hatch, touch nothing.
        pebble_insulation: bool => "Pebble-like insulation seen" {
            heading: Some("Hazards"),
            hazard: true,
            reach: Some(Reach::Hatch),
            decides: true,
        },
        /// Single wires on white knobs and through tubes.
        knob_and_tube: bool => "Knob-and-tube wiring seen" { hazard: true, reach: Some(Reach::Hatch) },
        /// Bare, brittle, scorched or chewed wiring.
        damaged_wiring: bool => "Damaged wiring seen" { hazard: true, reach: Some(Reach::Hatch) },
        /// Wood that is wet, soft or crumbling.
        wet_or_rotten_wood: bool => "Wet or rotten wood seen" { hazard: true, reach: Some(Reach::Hatch) },
        /// Mould on wood or insulation.
        mould: bool => "Mould seen" { hazard: true, reach: Some(Reach::Hatch) },
        /// Nests, droppings or live animals.
        animals: bool => "Animals or droppings seen" { hazard: true, reach: Some(Reach::Hatch) },
        /// Whether a lead test or papers show that the hall ceiling's paint holds no lead.
        paint_lead_free: bool => "Ceiling paint shown free of lead",
        /// Smoke alarms in each bedroom, outside each sleeping area and on each storey.
        smoke_alarms: bool => "Smoke alarms where they belong" {
            heading: Some("Alarms and people"),
            reach: Some(Reach::Hall),
        },
        /// Carbon monoxide alarms outside each sleeping area.
        co_alarms: bool => "CO alarms where they belong" { reach: Some(Reach::Hall) },
        /// Whether children live in or often visit the house.
        children: bool => "Children in the house",
    }
    lists {
        /// The storeys that the fan is to cool.
        storeys: Storey => "Storeys to be cooled", "Storey",
    }
}

record! {
    /// One storey of conditioned space.
    Storey storey "storey" (id) {
        /// What the storey is called.
        name: String => "Name" {
            offers: Offers::Words(&["Main floor", "Upper floor", "Lower floor", "Basement"]),
        },
        /// Conditioned floor area of this storey.
        floor_area: Area => "Floor area",
        /// Height from floor to ceiling.
        ceiling_height: Reading => "Ceiling height" { offers: sizes(&["8'", "9'"], &["2440 mm", "2740 mm"]) },
    }
}

record! {
    /// What is measured in the hall below one spot.
    ///
    /// The *mark* is a locating hole or wire at the middle of the spot. Looking down the hall from its
    /// start, places are given from the mark: ahead (negative: back) and left (negative: right).
    Hall hall "hall" of spot at Hall {
        /// Length of the hall, the way one walks it.
        length: Reading => "Hall length" { heading: Some("The hall"), reach: Some(Reach::Hall), decides: true },
        /// Width of the hall.
        width: Reading => "Hall width" { reach: Some(Reach::Hall), decides: true },
        /// Floor to ceiling at the spot.
        ceiling_height: Reading => "Ceiling height" {
            common: true,
            offers: sizes(&["8'", "9'", "10'"], &["2440 mm", "2740 mm"]),
        },
        /// Thickness of the ceiling board, without the joists.
        ceiling_thickness: Reading => "Ceiling thickness" {
            common: true,
            offers: sizes(&["1/2\"", "5/8\"", "7/8\""], &["12 mm", "13 mm", "16 mm"]),
        },
        /// What the ceiling is made of.
        ceiling_material: CeilingMaterial => "Ceiling material" { common: true },
        /// From the wall at the start of the hall to the mark.
        mark_from_start: Reading => "Mark from the start wall" { heading: Some("The mark") },
        /// From the left wall of the hall to the mark.
        mark_from_left: Reading => "Mark from the left wall",
        /// Where the switch will sit.
        switch_place: String => "Switch place" {
            heading: Some("The switch"),
            offers: Offers::Words(&["Inside the front door", "Top of the stairs", "Under the spot", "Start of the hall", "End of the hall"]),
        },
        /// From the floor to the middle of the switch's handle.
        switch_height: Reading => "Switch height" {
            common: true,
            offers: sizes(&["42\"", "48\""], &["1070 mm", "1220 mm"]),
        },
        /// Volume stamped in the switch box.
        box_volume: Volume => "Switch box volume" {
            common: true,
            offers: sizes(&["18 in³", "20.3 in³", "22.5 in³"], &["18 in³", "20.3 in³"]),
        },
    }
    lists {
        /// What sits in or on the ceiling.
        fixtures: Fixture => "Ceiling fixtures", "Fixture" { subject: Subject::HallCeiling },
        /// The rooms that open to the hall.
        rooms: Room => "Rooms that open to the hall", "Room" { common: true },
        /// What the switch box will hold once the fan's switch and the cable to the fan are in it.
        box_contents: BoxEntry => "In the switch box", "Entry" { common: true, subject: Subject::SwitchBox },
    }
}

record! {
    /// A thing in or on the hall ceiling.
    Fixture fixture "fixture" (id) {
        /// What it is.
        kind: FixtureKind => "Kind",
        /// From the mark to its middle, down the hall; negative lies back.
        ahead: Reading as Kind::Offset => "Ahead of the mark" { offers: sizes(&["0\""], &["0 mm"]) },
        /// From the mark to its middle, to the left; negative lies right.
        left: Reading as Kind::Offset => "Left of the mark" { offers: sizes(&["0\""], &["0 mm"]) },
        /// Its size along the hall.
        size_along: Reading => "Size along the hall" {
            offers: sizes(&["6\"", "12\"", "14\""], &["150 mm", "300 mm", "350 mm"]),
        },
        /// Its size across the hall.
        size_across: Reading => "Size across the hall",
    }
}

record! {
    /// A room that opens to the hall.
    Room room "room" (id) {
        /// What the room is called.
        name: String => "Name" {
            offers: Offers::Words(&["Front bedroom", "Back bedroom", "Middle bedroom", "Bath", "Living room", "Kitchen", "Stairs"]),
        },
        /// Floor area of the room; the ceiling's leaks are shared out by it.
        floor_area: Area => "Floor area",
        /// How its door stands when the fan runs.
        door: Door => "Door when the fan runs",
        /// Width of the door.
        door_width: Reading => "Door width",
        /// From the floor or the top of the carpet to the bottom of the door.
        undercut: Reading => "Gap under the door",
        /// Net area of a grille or another opening to the hall, the door aside; 0 where there is none.
        transfer_area: Area => "Grille to the hall, net",
    }
}

record! {
    /// One kind of thing in the switch box.
    BoxEntry box_entry "box" (id) {
        /// What it is.
        kind: BoxContent => "What",
        /// Its wire size; for a yoke or a clamp, the largest wire on it.
        size: WireSize => "Wire size",
        /// How many.
        count: u32 as count(1, 99) => "How many" { offers: Offers::alike(&["1", "2", "4"]) },
    }
}

record! {
    /// What is measured in the attic over one spot.
    Attic attic "attic" of spot at Attic {
        /// What carries the ceiling.
        framing: FramingKind => "Framing" {
            heading: Some("Framing"),
            reach: Some(Reach::Hatch),
            decides: true,
            common: true,
        },
        /// The joists' nominal size.
        nominal_size: NominalSize => "Nominal size" { reach: Some(Reach::Hatch), common: true },
        /// Measured thickness of a joist, where it has none of the nominal sizes.
        joist_thickness: Reading => "Joist thickness" {
            common: true,
            offers: sizes(&["1 1/2\"", "1 5/8\"", "2\""], &["38 mm", "45 mm"]),
        },
        /// Measured depth of a joist, top to bottom, where it has none of the nominal sizes.
        joist_depth: Reading => "Joist depth" {
            common: true,
            offers: sizes(&["5 1/2\"", "7 1/4\"", "9 1/4\""], &["140 mm", "184 mm", "235 mm"]),
        },
        /// Species group on the grade stamp.
        species: Species => "Species" { common: true },
        /// Grade on the grade stamp.
        grade: Grade => "Grade" { common: true },
        /// Which way the joists run, seen from the hall.
        joist_run: JoistRun => "Joists run" { reach: Some(Reach::Hatch), decides: true, common: true },
        /// Whether the joists near the spot are all the same distance apart.
        joists_even: bool => "Joists evenly spaced" { reach: Some(Reach::Hatch), common: true },
        /// From the middle of one joist to the middle of the next, where they are even.
        joist_spacing: Reading => "Joist spacing" {
            reach: Some(Reach::Hatch),
            decides: true,
            common: true,
            offers: sizes(&["12\"", "16\"", "24\""], &["400 mm", "600 mm"]),
        },
        /// From the mark to the middle of the nearest joist; negative lies back or right.
        nearest_joist: Reading as Kind::Offset => "Nearest joist from the mark",
        /// Along a joist at the spot, from bearing to bearing.
        bearing_span: Reading => "Bearing to bearing" { heading: Some("Span") },
        /// Along the joist, from the bearing behind (or to the right) to the mark.
        mark_from_bearing: Reading => "Mark from the bearing behind or right",
        /// Length of wood resting on the bearing.
        bearing_length: Reading => "Length of bearing" {
            common: true,
            offers: sizes(&["1 1/2\"", "3 1/2\"", "5 1/2\""], &["38 mm", "89 mm"]),
        },
        /// Whether the joists also tie the feet of the rafters (they run the same way and are nailed to them).
        rafter_ties: bool => "Joists also tie rafters" { common: true },
        /// Whether the attic floor is used for storage.
        storage: bool => "Attic used for storage" { common: true },
        /// Free length along the hall over the spot, between things that nobody can move.
        clear_length: Reading => "Clear length" { heading: Some("Clear space") },
        /// Free width across the hall over the spot, between things that nobody can move.
        clear_width: Reading => "Clear width",
        /// Free height over the joists at the spot, to the first thing that nobody can move.
        clear_height: Reading => "Clear height",
        /// Slope of the roof over the spot, rise in 12.
        roof_slope: Pitch => "Roof slope" {
            heading: Some("Roof"),
            offers: Offers::alike(&["4:12", "5:12", "6:12", "8:12"]),
        },
        /// Which way the roof over the spot falls.
        roof_fall: RoofFall => "Roof falls",
        /// From the top of the joists at the mark up to the underside of the rafters.
        roof_height: Reading => "Roof height at the mark",
        /// Level distance from the mark uphill to under the ridge.
        ridge_distance: Reading => "Mark to ridge, level",
        /// What lies between the joists.
        insulation: InsulationKind => "Insulation" { heading: Some("Attic floor"), common: true },
        /// Depth of the insulation.
        insulation_depth: Reading => "Insulation depth" {
            reach: Some(Reach::Hatch),
            common: true,
            offers: sizes(&["6\"", "9\"", "12\""], &["150 mm", "200 mm", "300 mm"]),
        },
        /// Whether at least 1 in of air stays open over the insulation at the eaves.
        eaves_open: bool => "Air path open at the eaves" { common: true },
        /// Area of the attic floor that these vents serve.
        attic_floor_area: Area => "Attic floor area" { common: true },
        /// The longer clear side of the hatch.
        hatch_length: Reading => "Hatch length" {
            heading: Some("Way in"),
            reach: Some(Reach::Hatch),
            decides: true,
            common: true,
            offers: sizes(&["30\"", "36\"", "54\""], &["760 mm", "900 mm", "1370 mm"]),
        },
        /// The shorter clear side of the hatch.
        hatch_width: Reading => "Hatch width" {
            reach: Some(Reach::Hatch),
            decides: true,
            common: true,
            offers: sizes(&["22\"", "24\"", "30\""], &["560 mm", "600 mm", "760 mm"]),
        },
        /// Free height over the hatch.
        hatch_headroom: Reading => "Headroom over the hatch" { reach: Some(Reach::Hatch), common: true },
        /// Whether the way up is a permanent stair or ladder.
        permanent_stair: bool => "Permanent stair or ladder" { common: true },
        /// From the edge of the hatch to the mark.
        hatch_distance: Reading => "Hatch to the mark",
    }
    lists {
        /// Each joist near the spot, where the spacing is not even.
        joists: Joist => "Joists, one by one", "Joist" { subject: Subject::Joists },
        /// Notches and holes in the joists near the spot.
        joist_cuts: JoistCut => "Notches and holes in joists", "Notch or hole" { subject: Subject::Joists },
        /// What stands or runs near the spot.
        obstructions: Obstruction => "In the way", "Thing in the way" { subject: Subject::Obstruction },
    }
}

record! {
    /// One joist where it was found.
    Joist joist "joist" (id) {
        /// From the mark to the middle of the joist; negative lies back or right.
        at: Reading as Kind::Offset => "From the mark",
    }
}

record! {
    /// A notch or hole in a joist.
    JoistCut cut "cut" (id) {
        /// What it is.
        kind: JoistCutKind => "Kind",
        /// From the mark to the middle of the joist it is in; negative lies back or right.
        joist_at: Reading as Kind::Offset => "Joist, from the mark",
        /// Depth of the notch, or diameter of the hole.
        depth: Reading => "Depth or diameter",
        /// Length of the notch along the joist.
        length: Reading => "Length along the joist",
        /// From the nearer bearing to its middle.
        from_bearing: Reading => "From the nearer bearing",
        /// From the nearer edge of the joist to the hole's edge.
        from_edge: Reading => "From the nearer edge",
    }
}

record! {
    /// A thing in the way: a box, or a round run between two points.
    ///
    /// Heights are from the top of the joists. A box is given by its middle and its sizes; a lying
    /// run by the middle line's two ends in plan, its underside at the first point and its upper side
    /// at the second; an upright one by its middle.
    Obstruction obstruction "obstruction" (id) {
        /// What it is.
        kind: ObstructionKind => "Kind",
        /// What kind of flue it is; the label on the pipe says so.
        flue: FlueKind => "Kind of flue" { only_for: Some(FLUES) },
        /// How it is measured.
        shape: Shape => "Shape",
        /// From the mark to its middle (or its first end), down the hall; negative lies back.
        ahead: Reading as Kind::Offset => "Ahead of the mark",
        /// From the mark to its middle (or its first end), to the left; negative lies right.
        left: Reading as Kind::Offset => "Left of the mark",
        /// From the mark to its second end, down the hall; negative lies back.
        to_ahead: Reading as Kind::Offset => "Second end, ahead" { only_for: Some(RUN) },
        /// From the mark to its second end, to the left; negative lies right.
        to_left: Reading as Kind::Offset => "Second end, left" { only_for: Some(RUN) },
        /// Size along the hall.
        size_along: Reading => "Size along the hall" {
            offers: sizes(&["1 1/2\"", "3 1/2\"", "4\""], &["38 mm", "89 mm"]),
            only_for: Some(BOX),
        },
        /// Size across the hall.
        size_across: Reading => "Size across the hall" {
            offers: sizes(&["1 1/2\"", "3 1/2\"", "4\""], &["38 mm", "89 mm"]),
            only_for: Some(BOX),
        },
        /// Outside diameter, with its insulation.
        diameter: Reading => "Diameter" {
            offers: sizes(&["4\"", "6\"", "8\"", "10\""], &["100 mm", "150 mm", "200 mm"]),
            only_for: Some(ROUND),
        },
        /// From the top of the joists to its underside (of a lying run: at its first end).
        bottom: Reading as Kind::Offset => "Underside height" {
            offers: sizes(&["0\"", "2\""], &["0 mm", "50 mm"]),
        },
        /// From the top of the joists to its upper side (of a lying run: at its second end).
        top: Reading as Kind::Offset => "Upper side height",
        /// Who could move it; what its kind asks for at the least is never lowered.
        mover: Mover => "Who could move it",
    }
}

record! {
    /// The attic's way out for the air.
    Vents vents "vents" of house at Vents {
        /// Whether birds' nests, paint or insulation were looked for in every vent counted.
        looked_behind: bool => "Looked behind the vents for blockage",
    }
    lists {
        /// The vents.
        vents: Vent => "Vents", "Vent" { subject: Subject::Vent },
    }
}

record! {
    /// Vents of one kind and size.
    Vent vent "vent" (id) {
        /// What kind.
        kind: VentKind => "Kind",
        /// How many alike.
        count: u32 as count(1, 999) => "How many" { offers: Offers::alike(&["1", "2", "10"]) },
        /// Width of the opening.
        width: Reading => "Width" {
            offers: sizes(&["8\"", "16\"", "22\"", "24\""], &["200 mm", "400 mm", "600 mm"]),
            only_for: Some(SIDED_VENTS),
        },
        /// Height of the opening.
        height: Reading => "Height" {
            offers: sizes(&["4\"", "8\"", "18\""], &["100 mm", "200 mm", "450 mm"]),
            only_for: Some(SIDED_VENTS),
        },
        /// Diameter of a round one.
        diameter: Reading => "Diameter" {
            offers: sizes(&["2\"", "4\"", "12\""], &["50 mm", "100 mm", "300 mm"]),
            only_for: Some(ROUND_VENTS),
        },
        /// Length of a continuous one.
        length: Reading => "Length" { only_for: Some(LONG_VENTS) },
        /// What covers it.
        covering: Covering => "Covering",
        /// Whether a net free area is marked on it.
        marked: bool => "Net free area marked on it",
        /// The net free area marked on one of them (of a continuous one: on its whole length).
        marked_area: Area => "Marked net free area",
        /// Where it sits.
        place: VentPlace => "Place",
        /// How much of it is blocked by paint, nests or insulation.
        blocked: Humidity as Kind::Share => "Share blocked" {
            offers: Offers::alike(&["0 %", "10 %", "25 %", "50 %"]),
        },
    }
}

record! {
    /// The circuit for the fan.
    Power power "power" of house at PowerAndFlame {
        /// Voltage at the panel or the switch, measured.
        voltage: Voltage => "Measured voltage" { heading: Some("Power") },
        /// Whether the panel has a free space for a breaker.
        panel_space: bool => "Free space in the panel" { reach: Some(Reach::Hall) },
        /// Rating of the breaker that would serve the fan.
        breaker: Current => "Breaker" { offers: Offers::alike(&["15 A", "20 A"]) },
        /// Size of the wire on that circuit.
        wire_size: WireSize => "Wire size",
        /// How that circuit is wired.
        wire_kind: WireKind => "Wiring",
        /// What the wires' insulation is marked for, in armoured cable or conduit: on the jacket of each wire.
        wire_insulation: WireInsulation => "Insulation of the wires",
        /// Cable length one way, from the panel to the fan.
        one_way_run: Reading => "One-way run",
        /// What else draws on the circuit at the same time.
        other_load: Current => "Other load on the circuit" { offers: Offers::alike(&["0 A"]) },
        /// Current-carrying wires bundled together or in one pipe on the hottest stretch.
        bundled_wires: u32 as count(2, 99) => "Current-carrying wires bundled" {
            offers: Offers::alike(&["2", "3", "6"]),
        },
        /// Whether the cable lies across the top of the joists.
        cable_across_joists: bool => "Cable across the tops of joists" { heading: Some("In the attic") },
        /// Whether guard strips as high as the cable protect it there.
        guard_strips: bool => "Guard strips beside the cable",
        /// Rating of the switch.
        switch_rating: Current => "Switch rating" { offers: Offers::alike(&["15 A", "20 A"]) },
        /// Where the switch or breaker will be that cuts the fan off for work on it.
        disconnect: Disconnect => "Disconnect",
        /// Whether the attic has a light switched at the hatch and a receptacle within 25 ft.
        attic_light_and_receptacle: bool => "Attic light and receptacle",
    }
}

record! {
    /// What burns in the house, and what can be opened.
    Flame flame "flame" of house at PowerAndFlame {
        /// The fireplace.
        fireplace: Fireplace => "Fireplace" { heading: Some("Flame and windows"), reach: Some(Reach::Hall) },
        /// Clear opening of windows whose rooms nobody noted; it counts only where no window is listed.
        openable_window_area: Area => "Window area, rooms not noted",
        /// Whether those windows have insect screens.
        window_screens: bool => "Windows have insect screens",
        /// Airflow of a blower door test at 50 Pa; leave it out where nobody tested.
        leakage: Airflow => "Blower door reading at 50 Pa",
    }
    lists {
        /// The windows that the household can open at once.
        windows: Window => "Windows to open", "Window",
        /// Everything else that blows air out of the house.
        exhausts: Exhaust => "Other exhausts", "Exhaust",
        /// The fuel-burning appliances.
        appliances: Appliance => "Fuel-burning appliances", "Appliance" { subject: Subject::Appliance },
    }
}

record! {
    /// Windows of one size in one room.
    Window window "window" (id) {
        /// The room it is in, called as in the list of rooms.
        room: String => "Room",
        /// How many alike.
        count: u32 as count(1, 99) => "How many",
        /// Width of the clear hole between the stops, the sash fully open.
        width: Reading => "Clear width",
        /// Height of the clear hole, the sash fully open; of a hung one that is half of it at most.
        height: Reading => "Clear height",
        /// The side of the house that it looks out of, seen from the street.
        side: HouseSide => "Side of the house",
    }
}

record! {
    /// Something that blows air out of the house, the fan aside.
    Exhaust exhaust "exhaust" (id) {
        /// What it is.
        kind: ExhaustKind => "Kind",
        /// How many alike.
        count: u32 as count(1, 99) => "How many",
        /// Where its duct ends.
        ends: ExhaustEnd => "Duct ends",
        /// Whether its airflow is marked on it or in its papers.
        marked: bool => "Airflow marked",
        /// The airflow marked on one of them.
        airflow: Airflow => "Marked airflow",
    }
}

record! {
    /// A fuel-burning appliance.
    Appliance appliance "appliance" (id) {
        /// What it is.
        kind: ApplianceKind => "Kind",
        /// How its burnt gas leaves.
        venting: Venting => "Venting",
        /// Whether it shares its vent with a water heater.
        shared_vent: bool => "Shares its vent with another appliance",
        /// Where it stands.
        place: AppliancePlace => "Where it stands",
        /// Heat input on its plate.
        heat_input: HeatRate => "Heat input" {
            offers: sizes(&["36000 Btu/h", "40000 Btu/h", "60000 Btu/h", "80000 Btu/h"], &["11 kW", "12 kW", "18 kW", "24 kW"]),
        },
        /// Where its air comes from.
        combustion_air: CombustionAir => "Combustion air",
        /// How the door between its room and the house stands when the fan runs.
        door: Door => "Door of its room",
        /// Net area of the gaps and louvers in that door when it is shut.
        door_gaps: Area => "Gaps and louvers of that door, net",
        /// Net area of the openings from its room to outdoors.
        outdoor_opening: Area => "Opening to outdoors in its room, net",
        /// Whether a technician measured the pressure of its room with the fan on high.
        pressure_measured: bool => "Room pressure measured",
        /// That pressure against outdoors: fan on high, windows open, other exhausts on.
        room_pressure: Pressure => "Pressure of its room, fan on high",
        /// What came of a spillage test, if one was done.
        spillage_test: SpillageTest => "Spillage test",
    }
}

record! {
    /// The end of the visit.
    WrapUp wrap_up "wrap_up" of house at WrapUp {
        /// Anything that the office or the crew should know.
        notes: String => "Notes",
        /// What the client was told or agreed to.
        agreed: String => "Told or agreed",
    }
}
