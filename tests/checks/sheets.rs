//! The sheets of a job: complete, traceable, buildable, in two languages, and honest where there is nothing to build.

use super::common::{Dice, fill, random_survey};
use super::files::files;
use joistlight::demo;
use joistlight::job::check::{Fault, check, of_plan};
use joistlight::job::sheets::{Edition, Sheets};
use joistlight::job::steps::Step;
use joistlight::job::vents::Where;
use joistlight::job::{Chosen, Job, layout::Use};
use joistlight::measure::{Length, Tape};
use joistlight::rules::{Assessment, Framing, Verdict, assess};
use joistlight::survey::{FieldRef, Survey, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::trade::source::Status;
use joistlight::typeset::document::{Block, Document, FigureId, Line};
use joistlight::typeset::html;
use joistlight::typeset::pdf::{self, Paper};
use joistlight::words::Language;
use std::collections::{BTreeSet, HashMap, HashSet};

/// The seed of what is random here: a fixed one, or what `JOISTLIGHT_SEED` says.
pub(crate) fn seed(usual: u64) -> u64 {
    let asked = std::env::var("JOISTLIGHT_SEED").ok();
    let seed = asked.and_then(|it| it.parse().ok()).unwrap_or(usual);
    println!("seed {seed}");
    seed
}

fn all_sheets(job: &Job, language: Language, ways: Ways) -> Sheets {
    joistlight::job::sheets::sheets(job, language, ways, &Edition::default())
}

fn sheets(job: &Job, language: Language, ways: Ways) -> Vec<Document> {
    all_sheets(job, language, ways).documents
}

fn judged(survey: &Survey) -> Assessment {
    assess(survey, fan::generic(), &Codes::default())
}

fn chosen(spot: usize, fan: Option<&str>, framing: Option<Framing>) -> Chosen {
    Chosen {
        spot: Some(spot),
        fan: fan.map(str::to_owned),
        framing,
    }
}

/// The demo's house: built whole, built cut, not fitting, not settled.
fn demo_choices() -> [Chosen; 4] {
    [
        chosen(1, Some("direct-30"), Some(Framing::Whole)),
        chosen(1, Some("belt-36"), Some(Framing::Cut)),
        chosen(2, None, None),
        chosen(3, None, None),
    ]
}

fn with_demo(look: &mut dyn FnMut(&Job, &[Document])) {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    for chosen in demo_choices() {
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        for language in Language::ALL {
            look(&job, &sheets(&job, *language, Ways::default()));
        }
    }
}

/// All sources below a folder, one text, with single spaces.
fn sources(under: &str) -> String {
    let text: String = files(under, ".rs")
        .iter()
        .map(|path| std::fs::read_to_string(path).unwrap())
        .collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A figure that no rule gives is left out of its sheet without a word.
#[test]
fn every_figure_that_a_sheet_asks_for_is_given_by_a_rule() {
    let (job, rules) = (sources("src/job"), sources("src/rules"));
    let assessment = judged(&demo::survey().unwrap());
    let judged = &assessment.spots[0];
    let names: HashSet<&str> = assessment
        .bearing_on(judged, &judged.choices[0])
        .map(|it| it.rule)
        .collect();
    let mut asked = 0;
    for rule in names {
        for rest in job.split(&format!("\"{rule}\", \"")).skip(1) {
            let name = &rest[..rest.find('"').unwrap()];
            assert!(rules.contains(&format!("\"{name}\"")), "{rule}: {name}");
            asked += 1;
        }
    }
    assert!(asked > 10, "{asked}");
}

fn has_heading(document: &Document, english: &'static str) -> bool {
    let wanted = document.language.say(english);
    document
        .all_blocks()
        .iter()
        .any(|block| matches!(block, Block::Heading { text, .. } if text.text() == wanted))
}

fn is_notice(block: &Block) -> bool {
    matches!(block, Block::Notice { .. })
}

const BUILD_HEADINGS: [(usize, &str); 8] = [
    (0, "Opening and frame"),
    (0, "Find it"),
    (0, "Cut list"),
    (0, "Fasteners"),
    (0, "Order of work"),
    (1, "What goes in"),
    (3, "P-1 Framing plan"),
    (4, "Windows to open, all the way"),
];

#[test]
fn a_job_that_fits_has_everything_to_build_from_on_few_pages() {
    let mut built = 0;
    with_demo(&mut |job, documents| {
        let names: Vec<&str> = documents.iter().map(|it| it.name).collect();
        assert_eq!(
            names,
            [
                "crew",
                "electrician",
                "vents",
                "permit",
                "household",
                "appendix"
            ]
        );
        if job.plan.is_none() {
            return;
        }
        built += 1;
        for (at, heading) in BUILD_HEADINGS {
            assert!(has_heading(&documents[at], heading), "{heading}");
        }
        assert!(!documents.iter().any(|it| is_notice(&it.blocks[0])));
        for (document, most) in documents.iter().zip([2, 1, 1, 2, 1]) {
            let pages = pdf::pages(document, Paper::Letter);
            // Spanish takes more room; so does a crew that cuts joists.
            let cut = match (job.choice.framing, document.name) {
                (Framing::Cut, "crew") => 2,
                (Framing::Cut, "permit") => 1,
                _ => 0,
            };
            let spanish = document.language == Language::Spanish;
            let most = most + usize::from(spanish) + cut;
            println!(
                "{} in {:?}: {pages} pages",
                document.name, document.language
            );
            assert!(
                pages <= most,
                "{}: {pages} pages in {:?}",
                document.name,
                document.language
            );
        }
    });
    assert_eq!(built, 4, "whole and cut, in two languages");
}

#[test]
fn a_job_that_does_not_fit_gives_nothing_to_build_from() {
    let mut refused = 0;
    with_demo(&mut |job, documents| {
        if job.plan.is_some() {
            return;
        }
        refused += 1;
        for document in &documents[..5] {
            // Said first of all, on every sheet.
            assert!(is_notice(&document.blocks[0]), "{}", document.name);
            for (_, heading) in BUILD_HEADINGS {
                assert!(
                    !has_heading(document, heading),
                    "{}: {heading}",
                    document.name
                );
            }
        }
        // What is open is named.
        let Block::Notice { entries, .. } = &documents[0].blocks[0] else {
            unreachable!()
        };
        assert!(entries.len() > 1, "{entries:?}");
    });
    assert_eq!(refused, 4, "does not fit and not settled, in two languages");
}

#[test]
fn cautions_stand_on_every_sheet_for_work() {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let job = Job::new(&survey, fan::generic(), &assessment, &Chosen::default()).unwrap();
    let documents = sheets(&job, Language::English, Ways::default());
    for (at, words) in [
        (0, "Respirator"),
        (0, "Ladder firm"),
        (0, "power off, locked, tested"),
        (0, "deep, no more"),
        (0, "Blades turn free by hand"),
        (0, "local code"),
        (0, "licensed trades"),
        (1, "Licensed electrician only"),
        (2, "tied off"),
        (3, "no permit and no engineer's design"),
        (4, "Never run the fan with the windows shut"),
        (4, "call 911"),
    ] {
        let lines = documents[at].lines();
        assert!(lines.iter().any(|it| it.text().contains(words)), "{words}");
    }
}

#[test]
fn every_figure_leads_to_its_entry_in_the_appendix() {
    with_demo(&mut |_, documents| {
        let appendix = documents.last().unwrap();
        let mut explained: HashSet<FigureId> = HashSet::new();
        for block in appendix.all_blocks() {
            let Block::Table(table) = block else { continue };
            for row in table.rows.iter().filter(|it| it.explains.is_some()) {
                let id = row.explains.unwrap();
                assert!(explained.insert(id), "{id:?} is explained twice");
                for (cell, what) in row.cells.iter().zip(["no.", "what", "value", "how"]) {
                    assert!(!cell.text().trim().is_empty(), "{what} of {row:?}");
                }
            }
        }
        for document in documents {
            let lines = document.lines();
            for id in lines.iter().flat_map(|it| it.figures()) {
                assert!(explained.contains(&id), "{}: {id:?}", document.name);
            }
            let page = html::write(document);
            if document.name == "crew" && !is_notice(&document.blocks[0]) {
                assert!(page.contains("href=\"appendix.html#figure-"));
                // Paper leads there too.
                let numbered = |it: &&Block| matches!(it, Block::Heading { aside, .. } if aside.text().contains("A "));
                assert!(
                    document
                        .all_blocks()
                        .iter()
                        .filter(|it| numbered(it))
                        .count()
                        > 4
                );
            }
        }
        let page = html::write(appendix);
        for id in &explained {
            assert!(page.contains(&format!("id=\"figure-{}\"", id.0)));
        }
    });
}

/// The demo's house by the bedrooms under the fan of 30 in over joists left whole, with some answers changed.
fn with_bedrooms(changes: &[(&'static str, &str)], look: impl Fn(&Job, &[Document])) {
    let mut survey = demo::survey().unwrap();
    let spot = survey.spots[0].id;
    for (field, text) in changes {
        survey
            .type_in(FieldRef::spot(field, spot), text, &Ways::default())
            .unwrap();
    }
    let assessment = judged(&survey);
    let [whole, ..] = demo_choices();
    let job = Job::new(&survey, fan::generic(), &assessment, &whole).unwrap();
    look(&job, &sheets(&job, Language::English, Ways::default()));
}

/// Every line of a sheet before the section on its figures, each row of a table as one line.
fn rows_of(document: &Document) -> Vec<String> {
    let mut rows = Vec::new();
    for block in document.all_blocks() {
        match block {
            Block::Table(table) => rows.extend(
                table
                    .rows
                    .iter()
                    .filter(|it| it.explains.is_none())
                    .map(|row| {
                        let cells: Vec<String> = row.cells.iter().map(Line::text).collect();
                        cells.join(" | ")
                    }),
            ),
            Block::Heading { text, .. } => rows.push(text.text()),
            Block::Paragraph(text) | Block::Note(text) | Block::Lead(text) => {
                rows.push(text.text())
            }
            Block::List { entries, .. } => rows.extend(entries.iter().map(Line::text)),
            _ => {}
        }
    }
    rows
}

fn has_rows(document: &Document, wanted: &[&str]) {
    let rows = rows_of(document);
    for row in wanted {
        assert!(
            rows.iter().any(|it| it == row),
            "{}: “{row}” is not among {rows:#?}",
            document.name
        );
    }
}

#[test]
fn vents_to_add_are_those_worked_by_hand() {
    // Ten of 16 × 8 in behind 1/8 in mesh: 128 ÷ 1.25 × 10 = 1024 in². One of 24 × 18 in behind No. 16 mesh, a tenth of
    // it blocked: 432 ÷ 2 × 0.9 = 194.4 in². Together 1218.4 in² = 8.46 ft². The fan moves 7500 cfm and needs a square
    // foot for each 750: 10 ft² = 1440 in². So 221.6 in² more, anywhere: 1/150 of 1480 ft² is only 9.87 ft².
    with_bedrooms(&[], |job, documents| {
        let gaps = &job.plan.as_ref().unwrap().vents;
        let [gap] = &gaps[..] else { panic!("{gaps:?}") };
        assert_eq!(gap.place, Where::Anywhere);
        assert!((gap.area.in2() - 221.6).abs() < 1e-6, "{gap:?}");
        // 221.6 ÷ 50, 18, 113.1 (a throat of 12 in), 45 and 9.
        let counts: Vec<u32> = gap.choices.iter().map(|it| it.1).collect();
        assert_eq!(counts, [5, 13, 2, 5, 25]);
        has_rows(
            &documents[2],
            &[
                "Net free vent area that is there | 8.46 ft²",
                "Needed for the fan's airflow | 10.00 ft²",
                "1/150 of the attic floor | 9.87 ft²",
                "1/300 of the attic floor | 4.93 ft²",
                "To add | 1.54 ft²",
                "Add 5 of: box vents on the roof, anywhere in the attic; 222 in² net free in all. Before the first start.",
                "5 | box vents on the roof | 50 in²",
                "13 | feet of ridge vent | 18 in²",
                "2 | turbines with a 12 in throat | 113 in²",
                "5 | under-eave vents 8 × 16 in | 45 in²",
                "25 | feet of soffit strip | 9 in²",
            ],
        );
    });
    // A floor of 2400 ft²: 16 ft² at 1/150, or 8 ft² at 1/300 with two fifths of it, 3.2 ft², at the top: there 1.35 are,
    // so 1.85 ft² = 266.4 in² more at the top. The eaves have 7.11 of the 4.8 ft² that they need.
    with_bedrooms(&[("attic.attic_floor_area", "2400 ft²")], |job, _| {
        let gaps = &job.plan.as_ref().unwrap().vents;
        let [gap] = &gaps[..] else { panic!("{gaps:?}") };
        assert_eq!(gap.place, Where::Upper);
        assert!((gap.area.in2() - 266.4).abs() < 1e-6, "{gap:?}");
        let counts: Vec<u32> = gap.choices.iter().map(|it| it.1).collect();
        assert_eq!(counts, [6, 15, 3]);
    });
}

#[test]
fn what_the_electrician_brings_is_what_was_worked_by_hand() {
    with_bedrooms(&[], |job, documents| {
        let wiring = &job.plan.as_ref().unwrap().wiring;
        // Two fixed speeds: three wires. 52 ft and a tenth: 57.2, so 58 ft.
        assert_eq!(wiring.wires, 3);
        assert_eq!(wiring.cable, Some(Length::feet(58)));
        // Four wires, the grounds, the clamps and a switch on its yoke: 4 + 1 + 1 + 2 times 2 in³ (NEC 314.16(B)).
        let room = wiring.box_needed.unwrap();
        assert!((room.in3() - 16.0).abs() < 1e-6, "{room:?}");
        let standard = wiring.standard_box.unwrap();
        assert!((standard.volume.in3() - 18.0).abs() < 1e-6, "{standard:?}");
        // A motor of 4 A is at most 80 % of its switch (NEC 404.14(A)).
        let switch = wiring.switch.unwrap();
        assert!((switch.a() - 5.0).abs() < 1e-6, "{switch:?}");
        has_rows(
            &documents[1],
            &[
                "Speed control | two fixed speeds",
                "Drive | direct drive",
                "Motor current | 4.0 A",
                // 125 %; 250 % is 10 A, and breakers begin at 15 A.
                "What the circuit must carry for the fan | 5.0 A",
                "Largest breaker for the motor | 15.0 A",
                "Cable from the switch to the fan | 3 insulated wires and a ground",
                "Cable length | 58 ft for the whole way from panel to fan; where the circuit reaches the switch already, the way from switch to fan only",
                "Room in the switch box | 16 in³ at least, such as a 3 × 2 × 3½ in device box",
                "Box that is there | 20.3 in³",
                "Switch | rated at least 5.0 A for a motor",
                "Switch place | End of the hall, beside the back bedroom's door",
                "Measured voltage | 119.5 V",
            ],
        );
    });
}

#[test]
fn the_permit_desk_gets_every_rule_with_its_section_and_result() {
    with_demo(&mut |job, documents| {
        let permit = &documents[3];
        let said = |text: &'static str| permit.language.say(text);
        let rows = rows_of(permit);
        for finding in job.findings() {
            let title = said(finding.title);
            if finding.rule.starts_with("hazard")
                && finding.outcome == joistlight::rules::Outcome::Holds
            {
                assert!(rows.iter().any(|it| it.contains(title)), "{title}");
                continue;
            }
            let cite = finding.sources[0]
                .cite
                .split([':', ';'])
                .next()
                .unwrap()
                .trim();
            let row = rows
                .iter()
                .find(|it| it.starts_with(&format!("{title} | ")));
            let row = row.unwrap_or_else(|| panic!("{title}"));
            assert!(row.contains(cite), "{row}: {cite}");
        }
    });
}

/// Hand-worked for the demo's house, joists left whole: joists 16 in apart, 1 1/2 in thick and 7 1/4 in deep; the opening of
/// 30 in lies about one of them, and its sides 1/4 in from the next ones; insulation 9 in deep.
#[test]
fn what_a_crew_cuts_and_nails_is_what_was_worked_by_hand() {
    with_bedrooms(&[], |job, documents| {
        let plan = job.plan.as_ref().unwrap();
        let layout = &plan.layout;
        // 32 − 1 1/2 in from face to face; 30 × √2 in.
        assert_eq!(layout.bay.length(), Length::sixteenths(488));
        assert_eq!(layout.diagonal.show(Tape::Sixteenth).text, "42 7/16\"");
        // The probe: 2 1/4 in from the face of the joist in the middle, so 14 1/2 − 2 1/4 from the outer one.
        let mut faces = layout.probe_to_faces;
        faces.sort();
        assert_eq!(faces, [Length::sixteenths(36), Length::sixteenths(196)]);
        // Dam: the fan's frame of 37 in and 3 in on both sides are 43 in; its sides go past two boards, 46 in.
        let of = |used| layout.of(used).map(|it| it.length()).collect::<Vec<_>>();
        assert_eq!(of(Use::DamEnd), [Length::inches(43); 2]);
        assert_eq!(of(Use::DamSide), [Length::inches(46); 2]);
        // Packing of 1/4 in on a joist of 1 1/2 in: 4d, 1 1/2 in. Two at each 16 in of 30 and at the ends: 3 × 2 × 2.
        has_rows(
            &documents[0],
            &["14 | 4d common, 1 1/2 in (0.5 lb) | packing on joist, 12 in all"],
        );
        // The board is nailed to the joist in the opening.
        assert!(plan.steps.contains(&Step::CutBoardUnderJoists));
        assert!(check(job).is_empty());
    });
}

#[test]
fn the_numbers_of_a_cut_opening_are_those_worked_by_hand() {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let [_, cut, ..] = demo_choices();
    let job = Job::new(&survey, fan::generic(), &assessment, &cut).unwrap();
    let plan = job.plan.as_ref().unwrap();
    let crew = &sheets(&job, Language::English, Ways::default())[0];
    let text: Vec<String> = crew.lines().iter().map(|it| it.text()).collect();
    // 36 × √2 = 50.912 in: 50 15/16 to the nearest 1/16.
    assert_eq!(
        plan.layout.diagonal.show(Tape::Sixteenth).text,
        "50 15/16\""
    );
    assert!(text.contains(&"50 15/16\"".to_owned()));
    // Two joists at 16 in are cut: 48 in from trimmer to trimmer, less 1 1/2.
    assert_eq!(plan.layout.cuts.len(), 2);
    assert_eq!(plan.layout.bay.length().to_in(), 46.5);
    // 36 in and a header of one piece on either side.
    assert_eq!(plan.layout.cuts[0].out.length().to_in(), 39.0);
    // Facing: 36, 36, 47, 47.
    assert!(text.contains(&"47\"".to_owned()));
    // 48 in, half a joist beyond each, 6 in past each.
    assert!(text.contains(&"61 1/2\"".to_owned()));
}

/// The fans that come with the program have made-up openings and weights; an office's own sheet is given.
#[test]
fn what_is_made_up_on_a_fans_sheet_is_told_beside_its_figures() {
    let survey = demo::survey().unwrap();
    let mut fans = fan::generic().clone();
    for status in [Status::Invented, Status::Given, Status::FromMemory] {
        for fan in &mut fans.fans {
            fan.sizes_status = Status::Confirmed;
            fan.rest_status = status;
        }
        let assessment = assess(&survey, &fans, &Codes::default());
        let job = Job::new(&survey, &fans, &assessment, &demo_choices()[1]).unwrap();
        let all = all_sheets(&job, Language::English, Ways::default());
        let how = |what: &str| {
            let origin = all.origins.iter().find(|it| it.what.text() == what);
            origin.unwrap_or_else(|| panic!("{what}")).how.text()
        };
        let told = match status {
            Status::Invented => {
                "from the fan list, where it is made up for trying out: order and cut by the sheet of the fan itself"
            }
            Status::Given => "from the fan's sheet",
            _ => "from the fan list (from memory)",
        };
        assert_eq!(how("opening, along the joists"), told);
        assert_eq!(how("weight"), told);
        assert_eq!(
            how("fan on its frame, along × across × high"),
            "from the fan list (confirmed)"
        );
        let lines = all.documents[0].lines();
        let warned = lines
            .iter()
            .any(|it| it.text().contains("made up for trying out"));
        assert_eq!(warned, status == Status::Invented);
    }
}

#[test]
fn lengths_are_told_as_the_tape_has_them() {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let [_, cut, ..] = demo_choices();
    let job = Job::new(&survey, fan::generic(), &assessment, &cut).unwrap();
    let ways = Ways {
        tape: Tape::Millimetre,
        ..Ways::default()
    };
    let crew = &sheets(&job, Language::English, ways)[0];
    let text: Vec<String> = crew.lines().iter().map(|it| it.text()).collect();
    // 50.912 in × 25.4 = 1293 mm; 39 in = 990.6 mm.
    assert!(text.contains(&"1293 mm".to_owned()));
    assert!(text.iter().any(|it| it.contains("991 mm")));
    let inches: Vec<&String> = text.iter().filter(|it| it.contains('"')).collect();
    assert!(inches.is_empty(), "{inches:#?}");
}

#[test]
fn a_page_needs_nothing_beside_it_and_believes_no_text() {
    let mut survey = demo::survey().unwrap();
    let nasty = "<script>alert(1)</script> & \"quotes\" 漢字";
    survey.arrival.client = Some(nasty.to_owned());
    survey.arrival.address = Some("x".repeat(3000));
    let assessment = judged(&survey);
    let job = Job::new(&survey, fan::generic(), &assessment, &Chosen::default()).unwrap();
    for document in sheets(&job, Language::English, Ways::default()) {
        let page = html::write(&document);
        assert!(!page.contains("<script"), "{}", document.name);
        assert!(page.contains("&lt;script&gt;"));
        let page = page.replace("url(data:font/ttf;base64,", "");
        for outside in ["src=", "href=\"http", "url(", "@import"] {
            assert!(!page.contains(outside), "{}: {outside}", document.name);
        }
        for paper in [Paper::Letter, Paper::A4] {
            let file = pdf::write(&document, paper).unwrap();
            assert!(file.starts_with(b"%PDF-"));
        }
    }
}

#[test]
fn the_same_survey_gives_the_same_bytes() {
    let made = || {
        let survey = demo::survey().unwrap();
        let assessment = judged(&survey);
        let job = Job::new(&survey, fan::generic(), &assessment, &Chosen::default()).unwrap();
        sheets(&job, Language::Spanish, Ways::default())
            .iter()
            .map(|it| (html::write(it), pdf::write(it, Paper::A4).unwrap()))
            .collect::<Vec<_>>()
    };
    assert!(made() == made());
}

/// Houses that fit, each the demo's with its sizes thrown anew, and what was chosen.
pub(crate) fn fitting_houses(count: usize, seed: u64) -> Vec<(Survey, Chosen)> {
    let mut dice = Dice(seed);
    let mut houses = Vec::new();
    let mut thrown = 0;
    while houses.len() < count {
        thrown += 1;
        assert!(thrown < count * 200, "{} of {thrown} fit", houses.len());
        let mut survey = demo::survey().unwrap();
        let spot = survey.spots[0].id;
        let sixteenths = |dice: &mut Dice, least: i64, most: i64| {
            format!("{}/16 in", dice.between(least * 16, most * 16))
        };
        for (field, least, most) in [
            ("attic.joist_spacing", 12, 25),
            ("attic.nearest_joist", -7, 7),
            ("attic.insulation_depth", 0, 20),
            ("hall.width", 38, 70),
            ("hall.mark_from_left", 18, 34),
            ("attic.bearing_span", 100, 180),
        ] {
            if dice.chance(60) {
                let text = sixteenths(&mut dice, least, most);
                let at = FieldRef::spot(field, spot);
                let _ = survey.type_in(at, &text, &Ways::default());
            }
        }
        if dice.chance(40) {
            let size = *dice.pick(&["2x6", "2x8", "2x10", "2x12"]);
            let at = FieldRef::spot("attic.nominal_size", spot);
            survey.type_in(at, size, &Ways::default()).unwrap();
        }
        if dice.chance(50) {
            let run = *dice.pick(&["across the hall", "along the hall"]);
            let at = FieldRef::spot("attic.joist_run", spot);
            survey.type_in(at, run, &Ways::default()).unwrap();
        }
        let assessment = judged(&survey);
        for choice in &assessment.spots[0].choices {
            if matches!(choice.verdict, Verdict::Fits | Verdict::FitsWithWork)
                && houses.len() < count
            {
                let chosen = chosen(1, Some(&choice.fan), Some(choice.framing));
                houses.push((survey.clone(), chosen));
            }
        }
    }
    println!("{count} houses that fit, of {thrown} surveys");
    houses
}

#[test]
fn what_is_printed_for_1000_random_houses_can_be_built() {
    let (mut cut, mut standing, mut dams, mut packed) = (0, 0, 0, 0);
    for (survey, chosen) in fitting_houses(1000, seed(20_261_202)) {
        let assessment = judged(&survey);
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        let Some(plan) = &job.plan else { continue };
        cut += usize::from(!plan.layout.cuts.is_empty());
        standing += usize::from(!plan.layout.standing.is_empty());
        dams += usize::from(plan.layout.of(Use::DamEnd).next().is_some());
        packed += usize::from(plan.layout.of(Use::Packing).next().is_some());
        let faults = check(&job);
        assert!(
            faults.is_empty(),
            "{faults:?} for {chosen:?} of {:?}",
            plan.layout
        );
    }
    println!(
        "{cut} cut, {standing} over joists left whole, {dams} with a dam, {packed} with packing"
    );
    assert!(cut > 50 && standing > 50 && dams > 50 && packed > 50);
}

/// Whatever a pack tells, it tells in one amount: over random houses (as many as `JOISTLIGHT_RUNS` says) no thing has two
/// figures, and each figure stands in every sheet's HTML as in the document that PDFs are made from.
#[test]
fn one_thing_has_one_figure_on_all_sheets() {
    let runs = std::env::var("JOISTLIGHT_RUNS").ok();
    let houses = runs.and_then(|it| it.parse().ok()).unwrap_or(60);
    let (mut figures, mut read) = (0, 0);
    let mut twice = BTreeSet::new();
    for (number, (survey, chosen)) in fitting_houses(houses, seed(20_261_204)).iter().enumerate() {
        let assessment = judged(survey);
        let job = Job::new(survey, fan::generic(), &assessment, chosen).unwrap();
        let all = all_sheets(&job, Language::English, Ways::default());
        let mut told: HashMap<String, &str> = HashMap::new();
        for origin in &all.origins {
            figures += 1;
            let what = origin.what.text();
            let before = told.insert(what.clone(), &origin.value);
            if before.is_some_and(|it| it != origin.value) {
                twice.insert(what);
            }
        }
        if number % 20 > 0 {
            continue;
        }
        for document in &all.documents[..5] {
            let page = html::write(document);
            for line in document.lines() {
                for piece in line.0.iter().filter(|it| it.figure.is_some()) {
                    let id = piece.figure.unwrap();
                    let link = format!("href=\"appendix.html#figure-{}\"", id.0);
                    let shown = page.split(&link).skip(1).any(|it| {
                        let text = it.split_once('>').and_then(|(_, it)| it.split_once("</a>"));
                        text.is_some_and(|(text, _)| {
                            squeezed(text) == squeezed(&escaped(&piece.text))
                        })
                    });
                    assert!(shown, "{}: {:?}", document.name, piece);
                    read += 1;
                }
            }
        }
    }
    println!("{figures} figures, {read} of them read back from HTML");
    assert!(twice.is_empty(), "two figures for one thing: {twice:#?}");
    assert!(read >= houses * 5, "{read}");
}

/// A text without its spaces, which HTML keeps from breaking.
fn squeezed(text: &str) -> String {
    text.chars().filter(|it| !it.is_whitespace()).collect()
}

/// A text as HTML has it.
fn escaped(text: &str) -> String {
    let text = text.replace('&', "&amp;").replace('<', "&lt;");
    text.replace('>', "&gt;").replace('"', "&quot;")
}

/// Each fault put into a sound plan is found.
#[test]
fn a_plan_that_cannot_be_built_is_found_out() {
    with_bedrooms(&[], |job, _| {
        let plan = job.plan.as_ref().unwrap();
        let joists = &job.scene.joists.known.as_ref().unwrap().offsets;
        assert!(of_plan(plan, joists).is_empty());
        // The opening's middle lies under the joist in the middle.
        let mut wrong = plan.clone();
        wrong.layout.probe = wrong.layout.middle;
        let hole = "P".to_owned();
        assert_eq!(of_plan(&wrong, joists), [Fault::HoleInWood { hole }]);
        let mut wrong = plan.clone();
        for nailing in wrong
            .materials
            .fasteners
            .iter_mut()
            .flat_map(|it| &mut it.nailings)
        {
            if nailing.wood < Length::inches(2) {
                // 12d in packing on a joist.
                nailing.kind = wrong_nail();
            }
        }
        assert!(matches!(
            of_plan(&wrong, joists)[..],
            [Fault::NailTooLong { .. }]
        ));
        let mut wrong = plan.clone();
        wrong.cut_list.rows.retain(|it| it.used != Use::DamSide);
        assert!(of_plan(&wrong, joists).contains(&Fault::NotOnCutList));
        let mut wrong = plan.clone();
        wrong.cut_list.buy.clear();
        assert!(of_plan(&wrong, joists).contains(&Fault::NotBought));
        let mut wrong = plan.clone();
        wrong.materials.fasteners.clear();
        assert!(of_plan(&wrong, joists).contains(&Fault::NoNails));
        let mut wrong = plan.clone();
        wrong.steps.retain(|it| *it != Step::CutBoardUnderJoists);
        assert_eq!(of_plan(&wrong, joists), [Fault::BoardNotFreed]);
        // The demo's smoke alarm stands 13 in from the shutter.
        let mut wrong = job.clone();
        wrong.plan.as_mut().unwrap().alarms.clear();
        assert_eq!(check(&wrong), [Fault::AlarmTooNear]);
        let mut wrong = job.clone();
        let pieces = &mut wrong.plan.as_mut().unwrap().layout.pieces;
        pieces.retain(|it| !matches!(it.used, Use::DamEnd | Use::DamSide));
        assert!(check(&wrong).contains(&Fault::NoDam));
        let mut wrong = job.clone();
        let shutter = &mut wrong.plan.as_mut().unwrap().layout.shutter.1;
        shutter.high += Length::inches(20);
        assert!(check(&wrong).contains(&Fault::ShutterBeyondHall));
    });
}

fn wrong_nail() -> joistlight::job::materials::Fastener {
    joistlight::job::materials::Fastener::Nail(joistlight::trade::fastening::Nail::Common12d)
}

#[test]
fn half_measured_and_odd_surveys_make_sheets_too() {
    let mut dice = Dice(seed(20_261_124));
    let (mut built, mut all) = (0, 0);
    for round in 0..60 {
        let survey = match round % 4 {
            0 => random_survey(&mut dice, 1, 70),
            1 => random_survey(&mut dice, 1, 100),
            // The demo's house with a few answers changed or taken back.
            _ => {
                let mut survey = demo::survey().unwrap();
                let places = survey.places();
                for _ in 0..dice.between(1, 6) {
                    let place = *dice.pick(&places);
                    if dice.chance(20) {
                        survey.put(place, None).unwrap();
                    } else {
                        fill(&mut survey, &mut dice, place);
                    }
                }
                survey
            }
        };
        let assessment = judged(&survey);
        for fan in &fan::generic().fans {
            for framing in Framing::ALL {
                let chosen = chosen(1, Some(&fan.id), Some(framing));
                let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
                let fits = matches!(job.choice.verdict, Verdict::Fits | Verdict::FitsWithWork);
                assert!(fits || job.plan.is_none());
                let documents = sheets(&job, Language::English, Ways::default());
                all += 1;
                built += usize::from(job.plan.is_some());
                if all % 40 == 0 {
                    let document = &documents[all / 40 % documents.len()];
                    assert!(html::write(document).ends_with("</html>"));
                    pdf::write(document, Paper::A4).unwrap();
                }
                for document in &documents[..5] {
                    let told = is_notice(&document.blocks[0]);
                    assert!(told || fits, "{}", document.name);
                }
            }
        }
    }
    println!("{all} jobs, {built} of them with something to build");
    assert!(built > 0 && built < all);
}

#[test]
fn what_is_not_there_is_told() {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let error = |chosen: Chosen| {
        Job::new(&survey, fan::generic(), &assessment, &chosen)
            .unwrap_err()
            .to_string()
    };
    assert_eq!(
        error(chosen(7, None, None)),
        "The survey has no spot number 7; it has 3."
    );
    assert!(error(chosen(0, None, None)).contains("no spot number 0"));
    assert!(error(chosen(1, Some("no-such"), None)).contains("it has: direct-24"));
}
