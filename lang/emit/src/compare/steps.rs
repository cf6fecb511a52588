//! Comparison of steps: added, removed, reordered or changed.

use super::{Change, differ};
use crate::plan::Plan;
use crate::wording;
use springline_model::case::ArchCase;
use springline_model::departure::departures;
use springline_model::step::Step;
use springline_units::tooth::Arch;

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<Change> {
    let mut out = Vec::new();
    for arch in Arch::BOTH {
        match (old.case.arch(arch), new.case.arch(arch)) {
            (Some(a), Some(b)) => both(a, b, &mut out),
            (None, Some(b)) => whole(b, false, &mut out),
            (Some(a), None) => whole(a, true, &mut out),
            (None, None) => {}
        }
    }
    out
}

fn whole(arch: &ArchCase, gone: bool, out: &mut Vec<Change>) {
    let steps: Vec<&str> = arch.steps.iter().map(|s| &*s.name).collect();
    let text = Some(format!("steps {}", steps.join(", ")));
    let (before, after) = if gone { (text, None) } else { (None, text) };
    differ(wording::arch(arch.arch), "treated", before, after, out);
}

fn both(a: &ArchCase, b: &ArchCase, out: &mut Vec<Change>) {
    let name = wording::arch(a.arch);
    let follows = |x: &ArchCase| x.follows.as_ref().map(|(n, _)| n.to_string());
    differ(name, "follows", follows(a), follows(b), out);
    let order = |x: &ArchCase, other: &ArchCase| {
        let shared = x.steps.iter().filter(|s| find(other, s).is_some());
        shared.map(|s| s.name.to_string()).collect::<Vec<_>>().join(", ")
    };
    differ(name, "order of steps", Some(order(a, b)), Some(order(b, a)), out);
    for step in &a.steps {
        if find(b, step).is_none() {
            differ(&at(name, step), "wire", Some(step.wire.names()), None, out);
        }
    }
    for step in &b.steps {
        let at = at(name, step);
        let Some(before) = find(a, step) else {
            differ(&at, "wire", None, Some(step.wire.names()), out);
            for act in &step.acts {
                differ(&at, act.kind.keyword(), None, Some(act.text.clone()), out);
            }
            continue;
        };
        for d in departures(before, step) {
            differ(&at, &d.what, d.house, d.here, out);
        }
    }
}

fn at(arch: &str, step: &Step) -> String {
    format!("{arch}, step {}", step.name)
}

fn find<'a>(arch: &'a ArchCase, step: &Step) -> Option<&'a Step> {
    arch.steps.iter().find(|s| s.name == step.name)
}
