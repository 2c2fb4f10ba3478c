//! From the start of the program to the first frame, the window's memory with 60 pictures in a survey, and the time
//! from a key to its pixels. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --features drive --bench window`. The window is drawn in software at 412 × 915 without a
//! display, so what a display server adds is not in the figures.

#[allow(dead_code)]
#[path = "../screens/driver.rs"]
mod driver;

use driver::Driver;
use joistlight::measure::Tape;
use joistlight::photo;
use joistlight::store::Store;
use joistlight::survey::{ItemId, Photo, Subject, Survey, When};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const SIZE: (u32, u32) = (412, 915);

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().expect("a moment")
}

/// A picture of the camera's size, each of its own.
fn picture(number: u32) -> Vec<u8> {
    let picture = image::RgbImage::from_fn(3264, 2448, |x, y| {
        let n = (x / 16 * 31 + y / 16 * 17 + number * 7919) % 256;
        image::Rgb([(n % 256) as u8, (x / 13 % 256) as u8, (y / 10 % 256) as u8])
    });
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut bytes, image::ImageFormat::Jpeg)
        .expect("a JPEG");
    bytes.into_inner()
}

/// The line of `/proc/self/status` that begins so, in kB.
fn memory(what: &str) -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    status
        .lines()
        .find_map(|line| {
            line.strip_prefix(what)?
                .split_whitespace()
                .next()?
                .parse()
                .ok()
        })
        .unwrap_or(0)
}

fn frame(driver: &Driver) {
    use slint::ComponentHandle;
    let pixels = driver.window.window().take_snapshot().expect("pixels");
    std::hint::black_box(pixels);
}

/// The program itself, in a process of its own.
fn child(data: &Path, what: &str) {
    driver::platform();
    let mut driver = Driver::open(data, SIZE);
    frame(&driver);
    println!("frame");
    let first = memory("VmRSS:");
    if what == "pictures" {
        driver.tap("Pictures");
        frame(&driver);
        for _ in 0..200 {
            driver.wheel_in(None, -300.0);
            frame(&driver);
        }
        println!("{first} {} {}", memory("VmRSS:"), memory("VmHWM:"));
    }
}

fn median(times: &mut [Duration]) -> f64 {
    times.sort();
    times[times.len() / 2].as_secs_f64() * 1e3
}

fn run(data: &Path, what: &str) -> (Duration, String) {
    use std::io::{BufRead, BufReader, Read};
    let begun = Instant::now();
    let mut child = Command::new(std::env::current_exe().expect("this program"))
        .args(["child", what])
        .arg(data)
        .stdout(Stdio::piped())
        .spawn()
        .expect("a process");
    let mut out = BufReader::new(child.stdout.take().expect("its output"));
    let mut line = String::new();
    out.read_line(&mut line).expect("a line");
    let took = begun.elapsed();
    assert_eq!(line.trim(), "frame");
    let mut rest = String::new();
    out.read_to_string(&mut rest).expect("the rest");
    assert!(child.wait().expect("its end").success());
    (took, rest)
}

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let [_, word, what, data] = &arguments[..]
        && word == "child"
    {
        child(Path::new(data), what);
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let empty = folder.path().join("empty");
    let full = folder.path().join("full");
    for data in [&empty, &full] {
        std::fs::create_dir_all(data).expect("a folder");
    }
    {
        let store = Store::open(&full).expect("a store");
        let survey = Survey::begin(uuid::Uuid::new_v4(), now(), Tape::default());
        let id = survey.id;
        let mut open = store.begin(survey).expect("a survey");
        for number in 0..60 {
            let taken = photo::take_in_bytes(&picture(number), "made here").expect("a picture");
            let photo = Photo {
                id: ItemId(0),
                subject: Subject::Joists,
                spot: None,
                item: None,
                remark: None,
                sha256: taken.sha256.to_string(),
                width: taken.width,
                height: taken.height,
                taken_at: None,
                strokes: Vec::new(),
            };
            open.add_photo(now(), &taken.jpeg, &taken.thumbnail, photo)
                .expect("kept");
        }
        drop(open);
        store.note_open(Some(id)).expect("noted");
    }
    for (name, data) in [
        ("an empty store", &empty),
        ("a survey with 60 pictures", &full),
    ] {
        let mut times: Vec<Duration> = (0..15).map(|_| run(data, "start").0).collect();
        println!(
            "start to first frame, {name:<26} median {:6.1} ms",
            median(&mut times)
        );
    }
    let (_, figures) = run(&full, "pictures");
    let figures: Vec<f64> = figures
        .split_whitespace()
        .filter_map(|it| it.parse::<f64>().ok())
        .map(|kb| kb / 1024.0)
        .collect();
    if let [first, after, most] = figures[..] {
        println!(
            "memory: {first:.1} MiB at the first frame; {after:.1} MiB after all 60 pictures were scrolled by, at most {most:.1} MiB"
        );
    }
}
