//! What the look promises: contrast in every shade, and a typeface that has every character.

use skrifa::{FontRef, MetadataProvider};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The colours of one shade by name, out of `ui/theme.slint`.
fn shade(name: &str) -> BTreeMap<String, [f64; 3]> {
    let theme = include_str!("../../ui/theme.slint");
    let start = theme
        .find(&format!("property <Colours> {name}: {{"))
        .unwrap_or_else(|| panic!("{name} in theme.slint"));
    let block = &theme[start..start + theme[start..].find("};").expect("its end")];
    block
        .split([',', '{'])
        .filter_map(|part| {
            let (name, hex) = part.trim().split_once(": #")?;
            let number = u32::from_str_radix(hex.trim().get(..6)?, 16).ok()?;
            let channel = |shift: u32| f64::from((number >> shift) & 0xff) / 255.0;
            Some((
                name.trim().to_owned(),
                [channel(16), channel(8), channel(0)],
            ))
        })
        .collect()
}

/// Relative luminance and contrast ratio: WCAG 2.2, definitions of the same names.
fn luminance(rgb: [f64; 3]) -> f64 {
    let [r, g, b] = rgb.map(|c| {
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    });
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

pub fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn text_has_seven_to_one_and_lines_three_to_one_in_every_shade() {
    // WCAG 2.2's own worked values: black on white is 21 : 1, #777777 on white 4.48 : 1.
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    assert!((contrast([119.0 / 255.0; 3], [1.0; 3]) - 4.48).abs() < 0.005);
    for name in ["dark", "light", "contrast"] {
        let colours = shade(name);
        let of = |colour: &str| {
            *colours
                .get(colour)
                .unwrap_or_else(|| panic!("{name}: {colour}"))
        };
        for ground in ["ground", "raised", "sunk"] {
            for text in ["ink", "soft", "chalk", "holds", "work", "fails", "open"] {
                let ratio = contrast(of(text), of(ground));
                assert!(ratio >= 7.0, "{name}: {text} on {ground} is {ratio:.2}");
            }
            let ratio = contrast(of("line"), of(ground));
            assert!(ratio >= 3.0, "{name}: line on {ground} is {ratio:.2}");
        }
        for (text, ground) in [("blade-ink", "blade"), ("on-chalk", "chalk")] {
            let ratio = contrast(of(text), of(ground));
            assert!(ratio >= 7.0, "{name}: {text} on {ground} is {ratio:.2}");
        }
    }
}

/// Every text file below a folder, with one of these endings.
fn texts(folder: &Path, endings: &[&str], into: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        if path.is_dir() {
            texts(&path, endings, into);
        } else if endings
            .iter()
            .any(|ending| path.extension().is_some_and(|e| e == *ending))
        {
            let text = std::fs::read_to_string(&path).expect("text");
            into.push((path.display().to_string(), text));
        }
    }
}

#[test]
fn the_embedded_typeface_has_every_character_that_the_program_shows() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Vec::new();
    texts(&root.join("ui"), &["slint", "po"], &mut files);
    texts(&root.join("src"), &["rs"], &mut files);
    let mut wanted: BTreeMap<char, String> = "0123456789°²³½¼¾⅛⅜⅝⅞″′×−→≥≤≈áéíóúüñÁÉÍÓÚÜÑ¿¡±√"
        .chars()
        .map(|c| (c, "what the trade writes".to_owned()))
        .collect();
    // What is only understood when it is typed, and pages that a browser shows, need not be in the typeface.
    let elsewhere = [
        "src/measure/parse.rs",
        "src/measure/quantity.rs",
        "src/measure/tests.rs",
        "src/bundle/report.rs",
        "src/office/jobpack.rs",
        // Paper has faces of its own, which a test of theirs holds.
        "src/typeset/layout.rs",
        // Letters that searches fold into others; none is shown.
        "src/office/search.rs",
    ];
    files.retain(|(file, _)| !elsewhere.iter().any(|it| file.ends_with(it)));
    for (file, text) in &files {
        for line in text.lines() {
            let line = line.trim_start();
            // Comments are for us, not for the window.
            if line.starts_with("//") || line.starts_with('#') {
                continue;
            }
            for c in line
                .split("//")
                .next()
                .unwrap_or("")
                .chars()
                .filter(|c| !c.is_ascii())
            {
                wanted.entry(c).or_insert_with(|| file.clone());
            }
        }
    }
    for font in ["B612-Regular.otf", "B612-Bold.otf"] {
        let bytes = std::fs::read(root.join("ui/fonts").join(font)).expect("the typeface");
        let font_ref = FontRef::new(&bytes).expect("a typeface");
        let map = font_ref.charmap();
        let missing: BTreeSet<String> = wanted
            .iter()
            .filter(|(c, _)| map.map(**c).is_none())
            .map(|(c, file)| format!("{c} (U+{:04X}) in {file}", u32::from(*c)))
            .collect();
        assert!(missing.is_empty(), "{font} lacks {missing:#?}");
    }
}
