//! What the rules about framing read of the joists, each answer asked for in one way.

use super::AtSpot;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say};
use crate::house::scene::Nowhere;
use crate::measure::Length;
use crate::survey::{CeilingMaterial, FramingKind, NominalSize, RoofFall, attic, hall};
use crate::trade::attic_load::{AtticUse, Finish, ridge_height};
use crate::trade::lumber::{Grade, Lumber, Species};
use crate::trade::placement::{Axis, Place};
use crate::trade::section::{Nominal, NominalDepth, Section};

/// What a group of answers comes to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Read<T> {
    /// Known.
    Known(T),
    /// An answer is missing.
    Missing,
    /// Answers that cannot all be right.
    Clash(Say),
}

/// What carries the ceiling: whether it is sawn joists, where that is known.
pub(super) fn sawn(asking: &mut RuleContext) -> Option<bool> {
    asking
        .get(attic::FRAMING)
        .map(|framing| framing == FramingKind::SawnJoists)
}

/// A joist's section: the dressed one of its nominal size, or as measured where it has none.
pub(super) fn section(asking: &mut RuleContext) -> Read<Section> {
    let nominal = match asking.get(attic::NOMINAL_SIZE) {
        Some(NominalSize::TwoByFour) => Nominal::TwoByFour,
        Some(NominalSize::TwoBySix) => Nominal::TwoBySix,
        Some(NominalSize::TwoByEight) => Nominal::TwoByEight,
        Some(NominalSize::TwoByTen) => Nominal::TwoByTen,
        Some(NominalSize::TwoByTwelve) => Nominal::TwoByTwelve,
        other => {
            let thickness = asking.get(attic::JOIST_THICKNESS);
            let depth = asking.get(attic::JOIST_DEPTH);
            let (Some(_), Some(thickness), Some(depth)) = (other, thickness, depth) else {
                return Read::Missing;
            };
            return match Section::measured(thickness.length(), depth.length()) {
                Ok(section) => Read::Known(section),
                Err(_) => Read::Clash(
                    Say::new(
                        "{thickness} × {depth} is no size of framing lumber, which is 1 in to 4 in thick and 2 1/2 in to 16 in deep.",
                    )
                    .with("thickness", thickness.length())
                    .with("depth", depth.length()),
                ),
            };
        }
    };
    Read::Known(Section::dressed(nominal))
}

/// Bearing to bearing, and the mark's place between.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Along {
    /// Bearing to bearing.
    pub span: Length,
    /// From the bearing behind or right to the mark.
    pub mark: Length,
}

/// The joist's span and the mark's place in it.
pub(super) fn along(asking: &mut RuleContext) -> Read<Along> {
    let span = asking.get(attic::BEARING_SPAN);
    let mark = asking.get(attic::MARK_FROM_BEARING);
    match (span, mark) {
        (Some(span), _) if span.length() <= Length::ZERO => {
            Read::Clash(Say::new("the joists have no span from bearing to bearing."))
        }
        (Some(span), Some(mark)) => {
            let (span, mark) = (span.length(), mark.length());
            if mark.is_negative() || mark > span {
                Read::Clash(
                    Say::new(
                        "the mark lies {mark} from a bearing of joists that span only {span}.",
                    )
                    .with("mark", mark)
                    .with("span", span),
                )
            } else {
                Read::Known(Along { span, mark })
            }
        }
        _ => Read::Missing,
    }
}

/// One answer off a grade stamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stamped<T> {
    Read(T),
    Unreadable,
    Missing,
}

/// What is known of the wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Stamp {
    species: Stamped<Species>,
    grade: Stamped<Grade>,
}

/// Species and grade off the stamp.
pub(super) fn stamp(asking: &mut RuleContext) -> Stamp {
    use crate::survey::{Grade as G, Species as S};
    let species = match asking.get(attic::SPECIES) {
        None => Stamped::Missing,
        Some(S::Unreadable) => Stamped::Unreadable,
        Some(S::DouglasFirLarch) => Stamped::Read(Species::DouglasFirLarch),
        Some(S::HemFir) => Stamped::Read(Species::HemFir),
        Some(S::SprucePineFir) => Stamped::Read(Species::SprucePineFir),
        Some(S::SouthernPine) => Stamped::Read(Species::SouthernPine),
    };
    let grade = match asking.get(attic::GRADE) {
        None => Stamped::Missing,
        Some(G::Unreadable) => Stamped::Unreadable,
        Some(G::SelectStructural) => Stamped::Read(Grade::SelectStructural),
        Some(G::No1) => Stamped::Read(Grade::No1),
        Some(G::No2) => Stamped::Read(Grade::No2),
        Some(G::No3) => Stamped::Read(Grade::No3),
    };
    Stamp { species, grade }
}

impl<T: Copy> Stamped<T> {
    fn read(self) -> Option<T> {
        match self {
            Stamped::Read(it) => Some(it),
            _ => None,
        }
    }

    /// What the answer may still turn out to be; `None` stands for one that cannot be read.
    fn may_be(self, all: &[T]) -> impl Iterator<Item = Option<T>> {
        let open: &[T] = if matches!(self, Stamped::Missing) {
            all
        } else {
            &[]
        };
        let fixed = (!matches!(self, Stamped::Missing)).then_some(self.read());
        open.iter().copied().map(Some).chain(fixed)
    }
}

impl Stamp {
    /// Whether part of the stamp cannot be read.
    pub fn unreadable(self) -> bool {
        self.species == Stamped::Unreadable || self.grade == Stamped::Unreadable
    }

    /// The least specific gravity that the wood may have, for its nails.
    pub fn least_gravity(self) -> f64 {
        self.species.read().map_or_else(
            || {
                Species::ALL
                    .into_iter()
                    .map(Species::specific_gravity)
                    .fold(f64::INFINITY, f64::min)
            },
            Species::specific_gravity,
        )
    }

    /// Whether both answers are given, read or not.
    pub fn complete(self) -> bool {
        self.species != Stamped::Missing && self.grade != Stamped::Missing
    }

    /// The values to judge by: the weakest that the stamp allows, whatever is missing.
    pub fn weakest(self, depth: NominalDepth) -> Lumber {
        Lumber::weakest(self.species.read(), self.grade.read(), depth)
    }

    /// The strongest that the wood may really be, were the stamp known.
    pub fn strongest(self, depth: NominalDepth) -> Lumber {
        Lumber::strongest(self.species.read(), self.grade.read(), depth)
    }

    /// The best values that may yet be judged by: missing answers at their best, unreadable ones at their weakest.
    pub fn hopeful(self, depth: NominalDepth) -> Lumber {
        let mut best: Option<Lumber> = None;
        for species in self.species.may_be(&Species::ALL) {
            for grade in self.grade.may_be(&Grade::ALL) {
                let one = Lumber::weakest(species, grade, depth);
                best = Some(best.map_or(one, |had| had.better_of(one)));
            }
        }
        best.unwrap_or_else(|| self.weakest(depth))
    }
}

/// Two ends of what something may be; both the same where it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Bounds<T> {
    /// The better.
    pub best: T,
    /// The worse.
    pub worst: T,
}

impl<T: Copy> Bounds<T> {
    const fn known(it: T) -> Self {
        Bounds {
            best: it,
            worst: it,
        }
    }
}

/// Whether the attic counts as one with storage: it is used so, or it is high enough somewhere.
pub(super) fn attic_use(asking: &mut RuleContext, at: AtSpot) -> Bounds<AtticUse> {
    let attic = &at.spot.attic;
    const KNOWN: Bounds<AtticUse> = Bounds::known(AtticUse::LimitedStorage);
    const OPEN: Bounds<AtticUse> = Bounds {
        best: AtticUse::NoStorage,
        worst: AtticUse::LimitedStorage,
    };
    let storage = asking.get(attic::STORAGE);
    if storage == Some(true) {
        return KNOWN;
    }
    let height = asking.length(attic::ROOF_HEIGHT);
    if height.is_some_and(|it| AtticUse::by_height(it) == AtticUse::LimitedStorage) {
        return KNOWN;
    }
    let level = asking.get(attic::ROOF_FALL) == Some(RoofFall::Level);
    let most = if level {
        height
    } else {
        let slope = asking.get(attic::ROOF_SLOPE);
        let uphill = asking.get(attic::RIDGE_DISTANCE);
        match (height, slope, uphill, attic.roof_fall) {
            (Some(height), Some(slope), Some(uphill), Some(_)) => {
                Some(height.max(ridge_height(height, uphill.length(), slope)))
            }
            _ => None,
        }
    };
    match (storage, most) {
        (Some(false), Some(most)) => Bounds::known(AtticUse::by_height(most)),
        (None, Some(most)) => Bounds {
            best: AtticUse::by_height(most),
            worst: AtticUse::LimitedStorage,
        },
        _ => OPEN,
    }
}

/// The ceiling's underside.
pub(super) fn finish(asking: &mut RuleContext) -> Bounds<Finish> {
    match asking.get(hall::CEILING_MATERIAL) {
        None => Bounds {
            best: Finish::Flexible,
            worst: Finish::Plaster,
        },
        Some(CeilingMaterial::PlasterOnLath) => Bounds::known(Finish::Plaster),
        Some(_) => Bounds::known(Finish::Flexible),
    }
}

/// Where the opening of a place lies along the joists, from the bearing behind or right.
pub(super) fn opening_ends(place: &Place, axis: Axis, along: Along, length: Length) -> [Length; 2] {
    let middle = along.mark
        + match axis {
            Axis::Ahead => place.ahead,
            Axis::Left => place.left,
        };
    [middle - length / 2, middle + length / 2]
}

/// The opening's middle across the joists, from the mark.
pub(super) fn across(place: &Place, axis: Axis) -> Length {
    match axis {
        Axis::Ahead => place.left,
        Axis::Left => place.ahead,
    }
}

/// What is said where the opening goes nowhere: nothing can be judged there.
pub(super) fn no_place(asking: RuleContext, nowhere: &Nowhere) -> Finding {
    let say = Say::new("There is no place for the opening: {why}").with("why", nowhere.why.clone());
    Finding {
        measure_again: nowhere.measure_again,
        ..asking.settled(Outcome::Fails, say)
    }
}
