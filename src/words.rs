//! The program's own sentences in the reader's language.
//!
//! The English text is the key. Translations stand in `ui/lang/LANGUAGE/LC_MESSAGES/joistlight.po`, one file a
//! language for the window's texts and the rules' alike; `build.rs` turns them into the tables used here, and
//! Slint's compiler bundles the same files into the window. Words of other people (names, notes) are never
//! translated.

include!(concat!(env!("OUT_DIR"), "/words.rs"));

/// A language of the program.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, serde::Serialize, serde::Deserialize,
)]
pub enum Language {
    /// English.
    #[default]
    #[serde(rename = "en")]
    English,
    /// Spanish.
    #[serde(rename = "es")]
    Spanish,
}

impl Language {
    /// All languages.
    pub const ALL: &'static [Language] = &[Language::English, Language::Spanish];

    /// Its code (ISO 639-1).
    pub const fn code(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::Spanish => "es",
        }
    }

    /// What its speakers call it.
    pub const fn own_name(self) -> &'static str {
        match self {
            Language::English => "English",
            Language::Spanish => "Español",
        }
    }

    /// The language for a locale such as `es_MX.UTF-8`; English where it is none of ours.
    ///
    /// # Examples
    /// ```
    /// use joistlight::words::Language;
    /// assert_eq!(Language::of_locale("es_MX.UTF-8"), Language::Spanish);
    /// assert_eq!(Language::of_locale("C"), Language::English);
    /// ```
    pub fn of_locale(locale: &str) -> Language {
        let tongue = locale.split(['_', '-', '.', '@']).next().unwrap_or("");
        *Self::ALL
            .iter()
            .find(|language| language.code().eq_ignore_ascii_case(tongue))
            .unwrap_or(&Language::English)
    }

    /// The text for an English key; the key itself where there is no translation.
    ///
    /// # Examples
    /// ```
    /// use joistlight::words::Language;
    /// assert_eq!(Language::Spanish.say("fits with work"), "cabe con trabajo");
    /// assert_eq!(Language::English.say("fits with work"), "fits with work");
    /// ```
    pub fn say(self, english: &'static str) -> &'static str {
        self.find(english).unwrap_or(english)
    }

    /// The translation, where there is one; English needs none.
    pub fn find(self, english: &str) -> Option<&'static str> {
        let table: &[(&str, &str)] = match self {
            Language::English => return None,
            Language::Spanish => ES,
        };
        table
            .binary_search_by(|(key, _)| (*key).cmp(english))
            .ok()
            .map(|at| table[at].1)
    }
}
