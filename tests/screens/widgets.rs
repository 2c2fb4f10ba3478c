//! The widgets side by side with made-up content, in every shade and at double text size.
use crate::driver::{Driver, SIZES, platform};
use joistlight::app::*;
use slint::{ComponentHandle, ModelRc, VecModel};

#[test]
fn every_kind_of_field_is_large_enough_for_a_glove() {
    platform();
    let data = tempfile::tempdir().unwrap();
    let mut d = Driver::open(data.path(), SIZES[1]);
    let w = &d.window;
    let nav = w.global::<NavAdapter>();
    nav.set_page(Page::Place);
    nav.set_title("Attic".into());
    nav.set_survey("Meadow Lane 12".into());
    nav.set_can_go_back(true);
    let p = w.global::<PlaceAdapter>();
    p.set_is_stop(true);
    p.set_of_spot(true);
    p.set_stop(2);
    p.set_stops(ModelRc::new(VecModel::from(
        ["Arrival", "Hall", "Attic", "Vents", "Power", "Wrap-up"]
            .iter()
            .enumerate()
            .map(|(i, s)| StopTab {
                label: (*s).into(),
                still: i as i32,
            })
            .collect::<Vec<_>>(),
    )));
    p.set_spots(ModelRc::new(VecModel::from(vec![
        SpotTab {
            label: "Spot 1".into(),
            mark: MarkKind::Open,
        },
        SpotTab {
            label: "Landing".into(),
            mark: MarkKind::Fails,
        },
    ])));
    let line = |kind, label: &str, value: &str, known, matters| Line {
        kind,
        key: label.into(),
        label: label.into(),
        value: value.into(),
        known,
        matters,
        picked: -1,
        carded: kind != LineKind::Heading,
        tape: kind == LineKind::Tape,
        short: kind == LineKind::YesNo,
        ..Default::default()
    };
    let picks = ModelRc::new(VecModel::from(vec![
        Pick {
            key: "y".into(),
            label: "Yes".into(),
        },
        Pick {
            key: "n".into(),
            label: "No".into(),
        },
    ]));
    p.set_lines(ModelRc::new(VecModel::from(vec![
        Line {
            help: "A section's help, in soft words that may need more than one line.".into(),
            ..line(LineKind::Heading, "Framing", "", false, false)
        },
        line(LineKind::Choice, "Framing", "Sawn joists", true, false),
        line(LineKind::Tape, "Joist spacing", "24\"", true, false),
        line(LineKind::Tape, "Roof height at the mark", "", false, true),
        Line {
            trouble: "14 in is more than a foot; did you mean 4' 2\"?".into(),
            ..line(LineKind::Tape, "Clear height", "3' 0 1/2\"", true, false)
        },
        line(LineKind::Count, "How many", "4", true, false),
        Line {
            picks: picks.clone(),
            picked: 0,
            ..line(LineKind::YesNo, "Attic used for storage", "", true, false)
        },
        Line {
            picks: picks.clone(),
            picked: -1,
            ..line(LineKind::YesNo, "Joists also tie rafters", "", false, true)
        },
        line(LineKind::Words, "Notes", "written", true, false),
        line(
            LineKind::Finding,
            "Clear space: 2 1/2\" short under the roof.",
            "",
            true,
            false,
        ),
        line(LineKind::Heading, "In the way", "", false, false),
        Line {
            mark: MarkKind::Open,
            ..line(
                LineKind::Entry,
                "Duct",
                "ahead 12\", left 4\", 9\" across",
                true,
                false,
            )
        },
        line(LineKind::Add, "Add a thing in the way", "", true, false),
    ])));
    let v = w.global::<VerdictBarAdapter>();
    v.set_spot("Spot 1".into());
    v.set_words("not settled".into());
    v.set_still("7 answers still matter here".into());
    for size in SIZES {
        d.resize(size);
        d.snapshot("widgets");
        assert_eq!(d.too_small(48.0), Vec::<String>::new());
    }
    let k = d.window.global::<KeypadAdapter>();
    k.set_label("Roof height at the mark".into());
    k.set_typed("36 1/2\"".into());
    k.set_answer("Clear space: 2 1/2\" short under the roof".into());
    k.set_answer_mark(MarkKind::Fails);
    k.set_has_next(true);
    k.set_extra(ModelRc::new(VecModel::from(
        ["ft ′", "in ″", "/16", "− 1/16", "+ 1/16"]
            .iter()
            .map(|s| Pick {
                key: (*s).into(),
                label: (*s).into(),
            })
            .collect::<Vec<_>>(),
    )));
    k.set_sheet(Sheet::Keys);
    for size in SIZES {
        d.resize(size);
        d.snapshot("widgets-keys");
        for key in ["7", "0", "ft ′", "done", "rub out"] {
            let size = d.find(key).expect(key).size();
            assert!(size.height >= 64.0 && size.width >= 58.0, "{key}: {size:?}");
        }
    }
    for (shade, name) in [(Shade::Light, "light"), (Shade::Contrast, "contrast")] {
        d.window.global::<Theme>().set_shade(shade);
        d.resize(SIZES[1]);
        d.snapshot(&format!("widgets-{name}"));
    }
    d.window.global::<Theme>().set_shade(Shade::Dark);
    k_sheet(&d);
    d.snapshot("widgets-picks");
    d.window.global::<KeypadAdapter>().set_sheet(Sheet::Shut);
    d.window.global::<Theme>().set_text_scale(2.0);
    for size in SIZES {
        d.resize(size);
        d.snapshot("widgets-double");
    }
}
fn k_sheet(d: &Driver) {
    let k = d.window.global::<KeypadAdapter>();
    k.set_picks(ModelRc::new(VecModel::from(
        ["Sawn joists", "Trusses", "I-joists", "Something else"]
            .iter()
            .map(|s| Pick {
                key: (*s).into(),
                label: (*s).into(),
            })
            .collect::<Vec<_>>(),
    )));
    k.set_picked(1);
    k.set_sheet(Sheet::Picks);
}
