//! Taking in 100, 200 and 1,000 bundles, against `sha256sum` and `unzip -t` on the same files in the same run; with
//! the peak of memory, and how both grow with the number of bundles. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench intake`, one number of bundles alone as
//! `… --bench intake -- 50`. Bundles have 20 pictures (about 17 MB), as a whole survey has: 200 of them and
//! the register that keeps them take about 7 GB of disk. Where all three numbers are compared they have 3, so that 1,000 of
//! them take less than 6 GB. The files are made under `target`, and each case's are removed before the next one's.

use image::{Rgb, RgbImage};
use joistlight::bundle::{self, Contents, Watch};
use joistlight::photo;
use joistlight::rules;
use joistlight::store::Store;
use joistlight::survey::{ItemId, Photo, Subject, Survey, Ways};
use joistlight::trade::{codes::Codes, fan};
use joistlight::words::Language;
use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Instant;

/// The pictures of a whole survey.
const WHOLE: u32 = 20;
/// The pictures of a bundle where numbers of bundles are compared.
const FEW: u32 = 3;

/// A picture with as much in it as a photograph of an attic: soft light, and grain.
fn picture(number: u32) -> Vec<u8> {
    let mut dice = number.wrapping_mul(0x9E37_79B9) | 1;
    let image = RgbImage::from_fn(2048, 1536, |x, y| {
        dice ^= dice << 13;
        dice ^= dice >> 17;
        dice ^= dice << 5;
        let wave = ((x as f32 / 97.0 + number as f32).sin() + (y as f32 / 61.0).cos()) * 45.0;
        let grain = (dice % 23) as f32;
        let value = (110.0 + wave + grain) as u8;
        Rgb([value, value.saturating_sub(20), value.saturating_sub(45)])
    });
    let mut bytes = Cursor::new(Vec::new());
    let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 90);
    image.write_with_encoder(encoder).expect("a JPEG");
    bytes.into_inner()
}

/// The demo's house again and again, each time another survey, with so many pictures.
fn make(folder: &Path, count: u32, pictures: u32) -> Vec<PathBuf> {
    let device = folder.join("device");
    let store = Store::open(&device).expect("a store");
    let survey = joistlight::demo::survey().expect("the demo's house");
    let mut open = store.begin(survey.clone()).expect("a survey");
    for number in 0..pictures {
        let taken = photo::take_in_bytes(&picture(number), "made here").expect("a picture");
        let photo = Photo {
            id: ItemId(0),
            subject: Subject::ALL[number as usize % Subject::ALL.len()],
            spot: None,
            item: None,
            remark: None,
            sha256: taken.sha256.to_string(),
            width: taken.width,
            height: taken.height,
            taken_at: None,
            strokes: Vec::new(),
        };
        open.add_photo(survey.changed, &taken.jpeg, &taken.thumbnail, photo)
            .expect("a picture");
    }
    let sent = folder.join("sent");
    std::fs::create_dir(&sent).expect("a folder");
    (0..count)
        .map(|number| {
            let mut survey: Survey = open.survey().clone();
            survey.id = uuid::Uuid::from_u128(0x4000_0000_8000_0000 + u128::from(number));
            survey.arrival.job_reference = Some(format!("Bench {number}"));
            let assessment = rules::assess(&survey, fan::generic(), &Codes::default());
            let contents = Contents {
                survey: &survey,
                assessment: &assessment,
                fans: fan::generic(),
                pictures: open.folder(),
                ways: Ways::default(),
                language: Language::English,
            };
            bundle::write(&contents, &sent, Watch::default()).expect("a bundle")
        })
        .collect()
}

/// Runs a program to its end; returns seconds, and the peak of its memory in MB.
fn run(command: &mut Command) -> (f64, f64) {
    let begun = Instant::now();
    #[expect(clippy::zombie_processes, reason = "waited for by wait4 below")]
    let child = command.stdout(Stdio::null()).spawn().expect("it starts");
    let mut status = 0;
    // SAFETY: plain numbers, for which nought is a value.
    let mut usage: libc::rusage = unsafe { std::mem::zeroed() };
    let id = libc::pid_t::try_from(child.id()).expect("a process id");
    // SAFETY: both point to values of this function.
    let waited = unsafe { libc::wait4(id, &mut status, 0, &mut usage) };
    assert!(waited == id && status == 0, "{command:?}: {status}");
    let seconds = begun.elapsed().as_secs_f64();
    (seconds, usage.ru_maxrss as f64 / 1024.0)
}

/// What one case came to.
struct Measured {
    bundles: u32,
    seconds: f64,
    ratio: f64,
    peak: f64,
}

/// Makes, checks and takes in so many bundles of so many pictures.
fn measure(count: u32, pictures: u32) -> Measured {
    let target = Path::new(env!("CARGO_MANIFEST_DIR")).join("target");
    let folder = tempfile::tempdir_in(target).expect("a folder");
    let files = make(folder.path(), count, pictures);
    let bytes: u64 = files
        .iter()
        .map(|file| std::fs::metadata(file).expect("a bundle").len())
        .sum();
    println!(
        "\n{count} bundles of {pictures} pictures, {:.0} MB altogether; load of the machine {}",
        bytes as f64 / 1e6,
        load()
    );
    // What was just written is no longer on its way to the disk, and both find it in the system's cache.
    settle();
    run(Command::new("sha256sum").args(&files));
    let (hashing, _) = run(Command::new("sha256sum").args(&files));
    let begun = Instant::now();
    for file in &files {
        run(Command::new("unzip").args(["-tqq"]).arg(file));
    }
    let testing = begun.elapsed().as_secs_f64();
    println!("sha256sum {hashing:6.2} s, unzip -t {testing:6.2} s");
    let register = folder.path().join("register");
    let program = env!("CARGO_BIN_EXE_joistlight");
    let mut first = None;
    for what in ["taking in", "once more"] {
        let mut intake = Command::new(program);
        intake.arg("intake").arg(folder.path().join("sent"));
        intake.arg("--register").arg(&register);
        let (seconds, peak) = run(&mut intake);
        let ratio = seconds / (hashing + testing);
        println!(
            "{what:<10}{seconds:6.2} s, {ratio:.2} times sha256sum and unzip -t; peak of memory {peak:.0} MB"
        );
        first.get_or_insert(Measured {
            bundles: count,
            seconds,
            ratio,
            peak,
        });
    }
    settle();
    first.expect("it was taken in")
}

/// Writes out what the system still holds, so that what follows is not charged with it.
fn settle() {
    // SAFETY: takes and gives nothing.
    unsafe { libc::sync() };
}

/// The machine's load of the last minute, where the system tells it.
fn load() -> String {
    let text = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    text.split(' ').next().unwrap_or("unknown").to_owned()
}

fn main() {
    if let Some(count) = std::env::args().find_map(|argument| argument.parse().ok()) {
        measure(count, WHOLE);
        return;
    }
    measure(200, WHOLE);
    println!(
        "\nnow {FEW} pictures a bundle instead of {WHOLE}, so that 1,000 bundles take less than 6 GB"
    );
    let all = [100, 200, 1000].map(|count| measure(count, FEW));
    println!();
    for pair in all.windows(2) {
        println!(
            "from {} to {} bundles: {:.1} times the time, {:.2} times the ratio, {:+.0} MB of memory",
            pair[0].bundles,
            pair[1].bundles,
            pair[1].seconds / pair[0].seconds,
            pair[1].ratio / pair[0].ratio,
            pair[1].peak - pair[0].peak
        );
    }
}
