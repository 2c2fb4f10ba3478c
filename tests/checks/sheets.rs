//! The sheets of a job: complete, traceable, in two languages, and honest where there is nothing to build.

#[allow(dead_code)]
use crate::common::{Dice, fill, random_survey};
use crate::files::files;
use joistlight::demo;
use joistlight::drawing::Ink;
use joistlight::job::vents::Where;
use joistlight::job::{Chosen, Job};
use joistlight::measure::{Length, Tape};
use joistlight::rules::{Assessment, Framing, Verdict, assess};
use joistlight::survey::{FieldRef, Survey, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::trade::source::Status;
use joistlight::typeset::document::{Block, Document, FigureId, Line, Picture};
use joistlight::typeset::pdf::Paper;
use joistlight::typeset::{html, pdf};
use joistlight::words::Language;
use std::collections::HashSet;

/// The sheets of a job as they are printed.
fn sheets(job: &Job, language: Language, ways: Ways) -> Vec<Document> {
    let all = joistlight::job::sheets::sheets(job, language, ways);
    all.into_iter().map(|it| it.document).collect()
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

#[test]
fn the_household_is_told_how_much_window_to_open() {
    let mut told = 0;
    with_demo(&mut |job, documents| {
        if job.plan.is_none() {
            return;
        }
        let flow = job.figure("airflow", "window area for the flow alone", "ft²");
        let flue = job.figure("backdraft", "window area for the limit, high speed", "ft²");
        let say = if flue > flow {
            "Windows to open at once, clear opening in all: at least {area}. With less, the fan can draw burnt gas back down a flue."
        } else {
            "Windows to open at once, clear opening in all: about {area}."
        };
        told += 1;
        let customer = documents.last().unwrap();
        let begin = customer
            .language
            .say(say)
            .split("{area}")
            .next()
            .unwrap()
            .to_owned();
        let line = customer.blocks.iter().find_map(|block| match block {
            Block::Cautions { entries, .. } => {
                entries.iter().find(|it| it.text().starts_with(&begin))
            }
            _ => None,
        });
        let line = line.unwrap_or_else(|| panic!("{begin}"));
        let most = if flue > flow { flue } else { flow }.unwrap();
        assert!(line.figures().count() == 1 && most > 0.0, "{}", line.text());
    });
    assert_eq!(told, 4, "whole and cut, in two languages");
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

/// Whether a number stands in a text with a unit behind it.
fn has_quantity(text: &str) -> bool {
    const UNITS: &[&str] = &[
        "\"", "'", "in", "in²", "in³", "ft", "ft²", "ft³", "mm", "cm", "m", "m²", "cfm", "lb",
        "psf", "psi", "hp", "A", "V", "Pa", "°F", "°C", "%", "fpm",
    ];
    let behind = |at: usize| {
        let rest = text[at..].trim_start_matches([' ', '\u{202f}', '\u{a0}']);
        UNITS.iter().any(|unit| {
            let after = rest.strip_prefix(unit);
            after.is_some_and(|it| !it.starts_with(|c: char| c.is_alphanumeric()))
        })
    };
    text.char_indices()
        .any(|(at, letter)| letter.is_ascii_digit() && behind(at + 1))
}

#[test]
fn no_number_with_a_unit_stands_without_its_entry() {
    for (text, is) in [
        ("50 15/16\"", true),
        ("the dam stands 4 in high", true),
        ("8 ft", true),
        ("96\u{202f}°F", true),
        ("1 inch", false),
        ("2 × 6", false),
        ("hole 5, the middle", false),
        ("3 and a ground", false),
    ] {
        assert_eq!(has_quantity(text), is, "{text}");
    }
    // What stands on every sheet alike is no figure of this house: whole sentences and names of the sources.
    let fixed: String = [
        "job/sheets/crew",
        "job/sheets/customer",
        "job/sheets/electrician",
        "job/sheets/labels",
        "job/sheets/permit",
        "job/sheets/vent_work",
        "trade/vent_area",
    ]
    .map(|name| {
        let file = format!("{}/src/{name}.rs", env!("CARGO_MANIFEST_DIR"));
        std::fs::read_to_string(file).unwrap()
    })
    .concat();
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let (mut told, mut bare) = (0, Vec::new());
    for chosen in demo_choices() {
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).unwrap();
        let cites: Vec<&str> = job
            .findings()
            .flat_map(|it| it.sources)
            .map(|it| it.cite)
            .collect();
        // “Drop, share of 120 V” is a name; its figure stands beside it.
        let names: HashSet<&str> = job
            .findings()
            .flat_map(|it| &it.figures)
            .map(|it| it.name)
            .collect();
        for tape in [Tape::Sixteenth, Tape::Millimetre] {
            let ways = Ways {
                tape,
                ..Ways::default()
            };
            for document in sheets(&job, Language::English, ways) {
                let explained: HashSet<FigureId> =
                    document.origins.iter().map(|it| it.id).collect();
                let mut look = |line: &Line| {
                    let text = line.text();
                    // The documents that a rule leans on stand under the rule's own entry.
                    if !has_quantity(&text)
                        || fixed.contains(&format!("\"{text}\""))
                        || names.contains(&*text)
                        || cites.iter().any(|cite| text.contains(cite))
                    {
                        return;
                    }
                    told += 1;
                    if !line.figures().any(|id| explained.contains(&id)) {
                        bare.push(format!("{}: {text}", document.name));
                    }
                };
                for block in &document.blocks {
                    match block {
                        Block::Table(table) => {
                            // A row that is an entry itself leads to nothing further.
                            let rows = table.rows.iter().filter(|it| it.explains.is_none());
                            rows.flat_map(|it| &it.cells).for_each(&mut look);
                        }
                        Block::Heading { text, .. }
                        | Block::Paragraph(text)
                        | Block::Note(text) => look(text),
                        Block::List { entries, .. }
                        | Block::Cautions { entries, .. }
                        | Block::Notice { entries, .. } => entries.iter().for_each(&mut look),
                        Block::Picture(picture) => picture.key.iter().for_each(&mut look),
                        Block::NewPage => {}
                    }
                }
            }
        }
    }
    bare.sort();
    bare.dedup();
    assert!(bare.is_empty(), "{} of {told}: {bare:#?}", bare.len());
    assert!(told > 1000, "{told}");
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
    for block in &document.blocks {
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
            Block::Paragraph(text) | Block::Note(text) => rows.push(text.text()),
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
                "222 in² net free anywhere in the attic",
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
fn the_permit_desk_gets_every_finding_with_its_section_and_figures() {
    with_demo(&mut |job, documents| {
        let permit = &documents[3];
        let said = |text: &'static str| permit.language.say(text);
        let glance: Vec<Vec<String>> = permit
            .blocks
            .iter()
            .filter_map(|it| match it {
                Block::Table(table) if table.columns.len() == 3 => Some(&table.rows),
                _ => None,
            })
            .flatten()
            .map(|row| row.cells.iter().map(Line::text).collect())
            .collect();
        let mut count = 0;
        for finding in job.findings() {
            count += 1;
            let (title, outcome) = (said(finding.title), said(finding.outcome.label()));
            let row = glance.iter().find(|it| it[0].starts_with(title));
            let row = row.unwrap_or_else(|| panic!("{title}: not at a glance"));
            assert_eq!(row[1], outcome, "{title}");
            for source in finding.sources {
                assert!(row[2].contains(source.cite), "{title}: {row:?}");
            }
            // Its own part: from its heading to the next one.
            let mut part = permit.blocks.iter().skip_while(|it| {
                !matches!(it, Block::Heading { level: 3, text } if text.text() == format!("{title}: {outcome}"))
            });
            assert!(part.next().is_some(), "{title}: no part of its own");
            let part: Vec<&Block> = part
                .take_while(|it| !matches!(it, Block::Heading { .. } | Block::NewPage))
                .collect();
            let cells: Vec<&Line> = part
                .iter()
                .filter_map(|it| match it {
                    Block::Table(table) => Some(table.rows.iter().flat_map(|row| &row.cells)),
                    _ => None,
                })
                .flatten()
                .collect();
            for figure in &finding.figures {
                let name = permit.language.find(figure.name).unwrap_or(figure.name);
                let at = cells.iter().position(|it| it.text() == name);
                let at = at.unwrap_or_else(|| panic!("{title}: no figure “{name}”"));
                let value = cells[at + 1].text();
                assert!(
                    value.contains(|c: char| c.is_ascii_digit()),
                    "{name}: {value}"
                );
            }
            let notes: Vec<String> = part
                .iter()
                .filter_map(|it| match it {
                    Block::Note(line) => Some(line.text()),
                    _ => None,
                })
                .collect();
            for source in finding.sources {
                assert!(
                    notes.iter().any(|it| it.contains(source.cite)),
                    "{title}: {notes:?}"
                );
            }
        }
        assert!(count > 25, "{count}");
        assert_eq!(glance.len(), count);
    });
}

/// A drawing of a sheet by its English title.
fn picture<'a>(document: &'a Document, title: &str) -> &'a Picture {
    let pictures = document.blocks.iter().filter_map(|it| match it {
        Block::Picture(picture) => Some(&**picture),
        _ => None,
    });
    let mut found = pictures.filter(|it| it.title.text() == title);
    found.next().unwrap_or_else(|| panic!("{title}"))
}

/// How wide and how high points lie apart.
fn extent(points: &[(f32, f32)]) -> (f32, f32) {
    let apart = |of: fn(&(f32, f32)) -> f32| {
        let all = points.iter().map(of);
        all.clone().fold(f32::MIN, f32::max) - all.fold(f32::MAX, f32::min)
    };
    (apart(|it| it.0), apart(|it| it.1))
}

/// The numbers in an SVG path.
fn numbers(path: &str) -> Vec<f32> {
    path.split(|c: char| !c.is_ascii_digit() && c != '.' && c != '-')
        .filter_map(|it| it.parse().ok())
        .collect()
}

#[test]
fn drawings_are_to_the_scale_that_their_bar_shows() {
    let survey = demo::survey().unwrap();
    let assessment = judged(&survey);
    let near = |a: f32, b: f32, by: f32| (a - b).abs() <= by;
    for chosen in &demo_choices()[..2] {
        let job = Job::new(&survey, fan::generic(), &assessment, chosen).unwrap();
        for tape in [Tape::Sixteenth, Tape::Millimetre] {
            let ways = Ways {
                tape,
                ..Ways::default()
            };
            let crew = &sheets(&job, Language::English, ways)[0];
            let page = html::write(crew);
            // The joists lie across the hall, so the opening's length lies across the drawing.
            let opening = (
                job.fan.opening.length.to_in() as f32,
                job.fan.opening.width.to_in() as f32,
            );
            for title in [
                "Opening on the ceiling",
                "Frame in the attic, seen from above",
            ] {
                let picture = picture(crew, title);
                let sheet = &picture.sheet;
                let (bar_px, bar) = sheet.bar;
                let px_per_in = bar_px / bar.to_in() as f32;
                let mut openings = sheet
                    .strokes
                    .iter()
                    .filter(|it| it.ink == Ink::Opening && it.closed);
                let (wide, high) = extent(&openings.next().expect("an opening").points);
                assert!(
                    near(wide, opening.0 * px_per_in, 0.01),
                    "{title}: {wide} px"
                );
                assert!(
                    near(high, opening.1 * px_per_in, 0.01),
                    "{title}: {high} px"
                );
                // 96 px to the inch of paper: so long is the bar on paper by the scale beside it.
                let on_paper = bar_px / 96.0;
                assert!(near(on_paper * sheet.one_to, bar.to_in() as f32, 0.001));
                assert!(
                    picture
                        .scale
                        .ends_with(&format!("1 : {}", sheet.one_to.round())),
                    "{}",
                    picture.scale
                );
                // The same in the file: the drawing is not stretched, and bar and opening have these lengths in it.
                let svg = page
                    .split("<svg ")
                    .find(|it| it.contains(&format!("aria-label=\"{title}\"")))
                    .expect("the drawing");
                let size = format!(
                    "{:.1} {:.1}\" width=\"{:.1}\" height=\"{:.1}\"",
                    sheet.width, sheet.height, sheet.width, sheet.height
                );
                assert!(svg.contains(&format!("viewBox=\"0 0 {size}")), "{title}");
                let drawn = svg
                    .split("<path class=\"opening\" d=\"")
                    .nth(1)
                    .expect("an opening");
                let points: Vec<(f32, f32)> = numbers(drawn.split('"').next().unwrap())
                    .chunks(2)
                    .map(|it| (it[0], it[1]))
                    .collect();
                let (wide, high) = extent(&points);
                assert!(
                    near(wide, opening.0 * px_per_in, 0.11)
                        && near(high, opening.1 * px_per_in, 0.11)
                );
                // The bar's outline is the last path: M x y, h length …
                let bar_path = svg.rsplit("<path d=\"").next().unwrap();
                let drawn = numbers(bar_path.split('"').next().unwrap())[2];
                assert!(
                    near(drawn, bar_px, 0.06),
                    "{title}: {drawn} px for {bar_px}"
                );
            }
        }
    }
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
        let documents = joistlight::job::sheets::sheets(&job, Language::English, Ways::default());
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
