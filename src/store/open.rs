//! One survey, open for changes.

use super::history::{History, Side};
use super::{Notice, Store, StoreError, held};
use crate::disk::{self, About};
use crate::rules::Verdict;
use crate::survey::fields::FieldError;
use crate::survey::{FieldRef, FileError, ItemId, Photo, Survey, Ways, When, pretty, read_json};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::cell::OnceCell;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// Where in a survey the surveyor is; the words are the screens' own.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Bookmark {
    /// The page.
    pub page: String,
    /// The spot it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spot: Option<ItemId>,
    /// The list that is up.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub list: Option<String>,
    /// The item of that list.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub item: Option<ItemId>,
    /// The field.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
}

/// What stood on the keys when the program went to the back, and was no answer yet.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct HalfTyped {
    /// The field, as in [`Bookmark`].
    pub field: String,
    /// The figures and marks so far.
    pub text: String,
    /// Whether the keys read the tape's other unit.
    pub turned: bool,
}

/// What is kept beside a survey and does not belong to it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub(super) struct Session {
    pub place: Bookmark,
    /// What was being typed there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub typed: Option<HalfTyped>,
    /// What the survey came to when it was last judged on this device.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub verdict: Option<Verdict>,
    /// SHA-256 of the survey file as it last went into a bundle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bundled: Option<String>,
}

/// Why a change was not made; the survey is as it was, on disk and in memory.
#[derive(Debug, thiserror::Error)]
pub enum ChangeError<E: std::error::Error + 'static> {
    /// The change itself was refused, such as a text that is no length.
    #[error(transparent)]
    Refused(E),
    /// It could not be saved.
    #[error(transparent)]
    Store(StoreError),
}

/// A survey that is open for changes. Dropping it closes it; nothing is left to be saved then.
#[derive(Debug)]
pub struct OpenSurvey {
    store: Store,
    folder: PathBuf,
    survey: Survey,
    session: Session,
    notices: Vec<Notice>,
    history: History,
}

impl Drop for OpenSurvey {
    fn drop(&mut self) {
        held(&self.store.0.open).remove(&self.survey.id);
    }
}

impl OpenSurvey {
    pub(super) fn new(store: Store, folder: PathBuf, survey: Survey) -> Result<Self, StoreError> {
        let mut notices = Vec::new();
        let session = read_session(&folder).unwrap_or_else(|error| {
            notices.push(Notice::PlaceForgotten(error));
            Session::default()
        });
        let open = OpenSurvey {
            store,
            history: History::open(&folder),
            folder,
            survey,
            session,
            notices,
        };
        open.tidy()?;
        Ok(open)
    }

    /// Removes what a crash left, and pictures that neither the survey names nor a state of it that undo leads to:
    /// they can no longer be put back, or a crash came before the survey named them.
    fn tidy(&self) -> Result<(), StoreError> {
        disk::clear_leftovers(&self.folder)?;
        let names = |survey: &Survey| {
            let photos = survey.photos.iter();
            photos
                .map(|photo| format!("{}.jpg", photo.sha256))
                .collect::<BTreeSet<String>>()
        };
        let named = names(&self.survey);
        // Read only where a picture is in question.
        let before: OnceCell<BTreeSet<String>> = OnceCell::new();
        let can_come_back = |name: &str| {
            let before = before.get_or_init(|| {
                let states = self.history.states();
                states.flat_map(|state| names(&state)).collect()
            });
            before.contains(name)
        };
        for part in ["photos", "thumbnails"] {
            let folder = self.folder.join(part);
            fs::create_dir_all(&folder).about(&folder)?;
            for entry in fs::read_dir(&folder).about(&folder)?.flatten() {
                let name = entry.file_name();
                let name = name.to_string_lossy();
                let ours = disk::is_leftover(&name) || (name.len() == 68 && name.ends_with(".jpg"));
                if ours && !named.contains(name.as_ref()) && !can_come_back(&name) {
                    let _ = fs::remove_file(entry.path());
                }
            }
        }
        Ok(())
    }

    /// The survey as it is on the disk.
    pub fn survey(&self) -> &Survey {
        &self.survey
    }

    /// The folder that holds it, with `photos/` and `thumbnails/`.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// What the user should hear about its opening.
    pub fn notices(&self) -> &[Notice] {
        &self.notices
    }

    /// Makes a change; when this returns, it is on the disk. A change that changes nothing is not written.
    ///
    /// `edit` works on a copy: where it or the disk refuses, the survey is as it was.
    ///
    /// # Errors
    /// What `edit` says, or that the disk is full or refuses.
    pub fn change<T, E: std::error::Error>(
        &mut self,
        now: When,
        edit: impl FnOnce(&mut Survey) -> Result<T, E>,
    ) -> Result<T, ChangeError<E>> {
        let mut changed = self.survey.clone();
        let given = edit(&mut changed).map_err(ChangeError::Refused)?;
        if changed != self.survey {
            changed.changed = now;
            self.replace(Side::Earlier, changed)
                .map_err(ChangeError::Store)?;
            self.history.forget(Side::Later);
        }
        Ok(given)
    }

    /// Reads a typed text as the answer at `at` and saves it; blanks take the answer back.
    ///
    /// # Errors
    /// A sentence that names the field and says what is wrong with the text, or that the disk refuses.
    pub fn type_in(
        &mut self,
        now: When,
        at: FieldRef,
        text: &str,
        ways: &Ways,
    ) -> Result<(), ChangeError<FieldError>> {
        self.change(now, |survey| survey.type_in(at, text, ways))
    }

    fn file(&self) -> PathBuf {
        self.folder.join("survey.json")
    }

    fn save(&self, survey: &Survey) -> Result<(), StoreError> {
        Ok(disk::write_whole(&self.file(), &survey.to_json())?)
    }

    /// Puts another state in place of the present one, which is kept on this side of it.
    fn replace(&mut self, side: Side, survey: Survey) -> Result<(), StoreError> {
        self.history.keep(side, &self.file());
        if let Err(error) = self.save(&survey) {
            self.history.drop_nearest(side);
            return Err(error);
        }
        self.survey = survey;
        Ok(())
    }

    /// Whether a change can be taken back, one before the program was started included.
    pub fn can_undo(&self) -> bool {
        self.history.has(Side::Earlier)
    }

    /// Whether a change that was taken back can be made again.
    pub fn can_redo(&self) -> bool {
        self.history.has(Side::Later)
    }

    /// Takes the last change back and saves that; `false` where there is none. Ids given out and the revision
    /// stay as they are, so that neither is used twice.
    ///
    /// # Errors
    /// Where the disk is full or refuses; nothing is taken back then.
    pub fn undo(&mut self, now: When) -> Result<bool, StoreError> {
        self.restore(Side::Earlier, Side::Later, now)
    }

    /// Makes the change again that was taken back last; `false` where there is none.
    ///
    /// # Errors
    /// Where the disk is full or refuses; nothing is changed then.
    pub fn redo(&mut self, now: When) -> Result<bool, StoreError> {
        self.restore(Side::Later, Side::Earlier, now)
    }

    /// Puts the nearest state of this side in place; the present one lies on the other side then.
    fn restore(&mut self, from: Side, to: Side, now: When) -> Result<bool, StoreError> {
        let Some(mut survey) = self.history.nearest(from, &self.survey) else {
            return Ok(false);
        };
        survey.changed = now;
        survey.revision = self.survey.revision;
        survey.next_id = self.survey.next_id;
        self.replace(to, survey)?;
        self.history.drop_nearest(from);
        Ok(true)
    }

    /// Where the surveyor stopped.
    pub fn place(&self) -> &Bookmark {
        &self.session.place
    }

    /// Notes where the surveyor is; the next opening starts there.
    ///
    /// # Errors
    /// Where the disk is full or refuses.
    pub fn note_place(&mut self, place: Bookmark) -> Result<(), StoreError> {
        self.note(|session| session.place = place)
    }

    /// What was being typed there when the program went to the back.
    pub fn half_typed(&self) -> Option<&HalfTyped> {
        self.session.typed.as_ref()
    }

    /// Notes what is being typed, before the program goes to the back; none once it is in front again.
    ///
    /// # Errors
    /// Where the disk is full or refuses.
    pub fn note_half_typed(&mut self, typed: Option<HalfTyped>) -> Result<(), StoreError> {
        self.note(|session| session.typed = typed)
    }

    /// Notes what the survey came to, for the list of surveys.
    ///
    /// # Errors
    /// Where the disk is full or refuses.
    pub fn note_verdict(&mut self, verdict: Option<Verdict>) -> Result<(), StoreError> {
        self.note(|session| session.verdict = verdict)
    }

    fn note(&mut self, edit: impl FnOnce(&mut Session)) -> Result<(), StoreError> {
        let mut session = self.session.clone();
        edit(&mut session);
        if session != self.session {
            disk::write_whole(&self.folder.join("session.json"), &pretty(&session))?;
            self.session = session;
        }
        Ok(())
    }

    /// Saves a picture and its thumbnail (both JPEG), then names it in the survey as `photo` says; its id is
    /// given here and returned. The same picture may be named more than once; its file is kept once.
    ///
    /// # Errors
    /// Where the bytes are not those that `photo` names, or the disk is full or refuses.
    pub fn add_photo(
        &mut self,
        now: When,
        jpeg: &[u8],
        thumbnail: &[u8],
        photo: Photo,
    ) -> Result<ItemId, StoreError> {
        let digest = hex(&Sha256::digest(jpeg));
        if digest != photo.sha256 {
            return Err(StoreError::OtherPicture(photo.sha256));
        }
        for (path, bytes) in [
            (self.photo_file(&digest), jpeg),
            (self.thumbnail_file(&digest), thumbnail),
        ] {
            disk::write_whole(&path, bytes)?;
        }
        let added = self.change(now, |survey| {
            let id = survey.fresh_id();
            survey.photos.push(Photo { id, ..photo });
            Ok::<_, FieldError>(id)
        });
        match added {
            Ok(id) => Ok(id),
            Err(ChangeError::Store(error)) => Err(error),
            Err(ChangeError::Refused(_)) => unreachable!("the edit above refuses nothing"),
        }
    }

    /// Where the picture with this SHA-256 lies. A picture that is taken out of the survey stays there as
    /// long as taking it out can be undone.
    pub fn photo_file(&self, sha256: &str) -> PathBuf {
        self.folder.join("photos").join(format!("{sha256}.jpg"))
    }

    /// Where the thumbnail of the picture with this SHA-256 lies.
    pub fn thumbnail_file(&self, sha256: &str) -> PathBuf {
        self.folder.join("thumbnails").join(format!("{sha256}.jpg"))
    }

    /// Raises the revision for a bundle that is about to be written, and saves that; a survey that has not
    /// changed since its last bundle keeps its revision, so that the bundle comes out the same.
    ///
    /// # Errors
    /// Where the disk is full or refuses.
    pub fn next_revision(&mut self) -> Result<u32, StoreError> {
        if self.session.bundled.as_deref() == Some(&digest_of(&self.survey)) {
            return Ok(self.survey.revision);
        }
        let mut raised = self.survey.clone();
        raised.revision += 1;
        self.save(&raised)?;
        self.survey = raised;
        let bundled = digest_of(&self.survey);
        self.note(|session| session.bundled = Some(bundled))?;
        Ok(self.survey.revision)
    }
}

pub(super) fn digest_of(survey: &Survey) -> String {
    hex(&Sha256::digest(survey.to_json()))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The session beside a survey; a new one where there is none.
pub(super) fn read_session(folder: &Path) -> Result<Session, FileError> {
    let path = folder.join("session.json");
    match fs::read(&path) {
        Ok(bytes) => read_json(&path.display().to_string(), &bytes),
        // Not there, or not to be read: either way the survey opens at its first page.
        Err(_) => Ok(Session::default()),
    }
}
