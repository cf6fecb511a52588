//! The record form of a visit as data, and the lines of the language that its answers make.
//!
//! The parts are those of the printed form, so that card, page and language cannot differ. Nothing is filled in
//! beforehand: a ticked box is a claim that somebody makes.

mod answer;
mod compose;

use jiff::civil::Date;

use crate::card::RecordPart;
use crate::card::record::{RecordRule, RecordStatement, of_a_note, statements};
use crate::plan::{Plan, PrintStamp, VisitToday};
use crate::wording;
use springline_course::Forecast;
use springline_model::Case;
use springline_model::house::Task;

pub use answer::{AnswerProblem, FormAnswer};
pub use compose::FormAnswers;

/// One form.
#[derive(Debug, Clone, PartialEq)]
pub struct VisitForm {
    pub on: Date,
    pub kind: Task,
    /// The planned visit that it is the form of.
    pub planned: Option<Date>,
    /// Places of the stops that the patient comes with: one of them is what can be lost.
    pub stops: Vec<String>,
    /// Statements in the lines of the printed form.
    pub lines: Vec<Vec<FormStatement>>,
}

/// One statement, its parts with names.
#[derive(Debug, Clone, PartialEq)]
pub struct FormStatement {
    pub parts: Vec<FormPart>,
    pub(super) rule: RecordRule,
}

#[derive(Debug, Clone, PartialEq)]
pub enum FormPart {
    Word(String),
    /// A box with its word. Of those with one `group` at most one is ticked.
    Tick {
        id: String,
        text: String,
        group: Option<String>,
    },
    /// Room to write.
    Write {
        id: String,
        kind: FieldType,
        label: String,
    },
    /// Explains; nothing to fill in.
    Key(String),
}

/// What may be written into a field.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldType {
    /// One or more teeth.
    Teeth,
    /// Millimetres, not under nothing.
    Mm,
    /// Who saw the patient, as the practice writes it.
    Initials,
    /// 0 to 10.
    Score,
    /// Free text, no names.
    Text,
    /// A side of a tooth, such as `mesial of 11`.
    SideOfTooth,
}

/// Kinds of visit that a form can be asked for, with the word that a person knows.
pub const FORM_KINDS: [Task; 7] = [
    Task::BondUp,
    Task::WireChange,
    Task::Review,
    Task::Repair,
    Task::Emergency,
    Task::Debond,
    Task::RetainerCheck,
];

/// As the reception says it.
pub fn kind_label(kind: Task) -> &'static str {
    crate::card::today::kind(kind)
}

/// The form of the next visit that is not recorded, as of that day and kind; of the planned kind where none
/// is asked for. Where the plan has no visit to come it is a note's.
pub fn visit_form(case: &Case, forecast: &Forecast, on: Date, kind: Option<Task>) -> VisitForm {
    // No page is printed of it.
    let stamp =
        PrintStamp { case: String::new(), house: String::new(), tool: String::new(), printed: on };
    let plan = Plan { case, forecast, findings: &[], today: on, stamp: &stamp };
    let next = plan.coming().next().and_then(|(number, _)| VisitToday::of(&plan, number));
    let planned = next.as_ref().map(|today| recorded_as(today.visit.kind));
    let kind = kind.or(planned).unwrap_or(Task::Review);
    let lines = match &next {
        Some(today) => statements(&plan, today, on, kind),
        None => of_a_note(on, kind),
    };
    let lines = lines.into_iter().map(|line| line.into_iter().map(named).collect()).collect();
    let mouths = next.iter().flat_map(|today| &today.arches).filter_map(|arch| arch.now);
    let stops = mouths.flat_map(|mouth| mouth.stops());
    let stops = stops.map(|stop| wording::spot(&stop, plan.notation())).collect();
    VisitForm { on, kind, planned: next.as_ref().map(|today| today.visit.date), stops, lines }
}

/// Work on brackets, coils and elastics is recorded as what it is booked as.
fn recorded_as(kind: Task) -> Task {
    match kind {
        Task::Reposition | Task::Coil | Task::Elastics => Task::WireChange,
        other => other,
    }
}

/// Parts get names from the words of their statement: they stay the same as long as the plan does.
fn named(statement: RecordStatement) -> FormStatement {
    let words: Vec<&str> = statement
        .parts
        .iter()
        .filter_map(|part| match part {
            RecordPart::Word(word) if word != "," => Some(word.as_str()),
            _ => None,
        })
        .collect();
    let lead = match statement.rule {
        RecordRule::Head => String::new(),
        _ => words.join(" "),
    };
    let id = |part: &str| match lead.as_str() {
        "" => part.to_owned(),
        lead if part.is_empty() => lead.to_owned(),
        lead => format!("{lead}: {part}"),
    };
    let ticks = statement.parts.iter().filter(|p| matches!(p, RecordPart::Tick(_))).count();
    let group = |text: &str| {
        let part = match statement.rule {
            RecordRule::ArchSeen if is_found(text) => "found",
            RecordRule::ArchSeen => "done",
            _ => "one",
        };
        (ticks > 1).then(|| id(part))
    };
    let parts = statement.parts.iter().map(|part| match part {
        RecordPart::Word(word) => FormPart::Word(word.clone()),
        RecordPart::Tick(text) => {
            FormPart::Tick { id: id(text), text: text.clone(), group: group(text) }
        }
        RecordPart::Write(label) => {
            FormPart::Write { id: id(label), kind: field_type(label), label: (*label).to_owned() }
        }
        RecordPart::Key(text) => FormPart::Key(text.clone()),
    });
    FormStatement { parts: parts.collect(), rule: statement.rule }
}

/// A box of what the wire was like; the others say what was done.
fn is_found(text: &str) -> bool {
    matches!(text, "passive" | "nearly-passive" | "active" | "binds at" | "not-tested")
}

fn field_type(label: &str) -> FieldType {
    match label {
        "mm" => FieldType::Mm,
        "initials" => FieldType::Initials,
        "" => FieldType::Score,
        "long" => FieldType::Text,
        "place" => FieldType::SideOfTooth,
        _ => FieldType::Teeth,
    }
}

#[cfg(test)]
mod tests;
