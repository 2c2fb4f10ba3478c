//! The surveyor's session: which survey is open, where one stands in it, what is being typed.
//!
//! It knows no window. Every adapter reads from it and calls it; all of them commit an answer through
//! [`Session::commit`], which has it on disk before anything else happens.

mod answers;
mod arrivals;
mod entries;
mod first;
mod flow;
mod hand_over;
mod leave;
mod list;
mod pictures;
mod quick;
mod sheet;
mod walk;

pub use crate::app::control::navigation::View;
pub use flow::{Offer, PickDoes};
pub use leave::{Left, Onward};

use crate::app::clock::Clock;
use crate::app::control::guard::Guard;
use crate::app::control::navigation::Navigation;
use crate::app::control::safety;
use crate::app::device::{Desktop, Device, System};
use crate::app::judge::{Judged, Told, Way};
use crate::app::keys::{Corner, Layout, Typed};
use crate::app::place::{Key, Place, Quick, Row, Seen, StopState, likely_subject, next_stop};
use crate::app::reader::{Reader, when_shown, when_typed};
use crate::app::settings;
use crate::app::tray::{Token, Tray};
use crate::app::work;
use crate::bundle::{self, Contents, Watch};
use crate::photo::{self, Taken};
use crate::rules::{self, Say};
use crate::store::{
    self, ChangeError, Deleted, Facts, OpenSurvey, Settings, Shade, Store, TextSize,
};
use crate::survey::fields::{self, ListEntry, SPOT_NAME};
use crate::survey::{
    FieldRef, ItemId, Kind, Photo, Side, Stop, Subject, Survey, Value, Ways, When,
};
use crate::trade::fan::FanList;
use std::collections::{BTreeMap, BTreeSet};
use std::convert::Infallible;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;
use uuid::Uuid;
use zune_core::bytestream::ZCursor;
use zune_jpeg::JpegDecoder;

/// Work beside the window, for a session.
pub type Job = work::Job<Session>;

/// How such work reports.
type Report = work::Report<Session>;

/// What an entry of the menu does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MenuItem {
    /// Goes to a page.
    Go(View),
    /// Takes the last change back.
    Undo,
    /// Makes the change again that was taken back.
    Redo,
    /// Opens the office's window.
    #[cfg(feature = "office")]
    Desk,
}

/// The order of the list of surveys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// The one changed last first.
    Changed,
    /// By name.
    Name,
    /// What was not handed over, or was changed since, first.
    ToHandOver,
}

impl Order {
    /// Every order with its English label, which is also the key for translations.
    pub const ALL: [(Order, &'static str); 3] = [
        (Order::Changed, "Changed last"),
        (Order::Name, "By name"),
        (Order::ToHandOver, "To hand over"),
    ];
}

/// What lies over the foot of the window.
#[derive(Debug, Clone, PartialEq)]
pub enum Sheet {
    /// The keypad, for one answer.
    Keys {
        /// Which answer.
        at: FieldRef,
        /// What kind of answer.
        kind: Kind,
        /// What is typed so far.
        typed: Typed,
        /// Why it was not taken.
        trouble: String,
    },
    /// A list of answers for one field.
    Picks {
        /// Which answer.
        at: FieldRef,
    },
    /// What the next picture shows.
    Subjects,
    /// The answers of a setting that has too many to stand side by side.
    Setting {
        /// Which setting.
        key: &'static str,
    },
    /// The folders and files in a folder.
    Files {
        /// What is looked for.
        seek: Seek,
        /// The folder.
        folder: PathBuf,
        /// What is in it that can be picked.
        entries: Vec<FileEntry>,
    },
    /// The menu.
    Menu,
    /// What is still missing at a stop that is about to be left.
    Leave {
        /// The stop.
        stop: Stop,
        /// Where the surveyor was going.
        onward: Onward,
    },
}

/// What is looked for among files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Seek {
    /// A picture.
    Picture,
    /// A fan list.
    FanList,
}

impl Seek {
    /// The endings of such files.
    pub const fn endings(self) -> &'static [&'static str] {
        match self {
            Seek::Picture => &["jpg", "jpeg", "png"],
            Seek::FanList => &["toml"],
        }
    }
}

/// A folder or a file to pick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileEntry {
    /// What the list shows.
    pub label: String,
    paths: Vec<PathBuf>,
}

/// What a picture is tied to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// What it shows.
    pub subject: Subject,
    /// The spot, where it belongs to one.
    pub spot: Option<ItemId>,
    /// The entry it shows, where it shows one.
    pub item: Option<ItemId>,
}

/// A picture's pixels, ready to be drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Width in pixels.
    pub width: u32,
    /// Height in pixels.
    pub height: u32,
    /// Red, green and blue, row by row.
    pub rgb: Vec<u8>,
}

/// What was just done, and how it can be taken back.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// A sentence.
    pub text: String,
    undo: Option<Undo>,
}

#[derive(Debug, Clone, PartialEq)]
enum Undo {
    /// The last change of the open survey.
    Change,
    /// A survey that was deleted.
    Deleted(Uuid),
}

/// The survey that is open.
#[derive(Debug)]
pub struct Open {
    held: OpenSurvey,
    /// The spot that the surveyor is at.
    pub spot: ItemId,
    /// The stop that the surveyor stands at, or stood at last.
    pub stop: Stop,
    /// The judgement of the survey.
    pub judged: Judged,
    picked: BTreeMap<ItemId, Way>,
    troubles: BTreeMap<FieldRef, String>,
    /// Whether anything was done at the stop since the surveyor stands there; a look leaves nobody's place.
    worked: bool,
    /// Whether leaving it was asked about since.
    asked: bool,
}

impl Open {
    /// The survey, as it is on disk.
    pub fn survey(&self) -> &Survey {
        self.held.survey()
    }
}

/// The pictures page: what is being taken in, and the pixels that were read so far.
#[derive(Debug, Default)]
pub struct Photos {
    /// How many files are being taken in.
    pub working: usize,
    /// How many of them are done, since there were none.
    done: usize,
    /// Whether the taking in is to stop; what is kept is whole either way.
    stop: Arc<AtomicBool>,
    /// Why the last one was not taken in.
    pub trouble: String,
    /// The thumbnails by their SHA-256; `None` while one is being read.
    pub thumbnails: BTreeMap<String, Option<Pixels>>,
    /// The picture that fills the window.
    pub look: Option<Pixels>,
    looked: Option<ItemId>,
    folder: Option<PathBuf>,
}

/// The page that writes the bundle.
#[derive(Debug, Default)]
pub struct HandOver {
    /// Where the bundle is put; the store's own folder unless another is named.
    pub folder: PathBuf,
    /// How much of it is written, from 0 to 1, while it is being written.
    pub progress: Option<f32>,
    /// Where the last one lies, and the survey that is in it: see [`Session::written`].
    written: Option<(PathBuf, Survey)>,
    /// Why it was not written.
    pub trouble: String,
    stop: Option<Arc<AtomicBool>>,
}

/// The whole session.
pub struct Session {
    store: Store,
    locale: String,
    /// The settings of this device.
    pub settings: Settings,
    /// The fans that are tried.
    pub fans: FanList,
    surveys: Vec<Facts>,
    search: String,
    order: Order,
    deleted: Vec<Deleted>,
    open: Option<Open>,
    at: Navigation,
    sheet: Option<Sheet>,
    notice: Option<Notice>,
    tie: Tie,
    photos: Photos,
    hand_over: HandOver,
    /// Why the last fan list was not taken in.
    list_trouble: String,
    jobs: Vec<Job>,
    show: Option<Key>,
    draft: Option<(FieldRef, String)>,
    customer: Option<crate::words::Language>,
    /// Whether one question after the other is asked down the page, whether it matters or not.
    every: bool,
    /// Whether the keys read the tape's other unit.
    keys_turned: bool,
    /// Whether things in the way show all their measurements.
    full_form: bool,
    /// The side that was tapped for the thing that is being entered.
    side: Option<(ItemId, Side)>,
    now: fn() -> When,
    /// When the program was built, in seconds since 1970.
    built: i64,
    guard: Guard,
    /// How many questions were asked so far, so that one can be told from the next.
    asked: i32,
    device: Rc<dyn Device>,
    tray: Tray,
    /// What was looked at in the tray since the program was last in front.
    tried: BTreeSet<Token>,
    /// What is being taken in from the tray now.
    taking: BTreeSet<Token>,
    awake: bool,
    /// Whether the window is going, so that work beside it is to stop.
    going: Arc<AtomicBool>,
    #[cfg(feature = "office")]
    desk_wish: bool,
}

impl Session {
    /// A session on a desktop over the surveys in this data folder; it stands where the last one stopped. `locale`
    /// is the device's language, such as `es_MX`.
    ///
    /// # Errors
    /// A sentence, where the folder cannot be used.
    pub fn begin(folder: &Path, locale: &str, clock: Clock) -> Result<Session, String> {
        let locale = locale.to_owned();
        Session::begin_on(Rc::new(Desktop { locale }), folder, clock)
    }

    /// A session on this device over the surveys in this data folder; it stands where the last one stopped, and
    /// has what arrived in the tray meanwhile.
    ///
    /// # Errors
    /// A sentence, where the folder cannot be used.
    pub fn begin_on(
        device: Rc<dyn Device>,
        folder: &Path,
        clock: Clock,
    ) -> Result<Session, String> {
        let store = Store::open(folder).map_err(|error| error.to_string())?;
        let tray = Tray::open(folder).map_err(|error| error.to_string())?;
        let refused = tray.tidy(std::time::SystemTime::now());
        let system = device.system();
        let (mut settings, settings_notice) = store.settings();
        follow(&system, &mut settings);
        let (fans, fans_notice) = store.fan_list();
        let mut session = Session {
            locale: system.locale,
            settings,
            fans,
            surveys: Vec::new(),
            search: String::new(),
            order: Order::Changed,
            deleted: Vec::new(),
            open: None,
            at: Navigation::default(),
            sheet: None,
            notice: None,
            tie: Tie {
                subject: Subject::House,
                spot: None,
                item: None,
            },
            photos: Photos::default(),
            hand_over: HandOver {
                folder: store.bundles(),
                ..HandOver::default()
            },
            list_trouble: String::new(),
            jobs: Vec::new(),
            show: None,
            draft: None,
            customer: None,
            every: false,
            keys_turned: false,
            full_form: false,
            side: None,
            store,
            now: clock.now,
            built: clock.built,
            guard: Guard::new(clock.elapsed),
            asked: 0,
            device,
            tray,
            tried: BTreeSet::new(),
            taking: BTreeSet::new(),
            awake: false,
            going: Arc::default(),
            #[cfg(feature = "office")]
            desk_wish: false,
        };
        session.list_again();
        if let Some(id) = session.store.last_open() {
            session.open_survey(id);
            session.type_again();
        }
        session.look_in_tray();
        // After what opening the survey had to say, of which nothing is lost by it.
        let notices = [settings_notice, fans_notice].into_iter().flatten();
        let mut said: Vec<String> = notices.map(|it| session.told(&it)).collect();
        said.extend(session.refused(refused));
        said.extend(session.clock_trouble());
        if !said.is_empty() {
            said.extend(session.notice.take().map(|notice| notice.text));
            session.say(said.join(" "), None);
        }
        Ok(session)
    }

    /// Who reads.
    pub fn reader(&self) -> Reader {
        settings::reader(&self.settings, &self.locale)
    }

    /// The page that is up.
    pub fn view(&self) -> View {
        self.at.view()
    }

    /// Whether there is a page to go back to.
    pub fn can_go_back(&self) -> bool {
        self.view() != View::Surveys
    }

    /// The survey that is open.
    pub fn open(&self) -> Option<&Open> {
        self.open.as_ref()
    }

    /// What lies over the foot.
    pub fn sheet(&self) -> Option<&Sheet> {
        self.sheet.as_ref()
    }

    /// What was just done.
    pub fn notice(&self) -> Option<&Notice> {
        self.notice.as_ref()
    }

    /// What the next picture is tied to.
    pub fn tie(&self) -> Tie {
        self.tie
    }

    /// The pictures page.
    pub fn photos(&self) -> &Photos {
        &self.photos
    }

    /// Whether the office's window is to be opened, once.
    #[cfg(feature = "office")]
    pub fn take_desk_wish(&mut self) -> bool {
        std::mem::take(&mut self.desk_wish)
    }

    /// The work to be done beside the window, once.
    pub fn take_jobs(&mut self) -> Vec<Job> {
        std::mem::take(&mut self.jobs)
    }

    /// The window is going: work beside it that can be stopped stops. What it was taking in lies in the tray as before.
    pub fn stop_work(&mut self) {
        self.going.store(true, Ordering::Relaxed);
        self.stop_pictures();
        self.stop_bundle();
        self.jobs.clear();
    }

    /// The row to bring into view, once.
    pub fn take_show(&mut self) -> Option<Key> {
        self.show.take()
    }

    /// Looks at another way of the present spot.
    pub fn pick_way(&mut self, way: Way) {
        if let Some(open) = &mut self.open {
            open.picked.insert(open.spot, way);
        }
        self.judge();
    }

    /// Whether a tap on the page counts, or may be the second one of the finger that put a sheet away.
    pub fn takes_on_page(&self) -> bool {
        self.guard.takes_on_page()
    }

    /// How long what is up goes on taking nothing; none once it takes something.
    pub fn opening(&self) -> Option<Duration> {
        self.guard.opening()
    }

    fn say(&mut self, text: String, undo: Option<Undo>) {
        self.notice = Some(Notice { text, undo });
    }

    /// An error's sentence in the reader's language.
    fn told(&self, error: &impl std::fmt::Display) -> String {
        self.reader().language.retell(&error.to_string())
    }

    /// Shows a sentence at the foot.
    pub fn tell(&mut self, text: String) {
        self.say(text, None);
    }

    /// Whether what the notice says can be taken back.
    pub fn notice_has_undo(&self) -> bool {
        self.notice
            .as_ref()
            .is_some_and(|notice| notice.undo.is_some())
    }

    /// Takes away the notice.
    pub fn dismiss_notice(&mut self) {
        self.notice = None;
    }

    /// Takes back what the notice says, or else the last change of the open survey.
    pub fn undo(&mut self) {
        match self.notice.take().and_then(|notice| notice.undo) {
            Some(Undo::Deleted(id)) => self.put_back(id),
            _ => self.travel(true),
        }
    }

    /// Makes the change again that was taken back.
    pub fn redo(&mut self) {
        self.notice = None;
        self.travel(false);
    }

    /// Takes back the last change of the open survey.
    pub fn undo_change(&mut self) {
        self.notice = None;
        self.travel(true);
    }

    /// Whether a change of the open survey can be taken back, and whether one can be made again.
    pub fn history(&self) -> (bool, bool) {
        self.open.as_ref().map_or((false, false), |open| {
            (open.held.can_undo(), open.held.can_redo())
        })
    }

    fn travel(&mut self, back: bool) {
        let now = (self.now)();
        let Some(open) = &mut self.open else { return };
        let done = if back {
            open.held.undo(now)
        } else {
            open.held.redo(now)
        };
        if let Err(error) = done {
            self.say(self.told(&error), None);
            return;
        }
        if open.survey().spot(open.spot).is_none() {
            open.spot = open.survey().spots[0].id;
        }
        let (survey, spot) = (open.survey(), open.spot);
        self.at.settle(|place| place.exists(survey, spot));
        self.show_sheet(None);
        self.judge();
        self.bookmark();
    }

    /// Takes a pick in the settings.
    pub fn set(&mut self, key: &str, at: usize) {
        settings::pick(&mut self.settings, key, at);
        self.follow();
        self.keep_settings();
    }

    /// Takes over how the system is set up now, where the settings follow it.
    pub fn follow(&mut self) {
        let before = self.reader().language;
        let system = self.device.system();
        follow(&system, &mut self.settings);
        if !system.locale.is_empty() {
            self.locale = system.locale;
        }
        if self.reader().language != before {
            self.judge();
        }
    }

    /// Names who surveys with this device.
    pub fn set_surveyor(&mut self, name: &str) {
        self.settings.surveyor = Some(name.trim().to_owned()).filter(|name| !name.is_empty());
        self.keep_settings();
    }

    /// Keeps the window's size. A disk that refuses costs a tug at the window's edge and is not worth a message.
    pub fn keep_window(&mut self, size: (u32, u32)) {
        self.settings.window = Some(size);
        let _ = self.store.save_settings(&self.settings);
    }

    fn keep_settings(&mut self) {
        if let Err(error) = self.store.save_settings(&self.settings) {
            self.say(self.told(&error), None);
        }
        self.judge();
    }

    /// Opens the answers of a setting as a list.
    pub fn open_setting(&mut self, key: &str) {
        let asked = self.settings_asked();
        let asked = asked.iter().find(|asked| asked.key == key);
        self.show_sheet(asked.map(|asked| Sheet::Setting { key: asked.key }));
    }

    /// Why the last fan list was not taken in, with its line and field; empty where it was.
    pub fn list_trouble(&self) -> &str {
        &self.list_trouble
    }

    /// Lets a fan list be chosen: on the system's page where it has one, or else in a list of files.
    pub fn choose_list(&mut self) {
        self.list_trouble.clear();
        if self.abilities().files {
            self.choose_incoming();
        } else {
            self.seek(Seek::FanList);
        }
    }

    /// Goes back to the fan list that comes with the program.
    pub fn drop_list(&mut self) {
        self.list_trouble.clear();
        match self.store.drop_fan_list() {
            Ok(()) => {
                self.fans = crate::trade::fan::generic().clone();
                self.settings.fan_list = None;
                let text = self.reader().tr(
                    "Surveys are judged by the fan list that comes with joistlight from now on.",
                );
                self.say(text, None);
                self.judge();
            }
            Err(error) => self.say(self.told(&error), None),
        }
    }

    /// Every setting that means something on this device, with the answers to pick from.
    pub fn settings_asked(&self) -> Vec<settings::Asked> {
        let able = self.device.abilities();
        let mut asked = settings::asked(&self.settings, &self.locale, able.follow);
        asked.retain(|one| one.key != settings::AWAKE || able.awake);
        asked
    }
}

/// Colours and text are those of the system, until something else is set here. (So is the language.)
fn follow(system: &System, settings: &mut Settings) {
    if let (true, Some(night)) = (settings.as_system.shade, system.night) {
        settings.shade = if night { Shade::Dark } else { Shade::Light };
    }
    if let (true, Some(percent)) = (settings.as_system.text_size, system.text_percent) {
        settings.text_size = TextSize::percent(percent);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;

    fn now() -> When {
        "2026-05-03T18:20:00-07:00".parse().unwrap()
    }

    fn session(folder: &Path) -> Session {
        let mut session = Session::begin(folder, "C", Clock::unhurried(now)).unwrap();
        if session.open().is_none() {
            session.begin_survey();
        }
        session
    }

    fn spot(session: &Session) -> ItemId {
        session.open().unwrap().spot
    }

    #[test]
    fn an_answer_is_on_disk_before_the_keypad_goes_away() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        it.go_stop(Stop::Attic);
        let at = FieldRef::spot("attic.roof_height", spot(&it));
        it.open_keys(at);
        for key in ["3", "6"] {
            it.key(key);
        }
        it.extra_key("inches");
        it.key("8");
        it.extra_key("fraction");
        assert!(it.accept());
        assert!(
            !matches!(it.sheet(), Some(Sheet::Keys { at: there, .. }) if *there == at),
            "it went on"
        );
        let id = it.open().unwrap().survey().id;
        let file = folder
            .path()
            .join("surveys")
            .join(id.to_string())
            .join("survey.json");
        let on_disk = crate::survey::read("survey.json", &std::fs::read(file).unwrap()).unwrap();
        match on_disk.answer(at) {
            Some(Value::Length(reading)) => {
                assert_eq!(reading.length(), Length::inches(36) + Length::sixteenths(8));
            }
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_refused_text_stays_on_the_keypad_with_its_reason() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        let at = FieldRef::spot("attic.roof_height", spot(&it));
        it.open_keys(at);
        it.key("3' 14\"");
        assert!(!it.accept());
        match it.sheet() {
            Some(Sheet::Keys { trouble, typed, .. }) => {
                assert!(trouble.contains("foot"), "{trouble}");
                assert_eq!(typed.text(), "3' 14\"");
            }
            other => panic!("{other:?}"),
        }
        assert_eq!(it.answer(at), None);
    }

    #[test]
    fn reopening_lands_where_the_surveyor_stopped() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        it.go_stop(Stop::Attic);
        it.tap(Key::Add(fields::list("attic.obstructions").unwrap()));
        let (view, id) = (it.view(), it.open().unwrap().survey().id);
        drop(it);
        let again = Session::begin(folder.path(), "C", Clock::unhurried(now)).unwrap();
        assert_eq!(again.view(), view);
        assert_eq!(again.open().unwrap().survey().id, id);
    }

    #[test]
    fn every_change_can_be_undone_and_made_again() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        it.commit(FieldRef::house("arrival.client"), "Invented client");
        it.tap(Key::Add(fields::list("vents.vents").unwrap()));
        it.add_spot(true);
        let last = it.open().unwrap().survey().clone();
        for _ in 0..3 {
            it.undo();
        }
        let first = it.open().unwrap().survey();
        assert_eq!((first.spots.len(), first.vents.vents.items.len()), (1, 0));
        assert_eq!(first.arrival.client, None);
        for _ in 0..3 {
            it.redo();
        }
        assert_eq!(*it.open().unwrap().survey(), last);
    }

    #[test]
    fn a_clock_that_is_wrong_is_told() {
        fn earlier() -> When {
            "2026-05-01T18:20:00-07:00".parse().unwrap()
        }
        let folder = tempfile::tempdir().unwrap();
        let told = |clock: Clock| {
            let it = Session::begin(folder.path(), "C", clock).unwrap();
            it.notice()
                .map_or(String::new(), |notice| notice.text.clone())
        };
        let right = Clock::unhurried(now);
        drop(session(folder.path()));
        assert_eq!(told(right), "");
        // Before the last change of a survey here, and before the program was built.
        let said = told(Clock::unhurried(earlier));
        assert!(said.contains("2026-05-03 18:20"), "{said}");
        let built = now().unix_seconds() + 86_400;
        let said = told(Clock { built, ..right });
        assert!(said.contains("was built after that"), "{said}");
        // Whoever begins a survey all the same is told again.
        let mut it = Session::begin(folder.path(), "C", Clock { built, ..right }).unwrap();
        it.dismiss_notice();
        it.begin_survey();
        assert!(it.notice().is_some());
    }

    #[test]
    fn a_deleted_survey_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        let id = it.open().unwrap().survey().id;
        it.go(View::Surveys);
        it.remove_survey(id);
        assert_eq!(it.survey_count(), 0);
        it.undo();
        assert_eq!(it.survey_count(), 1);
    }

    #[test]
    fn adding_to_a_list_takes_back_that_it_was_all() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        let list = fields::list("vents.vents").unwrap();
        let all = FieldRef::house(list.complete);
        it.pick(all, Some(0));
        assert_eq!(it.answer(all), Some(Value::YesNo(true)));
        it.tap(Key::Add(list));
        assert_eq!(it.answer(all), None);
    }
}
