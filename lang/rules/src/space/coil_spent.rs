//! A coil that has nothing more to give before the space is there.

use super::coil::{floor_g, open_coils};
use crate::prelude::*;
use springline_course::{COIL_SPENT, EndReason, Phase, SiteAccount};
use springline_model::step::{Activation, Term};

pub const RULE: Rule = Rule {
    code: "space/coil-spent",
    severity: Severity::Warning,
    page: include_str!("coil_spent.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let Some(phase) = view.phase else { continue };
        let waits = matches!(&phase.end.reason, EndReason::Never { why } if why == COIL_SPENT);
        for coil in open_coils(&view) {
            let work = phase.coils.iter().find(|c| c.place == coil.act.place);
            let need = match waits {
                true => lacking_mm(&view, phase, coil.right, coil.left),
                false => left_out_mm(&view, phase, coil.right, coil.left),
            };
            let Some((work, need)) = work.zip(need) else { continue };
            // A coil compressed too little, or against fixed teeth, is reported elsewhere.
            if need <= work.room_mm || coil.force_g().is_none_or(|g| g < floor_g()) {
                continue;
            }
            let message = format!(
                "The coil between {} and {} makes {} of the {} that {} waits for; by then it delivers only {} g.",
                words.tooth(coil.right),
                words.tooth(coil.left),
                say_mm(tenth(work.room_mm)),
                say_mm(tenth(need)),
                if waits { &*view.step.name } else { "the tooth left out" },
                plain(floor_g().round())
            );
            let mut finding = view
                .finding(RULE.code, RULE.severity, view.act_place(coil.act), message)
                .why("The space stops short of what the step waits for.")
                .figure(tenth(work.room_mm), tenth(need), Unit::Mm)
                .teeth([coil.right, coil.left]);
            if let Activation::Pressed { by, each_visit: false } = coil.activation {
                let line = coil.statement(&words, mm(by), true);
                let fix = context.fix("reactivate it at each visit").replace(coil.act.place, &line);
                finding.fixes.extend(fix.done());
            }
            list.push(Candidate::new(view.side(), need / work.room_mm.max(0.1), finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// Space that teeth left out until it is there lack as the step begins, mm, where no later step makes more.
fn left_out_mm(view: &StepView<'_>, phase: &Phase, right: Tooth, left: Tooth) -> Option<f64> {
    let inside = |t: Tooth| right.place() < t.place() && t.place() < left.place();
    let waits = |s: &&SiteAccount| inside(s.tooth) && s.ends_by_itself && s.ready.is_none();
    let waiting: Vec<&SiteAccount> = phase.room.sites.iter().filter(waits).collect();
    let later = view.arch.steps.iter().skip(view.index + 1).flat_map(|s| &s.acts).any(|act| {
        matches!(&act.kind, ActKind::OpenCoil { first, second, activation, .. }
            if *activation != Activation::Passive
                && waiting.iter().any(|s| first.place().min(second.place()) < s.tooth.place()
                    && s.tooth.place() < first.place().max(second.place())))
    });
    let lacks = waiting.iter().map(|s| s.wanted_mm - s.space_in_mm);
    (!later && !waiting.is_empty()).then(|| lacks.sum())
}

/// Space that is lacking between two teeth as the step begins, mm, by what the step waits for.
fn lacking_mm(view: &StepView<'_>, phase: &Phase, right: Tooth, left: Tooth) -> Option<f64> {
    let inside = |t: Tooth| right.place() < t.place() && t.place() < left.place();
    let sites: Vec<&SiteAccount> = phase.room.sites.iter().filter(|s| inside(s.tooth)).collect();
    let lacks = |term: &Term| match term {
        Term::Space { length, teeth } => {
            let waited = sites.iter().filter(|s| teeth.is_empty() || teeth.contains(&s.tooth));
            waited.map(|s| (mm(*length) - s.space_in_mm).max(0.0)).reduce(|a, b| a + b)
        }
        Term::Gap { length, first, second } => {
            let here = (*first.min(second), *first.max(second)) == (right, left);
            let now = view.mouth.gap_mm(*first, *second).filter(|_| here)?;
            Some(mm(*length) - now)
        }
        _ => None,
    };
    // Several teeth that one coil makes room for need all of it.
    view.step.until.terms.iter().filter_map(lacks).reduce(|a, b| a + b)
}
