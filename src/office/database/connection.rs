//! A connection to either database: opening it, statements, queries, transactions.
//!
//! SQLite runs in WAL mode with full synchronisation: what a transaction has committed survives a power cut.

use super::dialect::numbered;
use super::rows::{Columns, FromColumn};
use super::{DatabaseError, Result, Row, SqlValue};
use postgres::fallible_iterator::FallibleIterator;
use postgres::types::ToSql;
use rusqlite::OpenFlags;
use std::path::Path;
use std::time::{Duration, Instant};

/// How long a writer waits for another one on the same register.
const PATIENCE: Duration = Duration::from_secs(60);

/// A connection to either database.
pub(in crate::office) enum Database {
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
    pub(in crate::office) fn file(path: &Path) -> Result<Self> {
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

    /// Opens the file for reading alone, where its folder cannot be written to. Where a write-ahead log is left beside
    /// it, another program is at work or was cut off, and the file by itself would be old.
    pub(in crate::office) fn file_to_read(path: &Path) -> Result<Self> {
        let log = path.with_extension("sqlite-wal");
        if std::fs::metadata(&log).is_ok_and(|it| it.len() > 0) {
            return Err(DatabaseError::ReadOnly);
        }
        // Without a log, nobody changes the file, which SQLite must be told: it could not even look for one.
        let mut address = "file:".to_owned();
        for byte in path.to_string_lossy().bytes() {
            match byte {
                b'/' | b'.' | b'-' | b'_' | b'~' => address.push(byte.into()),
                byte if byte.is_ascii_alphanumeric() => address.push(byte.into()),
                byte => address += &format!("%{byte:02X}"),
            }
        }
        let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI;
        let connection =
            rusqlite::Connection::open_with_flags(format!("{address}?immutable=1"), flags)?;
        Ok(Database::Sqlite(connection))
    }

    /// A database that holds nothing and is nowhere.
    pub(in crate::office) fn in_memory() -> Result<Self> {
        Ok(Database::Sqlite(rusqlite::Connection::open_in_memory()?))
    }

    /// Connects to the server at an address such as `postgres://office@127.0.0.1/register`.
    pub(in crate::office) fn server(address: &str) -> Result<Self> {
        let mut client = postgres::Client::connect(address, postgres::NoTls)?;
        client.batch_execute(&format!(
            "SET lock_timeout = {}; SET client_min_messages = warning;",
            PATIENCE.as_millis()
        ))?;
        Ok(Database::Postgres(Box::new(client)))
    }

    /// Runs statements that take no values and give no rows.
    pub(in crate::office) fn batch(&mut self, sql: &str) -> Result<()> {
        match self {
            Database::Sqlite(connection) => Ok(connection.execute_batch(sql)?),
            Database::Postgres(client) => Ok(client.batch_execute(sql)?),
        }
    }

    /// Runs a statement and returns how many rows it touched.
    pub(in crate::office) fn run(&mut self, sql: &str, values: &[SqlValue]) -> Result<u64> {
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
    pub(in crate::office) fn query_each<E: From<DatabaseError>>(
        &mut self,
        sql: &str,
        values: &[SqlValue],
        mut each: impl FnMut(Row) -> std::result::Result<(), E>,
    ) -> std::result::Result<(), E> {
        match self {
            Database::Sqlite(connection) => {
                let mut statement = connection
                    .prepare_cached(&numbered(sql))
                    .map_err(DatabaseError::from)?;
                let columns = Columns::new(sql, statement.column_names());
                let width = statement.column_count();
                let mut rows = statement
                    .query(rusqlite::params_from_iter(values))
                    .map_err(DatabaseError::from)?;
                while let Some(row) = rows.next().map_err(DatabaseError::from)? {
                    let values = (0..width)
                        .map(|at| row.get::<_, SqlValue>(at))
                        .collect::<rusqlite::Result<Vec<SqlValue>>>()
                        .map_err(DatabaseError::from)?;
                    each(Row::new(&columns, values))?;
                }
                Ok(())
            }
            Database::Postgres(client) => {
                let mut rows = client
                    .query_raw(sql, borrowed(values))
                    .map_err(DatabaseError::from)?;
                let mut columns = None;
                while let Some(row) = rows.next().map_err(DatabaseError::from)? {
                    let columns = columns.get_or_insert_with(|| {
                        Columns::new(sql, row.columns().iter().map(postgres::Column::name))
                    });
                    let values = (0..row.len())
                        .map(|at| row.try_get::<_, SqlValue>(at))
                        .collect::<std::result::Result<Vec<SqlValue>, postgres::Error>>()
                        .map_err(DatabaseError::from)?;
                    each(Row::new(columns, values))?;
                }
                Ok(())
            }
        }
    }

    /// All rows of a query that gives few.
    pub(in crate::office) fn rows(&mut self, sql: &str, values: &[SqlValue]) -> Result<Vec<Row>> {
        let mut rows = Vec::new();
        self.query_each(sql, values, |row| {
            rows.push(row);
            Ok::<_, DatabaseError>(())
        })?;
        Ok(rows)
    }

    /// The first row of a query, where there is one.
    pub(in crate::office) fn row(&mut self, sql: &str, values: &[SqlValue]) -> Result<Option<Row>> {
        Ok(self.rows(sql, values)?.into_iter().next())
    }

    /// One column of the first row of a query, where there is one.
    pub(in crate::office) fn get<T: FromColumn>(
        &mut self,
        column: &str,
        sql: &str,
        values: &[SqlValue],
    ) -> Result<Option<T>> {
        self.row(sql, values)?
            .map(|row| row.get(column))
            .transpose()
    }

    /// Does several steps as one: all of them are kept, or none.
    pub(in crate::office) fn transaction<T, E: From<DatabaseError>>(
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
}

fn borrowed(values: &[SqlValue]) -> Vec<&(dyn ToSql + Sync)> {
    values
        .iter()
        .map(|value| value as &(dyn ToSql + Sync))
        .collect()
}
