//! Teeth that need space, and the sources that provide it.

use crate::RuleContext;
use crate::support::midline::{MidlineTarget, wanted};
use crate::view::{StepView, current_stand, width_mm};
use springline_course::sliding::other;
use springline_model::case::{ArchCase, Case, ToothState};
use springline_model::step::{Act, ActKind};
use springline_units::quantity::mm;
use springline_units::tooth::{Side, Tooth};

/// A tooth and what it lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortage {
    pub tooth: Tooth,
    pub width_mm: f64,
    pub space_mm: f64,
}

impl Shortage {
    pub fn short_mm(&self) -> f64 {
        self.width_mm - self.space_mm
    }
}

/// Teeth whose space was measured and is less than their crown, from the patient's right.
pub fn shortages(case: &Case, arch: &ArchCase) -> Vec<Shortage> {
    let mut out: Vec<Shortage> = arch
        .stands
        .keys()
        .filter_map(|tooth| {
            let space_mm = mm(current_stand(case, arch, *tooth).space?);
            let width = width_mm(arch, *tooth);
            (width > space_mm).then_some(Shortage { tooth: *tooth, width_mm: width, space_mm })
        })
        .collect();
    out.sort_by_key(|s| s.tooth);
    out
}

/// Enamel taken off in one act, all contacts together.
pub fn enamel_mm(act: &Act) -> f64 {
    match &act.kind {
        ActKind::Reduce { amount, contacts } => mm(*amount) * contacts.len() as f64,
        _ => 0.0,
    }
}

/// Enamel taken off in the whole plan.
pub fn planned_enamel_mm(arch: &ArchCase) -> f64 {
    arch.steps.iter().flat_map(|s| &s.acts).map(enamel_mm).sum()
}

/// Enamel taken off near a tooth, up to and with this step: contacts up to two teeth away.
pub fn enamel_near_mm(view: &StepView<'_>, tooth: Tooth) -> f64 {
    let near = |t: &Tooth| t.place().abs_diff(tooth.place()) <= 3;
    view.arch
        .steps
        .iter()
        .take(view.index + 1)
        .flat_map(|s| &s.acts)
        .map(|act| match &act.kind {
            ActKind::Reduce { amount, contacts } => {
                let close = contacts.iter().filter(|(a, b)| near(a) && near(b)).count();
                mm(*amount) * close as f64
            }
            _ => 0.0,
        })
        .sum()
}

/// Whether there is an extraction near here, or an open gap beside it.
pub fn gap_beside_mm(view: &StepView<'_>, tooth: Tooth) -> f64 {
    let near = |t: Tooth| t.place().abs_diff(tooth.place()) <= 2;
    let gaps: f64 = view
        .arch
        .gaps
        .iter()
        .filter(|g| near(g.first) || near(g.second))
        .map(|g| mm(g.length))
        .sum();
    let extracted: f64 = view
        .arch
        .states
        .iter()
        .filter(|(t, _)| near(**t))
        .filter(|(_, (s, _))| is_extraction(*s))
        .map(|(t, _)| width_mm(view.arch, *t))
        .sum();
    gaps.max(extracted)
}

pub fn is_extraction(state: ToothState) -> bool {
    matches!(state, ToothState::Extracted { .. } | ToothState::Extract { .. })
}

/// Teeth of this arch are taken out.
pub fn has_extraction(view: &StepView<'_>) -> bool {
    view.arch.states.values().any(|(s, _)| is_extraction(*s))
}

/// Space from extractions, gaps and IPR in the whole plan.
pub fn supplied_mm(arch: &ArchCase) -> f64 {
    let extracted: f64 = arch
        .states
        .iter()
        .filter(|(_, (s, _))| is_extraction(*s))
        .map(|(t, _)| width_mm(arch, *t))
        .sum();
    let gaps: f64 = arch.gaps.iter().map(|g| mm(g.length)).sum();
    planned_enamel_mm(arch) + extracted.max(gaps)
}

/// Space that comes from carrying the midline over, away from the side that lacks it.
pub fn from_midline_mm(context: &RuleContext<'_>, arch: &ArchCase, side: Side) -> f64 {
    match wanted(context, arch) {
        MidlineTarget::Go(way, by) if way == other(side) => by,
        _ => 0.0,
    }
}

/// Crowding of the teeth in the wire: as written, else from how far contacts stand apart (six
/// tenths of what irregularity exceeds a millimetre, as the course counts).
pub fn crowding_mm(view: &StepView<'_>) -> f64 {
    if let Some(phase) = view.phase {
        return phase.room.demanded_mm;
    }
    let written: f64 = shortages(view.case, view.arch)
        .iter()
        .filter(|s| view.is_in_wire(s.tooth))
        .map(Shortage::short_mm)
        .sum();
    if written > 0.0 {
        return written;
    }
    let front: Vec<Tooth> = view.in_wire().into_iter().filter(|t| t.is_anterior()).collect();
    let index: f64 = front
        .windows(2)
        .map(|w| (view.pose(w[0]).lingual_mm - view.pose(w[1]).lingual_mm).abs())
        .sum();
    (0.6 * (index - 1.0)).max(0.0)
}

/// Space for a tooth at the start of this step; `None` where it was not measured.
pub fn space_at(view: &StepView<'_>, tooth: Tooth) -> Option<f64> {
    let measured = mm(current_stand(view.case, view.arch, tooth).space?);
    if view.index == 0 {
        return Some(measured);
    }
    // What earlier steps make of it, where the course has computed them.
    let made = view
        .context
        .forecast
        .arch(view.side())
        .into_iter()
        .flat_map(|f| f.phases.iter())
        .filter(|p| p.step < view.index)
        .filter_map(|p| p.room.site(tooth))
        .map(|s| s.space_out_mm)
        .max_by(f64::total_cmp);
    // The bypass before it ends at this figure.
    let waited = view.wanted_space(tooth);
    Some([made, waited].into_iter().flatten().fold(measured, f64::max))
}
