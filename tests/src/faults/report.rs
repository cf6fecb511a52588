//! What a run gave, per operator, and the page made from it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use super::Operator;
use super::judge::Verdict;
use super::run::Result;

/// Counts of one operator.
#[derive(Debug, Clone, Copy, Default)]
pub struct Tally {
    pub made: usize,
    pub right: usize,
    pub otherwise: usize,
    pub missed: usize,
}

impl Tally {
    fn add(&mut self, verdict: Verdict) {
        self.made += 1;
        match verdict {
            Verdict::Right => self.right += 1,
            Verdict::Otherwise => self.otherwise += 1,
            Verdict::Missed => self.missed += 1,
        }
    }

    pub fn caught(&self) -> f64 {
        1.0 - self.missed as f64 / self.made.max(1) as f64
    }

    pub fn at_its_place(&self) -> f64 {
        self.right as f64 / self.made.max(1) as f64
    }
}

/// A run, counted.
pub struct Report<'a> {
    pub results: &'a [Result],
    pub operators: Vec<(&'static Operator, Tally)>,
    pub harmful: Tally,
    pub harmless: Tally,
}

impl<'a> Report<'a> {
    pub fn of(results: &'a [Result]) -> Report<'a> {
        let mut operators: Vec<(&'static Operator, Tally)> = Vec::new();
        let (mut harmful, mut harmless) = (Tally::default(), Tally::default());
        for r in results {
            let verdict = r.outcome.verdict;
            match operators.iter_mut().find(|(o, _)| o.name == r.operator.name) {
                Some((_, tally)) => tally.add(verdict),
                None => {
                    let mut tally = Tally::default();
                    tally.add(verdict);
                    operators.push((r.operator, tally));
                }
            }
            if r.operator.is_harmless() { harmless.add(verdict) } else { harmful.add(verdict) }
        }
        Report { results, operators, harmful, harmless }
    }

    /// Unsafe mutants without a new error or warning, and harmless ones with a new finding.
    pub fn misses(&self) -> impl Iterator<Item = &'a Result> {
        self.results.iter().filter(|r| match r.operator.is_harmless() {
            true => r.outcome.verdict != Verdict::Right,
            false => r.outcome.verdict == Verdict::Missed,
        })
    }

    /// Every mutant that was not found by the right family at the right line, for a developer.
    pub fn told(&self) -> String {
        let mut out = String::new();
        for (o, t) in &self.operators {
            let _ = writeln!(
                out,
                "{:4} made {:4} right {:3} otherwise {:3} missed  {}",
                t.made, t.right, t.otherwise, t.missed, o.name
            );
        }
        for r in self.results.iter().filter(|r| r.outcome.verdict != Verdict::Right) {
            let _ = writeln!(
                out,
                "\n{:?} {} [{}] line {} of {:?}: {}",
                r.outcome.verdict,
                r.operator.name,
                r.base,
                r.mutant.line,
                r.mutant.lines,
                r.mutant.what
            );
            for (line, severity, code, message) in &r.outcome.new {
                let _ = writeln!(out, "    {line} {severity} {code}: {message}");
            }
        }
        out
    }

    /// The page of the full run.
    pub fn page(&self) -> String {
        let mut out = String::from(HEAD);
        let _ = writeln!(out, "\n{}", self.summary());
        self.table(&mut out);
        self.harmless_table(&mut out);
        self.not_found(&mut out);
        self.elsewhere(&mut out);
        out
    }

    pub fn summary(&self) -> String {
        let (u, h) = (&self.harmful, &self.harmless);
        let kinds = |harmless: bool| {
            self.operators.iter().filter(|(o, _)| o.is_harmless() == harmless).count()
        };
        format!(
            "{} unsafe mutants of {} kinds: {:.1} % found, {:.1} % by a rule of a right family at a right line.\n\
             {} harmless ones of {} kinds: {} with a new finding.",
            u.made,
            kinds(false),
            u.caught() * 100.0,
            u.at_its_place() * 100.0,
            h.made,
            kinds(true),
            h.otherwise
        )
    }

    fn table(&self, out: &mut String) {
        out.push_str("\n## Unsafe\n\n| fault | made | right | otherwise | missed | families | what makes it unsafe | lines that count beside the changed one |\n| --- | --- | --- | --- | --- | --- | --- | --- |\n");
        for (o, t) in self.operators.iter().filter(|(o, _)| !o.is_harmless()) {
            let _ = writeln!(
                out,
                "| {} | {} | {} | {} | {} | {} | {} | {} |",
                o.name,
                t.made,
                t.right,
                t.otherwise,
                t.missed,
                o.families.join(", "),
                o.criterion,
                o.place
            );
        }
    }

    fn harmless_table(&self, out: &mut String) {
        out.push_str("\n## Harmless\n\n| change | made | new findings | why it is harmless |\n| --- | --- | --- | --- |\n");
        for (o, t) in self.operators.iter().filter(|(o, _)| o.is_harmless()) {
            let _ =
                writeln!(out, "| {} | {} | {} | {} |", o.name, t.made, t.otherwise, o.criterion);
        }
    }

    fn not_found(&self, out: &mut String) {
        out.push_str(
            "\n## Not found\n\nEvery unsafe mutant without a new error or warning, and why.\n",
        );
        let mut by: BTreeMap<&str, Vec<&Result>> = BTreeMap::new();
        for r in self.misses().filter(|r| !r.operator.is_harmless()) {
            by.entry(r.operator.name).or_default().push(r);
        }
        if by.is_empty() {
            out.push_str("\nNone in this run.\n");
        }
        for (name, list) in by {
            let _ = writeln!(out, "\n**{name}**: {}\n", list[0].operator.known);
            for r in list {
                let _ = writeln!(out, "- {}: {}", r.base, r.mutant.what);
            }
        }
    }

    fn elsewhere(&self, out: &mut String) {
        out.push_str("\n## Found otherwise\n\nBy a rule of another family or at another line: what was found instead.\n\n");
        let mut seen: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
        let elsewhere =
            |r: &&Result| !r.operator.is_harmless() && r.outcome.verdict == Verdict::Otherwise;
        for r in self.results.iter().filter(elsewhere) {
            let codes: BTreeSet<&str> = r.outcome.new.iter().map(|n| n.2.as_str()).collect();
            let codes: Vec<&str> = codes.into_iter().collect();
            seen.entry(r.operator.name).or_default().insert(codes.join(", "));
        }
        for (name, codes) in seen {
            let codes: Vec<String> = codes.into_iter().collect();
            let _ = writeln!(out, "- **{name}**: {}", codes.join("; "));
        }
    }
}

const HEAD: &str = "# Seeded faults\n\nMade by the full run (`DEVELOPERS.md` has the command). Every sound case of \
`examples/cases/`, as it stands and once more on its first day, and the house file, with one thing made wrong at a time. The \
faults are generators with seeds (`tests/src/faults/operators/`). What makes a mutant unsafe is a written fact, and so are the \
lines that count; both were put down before the run. A mutant is found when it has an error or a warning that the sound text did \
not have, or has it worse: another severity, or a figure grown by more than a fifth. Advice does not count.\n";
