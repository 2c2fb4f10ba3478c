//! Drives the window by taps and typed keys, and writes what it shows as PNG.
//!
//! Time stands still unless a test lets it pass, so that every run sees the same pixels.

use i_slint_backend_testing::{
    AccessibleRole, ElementHandle, ElementRoot, TestingBackend, TestingBackendOptions,
    mock_elapsed_time,
};
use joistlight::app::{App, MainWindow, Options};
use joistlight::survey::When;
use slint::platform::{Key, PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, PhysicalSize, SharedString};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

/// The sizes at which pages are looked at: a small phone, a phone, a desktop window.
pub const SIZES: [(u32, u32); 3] = [(360, 640), (412, 915), (1280, 800)];

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

pub struct Driver {
    pub app: Rc<App>,
    pub window: MainWindow,
    /// Taps and keys so far.
    pub taps: usize,
    pub keys: usize,
}

impl Driver {
    /// Opens the program over the surveys in `data`, in a window of this size.
    pub fn open(data: &Path, (width, height): (u32, u32)) -> Self {
        let options = Options {
            data: data.to_owned(),
            locale: "C".to_owned(),
            now: || {
                "2026-05-03T18:20:00-07:00"
                    .parse::<When>()
                    .expect("a moment")
            },
        };
        let app = App::new(&options).expect("the window opens");
        let window = app.window().clone_strong();
        window.show().expect("shown");
        let mut driver = Driver {
            app,
            window,
            taps: 0,
            keys: 0,
        };
        driver.resize((width, height));
        driver
    }

    pub fn resize(&mut self, (width, height): (u32, u32)) {
        self.window
            .window()
            .set_size(PhysicalSize::new(width, height));
        self.settle();
    }

    /// Lets timers, animations and layout come to rest.
    pub fn settle(&self) {
        for _ in 0..3 {
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
        self.tap_at(at.x + size.width / 2.0, at.y + size.height / 2.0);
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
    pub fn reach(&self, label: &str) -> ElementHandle {
        let height = self.window.window().size().height as f32;
        for _ in 0..400 {
            let Some(element) = self.find(label) else {
                break;
            };
            let (Some(page), (at, size)) = (
                self.page_around(&element),
                (element.absolute_position(), element.size()),
            ) else {
                return element;
            };
            let middle = at.y + size.height / 2.0;
            let (top, bottom) = page;
            if middle > top + 4.0 && middle < bottom - 4.0 && middle < height {
                return element;
            }
            let step = if middle > bottom - 4.0 { -60.0 } else { 60.0 };
            let position = LogicalPosition::new(
                self.window.window().size().width as f32 / 2.0,
                (top + bottom) / 2.0,
            );
            self.window
                .window()
                .dispatch_event(WindowEvent::PointerScrolled {
                    position,
                    delta_x: 0.0,
                    delta_y: step,
                });
            self.settle();
        }
        panic!(
            "“{label}” is not on the page:\n{}",
            self.labels().join("\n")
        );
    }

    /// Turns the wheel in the middle of the window.
    pub fn wheel(&self, by: f32) {
        let size = self.window.window().size();
        let position = LogicalPosition::new(size.width as f32 / 2.0, size.height as f32 / 2.0);
        self.window
            .window()
            .dispatch_event(WindowEvent::PointerScrolled {
                position,
                delta_x: 0.0,
                delta_y: by,
            });
        self.settle();
    }

    /// Top and bottom of what scrolls around the element, if it stands in such a page.
    fn page_around(&self, element: &ElementHandle) -> Option<(f32, f32)> {
        let at = element.absolute_position();
        let mut around = None;
        for name in ["Scroll", "ListView"] {
            for page in ElementHandle::find_by_element_type_name(&self.window, name) {
                let (p, s) = (page.absolute_position(), page.size());
                let inside = page
                    .query_descendants()
                    .match_predicate({
                        let wanted = (element.accessible_label(), at.x, at.y);
                        move |e| {
                            e.accessible_label() == wanted.0
                                && e.absolute_position().x == wanted.1
                                && e.absolute_position().y == wanted.2
                        }
                    })
                    .find_first()
                    .is_some();
                if inside {
                    around = Some((p.y, p.y + s.height));
                }
            }
        }
        around
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

    fn key(&mut self, text: SharedString) {
        let window = self.window.window();
        window.dispatch_event(WindowEvent::KeyPressed { text: text.clone() });
        window.dispatch_event(WindowEvent::KeyReleased { text });
        self.keys += 1;
        self.settle();
    }

    /// What the window shows now, as RGBA; also written to `target/screens/NAME-WIDTHxHEIGHT.png`.
    pub fn snapshot(&self, name: &str) -> image::RgbaImage {
        self.settle();
        let pixels = self
            .window
            .window()
            .take_snapshot()
            .expect("software renderer");
        let picture =
            image::RgbaImage::from_raw(pixels.width(), pixels.height(), pixels.as_bytes().to_vec())
                .expect("four bytes a pixel");
        let path = folder().join(format!("{name}-{}x{}.png", pixels.width(), pixels.height()));
        picture.save(&path).expect("written");
        picture
    }
}
