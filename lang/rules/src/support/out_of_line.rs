//! Which teeth of a step are out of line: farther than the practice lets a light rectangular wire go in.

use crate::prelude::*;

/// The teeth in the wire that are beyond the range of a light rectangular one, the worst first: figure, limit, unit.
pub fn far_off(view: &StepView<'_>) -> Vec<(Tooth, f64, f64, Unit)> {
    let limits = &view.case.house.limits;
    let mut out: Vec<(Tooth, f64, f64, Unit)> = view
        .state
        .teeth
        .iter()
        .filter(|t| t.status.is_in_wire() && !t.fixed)
        .filter_map(|t| {
            let pose = view.pose(t.tooth);
            let (mm, deg) = (pose.off_mm(), pose.rotated_rad.abs().to_degrees());
            let limit = |limit: Limit| limits.for_tooth(limit, t.tooth).value.warn;
            let (most_mm, most_deg) = (limit(Limit::LightMisfit), limit(Limit::LightTurn));
            if mm / most_mm >= deg / most_deg {
                (mm > most_mm + 1e-6).then_some((t.tooth, mm, most_mm, Unit::Mm))
            } else {
                (deg > most_deg + 1e-6).then_some((t.tooth, deg, most_deg, Unit::Deg))
            }
        })
        .collect();
    out.sort_by(|a, b| (b.1 / b.2).total_cmp(&(a.1 / a.2)));
    out
}
