//! The table of kinds, `tests/perturbations.md`: for each whether such a change must be found, and why.

use std::collections::{BTreeMap, BTreeSet};

use super::change::Change;
use super::condition;
use super::facts::{Condition, Facts};
use super::kinds::Kind;

/// The table as it is in the tree.
pub const PAGE: &str = include_str!("../../perturbations.md");

/// The heading of the rows for parts that many statements share.
const SHARED: &str = "every statement";

/// What is to become of the mutants of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wanted {
    /// An error or warning of one of these families.
    Must,
    /// No new finding but advice.
    Harmless,
    /// Orthodontists differ, or it depends: nothing is asked.
    Opinion,
}

const WORDS: [(Wanted, &str); 3] =
    [(Wanted::Must, "must"), (Wanted::Harmless, "harmless"), (Wanted::Opinion, "opinion")];

impl Wanted {
    /// As a table writes it.
    pub fn of(word: &str) -> Option<Wanted> {
        WORDS.iter().find(|(_, known)| *known == word).map(|(wanted, _)| *wanted)
    }
}

/// A row of the table.
#[derive(Debug, Clone)]
pub struct Row {
    /// Where the plan decides: the row counts only where this holds.
    pub condition: Option<Condition>,
    pub wanted: Wanted,
    /// Families of the rules that are to speak; `any` for all of them, none but for [`Wanted::Must`].
    pub families: Vec<String>,
    pub reason: String,
}

impl Row {
    /// What must be found is what the plan comes to, not how its text reads.
    pub fn is_of_the_plan(&self) -> bool {
        let of_text = ["name", "syntax", "unit", "any"];
        self.wanted == Wanted::Must && self.families.iter().any(|f| !of_text.contains(&f.as_str()))
    }

    /// Whether a rule of this family is one that should speak.
    pub fn is_right(&self, family: &str) -> bool {
        self.families.iter().any(|known| known == family || known == "any")
    }
}

/// The table, as read.
#[derive(Debug, Default)]
pub struct Table {
    /// Those under a condition first.
    rows: BTreeMap<(String, String, Change), Vec<Row>>,
}

impl Table {
    /// The table of a page.
    ///
    /// # Errors
    /// The first line that is no row of it, or stands there twice.
    pub fn read(page: &str) -> Result<Table, String> {
        let mut table = Table::default();
        let mut statements: Vec<&str> = Vec::new();
        for line in page.lines() {
            if let Some(title) = line.strip_prefix("### ") {
                statements = title.split(", ").collect();
            } else if let Some(cells) = cells(line) {
                table.add(&statements, &cells).map_err(|what| format!("{what}: {line}"))?;
            }
        }
        Ok(table)
    }

    fn add(&mut self, statements: &[&str], cells: &[&str]) -> Result<(), String> {
        let [part, changes, wanted, families, reason] = cells else {
            return Err("not five cells".to_owned());
        };
        if *part == "part" {
            return Ok(());
        }
        let (part, condition) = match part.split_once(" where ") {
            Some((part, words)) => {
                let condition = condition::named(words).ok_or("no such condition")?;
                (part, Some(condition))
            }
            None => (*part, None),
        };
        let row = Row {
            condition,
            wanted: Wanted::of(wanted).ok_or("no such verdict")?,
            families: families.split(' ').filter(|f| *f != "-").map(str::to_owned).collect(),
            reason: (*reason).to_owned(),
        };
        if row.reason.is_empty() || (row.wanted == Wanted::Must) == row.families.is_empty() {
            return Err("a reason, and families where it must be found".to_owned());
        }
        for statement in statements {
            for change in changes.split(", ") {
                let key = ((*statement).to_owned(), part.to_owned(), change.parse()?);
                let rows = self.rows.entry(key).or_default();
                let words = |row: &Row| row.condition.map(|c| c.words);
                if rows.iter().any(|other| words(other) == words(&row)) {
                    return Err("twice".to_owned());
                }
                rows.push(row.clone());
                rows.sort_by_key(|row| row.condition.is_none());
            }
        }
        Ok(())
    }

    /// The row that holds whatever the plan, and so stands for the kind.
    pub fn row(&self, kind: &Kind) -> Option<&Row> {
        self.rows(kind).last().filter(|row| row.condition.is_none())
    }

    /// What is to become of a kind's mutants under a condition.
    pub fn wanted(&self, kind: &Kind, condition: Option<&str>) -> Option<Wanted> {
        let key = (SHARED.to_owned(), kind.part.clone(), kind.change);
        let rows = self.rows(kind).iter().chain(self.rows.get(&key).into_iter().flatten());
        let row = rows.into_iter().find(|row| row.condition.map(|c| c.words) == condition);
        row.map(|row| row.wanted)
    }

    /// The row of one mutant: the first whose condition holds.
    pub fn row_of(&self, kind: &Kind, facts: Option<&Facts<'_>>) -> Option<&Row> {
        let holds = |row: &&Row| match (row.condition, facts) {
            (None, _) => true,
            (Some(condition), Some(facts)) => condition.holds(facts),
            (Some(_), None) => false,
        };
        // What is decided for every statement under a condition goes before a row without one.
        let key = |part: &str| (SHARED.to_owned(), part.to_owned(), kind.change);
        let shared = self.rows.get(&key(&kind.part)).into_iter().flatten();
        let under = |row: &&Row| row.condition.is_some();
        let all = self.rows(kind).iter().filter(under).chain(shared.filter(under));
        all.chain(self.rows(kind)).find(holds)
    }

    /// The rows of a kind: its statement's own, else the one for the part in every statement; a part may be written
    /// by its label alone, `* teeth`.
    fn rows(&self, kind: &Kind) -> &[Row] {
        let own = self.keys(kind).into_iter().find_map(|key| self.rows.get(&key));
        own.map_or(&[], Vec::as_slice)
    }

    fn keys(&self, kind: &Kind) -> Vec<(String, String, Change)> {
        let label = kind.part.rsplit(' ').next().unwrap_or_default();
        let parts = [kind.part.clone(), format!("* {label}")];
        let of = |statement: &str, part: &String| (statement.to_owned(), part.clone(), kind.change);
        [kind.statement.as_str(), SHARED]
            .iter()
            .flat_map(|s| parts.iter().map(move |p| of(s, p)))
            .collect()
    }

    /// Rows that no kind has.
    pub fn unused(&self, kinds: &BTreeSet<Kind>) -> Vec<String> {
        let used: BTreeSet<_> = kinds
            .iter()
            .filter_map(|kind| self.keys(kind).into_iter().find(|key| self.rows.contains_key(key)))
            .collect();
        let unused = self.rows.keys().filter(|key| !used.contains(*key));
        unused.map(|(statement, part, change)| format!("{statement}: {part}, {change}")).collect()
    }
}

fn cells(line: &str) -> Option<Vec<&str>> {
    let inner = line.strip_prefix("| ")?.strip_suffix(" |")?;
    let cells: Vec<&str> = inner.split(" | ").map(str::trim).collect();
    let is_rule =
        cells.iter().all(|c| !c.is_empty() && c.bytes().all(|b| b == b'-')) && cells[0].len() > 1;
    (!is_rule).then_some(cells)
}
