//! The position of a midline, and the direction in which it should move.

use crate::RuleContext;
use springline_course::sliding::other;
use springline_model::case::{ArchCase, ElasticsKind};
use springline_model::step::{ActKind, Midline};
use springline_units::quantity::{grams, mm};
use springline_units::tooth::{Arch, Side};

/// A midline off by less than this is left alone, mm (common practice, no source).
pub const NOTICED_MM: f64 = 1.0;

/// As found last: at a visit, else as entered.
pub fn stands(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Midline> {
    let midlines = context.bite().midlines.iter();
    midlines.filter(|(a, ..)| *a == arch.arch).map(|(_, midline, _)| *midline).next()
}

/// What is wanted of a midline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MidlineTarget {
    /// Its position is not known.
    Unknown,
    /// It is where it should be.
    Stay,
    /// It has to go to that side of the patient, by so much.
    Go(Side, f64),
}

/// Which way the midline should go.
pub fn wanted(context: &RuleContext<'_>, arch: &ArchCase) -> MidlineTarget {
    let Some(now) = stands(context, arch) else { return MidlineTarget::Unknown };
    let goal =
        context.case.goal.as_ref().and_then(|g| g.bite.midlines.get(&arch.arch)).map(|(m, _)| *m);
    let signed = |m: Midline| match m.side {
        Side::Right => -mm(m.off),
        Side::Left => mm(m.off),
    };
    let target = goal.filter(|g| g.reference == now.reference).map_or(0.0, signed);
    let to_go = target - signed(now);
    if to_go.abs() + 1e-9 < NOTICED_MM {
        return MidlineTarget::Stay;
    }
    let way = if to_go < 0.0 { Side::Right } else { Side::Left };
    MidlineTarget::Go(way, to_go.abs())
}

/// "2 mm to the patient's right".
pub fn say(context: &RuleContext<'_>, arch: &ArchCase) -> String {
    match wanted(context, arch) {
        MidlineTarget::Go(way, by) => {
            format!("{} to the patient's {}", crate::wording::say_mm(by), other(way))
        }
        _ => "where it should be".to_owned(),
    }
}

/// Something in the plan carries that arch's midline.
pub fn moves_midline(context: &RuleContext<'_>, arch: Arch) -> bool {
    let case = context.case;
    let elastics = case.elastics.iter().any(|e| {
        let on = |side| {
            e.runs
                .iter()
                .filter(|r| r.side == side)
                .map(|r| grams(r.elastic.force) * r.hours_a_day)
                .sum::<f64>()
        };
        e.kind == ElasticsKind::Diagonal || (on(Side::Right) - on(Side::Left)).abs() > 1.0
    });
    let in_arch = case.arch(arch).is_some_and(|a| {
        let one_sided_gap = {
            let of = |side| -> f64 {
                a.gaps.iter().filter(|g| g.first.side() == side).map(|g| mm(g.length)).sum()
            };
            (of(Side::Right) - of(Side::Left)).abs() > 1.0
        };
        one_sided_gap
            || a.steps
                .iter()
                .flat_map(|s| &s.acts)
                .any(|x| matches!(x.kind, ActKind::OpenCoil { .. } | ActKind::Stop { .. }))
    });
    elastics || in_arch
}
