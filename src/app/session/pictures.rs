//! The pictures, which are taken in beside the window.

use super::*;

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

    pub(super) fn photo_taken(&mut self, survey: Uuid, tie: Tie, taken: Result<Taken, String>) {
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
