//! What a row's condition looks at: a plan before and after one change of it.

use std::collections::BTreeSet;

use jiff::civil::Date;
use springline_lang::model::Case;
use springline_lang::model::case::ArchCase;
use springline_lang::model::step::Step;

use super::mutants::InStep;

/// A mutant as far as a condition looks at it.
pub struct Facts<'a> {
    pub before: &'a Case,
    /// As far as the changed text is read.
    pub after: &'a Case,
    pub today: Date,
    /// The words that went, and those in their place.
    pub from: &'a str,
    pub to: &'a str,
    /// The whole text with the change.
    pub text: &'a str,
    /// The statement as it was.
    pub line: &'a str,
    /// The steps that the change is about.
    pub steps: &'a [InStep],
}

impl Facts<'_> {
    /// The change brings something into the plan that was not there.
    pub fn brings<T: Ord>(&self, what: impl Fn(&Case) -> BTreeSet<T>) -> bool {
        !what(self.after).is_subset(&what(self.before))
    }
}

pub type Holds = fn(&Facts<'_>) -> bool;

/// A condition as the table names it.
#[derive(Clone, Copy)]
pub struct Condition {
    pub words: &'static str,
    pub holds: Holds,
}

impl Condition {
    pub fn holds(&self, facts: &Facts<'_>) -> bool {
        (self.holds)(facts)
    }
}

impl std::fmt::Debug for Condition {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.words)
    }
}

/// Days on which treatment begins: of the case, and of an arch.
pub(super) fn starts(case: &Case) -> impl Iterator<Item = Date> {
    case.start.iter().map(|(on, _)| *on).chain(case.arches.iter().filter_map(|a| Some(a.start?.0)))
}

/// Every step with its arch.
pub(super) fn steps(case: &Case) -> impl Iterator<Item = (&ArchCase, &Step)> {
    case.arches.iter().flat_map(|a| a.steps.iter().map(move |s| (a, s)))
}

/// Nothing is recorded yet: what was entered still stands, and the whole plan is to come. Later it is the records that
/// speak, and a word about the beginning means little.
pub(super) fn at_first(f: &Facts<'_>) -> bool {
    let case = f.before;
    case.visits.is_empty() && case.in_place.is_none()
}
