//! Every word that the program says stands in Spanish too.
//!
//! The English text is the key, so the keys are read from the sources themselves: `@tr("…")` in the window's
//! files, and in Rust the literals in the places where words of the program stand. A key without a translation, a
//! translation with other `{places}` than its key, and a translation that nothing asks for any more are all
//! named in the failure.

use crate::files::{files, root};
use joistlight::survey::Kind;
use joistlight::survey::fields::{LISTS, SECTIONS, SPOT_NAME};
use joistlight::words::Language;
use proc_macro2::{Delimiter, Group, TokenStream, TokenTree};
use std::collections::{BTreeMap, BTreeSet};

/// Files in which every literal is taken for words unless it stands where none are read.
const ALL_WORDS: &[&str] = &["src/house", "src/rules", "src/drawing"];

/// Files in which literals are words where they stand in a call for a translation, or look like a sentence or a
/// title.
const SOME_WORDS: &[&str] = &["src/app"];

/// Files in which words are always marked by a call.
const MARKED_WORDS: &[&str] = &["src/bundle/report.rs", "src/job", "src/office/jobpack.rs"];

/// Files of which only the labels are shown.
const LABELS: &[&str] = &["src/trade", "src/survey", "src/office/register/status.rs"];

/// Files whose errors reach a window. (Commands speak English, whose own errors stand in src/command.)
const ERRORS: &[&str] = &[
    "src/bundle/layout.rs",
    "src/bundle/problem.rs",
    "src/disk.rs",
    "src/measure",
    "src/job",
    "src/office",
    "src/photo",
    "src/store",
    "src/survey",
    "src/typeset",
];

/// Files that have no words for a reader.
const WORDLESS: &[&str] = &[
    "_tests.rs",
    "src/app/keys.rs",
    // Sizes with their units, which are the same in every language.
    "src/app/offers.rs",
    "src/drawing/svg.rs",
    "src/rules/test_house.rs",
    "src/rules/trial.rs",
];

/// Words on keys beside marks and units.
const KEYPAD: &[&str] = &["now", "space"];

/// Literals that are no words for a reader although they stand where words do: names in schemas, and the
/// typeface's licence, which is told as it was given.
const NO_WORDS: &[&str] = &[
    "$id",
    "Amount",
    "B612, in its regular and bold cuts: under the SIL Open Font License 1.1, the Eclipse Public License 2.0 and \
     the Eclipse Distribution License 1.0. Their texts and the copyright notice follow.",
    "Sentence",
    "const",
    "format",
    "in",
    "joistlight assessment",
    "mm",
    "properties",
    "title",
    "urn:joistlight:assessment:3",
    "version",
];

/// What the sources say.
#[derive(Default)]
struct Keys {
    /// The keys, each with where it stands.
    all: BTreeMap<String, BTreeSet<String>>,
    /// Every literal, words or not.
    literals: BTreeSet<String>,
    /// What `names!` puts before the names that it makes.
    heads: BTreeSet<String>,
}

impl Keys {
    fn add(&mut self, key: &str, wherefrom: &str) {
        // Outside its places: “{file}: {problem}” has no words of its own.
        let own = key
            .split('{')
            .map(|part| part.split_once('}').map_or(part, |(_, own)| own));
        let has_words = own.flat_map(str::chars).any(char::is_lowercase);
        if has_words && !NO_WORDS.contains(&key) {
            let places = self.all.entry(key.to_owned()).or_default();
            places.insert(wherefrom.to_owned());
        }
    }
}

/// How a file is read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reading {
    AllWords,
    SomeWords,
    MarkedWords,
    Labels,
    Errors,
}

struct Source<'a> {
    reading: Reading,
    file: &'a str,
    keys: &'a mut Keys,
}

fn text_of(token: &TokenTree) -> Option<String> {
    match token {
        TokenTree::Literal(literal) => match syn::Lit::new(literal.clone()) {
            syn::Lit::Str(text) => Some(text.value()),
            _ => None,
        },
        _ => None,
    }
}

fn is_ident(token: Option<&TokenTree>, name: &str) -> bool {
    matches!(token, Some(TokenTree::Ident(ident)) if ident == name)
}

fn is_punct(token: Option<&TokenTree>, mark: char) -> bool {
    matches!(token, Some(TokenTree::Punct(punct)) if punct.as_char() == mark)
}

fn group(token: Option<&TokenTree>, delimiter: Delimiter) -> Option<&Group> {
    match token {
        Some(TokenTree::Group(group)) if group.delimiter() == delimiter => Some(group),
        _ => None,
    }
}

/// Macros whose literals are templates, paths or messages for programmers.
const MACROS_WITHOUT_WORDS: &[&str] = &[
    "assert",
    "assert_eq",
    "assert_ne",
    "debug_assert",
    "debug_assert_eq",
    "env",
    "eprintln",
    "format",
    "include_bytes",
    "include_str",
    "json_schema",
    "panic",
    "println",
    "unreachable",
    "write",
    "writeln",
];

/// Calls whose literals are names of fields, figures or units.
const CALLS_WITHOUT_WORDS: &[&str] = &[
    "ask",
    "ask_item",
    "ask_list",
    "ask_of_spot",
    "at",
    "expect",
    "field",
    "known",
    "length",
    "lines",
    "look",
    "missing",
    "note_given",
    "number",
    "starts_with",
    "ends_with",
    "strip_prefix",
    "spot",
    "house",
    "word",
    "var_os",
    "join",
    "replace",
    "split",
    "split_once",
    "get",
    "find",
];

/// Calls whose literals are all words.
const CALLS_WITH_WORDS: &[&str] = &["again", "heading", "key", "t", "tr"];

impl Source<'_> {
    fn add(&mut self, text: &str) {
        self.keys.add(text, self.file);
    }

    /// Takes every literal in here for words, but for calls and macros that have none.
    fn all(&mut self, tokens: TokenStream) {
        let before = self.reading;
        self.reading = Reading::AllWords;
        self.read(tokens);
        self.reading = before;
    }

    fn literal(&mut self, text: &str) {
        let is_field =
            text.contains('.') && text.chars().all(|c| matches!(c, 'a'..='z' | '_' | '.'));
        match self.reading {
            Reading::AllWords if !is_field => self.add(text),
            Reading::SomeWords
                if text.contains(' ') || text.starts_with(|c: char| c.is_uppercase()) =>
            {
                self.add(text);
            }
            _ => {}
        }
    }

    fn read(&mut self, tokens: TokenStream) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            at += 1;
            match token {
                TokenTree::Punct(mark) if mark.as_char() == '#' => {
                    if is_punct(tokens.get(at), '!') {
                        at += 1;
                    }
                    if let Some(attribute) = group(tokens.get(at), Delimiter::Bracket) {
                        at += 1;
                        self.attribute(attribute);
                        if attribute.stream().to_string().replace(' ', "") == "cfg(test)" {
                            // The tested item ends with its braces or a semicolon.
                            while let Some(token) = tokens.get(at) {
                                at += 1;
                                if is_punct(Some(token), ';')
                                    || group(Some(token), Delimiter::Brace).is_some()
                                {
                                    break;
                                }
                            }
                        }
                    }
                }
                TokenTree::Ident(name) => at = self.named(&name.to_string(), &tokens, at),
                TokenTree::Group(inner) => self.read(inner.stream()),
                TokenTree::Literal(_) => {
                    // In `choice!` the second of two literals is the label.
                    let after_another = at >= 2 && text_of(&tokens[at - 2]).is_some();
                    if let Some(text) = text_of(token) {
                        if after_another {
                            self.add(&text);
                        } else {
                            self.literal(&text);
                        }
                    }
                }
                TokenTree::Punct(_) => {}
            }
        }
    }

    fn attribute(&mut self, attribute: &Group) {
        let inner: Vec<TokenTree> = attribute.stream().into_iter().collect();
        if self.reading == Reading::Errors
            && is_ident(inner.first(), "error")
            && let Some(template) = group(inner.get(1), Delimiter::Parenthesis)
        {
            // The template, and what is put into it here.
            let mut texts = BTreeSet::new();
            all_literals(template.stream(), &mut texts);
            for text in texts {
                self.add(&text);
            }
        }
    }

    /// What follows a name; returns where to read on.
    fn named(&mut self, name: &str, tokens: &[TokenTree], at: usize) -> usize {
        // A macro.
        if is_punct(tokens.get(at), '!')
            && let Some(TokenTree::Group(inner)) = tokens.get(at + 1)
        {
            if self.reading == Reading::Errors && name == "write" {
                let texts = inner
                    .stream()
                    .into_iter()
                    .filter_map(|token| text_of(&token));
                for text in texts.filter(|text| text.contains(' ')) {
                    self.add(&text);
                }
            }
            if name == "names" {
                let heads = inner
                    .stream()
                    .into_iter()
                    .filter_map(|token| text_of(&token));
                self.keys.heads.extend(heads);
            }
            if !MACROS_WITHOUT_WORDS.contains(&name) {
                self.read(inner.stream());
            }
            return at + 2;
        }
        // `fn label(…) -> … { … }`
        if name == "fn" && is_ident(tokens.get(at), "class") {
            // Names for style sheets.
            let is_body = |i: &usize| group(tokens.get(*i), Delimiter::Brace).is_some();
            return (at..tokens.len()).find(is_body).map_or(at, |body| body + 1);
        }
        if name == "fn" && is_ident(tokens.get(at), "label") {
            let body =
                (at..tokens.len()).find(|&i| group(tokens.get(i), Delimiter::Brace).is_some());
            if let Some(body) = body
                && self.reading != Reading::Errors
                && let Some(TokenTree::Group(inner)) = tokens.get(body)
            {
                self.all(inner.stream());
                return body + 1;
            }
        }
        let path = |i: usize| is_punct(tokens.get(i), ':') && is_punct(tokens.get(i + 1), ':');
        if path(at)
            && let Some(TokenTree::Ident(then)) = tokens.get(at + 2)
        {
            let call = group(tokens.get(at + 3), Delimiter::Parenthesis);
            match (name, then.to_string().as_str(), call) {
                ("Say", "new", Some(call)) => self.all(call.stream()),
                ("Source", _, Some(_)) => {}
                // What is put into an error's brackets.
                ("Problem", _, Some(call)) if self.reading == Reading::Errors => {
                    let texts = call
                        .stream()
                        .into_iter()
                        .filter_map(|token| text_of(&token));
                    for text in texts.filter(|text| text.contains(' ')) {
                        self.add(&text);
                    }
                }
                ("Asking", "house" | "spot", Some(call)) => {
                    let texts: Vec<String> = call
                        .stream()
                        .into_iter()
                        .filter_map(|t| text_of(&t))
                        .collect();
                    if let Some(title) = texts.get(1) {
                        self.add(title);
                    }
                }
                _ => return at,
            }
            return at + 4;
        }
        // `NewVent { name: "box vents on the roof", … }`
        if name == "NewVent"
            && let Some(fields) = group(tokens.get(at), Delimiter::Brace)
            && let Some(text) = fields
                .stream()
                .into_iter()
                .find_map(|token| text_of(&token))
        {
            self.add(&text);
        }
        if name == "Source" && group(tokens.get(at), Delimiter::Brace).is_some() {
            return at + 1;
        }
        let Some(call) = group(tokens.get(at), Delimiter::Parenthesis) else {
            return at;
        };
        match name {
            // `standard("3 × 2 × 2 in device box", …)` of the trade's list of boxes.
            "standard" if self.reading == Reading::Labels => {
                if let Some(text) = call.stream().into_iter().next().as_ref().and_then(text_of) {
                    self.add(&text);
                }
            }
            "with" => {
                // The first is the place's name.
                let mut inner = call.stream().into_iter();
                if inner.next().as_ref().and_then(text_of).is_none() {
                    return at;
                }
                self.all(inner.collect());
            }
            _ if self.reading != Reading::Labels && CALLS_WITH_WORDS.contains(&name) => {
                self.all(call.stream());
            }
            "figure" | "ratio" if self.reading == Reading::AllWords => self.all(call.stream()),
            _ if CALLS_WITHOUT_WORDS.contains(&name) => {
                // Other calls within it may have words all the same.
                let inner = call.stream().into_iter().filter(|t| text_of(t).is_none());
                self.read(inner.collect());
            }
            _ => return at,
        }
        at + 1
    }
}

fn read_rust(under: &[&str], reading: Reading, keys: &mut Keys) {
    for path in under.iter().flat_map(|under| files(under, ".rs")) {
        let file = path.strip_prefix(root()).unwrap().to_str().unwrap();
        if WORDLESS.iter().any(|it| file.ends_with(it)) {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let tokens: TokenStream = text.parse().unwrap_or_else(|e| panic!("{file}: {e}"));
        all_literals(tokens.clone(), &mut keys.literals);
        Source {
            reading,
            file,
            keys,
        }
        .read(tokens);
    }
}

fn all_literals(tokens: TokenStream, into: &mut BTreeSet<String>) {
    for token in tokens {
        into.extend(text_of(&token));
        if let TokenTree::Group(group) = token {
            all_literals(group.stream(), into);
        }
    }
}

/// `@tr("one" | "many" % n)` and `@tr("context" => "text")` as well as `@tr("text", …)`.
fn read_slint(keys: &mut Keys) {
    for path in files("ui", ".slint") {
        let file = path.strip_prefix(root()).unwrap().to_str().unwrap();
        let text = std::fs::read_to_string(&path).unwrap();
        for (at, _) in text.match_indices("@tr(") {
            let mut rest = text[at + 4..].trim_start();
            loop {
                let (literal, behind) = slint_literal(rest)
                    .unwrap_or_else(|| panic!("{file}: @tr without a text: {:.60}", rest));
                rest = behind.trim_start();
                if let Some(text) = rest.strip_prefix("=>") {
                    rest = text.trim_start();
                    continue;
                }
                keys.add(&literal, file);
                match rest.strip_prefix('|') {
                    Some(plural) => rest = plural.trim_start(),
                    None => break,
                }
            }
        }
    }
}

/// The literal that a text begins with, and what follows it.
fn slint_literal(text: &str) -> Option<(String, &str)> {
    let mut out = String::new();
    let mut chars = text.strip_prefix('"')?.char_indices();
    while let Some((at, c)) = chars.next() {
        match c {
            '"' => return Some((out, &text[at + 2..])),
            '\\' => match chars.next()?.1 {
                'n' => out.push('\n'),
                other => out.push(other),
            },
            other => out.push(other),
        }
    }
    None
}

fn keys() -> Keys {
    let mut keys = Keys::default();
    read_slint(&mut keys);
    read_rust(ALL_WORDS, Reading::AllWords, &mut keys);
    read_rust(SOME_WORDS, Reading::SomeWords, &mut keys);
    read_rust(MARKED_WORDS, Reading::MarkedWords, &mut keys);
    read_rust(LABELS, Reading::Labels, &mut keys);
    read_rust(ERRORS, Reading::Errors, &mut keys);
    for fan in &joistlight::trade::fan::generic().fans {
        keys.add(&fan.name, "src/trade/fans.toml");
    }
    keys.add(
        &joistlight::trade::fan::generic().name,
        "src/trade/fans.toml",
    );
    let of_lists = LISTS.iter().flat_map(|list| list.slots);
    let of_sections = SECTIONS.iter().flat_map(|(_, _, slots)| *slots);
    for slot in of_sections.chain(of_lists).chain([&SPOT_NAME]) {
        keys.add(slot.label, slot.id);
        keys.add(slot.help.trim(), slot.id);
        if let Kind::Choice(words) = slot.kind {
            for word in words {
                keys.add(word.label, slot.id);
            }
        }
    }
    for list in LISTS {
        keys.add(list.label, list.id);
        keys.add(list.one, list.id);
    }
    for text in KEYPAD {
        keys.add(text, "src/app/keys.rs");
    }
    // The names that `names!` makes of a head and what follows it.
    let tails: Vec<String> = keys
        .all
        .keys()
        .filter(|key| key.starts_with(": "))
        .cloned()
        .collect();
    for tail in tails {
        let places = keys.all.remove(&tail).unwrap_or_default();
        for head in &keys.heads {
            keys.all.insert(format!("{head}{tail}"), places.clone());
        }
    }
    keys
}

/// The `{places}` in a text, sorted.
fn places(text: &str) -> Vec<&str> {
    let opened = text.split('{').skip(1);
    let mut found: Vec<&str> = opened
        .filter_map(|part| Some(part.split_once('}')?.0))
        .collect();
    found.sort_unstable();
    found
}

fn listed(what: &str, lines: impl IntoIterator<Item = String>) {
    let lines: Vec<String> = lines.into_iter().collect();
    assert!(
        lines.is_empty(),
        "{} {what}:\n{}",
        lines.len(),
        lines.join("\n")
    );
}

#[test]
fn every_word_stands_in_spanish() {
    let keys = keys();
    let missing = keys
        .all
        .iter()
        .filter(|(key, _)| Language::Spanish.find(key).is_none());
    listed(
        "keys without Spanish",
        missing.map(|(key, from)| {
            format!(
                "{key:?} ({})",
                from.iter().cloned().collect::<Vec<_>>().join(", ")
            )
        }),
    );
}

#[test]
fn translations_have_the_places_of_their_keys() {
    let all = Language::Spanish.all();
    let odd = all.iter().filter(|(key, text)| places(key) != places(text));
    listed(
        "translations with other places",
        odd.map(|(key, text)| format!("{key:?}: {text:?}")),
    );
}

#[test]
fn no_translation_is_left_over() {
    let keys = keys();
    let asked = |key: &str| keys.all.contains_key(key) || keys.literals.contains(key);
    let left = Language::Spanish
        .all()
        .iter()
        .filter(|(key, _)| !asked(key));
    listed(
        "translations that nothing asks for",
        left.map(|(key, _)| format!("{key:?}")),
    );
}

#[test]
fn refused_answers_are_explained_in_spanish() {
    use joistlight::survey::Ways;
    let of = |field: &str| joistlight::survey::fields::kind_of(field).unwrap();
    for (field, typed) in [
        ("attic.roof_height", "wide"),
        ("attic.roof_height", "36.."),
        ("attic.roof_height", "36 in 4 cm"),
        ("attic.roof_height", "3' 14\""),
        ("attic.roof_height", "3 6"),
        ("attic.roof_height", "1/0"),
        ("attic.roof_height", "1/7"),
        ("attic.roof_height", "-4"),
        ("attic.roof_height", "400000"),
        ("attic.roof_height", "5 yards"),
        ("attic.attic_floor_area", "much"),
        ("attic.attic_floor_area", "12 miles"),
        ("attic.attic_floor_area", "-4 ft2"),
        ("attic.roof_slope", "5:11"),
        ("arrival.attic_humidity", "140"),
        ("arrival.year_built", "12"),
        ("arrival.visited_at", "yesterday"),
        ("power.panel_space", "maybe"),
    ] {
        let error = of(field)
            .parse(typed, &Ways::default())
            .unwrap_err()
            .to_string();
        let told = Language::Spanish.retell(&error);
        assert_ne!(told, error, "{field}");
        for english in [" is ", " are ", " the ", " and ", " or "] {
            assert!(!told.contains(english), "{error}: {told}");
        }
        if error.contains(typed) {
            assert!(told.contains(typed), "{error}: {told}");
        }
        let named = format!("survey.json: {error}");
        assert_eq!(
            Language::Spanish.retell(&named),
            format!("survey.json: {told}")
        );
    }
}
