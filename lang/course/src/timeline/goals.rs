//! What the goal asks of the bite, against what is forecast for the day on which the appliance comes off.

use jiff::civil::Date;

use crate::mouth::bite_figures::{BiteFigure, BiteFigures};
use crate::mouth::bite_moves::BiteCause;
use crate::plan::measures::up_to;
use crate::timeline::moment::{BiteMoment, Standing, Timeline, VisitMoment};
use springline_model::Case;

/// One figure of the goal at the end of the course; signs as in [`BiteFigure`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct GoalAtEnd {
    pub figure: BiteFigure,
    pub aim_mm: f64,
    /// As last measured, else as entered.
    pub now_mm: f64,
    /// Forecast of the median patient. Of a midline the least and the most that the front teeth may go with the
    /// wire; of all others both are the same.
    pub low_mm: f64,
    pub high_mm: f64,
    /// What moves it until then, and by how much.
    pub moved_by: Vec<(BiteCause, f64)>,
}

impl GoalAtEnd {
    /// What is left to the nearer end of the forecast, mm; nought where the aim lies within it.
    pub fn left_mm(&self) -> f64 {
        (self.low_mm - self.aim_mm).max(self.aim_mm - self.high_mm).max(0.0)
    }

    /// The forecast value that is nearest to the aim.
    pub fn nearest_mm(&self) -> f64 {
        self.aim_mm.clamp(self.low_mm, self.high_mm)
    }
}

impl Timeline {
    /// The visit at which the appliance comes off, recorded or to come.
    pub fn debond(&self) -> Option<&VisitMoment> {
        self.visits().iter().rev().find(|v| v.is_debond())
    }

    /// Every figure of the goal that is known to the forecast, on the day of the debond.
    pub fn goals_at_end(&self, case: &Case) -> Option<(Date, Vec<GoalAtEnd>)> {
        let end = self.debond()?;
        let goal = BiteFigures::of(&case.goal.as_ref()?.bite);
        let now = as_recorded(case);
        let known = |figure| {
            let aim_mm = goal.get(figure)?;
            let forecast = end.bite.forecast.iter().find(|f| f.figure == figure)?;
            let recorded = matches!(end.standing, Standing::Recorded(_));
            let (low_mm, high_mm) = match figure {
                BiteFigure::Midline(_) if !recorded => with_the_wire(&end.bite, figure)?,
                _ => (forecast.value_mm, forecast.value_mm),
            };
            Some(GoalAtEnd {
                figure,
                aim_mm,
                now_mm: now.get(figure)?,
                low_mm,
                high_mm,
                moved_by: forecast.moved_by.clone(),
            })
        };
        Some((end.date, BiteFigure::ALL.into_iter().filter_map(known).collect()))
    }
}

/// The bite as entered, with what visits measured since in its place.
fn as_recorded(case: &Case) -> BiteFigures {
    let mut figures = BiteFigures::of(&case.bite);
    for arch in &case.arches {
        if let Some((line, _)) = &arch.midline {
            figures.midline(arch.arch, line);
        }
    }
    for (_, visit) in up_to(case, Date::MAX) {
        figures.replace(&visit.bite);
        for seen in &visit.arches {
            if let Some(line) = &seen.midline {
                figures.midline(seen.arch, line);
            }
        }
    }
    figures
}

/// The ends between which a midline stands, as the front teeth go with none or with all of the wire. `None` where that
/// is not forecast, so that nothing can be said of its goal.
fn with_the_wire(bite: &BiteMoment, figure: BiteFigure) -> Option<(f64, f64)> {
    let line = bite.midlines_forecast.iter().find(|m| BiteFigure::Midline(m.arch) == figure)?;
    let ends = line.left_mm.into_iter();
    Some((ends.clone().reduce(f64::min)?, ends.reduce(f64::max)?))
}
