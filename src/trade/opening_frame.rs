//! How an opening in ceiling joists is framed: headers, trimmers, hangers and ledgers by the code's rule of thumb.
//!
//! # Units
//! All as [`Length`].
//!
//! # Source
//! IRC R802.9, 2018 to 2024 (confirmed). A header that spans at most 4 ft may be single, of the joists'
//! own size; single trimmers may carry a single header that lies within 3 ft of the trimmers' bearing; above 4 ft
//! headers and trimmers are doubled; above 6 ft approved hangers carry the header's ends; tail joists longer than 12 ft
//! stand on framing anchors or on a ledger of at least 2 × 2. Lateral support: IRC R802.8 (confirmed).
//!
//! # Examples
//! One joist cut at 16 in, a header 5 ft from the bearing: the header may be single, the trimmers may not.
//! ```
//! use joistlight::measure::Length;
//! use joistlight::trade::opening_frame::{Plies, opening_frame};
//! let span = Length::inches(168);
//! let frame = opening_frame(span, Length::sixteenths(488), [Length::inches(60), Length::sixteenths(1464)]);
//! assert_eq!(frame.headers, Plies::Single);
//! assert_eq!(frame.trimmers, Plies::Double);
//! ```

use super::section::{NominalDepth, Section};
use crate::measure::Length;

/// How many pieces stand side by side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Plies {
    /// One.
    Single,
    /// Two, nailed together.
    Double,
}

impl Plies {
    /// How many.
    pub const fn count(self) -> u8 {
        match self {
            Plies::Single => 1,
            Plies::Double => 2,
        }
    }

    /// How thick they are together, each as thick as `piece`.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::Length;
    /// use joistlight::trade::opening_frame::Plies;
    /// assert_eq!(Plies::Double.thickness(Length::sixteenths(24)), Length::inches(3));
    /// ```
    pub fn thickness(self, piece: Length) -> Length {
        piece * i64::from(self.count())
    }

    /// The trade's word.
    pub const fn label(self) -> &'static str {
        match self {
            Plies::Single => "single",
            Plies::Double => "doubled",
        }
    }
}

/// A header that spans more than this is doubled, and so are its trimmers.
pub const SINGLE_HEADER: Length = Length::feet(4);
/// A single trimmer carries a header only within this of its bearing.
pub const SINGLE_TRIMMER: Length = Length::feet(3);
/// A header that spans more than this hangs in approved hangers.
pub const HANGERS: Length = Length::feet(6);
/// A tail joist longer than this stands on a ledger or in framing anchors.
pub const LEDGER: Length = Length::feet(12);
/// The least bearing of a joist on wood or metal (IRC R802.6, confirmed).
pub const BEARING_ON_WOOD: Length = Length::sixteenths(24);
/// The least bearing of a joist on masonry (IRC R802.6, confirmed).
pub const BEARING_ON_MASONRY: Length = Length::inches(3);

/// How many pieces the code asks of each header of this span.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::opening_frame::{Plies, header_plies};
/// assert_eq!(header_plies(Length::feet(4)), Plies::Single);
/// assert_eq!(header_plies(Length::inches(49)), Plies::Double);
/// ```
pub fn header_plies(header_span: Length) -> Plies {
    if header_span > SINGLE_HEADER {
        Plies::Double
    } else {
        Plies::Single
    }
}

/// What the code asks of an opening's frame before any stress is computed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OpeningFrame {
    /// The headers.
    pub headers: Plies,
    /// The trimmers.
    pub trimmers: Plies,
    /// Whether approved hangers must carry the headers.
    pub hangers: bool,
    /// Whether the tail joists at the first and the second header need a ledger or framing anchors.
    pub ledgers: [bool; 2],
    /// From each header to the trimmers' nearer bearing.
    pub to_bearing: [Length; 2],
}

/// Frames an opening whose two headers span `header_span` between trimmers and lie at `headers` along joists that
/// span `span`.
pub fn opening_frame(span: Length, header_span: Length, headers: [Length; 2]) -> OpeningFrame {
    let to_bearing = headers.map(|at| at.min(span - at));
    let headers_of = header_plies(header_span);
    let long = headers_of == Plies::Double;
    let far = to_bearing.iter().any(|distance| *distance > SINGLE_TRIMMER);
    let tails = [
        headers[0].min(headers[1]),
        span - headers[0].max(headers[1]),
    ];
    OpeningFrame {
        headers: headers_of,
        trimmers: if long || far {
            Plies::Double
        } else {
            Plies::Single
        },
        hangers: header_span > HANGERS,
        ledgers: tails.map(|tail| tail > LEDGER),
        to_bearing,
    }
}

/// What keeps joists from turning over.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LateralSupport {
    /// Nothing is asked: nominal depth to thickness is at most 5:1.
    None,
    /// Blocking or a band at the bearings: above 5:1.
    AtBearings,
    /// That, and bridging at most 8 ft apart: above 6:1.
    Bridging,
}

/// The lateral support that IRC R802.8 asks of joists of this section, by their nominal sizes.
///
/// # Examples
/// ```
/// use joistlight::trade::opening_frame::{LateralSupport, lateral_support};
/// use joistlight::trade::section::{Nominal, Section};
/// let of = |nominal| lateral_support(Section::dressed(nominal));
/// assert_eq!(of(Nominal::TwoByTen), LateralSupport::None);
/// assert_eq!(of(Nominal::TwoByTwelve), LateralSupport::AtBearings);
/// ```
pub fn lateral_support(section: Section) -> LateralSupport {
    let deep = section.nominal_depth().inches();
    // Nominal thickness: the next whole inch from the dressed one.
    let thick = (1..=8)
        .find(|inch| section.breadth() <= Length::inches(*inch))
        .unwrap_or(8);
    if section.nominal_depth() == NominalDepth::Fourteen || deep > 6 * thick {
        LateralSupport::Bridging
    } else if deep > 5 * thick {
        LateralSupport::AtBearings
    } else {
        LateralSupport::None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(header_span: i64, headers: [i64; 2]) -> OpeningFrame {
        opening_frame(
            Length::inches(180),
            Length::inches(header_span),
            headers.map(Length::inches),
        )
    }

    #[test]
    fn the_thresholds_are_those_of_the_code() {
        // IRC R802.9: "exceeds" 4 ft and 6 ft, "within" 3 ft, "over" 12 ft.
        assert_eq!(frame(48, [36, 144]).headers, Plies::Single);
        assert_eq!(frame(48, [36, 144]).trimmers, Plies::Single);
        assert_eq!(frame(49, [36, 144]).headers, Plies::Double);
        assert_eq!(frame(49, [36, 144]).trimmers, Plies::Double);
        // A trap: a short header far from the bearing still doubles its trimmers.
        assert_eq!(frame(40, [37, 144]).trimmers, Plies::Double);
        assert_eq!(frame(40, [37, 144]).headers, Plies::Single);
        assert_eq!(frame(40, [36, 143]).trimmers, Plies::Double);
        assert!(!frame(72, [36, 144]).hangers);
        assert!(frame(73, [36, 144]).hangers);
        assert_eq!(frame(40, [36, 144]).ledgers, [false, false]);
        assert_eq!(frame(40, [30, 35]).ledgers, [false, true]);
        assert_eq!(frame(40, [145, 175]).ledgers, [true, false]);
    }

    #[test]
    fn deep_thin_joists_must_be_kept_upright() {
        let of = |breadth, depth| {
            lateral_support(
                Section::measured(Length::sixteenths(breadth), Length::sixteenths(depth)).unwrap(),
            )
        };
        assert_eq!(of(24, 148), LateralSupport::None);
        assert_eq!(of(24, 180), LateralSupport::AtBearings);
        assert_eq!(of(24, 212), LateralSupport::Bridging);
        assert_eq!(of(48, 180), LateralSupport::None);
    }
}
