//! Answers picked from a list: the words on the screen, the words in the file.

use super::answer::{Answer, Kind, Value};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One word to pick: how the file spells it and how the screen says it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// The spelling in the survey file.
    pub code: &'static str,
    /// The English wording, which is also the key for translations.
    pub label: &'static str,
}

/// Declares an enum whose variants are picked from a list.
macro_rules! choice {
    ($(#[$meta:meta])* $name:ident { $($(#[$vmeta:meta])* $variant:ident = $code:literal $label:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
        pub enum $name {
            $(
                $(#[$vmeta])*
                #[doc = $label]
                #[serde(rename = $code)]
                $variant,
            )+
        }

        impl $name {
            /// All of them, in the order in which they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// The words for them, in the same order.
            pub const WORDS: &'static [Word] = &[$(Word { code: $code, label: $label }),+];

            /// How the survey file spells it.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$variant => $code),+ }
            }

            /// The English wording (the key for translations).
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $label),+ }
            }

            /// The one spelled `code` in a survey file.
            pub fn from_code(code: &str) -> Option<Self> {
                match code { $($code => Some(Self::$variant),)+ _ => None }
            }
        }

        impl Answer for $name {
            const KIND: Kind = Kind::Choice(Self::WORDS);
            fn to_value(&self) -> Value {
                Value::Choice(self.code())
            }
            fn from_value(value: Value) -> Option<Self> {
                match value { Value::Choice(code) => Self::from_code(code), _ => None }
            }
        }
    };
}

choice! {
    /// What the ceiling over the hall is made of.
    CeilingMaterial {
        Drywall = "drywall" "Drywall",
        PlasterOnLath = "plaster on lath" "Plaster on lath",
        WoodBoards = "wood boards" "Wood boards",
        Tiles = "tiles" "Tiles",
        Other = "other" "Something else",
    }
}

choice! {
    /// What sits in or on the hall ceiling.
    FixtureKind {
        Light = "light" "Light",
        SmokeAlarm = "smoke alarm" "Smoke alarm",
        Register = "register" "Air register or grille",
        PaddleFan = "paddle fan" "Paddle fan",
        Hatch = "hatch" "Attic hatch",
        Skylight = "skylight" "Skylight shaft",
        OldOpening = "old opening" "Older opening, joists cut",
        Speaker = "speaker" "Speaker",
        Other = "other" "Something else",
    }
}

choice! {
    /// How a door stands when the fan runs.
    Door {
        Open = "open" "Open",
        Shut = "shut" "Shut",
        NoDoor = "no door" "No door",
        Unsure = "open or gap" "Open, or with a gap or grille",
    }
}

choice! {
    /// A side of the house, seen from the street.
    HouseSide {
        Front = "front" "Front",
        Back = "back" "Back",
        Left = "left" "Left",
        Right = "right" "Right",
    }
}

choice! {
    /// What else blows air out of a house.
    ExhaustKind {
        Bath = "bath fan" "Bath fan",
        RangeHood = "range hood" "Range hood",
        Dryer = "dryer" "Clothes dryer",
        Other = "other" "Something else",
    }
}

choice! {
    /// Where an exhaust's duct ends.
    ExhaustEnd {
        Outdoors = "outdoors" "Outdoors",
        Attic = "attic" "In the attic",
        Room = "room" "Back into the room",
    }
}

choice! {
    /// What is in the switch box, for the box volume count.
    BoxContent {
        Conductor = "conductor" "Insulated wire entering the box",
        Ground = "ground" "Bare or green ground wire",
        Clamp = "clamp" "Cable clamp inside the box",
        Yoke = "yoke" "Switch or receptacle on a yoke",
        Pigtail = "pigtail" "Short wire that stays in the box",
    }
}

choice! {
    /// Copper wire sizes met in house branch circuits.
    WireSize {
        Awg14 = "14 AWG" "14 AWG",
        Awg12 = "12 AWG" "12 AWG",
        Awg10 = "10 AWG" "10 AWG",
    }
}

choice! {
    /// The cable or wiring method of the circuit.
    WireKind {
        NmB = "NM-B" "Plastic-sheathed cable marked NM-B",
        OldNm = "old NM" "Older sheathed cable, not marked NM-B",
        Armoured = "armoured" "Metal-armoured cable",
        Conduit = "conduit" "Wires in conduit",
        KnobAndTube = "knob and tube" "Knob-and-tube",
        Aluminium = "aluminium" "Aluminium wire",
    }
}

choice! {
    /// What the insulation of a wire is marked for.
    WireInsulation {
        C90 = "90 °C" "90 °C (THHN, THWN-2, XHHW-2 …)",
        C75 = "75 °C" "75 °C (THW, THWN, RHW …)",
        C60 = "60 °C" "60 °C (TW …)",
        Unreadable = "no mark" "No mark to be read",
    }
}

choice! {
    /// Where the fan's disconnect will be.
    Disconnect {
        InSight = "in sight" "In sight of the fan, within 50 ft",
        Lockable = "lockable" "Out of sight, can be locked open",
        Neither = "neither" "Neither",
    }
}

choice! {
    /// What carries the ceiling.
    FramingKind {
        SawnJoists = "sawn joists" "Sawn joists",
        Trusses = "trusses" "Trusses (webs and metal plates)",
        IJoists = "I-joists" "I-joists",
        Other = "other" "Something else",
    }
}

choice! {
    /// The nominal size of a joist.
    NominalSize {
        TwoByFour = "2x4" "2 × 4",
        TwoBySix = "2x6" "2 × 6",
        TwoByEight = "2x8" "2 × 8",
        TwoByTen = "2x10" "2 × 10",
        TwoByTwelve = "2x12" "2 × 12",
        Other = "other" "None of these (measure it)",
    }
}

choice! {
    /// The species group on the grade stamp.
    Species {
        DouglasFirLarch = "Douglas Fir-Larch" "Douglas Fir-Larch (DF-L)",
        HemFir = "Hem-Fir" "Hem-Fir (H-F)",
        SprucePineFir = "Spruce-Pine-Fir" "Spruce-Pine-Fir (S-P-F)",
        SouthernPine = "Southern Pine" "Southern Pine (SYP)",
        Unreadable = "no stamp" "No stamp to be read",
    }
}

choice! {
    /// The grade on the stamp.
    Grade {
        SelectStructural = "Select Structural" "Select Structural",
        No1 = "No. 1" "No. 1",
        No2 = "No. 2" "No. 2",
        No3 = "No. 3" "No. 3",
        Unreadable = "no stamp" "No stamp to be read",
    }
}

choice! {
    /// Which way the joists run, seen from the hall.
    JoistRun {
        AlongHall = "along the hall" "Along the hall",
        AcrossHall = "across the hall" "Across the hall",
    }
}

choice! {
    /// Which way something lies from the mark, looking down the hall from its start.
    Side {
        Ahead = "ahead" "Ahead",
        Back = "back" "Back",
        Left = "left" "Left",
        Right = "right" "Right",
    }
}

choice! {
    /// Which way the roof over the spot falls; level means no slope.
    RoofFall {
        Ahead = "ahead" "It falls ahead",
        Back = "back" "It falls back",
        Left = "left" "It falls to the left",
        Right = "right" "It falls to the right",
        Level = "level" "It is level",
    }
}

choice! {
    /// What lies between the joists.
    InsulationKind {
        None = "none" "None",
        LooseGlass = "loose glass fibre" "Loose glass fibre",
        Cellulose = "cellulose" "Loose cellulose",
        MineralWool = "mineral wool" "Mineral wool",
        Batts = "batts" "Batts",
        Foam = "foam" "Foam",
        Pebbles = "pebble-like" "Pebble-like grains",
        Other = "other" "Something else",
    }
}

choice! {
    /// What stands in the way.
    ObstructionKind {
        Duct = "duct" "Duct",
        Pipe = "pipe" "Pipe",
        GasPipe = "gas pipe" "Gas pipe",
        Wire = "wire" "Wire or cable",
        RecessedLight = "recessed light" "Recessed light",
        Flue = "flue" "Flue or chimney",
        Brace = "brace" "Brace or strut",
        RoofStrut = "roof strut" "Roof strut that stands on a joist",
        TrussWeb = "truss web" "Truss web",
        CollarTie = "collar tie" "Collar tie, rafter tie or beam",
        Strongback = "strongback" "Strongback across the joists",
        Appliance = "appliance" "Appliance or tank",
        Other = "other" "Something else",
    }
}

choice! {
    /// What kind of flue or chimney something is.
    FlueKind {
        TypeB = "type B" "Double-wall gas vent, type B",
        TypeL = "type L" "Double-wall oil vent, type L",
        SingleWall = "single wall" "Single-wall pipe, gas",
        StovePipe = "stovepipe" "Single-wall stovepipe, wood or coal",
        FactoryChimney = "factory-built" "Factory-built metal chimney",
        Masonry = "masonry" "Masonry chimney",
        Plastic = "plastic" "Plastic or concentric vent",
        Unknown = "unknown" "Cannot tell",
    }
}

choice! {
    /// The shape by which an obstruction is measured.
    Shape {
        Box = "box" "Box",
        Run = "run" "Round, lying between two points",
        Upright = "upright" "Round, standing upright",
    }
}

choice! {
    /// Who could move an obstruction.
    Mover {
        Anybody = "anybody" "Anybody",
        Electrician = "electrician" "Electrician",
        Plumber = "plumber" "Plumber",
        DuctFitter = "duct fitter" "Duct fitter",
        Technician = "technician" "Licensed gas or heating technician",
        Engineer = "engineer" "Engineer",
        Nobody = "nobody" "Nobody",
    }
}

choice! {
    /// What was done to a joist before.
    JoistCutKind {
        Notch = "notch" "Notch in an edge",
        EndNotch = "end notch" "Notch at a bearing",
        Hole = "hole" "Hole",
    }
}

choice! {
    /// The kinds of attic vent.
    VentKind {
        SoffitStrip = "soffit strip" "Continuous soffit strip",
        UnderEave = "under-eave" "Rectangular under-eave vent",
        PerforatedSoffit = "perforated soffit" "Perforated soffit panel",
        GableRectangle = "gable rectangle" "Gable vent, rectangular",
        GableTriangle = "gable triangle" "Gable vent, triangular",
        Ridge = "ridge" "Ridge vent",
        RoofBox = "roof box" "Box vent on the roof",
        Turbine = "turbine" "Turbine on the roof",
        RoundHole = "round" "Round vent",
        Powered = "powered" "Powered attic fan",
    }
}

choice! {
    /// What covers a vent.
    Covering {
        Open = "open" "Nothing",
        HardwareCloth = "1/4 in cloth" "1/4 in hardware cloth",
        EighthMesh = "1/8 in mesh" "1/8 in mesh",
        InsectMesh = "No. 16 mesh" "Insect mesh (No. 16)",
        MetalLouversInsectMesh = "metal louvers, No. 16 mesh" "Metal louvers with insect mesh",
        WoodLouversCloth = "wood louvers, 1/4 in cloth" "Wood louvers with 1/4 in cloth",
        WoodLouversEighthMesh = "wood louvers, 1/8 in mesh" "Wood louvers with 1/8 in mesh",
        WoodLouversInsectMesh = "wood louvers, No. 16 mesh" "Wood louvers with insect mesh",
    }
}

choice! {
    /// Where in the roof a vent sits.
    VentPlace {
        Upper = "upper" "Upper: within 3 ft of the top",
        Lower = "lower" "Lower: at the eave",
        Between = "between" "Between the two",
    }
}

choice! {
    /// What burns fuel.
    ApplianceKind {
        WaterHeater = "water heater" "Water heater",
        Furnace = "furnace" "Furnace",
        Boiler = "boiler" "Boiler",
        SpaceHeater = "space heater" "Space heater",
        Range = "range" "Cooking range",
        Dryer = "dryer" "Clothes dryer",
        WoodStove = "wood stove" "Wood or pellet stove",
        Other = "other" "Something else",
    }
}

choice! {
    /// How an appliance's burnt gas leaves.
    Venting {
        NaturalDraft = "natural draft" "Natural draft (open hood or barometric)",
        NaturalDraftDamper = "natural draft, vent damper" "Natural draft with a vent damper",
        Induced = "induced draft" "Fan-assisted (induced draft)",
        PowerVent = "power vent" "Power vent",
        ChimneyTopInducer = "chimney-top inducer" "Fan on top of the chimney",
        Sealed = "sealed" "Sealed (direct vent, two pipes)",
        Unvented = "unvented" "No vent at all",
    }
}

choice! {
    /// Where an appliance stands.
    AppliancePlace {
        LivingSpace = "living space" "In the living space",
        Closet = "closet" "In a closet or utility room",
        Basement = "basement" "In the basement",
        Garage = "garage" "In the garage",
        Attic = "attic" "In the attic",
        Outdoors = "outdoors" "Outdoors",
    }
}

choice! {
    /// Where an appliance's air comes from.
    CombustionAir {
        Indoors = "indoors" "From the rooms",
        Outdoors = "outdoors" "By a duct or opening from outdoors",
        Attic = "attic" "By a duct or opening from the attic",
    }
}

choice! {
    /// What came of a spillage test.
    SpillageTest {
        NotDone = "not done" "Not done",
        Passed = "passed" "Passed",
        Failed = "failed" "Failed",
    }
}

choice! {
    /// What kind of fireplace the house has.
    Fireplace {
        None = "none" "None",
        TightDamper = "tight damper" "Open, with a damper that shuts",
        NoDamper = "no damper" "Open, no damper that shuts",
        Sealed = "sealed" "Sealed, air from outdoors",
    }
}

choice! {
    /// What a picture shows.
    Subject {
        HallCeiling = "hall ceiling" "Hall ceiling at the spot",
        SpotFromAbove = "spot from above" "The spot, seen in the attic",
        RoofOverSpot = "roof over spot" "Roof over the spot",
        Joists = "joists" "Joists with a tape across",
        GradeStamp = "grade stamp" "Grade stamp",
        Obstruction = "obstruction" "Something in the way",
        Hatch = "hatch" "Attic hatch",
        Insulation = "insulation" "Insulation",
        Vent = "vent" "Vent",
        SwitchBox = "switch box" "Switch box",
        Panel = "panel" "Electrical panel",
        Appliance = "appliance" "Fuel-burning appliance",
        Fireplace = "fireplace" "Fireplace",
        Hazard = "hazard" "Hazard",
        House = "house" "House from outside",
        Other = "other" "Something else",
    }
}

choice! {
    /// The stops of a walk through the house, in the order one stands in them.
    Stop {
        Arrival = "arrival" "Arrival",
        Hall = "hall" "Hall",
        Attic = "attic" "Attic",
        Vents = "vents" "Vents",
        PowerAndFlame = "power and flame" "Power and flame",
        WrapUp = "wrap-up" "Wrap-up",
    }
}
