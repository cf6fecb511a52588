//! Midlines as forecast: length that can leave on one side only runs past the midline, and the front teeth go with
//! it in part.

use jiff::civil::Date;

use crate::geometry::sliding::GOES_ALONG;
use crate::mouth::positions::Mouth;
use crate::plan::calendar::days_between;
use crate::timeline::moment::{Basis, MidlineForecast};
use crate::timeline::phase::{ArchForecast, Phase};
use springline_model::Case;
use springline_model::step::{ActKind, Midline};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side};

/// `midlines`: as entered or last measured; `index`: the phase that is in on the day.
pub(crate) fn forecast(
    case: &Case,
    arch: &ArchForecast,
    index: usize,
    midlines: &[(Arch, Midline, Basis)],
    on: Date,
) -> Option<MidlineForecast> {
    let (_, known, basis) = midlines.iter().find(|(a, ..)| *a == arch.arch)?;
    let since = match basis {
        Basis::Measured(visit) => case.visits.get(*visit).map(|v| v.on),
        _ => None,
    };
    let mut across = 0.0;
    for (i, phase) in arch.phases.iter().enumerate().take(index + 1) {
        let Some(date_in) = phase.date_in else { continue };
        let until = arch.phases.get(i + 1).filter(|_| i < index).and_then(|p| p.date_in);
        let to = until.map_or(on, |out| out.min(on));
        let from = since.map_or(date_in, |s| s.max(date_in));
        if from < to {
            let days = |day| days_between(date_in, day);
            across += passed_mm(case, phase, days(from), days(to))?;
        }
    }
    let off = match known.side {
        Side::Right => -mm(known.off),
        Side::Left => mm(known.off),
    };
    let left_mm = GOES_ALONG.map(|share| off + share * across);
    Some(MidlineForecast {
        arch: arch.arch,
        reference: known.reference,
        across_mm: across,
        left_mm,
    })
}

/// Wire that passes the midline between two days of a phase; `None` where a coil moves the front teeth as well,
/// which is not forecast.
fn passed_mm(case: &Case, phase: &Phase, from: f64, to: f64) -> Option<f64> {
    let pushes =
        |kind: &ActKind| matches!(kind, ActKind::OpenCoil { .. } | ActKind::ClosingCoil { .. });
    if phase.state.acts.iter().any(|act| pushes(&act.kind)) {
        return None;
    }
    let wire = phase.sliding(&case.house);
    let all = wire.across_midline_mm();
    if all == 0.0 {
        return Some(0.0);
    }
    let left = |days: f64| {
        let mut mouth: Mouth = phase.entry.clone();
        let poses = phase.teeth.iter().map(|t| t.tooth).zip(phase.poses_on(days));
        mouth.poses.extend(poses);
        wire.of_mouth(&mouth).iter().map(|s| s.gives_mm).sum::<f64>()
    };
    let entered = left(0.0);
    if entered <= 0.0 {
        return Some(0.0);
    }
    Some(all * ((left(from) - left(to)) / entered).clamp(-1.0, 1.0))
}
