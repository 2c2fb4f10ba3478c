//! What the rules about framing promise.

use super::finding::{Finding, Outcome, Who};
use super::joist_bearing::joist_bearing;
use super::joist_condition::joist_condition;
use super::joist_strength::joist_strength;
use super::joists_and_fan::joists_and_fan;
use super::opening_framing::opening_framing;
use super::rafter_ties::rafter_ties;
use super::{AtSpot, House, WithFan};
use crate::house::Framing;
use crate::house::air::HouseAir;
use crate::house::scene::{Placed, Scene};
use crate::measure::{Force, Length, Tape};
use crate::survey::{FieldRef, ItemId, Survey, Ways, attic, cut, hall, joist};
use crate::trade::codes::Codes;
use crate::trade::fan::{Fan, generic};
use crate::trade::placement::Place;
use uuid::Uuid;

/// A hall of 5 ft × 20 ft with sound 2 × 6 joists of Spruce-Pine-Fir No. 2 down its length, 16 in apart, one of them
/// over the mark: the joists of the worked opening.
const SOUND: &[(&str, &str)] = &[
    (hall::LENGTH.id, "20 ft"),
    (hall::WIDTH.id, "60 in"),
    (hall::MARK_FROM_START.id, "10 ft"),
    (hall::MARK_FROM_LEFT.id, "30 in"),
    (hall::CEILING_MATERIAL.id, "drywall"),
    (hall::FIXTURES.complete, "yes"),
    (attic::FRAMING.id, "sawn joists"),
    (attic::NOMINAL_SIZE.id, "2x6"),
    (attic::SPECIES.id, "Spruce-Pine-Fir"),
    (attic::GRADE.id, "No. 2"),
    (attic::JOIST_RUN.id, "along the hall"),
    (attic::JOISTS_EVEN.id, "yes"),
    (attic::JOIST_SPACING.id, "16 in"),
    (attic::NEAREST_JOIST.id, "0 in"),
    (attic::BEARING_SPAN.id, "168 in"),
    (attic::MARK_FROM_BEARING.id, "75 3/4 in"),
    (attic::BEARING_LENGTH.id, "3 1/2 in"),
    (attic::RAFTER_TIES.id, "no"),
    (attic::STORAGE.id, "no"),
    (attic::ROOF_HEIGHT.id, "36 in"),
    (attic::ROOF_FALL.id, "level"),
    (attic::JOIST_CUTS.complete, "yes"),
    (attic::OBSTRUCTIONS.complete, "yes"),
];

fn empty() -> Survey {
    Survey::begin(
        Uuid::nil(),
        "2026-05-03T18:20:00-07:00".parse().unwrap(),
        Tape::default(),
    )
}

fn put(survey: &mut Survey, field: &'static str, text: &str) {
    let at = FieldRef::spot(field, survey.spots[0].id);
    survey.type_in(at, text, &Ways::default()).unwrap();
}

/// The sound house with other answers; an empty text takes one back.
fn house(changes: &[(&'static str, &str)]) -> Survey {
    let mut survey = empty();
    for (field, text) in SOUND {
        put(&mut survey, field, text);
    }
    for (field, text) in changes {
        put(&mut survey, field, text);
    }
    survey
}

fn cut_item(survey: &mut Survey, answers: &[(&'static str, &str)]) -> ItemId {
    let (id, spot) = (survey.fresh_id(), survey.spots[0].id);
    survey
        .list_mut(attic::JOIST_CUTS.id, Some(spot))
        .unwrap()
        .add(id);
    for (field, text) in answers {
        let at = FieldRef::spot(field, spot).item(id);
        survey.type_in(at, text, &Ways::default()).unwrap();
    }
    id
}

/// The fan of the worked opening: 60 lb over an opening of 30 in.
fn fan() -> Fan {
    let mut fan = generic()
        .fans
        .iter()
        .find(|fan| fan.id == "direct-30")
        .unwrap()
        .clone();
    fan.opening.length = Length::inches(30);
    fan.opening.width = Length::inches(30);
    fan.weight = Force::from_lb(60.0);
    fan
}

fn wide_fan() -> Fan {
    generic()
        .fans
        .iter()
        .find(|fan| fan.blade == Length::inches(36))
        .unwrap()
        .clone()
}

/// A place at the mark: these joists cut, those standing, between two trimmers.
fn place(cut: &[i64], standing: &[i64], trimmers: (i64, i64)) -> Placed {
    let inches = |list: &[i64]| list.iter().map(|at| Length::inches(*at)).collect();
    Placed::Found {
        place: Place {
            ahead: Length::ZERO,
            left: Length::ZERO,
            cut: inches(cut),
            standing: inches(standing),
            flush: Length::inches(trimmers.0),
            trimmers: (Length::inches(trimmers.0), Length::inches(trimmers.1)),
            off_centre: Length::ZERO,
            turned: false,
            moves: Vec::new(),
            firm: true,
        },
        others: Vec::new(),
    }
}

fn one_cut() -> Placed {
    place(&[0], &[], (-16, 16))
}

fn one_standing() -> Placed {
    place(&[], &[0], (-16, 16))
}

/// Where the opening really goes.
fn found(survey: &Survey, framing: Framing) -> Placed {
    Scene::of(&survey.spots[0], generic(), survey.tape).place(&fan(), framing)
}

fn judge(
    rule: fn(WithFan) -> Finding,
    survey: &Survey,
    fan: &Fan,
    framing: Framing,
    place: &Placed,
) -> Finding {
    let scene = Scene::of(&survey.spots[0], generic(), survey.tape);
    rule(WithFan {
        at: AtSpot {
            house: House {
                survey,
                codes: &Codes::default(),
                air: &HouseAir::of(survey, &Codes::default()),
            },
            spot: &survey.spots[0],
            scene: &scene,
            inlets: &crate::house::inlets::Inlets::of(survey, &survey.spots[0]),
        },
        fan,
        framing,
        place,
    })
}

fn judge_spot(rule: fn(AtSpot) -> Finding, survey: &Survey) -> Finding {
    let scene = Scene::of(&survey.spots[0], generic(), survey.tape);
    rule(AtSpot {
        house: House {
            survey,
            codes: &Codes::default(),
            air: &HouseAir::of(survey, &Codes::default()),
        },
        spot: &survey.spots[0],
        scene: &scene,
        inlets: &crate::house::inlets::Inlets::of(survey, &survey.spots[0]),
    })
}

fn missing(finding: &Finding) -> Vec<&'static str> {
    finding.missing.iter().map(|at| at.field).collect()
}

fn figure(finding: &Finding, name: &str) -> f64 {
    finding
        .figures
        .iter()
        .find(|figure| figure.name == name)
        .unwrap_or_else(|| panic!("no figure {name}: {:?}", finding.figures))
        .value
}

fn said(finding: &Finding) -> String {
    finding.say.english()
}

mod the_fan_and_the_joists {
    use super::*;

    fn cut(survey: &Survey) -> Finding {
        judge(joists_and_fan, survey, &fan(), Framing::Cut, &one_cut())
    }
    fn whole(survey: &Survey, fan: &Fan, place: &Placed) -> Finding {
        judge(joists_and_fan, survey, fan, Framing::Whole, place)
    }

    #[test]
    fn sawn_joists_may_be_cut_and_nothing_else_is_asked() {
        let finding = cut(&house(&[]));
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(finding.hangs_on.len(), 1);
    }

    #[test]
    fn trusses_and_i_joists_are_never_cut_whatever_else_is_missing() {
        // IRC R802.10.4, R802.7.2.
        for framing in ["trusses", "I-joists", "other"] {
            let mut survey = empty();
            put(&mut survey, attic::FRAMING.id, framing);
            let finding = judge(
                joists_and_fan,
                &survey,
                &fan(),
                Framing::Cut,
                &Placed::Unknown,
            );
            assert_eq!(finding.outcome, Outcome::Fails, "{framing}");
            assert!(finding.missing.is_empty());
        }
    }

    #[test]
    fn a_narrow_fan_between_two_trusses_needs_only_its_load_verified() {
        let slim = generic().fans.iter().find(|f| f.id == "long-slim").unwrap();
        let survey = house(&[(attic::FRAMING.id, "trusses")]);
        let between = place(&[], &[], (-12, 12));
        let finding = judge(joists_and_fan, &survey, slim, Framing::Cut, &between);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
        let crossing = judge(joists_and_fan, &survey, slim, Framing::Cut, &one_cut());
        assert_eq!(crossing.outcome, Outcome::Fails);
        let survey = house(&[
            (attic::FRAMING.id, "trusses"),
            (attic::NEAREST_JOIST.id, ""),
        ]);
        let open = judge(
            joists_and_fan,
            &survey,
            slim,
            Framing::Cut,
            &Placed::Unknown,
        );
        assert!(missing(&open).contains(&attic::NEAREST_JOIST.id));
    }

    #[test]
    fn a_wide_fan_stands_over_whole_joists_from_24_in_on() {
        for (spacing, outcome, again) in [
            ("24 in", Outcome::Holds, true),
            ("25 in", Outcome::Holds, false),
            ("23 15/16 in", Outcome::Fails, true),
            ("16 in", Outcome::Fails, false),
        ] {
            let survey = house(&[(attic::JOIST_SPACING.id, spacing)]);
            let finding = whole(&survey, &wide_fan(), &one_standing());
            assert_eq!(finding.outcome, outcome, "{spacing}");
            assert_eq!(finding.measure_again, again, "{spacing}");
            assert_eq!(figure(&finding, "joist spacing needed"), 24.0);
        }
        let small = whole(&house(&[]), &fan(), &one_standing());
        assert_eq!(small.outcome, Outcome::Holds);
    }

    #[test]
    fn close_joists_fail_a_wide_fan_before_the_framing_is_known() {
        let survey = house(&[(attic::FRAMING.id, "")]);
        let finding = whole(&survey, &wide_fan(), &one_standing());
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.missing.is_empty());
        let far = house(&[(attic::FRAMING.id, ""), (attic::JOIST_SPACING.id, "24 in")]);
        let open = whole(&far, &wide_fan(), &one_standing());
        assert_eq!(missing(&open), [attic::FRAMING.id]);
    }

    #[test]
    fn of_uneven_joists_the_closest_two_at_the_opening_count() {
        let mut survey = house(&[
            (attic::JOISTS_EVEN.id, "no"),
            (attic::JOISTS.complete, "yes"),
        ]);
        let spot = survey.spots[0].id;
        for at in ["-40", "-20", "6", "32"] {
            let id = survey.fresh_id();
            survey
                .list_mut(attic::JOISTS.id, Some(spot))
                .unwrap()
                .add(id);
            let field = joist::AT.at(spot).item(id);
            survey.type_in(field, at, &Ways::default()).unwrap();
        }
        let finding = whole(&survey, &wide_fan(), &place(&[], &[6], (-20, 32)));
        assert_eq!(finding.outcome, Outcome::Holds);
        assert_eq!(figure(&finding, "joist spacing"), 26.0);
        let closer = whole(&survey, &wide_fan(), &place(&[], &[-20, 6], (-40, 32)));
        assert_eq!(closer.outcome, Outcome::Fails);
    }

    #[test]
    fn a_sheet_that_says_no_is_the_end_of_it() {
        let slim = generic().fans.iter().find(|f| f.id == "long-slim").unwrap();
        let survey = empty();
        let finding = whole(&survey, slim, &Placed::Unknown);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.hangs_on.is_empty());
    }

    #[test]
    fn over_trusses_the_added_load_must_be_verified() {
        let survey = house(&[(attic::FRAMING.id, "trusses")]);
        let finding = whole(&survey, &fan(), &one_standing());
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
    }
}

mod the_frame_of_the_opening {
    use super::*;

    fn frame(survey: &Survey, place: &Placed) -> Finding {
        judge(opening_framing, survey, &fan(), Framing::Cut, place)
    }

    #[test]
    fn the_worked_opening_has_single_headers_and_double_trimmers() {
        // Facts D6: headers at 60.0 and 91.5 in, 30.5 in between trimmers.
        let finding = frame(&house(&[]), &one_cut());
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(figure(&finding, "header span"), 30.5);
        assert_eq!(figure(&finding, "near header from its bearing"), 60.0);
        assert_eq!(figure(&finding, "far header from its bearing"), 76.5);
        assert_eq!(figure(&finding, "pieces in each header"), 1.0);
        assert_eq!(figure(&finding, "pieces in each trimmer"), 2.0);
        assert!(said(&finding).contains("headers of 30 1/2\""));
        assert!(
            finding.remedies[0]
                .what
                .english()
                .contains("two single headers")
        );
        assert!(finding.remedies.iter().all(|it| it.who == Who::Carpenter));
    }

    #[test]
    fn a_wide_opening_doubles_and_hangs_its_headers() {
        let survey = house(&[
            (attic::JOIST_SPACING.id, "24 in"),
            (attic::NOMINAL_SIZE.id, "2x10"),
        ]);
        let finding = frame(&survey, &place(&[-24, 0, 24], &[], (-48, 48)));
        assert_eq!(figure(&finding, "header span"), 94.5);
        assert_eq!(figure(&finding, "pieces in each header"), 2.0);
        let text: Vec<String> = finding
            .remedies
            .iter()
            .map(|it| it.what.english())
            .collect();
        assert!(
            text.iter().any(|it| it.contains("approved hangers")),
            "{text:?}"
        );
    }

    #[test]
    fn whole_joists_and_openings_between_joists_need_no_frame() {
        let nothing = empty();
        let whole = judge(
            opening_framing,
            &nothing,
            &fan(),
            Framing::Whole,
            &Placed::Unknown,
        );
        assert_eq!(whole.outcome, Outcome::Holds);
        assert!(whole.hangs_on.is_empty());
        let between = frame(
            &house(&[(attic::BEARING_SPAN.id, "")]),
            &place(&[], &[], (-16, 16)),
        );
        assert_eq!(between.outcome, Outcome::Holds);
        let trusses = frame(&house(&[(attic::FRAMING.id, "trusses")]), &one_cut());
        assert_eq!(trusses.outcome, Outcome::Holds);
    }

    #[test]
    fn an_opening_past_the_bearing_fails() {
        // The opening begins 15 in behind the mark.
        for (mark, outcome) in [
            ("16 1/2 in", Outcome::Mend),
            ("16 7/16 in", Outcome::Fails),
            ("2 in", Outcome::Fails),
        ] {
            let finding = frame(&house(&[(attic::MARK_FROM_BEARING.id, mark)]), &one_cut());
            assert_eq!(finding.outcome, outcome, "{mark}");
            assert_eq!(finding.measure_again, mark != "2 in");
        }
    }

    #[test]
    fn a_doubled_header_needs_two_thicknesses_before_the_bearing() {
        // IRC R802.9: 94 1/2 in between trimmers, above 4 ft. The opening begins 15 in behind the mark.
        let wide = place(&[-24, 0, 24], &[], (-48, 48));
        for (mark, outcome) in [
            ("18 in", Outcome::Mend),
            ("17 15/16 in", Outcome::Fails),
            ("17 in", Outcome::Fails),
        ] {
            let survey = house(&[
                (attic::JOIST_SPACING.id, "24 in"),
                (attic::MARK_FROM_BEARING.id, mark),
            ]);
            let finding = frame(&survey, &wide);
            assert_eq!(finding.outcome, outcome, "{mark}");
            assert_eq!(figure(&finding, "pieces in each header"), 2.0);
            if outcome == Outcome::Mend {
                assert_eq!(figure(&finding, "near header from its bearing"), 1.5);
                assert_eq!(figure(&finding, "near tail joists"), 0.0);
                // 168 less 18, 15 and two pieces.
                assert_eq!(figure(&finding, "far tail joists"), 132.0);
            } else {
                assert!(said(&finding).ends_with("a header of 3\" does not fit there."));
            }
        }
    }

    #[test]
    fn what_is_missing_is_named() {
        let open = frame(
            &house(&[(attic::BEARING_SPAN.id, ""), (attic::NOMINAL_SIZE.id, "")]),
            &one_cut(),
        );
        assert_eq!(open.outcome, Outcome::NotMeasured);
        assert_eq!(
            missing(&open),
            [
                attic::NOMINAL_SIZE.id,
                attic::JOIST_THICKNESS.id,
                attic::JOIST_DEPTH.id,
                attic::BEARING_SPAN.id
            ]
        );
        let survey = house(&[(attic::NEAREST_JOIST.id, "")]);
        let nowhere_yet = frame(&survey, &Placed::Unknown);
        assert_eq!(missing(&nowhere_yet), [attic::NEAREST_JOIST.id]);
    }

    #[test]
    fn answers_that_cannot_all_be_right_are_to_be_measured_again() {
        let past = frame(
            &house(&[(attic::MARK_FROM_BEARING.id, "15 ft")]),
            &one_cut(),
        );
        assert_eq!(past.outcome, Outcome::Fails);
        assert!(past.measure_again);
        assert_eq!(
            said(&past),
            "Measure again: the mark lies 180\" from a bearing of joists that span only 168\"."
        );
        let odd = house(&[
            (attic::NOMINAL_SIZE.id, "other"),
            (attic::JOIST_THICKNESS.id, "9 in"),
            (attic::JOIST_DEPTH.id, "6 in"),
        ]);
        assert!(frame(&odd, &one_cut()).measure_again);
        let tight = house(&[(attic::JOIST_SPACING.id, "1 in")]);
        let clash = frame(&tight, &found(&tight, Framing::Cut));
        assert_eq!(clash.outcome, Outcome::Fails);
        assert!(clash.measure_again);
        assert!(
            said(&clash).contains("Measure again: joists cannot lie closer"),
            "{}",
            said(&clash)
        );
    }
}

mod the_strength {
    use super::*;

    fn cut(survey: &Survey) -> Finding {
        judge(joist_strength, survey, &fan(), Framing::Cut, &one_cut())
    }
    fn whole(survey: &Survey) -> Finding {
        judge(
            joist_strength,
            survey,
            &fan(),
            Framing::Whole,
            &one_standing(),
        )
    }

    #[test]
    fn the_worked_opening_comes_out() {
        // Facts D6: double trimmers at 587.6 psi of 1,137.5; PyNite agrees.
        let finding = cut(&house(&[]));
        assert_eq!(finding.outcome, Outcome::Mend);
        assert!((figure(&finding, "first trimmer: reaction, first end") - 187.059).abs() < 5e-4);
        assert!((figure(&finding, "first trimmer: largest moment") - 8887.92).abs() < 5e-3);
        assert!((figure(&finding, "first trimmer: bending stress") - 587.6).abs() < 0.05);
        assert_eq!(
            figure(&finding, "first trimmer: bending stress allowed"),
            1137.5
        );
        assert_eq!(figure(&finding, "near header: reaction, first end"), 40.0);
        assert_eq!(finding.remedies.len(), 1);
        assert!(
            said(&finding).starts_with("With single headers and doubled trimmers the frame holds")
        );
    }

    #[test]
    fn a_short_span_holds_with_single_members() {
        let survey = house(&[
            (attic::BEARING_SPAN.id, "100 in"),
            (attic::MARK_FROM_BEARING.id, "50 in"),
            (attic::NOMINAL_SIZE.id, "2x8"),
        ]);
        let finding = cut(&survey);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(finding.remedies.is_empty());
    }

    #[test]
    fn not_even_doubled_members_hold_over_a_long_span() {
        let survey = house(&[
            (attic::NOMINAL_SIZE.id, "2x4"),
            (attic::BEARING_SPAN.id, "216 in"),
        ]);
        let finding = cut(&survey);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
        assert!(said(&finding).starts_with("Even doubled, "));
    }

    #[test]
    fn no_stamp_is_judged_as_the_weakest_and_said_so() {
        let survey = house(&[
            (attic::SPECIES.id, "no stamp"),
            (attic::GRADE.id, "no stamp"),
        ]);
        let finding = cut(&survey);
        // 587.6 psi against Southern Pine No. 3's 575 psi, alone in its trimmer: only a grader or engineer helps.
        assert_eq!(
            figure(&finding, "first trimmer: bending stress allowed"),
            575.0
        );
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
        assert!(
            finding
                .cautions
                .iter()
                .any(|it| it.english().contains("weakest"))
        );
    }

    #[test]
    fn whole_joists_carry_the_fan() {
        // 37 in of frame over joists at 16 in: three joists under it.
        let survey = house(&[]);
        let finding = whole(&survey);
        assert_eq!(figure(&finding, "joists that carry the fan"), 3.0);
        assert!((figure(&finding, "fan weight on the most used joist") - 20.0).abs() < 1e-9);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(
            (figure(&finding, "most used joist: bending stress allowed") - 1308.125).abs() < 1e-9
        );
        let long = house(&[(attic::BEARING_SPAN.id, "220 in")]);
        let doubled = whole(&long);
        assert_eq!(doubled.outcome, Outcome::Mend);
        assert!(
            said(&doubled).starts_with("Doubled, "),
            "{}",
            said(&doubled)
        );
        let longer = house(&[(attic::BEARING_SPAN.id, "300 in")]);
        assert_eq!(whole(&longer).outcome, Outcome::Fails);
    }

    #[test]
    fn plaster_and_storage_weigh_more() {
        let short = (attic::BEARING_SPAN.id, "120 in");
        let light = figure(&whole(&house(&[short])), "most used joist: use in bending");
        let stored = whole(&house(&[
            (attic::STORAGE.id, "yes"),
            (attic::BEARING_SPAN.id, "120 in"),
        ]));
        assert_eq!(figure(&stored, "attic live load"), 20.0);
        let plaster = whole(&house(&[
            (hall::CEILING_MATERIAL.id, "plaster on lath"),
            short,
        ]));
        assert_eq!(figure(&plaster, "ceiling dead load"), 10.0);
        assert!(figure(&plaster, "most used joist: use in bending") > light);
        // The height at the mark is under 42 in, but not the height under the ridge.
        let ridge = whole(&house(&[
            (attic::ROOF_FALL.id, "ahead"),
            (attic::ROOF_SLOPE.id, "4:12"),
            (attic::RIDGE_DISTANCE.id, "18 in"),
        ]));
        assert_eq!(figure(&ridge, "attic live load"), 20.0);
    }

    #[test]
    fn what_holds_with_the_weakest_wood_needs_no_stamp() {
        let survey = house(&[
            (attic::BEARING_SPAN.id, "80 in"),
            (attic::MARK_FROM_BEARING.id, "40 in"),
            (attic::NOMINAL_SIZE.id, "2x8"),
            (attic::SPECIES.id, ""),
            (attic::GRADE.id, ""),
            (attic::STORAGE.id, ""),
            (hall::CEILING_MATERIAL.id, ""),
        ]);
        let finding = whole(&survey);
        assert_eq!(finding.outcome, Outcome::Holds);
        assert!(finding.missing.is_empty());
    }

    #[test]
    fn what_fails_with_the_strongest_wood_needs_no_stamp() {
        let survey = house(&[
            (attic::BEARING_SPAN.id, "300 in"),
            (attic::SPECIES.id, ""),
            (attic::GRADE.id, ""),
            (attic::BEARING_LENGTH.id, ""),
        ]);
        let finding = whole(&survey);
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.missing.is_empty());
    }

    #[test]
    fn what_is_missing_is_named() {
        let survey = house(&[
            (attic::SPECIES.id, ""),
            (attic::GRADE.id, ""),
            (attic::BEARING_LENGTH.id, ""),
        ]);
        let finding = whole(&survey);
        assert_eq!(finding.outcome, Outcome::NotMeasured);
        assert_eq!(
            missing(&finding),
            [attic::SPECIES.id, attic::GRADE.id, attic::BEARING_LENGTH.id]
        );
        let framing = whole(&house(&[(attic::FRAMING.id, "")]));
        assert_eq!(missing(&framing), [attic::FRAMING.id]);
    }

    #[test]
    fn trusses_are_an_engineers() {
        let survey = house(&[(attic::FRAMING.id, "trusses"), (attic::BEARING_SPAN.id, "")]);
        let finding = whole(&survey);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
        assert_eq!(finding.hangs_on.len(), 1);
    }

    #[test]
    fn answers_that_cannot_all_be_right_are_to_be_measured_again() {
        for change in [
            (attic::MARK_FROM_BEARING.id, "15 ft"),
            (attic::BEARING_SPAN.id, "0"),
            (attic::BEARING_LENGTH.id, "0"),
        ] {
            let finding = whole(&house(&[change]));
            assert_eq!(finding.outcome, Outcome::Fails, "{change:?}");
            assert!(finding.measure_again, "{change:?}");
            assert!(said(&finding).starts_with("Measure again: "));
        }
    }

    #[test]
    fn headers_that_their_strength_doubles_need_two_thicknesses_before_the_bearing() {
        // 46 1/2 in between trimmers: the code lets the headers be single, long tails under plaster and storage do not.
        let at = |mark, rule| {
            let survey = house(&[
                (attic::JOIST_SPACING.id, "24 in"),
                (attic::NOMINAL_SIZE.id, "2x4"),
                (attic::GRADE.id, "No. 3"),
                (attic::STORAGE.id, "yes"),
                (hall::CEILING_MATERIAL.id, "plaster on lath"),
                (attic::MARK_FROM_BEARING.id, mark),
            ]);
            let one = place(&[0], &[], (-24, 24));
            judge(rule, &survey, &fan(), Framing::Cut, &one)
        };
        let near = at("17 in", joist_strength);
        assert_eq!(near.outcome, Outcome::Fails);
        assert_eq!(
            said(&near),
            "The opening would reach within 2\" of the joists' bearing; it must stay 3\" away."
        );
        assert_eq!(figure(&near, "pieces in each header"), 2.0);
        let code = at("17 in", opening_framing);
        assert_eq!(code.outcome, Outcome::Mend);
        assert_eq!(figure(&code, "pieces in each header"), 1.0);
        let far = at("18 in", joist_strength);
        assert_eq!(figure(&far, "pieces in each header"), 2.0);
        assert!(!said(&far).contains("away"), "{}", said(&far));
    }

    #[test]
    fn a_missing_answer_never_turns_a_settled_outcome() {
        // Every pair of holes among the wood's answers, every way of filling them.
        let holes: &[(&str, &[&str])] = &[
            (
                attic::SPECIES.id,
                &["Hem-Fir", "Southern Pine", "Douglas Fir-Larch", "no stamp"],
            ),
            (attic::GRADE.id, &["Select Structural", "No. 3", "no stamp"]),
            (attic::STORAGE.id, &["yes", "no"]),
            (hall::CEILING_MATERIAL.id, &["drywall", "plaster on lath"]),
            (attic::BEARING_LENGTH.id, &["0", "1/16 in", "3 in"]),
            (attic::ROOF_HEIGHT.id, &["20 in", "60 in"]),
        ];
        let mut settled = 0;
        let near_bearing = (attic::MARK_FROM_BEARING.id, "17 in");
        let wide_cut = place(&[0], &[], (-24, 24));
        for (span, mark) in [
            ("90 in", None),
            ("130 in", None),
            ("168 in", None),
            ("190 in", None),
            ("200 in", None),
            ("240 in", None),
            ("130 in", Some(near_bearing)),
            ("168 in", Some(near_bearing)),
            ("240 in", Some(near_bearing)),
        ] {
            for (place, framing) in [
                (&one_cut(), Framing::Cut),
                (&wide_cut, Framing::Cut),
                (&one_standing(), Framing::Whole),
            ] {
                let of = |survey: &Survey| judge(joist_strength, survey, &fan(), framing, place);
                let house = |changes: [(&'static str, &'static str); 3]| {
                    let mut survey = house(&changes);
                    if let Some((field, text)) = mark {
                        put(&mut survey, field, text);
                    }
                    survey
                };
                for (a, a_answers) in holes {
                    for (b, b_answers) in holes {
                        let open = of(&house([(attic::BEARING_SPAN.id, span), (a, ""), (b, "")]));
                        if open.outcome == Outcome::NotMeasured {
                            continue;
                        }
                        settled += 1;
                        for a_answer in *a_answers {
                            for b_answer in *b_answers {
                                let filled = of(&house([
                                    (attic::BEARING_SPAN.id, span),
                                    (a, a_answer),
                                    (b, b_answer),
                                ]));
                                assert_eq!(
                                    filled.outcome, open.outcome,
                                    "{span} {framing:?} {a} {a_answer} {b} {b_answer}"
                                );
                            }
                        }
                    }
                }
            }
        }
        assert!(settled > 100, "{settled}");
    }
}

mod the_rafter_ties {
    use super::*;

    fn cut(survey: &Survey, place: &Placed) -> Finding {
        judge(rafter_ties, survey, &fan(), Framing::Cut, place)
    }

    #[test]
    fn a_cut_tie_needs_another_path() {
        let finding = cut(&house(&[(attic::RAFTER_TIES.id, "yes")]), &one_cut());
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
        assert_eq!(figure(&finding, "ties cut"), 1.0);
    }

    #[test]
    fn where_no_tie_is_cut_it_holds() {
        let tied = house(&[(attic::RAFTER_TIES.id, "yes")]);
        let whole = judge(
            rafter_ties,
            &empty(),
            &fan(),
            Framing::Whole,
            &one_standing(),
        );
        assert_eq!(whole.outcome, Outcome::Holds);
        assert!(whole.hangs_on.is_empty());
        assert_eq!(
            cut(&tied, &place(&[], &[], (-16, 16))).outcome,
            Outcome::Holds
        );
        let mut untied = empty();
        put(&mut untied, attic::RAFTER_TIES.id, "no");
        let early = cut(&untied, &Placed::Unknown);
        assert_eq!(early.outcome, Outcome::Holds);
        assert!(early.missing.is_empty());
    }

    #[test]
    fn what_is_missing_is_named() {
        let open = cut(&house(&[(attic::RAFTER_TIES.id, "")]), &one_cut());
        assert_eq!(missing(&open), [attic::RAFTER_TIES.id]);
    }

    #[test]
    fn joists_that_contradict_themselves_are_to_be_measured_again() {
        let survey = house(&[
            (attic::RAFTER_TIES.id, "yes"),
            (attic::JOIST_SPACING.id, "1 in"),
        ]);
        let finding = cut(&survey, &found(&survey, Framing::Cut));
        assert_eq!(finding.outcome, Outcome::Fails);
        assert!(finding.measure_again);
    }
}

mod the_bearing {
    use super::*;

    #[test]
    fn an_inch_and_a_half_holds_and_less_is_mended() {
        for (bearing, outcome, again) in [
            ("1 1/2 in", Outcome::Holds, true),
            ("3 1/2 in", Outcome::Holds, false),
            ("1 7/16 in", Outcome::Mend, true),
            ("1/2 in", Outcome::Mend, false),
        ] {
            let survey = house(&[(attic::BEARING_LENGTH.id, bearing)]);
            let finding = judge_spot(joist_bearing, &survey);
            assert_eq!(finding.outcome, outcome, "{bearing}");
            assert_eq!(finding.measure_again, again, "{bearing}");
        }
    }

    #[test]
    fn enough_bearing_is_enough_for_any_framing() {
        let early = judge_spot(joist_bearing, &house(&[(attic::FRAMING.id, "")]));
        assert_eq!(early.outcome, Outcome::Holds);
        let open = judge_spot(
            joist_bearing,
            &house(&[(attic::FRAMING.id, ""), (attic::BEARING_LENGTH.id, "1 in")]),
        );
        assert_eq!(missing(&open), [attic::FRAMING.id]);
        let none = judge_spot(joist_bearing, &house(&[(attic::BEARING_LENGTH.id, "")]));
        assert_eq!(missing(&none), [attic::BEARING_LENGTH.id]);
        let trusses = judge_spot(
            joist_bearing,
            &house(&[
                (attic::FRAMING.id, "trusses"),
                (attic::BEARING_LENGTH.id, ""),
            ]),
        );
        assert_eq!(trusses.outcome, Outcome::Holds);
    }

    #[test]
    fn deep_joists_must_be_kept_upright() {
        let cautions = |size| {
            judge_spot(joist_bearing, &house(&[(attic::NOMINAL_SIZE.id, size)]))
                .cautions
                .len()
        };
        assert_eq!(cautions("2x10"), 0);
        assert_eq!(cautions("2x12"), 1);
    }
}

mod the_condition {
    use super::*;

    fn judged(survey: &Survey) -> Finding {
        judge_spot(joist_condition, survey)
    }

    fn hole(diameter: &'static str, edge: &'static str) -> [(&'static str, &'static str); 5] {
        [
            (cut::KIND.id, "hole"),
            (cut::JOIST_AT.id, "0"),
            (cut::DEPTH.id, diameter),
            (cut::FROM_EDGE.id, edge),
            (cut::FROM_BEARING.id, "40 in"),
        ]
    }

    #[test]
    fn sound_joists_hold_once_they_were_looked_at() {
        assert_eq!(judged(&house(&[])).outcome, Outcome::Holds);
        let open = judged(&house(&[(attic::JOIST_CUTS.complete, "")]));
        assert_eq!(missing(&open), [attic::JOIST_CUTS.complete]);
    }

    #[test]
    fn a_hole_too_wide_is_mended_whatever_else_is_missing() {
        // 2 × 6: a third of 5 1/2 in is 1.83 in.
        let mut survey = house(&[
            (attic::JOIST_CUTS.complete, ""),
            (attic::BEARING_SPAN.id, ""),
        ]);
        cut_item(
            &mut survey,
            &[(cut::KIND.id, "hole"), (cut::DEPTH.id, "2 in")],
        );
        let finding = judged(&survey);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert!(finding.missing.is_empty());
        assert_eq!(finding.remedies[0].who, Who::Carpenter);
    }

    #[test]
    fn cuts_within_the_limits_hold() {
        let mut survey = house(&[(attic::NOMINAL_SIZE.id, "2x10")]);
        cut_item(&mut survey, &hole("3 in", "2 in"));
        cut_item(
            &mut survey,
            &[
                (cut::KIND.id, "notch"),
                (cut::JOIST_AT.id, "0"),
                (cut::DEPTH.id, "1 1/2 in"),
                (cut::LENGTH.id, "3 in"),
                (cut::FROM_BEARING.id, "30 in"),
            ],
        );
        cut_item(
            &mut survey,
            &[(cut::KIND.id, "end notch"), (cut::DEPTH.id, "2 1/4 in")],
        );
        let finding = judged(&survey);
        assert_eq!(finding.outcome, Outcome::Holds, "{}", said(&finding));
    }

    #[test]
    fn each_limit_that_is_passed_is_named() {
        let notch = |depth, length, from| {
            [
                (cut::KIND.id, "notch"),
                (cut::DEPTH.id, depth),
                (cut::LENGTH.id, length),
                (cut::FROM_BEARING.id, from),
            ]
        };
        for (cut, words) in [
            (
                notch("1 in", "1 in", "20 in"),
                "notch 1\" deep, where 15/16\"",
            ),
            (notch("1/2 in", "2 in", "20 in"), "notch 2\" long"),
            (notch("1/2 in", "1 in", "60 in"), "middle third"),
        ] {
            let mut survey = house(&[]);
            cut_item(&mut survey, &cut);
            let finding = judged(&survey);
            assert_eq!(finding.outcome, Outcome::Mend);
            assert!(said(&finding).contains(words), "{}", said(&finding));
        }
    }

    #[test]
    fn two_holes_side_by_side_are_too_many() {
        let mut survey = house(&[(attic::NOMINAL_SIZE.id, "2x10")]);
        cut_item(&mut survey, &hole("2 in", "3 in"));
        let other = cut_item(&mut survey, &hole("2 in", "3 in"));
        assert_eq!(judged(&survey).outcome, Outcome::Mend);
        let at = cut::FROM_BEARING.at(survey.spots[0].id).item(other);
        survey.type_in(at, "44 in", &Ways::default()).unwrap();
        assert_eq!(judged(&survey).outcome, Outcome::Holds);
        survey.type_in(at, "", &Ways::default()).unwrap();
        assert_eq!(missing(&judged(&survey)), [cut::FROM_BEARING.id]);
    }

    #[test]
    fn a_cut_truss_is_an_engineers() {
        let mut survey = house(&[(attic::FRAMING.id, "trusses")]);
        cut_item(&mut survey, &[]);
        let finding = judged(&survey);
        assert_eq!(finding.outcome, Outcome::Mend);
        assert_eq!(finding.remedies[0].who, Who::Engineer);
    }

    #[test]
    fn an_impossible_size_is_to_be_measured_again() {
        let mut survey = house(&[
            (attic::NOMINAL_SIZE.id, "other"),
            (attic::JOIST_THICKNESS.id, "1/2 in"),
            (attic::JOIST_DEPTH.id, "6 in"),
        ]);
        cut_item(&mut survey, &hole("1 in", "2 in"));
        assert!(judged(&survey).measure_again);
    }
}
