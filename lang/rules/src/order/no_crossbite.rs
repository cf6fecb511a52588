//! A tooth that is to come out of a crossbite it is not in.

use crate::prelude::*;
use springline_model::step::{Condition, Term};
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "order/no-crossbite",
    severity: Severity::Error,
    page: include_str!("no_crossbite.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let words = context.words();
    let case = context.case;
    let mut waits: Vec<(Tooth, Place)> = Vec::new();
    let mut add = |teeth: &[Tooth], place: Place| {
        for tooth in teeth {
            if !waits.iter().any(|(t, _)| t == tooth) {
                waits.push((*tooth, place));
            }
        }
    };
    for view in context.views() {
        add(&corrected(&view.step.until.value), view.clause_place(view.step.until.place));
        for act in &view.step.acts {
            if let ActKind::BiteRaisers { until: Some(until), .. }
            | ActKind::Bypass { until: Some(until), .. } = &act.kind
            {
                add(&corrected(until), view.act_place(act));
            }
        }
    }
    for elastics in &case.elastics {
        if let Some((until, place)) = &elastics.until {
            add(&corrected(until), *place);
        }
    }
    if let Some((goal, place)) = case.goal.as_ref().and_then(|g| Some((g, g.place?))) {
        add(&goal.over_the_bite, place);
    }
    let crossed = |tooth: &Tooth| {
        let bites = case.visits.iter().map(|v| &v.bite).chain([&case.bite]);
        // The partner across may be the one that is named.
        let partner = Tooth::at(tooth.arch().other(), tooth.place());
        bites.flat_map(|b| &b.crossbite).any(|t| t == tooth || Some(*t) == partner)
    };
    let reverse = case.is_reverse();
    for (tooth, place) in waits {
        if crossed(&tooth) || (reverse && tooth.is_anterior()) {
            continue;
        }
        let named = words.tooth(tooth);
        let message =
            format!("{named} is to come out of crossbite, and no crossbite of it is entered.");
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("Nothing tells whether that has happened: it holds at once, or never.")
            .teeth([tooth]);
        let fix = context.fix(format!("enter it: crossbite {named}"));
        let line = format!("bite {{\n  crossbite {named}\n}}");
        let place = case.bite.overjet.as_ref().map(|(_, p)| *p);
        let fix = match place {
            Some(at) => fix.add_before(at, &format!("crossbite {named}")),
            None => fix.add_at_end(case.chart_place.file, &line),
        };
        finding.fixes.extend(fix.done());
        out.push(finding);
    }
}

fn corrected(until: &Condition) -> Vec<Tooth> {
    let teeth = until.terms.iter().filter_map(|t| match t {
        Term::OverTheBite { teeth } => Some(teeth.as_slice()),
        _ => None,
    });
    teeth.flatten().copied().collect()
}
