//! A superelastic wire that goes on pushing.

use super::verdict::{self, insertion, lightest_g, others, sustained};
use crate::prelude::*;
use crate::support::stock_wires::lightest_in_drawer;

pub const RULE: Rule = Rule {
    code: "force/sustained",
    severity: Severity::Error,
    page: include_str!("sustained.md"),
    check,
    figure: Some(ToothFigure {
        judges: Judges::Sustained,
        unsaid: Unsaid::Past(&[Limit::Sustained]),
    }),
    yields_to: &["order/level-before-aligned"],
    verdict: Some(verdict::by_force),
};

/// Below this a warning is worded as on the edge, g.
const EDGE_G: f64 = 160.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        let heavy = sustained(&view);
        let Some(worst) = heavy.first() else { continue };
        if RULE.yields(&view, worst.severity) {
            continue;
        }
        let Some(insertion) = insertion(&view) else { continue };
        let reference = lightest_g(insertion);
        let name = view.wire().label();
        let light = lightest_in_drawer(context).map(|w| w.name.to_string());
        let light_name = light.clone().unwrap_or_else(|| "0.014 in superelastic".to_owned());
        let tooth = words.tooth(worst.tooth);
        let (grams, limit) = (plain(worst.value.round()), plain(worst.limit.round()));
        let message = match reference {
            Some(r) if worst.severity == Severity::Warning && worst.value < EDGE_G => format!(
                "Borderline: {name} leaves {grams} g on {tooth} in {} after 0.5 mm; {light_name} would leave {} \
                 g. Limit {limit} g.",
                view.step.name,
                plain(r.round())
            ),
            Some(r) if r >= 1.0 => format!(
                "{name} leaves {grams} g on {tooth} in {} after 0.5 mm, {} your {light_name}; limit {limit} g.",
                view.step.name,
                say_times(worst.value / r)
            ),
            _ => format!(
                "{name} leaves {grams} g on {tooth} in {} after 0.5 mm, {light_name} nothing; limit {limit} g.",
                view.step.name
            ),
        };
        let why = if worst.value < EDGE_G {
            "Acceptable if that is the only tooth out of line; otherwise allow another visit on the lighter wire."
        } else {
            "It keeps pushing for millimetres, where the lightest wire has unloaded."
        };
        let mut finding = view
            .finding(RULE.code, worst.severity, view.case_place(), message)
            .why(why)
            .figure(worst.value.round(), worst.limit.round(), Unit::G)
            .teeth(heavy.iter().map(|p| p.tooth));
        if let Some(note) = others(&view, &heavy, Unit::G) {
            finding = finding.note(note);
        }
        if let Some(name) = light
            && let Some(fix) = context
                .fix(format!("{name} in {}", view.step.name))
                .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                .done()
        {
            let then = reference.map_or("unloads at once".to_owned(), |r| {
                format!("{} g at most", plain(r.round()))
            });
            finding = finding.fix(fix.outcome(format!("with {name}: {then}")));
        }
        let more = [lighter_wire::wait_longer(context, &view), lighter_wire::split(context, &view)];
        finding.fixes.extend(more.into_iter().flatten());
        list.push(Candidate::new(view.side(), worst.value / worst.limit.max(1.0), finding));
    }
    merge_per_arch(words, list, out);
}
