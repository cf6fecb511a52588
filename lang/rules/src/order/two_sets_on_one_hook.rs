//! Two sets of elastics that begin together and hang on the same hook.

use crate::prelude::*;
use springline_model::case::{ElasticRun, Elastics};

pub const RULE: Rule = Rule {
    code: "order/two-sets-on-one-hook",
    severity: Severity::Error,
    page: include_str!("two_sets_on_one_hook.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let all = &context.case.elastics;
    out.extend(all.iter().filter_map(|block| said_twice(context, block)));
    for (i, later) in all.iter().enumerate() {
        let together = all[..i].iter().filter(|earlier| begin_together(earlier, later));
        let shared = together.into_iter().find_map(|earlier| {
            let (run, tooth) = later.runs.iter().find_map(|run| shares_hook(earlier, run))?;
            Some((earlier, run, tooth))
        });
        let Some((earlier, run, tooth)) = shared else { continue };
        let message = format!(
            "The {} and the {} elastics begin together, and both hang on {}.",
            earlier.kind.word(),
            later.kind.word(),
            words.tooth(tooth)
        );
        let finding = Finding::new(RULE.code, RULE.severity, run.place, message)
            .related(earlier.place, "the other set")
            .why("The patient wears one of them, or both with more force than either was meant to have.")
            .note("Begin one after the other, or hang it on teeth of its own.")
            .teeth([tooth]);
        out.push(match &later.from {
            Some((from, ..)) => finding.step(from.clone()),
            None => finding,
        });
    }
}

/// From the same step on, both at once or both with its wire expressed.
fn begin_together(a: &Elastics, b: &Elastics) -> bool {
    let from = |e: &Elastics| e.from.as_ref().map(|(name, ..)| name.clone());
    from(a) == from(b)
}

fn shares_hook<'r>(earlier: &Elastics, run: &'r ElasticRun) -> Option<(&'r ElasticRun, Tooth)> {
    let used = |t: &&Tooth| earlier.runs.iter().any(|r| r.teeth.contains(t));
    run.teeth.iter().find(used).map(|t| (run, *t))
}

/// Two elastics of one set between the same teeth.
fn said_twice(context: &RuleContext<'_>, block: &Elastics) -> Option<Finding> {
    let (index, run) = block
        .runs
        .iter()
        .enumerate()
        .find(|(i, run)| block.runs[..*i].iter().any(|other| other.teeth == run.teeth))?;
    let earlier = block.runs[..index].iter().find(|other| other.teeth == run.teeth)?;
    let message = format!(
        "Two {} elastics are to run between {}.",
        block.kind.word(),
        context.words().teeth(&run.teeth)
    );
    let finding = Finding::new(RULE.code, Severity::Warning, run.place, message)
        .related(earlier.place, "the first")
        .why("Whoever reads the card hangs one or both; both pull twice as hard.")
        .note("One elastic of the force that is meant says it plainly.")
        .teeth(run.teeth.iter().copied());
    Some(match &block.from {
        Some((from, ..)) => finding.step(from.clone()),
        None => finding,
    })
}
