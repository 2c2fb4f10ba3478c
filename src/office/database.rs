//! One set of queries for both databases: SQLite in a file, and PostgreSQL on a server.
//!
//! Queries are written once, with `$1`, `$2` … for their values, in the SQL that both understand. What they
//! do not share is little and stands here: how a table is numbered ([`Database::create`]), how a transaction
//! that writes begins, and how words are searched ([`Database::searched`], [`Database::matching`],
//! [`Database::put_words`]).
//!
//! SQLite runs in WAL mode with full synchronisation: what a transaction has committed survives a power cut.

use postgres::fallible_iterator::FallibleIterator;
use postgres::types::{FromSql, IsNull, ToSql, Type, private::BytesMut};
use rusqlite::types::{ToSqlOutput, ValueRef};
use sha2::{Digest, Sha256};
use std::path::Path;
use std::time::{Duration, Instant};

/// SQLite's SQLITE_IOERR_SHMSIZE: the file beside a write-ahead log cannot grow.
const SHARED_FINDS_NO_ROOM: i32 = rusqlite::ffi::SQLITE_IOERR_SHMSIZE;
/// How long a writer waits for another one on the same register.
const PATIENCE: Duration = Duration::from_secs(60);

/// One value of a row or of a query.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// No value.
    Null,
    /// A whole number.
    Int(i64),
    /// A text.
    Text(String),
    /// Bytes.
    Bytes(Vec<u8>),
}

impl From<i64> for Cell {
    fn from(number: i64) -> Self {
        Cell::Int(number)
    }
}
impl From<u32> for Cell {
    fn from(number: u32) -> Self {
        Cell::Int(number.into())
    }
}
impl From<usize> for Cell {
    fn from(number: usize) -> Self {
        Cell::Int(i64::try_from(number).unwrap_or(i64::MAX))
    }
}
impl From<bool> for Cell {
    fn from(yes: bool) -> Self {
        Cell::Int(yes.into())
    }
}
impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Cell::Text(text.to_owned())
    }
}
impl From<String> for Cell {
    fn from(text: String) -> Self {
        Cell::Text(text)
    }
}
impl From<Vec<u8>> for Cell {
    fn from(bytes: Vec<u8>) -> Self {
        Cell::Bytes(bytes)
    }
}
impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Cell::Null, Into::into)
    }
}

/// Makes the values of a query: `cells![number, "text", None::<i64>]`.
macro_rules! cells {
    ($($value:expr),* $(,)?) => { &[$($crate::office::database::Cell::from($value)),*] };
}
pub(super) use cells;

/// One row, read from the left.
#[derive(Debug, Clone)]
pub(super) struct Row(Vec<Cell>);

impl Row {
    fn take(&mut self, at: usize) -> Cell {
        self.0
            .get_mut(at)
            .map_or(Cell::Null, |cell| std::mem::replace(cell, Cell::Null))
    }
    /// Whether it holds just these values.
    pub(super) fn is(&self, values: &[Cell]) -> bool {
        self.0 == values
    }
    /// The number in column `at`; `None` for no value.
    pub(super) fn int(&self, at: usize) -> Option<i64> {
        match self.0.get(at) {
            Some(Cell::Int(number)) => Some(*number),
            _ => None,
        }
    }
    /// Whether column `at` holds a number other than nought.
    pub(super) fn yes(&self, at: usize) -> bool {
        self.int(at).is_some_and(|number| number != 0)
    }
    /// The number in column `at` as a count; nought for no value.
    pub(super) fn count(&self, at: usize) -> u32 {
        self.int(at)
            .and_then(|number| u32::try_from(number).ok())
            .unwrap_or(0)
    }
    /// The text in column `at`, taken out; `None` for no value.
    pub(super) fn text(&mut self, at: usize) -> Option<String> {
        match self.take(at) {
            Cell::Text(text) => Some(text),
            _ => None,
        }
    }
    /// The text in column `at`, taken out; empty for no value.
    pub(super) fn words(&mut self, at: usize) -> String {
        self.text(at).unwrap_or_default()
    }
    /// The bytes in column `at`, taken out.
    pub(super) fn bytes(&mut self, at: usize) -> Vec<u8> {
        match self.take(at) {
            Cell::Bytes(bytes) => bytes,
            _ => Vec::new(),
        }
    }
}

/// A table whose rows each carry a seal over their other columns, so that a flipped byte is told from an answer.
#[derive(Debug)]
pub(super) struct Sealed {
    /// Its name.
    pub(super) table: &'static str,
    /// The columns under the seal, in its order.
    pub(super) columns: &'static [&'static str],
    /// Whether it numbers its rows.
    pub(super) numbered: bool,
}

/// The seal over some values: enough of a SHA-256 that no accident makes it right.
fn seal(values: &[Cell]) -> String {
    let mut hash = Sha256::new();
    for value in values {
        // Its kind and length go before each value, so that no two rows are written alike.
        let (kind, bytes): (u8, &[u8]) = match value {
            Cell::Null => (0, &[]),
            Cell::Int(number) => (1, &number.to_be_bytes()),
            Cell::Text(text) => (2, text.as_bytes()),
            Cell::Bytes(bytes) => (3, bytes),
        };
        hash.update([kind]);
        hash.update((bytes.len() as u64).to_be_bytes());
        hash.update(bytes);
    }
    let digest = hash.finalize();
    digest[..12]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Why a database did not do what it was asked.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DatabaseError {
    /// No room left.
    #[error("the disk is full; nothing of this step was kept, free some space and try again.")]
    Full,
    /// Not allowed to write.
    #[error("it cannot be written to; check the folder's permissions.")]
    ReadOnly,
    /// The file's bytes make no sense.
    #[error(
        "it is damaged ({0}); put it aside and take the kept bundles in again into a new register."
    )]
    Damaged(String),
    /// Some other file.
    #[error("this file is no register.")]
    NoRegister,
    /// Somebody else wrote for too long.
    #[error("another program is writing to it; try again in a minute.")]
    Busy,
    /// The server could not be reached.
    #[error("the server cannot be reached: {0}.")]
    Unreachable(String),
    /// Anything else, in the database's words.
    #[error("{0}.")]
    Other(String),
}

impl From<rusqlite::Error> for DatabaseError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode as Code;
        // The file that a register's readers and writers share finds no room: SQLite calls that an error of the disk.
        if error.sqlite_error().map(|it| it.extended_code) == Some(SHARED_FINDS_NO_ROOM) {
            return DatabaseError::Full;
        }
        match error.sqlite_error_code() {
            Some(Code::DiskFull) => DatabaseError::Full,
            Some(Code::ReadOnly | Code::PermissionDenied | Code::CannotOpen) => {
                DatabaseError::ReadOnly
            }
            Some(Code::DatabaseCorrupt) => DatabaseError::Damaged(error.to_string()),
            Some(Code::NotADatabase) => DatabaseError::NoRegister,
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => DatabaseError::Busy,
            _ => DatabaseError::Other(error.to_string()),
        }
    }
}

impl From<postgres::Error> for DatabaseError {
    fn from(error: postgres::Error) -> Self {
        let words = |error: &postgres::Error| {
            // The library's own text says only "db error"; the server's words are underneath.
            std::error::Error::source(error)
                .map_or_else(|| error.to_string(), |inner| inner.to_string())
        };
        match error.code().map(postgres::error::SqlState::code) {
            Some("53100") => DatabaseError::Full,
            Some("42501" | "25006") => DatabaseError::ReadOnly,
            Some("XX001" | "XX002") => DatabaseError::Damaged(words(&error)),
            Some("55P03" | "40001" | "40P01") => DatabaseError::Busy,
            Some(_) => DatabaseError::Other(words(&error)),
            None => DatabaseError::Unreachable(words(&error)),
        }
    }
}

type Result<T> = std::result::Result<T, DatabaseError>;

/// A connection to either database.
pub(super) enum Database {
    /// A file.
    Sqlite(rusqlite::Connection),
    /// A server.
    Postgres(Box<postgres::Client>),
}

impl std::fmt::Debug for Database {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Database::Sqlite(_) => "SQLite",
            Database::Postgres(_) => "PostgreSQL",
        })
    }
}

impl Database {
    /// Opens the file, which is made where there is none.
    pub(super) fn file(path: &Path) -> Result<Self> {
        let connection = rusqlite::Connection::open(path)?;
        connection.busy_timeout(PATIENCE)?;
        // A new file takes to a write-ahead log only while nobody else reads it, and there SQLite refuses at once, without
        // the patience that it has everywhere else: when two offices open a new register together, one asks again.
        let begun = Instant::now();
        while let Err(error) = connection.execute_batch("PRAGMA journal_mode = WAL;") {
            let error = DatabaseError::from(error);
            if error != DatabaseError::Busy || begun.elapsed() > PATIENCE {
                return Err(error);
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        connection.execute_batch(
            "PRAGMA synchronous = FULL;
             PRAGMA foreign_keys = ON;
             PRAGMA cell_size_check = ON;
             PRAGMA cache_size = -8192;",
        )?;
        Ok(Database::Sqlite(connection))
    }

    /// Connects to the server at an address such as `postgres://office@127.0.0.1/register`.
    pub(super) fn server(address: &str) -> Result<Self> {
        let mut client = postgres::Client::connect(address, postgres::NoTls)?;
        client.batch_execute(&format!(
            "SET lock_timeout = {}; SET client_min_messages = warning;",
            PATIENCE.as_millis()
        ))?;
        Ok(Database::Postgres(Box::new(client)))
    }

    /// Runs statements that take no values and give no rows.
    pub(super) fn batch(&mut self, sql: &str) -> Result<()> {
        match self {
            Database::Sqlite(connection) => Ok(connection.execute_batch(sql)?),
            Database::Postgres(client) => Ok(client.batch_execute(sql)?),
        }
    }

    /// Runs statements that create tables. In them `NUMBERED` stands for a column that numbers its rows,
    /// `BYTES` for the type of bytes, `SORTED` for that of a text that lists are sorted by, `WORDS` for that of a
    /// column that [`Database::matching`] searches, `WORD_INDEX` for the index that makes it quick, and `WORD_COUNTS` for
    /// what tells how many surveys have a word.
    pub(super) fn create(&mut self, sql: &str) -> Result<()> {
        let (numbered, bytes, words, sorted, index, counts) = match self {
            Database::Sqlite(_) => (
                "INTEGER PRIMARY KEY",
                "BLOB",
                "TEXT",
                "TEXT",
                // Searched words live in an index of their own, which keeps no second copy of the text.
                "CREATE VIRTUAL TABLE words USING fts5(
                     text, content='', contentless_delete=1, detail=none, prefix='1 2 3');",
                // Its index of words tells that already.
                "",
            ),
            Database::Postgres(_) => (
                "BIGINT GENERATED BY DEFAULT AS IDENTITY PRIMARY KEY",
                "BYTEA",
                "TSVECTOR",
                // Sorted by bytes, as SQLite does.
                "TEXT COLLATE \"C\"",
                "CREATE INDEX survey_words ON survey USING gin (words);",
                // Rows that hold no more than the words, and many words apart from them, are counted in few pages. The
                // column in `survey` stays for asking one row at a time.
                "DROP INDEX survey_words;
                 CREATE TABLE word_row (
                     number BIGINT PRIMARY KEY REFERENCES survey (number),
                     words TSVECTOR
                 ) WITH (toast_tuple_target = 128);
                 ALTER TABLE word_row ALTER COLUMN words SET STORAGE EXTERNAL;
                 INSERT INTO word_row (number, words)
                     SELECT number, words FROM survey WHERE words IS NOT NULL;
                 CREATE INDEX word_row_words ON word_row USING gin (words);
                 CREATE TABLE vocabulary (word TEXT COLLATE \"C\" PRIMARY KEY, surveys BIGINT NOT NULL);
                 INSERT INTO vocabulary (word, surveys)
                     SELECT word, count(*) FROM survey, unnest(tsvector_to_array(words)) AS word GROUP BY word;",
            ),
        };
        let sql = sql
            .replace("NUMBERED", numbered)
            .replace("BYTES", bytes)
            .replace("WORD_INDEX;", index)
            .replace("WORD_COUNTS;", counts)
            .replace("SORTED", sorted)
            .replace("WORDS", words);
        self.batch(&sql)
    }

    /// Runs a statement and returns how many rows it touched.
    pub(super) fn run(&mut self, sql: &str, values: &[Cell]) -> Result<u64> {
        match self {
            Database::Sqlite(connection) => {
                let mut statement = connection.prepare_cached(&numbered(sql))?;
                let touched = statement.execute(rusqlite::params_from_iter(values))?;
                Ok(touched as u64)
            }
            Database::Postgres(client) => Ok(client.execute(sql, &borrowed(values))?),
        }
    }

    /// Hands each row of a query to `each`, one at a time.
    pub(super) fn each<E: From<DatabaseError>>(
        &mut self,
        sql: &str,
        values: &[Cell],
        mut each: impl FnMut(Row) -> std::result::Result<(), E>,
    ) -> std::result::Result<(), E> {
        match self {
            Database::Sqlite(connection) => {
                let mut statement = connection
                    .prepare_cached(&numbered(sql))
                    .map_err(DatabaseError::from)?;
                let width = statement.column_count();
                let mut rows = statement
                    .query(rusqlite::params_from_iter(values))
                    .map_err(DatabaseError::from)?;
                while let Some(row) = rows.next().map_err(DatabaseError::from)? {
                    let cells = (0..width)
                        .map(|at| row.get::<_, Cell>(at))
                        .collect::<rusqlite::Result<Vec<Cell>>>()
                        .map_err(DatabaseError::from)?;
                    each(Row(cells))?;
                }
                Ok(())
            }
            Database::Postgres(client) => {
                let mut rows = client
                    .query_raw(sql, borrowed(values))
                    .map_err(DatabaseError::from)?;
                while let Some(row) = rows.next().map_err(DatabaseError::from)? {
                    let cells = (0..row.len())
                        .map(|at| row.try_get::<_, Cell>(at))
                        .collect::<std::result::Result<Vec<Cell>, postgres::Error>>()
                        .map_err(DatabaseError::from)?;
                    each(Row(cells))?;
                }
                Ok(())
            }
        }
    }

    /// All rows of a query that gives few.
    pub(super) fn rows(&mut self, sql: &str, values: &[Cell]) -> Result<Vec<Row>> {
        let mut rows = Vec::new();
        self.each(sql, values, |row| {
            rows.push(row);
            Ok::<_, DatabaseError>(())
        })?;
        Ok(rows)
    }

    /// The first row of a query, where there is one.
    pub(super) fn row(&mut self, sql: &str, values: &[Cell]) -> Result<Option<Row>> {
        Ok(self.rows(sql, values)?.into_iter().next())
    }

    /// Enters a row of a sealed table; `values` are its columns.
    pub(super) fn enter(&mut self, into: &Sealed, values: &[Cell]) -> Result<()> {
        let places: Vec<String> = (1..=values.len() + 1).map(|at| format!("${at}")).collect();
        let sql = format!(
            "INSERT INTO {} ({}, seal) VALUES ({})",
            into.table,
            into.columns.join(", "),
            places.join(", ")
        );
        let mut values = values.to_vec();
        values.push(seal(&values).into());
        self.run(&sql, &values)?;
        Ok(())
    }

    /// Rows of a sealed table, each with its columns in their order and its number (where it has one) behind them.
    /// `which` is what follows the table's name in the query.
    pub(super) fn sealed(
        &mut self,
        from: &Sealed,
        which: &str,
        values: &[Cell],
    ) -> Result<Vec<Row>> {
        let number = if from.numbered { "number" } else { "0" };
        let sql = format!(
            "SELECT {}, {number}, seal FROM {} {which}",
            from.columns.join(", "),
            from.table
        );
        let rows = self.rows(&sql, values)?;
        let count = from.columns.len();
        for row in &rows {
            if row.0[count + 1] != Cell::from(seal(&row.0[..count])) {
                return Err(DatabaseError::Damaged(format!(
                    "a row of {} does not fit its seal",
                    from.table
                )));
            }
        }
        Ok(rows)
    }

    /// Seals a numbered row anew after a change.
    pub(super) fn seal_again(&mut self, of: &Sealed, number: i64) -> Result<()> {
        let sql = format!(
            "SELECT {} FROM {} WHERE number = $1",
            of.columns.join(", "),
            of.table
        );
        if let Some(row) = self.row(&sql, cells![number])? {
            let sql = format!("UPDATE {} SET seal = $2 WHERE number = $1", of.table);
            self.run(&sql, cells![number, seal(&row.0)])?;
        }
        Ok(())
    }

    /// Does several steps as one: all of them are kept, or none.
    pub(super) fn together<T, E: From<DatabaseError>>(
        &mut self,
        steps: impl FnOnce(&mut Self) -> std::result::Result<T, E>,
    ) -> std::result::Result<T, E> {
        // SQLite would otherwise find out too late that another writer was quicker.
        self.batch(match self {
            Database::Sqlite(_) => "BEGIN IMMEDIATE",
            Database::Postgres(_) => "BEGIN",
        })?;
        match steps(self) {
            Ok(done) => {
                if let Err(error) = self.batch("COMMIT") {
                    let _ = self.batch("ROLLBACK");
                    return Err(error.into());
                }
                Ok(done)
            }
            Err(error) => {
                // Where even that fails, the connection is gone and the database rolls back by itself.
                let _ = self.batch("ROLLBACK");
                Err(error)
            }
        }
    }

    /// Keeps other writers off until the transaction ends. SQLite has done so from its beginning.
    pub(super) fn alone(&mut self, table: &str) -> Result<()> {
        match self {
            Database::Sqlite(_) => Ok(()),
            Database::Postgres(client) => {
                Ok(client
                    .batch_execute(&format!("LOCK TABLE {table} IN SHARE ROW EXCLUSIVE MODE"))?)
            }
        }
    }

    /// As [`Database::alone`], where there may be no table yet.
    pub(super) fn first_alone(&mut self) -> Result<()> {
        match self {
            Database::Sqlite(_) => Ok(()),
            // Any number does, as long as every joistlight takes the same.
            Database::Postgres(client) => {
                Ok(client.batch_execute("SELECT pg_advisory_xact_lock(7017157)")?)
            }
        }
    }

    /// Whether there is a table of this name.
    pub(super) fn has_table(&mut self, name: &str) -> Result<bool> {
        let sql = match self {
            Database::Sqlite(_) => "SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = $1",
            Database::Postgres(_) => {
                "SELECT 1 FROM pg_tables WHERE schemaname = current_schema() AND tablename = $1"
            }
        };
        Ok(self.row(sql, cells![name])?.is_some())
    }

    /// Puts the words of survey `number` in place of those it had.
    pub(super) fn put_words(&mut self, number: i64, words: &[String]) -> Result<()> {
        let words = words.join(" ");
        match self {
            Database::Sqlite(_) => {
                self.run("DELETE FROM words WHERE rowid = $1", cells![number])?;
                self.run(
                    "INSERT INTO words (rowid, text) VALUES ($1, $2)",
                    cells![number, words.as_str()],
                )?;
                self.run(
                    "UPDATE survey SET words = $2 WHERE number = $1",
                    cells![number, text_of(&words)],
                )?;
            }
            Database::Postgres(_) => {
                self.run(
                    "UPDATE vocabulary SET surveys = surveys - 1 WHERE word IN (
                         SELECT unnest(tsvector_to_array(words)) FROM survey WHERE number = $1)",
                    cells![number],
                )?;
                self.run(
                    "UPDATE survey SET words = array_to_tsvector(string_to_array($2, ' ')) WHERE number = $1",
                    cells![number, words],
                )?;
                self.run(
                    "INSERT INTO word_row (number, words) SELECT number, words FROM survey WHERE number = $1
                     ON CONFLICT (number) DO UPDATE SET words = excluded.words",
                    cells![number],
                )?;
                self.run(
                    "INSERT INTO vocabulary (word, surveys)
                     SELECT unnest(tsvector_to_array(words)), 1 FROM survey WHERE number = $1
                     ON CONFLICT (word) DO UPDATE SET surveys = vocabulary.surveys + 1",
                    cells![number],
                )?;
            }
        }
        Ok(())
    }

    /// Words to search for, with what the database can tell at once of how often they come.
    pub(super) fn searched(&mut self, words: Vec<String>) -> Result<Searched> {
        let mut searched = Searched::from(words);
        match self {
            // One word whose beginning only one word has: that word's own count.
            Database::Sqlite(connection) => {
                let [(word, _)] = &searched.words[..] else {
                    return Ok(searched);
                };
                let range = range_of(word);
                connection.execute_batch(
                    "CREATE VIRTUAL TABLE IF NOT EXISTS temp.vocabulary
                         USING fts5vocab('main', 'words', 'row');",
                )?;
                let found = self.rows(
                    "SELECT doc FROM temp.vocabulary WHERE term >= $1 AND term < $2 LIMIT 2",
                    &range,
                )?;
                searched.count = match &found[..] {
                    [] => Some(0),
                    [only] => only.int(0),
                    _ => None,
                };
            }
            Database::Postgres(_) => {
                for at in 0..searched.words.len() {
                    let [from, to] = range_of(&searched.words[at].0);
                    let found = self.rows(
                        "SELECT word, surveys FROM vocabulary WHERE word >= $1 AND word < $2 AND surveys > 0 LIMIT $3",
                        &[from, to, Cell::from(WHOLE_MOST + 1)],
                    )?;
                    match &found[..] {
                        [] => searched.count = Some(0),
                        [only] if searched.words.len() == 1 => searched.count = only.int(1),
                        _ => {}
                    }
                    if found.len() <= WHOLE_MOST {
                        let whole = found.into_iter().map(|mut row| row.words(0));
                        searched.words[at].1 = whole.collect();
                    }
                }
            }
        }
        Ok(searched)
    }

    /// A condition on `survey` that holds where every one of these words begins a word of it, and its values.
    /// `at` is the number of the first value in the query. `one_by_one` asks of each row by itself, which is quick where
    /// few rows are looked at; otherwise all rows with the words are found at once.
    pub(super) fn matching(
        &self,
        searched: &Searched,
        at: usize,
        one_by_one: bool,
    ) -> (String, Vec<Cell>) {
        let words = &searched.words;
        let begins = || {
            let each: Vec<String> = words.iter().map(|(it, _)| format!("\"{it}\"*")).collect();
            Cell::from(each.join(" "))
        };
        match self {
            Database::Sqlite(_) if one_by_one && words.len() <= ONE_BY_ONE_MOST => {
                // The index finds every row with a word before it can tell of one row, so the row's own text is read.
                // Rows of earlier programs have none.
                let mut values = vec![begins()];
                let mut each = Vec::new();
                for (word, _) in words {
                    each.push(format!("instr(survey.words, ${}) > 0", at + values.len()));
                    values.push(text_of(word).into());
                }
                let condition = format!(
                    "CASE WHEN survey.words IS NULL
                     THEN EXISTS (SELECT 1 FROM words WHERE words MATCH ${at} AND rowid = survey.number)
                     ELSE {} END",
                    each.join(" AND ")
                );
                (condition, values)
            }
            Database::Sqlite(_) => (
                format!("survey.number IN (SELECT rowid FROM words WHERE words MATCH ${at})"),
                vec![begins()],
            ),
            Database::Postgres(_) => {
                let each: Vec<String> = words.iter().map(query_of).collect();
                let query = format!("CAST(CAST(${at} AS TEXT) AS TSQUERY)");
                let condition = if one_by_one {
                    format!("survey.words @@ {query}")
                } else {
                    format!(
                        "survey.number IN (SELECT number FROM word_row WHERE word_row.words @@ {query})"
                    )
                };
                (condition, vec![each.join(" & ").into()])
            }
        }
    }

    /// Whether survey `number` has just these words, and is found by them.
    pub(super) fn has_words(&mut self, number: i64, words: &[String]) -> Result<bool> {
        let (condition, mut values) = self.matching(&Searched::from(words.to_vec()), 2, false);
        values.insert(0, number.into());
        let text = match self {
            Database::Sqlite(_) => {
                values.push(text_of(&words.join(" ")).into());
                format!("coalesce(survey.words, ${0}) = ${0}", values.len())
            }
            Database::Postgres(_) => {
                values.push(words.join(" ").into());
                let text = values.len();
                format!("survey.words = array_to_tsvector(string_to_array(${text}, ' '))")
            }
        };
        let sql = format!("SELECT 1 FROM survey WHERE number = $1 AND {condition} AND {text}");
        Ok(self.row(&sql, &values)?.is_some())
    }

    /// How many surveys have all these words, without reading the surveys' rows.
    pub(super) fn count_of_words(&mut self, searched: &Searched) -> Result<i64> {
        if let Some(count) = searched.count {
            return Ok(count);
        }
        let (_, values) = self.matching(searched, 1, false);
        let sql = match self {
            Database::Sqlite(_) => "SELECT count(*) FROM words WHERE words MATCH $1",
            Database::Postgres(_) => {
                "SELECT count(*) FROM word_row WHERE words @@ CAST(CAST($1 AS TEXT) AS TSQUERY)"
            }
        };
        let row = self.row(sql, &values)?;
        Ok(row.and_then(|row| row.int(0)).unwrap_or(0))
    }

    /// Looks through the whole database for damage.
    pub(super) fn check(&mut self) -> Result<()> {
        match self {
            Database::Sqlite(_) => {
                let found = self.rows("PRAGMA integrity_check(3)", &[])?;
                let words: Vec<String> = found.into_iter().map(|mut row| row.words(0)).collect();
                if words != ["ok"] {
                    return Err(DatabaseError::Damaged(words.join("; ")));
                }
            }
            Database::Postgres(_) => {
                let wrong = self.row(
                    "SELECT coalesce(counted.word, vocabulary.word) FROM (
                         SELECT word, count(*) AS surveys
                         FROM survey, unnest(tsvector_to_array(words)) AS word GROUP BY word
                     ) AS counted FULL JOIN vocabulary ON vocabulary.word = counted.word
                     WHERE coalesce(counted.surveys, 0) <> coalesce(vocabulary.surveys, 0) LIMIT 1",
                    &[],
                )?;
                if let Some(mut row) = wrong {
                    return Err(DatabaseError::Damaged(format!(
                        "“{}” is counted wrongly among the words",
                        row.words(0)
                    )));
                }
            }
        }
        Ok(())
    }
}

/// The most words that are looked for in each row by itself.
const ONE_BY_ONE_MOST: usize = 32;

/// Words that a search asks for.
#[derive(Debug, Clone, Default)]
pub(super) struct Searched {
    /// Each with the whole words that it begins, where these were looked up and are few.
    words: Vec<(String, Vec<String>)>,
    /// How many surveys have all of them, where that was told at once.
    count: Option<i64>,
}

impl From<Vec<String>> for Searched {
    fn from(words: Vec<String>) -> Self {
        Searched {
            words: words.into_iter().map(|word| (word, Vec::new())).collect(),
            count: None,
        }
    }
}

impl Searched {
    /// Whether nothing is asked for.
    pub(super) fn is_empty(&self) -> bool {
        self.words.is_empty()
    }
}

/// A word begins at most so many whole words where these are asked for instead of it.
const WHOLE_MOST: usize = 32;

/// From the word to just before the first that it does not begin, by bytes.
fn range_of(word: &str) -> [Cell; 2] {
    [word.into(), format!("{word}\u{10FFFF}").into()]
}

/// A word as PostgreSQL is asked for it: whole words are found with less work than beginnings.
fn query_of((word, whole): &(String, Vec<String>)) -> String {
    if whole.is_empty() {
        return format!("'{word}':*");
    }
    let each: Vec<String> = whole.iter().map(|it| format!("'{it}'")).collect();
    format!("({})", each.join(" | "))
}

/// The words of a row as [`Database::matching`] looks for their beginnings.
fn text_of(words: &str) -> String {
    format!(" {words}")
}

/// SQLite numbers its values `?1`.
fn numbered(sql: &str) -> String {
    sql.replace('$', "?")
}

fn borrowed(values: &[Cell]) -> Vec<&(dyn ToSql + Sync)> {
    values
        .iter()
        .map(|value| value as &(dyn ToSql + Sync))
        .collect()
}

impl rusqlite::ToSql for Cell {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            Cell::Null => ValueRef::Null,
            Cell::Int(number) => ValueRef::Integer(*number),
            Cell::Text(text) => ValueRef::Text(text.as_bytes()),
            Cell::Bytes(bytes) => ValueRef::Blob(bytes),
        }))
    }
}

impl rusqlite::types::FromSql for Cell {
    fn column_result(value: ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        Ok(match value {
            ValueRef::Null => Cell::Null,
            ValueRef::Integer(number) => Cell::Int(number),
            ValueRef::Real(_) => return Err(rusqlite::types::FromSqlError::InvalidType),
            ValueRef::Text(_) => Cell::Text(value.as_str()?.to_owned()),
            ValueRef::Blob(bytes) => Cell::Bytes(bytes.to_owned()),
        })
    }
}

type Trouble = Box<dyn std::error::Error + Sync + Send>;

impl ToSql for Cell {
    fn to_sql(&self, kind: &Type, out: &mut BytesMut) -> std::result::Result<IsNull, Trouble> {
        match self {
            Cell::Null => Ok(IsNull::Yes),
            Cell::Int(number) if *kind == Type::INT4 => i32::try_from(*number)?.to_sql(kind, out),
            Cell::Int(number) => number.to_sql(kind, out),
            Cell::Text(text) => text.to_sql(kind, out),
            Cell::Bytes(bytes) => bytes.to_sql(kind, out),
        }
    }
    fn accepts(_: &Type) -> bool {
        true
    }
    postgres::types::to_sql_checked!();
}

impl<'a> FromSql<'a> for Cell {
    fn from_sql(kind: &Type, raw: &'a [u8]) -> std::result::Result<Self, Trouble> {
        Ok(match *kind {
            Type::INT8 => Cell::Int(i64::from_sql(kind, raw)?),
            Type::INT4 => Cell::Int(i32::from_sql(kind, raw)?.into()),
            Type::BYTEA => Cell::Bytes(Vec::from_sql(kind, raw)?),
            _ => Cell::Text(String::from_sql(kind, raw)?),
        })
    }
    fn from_sql_null(_: &Type) -> std::result::Result<Self, Trouble> {
        Ok(Cell::Null)
    }
    fn accepts(_: &Type) -> bool {
        true
    }
}
