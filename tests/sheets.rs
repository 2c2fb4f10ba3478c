//! The sheets of a job: complete, traceable, in two languages, and honest where there is nothing to build.
#![cfg(feature = "office")]

mod common;

use common::{Dice, fill, random_survey};
use joistlight::demo;
use joistlight::job::sheets::document::{Block, Document, FigureId};
use joistlight::job::sheets::pdf::Paper;
use joistlight::job::sheets::{html, pdf, sheets};
use joistlight::job::{Chosen, Job};
use joistlight::measure::Tape;
use joistlight::rules::{Assessment, Framing, Verdict, assess};
use joistlight::survey::{Survey, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::trade::source::Status;
use joistlight::words::Language;
use std::collections::HashSet;

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

fn has_heading(document: &Document, english: &'static str) -> bool {
    let wanted = document.language.say(english);
    document
        .blocks
        .iter()
        .any(|block| matches!(block, Block::Heading { text, .. } if text.text() == wanted))
}

fn is_notice(block: &Block) -> bool {
    matches!(block, Block::Notice { .. })
}

#[test]
fn a_job_that_fits_has_everything_to_build_from() {
    let mut built = 0;
    with_demo(&mut |job, documents| {
        let names: Vec<&str> = documents.iter().map(|it| it.name).collect();
        assert_eq!(
            names,
            ["crew", "electrician", "vents", "permit", "customer"]
        );
        let crew = &documents[0];
        let pictures = crew
            .blocks
            .iter()
            .filter(|it| matches!(it, Block::Picture(_)))
            .count();
        if job.plan.is_none() {
            return;
        }
        built += 1;
        for heading in ["Where to drill", "The frame", "Cut list", "Order of work"] {
            assert!(has_heading(crew, heading), "{heading}");
        }
        assert_eq!(pictures, 4, "ceiling, frame, plan, section");
        assert!(!documents.iter().any(|it| is_notice(&it.blocks[0])));
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
        for document in documents {
            // Said first of all, on every sheet.
            assert!(is_notice(&document.blocks[0]), "{}", document.name);
            for heading in [
                "Where to drill",
                "The frame",
                "Cut list",
                "Boards to buy",
                "Order of work",
                "What goes in",
                "Vents to add",
                "What will be done",
            ] {
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
    with_demo(&mut |_, documents| {
        for document in &documents[..4] {
            let first = document
                .blocks
                .iter()
                .position(|it| matches!(it, Block::Cautions { .. }))
                .unwrap_or_else(|| panic!("{}", document.name));
            // Before any figure to work from: only a notice may stand before them.
            assert!(document.blocks[..first].iter().all(is_notice));
        }
    });
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let job = Job::new(&survey, fan::generic(), &assessment, &Chosen::default()).unwrap();
    let documents = sheets(&job, Language::English, Ways::default());
    let text = |at: usize| {
        let document: &Document = &documents[at];
        let lines: Vec<String> = document.lines().iter().map(|it| it.text()).collect();
        lines.join("\n")
    };
    for words in [
        "respirator",
        "Ladder on firm",
        "Power off at the panel, locked",
        "exactly as deep as the ceiling board",
        "turn the blades by hand",
        "local code",
        "licensed",
    ] {
        assert!(text(0).contains(words), "{words}");
    }
    for words in ["Windows first", "damper", "carbon monoxide"] {
        assert!(text(4).contains(words), "{words}");
    }
}

#[test]
fn every_figure_leads_to_where_it_comes_from() {
    with_demo(&mut |_, documents| {
        for document in documents {
            let mut explained: HashSet<FigureId> = HashSet::new();
            for block in &document.blocks {
                let Block::Table(table) = block else { continue };
                for row in table.rows.iter().filter(|it| it.explains.is_some()) {
                    let id = row.explains.unwrap();
                    assert!(explained.insert(id), "{id:?} is explained twice");
                    for (cell, what) in row
                        .cells
                        .iter()
                        .zip(["no.", "what", "value", "how", "leans"])
                    {
                        // A rule that asked nothing may still lean on its sources.
                        assert!(
                            !cell.text().trim().is_empty(),
                            "{}: {what} of {row:?}",
                            document.name
                        );
                    }
                }
            }
            let used: Vec<FigureId> = document
                .lines()
                .iter()
                .flat_map(|it| it.figures())
                .collect();
            assert!(!used.is_empty(), "{}", document.name);
            for id in used {
                assert!(explained.contains(&id), "{}: {id:?}", document.name);
            }
            let page = html::write(document);
            for id in &explained {
                assert!(page.contains(&format!("id=\"figure-{}\"", id.0)));
            }
        }
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
        let documents = sheets(&job, Language::English, Ways::default());
        let crew = &documents[0];
        let how = |what: &str| {
            let origin = crew.origins.iter().find(|it| it.what.text() == what);
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
        let warned = crew.blocks.iter().any(|block| match block {
            Block::Cautions { entries, .. } => entries
                .iter()
                .any(|line| line.text().contains("made up for trying out")),
            _ => false,
        });
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
    assert!(text.contains(&"991 mm".to_owned()));
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
        let page = page.replace("url(data:font/otf;base64,", "");
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

#[test]
fn half_measured_and_odd_surveys_make_sheets_too() {
    let seed = 20_261_124;
    println!("seed {seed}");
    let mut dice = Dice(seed);
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
                for document in &documents {
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
