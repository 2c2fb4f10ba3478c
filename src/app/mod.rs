//! The window: one adapter a page joins `ui/` to the rest.
//!
//! A [`session::Session`] holds what is open and what is being typed, and knows no window. Each file of
//! [`pages`] connects one page's callbacks to it and shows it in that page. After every callback all pages
//! are shown again from the session, so there is one direction for what is seen and one for what is done.

pub mod canvas;
pub mod clock;
pub mod control;
pub mod customer;
#[cfg(feature = "office")]
pub mod desk;
pub mod device;
pub mod judge;
pub mod keys;
pub mod offers;
pub mod pages;
pub mod place;
pub mod quick;
pub mod reader;
pub mod session;
pub mod settings;
pub mod strokes;
pub mod tray;
pub mod usual_words;
pub mod work;

#[allow(missing_docs, clippy::all)]
mod generated {
    slint::include_modules!();
}
pub use generated::*;

use crate::store::Store;
use clock::Clock;
use device::{Desktop, Device};
use session::Session;
use slint::{CloseRequestResponse, ComponentHandle, LogicalSize, Timer, TimerMode};
use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::path::{Path, PathBuf};
use std::rc::{Rc, Weak};
use std::sync::mpsc::{self, Receiver, Sender};
use std::time::Duration;
use work::{Job, Report, Word};

/// How long after the last letter words are committed, if nothing else commits them first.
const PAUSE: Duration = Duration::from_millis(800);

/// As many jobs as run beside the window at once.
const JOBS_MOST: usize = 2;

/// How often the window looks for what came of work beside it.
const POLL: Duration = Duration::from_millis(40);

/// How often the window looks into the tray while it waits for something, and how many times after it was last
/// in front: what takes longer than these two minutes is taken in when the program comes to the front again.
const LOOK: Duration = Duration::from_millis(300);
const LOOKS: u32 = 400;

/// Where the window finds things.
#[derive(Debug, Clone)]
pub struct Options {
    /// The folder of the surveys and settings.
    pub data: PathBuf,
    /// The device's language, such as `es_MX`.
    pub locale: String,
    /// The clock.
    pub clock: Clock,
}

impl Options {
    /// The usual places of this device. `JOISTLIGHT_DATA` names another data folder.
    ///
    /// # Errors
    /// Where the device has no usual place for data.
    pub fn of_this_device() -> Result<Options, AppError> {
        let data = match std::env::var_os("JOISTLIGHT_DATA") {
            Some(folder) => PathBuf::from(folder),
            None => Store::platform_folder().map_err(|error| AppError::Data(error.to_string()))?,
        };
        let locale = ["LC_ALL", "LC_MESSAGES", "LANG"]
            .iter()
            .find_map(|name| std::env::var(name).ok().filter(|value| !value.is_empty()))
            .unwrap_or_default();
        Ok(Options {
            data,
            locale,
            clock: Clock::system(),
        })
    }
}

/// Why the window could not be opened; a sentence.
#[derive(Debug, thiserror::Error)]
pub enum AppError {
    /// The data folder cannot be used.
    #[error("{0}")]
    Data(String),
    /// There is no display, or it cannot be drawn on.
    #[error("The window cannot be opened: {0}")]
    Window(#[from] slint::PlatformError),
}

type Action = Box<dyn FnOnce(&mut Session)>;

/// The window and its session.
pub struct App {
    own: Handle,
    window: MainWindow,
    session: RefCell<Session>,
    waiting: RefCell<Vec<Action>>,
    busy: Cell<bool>,
    pause: Timer,
    running: Cell<usize>,
    /// Jobs that wait until others are over.
    jobs: RefCell<VecDeque<Job>>,
    words: (Sender<Word>, Receiver<Word>),
    poll: Timer,
    tray: Timer,
    /// Shows when what has just come up takes something.
    ready: Timer,
    /// How often the tray is still looked into before the window gives up waiting.
    looks: Cell<u32>,
    shown: RefCell<pages::Shown>,
    #[cfg(feature = "office")]
    beside: Beside,
}

/// The office's window, which the menu opens beside this one.
#[cfg(feature = "office")]
struct Beside {
    options: Options,
    desk: RefCell<Option<Rc<desk::DeskApp>>>,
}

/// What callbacks hold: the window may be gone when they are called.
pub type Handle = Weak<App>;

impl App {
    /// Makes the window of a desktop and shows the session in it; nothing runs yet.
    ///
    /// # Errors
    /// Where the data folder cannot be used or there is no window to be had.
    pub fn new(options: &Options) -> Result<Rc<App>, AppError> {
        let locale = options.locale.clone();
        App::on(Rc::new(Desktop { locale }), &options.data, options.clock)
    }

    /// Makes the window on this device, over the surveys in the folder `data`; nothing runs yet.
    ///
    /// # Errors
    /// Where the data folder cannot be used or there is no window to be had.
    pub fn on(device: Rc<dyn Device>, data: &Path, clock: Clock) -> Result<Rc<App>, AppError> {
        #[cfg(feature = "office")]
        let beside = Beside {
            options: Options {
                data: data.to_owned(),
                locale: device.system().locale,
                clock,
            },
            desk: RefCell::new(None),
        };
        let session = Session::begin_on(device, data, clock).map_err(AppError::Data)?;
        let window = MainWindow::new()?;
        let shown = pages::Shown::default();
        let drawings = Rc::clone(&shown.drawings);
        let app = Rc::new_cyclic(|own| App {
            own: own.clone(),
            window,
            session: RefCell::new(session),
            waiting: RefCell::new(Vec::new()),
            busy: Cell::new(false),
            pause: Timer::default(),
            running: Cell::new(0),
            jobs: RefCell::new(VecDeque::new()),
            words: mpsc::channel(),
            poll: Timer::default(),
            tray: Timer::default(),
            ready: Timer::default(),
            looks: Cell::new(0),
            shown: RefCell::new(shown),
            #[cfg(feature = "office")]
            beside,
        });
        pages::connect(&app.window, &Rc::downgrade(&app), &drawings);
        let handle = Rc::downgrade(&app);
        app.window.window().on_close_requested(move || {
            act(&handle, |_| {});
            CloseRequestResponse::HideWindow
        });
        app.act(Box::new(|_| {}));
        Ok(app)
    }

    /// The window.
    pub fn window(&self) -> &MainWindow {
        &self.window
    }

    /// The session, to look at.
    pub fn session(&self) -> std::cell::Ref<'_, Session> {
        self.session.borrow()
    }

    /// Does something in the session and shows what came of it.
    ///
    /// A callback that comes while another is at work waits for its turn.
    fn act(&self, action: Action) {
        self.waiting.borrow_mut().push(action);
        if self.busy.replace(true) {
            return;
        }
        loop {
            let next = {
                let mut waiting = self.waiting.borrow_mut();
                (!waiting.is_empty()).then(|| waiting.remove(0))
            };
            let Some(next) = next else { break };
            next(&mut self.session.borrow_mut());
            #[cfg(feature = "office")]
            self.open_desk();
            self.show();
            self.start_jobs();
        }
        self.busy.set(false);
        self.session.borrow_mut().mind_screen();
        self.watch_tray();
        self.await_opening();
    }

    /// The program is in front again, after a camera perhaps: whatever came meanwhile is taken in.
    pub fn come_back(&self) {
        self.looks.set(LOOKS);
        self.act(Box::new(Session::come_back));
    }

    /// The system was set up otherwise: day and night, size of text, language.
    pub fn follow(&self) {
        self.act(Box::new(Session::follow));
    }

    /// The program goes to the back, where the system may end it: what is being typed is on the disk first.
    pub fn step_back(&self) {
        self.act(Box::new(Session::step_back));
    }

    /// The window is going: nothing more is begun beside it, and what can be stopped is.
    pub fn stop(&self) {
        self.jobs.borrow_mut().clear();
        self.act(Box::new(|session| {
            session.step_back();
            session.stop_work();
        }));
    }

    /// Gives the window the size that it had when it was closed; the first time, a desktop's.
    fn open_as_before(&self) {
        const FIRST: (u32, u32) = (1280, 800);
        let (width, height) = self.session.borrow().settings.window.unwrap_or(FIRST);
        #[allow(clippy::cast_precision_loss)]
        let size = LogicalSize::new(width as f32, height as f32);
        self.window.window().set_size(size);
        self.fit_the_screen();
    }

    /// Makes the window smaller where the screen is; how large that is, is known once the window is on it.
    #[cfg(all(feature = "office", not(target_os = "android")))]
    fn fit_the_screen(&self) {
        use slint::winit_030::WinitWindowAccessor;
        let window = self.window.as_weak();
        Timer::single_shot(Duration::ZERO, move || {
            let Some(window) = window.upgrade() else {
                return;
            };
            let window = window.window();
            let screen = window.with_winit_window(|it| it.current_monitor().map(|it| it.size()));
            if let Some(screen) = screen.flatten().filter(|it| it.width > 0 && it.height > 0) {
                let size = window.size();
                let fits = (size.width.min(screen.width), size.height.min(screen.height));
                if fits != (size.width, size.height) {
                    window.set_size(slint::PhysicalSize::new(fits.0, fits.1));
                }
            }
        });
    }

    #[cfg(not(all(feature = "office", not(target_os = "android"))))]
    fn fit_the_screen(&self) {}

    /// Keeps the window's size for the next start.
    fn keep_size(&self) {
        let window = self.window.window();
        if window.is_maximized() || window.is_fullscreen() {
            return;
        }
        let size = window.size().to_logical(window.scale_factor());
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let size = (size.width.round() as u32, size.height.round() as u32);
        if size.0 > 0 && size.1 > 0 {
            self.session.borrow_mut().keep_window(size);
        }
    }

    /// Looks into the tray now and then while something is to come.
    fn watch_tray(&self) {
        if self.tray.running() || !self.session.borrow().waits() {
            return;
        }
        let handle = self.own.clone();
        self.tray.start(TimerMode::SingleShot, LOOK, move || {
            let Some(app) = handle.upgrade() else { return };
            let looks = app.looks.get();
            if looks > 0 {
                app.looks.set(looks - 1);
                app.act(Box::new(Session::look_in_tray));
            }
        });
    }

    /// Shows the sheet once more when it takes something.
    fn await_opening(&self) {
        let Some(left) = self.session.borrow().opening() else {
            return;
        };
        let handle = self.own.clone();
        self.ready.start(TimerMode::SingleShot, left, move || {
            if let Some(app) = handle.upgrade() {
                app.act(Box::new(|_| {}));
            }
        });
    }

    /// Opens the office's window where the menu asked for it.
    #[cfg(feature = "office")]
    fn open_desk(&self) {
        let mut session = self.session.borrow_mut();
        if !session.take_desk_wish() {
            return;
        }
        let open = || {
            let options = desk::Options::beside(&self.beside.options, None);
            let desk = desk::DeskApp::new(&options)?;
            desk.window().show()?;
            Ok::<_, AppError>(desk)
        };
        match open() {
            // One that was open already is shut with this.
            Ok(desk) => *self.beside.desk.borrow_mut() = Some(desk),
            Err(error) => session.tell(error.to_string()),
        }
    }

    /// The office's window, where the menu opened it.
    #[cfg(feature = "office")]
    pub fn desk(&self) -> Option<Rc<desk::DeskApp>> {
        self.beside.desk.borrow().clone()
    }

    /// Starts the work that the session wants done beside the window.
    fn start_jobs(&self) {
        self.jobs
            .borrow_mut()
            .extend(self.session.borrow_mut().take_jobs());
        // Decoded pictures are large: a hundred of them are never held at once.
        while self.running.get() < JOBS_MOST {
            let Some(job) = self.jobs.borrow_mut().pop_front() else {
                break;
            };
            let sender = self.words.0.clone();
            self.running.set(self.running.get() + 1);
            std::thread::spawn(move || {
                let done = job.run(&Report::to(sender.clone()));
                // Nobody listens any more once the window is closed.
                let _ = sender.send(Word::Over(done));
            });
        }
        if self.running.get() > 0 && !self.poll.running() {
            let handle = self.own.clone();
            self.poll.start(TimerMode::Repeated, POLL, move || {
                if let Some(app) = handle.upgrade() {
                    app.listen();
                }
            });
        }
    }

    /// Takes in what the running jobs said.
    fn listen(&self) {
        while let Ok(word) = self.words.1.try_recv() {
            self.hear(word);
        }
        if self.running.get() == 0 {
            self.poll.stop();
        }
    }

    fn hear(&self, word: Word) {
        let done = match word {
            Word::Meanwhile(done) => done,
            Word::Over(done) => {
                self.running.set(self.running.get().saturating_sub(1));
                done
            }
        };
        self.act(Box::new(done));
    }

    /// Waits until the work beside the window is done and shows what came of it; for whoever drives the window
    /// without an event loop, so that nothing depends on how quick the machine is. `false` where there was no
    /// such work. Whatever is not done after `at_most` is left running.
    pub fn rest(&self, at_most: Duration) -> bool {
        let worked = self.running.get() > 0;
        while self.running.get() > 0 {
            let Ok(word) = self.words.1.recv_timeout(at_most) else {
                break;
            };
            self.hear(word);
        }
        worked
    }

    fn show(&self) {
        let mut session = self.session.borrow_mut();
        pages::show(&self.window, &mut session, &mut self.shown.borrow_mut());
    }

    /// Words are being typed: they are committed when something else happens or after a pause.
    fn typing(self: &Rc<Self>, at: crate::survey::FieldRef, text: &str) {
        self.session.borrow_mut().edit_words(at, text);
        let handle = Rc::downgrade(self);
        self.pause.start(TimerMode::SingleShot, PAUSE, move || {
            act(&handle, Session::flush)
        });
    }
}

/// Does something in the session, with the words that were being typed committed first. The second tap of the
/// finger that put a sheet away is none of the page's: see [`control::guard`].
pub(crate) fn act(handle: &Handle, action: impl FnOnce(&mut Session) + 'static) {
    act_now(handle, move |session| {
        if session.takes_on_page() {
            action(session);
        }
    });
}

/// The same, for what is never held back: going back, and sheets, which have guards of their own.
pub(crate) fn act_now(handle: &Handle, action: impl FnOnce(&mut Session) + 'static) {
    if let Some(app) = handle.upgrade() {
        app.act(Box::new(move |session| {
            session.flush();
            action(session);
        }));
    }
}

/// Opens the window and runs until it is closed.
///
/// # Errors
/// Where the data folder cannot be used or there is no window to be had.
pub fn run(options: &Options) -> Result<(), AppError> {
    choose_platform()?;
    let app = match App::new(options) {
        // Whoever started it from a menu sees no terminal.
        Err(AppError::Data(why)) => {
            tell_in_a_window(&why)?;
            return Err(AppError::Data(why));
        }
        other => other?,
    };
    app.open_as_before();
    app.window.run()?;
    app.act(Box::new(Session::flush));
    app.keep_size();
    Ok(())
}

/// Says in a small window why the program does not start.
fn tell_in_a_window(why: &str) -> Result<(), AppError> {
    let window = RefusalWindow::new()?;
    window.set_why(why.into());
    let own = window.as_weak();
    window.on_closed(move || {
        if let Some(window) = own.upgrade() {
            let _ = window.hide();
        }
    });
    window.run()?;
    Ok(())
}

fn choose_platform() -> Result<(), slint::PlatformError> {
    // Drawn by the processor, so that the window needs nothing of the graphics card and every machine
    // shows the same pixels. `SLINT_BACKEND` still has its say.
    #[cfg(not(target_os = "android"))]
    if std::env::var_os("SLINT_BACKEND").is_none() {
        slint::BackendSelector::new()
            .backend_name("winit".into())
            .renderer_name("software".into())
            .select()?;
    }
    Ok(())
}
