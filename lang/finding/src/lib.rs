//! A finding as data: what, where, which figure against which limit, why, and what to do. Terminal,
//! editor and machine-readable formats each render it in one file.
//!
//! The crate must not know who reports findings and who prints them.

pub mod language;

use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use springline_text::{Edit, FileId, Place, SourceFile};
use springline_units::quantity::Unit;
use springline_units::tooth::Tooth;

/// By consequence: an error would harm, or cannot be understood, so nothing is printed; a warning
/// is for the doctor to look at; advice is text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    Error,
    Warning,
    Advice,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "advice",
        })
    }
}

/// A finding's stable name: `family/fault`, such as `space/engaged-without-space`. Written and read back as
/// that text.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Code(Cow<'static, str>);

impl Code {
    pub const fn new(code: &'static str) -> Code {
        Code(Cow::Borrowed(code))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    pub fn family(&self) -> &str {
        self.0.split('/').next().unwrap_or(&self.0)
    }

    /// Language findings are about the text or about measured points, not about the patient; they can be fixed but not accepted.
    pub fn is_language(&self) -> bool {
        matches!(self.family(), "syntax" | "name" | "unit" | "points")
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The figure a finding is about and the limit it passed, in the same unit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    pub value: f64,
    pub limit: f64,
    /// Written as its symbol: `g`, `mm`, `deg`, `wk`.
    #[serde(with = "symbol")]
    pub unit: Unit,
}

/// A unit written and read back as its symbol.
mod symbol {
    use serde::{Deserialize, Deserializer, Serializer, de};
    use springline_units::quantity::Unit;

    pub fn serialize<S: Serializer>(unit: &Unit, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(unit.symbol())
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(from: D) -> Result<Unit, D::Error> {
        let text = String::deserialize(from)?;
        let unit = Unit::ALL.into_iter().find(|unit| unit.symbol() == text);
        unit.ok_or_else(|| de::Error::custom(format!("no unit: {text}")))
    }
}

impl Figure {
    /// The figure beside its limit, in words: "120 g, limit 60 g", "0 deg, at least 3 deg".
    pub fn against_limit(&self) -> String {
        let of =
            |v: f64| format!("{} {}", springline_units::quantity::plain(v), self.unit.printed());
        let (value, limit) = (of(self.value), of(self.limit));
        match self.value.total_cmp(&self.limit) {
            _ if self.limit == 0.0 => value,
            // Both round to the same figure, so the message says on which side of the limit it is.
            std::cmp::Ordering::Equal => format!("{value}, at the limit"),
            std::cmp::Ordering::Less => format!("{value}, at least {limit}"),
            _ => format!("{value}, limit {limit}"),
        }
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", springline_units::quantity::plain(self.value), self.unit)
    }
}

/// Another place related to the finding, with an explanation.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Related {
    pub place: Place,
    pub message: String,
}

/// Whether a fix only changes how the text is written, or what is done to the patient.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FixKind {
    /// The meaning stays, or only one meaning was possible.
    Safe,
    /// Changes the plan: the doctor chooses.
    Clinical,
}

/// A change of text that removes the finding.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Fix {
    /// What it does, as a command: "write `0.014 in`".
    pub title: String,
    pub kind: FixKind,
    pub edits: Vec<Edit>,
    /// The figure in the recomputed plan: "with niti-14 instead: 43 g".
    pub outcome: Option<String>,
}

/// The doctor's written acceptance of a finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Acceptance {
    pub reason: String,
    pub by: String,
    /// Up to which figure, as written.
    pub up_to: Option<String>,
    pub until: Option<String>,
    pub place: Place,
}

/// One finding about a case.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    pub code: Code,
    pub severity: Severity,
    pub place: Place,
    /// What and where, in one sentence: names the tooth and the step where there is one.
    pub message: String,
    pub figure: Option<Figure>,
    /// Why it matters, in one sentence.
    pub why: Option<String>,
    pub notes: Vec<String>,
    pub related: Vec<Related>,
    pub fixes: Vec<Fix>,
    pub teeth: Vec<Tooth>,
    /// The step it is about, by name.
    pub step: Option<Arc<str>>,
    pub accepted: Option<Acceptance>,
}

impl Finding {
    pub fn new(
        code: &'static str,
        severity: Severity,
        place: Place,
        message: impl Into<String>,
    ) -> Self {
        Finding {
            code: Code::new(code),
            severity,
            place,
            message: message.into(),
            figure: None,
            why: None,
            notes: Vec::new(),
            related: Vec::new(),
            fixes: Vec::new(),
            teeth: Vec::new(),
            step: None,
            accepted: None,
        }
    }

    pub fn error(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, place, message)
    }

    pub fn warning(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, place, message)
    }

    pub fn advice(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Advice, place, message)
    }

    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = Some(why.into());
        self
    }

    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    pub fn figure(mut self, value: f64, limit: f64, unit: Unit) -> Self {
        self.figure = Some(Figure { value, limit, unit });
        self
    }

    pub fn teeth(mut self, teeth: impl IntoIterator<Item = Tooth>) -> Self {
        self.teeth.extend(teeth);
        self
    }

    pub fn step(mut self, step: impl Into<Arc<str>>) -> Self {
        self.step = Some(step.into());
        self
    }

    pub fn related(mut self, place: Place, message: impl Into<String>) -> Self {
        self.related.push(Related { place, message: message.into() });
        self
    }

    pub fn fix(mut self, fix: Fix) -> Self {
        self.fixes.push(fix);
        self
    }

    /// A fix that replaces one range of text and keeps the meaning.
    pub fn safe_fix(self, title: impl Into<String>, place: Place, text: impl Into<String>) -> Self {
        self.fix(Fix::replace(title, FixKind::Safe, place, text))
    }

    /// A fix that replaces one range of text and changes the plan.
    pub fn clinical_fix(
        self,
        title: impl Into<String>,
        place: Place,
        text: impl Into<String>,
    ) -> Self {
        self.fix(Fix::replace(title, FixKind::Clinical, place, text))
    }

    /// Blocks printing: an error that the doctor has not accepted.
    pub fn blocks(&self) -> bool {
        self.severity == Severity::Error && self.accepted.is_none()
    }
}

impl Fix {
    pub fn replace(
        title: impl Into<String>,
        kind: FixKind,
        place: Place,
        text: impl Into<String>,
    ) -> Self {
        Fix {
            title: title.into(),
            kind,
            edits: vec![Edit { place, text: text.into() }],
            outcome: None,
        }
    }

    pub fn outcome(mut self, outcome: impl Into<String>) -> Self {
        self.outcome = Some(outcome.into());
        self
    }

    /// The text of `file` with this fix applied; `None` where an edit does not fit the text. Inserted
    /// lines use the text's line endings.
    pub fn apply(&self, file: FileId, source: &str) -> Option<String> {
        let mut edits: Vec<&Edit> = self.edits.iter().filter(|e| e.place.file == file).collect();
        edits.sort_by_key(|e| (e.place.span.start, e.place.span.end));
        let mut out = String::with_capacity(source.len() + 64);
        let mut at = 0usize;
        let returns = source.find('\n').is_some_and(|end| source[..end].ends_with('\r'));
        for edit in edits {
            let range = edit.place.span.range();
            out.push_str(source.get(at..range.start)?);
            source.get(range.clone())?;
            match returns {
                true => out.push_str(&edit.text.replace("\r\n", "\n").replace('\n', "\r\n")),
                false => out.push_str(&edit.text),
            }
            at = range.end;
        }
        out.push_str(source.get(at..)?);
        Some(out)
    }
}

/// A checked file as the renderers of findings see it.
pub trait FindingReport {
    fn files(&self) -> &[SourceFile];
    /// Chart reference; `None` where the file is no case.
    fn chart(&self) -> Option<&str>;
    /// There is no error that the doctor has not accepted.
    fn may_print(&self) -> bool;
    /// Worst first, then in the order of the text.
    fn findings(&self) -> &[Finding];

    fn file(&self, id: FileId) -> Option<&SourceFile> {
        self.files().iter().find(|f| f.id == id)
    }

    fn worst(&self) -> Option<Severity> {
        self.findings().iter().filter(|f| f.accepted.is_none()).map(|f| f.severity).min()
    }
}

/// Documentation of a rule, for reports that explain their codes.
#[derive(Debug, Clone)]
pub struct RuleText {
    pub short: String,
    pub full: Option<String>,
    pub help: String,
}
