//! The main verdicts on a wire going in, shared so that one fault is said once.
//!
//! Superelastic wires are judged by the force they sustain, against 0.014 in the same arch; all others
//! by what is left for them to do. Where a step stands on predicted places and the wire before it has
//! done its work, only the figures that stop speak, and as a warning: the chair looks before it changes. The other figures (peak, delivered, strain) are backstops: they speak
//! where the main verdict is silent or milder.

use crate::support::strength::is_rigid_alloy;
use crate::view::{StepView, described};
use springline_course::{Insertion, ToothLoad};
use springline_finding::Severity;
use springline_model::limits::{Limit, LimitFigures, Limits};
use springline_model::step::ActKind;
use springline_units::quantity::{Unit, newtons_to_grams};
use springline_units::tooth::Tooth;

/// A figure past its limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LimitExceeded {
    pub severity: Severity,
    pub tooth: Tooth,
    pub value: f64,
    pub limit: f64,
}

/// Which of two figures a value passes.
pub fn passes(value: f64, figures: LimitFigures) -> Option<(Severity, f64)> {
    match figures.stop {
        Some(stop) if value > stop + 1e-9 => Some((Severity::Error, stop)),
        _ if value > figures.warn + 1e-9 => Some((Severity::Warning, figures.warn)),
        _ => None,
    }
}

/// The figures of the wire going in with this step; `None` where it is in already or was refused. For a tooth that
/// no wire has held yet a wire that stays goes in too.
pub fn insertion<'v>(view: &'v StepView<'_>) -> Option<&'v Insertion> {
    let takes_in = || view.in_wire().into_iter().any(|t| view.is_new_to_wires(t));
    if !view.wire_goes_in() && (view.is_in_mouth() || view.index == 0 || !takes_in()) {
        return None;
    }
    let insertion = &view.phase?.insertion;
    (insertion.refused.is_none() && !insertion.teeth.is_empty()).then_some(insertion)
}

/// Force of the lightest wire in the same arch, g.
pub fn lightest_g(insertion: &Insertion) -> Option<f64> {
    insertion.sustained_14_n().map(newtons_to_grams)
}

/// Teeth on which a superelastic wire sustains more than the limits, worst first.
pub fn sustained(view: &StepView<'_>) -> Vec<LimitExceeded> {
    let Some(insertion) = insertion(view) else { return Vec::new() };
    if is_rigid_alloy(&view.wire().wire) {
        return Vec::new();
    }
    let reference = || lightest_g(insertion);
    let mut out: Vec<LimitExceeded> = insertion
        .teeth
        .iter()
        .filter_map(|load| {
            judge_sustained(view, load.tooth, newtons_to_grams(load.sustained_n), &reference)
        })
        .collect();
    if view.follows_done_work() {
        out.retain(|p| p.severity == Severity::Error || view.is_new_to_wires(p.tooth));
    }
    out.iter_mut()
        .filter(|p| is_predicted(view, p.tooth))
        .for_each(LimitExceeded::is_to_be_looked_at);
    worst_first(&mut out);
    out
}

/// Where it stands is a forecast, and the chair looks before it changes the wire. A tooth that no wire has moved yet
/// stands where it was found: its figures count in full, whatever the step's number.
fn is_predicted(view: &StepView<'_>, tooth: Tooth) -> bool {
    view.index > 0 && !view.cuts_work_short() && !view.is_new_to_wires(tooth)
}

impl LimitExceeded {
    /// How many times its limit.
    pub fn share(&self) -> f64 {
        self.value / self.limit
    }

    fn is_to_be_looked_at(&mut self) {
        self.severity = Severity::Warning;
    }
}

/// One tooth's sustained force against the practice's limits and the lightest wire, which is asked for only where the
/// limit in grams is passed.
pub fn judge_sustained(
    view: &StepView<'_>,
    tooth: Tooth,
    grams: f64,
    lightest: &dyn Fn() -> Option<f64>,
) -> Option<LimitExceeded> {
    let limits = &view.case.house.limits;
    let grams_of = limits.for_tooth(Limit::Sustained, tooth).value;
    let times = limits.for_tooth(Limit::SustainedRatio, tooth).value;
    let limit = |figure: f64, ratio: f64| figure.max(lightest().map_or(0.0, |l| ratio * l));
    // In whole grams, as it is shown: "129 g, limit 129 g" would be no fault to a reader.
    let past = |limit: f64| grams.round() > limit.round();
    let over = |figure: f64, ratio| past(figure) && past(limit(figure, ratio));
    let exceeded = |severity, figure, ratio| LimitExceeded {
        severity,
        tooth,
        value: grams,
        limit: limit(figure, ratio),
    };
    match (grams_of.stop, times.stop) {
        (Some(stop), Some(ratio)) if over(stop, ratio) => {
            Some(exceeded(Severity::Error, stop, ratio))
        }
        _ if over(grams_of.warn, times.warn) => {
            Some(exceeded(Severity::Warning, grams_of.warn, times.warn))
        }
        _ => None,
    }
}

/// What is left at a tooth when a wire that cannot flex goes in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeftOver {
    pub past: LimitExceeded,
    /// Millimetres or degrees.
    pub unit: Unit,
}

/// How far a slot is off a stiff wire past its limits, mm or degrees, whichever is worse. Figures are taken as they are
/// printed: figure and limit never read the same.
pub fn misfit(limits: &Limits, tooth: Tooth, off_mm: f64, turned_deg: f64) -> Option<LeftOver> {
    let past = |limit: Limit, value: f64, unit: Unit| {
        let (severity, limit) = passes(value, limits.for_tooth(limit, tooth).value)?;
        Some(LeftOver { past: LimitExceeded { severity, tooth, value, limit }, unit })
    };
    let by_mm = past(Limit::Misfit, crate::wording::tenth(off_mm), Unit::Mm);
    let by_deg = past(Limit::Turn, turned_deg.round(), Unit::Deg);
    by_mm.into_iter().chain(by_deg).min_by(|a, b| order(&a.past, &b.past))
}

/// Teeth with more left than steel or beta-titanium should meet, worst first.
pub fn left_over(view: &StepView<'_>) -> Vec<LeftOver> {
    if !view.wire_goes_in() || !view.knows_poses() || !is_rigid_alloy(&view.wire().wire) {
        return Vec::new();
    }
    let limits = &view.case.house.limits;
    let mut out: Vec<LeftOver> = view
        .state
        .teeth
        .iter()
        .filter(|t| t.status.is_in_wire())
        .filter_map(|t| {
            let pose = view.pose(t.tooth);
            // Predicted positions share common errors, so only the deviation from neighbours counts.
            let off = match view.index {
                0 => pose.off_mm(),
                _ => pose.off_mm().min(super::far_tooth::off_line(view, t.tooth)),
            };
            misfit(limits, t.tooth, off, pose.turned_deg())
        })
        .collect();
    if view.follows_done_work() {
        let quiet = follows_full_wire(view);
        out.retain(|l| {
            // After a wire that fills the slot only turns are left to its play; millimetres of a tooth that the plan
            // describes as out of line are not. Where the course itself lets one drift, as at the end of a wire on
            // which spaces close, the chair sees it.
            let tooth = l.past.tooth;
            let left = l.unit == Unit::Mm
                && !is_moved_today(view, tooth)
                && described(view.arch, tooth).is_some();
            let stops = l.past.severity == Severity::Error && (!quiet || left);
            stops || view.is_new_to_wires(l.past.tooth)
        });
    }
    out.iter_mut()
        .map(|l| &mut l.past)
        .filter(|p| is_predicted(view, p.tooth))
        .for_each(LimitExceeded::is_to_be_looked_at);
    out.sort_by(|a, b| order(&a.past, &b.past));
    out
}

/// Its bracket is placed anew with this wire: that has a rule of its own.
fn is_moved_today(view: &StepView<'_>, tooth: Tooth) -> bool {
    view.step.acts.iter().any(|act| match &act.kind {
        ActKind::Reposition { teeth, .. } | ActKind::Rebond { teeth, .. } => teeth.contains(&tooth),
        _ => false,
    })
}

/// The wire before this one fills the slot well enough to leave little.
fn follows_full_wire(view: &StepView<'_>) -> bool {
    view.before().is_some_and(|b| {
        let wire = &b.wire.wire;
        !wire.section.is_round() && crate::support::strength::is_at_least(wire, 0.016, 0.022)
    })
}

/// How gravely the force that a superelastic wire sustains is judged.
pub fn by_force(view: &StepView<'_>) -> Option<Severity> {
    sustained(view).first().map(|p| p.severity)
}

/// How gravely what is left for a stiff wire is judged.
pub fn by_rest(view: &StepView<'_>) -> Option<Severity> {
    left_over(view).first().map(|l| l.past.severity)
}

/// Every tooth of the insertion past a limit, worst first.
pub fn past(
    view: &StepView<'_>,
    limit: Limit,
    figure: impl Fn(&ToothLoad) -> f64,
) -> Vec<LimitExceeded> {
    let Some(insertion) = insertion(view) else { return Vec::new() };
    let done = view.follows_done_work();
    let mut out: Vec<LimitExceeded> = insertion
        .teeth
        .iter()
        .filter(|load| !done || view.is_new_to_wires(load.tooth))
        .filter_map(|load| {
            let value = figure(load);
            let (severity, limit) =
                passes(value, view.case.house.limits.for_tooth(limit, load.tooth).value)?;
            Some(LimitExceeded { severity, tooth: load.tooth, value, limit })
        })
        .collect();
    out.iter_mut()
        .filter(|p| is_predicted(view, p.tooth))
        .for_each(LimitExceeded::is_to_be_looked_at);
    worst_first(&mut out);
    out
}

fn order(a: &LimitExceeded, b: &LimitExceeded) -> std::cmp::Ordering {
    a.severity.cmp(&b.severity).then(b.share().total_cmp(&a.share()))
}

pub fn worst_first(list: &mut [LimitExceeded]) {
    list.sort_by(order);
}

/// "12 180 g, 22 150 g": the teeth after the worst.
pub fn others(view: &StepView<'_>, list: &[LimitExceeded], unit: Unit) -> Option<String> {
    let words = view.words();
    let parts: Vec<String> = list
        .iter()
        .skip(1)
        .take(4)
        .map(|p| {
            let value = springline_units::quantity::plain(match unit {
                Unit::Mm => crate::wording::tenth(p.value),
                _ => p.value.round(),
            });
            format!("{} {value} {unit}", words.tooth(p.tooth))
        })
        .collect();
    (!parts.is_empty()).then(|| format!("Also {}.", crate::wording::listed(&parts)))
}
