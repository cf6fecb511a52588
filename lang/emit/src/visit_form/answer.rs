//! One answer: what was ticked or written, in the words of the language.

use super::FieldType;
use springline_units::quantity::plain;
use springline_units::tooth::{Notation, Tooth};

/// What was filled in.
#[derive(Debug, Clone, PartialEq)]
pub enum FormAnswer {
    Ticked,
    Figure(f64),
    Written(String),
}

/// An answer that cannot be taken: which one, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AnswerProblem {
    pub id: String,
    pub why: String,
}

impl AnswerProblem {
    pub fn new(id: &str, why: impl Into<String>) -> AnswerProblem {
        AnswerProblem { id: id.to_owned(), why: why.into() }
    }
}

/// A field as it is written into a statement. `None` where nothing was filled in.
pub fn written(
    id: &str,
    kind: FieldType,
    answer: &FormAnswer,
    notation: Notation,
) -> Result<Option<String>, AnswerProblem> {
    let said = match answer {
        FormAnswer::Ticked => return Err(AnswerProblem::new(id, "Write something here.")),
        FormAnswer::Figure(figure) => plain(*figure),
        FormAnswer::Written(text) => text.trim().to_owned(),
    };
    if said.is_empty() {
        return Ok(None);
    }
    let words = match kind {
        FieldType::Mm => length(&said).map(|mm| format!("{} mm", plain(mm))),
        FieldType::Score => score(&said).map(|score| score.to_string()),
        FieldType::Initials => initials(&said),
        FieldType::Teeth => teeth(&said, notation),
        FieldType::SideOfTooth => sides(&said, notation),
        FieldType::Text => Ok(quoted(&said)),
    };
    words.map(Some).map_err(|why| AnswerProblem::new(id, why))
}

/// "4,5", "4.5 mm".
fn length(said: &str) -> Result<f64, String> {
    let bare = said.trim_end_matches("mm").trim().replace(',', ".");
    let figure = bare.parse::<f64>().ok().filter(|mm| mm.is_finite() && *mm >= 0.0);
    figure.ok_or_else(|| format!("`{said}` is no length; write millimetres, such as 4.5."))
}

fn score(said: &str) -> Result<u8, String> {
    let figure = said.parse::<u8>().ok().filter(|score| *score <= 10);
    figure.ok_or_else(|| format!("`{said}` is no score; write a whole number from 0 to 10."))
}

fn initials(said: &str) -> Result<String, String> {
    let is_name = said.chars().all(|c| c.is_alphanumeric() || c == '-')
        && said.starts_with(char::is_alphabetic);
    is_name
        .then(|| said.to_owned())
        .ok_or_else(|| format!("`{said}` are no initials; write letters only, such as KM."))
}

/// "12, 13", "UR2 UR3", "14..12".
fn teeth(said: &str, notation: Notation) -> Result<String, String> {
    let one = |word: &str| -> Result<String, String> {
        let each: Option<Vec<String>> =
            word.split("..").map(|t| Some(tooth(t, notation)?.write(notation))).collect();
        match each {
            Some(ends) if ends.len() <= 2 => Ok(ends.join("..")),
            _ => Err(format!("`{word}` is no tooth here.")),
        }
    };
    let words = said.split([',', ' ']).map(str::trim).filter(|w| !w.is_empty());
    let all: Result<Vec<String>, String> = words.map(one).collect();
    all.map(|teeth| teeth.join(", "))
}

/// A bare number is an ISO tooth only in a practice that writes them so.
fn tooth(said: &str, notation: Notation) -> Option<Tooth> {
    let bare = said.chars().all(|c| c.is_ascii_digit());
    Tooth::parse(said).filter(|_| !bare || notation == Notation::Iso)
}

/// "mesial of 11, distal 21".
fn sides(said: &str, notation: Notation) -> Result<String, String> {
    let one = |part: &str| -> Result<String, String> {
        let words: Vec<&str> = part.split_whitespace().filter(|w| *w != "of").collect();
        match words.as_slice() {
            [side @ ("mesial" | "distal"), at] => match tooth(at, notation) {
                Some(tooth) => Ok(format!("{side} of {}", tooth.write(notation))),
                None => Err(format!("`{at}` is no tooth here.")),
            },
            _ => {
                Err(format!("`{}` is no side of a tooth; write such as mesial of 11.", part.trim()))
            }
        }
    };
    let parts = said.split(',').filter(|p| !p.trim().is_empty());
    let all: Result<Vec<String>, String> = parts.map(one).collect();
    all.map(|sides| sides.join(", "))
}

/// On one line, in the quotes of the language.
fn quoted(said: &str) -> String {
    let line: Vec<&str> = said.split_whitespace().collect();
    format!("\"{}\"", line.join(" ").replace('"', "'"))
}
