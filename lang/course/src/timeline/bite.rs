//! The bite on the date of a visit: as last measured, and as forecast.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::timeline::midline;
use crate::timeline::moment::{Basis, BiteMoment, Known};
use crate::timeline::phase::{ArchForecast, Phase};
use crate::timeline::records::{overbite_mm, up_to};
use springline_model::Case;
use springline_model::case::Bite;
use springline_model::step::Midline;
use springline_units::tooth::Arch;

/// `phases`: of each arch, what is in when the patient comes.
pub(crate) fn bite(
    case: &Case,
    arches: &[ArchForecast],
    phases: &[(Arch, usize)],
    on: Date,
) -> BiteMoment {
    let mut out = BiteMoment::default();
    let (mut molars, mut canines, mut midlines) =
        (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
    let seen = up_to(case, on).into_iter().map(|(i, v)| (&v.bite, Basis::Measured(i)));
    for (bite, basis) in std::iter::once((&case.bite, Basis::Entered)).chain(seen) {
        let Bite { overjet, .. } = bite;
        if let Some((jet, _)) = overjet {
            out.overjet_mm = Some(Known::exactly(jet.mm(), basis));
        }
        if let Some(overbite) = overbite_mm(bite) {
            out.overbite_mm = Some(Known::exactly(overbite, basis));
        }
        molars.extend(bite.molars.iter().map(|(s, r)| (*s, (*r, basis))));
        canines.extend(bite.canines.iter().map(|(s, r)| (*s, (*r, basis))));
        midlines.extend(bite.midlines.iter().map(|(a, (m, _))| (*a, (*m, basis))));
        // What is said at an arch counts for it, in the entry as in a record.
        let at_arches: Vec<(Arch, Midline)> = match basis {
            Basis::Measured(visit) => {
                let arches = case.visits.get(visit).into_iter().flat_map(|v| &v.arches);
                arches.filter_map(|a| Some((a.arch, a.midline?))).collect()
            }
            _ => case.arches.iter().filter_map(|a| Some((a.arch, a.midline?.0))).collect(),
        };
        midlines.extend(at_arches.into_iter().map(|(arch, line)| (arch, (line, basis))));
    }
    for (_, visit) in up_to(case, on) {
        out.over_the_bite.extend(visit.over_the_bite.iter().copied());
    }
    out.over_the_bite.sort();
    out.over_the_bite.dedup();
    let crossed = case.bite.crossbite.iter();
    out.crossbite = crossed.filter(|t| !out.over_the_bite.contains(t)).copied().collect();
    out.molars = molars.into_iter().map(|(s, (r, b))| (s, r, b)).collect();
    out.canines = canines.into_iter().map(|(s, (r, b))| (s, r, b)).collect();
    out.midlines = midlines.into_iter().map(|(a, (m, b))| (a, m, b)).collect();
    let forecast = phases.iter().filter_map(|(arch, index)| {
        let phase = arches.iter().find(|a| a.arch == *arch)?.phases.get(*index)?;
        Some((*arch, of_phase(phase, on)))
    });
    out.forecast = forecast.collect();
    let midlines = phases.iter().filter_map(|(arch, index)| {
        let arch = arches.iter().find(|a| a.arch == *arch)?;
        midline::forecast(case, arch, *index, &out.midlines, on)
    });
    out.midlines_forecast = midlines.collect();
    out
}

/// Between entry and exit by straight line.
fn of_phase(phase: &Phase, on: Date) -> [Option<f64>; 2] {
    let days = phase.date_in.map_or(0.0, |from| days_between(from, on).max(0.0));
    let exit = phase.way.exit_days;
    let share = if exit > 0.0 { (days / exit).min(1.0) } else { 1.0 };
    let between = |i: usize| {
        let (from, to) = (phase.way.bite_in[i], phase.way.bite_out[i]);
        from.zip(to).map(|(from, to)| from + (to - from) * share).or(to)
    };
    [between(0), between(1)]
}
