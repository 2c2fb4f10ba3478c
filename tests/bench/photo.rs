//! What taking a picture in costs, beside what a well-known tool needs for the same work.
//!
//! ```text
//! cargo bench --no-default-features --features office --bench photo
//! ```
//!
//! Both run as child processes, by turns, and what counts is the processor time (user and system)
//! that the operating system noted for each: start, reading, decoding, scaling to 2048 pixels on
//! the long edge, turning upright, writing. Ours makes the thumbnail and two SHA-256 on top. The
//! other is `vipsthumbnail` (Debian package libvips-tools), once as it comes and once held to one
//! thread. Nothing fails here on a slow machine: it prints the ratio.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use joistlight::photo;

#[path = "../made/pictures.rs"]
mod pictures;

const RUNS: usize = 15;

fn main() {
    let args: Vec<OsString> = std::env::args_os().skip(1).collect();
    if let [flag, source, target] = args.as_slice()
        && flag == "--take-in"
    {
        let taken = photo::take_in(Path::new(source)).expect("the benchmark's picture");
        std::fs::write(target, &taken.jpeg).expect("the picture is written");
        std::fs::write(
            PathBuf::from(target).with_extension("thumb"),
            &taken.thumbnail,
        )
        .expect("the thumbnail is written");
        return;
    }

    let folder = tempfile::tempdir().expect("a folder for the pictures");
    let attic = pictures::jpeg(&pictures::attic(3264, 2448), 90);
    let mut sources = vec![
        (
            "made, 8 MP, lying upright",
            folder.path().join("upright.jpg"),
        ),
        (
            "made, 8 MP, lying on its side",
            folder.path().join("side.jpg"),
        ),
    ];
    std::fs::write(&sources[0].1, &attic).unwrap();
    let side = pictures::with_segments(&attic, &[(0xe1, pictures::orientation(6))]);
    std::fs::write(&sources[1].1, side).unwrap();
    let phone = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/photos/phone_8mp.jpg");
    if phone.is_file() {
        sources.push(("a phone's, 8 MP", phone));
    }

    let have_vips = Command::new("vipsthumbnail")
        .arg("--vips-version")
        .stdout(Stdio::null())
        .status()
        .is_ok_and(|status| status.success());
    if !have_vips {
        println!("vipsthumbnail is missing, so ours runs alone: apt-get install libvips-tools");
    }
    let target = folder.path().join("ours.jpg");
    let theirs = folder.path().join("theirs.jpg");
    for (name, source) in &sources {
        let bytes = std::fs::metadata(source).unwrap().len();
        println!("\n{name} ({bytes} bytes): median processor time of {RUNS} runs");
        let (mut ours, mut one_thread, mut as_it_comes) = (vec![], vec![], vec![]);
        for _ in 0..RUNS {
            let mut take_in = Command::new(std::env::current_exe().unwrap());
            ours.push(cpu_of(take_in.arg("--take-in").arg(source).arg(&target)));
            if have_vips {
                one_thread.push(cpu_of(vips(source, &theirs).env("VIPS_CONCURRENCY", "1")));
                as_it_comes.push(cpu_of(&mut vips(source, &theirs)));
            }
        }
        let ours = median(ours);
        println!("  joistlight                    {:6.1} ms", ms(ours));
        if have_vips {
            for (how, times) in [("one thread", one_thread), ("as it comes", as_it_comes)] {
                let time = median(times);
                println!(
                    "  vipsthumbnail, {how:<12}   {:6.1} ms   joistlight takes {:.2} of it",
                    ms(time),
                    ours.as_secs_f64() / time.as_secs_f64()
                );
            }
            let open = |path| image::open(path).unwrap().into_rgb8();
            println!(
                "  the two results               {:6.1} dB apart (PSNR); {} and {} bytes",
                pictures::psnr(&open(&target), &open(&theirs)),
                std::fs::metadata(&target).unwrap().len(),
                std::fs::metadata(&theirs).unwrap().len()
            );
        }
    }
}

fn vips(source: &Path, target: &Path) -> Command {
    let mut output = target.as_os_str().to_owned();
    output.push("[Q=85,strip]");
    let mut command = Command::new("vipsthumbnail");
    command
        .arg(source)
        .args(["--size", "2048x2048>", "--output"])
        .arg(output);
    command
}

/// Processor time that `command` takes, from what its parent is charged for ended children.
fn cpu_of(command: &mut Command) -> Duration {
    let before = children();
    let status = command.status().expect("the program starts");
    assert!(status.success(), "{command:?} failed");
    children() - before
}

fn children() -> Duration {
    let mut usage = std::mem::MaybeUninit::<libc::rusage>::zeroed();
    // SAFETY: `usage` is valid for writes, and all-zero bytes are a valid `rusage`.
    let usage = unsafe {
        assert_eq!(
            libc::getrusage(libc::RUSAGE_CHILDREN, usage.as_mut_ptr()),
            0
        );
        usage.assume_init()
    };
    let time = |t: libc::timeval| Duration::new(t.tv_sec as u64, t.tv_usec as u32 * 1000);
    time(usage.ru_utime) + time(usage.ru_stime)
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
