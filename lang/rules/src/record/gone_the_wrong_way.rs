//! A tooth, a space, a relation or a midline that is measured worse than before; overjet and overbite have a rule of
//! their own.

use super::bite_grows_worse::overjet_is_worse;
use crate::prelude::*;
use springline_course::ToothPose;
use springline_model::case::{Bite, Gap, Relation, Visit};
use springline_model::step::Midline;
use springline_text::Place;

pub const RULE: Rule = Rule {
    code: "record/gone-the-wrong-way",
    severity: Severity::Warning,
    page: include_str!("gone_the_wrong_way.md"),
    check,
    ..Rule::PLAIN
};

/// More than two people measuring the same differ by (common practice, no source).
const TOOTH_MM: f64 = 0.5;
const TOOTH_DEG: f64 = 5.0;
const RELATION_MM: f64 = 1.0;
const MIDLINE_MM: [f64; 2] = [0.5, 1.0];
const HELD_MM: f64 = 0.5;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut visits: Vec<&Visit> = context.case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let Some((last, before)) = visits.split_last() else { return };
    teeth(context, last, before, out);
    gaps(context, &visits, out);
    bite(context, last, before, out);
}

fn finding(severity: Severity, place: Place, message: String, why: &'static str) -> Finding {
    Finding::new(RULE.code, severity, place, message).why(why)
}

/// A tooth in the wire that is farther off than it was.
fn teeth(context: &RuleContext<'_>, last: &Visit, before: &[&Visit], out: &mut Vec<Finding>) {
    let words = context.words();
    for (tooth, (stand, place)) in &last.stands {
        let Some(arch) = context.case.arch(tooth.arch()) else { continue };
        let earlier = before.iter().rev().find_map(|v| v.stands.get(tooth).map(|(s, _)| *s));
        let Some(was) = earlier.or_else(|| arch.stands.get(tooth).map(|s| s.value)) else {
            continue;
        };
        let (now, was) =
            (ToothPose::from_stand(*tooth, stand), ToothPose::from_stand(*tooth, &was));
        // Only what both looked at, and on the side on which it stood.
        let worse = |said: bool, now: f64, was: f64| {
            if said && was != 0.0 && now * was > 0.0 { now.abs() - was.abs() } else { 0.0 }
        };
        let by_mm = worse(stand.in_out.is_some(), now.lingual_mm, was.lingual_mm).max(worse(
            stand.up_down.is_some(),
            now.gingival_mm,
            was.gingival_mm,
        ));
        let by_deg = worse(stand.rotated.is_some(), now.rotated_rad, was.rotated_rad).to_degrees();
        let how = match (by_mm >= TOOTH_MM - 1e-9, by_deg >= TOOTH_DEG - 1e-9) {
            (true, _) => say_mm(by_mm),
            (_, true) => say_deg(by_deg),
            _ => continue,
        };
        let message = format!(
            "{} stands {how} farther off than when it was last measured.",
            words.tooth(*tooth)
        );
        out.push(
            finding(
                RULE.severity,
                *place,
                message,
                "Something pulls it the wrong way, or it has been out of the wire.",
            )
            .teeth([*tooth]),
        );
    }
}

/// A space that is held or opened, and smaller than it was: at any visit, for what has slid once slides again.
fn gaps(context: &RuleContext<'_>, visits: &[&Visit], out: &mut Vec<Finding>) {
    let words = context.words();
    for (at, visit) in visits.iter().enumerate() {
        for gap in &visit.gaps {
            let here = pair(gap.first, gap.second);
            let same = |g: &&Gap| pair(g.first, g.second) == here;
            let before = visits[..at].iter().rev().find_map(|v| v.gaps.iter().find(same));
            let arch = context.case.arch(gap.first.arch());
            let entered = arch.and_then(|a| a.gaps.iter().find(same));
            let Some(was) = before.or(entered) else { continue };
            let less = mm(was.length) - mm(gap.length);
            let Some(kept) = kept_open(context, visit, here).filter(|_| less >= HELD_MM - 1e-9)
            else {
                continue;
            };
            let message = format!(
                "The space between {} and {} is {kept}, and {} smaller than it was.",
                words.tooth(gap.first),
                words.tooth(gap.second),
                say_mm(less)
            );
            let why = "The coil is too short or spent, or its wire has slid.";
            out.push(
                finding(RULE.severity, gap.place, message, why).teeth([gap.first, gap.second]),
            );
        }
    }
}

fn pair(a: Tooth, b: Tooth) -> (Tooth, Tooth) {
    (a.min(b), a.max(b))
}

/// "held" or "opened", by what stood in the space as the patient came.
fn kept_open(
    context: &RuleContext<'_>,
    visit: &Visit,
    (first, second): (Tooth, Tooth),
) -> Option<&'static str> {
    let arch = first.arch();
    let index = context.case.visits.iter().position(|v| v.on == visit.on)?;
    let step = context.step_on_arrival(index, arch)?;
    let state = context.forecast.state_of_step(arch, step)?;
    state.acts.iter().find_map(|act| match &act.kind {
        ActKind::ClosedCoil { first: a, second: b, .. } if pair(*a, *b) == (first, second) => {
            Some("held")
        }
        ActKind::OpenCoil { first: a, second: b, .. } if pair(*a, *b) == (first, second) => {
            Some("opened")
        }
        _ => None,
    })
}

fn bite(context: &RuleContext<'_>, last: &Visit, before: &[&Visit], out: &mut Vec<Finding>) {
    let entered = &context.case.bite;
    let bites = || before.iter().rev().map(|v| &v.bite).chain([entered]);
    let goal = context.case.goal.as_ref().map(|g| &g.bite);
    for (what, of) in [
        ("molars", (|b, s| b.molars.get(&s)) as fn(&Bite, Side) -> Option<&Relation>),
        ("canines", |b, s| b.canines.get(&s)),
    ] {
        for side in [Side::Right, Side::Left] {
            let by = |b: &Bite| of(b, side).and_then(Relation::mm);
            let (Some(now), Some(was)) = (by(&last.bite), bites().find_map(by)) else { continue };
            let aim = goal.and_then(|g| of(g, side)).and_then(Relation::mm).unwrap_or(0.0);
            let worse = (now - aim).abs() - (was - aim).abs();
            // An overjet that grows with the back teeth has one cause with them, and is told of by itself.
            if worse >= RELATION_MM - 1e-9 && !overjet_goes_with(context, now - was, last, bites) {
                let message = format!(
                    "The {what} on the {side} are {} farther from the goal.",
                    say_mm(worse)
                );
                out.push(finding(
                    RULE.severity,
                    last.place,
                    message,
                    "The back teeth give way: the anchorage does not hold.",
                ));
            }
        }
    }
    let new: Vec<Tooth> = last
        .bite
        .crossbite
        .iter()
        .copied()
        .filter(|t| !bites().any(|b| b.crossbite.contains(t)))
        .collect();
    if !new.is_empty() {
        let message = format!(
            "{} in crossbite, and nobody had seen that before.",
            context.words().teeth(&new)
        );
        out.push(
            finding(
                RULE.severity,
                last.place,
                message,
                "It was missed at the start, or the treatment has brought it.",
            )
            .teeth(new),
        );
    }
    for seen in &last.arches {
        let Some(now) = seen.midline.as_ref().and_then(off_mm) else { continue };
        let earlier = before.iter().rev().flat_map(|v| &v.arches).filter(|a| a.arch == seen.arch);
        let earlier = earlier.filter_map(|a| a.midline.as_ref().and_then(off_mm)).next();
        let entered = context
            .case
            .arch(seen.arch)
            .and_then(|a| a.midline.as_ref())
            .and_then(|(m, _)| off_mm(m));
        let entered = entered.or_else(|| entered_midline(context, seen.arch));
        let Some(was) = earlier.or(entered) else { continue };
        let worse = now.abs() - was.abs();
        if worse >= MIDLINE_MM[0] - 1e-9 {
            let severity =
                if worse >= MIDLINE_MM[1] - 1e-9 { RULE.severity } else { Severity::Advice };
            let message = format!(
                "The {} midline is {} farther off than when it was last measured.",
                seen.arch,
                say_mm(worse)
            );
            out.push(finding(
                severity,
                seen.place,
                message,
                "One side pulls more, or closes faster.",
            ));
        }
    }
}

/// Whether the overjet went the way of the back teeth, more of it with Class II, less with Class III, and is reported as
/// worse by itself.
fn overjet_goes_with<'b, I: Iterator<Item = &'b Bite>>(
    context: &RuleContext<'_>,
    class_mm: f64,
    last: &Visit,
    bites: impl Fn() -> I,
) -> bool {
    let jet = |b: &Bite| b.overjet.map(|(jet, _)| jet.mm());
    let (Some(now), Some(was)) = (jet(&last.bite), bites().find_map(jet)) else { return false };
    (now - was) * class_mm > 0.0 && overjet_is_worse(context)
}

fn entered_midline(context: &RuleContext<'_>, arch: Arch) -> Option<f64> {
    context.case.bite.midlines.get(&arch).and_then(|(midline, _)| off_mm(midline))
}

fn off_mm(midline: &Midline) -> Option<f64> {
    let on_face = midline.reference == springline_model::step::MidlineReference::Face;
    on_face.then(|| if midline.side == Side::Left { mm(midline.off) } else { -mm(midline.off) })
}
