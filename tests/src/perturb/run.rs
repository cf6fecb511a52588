//! Runs the perturbations over the sound examples and invented cases.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;

use serde_json::Value;
use springline_lang::finding::Severity;
use springline_lang::{Checked, Checker};

use super::change::Change;
use super::facts::Facts;
use super::kinds::Kind;
use super::mutants::{InStep, Perturbed, of_text};
use super::table::{Row, Table, Wanted};
use crate::faults::bases::{Base, TODAY, bases, house};
use crate::faults::judge::{line_of, new_findings};
use crate::faults::sound_case::check;

/// What became of the mutants of one kind.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    pub made: usize,
    /// An error of a right family at a right line, and a warning.
    pub error: usize,
    pub warning: usize,
    /// An error or warning of another family, or elsewhere.
    pub otherwise: usize,
    /// Nothing but advice, or nothing.
    pub silent: usize,
    /// New errors of any family.
    pub any_error: usize,
    /// A few that were not as wanted, told.
    pub told: Vec<String>,
}

/// How much is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Draw {
    /// The first invented case, and how many beside the examples.
    pub from: u32,
    pub invented: u32,
    /// Mutants of a kind in one text at most.
    pub each: usize,
    /// Of all mutants every so many.
    pub every: usize,
}

impl Draw {
    pub const FULL: Draw = Draw { from: 0, invented: 100, each: 2, every: 1 };
    pub const SAMPLE: Draw = Draw { from: 0, invented: 0, each: 1, every: 40 };

    /// With `SPRINGLINE_INVENTED` invented cases from the `SPRINGLINE_FROM`th on, and every `SPRINGLINE_EVERY`th mutant,
    /// where these are set.
    pub fn asked_for(self) -> Draw {
        let number = |name: &str| std::env::var(name).ok()?.parse::<u32>().ok();
        Draw {
            from: number("SPRINGLINE_FROM").unwrap_or(self.from),
            invented: number("SPRINGLINE_INVENTED").unwrap_or(self.invented),
            every: number("SPRINGLINE_EVERY").map_or(self.every, |n| n.max(1) as usize),
            ..self
        }
    }
}

/// Sound cases with the words that no example has.
const RARE_WORDS: [(&str, &str); 4] = [
    ("sm-9901-wider-upper", include_str!("cases/sm-9901-wider-upper.spring")),
    ("sm-9902-canines-at-arms", include_str!("cases/sm-9902-canines-at-arms.spring")),
    ("sm-9903-from-elsewhere", include_str!("cases/sm-9903-from-elsewhere.spring")),
    ("sm-9904-reverse-overjet", include_str!("cases/sm-9904-reverse-overjet.spring")),
];

/// Every text: the sound examples, those with rare words, and sound invented cases.
fn texts(invented: std::ops::Range<u32>) -> Vec<Base> {
    let mut out: Vec<Base> = bases().into_iter().filter(|b| !b.is_house).collect();
    out.extend(RARE_WORDS.map(|(name, text)| Base {
        name: name.to_owned(),
        text: text.into(),
        today: TODAY,
        is_house: false,
    }));
    for number in invented {
        let case = springline_demo::case(7, number, TODAY);
        let name = case.file.trim_end_matches(".spring").to_owned();
        out.push(Base { name, text: case.text.into(), today: TODAY, is_house: false });
    }
    out
}

/// A kind, and the condition of the row that its mutants came under.
pub type RowOfKind = (Kind, Option<&'static str>);

/// Every kind with what became of its mutants.
pub fn run(draw: Draw, table: &Table) -> BTreeMap<RowOfKind, Tally> {
    let texts = texts(draw.from..draw.from + draw.invented);
    let invented_house: Arc<str> = springline_demo::house().into();
    let next = AtomicUsize::new(0);
    let out: Mutex<BTreeMap<RowOfKind, Tally>> = Mutex::default();
    let threads = thread::available_parallelism().map_or(2, |n| n.get());
    thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(|| {
                while let Some(base) = texts.get(next.fetch_add(1, Ordering::Relaxed)) {
                    let invented = base.name.contains("-1")
                        && base.name.len() > 9
                        && base.text.contains("\"SM-1");
                    let house = if invented { invented_house.clone() } else { house() };
                    run_text(base, &house, draw, table, &out);
                }
            });
        }
    });
    out.into_inner().unwrap_or_default()
}

/// The case without places and texts, its lists in one order: what it means.
fn meaning(checked: &Checked) -> Option<Value> {
    fn bare(value: Value) -> Value {
        match value {
            Value::Object(map) if map.len() == 2 && map.contains_key("span") => Value::Null,
            Value::Object(map) => {
                let said = map.into_iter().filter(|(key, _)| key != "text");
                Value::Object(said.map(|(key, value)| (key, bare(value))).collect())
            }
            Value::Array(list) => {
                let mut list: Vec<Value> = list.into_iter().map(bare).collect();
                if list.iter().all(|v| !v.is_object() && !v.is_array()) {
                    list.sort_by_key(Value::to_string);
                }
                Value::Array(list)
            }
            other => other,
        }
    }
    let case = checked.case.as_deref()?;
    serde_json::to_value(case).ok().map(bare)
}

/// Mutants told of a kind, unless `SPRINGLINE_TOLD` asks for more; then of opinions too.
const FEW: usize = 4;

fn told_at_most() -> usize {
    let told = std::env::var("SPRINGLINE_TOLD").ok();
    told.and_then(|n| n.parse().ok()).unwrap_or(FEW)
}

/// The records have gone past that step: what the plan had in it is history, and nobody acts on it any more.
fn is_over(checked: &Checked, step: &InStep) -> bool {
    let (Some(case), Some(forecast)) = (&checked.case, &checked.forecast) else { return false };
    let Some(arch) = case.arch(step.arch) else { return false };
    let at = arch.steps.iter().position(|s| *s.name == *step.name);
    let now = forecast.recorded_phase(step.arch).map(|p| p.step);
    at.zip(now).is_some_and(|(at, now)| at < now)
}

fn run_text(
    base: &Base,
    house: &Arc<str>,
    draw: Draw,
    table: &Table,
    out: &Mutex<BTreeMap<RowOfKind, Tally>>,
) {
    let mut checker = Checker::new();
    let before = check(&mut checker, &base.name, &base.text, house, base.today);
    if before.findings.iter().any(|f| f.severity == Severity::Error && f.accepted.is_none()) {
        return;
    }
    let mut drawn: BTreeMap<Kind, usize> = BTreeMap::new();
    let told_at_most = told_at_most();
    for (n, perturbed) in of_text(&before.parse).into_iter().enumerate() {
        let Perturbed { kind, mutant, from, to, line, steps } = perturbed;
        let over = !steps.is_empty() && steps.iter().all(|step| is_over(&before, step));
        if over && table.row(&kind).is_some_and(Row::is_of_the_plan) {
            continue;
        }
        let so_far = drawn.entry(kind.clone()).or_default();
        if !n.is_multiple_of(draw.every) || *so_far >= draw.each {
            continue;
        }
        *so_far += 1;
        let after = check(&mut checker, &base.name, &mutant.text, house, base.today);
        // A change that leaves every meaning as it was is none; said twice, it is.
        let says_same = || meaning(&before).is_some_and(|m| meaning(&after) == Some(m));
        if kind.change != Change::SaidTwice && says_same() {
            continue;
        }
        let facts =
            before.case.as_deref().zip(after.case.as_deref()).map(|(before, after)| Facts {
                before,
                after,
                today: base.today,
                from: &from,
                to: &to,
                text: &mutant.text,
                line: &line,
                steps: &steps,
            });
        let row = table.row_of(&kind, facts.as_ref());
        if over && row.is_some_and(Row::is_of_the_plan) {
            continue;
        }
        let new = new_findings(&before, &after);
        let right = |f: &&&springline_lang::finding::Finding| {
            row.is_some_and(|row| row.is_right(f.code.family()))
                && mutant.lines.contains(&line_of(&after, f))
        };
        let has = |severity, wanted_right: bool| {
            new.iter().filter(|f| f.severity == severity).any(|f| !wanted_right || right(&f))
        };
        let Ok(mut out) = out.lock() else { continue };
        let condition = row.and_then(|row| row.condition).map(|c| c.words);
        let tally = out.entry((kind.clone(), condition)).or_default();
        tally.made += 1;
        tally.any_error += usize::from(has(Severity::Error, false));
        let as_wanted = if has(Severity::Error, true) {
            tally.error += 1;
            Wanted::Must
        } else if has(Severity::Warning, true) {
            tally.warning += 1;
            Wanted::Must
        } else if has(Severity::Error, false) || has(Severity::Warning, false) {
            tally.otherwise += 1;
            Wanted::Opinion
        } else {
            tally.silent += 1;
            Wanted::Harmless
        };
        // Of what is a matter of opinion the findings are of interest.
        let of_interest = match row.map(|row| row.wanted) {
            None | Some(Wanted::Opinion) => told_at_most > FEW && as_wanted != Wanted::Harmless,
            Some(wanted) => wanted != as_wanted,
        };
        if of_interest && tally.told.len() < told_at_most {
            let found: Vec<String> =
                new.iter().map(|f| format!("{}: {}", f.code, f.message)).collect();
            let what = mutant.what.replace('\n', " ");
            tally.told.push(format!("{}: {what} -> {}", base.name, found.join("; ")));
        }
    }
}
