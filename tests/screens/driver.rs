//! Drives the window by taps and typed keys, and writes what it shows as PNG.
//!
//! Time stands still unless a test lets it pass, so that every run sees the same pixels.

use i_slint_backend_testing::{
    AccessibleRole, ElementHandle, ElementRoot, TestingBackend, TestingBackendOptions,
    mock_elapsed_time,
};
use i_slint_core::item_tree::ParentItemTraversalMode;
use joistlight::app::desk::{self, DeskApp};
use joistlight::app::session::View;
use joistlight::app::{App, DeskWindow, MainWindow, Options};
use joistlight::office::register::Location;
use joistlight::survey::{Stop, When};
use slint::platform::{Key, PointerEventButton, WindowEvent};
use slint::private_unstable_api::re_exports::{AccessibleStringProperty, WindowInner};
use slint::{ComponentHandle, LogicalPosition, PhysicalSize, SharedString};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

/// The sizes at which pages are looked at: a small phone, a phone, a desktop window, a phone on its side,
/// a tablet.
pub const SIZES: [(u32, u32); 5] = [(360, 640), (412, 915), (1280, 800), (915, 412), (800, 1280)];

/// Gives this thread a platform that renders in software and has no display. Once a thread.
pub fn platform() {
    let backend = TestingBackend::new(TestingBackendOptions {
        mock_time: true,
        threading: false,
        renderer_name: Some("software".into()),
    });
    slint::platform::set_platform(Box::new(backend)).expect("one platform a thread");
}

/// Where the pictures go.
pub fn folder() -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .parent()
        .expect("target")
        .join("screens");
    std::fs::create_dir_all(&folder).expect("target/screens");
    folder
}

/// Drives the surveyor's window, or another one.
pub struct Driver<A = App, W: ComponentHandle = MainWindow> {
    pub app: Rc<A>,
    pub window: W,
    /// Taps and keys so far.
    pub taps: usize,
    pub keys: usize,
}

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().expect("a moment")
}

/// Drives the office's window.
pub type DeskDriver = Driver<DeskApp, DeskWindow>;

impl DeskDriver {
    /// Opens the office's window over the register in `data`, in this language and size.
    pub fn open_desk(data: &Path, locale: &str, size: (u32, u32)) -> Self {
        let options = desk::Options {
            data: data.to_owned(),
            register: Location::Folder(data.join("register")),
            locale: locale.to_owned(),
            now,
        };
        let app = DeskApp::new(&options).expect("the window opens");
        let window = app.window().clone_strong();
        Driver::of(app, window, size)
    }
}

impl Driver {
    /// Goes back to the stop's own page.
    pub fn go_up(&mut self, stop: Stop) {
        let stop = joistlight::app::place::Place::Stop(stop);
        while self.app.session().place() != Some(stop) {
            self.tap("back");
        }
    }

    /// Goes to a stop by its row of the walk, which lies beside the page in a window that is wide enough.
    pub fn go_stop(&mut self, stop: Stop) {
        let beside = self.window.window().size().width >= 1180;
        while !beside && !matches!(self.app.session().view(), View::Walk) {
            self.tap("back");
        }
        self.tap(stop.label());
        if self.find("Leave anyway").is_some() {
            self.tap("Leave anyway");
        }
    }

    /// Opens the program over the surveys in `data`, in a window of this size.
    pub fn open(data: &Path, size: (u32, u32)) -> Self {
        let options = Options {
            data: data.to_owned(),
            locale: "C".to_owned(),
            now,
        };
        let app = App::new(&options).expect("the window opens");
        let window = app.window().clone_strong();
        Driver::of(app, window, size)
    }
}

/// A window with work beside it.
pub trait Rests {
    /// Waits for that work; whether there was any.
    fn rest(&self, at_most: Duration) -> bool;

    /// How long to wait for what comes of work that has no end of its own.
    fn patience(&self) -> Duration {
        Duration::ZERO
    }

    /// What the program says at the foot.
    fn notice(&self) -> String;
}

impl Rests for App {
    fn rest(&self, at_most: Duration) -> bool {
        App::rest(self, at_most)
    }

    fn notice(&self) -> String {
        let session = self.session();
        session
            .notice()
            .map_or_else(String::new, |it| it.text.clone())
    }
}

impl Rests for DeskApp {
    /// A watched folder is never done: tests say what they wait for.
    fn rest(&self, _: Duration) -> bool {
        false
    }

    fn patience(&self) -> Duration {
        Duration::from_secs(60)
    }

    fn notice(&self) -> String {
        self.desk().notice().to_owned()
    }
}

impl<A: Rests, W: ComponentHandle + ElementRoot> Driver<A, W> {
    /// Shows a program's window in this size.
    pub fn of(app: Rc<A>, window: W, size: (u32, u32)) -> Self {
        window.show().expect("shown");
        let mut driver = Driver {
            app,
            window,
            taps: 0,
            keys: 0,
        };
        driver.resize(size);
        driver
    }

    pub fn resize(&mut self, (width, height): (u32, u32)) {
        self.window
            .window()
            .set_size(PhysicalSize::new(width, height));
        self.settle();
    }

    /// Lets timers, animations, layout and the work beside the window come to rest, however slow the machine is.
    pub fn settle(&self) {
        loop {
            for _ in 0..3 {
                mock_elapsed_time(Duration::from_millis(120));
            }
            if !self.app.rest(Duration::from_secs(60)) {
                break;
            }
        }
    }

    /// Lets the pause pass after which typed words are committed.
    pub fn settle_long(&self) {
        for _ in 0..10 {
            mock_elapsed_time(Duration::from_millis(120));
        }
    }

    /// The elements with this label that can be tapped, the topmost last.
    pub fn find(&self, label: &str) -> Option<ElementHandle> {
        let found: Vec<_> = ElementHandle::find_by_accessible_label(&self.window, label).collect();
        found
            .iter()
            .find(|e| {
                e.accessible_role()
                    .is_some_and(|r| !matches!(r, AccessibleRole::Text | AccessibleRole::None))
            })
            .or(found.first())
            .cloned()
    }

    /// Everything that a screen reader would find: label, value and place.
    pub fn labels(&self) -> Vec<String> {
        let mut labels = Vec::new();
        self.window.root_element().visit_descendants(|e| {
            if let Some(label) = e.accessible_label() {
                let (p, s) = (e.absolute_position(), e.size());
                labels.push(format!(
                    "{label:?} = {:?} at {:.0},{:.0} {:.0}×{:.0}",
                    e.accessible_value().unwrap_or_default().as_str(),
                    p.x,
                    p.y,
                    s.width,
                    s.height
                ));
            }
            std::ops::ControlFlow::<()>::Continue(())
        });
        labels
    }

    /// The labels of the whole page, from its top to its end.
    pub fn labels_everywhere(&self) -> Vec<String> {
        let mut all: Vec<String> = Vec::new();
        let area = self.scroll_area();
        self.wheel_in(area, 100_000.0);
        for _ in 0..60 {
            let before = self.first_line();
            self.window.root_element().visit_descendants(|e| {
                if let Some(label) = e.accessible_label().map(|label| label.to_string())
                    && !all.contains(&label)
                {
                    all.push(label);
                }
                std::ops::ControlFlow::<()>::Continue(())
            });
            self.wheel_in(
                area,
                -area.map_or(400.0, |(top, bottom)| (bottom - top) * 0.6),
            );
            if self.first_line() == before {
                break;
            }
        }
        all
    }

    /// What can be tapped and is smaller than this, in either direction.
    pub fn too_small(&self, least: f32) -> Vec<String> {
        let mut small = Vec::new();
        self.window.root_element().visit_descendants(|e| {
            let size = e.size();
            if e.accessible_role() == Some(AccessibleRole::Button)
                && (size.width < least || size.height < least)
            {
                small.push(format!("{:?} {size:?}", e.accessible_label()));
            }
            std::ops::ControlFlow::<()>::Continue(())
        });
        small
    }

    /// Taps the element with this label, where it is; scrolls to it first, as a finger would.
    pub fn tap(&mut self, label: &str) {
        let element = self.reach(label);
        let (at, size) = (element.absolute_position(), element.size());
        let (x, y) = (at.x + size.width / 2.0, at.y + size.height / 2.0);
        let window = self.window.window().size();
        if !((0.0..window.width as f32).contains(&x) && (0.0..window.height as f32).contains(&y)) {
            self.snapshot("outside");
            panic!(
                "“{label}” lies at {x},{y}, outside the window:\n{}",
                self.labels().join("\n")
            );
        }
        self.tap_at(x, y);
    }

    /// What the program says at the foot, to tell why something did not happen.
    pub fn notice(&self) -> String {
        self.app.notice()
    }

    pub fn tap_at(&mut self, x: f32, y: f32) {
        let position = LogicalPosition::new(x, y);
        let button = PointerEventButton::Left;
        let window = self.window.window();
        window.dispatch_event(WindowEvent::PointerMoved { position });
        window.dispatch_event(WindowEvent::PointerPressed { position, button });
        mock_elapsed_time(Duration::from_millis(50));
        window.dispatch_event(WindowEvent::PointerReleased { position, button });
        window.dispatch_event(WindowEvent::PointerExited);
        self.taps += 1;
        self.settle();
    }

    /// The element with this label, scrolled to where it can be seen whole.
    ///
    /// Only what can be seen is found, so a finger's way is taken: down the page, then from its top again.
    pub fn reach(&self, label: &str) -> ElementHandle {
        for turn in 0..120 {
            let area = self.scroll_area();
            if let Some(element) = self.find(label) {
                let (at, size) = (element.absolute_position(), element.size());
                let Some((top, bottom)) = area else {
                    return element;
                };
                let cut_off_above = at.y < top && at.y + size.height > top;
                let cut_off_below = at.y < bottom && at.y + size.height > bottom;
                if !(cut_off_above || cut_off_below) || size.height > bottom - top {
                    return element;
                }
                self.wheel_in(area, if cut_off_above { 40.0 } else { -40.0 });
            } else if turn == 60 {
                self.wheel_in(area, 100_000.0);
            } else {
                let page = area.map_or(400.0, |(top, bottom)| bottom - top);
                self.wheel_in(area, -(page * 0.6).max(40.0));
            }
        }
        panic!(
            "“{label}” is not on the page:\n{}",
            self.labels().join("\n")
        );
    }

    /// The element with this label anywhere on the page, or nothing.
    pub fn look_for(&self, label: &str) -> Option<ElementHandle> {
        self.wheel_in(self.scroll_area(), 100_000.0);
        for _ in 0..30 {
            if let Some(found) = self.find(label) {
                return Some(found);
            }
            let area = self.scroll_area();
            let before = self.first_line();
            self.wheel_in(
                area,
                -area.map_or(400.0, |(top, bottom)| (bottom - top) * 0.6),
            );
            if self.first_line() == before {
                return None;
            }
        }
        None
    }

    /// What stands first in the page, to see whether it still scrolls.
    pub fn first_line(&self) -> Option<(slint::SharedString, i32)> {
        let (top, _) = self.scroll_area()?;
        let mut first = None;
        self.window.root_element().visit_descendants(|e| {
            let at = e.absolute_position();
            if let Some(label) = e
                .accessible_label()
                .filter(|_| at.y >= top - 200.0 && e.size().height < 120.0)
                && at.y + e.size().height > top
            {
                first = Some((label, at.y as i32));
                return std::ops::ControlFlow::Break(());
            }
            std::ops::ControlFlow::Continue(())
        });
        first
    }

    /// Top and bottom of what can be scrolled: the list at the foot where one is up, else the page.
    pub fn scroll_area(&self) -> Option<(f32, f32)> {
        // A picture over everything scrolls nothing.
        if ElementHandle::find_by_element_type_name(&self.window, "LookPage")
            .next()
            .is_some()
        {
            return None;
        }
        ["LeaveSheet", "PickSheet", "Scroll", "ListView"]
            .iter()
            .find_map(|name| {
                ElementHandle::find_by_element_type_name(&self.window, name)
                    .next()
                    .map(|e| {
                        (
                            e.absolute_position().y,
                            e.absolute_position().y + e.size().height,
                        )
                    })
            })
    }

    pub fn wheel_in(&self, area: Option<(f32, f32)>, by: f32) {
        let size = self.window.window().size();
        let (top, bottom) = area.unwrap_or((0.0, size.height as f32));
        let position = LogicalPosition::new(size.width as f32 / 2.0, top + (bottom - top) * 0.7);
        self.window
            .window()
            .dispatch_event(WindowEvent::PointerScrolled {
                position,
                delta_x: 0.0,
                delta_y: by,
            });
        self.settle();
    }

    /// Lets the work beside the window end; what came of it must be there then. Where the work never ends, as that of
    /// a watched folder, what is waited for must come within a minute.
    pub fn wait(&self, what: &str, done: impl Fn(&Self) -> bool) {
        let begun = std::time::Instant::now();
        self.settle();
        while !done(self) && begun.elapsed() < self.app.patience() {
            std::thread::sleep(Duration::from_millis(10));
            self.settle();
        }
        assert!(
            done(self),
            "{what} did not come ({}):\n{}",
            self.notice(),
            self.labels().join("\n")
        );
    }

    /// Types on a keyboard, one key after the other.
    pub fn type_text(&mut self, text: &str) {
        for c in text.chars() {
            self.key(SharedString::from(c));
        }
    }

    pub fn press(&mut self, key: Key) {
        self.key(key.into());
    }

    /// What has the keyboard's focus, as a screen reader calls it; nothing where nothing has it.
    pub fn focused(&self) -> Option<String> {
        let window = WindowInner::from_pub(self.window.window());
        let mut item = window.focus_item.borrow().upgrade();
        while let Some(it) = item {
            let label = it.accessible_string_property(AccessibleStringProperty::Label);
            if let Some(label) = label.filter(|label| !label.is_empty())
                && it.accessible_role() != AccessibleRole::None
            {
                return Some(label.to_string());
            }
            item = it.parent_item(ParentItemTraversalMode::StopAtPopups);
        }
        None
    }

    /// Presses Tab until what is called so has the focus, as somebody without a mouse does.
    pub fn tab_to(&mut self, label: &str) {
        // More than there is to be reached on any page.
        const MOST: usize = 400;
        let mut met = Vec::new();
        for _ in 0..MOST {
            let focused = self.focused().unwrap_or_default();
            if focused == label {
                return;
            }
            met.push(focused);
            self.press(Key::Tab);
        }
        met.dedup();
        panic!("Tab does not come to “{label}”, but to {met:#?}");
    }

    fn key(&mut self, text: SharedString) {
        let window = self.window.window();
        window.dispatch_event(WindowEvent::KeyPressed { text: text.clone() });
        window.dispatch_event(WindowEvent::KeyReleased { text });
        self.keys += 1;
        self.settle();
    }

    /// Looks at the page at every size, and comes back to the present one.
    pub fn snapshot_sizes(&mut self, name: &str) {
        let size = self.window.window().size();
        for other in SIZES {
            self.resize(other);
            self.snapshot(name);
        }
        self.resize((size.width, size.height));
    }

    /// What the window shows now, as RGBA.
    pub fn pixels(&self) -> image::RgbaImage {
        self.settle();
        let pixels = self
            .window
            .window()
            .take_snapshot()
            .expect("software renderer");
        image::RgbaImage::from_raw(pixels.width(), pixels.height(), pixels.as_bytes().to_vec())
            .expect("four bytes a pixel")
    }

    /// The same, also written to `target/screens/NAME-WIDTHxHEIGHT.png`.
    pub fn snapshot(&self, name: &str) -> image::RgbaImage {
        let picture = self.pixels();
        let (width, height) = picture.dimensions();
        let path = folder().join(format!("{name}-{width}x{height}.png"));
        picture.save(&path).expect("written");
        picture
    }
}
