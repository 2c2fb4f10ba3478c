//! What is declared of an answer and of a list: everything that screens, files, offers and checks know of them.
//!
//! A declaration stands in `house.rs`, one answer a line; what a line does not say is as in [`Slot::PLAIN`].

use super::answer::{Kind, Ways};
use super::choice::{Stop, Subject};

/// One answer of a record, as the screens and the checks see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slot {
    /// Section and name, such as `attic.roof_height`.
    pub id: &'static str,
    /// The name within the record.
    pub name: &'static str,
    /// The English label, which is also the key for translations.
    pub label: &'static str,
    /// One English sentence on how to measure it, also a key for translations.
    pub help: &'static str,
    /// What kind of answer it takes.
    pub kind: Kind,
    /// The heading that begins with this answer on the page of its stop, English, also a key.
    pub heading: Option<&'static str>,
    /// What is offered to be taken with one tap.
    pub offers: Offers,
    /// Whether it is a hazard that is looked for from the hatch before anybody goes in.
    pub hazard: bool,
    /// Whether spots of one house mostly have it in common; nothing measured from the mark is.
    pub common: bool,
    /// From where it can be had on a first visit, without going into the attic.
    pub reach: Option<Reach>,
    /// Whether it can end the matter on a first visit, by itself or together with others.
    pub decides: bool,
    /// The kinds or shapes of thing that have it; `None` where all have.
    pub only_for: Option<OnlyFor>,
}

impl Slot {
    /// An answer of which nothing more is declared.
    pub const PLAIN: Slot = Slot {
        id: "",
        name: "",
        label: "",
        help: "",
        kind: Kind::Text,
        heading: None,
        offers: Offers::None,
        hazard: false,
        common: false,
        reach: None,
        decides: false,
        only_for: None,
    };
}

/// Values to take with one tap: an offer is only a large key, and what nobody tapped is not measured.
///
/// The sizes in which things are usually sold and built are common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Offers {
    /// Nothing.
    None,
    /// Usual sizes, as they are typed with an inch tape and with a metric one.
    Sizes {
        /// In inches, feet and the trade's units.
        inch: &'static [&'static str],
        /// In millimetres, metres and their units.
        metric: &'static [&'static str],
    },
    /// Usual words in English, each a key for translations.
    Words(&'static [&'static str]),
}

impl Offers {
    /// Usual sizes that read alike on every tape.
    pub const fn alike(sizes: &'static [&'static str]) -> Offers {
        Offers::Sizes {
            inch: sizes,
            metric: sizes,
        }
    }

    /// The usual sizes for this tape, as they are typed.
    pub fn sizes(self, ways: &Ways) -> &'static [&'static str] {
        match self {
            Offers::Sizes { metric, .. } if ways.metric() => metric,
            Offers::Sizes { inch, .. } => inch,
            _ => &[],
        }
    }

    /// The usual words.
    pub fn words(self) -> &'static [&'static str] {
        match self {
            Offers::Words(words) => words,
            _ => &[],
        }
    }
}

/// From where an answer can be had without going into the attic. Common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Reach {
    /// Standing in the hall, or asking.
    Hall,
    /// Looking and reaching through the hatch from the ladder.
    Hatch,
}

impl Reach {
    /// Both, in the order of the visit.
    pub const ALL: [Reach; 2] = [Reach::Hall, Reach::Hatch];

    /// The English words, also the key for translations.
    pub const fn label(self) -> &'static str {
        match self {
            Reach::Hall => "From the hall floor",
            Reach::Hatch => "Through the hatch, from the ladder",
        }
    }
}

/// Which things of a list have an answer: told by another answer of the same thing, a choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OnlyFor {
    /// The name of the deciding answer within the record.
    pub by: &'static str,
    /// The codes of the choices that have it.
    pub codes: &'static [&'static str],
    /// Whether it is asked while the deciding answer is missing.
    pub unsaid: bool,
}

/// A list that a survey holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ListEntry {
    /// Such as `attic.obstructions`.
    pub id: &'static str,
    /// The name within the record.
    pub name: &'static str,
    /// The field that says "that is all of them".
    pub complete: &'static str,
    /// The English label, which is also the key for translations.
    pub label: &'static str,
    /// What one of them is called in English, also a key.
    pub one: &'static str,
    /// The stop where it is filled.
    pub stop: Stop,
    /// Whether each spot has one of its own.
    pub of_spot: bool,
    /// Its items' answers.
    pub slots: &'static [Slot],
    /// Whether spots of one house mostly have it in common.
    pub common: bool,
    /// What a picture of one of them most likely shows.
    pub subject: Subject,
}

impl ListEntry {
    /// A list of which nothing more is declared.
    pub const PLAIN: ListEntry = ListEntry {
        id: "",
        name: "",
        complete: "",
        label: "",
        one: "",
        stop: Stop::Arrival,
        of_spot: false,
        slots: &[],
        common: false,
        subject: Subject::Other,
    };
}
