//! Midlines as forecast: one figure from all that carries them. Length that can leave on one side only runs past the
//! midline, and the front teeth go with it in part; the side that lacks more room pushes the front to the other; and
//! elastics pull unevenly.

use jiff::civil::Date;

use crate::geometry::sliding::GOES_ALONG;
use crate::law::movement::MONTH_DAYS;
use crate::law::rates::LENGTH_PER_FORWARD;
use crate::mouth::bite_figures::BiteFigure;
use crate::mouth::bite_moves::BiteCause;
use crate::mouth::positions::Mouth;
use crate::plan::calendar::days_between;
use crate::room::one_sided::{PUSHED_OVER, more_on_the_right};
use crate::room::room_account::RoomSource;
use crate::timeline::moment::{Basis, BiteForecast, MidlineForecast};
use crate::timeline::phase::{ArchForecast, Phase};
use springline_model::Case;
use springline_model::step::{ActKind, Midline, MidlineReference};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side};

/// Of the midline's rate under elastics, 0.3 mm a month: 0.2 and 0.5 (common practice, no source).
const UNDER_ELASTICS: [f64; 3] = [0.67, 1.0, 1.67];

/// What carried a midline since it was last known; mm, to the patient's left is positive.
#[derive(Debug, Clone, Copy, Default)]
struct Carried {
    /// Wire that passed it.
    wire_mm: f64,
    /// Room that the right side made more than the left.
    room_mm: f64,
    elastics_mm: f64,
}

impl Carried {
    /// Least, median and most, towards the patient's left.
    fn by_mm(&self) -> [f64; 3] {
        let parts = [
            GOES_ALONG.map(|share| share * self.wire_mm),
            PUSHED_OVER.map(|share| share * self.room_mm),
            UNDER_ELASTICS.map(|share| share * self.elastics_mm),
        ];
        let sum = |of: fn(&[f64; 3]) -> f64| parts.iter().map(of).sum::<f64>();
        [sum(|p| p[0].min(p[2])), sum(|p| p[1]), sum(|p| p[0].max(p[2]))]
    }
}

/// `midlines`: as entered or last measured; `index`: the phase that is in on the day; `bite`: as forecast from the
/// same measurements on.
pub(crate) fn forecast(
    case: &Case,
    arch: &ArchForecast,
    index: usize,
    (midlines, bite): (&[(Arch, Midline, Basis)], &[BiteForecast]),
    on: Date,
) -> Option<MidlineForecast> {
    let (_, known, basis) = midlines.iter().find(|(a, ..)| *a == arch.arch)?;
    let since = match basis {
        Basis::Measured(visit) => case.visits.get(*visit).map(|v| v.on),
        _ => None,
    };
    let mut carried = Carried::default();
    for (i, phase) in arch.phases.iter().enumerate().take(index + 1) {
        let Some(date_in) = phase.date_in else { continue };
        let until = arch.phases.get(i + 1).filter(|_| i < index).and_then(|p| p.date_in);
        let to = until.map_or(on, |out| out.min(on));
        let from = since.map_or(date_in, |s| s.max(date_in));
        if from < to {
            let days = |day| days_between(date_in, day);
            carried.wire_mm += passed_mm(case, phase, days(from), days(to))?;
            carried.room_mm += made_aside_mm(phase, days(from), days(to));
        }
    }
    // Elastics move it against the face; where the other arch is the mark, both moves count.
    let by_elastics = |arch: Arch| -> f64 {
        let figure = bite.iter().find(|b| b.figure == BiteFigure::Midline(arch));
        let moves = figure.into_iter().flat_map(|b| &b.moved_by);
        moves.filter(|(by, _)| matches!(by, BiteCause::Elastics(_))).map(|(_, mm)| mm).sum()
    };
    if known.reference == MidlineReference::Face {
        carried.elastics_mm = by_elastics(arch.arch);
    }
    let off = match known.side {
        Side::Right => -mm(known.off),
        Side::Left => mm(known.off),
    };
    Some(MidlineForecast {
        arch: arch.arch,
        reference: known.reference,
        across_mm: carried.wire_mm,
        room_mm: carried.room_mm,
        elastics_mm: carried.elastics_mm,
        left_mm: carried.by_mm().map(|by| off + by),
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

/// Room that the front makes by coming forward between two days, on the right side more than on the left, mm.
fn made_aside_mm(phase: &Phase, from: f64, to: f64) -> f64 {
    let forward = phase.room.made.iter().filter(|m| m.source == RoomSource::Forward);
    let a_day: f64 = forward.map(|m| m.mm_per_month / MONTH_DAYS).sum();
    let all = phase.room.incisors_forward_mm * LENGTH_PER_FORWARD;
    let made = |days: f64| (a_day * days.max(0.0)).min(all);
    (made(to) - made(from)) * more_on_the_right(&phase.state, &phase.entry)
}

impl MidlineForecast {
    /// How far it has gone since it was last known, mm, to the patient's left positive: the median.
    pub fn moved_mm(&self) -> f64 {
        let carried = Carried {
            wire_mm: self.across_mm,
            room_mm: self.room_mm,
            elastics_mm: self.elastics_mm,
        };
        carried.by_mm()[1]
    }

    /// "about 0.9 mm to the patient's right of the face (1.4 to 0.5)".
    pub fn say(&self) -> String {
        let tenth = |mm: f64| (10.0 * mm).round() / 10.0;
        let [least, median, most] = self.left_mm.map(tenth);
        let side = |mm: f64| if mm > 0.0 { Side::Left } else { Side::Right };
        let mark = match self.reference {
            MidlineReference::Face => "the face",
            MidlineReference::Upper => "the upper",
            MidlineReference::Lower => "the lower",
        };
        let at = |mm: f64| match mm == 0.0 {
            true => format!("on {mark}"),
            false => format!("{:.1} mm to the patient's {} of {mark}", mm.abs(), side(mm)),
        };
        match (least, most) {
            (a, b) if a == b => at(median),
            (a, b) if a * b >= 0.0 => {
                format!("about {} ({:.1} to {:.1})", at(median), a.abs(), b.abs())
            }
            (a, b) => format!("about {} ({} to {})", at(median), at(a), at(b)),
        }
    }
}
