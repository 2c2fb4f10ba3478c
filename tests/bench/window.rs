//! From the start of the program to the first frame, the window's memory with 60 pictures in a survey, the time from a
//! key to its pixels over a large survey, and the time of a frame while lists are scrolled. Prints figures; nothing is
//! asserted.
//!
//! Run with `cargo bench --features drive --bench window`. The window is drawn in software at 412 × 915 without a
//! display, so what a display server adds is not in the figures. Times from a key are those of a real window: each
//! frame draws into the buffer of the one before what has changed since; and, as the worst there can be, everything.

#[allow(dead_code)]
#[path = "../screens/driver.rs"]
mod driver;
#[allow(dead_code)]
#[path = "large.rs"]
mod large;

use driver::Driver;
use joistlight::app::clock::Clock;
use joistlight::app::place::Key;
use joistlight::app::session::{MenuItem, View};
use joistlight::app::{App, FieldAdapter, KeypadAdapter, NavAdapter, Options, PlaceAdapter};
use joistlight::measure::Tape;
use joistlight::photo;
use joistlight::store::Store;
use joistlight::survey::{FieldRef, ItemId, Photo, Subject, Survey, When};
use slint::platform::software_renderer::{
    MinimalSoftwareWindow, PremultipliedRgbaColor, RepaintBufferType,
};
use slint::platform::{Key as Board, Platform, WindowAdapter, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, PhysicalSize};
use std::path::Path;
use std::process::{Command, Stdio};
use std::rc::Rc;
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

/// Milliseconds: the median, and what 99 of 100 stay under.
fn spread(mut times: Vec<Duration>) -> String {
    let middle = median(&mut times);
    let late = times[times.len() * 99 / 100].as_secs_f64() * 1e3;
    format!(
        "median {middle:6.2} ms, 99 of 100 under {late:6.2} ms ({} frames)",
        times.len()
    )
}

/// A window without a display, as a program's own event loop would serve it.
struct Bare {
    window: Rc<MinimalSoftwareWindow>,
    begun: Instant,
}

impl Platform for Bare {
    fn create_window_adapter(&self) -> Result<Rc<dyn WindowAdapter>, slint::PlatformError> {
        Ok(self.window.clone())
    }

    fn duration_since_start(&self) -> Duration {
        self.begun.elapsed()
    }
}

/// The surveyor's window on a bare platform.
struct Drawn {
    app: Rc<App>,
    window: Rc<MinimalSoftwareWindow>,
    pixels: Vec<PremultipliedRgbaColor>,
}

impl Drawn {
    fn open(window: &Rc<MinimalSoftwareWindow>, data: &Path) -> Drawn {
        let options = Options {
            data: data.to_owned(),
            locale: "C".to_owned(),
            clock: Clock::unhurried(now),
        };
        let app = App::new(&options).expect("the window opens");
        app.window().show().expect("shown");
        window.set_size(PhysicalSize::new(SIZE.0, SIZE.1));
        let mut drawn = Drawn {
            app,
            window: window.clone(),
            pixels: vec![PremultipliedRgbaColor::default(); (SIZE.0 * SIZE.1) as usize],
        };
        for _ in 0..20 {
            drawn.rest();
            std::thread::sleep(Duration::from_millis(20));
        }
        drawn
    }

    /// What an event loop does after an event: timers, then pixels. Whether there was anything to draw.
    fn draw(&mut self) -> bool {
        slint::platform::update_timers_and_animations();
        let pixels = &mut self.pixels;
        self.window.draw_if_needed(|renderer| {
            renderer.render(pixels, SIZE.0 as usize);
        })
    }

    /// Draws until nothing moves any more.
    fn rest(&mut self) {
        self.app.rest(Duration::from_secs(10));
        for _ in 0..10 {
            self.draw();
        }
    }

    /// From a key to its pixels; none where nothing changed on the screen.
    fn key(&mut self, key: impl Into<slint::SharedString>) -> Option<Duration> {
        let text: slint::SharedString = key.into();
        let begun = Instant::now();
        for event in [
            WindowEvent::KeyPressed { text: text.clone() },
            WindowEvent::KeyReleased { text },
        ] {
            self.window.dispatch_event(event);
        }
        let drawn = self.draw();
        let took = begun.elapsed();
        self.rest();
        drawn.then_some(took)
    }

    /// A finger's way down a list and up again, one step a frame.
    fn scroll(&mut self, frames: usize) -> Vec<Duration> {
        let position = LogicalPosition::new(SIZE.0 as f32 / 2.0, SIZE.1 as f32 * 0.6);
        let mut times = Vec::new();
        let mut delta_y = -40.0;
        for step in 0..frames {
            let begun = Instant::now();
            self.window.dispatch_event(WindowEvent::PointerScrolled {
                position,
                delta_x: 0.0,
                delta_y,
            });
            if self.draw() {
                times.push(begun.elapsed());
            } else {
                // The end of the list.
                delta_y = -delta_y;
            }
            if step + 1 == frames / 2 {
                delta_y = 40.0;
            }
        }
        times
    }

    fn go(&self, view: View) {
        if self.app.session().view() == view {
            return;
        }
        self.app.window().global::<NavAdapter>().invoke_menu();
        let at = self
            .app
            .session()
            .menu()
            .iter()
            .position(|(item, _)| *item == MenuItem::Go(view))
            .expect("in the menu");
        self.app
            .window()
            .global::<KeypadAdapter>()
            .invoke_pick(i32::try_from(at).expect("a short menu"));
    }
}

/// The program in a process of its own, on a bare platform: keys over a large survey, or a list that is scrolled.
fn bare(data: &Path, what: &str) {
    let (what, kind) = what.split_once(' ').unwrap_or((what, ""));
    let buffer = match kind {
        "everything" => RepaintBufferType::NewBuffer,
        _ => RepaintBufferType::ReusedBuffer,
    };
    let window = MinimalSoftwareWindow::new(buffer);
    slint::platform::set_platform(Box::new(Bare {
        window: window.clone(),
        begun: Instant::now(),
    }))
    .expect("one platform");
    let mut drawn = Drawn::open(&window, data);
    println!("frame");
    match what {
        "list" => {
            drawn.go(View::Surveys);
            drawn.rest();
            println!("{}", spread(drawn.scroll(600)));
        }
        "album" => {
            drawn.go(View::Photos);
            drawn.rest();
            println!("{}", spread(drawn.scroll(600)));
        }
        _ => {
            let spot = drawn.app.session().open().expect("a survey").spot;
            let at = FieldRef::spot("attic.clear_height", spot);
            let window = drawn.app.window().clone_strong();
            window.global::<PlaceAdapter>().invoke_go_stop(2);
            let field = Key::Field(at).to_string();
            window.global::<FieldAdapter>().invoke_open(field.into());
            drawn.rest();
            assert!(drawn.app.session().sheet().is_some(), "the keypad is up");
            let mut digits = Vec::new();
            for _ in 0..60 {
                for digit in ["7", "5", " ", "1", "/", "2"] {
                    let took = drawn.key(digit);
                    digits
                        .push(took.unwrap_or_else(|| panic!("nothing was drawn after {digit:?}")));
                }
                // Several figures may go at once; with none left nothing changes.
                let before = digits.len();
                while let Some(took) = drawn.key(Board::Backspace) {
                    digits.push(took);
                }
                assert!(digits.len() > before, "nothing was taken back");
            }
            println!("{}", spread(digits));
        }
    }
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
        match what.as_str() {
            "start" | "pictures" => child(Path::new(data), what),
            _ => bare(Path::new(data), what),
        }
        return;
    }
    let folder = tempfile::tempdir().expect("a folder");
    let empty = folder.path().join("empty");
    let full = folder.path().join("full");
    let many = folder.path().join("many");
    let large = folder.path().join("large");
    for data in [&empty, &full, &many, &large] {
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
    {
        let store = Store::open(&many).expect("a store");
        for number in 0..500 {
            let mut survey = Survey::begin(uuid::Uuid::from_u128(number), now(), Tape::default());
            survey.arrival.job_reference = Some(format!("Job {number}"));
            survey.arrival.client = Some(format!("Client {number}"));
            survey.arrival.address = Some(format!("{number} Upper Meadow Lane, Larkmoor"));
            drop(store.begin(survey).expect("a survey"));
        }
    }
    {
        let store = Store::open(&large).expect("a store");
        let survey = large::survey(large::LARGE);
        let id = survey.id;
        drop(store.begin(survey).expect("a survey"));
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
    for (name, data, what) in [
        ("from a key to its pixels, large survey", &large, "keys"),
        ("a frame of scrolling 500 surveys", &many, "list"),
        ("a frame of scrolling 60 pictures", &full, "album"),
    ] {
        for kind in ["what changed", "everything"] {
            let (_, figures) = run(data, &format!("{what} {kind}"));
            println!("{name}, drawing {kind}: {}", figures.trim());
        }
    }
}
