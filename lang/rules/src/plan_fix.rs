//! Builds fixes of the plan as edits of the syntax trees.
//!
//! It holds the one policy about where a change goes: a step with its own line in the case is changed
//! there; a step that only follows the practice's sequence is changed by a `change` statement after
//! `follow`.

use std::sync::Arc;

use super::RuleContext;
use springline_finding::{Fix, FixKind};
use springline_model::case::ArchCase;
use springline_model::step::{Step, StepSource};
use springline_model::stock::Name;
use springline_syntax::{
    ClauseKind, FieldValue, HasSpan, InsertAt, Item, Parse, StatementRef, TreeEditor,
};
use springline_text::{FileId, Place, Span};
use springline_units::quantity::{Unit, plain};
use springline_units::tooth::Tooth;

/// The trees of a case and of the practice files it uses.
#[derive(Debug, Clone, Default)]
pub struct Trees(Vec<Arc<Parse>>);

impl Trees {
    pub fn new(trees: impl IntoIterator<Item = Arc<Parse>>) -> Trees {
        Trees(trees.into_iter().collect())
    }

    fn tree(&self, file: FileId) -> Option<&Parse> {
        self.0.iter().map(Arc::as_ref).find(|tree| tree.file == file)
    }

    /// Starts a fix that changes the plan; the title is an imperative.
    pub fn fix(&self, title: impl Into<String>) -> PlanFix<'_> {
        PlanFix {
            trees: self,
            title: title.into(),
            editors: Vec::new(),
            follow_ups: Vec::new(),
            refused: false,
        }
    }

    /// The statement that was written at this place, or that this place is a part of.
    pub fn statement(&self, at: Place) -> Option<StatementRef<'_>> {
        self.tree(at.file)?.statement_at(at.span)
    }
}

impl<'a> RuleContext<'a> {
    /// Starts a fix that changes the plan; the title is an imperative.
    pub fn fix(&self, title: impl Into<String>) -> PlanFix<'a> {
        self.trees.fix(title)
    }

    /// Reduces the amount in the statement at this place.
    pub(super) fn less_now(&self, at: Place, from: f64, now: f64, unit: Unit) -> Option<Fix> {
        let now = format!("{} {unit}", plain(now));
        self.fix(format!("{now} now, the rest at later visits"))
            .set_field(at, |line| amount(line, from, unit), &now)
            .done()
    }
}

/// The edits of one fix, while they are put together. Where one cannot be made, there is no fix.
pub struct PlanFix<'t> {
    trees: &'t Trees,
    title: String,
    editors: Vec<TreeEditor<'t>>,
    follow_ups: Vec<FollowUp>,
    refused: bool,
}

/// A statement of an arch, after its `follow`; at the end of the arch where it has none.
struct FollowUp {
    /// The `follow`, or the arch.
    beside: Place,
    /// The step that it changes, where it is a `change`.
    step: Option<Name>,
    head: String,
    inside: Vec<String>,
}

impl<'t> PlanFix<'t> {
    /// Sets a clause of the step.
    pub fn set_clause(
        mut self,
        arch: &ArchCase,
        step: &Step,
        clause: ClauseKind,
        value: impl AsRef<str>,
    ) -> Self {
        let value = value.as_ref();
        if has_own_line(arch, step) {
            return self.at(step.place, |editor, line| editor.set_clause(line.id, clause, value));
        }
        let change = self.change(arch, step);
        change.head.push_str(&format!(", {} {value}", clause.word()));
        self
    }

    /// Adds statements inside the step.
    pub fn add_to_step(mut self, arch: &ArchCase, step: &Step, lines: &[String]) -> Self {
        if has_own_line(arch, step) {
            return lines.iter().fold(self, |fix, line| fix.add_inside(step.place, line));
        }
        self.change(arch, step).inside.extend_from_slice(lines);
        self
    }

    /// Adds a statement of the arch after this step.
    pub fn add_after_step(mut self, arch: &ArchCase, step: &Step, statement: &str) -> Self {
        if has_own_line(arch, step) {
            return self.at(step.place, |editor, line| {
                editor.insert(InsertAt::After(line.id), statement);
            });
        }
        let (beside, head) = (beside(arch), statement.to_owned());
        self.follow_ups.push(FollowUp { beside, step: None, head, inside: Vec::new() });
        self
    }

    /// Adds a statement at the end of the block of the statement at this place.
    pub fn add_inside(self, at: Place, statement: &str) -> Self {
        self.at(at, |editor, line| editor.insert(InsertAt::LastIn(line.id), statement))
    }

    pub fn add_before(self, at: Place, statement: &str) -> Self {
        self.at(at, |editor, line| editor.insert(InsertAt::Before(line.id), statement))
    }

    /// Adds a statement at the end of the file.
    pub fn add_at_end(mut self, file: FileId, statement: &str) -> Self {
        match self.editor(file) {
            Some(editor) => editor.insert(InsertAt::End, statement),
            None => self.refused = true,
        }
        self
    }

    /// Replaces this part with other text.
    pub fn replace(self, at: Place, text: &str) -> Self {
        self.at(at, |editor, _| editor.replace(at.span, text))
    }

    /// Writes these statements in the place of the one there, whose remark stays with the first.
    pub fn replace_statement(self, at: Place, statements: &[String]) -> Self {
        let Some((first, more)) = statements.split_first() else { return self.remove(at) };
        self.at(at, |editor, line| {
            editor.replace(line.span(), first);
            more.iter().for_each(|other| editor.insert(InsertAt::After(line.id), other));
        })
    }

    /// Adds words behind those of the statement at this place.
    pub fn append(self, at: Place, words: &str) -> Self {
        self.at(at, |editor, line| editor.append(line.id, words))
    }

    /// Writes another value into a field of the statement at this place.
    pub fn set_field<F: HasSpan>(
        self,
        at: Place,
        field: impl FnOnce(StatementRef<'t>) -> Option<F>,
        text: &str,
    ) -> Self {
        self.at_field(at, field, |editor, span| editor.replace(span, text))
    }

    /// Takes a part of the statement at this place away, with the comma before it.
    pub fn remove_field<F: HasSpan>(
        self,
        at: Place,
        field: impl FnOnce(StatementRef<'t>) -> Option<F>,
    ) -> Self {
        self.at_field(at, field, |editor, span| editor.remove_part(span))
    }

    /// Takes a whole statement away.
    pub fn remove(self, at: Place) -> Self {
        self.at(at, |editor, line| editor.remove(line.id))
    }

    /// Makes edits at the statement of this place.
    pub fn at(
        mut self,
        at: Place,
        edit: impl FnOnce(&mut TreeEditor<'t>, StatementRef<'t>),
    ) -> Self {
        let line = self.trees.statement(at);
        match line.and_then(|line| Some((self.editor(at.file)?, line))) {
            Some((editor, line)) => edit(editor, line),
            None => self.refused = true,
        }
        self
    }

    fn at_field<F: HasSpan>(
        mut self,
        at: Place,
        field: impl FnOnce(StatementRef<'t>) -> Option<F>,
        edit: impl FnOnce(&mut TreeEditor<'t>, Span),
    ) -> Self {
        let span = self.trees.statement(at).and_then(|line| Some(field(line)?.span()));
        match span.and_then(|span| Some((self.editor(at.file)?, span))) {
            Some((editor, span)) => edit(editor, span),
            None => self.refused = true,
        }
        self
    }

    /// The fix, if its edits could be made out.
    pub fn done(mut self) -> Option<Fix> {
        for follow_up in std::mem::take(&mut self.follow_ups) {
            let statement = follow_up.written();
            self = self.at(follow_up.beside, |editor, line| {
                let at = match line.block() {
                    Some(_) => InsertAt::LastIn(line.id),
                    None => InsertAt::After(line.id),
                };
                editor.insert(at, &statement);
            });
        }
        if self.refused {
            return None;
        }
        let each = self.editors.into_iter().map(TreeEditor::finish).collect::<Option<Vec<_>>>();
        let edits = each?.concat();
        let fix = Fix { title: self.title, kind: FixKind::Clinical, edits, outcome: None };
        (!fix.edits.is_empty()).then_some(fix)
    }

    fn editor(&mut self, file: FileId) -> Option<&mut TreeEditor<'t>> {
        let known = self.editors.iter().position(|e| e.parse().file == file);
        let index = match known {
            Some(index) => index,
            None => {
                self.editors.push(TreeEditor::new(self.trees.tree(file)?));
                self.editors.len() - 1
            }
        };
        self.editors.get_mut(index)
    }

    /// The `change` of this step, which one fix writes once.
    fn change(&mut self, arch: &ArchCase, step: &Step) -> &mut FollowUp {
        let beside = beside(arch);
        let own = |up: &FollowUp| up.beside == beside && up.step.as_ref() == Some(&step.name);
        let index = self.follow_ups.iter().position(own).unwrap_or_else(|| {
            let (head, inside) = (format!("change {}", step.name), Vec::new());
            self.follow_ups.push(FollowUp { beside, step: Some(step.name.clone()), head, inside });
            self.follow_ups.len() - 1
        });
        &mut self.follow_ups[index]
    }
}

impl FollowUp {
    fn written(&self) -> String {
        if self.inside.is_empty() {
            return self.head.clone();
        }
        let body: String = self.inside.iter().map(|line| format!("  {line}\n")).collect();
        format!("{} {{\n{body}}}", self.head)
    }
}

/// The keyword of a statement, as it was typed.
pub fn word<'l>(line: StatementRef<'l>, word: &str) -> Option<&'l Item> {
    line.items().iter().find(|item| item.keyword() == Some(word))
}

/// The field with this amount.
pub fn amount<'l>(line: StatementRef<'l>, value: f64, unit: Unit) -> Option<FieldValue<'l>> {
    line.group().field_values().find(|field| {
        let typed = field.measure().and_then(|m| m.first_quantity());
        typed.is_some_and(|q| q.unit == unit && plain(q.value) == plain(value))
    })
}

/// Span of a tooth named individually, not within a range.
pub fn named_tooth(line: StatementRef<'_>, tooth: Tooth) -> Option<Span> {
    let single =
        line.group().field_values().flat_map(FieldValue::teeth).filter(|t| t.last.is_none());
    single.map(|t| t.first).find(|at| Tooth::parse(line.parse.text(*at)) == Some(tooth))
}

/// The place right before this, where words can be put.
pub fn before(part: &impl HasSpan) -> Span {
    let start = part.span().start;
    Span { start, end: start }
}

/// The place right behind this, where words can be put.
pub fn behind(part: &impl HasSpan) -> Span {
    let end = part.span().end;
    Span { start: end, end }
}

/// The step has a line of its own in the case; one that only follows the practice's sequence has not.
fn has_own_line(arch: &ArchCase, step: &Step) -> bool {
    step.place.file == arch.place.file && !matches!(step.source, StepSource::Sequence { .. })
}

/// Where a `change` goes: after the `follow`, or into the arch.
fn beside(arch: &ArchCase) -> Place {
    arch.follows.as_ref().map_or(arch.place, |(_, follow)| *follow)
}
