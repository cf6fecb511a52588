//! Bends and curves that were bent into a wire, as its rest curvature.

use super::mesh::{Rest, RestCurvature};
use super::{ArchWire, Bend, BendKind};

/// Length of wire over which one bend is made, mm.
const BEND_MM: f64 = 0.3;
/// Least distance of a bend from an edge of a slot, mm: a kink does not seat in a slot.
const CLEAR_MM: f64 = 0.1;

/// All rest shapes of the wire. A bend asked for inside a slot is made in the nearest free span. The edges of
/// every slot are given by their stations on the arch line and by their places along the base line.
pub(crate) fn creases(
    wire: &ArchWire,
    stations: &[(f64, f64)],
    ends: &[(f64, f64)],
) -> Vec<RestCurvature> {
    let mut all = Vec::new();
    let spans: Vec<(f64, f64)> = ends
        .windows(2)
        .map(|w| (w[0].1 + CLEAR_MM, w[1].0 - CLEAR_MM))
        .filter(|(a, b)| b > a)
        .collect();
    for bend in &wire.bends {
        let station_mm = along(bend.station_mm, stations, ends);
        let bend = &Bend { station_mm, ..*bend };
        let nearest = spans.iter().min_by(|a, b| {
            let away = |s: &(f64, f64)| (s.0 - bend.station_mm).max(bend.station_mm - s.1).max(0.0);
            away(a).total_cmp(&away(b))
        });
        if let Some(&span) = nearest {
            place(bend, span, &mut all);
        }
    }
    if let (Some(curve), Some(first), Some(last)) = (wire.reverse_curve, ends.first(), ends.last())
    {
        let rest = Rest::Rolled(curve.curvature_per_mm());
        all.push(RestCurvature { from_mm: first.0, to_mm: last.1, rest });
    }
    all
}

/// The place along the base line of a station of the arch line: the same share of its slot or span.
fn along(station_mm: f64, stations: &[(f64, f64)], ends: &[(f64, f64)]) -> f64 {
    if stations == ends {
        return station_mm;
    }
    let flat = |pairs: &[(f64, f64)]| pairs.iter().flat_map(|p| [p.0, p.1]).collect::<Vec<_>>();
    let (from, to) = (flat(stations), flat(ends));
    let Some(n) = from.windows(2).position(|w| w[0] <= station_mm && station_mm < w[1]) else {
        let before = from.first().is_some_and(|s| station_mm < *s);
        let end = if before { to.first() } else { to.last() };
        return end.copied().unwrap_or(station_mm);
    };
    to[n] + (station_mm - from[n]) / (from[n + 1] - from[n]) * (to[n + 1] - to[n])
}

fn place(bend: &Bend, (from, to): (f64, f64), all: &mut Vec<RestCurvature>) {
    let room = to - from;
    let mut put = |at: f64, angle: [f64; 3]| {
        let long = BEND_MM.min(room / 3.0);
        let middle = at.clamp(from + 0.5 * long, to - 0.5 * long);
        all.push(RestCurvature {
            from_mm: middle - 0.5 * long,
            to_mm: middle + 0.5 * long,
            rest: Rest::Even(angle.map(|a| a / long)),
        });
    };
    match bend.kind {
        BendKind::Rotation { rad } => put(bend.station_mm, [rad, 0.0, 0.0]),
        BendKind::Tip { rad } => put(bend.station_mm, [0.0, -rad, 0.0]),
        BendKind::Torque { rad } => put(bend.station_mm, [0.0, 0.0, rad]),
        BendKind::Step { gingival_mm } => {
            double(bend.station_mm, gingival_mm, (from, to), |at, a| put(at, [0.0, -a, 0.0]));
        }
        BendKind::InOut { lingual_mm } => {
            double(bend.station_mm, lingual_mm, (from, to), |at, a| put(at, [a, 0.0, 0.0]));
        }
    }
}

/// Two opposite bends, as far apart as 45 degrees ask for, or a millimetre.
fn double(station: f64, offset: f64, (from, to): (f64, f64), mut put: impl FnMut(f64, f64)) {
    let run = offset.abs().max(1.0).min((to - from) * 2.0 / 3.0);
    let angle = (offset / run).atan();
    let middle = station.clamp(from + 0.5 * run, to - 0.5 * run);
    put(middle - 0.5 * run, angle);
    put(middle + 0.5 * run, -angle);
}
