//! What the device fetches and what other programs give: it is asked for here, and taken in from the tray.

use super::*;
use crate::app::device::{Fetch, Give};
use crate::app::tray::{Arrival, Errand, Token};
use crate::bundle::Bundle;

/// The room that a device must have before a picture is asked for: an original of the camera, beside it the
/// picture that is made of it, and the survey once more. (No source: about three times the largest originals.)
const ROOM_BYTES: u64 = 64 << 20;

/// The most bytes of a fan list.
const LIST_BYTES: u64 = 4 << 20;

impl Session {
    /// Takes a picture with the system's camera, for what the page names.
    pub fn take_picture(&mut self) {
        self.fetch_picture(Fetch::NewPicture);
    }

    /// Chooses a picture that is there already: on the system's page where it has one, or else in a list of files.
    pub fn choose_picture(&mut self) {
        if self.device.abilities().gallery {
            self.fetch_picture(Fetch::Picture);
        } else {
            self.choose_file();
        }
    }

    fn fetch_picture(&mut self, what: Fetch) {
        let Some(open) = &self.open else { return };
        let errand = Errand {
            survey: Some(open.survey().id),
            subject: self.tie.subject,
            spot: self.tie.spot,
            item: self.tie.item,
            from_pictures: self.view() == View::Photos,
            only_one: what == Fetch::NewPicture,
        };
        self.photos.trouble.clear();
        if let Some(room) = self.device.room(self.store.folder())
            && room < ROOM_BYTES
        {
            let say = Say::new(
                "This device is almost full: {megabytes} MB are left. Make room before you take a picture; what was saved is unharmed.",
            )
            .with("megabytes", usize::try_from(room >> 20).unwrap_or(0));
            self.photo_trouble(self.reader().said(&say));
            return;
        }
        self.fetch(what, &errand);
    }

    /// Lets the user choose a fan list or a bundle on the system's page.
    pub fn choose_incoming(&mut self) {
        let errand = Errand {
            survey: None,
            subject: Subject::House,
            spot: None,
            item: None,
            from_pictures: false,
            only_one: false,
        };
        self.fetch(Fetch::File, &errand);
    }

    fn fetch(&mut self, what: Fetch, errand: &Errand) {
        // Words that are being typed are on the disk before another program is in front.
        self.flush();
        let token = match self.tray.expect(errand) {
            Ok(token) => token,
            Err(error) => return self.photo_trouble(self.told(&error)),
        };
        if let Err(refusal) = self.device.fetch(what, &token) {
            self.tray.settle(&token);
            self.photo_trouble(self.told(&refusal));
        }
    }

    /// Says it on the page of pictures, or at the foot of any other.
    fn photo_trouble(&mut self, text: String) {
        if self.view() == View::Photos {
            self.photos.trouble = text;
        } else {
            self.say(text, None);
        }
    }

    /// Whether anything is still to come into the tray.
    pub fn waits(&self) -> bool {
        self.tray.waits()
    }

    /// The program is in front again: what could not be taken in before, for want of room perhaps, is tried again.
    pub fn come_back(&mut self) {
        self.tray.come_back();
        self.follow();
        self.note_half_typed(None);
        let running = &self.taking;
        self.tried.retain(|token| running.contains(token));
        self.look_in_tray();
    }

    /// Takes in what has come.
    pub fn look_in_tray(&mut self) {
        for arrival in self.tray.arrived() {
            match arrival {
                Arrival::Nothing { token, why } => {
                    self.tray.settle(&token);
                    if !why.is_empty() {
                        self.photo_trouble(self.reader().language.retell(&why));
                    }
                }
                Arrival::Here {
                    token,
                    file,
                    name,
                    errand,
                } => {
                    if !self.tried.insert(token.clone()) {
                        continue;
                    }
                    match errand {
                        Some(errand) if errand.survey.is_some() => {
                            self.take_arrived_picture(token, file, &errand);
                        }
                        _ => self.take_given(token, file, name),
                    }
                }
            }
        }
    }

    /// A picture is here: its survey is opened where it was asked for, and it is taken in beside the window.
    fn take_arrived_picture(&mut self, token: Token, file: PathBuf, errand: &Errand) {
        let Some(id) = errand.survey else { return };
        if self.open.as_ref().map(|open| open.survey().id) != Some(id) {
            self.open_survey(id);
        }
        if self.open.as_ref().map(|open| open.survey().id) != Some(id) {
            // The survey is gone; the picture stays where it is until it is back.
            return;
        }
        let tie = Tie {
            subject: errand.subject,
            spot: errand.spot,
            item: errand.item,
        };
        if errand.from_pictures {
            self.go(View::Photos);
        }
        self.tie = tie;
        self.photos.begin();
        self.taking.insert(token.clone());
        let only_one = errand.only_one;
        let (tray, fallen) = (self.tray.clone(), token.clone());
        let job: Job = Job::new(move |_| {
            tray.try_it(&token);
            let taken = photo::take_in(&file);
            tray.tried(&token);
            let unreadable = taken
                .as_ref()
                .is_err_and(|error| !matches!(error.problem, photo::Problem::Unreadable(_)));
            let sha256 = taken.as_ref().ok().map(|taken| taken.sha256.to_string());
            let taken = taken.map_err(|error| error.to_string());
            Box::new(move |session: &mut Session| {
                session.photo_taken(id, tie, taken);
                session.taking.remove(&token);
                let kept = session.open.as_ref().is_some_and(|open| {
                    let photos = &open.survey().photos;
                    photos.iter().any(|it| Some(&it.sha256) == sha256.as_ref())
                });
                if kept || (unreadable && !only_one) {
                    session.tray.settle(&token);
                } else if unreadable {
                    session.tray.refuse(&token);
                }
            })
        });
        self.jobs.push(job.or(move |session| {
            session.photos.end();
            session.fell(&fallen);
        }));
    }

    /// A fault of ours ended the taking in: what came is kept, and not tried again.
    fn fell(&mut self, token: &Token) {
        self.taking.remove(token);
        self.tray.refuse(token);
        self.on_job_panicked();
    }

    /// A fault of ours ended work beside the window.
    pub(super) fn on_job_panicked(&mut self) {
        let text = self.reader().tr(
            "A fault in this program ended its work, and nothing came of it. What was saved is unharmed.",
        );
        self.say(text, None);
    }

    /// What an earlier run of the program was ended by, in a sentence each.
    pub(super) fn refused(&self, refused: Vec<(String, Option<Errand>)>) -> Vec<String> {
        let told = refused.into_iter().map(|(name, errand)| {
            let say = if errand.is_some_and(|errand| errand.survey.is_some()) {
                Say::new(
                    "The last picture ended the program while it was being taken in. It is kept, but not tried again: take it once more.",
                )
            } else {
                Say::new(
                    "{file} ended the program while it was being taken in. It is kept, but not tried again; nothing else has changed.",
                )
                .with("file", name)
            };
            self.reader().said(&say)
        });
        told.collect()
    }

    /// Another program gave a file: a bundle or a fan list, told from its content.
    fn take_given(&mut self, token: Token, file: PathBuf, name: String) {
        let mut start = [0; 4];
        let read = std::fs::File::open(&file).and_then(|mut file| {
            use std::io::Read as _;
            file.read(&mut start)
        });
        if read.is_ok() && start.starts_with(b"PK") {
            self.take_bundle(token, file, name);
        } else {
            self.take_list(&token, &file, &name);
        }
    }

    /// Takes a fan list in; it replaces the earlier one.
    fn take_list(&mut self, token: &Token, file: &Path, name: &str) {
        self.tray.try_it(token);
        self.take_list_file(file, name);
        // Whatever became of it, the program that gave it has it still.
        self.tray.settle(token);
    }

    /// Takes a fan list in from a file; it replaces the earlier one, or nothing changes and the reason is told.
    pub(super) fn take_list_file(&mut self, file: &Path, name: &str) {
        self.list_trouble.clear();
        let small = std::fs::metadata(file).is_ok_and(|file| file.len() <= LIST_BYTES);
        let text = std::fs::read(file)
            .ok()
            .filter(|_| small)
            .and_then(|bytes| String::from_utf8(bytes).ok());
        let Some(text) = text else {
            let say =
                Say::new("{file}: this is neither a bundle nor a fan list. Nothing was taken in.")
                    .with("file", name.to_owned());
            self.list_trouble = self.reader().said(&say);
            return self.say(self.list_trouble.clone(), None);
        };
        match self.store.take_fan_list(name, &text) {
            Ok(list) => {
                self.fans = list;
                self.settings.fan_list = Some(name.to_owned());
                let say = Say::new(
                    "The fan list {file} is taken in; surveys are judged by it from now on.",
                )
                .with("file", name.to_owned());
                self.say(self.reader().said(&say), None);
                self.judge();
            }
            Err(error) => {
                self.list_trouble = self.told(&error);
                self.say(self.list_trouble.clone(), None);
            }
        }
    }

    /// Takes a bundle in as a survey of this device, beside the window.
    fn take_bundle(&mut self, token: Token, file: PathBuf, name: String) {
        let store = self.store.clone();
        self.taking.insert(token.clone());
        let (tray, fallen) = (self.tray.clone(), token.clone());
        let going = Arc::clone(&self.going);
        let job: Job = Job::new(move |_| {
            tray.try_it(&token);
            let taken = take_bundle(&store, &file, &going);
            tray.tried(&token);
            Box::new(move |session: &mut Session| {
                session.taking.remove(&token);
                if taken.is_err() && going.load(Ordering::Relaxed) {
                    return;
                }
                session.tray.settle(&token);
                match taken {
                    Ok(id) => {
                        session.list_again();
                        session.open_survey(id);
                        let say =
                            Say::new("{file} is taken in: this is its survey.").with("file", name);
                        session.say(session.reader().said(&say), None);
                    }
                    Err(why) => {
                        let why = session.reader().language.retell(&why);
                        let say = Say::new("{file} was not taken in. {why}")
                            .with("file", name)
                            .with("why", why);
                        session.say(session.reader().said(&say), None);
                    }
                }
            })
        });
        self.jobs.push(job.or(move |session| session.fell(&fallen)));
    }

    /// Hands out the bundle of the open survey as it stands now.
    pub fn give_bundle(&mut self, way: Give) {
        let Some(path) = self.written().map(Path::to_owned) else {
            return;
        };
        if let Err(refusal) = self.device.give(&path, way) {
            self.hand_over.trouble = self.told(&refusal);
        }
    }

    /// What the device can do.
    pub fn abilities(&self) -> crate::app::device::Abilities {
        self.device.abilities()
    }

    /// Has the screen stay on while a survey is open, where that is wanted.
    pub fn mind_screen(&mut self) {
        let awake = self.settings.stay_awake && self.open.is_some();
        if self.awake != awake {
            self.awake = awake;
            self.device.keep_awake(awake);
        }
    }
}

/// Verifies a bundle and lays it down as a survey.
fn take_bundle(store: &Store, file: &Path, stop: &AtomicBool) -> Result<Uuid, String> {
    let watch = Watch {
        stop: Some(stop),
        progress: None,
    };
    let mut bundle = Bundle::open(file).map_err(|error| error.to_string())?;
    let survey = bundle.survey().clone();
    let beside = file.with_extension("bag");
    let _ = std::fs::remove_dir_all(&beside);
    let taken = bundle
        .unpack(&beside, watch)
        .map_err(|error| error.to_string())
        .and_then(|()| {
            store
                .take_over(&survey, &beside.join("data"))
                .map_err(|error| error.to_string())
        });
    let _ = std::fs::remove_dir_all(&beside);
    taken.map(|()| survey.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::device::{Abilities, Refusal};
    use std::cell::{Cell, RefCell};

    /// A phone without a phone: it notes what it is asked for, and the test says what comes of it.
    #[derive(Default)]
    struct Fake {
        fetched: RefCell<Vec<(Fetch, Token)>>,
        given: RefCell<Vec<(PathBuf, Give)>>,
        awake: Cell<bool>,
        room: Cell<Option<u64>>,
        system: RefCell<System>,
        refuses: Cell<bool>,
    }

    impl Device for Fake {
        fn abilities(&self) -> Abilities {
            Abilities::of_phone(true)
        }
        fn fetch(&self, what: Fetch, token: &Token) -> Result<(), Refusal> {
            if self.refuses.get() {
                return Err(Refusal("This device cannot do that.".to_owned()));
            }
            self.fetched.borrow_mut().push((what, token.clone()));
            Ok(())
        }
        fn give(&self, file: &Path, way: Give) -> Result<(), Refusal> {
            self.given.borrow_mut().push((file.to_owned(), way));
            Ok(())
        }
        fn keep_awake(&self, awake: bool) {
            self.awake.set(awake);
        }
        fn system(&self) -> System {
            self.system.borrow().clone()
        }
        fn room(&self, _: &Path) -> Option<u64> {
            self.room.get()
        }
    }

    impl Fake {
        fn last(&self) -> Token {
            self.fetched.borrow().last().expect("asked").1.clone()
        }
    }

    fn now() -> When {
        "2026-05-03T18:20:00-07:00".parse().unwrap()
    }

    fn begin(fake: &Rc<Fake>, data: &Path) -> Session {
        Session::begin_on(
            Rc::clone(fake) as Rc<dyn Device>,
            data,
            Clock::unhurried(now),
        )
        .unwrap()
    }

    /// Does the work that the session wants done beside the window.
    fn work(session: &mut Session) {
        loop {
            let jobs = session.take_jobs();
            if jobs.is_empty() {
                break;
            }
            for job in jobs {
                job.run(&Report::to_nobody())(session);
            }
        }
    }

    fn picture() -> Vec<u8> {
        let mut jpeg = Vec::new();
        jpeg_encoder::Encoder::new(&mut jpeg, 90)
            .encode(&[90; 64 * 48 * 3], 64, 48, ColorType::Rgb)
            .unwrap();
        jpeg
    }
    use jpeg_encoder::ColorType;

    fn lay(session: &Session, token: &Token, part: &str, bytes: &[u8]) {
        let file = session.tray.folder().join(format!("{token}.{part}"));
        std::fs::write(file, bytes).unwrap();
    }

    /// At an entry of the attic, on the page of pictures, with a picture asked for.
    fn asked(fake: &Rc<Fake>, data: &Path) -> (Session, Tie) {
        let mut session = begin(fake, data);
        session.begin_survey();
        session.go_stop(Stop::Attic);
        session.tap(Key::Add(fields::list("attic.obstructions").unwrap()));
        session.go(View::Photos);
        let tie = session.tie();
        assert!(tie.item.is_some() && tie.spot.is_some());
        session.take_picture();
        assert_eq!(session.photos().trouble, "");
        (session, tie)
    }

    fn tied(session: &Session) -> Vec<Tie> {
        session
            .open()
            .unwrap()
            .survey()
            .photos
            .iter()
            .map(|it| Tie {
                subject: it.subject,
                spot: it.spot,
                item: it.item,
            })
            .collect()
    }

    #[test]
    fn a_picture_comes_back_to_what_it_was_taken_of() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, tie) = asked(&fake, data.path());
        assert_eq!(fake.fetched.borrow()[0].0, Fetch::NewPicture);
        assert!(it.waits());
        // Meanwhile the surveyor turned to something else.
        it.go_stop(Stop::Hall);
        lay(&it, &fake.last(), "file", &picture());
        it.look_in_tray();
        work(&mut it);
        assert_eq!(tied(&it), [tie]);
        assert_eq!((it.view(), it.tie()), (View::Photos, tie));
        assert!(!it.waits());
        assert_eq!(std::fs::read_dir(it.tray.folder()).unwrap().count(), 0);
    }

    #[test]
    fn a_picture_comes_back_though_the_program_was_ended_meanwhile() {
        // The device told that it is here; it only wrote it; it wrote it and tells after the start.
        for (part, late) in [("file", false), ("part", false), ("file", true)] {
            let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
            let (it, tie) = asked(&fake, data.path());
            let token = fake.last();
            let survey = it.open().unwrap().survey().id;
            if !late {
                lay(&it, &token, part, &picture());
            }
            drop(it);
            let mut it = begin(&fake, data.path());
            if late {
                lay(&it, &token, part, &picture());
                it.come_back();
            }
            work(&mut it);
            assert_eq!(it.open().unwrap().survey().id, survey);
            assert_eq!(
                (tied(&it), it.view()),
                (vec![tie], View::Photos),
                "{part} {late}"
            );
            assert_eq!(it.tie(), tie);
            assert_eq!(std::fs::read_dir(it.tray.folder()).unwrap().count(), 0);
        }
    }

    #[test]
    fn a_picture_that_was_being_taken_in_when_the_program_ended_is_taken_in_once() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, tie) = asked(&fake, data.path());
        lay(&it, &fake.last(), "file", &picture());
        it.look_in_tray();
        it.look_in_tray();
        assert_eq!(it.take_jobs().len(), 1);
        drop(it);
        let mut it = begin(&fake, data.path());
        work(&mut it);
        assert_eq!(tied(&it), [tie]);
        drop(it);
        let mut it = begin(&fake, data.path());
        work(&mut it);
        assert_eq!(tied(&it), [tie]);
    }

    #[test]
    fn what_ended_the_program_is_not_tried_again_but_said_and_kept() {
        for given in [false, true] {
            let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
            let (it, _) = asked(&fake, data.path());
            let camera = fake.last();
            let token = if given {
                it.tray.settle(&camera);
                let token = Token::parse("given-1").unwrap();
                lay(&it, &token, "name", b"house.zip");
                token
            } else {
                camera
            };
            lay(&it, &token, "file", b"PK, or whatever ends a program");
            lay(&it, &token, "trying", b"");
            drop(it);
            let mut it = begin(&fake, data.path());
            assert!(it.take_jobs().is_empty());
            let notice = it.notice().expect("said").text.clone();
            assert!(notice.contains("ended the program"), "{notice}");
            assert_eq!(notice.contains("house.zip"), given, "{notice}");
            assert!(it.open().is_some(), "the survey is open all the same");
            let folder = it.tray.folder().to_owned();
            let left: Vec<_> = std::fs::read_dir(&folder).unwrap().flatten().collect();
            assert_eq!(left.len(), 1, "{left:?}");
            assert!(folder.join(format!("{token}.refused")).is_file());
            drop(it);
            let mut it = begin(&fake, data.path());
            assert!(it.take_jobs().is_empty());
            assert_eq!(it.notice(), None, "said once");
        }
    }

    #[test]
    fn a_file_is_marked_while_it_is_taken_in_unless_the_program_is_in_the_back() {
        for back in [false, true] {
            let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
            let (mut it, tie) = asked(&fake, data.path());
            let token = fake.last();
            lay(&it, &token, "file", &picture());
            it.look_in_tray();
            let [job] = <[Job; 1]>::try_from(it.take_jobs()).unwrap();
            if back {
                it.on_background();
            }
            let mark = it.tray.folder().join(format!("{token}.trying"));
            it.tray.try_it(&token);
            assert_eq!(mark.exists(), !back);
            job.run(&Report::to_nobody())(&mut it);
            assert!(!mark.exists());
            assert_eq!(tied(&it), [tie]);
        }
    }

    #[test]
    fn a_full_device_says_so_before_a_picture_is_asked_for() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, _) = asked(&fake, data.path());
        fake.room.set(Some(5 << 20));
        it.take_picture();
        assert!(
            it.photos().trouble.contains("5 MB"),
            "{}",
            it.photos().trouble
        );
        it.choose_picture();
        assert_eq!(fake.fetched.borrow().len(), 1);
        fake.room.set(Some(1 << 30));
        it.choose_picture();
        assert_eq!(fake.fetched.borrow().len(), 2);
    }

    #[test]
    fn a_picture_that_found_no_room_stays_and_is_tried_again() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, tie) = asked(&fake, data.path());
        let photos = it.open().unwrap().held.folder().join("photos");
        // The disk refuses: a file stands where the folder should be.
        std::fs::remove_dir(&photos).unwrap();
        std::fs::write(&photos, b"").unwrap();
        lay(&it, &fake.last(), "file", &picture());
        it.look_in_tray();
        work(&mut it);
        assert_ne!(it.photos().trouble, "");
        assert_eq!(tied(&it), []);
        it.look_in_tray();
        assert!(it.take_jobs().is_empty(), "not again and again");
        std::fs::remove_file(&photos).unwrap();
        std::fs::create_dir(&photos).unwrap();
        it.come_back();
        work(&mut it);
        assert_eq!(tied(&it), [tie]);
    }

    #[test]
    fn nothing_comes_and_a_reason_is_said_where_there_is_one() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, _) = asked(&fake, data.path());
        lay(&it, &fake.last(), "none", b"");
        it.look_in_tray();
        assert_eq!((it.photos().trouble.as_str(), it.waits()), ("", false));
        it.take_picture();
        lay(&it, &fake.last(), "none", b"This device cannot do that.\n");
        it.look_in_tray();
        assert_eq!(it.photos().trouble, "This device cannot do that.");
        fake.refuses.set(true);
        it.take_picture();
        assert!(!it.waits());
    }

    #[test]
    fn what_is_no_picture_is_said_and_only_the_cameras_is_kept() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, _) = asked(&fake, data.path());
        let camera = fake.last();
        it.choose_picture();
        for token in [camera, fake.last()] {
            lay(&it, &token, "file", b"no picture at all");
        }
        it.look_in_tray();
        work(&mut it);
        assert_ne!(it.photos().trouble, "");
        let left: Vec<_> = std::fs::read_dir(it.tray.folder())
            .unwrap()
            .flatten()
            .map(|entry| entry.path().extension().unwrap().to_owned())
            .collect();
        assert_eq!(left, ["refused"]);
    }

    #[test]
    fn words_being_typed_are_on_the_disk_before_the_camera_is_in_front() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, _) = asked(&fake, data.path());
        it.edit_words(FieldRef::house("arrival.client"), "Invented client");
        it.take_picture();
        let file = it.open().unwrap().held.folder().join("survey.json");
        let survey = crate::survey::read("survey.json", &std::fs::read(file).unwrap()).unwrap();
        assert_eq!(survey.arrival.client.as_deref(), Some("Invented client"));
    }

    #[test]
    fn a_bundle_from_another_phone_is_opened_here_with_its_pictures() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, tie) = asked(&fake, data.path());
        lay(&it, &fake.last(), "file", &picture());
        it.look_in_tray();
        work(&mut it);
        it.commit(FieldRef::house("arrival.client"), "Invented client");
        let out = tempfile::tempdir().unwrap();
        it.write_bundle(out.path());
        work(&mut it);
        assert_eq!(it.hand_over().trouble, "");
        let written = it.written().unwrap().to_owned();
        it.give_bundle(Give::Share);
        it.give_bundle(Give::Copy);
        assert_eq!(
            *fake.given.borrow(),
            [
                (written.clone(), Give::Share),
                (written.clone(), Give::Copy)
            ]
        );
        let survey = it.open().unwrap().survey().clone();

        // Neither of another house nor from before a change does one go out.
        it.begin_survey();
        assert_eq!(it.written(), None);
        it.give_bundle(Give::Share);
        it.open_survey(survey.id);
        assert_eq!(it.written(), Some(written.as_path()));
        it.commit(FieldRef::house("arrival.client"), "Another client");
        assert_eq!(it.written(), None);
        it.give_bundle(Give::Copy);
        assert_eq!(fake.given.borrow().len(), 2);

        let other = tempfile::tempdir().unwrap();
        let mut there = begin(&fake, other.path());
        let bundle = std::fs::read(written).unwrap();
        let given = Token::parse("given-1").unwrap();
        let half = Token::parse("given-2").unwrap();
        lay(&there, &half, "file", &bundle[..bundle.len() / 2]);
        lay(&there, &half, "name", b"half.zip");
        there.come_back();
        work(&mut there);
        let notice = there.notice().unwrap().text.clone();
        assert!(notice.starts_with("half.zip was not taken in."), "{notice}");
        assert_eq!(there.survey_count(), 0);

        for _ in 0..2 {
            lay(&there, &given, "file", &bundle);
            lay(&there, &given, "name", b"whole.zip");
            there.come_back();
            work(&mut there);
            assert_eq!(*there.open().unwrap().survey(), survey);
            assert_eq!(tied(&there), [tie]);
            let folder = there.open().unwrap().held.folder().to_owned();
            let sha = &survey.photos[0].sha256;
            for part in ["photos", "thumbnails"] {
                assert!(folder.join(part).join(format!("{sha}.jpg")).is_file());
            }
            assert_eq!(std::fs::read_dir(there.tray.folder()).unwrap().count(), 0);
        }
        let notice = &there.notice().unwrap().text;
        assert!(notice.contains("already"), "{notice}");
    }

    #[test]
    fn a_bundle_whose_taking_in_was_stopped_lets_go_of_the_folder_and_comes_in_at_the_next_start() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let mut it = begin(&fake, data.path());
        it.begin_survey();
        let survey = it.open().unwrap().survey().id;
        let out = tempfile::tempdir().unwrap();
        it.write_bundle(out.path());
        work(&mut it);
        let bundle = std::fs::read(it.written().unwrap()).unwrap();

        let other = tempfile::tempdir().unwrap();
        let mut there = begin(&fake, other.path());
        let token = Token::parse("given-1").unwrap();
        lay(&there, &token, "file", &bundle);
        there.look_in_tray();
        let [job] = <[Job; 1]>::try_from(there.take_jobs()).unwrap();
        there.stop_work();
        job.run(&Report::to_nobody())(&mut there);
        assert_eq!(there.survey_count(), 0);
        drop(there);
        let mut there = begin(&fake, other.path());
        work(&mut there);
        assert_eq!(there.open().unwrap().survey().id, survey);
        assert_eq!(std::fs::read_dir(there.tray.folder()).unwrap().count(), 0);
    }

    #[test]
    fn a_fan_list_that_is_opened_judges_from_then_on_and_a_bad_one_changes_nothing() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let mut it = begin(&fake, data.path());
        let own = include_str!("../../trade/fans.toml");
        for (name, text) in [
            ("office.toml", own),
            ("bad.toml", "[[fan]]\nname = 3"),
            ("x.pdf", "\u{1}"),
        ] {
            let token = Token::parse("given").unwrap();
            lay(&it, &token, "file", text.as_bytes());
            lay(&it, &token, "name", name.as_bytes());
            it.come_back();
            assert!(
                it.notice().unwrap().text.contains(name),
                "{:?}",
                it.notice()
            );
            assert_eq!(it.settings.fan_list.as_deref(), Some("office.toml"));
            assert_eq!(it.fans, *crate::trade::fan::generic());
        }
        assert_eq!(
            it.store.settings().0.fan_list.as_deref(),
            Some("office.toml")
        );
    }

    #[test]
    fn the_look_follows_the_system_until_something_else_is_set_and_again_when_asked_to() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        *fake.system.borrow_mut() = System {
            locale: "es_MX".to_owned(),
            night: Some(false),
            text_percent: Some(130),
        };
        let mut it = begin(&fake, data.path());
        assert_eq!(it.reader().language, crate::words::Language::Spanish);
        assert_eq!(it.settings.shade, Shade::Light);
        assert_eq!(u16::from(it.settings.text_size), 130);
        // Anything else is set; night falls and the words change while the camera is in front.
        it.set_surveyor("Invented Name");
        *fake.system.borrow_mut() = System {
            locale: "en_US".to_owned(),
            night: Some(true),
            text_percent: Some(100),
        };
        it.come_back();
        assert_eq!(it.reader().language, crate::words::Language::English);
        assert_eq!(it.settings.shade, Shade::Dark);
        assert_eq!(u16::from(it.settings.text_size), 100);
        it.set("shade", 1);
        it.set("text", 3);
        it.set("language", 1);
        it.follow();
        drop(it);
        let mut it = begin(&fake, data.path());
        assert_eq!(it.settings.shade, Shade::Light);
        assert_eq!(u16::from(it.settings.text_size), 200);
        assert_eq!(it.reader().language, crate::words::Language::Spanish);
        for key in ["shade", "text", "language"] {
            let asked = it.settings_asked();
            let asked = asked.iter().find(|asked| asked.key == key).unwrap();
            it.set(key, asked.picks.len() - 1);
        }
        assert_eq!(it.settings.shade, Shade::Dark);
        assert_eq!(u16::from(it.settings.text_size), 100);
        assert_eq!(it.reader().language, crate::words::Language::English);
    }

    #[test]
    fn the_screen_stays_on_during_a_survey_where_that_is_wanted() {
        let (fake, data) = (Rc::<Fake>::default(), tempfile::tempdir().unwrap());
        let (mut it, _) = asked(&fake, data.path());
        it.mind_screen();
        assert!(!fake.awake.get());
        it.set(settings::AWAKE, 1);
        it.mind_screen();
        assert!(fake.awake.get());
        it.go(View::Surveys);
        it.mind_screen();
        assert!(!fake.awake.get());
    }
}
