//! Promises about lengths: exact, typed in every form of the trade, shown so that they come back the same.

use proptest::prelude::*;

use super::*;

const INCH: BareUnit = BareUnit::Inch;

fn inch(sixty_fourths: i64) -> Reading {
    Reading::new(Length::sixty_fourths(sixty_fourths), System::Inch)
}

fn thousandths(n: i64) -> Reading {
    Reading::new(Length::thousandths_in(n), System::Inch)
}

fn micrometres(n: i64) -> Reading {
    Reading::new(Length::mm(n) / 1000, System::Metric)
}

#[test]
fn every_form_is_read() {
    let half = inch(36 * 64 + 32);
    let table: &[(&str, Reading)] = &[
        ("36", Reading::inches(36)),
        ("0", Reading::inches(0)),
        ("0036", Reading::inches(36)),
        ("36.5", half),
        ("36.500", half),
        ("36,5", half),
        (".5", inch(32)),
        ("0,125", inch(8)),
        ("19.2", thousandths(19_200)),
        ("36 1/2", half),
        ("36-1/2", half),
        ("36½", half),
        ("36 ½", half),
        ("36-½", half),
        ("36 1⁄2", half),
        ("36 2/4", half),
        ("36 0/4", Reading::inches(36)),
        ("1/2", inch(32)),
        ("1 / 2", inch(32)),
        ("63/64", inch(63)),
        ("½", inch(32)),
        ("¼", inch(16)),
        ("¾", inch(48)),
        ("⅛", inch(8)),
        ("⅜", inch(24)),
        ("⅝", inch(40)),
        ("⅞", inch(56)),
        ("36 1/2\"", half),
        ("36 1/2 in", half),
        ("36 1/2 In.", half),
        ("36 1/2″", half),
        ("36 1/2”", half),
        ("36 1/2''", half),
        ("36 1/2′′", half),
        ("36 inches", Reading::inches(36)),
        ("1 inch", Reading::inches(1)),
        ("3' 0 1/2\"", half),
        ("3′ 0 1/2″", half),
        ("3’ 0 1/2”", half),
        ("3'0½\"", half),
        ("3'", Reading::inches(36)),
        ("3 foot", Reading::inches(36)),
        ("3.25 ft", Reading::inches(39)),
        ("3 1/2'", Reading::inches(42)),
        ("3ft 6in", Reading::inches(42)),
        ("3ft6in", Reading::inches(42)),
        ("3 ft. 6 in.", Reading::inches(42)),
        ("3 FEET 6 INCHES", Reading::inches(42)),
        ("6'-8\"", Reading::inches(80)),
        ("6' - 8\"", Reading::inches(80)),
        ("6' 8 1/2", inch(80 * 64 + 32)),
        ("6'-8-1/2\"", inch(80 * 64 + 32)),
        ("6' 7.2\"", thousandths(79_200)),
        ("3' 11 63/64\"", inch(48 * 64 - 1)),
        ("914 mm", Reading::mm(914)),
        ("914mm", Reading::mm(914)),
        ("914 MM", Reading::mm(914)),
        ("91.4 cm", Reading::mm(914)),
        ("91,4 cm", Reading::mm(914)),
        ("0.914 m", Reading::mm(914)),
        ("0,914 m", Reading::mm(914)),
        ("2 metres", Reading::mm(2000)),
        ("1600 mm", Reading::mm(1600)),
        ("1.600 m", Reading::mm(1600)),
        ("914.5 millimeters", micrometres(914_500)),
        ("  36 1/2\t", half),
        ("\u{a0}36\u{a0}1/2\u{202f}in\n", half),
        ("-36 1/2", inch(-36 * 64 - 32)),
        ("−36 1/2 in", inch(-36 * 64 - 32)),
        ("- 3' 6\"", Reading::inches(-42)),
        ("-914 mm", Reading::mm(-914)),
        ("1000'", Reading::new(Length::feet(1000), System::Inch)),
        (
            "1000 ft 0 in",
            Reading::new(Length::feet(1000), System::Inch),
        ),
    ];
    for (text, expected) in table {
        assert_eq!(Reading::parse(text, INCH), Ok(*expected), "{text:?}");
    }
}

#[test]
fn a_bare_number_takes_the_unit_of_the_settings() {
    let table = [
        (BareUnit::Inch, "2", Reading::inches(2)),
        (BareUnit::Foot, "2.5", Reading::inches(30)),
        (BareUnit::Foot, "2 1/2", Reading::inches(30)),
        (BareUnit::Millimetre, "2", Reading::mm(2)),
        (BareUnit::Centimetre, "2,5", Reading::mm(25)),
        (BareUnit::Metre, "2.5", Reading::mm(2500)),
        (BareUnit::Metre, "2 in", Reading::inches(2)),
        (BareUnit::Millimetre, "2' 3", Reading::inches(27)),
    ];
    for (bare, text, expected) in table {
        assert_eq!(Reading::parse(text, bare), Ok(expected), "{text:?}");
    }
}

/// Text, where the error is (the part of the text), and the whole sentence.
#[test]
fn every_refusal_says_what_to_type() {
    let table: &[(&str, &str, &str)] = &[
        (
            "",
            "",
            "nothing is typed yet; type what the tape reads, for example 36 1/2",
        ),
        (
            "  ",
            "  ",
            "nothing is typed yet; type what the tape reads, for example 36 1/2",
        ),
        (
            "in",
            "in",
            "a number is missing before “in”; type for example 36 1/2 in",
        ),
        (
            "-",
            "",
            "a number is missing at the end; type for example 36 1/2 in",
        ),
        (
            "36 1/",
            "",
            "a number is missing at the end; type for example 36 1/2 in",
        ),
        (
            "1/in",
            "in",
            "a number is missing before “in”; type for example 36 1/2 in",
        ),
        (
            "6'--8\"",
            "-",
            "a number is missing before “-”; type for example 36 1/2 in",
        ),
        (
            "36 yd",
            "yd",
            "“yd” is not a unit of length here; use in, ft, mm, cm or m",
        ),
        (
            "36x40",
            "x",
            "“x” is not a unit of length here; use in, ft, mm, cm or m",
        ),
        (
            "36.",
            "36.",
            "“36.” ends with a point; type the digits after it, or leave it out",
        ),
        (
            "36. in",
            "36.",
            "“36.” ends with a point; type the digits after it, or leave it out",
        ),
        (
            "1,600 mm",
            "1,600",
            "“1,600” can be read as 1600 or as 1.600; type the one that is meant",
        ),
        (
            "1,600.5 mm",
            "1,600.5",
            "“1,600.5” has more than one point or comma; type the digits with one at most",
        ),
        (
            "3.1.2",
            "3.1.2",
            "“3.1.2” has more than one point or comma; type the digits with one at most",
        ),
        (
            "36 1/0",
            "1/0",
            "“1/0” divides by zero; type a fraction such as 1/2",
        ),
        (
            "1/3",
            "1/3",
            "“1/3” is not on a tape; use halves, 4ths, 8ths, 16ths, 32nds or 64ths",
        ),
        (
            "36⅓",
            "⅓",
            "“⅓” is not on a tape; use halves, 4ths, 8ths, 16ths, 32nds or 64ths",
        ),
        (
            "36 1/128",
            "1/128",
            "“1/128” is not on a tape; use halves, 4ths, 8ths, 16ths, 32nds or 64ths",
        ),
        (
            "3 5/4",
            "3 5/4",
            "“3 5/4” has a fraction of one or more; did you mean 4 1/4?",
        ),
        (
            "3 4/4",
            "3 4/4",
            "“3 4/4” has a fraction of one or more; did you mean 4?",
        ),
        (
            "51/4",
            "51/4",
            "“51/4” has a fraction of one or more; did you mean 5 1/4 or 12 3/4?",
        ),
        (
            "311/16",
            "311/16",
            "“311/16” has a fraction of one or more; did you mean 3 11/16 or 31 1/16 or 19 7/16?",
        ),
        (
            "36.5 1/2",
            "36.5 1/2",
            "“36.5 1/2” mixes a decimal and a fraction; use one of them",
        ),
        (
            "1.5/2",
            "1.5/2",
            "“1.5/2” mixes a decimal and a fraction; use one of them",
        ),
        (
            "914 1/2 mm",
            "914 1/2",
            "“914 1/2” is a fraction, and mm has none on a tape; add in, or use decimals",
        ),
        (
            "3 6",
            "3 6",
            "“3” and “6” have no unit between them; type 3' 6\" if they are feet and inches",
        ),
        (
            "3 6 in",
            "3 6",
            "“3” and “6” have no unit between them; type 3' 6\" if they are feet and inches",
        ),
        (
            "36 14",
            "36 14",
            "“36” and “14” have no unit between them; type one length, for example 36 1/2 or 3' 6\"",
        ),
        (
            "36-14",
            "36-14",
            "“36” and “14” have no unit between them; type one length, for example 36 1/2 or 3' 6\"",
        ),
        (
            "3' 14\"",
            "14\"",
            "14 in is more than a foot; did you mean 4' 2\"?",
        ),
        (
            "-3' 14 1/2",
            "14 1/2",
            "14 1/2 in is more than a foot; did you mean -4' 2 1/2\"?",
        ),
        (
            "3' 12\"",
            "12\"",
            "12 in is exactly a foot; did you mean 4' 0\"?",
        ),
        (
            "3.5' 2\"",
            "3.5'",
            "“3.5'” already has a part of a foot; type whole feet before the inches",
        ),
        (
            "3 1/2 ft 2",
            "3 1/2 ft",
            "“3 1/2 ft” already has a part of a foot; type whole feet before the inches",
        ),
        (
            "3' 20 cm",
            "20 cm",
            "feet or inches and a metric unit stand together; type the length in one of them",
        ),
        (
            "3 in 4 mm",
            "4 mm",
            "feet or inches and a metric unit stand together; type the length in one of them",
        ),
        (
            "914 mm 3 in",
            "3 in",
            "feet or inches and a metric unit stand together; type the length in one of them",
        ),
        (
            "36.33333",
            "36.33333",
            "“36.33333” falls between two marks; type 36 21/64 in or 36 11/32 in",
        ),
        (
            " 3.0333333' ",
            "3.0333333'",
            "“3.0333333'” falls between two marks; type 36 25/64 in or 36 13/32 in",
        ),
        (
            "-0.0001 in",
            "-0.0001 in",
            "“-0.0001 in” falls between two marks; type 0 in or -1/64 in",
        ),
        (
            "0.33333333 mm",
            "0.33333333 mm",
            "“0.33333333 mm” falls between two marks; type 0.33 mm or 0.34 mm",
        ),
        (
            "0.00000000000001 m",
            "0.00000000000001 m",
            "“0.00000000000001 m” falls between two marks; type 0 mm or 0.01 mm",
        ),
        (
            "1000' 1\"",
            "1000' 1\"",
            "“1000' 1\"” is more than 1000 ft; check the digits and the unit",
        ),
        (
            "12000.0001",
            "12000.0001",
            "“12000.0001” is more than 1000 ft; check the digits and the unit",
        ),
        (
            "36000 m",
            "36000 m",
            "“36000 m” is more than 1000 ft; check the digits and the unit",
        ),
        (
            "99999999999999999999999999999999999999999999",
            "99999999999999999999999999999999999999999999",
            "“99999999999999999999999999999999999999999999” is more than 1000 ft; check the digits and the unit",
        ),
        (
            "≈ 914 mm",
            "≈",
            "“≈” marks a converted value; type what the tape reads, in the tape's own unit",
        ),
        (
            "~36 in",
            "~",
            "“≈” marks a converted value; type what the tape reads, in the tape's own unit",
        ),
        (
            "36 - 1/2",
            "-",
            "a dash with spaces looks like a subtraction; type 36-1/2 or 36 1/2",
        ),
        ("36 in 5", "5", "“5” does not belong here; delete it"),
        ("36 in!", "!", "“!” does not belong here; delete it"),
        ("3' 6\" 2", "2", "“2” does not belong here; delete it"),
        ("3' 6'", "'", "“'” does not belong here; delete it"),
        ("36 1/2 -", "-", "“-” does not belong here; delete it"),
        (
            "1 m 20 cm",
            "20 cm",
            "“20 cm” does not belong here; delete it",
        ),
        (".", ".", "“.” does not belong here; delete it"),
    ];
    for (text, part, sentence) in table {
        let error = Reading::parse(text, INCH).expect_err(text);
        assert_eq!(error.to_string(), *sentence, "{text:?}");
        assert_eq!(text.get(error.at()), Some(*part), "{text:?} {error:?}");
    }
}

#[test]
fn a_bare_fraction_is_no_metric_length() {
    let error = Reading::parse("36 1/2", BareUnit::Millimetre).unwrap_err();
    let unit = "mm";
    assert!(matches!(error, LengthError::MetricFraction { unit: found, .. } if found == unit));
}

#[test]
fn text_without_settings_needs_its_unit() {
    let error = "36 1/2".parse::<Reading>().unwrap_err();
    assert_eq!(
        error.to_string(),
        "“36 1/2” has no unit; add in, ft, mm, cm or m"
    );
    assert_eq!("3' 6".parse::<Reading>(), Ok(Reading::inches(42)));
}

#[test]
fn places_without_negative_lengths_refuse_the_minus() {
    let error = Reading::parse_positive(" -36 in ", INCH).unwrap_err();
    assert_eq!(
        error.to_string(),
        "“-36 in” is below zero; type it without the minus"
    );
    assert_eq!(error.at(), 1..7);
    assert_eq!(Reading::parse_positive("36", INCH), Ok(Reading::inches(36)));
    assert_eq!(Reading::parse_positive("0", INCH), Ok(Reading::inches(0)));
}

#[test]
fn a_computed_length_of_any_size_is_read_back() {
    let long = Length::feet(5000) + Length::sixty_fourths(1);
    assert_eq!(long.to_string().parse(), Ok(long));
    assert!("5000 ft".parse::<Reading>().is_err());
    assert!("1000001 ft".parse::<Length>().is_err());
}

/// 1 in = 25.4 mm and 1 yd = 0.9144 m exactly (NIST SP 811, appendix B.6).
#[test]
fn inches_and_millimetres_meet_exactly() {
    assert_eq!(Length::inches(10), Length::mm(254));
    assert_eq!(Length::inches(5).to_mm(), 127.0);
    assert_eq!(Length::feet(3) * 1000, Length::mm(914_400));
    assert_eq!(Length::feet(1).to_m(), 0.3048);
    assert_eq!(Length::from_m(0.3048), Length::feet(1));
    assert_eq!(Length::from_in(19.2), Length::thousandths_in(19_200));
    assert_eq!(Length::from_in(-0.5), Length::sixteenths(-8));
    assert_eq!(Length::from_ft(1.5), Length::inches(18));
}

/// Five spaces of 19.2 in are 8 ft: the mark that US tapes carry for it (common practice, no source).
#[test]
fn joist_spacing_of_five_to_eight_feet_is_exact() {
    assert_eq!(Length::thousandths_in(19_200) * 5, Length::feet(8));
    assert_eq!(Length::feet(8) / 5, Length::thousandths_in(19_200));
}

#[test]
fn sums_stop_at_the_ends_instead_of_wrapping() {
    let most = Length::inches(i64::MAX);
    assert_eq!(most + Length::mm(1), most);
    assert!((Length::ZERO - most - most).is_negative());
    assert!(!(Length::feet(i64::MIN) * -2).is_negative());
    assert!(!Length::feet(i64::MIN).abs().is_negative());
    assert!(
        !Length::feet(i64::MIN)
            .round_to(Length::mm(1))
            .to_string()
            .is_empty()
    );
}

#[test]
fn lengths_add_up_and_compare() {
    let parts = [Length::inches(1), Length::inches(2)];
    assert_eq!(parts.iter().sum::<Length>(), Length::inches(3));
    assert_eq!(parts.into_iter().sum::<Length>(), Length::inches(3));
    assert_eq!(Length::inches(1).max(Length::mm(26)), Length::mm(26));
    assert_eq!(Length::inches(7) / Length::inches(2), 3.5);
    assert_eq!((Length::feet(30) * Length::feet(40)).ft2(), 1200.0);
    assert_eq!(Length::default(), Length::ZERO);
    assert_eq!(-Length::inches(1), Length::inches(-1));
    let mut run = Length::inches(3);
    run += Length::inches(2);
    run -= Length::inches(1);
    assert_eq!(run, Length::inches(4));
    // Half of one unit goes away from zero.
    let unit = Length::mm(1) / 40_000;
    assert_eq!(unit / 2, unit);
    assert_eq!(-unit / 2, -unit);
    assert_eq!(unit / 3, Length::ZERO);
    assert_eq!(unit * 5 / -2, unit * -3);
}

#[test]
fn exact_text_is_reduced_and_carries_its_unit() {
    let table = [
        (Length::ZERO, "0 in"),
        (Length::sixteenths(8), "1/2 in"),
        (Length::sixteenths(-8), "-1/2 in"),
        (Length::inches(36) + Length::sixteenths(8), "36 1/2 in"),
        (Length::sixty_fourths(2), "1/32 in"),
        (Length::thousandths_in(19_200), "19.2 in"),
        (Length::thousandths_in(-1), "-0.001 in"),
        (Length::mm(254), "10 in"),
        (Length::mm(914), "914 mm"),
        (Length::mm(914) + Length::sixty_fourths(1), "914.396875 mm"),
    ];
    for (length, text) in table {
        assert_eq!(length.to_string(), text);
    }
    assert_eq!(Reading::mm(254).to_string(), "254 mm");
    assert_eq!(micrometres(91_450).to_string(), "91.45 mm");
    assert_eq!(Reading::new(Length::mm(1), System::Inch), Reading::mm(1));
    assert_eq!(format!("{:>8}|", Reading::mm(1)), "    1 mm|");
    assert_eq!(
        format!("{:?} {:?}", Reading::mm(1), Length::inches(1)),
        "Reading(1 mm) Length(1 in)"
    );
}

#[test]
fn readings_are_shown_as_typed_or_marked_as_converted() {
    use Tape::*;
    let table = [
        ("36 1/2 in", Sixteenth, "36 1/2\"", "3' 0 1/2\"", true),
        ("36 1/2 in", Eighth, "36 1/2\"", "3' 0 1/2\"", true),
        ("36 3/64 in", Eighth, "36 3/64\"", "3' 0 3/64\"", true),
        ("19.2 in", Sixteenth, "19.2\"", "1' 7.2\"", true),
        ("7 in", Sixteenth, "7\"", "7\"", true),
        ("36 in", Sixteenth, "36\"", "3' 0\"", true),
        ("-36 1/2 in", Sixteenth, "-36 1/2\"", "-3' 0 1/2\"", true),
        ("914 mm", Millimetre, "914 mm", "914 mm", true),
        ("91.45 cm", Millimetre, "914.5 mm", "914.5 mm", true),
        // 36 1/2 in = 927.1 mm; 914 mm = 35.984 in.
        ("36 1/2 in", Millimetre, "≈ 927 mm", "≈ 927 mm", false),
        ("914 mm", Eighth, "≈ 36\"", "≈ 3' 0\"", false),
        ("914 mm", Sixteenth, "≈ 36\"", "≈ 3' 0\"", false),
        // 100 mm = 3.93701 in: 3 15/16 = 3.9375 is as fine as 1 mm can justify.
        ("100 mm", ThirtySecond, "≈ 3 15/16\"", "≈ 3 15/16\"", false),
        ("100 mm", Eighth, "≈ 3 7/8\"", "≈ 3 7/8\"", false),
        ("254 mm", Sixteenth, "≈ 10\"", "≈ 10\"", false),
    ];
    for (typed, tape, inches, feet, exact) in table {
        let reading: Reading = typed.parse().unwrap();
        let shown = reading.show(tape);
        assert_eq!(
            (shown.text.as_str(), shown.exact),
            (inches, exact),
            "{typed}"
        );
        let shown = reading.show_as(tape, Style::FeetInches);
        assert_eq!((shown.text.as_str(), shown.exact), (feet, exact), "{typed}");
        if !exact {
            let refused = Reading::parse(&shown.text, INCH);
            assert!(matches!(refused, Err(LengthError::Approximate { .. })));
        }
    }
}

#[test]
fn computed_lengths_round_to_the_tape() {
    let table = [
        (Length::inches(100) / 3, Tape::Sixteenth, "33 5/16\"", false),
        (Length::sixteenths(3), Tape::Eighth, "1/4\"", false),
        (Length::sixteenths(-3), Tape::Eighth, "-1/4\"", false),
        (Length::sixteenths(4), Tape::Eighth, "1/4\"", true),
        (Length::sixty_fourths(-1), Tape::Sixteenth, "0\"", false),
        (Length::feet(3), Tape::Millimetre, "914 mm", false),
        (Length::mm(914), Tape::Millimetre, "914 mm", true),
        (Length::mm(25) / 10, Tape::Millimetre, "3 mm", false),
    ];
    for (length, tape, text, exact) in table {
        let text = text.to_owned();
        assert_eq!(length.show(tape), Shown { text, exact });
    }
    let shown = Length::inches(42).show_as(Tape::Sixteenth, Style::FeetInches);
    assert_eq!(shown.to_string(), "3' 6\"");
}

#[test]
fn tapes_and_settings_are_plain_words_in_files() {
    let json = |value: serde_json::Result<String>| value.unwrap();
    assert_eq!(json(serde_json::to_string(&Tape::default())), "\"1/16 in\"");
    assert_eq!(json(serde_json::to_string(&Tape::Millimetre)), "\"1 mm\"");
    assert_eq!(json(serde_json::to_string(&BareUnit::Metre)), "\"m\"");
    assert_eq!(
        json(serde_json::to_string(&Style::FeetInches)),
        "\"feet_inches\""
    );
    assert_eq!(json(serde_json::to_string(&System::Metric)), "\"metric\"");
    let tapes = [
        Tape::Eighth,
        Tape::Sixteenth,
        Tape::ThirtySecond,
        Tape::Millimetre,
    ];
    for tape in tapes {
        // Each tape's name is the length of its division.
        let name = serde_json::to_value(tape).unwrap();
        let division: Reading = name.as_str().unwrap().parse().unwrap();
        assert_eq!(
            (division.length(), division.system()),
            (tape.division(), tape.system())
        );
    }
    for unit in [
        BareUnit::Inch,
        BareUnit::Foot,
        BareUnit::Millimetre,
        BareUnit::Centimetre,
        BareUnit::Metre,
    ] {
        let one: Reading = format!("1 {}", unit.name()).parse().unwrap();
        assert_eq!((one.length(), one.system()), (unit.length(), unit.system()));
    }
}

#[test]
fn a_bad_length_in_a_file_is_named() {
    let error = serde_json::from_str::<Length>("\"36\"").unwrap_err();
    assert!(
        error.to_string().starts_with("“36”: “36” has no unit"),
        "{error}"
    );
    assert!(serde_json::from_str::<Reading>("36").is_err());
}

#[test]
fn the_schema_names_the_text_form() {
    let schema = schemars::schema_for!(Reading);
    assert_eq!(schema.get("type").and_then(|t| t.as_str()), Some("string"));
    assert!(schema.get("pattern").is_some());
    let schema = schemars::schema_for!(Tape);
    assert!(serde_json::to_string(&schema).unwrap().contains("1/16 in"));
}

/// Every reading that can be typed: sixty-fourths, thousandths and hundredths of a millimetre.
fn readings() -> impl Strategy<Value = Reading> {
    prop_oneof![
        (-768_000..=768_000_i64).prop_map(inch),
        (-12_000_000..=12_000_000_i64).prop_map(thousandths),
        (-304_800_000..=304_800_000_i64).prop_map(micrometres),
        (-2000..2000_i64).prop_map(Reading::sixteenths),
        (-2000..2000_i64).prop_map(Reading::mm),
    ]
}

fn bare_units() -> impl Strategy<Value = BareUnit> {
    prop_oneof![
        Just(BareUnit::Inch),
        Just(BareUnit::Foot),
        Just(BareUnit::Millimetre),
        Just(BareUnit::Centimetre),
        Just(BareUnit::Metre),
    ]
}

/// Text that looks like a length more often than chance would have it.
fn nearly_lengths() -> impl Strategy<Value = String> {
    let pieces = prop::sample::select(vec![
        "0",
        "3",
        "12",
        "36",
        "99999999999999999999",
        ".",
        ",",
        "/",
        "-",
        "−",
        " ",
        "'",
        "''",
        "\"",
        "″",
        "ft",
        "in",
        "in.",
        "mm",
        "cm",
        "m",
        "½",
        "⅓",
        "1/2",
        "5/4",
        "≈",
        "x",
        "é",
        "00000000000000.00000000000001",
        "🪚",
    ]);
    prop::collection::vec(pieces, 0..9).prop_map(|pieces| pieces.concat())
}

proptest! {
    #[test]
    fn shown_in_its_own_system_a_reading_comes_back_the_same(
        reading in readings(),
        bare in bare_units(),
        inch_tape in prop::sample::select(vec![Tape::Eighth, Tape::Sixteenth, Tape::ThirtySecond]),
    ) {
        let tape = match reading.system() {
            System::Inch => inch_tape,
            System::Metric => Tape::Millimetre,
        };
        for style in [Style::Inches, Style::FeetInches] {
            let shown = reading.show_as(tape, style);
            prop_assert!(shown.exact);
            prop_assert_eq!(Reading::parse(&shown.text, bare), Ok(reading));
        }
    }

    #[test]
    fn converted_text_is_within_half_a_division_and_refused(reading in readings(), bare in bare_units()) {
        let (tape, half) = match reading.system() {
            System::Inch => (Tape::Millimetre, Length::mm(1) / 2),
            System::Metric => (Tape::ThirtySecond, Length::sixteenths(1) / 2),
        };
        let shown = reading.show(tape);
        prop_assert!(!shown.exact);
        prop_assert!(Reading::parse(&shown.text, bare).is_err());
        // Rounding may pass the longest length, so it is read as a computed one.
        let converted: Length = shown.text.trim_start_matches("≈ ").parse().unwrap();
        prop_assert!((converted - reading.length()).abs() <= half);
    }

    #[test]
    fn exact_text_comes_back_the_same(reading in readings()) {
        prop_assert_eq!(reading.to_string().parse(), Ok(reading));
        let json = serde_json::to_string(&reading).unwrap();
        prop_assert_eq!(serde_json::from_str::<Reading>(&json).unwrap(), reading);
    }

    #[test]
    fn computed_lengths_come_back_the_same(units in -1_219_200_000_000..1_219_200_000_000_i64) {
        let length = Length::mm(1) / 40_000 * units;
        prop_assert_eq!(length.to_string().parse(), Ok(length));
        let json = serde_json::to_string(&length).unwrap();
        prop_assert_eq!(serde_json::from_str::<Length>(&json).unwrap(), length);
        prop_assert_eq!(Length::from_in(length.to_in()), length);
        prop_assert_eq!(Length::from_m(length.to_m()), length);
    }

    #[test]
    fn rounding_stays_within_half_a_step(units in any::<i32>(), step in 1..100_000_i64) {
        let unit = Length::mm(1) / 40_000;
        let (length, step) = (unit * i64::from(units), unit * step);
        let rounded = length.round_to(step);
        prop_assert!((rounded - length).abs() * 2 <= step);
        prop_assert_eq!(rounded.round_to(step), rounded);
        prop_assert_eq!((-length).round_to(step), -rounded);
    }

    #[test]
    fn no_text_makes_the_reader_panic(text in any::<String>(), bare in bare_units()) {
        check_error(&text, bare)?;
    }

    #[test]
    fn no_near_length_makes_the_reader_panic(text in nearly_lengths(), bare in bare_units()) {
        check_error(&text, bare)?;
    }
}

/// Reading ends in a length within bounds, or in a sentence about a part of the text.
fn check_error(text: &str, bare: BareUnit) -> Result<(), TestCaseError> {
    match Reading::parse(text, bare) {
        Ok(reading) => {
            prop_assert!(reading.length().abs() <= Length::LONGEST_TYPED);
            // The exact text says the same.
            prop_assert_eq!(reading.to_string().parse(), Ok(reading));
        }
        Err(error) => {
            prop_assert!(text.get(error.at()).is_some(), "{:?}", error);
            prop_assert!(!error.to_string().is_empty());
        }
    }
    prop_assert_eq!(
        text.parse::<Reading>().is_ok(),
        text.parse::<Length>()
            .is_ok_and(|l| l.abs() <= Length::LONGEST_TYPED)
    );
    Ok(())
}
