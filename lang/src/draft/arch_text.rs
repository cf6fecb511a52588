//! The arch in the text, and where its teeth stand.

use springline_finding::{Fix, FixKind};
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::stand::Stand;
use springline_syntax::ast::StatementKind;
use springline_syntax::{Parse, StatementRef};
use springline_text::{Edit, FileId};
use springline_units::tooth::{Arch, Tooth};

/// The arch's statement in the tree.
pub fn arch_line(parse: &Parse, arch: Arch) -> Option<StatementRef<'_>> {
    let kind = match arch {
        Arch::Upper => StatementKind::Upper,
        Arch::Lower => StatementKind::Lower,
    };
    parse.lines().find(|line| line.is(kind))
}

/// The text with these edits.
pub fn applied(edits: Vec<Edit>, text: &str) -> Option<String> {
    let fix = Fix { title: String::new(), kind: FixKind::Clinical, edits, outcome: None };
    fix.apply(FileId(0), text)
}

/// Where a tooth stands, as entered or as last measured.
pub fn current(case: &Case, plan: &ArchCase, tooth: Tooth) -> Stand {
    let entered = plan.stands.get(&tooth).map(|s| s.value).unwrap_or_default();
    let seen = case.visits.iter().filter_map(|v| v.stands.get(&tooth));
    seen.fold(entered, |stand, (seen, _)| stand.updated(*seen))
}
