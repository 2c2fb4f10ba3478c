//! One set of queries for both databases: SQLite in a file, and PostgreSQL on a server.
//!
//! Queries are written once, with `$1`, `$2` … for their values, in the SQL that both understand.
//!
//! * `connection` — opening, statements, queries, transactions.
//! * `dialect` — what the two do not share: numbered columns, types, locks.
//! * `rows` — values and rows, read by name and type; rows under a seal.
//! * `search` — words of surveys: stored, counted, found.

mod connection;
mod dialect;
mod rows;
mod search;

pub(super) use connection::Database;
pub(super) use rows::{Row, Sealed, SqlValue, seal, values};
pub(super) use search::Searched;

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
    #[error("it is damaged ({0}); run `joistlight register rebuild`.")]
    Damaged(String),
    /// A column does not hold what belongs there.
    #[error(
        "table {table}, column {column}: {found} where {wanted} belongs; run `joistlight register check`."
    )]
    Column {
        /// The table, as far as the query names one.
        table: String,
        /// The column.
        column: String,
        /// What it holds.
        found: &'static str,
        /// What belongs there.
        wanted: &'static str,
    },
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

/// SQLite's SQLITE_IOERR_SHMSIZE: the file beside a write-ahead log cannot grow.
const SHARED_FINDS_NO_ROOM: i32 = rusqlite::ffi::SQLITE_IOERR_SHMSIZE;

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
