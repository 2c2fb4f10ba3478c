//! The sheets in a real browser (Chromium, headless) and their PDFs in poppler.
//!
//! The browser lays each sheet out at the width that Letter and A4 leave between the margins and says whether
//! anything reaches beyond; then it prints each sheet on both papers, and poppler says where the words came to lie.
//! Of our own PDFs poppler says which fonts are inside, reads the text back and draws the pages. What is drawn is kept
//! under `target/outside/sheets`, to be looked at.

use joistlight::demo;
use joistlight::job::sheets::{Edition, sheets};
use joistlight::job::{Chosen, Job};
use joistlight::rules::{Framing, assess};
use joistlight::survey::Ways;
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::typeset::document::{Block, Document};
use joistlight::typeset::pdf::Paper;
use joistlight::typeset::{html, pdf};
use joistlight::words::Language;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Whether a program of Debian's is there, which `tests/run` installs; where that runs, its absence is a failure.
fn has(program: &str, package: &str) -> bool {
    let paths = std::env::var_os("PATH").unwrap_or_default();
    let there = std::env::split_paths(&paths).any(|it| it.join(program).is_file());
    if !there {
        let must = std::env::var_os("JOISTLIGHT_TEST_ALL").is_some();
        assert!(
            !must,
            "{program} is missing (Debian: apt-get install {package})"
        );
        // Past the harness, which keeps what a test that passes prints.
        let note =
            format!("{program} is not installed ({package}): the checks with it are left out\n");
        let _ = std::io::stderr().write_all(note.as_bytes());
    }
    there
}

fn chromium() -> bool {
    has("chromium", "chromium")
}

/// All its programs come in one package.
fn poppler() -> bool {
    has("pdftotext", "poppler-utils")
}

fn run(command: &mut Command) -> String {
    let output = command
        .output()
        .unwrap_or_else(|error| panic!("{command:?}: {error}"));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{command:?} failed:\n{text}\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    text
}

fn browser(profile: &Path) -> Command {
    let mut command = Command::new("chromium");
    command
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-first-run",
        ])
        .arg(format!("--user-data-dir={}", profile.display()));
    command
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/outside/sheets")
        .join(name);
    std::fs::create_dir_all(&folder).expect("target/outside/sheets");
    folder
}

/// The demo's house, built with joists whole and with joists cut, not fitting and not settled, in both languages.
fn documents() -> Vec<(String, Document)> {
    let survey = demo::survey().expect("the demo's survey");
    let assessment = assess(&survey, fan::generic(), &Codes::default());
    let mut all = Vec::new();
    for (name, spot, fan_id, framing) in [
        ("whole", 1, Some("direct-30"), Some(Framing::Whole)),
        ("cut", 1, Some("belt-36"), Some(Framing::Cut)),
        ("none", 2, None, None),
        ("open", 3, None, None),
    ] {
        let chosen = Chosen {
            spot: Some(spot),
            fan: fan_id.map(str::to_owned),
            framing,
        };
        let job = Job::new(&survey, fan::generic(), &assessment, &chosen).expect("a job");
        for language in Language::ALL {
            let sheets = sheets(&job, *language, Ways::default(), &Edition::default());
            for document in sheets.documents {
                all.push((
                    format!("{name}-{}-{}", language.code(), document.name),
                    document,
                ));
            }
        }
    }
    all
}

/// The two papers: name, width between margins of 14 mm in px, width and height in points.
const PAPERS: [(&str, Paper, f64, [f64; 2]); 2] = [
    ("letter", Paper::Letter, 816.0 - 105.8, [612.0, 792.0]),
    ("a4", Paper::A4, 793.7 - 105.8, [595.3, 841.9]),
];

#[test]
fn nothing_reaches_beyond_the_paper_in_a_browser() {
    if !chromium() {
        return;
    }
    let folder = folder("screen");
    let mut frames = String::new();
    let mut count = 0;
    for (name, document) in documents() {
        // As on paper: what the style says for print counts everywhere.
        let page = html::write(&document).replace("@media print", "@media all");
        let page = page.replace('&', "&amp;").replace('"', "&quot;");
        for (paper, _, width, _) in PAPERS {
            count += 1;
            frames += &format!(
                "<iframe data-name=\"{name} on {paper}\" style=\"width:{width}px;height:3000px;border:0\" srcdoc=\"{page}\"></iframe>\n"
            );
        }
    }
    // Each frame reports what reaches out to the right, and how many drawings it shows.
    let script = r#"
        addEventListener("load", () => {
            const report = [];
            for (const frame of document.querySelectorAll("iframe")) {
                const page = frame.contentDocument, edge = page.documentElement.clientWidth;
                const out = [];
                for (const it of page.body.querySelectorAll("*")) {
                    const box = it.getBoundingClientRect();
                    if (it.tagName === "title") continue;
                    const drawing = it.ownerSVGElement;
                    if (drawing) {
                        const paper = drawing.getBoundingClientRect();
                        if (box.left < paper.left - 1 || box.right > paper.right + 1 || box.top < paper.top - 1
                            || box.bottom > paper.bottom + 1)
                            out.push("out of its drawing: " + it.tagName + " " + it.textContent);
                    } else if (box.right > edge + 0.6 || it.scrollWidth > it.clientWidth + 1 && it.clientWidth > 0)
                        out.push(it.tagName + " " + box.right.toFixed(1) + " of " + edge + ": " + it.textContent.slice(0, 40));
                }
                let small = 0, drawings = 0;
                for (const it of page.querySelectorAll("figure > svg")) {
                    drawings += 1;
                    const box = it.getBoundingClientRect();
                    const lines = it.querySelectorAll("path").length;
                    if (box.width < 150 || box.height < 80 || lines < 2) small += 1;
                }
                const words = page.body.innerText.length;
                report.push([frame.dataset.name, drawings, small, words, out.slice(0, 5).join(" | ")].join("\t"));
            }
            document.body.replaceChildren();
            document.body.textContent = "REPORT\n" + report.join("\n") + "\nEND";
        });
    "#;
    let page = format!(
        "<!DOCTYPE html><meta charset=\"utf-8\"><body>{frames}<script>{script}</script></body>"
    );
    let file = folder.join("all.html");
    std::fs::write(&file, page).expect("the page of frames");
    let profile = tempfile::tempdir().expect("a profile");
    let dom = run(browser(profile.path())
        .args(["--virtual-time-budget=20000", "--dump-dom"])
        .arg(format!("file://{}", file.display())));
    let report = dom
        .split("REPORT\n")
        .nth(1)
        .and_then(|it| it.split("\nEND").next())
        .unwrap_or_else(|| panic!("no report in: {}", &dom[..dom.len().min(500)]));
    let mut seen = 0;
    for line in report.lines() {
        let parts: Vec<&str> = line.split('\t').collect();
        let [name, drawings, small, words, out] = parts[..] else {
            panic!("{line}");
        };
        seen += 1;
        assert_eq!(out, "", "{name}");
        assert_eq!(small, "0", "{name}: drawings too small to be seen");
        assert!(words.parse::<usize>().expect("a count") > 500, "{name}");
        let built = name.starts_with("whole") || name.starts_with("cut");
        let expected = match (name.contains("-crew"), name.contains("-permit"), built) {
            (true, _, true) => "3",
            (true, _, false) | (_, true, true) => "2",
            (_, true, false) => "1",
            _ => "0",
        };
        assert_eq!(drawings, expected, "{name}");
    }
    assert_eq!(seen, count);
    println!("{seen} pages laid out by the browser, nothing beyond their paper");
}

/// A page's size, and its words: left, top, right and bottom of each, and the word.
type PageOfWords = ([f64; 2], Vec<([f64; 4], String)>);

/// The words of a PDF with their boxes, page by page.
fn words(file: &Path) -> Vec<PageOfWords> {
    let text = run(Command::new("pdftotext").arg("-bbox").arg(file).arg("-"));
    let number = |line: &str, name: &str| -> f64 {
        let from = line.find(&format!("{name}=\"")).expect("an attribute") + name.len() + 2;
        line[from..]
            .split('"')
            .next()
            .expect("its end")
            .parse()
            .expect("a number")
    };
    let mut pages = Vec::new();
    for line in text.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(([number(line, "width"), number(line, "height")], Vec::new()));
        } else if line.starts_with("<word ") {
            let edges = ["xMin", "yMin", "xMax", "yMax"].map(|it| number(line, it));
            let word = line
                .split('>')
                .nth(1)
                .and_then(|it| it.split('<').next())
                .unwrap_or("");
            pages
                .last_mut()
                .expect("a page")
                .1
                .push((edges, word.to_owned()));
        }
    }
    pages
}

#[test]
fn a_browser_prints_every_sheet_on_both_papers() {
    if !chromium() || !poppler() {
        return;
    }
    let folder = folder("printed");
    let profile = tempfile::tempdir().expect("a profile");
    for (name, document) in documents() {
        // Two of the four jobs are enough to print; the others are shorter forms of the same.
        if !name.starts_with("cut-en") && !name.starts_with("open-es") {
            continue;
        }
        for (paper, _, _, size) in PAPERS {
            let page =
                html::write(&document).replace("@page {", &format!("@page {{ size: {paper};"));
            let file = folder.join(format!("{name}-{paper}.html"));
            std::fs::write(&file, page).expect("a page");
            let printed = file.with_extension("pdf");
            run(browser(profile.path())
                .arg("--no-pdf-header-footer")
                .arg(format!("--print-to-pdf={}", printed.display()))
                .arg(format!("file://{}", file.display())));
            let pages = words(&printed);
            assert!(!pages.is_empty());
            for (number, (found, words)) in pages.iter().enumerate() {
                assert!(
                    (found[0] - size[0]).abs() < 2.0 && (found[1] - size[1]).abs() < 2.0,
                    "{found:?}"
                );
                for ([left, top, right, bottom], word) in words {
                    // The margin of 10 mm is 28.3 pt; the browser may round a word's box, and a tall word's begins
                    // above its line.
                    let inside = *left > 26.8
                        && *right < found[0] - 26.8
                        && *top > 18.6
                        && *bottom < found[1] - 18.6;
                    assert!(
                        inside,
                        "{name} on {paper}, page {}: “{word}” at {left} to {right}",
                        number + 1
                    );
                }
            }
        }
    }
}

#[test]
fn the_pdfs_have_their_fonts_inside_and_say_what_the_pages_say() {
    if !poppler() {
        return;
    }
    let folder = folder("pdf");
    let squeeze = |text: &str| -> String { text.split_whitespace().collect() };
    let mut lines_in_all = 0;
    let mut found_in_all = 0;
    for (name, document) in documents() {
        for (paper, size_of, _, size) in PAPERS {
            let file = folder.join(format!("{name}-{paper}.pdf"));
            let bytes = pdf::write(&document, size_of).expect("a PDF");
            std::fs::write(&file, bytes).expect("a file");
            let fonts = run(Command::new("pdffonts").arg(&file));
            let rows: Vec<&str> = fonts.lines().skip(2).collect();
            assert_eq!(rows.len(), 2, "{name}: {fonts}");
            for row in rows {
                // Columns: name, type, encoding, embedded, subset, Unicode, object.
                let columns: Vec<&str> = row.split_whitespace().collect();
                let flags = &columns[columns.len() - 5..columns.len() - 2];
                assert!(
                    row.contains("RobotoCondensed") && flags == ["yes", "yes", "yes"],
                    "{name}: {row}"
                );
            }
            for (number, (found, words)) in words(&file).iter().enumerate() {
                assert!((found[0] - size[0]).abs() < 1.0 && (found[1] - size[1]).abs() < 1.0);
                assert!(!words.is_empty(), "{name}, page {} is empty", number + 1);
                for ([left, _, right, bottom], word) in words {
                    let inside =
                        *left > 30.0 && *right < found[0] - 30.0 && *bottom < found[1] - 20.0;
                    assert!(
                        inside,
                        "{name} on {paper}, page {}: “{word}” at {left} to {right}",
                        number + 1
                    );
                }
            }
            // In the order in which it was set, the text is that of the document.
            let text = squeeze(&run(Command::new("pdftotext")
                .arg("-raw")
                .arg(&file)
                .arg("-")));
            let mut lost = Vec::new();
            for line in document.lines() {
                let line = squeeze(&line.text().replace('\u{202f}', " "));
                if line.is_empty() {
                    continue;
                }
                lines_in_all += 1;
                if text.contains(&line) {
                    found_in_all += 1;
                } else {
                    lost.push(line);
                }
            }
            // A cell that goes on on the next page has the foot of its page within.
            assert!(
                lost.len() * 50 <= document.lines().len(),
                "{name}: {lost:#?}"
            );
        }
    }
    println!("{found_in_all} of {lines_in_all} lines read back whole");
}

/// Dots to the inch at which PDFs are drawn.
const DPI: f32 = 50.0;

/// A page as it was drawn, grey by grey.
struct Page {
    greys: Vec<u8>,
}

/// Draws a PDF's pages.
fn draw(document: &Document, folder: &Path, name: &str) -> Vec<Page> {
    let file = folder.join(format!("{name}.pdf"));
    std::fs::write(&file, pdf::write(document, Paper::Letter).expect("a PDF")).expect("a file");
    let root = folder.join(name);
    run(Command::new("pdftoppm")
        .args(["-r", &DPI.to_string(), "-gray"])
        .arg(&file)
        .arg(&root));
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder")
        .map(|it| it.expect("an entry").path())
        .filter(|it| {
            let file = it.file_name().unwrap_or_default().to_string_lossy();
            file.starts_with(&format!("{name}-")) && file.ends_with(".pgm")
        })
        .collect();
    files.sort();
    let page = |file: &PathBuf| {
        // P5, width and height, 255, each behind a line break or blank; then the greys.
        let bytes = std::fs::read(file).expect("a page");
        let mut parts = bytes.splitn(5, |it| it.is_ascii_whitespace());
        let greys = parts.nth(4).expect("the greys").to_vec();
        Page { greys }
    };
    files.iter().map(page).collect()
}

#[test]
fn the_pdfs_can_be_drawn_and_their_drawings_are_seen() {
    if !poppler() {
        return;
    }
    let folder = folder("drawn");
    let mut seen = 0;
    for (name, document) in documents() {
        if !name.ends_with("en-crew") || name.starts_with("none") || name.starts_with("open") {
            continue;
        }
        // Pages of an earlier run may be more than now.
        let folder = folder.join(&name);
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).expect("a folder");
        let whole = draw(&document, &folder, "whole");
        for (number, page) in whole.iter().enumerate() {
            let dark = page.greys.iter().filter(|it| **it < 160).count();
            let share = dark as f64 / page.greys.len() as f64;
            assert!(
                (0.001..0.3).contains(&share),
                "{name}, page {}: {share}",
                number + 1
            );
        }
        seen += 1;
    }
    assert_eq!(seen, 2, "two jobs");
}

/// A ruler on the paper: the opening's heavy outline, as poppler reads it out of the PDF, is as long as the drawing's scale
/// says, to 0.2 %.
#[test]
fn on_paper_the_opening_is_as_long_as_its_scale_says() {
    if !poppler() {
        return;
    }
    let folder = folder("ruler");
    let mut measured = 0;
    for (name, document) in documents() {
        let sizes = match &name[..] {
            "whole-en-crew" => [30.0, 30.0],
            "cut-en-crew" => [36.0, 36.0],
            _ => continue,
        };
        let blocks = document.all_blocks();
        let picture = blocks.iter().find_map(|it| match it {
            Block::Picture(picture) => Some(picture),
            _ => None,
        });
        let one_to = f64::from(picture.expect("the opening").sheet.one_to);
        let file = folder.join(format!("{name}.pdf"));
        std::fs::write(&file, pdf::write(&document, Paper::Letter).expect("a PDF"))
            .expect("a file");
        let svg = run(Command::new("pdftocairo")
            .args(["-svg", "-f", "1", "-l", "1"])
            .arg(&file)
            .arg("-"));
        // 2.7 px of line are 2.025 points.
        let outline = svg
            .lines()
            .find(|it| it.contains("stroke-width:2.025;"))
            .unwrap_or_else(|| panic!("{name}: no heavy outline"));
        let path = outline
            .split(" d=\"")
            .nth(1)
            .and_then(|it| it.split('"').next());
        let numbers: Vec<f32> = path
            .expect("a path")
            .split_whitespace()
            .filter_map(|it| it.parse().ok())
            .collect();
        let points: Vec<(f32, f32)> = numbers.chunks_exact(2).map(|it| (it[0], it[1])).collect();
        for (points, should) in [
            (spread(&points, |it| it.0), sizes[0]),
            (spread(&points, |it| it.1), sizes[1]),
        ] {
            let house = f64::from(points) / 72.0 * one_to;
            println!("{name} at 1 : {one_to}: {house:.3} in for {should}");
            assert!((house / should - 1.0).abs() < 0.002, "{name}: {house}");
            measured += 1;
        }
    }
    assert_eq!(measured, 4);
}

/// How far apart the first and the last lie.
fn spread(points: &[(f32, f32)], of: fn(&(f32, f32)) -> f32) -> f32 {
    let all = points.iter().map(of);
    all.clone().fold(f32::MIN, f32::max) - all.fold(f32::MAX, f32::min)
}
