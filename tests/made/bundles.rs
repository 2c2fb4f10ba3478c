//! Surveys with pictures on a device of their own, and bundles of them.
#![allow(dead_code, reason = "each test uses its part")]

use crate::common::{Dice, random_survey};
use crate::pictures;
use joistlight::bundle::{self, Contents, Watch, WriteError};
use joistlight::photo;
use joistlight::rules;
use joistlight::store::{OpenSurvey, Store};
use joistlight::survey::{ItemId, Photo, Stroke, Subject, Survey, Ways, When};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;
use joistlight::words::Language;
use std::path::{Path, PathBuf};

pub fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().unwrap()
}

/// A device with one survey on it.
pub struct Device {
    pub folder: tempfile::TempDir,
    pub store: Store,
    pub open: OpenSurvey,
}

/// A filled survey with as many pictures of this size.
pub fn device(seed: u64, photos: u32, (width, height): (u32, u32)) -> Device {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(folder.path()).unwrap();
    let mut survey = random_survey(&mut Dice(seed), 2, 80);
    survey.arrival.job_reference = Some("Test 7".into());
    let mut open = store.begin(survey).unwrap();
    let attic = pictures::attic(width, height);
    for number in 0..photos {
        let mut picture = attic.clone();
        // Each a little different.
        picture.put_pixel(number % width, 0, image::Rgb([number as u8, 90, 200]));
        let taken =
            photo::take_in_bytes(&pictures::jpeg(&picture, 88), "made by the test").unwrap();
        let spot = open.survey().spots[0].id;
        let photo = Photo {
            id: ItemId(0),
            subject: Subject::ALL[number as usize % Subject::ALL.len()],
            spot: (number % 2 == 0).then_some(spot),
            item: None,
            remark: (number == 0).then(|| "<script>alert(1)</script> & \"so on\"".to_owned()),
            sha256: taken.sha256.to_string(),
            width: taken.width,
            height: taken.height,
            taken_at: Some("2026-05-03T18:25:00-07:00".into()),
            strokes: vec![
                Stroke::Arrow {
                    from: [100, 200],
                    to: [500, 600],
                },
                Stroke::Ring {
                    middle: [500, 600],
                    radius: 90,
                },
            ],
        };
        open.add_photo(now(), &taken.jpeg, &taken.thumbnail, photo)
            .unwrap();
    }
    open.next_revision().unwrap();
    Device {
        folder,
        store,
        open,
    }
}

/// A device that another process made; it is not removed at the end.
pub fn reopen(folder: &Path) -> Device {
    let store = Store::open(folder).unwrap();
    let id = store.list().unwrap().0[0].id;
    let open = store.survey(id).unwrap();
    // An empty folder of its own, in place of the other's.
    let folder = tempfile::tempdir().unwrap();
    Device {
        folder,
        store,
        open,
    }
}

impl Device {
    pub fn survey(&self) -> &Survey {
        self.open.survey()
    }

    /// Writes the survey's bundle into `folder`.
    pub fn bundle(&self, folder: &Path, watch: Watch) -> Result<PathBuf, WriteError> {
        let assessment = rules::assess(self.survey(), fan::generic(), &Codes::default());
        let contents = Contents {
            survey: self.survey(),
            assessment: &assessment,
            fans: fan::generic(),
            pictures: self.open.folder(),
            ways: Ways::default(),
            language: Language::English,
        };
        bundle::write(&contents, folder, watch)
    }
}
