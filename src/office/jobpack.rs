//! The job pack: a folder a survey, for whoever plans and does the work.
//!
//! In it are the [sheets](crate::job::sheets) for crew, electrician, vents, permit desk and household, each as HTML and
//! as PDF, and an overview with pictures: what was found at each spot, what it comes to and why, what must be mended
//! and by whom, what is still to be measured, what to mind, and where every figure on the sheets comes from. Its cautions are no substitute for the local code or a
//! licensed trade.

use super::register::{Correction, Register, RegisterError};
use super::{key, order};
use crate::bundle::{Bundle, BundleError};
use crate::digest::Sha256Hex;
use crate::disk::{self, About, DiskError};
use crate::job::check;
use crate::job::price::list::PriceList;
use crate::job::sheets::quote::{Offer, quote};
use crate::job::sheets::{Edition, Sheets, sheets};
use crate::job::{Chosen, Job, JobError, figures};
use crate::measure::Length;
use crate::rules::matters::{Matter, what_matters};
use crate::rules::{Arg, Assessment, Finding, Outcome, Say, SpotAssessment, Verdict};
use crate::survey::{ItemId, Photo, Survey, Ways, fields};
use crate::trade::fan::FanList;
use crate::typeset::document::Document;
use crate::typeset::html;
use crate::typeset::pdf::{self, Paper, PdfError};
use crate::words::Language;
use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use maud::{DOCTYPE, Markup, PreEscaped, html as markup};
use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use uuid::Uuid;

/// What goes into a job pack.
#[derive(Debug, Clone, Copy)]
pub struct Contents<'a> {
    /// The survey, with the office's corrections that stand.
    pub survey: &'a Survey,
    /// The office's assessment of it.
    pub assessment: &'a Assessment,
    /// The fan list that it was judged by.
    pub fans: &'a FanList,
    /// The office's corrections, all of them.
    pub corrections: &'a [Correction],
    /// The bundle that it came in.
    pub bundle: Option<Sha256Hex>,
    /// The language of the overview.
    pub language: Language,
}

/// What is written, and how.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// Which spot, fan and framing the sheets are for.
    pub chosen: Chosen,
    /// The sheets' language.
    pub language: Language,
    /// The paper of the PDFs.
    pub paper: Paper,
    /// How lengths are shown; else to the surveyor's own tape, in inches.
    pub ways: Option<Ways>,
    /// The prices that quote and order list are made with; none are written without.
    pub prices: Option<Arc<PriceList>>,
    /// The fan that the quote offers beside the chosen one.
    pub beside: Beside,
}

/// Which fan a quote offers besides.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Beside {
    /// The best other one that fits, where there is one.
    #[default]
    RunnerUp,
    /// This one of the fan list.
    Fan(String),
    /// None.
    Nothing,
}

impl Wanted {
    fn ways_of(&self, survey: &Survey) -> Ways {
        self.ways.unwrap_or(Ways {
            tape: survey.tape,
            ..Ways::default()
        })
    }
}

/// The name of the overview within a job pack.
pub const OVERVIEW: &str = "overview.html";

/// What the folders of a survey's job packs begin with: its bundle's name with another ending.
pub fn folder_name(survey: &Survey) -> String {
    let bundle = crate::bundle::file_name(survey);
    let base = bundle
        .strip_suffix(crate::bundle::ENDING)
        .unwrap_or(&bundle);
    format!("{base}-job-pack")
}

/// A new folder for the next issue of a survey's job pack, and the issue's number: one more than the highest that is
/// there. No pack is ever written over.
///
/// # Errors
/// The disk.
pub fn next_issue(survey: &Survey, into: &Path) -> Result<(PathBuf, u32), DiskError> {
    let begin = format!("{}-issue-", folder_name(survey));
    std::fs::create_dir_all(into).about(into)?;
    let mut last = 0;
    for entry in std::fs::read_dir(into).about(into)? {
        let name = entry.about(into)?.file_name();
        let number = name.to_str().and_then(|it| it.strip_prefix(&begin));
        last = last.max(number.and_then(|it| it.parse().ok()).unwrap_or(0));
    }
    loop {
        last += 1;
        let folder = into.join(format!("{begin}{last}"));
        match std::fs::create_dir(&folder) {
            Ok(()) => return Ok((folder, last)),
            // Somebody else was quicker.
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(error).about(&folder),
        }
    }
}

/// Why a job pack was not written.
#[derive(Debug, thiserror::Error)]
pub enum JobPackError {
    /// The register.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// The survey's bundle.
    #[error(transparent)]
    Bundle(#[from] BundleError),
    /// A file of it.
    #[error(transparent)]
    Disk(#[from] DiskError),
    /// No such spot or fan.
    #[error(transparent)]
    Job(#[from] JobError),
    /// A PDF.
    #[error(transparent)]
    Pdf(#[from] PdfError),
    /// What would be printed cannot be built.
    #[error("Nothing was printed, since it cannot be built: {faults}")]
    CannotBeBuilt {
        /// What is wrong, a sentence each.
        faults: String,
    },
}

/// Writes the job pack of a survey of the register as a folder within `into`, and returns where.
///
/// # Errors
/// No such survey, spot or fan, a damaged bundle, the disk.
pub fn write(
    register: &mut Register,
    id: Uuid,
    into: &Path,
    wanted: &Wanted,
) -> Result<PathBuf, JobPackError> {
    let (survey, corrections) = register.corrected(id)?;
    let revision = register.bundle_of(id, None)?;
    // Taken out of the vault, so that its bytes are checked on the way, wherever the register keeps them.
    let incoming = register.vault().incoming()?;
    let copy = incoming.file("bundle.zip");
    register.copy_out(&revision.bundle, &copy)?;
    let mut bundle = Bundle::open(&copy)?;
    let criteria = register.criteria();
    let assessment = criteria.assess(&survey);
    let mut thumbnail = |sha256: &str| bundle.read(&format!("data/thumbnails/{sha256}.jpg")).ok();
    let mut edition = Edition {
        printed: Some(now()),
        corrections: corrections
            .iter()
            .filter(|it| it.stands)
            .map(told)
            .collect(),
        ..Edition::default()
    };
    for photo in &survey.photos {
        if let Some(jpeg) = thumbnail(&photo.sha256) {
            edition.photos.insert(photo.sha256.clone(), Arc::new(jpeg));
        }
    }
    // Refused before a folder is made for it.
    let job = Job::new(&survey, &criteria.fans, &assessment, &wanted.chosen)?;
    can_be_built(&job)?;
    let (folder, issue) = next_issue(&survey, into)?;
    edition.issue = Some(issue);
    write_sheets(&job, wanted, &edition, &folder)?;
    if let Some(prices) = &wanted.prices {
        let other = beside(&job, &criteria.fans, wanted)?;
        write_quote(&job, other.as_ref(), prices, wanted, &edition, &folder)?;
    }
    let contents = Contents {
        survey: &survey,
        assessment: &assessment,
        fans: &criteria.fans,
        corrections: &corrections,
        bundle: Some(revision.bundle),
        language: wanted.language,
    };
    let page = page(&contents, &mut thumbnail);
    disk::write_whole(&folder.join(OVERVIEW), page.as_bytes())?;
    Ok(folder)
}

/// Day and minute, as sheets have them.
fn now() -> String {
    let now = crate::survey::When::now().to_string();
    now.get(..16).unwrap_or(&now).replace('T', " ")
}

/// A correction in one line.
fn told(correction: &Correction) -> String {
    let value = correction.answer.clone().unwrap_or_else(|| "–".to_owned());
    format!(
        "{}: {value} – {}, {}: {}",
        correction.field, correction.who, correction.made_at, correction.reason
    )
}

fn can_be_built(job: &Job) -> Result<(), JobPackError> {
    let faults = check::check(job);
    if faults.is_empty() {
        Ok(())
    } else {
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        let faults = faults.join(" ");
        Err(JobPackError::CannotBeBuilt { faults })
    }
}

/// Writes the sheets of a job into a folder, which is made where it is not there; returns what they say.
///
/// # Errors
/// What cannot be built, a PDF that cannot be made, the disk.
pub fn write_sheets(
    job: &Job,
    wanted: &Wanted,
    edition: &Edition,
    folder: &Path,
) -> Result<Sheets, JobPackError> {
    can_be_built(job)?;
    let ways = wanted.ways_of(job.survey);
    std::fs::create_dir_all(folder).about(folder)?;
    let sheets = sheets(job, wanted.language, ways, edition);
    for sheet in &sheets.documents {
        write_document(sheet, wanted.paper, folder)?;
    }
    Ok(sheets)
}

/// The job of the fan that the quote offers besides.
fn beside<'a>(
    job: &Job<'a>,
    fans: &'a FanList,
    wanted: &Wanted,
) -> Result<Option<Job<'a>>, JobError> {
    let fan = match &wanted.beside {
        Beside::Nothing => None,
        Beside::RunnerUp => job.runner_up().map(str::to_owned),
        Beside::Fan(id) => Some(id.clone()),
    };
    let Some(fan) = fan.filter(|it| *it != job.fan.id) else {
        return Ok(None);
    };
    let spot = job.survey.spots.iter().position(|it| it.id == job.spot.id);
    let chosen = Chosen {
        spot: spot.map(|at| at + 1),
        fan: Some(fan),
        framing: None,
    };
    Job::new(job.survey, fans, job.assessment, &chosen).map(Some)
}

/// Writes the quote and the order list of a job into its folder.
///
/// # Errors
/// A PDF that cannot be made, the disk.
pub fn write_quote(
    job: &Job,
    other: Option<&Job>,
    prices: &PriceList,
    wanted: &Wanted,
    edition: &Edition,
    folder: &Path,
) -> Result<(), JobPackError> {
    let ways = wanted.ways_of(job.survey);
    let jobs = std::iter::once(job).chain(other);
    let offers: Vec<Offer> = jobs.filter_map(|it| Offer::of(it, prices)).collect();
    for sheet in quote(job, &offers, prices, wanted.language, ways, edition) {
        write_document(&sheet, wanted.paper, folder)?;
    }
    let list = folder.join(order::FILE);
    let csv = order::csv(&offers).about(&list)?;
    disk::write_whole(&list, &csv)?;
    Ok(())
}

fn write_document(sheet: &Document, paper: Paper, folder: &Path) -> Result<(), JobPackError> {
    let html = html::write(sheet);
    disk::write_whole(
        &folder.join(format!("{}.html", sheet.name)),
        html.as_bytes(),
    )?;
    let pdf = pdf::write(sheet, paper)?;
    disk::write_whole(&folder.join(format!("{}.pdf", sheet.name)), &pdf)?;
    Ok(())
}

/// What every crew minds, whatever the house: heading, then sentences.
const CAUTIONS: &[(&str, &[&str])] = &[
    (
        key("Whose word counts"),
        &[
            key(
                "The local code and the authority that gives the permit go before anything on this page.",
            ),
            key(
                "Electrical work, gas work and structural changes are for those licensed for them where the house stands.",
            ),
            key("Where what you find differs from this page, stop and ask before you cut."),
        ],
    ),
    (
        key("Before anybody goes up"),
        &[
            key(
                "Respirator, eye protection, gloves, long sleeves; a second person in the house; water; short turns when it is hot.",
            ),
            key(
                "Ladder on firm ground, 4 up for 1 out, tied or held; its rails 3 ft above the landing.",
            ),
            key("Step on joists or boards laid across them, never on the ceiling board."),
            key(
                "Pebble-like insulation, crumbling wraps, old paint: touch nothing until somebody licensed has tested it.",
            ),
        ],
    ),
    (
        key("Before anything is cut"),
        &[
            key(
                "Switch the circuits off at the panel, lock or tag them, and test with a tester that you have just proved on a live one.",
            ),
            key(
                "Look above every cut for wires, pipes and ducts; set the saw no deeper than the ceiling board.",
            ),
            key(
                "Shore the joists before one of them is cut; trusses and I-joists are never cut without an engineer.",
            ),
        ],
    ),
    (
        key("Before the fan runs"),
        &[
            key(
                "Nothing lies on the blades or in the shutter, the guard is on, and every hand is clear.",
            ),
            key(
                "Windows open first. Then look at each flue with the fan on high: if it spills or the alarm sounds, the fan stays off.",
            ),
            key(
                "A passed spillage test of the fuel-gas code was made with this fan off, and clears nothing.",
            ),
        ],
    ),
];

/// The page; `thumbnail` gives the bytes of a picture's small copy by the picture's SHA-256, where there is one.
pub fn page(contents: &Contents, thumbnail: &mut dyn FnMut(&str) -> Option<Vec<u8>>) -> String {
    let page = Page(contents);
    let survey = contents.survey;
    let job = survey.arrival.job_reference.as_deref().unwrap_or("");
    let markup = markup! {
        (DOCTYPE)
        html lang=(contents.language.code()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; img-src data:; style-src 'unsafe-inline'";
                title { (page.t("Job pack")) " " (job) }
                style { (PreEscaped(include_str!("../bundle/report.css"))) }
            }
            body {
                (page.head())
                (page.verdicts())
                @for spot in &contents.assessment.spots {
                    (page.spot(spot, thumbnail))
                }
                h2 { (page.t("The house, for every spot")) }
                (page.findings(contents.assessment.house.iter().collect()))
                (page.pictures(None, thumbnail))
                (page.corrections())
                h2 { (page.t("Cautions")) }
                @for (heading, sentences) in CAUTIONS {
                    h3 { (page.t(heading)) }
                    ul { @for sentence in *sentences { li { (page.t(sentence)) } } }
                }
                p { a href="appendix.html" { (page.t("Where the figures come from")) } }
                footer { p { (page.foot()) } }
            }
        }
    };
    markup.into_string()
}

struct Page<'a>(&'a Contents<'a>);

impl Page<'_> {
    fn t(&self, english: &'static str) -> &'static str {
        self.0.language.say(english)
    }

    fn spot_name(&self, spot: ItemId) -> String {
        let spots = &self.0.survey.spots;
        let at = spots.iter().position(|other| other.id == spot);
        let name = at.and_then(|at| spots[at].name.clone());
        name.unwrap_or_else(|| format!("{} {}", self.t("Spot"), at.map_or(0, |at| at + 1)))
    }

    fn length(&self, length: Length) -> String {
        length.show(self.0.survey.tape).text
    }

    fn say(&self, say: &Say) -> String {
        say.render(&|key| Cow::Borrowed(self.t(key)), &|length| {
            self.length(length)
        })
    }

    fn amount(&self, amount: &Arg) -> String {
        amount.render(&|key| Cow::Borrowed(self.t(key)), &|length| {
            self.length(length)
        })
    }

    fn fan(&self, id: &str) -> String {
        let fan = self.0.fans.fans.iter().find(|fan| fan.id == id);
        fan.map_or_else(
            || id.to_owned(),
            |fan| format!("{} ({id})", self.0.language.name(&fan.name)),
        )
    }

    fn head(&self) -> Markup {
        let Contents {
            survey, assessment, ..
        } = *self.0;
        let arrival = &survey.arrival;
        let or_open = |text: &Option<String>| {
            text.clone()
                .unwrap_or_else(|| self.t("not given").to_owned())
        };
        markup! {
            header {
                h1 { (self.t("Job pack")) " " (or_open(&arrival.job_reference)) }
                p { (or_open(&arrival.client)) }
                p { (or_open(&arrival.address)) }
            }
            table {
                tr { th { (self.t("Surveyed")) } td { (arrival.visited_at.unwrap_or(survey.begun))
                    ", " (or_open(&arrival.surveyor)) } }
                tr { th { (self.t("Judged by")) } td {
                    "joistlight " (assessment.rules) "; " (assessment.codes.building.code()) "; "
                    (assessment.codes.electrical.code()) "; "
                    (self.t("energy code")) ": " (self.t(assessment.codes.energy.code())) "; "
                    (self.t("fan list")) ": " (assessment.fan_list) " " (assessment.fan_list_version) } }
                @if let Some(notes) = &survey.wrap_up.notes { tr { th { (self.t("Notes")) } td { (notes) } } }
                @if let Some(agreed) = &survey.wrap_up.agreed {
                    tr { th { (self.t("Told or agreed")) } td { (agreed) } }
                }
            }
        }
    }

    fn verdicts(&self) -> Markup {
        markup! {
            h2 { (self.t("What it comes to")) }
            table {
                tr { th { (self.t("Spot")) } th { (self.t("Verdict")) } th { (self.t("Best of the fan list")) } }
                @for spot in &self.0.assessment.spots {
                    tr {
                        td { (self.spot_name(spot.spot)) }
                        td { (self.verdict(spot.verdict))
                            @if !spot.settled { " – " (self.t("answers that are missing can still change it")) } }
                        td { @if let Some(best) = spot.best().filter(|_| spot.verdict != Verdict::DoesNotFit) {
                            (self.fan(&best.fan)) ", " (self.t(best.framing.label())) } }
                    }
                }
            }
        }
    }

    fn spot(
        &self,
        spot: &SpotAssessment,
        thumbnail: &mut dyn FnMut(&str) -> Option<Vec<u8>>,
    ) -> Markup {
        let best = spot.best();
        let mut findings: Vec<&Finding> = spot.findings.iter().collect();
        findings.extend(best.into_iter().flat_map(|best| &best.findings));
        let work = best.map_or(&[][..], |best| &best.work[..]);
        let matters = what_matters(self.0.assessment)
            .into_iter()
            .find(|one| one.spot == spot.spot)
            .map_or(Vec::new(), |one| one.matters);
        markup! {
            h2 { (self.spot_name(spot.spot)) ": " (self.verdict(spot.verdict)) }
            @if let Some(best) = best {
                p { @if spot.verdict == Verdict::DoesNotFit { (self.t("Nearest to fitting:")) } @else { (self.t("Best:")) }
                    " " strong { (self.fan(&best.fan)) ", " (self.t(best.framing.label())) } "." }
            }
            @if !work.is_empty() {
                h3 { (self.t("Work to be done first")) }
                ul { @for task in work {
                    li { (self.say(&task.what)) " (" (self.t(task.who.label())) ")" }
                } }
            }
            @if !matters.is_empty() {
                h3 { (self.t("Still to be measured, the weightiest first")) }
                ul { @for matter in &matters { li { (self.place(matter)) } } }
            }
            h3 { (self.t("Findings")) }
            (self.findings(findings))
            (self.pictures(Some(spot.spot), thumbnail))
        }
    }

    /// Findings, what fails first.
    fn findings(&self, mut findings: Vec<&Finding>) -> Markup {
        findings.sort_by_key(|finding| match finding.outcome {
            Outcome::Fails => 0,
            Outcome::Mend => 1,
            Outcome::NotMeasured => 2,
            Outcome::Holds => 3,
        });
        markup! { @for finding in findings { (self.finding(finding)) } }
    }

    fn finding(&self, finding: &Finding) -> Markup {
        let (class, sign) = match finding.outcome {
            Outcome::Holds => ("finding o-holds", "✓"),
            Outcome::Mend => ("finding o-work", "✎"),
            Outcome::Fails => ("finding o-fails", "✗"),
            Outcome::NotMeasured => ("finding o-open", "?"),
        };
        let amounts = [
            (self.t("Needed"), &finding.need),
            (self.t("Measured"), &finding.measured),
            (self.t("Margin"), &finding.margin),
        ];
        markup! {
            div class=(class) {
                h4 { span.mark { (sign) } (self.t(finding.title)) " – " (self.t(finding.outcome.label())) }
                p { (self.say(&finding.say)) }
                @if amounts.iter().any(|(_, amount)| amount.is_some()) {
                    dl { @for (name, amount) in amounts { @if let Some(amount) = amount {
                        div { dt { (name) } dd { (self.amount(amount)) } }
                    } } }
                }
                @if finding.measure_again {
                    p { strong { (self.t("The margin is within what a tape can tell: measure again before ordering.")) } }
                }
                @if !finding.remedies.is_empty() {
                    ul { @for remedy in &finding.remedies {
                        li { (self.say(&remedy.what)) " (" (self.t(remedy.who.label())) ")" }
                    } }
                }
                @for caution in &finding.cautions { p { strong { (self.say(caution)) } } }
                p.source { (self.t("Source")) ": "
                    @for (number, source) in finding.sources.iter().enumerate() {
                        @if number > 0 { "; " }
                        (source.cite) " (" (self.t(source.status.label())) ")"
                    }
                }
                (figures::folded(&finding.figures, self.t("Figures"), self.0.language, |it| self.amount(it)))
            }
        }
    }

    fn pictures(
        &self,
        spot: Option<ItemId>,
        thumbnail: &mut dyn FnMut(&str) -> Option<Vec<u8>>,
    ) -> Markup {
        let photos: Vec<(&Photo, Option<Vec<u8>>)> = self
            .0
            .survey
            .photos
            .iter()
            .filter(|photo| photo.spot == spot)
            .map(|photo| (photo, thumbnail(&photo.sha256)))
            .collect();
        markup! {
            @if !photos.is_empty() {
                div.pictures { @for (photo, small) in photos {
                    figure {
                        @if let Some(small) = small {
                            img alt=(self.t(photo.subject.label()))
                                src={ "data:image/jpeg;base64," (BASE64.encode(small)) };
                        }
                        figcaption { (self.t(photo.subject.label()))
                            @if let Some(remark) = &photo.remark { ": " (remark) } }
                    }
                } }
            }
        }
    }

    fn corrections(&self) -> Markup {
        let standing: Vec<&Correction> = self
            .0
            .corrections
            .iter()
            .filter(|correction| correction.stands)
            .collect();
        let or_nothing = |text: &Option<String>| {
            text.clone()
                .unwrap_or_else(|| self.t("not measured yet").to_owned())
        };
        markup! {
            @if !standing.is_empty() {
                h2 { (self.t("Corrected in the office")) }
                table {
                    tr { @for head in [key("Answer"), key("Surveyor"), key("Office"), key("Why"), key("Who, when")] { th { (self.t(head)) } } }
                    @for correction in standing { tr {
                        td { (self.t(fields::label_of(&correction.field))) }
                        td { (or_nothing(&correction.was)) }
                        td { (or_nothing(&correction.answer)) }
                        td { (correction.reason) }
                        td { (correction.who) ", " (correction.made_at) }
                    } }
                }
            }
        }
    }

    fn foot(&self) -> String {
        let survey = self.0.survey;
        let say = match self.0.bundle {
            Some(_) => Say::new(
                "Made by joistlight {version} from survey {survey}, revision {revision}, bundle {bundle}. Every figure hangs on what was measured in the house; a wrong measurement makes a wrong page.",
            ),
            None => Say::new(
                "Made by joistlight {version} from survey {survey}, revision {revision}. Every figure hangs on what was measured in the house; a wrong measurement makes a wrong page.",
            ),
        };
        let bundle = self
            .0
            .bundle
            .map_or(String::new(), |bundle| bundle.to_string());
        let say = say
            .with("version", env!("CARGO_PKG_VERSION").to_owned())
            .with("survey", survey.id.to_string())
            .with("revision", survey.revision)
            .with("bundle", bundle);
        self.say(&say)
    }

    fn verdict(&self, verdict: Verdict) -> Markup {
        let (class, sign) = match verdict {
            Verdict::Fits => ("verdict v-fits", "✓"),
            Verdict::FitsWithWork => ("verdict v-work", "✎"),
            Verdict::DoesNotFit => ("verdict v-fails", "✗"),
            Verdict::NotSettled => ("verdict v-open", "?"),
        };
        markup! { span class=(class) { span.mark { (sign) } (self.t(verdict.label())) } }
    }

    /// An answer, and where it is measured.
    fn place(&self, matter: &Matter) -> String {
        let label = self.t(fields::label_of(matter.field.field));
        match matter.stop() {
            Some(stop) => format!("{label} ({})", self.t(stop.label())),
            None => label.to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Contents, page};
    use crate::rules::{assess, test_house::survey};
    use crate::survey::arrival;
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;
    use crate::words::Language;

    #[test]
    fn the_arithmetic_stands_with_its_finding() {
        let survey = survey(&[
            (arrival::ATTIC_TEMPERATURE.id, "100 °F"),
            (arrival::ATTIC_HUMIDITY.id, "40 %"),
        ]);
        let assessment = assess(&survey, generic(), &Codes::default());
        for (language, name) in [
            (Language::English, "heat index"),
            (Language::Spanish, "índice de calor"),
        ] {
            let contents = Contents {
                survey: &survey,
                assessment: &assessment,
                fans: generic(),
                corrections: &[],
                bundle: None,
                language,
            };
            let page = page(&contents, &mut |_| None);
            // The index of 100 °F and 40 % in the National Weather Service's chart.
            let row = format!("<tr><th>{name}</th><td class=\"figure\">109\u{202f}°F</td></tr>");
            assert!(page.contains(&row), "{page}");
            assert!(page.contains("<details><summary>"));
        }
    }
}
