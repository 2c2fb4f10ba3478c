//! Words of surveys: stored, counted, found.

use super::{Database, Result, SqlValue, values};

impl Database {
    /// Puts the words of survey `number` in place of those it had.
    pub(in crate::office) fn put_words(&mut self, number: i64, words: &[String]) -> Result<()> {
        let words = words.join(" ");
        match self {
            Database::Sqlite(_) => {
                self.run("DELETE FROM words WHERE rowid = $1", values![number])?;
                self.run(
                    "INSERT INTO words (rowid, text) VALUES ($1, $2)",
                    values![number, words.as_str()],
                )?;
                self.run(
                    "UPDATE survey SET words = $2 WHERE number = $1",
                    values![number, text_of(&words)],
                )?;
            }
            Database::Postgres(_) => {
                self.run(
                    "UPDATE vocabulary SET surveys = surveys - 1 WHERE word IN (
                         SELECT unnest(tsvector_to_array(words)) FROM survey WHERE number = $1)",
                    values![number],
                )?;
                self.run(
                    "UPDATE survey SET words = array_to_tsvector(string_to_array($2, ' ')) WHERE number = $1",
                    values![number, words],
                )?;
                self.run(
                    "INSERT INTO word_row (number, words) SELECT number, words FROM survey WHERE number = $1
                     ON CONFLICT (number) DO UPDATE SET words = excluded.words",
                    values![number],
                )?;
                self.run(
                    "INSERT INTO vocabulary (word, surveys)
                     SELECT unnest(tsvector_to_array(words)), 1 FROM survey WHERE number = $1
                     ON CONFLICT (word) DO UPDATE SET surveys = vocabulary.surveys + 1",
                    values![number],
                )?;
            }
        }
        Ok(())
    }

    /// Words to search for, with what the database can tell at once of how often they come.
    pub(in crate::office) fn searched(&mut self, words: Vec<String>) -> Result<Searched> {
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
                    [only] => Some(only.get("doc")?),
                    _ => None,
                };
            }
            Database::Postgres(_) => {
                for at in 0..searched.words.len() {
                    let [from, to] = range_of(&searched.words[at].0);
                    let found = self.rows(
                        "SELECT word, surveys FROM vocabulary WHERE word >= $1 AND word < $2 AND surveys > 0 LIMIT $3",
                        &[from, to, SqlValue::from(WHOLE_MOST + 1)],
                    )?;
                    match &found[..] {
                        [] => searched.count = Some(0),
                        [only] if searched.words.len() == 1 => {
                            searched.count = Some(only.get("surveys")?);
                        }
                        _ => {}
                    }
                    if found.len() <= WHOLE_MOST {
                        let whole = found.iter().map(|row| row.get("word"));
                        searched.words[at].1 = whole.collect::<Result<_>>()?;
                    }
                }
            }
        }
        Ok(searched)
    }

    /// A condition on `survey` that holds where every one of these words begins a word of it, and its values.
    /// `at` is the number of the first value in the query. `one_by_one` asks of each row by itself, which is quick where
    /// few rows are looked at; otherwise all rows with the words are found at once.
    pub(in crate::office) fn matching(
        &self,
        searched: &Searched,
        at: usize,
        one_by_one: bool,
    ) -> (String, Vec<SqlValue>) {
        let words = &searched.words;
        let begins = || {
            let each: Vec<String> = words.iter().map(|(it, _)| format!("\"{it}\"*")).collect();
            SqlValue::from(each.join(" "))
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
    pub(in crate::office) fn has_words(&mut self, number: i64, words: &[String]) -> Result<bool> {
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
    pub(in crate::office) fn count_of_words(&mut self, searched: &Searched) -> Result<i64> {
        if let Some(count) = searched.count {
            return Ok(count);
        }
        let (_, values) = self.matching(searched, 1, false);
        let sql = match self {
            Database::Sqlite(_) => "SELECT count(*) AS surveys FROM words WHERE words MATCH $1",
            Database::Postgres(_) => {
                "SELECT count(*) AS surveys FROM word_row WHERE words @@ CAST(CAST($1 AS TEXT) AS TSQUERY)"
            }
        };
        Ok(self.get("surveys", sql, &values)?.unwrap_or(0))
    }

    /// Looks through the whole database for damage; a sentence for each that is found.
    pub(in crate::office) fn check(&mut self) -> Result<Vec<String>> {
        match self {
            Database::Sqlite(_) => {
                let found = self.rows("PRAGMA integrity_check(100)", &[])?;
                let words: Vec<String> = found
                    .iter()
                    .map(|row| row.get("integrity_check"))
                    .collect::<Result<_>>()?;
                Ok(words.into_iter().filter(|word| word != "ok").collect())
            }
            Database::Postgres(_) => {
                let wrong = self.rows(
                    "SELECT coalesce(counted.word, vocabulary.word) AS word FROM (
                         SELECT word, count(*) AS surveys
                         FROM survey, unnest(tsvector_to_array(words)) AS word GROUP BY word
                     ) AS counted FULL JOIN vocabulary ON vocabulary.word = counted.word
                     WHERE coalesce(counted.surveys, 0) <> coalesce(vocabulary.surveys, 0) LIMIT 100",
                    &[],
                )?;
                wrong
                    .iter()
                    .map(|row| {
                        let word: String = row.get("word")?;
                        Ok(format!("“{word}” is counted wrongly among the words"))
                    })
                    .collect()
            }
        }
    }
}

/// The most words that are looked for in each row by itself.
const ONE_BY_ONE_MOST: usize = 32;

/// Words that a search asks for.
#[derive(Debug, Clone, Default)]
pub(in crate::office) struct Searched {
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
    pub(in crate::office) fn is_empty(&self) -> bool {
        self.words.is_empty()
    }
}

/// A word begins at most so many whole words where these are asked for instead of it.
const WHOLE_MOST: usize = 32;

/// From the word to just before the first that it does not begin, by bytes.
fn range_of(word: &str) -> [SqlValue; 2] {
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
