//! Words to take with one tap where free words are asked: what rooms, storeys and places are usually called.
//!
//! They are offers like the usual sizes ([`crate::app::offers`]): what nobody tapped is not written, and whatever is
//! called otherwise is typed.

const ROOMS: &[&str] = &[
    "Front bedroom",
    "Back bedroom",
    "Middle bedroom",
    "Bath",
    "Living room",
    "Kitchen",
    "Stairs",
];

/// The usual words by field; common practice, no source.
const USUAL: &[(&str, &[&str])] = &[
    (
        "spot.name",
        &[
            "By the bedrooms",
            "By the bathroom",
            "By the front door",
            "Landing",
            "Middle of the hall",
            "Over the living room",
        ],
    ),
    (
        "storey.name",
        &["Main floor", "Upper floor", "Lower floor", "Basement"],
    ),
    ("room.name", ROOMS),
    // A window is found in the list of rooms by its room's name.
    ("window.room", ROOMS),
    (
        "hall.switch_place",
        &[
            "Inside the front door",
            "Top of the stairs",
            "Under the spot",
            "Start of the hall",
            "End of the hall",
        ],
    ),
];

/// The usual words for a field, in English, which is also the key of each translation; none where words are the
/// house's own.
pub fn usual(field: &str) -> &'static [&'static str] {
    USUAL
        .iter()
        .find(|(id, _)| *id == field)
        .map_or(&[], |(_, words)| words)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{Kind, fields};

    #[test]
    fn words_are_offered_where_words_are_asked() {
        for (field, words) in USUAL {
            assert_eq!(fields::kind_of(field), Some(Kind::Text), "{field}");
            // One tap each without scrolling: with *Other words* they fit under a gloved thumb.
            assert!(words.len() <= 7, "{field}");
        }
    }
}
