//! `springline seen CASE`: records a visit.

use std::process::ExitCode;

use springline_lang::record;
use springline_lang::record::VisitEntry;
use springline_lang::syntax::parse;
use springline_lang::text::FileId;
use springline_lang::units::tooth::Notation;
use springline_lang::{CheckOptions, Checker, SourceText, settled};

use crate::args::SeenArgs;
use crate::ask::{self, PromptReply};
use crate::files::{self, Input};
use crate::problem::Problem;
use crate::today::today;

pub fn run(seen: &SeenArgs) -> Result<ExitCode, Problem> {
    let input = files::read(&seen.case)?;
    let today = today()?;
    let on = match &seen.date {
        Some(text) => text.parse().map_err(|_| {
            Problem::usage(
                format!("`{text}` is not a date."),
                "Write it as year-month-day, such as 2026-11-16.",
            )
        })?,
        None => today,
    };
    if on > today {
        return Err(Problem::usage(
            format!("{on} is in the future; a visit is recorded after it has taken place."),
            "Omit the date to record a visit today.",
        ));
    }
    if seen.missed {
        let text = record::add_missed(&input.text, on).map_err(|r| refused(&r.to_string()))?;
        let notation = Checker::new()
            .read(&input.source(), &input.library())
            .house
            .as_ref()
            .map(|h| h.notation.value);
        return save(seen, &input, &laid_out(&input, text, notation), &format!("missed {on}"));
    }
    let mut entry =
        VisitEntry { on, by: seen.by.clone(), kind: seen.kind.clone(), lines: lines(seen)? };
    if entry.lines.is_empty() {
        ask(&input, today, &mut entry)?;
    }
    let text = recorded(&input, &entry)?;
    save(seen, &input, &text, &format!("seen {on}"))
}

fn save(seen: &SeenArgs, input: &Input, text: &str, what: &str) -> Result<ExitCode, Problem> {
    if seen.dry_run {
        crate::output::print_plan(text);
        return Ok(ExitCode::SUCCESS);
    }
    files::replace(&seen.case, input, text.as_bytes())?;
    crate::say!("recorded in {}: {what}", input.name);
    report(&seen.case)
}

fn refused(why: &str) -> Problem {
    Problem::usage(
        format!("The visit was not recorded: {}.", why.trim_end_matches('.')),
        "The file is unchanged. Lines are written as in a `seen` block: `upper passive, kept`.",
    )
}

/// Laid out where the file was laid out before.
fn laid_out(input: &Input, text: String, notation: Option<Notation>) -> String {
    settled(&parse(FileId(0), &input.text), text, notation)
}

/// The lines given on the command line.
fn lines(seen: &SeenArgs) -> Result<Vec<String>, Problem> {
    record::gather(seen.upper.as_deref(), seen.lower.as_deref(), &seen.line)
        .map_err(|r| refused(&r))
}

/// The text with the visit, formatted where it was formatted before; an error where the visit would add
/// an error.
fn recorded(input: &Input, entry: &VisitEntry) -> Result<String, Problem> {
    let mut read = |text: &str| {
        let source = SourceText { name: input.name.clone(), text: text.into() };
        Checker::new().read(&source, &input.library())
    };
    let written = record::write_visit(&input.text, entry, &mut read);
    written.map(|visit| visit.text).map_err(|r| refused(&r.to_string()))
}

/// Asks at the terminal what the current step needs.
fn ask(input: &Input, today: jiff::civil::Date, entry: &mut VisitEntry) -> Result<(), Problem> {
    if !ask::is_possible() {
        return Err(Problem::usage(
            "No visit details were given.",
            "Give them with --upper, --lower and --line, such as --upper 'passive, kept'.",
        ));
    }
    let checked = Checker::new().check(
        &input.source(),
        &input.library(),
        &CheckOptions { today: Some(today) },
    );
    let (Some(case), Some(forecast)) = (&checked.case, &checked.forecast) else {
        return Err(Problem::usage(
            "The case cannot be read, so there is nothing to ask.",
            "Run `springline check` on it first.",
        ));
    };
    crate::say!("{} on {}. {}", case.chart, entry.on, ask::HINT);
    let mut first = Vec::new();
    if entry.by.is_none() {
        first.push(AskStage::By);
    }
    if entry.kind.is_none() {
        first.push(AskStage::Kind);
    }
    let mut answers: Vec<Option<String>> = Vec::new();
    let mut note = String::new();
    let mut at = 0;
    loop {
        // The questions depend on the kind of visit.
        let questions = record::questions_at(case, forecast, entry.kind.as_deref());
        answers.resize(questions.len(), None);
        let numbers = (0..questions.len()).map(AskStage::Question);
        let stages: Vec<AskStage> =
            first.iter().copied().chain(numbers).chain([AskStage::Note]).collect();
        let Some(stage) = stages.get(at) else { break };
        let said = match stage {
            AskStage::By => ask::prompt("Your initials")?,
            AskStage::Kind => {
                ask::prompt("A booked visit (press Enter), or an emergency between visits (e)")?
            }
            AskStage::Question(i) => {
                let (lines, prompt) = questions[*i].prompt();
                lines.iter().for_each(|line| crate::say!("{line}"));
                ask::prompt(prompt)?
            }
            AskStage::Note if questions.is_empty() => {
                ask::prompt("What was found and done, in a few words (no names)")?
            }
            AskStage::Note => ask::prompt("Anything else, in a few words (no names)")?,
        };
        let PromptReply::Text(said) = said else {
            at = at.saturating_sub(1);
            continue;
        };
        match stage {
            AskStage::By => entry.by = (!said.is_empty()).then_some(said),
            AskStage::Kind => {
                entry.kind = said.starts_with(['e', 'E']).then(|| "emergency".to_owned());
                answers.clear();
            }
            AskStage::Question(i) => match questions[*i].take(&said) {
                Ok(line) => answers[*i] = line,
                Err(hint) => {
                    crate::say!("{hint}");
                    continue;
                }
            },
            AskStage::Note => note = said,
        }
        at += 1;
    }
    entry.lines.extend(answers.into_iter().flatten());
    if !note.is_empty() {
        entry.lines.push(format!("note \"{}\"", note.replace('"', "'")));
    }
    Ok(())
}

/// The questions in order.
#[derive(Debug, Clone, Copy)]
enum AskStage {
    By,
    Kind,
    Question(usize),
    Note,
}

/// Summary of the plan after the visit.
fn report(path: &std::path::Path) -> Result<ExitCode, Problem> {
    let input = files::read(path)?;
    let options = CheckOptions { today: Some(today()?) };
    let checked = Checker::new().check(&input.source(), &input.library(), &options);
    if let Some(visit) = checked.forecast.as_ref().and_then(|f| f.next_visit()) {
        crate::say!("next visit: {} ({} to {})", visit.date, visit.window.0, visit.window.1);
    }
    let errors = checked.findings.iter().filter(|f| f.blocks()).count();
    if errors > 0 {
        crate::say!("The plan now has errors; `springline check` shows them.");
    }
    Ok(ExitCode::SUCCESS)
}
