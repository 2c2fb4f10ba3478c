//! An office's own list in a TOML file, read so that an error names file, line and field.

use serde::de::DeserializeOwned;

/// Why a list was refused; names file, line and field.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}, line {line}{}: {what}", if field.is_empty() { String::new() } else { format!(", {field}") })]
pub struct ListError {
    /// The file.
    pub file: String,
    /// The line, counted from one.
    pub line: usize,
    /// The field, such as `fan[2].weight`; empty where the text is no TOML at all.
    pub field: String,
    /// What is wrong with it, and what would be right.
    pub what: String,
}

/// The text of a list, with its file's name for errors.
#[derive(Debug, Clone, Copy)]
pub struct ListFile<'a> {
    /// What errors call it.
    pub file: &'a str,
    /// What is in it.
    pub text: &'a str,
}

impl ListFile<'_> {
    /// What is wrong at a place in the text, counted in bytes.
    pub fn refuse(&self, offset: usize, field: String, what: String) -> ListError {
        let before = &self.text.as_bytes()[..offset.min(self.text.len())];
        ListError {
            file: self.file.to_owned(),
            line: before.iter().filter(|it| **it == b'\n').count() + 1,
            field,
            what,
        }
    }

    /// The list as its type has it.
    ///
    /// # Errors
    /// The first thing wrong, with its line and field.
    ///
    /// # Examples
    /// ```
    /// use joistlight::list_file::ListFile;
    /// #[derive(Debug, serde::Deserialize)]
    /// struct Rates {
    ///     hour: u32,
    /// }
    /// let read = |text| ListFile { file: "rates.toml", text }.read::<Rates>();
    /// assert_eq!(read("hour = 60").unwrap().hour, 60);
    /// let error = read("\nhour = 'sixty'").unwrap_err().to_string();
    /// assert!(error.starts_with("rates.toml, line 2, hour: "), "{error}");
    /// ```
    pub fn read<T: DeserializeOwned>(&self) -> Result<T, ListError> {
        let document = toml::Deserializer::parse(self.text).map_err(|error| {
            let offset = error.span().map_or(0, |span| span.start);
            self.refuse(offset, String::new(), error.message().to_owned())
        })?;
        serde_path_to_error::deserialize(document).map_err(|error| {
            // Spans hide behind a name of their own.
            let path = error
                .path()
                .to_string()
                .replace(".$__serde_spanned_private_value", "");
            let inner = error.into_inner();
            let offset = inner.span().map_or(0, |span| span.start);
            let field = if path == "." { String::new() } else { path };
            self.refuse(offset, field, inner.message().to_owned())
        })
    }
}
