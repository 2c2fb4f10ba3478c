//! The office's window: a day's work by taps and keys, from an empty register.

use crate::driver::{DeskDriver, Driver, folder as pictures, platform};
use joistlight::app::desk::{Leaf, View};
use joistlight::bundle::{self, Contents, Watch};
use joistlight::demo::{self, Demo};
use joistlight::office::register::{Location, Register, Status, Wanted};
use joistlight::rules::{self, Verdict};
use joistlight::store::Store;
use joistlight::survey::{FieldRef, Survey, Ways, When};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::words::Language;
use slint::platform::{Key, WindowEvent};
use slint::{ComponentHandle, SharedString};
use std::fs;
use std::path::{Path, PathBuf};

const WIDE: (u32, u32) = (1280, 800);
const TALL: (u32, u32) = (800, 1280);

fn now() -> When {
    "2026-06-03T09:00:00-07:00".parse().unwrap()
}

/// Writes the bundle of a survey on a device.
fn send(survey: &Survey, pictures: &Path, into: &Path) -> PathBuf {
    let assessment = rules::assess(survey, fan::generic(), &Codes::default());
    let contents = Contents {
        survey,
        assessment: &assessment,
        fans: fan::generic(),
        pictures,
        ways: Ways::default(),
        language: Language::English,
    };
    bundle::write(&contents, into, Watch::default()).unwrap()
}

/// The demo's house handed over twice, a second house nobody measured, and a file that was cut off on its way.
struct Sent {
    folder: PathBuf,
    bundles: Vec<PathBuf>,
    torn: PathBuf,
}

fn sent(within: &Path) -> Sent {
    let Demo { device, bundle, .. } = demo::run(&within.join("demo")).unwrap();
    let folder = within.join("sent");
    fs::create_dir(&folder).unwrap();
    let first = folder.join(bundle.file_name().unwrap());
    fs::copy(&bundle, &first).unwrap();

    let store = Store::open(&device).unwrap();
    let mut open = store.survey(store.list().unwrap().0[0].id).unwrap();
    let spot = open.survey().spots[0].id;
    open.change(now(), |survey| {
        let ways = Ways::default();
        survey.type_in(
            FieldRef::house("arrival.client"),
            "Ada Invented-Quill",
            &ways,
        )?;
        survey.type_in(FieldRef::spot("attic.roof_height", spot), "62 1/2", &ways)
    })
    .unwrap();
    open.next_revision().unwrap();
    let second = send(open.survey(), open.folder(), &folder);

    let other = Store::open(&within.join("other")).unwrap();
    let mut survey = Survey::begin(uuid::Uuid::from_u128(7), now(), Default::default());
    for (field, text) in [
        ("arrival.job_reference", "FERN-2"),
        ("arrival.client", "Zoë Fernhill"),
        ("arrival.address", "2 Fern Row, Exampleville"),
        ("arrival.surveyor", "Mara Testwell"),
    ] {
        let at = FieldRef::house(field);
        survey.type_in(at, text, &Ways::default()).unwrap();
    }
    let mut open = other.begin(survey).unwrap();
    open.next_revision().unwrap();
    let third = send(open.survey(), open.folder(), &folder);

    let torn = folder.join("torn.zip");
    let whole = fs::read(&first).unwrap();
    fs::write(&torn, &whole[..whole.len() / 2]).unwrap();
    Sent {
        folder,
        bundles: vec![first, second, third],
        torn,
    }
}

impl DeskDriver {
    /// Types in place of what stands in a well.
    fn replace(&mut self, label: &str, text: &str) {
        self.tap(label);
        let window = self.window.window();
        let control = SharedString::from(Key::Control);
        window.dispatch_event(WindowEvent::KeyPressed {
            text: control.clone(),
        });
        window.dispatch_event(WindowEvent::KeyPressed { text: "a".into() });
        window.dispatch_event(WindowEvent::KeyReleased { text: "a".into() });
        window.dispatch_event(WindowEvent::KeyReleased { text: control });
        self.press(Key::Backspace);
        self.type_text(text);
    }

    /// Looks at the page on a desk and on a tablet held upright.
    fn look(&mut self, name: &str) {
        for size in [TALL, WIDE] {
            self.resize(size);
            self.snapshot(name);
        }
    }

    fn jobs(&self) -> Vec<String> {
        let desk = self.app.desk();
        let lines = desk.list().page.lines.iter();
        lines.map(|line| line.job.clone()).collect()
    }

    fn take_in(&mut self, path: &Path) {
        self.tap("Page: Take in");
        self.replace("Bundle or folder", path.to_str().unwrap());
        self.tap("Take in");
        self.wait("the intake's end", |d| {
            let desk = d.app.desk();
            !desk.intake().working && desk.intake().done > 0
        });
    }

    fn settled(&self, what: &str) {
        self.wait(what, |d| {
            let desk = d.app.desk();
            !desk.looked().is_some_and(|looked| looked.writing)
                && !desk.list().writing
                && !desk.again().working
        });
    }
}

/// Takes in what was sent on a day: two houses, one of them twice, and a torn file.
pub fn take_the_days_bundles(d: &mut DeskDriver, within: &Path) {
    let sent = sent(within);
    let intake = d.window.global::<joistlight::app::DeskIntakeAdapter>();
    intake.invoke_type_path(sent.folder.to_str().unwrap().into());
    intake.invoke_take_in();
    d.wait("the intake's end", |d| {
        let desk = d.app.desk();
        !desk.intake().working && desk.intake().sum.refused == 1
    });
}

fn register(data: &Path) -> Register {
    Register::open_existing(&Location::Folder(data.join("register"))).unwrap()
}

#[test]
fn the_office_does_a_days_work() {
    platform();
    let within = tempfile::tempdir().unwrap();
    let sent = sent(within.path());
    let data = within.path().join("desk");
    let mut d = DeskDriver::open_desk(&data, "C", WIDE);
    assert!(d.find("Page: Take in").is_some());
    d.look("desk-empty");
    d.tap("Who works here");
    d.type_text("Office One");

    // Taking in a folder of four files, one of them torn.
    d.take_in(&sent.folder);
    {
        let desk = d.app.desk();
        let sum = desk.intake().sum;
        assert_eq!((sum.new, sum.revisions, sum.refused), (2, 1, 1));
        let refused = &desk.intake().refused;
        assert_eq!(refused.len(), 1);
        assert!(refused[0].reason.contains("torn.zip"), "{:?}", refused[0]);
    }
    let aside = register(&data).refused().unwrap()[0].file;
    let aside = register(&data).vault().refused_path(&aside).unwrap();
    assert!(fs::read(aside).unwrap() == fs::read(&sent.torn).unwrap());
    assert!(d.find("torn.zip").is_some());
    d.look("desk-intake");

    // The list: searching, filtering, sorting.
    d.tap("Page: Register");
    assert_eq!(d.jobs().len(), 2);
    d.look("desk-list");
    d.tap("Search the register");
    d.type_text("fern exam");
    assert_eq!(d.jobs(), ["FERN-2"]);
    d.tap("All surveys again");
    assert_eq!(d.jobs().len(), 2);
    let verdict_of = |d: &DeskDriver, job: &str| {
        let desk = d.app.desk();
        let line = (desk.list().page.lines.iter()).find(|line| line.job == job);
        line.unwrap().summary.as_ref().unwrap().verdict
    };
    assert_eq!(verdict_of(&d, "DEMO-1"), Verdict::FitsWithWork);
    d.tap("Verdict: fits with work");
    assert_eq!(d.jobs(), ["DEMO-1"]);
    d.tap("Verdict: fits with work");
    d.tap("Verdict: not settled");
    assert_eq!(d.jobs(), ["FERN-2"]);
    d.tap("All surveys again");
    d.tap("More filters, order");
    d.tap("Order: Client");
    assert_eq!(d.jobs(), ["DEMO-1", "FERN-2"]);
    d.tap("Order: Client");
    assert_eq!(d.jobs(), ["FERN-2", "DEMO-1"]);
    d.tap("First day of visit");
    d.type_text("2026-13");
    assert!(d.app.desk().list().trouble.contains("2026-13"));
    d.replace("First day of visit", "2026-06-03");
    assert_eq!(d.jobs(), ["FERN-2"]);
    d.look("desk-filters");
    d.tap("All surveys again");
    d.tap("More filters, order");

    // One survey, by keys alone: search, Return goes to the list, Return opens.
    d.tap("Search the register");
    d.type_text("demo");
    d.press(Key::Return);
    d.press(Key::Return);
    assert_eq!(d.app.desk().view(), View::Survey);
    d.look("desk-survey");

    // Its status, with who and when.
    d.tap("Remark to keep with the next status");
    d.type_text("by telephone");
    d.tap("Status: quoted");
    let id = d.app.desk().looked().unwrap().line.survey;
    let statuses = register(&data).statuses(id).unwrap();
    assert_eq!(statuses.len(), 1);
    assert_eq!(statuses[0].status, Status::Quoted);
    assert_eq!(statuses[0].who, "Office One");
    assert_eq!(statuses[0].remark, "by telephone");

    // What changed between its revisions.
    d.tap("Leaf: Revisions");
    let changed = {
        let desk = d.app.desk();
        let looked = desk.looked().unwrap();
        assert_eq!(looked.revisions.len(), 2);
        let changes = &looked.changes.as_ref().unwrap().0;
        let fields: Vec<&str> = changes
            .changes
            .answers
            .iter()
            .map(|it| it.at.field)
            .collect();
        assert_eq!(fields, ["arrival.client", "attic.roof_height"]);
        // The answers, and every figure that they move.
        fields.len() + changes.figures.len()
    };
    let told = format!("{changed} things changed:");
    assert!(d.find(&told).is_some(), "{told}");
    d.look("desk-revisions");

    // A correction needs its reason, and stands beside what was captured.
    d.tap("Leaf: Answers");
    d.tap("Find an answer");
    d.type_text("roof height");
    let (at, name) = {
        let desk = d.app.desk();
        let survey = &desk.looked().unwrap().survey;
        let spot = &survey.spots[0];
        let at = FieldRef::spot("attic.roof_height", spot.id);
        (at, spot.name.clone().unwrap_or_else(|| "Spot 1".to_owned()))
    };
    let row = format!("{name} · Roof height at the mark");
    d.tap(&row);
    d.replace("Answer beside it", "5' 1\"");
    d.tap("Put it beside");
    let trouble = |d: &DeskDriver| {
        let desk = d.app.desk();
        let editing = desk.looked().unwrap().editing.clone();
        editing.map(|editing| editing.trouble)
    };
    assert_eq!(trouble(&d).unwrap(), "A correction needs its reason.");
    d.tap("Reason");
    d.type_text("measured again on the second visit");
    d.look("desk-correct");
    d.tap("Put it beside");
    assert_eq!(trouble(&d), None);
    let mut its_register = register(&data);
    let (corrected, made) = its_register.corrected(id).unwrap();
    assert_eq!(made.len(), 1);
    assert!(made[0].stands && made[0].who == "Office One");
    assert_eq!(corrected.answer(at).unwrap().to_string(), "61\"");
    let captured = its_register.current(id).unwrap();
    assert_eq!(captured.answer(at).unwrap().to_string(), "62 1/2\"");
    d.look("desk-answers");

    // Where the figures come from.
    d.tap("Leaf: Where figures come from");
    {
        let desk = d.app.desk();
        let looked = desk.looked().unwrap();
        assert_eq!(looked.leaf, Leaf::Figures);
        // The appendix, which tells each figure once for all sheets.
        assert_eq!(looked.sheets.len(), 1);
        let all = looked.sheets.iter().flat_map(|sheet| &sheet.figures);
        assert!(all.clone().count() > 20);
        assert!(all.into_iter().all(|figure| !figure.leans.is_empty()));
    }
    let first = d.app.desk().looked().unwrap().sheets[0].figures[0]
        .what
        .text();
    d.tap(&first);
    assert_eq!(d.app.desk().looked().unwrap().figure, Some(0));
    d.look("desk-figures");

    // The job pack in Spanish, and the bundle byte for byte.
    d.tap("Leaf: What it comes to");
    let out = within.path().join("out");
    d.replace("Folder to write into", out.to_str().unwrap());
    d.tap("Language of the sheets: Español");
    d.tap("Write the job pack");
    d.settled("the job pack");
    let written = d.app.desk().looked().unwrap().written.clone().unwrap();
    let pack = written.strip_prefix("Written: ").unwrap();
    let overview = fs::read_to_string(Path::new(pack).join("overview.html")).unwrap();
    assert!(overview.contains("lang=\"es\"") && overview.contains("De dónde vienen las cifras"));
    assert!(overview.contains("Office One"), "the correction is told");
    d.tap("Write the bundle as it came");
    d.settled("the bundle");
    let name = sent.bundles[1].file_name().unwrap();
    assert!(fs::read(out.join(name)).unwrap() == fs::read(&sent.bundles[1]).unwrap());
    d.look("desk-written");

    // Judging everything again, first to see, then for good.
    d.tap("Page: Judge again");
    d.tap("Energy code: California 2016 and later");
    // The smallest fan alone.
    let mut parts = fan::GENERIC.split("[[fan]]");
    let fans = [parts.next().unwrap(), parts.next().unwrap()].join("[[fan]]");
    let file = within.path().join("our fans.toml");
    fs::write(&file, fans).unwrap();
    d.replace("File of another fan list", file.to_str().unwrap());
    d.tap("See what would change");
    d.settled("the judgement");
    assert_eq!(d.app.desk().again().of, Some(2));
    assert!(d.app.desk().again().count > 0);
    assert_eq!(register(&data).criteria().codes, Codes::default());
    d.look("desk-again");
    d.tap("Judge so from now on");
    d.settled("the judgement for good");
    assert_ne!(register(&data).criteria().codes, Codes::default());

    // The list for other programs.
    d.tap("Page: Register");
    d.tap("All surveys again");
    d.tap("Write the list");
    for (form, name) in [("CSV", "our list.csv"), ("JSON Lines", "our list.jsonl")] {
        let file = out.join(name);
        d.tap(&format!("Form of the list: {form}"));
        d.replace("File to write", file.to_str().unwrap());
        d.tap("Write the file");
        d.settled("the list");
        let text = fs::read_to_string(&file).unwrap();
        let lines = text.lines().count();
        assert_eq!(lines, if form == "CSV" { 3 } else { 2 }, "{text}");
        assert!(text.contains("FERN-2") && text.contains("quoted"), "{text}");
    }
    d.look("desk-export");

    // Nothing of that is lost when it opens again, in Spanish this time.
    drop(d);
    let mut d = DeskDriver::open_desk(&data, "es_MX", WIDE);
    assert_eq!(d.app.desk().who(), "Office One");
    assert_eq!(d.jobs().len(), 2);
    d.look("desk-spanish-list");
    d.tap("DEMO-1 · Ada Invented-Quill");
    d.look("desk-spanish-survey");
    assert!(pictures().join("desk-list-1280x800.png").is_file());
}

#[test]
fn what_falls_on_the_window_and_what_arrives_comes_in() {
    platform();
    let within = tempfile::tempdir().unwrap();
    let sent = sent(within.path());
    let data = within.path().join("desk");
    let mut d = DeskDriver::open_desk(&data, "C", WIDE);
    d.app.let_fall(sent.bundles[0].clone());
    d.app.let_fall(sent.bundles[2].clone());
    d.wait("what fell on the window", |d| {
        let desk = d.app.desk();
        !desk.intake().working && desk.list().page.all == 2
    });
    assert_eq!(d.app.desk().view(), View::Intake);

    let arrivals = within.path().join("arrivals");
    fs::create_dir(&arrivals).unwrap();
    d.replace("Bundle or folder", arrivals.to_str().unwrap());
    d.tap("Watch this folder");
    assert!(d.app.desk().intake().watching.is_some());
    fs::copy(&sent.bundles[1], arrivals.join("second.zip")).unwrap();
    d.wait("what arrived", |d| d.app.desk().intake().sum.revisions == 1);
    d.tap("Watch this folder");
    assert!(d.app.desk().intake().watching.is_none());

    // By looking through folders.
    d.tap("Look through folders");
    assert!(d.find("second.zip").is_some());
    d.tap("To the folder above");
    d.look("desk-folders");
    assert!(d.find("arrivals/").is_some());
}

#[test]
fn a_register_that_cannot_be_opened_says_why_and_opens_once_it_can() {
    platform();
    let data = tempfile::tempdir().unwrap();
    let file = data.path().join("register/register.sqlite");
    fs::create_dir(file.parent().unwrap()).unwrap();
    let text = "something else altogether ".repeat(100);
    fs::write(&file, &text).unwrap();
    let mut d = DeskDriver::open_desk(data.path(), "C", WIDE);
    let trouble = d.app.desk().trouble().to_owned();
    assert!(trouble.ends_with("this file is no register."), "{trouble}");
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
    d.snapshot("desk-shut");
    fs::remove_file(&file).unwrap();
    d.tap("Try again");
    assert_eq!(d.app.desk().trouble(), "");
    assert!(d.find("Search the register").is_some());
}

#[test]
fn the_keys_alone_reach_everything_and_the_menu_opens_the_office() {
    platform();
    let data = tempfile::tempdir().unwrap();
    let mut surveyor = Driver::open(data.path(), (412, 915));
    surveyor.tap("menu");
    surveyor.tap("The office: intake and register");
    let desk = surveyor.app.desk().expect("the office's window is open");
    assert_eq!(desk.desk().view(), View::List);
    drop(surveyor);
    drop(desk);

    let mut d = DeskDriver::open_desk(data.path(), "C", WIDE);
    // By Tab and Return, without the mouse, in the order of the page.
    let press = |d: &mut DeskDriver, tabs: usize| {
        for _ in 0..tabs {
            d.press(Key::Tab);
        }
        d.press(Key::Return);
    };
    // Register, take in, judge again.
    press(&mut d, 3);
    assert_eq!(d.app.desk().view(), View::Again);
    // Who works here, 5 + 3 + 4 editions, the fan list, and then what would change.
    press(&mut d, 1 + 12 + 1 + 1);
    d.settled("the judgement");
    assert_eq!(d.app.desk().again().of, Some(0));
    d.press(Key::Escape);
    assert_eq!(d.app.desk().view(), View::List);
    let all = register(data.path()).list(&Wanted::default()).unwrap().all;
    assert_eq!(all, 0);
}
