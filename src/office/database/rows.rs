//! Values and rows: read by name and type, so that a column that holds nothing, or something else than belongs
//! there, is an error that names it.

use super::{Database, DatabaseError, Result};
use crate::digest::Sha256Hex;
use crate::survey::When;
use postgres::types::{FromSql, IsNull, ToSql, Type, private::BytesMut};
use rusqlite::types::{ToSqlOutput, ValueRef};
use serde::de::DeserializeOwned;
use sha2::{Digest, Sha256};
use std::sync::Arc;
use uuid::Uuid;

/// One value of a row or of a query.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::office) enum SqlValue {
    /// No value.
    Null,
    /// A whole number.
    Int(i64),
    /// A text; without NUL, which PostgreSQL does not take.
    Text(String),
    /// Bytes.
    Bytes(Vec<u8>),
}

impl From<i64> for SqlValue {
    fn from(number: i64) -> Self {
        SqlValue::Int(number)
    }
}
impl From<u32> for SqlValue {
    fn from(number: u32) -> Self {
        SqlValue::Int(number.into())
    }
}
impl From<u64> for SqlValue {
    fn from(number: u64) -> Self {
        SqlValue::Int(i64::try_from(number).unwrap_or(i64::MAX))
    }
}
impl From<usize> for SqlValue {
    fn from(number: usize) -> Self {
        SqlValue::Int(i64::try_from(number).unwrap_or(i64::MAX))
    }
}
impl From<bool> for SqlValue {
    fn from(yes: bool) -> Self {
        SqlValue::Int(yes.into())
    }
}
impl From<&str> for SqlValue {
    fn from(text: &str) -> Self {
        SqlValue::from(text.to_owned())
    }
}
impl From<String> for SqlValue {
    fn from(text: String) -> Self {
        SqlValue::Text(match text.contains('\0') {
            true => text.replace('\0', "\u{fffd}"),
            false => text,
        })
    }
}
impl From<Vec<u8>> for SqlValue {
    fn from(bytes: Vec<u8>) -> Self {
        SqlValue::Bytes(bytes)
    }
}
impl From<Sha256Hex> for SqlValue {
    fn from(sha256: Sha256Hex) -> Self {
        SqlValue::Text(sha256.to_string())
    }
}
impl From<Uuid> for SqlValue {
    fn from(id: Uuid) -> Self {
        SqlValue::Text(id.to_string())
    }
}
impl From<When> for SqlValue {
    fn from(when: When) -> Self {
        SqlValue::Text(when.to_string())
    }
}
impl<T: Into<SqlValue>> From<Option<T>> for SqlValue {
    fn from(value: Option<T>) -> Self {
        value.map_or(SqlValue::Null, Into::into)
    }
}

/// Makes the values of a query: `values![number, "text", None::<i64>]`.
macro_rules! values {
    ($($value:expr),* $(,)?) => { &[$($crate::office::database::SqlValue::from($value)),*] };
}
pub(in crate::office) use values;

impl SqlValue {
    fn kind(&self) -> &'static str {
        match self {
            SqlValue::Null => "nothing stands",
            SqlValue::Int(_) => "another number stands",
            SqlValue::Text(_) => "another text stands",
            SqlValue::Bytes(_) => "bytes stand",
        }
    }
}

/// A type that a column can be read as.
pub(in crate::office) trait FromColumn: Sized {
    /// What belongs into such a column.
    const WANTED: &'static str;
    /// The value, where it is one of this type.
    fn from_column(value: &SqlValue) -> Option<Self>;
}

macro_rules! numbers {
    ($($number:ty),*) => {$(
        impl FromColumn for $number {
            const WANTED: &'static str = "a whole number";
            fn from_column(value: &SqlValue) -> Option<Self> {
                match value {
                    SqlValue::Int(number) => (*number).try_into().ok(),
                    _ => None,
                }
            }
        }
    )*};
}
numbers!(i64, u32, u64, usize);

impl FromColumn for bool {
    const WANTED: &'static str = "0 or 1";
    fn from_column(value: &SqlValue) -> Option<Self> {
        match value {
            SqlValue::Int(0) => Some(false),
            SqlValue::Int(1) => Some(true),
            _ => None,
        }
    }
}
impl FromColumn for String {
    const WANTED: &'static str = "a text";
    fn from_column(value: &SqlValue) -> Option<Self> {
        match value {
            SqlValue::Text(text) => Some(text.clone()),
            _ => None,
        }
    }
}
impl FromColumn for Vec<u8> {
    const WANTED: &'static str = "bytes";
    fn from_column(value: &SqlValue) -> Option<Self> {
        match value {
            SqlValue::Bytes(bytes) => Some(bytes.clone()),
            _ => None,
        }
    }
}

macro_rules! written {
    ($($kind:ty: $wanted:literal),* $(,)?) => {$(
        impl FromColumn for $kind {
            const WANTED: &'static str = $wanted;
            fn from_column(value: &SqlValue) -> Option<Self> {
                match value {
                    SqlValue::Text(text) => text.parse().ok(),
                    _ => None,
                }
            }
        }
    )*};
}
written!(Sha256Hex: "a checksum", Uuid: "an id", When: "a date and time");

impl<T: FromColumn> FromColumn for Option<T> {
    const WANTED: &'static str = T::WANTED;
    fn from_column(value: &SqlValue) -> Option<Self> {
        match value {
            SqlValue::Null => Some(None),
            value => T::from_column(value).map(Some),
        }
    }
}

/// What the columns of a query are called.
#[derive(Debug)]
pub(super) struct Columns {
    names: Vec<String>,
    table: String,
}

impl Columns {
    pub(super) fn new<'a>(sql: &str, names: impl IntoIterator<Item = &'a str>) -> Arc<Columns> {
        Arc::new(Columns {
            names: names.into_iter().map(str::to_owned).collect(),
            table: table_of(sql).to_owned(),
        })
    }
}

/// The first table that a query reads from.
fn table_of(sql: &str) -> &str {
    let mut words = sql.split_whitespace();
    let mut table = "";
    while let Some(word) = words.next() {
        if word == "FROM" || word == "UPDATE" {
            table = words.next().unwrap_or("");
            if !table.starts_with('(') {
                break;
            }
        }
    }
    table.trim_matches(|c: char| !c.is_ascii_alphanumeric() && c != '_')
}

/// One row of a query.
#[derive(Debug, Clone)]
pub(in crate::office) struct Row {
    columns: Arc<Columns>,
    values: Vec<SqlValue>,
}

impl Row {
    pub(super) fn new(columns: &Arc<Columns>, values: Vec<SqlValue>) -> Row {
        Row {
            columns: Arc::clone(columns),
            values,
        }
    }

    fn value(&self, column: &str) -> Option<&SqlValue> {
        let at = self.columns.names.iter().position(|name| name == column)?;
        self.values.get(at)
    }

    fn error(&self, column: &str, found: &'static str, wanted: &'static str) -> DatabaseError {
        DatabaseError::Column {
            table: self.columns.table.clone(),
            column: column.to_owned(),
            found,
            wanted,
        }
    }

    /// What a column holds.
    pub(in crate::office) fn get<T: FromColumn>(&self, column: &str) -> Result<T> {
        let Some(value) = self.value(column) else {
            return Err(self.error(column, "no column stands", T::WANTED));
        };
        T::from_column(value).ok_or_else(|| self.error(column, value.kind(), T::WANTED))
    }

    /// What a column holds as JSON.
    pub(in crate::office) fn json<T: DeserializeOwned>(&self, column: &str) -> Result<T> {
        let text: String = self.get(column)?;
        serde_json::from_str(&text).map_err(|_| self.error(column, "another text stands", "JSON"))
    }

    /// Its values from the left.
    pub(in crate::office) fn values(&self) -> &[SqlValue] {
        &self.values
    }
}

/// A table whose rows each carry a seal over their other columns, so that a flipped byte is told from an answer.
#[derive(Debug)]
pub(in crate::office) struct Sealed {
    /// Its name.
    pub(in crate::office) table: &'static str,
    /// The columns under the seal, in its order.
    pub(in crate::office) columns: &'static [&'static str],
}

/// The seal over some values: enough of a SHA-256 that no accident makes it right.
pub(in crate::office) fn seal(values: &[SqlValue]) -> String {
    let mut hash = Sha256::new();
    for value in values {
        // Its kind and length go before each value, so that no two rows are written alike.
        let (kind, bytes): (u8, &[u8]) = match value {
            SqlValue::Null => (0, &[]),
            SqlValue::Int(number) => (1, &number.to_be_bytes()),
            SqlValue::Text(text) => (2, text.as_bytes()),
            SqlValue::Bytes(bytes) => (3, bytes),
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

impl Database {
    /// Enters a row of a sealed table; `values` are its columns.
    pub(in crate::office) fn enter(&mut self, into: &Sealed, values: &[SqlValue]) -> Result<()> {
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

    /// Hands the rows of a sealed table to `each`, with whether the row fits its seal. `which` is what follows the
    /// table's name in the query.
    pub(in crate::office) fn each_sealed<E: From<DatabaseError>>(
        &mut self,
        from: &Sealed,
        which: &str,
        values: &[SqlValue],
        mut each: impl FnMut(Row, bool) -> std::result::Result<(), E>,
    ) -> std::result::Result<(), E> {
        let sql = format!(
            "SELECT {}, seal FROM {} {which}",
            from.columns.join(", "),
            from.table
        );
        let count = from.columns.len();
        self.query_each(&sql, values, |row| {
            let sound = row.values.get(count) == Some(&seal(&row.values[..count]).into());
            each(row, sound)
        })
    }

    /// Rows of a sealed table.
    pub(in crate::office) fn sealed(
        &mut self,
        from: &Sealed,
        which: &str,
        values: &[SqlValue],
    ) -> Result<Vec<Row>> {
        let mut rows = Vec::new();
        self.each_sealed(from, which, values, |row, sound| {
            if !sound {
                return Err(DatabaseError::Damaged(format!(
                    "a row of {} does not fit its seal",
                    from.table
                )));
            }
            rows.push(row);
            Ok(())
        })?;
        Ok(rows)
    }
}

impl rusqlite::ToSql for SqlValue {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match self {
            SqlValue::Null => ValueRef::Null,
            SqlValue::Int(number) => ValueRef::Integer(*number),
            SqlValue::Text(text) => ValueRef::Text(text.as_bytes()),
            SqlValue::Bytes(bytes) => ValueRef::Blob(bytes),
        }))
    }
}

impl rusqlite::types::FromSql for SqlValue {
    fn column_result(value: ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        Ok(match value {
            ValueRef::Null => SqlValue::Null,
            ValueRef::Integer(number) => SqlValue::Int(number),
            ValueRef::Real(_) => return Err(rusqlite::types::FromSqlError::InvalidType),
            ValueRef::Text(_) => SqlValue::Text(value.as_str()?.to_owned()),
            ValueRef::Blob(bytes) => SqlValue::Bytes(bytes.to_owned()),
        })
    }
}

type Trouble = Box<dyn std::error::Error + Sync + Send>;

impl ToSql for SqlValue {
    fn to_sql(&self, kind: &Type, out: &mut BytesMut) -> std::result::Result<IsNull, Trouble> {
        match self {
            SqlValue::Null => Ok(IsNull::Yes),
            SqlValue::Int(number) if *kind == Type::INT4 => {
                i32::try_from(*number)?.to_sql(kind, out)
            }
            SqlValue::Int(number) => number.to_sql(kind, out),
            SqlValue::Text(text) => text.to_sql(kind, out),
            SqlValue::Bytes(bytes) => bytes.to_sql(kind, out),
        }
    }
    fn accepts(_: &Type) -> bool {
        true
    }
    postgres::types::to_sql_checked!();
}

impl<'a> FromSql<'a> for SqlValue {
    fn from_sql(kind: &Type, raw: &'a [u8]) -> std::result::Result<Self, Trouble> {
        Ok(match *kind {
            Type::INT8 => SqlValue::Int(i64::from_sql(kind, raw)?),
            Type::INT4 => SqlValue::Int(i32::from_sql(kind, raw)?.into()),
            Type::BYTEA => SqlValue::Bytes(Vec::from_sql(kind, raw)?),
            _ => SqlValue::Text(String::from_sql(kind, raw)?),
        })
    }
    fn from_sql_null(_: &Type) -> std::result::Result<Self, Trouble> {
        Ok(SqlValue::Null)
    }
    fn accepts(kind: &Type) -> bool {
        [
            Type::INT8,
            Type::INT4,
            Type::BYTEA,
            Type::TEXT,
            Type::VARCHAR,
            Type::NAME,
        ]
        .contains(kind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_a_query_is_named() {
        for (sql, table) in [
            ("SELECT id FROM survey WHERE number = $1", "survey"),
            (
                "SELECT a FROM (\n SELECT survey.number FROM survey WHERE 1 = 1) AS picked",
                "survey",
            ),
            ("UPDATE survey SET id = $1", "survey"),
            ("PRAGMA integrity_check(3)", ""),
        ] {
            assert_eq!(table_of(sql), table, "{sql}");
        }
    }

    #[test]
    fn what_does_not_belong_into_a_column_is_told_with_its_name() {
        let columns = Columns::new("SELECT x FROM survey", ["revision", "id", "settled"]);
        let row = Row::new(&columns, values![-1_i64, None::<String>, 2_i64].to_vec());
        let told = |error: DatabaseError| error.to_string();
        assert!(told(row.get::<u32>("revision").unwrap_err()).contains("survey, column revision"));
        assert!(told(row.get::<String>("id").unwrap_err()).contains("nothing stands"));
        assert!(told(row.get::<bool>("settled").unwrap_err()).contains("0 or 1"));
        assert!(told(row.get::<i64>("gone").unwrap_err()).contains("column gone"));
        assert_eq!(row.get::<Option<String>>("id").unwrap(), None);
        assert_eq!(row.get::<i64>("revision").unwrap(), -1);
    }

    #[test]
    fn a_text_has_no_nul() {
        let values: &[SqlValue] = values!["a\0b"];
        assert_eq!(values, &[SqlValue::Text("a\u{fffd}b".into())]);
    }
}
