//! Edits that put a fault into a text, made on its tree.

use springline_lang::model::case::ArchCase;
use springline_lang::model::step::Step;
use springline_lang::rules::{PlanFix, Trees};
use springline_lang::syntax::ClauseKind;
use springline_lang::text::{Edit, Place, Span};

/// The trees of a text and of its practice file.
pub struct Texts(pub Trees);

fn edits(fix: PlanFix<'_>) -> Option<Vec<Edit>> {
    fix.done().map(|fix| fix.edits)
}

impl Texts {
    fn fix(&self) -> PlanFix<'_> {
        self.0.fix("")
    }

    /// A clause of the step's line, with its keyword.
    pub fn set_clause(&self, arch: &ArchCase, step: &Step, clause: &str) -> Option<Vec<Edit>> {
        let (word, value) = clause.split_once(' ')?;
        let kind = ClauseKind::ALL.into_iter().find(|kind| kind.word() == word)?;
        edits(self.fix().set_clause(arch, step, kind, value))
    }

    pub fn add_to_step(&self, arch: &ArchCase, step: &Step, lines: &[String]) -> Option<Vec<Edit>> {
        edits(self.fix().add_to_step(arch, step, lines))
    }

    pub fn add_to_arch(&self, arch: &ArchCase, line: &str) -> Option<Vec<Edit>> {
        edits(self.fix().add_inside(arch.place, line))
    }

    pub fn add_inside(&self, at: Place, lines: &[String]) -> Option<Vec<Edit>> {
        edits(lines.iter().fold(self.fix(), |fix, line| fix.add_inside(at, line)))
    }

    pub fn before(&self, at: Place, statement: &str) -> Option<Vec<Edit>> {
        edits(self.fix().add_before(at, statement))
    }

    pub fn replace(&self, at: Place, text: &str) -> Option<Vec<Edit>> {
        edits(self.fix().replace(at, text))
    }

    /// Other words for some of the statement's own.
    pub fn replace_in(&self, at: Place, from: &str, to: &str) -> Option<Vec<Edit>> {
        let words = self.0.statement(at).and_then(|line| {
            let start = line.span().start as usize + line.text().find(from)?;
            Some(Span::new(start, start + from.len()))
        })?;
        edits(self.fix().set_field(at, |_| Some(words), to))
    }

    pub fn remove(&self, at: Place) -> Option<Vec<Edit>> {
        edits(self.fix().remove(at))
    }

    pub fn append(&self, at: Place, words: &str) -> Option<Vec<Edit>> {
        edits(self.fix().append(at, words))
    }
}
