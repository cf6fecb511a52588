//! Teeth of one arch too wide for those of the other: the goal cannot be met without enamel or build-up.

use crate::prelude::*;
use crate::view::width_mm;
use springline_model::case::{BiteClass, Case};
use springline_model::tooth_size::{COUNTS_MM, ToothSizeSpan};

pub const RULE: Rule = Rule {
    code: "space/tooth-size",
    severity: Severity::Warning,
    page: include_str!("tooth_size.md"),
    check,
    ..Rule::PLAIN
};

/// A ratio said and one added up from widths differ by no more, percent.
const AGREE_PERCENT: f64 = 1.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    for span in ToothSizeSpan::ALL {
        let said = case.tooth_size.as_ref().and_then(|ratio| match span {
            ToothSizeSpan::Anterior => ratio.anterior,
            ToothSizeSpan::Overall => ratio.overall,
        });
        let added = from_widths(case, span);
        let place = case.tooth_size.as_ref().map_or(case.chart_place, |ratio| ratio.place);
        if let (Some(said), Some(added)) = (said, added)
            && (said - added).abs() > AGREE_PERCENT
        {
            let message = format!(
                "The {} ratio is written as {} %; the widths of the teeth give {} %.",
                span.word(),
                plain(tenth(said)),
                plain(tenth(added))
            );
            out.push(
                Finding::new(RULE.code, RULE.severity, place, message)
                    .why("One of them was read wrongly."),
            );
        }
        let Some(percent) = said.or(added) else { continue };
        out.extend(unmet(context, span, percent).map(|message| {
            Finding::new(RULE.code, RULE.severity, place, message)
                .why("With too wide a front below, Class I canines leave the overjet short or the upper front crowded; above, spaced.")
                .note("Enamel off at the wider front (`ipr`), a build-up of the narrower (`hold` its space), or another goal.")
        }));
    }
}

/// What the difference leaves of the goal.
fn unmet(context: &RuleContext<'_>, span: ToothSizeSpan, percent: f64) -> Option<String> {
    let case = context.case;
    let goal = case.goal.as_ref()?;
    let canines = goal.bite.canines.values().any(|r| r.class == BiteClass::Class1);
    if goal.bite.overjet.is_none() && !canines {
        return None;
    }
    let upper_mm: f64 = span.teeth(Arch::Upper).into_iter().map(|t| width_of(case, t)).sum();
    let excess = span.lower_excess_mm(percent, upper_mm);
    let (wide, narrow) =
        if excess > 0.0 { (Arch::Lower, Arch::Upper) } else { (Arch::Upper, Arch::Lower) };
    let left = excess.abs() - enamel_mm(case, wide, span) - built_up_mm(case, narrow, span);
    let (mean, sd) = span.norm();
    (left >= COUNTS_MM).then(|| {
        format!(
            "The {} ratio is {} % (mean {mean}, sd {sd}): the {wide} teeth are {} too wide for the goal, {} of it with \
             nothing planned.",
            span.word(),
            plain(tenth(percent)),
            say_mm(excess.abs()),
            say_mm(left)
        )
    })
}

/// From the widths as written, where every one is.
fn from_widths(case: &Case, span: ToothSizeSpan) -> Option<f64> {
    let sum = |arch: Arch| {
        let here = case.arch(arch)?;
        let each = span.teeth(arch).into_iter().map(|t| here.stands.get(&t)?.value.width.map(mm));
        each.collect::<Option<Vec<f64>>>().map(|all| all.iter().sum::<f64>())
    };
    let (lower, upper) = (sum(Arch::Lower)?, sum(Arch::Upper)?);
    (upper > 0.0).then(|| 100.0 * lower / upper)
}

fn width_of(case: &Case, tooth: Tooth) -> f64 {
    case.arch(tooth.arch()).map_or_else(
        || springline_units::anatomy::crown_width_mm(tooth),
        |arch| width_mm(arch, tooth),
    )
}

/// Enamel that the plan takes off between those teeth.
fn enamel_mm(case: &Case, arch: Arch, span: ToothSizeSpan) -> f64 {
    let teeth = span.teeth(arch);
    let acts = case.arch(arch).into_iter().flat_map(|a| &a.steps).flat_map(|s| &s.acts);
    let each = acts.map(|act| match &act.kind {
        ActKind::Reduce { amount, contacts } => {
            let here = contacts.iter().filter(|(a, b)| teeth.contains(a) || teeth.contains(b));
            mm(*amount) * here.count() as f64
        }
        _ => 0.0,
    });
    each.sum()
}

/// Space held for a build-up, over the width of the tooth.
fn built_up_mm(case: &Case, arch: Arch, span: ToothSizeSpan) -> f64 {
    let teeth = span.teeth(arch);
    let Some(here) = case.arch(arch) else { return 0.0 };
    let acts = here.steps.iter().flat_map(|s| &s.acts).chain(&here.extras);
    let each = acts.map(|act| match &act.kind {
        ActKind::Hold { teeth: held, length } => {
            let held = held.iter().filter(|t| teeth.contains(t));
            held.map(|t| (mm(*length) - width_mm(here, *t)).max(0.0)).sum()
        }
        _ => 0.0,
    });
    each.sum()
}
