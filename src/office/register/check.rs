//! Looking for damage: a disk that forgot a bit, a file that somebody edited, a database that lost what lies beside it.

use super::projection::{RowState, state};
use super::{In, Register, Result, log, schema};
use crate::digest::Sha256Hex;
use crate::office::database::{Sealed, values};
use crate::office::log::{Event, What};
use serde::Serialize;
use std::collections::{HashMap, HashSet};
use uuid::Uuid;

/// What kind of thing is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Wrong {
    /// It is not what was put there.
    Damaged,
    /// The register names it, and it is not there.
    Missing,
    /// It is there, and the register does not name it.
    Unknown,
    /// Nothing is wrong: it was judged by other rules or criteria, and waits to be judged anew.
    Stale,
}

/// One thing that was found.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Found {
    /// What kind of thing is wrong.
    pub wrong: Wrong,
    /// With what, as a sentence.
    pub what: String,
}

impl Found {
    fn new(wrong: Wrong, what: String) -> Found {
        Found { wrong, what }
    }
    fn damaged(what: String) -> Found {
        Found::new(Wrong::Damaged, what)
    }
}

impl Register {
    /// Looks through the whole register, both ways: the database itself, every row against its seal, every line of the
    /// list against what it is made from, every event against the log's file, every kept bundle against its name, and
    /// every file in the vault against the register. Everything that is found is listed.
    ///
    /// # Errors
    /// A disk or a database that cannot be read at all.
    pub fn check(&mut self) -> Result<Vec<Found>> {
        self.reload_criteria()?;
        let location = self.location.clone();
        let mut found: Vec<Found> = self
            .database
            .check()
            .of(&location)?
            .into_iter()
            .map(|what| Found::damaged(format!("{what}.")))
            .collect();
        for table in [
            &schema::SETTING,
            &schema::BUNDLE,
            &schema::REFUSED,
            &log::EVENT,
        ] {
            let told = self.check_seals(table, &mut found);
            told.of(&location)?;
        }
        let events = self.check_log(&mut found)?;
        let shown = self.check_bundles(&events, &mut found)?;
        self.check_lines(&shown, &mut found)?;
        self.check_refused(&mut found)?;
        Ok(found)
    }

    fn check_seals(
        &mut self,
        table: &Sealed,
        found: &mut Vec<Found>,
    ) -> Result<(), crate::office::DatabaseError> {
        self.database.each_sealed(table, "", &[], |row, sound| {
            if !sound {
                let name = match row.values().first() {
                    Some(crate::office::database::SqlValue::Text(name)) => name.clone(),
                    Some(crate::office::database::SqlValue::Int(number)) => number.to_string(),
                    _ => "?".to_owned(),
                };
                let what = format!("table {}: row {name} does not fit its seal.", table.table);
                found.push(Found::damaged(what));
            }
            Ok(())
        })
    }

    /// Every event of the database, with the log's file compared.
    fn check_log(&mut self, found: &mut Vec<Found>) -> Result<Vec<Event>> {
        let (mut events, mut number) = (Vec::new(), 0);
        let told = self
            .database
            .each_sealed(&log::EVENT, "ORDER BY number", &[], |row, sound| {
                number += 1;
                let event: Option<Event> = row.json("body").ok();
                let at: Option<u64> = row.get("number").ok();
                if at != Some(number) {
                    let what = format!("the log lacks event {number} in the database.");
                    found.push(Found::new(Wrong::Missing, what));
                    number = at.unwrap_or(number);
                }
                // A row that does not fit its seal is told already.
                events.extend(event.filter(|_| sound));
                Ok::<_, crate::office::DatabaseError>(())
            });
        told.of(&self.location)?;
        let super::Location::Folder(folder) = &self.location else {
            return Ok(events);
        };
        let path = log::path(folder);
        let held = log::read(&path)?;
        let file = path.display();
        for line in held.damaged {
            found.push(Found::damaged(format!("{file}: line {line} is damaged.")));
        }
        let of_file: HashMap<u64, &Event> =
            held.events.iter().map(|one| (one.event, one)).collect();
        for event in &events {
            let number = event.event;
            match of_file.get(&number) {
                Some(one) if *one == event => {}
                Some(_) => found.push(Found::damaged(format!(
                    "{file}: event {number} is another one than in the database."
                ))),
                None => found.push(Found::new(
                    Wrong::Missing,
                    format!("{file}: event {number} is missing."),
                )),
            }
        }
        let known: HashSet<u64> = events.iter().map(|event| event.event).collect();
        for number in of_file.keys().filter(|number| !known.contains(number)) {
            let what = format!("{file}: the database has no event {number}.");
            found.push(Found::new(Wrong::Missing, what));
        }
        Ok(events)
    }

    /// Every bundle that the log names, in tables and vault, and every file of the vault; returns the bundles that can
    /// be read.
    fn check_bundles(
        &mut self,
        events: &[Event],
        found: &mut Vec<Found>,
    ) -> Result<HashSet<Sha256Hex>> {
        let mut sound = HashSet::new();
        let mut named = HashSet::new();
        for event in events {
            let What::TakenIn { bundle, .. } = &event.what else {
                continue;
            };
            named.insert(*bundle);
            match self.vault.is_whole(&mut self.database, bundle) {
                Ok(Some(true)) => {}
                Ok(Some(false)) => {
                    found.push(Found::damaged(format!(
                        "the kept bundle {bundle} is damaged."
                    )));
                }
                Ok(None) => found.push(Found::new(
                    Wrong::Missing,
                    format!("the kept bundle {bundle} is missing."),
                )),
                Err(error) => found.push(Found::damaged(error.to_string())),
            }
            if !self.knows(bundle)? {
                let what = format!("the list has no bundle {bundle}, which was taken in.");
                found.push(Found::new(Wrong::Missing, what));
            }
            match self.captured(bundle) {
                Ok(_) => {
                    sound.insert(*bundle);
                }
                Err(error) => found.push(Found::damaged(error.to_string())),
            }
        }
        let sql = "SELECT sha256 FROM bundle ORDER BY sha256";
        for row in self.database.rows(sql, &[]).of(&self.location)? {
            let bundle: Sha256Hex = row.get("sha256").of(&self.location)?;
            if !named.contains(&bundle) {
                let what = format!("the log does not say that bundle {bundle} was taken in.");
                found.push(Found::new(Wrong::Missing, what));
            }
        }
        for bundle in self.vault.kept()? {
            if !named.contains(&bundle) {
                let what = format!(
                    "the kept bundle {bundle} is not in the list; `joistlight register repair` takes it in."
                );
                found.push(Found::new(Wrong::Unknown, what));
            }
        }
        Ok(sound)
    }

    /// Every line of the list.
    fn check_lines(&mut self, sound: &HashSet<Sha256Hex>, found: &mut Vec<Found>) -> Result<()> {
        let (mut last, mut stale) = (0_i64, 0_usize);
        loop {
            let sql =
                "SELECT number, id, bundle FROM survey WHERE number > $1 ORDER BY number LIMIT 500";
            let rows = self.database.rows(sql, values![last]).of(&self.location)?;
            if rows.is_empty() {
                break;
            }
            for row in rows {
                last = row.get("number").of(&self.location)?;
                let (Ok(id), Ok(bundle)) = (row.get::<Uuid>("id"), row.get::<Sha256Hex>("bundle"))
                else {
                    found.push(Found::damaged(format!(
                        "line {last} of the list is damaged."
                    )));
                    continue;
                };
                let database = &mut self.database;
                let criteria = &self.current.criteria;
                match state(database, &self.location, id, last, criteria).of(&self.location) {
                    Ok(RowState::Sound) => {}
                    Ok(RowState::Stale) => stale += 1,
                    Ok(RowState::Damaged) => {
                        found.push(Found::damaged(format!(
                            "the line of survey {id} is damaged."
                        )));
                    }
                    // What it is made from is told already.
                    Err(_) if !sound.contains(&bundle) => {}
                    Err(error) => found.push(Found::damaged(error.to_string())),
                }
            }
        }
        if stale > 0 {
            let what = format!(
                "{stale} surveys were judged by earlier rules; `joistlight register refresh` judges them anew."
            );
            found.push(Found::new(Wrong::Stale, what));
        }
        Ok(())
    }

    /// Every refused file.
    fn check_refused(&mut self, found: &mut Vec<Found>) -> Result<()> {
        let refused = self.refused();
        let Ok(refused) = refused else {
            // A row that does not fit its seal is told already.
            return Ok(());
        };
        for one in refused {
            let gone = |path: std::path::PathBuf| !path.is_file();
            if self.vault.refused_path(&one.file).is_some_and(gone) {
                let what = format!("the refused file {} is missing.", one.file);
                found.push(Found::new(Wrong::Missing, what));
            }
        }
        Ok(())
    }
}
