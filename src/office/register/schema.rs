//! The register's tables, and how an older register is brought up to date.

use super::{In, Location, RegisterError, Step};
use crate::office::database::{Database, DatabaseError, Sealed, cells};
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
];

/// What the register is told about itself: its version, and what it judges by.
pub(super) const SETTING: Sealed = Sealed {
    table: "setting",
    columns: &["name", "value"],
    numbered: false,
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
    numbered: false,
};
/// The files that were not let in.
pub(super) const REFUSED: Sealed = Sealed {
    table: "refused",
    columns: &["sha256", "name", "bytes", "reason", "refused"],
    numbered: false,
};
/// The histories of statuses.
pub(super) const STATUS_CHANGE: Sealed = Sealed {
    table: "status_change",
    columns: &["survey", "status", "who", "changed", "remark"],
    numbered: true,
};
/// The corrections.
pub(super) const CORRECTION: Sealed = Sealed {
    table: "correction",
    columns: &[
        "survey",
        "field",
        "spot",
        "item",
        "was",
        "answer",
        "reason",
        "who",
        "made",
        "withdrawn_by",
        "withdrawn",
    ],
    numbered: true,
};

/// The newest version known here.
pub(super) const VERSION: i64 = STEPS.len() as i64;

/// Brings a register to the newest version, whether it is new or of an earlier one.
///
/// # Errors
/// A register of a later version, which is left as it is; the database.
pub(super) fn bring_up(database: &mut Database, location: &Location) -> Result<(), RegisterError> {
    if version(database).of(location)? == VERSION {
        return Ok(());
    }
    let done = database.together(|database| {
        database.first_alone()?;
        let found = version(database)?;
        if found > VERSION {
            return Err(Step::Register(RegisterError::Newer {
                register: location.to_string(),
                found,
                known: VERSION,
            }));
        }
        for step in STEPS.iter().skip(usize::try_from(found).unwrap_or(0)) {
            database.create(step)?;
        }
        put_setting(database, "version", &VERSION.to_string())?;
        Ok(())
    });
    done.of(location)
}

/// The version of the register; nought where there is none yet.
fn version(database: &mut Database) -> Result<i64, DatabaseError> {
    if !database.has_table("setting")? {
        return Ok(0);
    }
    // Read without its seal: a later version may seal its rows otherwise.
    let row = database.row("SELECT value FROM setting WHERE name = 'version'", &[])?;
    let version = row.and_then(|mut row| row.words(0).parse().ok());
    match version {
        Some(version @ 1..) => Ok(version),
        _ => Err(DatabaseError::Damaged("it has no version".to_owned())),
    }
}

/// What the register says under a name.
pub(super) fn setting(
    database: &mut Database,
    name: &str,
) -> Result<Option<String>, DatabaseError> {
    let rows = database.sealed(&SETTING, "WHERE name = $1", cells![name])?;
    Ok(rows.into_iter().next().and_then(|mut row| row.text(1)))
}

/// Puts something under a name, in place of what was there.
pub(super) fn put_setting(
    database: &mut Database,
    name: &str,
    value: &str,
) -> Result<(), DatabaseError> {
    database.run("DELETE FROM setting WHERE name = $1", cells![name])?;
    database.enter(&SETTING, cells![name, value])
}
