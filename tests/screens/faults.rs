//! The checks of the screens find faults that were made on purpose, and nothing where there are none.

use crate::driver::platform;
use crate::ink;
use crate::look::Look;
use slint::ComponentHandle;

#[allow(clippy::all, dead_code, unused)]
mod made {
    include!(concat!(env!("OUT_DIR"), "/faults.rs"));
}

fn with(fault: &str) -> made::Faults {
    let window = made::Faults::new().expect("a window");
    window.set_fault(fault.into());
    window.show().expect("shown");
    for _ in 0..3 {
        i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(120));
    }
    window
}

#[test]
fn every_fault_of_the_layout_is_found() {
    platform();
    assert_eq!(Look::at(&with("")).faults(), Vec::<String>::new());
    for (fault, found) in [
        ("too long a word", "cut off: “Unmistakeably”"),
        ("too low for its lines", "cut off: “Three lines"),
        ("elided", "cut off: “The end of this"),
        ("out of the window", "sticks out: text “half outside"),
        ("out of its clip", "sticks out: text “cut through”"),
        ("out of its ground", "sticks out: text “over the edge”"),
        (
            "too small a target",
            "too small to tap, less than 48: “small”",
        ),
        ("too small a key", "too small to tap, less than 64: “7”"),
        ("words over words", "overlap: “first words”"),
        ("targets over each other", "overlap: “left”"),
        ("words under a box", "covered: “words that are covered”"),
        ("a line that its well cuts off", "cut off: “More than there"),
        (
            "lines that their well cuts off",
            "cut off: “Many more lines",
        ),
        ("too high a key", "too high, more than 120 for words of"),
        ("a key out of its row", "sticks out: target “below its row”"),
        ("a key under the next row", "covered: “under the next row”"),
    ] {
        let faults = Look::at(&with(fault)).faults();
        assert!(
            faults.iter().any(|it| it.starts_with(found)),
            "{fault}: {faults:#?}"
        );
    }
}

#[test]
fn every_fault_of_the_contrast_is_found_in_the_pixels() {
    platform();
    let faults = |fault: &str| {
        let window = with(fault);
        let pixels = window.window().take_snapshot().expect("pixels");
        let picture =
            image::RgbaImage::from_raw(pixels.width(), pixels.height(), pixels.as_bytes().to_vec())
                .expect("four bytes a pixel");
        ink::measure(&Look::at(&window), &picture).faults
    };
    assert_eq!(faults(""), Vec::<String>::new());
    for (fault, found) in [
        ("pale words", "less than 7 : 1: “words of too little"),
        ("pale mark", "less than 3 : 1:"),
        ("pale border", "less than 3 : 1: border of “pale”"),
    ] {
        let faults = faults(fault);
        assert!(
            faults.len() == 1 && faults[0].contains(found),
            "{fault}: {faults:#?}"
        );
    }
}
