//! The office's window: intake, register, and what follows from a survey.
//!
//! A [`Desk`] holds what is looked at and knows no window; each file of `pages` joins one page to it. Everything
//! is done by the same functions of [`crate::office`] as on the command line. What takes long is done beside the
//! window, by a register of its own.

mod again;
mod files;
mod intake;
mod kept;
mod list;
mod names;
mod pages;
mod survey;

pub use again::Again;
pub use intake::{Intake, Row as IntakeRow, Watching};
pub use list::{List, Turn};
pub use survey::{Editing, Leaf, Looked};

use super::reader::Reader;
use super::work::{Job, Report, Word};
use super::{AppError, DeskWindow, settings};
use crate::disk::About;
use crate::office::register::{Location, Register, RegisterError};
use crate::store::Settings;
use crate::survey::When;
use crate::trade::fan::FanList;
use kept::Kept;
use slint::{CloseRequestResponse, ComponentHandle, Timer, TimerMode};
use std::cell::{Cell, RefCell};
use std::path::PathBuf;
use std::rc::{Rc, Weak};
use std::sync::mpsc::{self, Receiver, Sender};
use std::time::Duration;

/// How often the window looks for what came of work beside it.
const POLL: Duration = Duration::from_millis(40);

/// Where the office's window finds things.
#[derive(Debug, Clone)]
pub struct Options {
    /// The folder of the settings, and of who works here.
    pub data: PathBuf,
    /// The register.
    pub register: Location,
    /// The device's language, such as `es_MX`.
    pub locale: String,
    /// The clock.
    pub now: fn() -> When,
}

impl Options {
    /// The usual places of this device; `register` names another register than the usual one.
    ///
    /// # Errors
    /// Where the device has no usual place for data.
    pub fn of_this_device(register: Option<Location>) -> Result<Options, AppError> {
        let device = super::Options::of_this_device()?;
        Ok(Options::beside(&device, register))
    }

    /// Those of the surveyor's window; `register` names another register than the usual one.
    pub fn beside(device: &super::Options, register: Option<Location>) -> Options {
        let named = std::env::var("JOISTLIGHT_REGISTER").ok();
        let named = named.filter(|text| !text.is_empty());
        let named = named.map(|text| text.parse().unwrap_or_else(|never| match never {}));
        let usual = || Location::Folder(device.data.join("register"));
        Options {
            register: register.or(named).unwrap_or_else(usual),
            data: device.data.clone(),
            locale: device.locale.clone(),
            now: device.clock.now,
        }
    }
}

/// Which page is up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The register's list.
    List,
    /// Taking bundles in.
    Intake,
    /// One survey.
    Survey,
    /// Judging everything again.
    Again,
}

/// What the office looks at and does.
pub struct Desk {
    options: Options,
    settings: Settings,
    kept: Kept,
    register: Option<Register>,
    trouble: String,
    view: View,
    notice: String,
    list: List,
    intake: Intake,
    looked: Option<Looked>,
    again: Again,
    jobs: Vec<Job<Desk>>,
}

impl Desk {
    /// A desk with this register open, which is made where there is none. Where it cannot be opened, the desk says
    /// why and can try again.
    ///
    /// # Errors
    /// A sentence, where the data folder cannot be used.
    pub fn begin(options: &Options) -> Result<Desk, String> {
        std::fs::create_dir_all(&options.data)
            .about(&options.data)
            .map_err(|error| error.to_string())?;
        let settings = Settings::read(&options.data);
        let kept = Kept::read(&options.data);
        let intake = Intake::of(&kept);
        let mut desk = Desk {
            options: options.clone(),
            settings,
            kept,
            register: None,
            trouble: String::new(),
            view: View::List,
            notice: String::new(),
            list: List::default(),
            intake,
            looked: None,
            again: Again::default(),
            jobs: Vec::new(),
        };
        desk.open_register();
        Ok(desk)
    }

    /// Opens the register, or says why it cannot be opened.
    pub fn open_register(&mut self) {
        self.trouble.clear();
        match Register::open(&self.options.register) {
            Ok(register) => {
                self.again = Again::of(register.criteria());
                self.register = Some(register);
                self.look();
                self.look_at_refused();
                self.refresh();
            }
            Err(error) => self.trouble = self.told(&error),
        }
    }

    /// Who reads.
    pub fn reader(&self) -> Reader {
        settings::reader(&self.settings, &self.options.locale)
    }

    /// The settings of this device.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Which register it is.
    pub fn location(&self) -> &Location {
        &self.options.register
    }

    /// The fan list that the register judges by.
    fn fans(&self) -> Option<&FanList> {
        self.register.as_ref().map(|it| &it.criteria().fans)
    }

    /// Why the register is not open; nothing where it is.
    pub fn trouble(&self) -> &str {
        &self.trouble
    }

    /// The page that is up.
    pub fn view(&self) -> View {
        self.view
    }

    /// What was just done, or why not.
    pub fn notice(&self) -> &str {
        &self.notice
    }

    /// Takes away the notice.
    pub fn dismiss_notice(&mut self) {
        self.notice.clear();
    }

    /// Who works at this desk.
    pub fn who(&self) -> &str {
        &self.kept.who
    }

    /// Names who works at this desk.
    pub fn set_who(&mut self, who: &str) {
        self.kept.who = who.trim().to_owned();
        self.keep();
    }

    fn keep(&mut self) {
        if let Err(error) = self.kept.write(&self.options.data) {
            self.notice = self.told(&error);
        }
    }

    /// The list of the register.
    pub fn list(&self) -> &List {
        &self.list
    }

    /// Taking bundles in.
    pub fn intake(&self) -> &Intake {
        &self.intake
    }

    /// The survey that is looked at.
    pub fn looked(&self) -> Option<&Looked> {
        self.looked.as_ref()
    }

    /// Judging everything again.
    pub fn again(&self) -> &Again {
        &self.again
    }

    /// Goes to a page. The list is looked up anew, since other offices may have changed the register.
    pub fn go(&mut self, view: View) {
        self.view = match view {
            View::Survey if self.looked.is_none() => View::List,
            view => view,
        };
        match self.view {
            View::List => self.look(),
            View::Intake => self.look_at_refused(),
            View::Survey | View::Again => {}
        }
    }

    /// Goes back: out of what is open on the page, else to the list.
    pub fn back(&mut self) {
        if self.view == View::Survey
            && let Some(looked) = &mut self.looked
            && looked.editing.take().is_some()
        {
            return;
        }
        if self.view == View::List {
            self.list.more = false;
            return;
        }
        self.go(View::List);
    }

    /// The work to be done beside the window, once.
    pub fn take_jobs(&mut self) -> Vec<Job<Desk>> {
        std::mem::take(&mut self.jobs)
    }

    /// An error's sentence in the reader's language.
    fn told(&self, error: &impl std::fmt::Display) -> String {
        self.reader().language.retell(&error.to_string())
    }

    /// Asks the register; what goes wrong is said at the foot.
    fn ask<T>(
        &mut self,
        question: impl FnOnce(&mut Register) -> Result<T, RegisterError>,
    ) -> Option<T> {
        let answer = question(self.register.as_mut()?);
        match answer {
            Ok(answer) => Some(answer),
            Err(error) => {
                self.notice = self.told(&error);
                None
            }
        }
    }
}

/// The window and its desk.
pub struct DeskApp {
    own: Weak<DeskApp>,
    window: DeskWindow,
    desk: RefCell<Desk>,
    waiting: RefCell<Vec<Action>>,
    busy: Cell<bool>,
    running: Cell<usize>,
    words: (Sender<Word<Desk>>, Receiver<Word<Desk>>),
    poll: Timer,
}

type Action = Box<dyn FnOnce(&mut Desk)>;

/// What callbacks hold: the window may be gone when they are called.
pub(crate) type Handle = Weak<DeskApp>;

impl DeskApp {
    /// Makes the window and shows the desk in it; nothing runs yet.
    ///
    /// # Errors
    /// Where the data folder cannot be used or there is no window to be had.
    pub fn new(options: &Options) -> Result<Rc<DeskApp>, AppError> {
        let desk = Desk::begin(options).map_err(AppError::Data)?;
        let window = DeskWindow::new()?;
        let app = Rc::new_cyclic(|own| DeskApp {
            own: own.clone(),
            window,
            desk: RefCell::new(desk),
            waiting: RefCell::new(Vec::new()),
            busy: Cell::new(false),
            running: Cell::new(0),
            words: mpsc::channel(),
            poll: Timer::default(),
        });
        pages::connect(&app.window, &Rc::downgrade(&app));
        let handle = Rc::downgrade(&app);
        app.window.window().on_close_requested(move || {
            // What runs beside the window ends between two files.
            act(&handle, Desk::stop_everything);
            CloseRequestResponse::HideWindow
        });
        app.take_drops();
        app.act(Box::new(|_| {}));
        Ok(app)
    }

    /// Files and folders that are let fall on the window are taken in.
    fn take_drops(&self) {
        use slint::winit_030::{EventResult, WinitWindowAccessor, winit::event::WindowEvent};
        let handle = self.own.clone();
        let window = self.window.window();
        window.on_winit_window_event(move |_, event| {
            if let WindowEvent::DroppedFile(path) = event {
                let path = path.clone();
                act(&handle, move |desk| desk.let_fall(path));
            }
            EventResult::Propagate
        });
    }

    /// The window.
    pub fn window(&self) -> &DeskWindow {
        &self.window
    }

    /// The desk, to look at.
    pub fn desk(&self) -> std::cell::Ref<'_, Desk> {
        self.desk.borrow()
    }

    /// As if this file or folder had been let fall on the window.
    pub fn let_fall(&self, path: PathBuf) {
        self.act(Box::new(move |desk| desk.let_fall(path)));
    }

    /// Does something at the desk and shows what came of it.
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
            next(&mut self.desk.borrow_mut());
            self.start_jobs();
            let more_waits = !self.waiting.borrow().is_empty();
            if !more_waits {
                pages::show(&self.window, &self.desk.borrow());
            }
        }
        self.busy.set(false);
    }

    /// Starts the work that is wanted beside the window.
    fn start_jobs(&self) {
        let jobs = self.desk.borrow_mut().take_jobs();
        for job in jobs {
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

    /// Takes in what the running jobs said, all of it at once.
    fn listen(&self) {
        let mut said = Vec::new();
        while let Ok(word) = self.words.1.try_recv() {
            said.push(match word {
                Word::Meanwhile(done) => done,
                Word::Over(done) => {
                    self.running.set(self.running.get().saturating_sub(1));
                    done
                }
            });
        }
        if !said.is_empty() {
            self.act(Box::new(move |desk| {
                for done in said {
                    done(desk);
                }
            }));
        }
        if self.running.get() == 0 {
            self.poll.stop();
        }
    }
}

/// Does something at the desk.
pub(crate) fn act(handle: &Handle, action: impl FnOnce(&mut Desk) + 'static) {
    if let Some(app) = handle.upgrade() {
        app.act(Box::new(action));
    }
}

/// Opens the office's window and runs until it is closed.
///
/// # Errors
/// Where the data folder cannot be used or there is no window to be had.
pub fn run(options: &Options) -> Result<(), AppError> {
    super::choose_platform()?;
    let app = DeskApp::new(options)?;
    app.window.run()?;
    app.act(Box::new(Desk::stop_everything));
    Ok(())
}
