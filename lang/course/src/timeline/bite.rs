//! The bite on the date of a visit: as last measured, and as forecast.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::mouth::bite_figures::{BiteFigure, BiteFigures};
use crate::mouth::bite_moves::{BiteCause, BiteMoves};
use crate::plan::calendar::days_between;
use crate::plan::measures::{overbite_mm, up_to};
use crate::timeline::midline;
use crate::timeline::moment::{Basis, BiteForecast, BiteMoment, Known, MidlineForecast};
use crate::timeline::phase::ArchForecast;
use springline_model::Case;
use springline_model::case::Bite;
use springline_model::step::{Midline, MidlineReference};
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
    out.forecast = bite_on(case, arches, on);
    let midlines = phases.iter().filter_map(|(arch, index)| {
        let arch = arches.iter().find(|a| a.arch == *arch)?;
        midline::forecast(case, arch, *index, (&out.midlines, &out.forecast), on)
    });
    out.midlines_forecast = midlines.collect();
    for line in &out.midlines_forecast {
        carry(&mut out.forecast, line);
    }
    out
}

/// The midline's figure is one: what wire and room carry it is in it too.
fn carry(figures: &mut [BiteForecast], line: &MidlineForecast) {
    let here = BiteFigure::Midline(line.arch);
    if line.reference != MidlineReference::Face {
        return;
    }
    if let Some(figure) = figures.iter_mut().find(|f| f.figure == here) {
        let by = line.left_mm[1] - figure.value_mm;
        if by.abs() > 1e-9 {
            figure.value_mm += by;
            figure.moved_by.push((BiteCause::Aligning(line.arch), by));
        }
    }
}

/// Every known figure, from its last measurement on moved by all that both arches do.
fn bite_on(case: &Case, arches: &[ArchForecast], on: Date) -> Vec<BiteForecast> {
    let phases = || arches.iter().flat_map(|a| &a.phases);
    let Some(first) = phases().filter_map(|p| p.date_in).min() else { return Vec::new() };
    let mut moves = BiteMoves::default();
    for phase in phases() {
        let Some(from) = phase.date_in.map(|d| days_between(first, d)) else { continue };
        let to = phase.end.date.map_or(from + phase.way.exit_days, |d| days_between(first, d));
        moves.join(phase.way.acting.between(from, to));
    }
    let mut figures = BiteFigures::of(&case.bite);
    for arch in &case.arches {
        if let Some((line, _)) = &arch.midline {
            figures.midline(arch.arch, line);
        }
    }
    let mut moved: BTreeMap<(BiteFigure, BiteCause), f64> = BTreeMap::new();
    let mut day = 0.0;
    let mut advance = |figures: &mut BiteFigures, to: f64, moved: &mut BTreeMap<_, f64>| {
        moves.advance(figures, (day, to), |(by, figure, mm)| {
            *moved.entry((figure, by)).or_default() += mm;
        });
        day = to.max(day);
    };
    for (_, visit) in up_to(case, on) {
        advance(&mut figures, days_between(first, visit.on), &mut moved);
        let before = figures;
        figures.replace(&visit.bite);
        for seen in &visit.arches {
            if let Some(line) = &seen.midline {
                figures.midline(seen.arch, line);
            }
        }
        // What was measured starts anew.
        moved.retain(|(figure, _), _| before.get(*figure) == figures.get(*figure));
    }
    advance(&mut figures, days_between(first, on), &mut moved);
    let known = BiteFigure::ALL.into_iter().filter_map(|f| Some((f, figures.get(f)?)));
    known
        .map(|(figure, value_mm)| BiteForecast {
            figure,
            value_mm,
            moved_by: moved
                .iter()
                .filter(|((f, _), mm)| *f == figure && mm.abs() > 1e-9)
                .map(|((_, by), mm)| (*by, *mm))
                .collect(),
        })
        .collect()
}
