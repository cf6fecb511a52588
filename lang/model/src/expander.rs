//! A screw across the palate.

use jiff::civil::Date;
use serde::Serialize;

use springline_text::Place;
use springline_units::quantity::{Length, Period, mm};
use springline_units::tooth::Tooth;

/// An expander on banded teeth: it is turned at home until it is as wide, then locked, then taken off.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Expander {
    pub teeth: Vec<Tooth>,
    /// The day it is cemented; without one, when the arch starts.
    pub on: Option<Date>,
    pub width: Length,
    pub turns: u32,
    pub a_week: bool,
    /// What a turn opens; [`Expander::USUAL_TURN_MM`] unless said.
    pub turn: Option<Length>,
    pub locked: Period,
    pub place: Place,
}

impl Expander {
    /// A quarter turn of the usual screws (common practice, no source).
    pub const USUAL_TURN_MM: f64 = 0.25;

    pub fn turn_mm(&self) -> f64 {
        self.turn.map_or(Expander::USUAL_TURN_MM, mm)
    }

    /// Width won in a day while it is turned.
    pub fn mm_per_day(&self) -> f64 {
        f64::from(self.turns) * self.turn_mm() / if self.a_week { 7.0 } else { 1.0 }
    }

    /// Turns in all.
    pub fn all_turns(&self) -> f64 {
        let turn = self.turn_mm();
        if turn > 0.0 { (mm(self.width) / turn).ceil() } else { 0.0 }
    }

    /// Days until it is as wide; `None` where it is never turned.
    pub fn turning_days(&self) -> Option<f64> {
        let rate = self.mm_per_day();
        (rate > 0.0).then(|| mm(self.width) / rate)
    }
}
