//! The pictures, which are taken in beside the window.

use super::*;
use crate::app::strokes;
use crate::rules::pictures::{NeededPicture, needed};

impl Photos {
    /// One more is being taken in; the flag says when to stop.
    pub(super) fn begin(&mut self) -> Arc<AtomicBool> {
        if self.working == 0 {
            self.done = 0;
            self.stop = Arc::default();
        }
        self.working += 1;
        Arc::clone(&self.stop)
    }

    /// One of them is done, or will not be.
    pub(super) fn end(&mut self) {
        self.working = self.working.saturating_sub(1);
        self.done += 1;
    }

    /// How many are done, and how many there are in all.
    pub fn progress(&self) -> (usize, usize) {
        (self.done, self.done + self.working)
    }
}

impl Session {
    pub(super) fn tie_to(&mut self, place: Place) {
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
        self.seek(Seek::Picture);
    }

    /// Opens the list of files of this device, in the folder that the last one came from.
    pub(super) fn seek(&mut self, seek: Seek) {
        let folder = self.photos.folder.clone().unwrap_or_else(|| {
            directories::UserDirs::new().map_or_else(
                || PathBuf::from("/"),
                |dirs| {
                    match seek {
                        Seek::Picture => dirs.picture_dir(),
                        Seek::FanList => dirs.document_dir(),
                    }
                    .filter(|folder| folder.is_dir())
                    .unwrap_or(dirs.home_dir())
                    .to_owned()
                },
            )
        });
        self.look_in(seek, &folder);
    }

    /// Lists the folders of a folder, and its files of the kind that is looked for.
    pub fn look_in(&mut self, seek: Seek, folder: &Path) {
        let mut folders: Vec<FileEntry> = Vec::new();
        let mut files: Vec<FileEntry> = Vec::new();
        match std::fs::read_dir(folder) {
            Ok(found) => {
                for path in found.flatten().map(|entry| entry.path()) {
                    let Some(name) = path
                        .file_name()
                        .map(|name| name.to_string_lossy().into_owned())
                        .filter(|name| !name.starts_with('.'))
                    else {
                        continue;
                    };
                    let ending = path.extension().map(|e| e.to_string_lossy().to_lowercase());
                    let sought = ending.is_some_and(|it| seek.endings().contains(&it.as_str()));
                    if path.is_dir() {
                        folders.push(FileEntry {
                            label: format!("{name}/"),
                            paths: vec![path],
                        });
                    } else if sought {
                        files.push(FileEntry {
                            label: name,
                            paths: vec![path],
                        });
                    }
                }
            }
            Err(error) => {
                let trouble = format!("{}: {error}", folder.display());
                match seek {
                    Seek::Picture => self.photos.trouble = trouble,
                    Seek::FanList => self.list_trouble = trouble,
                }
            }
        }
        folders.sort_by(|a, b| a.label.cmp(&b.label));
        files.sort_by(|a, b| a.label.cmp(&b.label));
        let up = folder.parent().map(|parent| FileEntry {
            label: format!("↑ {}", parent.display()),
            paths: vec![parent.to_owned()],
        });
        let all = (seek == Seek::Picture && files.len() > 1).then(|| FileEntry {
            label: self
                .reader()
                .said(&Say::new("All {count} pictures of this folder").with("count", files.len())),
            paths: files.iter().flat_map(|file| file.paths.clone()).collect(),
        });
        let entries = up
            .into_iter()
            .chain(folders)
            .chain(all)
            .chain(files)
            .collect();
        self.show_sheet(Some(Sheet::Files {
            seek,
            folder: folder.to_owned(),
            entries,
        }));
    }

    /// Takes a picture in from a file, beside the window; it is tied to what the page names.
    pub fn take_file(&mut self, path: &Path) {
        let Some(open) = &self.open else { return };
        let (id, tie, path) = (open.survey().id, self.tie, path.to_owned());
        self.photos.folder = path.parent().map(Path::to_owned);
        self.photos.trouble.clear();
        let stop = self.photos.begin();
        let job: Job = Job::new(move |_| {
            let taken = if stop.load(Ordering::Relaxed) {
                None
            } else {
                Some(photo::take_in(&path).map_err(|error| error.to_string()))
            };
            Box::new(move |session: &mut Session| match taken {
                Some(taken) if !stop.load(Ordering::Relaxed) => {
                    session.photo_taken(id, tie, taken);
                }
                _ => session.photos.end(),
            })
        });
        self.jobs.push(job.or(|session| {
            session.photos.end();
            session.on_job_panicked();
        }));
    }

    /// Takes every picture of a folder in, one after the other.
    pub fn take_all(&mut self, files: &[PathBuf]) {
        for file in files {
            self.take_file(file);
        }
    }

    /// Stops taking pictures in. Those that are kept already stay, each of them whole; of the others nothing is
    /// left.
    pub fn stop_pictures(&mut self) {
        self.photos.stop.store(true, Ordering::Relaxed);
    }

    /// The pictures that this house needs, each with its number; those of the stop that one comes from first.
    pub fn needed_pictures(&self) -> Vec<(usize, NeededPicture)> {
        let Some(open) = &self.open else {
            return Vec::new();
        };
        let here = self.at.behind().iter().rev().find_map(|view| match view {
            View::Place(place) => Some(place.stop()),
            _ => None,
        });
        let mut needed: Vec<_> = needed(open.survey()).into_iter().enumerate().collect();
        needed.sort_by_key(|(_, picture)| Some(picture.stop) != here);
        needed
    }

    /// What a needed picture shows, in words.
    pub fn needed_title(&self, picture: &NeededPicture) -> String {
        self.shows(picture.what, picture.spot, picture.item)
    }

    /// Takes the needed picture of this number, or lets it be chosen; it is tied to its thing.
    pub fn take_needed(&mut self, at: usize) {
        let Some(picture) = self
            .open
            .as_ref()
            .and_then(|open| needed(open.survey()).get(at).copied())
        else {
            return;
        };
        self.tie = Tie {
            subject: picture.what,
            spot: picture.spot,
            item: picture.item,
        };
        if self.abilities().camera {
            self.take_picture();
        } else {
            self.choose_picture();
        }
    }

    /// The picture that fills the window, and what it shows.
    pub fn looked(&self) -> Option<(&Photo, String)> {
        let id = self.photos.looked?;
        let photo = self
            .open
            .as_ref()?
            .survey()
            .photos
            .iter()
            .find(|it| it.id == id)?;
        Some((photo, self.photo_shows(photo)))
    }

    /// Draws an arrow or a ring on the picture that fills the window; places are shares of its width and height.
    /// The picture's file stays as it is.
    pub fn draw_on_picture(&mut self, ring: bool, from: (f32, f32), to: (f32, f32)) {
        let Some((photo, _)) = self.looked() else {
            return;
        };
        let (id, tall) = (
            photo.id,
            f64::from(photo.height.max(1)) / f64::from(photo.width.max(1)),
        );
        let Some(stroke) = strokes::stroke(ring, from, to, tall) else {
            return;
        };
        self.change(|survey, _| {
            let photo = survey.photos.iter_mut().find(|it| it.id == id)?;
            photo.strokes.push(stroke);
            Some(())
        });
    }

    /// Rubs out what was drawn last on the picture that fills the window.
    pub fn rub_out(&mut self) {
        let Some(id) = self.photos.looked else { return };
        self.change(|survey, _| {
            let photo = survey.photos.iter_mut().find(|it| it.id == id)?;
            photo.strokes.pop().map(|_| ())
        });
    }

    pub(super) fn photo_taken(&mut self, survey: Uuid, tie: Tie, taken: Result<Taken, String>) {
        self.photos.end();
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
            Ok(_) => {
                self.note_work();
                self.judge();
            }
            Err(trouble) => self.photos.trouble = self.told(&trouble),
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
        self.shows(photo.subject, photo.spot, photo.item)
    }

    fn shows(&self, subject: Subject, spot: Option<ItemId>, item: Option<ItemId>) -> String {
        let mut words = vec![self.reader().tr(subject.label())];
        if let Some(open) = &self.open {
            let spots = &open.survey().spots;
            words.extend(item.and_then(|item| {
                let at = spot.unwrap_or(open.spot);
                fields::LISTS.iter().find_map(|list| {
                    let place = Place::Item { list, item };
                    place
                        .exists(open.survey(), at)
                        .then(|| place.title(open.survey(), at, &self.reader()))
                })
            }));
            let several = spots.len() > 1;
            words.extend(
                spots
                    .iter()
                    .position(|it| several && Some(it.id) == spot)
                    .map(|at| self.spot_title(at)),
            );
        }
        words.join(", ")
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
        self.photos.looked = Some(photo);
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
        self.photos.looked = None;
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
