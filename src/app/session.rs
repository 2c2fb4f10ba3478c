//! The surveyor's session: which survey is open, where one stands in it, what is being typed.
//!
//! It knows no window. Every adapter reads from it and calls it; all of them commit an answer through
//! [`Session::commit`], which has it on disk before anything else happens.

use super::judge::{Judged, Told, Way};
use super::keys::{Corner, Layout, Typed};
use super::place::{Key, Place, Row, RowKind, Seen, likely_subject, next_stop};
use super::reader::{Reader, when_typed};
use super::settings;
use super::work::{Done, Job};
use crate::bundle::{self, Contents, Watch};
use crate::photo::{self, Taken};
use crate::rules::Say;
use crate::store::{self, ChangeError, Facts, OpenSurvey, Settings, Store};
use crate::survey::fields::{self, ListEntry, SPOT_NAME};
use crate::survey::{FieldRef, ItemId, Kind, Photo, Stop, Subject, Survey, Value, When};
use crate::trade::fan::FanList;
use std::collections::BTreeMap;
use std::convert::Infallible;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use uuid::Uuid;
use zune_core::bytestream::ZCursor;
use zune_jpeg::JpegDecoder;

/// Which page is up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The list of surveys.
    Surveys,
    /// A stop, or an entry of a list.
    Place(Place),
    /// The verdict.
    Verdict,
    /// The pictures.
    Photos,
    /// Writing the bundle.
    HandOver,
    /// The settings.
    Settings,
    /// About the program.
    About,
}

/// What an entry of the menu does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MenuItem {
    /// Goes to a page.
    Go(View),
    /// Takes the last change back.
    Undo,
    /// Makes the change again that was taken back.
    Redo,
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
    /// The folders and pictures in a folder.
    Files {
        /// The folder.
        folder: PathBuf,
        /// What is in it that can be picked.
        entries: Vec<FileEntry>,
    },
    /// The menu.
    Menu,
}

/// A folder or a picture to pick.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileEntry {
    /// What the list shows.
    pub label: String,
    path: PathBuf,
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
    /// The judgement of the survey.
    pub judged: Judged,
    picked: BTreeMap<ItemId, Way>,
    troubles: BTreeMap<FieldRef, String>,
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
    /// Why the last one was not taken in.
    pub trouble: String,
    /// The thumbnails by their SHA-256; `None` while one is being read.
    pub thumbnails: BTreeMap<String, Option<Pixels>>,
    /// The picture that fills the window.
    pub look: Option<Pixels>,
    folder: Option<PathBuf>,
}

/// The page that writes the bundle.
#[derive(Debug, Default)]
pub struct HandOver {
    /// Where the bundle is put; the store's own folder unless another is named.
    pub folder: PathBuf,
    /// How much of it is written, from 0 to 1, while it is being written.
    pub progress: Option<f32>,
    /// Where the last one lies.
    pub written: Option<PathBuf>,
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
    open: Option<Open>,
    view: View,
    back: Vec<View>,
    sheet: Option<Sheet>,
    notice: Option<Notice>,
    tie: Tie,
    photos: Photos,
    hand_over: HandOver,
    jobs: Vec<Job>,
    show: Option<Key>,
    draft: Option<(FieldRef, String)>,
    now: fn() -> When,
}

impl Session {
    /// A session over the surveys in this data folder; it stands where the last one stopped. `locale` is the
    /// device's language, such as `es_MX`.
    ///
    /// # Errors
    /// A sentence, where the folder cannot be used.
    pub fn begin(folder: &Path, locale: &str, now: fn() -> When) -> Result<Session, String> {
        let store = Store::open(folder).map_err(|error| error.to_string())?;
        let (settings, settings_notice) = store.settings();
        let (fans, fans_notice) = store.fan_list();
        let mut session = Session {
            locale: locale.to_owned(),
            settings,
            fans,
            surveys: Vec::new(),
            search: String::new(),
            open: None,
            view: View::Surveys,
            back: Vec::new(),
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
            jobs: Vec::new(),
            show: None,
            draft: None,
            store,
            now,
        };
        for notice in [settings_notice, fans_notice].into_iter().flatten() {
            session.say(notice.to_string(), None);
        }
        session.list_again();
        if let Some(id) = session.store.last_open() {
            session.open_survey(id);
        }
        Ok(session)
    }

    /// Who reads.
    pub fn reader(&self) -> Reader {
        settings::reader(&self.settings, &self.locale)
    }

    /// The page that is up.
    pub fn view(&self) -> View {
        self.view
    }

    /// Whether there is a page to go back to.
    pub fn can_go_back(&self) -> bool {
        self.view != View::Surveys
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

    /// The work to be done beside the window, once.
    pub fn take_jobs(&mut self) -> Vec<Job> {
        std::mem::take(&mut self.jobs)
    }

    /// The row to bring into view, once.
    pub fn take_show(&mut self) -> Option<Key> {
        self.show.take()
    }

    // ---- the list of surveys ----

    /// The surveys that match the search, the one changed last first.
    pub fn surveys(&self) -> impl Iterator<Item = &Facts> {
        let wanted = self.search.to_lowercase();
        self.surveys.iter().filter(move |facts| {
            wanted.is_empty()
                || [&facts.client, &facts.address, &facts.job_reference]
                    .into_iter()
                    .flatten()
                    .any(|text| text.to_lowercase().contains(&wanted))
        })
    }

    /// How many surveys there are on this device.
    pub fn survey_count(&self) -> usize {
        self.surveys.len()
    }

    /// Narrows the list.
    pub fn search(&mut self, text: &str) {
        self.search = text.trim().to_owned();
    }

    /// Begins a survey, which is on disk at once.
    pub fn begin_survey(&mut self) {
        let mut survey = Survey::begin(Uuid::new_v4(), (self.now)(), self.settings.tape);
        survey.arrival.surveyor.clone_from(&self.settings.surveyor);
        survey.arrival.visited_at = Some((self.now)());
        match self.store.begin(survey) {
            Ok(held) => self.stand_in(held),
            Err(error) => self.say(error.to_string(), None),
        }
    }

    /// Opens a survey where the surveyor stopped in it.
    pub fn open_survey(&mut self, id: Uuid) {
        match self.store.survey(id) {
            Ok(held) => self.stand_in(held),
            Err(error) => {
                self.say(error.to_string(), None);
                self.list_again();
            }
        }
    }

    fn stand_in(&mut self, held: OpenSurvey) {
        let place = held.place().clone();
        let survey = held.survey();
        let spot = place
            .spot
            .filter(|spot| survey.spot(*spot).is_some())
            .or_else(|| survey.spots.first().map(|spot| spot.id))
            .unwrap_or(ItemId(0));
        let picked = BTreeMap::new();
        let judged = Judged::at(
            survey,
            &self.fans,
            &self.settings.codes,
            &self.reader(),
            spot,
            &picked,
        );
        let notices: Vec<String> = held.notices().iter().map(ToString::to_string).collect();
        self.open = Some(Open {
            held,
            spot,
            judged,
            picked,
            troubles: BTreeMap::new(),
        });
        self.back = vec![View::Surveys];
        self.sheet = None;
        self.notice = None;
        self.resume(&place);
        if !notices.is_empty() {
            self.say(notices.join(" "), None);
        }
    }

    /// Stands where the surveyor stopped.
    fn resume(&mut self, place: &store::Place) {
        let stop = Stop::from_code(&place.page).unwrap_or(Stop::Arrival);
        self.view = View::Place(Place::Stop(stop));
        if let (Some(list), Some(item), Some(open)) = (
            place.list.as_deref().and_then(fields::list),
            place.item,
            &self.open,
        ) {
            let there = Place::Item { list, item };
            if there.exists(open.survey(), open.spot) {
                self.enter(list, item);
            }
        }
        if let View::Place(place) = self.view {
            self.tie_to(place);
        }
        self.bookmark();
    }

    /// Deletes a survey; it can be brought back.
    pub fn remove_survey(&mut self, id: Uuid) {
        let name = self
            .surveys
            .iter()
            .find(|facts| facts.id == id)
            .map_or(String::new(), |facts| self.title_of(facts));
        if self
            .open
            .as_ref()
            .is_some_and(|open| open.survey().id == id)
        {
            self.open = None;
        }
        match self.store.delete(id, (self.now)()) {
            Ok(()) => {
                let text = self
                    .reader()
                    .said(&Say::new("“{survey}” is deleted.").with("survey", name));
                self.say(text, Some(Undo::Deleted(id)));
            }
            Err(error) => self.say(error.to_string(), None),
        }
        self.list_again();
    }

    fn put_back(&mut self, id: Uuid) {
        let put_back = self.store.deleted().and_then(|deleted| {
            let key = deleted
                .into_iter()
                .find(|it| it.facts.as_ref().is_some_and(|facts| facts.id == id))
                .map(|it| it.key);
            key.map_or(Ok(()), |key| self.store.put_back(&key))
        });
        if let Err(error) = put_back {
            self.say(error.to_string(), None);
        }
        self.list_again();
    }

    fn list_again(&mut self) {
        match self.store.list() {
            Ok((surveys, notices)) => {
                self.surveys = surveys;
                if !notices.is_empty() {
                    let all: Vec<String> = notices.iter().map(ToString::to_string).collect();
                    self.say(all.join(" "), None);
                }
            }
            Err(error) => self.say(error.to_string(), None),
        }
    }

    /// What a survey is called in the list.
    pub fn title_of(&self, facts: &Facts) -> String {
        self.first_name([&facts.client, &facts.address, &facts.job_reference])
    }

    /// What the open survey is called over its pages.
    pub fn survey_title(&self) -> String {
        self.open.as_ref().map_or(String::new(), |open| {
            let arrival = &open.survey().arrival;
            self.first_name([&arrival.client, &arrival.address, &arrival.job_reference])
        })
    }

    fn first_name(&self, names: [&Option<String>; 3]) -> String {
        names
            .into_iter()
            .flatten()
            .find(|text| !text.trim().is_empty())
            .cloned()
            .unwrap_or_else(|| self.reader().tr("Survey without a name"))
    }

    // ---- walking ----

    /// Goes to a page; the present one stays behind it.
    pub fn go(&mut self, view: View) {
        if view == self.view {
            return;
        }
        self.sheet = None;
        let deep = matches!(view, View::Place(Place::Item { .. }))
            || !matches!(view, View::Place(_) | View::Surveys);
        if view == View::Surveys {
            self.back.clear();
            self.open = None;
            self.list_again();
        } else if deep {
            self.back.push(self.view);
        } else {
            // The stops lie side by side: back leads out of the survey from each.
            self.back = vec![View::Surveys];
        }
        self.view = view;
        self.show = None;
        if let View::Place(place) = view {
            self.tie_to(place);
        }
        self.bookmark();
    }

    /// Goes one page back, or puts the sheet at the foot away.
    pub fn go_back(&mut self) {
        if self.sheet.take().is_some() {
            return;
        }
        let Some(view) = self.back.pop() else { return };
        let there = match (view, &self.open) {
            (View::Place(place), Some(open)) if !place.exists(open.survey(), open.spot) => {
                View::Place(Place::Stop(place.stop()))
            }
            _ => view,
        };
        if there == View::Surveys {
            self.open = None;
            self.list_again();
        }
        self.view = there;
        self.bookmark();
    }

    /// Goes to a stop.
    pub fn go_stop(&mut self, stop: Stop) {
        self.go(View::Place(Place::Stop(stop)));
    }

    /// Switches to another spot, at the same stop.
    pub fn go_spot(&mut self, at: usize) {
        let Some(open) = &mut self.open else { return };
        let Some(spot) = open.survey().spots.get(at) else {
            return;
        };
        open.spot = spot.id;
        self.sheet = None;
        self.judge();
        self.bookmark();
    }

    /// The page of fields that is up.
    pub fn place(&self) -> Option<Place> {
        match self.view {
            View::Place(place) => Some(place),
            _ => None,
        }
    }

    /// The rows of the page that is up.
    pub fn rows(&self) -> Vec<Row> {
        let (Some(open), Some(place)) = (&self.open, self.place()) else {
            return Vec::new();
        };
        place.rows(&Seen {
            survey: open.survey(),
            spot: open.spot,
            reader: &self.reader(),
            judged: &open.judged,
            troubles: &open.troubles,
        })
    }

    /// Goes to where a field is answered, brings it into view and opens its keys.
    pub fn go_field(&mut self, at: FieldRef) {
        let Some(place) = Place::of(at) else { return };
        if let (Some(open), Some(spot)) = (&mut self.open, at.spot) {
            open.spot = spot;
        }
        self.judge();
        if let Place::Item { list, .. } = place {
            self.go(View::Place(Place::Stop(list.stop)));
        }
        self.go(View::Place(place));
        self.show = Some(Key::Field(at));
        self.open_keys(at);
    }

    // ---- rows ----

    /// A row was tapped.
    pub fn tap(&mut self, key: Key) {
        match key {
            Key::Field(at) => self.open_keys(at),
            Key::Entry { list, item } => self.go(View::Place(Place::Item { list, item })),
            Key::Add(list) => self.add_entry(list),
            Key::Another => self.add_copy(),
            Key::CopySpot => self.add_spot(true),
            Key::RemoveSpot => self.remove_spot(),
            Key::Photos => {
                if let Some(place) = self.place() {
                    self.tie_to(place);
                }
                self.go(View::Photos);
            }
            Key::Next => {
                if let Some(stop) = self.place().and_then(|place| next_stop(place.stop())) {
                    self.go_stop(stop);
                }
            }
            Key::Nothing => {}
        }
    }

    /// Opens the keypad or the list of answers for a field.
    pub fn open_keys(&mut self, at: FieldRef) {
        let Some(kind) = fields::kind_of(at.field) else {
            return;
        };
        self.sheet = match kind {
            Kind::Choice(_) => Some(Sheet::Picks { at }),
            _ => Layout::of(kind, &self.reader().ways).map(|_| Sheet::Keys {
                at,
                kind,
                typed: Typed::default(),
                trouble: String::new(),
            }),
        };
        self.show = Some(Key::Field(at));
    }

    /// An answer was picked from those side by side; `None` takes it back.
    pub fn pick(&mut self, at: FieldRef, option: Option<usize>) {
        let text = match (fields::kind_of(at.field), option) {
            (_, None) => "",
            (Some(Kind::YesNo | Kind::Complete), Some(0)) => "yes",
            (Some(Kind::YesNo), Some(_)) => "no",
            (Some(Kind::Choice(words)), Some(n)) => match words.get(n) {
                Some(word) => word.code,
                None => return,
            },
            _ => return,
        };
        self.commit(at, text);
    }

    /// Words are being typed into a field; they are committed by [`Session::flush`].
    pub fn edit_words(&mut self, at: FieldRef, text: &str) {
        if self.draft.as_ref().is_some_and(|(there, _)| *there != at) {
            self.flush();
        }
        self.draft = Some((at, text.to_owned()));
    }

    /// Commits the words that were typed last. Everything that a tap does begins with this.
    pub fn flush(&mut self) {
        if let Some((at, text)) = self.draft.take() {
            self.commit(at, &text);
        }
    }

    /// One more or one less.
    pub fn step(&mut self, at: FieldRef, by: i32) {
        let Some(kind) = fields::kind_of(at.field) else {
            return;
        };
        let ways = self.reader().ways;
        let before = self.answer(at);
        let mut typed = Typed::default();
        typed.extra(
            if by < 0 { "less" } else { "more" },
            kind,
            before.as_ref(),
            &ways,
        );
        if !typed.is_empty() {
            self.commit(at, typed.text());
        }
    }

    /// The one way in which an answer gets into the survey: read, put in its place, and on disk.
    ///
    /// A text that is refused changes nothing and leaves its reason at the field; so does a disk that
    /// cannot be written to. Returns whether the answer was taken.
    pub fn commit(&mut self, at: FieldRef, text: &str) -> bool {
        let ways = self.reader().ways;
        let now = (self.now)();
        let Some(open) = &mut self.open else {
            return false;
        };
        let text = match fields::kind_of(at.field) {
            Some(Kind::When) if !text.trim().is_empty() => {
                when_typed(text.trim(), &now.to_string())
            }
            _ => text.to_owned(),
        };
        match open.held.type_in(now, at, &text, &ways) {
            Ok(()) => {
                open.troubles.remove(&at);
                self.judge();
                true
            }
            Err(error) => {
                let trouble = match error {
                    // The label stands beside the sentence already.
                    ChangeError::Refused(fields::FieldError::Answer { source, .. }) => {
                        sentence(&source.to_string())
                    }
                    other => other.to_string(),
                };
                self.trouble_at(at, trouble);
                false
            }
        }
    }

    fn trouble_at(&mut self, at: FieldRef, trouble: String) {
        if let Some(Sheet::Keys {
            at: there,
            trouble: shown,
            ..
        }) = &mut self.sheet
        {
            if *there == at {
                *shown = trouble;
                return;
            }
        }
        if let Some(open) = &mut self.open {
            open.troubles.insert(at, trouble);
        }
    }

    /// Changes the survey by other than an answer; on disk when this returns.
    fn change<T>(&mut self, change: impl FnOnce(&mut Survey, ItemId) -> Option<T>) -> Option<T> {
        let now = (self.now)();
        let open = self.open.as_mut()?;
        let spot = open.spot;
        match open
            .held
            .change(now, |survey| Ok::<_, Infallible>(change(survey, spot)))
        {
            Ok(done) => {
                self.judge();
                done
            }
            Err(error) => {
                self.say(error.to_string(), None);
                None
            }
        }
    }

    fn judge(&mut self) {
        let reader = self.reader();
        if let Some(open) = &mut self.open {
            open.judged = Judged::at(
                open.survey(),
                &self.fans,
                &self.settings.codes,
                &reader,
                open.spot,
                &open.picked,
            );
            let best = open
                .judged
                .assessment()
                .spots
                .iter()
                .map(|spot| spot.verdict)
                .max();
            // The list of surveys shows it; where it cannot be kept, the list shows an older one.
            let _ = open.held.note_verdict(best);
        }
    }

    /// The answer there is now.
    pub fn answer(&self, at: FieldRef) -> Option<Value> {
        self.open.as_ref()?.survey().answer(at)
    }

    // ---- entries and spots ----

    fn add_entry(&mut self, list: &'static ListEntry) {
        let added = self.change(|survey, spot| {
            let id = survey.fresh_id();
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.add(id);
            // Something was found after all: whoever adds to it must say again that it is all.
            entries.set_complete(false);
            Some(id)
        });
        if let Some(item) = added {
            self.enter(list, item);
        }
    }

    fn add_copy(&mut self) {
        let Some(Place::Item { list, item }) = self.place() else {
            return;
        };
        let added = self.change(|survey, spot| {
            let id = survey.fresh_id();
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.set_complete(false);
            entries.add_copy(item, id).then_some(id)
        });
        if let Some(item) = added {
            self.enter(list, item);
        }
    }

    /// Stands at an entry; back leads to its stop.
    fn enter(&mut self, list: &'static ListEntry, item: ItemId) {
        self.sheet = None;
        self.back = vec![View::Surveys, View::Place(Place::Stop(list.stop))];
        self.view = View::Place(Place::Item { list, item });
        self.tie_to(Place::Item { list, item });
        self.bookmark();
    }

    /// Takes an entry out; it can be brought back.
    pub fn remove_entry(&mut self, list: &'static ListEntry, item: ItemId) {
        let removed = self.change(|survey, spot| {
            let entries = survey.list_mut(list.id, list.of_spot.then_some(spot))?;
            entries.remove(item).then_some(())
        });
        if removed.is_some() {
            let text = self
                .reader()
                .said(&Say::new("Taken out: {what}.").with("what", list.one));
            self.say(text, Some(Undo::Change));
        }
    }

    /// Adds a spot, empty or with the answers of the present one, and stands at it.
    pub fn add_spot(&mut self, copy: bool) {
        let added = self.change(|survey, spot| {
            if copy {
                let id = survey.copy_spot(spot)?;
                // Two spots of one name could not be told apart.
                survey.put(FieldRef::spot(SPOT_NAME.id, id), None).ok()?;
                Some(id)
            } else {
                Some(survey.add_spot())
            }
        });
        if let (Some(spot), Some(open)) = (added, &mut self.open) {
            open.spot = spot;
            self.judge();
            self.go_stop(Stop::Hall);
            self.bookmark();
        }
    }

    fn remove_spot(&mut self) {
        let removed = self.change(|survey, spot| {
            (survey.spots.len() > 1 && survey.remove_spot(spot)).then_some(())
        });
        if removed.is_some() {
            if let Some(open) = &mut self.open {
                open.spot = open.survey().spots[0].id;
            }
            self.judge();
            let text = self.reader().tr("The spot is taken out.");
            self.say(text, Some(Undo::Change));
        }
    }

    /// What a spot is called.
    pub fn spot_title(&self, at: usize) -> String {
        let name = self
            .open
            .as_ref()
            .and_then(|open| open.survey().spots.get(at))
            .and_then(|spot| spot.name.clone())
            .filter(|name| !name.trim().is_empty());
        name.unwrap_or_else(|| {
            self.reader()
                .said(&Say::new("Spot {number}").with("number", at + 1))
        })
    }

    /// The number of the present spot, from nought.
    pub fn spot_index(&self) -> usize {
        self.open
            .as_ref()
            .and_then(|open| {
                open.survey()
                    .spots
                    .iter()
                    .position(|spot| spot.id == open.spot)
            })
            .unwrap_or(0)
    }

    // ---- the sheet at the foot ----

    fn typing(&mut self) -> Option<(&mut Typed, &mut String, Kind, FieldRef)> {
        match &mut self.sheet {
            Some(Sheet::Keys {
                at,
                kind,
                typed,
                trouble,
            }) => Some((typed, trouble, *kind, *at)),
            _ => None,
        }
    }

    /// A figure, or a key of a keyboard.
    pub fn key(&mut self, text: &str) {
        if let Some((typed, trouble, ..)) = self.typing() {
            trouble.clear();
            typed.press(text);
        }
    }

    /// A key beside the figures.
    pub fn extra_key(&mut self, key: &str) {
        let ways = self.reader().ways;
        let now = (self.now)();
        let Some(at) = self.typing().map(|(.., at)| at) else {
            return;
        };
        let before = self.answer(at);
        if let Some((typed, trouble, kind, _)) = self.typing() {
            trouble.clear();
            if key == "now" {
                *typed = Typed::new(
                    now.to_string()
                        .get(..16)
                        .unwrap_or("")
                        .replace('T', " ")
                        .as_str(),
                );
            } else {
                typed.extra(key, kind, before.as_ref(), &ways);
            }
        }
    }

    /// Rubs out the last figure.
    pub fn erase(&mut self) {
        if let Some((typed, trouble, ..)) = self.typing() {
            trouble.clear();
            typed.erase();
        }
    }

    /// Takes the answer back: not measured.
    pub fn wipe(&mut self) {
        if let Some(at) = self.typing().map(|(.., at)| at) {
            if self.commit(at, "") {
                self.sheet = None;
            }
        }
    }

    /// Takes over what stood in the last like it.
    pub fn take_last(&mut self) {
        let Some(at) = self.typing().map(|(.., at)| at) else {
            return;
        };
        let reader = self.reader();
        let last = self.last_like(at).map(|value| value.show(&reader.ways));
        if let (Some(last), Some((typed, ..))) = (last, self.typing()) {
            *typed = Typed::new(&last);
        }
    }

    /// The answer of the entry before, or of the spot before, to the same question.
    pub fn last_like(&self, at: FieldRef) -> Option<Value> {
        let open = self.open.as_ref()?;
        if let Some(now) = open.survey().answer(at) {
            return Some(now);
        }
        if let Some(item) = at.item {
            let list = fields::list_of_item_field(at.field)?;
            let ids = open.survey().list(list.id, at.spot)?.ids();
            let here = ids.iter().position(|id| *id == item)?;
            return ids[..here].iter().rev().find_map(|id| {
                open.survey().answer(FieldRef {
                    item: Some(*id),
                    ..at
                })
            });
        }
        let spot = at.spot?;
        let here = open.survey().spots.iter().position(|s| s.id == spot)?;
        open.survey().spots[..here].iter().rev().find_map(|s| {
            open.survey().answer(FieldRef {
                spot: Some(s.id),
                ..at
            })
        })
    }

    /// Commits what is typed; the keypad goes away where it is taken.
    pub fn accept(&mut self) -> bool {
        let Some((typed, _, _, at)) = self.typing() else {
            return false;
        };
        let text = typed.text().to_owned();
        if text.is_empty() || self.commit(at, &text) {
            self.sheet = None;
            return true;
        }
        false
    }

    /// Commits what is typed and opens the next question that is not answered.
    pub fn accept_and_next(&mut self) {
        let next = self.next_question();
        if self.accept() {
            if let Some(at) = next {
                self.open_keys(at);
            }
        }
    }

    /// The next question down the page that has keys or a list, and no answer.
    pub fn next_question(&self) -> Option<FieldRef> {
        let present = match &self.sheet {
            Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => *at,
            _ => return None,
        };
        let rows = self.rows();
        let here = rows.iter().position(|row| row.key == Key::Field(present))?;
        rows[here + 1..]
            .iter()
            .find_map(|row| match (row.kind, row.key) {
                (RowKind::Tape | RowKind::Count | RowKind::Choice, Key::Field(at))
                    if !row.known =>
                {
                    Some(at)
                }
                _ => None,
            })
    }

    /// An answer was picked from the sheet.
    pub fn pick_from_sheet(&mut self, option: usize) {
        match self.sheet.take() {
            Some(Sheet::Picks { at }) => {
                let picks = match fields::kind_of(at.field) {
                    Some(Kind::Choice(words)) => words.len(),
                    _ => 0,
                };
                self.pick(at, (option < picks).then_some(option));
            }
            Some(Sheet::Subjects) => {
                if let Some(subject) = Subject::ALL.get(option) {
                    self.tie.subject = *subject;
                }
            }
            Some(Sheet::Files { entries, .. }) => {
                if let Some(entry) = entries.into_iter().nth(option) {
                    if entry.path.is_dir() {
                        self.look_in(&entry.path);
                    } else {
                        self.take_file(&entry.path);
                    }
                }
            }
            Some(Sheet::Menu) => {
                if let Some((item, _)) = self.menu().get(option) {
                    match *item {
                        MenuItem::Go(view) => self.go(view),
                        MenuItem::Undo => self.undo(),
                        MenuItem::Redo => self.redo(),
                    }
                }
            }
            other => self.sheet = other,
        }
    }

    /// Puts the sheet away; what was typed is dropped.
    pub fn put_away(&mut self) {
        self.sheet = None;
    }

    /// Opens the menu.
    pub fn open_menu(&mut self) {
        self.sheet = match self.sheet {
            Some(Sheet::Menu) => None,
            _ => Some(Sheet::Menu),
        };
    }

    /// What the menu offers here.
    pub fn menu(&self) -> Vec<(MenuItem, String)> {
        let reader = self.reader();
        let mut menu = Vec::new();
        if let Some(open) = &self.open {
            menu.push((MenuItem::Go(View::Verdict), reader.tr("Verdict")));
            menu.push((MenuItem::Go(View::Photos), reader.tr("Pictures")));
            menu.push((
                MenuItem::Go(View::HandOver),
                reader.tr("Hand over to the office"),
            ));
            if open.held.can_undo() {
                menu.push((MenuItem::Undo, reader.tr("Undo the last change")));
            }
            if open.held.can_redo() {
                menu.push((MenuItem::Redo, reader.tr("Make it again")));
            }
            menu.push((MenuItem::Go(View::Surveys), reader.tr("All surveys")));
        }
        menu.push((MenuItem::Go(View::Settings), reader.tr("Settings")));
        menu.push((MenuItem::Go(View::About), reader.tr("About joistlight")));
        menu
    }

    /// Opens the list of what a picture can show.
    pub fn open_subjects(&mut self) {
        self.sheet = Some(Sheet::Subjects);
    }

    /// The keys for the answer that is being typed.
    pub fn layout(&self) -> Option<Layout> {
        match &self.sheet {
            Some(Sheet::Keys { kind, .. }) => Layout::of(*kind, &self.reader().ways),
            _ => None,
        }
    }

    /// The key left of the nought was pressed.
    pub fn corner_key(&mut self) {
        match self.layout().map(|layout| layout.corner) {
            Some(Corner::Point) => self.key("."),
            Some(Corner::Sign) => self.extra_key("sign"),
            Some(Corner::None) | None => {}
        }
    }

    /// The finding that hangs on what is being typed, as it would be with it.
    pub fn finding_while_typing(&self) -> Option<Told> {
        let (Some(Sheet::Keys { at, typed, .. }), Some(open)) = (&self.sheet, &self.open) else {
            return None;
        };
        let reader = self.reader();
        let mut survey = open.survey().clone();
        if typed.is_empty() || survey.type_in(*at, typed.text(), &reader.ways).is_err() {
            return open.judged.finding_on(at).cloned();
        }
        Judged::at(
            &survey,
            &self.fans,
            &self.settings.codes,
            &reader,
            open.spot,
            &open.picked,
        )
        .finding_on(at)
        .cloned()
    }

    // ---- pictures ----

    fn tie_to(&mut self, place: Place) {
        self.tie = Tie {
            subject: likely_subject(place),
            spot: self
                .open
                .as_ref()
                .filter(|_| place.of_spot())
                .map(|open| open.spot),
            item: match place {
                Place::Item { item, .. } => Some(item),
                Place::Stop(_) => None,
            },
        };
    }

    /// Opens the list of pictures on this device, in the folder that the last one came from.
    pub fn choose_file(&mut self) {
        let folder = self.photos.folder.clone().unwrap_or_else(|| {
            directories::UserDirs::new().map_or_else(
                || PathBuf::from("/"),
                |dirs| dirs.picture_dir().unwrap_or(dirs.home_dir()).to_owned(),
            )
        });
        self.look_in(&folder);
    }

    /// Lists the folders and pictures in a folder.
    pub fn look_in(&mut self, folder: &Path) {
        let mut entries: Vec<(bool, FileEntry)> = Vec::new();
        match std::fs::read_dir(folder) {
            Ok(found) => {
                for path in found.flatten().map(|entry| entry.path()) {
                    let Some(name) = path
                        .file_name()
                        .map(|name| name.to_string_lossy().into_owned())
                    else {
                        continue;
                    };
                    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
                    let picture = matches!(ending.as_deref(), Some("jpg" | "jpeg" | "png"));
                    if name.starts_with('.') || !(path.is_dir() || picture) {
                        continue;
                    }
                    let label = if path.is_dir() {
                        format!("{name}/")
                    } else {
                        name
                    };
                    entries.push((picture, FileEntry { label, path }));
                }
            }
            Err(error) => self.photos.trouble = format!("{}: {error}", folder.display()),
        }
        entries.sort_by(|a, b| (a.0, &a.1.label).cmp(&(b.0, &b.1.label)));
        let up = folder.parent().map(|parent| FileEntry {
            label: format!("↑ {}", parent.display()),
            path: parent.to_owned(),
        });
        self.sheet = Some(Sheet::Files {
            folder: folder.to_owned(),
            entries: up
                .into_iter()
                .chain(entries.into_iter().map(|(_, entry)| entry))
                .collect(),
        });
    }

    /// Takes a picture in from a file, beside the window; it is tied to what the page names.
    pub fn take_file(&mut self, path: &Path) {
        let Some(open) = &self.open else { return };
        let (id, tie, path) = (open.survey().id, self.tie, path.to_owned());
        self.photos.folder = path.parent().map(Path::to_owned);
        self.photos.trouble.clear();
        self.photos.working += 1;
        self.jobs.push(Job::new(move |_| {
            let taken = photo::take_in(&path).map_err(|error| error.to_string());
            Box::new(move |session: &mut Session| session.photo_taken(id, tie, taken))
        }));
    }

    fn photo_taken(&mut self, survey: Uuid, tie: Tie, taken: Result<Taken, String>) {
        self.photos.working = self.photos.working.saturating_sub(1);
        let now = (self.now)();
        let Some(open) = self.open.as_mut().filter(|open| open.survey().id == survey) else {
            self.say(
                self.reader()
                    .tr("The picture was not kept: its survey was closed meanwhile."),
                None,
            );
            return;
        };
        let kept = taken.and_then(|taken| {
            let photo = Photo {
                id: ItemId(0),
                subject: tie.subject,
                spot: tie.spot,
                item: tie.item,
                remark: None,
                sha256: taken.sha256.to_string(),
                width: taken.width,
                height: taken.height,
                taken_at: taken.taken_at.map(|at| at.to_string()),
                strokes: Vec::new(),
            };
            open.held
                .add_photo(now, &taken.jpeg, &taken.thumbnail, photo)
                .map_err(|error| error.to_string())
        });
        match kept {
            Ok(_) => self.judge(),
            Err(trouble) => self.photos.trouble = trouble,
        }
    }

    /// The pictures of the open survey, those of the present place first.
    pub fn photo_list(&self) -> Vec<&Photo> {
        let Some(open) = &self.open else {
            return Vec::new();
        };
        let mut photos: Vec<&Photo> = open.survey().photos.iter().collect();
        photos.sort_by_key(|photo| self.tie.item.is_some() && photo.item != self.tie.item);
        photos
    }

    /// What a picture shows, in words: its subject, and the spot where there are several.
    pub fn photo_shows(&self, photo: &Photo) -> String {
        let subject = self.reader().tr(photo.subject.label());
        let spot = self.open.as_ref().and_then(|open| {
            let spots = &open.survey().spots;
            spots
                .iter()
                .position(|spot| Some(spot.id) == photo.spot)
                .filter(|_| spots.len() > 1)
        });
        match spot {
            Some(at) => format!("{subject}, {}", self.spot_title(at)),
            None => subject,
        }
    }

    /// Reads the thumbnails that are not read yet, beside the window.
    pub fn want_thumbnails(&mut self) {
        let Some(open) = &self.open else { return };
        let wanted: Vec<(String, PathBuf)> = open
            .survey()
            .photos
            .iter()
            .filter(|photo| !self.photos.thumbnails.contains_key(&photo.sha256))
            .map(|photo| {
                (
                    photo.sha256.clone(),
                    open.held.thumbnail_file(&photo.sha256),
                )
            })
            .collect();
        for (sha256, path) in wanted {
            self.photos.thumbnails.insert(sha256.clone(), None);
            self.jobs.push(Job::new(move |_| {
                let pixels = pixels(&path);
                Box::new(move |session: &mut Session| {
                    session.photos.thumbnails.insert(sha256, pixels);
                })
            }));
        }
    }

    /// Shows a picture as large as the window.
    pub fn look_at(&mut self, photo: ItemId) {
        let Some(open) = &self.open else { return };
        let Some(found) = open.survey().photos.iter().find(|it| it.id == photo) else {
            return;
        };
        let path = open.held.photo_file(&found.sha256);
        self.jobs.push(Job::new(move |_| {
            let pixels = pixels(&path);
            Box::new(move |session: &mut Session| {
                if pixels.is_none() {
                    session.photos.trouble = session.reader().tr("The picture cannot be read.");
                }
                session.photos.look = pixels;
            })
        }));
    }

    /// Puts the large picture away.
    pub fn look_away(&mut self) {
        self.photos.look = None;
    }

    /// Takes a picture out of the survey; it can be brought back.
    pub fn remove_photo(&mut self, photo: ItemId) {
        let removed = self.change(|survey, _| {
            let before = survey.photos.len();
            survey.photos.retain(|it| it.id != photo);
            (survey.photos.len() < before).then_some(())
        });
        if removed.is_some() {
            let text = self.reader().tr("The picture is taken out.");
            self.say(text, Some(Undo::Change));
        }
    }

    // ---- handing over ----

    /// The page that writes the bundle.
    pub fn hand_over(&self) -> &HandOver {
        &self.hand_over
    }

    /// Writes the bundle of the open survey into this folder, beside the window.
    pub fn write_bundle(&mut self, folder: &Path) {
        if self.hand_over.progress.is_some() {
            return;
        }
        self.hand_over.written = None;
        self.hand_over.trouble.clear();
        self.hand_over.folder = folder.to_owned();
        let reader = self.reader();
        let Some(open) = &mut self.open else { return };
        if let Err(error) = open.held.next_revision() {
            self.hand_over.trouble = error.to_string();
            return;
        }
        self.judge();
        let Some(open) = &self.open else { return };
        let stop = Arc::new(AtomicBool::new(false));
        self.hand_over.progress = Some(0.0);
        self.hand_over.stop = Some(Arc::clone(&stop));
        let survey = open.survey().clone();
        let assessment = open.judged.assessment().clone();
        let pictures = open.held.folder().to_owned();
        let folder = folder.to_owned();
        self.jobs.push(Job::new(move |report| {
            let progress = |at: bundle::Progress| {
                #[allow(clippy::cast_precision_loss)]
                let share = at.done as f32 / at.total.max(1) as f32;
                report.meanwhile(Box::new(move |session: &mut Session| {
                    session.hand_over.progress = Some(share);
                }));
            };
            let contents = Contents {
                survey: &survey,
                assessment: &assessment,
                pictures: &pictures,
                ways: reader.ways,
                language: reader.language,
            };
            let watch = Watch {
                stop: Some(&stop),
                progress: Some(&progress),
            };
            let written = std::fs::create_dir_all(&folder)
                .map_err(|error| format!("{}: {error}.", folder.display()))
                .and_then(|()| {
                    bundle::write(&contents, &folder, watch).map_err(|error| error.to_string())
                });
            let done: Done = Box::new(move |session| session.bundle_written(written));
            done
        }));
    }

    fn bundle_written(&mut self, written: Result<PathBuf, String>) {
        self.hand_over.progress = None;
        self.hand_over.stop = None;
        match written {
            Ok(path) => self.hand_over.written = Some(path),
            Err(trouble) => self.hand_over.trouble = trouble,
        }
    }

    /// Stops the writing of the bundle; nothing is left of it.
    pub fn stop_bundle(&mut self) {
        if let Some(stop) = &self.hand_over.stop {
            stop.store(true, Ordering::Relaxed);
        }
    }

    // ---- verdict ----

    /// Looks at another way of the present spot.
    pub fn pick_way(&mut self, way: Way) {
        if let Some(open) = &mut self.open {
            open.picked.insert(open.spot, way);
        }
        self.judge();
    }

    // ---- undo ----

    fn say(&mut self, text: String, undo: Option<Undo>) {
        self.notice = Some(Notice { text, undo });
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

    fn travel(&mut self, back: bool) {
        let now = (self.now)();
        let Some(open) = &mut self.open else { return };
        let done = if back {
            open.held.undo(now)
        } else {
            open.held.redo(now)
        };
        if let Err(error) = done {
            self.say(error.to_string(), None);
            return;
        }
        if open.survey().spot(open.spot).is_none() {
            open.spot = open.survey().spots[0].id;
        }
        if let View::Place(place) = self.view {
            if !place.exists(open.survey(), open.spot) {
                self.view = View::Place(Place::Stop(place.stop()));
            }
        }
        self.sheet = None;
        self.judge();
        self.bookmark();
    }

    // ---- settings ----

    /// Takes a pick in the settings.
    pub fn set(&mut self, key: &str, at: usize) {
        settings::pick(&mut self.settings, key, at);
        self.keep_settings();
    }

    /// Names who surveys with this device.
    pub fn set_surveyor(&mut self, name: &str) {
        self.settings.surveyor = Some(name.trim().to_owned()).filter(|name| !name.is_empty());
        self.keep_settings();
    }

    fn keep_settings(&mut self) {
        if let Err(error) = self.store.save_settings(&self.settings) {
            self.say(error.to_string(), None);
        }
        self.judge();
    }

    /// Every setting, with the answers to pick from.
    pub fn settings_asked(&self) -> Vec<settings::Asked> {
        settings::asked(&self.settings, &self.locale)
    }

    // ---- where one stopped ----

    /// Notes where one stands. A lost bookmark costs one tap; it is not worth a message.
    fn bookmark(&mut self) {
        let id = self.open.as_ref().map(|open| open.survey().id);
        let _ = self.store.note_open(id);
        let (Some(open), View::Place(place)) = (&mut self.open, self.view) else {
            return;
        };
        let (list, item) = match place {
            Place::Item { list, item } => (Some(list.id.to_owned()), Some(item)),
            Place::Stop(_) => (None, None),
        };
        let _ = open.held.note_place(store::Place {
            page: place.stop().code().to_owned(),
            spot: Some(open.spot),
            list,
            item,
            field: None,
        });
    }
}

/// A picture's pixels from a JPEG file of the store.
fn pixels(path: &Path) -> Option<Pixels> {
    let bytes = std::fs::read(path).ok()?;
    let mut decoder = JpegDecoder::new(ZCursor::new(&bytes));
    let rgb = decoder.decode().ok()?;
    let (width, height) = decoder.dimensions()?;
    Some(Pixels {
        width: u32::try_from(width).ok()?,
        height: u32::try_from(height).ok()?,
        rgb,
    })
    .filter(|it| it.rgb.len() == width * height * 3)
}

/// The text with a full stop.
fn sentence(text: &str) -> String {
    let text = super::reader::capital(text);
    if text.ends_with(['.', '?', '!']) {
        text
    } else {
        text + "."
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
        let mut session = Session::begin(folder, "C", now).unwrap();
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
        assert_eq!(it.sheet(), None);
        let id = it.open().unwrap().survey.id;
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
        let (view, id) = (it.view(), it.open().unwrap().survey.id);
        drop(it);
        let again = Session::begin(folder.path(), "C", now).unwrap();
        assert_eq!(again.view(), view);
        assert_eq!(again.open().unwrap().survey.id, id);
    }

    #[test]
    fn every_change_can_be_undone_and_made_again() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        it.commit(FieldRef::house("arrival.client"), "Invented client");
        it.tap(Key::Add(fields::list("vents.vents").unwrap()));
        it.add_spot(true);
        let last = it.open().unwrap().survey.clone();
        for _ in 0..3 {
            it.undo();
        }
        let first = &it.open().unwrap().survey;
        assert_eq!((first.spots.len(), first.vents.vents.items.len()), (1, 0));
        assert_eq!(first.arrival.client, None);
        for _ in 0..3 {
            it.redo();
        }
        assert_eq!(it.open().unwrap().survey, last);
    }

    #[test]
    fn a_deleted_survey_comes_back() {
        let folder = tempfile::tempdir().unwrap();
        let mut it = session(folder.path());
        let id = it.open().unwrap().survey.id;
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
