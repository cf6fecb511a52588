//! The table of pairs, `tests/pairs.md`.

use std::collections::{BTreeMap, BTreeSet};

use springline_lang::syntax::Context;
use springline_lang::syntax::patterns::patterns;
use springline_lang::syntax::vocabulary::SupportLevel;

use super::plan::{Recipe, recipes};
use crate::perturb::kinds::statement_word;
use crate::perturb::table::Wanted;

/// The table as it is in the tree.
pub const PAGE: &str = include_str!("../../pairs.md");

/// Whatever no other row names.
const ANY: &str = "*";

/// Blocks whose statements meet: those of a step, of its arch, and of the case.
const STEP: &[Context] = &[Context::Step];
const ARCH: &[Context] = &[Context::Arch];
const CASE: &[Context] = &[
    Context::Case,
    Context::InPlace,
    Context::Bite,
    Context::Goal,
    Context::Elastics,
    Context::Retain,
];

/// One row.
#[derive(Debug, Clone)]
pub struct PairRow {
    pub one: String,
    pub other: String,
    pub wanted: Wanted,
    pub families: Vec<String>,
    pub reason: String,
    pub recipes: Vec<Recipe>,
}

/// The table, as read.
#[derive(Debug, Default)]
pub struct PairTable {
    class_of: BTreeMap<String, String>,
    pub rows: Vec<PairRow>,
}

impl PairTable {
    /// The table of a page.
    ///
    /// # Errors
    /// The first line that is no row of it.
    pub fn read(page: &str) -> Result<PairTable, String> {
        let mut table = PairTable::default();
        for line in page.lines() {
            let Some(cells) = cells(line) else { continue };
            let added = match cells.as_slice() {
                ["class", _] | ["one", ..] => Ok(()),
                [class, statements] => table.class(class, statements),
                _ => row(&cells).map(|row| table.rows.push(row)),
            };
            added.map_err(|what| format!("{what}: {line}"))?;
        }
        Ok(table)
    }

    fn class(&mut self, class: &str, statements: &str) -> Result<(), String> {
        for statement in statements.split(", ") {
            if self.class_of.insert(statement.to_owned(), class.to_owned()).is_some() {
                return Err(format!("{statement} has two classes"));
            }
        }
        Ok(())
    }

    /// The nearest row of two statements.
    pub fn row(&self, a: &str, b: &str) -> Option<&PairRow> {
        let near = |row: &PairRow| {
            let as_written = self.is(&row.one, a).zip(self.is(&row.other, b));
            let turned = self.is(&row.one, b).zip(self.is(&row.other, a));
            as_written.into_iter().chain(turned).map(|(x, y)| x + y).max()
        };
        let mut found: Option<(usize, &PairRow)> = None;
        for row in &self.rows {
            if let Some(score) = near(row)
                && found.is_none_or(|(best, _)| score > best)
            {
                found = Some((score, row));
            }
        }
        found.map(|(_, row)| row)
    }

    /// How nearly a cell names a statement.
    fn is(&self, cell: &str, statement: &str) -> Option<usize> {
        match cell {
            _ if cell == statement => Some(2),
            ANY => Some(0),
            _ => self.class_of.get(statement).filter(|class| *class == cell).map(|_| 1),
        }
    }

    /// Statements of the vocabulary without a class, and statements of the page that the vocabulary has not.
    pub fn unclassed(&self) -> (Vec<String>, Vec<String>) {
        let known = statements(&[STEP, ARCH, CASE].concat());
        let without = known.iter().filter(|s| !self.class_of.contains_key(*s)).cloned().collect();
        let unknown = self.class_of.keys().filter(|s| !known.contains(*s)).cloned().collect();
        (without, unknown)
    }

    /// Pairs without a row, and how many there are in all, of each verdict.
    pub fn cover(&self) -> (Vec<(String, String)>, BTreeMap<Wanted, usize>) {
        let (mut missing, mut counted) = (Vec::new(), BTreeMap::new());
        for (a, b) in pairs() {
            match self.row(&a, &b) {
                Some(row) => *counted.entry(row.wanted).or_default() += 1,
                None => missing.push((a, b)),
            }
        }
        (missing, counted)
    }
}

/// Every two statements that can stand in one step, one arch or one case.
fn pairs() -> BTreeSet<(String, String)> {
    let (step, arch, case) = (statements(STEP), statements(ARCH), statements(CASE));
    let in_arch: BTreeSet<String> = step.union(&arch).cloned().collect();
    let in_case: BTreeSet<String> = in_arch.union(&case).cloned().collect();
    let mut out = BTreeSet::new();
    for (ones, others) in [(&step, &step), (&arch, &in_arch), (&case, &in_case)] {
        for a in ones {
            for b in others {
                out.insert((a.min(b).clone(), a.max(b).clone()));
            }
        }
    }
    out
}

fn statements(contexts: &[Context]) -> BTreeSet<String> {
    let all = patterns().all.iter().filter(|p| p.row.stage != SupportLevel::Later);
    all.flat_map(|p| p.row.inside.iter().map(move |c| (*c, p.row)))
        .filter(|(context, _)| contexts.contains(context))
        .filter_map(|(context, row)| statement_word(context, row))
        .collect()
}

fn row(cells: &[&str]) -> Result<PairRow, String> {
    let [one, other, wanted, families, reason, made] = cells else {
        return Err("not six cells".to_owned());
    };
    let row = PairRow {
        one: (*one).to_owned(),
        other: (*other).to_owned(),
        wanted: Wanted::of(wanted).ok_or("no such verdict")?,
        families: families.split(' ').filter(|f| *f != "-").map(str::to_owned).collect(),
        reason: (*reason).to_owned(),
        recipes: if *made == "-" { Vec::new() } else { recipes(made)? },
    };
    let must = row.wanted == Wanted::Must;
    match row.reason.is_empty() || must == row.families.is_empty() || must == row.recipes.is_empty()
    {
        true => Err("a reason; families and recipes where it must be found".to_owned()),
        false => Ok(row),
    }
}

fn cells(line: &str) -> Option<Vec<&str>> {
    let inner = line.strip_prefix("| ")?.strip_suffix(" |")?;
    let cells: Vec<&str> = inner.split(" | ").map(str::trim).collect();
    let is_rule = cells.iter().all(|c| c.len() > 1 && c.bytes().all(|b| b == b'-'));
    (!is_rule).then_some(cells)
}
