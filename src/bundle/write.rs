//! Writing a bundle.

use super::bag::{self, Manifest};
use super::problem::WriteError;
use super::{Bundle, ENDING, FILE_MOST, Watch, report};
use crate::digest::Sha256Hex;
use crate::disk::{About, Draft};
use crate::photo;
use crate::rules::Assessment;
use crate::survey::{self, Photo, Survey, Ways, pretty};
use crate::trade::fan::FanList;
use crate::words::Language;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// What goes into a bundle.
#[derive(Debug, Clone, Copy)]
pub struct Contents<'a> {
    /// The survey, its revision raised already.
    pub survey: &'a Survey,
    /// The assessment of that very survey.
    pub assessment: &'a Assessment,
    /// The fans that it judged with, for the drawings.
    pub fans: &'a FanList,
    /// The folder with `photos/` and `thumbnails/`, such as the one of an
    /// [`OpenSurvey`](crate::store::OpenSurvey::folder).
    pub pictures: &'a Path,
    /// How the report shows quantities.
    pub ways: Ways,
    /// The report's language.
    pub language: Language,
}

/// The name of a survey's bundle: the job's reference (or `survey`), the beginning of the survey's id, and the
/// revision. It has small letters, digits and hyphens only.
///
/// # Examples
/// ```
/// use joistlight::{bundle, measure::Tape, survey::{Survey, When}};
/// let mut survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
/// survey.arrival.job_reference = Some("Job 20/41 – Ölmühle".into());
/// survey.revision = 2;
/// assert_eq!(bundle::file_name(&survey), "job-20-41-lm-hle-00000000-r2.joistlight.zip");
/// ```
pub fn file_name(survey: &Survey) -> String {
    format!("{}{ENDING}", base_name(survey))
}

fn base_name(survey: &Survey) -> String {
    let reference = survey.arrival.job_reference.as_deref().unwrap_or_default();
    let mut slug = String::new();
    for c in reference.chars() {
        match c.to_ascii_lowercase() {
            c if c.is_ascii_alphanumeric() => slug.push(c),
            _ if slug.is_empty() || slug.ends_with('-') => {}
            _ => slug.push('-'),
        }
        if slug.len() == 40 {
            break;
        }
    }
    let slug = match slug.trim_end_matches('-') {
        "" => "survey",
        slug => slug,
    };
    let id = survey.id.simple().to_string();
    format!("{slug}-{}-r{}", &id[..8], survey.revision)
}

/// Where a payload file's bytes come from.
enum Source<'a> {
    Bytes(Vec<u8>),
    Findings,
    Report,
    Photo(&'a Photo),
    Thumbnail(&'a Photo),
}

struct Payload<'a> {
    source: Source<'a>,
    bytes: u64,
    digest: Sha256Hex,
}

/// Writes the bundle of a survey into `folder`, under its own name; returns its path. One of that name that is
/// there already is replaced when the new one is whole.
///
/// # Errors
/// A picture that is missing or not what was taken in, findings of another survey, a disk that is full or
/// refuses, or the wish to stop; nothing is left behind then.
///
/// # Examples
/// ```
/// use joistlight::bundle::{self, Bundle, Contents, Watch};
/// use joistlight::measure::Tape;
/// use joistlight::survey::{Survey, Ways, When};
/// use joistlight::trade::{codes::Codes, fan};
/// # let folder = tempfile::tempdir()?;
/// # let folder = folder.path();
/// let survey = Survey::begin(uuid::Uuid::nil(), When::now(), Tape::default());
/// let assessment = joistlight::rules::assess(&survey, fan::generic(), &Codes::default());
/// let contents = Contents {
///     survey: &survey,
///     assessment: &assessment,
///     fans: fan::generic(),
///     pictures: folder,
///     ways: Ways::default(),
///     language: Default::default(),
/// };
/// let path = bundle::write(&contents, folder, Watch::default())?;
/// let mut bundle = Bundle::open(&path)?;
/// bundle.verify(Watch::default())?;
/// assert_eq!(bundle.survey(), &survey);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn write(contents: &Contents, folder: &Path, watch: Watch) -> Result<PathBuf, WriteError> {
    let (survey, assessment) = (contents.survey, contents.assessment);
    if (assessment.survey, assessment.revision) != (survey.id, survey.revision) {
        return Err(WriteError::OtherFindings);
    }
    let payload = payload(contents, &watch)?;
    let bytes: u64 = payload.values().map(|file| file.bytes).sum();
    if bytes > FILE_MOST - (FILE_MOST >> 4) {
        let limit = FILE_MOST - (FILE_MOST >> 4);
        return Err(WriteError::TooLarge { bytes, limit });
    }
    let manifest: Manifest = payload
        .iter()
        .map(|(path, file)| (path.clone(), file.digest))
        .collect();
    let oxum = format!("{bytes}.{}", payload.len());

    let path = folder.join(file_name(survey));
    let mut archive = Archive::begin(&path, base_name(survey), watch, bytes)?;
    for (name, text) in tag_files(survey, &manifest, oxum) {
        archive.start(name, CompressionMethod::Deflated)?;
        archive.put(text.as_bytes())?;
    }
    for (name, file) in &payload {
        archive.start(
            name,
            match file.source {
                // Pictures are compressed already.
                Source::Photo(_) | Source::Thumbnail(_) => CompressionMethod::Stored,
                Source::Bytes(_) | Source::Findings | Source::Report => CompressionMethod::Deflated,
            },
        )?;
        match &file.source {
            Source::Bytes(bytes) => archive.put(bytes)?,
            Source::Findings => write_findings(&mut archive, assessment)
                .map_err(|error| ReportError::Output(error).about(&path))?,
            Source::Report => {
                let mut small = |sha256: &str| Ok(read_thumbnail(contents, sha256)?);
                report::write::<ReportError>(&mut archive, contents, &mut small)
                    .map_err(|error| error.about(&path))?;
            }
            Source::Photo(photo) => archive.put(&read_photo(contents, photo)?)?,
            Source::Thumbnail(photo) => archive.put(&read_thumbnail(contents, &photo.sha256)?)?,
        }
        // What was read the second time must be what was promised in the manifest.
        if archive.finish_entry() != (file.bytes, file.digest) {
            return Err(WriteError::OtherPicture {
                file: contents.pictures.join(name).display().to_string(),
            });
        }
    }
    archive.keep()?;
    Ok(path)
}

fn tag_files(survey: &Survey, manifest: &Manifest, oxum: String) -> [(&'static str, String); 4] {
    let changed = survey.changed.to_string();
    let info = bag::info_text(&bag::Info {
        date: changed.get(..10).unwrap_or_default().to_owned(),
        program: format!("joistlight {}", env!("CARGO_PKG_VERSION")),
        survey: survey.id.urn().to_string(),
        oxum,
        revision: survey.revision,
        version: super::VERSION.into(),
    });
    let manifest = bag::manifest_text(manifest);
    let declaration = bag::DECLARATION_TEXT.to_owned();
    let tags = [
        (bag::DECLARATION, declaration),
        (bag::INFO, info),
        (bag::MANIFEST, manifest),
    ];
    let of_tags: Manifest = tags
        .iter()
        .map(|(name, text)| ((*name).to_owned(), Sha256Hex::of(text.as_bytes())))
        .collect();
    let [declaration, info, manifest] = tags;
    let of_tags = (bag::TAG_MANIFEST, bag::manifest_text(&of_tags));
    [declaration, info, manifest, of_tags]
}

/// Every file under data/, with its size and digest, by path.
fn payload<'a>(
    contents: &Contents<'a>,
    watch: &Watch,
) -> Result<BTreeMap<String, Payload<'a>>, WriteError> {
    let mut payload = BTreeMap::new();
    let texts = [
        ("data/survey.json", contents.survey.to_json()),
        ("data/survey.schema.json", pretty(&survey::schema())),
    ];
    for (path, bytes) in texts {
        let file = Payload {
            digest: Sha256Hex::of(&bytes),
            bytes: bytes.len() as u64,
            source: Source::Bytes(bytes),
        };
        payload.insert(path.to_owned(), file);
    }
    for photo in &contents.survey.photos {
        if watch.stopped() {
            return Err(WriteError::Stopped);
        }
        let sha256 = &photo.sha256;
        let path = photo_path(contents, sha256);
        let digest = sha256.parse().map_err(|_| other_picture(&path))?;
        let bytes = fs::metadata(&path).about(&path)?.len();
        let source = Source::Photo(photo);
        let file = Payload {
            source,
            bytes,
            digest,
        };
        let earlier = payload.insert(format!("data/photos/{sha256}.jpg"), file);
        if let Some(Source::Photo(earlier)) = earlier.map(|earlier| earlier.source)
            && (earlier.width, earlier.height) != (photo.width, photo.height)
        {
            return Err(other_picture(&path));
        }
        let small = read_thumbnail(contents, sha256)?;
        let file = Payload {
            digest: Sha256Hex::of(&small),
            bytes: small.len() as u64,
            source: Source::Thumbnail(photo),
        };
        payload.insert(format!("data/thumbnails/{sha256}.jpg"), file);
    }
    let mut counted = Counted::new(io::sink());
    write_findings(&mut counted, contents.assessment).about(Path::new("findings.json"))?;
    let (bytes, digest) = counted.so_far();
    let source = Source::Findings;
    let file = Payload {
        source,
        bytes,
        digest,
    };
    payload.insert("data/findings.json".to_owned(), file);
    let mut small = |sha256: &str| Ok(read_thumbnail(contents, sha256)?);
    report::write::<ReportError>(&mut counted, contents, &mut small)
        .map_err(|error| error.about(Path::new("report.html")))?;
    let (bytes, digest) = counted.so_far();
    let source = Source::Report;
    payload.insert(
        "data/report.html".to_owned(),
        Payload {
            source,
            bytes,
            digest,
        },
    );
    Ok(payload)
}

/// The findings as JSON without indentation: they repeat much, and nobody reads them but programs.
fn write_findings(out: &mut dyn Write, assessment: &Assessment) -> io::Result<()> {
    let mut buffered = BufWriter::with_capacity(1 << 16, out);
    serde_json::to_writer(&mut buffered, assessment)?;
    buffered.write_all(b"\n")?;
    buffered.flush()
}

/// The report's template knows errors of its output; thumbnails have their own.
enum ReportError {
    Output(io::Error),
    Thumbnail(WriteError),
}

impl From<io::Error> for ReportError {
    fn from(error: io::Error) -> Self {
        ReportError::Output(error)
    }
}

impl From<WriteError> for ReportError {
    fn from(error: WriteError) -> Self {
        ReportError::Thumbnail(error)
    }
}

impl ReportError {
    fn about(self, path: &Path) -> WriteError {
        match self {
            ReportError::Output(source) if is_stop(&source) => WriteError::Stopped,
            ReportError::Output(source) => Err::<(), _>(source).about(path).unwrap_err().into(),
            ReportError::Thumbnail(error) => error,
        }
    }
}

fn photo_path(contents: &Contents, sha256: &str) -> PathBuf {
    contents
        .pictures
        .join("photos")
        .join(format!("{sha256}.jpg"))
}

fn other_picture(path: &Path) -> WriteError {
    let file = path.display().to_string();
    WriteError::OtherPicture { file }
}

/// A picture's bytes, checked as the reader will check them.
fn read_photo(contents: &Contents, photo: &Photo) -> Result<Vec<u8>, WriteError> {
    let path = photo_path(contents, &photo.sha256);
    let bytes = read_picture(&path)?;
    let size = photo::check(&bytes, &path.display().to_string()).map_err(WriteError::Picture)?;
    let same =
        size == (photo.width, photo.height) && Sha256Hex::of(&bytes).to_string() == photo.sha256;
    match same {
        true => Ok(bytes),
        false => Err(other_picture(&path)),
    }
}

fn read_thumbnail(contents: &Contents, sha256: &str) -> Result<Vec<u8>, WriteError> {
    let folder = contents.pictures.join("thumbnails");
    let path = folder.join(format!("{sha256}.jpg"));
    let bytes = read_picture(&path)?;
    photo::check(&bytes, &path.display().to_string()).map_err(WriteError::Picture)?;
    Ok(bytes)
}

/// The bytes of a file, no more of them than a picture has.
fn read_picture(path: &Path) -> Result<Vec<u8>, WriteError> {
    let mut bytes = Vec::new();
    let file = File::open(path).about(path)?;
    let mut some = file.take(photo::STORED_LIMIT + 1);
    some.read_to_end(&mut bytes).about(path)?;
    Ok(bytes)
}

/// Counts and digests what passes through.
struct Counted<W> {
    to: W,
    bytes: u64,
    digest: Sha256,
}

impl<W> Counted<W> {
    fn new(to: W) -> Self {
        Counted {
            to,
            bytes: 0,
            digest: Sha256::new(),
        }
    }

    /// Bytes and digest since the last time this was asked.
    fn so_far(&mut self) -> (u64, Sha256Hex) {
        let digest = Sha256Hex::from_bytes(self.digest.finalize_reset().into());
        (std::mem::take(&mut self.bytes), digest)
    }
}

impl<W: Write> Write for Counted<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let count = self.to.write(bytes)?;
        self.bytes += count as u64;
        self.digest.update(&bytes[..count]);
        Ok(count)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.to.flush()
    }
}

/// The archive in the making.
struct Archive<'a> {
    zip: Counted<ZipWriter<BufWriter<Draft>>>,
    path: PathBuf,
    base: String,
    watch: Watch<'a>,
    done: u64,
    total: u64,
}

/// The error by which a wish to stop travels through a writer.
fn stop() -> io::Error {
    io::Error::other(Stop)
}

#[derive(Debug, thiserror::Error)]
#[error("stopped")]
struct Stop;

fn is_stop(error: &io::Error) -> bool {
    error.get_ref().is_some_and(|inner| inner.is::<Stop>())
}

impl<'a> Archive<'a> {
    fn begin(path: &Path, base: String, watch: Watch<'a>, total: u64) -> Result<Self, WriteError> {
        let draft = Draft::begin(path)?;
        let zip = ZipWriter::new(BufWriter::with_capacity(1 << 16, draft));
        Ok(Archive {
            zip: Counted::new(zip),
            path: path.to_owned(),
            base,
            watch,
            done: 0,
            total,
        })
    }

    fn start(&mut self, name: &str, method: CompressionMethod) -> Result<(), WriteError> {
        // The first moment that a zip archive can name (APPNOTE 4.4.6): no clock is read.
        let options = SimpleFileOptions::DEFAULT
            .compression_method(method)
            .compression_level((method == CompressionMethod::Deflated).then_some(6))
            .last_modified_time(DateTime::DEFAULT)
            .unix_permissions(0o644);
        let name = format!("{}/{name}", self.base);
        self.zip
            .to
            .start_file(name, options)
            .map_err(io::Error::from)
            .about(&self.path)?;
        self.zip.so_far();
        Ok(())
    }

    fn put(&mut self, bytes: &[u8]) -> Result<(), WriteError> {
        self.write_all(bytes)
            .map_err(|error| ReportError::Output(error).about(&self.path.clone()))
    }

    /// Bytes and digest of the entry that was written.
    fn finish_entry(&mut self) -> (u64, Sha256Hex) {
        self.zip.so_far()
    }

    fn keep(self) -> Result<(), WriteError> {
        if self.watch.stopped() {
            return Err(WriteError::Stopped);
        }
        let buffered = self
            .zip
            .to
            .finish()
            .map_err(io::Error::from)
            .about(&self.path)?;
        let draft = buffered
            .into_inner()
            .map_err(io::IntoInnerError::into_error)
            .about(&self.path)?;
        // Whatever the reader's limits are, nothing leaves the device that it would refuse.
        Bundle::open(draft.temporary())
            .map_err(|error| WriteError::NotReadBack(Box::new(error)))?;
        Ok(draft.keep()?)
    }
}

impl Write for Archive<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.watch.stopped() {
            return Err(stop());
        }
        let count = self.zip.write(&bytes[..bytes.len().min(1 << 16)])?;
        self.done += count as u64;
        self.watch.tell(self.done.min(self.total), self.total);
        Ok(count)
    }
    fn flush(&mut self) -> io::Result<()> {
        self.zip.flush()
    }
}
