//! Spaces closed with too much force.

use crate::prelude::*;
use springline_syntax::ast::{ClosingSpringLine, StepChainLine};

pub const RULE: Rule = Rule {
    code: "order/closing-too-heavy",
    severity: Severity::Error,
    page: include_str!("closing_too_heavy.md"),
    check,
    ..Rule::PLAIN
};

const WARNS_G: f64 = 200.0;
const STOPS_G: f64 = 300.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for act in &view.step.acts {
            let ActKind::ClosingCoil { pulls, coil, force } = &act.kind else { continue };
            let stock = coil.as_ref().and_then(|c| c.force);
            let Some(pull) = force.or(stock).map(grams) else { continue };
            let teeth: Vec<Tooth> =
                pulls.iter().flat_map(|(a, b)| [a.tooth(), b.tooth()]).collect();
            let careful = view.arch.cautions.iter().find(|c| teeth.contains(&c.tooth));
            let share = if careful.is_some() { 0.5 } else { 1.0 };
            let (severity, limit) = match pull {
                p if p > STOPS_G * share + 0.5 => (Severity::Error, STOPS_G * share),
                p if p > WARNS_G * share + 0.5 => (Severity::Warning, WARNS_G * share),
                _ => continue,
            };
            let mut finding = view
                .finding(
                    RULE.code,
                    severity,
                    view.act_place(act),
                    format!(
                        "The closing spring in {} delivers {} g per side; limit {} g.",
                        view.step.name,
                        plain(pull.round()),
                        plain(limit)
                    ),
                )
                .why("More force does not close faster: the teeth tip and the posterior teeth come forward.")
                .figure(pull.round(), limit, Unit::G)
                .teeth(teeth);
            if let Some(caution) = careful {
                finding = finding.note(format!(
                    "{}: {}. Limits are halved for this tooth.",
                    words.tooth(caution.tooth),
                    caution.why
                ));
            }
            let stock_is_light = stock.is_some_and(|s| grams(s) <= WARNS_G * share);
            let written = |line: StatementRef<'_>| {
                let spring = ClosingSpringLine::cast(line).and_then(|line| line.force);
                let force = spring.or_else(|| StepChainLine::cast(line)?.force)?;
                Some(force.span_with_word())
            };
            if force.is_some()
                && stock_is_light
                && let Some(fix) = context
                    .fix("the force listed in the practice file")
                    .remove_field(act.place, written)
                    .done()
            {
                finding = finding.fix(fix);
            }
            list.push(Candidate::new(view.side(), pull / limit, finding));
        }
    }
    list.extend(context.views().iter().flat_map(|view| together(context, view)));
    merge_per_arch(words, list, out);
}

/// A spring and a chain that pull across the same stretch: their sum.
fn together(context: &RuleContext<'_>, view: &StepView<'_>) -> Vec<Candidate> {
    let words = context.words();
    let acts: Vec<&Act> = view.acts().collect();
    let mut out = Vec::new();
    for (i, first) in acts.iter().enumerate() {
        for second in &acts[i + 1..] {
            let own = |a: &Act| view.step.acts.iter().any(|x| x.place == a.place);
            if !(own(first) || own(second)) {
                continue;
            }
            let sum = spring_and_chain(&first.kind, &second.kind)
                .or_else(|| spring_and_chain(&second.kind, &first.kind));
            let Some((pull, teeth)) = sum else { continue };
            let (severity, limit) = match pull {
                p if p > STOPS_G + 0.5 => (Severity::Error, STOPS_G),
                p if p > WARNS_G + 0.5 => (Severity::Warning, WARNS_G),
                _ => continue,
            };
            let message = format!(
                "A closing spring and a chain pull across the same space in {}, together {} g; limit {} g.",
                view.step.name,
                plain(pull.round()),
                plain(limit)
            );
            let mut finding = view
                .finding(RULE.code, severity, view.act_place(second), message)
                .related(first.place, "and this")
                .why("More force does not close faster: the teeth tip and the posterior teeth come forward.")
                .figure(pull.round(), limit, Unit::G)
                .teeth(teeth);
            let chain = if matches!(first.kind, ActKind::Chain { .. }) { first } else { second };
            let whole = |t: &[Tooth]| words.list(t);
            if let ActKind::Chain { teeth, .. } = &chain.kind
                && chain.place.file == view.arch.place.file
            {
                let title = format!("without the chain on {}", whole(teeth));
                finding.fixes.extend(context.fix(title).remove(chain.place).done());
            }
            out.push(Candidate::new(view.side(), pull / limit, finding));
        }
    }
    out
}

/// What a spring and a chain pull with where one space lies under both, g.
fn spring_and_chain(spring: &ActKind, chain: &ActKind) -> Option<(f64, Vec<Tooth>)> {
    let ActKind::ClosingCoil { pulls, coil, force } = spring else { return None };
    let ActKind::Chain { teeth, chain, force: chain_force } = chain else { return None };
    let spring_g = grams(force.or(coil.as_ref().and_then(|c| c.force))?);
    let chain_g = grams(chain_force.or(chain.as_ref().and_then(|c| c.force))?);
    let (first, last) = (teeth.iter().min()?.place(), teeth.iter().max()?.place());
    let shared = pulls.iter().find(|(a, b)| {
        let (a, b) = (a.tooth().place(), b.tooth().place());
        a.min(b) < last && first < a.max(b)
    })?;
    Some((spring_g + chain_g, vec![shared.0.tooth(), shared.1.tooth()]))
}
