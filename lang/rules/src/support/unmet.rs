//! Goals for the overjet and the midlines that nothing in the plan works towards, and what does work on them.

use super::midline::{MidlineTarget, moves_midline, wanted};
use crate::prelude::*;
use springline_course::BiteFigure;
use springline_model::case::{ArchCase, Case, ElasticsKind, say_overjet};
use springline_model::house::Task;

const OVERJET_MM: f64 = 1.0;
const MIDLINE_MM: f64 = 1.0;

/// What is not worked towards, and by how much it is off where that is a figure.
pub type Unmet = (String, Option<(f64, f64)>);

/// Whether a goal unmet is told of this figure.
pub fn is_said(context: &RuleContext<'_>, figure: BiteFigure) -> bool {
    match figure {
        BiteFigure::Overjet => overjet(context).is_some(),
        BiteFigure::Midline(arch) => {
            context.case.arch(arch).is_some_and(|arch| midline(context, arch).is_some())
        }
        _ => false,
    }
}

pub fn is_debonded(case: &Case) -> bool {
    case.visits.iter().any(|v| v.kind == Some(Task::Debond))
}

pub fn overjet(context: &RuleContext<'_>) -> Option<Unmet> {
    let case = context.case;
    let (now, want) = (context.bite().overjet_mm?.value, case.goal.as_ref()?.bite.overjet?.0.mm());
    let off = now - want;
    // A small overjet grows as the front teeth line up; one that is reversed does not come right of itself.
    let counts = off > OVERJET_MM + 1e-9 || (now < 0.0 && off < -OVERJET_MM - 1e-9);
    let way = if off > 0.0 { OverjetWay::Down } else { OverjetWay::Up };
    let debonded = is_debonded(case);
    if !counts || (!debonded && works_on_overjet(case, way)) {
        return None;
    }
    let end = match (debonded, way) {
        (true, _) => "at the end",
        (false, OverjetWay::Down) => "and nothing in the plan reduces it",
        (false, OverjetWay::Up) => "and nothing in the plan corrects it",
    };
    Some((
        format!("The overjet is {}, the goal {}, {end}.", say_overjet(now), say_overjet(want)),
        Some((tenth(off.abs()), OVERJET_MM)),
    ))
}

pub fn midline(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Unmet> {
    let stated = context.case.goal.as_ref()?.bite.midlines.contains_key(&arch.arch);
    let MidlineTarget::Go(way, by) = wanted(context, arch) else { return None };
    let moved = !is_debonded(context.case) && moves_midline(context, arch.arch);
    if !stated || by <= MIDLINE_MM + 1e-9 || moved {
        return None;
    }
    Some((
        format!(
            "The {} midline has to move {} to the patient's {way}, and nothing in the plan moves it.",
            arch.arch,
            say_mm(by)
        ),
        Some((tenth(by), MIDLINE_MM)),
    ))
}

/// Required direction of the overjet: decrease, or increase from a reverse one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OverjetWay {
    Down,
    Up,
}

/// Something in the plan takes the overjet that way: class II elastics and closing upper spaces down, class III
/// elastics and closing lower spaces up.
pub fn works_on_overjet(case: &Case, way: OverjetWay) -> bool {
    let (kind, arch) = match way {
        OverjetWay::Down => (ElasticsKind::Class2, Arch::Upper),
        OverjetWay::Up => (ElasticsKind::Class3, Arch::Lower),
    };
    let chain = |act: &Act| matches!(act.kind, ActKind::Chain { .. }) && way == OverjetWay::Up;
    case.elastics.iter().any(|e| e.kind == kind)
        || case.arch(arch).is_some_and(|a| {
            let mut acts = a.steps.iter().flat_map(|s| &s.acts);
            acts.any(|act| chain(act) || closes(a, &act.kind))
        })
}

/// A closing spring, or a chain over a space: what is written as a gap, or what an absent tooth leaves.
fn closes(arch: &ArchCase, act: &ActKind) -> bool {
    match act {
        ActKind::ClosingCoil { .. } => true,
        ActKind::Chain { teeth, .. } => {
            let over = |t: &Tooth| {
                teeth.iter().any(|x| x.place() <= t.place())
                    && teeth.iter().any(|x| t.place() <= x.place())
            };
            arch.gaps.iter().any(|g| over(&g.first) && over(&g.second))
                || arch.states.iter().any(|(t, (state, _))| state.is_absent() && over(t))
        }
        _ => false,
    }
}
