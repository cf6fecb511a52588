//! Code lenses: the next visit above a case, the predicted course above an arch.

use springline_lang::syntax::ast::StatementKind;
use springline_lang::text::Span;
use springline_lang::units::tooth::Arch;

use crate::analysed_file::AnalysedFile;

/// The command of a lens, for editors that support it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LensCommand {
    /// Show the findings of this case.
    Check,
    /// Show the visits of this case.
    Schedule,
    /// Show the course of this case.
    Course,
    /// Print the cards of this case.
    Print,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lens {
    pub span: Span,
    pub title: String,
    pub command: LensCommand,
}

pub fn lenses(analysed: AnalysedFile<'_>) -> Vec<Lens> {
    let Some(forecast) = analysed.forecast() else { return Vec::new() };
    let mut out = Vec::new();
    for line in analysed.parse().lines() {
        match line.kind() {
            Some(StatementKind::Case) => {
                let blocked = analysed.findings().iter().filter(|f| f.blocks()).count();
                let mut push = |title, command| {
                    out.push(Lens { span: line.span(), title, command });
                };
                match forecast.next_visit() {
                    Some(visit) => {
                        let title = format!("next visit {}, {}", visit.date, visit.kind.word());
                        push(title, LensCommand::Schedule);
                    }
                    None => push("no visit due".to_owned(), LensCommand::Schedule),
                }
                match blocked {
                    0 => push("print cards".to_owned(), LensCommand::Print),
                    1 => push("1 error: cards not printed".to_owned(), LensCommand::Check),
                    n => push(format!("{n} errors: cards not printed"), LensCommand::Check),
                }
            }
            Some(StatementKind::Upper) => out.extend(arch(analysed, Arch::Upper, line.span())),
            Some(StatementKind::Lower) => out.extend(arch(analysed, Arch::Lower, line.span())),
            _ => {}
        }
    }
    out
}

fn arch(analysed: AnalysedFile<'_>, arch: Arch, span: Span) -> Option<Lens> {
    let phases = &analysed.arch_forecast(arch)?.phases;
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
    Some(Lens {
        span,
        title: format!("{steps}{dates}, estimates of a model"),
        command: LensCommand::Course,
    })
}
