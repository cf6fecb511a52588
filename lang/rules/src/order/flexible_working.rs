//! A working wire that bends under its own elastics.

use crate::prelude::*;
use crate::support::elastics::worn;
use crate::support::strength::rigidity;
use springline_course::Strand;
use springline_model::case::ElasticRun;
use springline_units::quantity::newtons;

pub const RULE: Rule = Rule {
    code: "order/flexible-working",
    severity: Severity::Error,
    page: include_str!("flexible_working.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    let limits = context.case.house.limits.of(Limit::Give).value;
    // Triangles, boxes and settling elastics extrude teeth on purpose, so deflection is intended.
    for elastics in
        context.case.elastics.iter().filter(|e| crate::support::elastics::pulls_along(e.kind))
    {
        for view in worn(context, elastics) {
            // Elastics on round and aligning wires are too early, whatever the deflection.
            if view.wire().wire.section.is_round() || view.step.kind == StepKind::Align {
                continue;
            }
            let worst = elastics
                .runs
                .iter()
                .flat_map(|run| run.teeth.iter().map(move |t| (run, *t)))
                .filter(|(_, t)| view.is_in_wire(*t))
                .filter_map(|(run, t)| {
                    Some((run, t, deflection_mm(&view, run, t, rigidity(view.wire()))?))
                })
                .max_by(|a, b| a.2.total_cmp(&b.2));
            let Some((run, tooth, give)) = worst else { continue };
            // Judged as printed, in tenths: 0.5 mm is not over a limit of 0.5 mm.
            let told = tenth(give);
            let (severity, limit) = match limits.stop {
                Some(stop) if told > stop + 1e-9 => (Severity::Error, stop),
                _ if told > limits.warn + 1e-9 => (Severity::Warning, limits.warn),
                _ => continue,
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    severity,
                    view.clause_place(view.step.wire.place),
                    format!(
                        "{} deflects {} at {} under {} of {} elastic worn {} h per day; limit {}.",
                        view.wire().label(),
                        say_mm(give),
                        words.tooth(tooth),
                        say_force(run.elastic.force),
                        elastics.kind.word(),
                        plain(run.hours_a_day),
                        say_mm(limit)
                    ),
                )
                .why("Where the wire deflects, the tooth at the hook extrudes and the occlusal plane cants.")
                .figure(tenth(give), limit, Unit::Mm)
                .teeth([tooth])
                .related(run.place, "worn here");
            if let Some((name, then)) = stiffer(context, &view, run, tooth, limits.warn)
                && let Some(fix) = context
                    .fix(format!("{name} in {}", view.step.name))
                    .set_clause(view.arch, view.step, ClauseKind::Wire, &name)
                    .done()
            {
                finding = finding.fix(fix.outcome(format!("with {name}: {}", say_mm(then))));
            }
            list.push(Candidate::new(view.side(), give / limit, finding));
        }
    }
    merge_per_arch(words, list, out);
}

/// Deflection of the wire at a tooth, mm: a beam clamped three brackets away on either side.
fn deflection_mm(
    view: &StepView<'_>,
    run: &ElasticRun,
    tooth: Tooth,
    rigidity: f64,
) -> Option<f64> {
    let places: Vec<_> = view.layout.in_wire().collect();
    let at = places.iter().position(|a| a.tooth == tooth)?;
    let right = places.get(at.saturating_sub(3))?;
    let left = places.get((at + 3).min(places.len() - 1))?;
    let (a, b) = (places[at].centre_mm - right.centre_mm, left.centre_mm - places[at].centre_mm);
    if a <= 0.0 || b <= 0.0 || rigidity <= 0.0 {
        return Some(0.0);
    }
    // The teeth of one arch share the pull.
    let sharing = run.teeth.iter().filter(|t| t.arch() == tooth.arch()).count().max(1) as f64;
    let over_day = newtons(run.elastic.force) * run.hours_a_day / 24.0;
    let force = over_day * upright(view, run, tooth) / sharing;
    Some(force * (a * b / (a + b)).powi(3) / (3.0 * rigidity))
}

/// The upright share of the pull at a tooth, over the teeth of the other arch that it goes to.
fn upright(view: &StepView<'_>, run: &ElasticRun, tooth: Tooth) -> f64 {
    let across = run.teeth.iter().filter(|t| t.arch() != tooth.arch());
    let shares: Vec<f64> = across
        .map(|t| Strand::between(view.case, &view.layout, tooth, *t).vertical_share())
        .collect();
    if shares.is_empty() { 0.0 } else { shares.iter().sum::<f64>() / shares.len() as f64 }
}

/// The least stiff wire in stock that stays below the limit and fits.
fn stiffer(
    context: &RuleContext<'_>,
    view: &StepView<'_>,
    run: &ElasticRun,
    tooth: Tooth,
    limit: f64,
) -> Option<(String, f64)> {
    use springline_model::step::WireUse;
    let slot = view.bracket(tooth)?;
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| !w.section.is_round())
        .filter(|w| {
            let (h, d) = sizes_mm(w.section);
            h <= mm(slot.slot_height) - 0.02 && d <= mm(slot.slot_depth) - 0.02
        })
        .filter_map(|w| {
            let uses = WireUse { wire: w.clone(), tandem: None, kept: false };
            let stiff = rigidity(&uses);
            let give = deflection_mm(view, run, tooth, stiff)?;
            (give <= limit).then(|| (stiff, w.name.to_string(), give))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name, give)| (name, give))
}
