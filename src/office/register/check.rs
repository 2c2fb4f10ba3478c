//! Looking for damage: a disk that forgot a bit, a file that somebody edited.

use super::{In, Register, RegisterError, Result, schema, shown};
use crate::digest::Sha256Hex;
use crate::office::database::cells;
use crate::survey::When;

impl Register {
    /// Looks through the whole register for damage: the database itself, every row against its seal, every captured
    /// survey against its checksum, every line of the list against what it was made from, and every kept bundle
    /// where they are files.
    ///
    /// # Errors
    /// What is damaged first.
    pub fn check(&mut self) -> Result<()> {
        self.look_again()?;
        self.database.check().of(&self.location)?;
        for table in [
            &schema::SETTING,
            &schema::BUNDLE,
            &schema::REFUSED,
            &schema::STATUS_CHANGE,
            &schema::CORRECTION,
        ] {
            self.database.sealed(table, "", &[]).of(&self.location)?;
        }
        let bundles = self
            .database
            .rows("SELECT sha256 FROM bundle ORDER BY sha256", &[]);
        for mut row in bundles.of(&self.location)? {
            let name = row.words(0);
            let bundle: Sha256Hex = name
                .parse()
                .map_err(|_| self.damaged(format!("the name of bundle “{name}”")))?;
            if !self.vault.is_whole(&bundle)? {
                return Err(self.damaged(format!("the kept bundle {bundle}")));
            }
            self.captured(&bundle)?;
        }
        let mut last = 0;
        loop {
            let rows = self.database.rows(
                "SELECT number, id, bundle, status, revisions, revision, differs, taken FROM survey
                 WHERE number > $1 ORDER BY number LIMIT 500",
                cells![last],
            );
            let rows = rows.of(&self.location)?;
            if rows.is_empty() {
                return Ok(());
            }
            for mut row in rows {
                last = row.int(0).unwrap_or(i64::MAX);
                let (id, bundle) = (row.words(1), row.words(2));
                let line = || format!("the line of survey {id}");
                let Ok(bundle) = bundle.parse() else {
                    return Err(self.damaged(line()));
                };
                let survey = self.captured(&bundle)?;
                let database = &mut self.database;
                let made = shown::is_as_made(database, last, &survey, &self.current.yardstick);
                if survey.id.to_string() != id || !made.of(&self.location)? {
                    return Err(self.damaged(line()));
                }
                let revisions = self.revisions(survey.id)?;
                let statuses = self.statuses(survey.id)?;
                let status = statuses
                    .last()
                    .map(|change| change.status)
                    .unwrap_or_default();
                let newest = revisions.first().is_some_and(|newest| {
                    let taken: Option<When> = newest.taken_in.parse().ok();
                    newest.bundle == bundle
                        && newest.revision == row.count(5)
                        && newest.differences.count() == row.count(6) as usize
                        && taken.map(|when| when.unix_seconds()) == row.int(7)
                });
                if !newest
                    || revisions.len() != row.count(4) as usize
                    || status.number() != row.int(3).unwrap_or(-1)
                {
                    return Err(self.damaged(line()));
                }
            }
        }
    }

    fn damaged(&self, what: String) -> RegisterError {
        RegisterError::Damaged {
            register: self.location.to_string(),
            what,
            why: "it is not what was put there.".to_owned(),
        }
    }
}
