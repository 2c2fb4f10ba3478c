//! The whole job on an invented house: survey, bundle, intake, job pack, each by the same code that does it in
//! earnest. Every clock in it stands still, so that each run gives the same bytes.

mod house;
mod pictures;

use crate::bundle::{self, Contents, Watch, WriteError};
use crate::disk::{self, About, DiskError};
use crate::job::price::list;
use crate::office::intake::{self, IntakeOutcome};
use crate::office::jobpack::{self, JobPackError, Wanted};
use crate::office::register::{Location, Register, RegisterError};
use crate::office::summary::VerdictSummary;
use crate::photo::{self, PhotoError};
use crate::rules;
use crate::store::{ChangeError, Store, StoreError};
use crate::survey::fields::FieldError;
use crate::survey::{ItemId, Photo, Survey, Ways, When};
use crate::trade::codes::Codes;
use crate::trade::fan;
use crate::words::Language;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use uuid::Uuid;

/// The demo's survey; any id would do, as long as it is always the same.
const SURVEY: Uuid = Uuid::from_u128(0xde30_0000_0000_4000_8000_0000_0000_0001);
/// What marks a folder as the demo's own, so that it may be cleared and made anew.
const MARK: &str = "joistlight-demo.txt";

/// Where everything of a demo lies.
#[derive(Debug, Clone)]
pub struct Demo {
    /// The phone's folder: the survey with its pictures.
    pub device: PathBuf,
    /// The bundle that left the phone.
    pub bundle: PathBuf,
    /// The office's register.
    pub register: PathBuf,
    /// The job pack's folder.
    pub job_pack: PathBuf,
    /// What the office's judgement comes to.
    pub summary: VerdictSummary,
}

/// Why the demo did not go through.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// There is something else in the folder.
    #[error("{}: there is something in this folder that is not of the demo; name an empty or a new one.", .0.display())]
    NotEmpty(PathBuf),
    /// The disk.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// The phone's store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// An answer of the invented house.
    #[error(transparent)]
    Change(#[from] ChangeError<FieldError>),
    /// A picture.
    #[error(transparent)]
    Photo(#[from] PhotoError),
    /// The bundle.
    #[error(transparent)]
    Bundle(#[from] WriteError),
    /// The register.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// The job pack.
    #[error(transparent)]
    JobPack(Box<JobPackError>),
    /// The office did not let it in.
    #[error("{0}")]
    Refused(String),
}

fn clock() -> When {
    "2026-06-02T08:10:00-07:00"
        .parse()
        .unwrap_or_else(|error| panic!("{error}"))
}

/// Begins the demo's survey and types the house in.
///
/// # Errors
/// Where an answer does not fit its field.
pub fn survey() -> Result<Survey, FieldError> {
    let mut survey = Survey::begin(SURVEY, clock(), Default::default());
    house::measure(&mut survey)?;
    Ok(survey)
}

/// Carries the invented house through everything, in a folder that is new, empty or an earlier demo's.
///
/// # Errors
/// A folder with something else in it; the disk.
pub fn run(folder: &Path) -> Result<Demo, DemoError> {
    make_room(folder)?;
    let part = |name: &str| folder.join(name);
    let (device, sent, office) = (part("phone"), part("sent"), part("office"));

    // On the phone.
    let store = Store::open(&device)?;
    let mut open = store.begin(Survey::begin(SURVEY, clock(), Default::default()))?;
    open.change(clock(), house::measure)?;
    for shot in house::SHOTS {
        let name = format!("the demo's picture of {}", shot.subject.code());
        let taken = photo::take_in_bytes(&pictures::picture(shot.subject), &name)?;
        let photo = Photo {
            id: ItemId(0),
            subject: shot.subject,
            spot: shot.spot.map(|at| open.survey().spots[at].id),
            item: None,
            remark: Some(shot.remark.to_owned()),
            sha256: taken.sha256.to_string(),
            width: taken.width,
            height: taken.height,
            taken_at: Some(clock().to_string()),
            strokes: Vec::new(),
        };
        open.add_photo(clock(), &taken.jpeg, &taken.thumbnail, photo)?;
    }
    open.next_revision()?;
    fs::create_dir_all(&sent).about(&sent)?;
    let assessment = rules::assess(open.survey(), fan::generic(), &Codes::default());
    let contents = Contents {
        survey: open.survey(),
        assessment: &assessment,
        fans: fan::generic(),
        pictures: open.folder(),
        ways: Ways::default(),
        language: Language::English,
    };
    let bundle = bundle::write(&contents, &sent, Watch::default())?;

    // In the office.
    let mut register = Register::open(&Location::Folder(office.join("register")))?;
    let mut summary = None;
    let files = [bundle.clone()];
    intake::take_in(
        &mut register,
        &files,
        &AtomicBool::new(false),
        &mut |step| {
            summary = Some(match step.outcome {
                IntakeOutcome::Entered { summary, .. } => Ok(summary.clone()),
                IntakeOutcome::Refused { reason, .. } | IntakeOutcome::Skipped { reason } => {
                    Err(DemoError::Refused(reason.clone()))
                }
                IntakeOutcome::Known { bundle } => {
                    Err(DemoError::Refused(format!("{bundle} is known already.")))
                }
            });
        },
    )?;
    let summary = summary.unwrap_or_else(|| Err(DemoError::Refused("Nothing came in.".into())))?;
    let packs = office.join("job-packs");
    fs::create_dir_all(&packs).about(&packs)?;
    let wanted = Wanted {
        prices: Some(Arc::new(list::trial().clone())),
        ..Wanted::default()
    };
    let job_pack = jobpack::write(&mut register, SURVEY, &packs, &wanted)
        .map_err(|error| DemoError::JobPack(Box::new(error)))?;
    Ok(Demo {
        device,
        bundle,
        register: office.join("register"),
        job_pack,
        summary,
    })
}

/// Makes the folder, or clears what an earlier demo left in it.
fn make_room(folder: &Path) -> Result<(), DemoError> {
    fs::create_dir_all(folder).about(folder)?;
    let mark = folder.join(MARK);
    let mut entries = fs::read_dir(folder).about(folder)?;
    if !mark.is_file() && entries.next().is_some() {
        return Err(DemoError::NotEmpty(folder.to_owned()));
    }
    let text = "joistlight's demo made this folder. The next demo here clears it.\n";
    disk::write_whole(&mark, text.as_bytes())?;
    for part in ["phone", "sent", "office"] {
        let part = folder.join(part);
        match fs::remove_dir_all(&part) {
            Err(error) if error.kind() != std::io::ErrorKind::NotFound => {
                return Err(error).about(&part)?;
            }
            _ => {}
        }
    }
    Ok(())
}
