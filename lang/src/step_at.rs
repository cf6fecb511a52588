//! The step at a place in the text, for views that follow the cursor.

use springline_syntax::ast::StatementKind;
use springline_syntax::{StatementRef, statement_path_at};
use springline_units::tooth::Arch;

use crate::checked::Checked;

/// The arch and the index of the step whose line or block encloses a byte offset.
pub fn step_at(checked: &Checked, offset: usize) -> Option<(Arch, usize)> {
    let path = statement_path_at(&checked.parse, offset);
    let step = path.into_iter().rev().find(|l| l.step_name().is_some());
    step.and_then(|line| step_of(checked, line))
}

fn step_of(checked: &Checked, line: StatementRef<'_>) -> Option<(Arch, usize)> {
    let arch = match line.parent()?.kind()? {
        StatementKind::Upper => Arch::Upper,
        StatementKind::Lower => Arch::Lower,
        _ => return None,
    };
    let name = line.step_name()?.text();
    let steps = &checked.case.as_ref()?.arch(arch)?.steps;
    Some((arch, steps.iter().position(|s| *s.name == *name)?))
}
