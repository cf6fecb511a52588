//! What moves the bite, and where it stands after so many days.

use crate::law::bite_rates::{
    LEVELLING_MOST_MM_PER_MONTH, RAISERS_MM_PER_MONTH, levelling_mm_per_day,
};
use crate::law::rates::per_day;
use crate::mouth::bite_figures::{BiteFigure, BiteFigures};
use springline_units::tooth::Arch;

/// What moves the bite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BiteCause {
    /// Index of the block among the case's.
    Elastics(usize),
    Raisers,
    /// The wire of that arch levels its curve by its stiffness.
    Wire(Arch),
    /// The reverse curve bent into it.
    ReverseCurve(Arch),
    /// Spaces of that arch are closed.
    Closing(Arch),
    /// Teeth of that arch come into line on one side more than on the other.
    Aligning(Arch),
}

/// A steady move of one figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SteadyMove {
    pub by: BiteCause,
    pub figure: BiteFigure,
    pub mm_per_day: f64,
    /// Days after the wire went in.
    pub from_days: f64,
    pub to_days: f64,
    /// It goes no farther than this: the doctor takes the elastics off.
    pub bound: Option<f64>,
}

impl SteadyMove {
    /// Of a patient in whom everything goes so many times as fast.
    pub fn at_pace(self, pace: f64) -> SteadyMove {
        let to_days = self.from_days + (self.to_days - self.from_days) / pace;
        SteadyMove { mm_per_day: self.mm_per_day * pace, to_days, ..self }
    }
}

/// A wire that levels the curve of its arch, and the days it is in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LevellingWire {
    pub arch: Arch,
    pub rigidity_nmm2: f64,
    pub reverse_mm: f64,
    /// Depth of its curve for a millimetre of overbite over level: half, where nobody measured it.
    pub curve_share: f64,
    pub days: (f64, f64),
}

/// Raisers: the days on which they are on, and the overbite at which they come off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Raisers {
    pub days: (f64, f64),
    pub off_at_mm: Option<f64>,
}

/// Everything that acts on the bite in a phase of one arch.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct BiteMoves {
    pub steady: Vec<SteadyMove>,
    pub wires: Vec<LevellingWire>,
    pub raisers: Vec<Raisers>,
    /// Overbite at which the curve counts as level.
    pub level_mm: f64,
}

pub(crate) const ALWAYS: (f64, f64) = (0.0, f64::INFINITY);

/// Days that two spans have in common; negative where they are apart.
fn overlap(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.1.min(b.1) - a.0.max(b.0)
}

/// A share of a change: by what, of what, how much.
pub(crate) type Share = (BiteCause, BiteFigure, f64);

/// Days in one go; figures change by a few tenths in it.
const STEP_DAYS: f64 = 7.0;
/// Beyond this nothing is forecast.
const HORIZON_DAYS: f64 = 1500.0;

impl BiteMoves {
    /// The same where it acts only between two days of another clock; on that clock its own first day is
    /// `from`.
    pub fn between(&self, from: f64, to: f64) -> BiteMoves {
        let clip = |(a, b): (f64, f64)| ((a + from).max(from), (b + from).min(to));
        let mut out = self.clone();
        for s in &mut out.steady {
            (s.from_days, s.to_days) = clip((s.from_days, s.to_days));
        }
        for w in &mut out.wires {
            w.days = clip(w.days);
        }
        for r in &mut out.raisers {
            r.days = clip(r.days);
        }
        out
    }

    /// What acts in other phases too, on the same clock.
    pub fn join(&mut self, other: BiteMoves) {
        self.steady.extend(other.steady);
        self.wires.extend(other.wires);
        self.raisers.extend(other.raisers);
        self.level_mm = self.level_mm.max(other.level_mm);
    }

    /// Something acts on the bite beside a wire.
    pub fn is_more_than_wire(&self) -> bool {
        !self.steady.is_empty() || !self.raisers.is_empty()
    }

    /// Changes in so many days from a day on.
    pub fn shares(&self, now: &BiteFigures, from: f64, days: f64) -> Vec<Share> {
        let mut out: Vec<Share> = Vec::new();
        for s in &self.steady {
            let Some(value) = now.get(s.figure) else { continue };
            let time = overlap((s.from_days, s.to_days), (from, from + days));
            // Elastics hang on both arches, and each arch tells of them.
            let told = |done: &Share| (done.0, done.1) == (s.by, s.figure);
            let twice = matches!(s.by, BiteCause::Elastics(_)) && out.iter().any(told);
            if time <= 0.0 || twice {
                continue;
            }
            let mut by = s.mm_per_day * time;
            if let Some(bound) = s.bound {
                let left = bound - value;
                by = if left * by <= 0.0 { 0.0 } else { by.abs().min(left.abs()).copysign(by) };
            }
            if by != 0.0 {
                out.push((s.by, s.figure, by));
            }
        }
        if let Some(overbite) = now.get(BiteFigure::Overbite) {
            out.extend(
                self.levelled(overbite, (from, from + days))
                    .into_iter()
                    .map(|(by, mm)| (by, BiteFigure::Overbite, mm)),
            );
        }
        out
    }

    /// By how much the overbite is levelled; the curve of each arch has its share of what is over level.
    fn levelled(&self, overbite: f64, days: (f64, f64)) -> Vec<(BiteCause, f64)> {
        let over = overbite - self.level_mm;
        if over <= 0.0 {
            return Vec::new();
        }
        // Those that stay longest on have the most to do.
        let raised = self.raisers.iter().map(|r| {
            let most = overbite - r.off_at_mm.unwrap_or(self.level_mm).max(self.level_mm);
            (per_day(RAISERS_MM_PER_MONTH) * overlap(r.days, days)).min(most)
        });
        let raised = raised.fold(0.0, f64::max);
        if raised > 0.0 {
            return vec![(BiteCause::Raisers, -raised)];
        }
        let each: Vec<(BiteCause, f64)> = self
            .wires
            .iter()
            .map(|w| {
                let depth = w.curve_share * over + w.reverse_mm;
                let cause = match w.reverse_mm > 0.0 {
                    true => BiteCause::ReverseCurve(w.arch),
                    false => BiteCause::Wire(w.arch),
                };
                let rate = levelling_mm_per_day(w.arch, w.rigidity_nmm2, depth);
                (cause, rate * overlap(w.days, days).max(0.0))
            })
            .filter(|(_, mm)| *mm > 0.0)
            .collect();
        let sum: f64 = each.iter().map(|(_, mm)| mm).sum();
        let most = (per_day(LEVELLING_MOST_MM_PER_MONTH) * (days.1 - days.0)).min(over);
        let share = if sum > most { most / sum } else { 1.0 };
        each.into_iter().map(|(by, mm)| (by, -share * mm)).collect()
    }

    /// The bite on a day, from where it stands on another; what moved it is handed over.
    pub fn advance(
        &self,
        figures: &mut BiteFigures,
        (from, to): (f64, f64),
        mut by: impl FnMut(Share),
    ) {
        let mut day = from;
        while day < to - 1e-9 {
            let days = STEP_DAYS.min(to - day);
            for share in self.shares(figures, day, days) {
                figures.add(share.1, share.2);
                by(share);
            }
            day += days;
        }
    }

    /// Days from a day on until a figure is reached; `None` where nothing takes it there.
    pub fn reach(
        &self,
        figures: &BiteFigures,
        from: f64,
        (figure, aim): (BiteFigure, f64),
    ) -> Option<f64> {
        let start = figures.get(figure)?;
        let way = aim - start;
        if way.abs() < 1e-9 {
            return Some(0.0);
        }
        let (mut now, mut day, mut before) = (*figures, from, start);
        while day - from < HORIZON_DAYS {
            self.advance(&mut now, (day, day + STEP_DAYS), |_| {});
            let value = now.get(figure)?;
            if (value - aim) * way >= -1e-9 {
                let share = if value == before { 1.0 } else { (aim - before) / (value - before) };
                return Some(day + STEP_DAYS * share.clamp(0.0, 1.0) - from);
            }
            before = value;
            day += STEP_DAYS;
        }
        None
    }

    /// Where a figure stands in mm once nothing moves it any more.
    pub fn farthest(&self, figures: &BiteFigures, from: f64, figure: BiteFigure) -> Option<f64> {
        let mut now = *figures;
        self.advance(&mut now, (from, from + HORIZON_DAYS), |_| {});
        now.get(figure)
    }

    /// First day on which something steady acts on a figure; a wire acts at once.
    pub fn begins(&self, figure: BiteFigure) -> f64 {
        let own = self.steady.iter().filter(|s| s.figure == figure).map(|s| s.from_days);
        let first = own.fold(f64::INFINITY, f64::min);
        if figure == BiteFigure::Overbite || !first.is_finite() { 0.0 } else { first.max(0.0) }
    }
}
