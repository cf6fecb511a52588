//! Whether what two statements are together is found: by a finding that neither gives alone.

use springline_lang::finding::{Finding, Severity};
use springline_lang::{Checked, Checker};

use super::plan::{Recipe, own_lines, text};
use super::table::PairRow;
use crate::faults::bases::{TODAY, house};
use crate::faults::judge::{line_of, new_findings};
use crate::faults::sound_case::check;

/// What became of one plan.
pub struct TriedPlan {
    pub text: String,
    pub found: bool,
    /// What is new against either statement alone.
    pub told: Vec<String>,
}

/// The plan of a recipe as it stands and mirrored.
pub fn tried(row: &PairRow, recipe: &Recipe, checker: &mut Checker) -> Vec<TriedPlan> {
    [false, true].into_iter().filter_map(|m| one(row, recipe, m, checker)).collect()
}

fn one(row: &PairRow, recipe: &Recipe, mirrored: bool, checker: &mut Checker) -> Option<TriedPlan> {
    let [first, second] = &recipe.parts;
    let house = house();
    let mut checked = |parts: &[&super::plan::Part]| -> Option<(String, Checked)> {
        let text = text(&recipe.base, parts, mirrored)?;
        let checked = check(checker, "pair", &text, &house, TODAY);
        Some((text, checked))
    };
    let (_, alone) = checked(&[first])?;
    let (_, other) = checked(&[second])?;
    let (text, both) = checked(&[first, second])?;
    let lines = own_lines(&text, &recipe.parts, mirrored);
    let of_first = new_findings(&alone, &both);
    let new: Vec<&Finding> = new_findings(&other, &both)
        .into_iter()
        .filter(|f| of_first.iter().any(|g| std::ptr::eq(*f, *g)))
        .collect();
    let found = new.iter().any(|f| {
        f.severity != Severity::Advice
            && row.families.iter().any(|known| known == f.code.family())
            && lines.contains(&line_of(&both, f))
    });
    let told = new.iter().map(|f| {
        format!("  line {} {:?} {}: {}", line_of(&both, f), f.severity, f.code, f.message)
    });
    Some(TriedPlan { told: told.collect(), text, found })
}
