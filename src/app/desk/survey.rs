//! One survey: what it comes to, its answers and their corrections, its revisions, where its figures come from.

use super::{Desk, View, files, names};
use crate::app::work::Job;
use crate::disk::About;
use crate::job::sheets::{self, origin::Origin};
use crate::job::{Chosen, Job as WorkJob};
use crate::office::changes::Comparison;
use crate::office::jobpack::{self, JobPackError};
use crate::office::register::{
    Correction, Line, Marked, Register, RegisterError, Revision, Status, StatusChange, exact,
};
use crate::rules::{Assessment, Say};
use crate::survey::{FieldRef, Kind, Survey, Ways, fields};
use crate::words::Language;
use std::path::Path;
use uuid::Uuid;

/// Which leaf of a survey is up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Leaf {
    /// What it comes to, its status, the job pack.
    #[default]
    Summary,
    /// Every answer, and the office's corrections.
    Answers,
    /// Its bundles, and what changed between two of them.
    Revisions,
    /// Where the figures on its sheets come from.
    Figures,
}

impl Leaf {
    /// All of them, in their order.
    pub const ALL: [Leaf; 4] = [Leaf::Summary, Leaf::Answers, Leaf::Revisions, Leaf::Figures];
}

/// A correction in the making.
#[derive(Debug, Clone, PartialEq)]
pub struct Editing {
    /// Which answer.
    pub at: FieldRef,
    /// What it is called.
    pub label: String,
    /// What the surveyor captured; nothing where it was not measured.
    pub captured: Option<String>,
    /// The answer that takes its place, as typed.
    pub text: String,
    /// The answers to pick from, where it is not typed: how they are written, and what they are called.
    pub picks: Vec<(&'static str, String)>,
    /// Why.
    pub reason: String,
    /// Why it was not taken.
    pub trouble: String,
}

/// The figures of one sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetFigures {
    /// The sheet's title.
    pub title: String,
    /// Its figures.
    pub figures: Vec<Origin>,
}

/// A survey that is looked at.
#[derive(Debug)]
pub struct Looked {
    /// Its line in the list.
    pub line: Line,
    /// Which leaf is up.
    pub leaf: Leaf,
    /// What the surveyor captured.
    pub captured: Survey,
    /// The same with the corrections that stand.
    pub survey: Survey,
    /// All corrections.
    pub corrections: Vec<Correction>,
    /// Its bundles, the latest revision first.
    pub revisions: Vec<Revision>,
    /// Its statuses, the first one first.
    pub statuses: Vec<StatusChange>,
    /// The office's judgement.
    pub assessment: Assessment,
    /// What is to be kept with the next status.
    pub remark: String,
    /// The build day, as typed.
    pub day: String,
    /// The crew, as typed.
    pub crew: String,
    /// Words that an answer's name must have to be shown.
    pub find: String,
    /// Whether answers that nobody gave are shown too.
    pub with_open: bool,
    /// The correction in the making.
    pub editing: Option<Editing>,
    /// The two revisions that are compared, the earlier one first, by their place in the list.
    pub compared: [usize; 2],
    /// What changed between them, with both surveys.
    pub changes: Option<Box<(Comparison, Survey, Survey)>>,
    /// The figures of each sheet, once they are asked for.
    pub sheets: Vec<SheetFigures>,
    /// Which sheet's figures are shown.
    pub sheet: usize,
    /// The figure that is opened.
    pub figure: Option<usize>,
    /// Why there are none.
    pub no_figures: String,
    /// The language of the job pack.
    pub language: Language,
    /// The folder that job pack and bundle are written into, as typed.
    pub out: String,
    /// Whether something is being written.
    pub writing: bool,
    /// Where that was written to, or why not.
    pub written: Result<String, String>,
}

/// What the register knows of a survey.
struct Known {
    line: Line,
    captured: Survey,
    survey: Survey,
    corrections: Vec<Correction>,
    revisions: Vec<Revision>,
    statuses: Vec<StatusChange>,
    assessment: Assessment,
}

fn known(register: &mut Register, id: Uuid) -> Result<Known, RegisterError> {
    let captured = register.current(id)?;
    let (survey, corrections) = register.corrected(id)?;
    let assessment = register.criteria().assess(&survey);
    Ok(Known {
        line: register.line(id)?,
        captured,
        survey,
        corrections,
        revisions: register.revisions(id)?,
        statuses: register.statuses(id)?,
        assessment,
    })
}

/// The two revisions to compare first: the one that is shown with the one that waits, else the last two.
fn compared(revisions: &[Revision]) -> [usize; 2] {
    let shown = revisions.iter().position(|one| one.current);
    let waits = revisions.iter().position(|one| one.waits);
    match (shown, waits) {
        (Some(shown), Some(waits)) => [shown, waits],
        _ => [1.min(revisions.len().saturating_sub(1)), 0],
    }
}

impl Looked {
    /// The correction of an answer that stands.
    pub fn standing(&self, at: FieldRef) -> Option<&Correction> {
        self.corrections.iter().find(|correction| {
            correction.stands
                && (correction.field.as_str(), correction.spot, correction.item)
                    == (at.field, at.spot, at.item)
        })
    }

    /// The answers that are shown: all that were given, or all there are; with the words that are looked for.
    pub fn answers(&self, name: impl Fn(FieldRef) -> String) -> Vec<(FieldRef, String)> {
        let find = self.find.to_lowercase();
        let places = self.survey.places().into_iter();
        places
            .filter(|at| {
                let given = |survey: &Survey| survey.answer(*at).is_some();
                self.with_open || given(&self.survey) || given(&self.captured)
            })
            .map(|at| (at, name(at)))
            .filter(|(_, name)| name.to_lowercase().contains(&find))
            .collect()
    }
}

impl Desk {
    /// Looks at a survey; says whether there is one.
    pub fn open_survey(&mut self, id: Uuid) -> bool {
        let Some(known) = self.ask(|register| known(register, id)) else {
            return false;
        };
        let compared = compared(&known.revisions);
        self.looked = Some(Looked {
            leaf: Leaf::default(),
            captured: known.captured,
            survey: known.survey,
            corrections: known.corrections,
            revisions: known.revisions,
            statuses: known.statuses,
            assessment: known.assessment,
            remark: String::new(),
            day: known.line.scheduled.clone(),
            crew: known.line.crew.clone(),
            line: known.line,
            find: String::new(),
            with_open: false,
            editing: None,
            compared,
            changes: None,
            sheets: Vec::new(),
            sheet: 0,
            figure: None,
            no_figures: String::new(),
            language: self.reader().language,
            out: self.out(),
            writing: false,
            written: Ok(String::new()),
        });
        self.notice.clear();
        self.view = View::Survey;
        true
    }

    /// Looks the survey up anew, and stays where one is.
    fn look_at_survey_again(&mut self) {
        let Some(id) = self.looked.as_ref().map(|looked| looked.line.survey) else {
            return;
        };
        if let (Some(known), Some(looked)) = (
            self.ask(|register| known(register, id)),
            self.looked.as_mut(),
        ) {
            looked.line = known.line;
            looked.captured = known.captured;
            looked.survey = known.survey;
            looked.corrections = known.corrections;
            looked.revisions = known.revisions;
            looked.statuses = known.statuses;
            looked.assessment = known.assessment;
            looked.sheets.clear();
        }
        self.fill_leaf();
    }

    /// Turns to another leaf.
    pub fn turn_leaf(&mut self, at: usize) {
        if let (Some(looked), Some(leaf)) = (&mut self.looked, Leaf::ALL.get(at)) {
            looked.leaf = *leaf;
            looked.editing = None;
            self.fill_leaf();
        }
    }

    /// Reads what a leaf shows and is not read yet.
    fn fill_leaf(&mut self) {
        match self.looked.as_ref().map(|looked| looked.leaf) {
            Some(Leaf::Revisions) => self.compare(),
            Some(Leaf::Figures) => self.trace(),
            _ => {}
        }
    }

    // ----- status

    /// Types what is to be kept with the next status.
    pub fn type_remark(&mut self, text: &str) {
        if let Some(looked) = &mut self.looked {
            text.clone_into(&mut looked.remark);
        }
    }

    /// Types the day on which it is built.
    pub fn type_day(&mut self, text: &str) {
        if let Some(looked) = &mut self.looked {
            text.clone_into(&mut looked.day);
        }
    }

    /// Types who builds it.
    pub fn type_crew(&mut self, text: &str) {
        if let Some(looked) = &mut self.looked {
            text.clone_into(&mut looked.crew);
        }
    }

    /// Says how far the job is.
    pub fn set_status(&mut self, at: usize) {
        let (Some(status), Some(looked)) = (Status::ALL.get(at).copied(), &self.looked) else {
            return;
        };
        let (id, remark) = (looked.line.survey, looked.remark.clone());
        let (who, now) = (self.kept.who.clone(), (self.options.now)());
        let (day, crew) = match status {
            Status::Scheduled => (Some(looked.day.clone()), Some(looked.crew.clone())),
            _ => (None, None),
        };
        let done = self.ask(|register| {
            let marked = Marked {
                date: day.as_deref(),
                crew: crew.as_deref(),
                remark: &remark,
            };
            register.set_status(id, status, marked, &who, now)
        });
        if done.is_some() {
            if let Some(looked) = &mut self.looked {
                looked.remark.clear();
            }
            self.notice.clear();
            self.look_at_survey_again();
        }
    }

    // ----- answers

    /// Looks for answers by words of their names.
    pub fn find_answers(&mut self, words: &str) {
        if let Some(looked) = &mut self.looked {
            words.trim().clone_into(&mut looked.find);
        }
    }

    /// Shows answers that nobody gave too, or no longer.
    pub fn show_open(&mut self, show: bool) {
        if let Some(looked) = &mut self.looked {
            looked.with_open = show;
        }
    }

    /// Begins the correction of an answer.
    pub fn edit(&mut self, at: FieldRef) {
        let reader = self.reader();
        let Some(looked) = &mut self.looked else {
            return;
        };
        let captured = looked.captured.answer(at);
        let now = looked.survey.answer(at);
        let picks = match fields::kind_of(at.field) {
            Some(Kind::Choice(words)) => words
                .iter()
                .map(|word| (word.code, reader.tr(word.label)))
                .collect(),
            Some(Kind::YesNo | Kind::Complete) => {
                vec![("yes", reader.tr("Yes")), ("no", reader.tr("No"))]
            }
            _ => Vec::new(),
        };
        looked.editing = Some(Editing {
            at,
            label: names::answer(&looked.survey, at, &reader),
            captured: captured.map(|value| exact(&value)),
            text: now.map_or(String::new(), |value| exact(&value)),
            picks,
            reason: String::new(),
            trouble: String::new(),
        });
    }

    /// Leaves the correction without making it.
    pub fn leave_edit(&mut self) {
        if let Some(looked) = &mut self.looked {
            looked.editing = None;
        }
    }

    /// Types the answer that takes the captured one's place; empty where it was not measured after all.
    pub fn type_answer(&mut self, text: &str) {
        if let Some(editing) = self.looked.as_mut().and_then(|it| it.editing.as_mut()) {
            text.clone_into(&mut editing.text);
            editing.trouble.clear();
        }
    }

    /// Picks the answer; none where it was not measured after all.
    pub fn pick_answer(&mut self, at: Option<usize>) {
        if let Some(editing) = self.looked.as_mut().and_then(|it| it.editing.as_mut()) {
            let code = at
                .and_then(|at| editing.picks.get(at))
                .map(|(code, _)| *code);
            editing.text = code.unwrap_or("").to_owned();
            editing.trouble.clear();
        }
    }

    /// Types why.
    pub fn type_reason(&mut self, text: &str) {
        if let Some(editing) = self.looked.as_mut().and_then(|it| it.editing.as_mut()) {
            text.clone_into(&mut editing.reason);
            editing.trouble.clear();
        }
    }

    /// Puts the answer beside the captured one.
    pub fn correct(&mut self) {
        let Some((id, editing)) = self
            .looked
            .as_ref()
            .and_then(|it| Some((it.line.survey, it.editing.clone()?)))
        else {
            return;
        };
        let (who, now) = (self.kept.who.clone(), (self.options.now)());
        let Some(register) = &mut self.register else {
            return;
        };
        let Editing {
            at, text, reason, ..
        } = editing;
        match register.correct(id, at, &text, &reason, &who, now) {
            Ok(_) => {
                self.leave_edit();
                self.look_at_survey_again();
            }
            Err(error) => {
                let told = self.told(&error);
                if let Some(editing) = self.looked.as_mut().and_then(|it| it.editing.as_mut()) {
                    editing.trouble = told;
                }
            }
        }
    }

    /// Withdraws a correction; it stays in the history.
    pub fn withdraw(&mut self, correction: u64) {
        let Some(id) = self.looked.as_ref().map(|looked| looked.line.survey) else {
            return;
        };
        let (who, now) = (self.kept.who.clone(), (self.options.now)());
        if self
            .ask(|register| register.withdraw(id, correction, &who, now))
            .is_some()
        {
            self.look_at_survey_again();
        }
    }

    // ----- revisions

    /// Compares with another revision.
    pub fn pick_revision(&mut self, later: bool, at: usize) {
        if let Some(looked) = &mut self.looked
            && at < looked.revisions.len()
        {
            looked.compared[usize::from(later)] = at;
            self.compare();
        }
    }

    fn compare(&mut self) {
        let Some(looked) = &self.looked else { return };
        let [earlier, later] = looked.compared;
        let of = |at: usize| looked.revisions.get(at).map(|revision| revision.bundle);
        let (Some(earlier), Some(later)) = (of(earlier), of(later)) else {
            return;
        };
        let both = self.ask(|register| {
            let compared = register.compare(&earlier, &later)?;
            Ok((
                compared,
                register.captured(&earlier)?,
                register.captured(&later)?,
            ))
        });
        if let (Some(both), Some(looked)) = (both, &mut self.looked) {
            looked.changes = Some(Box::new(both));
        }
    }

    /// Accepts a revision: the list shows it from then on.
    pub fn accept(&mut self, at: usize) {
        let Some(looked) = &self.looked else { return };
        let Some(bundle) = looked.revisions.get(at).map(|revision| revision.bundle) else {
            return;
        };
        let id = looked.line.survey;
        let (who, now) = (self.kept.who.clone(), (self.options.now)());
        if self
            .ask(|register| register.accept(id, &bundle, &who, now))
            .is_some()
        {
            self.notice.clear();
            self.look_at_survey_again();
        }
    }

    // ----- figures

    /// Reads where the figures on the survey's sheets come from.
    fn trace(&mut self) {
        let reader = self.reader();
        let (Some(looked), Some(register)) = (&mut self.looked, &self.register) else {
            return;
        };
        if !looked.sheets.is_empty() {
            return;
        }
        looked.no_figures.clear();
        looked.figure = None;
        let fans = &register.criteria().fans;
        let job = WorkJob::new(&looked.survey, fans, &looked.assessment, &Chosen::default());
        match job {
            Ok(job) => {
                let ways = Ways {
                    tape: looked.survey.tape,
                    ..reader.ways
                };
                let edition = sheets::Edition::default();
                let sheets = sheets::sheets(&job, reader.language, ways, &edition);
                let appendix = sheets.documents.into_iter().next_back();
                looked.sheets = appendix
                    .map(|it| SheetFigures {
                        title: it.head.title,
                        figures: sheets.origins,
                    })
                    .into_iter()
                    .collect();
                looked.sheet = looked.sheet.min(looked.sheets.len().saturating_sub(1));
            }
            Err(error) => {
                let told = error.to_string();
                looked.no_figures = reader.language.retell(&told);
            }
        }
    }

    /// Shows the figures of another sheet.
    pub fn pick_sheet(&mut self, at: usize) {
        if let Some(looked) = &mut self.looked
            && at < looked.sheets.len()
        {
            looked.sheet = at;
            looked.figure = None;
        }
    }

    /// Opens a figure, or shuts it.
    pub fn open_figure(&mut self, at: usize) {
        if let Some(looked) = &mut self.looked {
            looked.figure = Some(at).filter(|_| looked.figure != Some(at));
        }
    }

    /// Goes to the answer that a figure leans on.
    pub fn go_to_answer(&mut self, at: FieldRef) {
        self.turn_leaf(1);
        self.edit(at);
    }

    // ----- writing

    /// Types the folder that is written into.
    pub fn type_out(&mut self, text: &str) {
        if let Some(looked) = &mut self.looked {
            text.clone_into(&mut looked.out);
        }
    }

    /// Picks the job pack's language.
    pub fn pick_language(&mut self, at: usize) {
        if let (Some(looked), Some(language)) = (&mut self.looked, Language::ALL.get(at)) {
            looked.language = *language;
        }
    }

    /// Writes the job pack, beside the window.
    pub fn write_job_pack(&mut self) {
        let Some(language) = self.looked.as_ref().map(|looked| looked.language) else {
            return;
        };
        self.write(move |register, id, folder| {
            let wanted = jobpack::Wanted {
                language,
                ..jobpack::Wanted::default()
            };
            let folder = jobpack::write(register, id, folder, &wanted)?;
            Ok(folder.display().to_string())
        });
    }

    /// Writes the bundle of a revision again, byte for byte, beside the window.
    pub fn write_bundle(&mut self, at: usize) {
        let Some(looked) = &self.looked else { return };
        let Some(revision) = looked.revisions.get(at).cloned() else {
            return;
        };
        self.write(move |register, _, folder| {
            // The name came from outside: only its last part is used.
            let name = Path::new(&revision.name).file_name().unwrap_or_default();
            let file = folder.join(name);
            register.copy_out(&revision.bundle, &file)?;
            Ok(file.display().to_string())
        });
    }

    fn write(
        &mut self,
        work: impl FnOnce(&mut Register, Uuid, &Path) -> Result<String, JobPackError> + Send + 'static,
    ) {
        let Some(looked) = self.looked.as_mut().filter(|looked| !looked.writing) else {
            return;
        };
        let id = looked.line.survey;
        let folder = files::path(&looked.out);
        looked.writing = true;
        looked.written = Ok(String::new());
        self.use_out_folder(&folder);
        let location = self.options.register.clone();
        self.jobs.push(Job::new(move |_| {
            let write = || {
                std::fs::create_dir_all(&folder).about(&folder)?;
                let mut register = Register::open_existing(&location)?;
                work(&mut register, id, &folder)
            };
            let written = write();
            Box::new(move |desk: &mut Desk| {
                let told = match written {
                    Ok(file) => Ok(desk
                        .reader()
                        .said(&Say::new("Written: {file}").with("file", file))),
                    Err(error) => Err(desk.told(&error)),
                };
                if let Some(looked) = &mut desk.looked {
                    looked.writing = false;
                    looked.written = told;
                }
            })
        }));
    }
}
