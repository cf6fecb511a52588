//! Every figure past a limit that warns, of every wire still to go in, as if each stood on places that
//! were entered: no rule has spoken, and none is milder here. For comparing two plans.

use std::collections::BTreeSet;

use super::verdict::{insertion, lightest_g, passes};
use crate::support::strength::is_rigid_alloy;
use crate::view::StepView;
use crate::{RuleContext, Trees};
use springline_course::Forecast;
use springline_course::ToothStatus;
use springline_model::Case;
use springline_model::limits::{Limit, SUPERELASTIC_STRAIN};
use springline_model::stock::Name;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::{Arch, Tooth};

/// One figure of one tooth in one step.
pub struct FigurePastLimit {
    pub step: Name,
    pub tooth: Tooth,
    pub limit: Limit,
    pub value: f64,
    /// The most that would not be past it.
    pub most: f64,
    /// Whether the step starts from predicted positions, after a wire that has become passive.
    pub predicted: bool,
}

/// All of a plan, with the steps that were looked at.
pub struct PastLimits {
    pub past: Vec<FigurePastLimit>,
    pub steps: BTreeSet<(Arch, Name)>,
}

pub fn past_limits(case: &Case, forecast: &Forecast) -> PastLimits {
    let trees = Trees::default();
    let context = RuleContext { case, forecast, today: None, trees: &trees };
    let views = context.views();
    let steps = views.iter().map(|v| (v.side(), v.step.name.clone())).collect();
    PastLimits { past: views.iter().flat_map(of_step).collect(), steps }
}

impl PastLimits {
    /// The same figure of this plan, where it is past its limit too. A step that the other plan alone has is
    /// held against the worst that the tooth meets in this one.
    pub fn of(&self, other: &FigurePastLimit) -> Option<f64> {
        let same = |p: &&FigurePastLimit| p.tooth == other.tooth && p.limit == other.limit;
        let here = self.past.iter().filter(same);
        match self.steps.contains(&(other.tooth.arch(), other.step.clone())) {
            true => here.filter(|p| p.step == other.step).map(|p| p.value).next(),
            false => here.map(|p| p.value).max_by(f64::total_cmp),
        }
    }
}

fn of_step(view: &StepView<'_>) -> Vec<FigurePastLimit> {
    let mut out = Vec::new();
    let limits = &view.case.house.limits;
    let predicted = view.index > 0 && view.follows_done_work();
    let mut look = |limit: Limit, tooth: Tooth, value: f64, at_least: f64| {
        let figures = limits.for_tooth(limit, tooth).value;
        let most = figures.warn.max(at_least);
        if passes(value, figures).is_some() && value > most + 1e-9 {
            out.push(FigurePastLimit {
                step: view.step.name.clone(),
                tooth,
                limit,
                value,
                most,
                predicted,
            });
        }
    };
    let rigid = is_rigid_alloy(&view.wire().wire);
    if rigid && view.wire_goes_in() && view.knows_poses() {
        // What a tooth on one wing has left is what its other wing is for.
        let whole = |t: &Tooth| view.state.status(*t) == ToothStatus::Engaged;
        for tooth in view.in_wire().into_iter().filter(whole) {
            let pose = view.pose(tooth);
            // Predicted positions share common errors, so only the deviation from neighbours counts.
            let off = match view.index {
                0 => pose.off_mm(),
                _ => pose.off_mm().min(super::far_tooth::off_line(view, tooth)),
            };
            look(Limit::Misfit, tooth, off, 0.0);
            look(Limit::Turn, tooth, pose.turned_deg(), 0.0);
        }
    }
    let Some(insertion) = insertion(view) else { return out };
    for load in &insertion.teeth {
        let tooth = load.tooth;
        let grams = |n: f64| newtons_to_grams(n);
        match rigid {
            true => look(Limit::Delivered, tooth, grams(load.delivered_n), 0.0),
            false => {
                let sustained = grams(load.sustained_n);
                // The lightest wire is asked for only where the limit in grams is passed.
                let past = passes(sustained, limits.for_tooth(Limit::Sustained, tooth).value);
                let lightest = past.and_then(|_| lightest_g(insertion)).unwrap_or(0.0);
                let times = limits.for_tooth(Limit::SustainedRatio, tooth).value.warn;
                look(Limit::Sustained, tooth, sustained, times * lightest);
            }
        }
        look(Limit::Peak, tooth, grams(load.peak_n), 0.0);
        let d = &load.delivered;
        look(Limit::Couple, tooth, d.rotation_nmm.abs().max(d.tip_nmm.abs()), 0.0);
        look(Limit::Torque, tooth, d.torque_nmm.abs(), 0.0);
        let strain = match view.wire().wire.alloy.is_niti() {
            true => load.strain / SUPERELASTIC_STRAIN,
            false => load.strain_fraction,
        };
        look(Limit::Strain, tooth, strain * 100.0, 0.0);
    }
    out
}
