//! The settings as questions with answers to pick from; the store keeps them.

use super::reader::Reader;
use crate::measure::{BareUnit, Style, System, Tape};
use crate::store::{Settings, Shade, TextSize};
use crate::trade::codes::{Building, Electrical, Energy};
use crate::words::Language;

/// One setting with the answers to pick from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Handed back with the pick.
    pub key: &'static str,
    /// What is set.
    pub label: &'static str,
    /// What it does.
    pub help: &'static str,
    /// The answers.
    pub picks: Vec<&'static str>,
    /// The present one.
    pub picked: usize,
    /// Whether the answers open as a list, being too many or too long to stand side by side.
    pub long: bool,
}

/// The key of the setting that only a device with a screen of its own has.
pub const AWAKE: &str = "awake";

const TAPES: [(Tape, &str); 4] = [
    (Tape::Eighth, "1/8 in"),
    (Tape::Sixteenth, "1/16 in"),
    (Tape::ThirtySecond, "1/32 in"),
    (Tape::Millimetre, "1 mm"),
];
const INCH_UNITS: [(BareUnit, &str); 2] = [(BareUnit::Inch, "in"), (BareUnit::Foot, "ft")];
const METRIC_UNITS: [(BareUnit, &str); 3] = [
    (BareUnit::Millimetre, "mm"),
    (BareUnit::Centimetre, "cm"),
    (BareUnit::Metre, "m"),
];
const STYLES: [(Style, &str); 2] = [
    (Style::Inches, "36 1/2\""),
    (Style::FeetInches, "3' 0 1/2\""),
];
const SHADES: [(Shade, &str); 3] = [
    (Shade::Dark, "Dark"),
    (Shade::Light, "Bright"),
    (Shade::Contrast, "High contrast"),
];
const SCREEN: [(bool, &str); 2] = [
    (false, "Goes dark as usual"),
    (true, "Stays on during a survey"),
];
const LANGUAGES: [(Language, &str); 2] = [
    (Language::English, Language::English.own_name()),
    (Language::Spanish, Language::Spanish.own_name()),
];
const SIZES: [(u16, &str); 4] = [
    (100, "100 %"),
    (130, "130 %"),
    (160, "160 %"),
    (200, "200 %"),
];

/// The answer that a setting follows the device's own, where the device tells it.
const AS_DEVICE: &str = "As this device";

/// Who reads with these settings; `locale` is the device's, where they name no language.
pub fn reader(settings: &Settings, locale: &str) -> Reader {
    Reader {
        ways: settings.ways(),
        language: settings
            .language
            .unwrap_or_else(|| Language::of_locale(locale)),
    }
}

/// Every setting, with the answers to pick from; `follow` says whether the device tells how it is set up itself.
pub fn asked(settings: &Settings, locale: &str, follow: bool) -> Vec<Asked> {
    fn one<T: PartialEq + Copy>(
        key: &'static str,
        label: &'static str,
        help: &'static str,
        offered: &[(T, &'static str)],
        now: T,
    ) -> Asked {
        Asked {
            key,
            label,
            help,
            picks: offered.iter().map(|(_, word)| *word).collect(),
            picked: offered.iter().position(|(it, _)| *it == now).unwrap_or(0),
            long: false,
        }
    }
    fn edition<T: PartialEq + Copy>(
        key: &'static str,
        label: &'static str,
        all: &[T],
        code: fn(T) -> &'static str,
        now: T,
    ) -> Asked {
        Asked {
            key,
            label,
            help: "",
            picks: all.iter().map(|it| code(*it)).collect(),
            picked: all.iter().position(|it| *it == now).unwrap_or(0),
            long: true,
        }
    }
    // One answer more; so many no longer stand side by side.
    let or_as_device = |asked: Asked, now: bool| match follow {
        false => asked,
        true => Asked {
            picked: if now { asked.picks.len() } else { asked.picked },
            picks: asked.picks.into_iter().chain([AS_DEVICE]).collect(),
            long: true,
            ..asked
        },
    };
    let metric = settings.tape.system() == System::Metric;
    let mut asked = vec![one(
        "tape",
        "Tape",
        "The smallest division of the tape in your hand.",
        &TAPES,
        settings.tape,
    )];
    let (label, help) = ("Bare numbers", "The unit of a number typed without one.");
    asked.push(if metric {
        one("bare", label, help, &METRIC_UNITS, settings.bare_unit)
    } else {
        one("bare", label, help, &INCH_UNITS, settings.bare_unit)
    });
    if !metric {
        asked.push(one(
            "style",
            "Lengths are shown as",
            "",
            &STYLES,
            settings.style,
        ));
    }
    let shades = one("shade", "Colours", "", &SHADES, settings.shade);
    asked.push(or_as_device(shades, settings.as_system.shade));
    let language = reader(settings, locale).language;
    let languages = one("language", "Language", "", &LANGUAGES, language);
    asked.push(or_as_device(languages, settings.language.is_none()));
    // The nearest of those offered.
    let percent = SIZES
        .iter()
        .map(|(percent, _)| *percent)
        .min_by_key(|percent| percent.abs_diff(u16::from(settings.text_size)))
        .unwrap_or(100);
    let sizes = one("text", "Text size", "", &SIZES, percent);
    asked.push(or_as_device(sizes, settings.as_system.text_size));
    let codes = settings.codes;
    asked.push(Asked {
        help: "The editions in force where the houses stand; the building office knows.",
        ..edition(
            "building",
            "Building code",
            Building::ALL,
            Building::code,
            codes.building,
        )
    });
    asked.push(edition(
        "electrical",
        "Electrical code",
        Electrical::ALL,
        Electrical::code,
        codes.electrical,
    ));
    asked.push(edition(
        "energy",
        "Energy code",
        Energy::ALL,
        Energy::code,
        codes.energy,
    ));
    asked.push(one(
        AWAKE,
        "Screen",
        "Staying on takes more of the battery.",
        &SCREEN,
        settings.stay_awake,
    ));
    asked
}

/// Takes a pick; a key that there is not changes nothing. The place after the last is that the device is followed.
pub fn pick(settings: &mut Settings, key: &str, at: usize) {
    fn set<T: Copy>(it: &mut T, offered: &[(T, &str)], at: usize) {
        if let Some((value, _)) = offered.get(at) {
            *it = *value;
        }
    }
    fn edition<T: Copy>(it: &mut T, all: &[T], at: usize) {
        if let Some(value) = all.get(at) {
            *it = *value;
        }
    }
    let codes = &mut settings.codes;
    match key {
        "building" => edition(&mut codes.building, Building::ALL, at),
        "electrical" => edition(&mut codes.electrical, Electrical::ALL, at),
        "energy" => edition(&mut codes.energy, Energy::ALL, at),
        "tape" => {
            set(&mut settings.tape, &TAPES, at);
            // A bare number means what the tape reads.
            if settings.bare_unit.system() != settings.tape.system() {
                settings.bare_unit = match settings.tape.system() {
                    System::Metric => BareUnit::Millimetre,
                    System::Inch => BareUnit::Inch,
                };
            }
        }
        "bare" if settings.ways().metric() => set(&mut settings.bare_unit, &METRIC_UNITS, at),
        "bare" => set(&mut settings.bare_unit, &INCH_UNITS, at),
        "style" => set(&mut settings.style, &STYLES, at),
        "shade" => {
            settings.as_system.shade = at == SHADES.len();
            set(&mut settings.shade, &SHADES, at);
        }
        "language" => settings.language = LANGUAGES.get(at).map(|(language, _)| *language),
        AWAKE => set(&mut settings.stay_awake, &SCREEN, at),
        "text" => {
            settings.as_system.text_size = at == SIZES.len();
            if let Some((percent, _)) = SIZES.get(at) {
                settings.text_size = TextSize::percent(*percent);
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_pick_is_shown_as_picked() {
        for (key, follow) in [
            "tape",
            "bare",
            "style",
            "shade",
            "language",
            "text",
            AWAKE,
            "building",
            "electrical",
            "energy",
        ]
        .into_iter()
        .flat_map(|key| [(key, false), (key, true)])
        {
            let mut settings = Settings::default();
            let picked = |settings: &Settings| {
                let all = asked(settings, "C", follow);
                let one = all.iter().find(|one| one.key == key).expect("asked");
                (one.picks.len(), one.picked)
            };
            for at in 0..picked(&settings).0 {
                pick(&mut settings, key, at);
                if key == "tape" || picked(&settings).0 > at {
                    assert_eq!(picked(&settings).1, at, "{key}");
                }
            }
        }
    }

    #[test]
    fn a_millimetre_tape_reads_bare_numbers_as_millimetres() {
        let mut settings = Settings::default();
        pick(&mut settings, "tape", 3);
        assert_eq!(settings.bare_unit, BareUnit::Millimetre);
        pick(&mut settings, "tape", 1);
        assert_eq!(settings.bare_unit, BareUnit::Inch);
    }

    #[test]
    fn the_device_speaks_its_own_language_until_told_otherwise() {
        let mut settings = Settings::default();
        assert_eq!(reader(&settings, "es_MX.UTF-8").language, Language::Spanish);
        pick(&mut settings, "language", 0);
        assert_eq!(reader(&settings, "es_MX.UTF-8").language, Language::English);
        pick(&mut settings, "language", LANGUAGES.len());
        assert_eq!(reader(&settings, "es_MX.UTF-8").language, Language::Spanish);
    }

    #[test]
    fn settings_of_before_the_device_was_followed_stay_as_they_were_set() {
        let older = r#"{"shade": "contrast", "text_size": 160}"#;
        let settings: Settings = serde_json::from_str(older).unwrap();
        assert_eq!(settings.shade, Shade::Contrast);
        assert!(!settings.as_system.shade && !settings.as_system.text_size);
        let new = Settings::default();
        assert!(new.as_system.shade && new.as_system.text_size);
        let json = serde_json::to_string(&new).unwrap();
        assert_eq!(serde_json::from_str::<Settings>(&json).unwrap(), new);
    }
}
