//! The register's log: everything that ever happened to it, one event after another, each with who and when.
//!
//! What lists show is made from the log and the kept bundles, and can be made anew from them alone. The log is a table
//! of the database; a register in a folder has it as a file beside the bundles too (`log.jsonl`, one JSON object a
//! line, each with a seal over its other bytes), so that it outlives the database.

use super::database::{Database, DatabaseError, Sealed, values};
use super::register::Status;
use crate::digest::Sha256Hex;
use crate::disk::{self, About, DiskError};
use crate::survey::{ItemId, When};
use crate::trade::codes::Codes;
use serde::{Deserialize, Serialize};
use std::fs::{File, OpenOptions};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use uuid::Uuid;

/// One thing that happened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Event {
    /// Its number: 1, 2, 3 … without a gap.
    pub event: u64,
    /// When.
    pub at: When,
    /// Who did it.
    pub who: String,
    /// The last event of the same survey that its author's program had seen; 0 where there was none.
    pub saw: u64,
    /// What it was.
    #[serde(flatten)]
    pub what: What,
}

/// What can happen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "snake_case")]
pub enum What {
    /// A bundle was taken in.
    TakenIn {
        /// Which survey it is of.
        survey: Uuid,
        /// SHA-256 of its bytes.
        bundle: Sha256Hex,
        /// The revision that the phone counted.
        revision: u32,
        /// When the phone last changed an answer.
        changed: When,
        /// How many bytes it has.
        bytes: u64,
        /// What the file was called.
        name: String,
    },
    /// A file was refused and kept aside.
    Refused {
        /// SHA-256 of its bytes.
        file: Sha256Hex,
        /// What it was called.
        name: String,
        /// How many bytes it has.
        bytes: u64,
        /// Why.
        reason: String,
    },
    /// Refused files were thrown away.
    RefusedCleared {
        /// Which.
        files: Vec<Sha256Hex>,
    },
    /// A job got another status.
    Marked {
        /// Which survey.
        survey: Uuid,
        /// What the job is now.
        status: Status,
        /// The day that was agreed on, for a job that is scheduled.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        date: Option<String>,
        /// Who builds it, for a job that is scheduled.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        crew: Option<String>,
        /// Anything worth keeping.
        remark: String,
    },
    /// Another answer was put beside a captured one.
    Corrected {
        /// Which survey.
        survey: Uuid,
        /// Which answer.
        field: String,
        /// Of which spot.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spot: Option<ItemId>,
        /// Of which item.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        item: Option<ItemId>,
        /// The captured answer that it was made for.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        was: Option<String>,
        /// The answer that takes its place; nothing where it was not measured after all.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        answer: Option<String>,
        /// Why.
        reason: String,
    },
    /// A correction was withdrawn.
    Withdrawn {
        /// Which survey.
        survey: Uuid,
        /// The correction's event.
        correction: u64,
    },
    /// A revision was accepted as the one that counts.
    Accepted {
        /// Which survey.
        survey: Uuid,
        /// Its bundle.
        bundle: Sha256Hex,
    },
    /// The register judges by these from then on.
    Criteria {
        /// The editions of the codes.
        codes: Codes,
        /// The fan list's text.
        fans: String,
    },
}

impl What {
    /// The survey that it is about.
    pub fn survey(&self) -> Option<Uuid> {
        match self {
            What::TakenIn { survey, .. }
            | What::Marked { survey, .. }
            | What::Corrected { survey, .. }
            | What::Withdrawn { survey, .. }
            | What::Accepted { survey, .. } => Some(*survey),
            What::Refused { .. } | What::RefusedCleared { .. } | What::Criteria { .. } => None,
        }
    }

    const fn name(&self) -> &'static str {
        match self {
            What::TakenIn { .. } => "taken_in",
            What::Refused { .. } => "refused",
            What::RefusedCleared { .. } => "refused_cleared",
            What::Marked { .. } => "marked",
            What::Corrected { .. } => "corrected",
            What::Withdrawn { .. } => "withdrawn",
            What::Accepted { .. } => "accepted",
            What::Criteria { .. } => "criteria",
        }
    }
}

/// The log's table. `body` is the event as JSON.
pub(super) const EVENT: Sealed = Sealed {
    table: "event",
    columns: &["number", "survey", "what", "body"],
};

/// The number of the last event; 0 where there is none.
pub(super) fn last(database: &mut Database) -> Result<u64, DatabaseError> {
    let sql = "SELECT coalesce(max(number), 0) AS number FROM event";
    Ok(database.get("number", sql, &[])?.unwrap_or(0))
}

/// The last event of a survey; 0 where there is none.
fn last_of(database: &mut Database, survey: Uuid) -> Result<u64, DatabaseError> {
    let sql = "SELECT coalesce(max(number), 0) AS number FROM event WHERE survey = $1";
    Ok(database.get("number", sql, values![survey])?.unwrap_or(0))
}

/// Appends an event; within a transaction that keeps other writers off.
pub(super) fn append(
    database: &mut Database,
    at: When,
    who: &str,
    what: What,
) -> Result<Event, DatabaseError> {
    let event = Event {
        event: last(database)? + 1,
        at,
        who: who.to_owned(),
        saw: match what.survey() {
            Some(survey) => last_of(database, survey)?,
            None => 0,
        },
        what,
    };
    enter(database, &event)?;
    Ok(event)
}

/// Enters an event that has its number.
pub(super) fn enter(database: &mut Database, event: &Event) -> Result<(), DatabaseError> {
    let row = values![
        event.event,
        event.what.survey(),
        event.what.name(),
        body(event)
    ];
    database.enter(&EVENT, row)
}

/// All events of a survey, the first one first.
pub(super) fn of_survey(
    database: &mut Database,
    survey: Uuid,
) -> Result<Vec<Event>, DatabaseError> {
    let which = "WHERE survey = $1 ORDER BY number";
    let rows = database.sealed(&EVENT, which, values![survey])?;
    rows.iter().map(|row| row.json("body")).collect()
}

/// All events, the first one first.
pub(super) fn all(database: &mut Database) -> Result<Vec<Event>, DatabaseError> {
    let rows = database.sealed(&EVENT, "ORDER BY number", &[])?;
    rows.iter().map(|row| row.json("body")).collect()
}

/// An event as JSON; for plain data that cannot fail.
fn body(event: &Event) -> String {
    serde_json::to_string(event).unwrap_or_default()
}

/// How a line's seal begins.
const SEAL: &str = ",\"seal\":\"";

/// An event's line in the file, sealed.
fn line(body: &str) -> String {
    let seal = Sha256Hex::of(body.as_bytes()).to_string();
    let open = body.strip_suffix('}').unwrap_or(body);
    format!("{open}{SEAL}{}\"}}\n", &seal[..24])
}

/// The event of a line, where the line fits its seal.
fn unsealed(line: &str) -> Option<Event> {
    let (open, seal) = line.rsplit_once(SEAL)?;
    let seal = seal.strip_suffix("\"}")?;
    let body = format!("{open}}}");
    let right = Sha256Hex::of(body.as_bytes()).to_string();
    (right.get(..24) == Some(seal))
        .then(|| serde_json::from_str(&body).ok())
        .flatten()
}

/// The log's file in a register's folder or a backup.
pub(super) fn path(folder: &Path) -> PathBuf {
    folder.join("log.jsonl")
}

/// What a log's file holds.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// The events that are sound, in the order of their numbers.
    pub(super) events: Vec<Event>,
    /// The numbers of lines that are not.
    pub(super) damaged: Vec<usize>,
}

/// Reads a log's file; none holds nothing. A last line without its end was cut off and counts for nothing.
pub(super) fn read(path: &Path) -> Result<Held, DiskError> {
    let mut held = Held::default();
    let mut file = match File::open(path) {
        Ok(file) => BufReader::new(file),
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(held),
        Err(error) => return Err(error).about(path),
    };
    let mut bytes = Vec::new();
    for number in 1.. {
        bytes.clear();
        file.read_until(b'\n', &mut bytes).about(path)?;
        if bytes.pop() != Some(b'\n') {
            break;
        }
        match std::str::from_utf8(&bytes).ok().and_then(unsealed) {
            Some(event) => held.events.push(event),
            None => held.damaged.push(number),
        }
    }
    held.events.sort_by_key(|event| event.event);
    held.events.dedup_by_key(|event| event.event);
    Ok(held)
}

/// Writes a log's file anew, whole.
pub(super) fn write(path: &Path, events: &[Event]) -> Result<(), DiskError> {
    let mut draft = io::BufWriter::new(disk::Draft::begin(path)?);
    for event in events {
        draft.write_all(line(&body(event)).as_bytes()).about(path)?;
    }
    let draft = draft.into_inner().map_err(io::IntoInnerError::into_error);
    draft.about(path)?.keep()
}

/// The log's file beside a register in a folder.
#[derive(Debug)]
pub(super) struct LogFile {
    path: PathBuf,
    /// Its length and the number of its last event when it was last looked at.
    seen: Option<(u64, u64)>,
}

impl LogFile {
    /// The one in this folder.
    pub(super) fn of(folder: &Path) -> LogFile {
        LogFile {
            path: path(folder),
            seen: None,
        }
    }

    /// Appends the events that the database has and the file has not; on return they are on the disk. Tells the number
    /// of the file's last event where the file has more than the database, and then changes nothing.
    pub(super) fn catch_up(&mut self, database: &mut Database) -> Result<Option<u64>, Behind> {
        let path = &self.path;
        let new = !path.exists();
        let mut options = OpenOptions::new();
        options.read(true).append(true).create(true);
        let mut file = options.open(path).about(path)?;
        file.lock().about(path)?;
        let length = file.metadata().about(path)?.len();
        let (end, last) = match self.seen {
            Some(seen) if seen.0 == length => seen,
            _ => tail(&mut file).about(path)?,
        };
        if end < length {
            // The last line was cut off, and its event comes once more.
            file.set_len(end).about(path)?;
        }
        let mut lines = String::new();
        let mut number = last;
        let known = self::last(database)?;
        if known < last {
            return Ok(Some(last));
        }
        if known > last {
            database.query_each(
                "SELECT number, body FROM event WHERE number > $1 ORDER BY number",
                values![last],
                |row| {
                    number = row.get("number")?;
                    lines += &line(&row.get::<String>("body")?);
                    Ok::<_, DatabaseError>(())
                },
            )?;
            let written = file
                .write_all(lines.as_bytes())
                .and_then(|()| file.sync_all());
            if let Err(error) = written {
                // Half a line is cut off at once, where that goes; else by the next one that appends.
                let _ = file.set_len(end);
                self.seen = None;
                return Err(Err::<(), _>(error).about(path).unwrap_err().into());
            }
        }
        if new {
            disk::sync_folder(disk::folder_of(path))?;
        }
        self.seen = Some((end + lines.len() as u64, number));
        Ok(None)
    }
}

/// Why a log's file could not follow the database.
#[derive(Debug, thiserror::Error)]
pub(super) enum Behind {
    #[error(transparent)]
    Disk(#[from] DiskError),
    #[error(transparent)]
    Database(#[from] DatabaseError),
}

/// Where the last whole line of a file ends, and the number of the last event that is sound.
fn tail(file: &mut File) -> io::Result<(u64, u64)> {
    const STEP: u64 = 64 << 10;
    let length = file.metadata()?.len();
    let mut from = length;
    let mut bytes: Vec<u8> = Vec::new();
    loop {
        let step = from.min(STEP);
        from -= step;
        let mut before = vec![0; usize::try_from(step).unwrap_or(0)];
        file.seek(SeekFrom::Start(from))?;
        file.read_exact(&mut before)?;
        before.append(&mut bytes);
        bytes = before;
        let end = bytes
            .iter()
            .rposition(|byte| *byte == b'\n')
            .map(|at| at + 1);
        let whole = &bytes[..end.unwrap_or(0)];
        // The first line may have begun before; from the beginning of the file on, every line is whole.
        let mut lines = whole.split(|byte| *byte == b'\n').rev().skip(1).peekable();
        while let Some(one) = lines.next() {
            let is_whole = from == 0 || lines.peek().is_some();
            if let Some(event) = std::str::from_utf8(one).ok().and_then(unsealed)
                && is_whole
            {
                return Ok((from + whole.len() as u64, event.event));
            }
        }
        if from == 0 {
            return Ok((whole.len() as u64, 0));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn event(number: u64) -> Event {
        Event {
            event: number,
            at: "2026-05-03T18:20:00-07:00".parse().unwrap(),
            who: "Office One".into(),
            saw: 0,
            what: What::Refused {
                file: Sha256Hex::of(b"x"),
                name: "a \"seal\":\".zip".into(),
                bytes: number,
                reason: "torn,\"seal\":\"00\"}".into(),
            },
        }
    }

    #[test]
    fn a_line_comes_back_and_a_flipped_byte_in_it_is_found() {
        let line = line(&body(&event(7)));
        assert_eq!(unsealed(line.trim_end()), Some(event(7)));
        for at in 0..line.trim_end().len() {
            let mut flipped = line.trim_end().as_bytes().to_vec();
            flipped[at] ^= 1;
            let flipped = String::from_utf8(flipped).unwrap();
            assert_eq!(unsealed(&flipped), None, "{flipped}");
        }
    }

    #[test]
    fn what_was_cut_off_counts_for_nothing_and_the_rest_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = path(folder.path());
        let events: Vec<Event> = (1..=400).map(event).collect();
        write(&path, &events).unwrap();
        let whole = std::fs::metadata(&path).unwrap().len();
        assert_eq!(read(&path).unwrap().events, events);
        let mut file = OpenOptions::new()
            .read(true)
            .append(true)
            .open(&path)
            .unwrap();
        assert_eq!(tail(&mut file).unwrap(), (whole, 400));
        file.write_all(b"{\"event\":401,").unwrap();
        assert_eq!(tail(&mut file).unwrap(), (whole, 400));
        let held = read(&path).unwrap();
        assert_eq!((held.events.len(), held.damaged.len()), (400, 0));
        let mut bytes = std::fs::read(&path).unwrap();
        bytes[30] ^= 1;
        std::fs::write(&path, bytes).unwrap();
        let held = read(&path).unwrap();
        assert_eq!((held.events.len(), held.damaged), (399, vec![1]));
        std::fs::write(&path, "").unwrap();
        let mut file = File::open(&path).unwrap();
        assert_eq!(tail(&mut file).unwrap(), (0, 0));
    }
}
