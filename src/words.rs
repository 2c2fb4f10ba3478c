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
        let table = self.all();
        table
            .binary_search_by(|(key, _)| (*key).cmp(english))
            .ok()
            .map(|at| table[at].1)
    }

    /// A fan's or a fan list's name: those that come with the program are told in this language, others stay.
    ///
    /// # Examples
    /// ```
    /// use joistlight::words::Language;
    /// assert_eq!(Language::Spanish.name("Generic sizes"), "Tamaños genéricos");
    /// assert_eq!(Language::Spanish.name("Our fans of 2026"), "Our fans of 2026");
    /// ```
    pub fn name(self, name: &str) -> String {
        self.find(name).unwrap_or(name).to_owned()
    }

    /// Every key with its translation, sorted by key; none for English.
    pub const fn all(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Language::English => &[],
            Language::Spanish => ES,
        }
    }

    /// An error's English text in this language; as it is where none of its parts is known.
    ///
    /// Errors carry English for logs and commands alike. Their templates stand among the keys, so the text is told
    /// again by the template that it fits, with its values put into the translation; of a text such as
    /// “picture.jpg: the file is empty. Take the picture again” the part after the name.
    ///
    /// # Examples
    /// ```
    /// use joistlight::words::Language;
    /// let english = "“36” has no unit; add in, ft, mm, cm or m";
    /// assert_eq!(
    ///     Language::Spanish.retell(english),
    ///     "«36» no tiene unidad; agregue in, ft, mm, cm o m",
    /// );
    /// assert_eq!(Language::English.retell(english), english);
    /// ```
    pub fn retell(self, english: &str) -> String {
        if let Some(told) = self.told(english, LEAST_WORDS) {
            return told;
        }
        for gap in [": ", ". "] {
            for (at, _) in english.match_indices(gap) {
                // The full stop belongs to the sentence before it.
                let (head, tail) = (&english[..at + 1], &english[at + gap.len()..]);
                if let Some(tail) = self.told(tail, LEAST_WORDS) {
                    let head = if gap == ". " {
                        self.retell(head)
                    } else {
                        head.to_owned()
                    };
                    return format!("{head} {tail}");
                }
            }
        }
        english.to_owned()
    }

    /// The text as told by the key that fits it with the most words of its own, of which there are at least `least`
    /// letters.
    fn told(self, english: &str, least: usize) -> Option<String> {
        if let Some(text) = self.find(english) {
            return Some(text.to_owned());
        }
        let letters = |key: &str| {
            let own = key
                .split('{')
                .map(|part| part.split_once('}').map_or(part, |it| it.1));
            own.flat_map(str::chars)
                .filter(|c| c.is_alphabetic())
                .count()
        };
        // A text may also be the first sentence alone, where its advice was left out.
        let first = |text: &'static str| Some(text.split_once(". ")?.0);
        let (_, text, values) = self
            .all()
            .iter()
            .flat_map(|(key, text)| [Some((*key, *text)), first(key).zip(first(text))])
            .flatten()
            .filter(|(key, _)| letters(key) >= least)
            .filter_map(|(key, text)| Some((letters(key), text, values(key, english)?)))
            .max_by_key(|(letters, ..)| *letters)?;
        let mut values: Vec<(&str, String)> = values
            .into_iter()
            .map(|(name, value)| {
                // A list of units has few words of its own. What was typed, and names, are left alone.
                let told = match name {
                    "instead" | "range" | "units" => self.told(value, 1),
                    "" | "0" | "error" | "problem" | "what" | "why" => {
                        self.told(value, LEAST_WORDS)
                    }
                    _ => None,
                };
                (name, told.unwrap_or_else(|| value.to_owned()))
            })
            .collect();
        let mut out = String::new();
        let mut parts = text.split('{');
        out.push_str(parts.next().unwrap_or(""));
        for part in parts {
            let (name, own) = part.split_once('}')?;
            // Places without a name stand in the same order in both.
            let at = values.iter().position(|(it, _)| *it == name)?;
            if name.is_empty() {
                out.push_str(&values.remove(at).1);
            } else {
                out.push_str(&values[at].1);
            }
            out.push_str(own);
        }
        Some(out)
    }
}

/// A template with fewer letters of its own than this could fit anything.
const LEAST_WORDS: usize = 8;

/// What stands in the text where the key has its places, by their names, if the rest is alike.
fn values<'t>(key: &'static str, text: &'t str) -> Option<Vec<(&'static str, &'t str)>> {
    let mut found = Vec::new();
    let mut parts = key.split('{');
    let mut rest = text.strip_prefix(parts.next()?)?;
    let mut parts = parts.peekable();
    while let Some(part) = parts.next() {
        let (name, own) = part.split_once('}')?;
        let at = match parts.peek() {
            None => rest.ends_with(own).then(|| rest.len() - own.len())?,
            Some(_) => rest.find(own)?,
        };
        found.push((name, &rest[..at]));
        rest = &rest[at + own.len()..];
    }
    rest.is_empty().then_some(found)
}
