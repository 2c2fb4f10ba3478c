//! The register's tables, and how an older register is brought up to date.

use super::job::Job;
use super::{Change, In, Judged, JudgingCriteria, Location, RegisterError, Step};
use crate::digest::Sha256Hex;
use crate::office::database::{Database, DatabaseError, Sealed, values};
use crate::office::log::{self, Event, What};
use crate::office::vault::Vault;
use crate::survey::{ItemId, When};
use std::path::{Path, PathBuf};

/// The register's file in its folder.
pub(super) fn file(folder: &Path) -> PathBuf {
    folder.join("register.sqlite")
}

/// Each step makes a register of the next version; the first one makes it at all. A step, once shipped, is
/// never changed: what comes later goes into a step of its own.
const STEPS: &[&str] = &["
    CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL, seal TEXT NOT NULL);

    -- One row a survey: what the list shows of its current bundle. Whatever stands in it can be made anew from
    -- the other tables, but for `status`, whose history is in `status_change`.
    CREATE TABLE survey (
        number NUMBERED,
        id TEXT NOT NULL UNIQUE,
        bundle TEXT NOT NULL,
        revision BIGINT NOT NULL,
        revisions BIGINT NOT NULL,
        taken BIGINT NOT NULL,
        visited BIGINT NOT NULL DEFAULT 0,
        visited_at TEXT NOT NULL DEFAULT '',
        job TEXT NOT NULL DEFAULT '',
        job_key SORTED NOT NULL DEFAULT '',
        client TEXT NOT NULL DEFAULT '',
        client_key SORTED NOT NULL DEFAULT '',
        address TEXT NOT NULL DEFAULT '',
        surveyor TEXT NOT NULL DEFAULT '',
        surveyor_key SORTED NOT NULL DEFAULT '',
        verdict BIGINT NOT NULL DEFAULT 1,
        settled BIGINT NOT NULL DEFAULT 0,
        fan TEXT,
        framing TEXT,
        work BIGINT NOT NULL DEFAULT 0,
        missing BIGINT NOT NULL DEFAULT 0,
        differs BIGINT NOT NULL DEFAULT 0,
        corrected BIGINT NOT NULL DEFAULT 0,
        status BIGINT NOT NULL,
        upshot TEXT NOT NULL DEFAULT '',
        words WORDS
    );
    CREATE INDEX survey_visited ON survey (visited, number);
    CREATE INDEX survey_taken ON survey (taken, number);
    CREATE INDEX survey_job ON survey (job_key, number);
    CREATE INDEX survey_client ON survey (client_key, number);
    CREATE INDEX survey_surveyor ON survey (surveyor_key, number);
    CREATE INDEX survey_verdict ON survey (verdict, number);
    CREATE INDEX survey_missing ON survey (missing, number);
    CREATE INDEX survey_status ON survey (status, number);
    WORD_INDEX;

    -- One row a bundle that was let in.
    CREATE TABLE bundle (
        sha256 TEXT PRIMARY KEY,
        survey BIGINT NOT NULL REFERENCES survey (number),
        revision BIGINT NOT NULL,
        changed BIGINT NOT NULL,
        bytes BIGINT NOT NULL,
        name TEXT NOT NULL,
        taken TEXT NOT NULL,
        differs BIGINT NOT NULL,
        differences TEXT NOT NULL,
        seal TEXT NOT NULL
    );
    CREATE INDEX bundle_survey ON bundle (survey, revision);
    CREATE INDEX bundle_bytes ON bundle (bytes);

    -- What the surveyor captured, as it came; never written again.
    CREATE TABLE captured (
        bundle TEXT PRIMARY KEY REFERENCES bundle (sha256),
        sha256 TEXT NOT NULL,
        survey TEXT NOT NULL
    );

    -- What was not let in.
    CREATE TABLE refused (
        sha256 TEXT PRIMARY KEY,
        name TEXT NOT NULL,
        bytes BIGINT NOT NULL,
        reason TEXT NOT NULL,
        refused TEXT NOT NULL,
        seal TEXT NOT NULL
    );

    -- The files themselves, where the register is on a server.
    CREATE TABLE piece (
        file TEXT NOT NULL,
        part BIGINT NOT NULL,
        content BYTES NOT NULL,
        PRIMARY KEY (file, part)
    );

    -- The history of a survey's status; its last row is the status now.
    CREATE TABLE status_change (
        number NUMBERED,
        survey BIGINT NOT NULL REFERENCES survey (number),
        status BIGINT NOT NULL,
        who TEXT NOT NULL,
        changed TEXT NOT NULL,
        remark TEXT NOT NULL,
        seal TEXT NOT NULL
    );
    CREATE INDEX status_change_survey ON status_change (survey, number);

    -- What the office knows better than the surveyor wrote. `was` is the answer that it stands for, and
    -- `answer` the one that takes its place, both as in the survey's file; nothing where there is none.
    CREATE TABLE correction (
        number NUMBERED,
        survey BIGINT NOT NULL REFERENCES survey (number),
        field TEXT NOT NULL,
        spot BIGINT,
        item BIGINT,
        was TEXT,
        answer TEXT,
        reason TEXT NOT NULL,
        who TEXT NOT NULL,
        made TEXT NOT NULL,
        withdrawn_by TEXT,
        withdrawn TEXT,
        seal TEXT NOT NULL
    );
    CREATE INDEX correction_survey ON correction (survey, number);
",
    // What lists are narrowed by together is counted without reading the rows.
    "
    CREATE INDEX survey_verdict_status ON survey (verdict, status);
    CREATE INDEX survey_surveyor_visited ON survey (surveyor_key, visited);
",
    // How many surveys have a word is told without reading them; lists are sorted by the best fan and by the work.
    "
    WORD_COUNTS;
    ALTER TABLE survey ADD COLUMN fan_key SORTED NOT NULL DEFAULT '';
    UPDATE survey SET fan_key = fan WHERE fan IS NOT NULL;
    CREATE INDEX survey_fan ON survey (fan_key, number);
    CREATE INDEX survey_work ON survey (work, number);
",
    // Everything that happened is one log, and a survey's row says by what it was made.
    "
    CREATE TABLE event (
        number BIGINT PRIMARY KEY,
        survey TEXT,
        what TEXT NOT NULL,
        body TEXT NOT NULL,
        seal TEXT NOT NULL
    );
    CREATE INDEX event_survey ON event (survey, number);
    ALTER TABLE survey RENAME COLUMN upshot TO summary;
    ALTER TABLE survey ADD COLUMN event BIGINT NOT NULL DEFAULT 0;
    ALTER TABLE survey ADD COLUMN waiting TEXT NOT NULL DEFAULT '';
    ALTER TABLE survey ADD COLUMN scheduled SORTED NOT NULL DEFAULT '';
    ALTER TABLE survey ADD COLUMN crew TEXT NOT NULL DEFAULT '';
    ALTER TABLE survey ADD COLUMN criteria TEXT NOT NULL DEFAULT '';
    ALTER TABLE survey ADD COLUMN rules TEXT NOT NULL DEFAULT '';
    ALTER TABLE survey ADD COLUMN seal TEXT NOT NULL DEFAULT '';
    CREATE INDEX survey_scheduled ON survey (scheduled, number);
",
];

/// The version whose registers have a log.
const WITH_LOG: i64 = 4;

/// What the register is told about itself: its version, and what it judges by.
pub(super) const SETTING: Sealed = Sealed {
    table: "setting",
    columns: &["name", "value"],
};
/// The bundles that were let in.
pub(super) const BUNDLE: Sealed = Sealed {
    table: "bundle",
    columns: &[
        "sha256",
        "survey",
        "revision",
        "changed",
        "bytes",
        "name",
        "taken",
        "differs",
        "differences",
    ],
};
/// The files that were not let in.
pub(super) const REFUSED: Sealed = Sealed {
    table: "refused",
    columns: &["sha256", "name", "bytes", "reason", "refused"],
};

/// The newest version known here.
pub(super) const VERSION: i64 = STEPS.len() as i64;

/// Brings a register to the newest version, whether it is new or of an earlier one.
///
/// # Errors
/// A register of a later version, which is left as it is; the database.
pub(super) fn migrate(
    database: &mut Database,
    location: &Location,
    vault: &Vault,
) -> Result<(), RegisterError> {
    if version(database).of(location)? == VERSION {
        return Ok(());
    }
    let done = database.transaction(|database| {
        database.lock_first()?;
        let found = version(database)?;
        if found > VERSION {
            return Err(Step::Register(newer(location, found)));
        }
        if found == VERSION {
            return Ok(());
        }
        for step in STEPS.iter().skip(usize::try_from(found).unwrap_or(0)) {
            database.create(step)?;
        }
        if (1..WITH_LOG).contains(&found) {
            begin_log(database, location, vault)?;
        }
        if found < WITH_LOG {
            database.batch("DROP TABLE status_change; DROP TABLE correction;")?;
        }
        put_setting(database, "version", &VERSION.to_string())?;
        Ok(())
    });
    done.of(location)
}

/// What is said of a register of a later version.
pub(super) fn newer(location: &Location, found: i64) -> RegisterError {
    RegisterError::Newer {
        register: location.to_string(),
        found,
        known: VERSION,
    }
}

/// Who did what registers of earlier versions did not keep a name for.
const EARLIER: &str = "joistlight 0.1";

/// Makes the log of a register that had none from what its tables keep, and every row from the log.
fn begin_log(database: &mut Database, location: &Location, vault: &Vault) -> Result<(), Step> {
    #[derive(serde::Deserialize)]
    struct Clock {
        changed: When,
    }
    // Each with the moment and the rank by which they are put in order, and the correction that it made or withdrew.
    let mut past: Vec<(i64, u8, Event, Option<i64>)> = Vec::new();
    let mut add = |at: When, rank: u8, who: &str, what: What, correction: Option<i64>| {
        let event = Event {
            event: 0,
            at,
            who: who.to_owned(),
            saw: 0,
            what,
        };
        past.push((at.unix_seconds(), rank, event, correction));
    };
    let of_survey = "SELECT survey.id FROM survey WHERE survey.number =";
    let mut shown: Vec<(uuid::Uuid, Sha256Hex)> = Vec::new();
    for row in database.rows("SELECT id, bundle FROM survey ORDER BY number", &[])? {
        shown.push((row.get("id")?, row.get("bundle")?));
    }
    let sql = format!(
        "SELECT sha256, ({of_survey} bundle.survey) AS id, revision, bytes, name, taken,
                (SELECT captured.survey FROM captured WHERE captured.bundle = bundle.sha256) AS captured
         FROM bundle ORDER BY survey, revision, sha256"
    );
    for row in database.rows(&sql, &[])? {
        let clock: Clock = row.json("captured")?;
        let what = What::TakenIn {
            survey: row.get("id")?,
            bundle: row.get("sha256")?,
            revision: row.get("revision")?,
            changed: clock.changed,
            bytes: row.get("bytes")?,
            name: row.get("name")?,
        };
        add(row.get("taken")?, 0, EARLIER, what, None);
    }
    for row in database.rows("SELECT * FROM refused ORDER BY refused, sha256", &[])? {
        let what = What::Refused {
            file: row.get("sha256")?,
            name: row.get("name")?,
            bytes: row.get("bytes")?,
            reason: row.get("reason")?,
        };
        add(row.get("refused")?, 1, EARLIER, what, None);
    }
    let sql = format!(
        "SELECT ({of_survey} status_change.survey) AS id, status, who, changed, remark
         FROM status_change ORDER BY number"
    );
    for row in database.rows(&sql, &[])? {
        use super::Status::{Accepted, Built, Dropped, New, Quoted};
        let number: usize = row.get("status")?;
        // What was called ordered is called accepted.
        let status = [New, Quoted, Accepted, Built, Dropped].get(number).copied();
        let what = What::Marked {
            survey: row.get("id")?,
            status: status.unwrap_or_default(),
            date: None,
            crew: None,
            remark: row.get("remark")?,
        };
        add(
            row.get("changed")?,
            2,
            &row.get::<String>("who")?,
            what,
            None,
        );
    }
    let sql = format!(
        "SELECT ({of_survey} correction.survey) AS id, number, field, spot, item, was, answer, reason, who, made,
                withdrawn_by, withdrawn
         FROM correction ORDER BY number"
    );
    for row in database.rows(&sql, &[])? {
        let number: i64 = row.get("number")?;
        let what = What::Corrected {
            survey: row.get("id")?,
            field: row.get("field")?,
            spot: row.get::<Option<u32>>("spot")?.map(ItemId),
            item: row.get::<Option<u32>>("item")?.map(ItemId),
            was: row.get("was")?,
            answer: row.get("answer")?,
            reason: row.get("reason")?,
        };
        add(
            row.get("made")?,
            2,
            &row.get::<String>("who")?,
            what,
            Some(number),
        );
        if let (Some(who), Some(at)) = (
            row.get::<Option<String>>("withdrawn_by")?,
            row.get::<Option<When>>("withdrawn")?,
        ) {
            let what = What::Withdrawn {
                survey: row.get("id")?,
                correction: 0,
            };
            add(at, 3, &who, what, Some(number));
        }
    }
    past.sort_by_key(|(at, rank, _, _)| (*at, *rank));
    let mut corrections: std::collections::HashMap<i64, u64> = Default::default();
    let mut last: std::collections::HashMap<uuid::Uuid, u64> = Default::default();
    for (number, (_, _, mut event, made)) in (1_u64..).zip(past) {
        event.event = number;
        if let Some(survey) = event.what.survey() {
            event.saw = last.insert(survey, number).unwrap_or(0);
        }
        match (&mut event.what, made) {
            (What::Withdrawn { correction, .. }, Some(made)) => {
                *correction = corrections.get(&made).copied().unwrap_or(0);
            }
            (_, Some(made)) => {
                corrections.insert(made, number);
            }
            _ => {}
        }
        log::enter(database, &event)?;
    }
    let now = When::now();
    let criteria = JudgingCriteria::kept(database, location)?;
    if criteria != JudgingCriteria::default() {
        let what = What::Criteria {
            codes: criteria.codes,
            fans: criteria.fans_text.clone(),
        };
        log::append(database, now, EARLIER, what)?;
    }
    for (id, bundle) in shown {
        // What the office saw so far stays what it sees, unless the bundle pinned itself.
        let job = Job::of(&log::of_survey(database, id)?);
        let other = job.shown.is_some_and(|shown| shown.bundle != bundle);
        let believed = job.believes(&bundle);
        if other && believed {
            let survey = id;
            log::append(database, now, EARLIER, What::Accepted { survey, bundle })?;
        }
        let mut change = Change {
            database: &mut *database,
            vault,
            criteria: &criteria,
            other: false,
            location,
        };
        change.project(id, if believed { Judged::Kept } else { Judged::Anew })?;
        change.put_words(id)?;
    }
    Ok(())
}

/// The version of the register; 0 where there is none yet.
pub(super) fn version(database: &mut Database) -> Result<i64, DatabaseError> {
    if !database.has_table("setting")? {
        return Ok(0);
    }
    // Read without its seal: a later version may seal its rows otherwise.
    let sql = "SELECT value FROM setting WHERE name = 'version'";
    let version: Option<String> = database.get("value", sql, &[])?;
    match version.and_then(|text| text.parse().ok()) {
        Some(version @ 1..) => Ok(version),
        _ => Err(DatabaseError::Damaged("it has no version".to_owned())),
    }
}

/// What the register says under a name.
pub(super) fn setting(
    database: &mut Database,
    name: &str,
) -> Result<Option<String>, DatabaseError> {
    let rows = database.sealed(&SETTING, "WHERE name = $1", values![name])?;
    rows.first().map(|row| row.get("value")).transpose()
}

/// Puts something under a name, in place of what was there.
pub(super) fn put_setting(
    database: &mut Database,
    name: &str,
    value: &str,
) -> Result<(), DatabaseError> {
    database.run("DELETE FROM setting WHERE name = $1", values![name])?;
    database.enter(&SETTING, values![name, value])
}
