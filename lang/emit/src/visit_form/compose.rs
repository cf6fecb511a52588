//! Statements of the language from the answers to a form.

use std::collections::BTreeMap;

use super::answer::{AnswerProblem, FormAnswer, written};
use super::{FormPart, FormStatement, RecordRule, VisitForm};
use springline_units::tooth::Notation;

/// Answers by the name of their part.
pub type FormAnswers = BTreeMap<String, FormAnswer>;

impl VisitForm {
    /// The lines that the answers make, in the order of the form. An answer to no part of it is a problem: none
    /// is lost without a word.
    pub fn lines_of(
        &self,
        answers: &FormAnswers,
        notation: Notation,
    ) -> Result<Vec<String>, AnswerProblem> {
        let statements = || self.lines.iter().flatten();
        let known = |id: &str| statements().any(|s| s.parts.iter().any(|p| p.id() == Some(id)));
        if let Some(id) = answers.keys().find(|id| !known(id)) {
            return Err(AnswerProblem::new(id, "The form has no such field."));
        }
        let mut out = Vec::new();
        for statement in statements().filter(|s| s.rule != RecordRule::Head) {
            out.extend(statement.line(answers, notation)?);
        }
        Ok(out)
    }

    /// Who saw the patient, from the line that opens the visit.
    pub fn by(
        &self,
        answers: &FormAnswers,
        notation: Notation,
    ) -> Result<Option<String>, AnswerProblem> {
        let head = self.lines.iter().flatten().find(|s| s.rule == RecordRule::Head);
        let fields = head.into_iter().flat_map(|s| &s.parts);
        for part in fields {
            if let FormPart::Write { id, kind, .. } = part
                && let Some(answer) = answers.get(id)
            {
                return written(id, *kind, answer, notation);
            }
        }
        Ok(None)
    }
}

impl FormPart {
    /// Its name, if it can be filled in.
    pub fn id(&self) -> Option<&str> {
        match self {
            FormPart::Tick { id, .. } | FormPart::Write { id, .. } => Some(id),
            FormPart::Word(_) | FormPart::Key(_) => None,
        }
    }
}

/// A part as it was filled in.
struct Filled<'p> {
    part: &'p FormPart,
    /// What it says; `None` where it was left empty.
    says: Option<String>,
}

impl FormStatement {
    fn line(
        &self,
        answers: &FormAnswers,
        notation: Notation,
    ) -> Result<Option<String>, AnswerProblem> {
        let filled = self.filled(answers, notation)?;
        self.one_of_a_group(&filled)?;
        if filled.iter().all(|f| f.part.id().is_none() || f.says.is_none()) {
            return Ok(None);
        }
        let words = match self.rule {
            RecordRule::Plain => plain(&filled)?,
            RecordRule::ArchSeen => arch_seen(&filled)?,
            RecordRule::Midline => midline(&filled)?,
            RecordRule::Head | RecordRule::Key => return Ok(None),
        };
        Ok(Some(words))
    }

    fn filled(
        &self,
        answers: &FormAnswers,
        notation: Notation,
    ) -> Result<Vec<Filled<'_>>, AnswerProblem> {
        let mut out = Vec::with_capacity(self.parts.len());
        for part in &self.parts {
            let says = match part {
                FormPart::Word(word) => Some(word.clone()),
                FormPart::Key(_) => None,
                FormPart::Tick { id, text, .. } => match answers.get(id) {
                    None => None,
                    Some(FormAnswer::Ticked) => Some(text.clone()),
                    Some(_) => return Err(AnswerProblem::new(id, "Tick this or leave it.")),
                },
                FormPart::Write { id, kind, .. } => match answers.get(id) {
                    None => None,
                    Some(answer) => written(id, *kind, answer, notation)?,
                },
            };
            out.push(Filled { part, says });
        }
        Ok(out)
    }

    fn one_of_a_group(&self, filled: &[Filled<'_>]) -> Result<(), AnswerProblem> {
        let mut taken: Vec<(&str, &str)> = Vec::new();
        for one in filled.iter().filter(|f| f.says.is_some()) {
            let FormPart::Tick { id, text, group: Some(group) } = one.part else { continue };
            if let Some((_, first)) = taken.iter().find(|(known, _)| known == group) {
                let why = format!("`{first}` and `{text}` exclude each other; tick one of them.");
                return Err(AnswerProblem::new(id, why));
            }
            taken.push((group, text));
        }
        Ok(())
    }
}

/// Everything that is said, in order. Where there are boxes one is needed, and where there is room to write,
/// something in it.
fn plain(filled: &[Filled<'_>]) -> Result<String, AnswerProblem> {
    let ticks = || filled.iter().filter(|f| matches!(f.part, FormPart::Tick { .. }));
    if ticks().next().is_some() && ticks().all(|f| f.says.is_none()) {
        return Err(missing(filled, "Tick which of them it is."));
    }
    for one in filled {
        if let FormPart::Write { id, .. } = one.part
            && one.says.is_none()
        {
            return Err(AnswerProblem::new(id, "Write the figure, or leave its box empty."));
        }
    }
    Ok(joined(filled))
}

/// The first box of a statement asks to be ticked.
fn missing(filled: &[Filled<'_>], why: &str) -> AnswerProblem {
    let id = filled.iter().find_map(|f| f.part.id()).unwrap_or_default();
    AnswerProblem::new(id, why)
}

/// `upper binds at 13, kept`: what was found, a comma, and what was done.
fn arch_seen(filled: &[Filled<'_>]) -> Result<String, AnswerProblem> {
    let mut found: Vec<&str> = Vec::new();
    let mut done: Vec<&str> = Vec::new();
    let mut name = "";
    let mut binds: Option<&str> = None;
    for one in filled {
        let Some(says) = &one.says else {
            if let (FormPart::Write { id, .. }, Some(_)) = (one.part, binds) {
                return Err(AnswerProblem::new(id, "Write the teeth at which it binds."));
            }
            continue;
        };
        match one.part {
            FormPart::Word(word) if word == "," => binds = None,
            FormPart::Word(word) => name = word,
            FormPart::Tick { id, text, .. } => {
                let is_done = !super::is_found(text);
                if text == "binds at" {
                    binds = Some(id);
                }
                if is_done { done.push(says) } else { found.push(says) }
            }
            FormPart::Write { id, .. } if binds.is_none() => {
                return Err(AnswerProblem::new(
                    id,
                    "Tick `binds at` as well, or leave the teeth out.",
                ));
            }
            FormPart::Write { .. } => found.push(says),
            FormPart::Key(_) => {}
        }
    }
    let parts = [found.join(" "), done.join(" ")];
    let said: Vec<&str> = parts.iter().map(String::as_str).filter(|p| !p.is_empty()).collect();
    Ok(format!("{name} {}", said.join(", ")))
}

/// `upper midline on face`, or `upper midline 1 mm to patient-right of face`.
fn midline(filled: &[Filled<'_>]) -> Result<String, AnswerProblem> {
    let ticked = |wanted: &str| {
        filled.iter().any(|f| {
            f.says.is_some() && matches!(f.part, FormPart::Tick { text, .. } if text == wanted)
        })
    };
    let by = filled.iter().find(|f| matches!(f.part, FormPart::Write { .. }));
    let id = by.and_then(|f| f.part.id()).unwrap_or_default();
    let is_figure = by.is_some_and(|f| f.says.is_some());
    let is_side = ticked("to patient-right") || ticked("to patient-left");
    if ticked("on face") {
        if is_figure {
            let why = "In the middle, or so far to a side: not both.";
            return Err(AnswerProblem::new(id, why));
        }
        let words = filled.iter().filter_map(|f| f.says.as_deref()).filter(|w| *w != "of face");
        return Ok(words.collect::<Vec<_>>().join(" "));
    }
    match (is_figure, is_side) {
        (true, true) => Ok(joined(filled)),
        (true, false) => Err(AnswerProblem::new(id, "Tick to which side.")),
        (false, _) => Err(AnswerProblem::new(id, "Write how far it is to that side.")),
    }
}

fn joined(filled: &[Filled<'_>]) -> String {
    filled.iter().filter_map(|f| f.says.as_deref()).collect::<Vec<_>>().join(" ")
}
