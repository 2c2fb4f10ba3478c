//! Net free vent area: what attic vents let through, what is needed, and what to add.
//!
//! # Units
//! Sizes as lengths, areas in ft² or in², airflow in cfm.
//!
//! # Source
//! * Gross opening for 1 ft² net, by covering: the field guide's table, of HUD-FHA minimum property standards and
//!   USDA Agriculture Handbook 73 (table confirmed, its origin from memory). `net = gross / multiplier`.
//! * 1/150 of the vented area, 1/300 where the upper vents carry 40–50 % of it: IRC R806.2, by edition, see
//!   [`reduced_rule`].
//! * 20 % more for roofs of 7:12 to 10:12, 30 % for steeper ones: the same field guide (confirmed).
//! * 1 ft² net for each 750 cfm: US DOE fact sheet DOE/GO-10099-745 (from memory); 375 cfm by the California
//!   energy code of 2013, see [`airflow::energy_rule`](super::airflow::energy_rule).
//!
//! # Examples
//! A 24 × 24 in gable vent behind wood louvers and insect mesh lets through a third: 192 in².
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::vent_area::{Cover, Form, net_free};
//! let gable = Form::Rectangle { width: Length::inches(24), height: Length::inches(24) };
//! assert_eq!(net_free(gable, Cover::WoodLouversInsectMesh).in2().round(), 192.0);
//! ```

use super::codes::{Building, Energy};
use super::source::Source;
use crate::measure::Length;
use crate::measure::quantity::{Airflow, Area, Pitch, Speed};

/// What covers a vent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cover {
    /// Nothing.
    Open,
    /// Hardware cloth, 1/4 in.
    HardwareCloth,
    /// Mesh, 1/8 in.
    EighthMesh,
    /// Insect mesh, No. 16 (about 1/16 in), with or without plain metal louvers.
    InsectMesh,
    /// Wood louvers and 1/4 in hardware cloth.
    WoodLouversCloth,
    /// Wood louvers and 1/8 in mesh.
    WoodLouversEighthMesh,
    /// Wood louvers and No. 16 mesh.
    WoodLouversInsectMesh,
}

impl Cover {
    /// Gross opening for one of net free area.
    pub const fn multiplier(self) -> f64 {
        match self {
            Cover::Open | Cover::HardwareCloth => 1.0,
            Cover::EighthMesh => 1.25,
            Cover::InsectMesh | Cover::WoodLouversCloth => 2.0,
            Cover::WoodLouversEighthMesh => 2.25,
            Cover::WoodLouversInsectMesh => 3.0,
        }
    }
}

/// Where the multipliers come from.
pub const COVER_SOURCE: Source = Source::confirmed(
    "Gross area for 1 ft² net by covering: field guide table after HUD-FHA MPS and USDA Agriculture Handbook 73",
);

/// The shape of a vent's opening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A rectangle; of a continuous strip, its length and its width.
    Rectangle {
        /// One side.
        width: Length,
        /// The other.
        height: Length,
    },
    /// A triangle, as in the peak of a gable: half of its rectangle.
    Triangle {
        /// The base.
        width: Length,
        /// The height over it.
        height: Length,
    },
    /// A circle, also the throat of a turbine.
    Circle {
        /// The diameter.
        diameter: Length,
    },
}

/// The gross area of an opening.
///
/// # Examples
/// A turbine's throat of 12 in is 113 in², one of 14 in 154 in²:
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::vent_area::{Form, gross};
/// let throat = |inches| gross(Form::Circle { diameter: Length::inches(inches) }).in2().round();
/// assert_eq!((throat(12), throat(14)), (113.0, 154.0));
/// let peak = Form::Triangle { width: Length::inches(60), height: Length::inches(25) };
/// assert_eq!(gross(peak).in2().round(), 750.0);
/// ```
pub fn gross(form: Form) -> Area {
    match form {
        Form::Rectangle { width, height } => width * height,
        Form::Triangle { width, height } => width * height * 0.5,
        Form::Circle { diameter } => diameter * diameter * std::f64::consts::FRAC_PI_4,
    }
}

/// Net free area of an opening that has no mark.
pub fn net_free(form: Form, cover: Cover) -> Area {
    gross(form) / cover.multiplier()
}

/// Net free area of an unmarked ridge vent: 9 in² a foot, the least of what is sold (9 to 20, from memory).
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::vent_area::unmarked_ridge;
/// assert_eq!(unmarked_ridge(Length::feet(30)).in2().round(), 270.0);
/// ```
pub fn unmarked_ridge(length: Length) -> Area {
    Area::from_in2(9.0 * length.to_ft())
}

/// Net free area of an unmarked perforated soffit panel: 4 in² for each ft², the least of the usual patterns
/// (4 to 14, from memory).
///
/// # Examples
/// ```
/// use joistlight::measure::Area;
/// use joistlight::trade::vent_area::unmarked_perforated;
/// assert_eq!(unmarked_perforated(Area::from_ft2(20.0)).in2().round(), 80.0);
/// ```
pub fn unmarked_perforated(panel: Area) -> Area {
    Area::from_in2(4.0 * panel.ft2())
}

/// What so many vents alike let through with a share of each blocked.
///
/// # Examples
/// Two gable vents of 192 in², a quarter of each painted shut:
/// ```
/// use joistlight::measure::Area;
/// use joistlight::trade::vent_area::together;
/// assert_eq!(together(Area::from_in2(192.0), 2, 25.0).in2().round(), 288.0);
/// ```
pub fn together(each: Area, count: u32, blocked_percent: f64) -> Area {
    each * f64::from(count) * (1.0 - blocked_percent.clamp(0.0, 100.0) / 100.0)
}

/// Net free vent area by where it sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Within 3 ft of the ridge or the highest point.
    pub upper: Area,
    /// At the eaves.
    pub lower: Area,
    /// Anywhere else, or where nobody looked.
    pub between: Area,
}

impl Placed {
    /// None.
    pub const NONE: Placed = Placed {
        upper: Area::ZERO,
        lower: Area::ZERO,
        between: Area::ZERO,
    };

    /// All of it.
    pub fn total(&self) -> Area {
        self.upper + self.lower + self.between
    }
}

/// What the building code asks before 1/300 of the vented area is enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReducedRule {
    /// Whether the vapour retarder of cold zones and the split are both asked, or one of them is enough.
    pub both: bool,
    /// The least share of the needed area in upper vents.
    pub upper_least: f64,
    /// The most that upper vents may count for.
    pub upper_most: f64,
    /// The edition.
    pub source: Source,
}

/// The 1/300 rule of an edition of IRC R806.2.
///
/// # Examples
/// ```
/// use joistlight::trade::codes::Building;
/// use joistlight::trade::vent_area::reduced_rule;
/// assert!(!reduced_rule(Building::Irc2012).both, "one or more");
/// assert!(reduced_rule(Building::Irc2021).both);
/// ```
pub const fn reduced_rule(building: Building) -> ReducedRule {
    let (both, source) = match building {
        Building::Irc2012 => (
            false,
            Source::confirmed(
                "IRC 2012 R806.2 exception: one or more of vapour retarder and upper/lower split",
            ),
        ),
        Building::Irc2015 => (
            true,
            Source::from_memory(
                "IRC 2015 R806.2 exception: both vapour retarder and upper/lower split",
            ),
        ),
        Building::Irc2018 => (
            true,
            Source::from_memory(
                "IRC 2018 R806.2 exception: both vapour retarder and upper/lower split",
            ),
        ),
        Building::Irc2021 => (
            true,
            Source::confirmed(
                "IRC 2021 R806.2 exception: both vapour retarder and upper/lower split",
            ),
        ),
        Building::Irc2024 => (
            true,
            Source::from_memory(
                "IRC 2024 R806.2 exception: both vapour retarder and upper/lower split",
            ),
        ),
    };
    ReducedRule {
        both,
        upper_least: 0.40,
        upper_most: 0.50,
        source,
    }
}

/// Whether a climate zone is one of those where a vapour retarder is asked: 6 to 8 (IRC R806.2, confirmed);
/// with California's own zone numbers 14 and 16 (California Residential Code R806.2, from memory).
pub const fn retarder_zone(energy: Energy, zone: u32) -> bool {
    match energy {
        Energy::None => zone >= 6 && zone <= 8,
        Energy::California2013 | Energy::California2016 => zone == 14 || zone == 16,
    }
}

/// Whether 1/300 may be enough in this house.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reduction {
    /// It is not: 1/150.
    No,
    /// It is, where the vents are split between upper and lower.
    WithSplit,
    /// It is, however the vents are split.
    However,
}

impl ReducedRule {
    /// Whether 1/300 may be enough, by whether this is a zone of vapour retarders and whether there is one.
    ///
    /// "One or more" counts the retarder only in the zones that the condition names.
    pub const fn reduction(&self, retarder_zone: bool, retarder: bool) -> Reduction {
        match (self.both, retarder_zone, retarder) {
            (false, true, true) => Reduction::However,
            (true, true, false) => Reduction::No,
            _ => Reduction::WithSplit,
        }
    }
}

/// More vent area for steep roofs: 1, 1.2 from 7:12, 1.3 over 10:12.
pub fn steep_roof_factor(slope: Pitch) -> f64 {
    match slope.rise_per_12() {
        rise if rise > 10.0 => 1.3,
        rise if rise >= 7.0 => 1.2,
        _ => 1.0,
    }
}

/// The code's share of the attic floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CodeShare {
    /// 1/150 of it.
    pub full: Area,
    /// 1/300 of it.
    pub reduced: Area,
}

/// The code's shares of an attic floor, with the addition for a steep roof.
///
/// # Examples
/// 1500 ft²: 10 ft² (1440 in²) at 1/150, 5 ft² (720 in²) at 1/300.
/// ```
/// use joistlight::measure::{Area, Pitch};
/// use joistlight::trade::vent_area::code_share;
/// let share = code_share(Area::from_ft2(1500.0), 1.0);
/// assert_eq!((share.full.in2().round(), share.reduced.in2().round()), (1440.0, 720.0));
/// ```
pub fn code_share(attic_floor: Area, steep_factor: f64) -> CodeShare {
    CodeShare {
        full: attic_floor / 150.0 * steep_factor,
        reduced: attic_floor / 300.0 * steep_factor,
    }
}

/// The usual rule for attic vents: 750 cfm for each ft² net (US DOE, from memory).
pub const USUAL_PER_VENT: Speed = Speed::from_fpm(750.0);
/// The most vent area that any edition asked for: 375 cfm for each ft² net (California 2013, from memory).
pub const WIDEST_PER_VENT: Speed = Speed::from_fpm(375.0);

/// The vent area that a fan's airflow needs.
///
/// # Examples
/// 4000 cfm need 5.33 ft² = 768 in²; the 533 ft² that is printed in places is a slip of the point.
/// ```
/// use joistlight::measure::Airflow;
/// use joistlight::trade::vent_area::{USUAL_PER_VENT, fan_need};
/// let need = fan_need(Airflow::from_cfm(4000.0), USUAL_PER_VENT);
/// assert_eq!(need.in2().round(), 768.0);
/// assert!(need.ft2() < 533.0 / 50.0);
/// ```
pub fn fan_need(rated: Airflow, per_vent: Speed) -> Area {
    rated / per_vent
}

/// Vent area to be added.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToAdd {
    /// Within 3 ft of the top.
    pub upper: Area,
    /// At the eaves.
    pub lower: Area,
    /// Anywhere.
    pub anywhere: Area,
    /// Whether it is meant for 1/300 with the split; otherwise 1/150, or 1/300 however split.
    pub by_split: bool,
    /// The code's share that is met with it.
    pub code_share: Area,
}

impl ToAdd {
    /// All of it.
    pub fn total(&self) -> Area {
        self.upper + self.lower + self.anywhere
    }

    /// Whether nothing is to be added.
    pub fn is_none(&self) -> bool {
        // A rounding of binary fractions is no missing vent.
        self.total().ft2() <= 1e-9
    }
}

/// The least vent area that must be added so that all of these are met: what the fan and its sheet need, and the
/// code's share, at 1/150 or, where that is allowed and takes less, at 1/300 with the split.
///
/// Upper vents count for at most half of the split share; what is more there does no harm.
///
/// # Examples
/// 1500 ft² of attic floor, 3 ft² at the eaves and 1 ft² at the top, a fan that needs 4 ft²: 1 ft² more at the
/// top makes 1/300 enough; 1/150 would take 6 ft².
/// ```
/// use joistlight::measure::Area;
/// use joistlight::trade::codes::Building;
/// use joistlight::trade::vent_area::*;
/// let have = Placed { upper: Area::from_ft2(1.0), lower: Area::from_ft2(3.0), between: Area::ZERO };
/// let share = code_share(Area::from_ft2(1500.0), 1.0);
/// let rule = reduced_rule(Building::Irc2021);
/// let add = to_add(Area::from_ft2(4.0), share, Reduction::WithSplit, &rule, have);
/// assert_eq!((add.upper.ft2(), add.lower.ft2(), add.anywhere.ft2()), (1.0, 0.0, 0.0));
/// let add = to_add(Area::from_ft2(4.0), share, Reduction::No, &rule, have);
/// assert_eq!((add.total().ft2(), add.by_split), (6.0, false));
/// ```
pub fn to_add(
    fan_need: Area,
    share: CodeShare,
    reduction: Reduction,
    rule: &ReducedRule,
    have: Placed,
) -> ToAdd {
    let short_of = |need: Area, have: Area| (need - have).max(Area::ZERO);
    let flat = match reduction {
        Reduction::However => share.reduced,
        Reduction::No | Reduction::WithSplit => share.full,
    };
    let plain = ToAdd {
        upper: Area::ZERO,
        lower: Area::ZERO,
        anywhere: short_of(fan_need.max(flat), have.total()),
        by_split: false,
        code_share: flat,
    };
    if reduction != Reduction::WithSplit || plain.is_none() {
        return plain;
    }
    let need = share.reduced;
    let upper = short_of(need * rule.upper_least, have.upper);
    let counted = (have.upper + upper).min(need * rule.upper_most);
    let lower = short_of(need - counted, have.lower);
    let anywhere = short_of(fan_need.max(need), have.total() + upper + lower);
    let split = ToAdd {
        upper,
        lower,
        anywhere,
        by_split: true,
        code_share: need,
    };
    if split.total() < plain.total() {
        split
    } else {
        plain
    }
}

/// A kind of vent that can be added, with what one lets through as such vents are usually marked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NewVent {
    /// What it is; one of it or a foot of it.
    pub name: &'static str,
    /// Net free area of one, or of a foot.
    pub each: Area,
    /// Whether it sits within 3 ft of the top; else at the eaves.
    pub upper: bool,
    /// How sure the area is.
    pub source: Source,
}

/// Box vent on the roof: 50 in², the least of 50 to 61 (from memory).
pub const NEW_BOX: NewVent = NewVent {
    name: "box vents on the roof",
    each: Area::from_in2(50.0),
    upper: true,
    source: Source::from_memory("Box vents on the roof: about 50 to 61 in² each"),
};
/// Ridge vent: 18 in² a foot (restated on a secondary page, range from memory).
pub const NEW_RIDGE: NewVent = NewVent {
    name: "feet of ridge vent",
    each: Area::from_in2(18.0),
    upper: true,
    source: Source::from_memory("Ridge vent: about 18 in² a foot"),
};
/// Turbine with a 12 in throat: its throat, 113 in² (derived).
pub const NEW_TURBINE: NewVent = NewVent {
    name: "turbines with a 12 in throat",
    each: Area::from_in2(36.0 * std::f64::consts::PI),
    upper: true,
    source: Source::derived("Turbine: area of its throat"),
};
/// Under-eave vent 8 × 16 in: 45 in², the least of 45 to 56 (restated on a secondary page).
pub const NEW_UNDER_EAVE: NewVent = NewVent {
    name: "under-eave vents 8 × 16 in",
    each: Area::from_in2(45.0),
    upper: false,
    source: Source::from_memory("Under-eave vents 8 × 16 in: about 45 to 56 in² each"),
};
/// Soffit strip: 9 in² a foot (restated on two secondary pages).
pub const NEW_STRIP: NewVent = NewVent {
    name: "feet of soffit strip",
    each: Area::from_in2(9.0),
    upper: false,
    source: Source::from_memory("Continuous soffit strip: about 9 in² a foot"),
};

impl NewVent {
    /// How many, or how many feet, close a gap.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::Area;
    /// use joistlight::trade::vent_area::{NEW_BOX, NEW_STRIP};
    /// assert_eq!(NEW_BOX.count_for(Area::from_in2(201.0)), 5);
    /// assert_eq!(NEW_STRIP.count_for(Area::from_in2(90.0)), 10);
    /// assert_eq!(NEW_BOX.count_for(Area::ZERO), 0);
    /// ```
    pub fn count_for(&self, gap: Area) -> u32 {
        // A hair over a whole number, from rounding, is that number.
        ((gap / self.each) - 1e-9).ceil().clamp(0.0, 1e6) as u32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ft2(value: f64) -> Area {
        Area::from_ft2(value)
    }

    #[test]
    fn coverings_reduce_as_the_field_guide_prints() {
        for (cover, net) in [
            (Cover::HardwareCloth, 1.000),
            (Cover::EighthMesh, 0.800),
            (Cover::InsectMesh, 0.500),
            (Cover::WoodLouversCloth, 0.500),
            (Cover::WoodLouversEighthMesh, 0.444),
            (Cover::WoodLouversInsectMesh, 0.333),
        ] {
            assert!((1.0 / cover.multiplier() - net).abs() < 5e-4, "{cover:?}");
        }
    }

    #[test]
    fn published_vectors_of_the_fans_need() {
        let need = |cfm| fan_need(Airflow::from_cfm(cfm), USUAL_PER_VENT);
        assert!((need(2400.0).in2() - 460.8).abs() < 1e-9);
        assert!((need(6000.0).ft2() - 8.0).abs() < 1e-12);
        assert!((need(4000.0).in2() - 768.0).abs() < 1e-9);
        // The old California figure asks twice as much, the extension sheet's window rule is another thing.
        assert_eq!(
            fan_need(Airflow::from_cfm(6000.0), WIDEST_PER_VENT).ft2(),
            16.0
        );
    }

    #[test]
    fn the_split_holds_from_40_percent_and_extra_upper_vents_do_no_harm() {
        let rule = reduced_rule(Building::Irc2021);
        let share = code_share(ft2(1500.0), 1.0);
        let add = |upper_in2: f64, lower_in2: f64| {
            let have = Placed {
                upper: Area::from_in2(upper_in2),
                lower: Area::from_in2(lower_in2),
                between: Area::ZERO,
            };
            to_add(Area::ZERO, share, Reduction::WithSplit, &rule, have)
        };
        assert!(add(288.0, 432.0).is_none(), "40 % upper");
        assert!(add(360.0, 360.0).is_none(), "50 % upper");
        assert!(!add(287.0, 433.0).is_none(), "less than 40 % upper");
        assert!((add(287.0, 433.0).upper.in2() - 1.0).abs() < 1e-9);
        assert!(add(700.0, 360.0).is_none());
        assert!((add(500.0, 300.0).lower.in2() - 60.0).abs() < 1e-9);
    }

    #[test]
    fn one_or_both_conditions_by_edition() {
        let old = reduced_rule(Building::Irc2012);
        let new = reduced_rule(Building::Irc2021);
        assert_eq!(old.reduction(true, true), Reduction::However);
        assert_eq!(old.reduction(true, false), Reduction::WithSplit);
        assert_eq!(old.reduction(false, true), Reduction::WithSplit);
        assert_eq!(new.reduction(true, true), Reduction::WithSplit);
        assert_eq!(new.reduction(true, false), Reduction::No);
        assert_eq!(new.reduction(false, false), Reduction::WithSplit);
        assert!(retarder_zone(Energy::None, 6) && !retarder_zone(Energy::None, 5));
        assert!(retarder_zone(Energy::California2016, 16));
        assert!(!retarder_zone(Energy::California2016, 7));
    }

    #[test]
    fn what_is_added_is_enough_and_no_more_than_another_way() {
        // Over a grid of houses: adding what is said leaves nothing to add, and a little less would not do.
        let rule = reduced_rule(Building::Irc2021);
        for floor in [300.0, 1500.0, 2800.0] {
            for need in [0.0, 3.2, 8.0] {
                for upper in [0.0, 0.7, 2.0, 6.0] {
                    for lower in [0.0, 1.1, 3.0, 9.0] {
                        for reduction in [Reduction::No, Reduction::WithSplit, Reduction::However] {
                            let share = code_share(ft2(floor), 1.2);
                            let have = Placed {
                                upper: ft2(upper),
                                lower: ft2(lower),
                                between: ft2(0.5),
                            };
                            let add = to_add(ft2(need), share, reduction, &rule, have);
                            let with = |part: f64| {
                                let more = Placed {
                                    upper: have.upper + add.upper * part,
                                    lower: have.lower + add.lower * part,
                                    between: have.between + add.anywhere * part,
                                };
                                to_add(ft2(need), share, reduction, &rule, more)
                            };
                            assert!(with(1.0).is_none(), "{add:?}");
                            assert!(add.is_none() || !with(0.99).is_none(), "{add:?}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn steep_roofs_take_more() {
        for (rise, factor) in [(0.0, 1.0), (6.9, 1.0), (7.0, 1.2), (10.0, 1.2), (10.5, 1.3)] {
            assert_eq!(steep_roof_factor(Pitch::from_rise_per_12(rise)), factor);
        }
    }
}
