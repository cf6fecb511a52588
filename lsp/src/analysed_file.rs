//! The input of a feature: one case or practice file as lowered, and as checked if that is done.

use crate::features::habits::Habits;
use springline_lang::Checked;
use springline_lang::check::LoweredFile;
use springline_lang::course::{ArchForecast, Forecast, Phase};
use springline_lang::finding::Finding;
use springline_lang::model::{Case, House};
use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::tree::{Parse, StatementRef};
use springline_lang::syntax::{FileKind, ToothSpan, statement_path_at};
use springline_lang::text::FileId;
use springline_lang::units::tooth::{Arch, Notation, Tooth};

/// A file at one moment. Features are functions of this and a byte offset.
#[derive(Debug, Clone, Copy)]
pub struct AnalysedFile<'a> {
    pub read: &'a LoweredFile,
    /// `None` while the mechanics are still at work.
    pub checked: Option<&'a Checked>,
    /// Habits of the other plans here; `None` where not needed.
    pub habits: Option<&'a Habits>,
}

impl<'a> AnalysedFile<'a> {
    pub fn parse(self) -> &'a Parse {
        &self.read.parse
    }

    pub fn text(self) -> &'a str {
        &self.read.parse.source
    }

    pub fn house(self) -> Option<&'a House> {
        self.read.house.as_deref()
    }

    pub fn case(self) -> Option<&'a Case> {
        self.read.case.as_deref()
    }

    pub fn forecast(self) -> Option<&'a Forecast> {
        self.checked?.forecast.as_deref()
    }

    pub fn arch_forecast(self, arch: Arch) -> Option<&'a ArchForecast> {
        self.forecast()?.arch(arch)
    }

    pub fn findings(self) -> &'a [Finding] {
        self.checked.map_or(&self.read.findings, |c| &c.findings)
    }

    /// How this practice writes teeth.
    pub fn notation(self) -> Notation {
        self.house().map_or(Notation::Iso, |h| h.notation.value)
    }

    pub fn is_house(self) -> bool {
        self.parse().kind == FileKind::House
    }

    /// The display name of a file.
    pub fn name_of(self, file: FileId) -> Option<&'a str> {
        self.read.files.iter().find(|f| f.id == file).map(|f| f.name.as_str())
    }

    /// The statement whose own words enclose an offset.
    pub fn line_at(self, offset: usize) -> Option<StatementRef<'a>> {
        let path = statement_path_at(self.parse(), offset);
        path.into_iter().rev().find(|line| line.span().contains(offset))
    }

    /// The statements around an offset, innermost first.
    pub fn around(self, offset: usize) -> impl Iterator<Item = StatementRef<'a>> {
        statement_path_at(self.parse(), offset).into_iter().rev()
    }

    /// The arch whose block, or whose line in a visit, encloses an offset.
    pub fn arch_at(self, offset: usize) -> Option<Arch> {
        self.around(offset).find_map(arch_of)
    }

    /// The step or change around an offset.
    pub fn step_line_at(self, offset: usize) -> Option<StatementRef<'a>> {
        self.around(offset)
            .find(|line| matches!(line.kind(), Some(StatementKind::Step | StatementKind::Change)))
    }

    /// The arch and the index of a step of the case, by its line.
    pub fn step_of(self, line: StatementRef<'_>) -> Option<(Arch, usize)> {
        let name = line.step_name()?;
        let arch = line.parent().and_then(arch_of)?;
        let steps = &self.case()?.arch(arch)?.steps;
        Some((arch, steps.iter().position(|s| *s.name == *name.text())?))
    }

    /// The predicted phase of a step.
    pub fn phase(self, arch: Arch, step: usize) -> Option<&'a Phase> {
        self.arch_forecast(arch)?.latest_phase_of_step(step)
    }

    /// The teeth of a range as typed; empty where it is not a valid range.
    pub fn teeth_of(self, span: ToothSpan) -> Vec<Tooth> {
        let tooth = |span| Tooth::parse(self.parse().text(span));
        let Some(first) = tooth(span.first) else { return Vec::new() };
        match span.last {
            None => vec![first],
            Some(last) => tooth(last).and_then(|last| first.stretch(last)).unwrap_or_default(),
        }
    }
}

/// The arch that a statement opens.
pub fn arch_of(line: StatementRef<'_>) -> Option<Arch> {
    Arch::BOTH.into_iter().find(|arch| line.keyword() == Some(arch.word()))
}
