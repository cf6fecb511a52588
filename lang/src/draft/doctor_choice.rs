//! Where room comes from is the doctor's choice: said by him, it is written into the plan that a draft departs from.

use super::arch_text::{applied, arch_line};
use super::refusal::NotDrafted;
use crate::check::{LoweredFile, SourceText};
use springline_model::case::ArchCase;
use springline_syntax::ast::StatementKind;
use springline_syntax::{InsertAt, TreeEditor};
use springline_units::tooth::{Arch, Tooth};

/// A source of room that the doctor has chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DoctorChoice {
    /// A coil makes the room, and the front teeth come forward for it.
    Coil,
    /// Enamel is taken off: how much and where, as in an `ipr` line.
    Enamel(String),
    /// These teeth are taken out.
    Extraction(Vec<Tooth>),
}

impl DoctorChoice {
    /// "coil", "enamel 0.3 mm each between 13 and 23", "extraction 14, 24".
    pub fn parse(text: &str) -> Result<DoctorChoice, String> {
        let (word, rest) = text.trim().split_once(char::is_whitespace).unwrap_or((text.trim(), ""));
        let rest = rest.trim();
        match word {
            "coil" if rest.is_empty() => Ok(DoctorChoice::Coil),
            "enamel" if rest.contains("between") && !rest.contains(['{', '}', ';', '\n', '/']) => {
                Ok(DoctorChoice::Enamel(rest.to_owned()))
            }
            "enamel" => {
                Err("Say how much enamel and where: `enamel 0.3 mm each between 13 and 23`."
                    .to_owned())
            }
            "extraction" => {
                let words = rest.split([',', ' ']).filter(|w| !w.is_empty());
                let teeth: Option<Vec<Tooth>> = words.map(Tooth::parse).collect();
                match teeth.filter(|t| !t.is_empty()) {
                    Some(teeth) => Ok(DoctorChoice::Extraction(teeth)),
                    None => Err("Say which teeth are taken out: `extraction 14, 24`.".to_owned()),
                }
            }
            _ => Err(format!(
                "`{}` is no source of room: `coil`, `enamel 0.3 mm each between 13 and 23` or `extraction 14, 24`.",
                springline_text::visible::line(text)
            )),
        }
    }
}

/// The text with this choice, and lines that it puts into the first drafted step. `None`: it does not concern the
/// arch.
fn chosen(
    read: &LoweredFile,
    arch: Arch,
    choice: &DoctorChoice,
    today: jiff::civil::Date,
) -> Result<Option<(SourceText, Vec<String>)>, NotDrafted> {
    let case = read.case.as_deref().ok_or(NotDrafted::Unreadable)?;
    let plan = case.arch(arch).ok_or(NotDrafted::NoArch(arch))?;
    let file = read.files.first().ok_or(NotDrafted::Unreadable)?;
    let line = arch_line(&read.parse, arch).ok_or(NotDrafted::NoArch(arch))?;
    let mut editor = TreeEditor::new(&read.parse);
    let mut first = Vec::new();
    match choice {
        DoctorChoice::Coil => {
            if case.goal.as_ref().and_then(|g| g.incisors_forward).is_none() {
                match read.parse.lines().find(|l| l.is(StatementKind::Goal)) {
                    Some(goal) => editor.insert(InsertAt::LastIn(goal.id), "incisors forward"),
                    None => {
                        editor.insert(InsertAt::Before(line.id), "goal {\n  incisors forward\n}");
                    }
                }
            }
        }
        DoctorChoice::Enamel(what) => first.push(format!("ipr {what}")),
        DoctorChoice::Extraction(teeth) => {
            let notation = case.house.notation.value;
            let own = teeth.iter().filter(|t| t.arch() == arch);
            let named: Vec<String> = own.map(|t| t.write(notation)).collect();
            if named.is_empty() {
                return Ok(None);
            }
            if case.goal.as_ref().and_then(|g| g.extraction) == Some(false) {
                return Err(NotDrafted::AgainstGoal("extraction none"));
            }
            let begins = plan.start.map(|(day, _)| day).or(case.start.map(|s| s.0));
            let day = begins.filter(|day| *day > today).unwrap_or(today);
            editor.insert(
                InsertAt::FirstIn(line.id),
                &format!("extract {} before {day}", named.join(", ")),
            );
        }
    }
    let text = editor.finish().and_then(|edits| applied(edits, &file.text));
    let text = text.ok_or(NotDrafted::Unreadable)?;
    Ok(Some((SourceText { name: file.name.clone(), text: text.into() }, first)))
}

/// The text with these lines in a `change` of the first step that is not recorded: only to be read.
fn with_lines(read: &LoweredFile, arch: Arch, step: &str, lines: &[String]) -> Option<SourceText> {
    let file = read.files.first()?;
    let line = arch_line(&read.parse, arch)?;
    let mut editor = TreeEditor::new(&read.parse);
    let body: String = lines.iter().map(|l| format!("  {l}\n")).collect();
    editor.insert(InsertAt::LastIn(line.id), &format!("change {step} {{\n{body}}}"));
    let text = applied(editor.finish()?, &file.text)?;
    Some(SourceText { name: file.name.clone(), text: text.into() })
}

/// What the doctor has chosen, as it stands in the text of a frame.
#[derive(Debug, Clone, Default)]
pub struct ChosenRoom {
    /// Lines of the first drafted step.
    pub lines: Vec<String>,
    /// The text with them in it, where they have to be read.
    pub read: Option<LoweredFile>,
    pub any: bool,
}

/// The text with the doctor's choice, and what else it says of the arch.
pub fn with_choice(
    read: &mut dyn FnMut(&SourceText) -> LoweredFile,
    now: &LoweredFile,
    arch: Arch,
    choice: &DoctorChoice,
    today: jiff::civil::Date,
) -> Result<Option<(SourceText, ChosenRoom)>, NotDrafted> {
    let Some((source, lines)) = chosen(now, arch, choice, today)? else { return Ok(None) };
    let after = read(&source);
    let plan = after.case.as_deref().and_then(|c| c.arch(arch));
    let unclear = |plan: &ArchCase| plan.is_unread();
    if plan.is_none_or(unclear) {
        return Err(NotDrafted::ChoiceUnread);
    }
    let mut out = ChosenRoom { lines, read: None, any: true };
    if !out.lines.is_empty() {
        let step = plan.and_then(|p| p.steps.first()).ok_or(NotDrafted::NoSequence(arch))?;
        let text = with_lines(&after, arch, &step.name, &out.lines);
        let said = read(&text.ok_or(NotDrafted::Unreadable)?);
        if said.case.as_deref().and_then(|c| c.arch(arch)).is_none_or(unclear) {
            return Err(NotDrafted::ChoiceUnread);
        }
        out.read = Some(said);
    }
    Ok(Some((source, out)))
}
