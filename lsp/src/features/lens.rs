//! Lines above the lines: the next visit above a case, the predicted course above an arch.

use springline_lang::finding::Span;
use springline_lang::model::tooth::Arch;

use crate::facts::Facts;

/// What an editor that knows the command may do with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Command {
    /// Print the cards of this case.
    Print,
    /// Show the course of this case.
    Course,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lens {
    pub span: Span,
    pub title: String,
    pub command: Command,
}

pub fn lenses(facts: Facts<'_>) -> Vec<Lens> {
    let Some(forecast) = facts.forecast() else { return Vec::new() };
    let mut out = Vec::new();
    for line in facts.parse().lines() {
        match line.keyword() {
            Some("case") => {
                let blocked = facts.findings().iter().filter(|f| f.blocks()).count();
                let title = match (blocked, forecast.next_visit()) {
                    (0, Some(visit)) => format!("next visit {}, {}", visit.date, visit.kind.word()),
                    (0, None) => "no visit is due".to_owned(),
                    (1, _) => "one error stands: no card is printed".to_owned(),
                    (n, _) => format!("{n} errors stand: no card is printed"),
                };
                out.push(Lens { span: line.span(), title, command: Command::Print });
            }
            Some("upper") => out.extend(arch(facts, Arch::Upper, line.span())),
            Some("lower") => out.extend(arch(facts, Arch::Lower, line.span())),
            _ => {}
        }
    }
    out
}

fn arch(facts: Facts<'_>, arch: Arch, span: Span) -> Option<Lens> {
    let phases = &facts.arch_forecast(arch)?.phases;
    let (first, last) = (phases.first()?, phases.last()?);
    let steps = match phases.len() {
        1 => "1 step".to_owned(),
        n => format!("{n} steps"),
    };
    let dates = match (first.date_in, last.end.date) {
        (Some(from), Some(to)) => format!(", {from} to about {to}"),
        (Some(from), None) => format!(", from {from}"),
        _ => String::new(),
    };
    Some(Lens { span, title: format!("{steps}{dates}"), command: Command::Course })
}
