//! Message catalogue of one language: one `key = text` per line, `//` for comments, placeholders in
//! braces.
//!
//! A file begins with `language`, `name` and `direction` (`ltr` or `rtl`). A missing key falls back to
//! English, and [`Catalogue::missing`] lists it.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use springline_model::house::main_language;

const ENGLISH: &str = include_str!("en.words");
const SPANISH: &str = include_str!("es.words");

static EN: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::parse(ENGLISH).0);
static ES: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::parse(SPANISH).0);

/// One language's texts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Catalogue {
    texts: BTreeMap<String, String>,
}

/// A line that could not be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CatalogueFault {
    /// From 1.
    pub line: usize,
    pub what: String,
}

impl Catalogue {
    /// Parses a catalogue file; invalid lines are skipped and reported.
    pub fn parse(text: &str) -> (Catalogue, Vec<CatalogueFault>) {
        let mut texts = BTreeMap::new();
        let mut faults = Vec::new();
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        for (i, line) in text.lines().enumerate() {
            let line = line.trim();
            if line.is_empty() || line.starts_with("//") {
                continue;
            }
            let fault = |what: String| CatalogueFault { line: i + 1, what };
            let Some((key, value)) = line.split_once('=') else {
                faults.push(fault("no `=`: a line is `key = text`".to_owned()));
                continue;
            };
            let (key, value) = (key.trim(), value.trim());
            if let Err(what) = holes(value) {
                faults.push(fault(what));
            } else if texts.contains_key(key) {
                faults.push(fault(format!("`{key}` is there twice")));
            } else {
                texts.insert(key.to_owned(), value.to_owned());
            }
        }
        for fault in unknown_holes(&texts) {
            faults.push(fault);
        }
        (Catalogue { texts }, faults)
    }

    pub fn english() -> &'static Catalogue {
        &EN
    }

    /// A language that comes with the tool, by its two letters; a country behind them makes no
    /// difference.
    pub fn built_in(language: &str) -> Option<&'static Catalogue> {
        match main_language(language).as_str() {
            "en" => Some(&EN),
            "es" => Some(&ES),
            _ => None,
        }
    }

    /// The text of a key; English where this language has none; the key itself where neither has.
    pub fn get<'c>(&'c self, key: &'c str) -> &'c str {
        let own = self.texts.get(key).map(String::as_str);
        own.or_else(|| EN.texts.get(key).map(String::as_str)).unwrap_or(key)
    }

    /// The text with its placeholders filled.
    pub fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        let mut out = self.get(key).to_owned();
        for (name, value) in values {
            out = out.replace(&format!("{{{name}}}"), value);
        }
        out
    }

    /// Keys of English that this language leaves out.
    pub fn missing(&self) -> Vec<&'static str> {
        EN.texts.keys().filter(|k| !self.texts.contains_key(*k)).map(String::as_str).collect()
    }

    pub fn language(&self) -> &str {
        self.get("language")
    }

    /// For the `dir` attribute of a page.
    pub fn direction(&self) -> &'static str {
        if self.get("direction") == "rtl" { "rtl" } else { "ltr" }
    }

    /// A date as this language writes it out.
    pub fn date(&self, date: jiff::civil::Date) -> String {
        let weekday = format!("weekday.{}", date.weekday().to_monday_one_offset());
        let month = format!("month.{}", date.month());
        self.fill(
            "date",
            &[
                ("weekday", self.get(&weekday)),
                ("day", &date.day().to_string()),
                ("month", self.get(&month)),
                ("year", &date.year().to_string()),
            ],
        )
    }
}

/// Names in braces, or what is wrong with the braces.
fn holes(text: &str) -> Result<Vec<&str>, String> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(open) = rest.find(['{', '}']) {
        if rest[open..].starts_with('}') {
            return Err("a `}` without its `{`".to_owned());
        }
        let Some(close) = rest[open..].find('}') else {
            return Err("a `{` without its `}`".to_owned());
        };
        out.push(&rest[open + 1..open + close]);
        rest = &rest[open + close + 1..];
    }
    Ok(out)
}

/// A placeholder that English does not have under the same key can never be filled.
fn unknown_holes(texts: &BTreeMap<String, String>) -> Vec<CatalogueFault> {
    let Some(english) = (texts.get("language").map(String::as_str) != Some("en")).then(|| &*EN)
    else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for (key, text) in texts {
        let known = english.texts.get(key).map(String::as_str).unwrap_or_default();
        let known = holes(known).unwrap_or_default();
        for hole in holes(text).unwrap_or_default() {
            if !known.contains(&hole) {
                out.push(CatalogueFault {
                    line: 0,
                    what: format!("`{key}`: nothing fills `{{{hole}}}`"),
                });
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_language_that_a_practice_may_name_is_there_under_its_own_name() {
        for (tag, name) in springline_model::house::LANGUAGES {
            let own = Catalogue::built_in(tag).expect("built in");
            assert_eq!((own.language(), own.get("name")), (tag, name));
            let row = springline_lang::syntax::vocabulary::ROWS
                .iter()
                .find(|r| r.pattern.starts_with("language"))
                .expect("a word");
            assert!(row.doc.contains(&format!("`{tag}`")), "{}", row.doc);
        }
        assert_eq!(Catalogue::built_in("es-MX").map(Catalogue::language), Some("es"));
        assert_eq!(Catalogue::built_in("de"), None);
    }

    #[test]
    fn built_in_languages_are_whole() {
        for text in [ENGLISH, SPANISH] {
            let (catalogue, faults) = Catalogue::parse(text);
            assert_eq!(faults, []);
            assert_eq!(catalogue.missing(), Vec::<&str>::new());
        }
    }

    #[test]
    fn faults_name_their_line() {
        let (own, faults) = Catalogue::parse("language = xx\nno equals\na = {open\na = 1\na = 2\n");
        assert_eq!(faults.iter().map(|f| f.line).collect::<Vec<_>>(), [2, 3, 5]);
        assert_eq!(own.get("a"), "1");
        assert_eq!(own.get("sheet.title"), EN.get("sheet.title"), "falls back to English");
        let (_, faults) = Catalogue::parse("language = xx\nsheet.next = on {dat}");
        assert_eq!(faults[0].what, "`sheet.next`: nothing fills `{dat}`");
    }

    #[test]
    fn dates_are_written_out() {
        let date = jiff::civil::date(2026, 11, 16);
        assert_eq!(EN.date(date), "Monday 16 November 2026");
        assert_eq!(ES.date(date), "lunes 16 de noviembre de 2026");
    }
}
