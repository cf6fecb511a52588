//! A coil or elastics that carry a midline to the wrong side.

use crate::prelude::*;
use crate::support::midline::{MidlineTarget, say, wanted};
use springline_course::sliding::other;
use springline_model::case::{Elastics, ElasticsKind};
use springline_model::step::Activation;

pub const RULE: Rule = Rule {
    code: "slide/midline-wrong-way",
    severity: Severity::Warning,
    page: include_str!("midline_wrong_way.md"),
    check,
    ..Rule::PLAIN
};

/// Less than this between the sides moves no midline, g worn over the day.
const EVEN_G: f64 = 15.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    for view in context.views() {
        let MidlineTarget::Go(way, by) = wanted(context, view.arch) else { continue };
        let Some((act, goes, what)) = pushes(&view) else { continue };
        if goes == way {
            continue;
        }
        let finding = view
            .finding(
                RULE.code,
                RULE.severity,
                view.act_place(act),
                format!(
                    "{what} in {} moves the {} anterior teeth to the patient's {goes}, and the midline is \
                     already {}.",
                    view.step.name,
                    view.side(),
                    say(context, view.arch)
                ),
            )
            .why("It makes the midline worse.")
            .figure(tenth(by), crate::support::midline::NOTICED_MM, Unit::Mm);
        list.push(Candidate::new(view.side(), by, finding));
    }
    for arch in &context.case.arches {
        let MidlineTarget::Go(way, by) = wanted(context, arch) else { continue };
        for elastics in &context.case.elastics {
            let Some(goes) = pulled(elastics, arch.arch) else { continue };
            if goes == way {
                continue;
            }
            let finding = Finding::new(
                RULE.code,
                RULE.severity,
                elastics.place,
                format!(
                    "The {} elastics move the {} midline to the patient's {goes}, and it is already {}.",
                    elastics.kind.word(),
                    arch.arch,
                    say(context, arch)
                ),
            )
            .why("Elastics that pull harder on one side shift both midlines, in opposite directions.")
            .figure(tenth(by), crate::support::midline::NOTICED_MM, Unit::Mm);
            let mut finding = finding;
            finding.fixes.extend(even(context, elastics));
            list.push(Candidate::new(arch.arch, by, finding));
        }
    }
    merge_per_arch(context.words(), list, out);
}

/// Both sides worn the same hours.
fn even(context: &RuleContext<'_>, elastics: &Elastics) -> Option<springline_finding::Fix> {
    let run = |side| elastics.runs.iter().find(|r| r.side == side);
    let (right, left) = (run(Side::Right)?, run(Side::Left)?);
    let (more, less) =
        if right.hours_a_day > left.hours_a_day { (right, left) } else { (left, right) };
    let hours = format!("{} h", plain(more.hours_a_day));
    context
        .fix(format!("both sides {hours}"))
        .set_field(less.place, |line| line.holes(PlaceholderKind::Time).next(), &hours)
        .done()
}

/// What in this step moves the front teeth to one side.
fn pushes<'v>(view: &'v StepView<'_>) -> Option<(&'v Act, Side, String)> {
    let words = view.words();
    let mut found: Vec<(&Act, Side, String)> = Vec::new();
    for act in view.acts() {
        match &act.kind {
            ActKind::OpenCoil { first, second, activation, .. }
                if *activation != Activation::Passive && first.side() == second.side() =>
            {
                let front = if first.position() < second.position() { first } else { second };
                if front.is_anterior() {
                    let what = format!(
                        "The coil between {} and {}",
                        words.tooth(*first),
                        words.tooth(*second)
                    );
                    found.push((act, other(front.side()), what));
                }
            }
            ActKind::ClosingCoil { pulls, .. } => {
                for (a, _) in pulls {
                    let side = a.tooth().side();
                    found.push((act, side, "The closing spring".to_owned()));
                }
            }
            _ => {}
        }
    }
    let first = found.first()?.1;
    if found.iter().any(|f| f.1 != first) {
        return None;
    }
    found.into_iter().next()
}

/// To which side these elastics carry that arch's midline.
fn pulled(elastics: &Elastics, arch: Arch) -> Option<Side> {
    match elastics.kind {
        ElasticsKind::Class2 | ElasticsKind::Class3 => {
            let over_day = |side| -> f64 {
                elastics
                    .runs
                    .iter()
                    .filter(|r| r.side == side)
                    .map(|r| grams(r.elastic.force) * r.hours_a_day / 24.0)
                    .sum()
            };
            let more = over_day(Side::Right) - over_day(Side::Left);
            if more.abs() < EVEN_G {
                return None;
            }
            let stronger = if more > 0.0 { Side::Right } else { Side::Left };
            // The arch whose front teeth are pulled back goes to the stronger side, the one whose
            // back teeth are pulled forward goes away from it.
            let back = match elastics.kind {
                ElasticsKind::Class2 => Arch::Upper,
                _ => Arch::Lower,
            };
            Some(if arch == back { stronger } else { other(stronger) })
        }
        ElasticsKind::Diagonal => {
            let run = elastics.runs.first()?;
            let (a, b) = (run.teeth.first()?, run.teeth.last()?);
            let (here, there) = if a.arch() == arch { (a, b) } else { (b, a) };
            (here.arch() == arch && here.side() != there.side()).then(|| there.side())
        }
        _ => None,
    }
}
