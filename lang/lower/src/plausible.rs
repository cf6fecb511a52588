//! Plausible ranges of every quantity, by its place in the language.
//!
//! An impossible value is an error, an unusual one a warning. Fixes try common mistakes (inches for
//! millimetres, ounces for grams, a misplaced decimal point) and offer only plausible results.

use springline_units::quantity::{Dimension, Quantity, Unit, plain};

/// A place for a quantity, with its ranges. Figures in the base unit of the dimension: mm, g, N mm, MPa,
/// degrees, days, percent, factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plausible {
    /// With its article: "a wire section".
    pub what: &'static str,
    pub dimension: Dimension,
    /// Values outside are impossible.
    pub possible: (f64, f64),
    /// Values outside are unusual.
    pub usual: (f64, f64),
}

macro_rules! plausible {
    ($($name:ident: $what:literal, $dim:ident, $p0:literal..$p1:literal, $u0:literal..$u1:literal;)*) => {
        $(pub const $name: Plausible = Plausible {
            what: $what,
            dimension: Dimension::$dim,
            possible: ($p0, $p1),
            usual: ($u0, $u1),
        };)*
        /// Every entry, for the reference page and its test.
        pub const ALL: &[(&str, Plausible)] = &[$((stringify!($name), $name)),*];
    };
}

// Common practice, no source, except where anatomy or available products bound the figure.
plausible! {
    WIRE_SIZE: "a wire section", Length, 0.1..1.0, 0.2..0.74;
    SLOT_SIZE: "a bracket slot", Length, 0.3..1.0, 0.4..0.8;
    EDGE: "a wire's edge radius", Length, 0.0..0.2, 0.0..0.1;
    SIZE_TOLERANCE: "a size tolerance", Length, 0.0..0.1, 0.0..0.03;
    BRACKET_WIDTH: "the width of a bracket or tube", Length, 0.8..8.0, 1.5..6.0;
    ARCH_FORM: "the constant of an arch form", Length, 5.0..60.0, 10.0..35.0;
    CANINE_WIDTH: "the width of an arch form at the canines", Length, 10.0..60.0, 24.0..44.0;
    CANINE_DEPTH: "the depth of an arch form at the canines", Length, 0.5..30.0, 3.0..14.0;
    MOLAR_WIDTH: "the width of an arch form at the first molars", Length, 20.0..90.0, 42.0..70.0;
    MOLAR_DEPTH: "the depth of an arch form at the first molars", Length, 5.0..60.0, 20.0..40.0;
    DISPLACEMENT: "the displacement of a tooth", Length, 0.0..15.0, 0.0..8.0;
    ROTATION: "the rotation of a tooth", Angle, 0.0..180.0, 0.0..90.0;
    TIP: "the tip of a tooth", Angle, 0.0..60.0, 0.0..35.0;
    TORQUE_ANGLE: "a torque", Angle, 0.0..60.0, 0.0..35.0;
    CROWN_WIDTH: "the width of a crown", Length, 2.0..15.0, 4.0..13.0;
    SPACE: "the space for a tooth", Length, 0.0..20.0, 0.0..13.0;
    POINT_ERROR: "the error of a picked point", Length, 0.01..2.0, 0.05..1.0;
    PROMINENCE: "the prominence of a crown", Length, 0.0..6.0, 0.5..4.0;
    SLOT_HEIGHT: "the height of a slot", Length, 0.0..10.0, 1.0..7.0;
    GAP: "a gap", Length, 0.0..30.0, 0.0..15.0;
    OVERLAP: "the overlap of two crowns", Length, 0.0..12.0, 0.0..5.0;
    CROWDING: "the crowding of an arch", Length, 0.0..20.0, 0.0..12.0;
    OVERJET: "an overjet", Length, 0.0..20.0, 0.0..12.0;
    OVERBITE: "an overbite", Length, 0.0..15.0, 0.0..9.0;
    CLASS_AMOUNT: "a molar or canine relation", Length, 0.0..15.0, 0.0..10.0;
    MIDLINE: "a midline shift", Length, 0.0..12.0, 0.0..6.0;
    SLACK: "the slack of a wire end", Length, 0.0..10.0, 0.0..4.0;
    CURVE_OF_SPEE: "a curve of Spee", Length, 0.0..10.0, 0.0..6.0;
    CURVE: "a reverse curve", Length, 0.0..10.0, 0.0..5.0;
    POWER_ARM: "the height of a power arm", Length, 0.0..25.0, 1.0..15.0;
    REDUCTION: "an enamel reduction at a contact", Length, 0.0..1.0, 0.0..0.5;
    ACTIVATION: "the activation of a coil", Length, 0.0..12.0, 0.5..6.0;
    STROKE: "the stroke of a coil", Length, 0.0..30.0, 0.5..16.0;
    COIL_LENGTH: "the length of a coil", Length, 1.0..400.0, 3.0..200.0;
    ELASTIC_SIZE: "the size of an elastic", Length, 2.0..25.4, 3.0..20.0;
    STOP_LENGTH: "the length of a stop", Length, 0.3..5.0, 0.8..3.0;
    TRACTION_FORCE: "the force of traction", Force, 5.0..500.0, 20.0..150.0;
    EXPANSION: "the width that an expander gains", Length, 0.0..20.0, 1.0..12.0;
    TURN: "what a turn of an expander opens", Length, 0.05..2.0, 0.1..1.0;
    LOCKED_TIME: "how long an expander stays locked", Time, 1.0..1100.0, 60.0..300.0;
    TOOTH_SIZE: "a ratio of tooth widths", Percent, 50.0..130.0, 68.0..102.0;
    COIL_FORCE: "the force of a coil", Force, 5.0..800.0, 20.0..500.0;
    CHAIN_FORCE: "the force of a chain", Force, 5.0..800.0, 30.0..400.0;
    ELASTIC_FORCE: "the force of an elastic", Force, 10.0..500.0, 40.0..260.0;
    LIMIT_FORCE: "a force limit", Force, 1.0..2000.0, 5.0..1200.0;
    LIMIT_COUPLE: "a couple limit", Couple, 0.5..200.0, 1.0..80.0;
    LIMIT_LENGTH: "a limit in millimetres", Length, 0.05..30.0, 0.1..15.0;
    LIMIT_ANGLE: "a limit in degrees", Angle, 0.5..90.0, 1.0..45.0;
    LIMIT_PERCENT: "a limit in percent", Percent, 1.0..200.0, 5.0..120.0;
    LIMIT_FACTOR: "a limit as a factor", Ratio, 0.5..20.0, 1.0..6.0;
    CHART_SPAN: "the span of a bench test", Length, 3.0..40.0, 8.0..20.0;
    CHART_FORCE: "the bench ceiling", Force, 5.0..1000.0, 20.0..200.0;
    BEND_FORCE: "the force of a bending test", Force, 1.0..5000.0, 10.0..2000.0;
    DEFLECTION: "the deflection of a bending test", Length, 0.05..10.0, 0.1..5.0;
    MODULUS: "a Young modulus", Stress, 5000.0..300000.0, 20000.0..230000.0;
    STRENGTH: "a yield stress or plateau", Stress, 20.0..3000.0, 80.0..2200.0;
    AF: "the Af of a wire", Temperature, 0.0..80.0, 5.0..45.0;
    FRICTION: "a coefficient of friction", Ratio, 0.0..2.0, 0.05..0.7;
    MOUTH: "the temperature of wires in the mouth", Temperature, 15.0..45.0, 33.0..38.0;
    FORCE_LEFT: "what is left of a force", Percent, 1.0..100.0, 10.0..100.0;
    FORCE_TIME: "the time after which a force was measured", Time, 0.0006..200.0, 0.02..60.0;
    INTERVAL: "the time between visits", Time, 1.0..366.0, 7.0..190.0;
    STEP_TIME: "the time of a step", Time, 1.0..1100.0, 7.0..400.0;
    LONG_TIME: "a longest time", Time, 7.0..1500.0, 14.0..400.0;
    RETAIN_TIME: "a time of retention", Time, 7.0..40000.0, 30.0..8000.0;
    CHAIR_TIME: "chair time", Time, 0.0007..0.35, 0.0034..0.085;
    DAY_CHAIR_TIME: "the chair time of a day", Time, 0.02..7.0, 0.083..4.0;
    WEAR_HOURS: "hours of wear a day", Time, 0.04..1.0, 0.25..1.0;
    BOOK_PERCENT: "a share of patients", Percent, 5.0..99.0, 30.0..95.0;
    LEARNED_FORCE: "a learned force", Force, 0.5..2000.0, 3.0..500.0;
    LEARNED_FACTOR: "a learned factor", Ratio, 0.1..10.0, 0.4..2.5;
}

/// How a figure leaves its range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    Fine,
    Unusual,
    Impossible,
}

/// The figure in the base unit of [`Plausible`].
fn base(quantity: Quantity) -> f64 {
    let unit = match quantity.dimension() {
        Dimension::Length => Unit::Mm,
        Dimension::Force => Unit::G,
        Dimension::Couple => Unit::Nmm,
        Dimension::Stress => Unit::MPa,
        Dimension::Angle => Unit::Deg,
        Dimension::Time => Unit::D,
        Dimension::Temperature => Unit::C,
        Dimension::Percent => Unit::Percent,
        Dimension::Ratio => Unit::Times,
    };
    quantity.in_unit(unit).unwrap_or(f64::NAN)
}

impl Plausible {
    /// Judges a quantity of this dimension.
    pub fn judge(&self, quantity: Quantity) -> Verdict {
        let value = base(quantity);
        // A small tolerance, so that a bound typed in another unit is not outside itself.
        let within = |(low, high): (f64, f64)| {
            value >= low - 1e-9 * low.abs() && value <= high * (1.0 + 1e-9)
        };
        if !value.is_finite() || !within(self.possible) {
            Verdict::Impossible
        } else if !within(self.usual) {
            Verdict::Unusual
        } else {
            Verdict::Fine
        }
    }

    /// Likely corrections as text: the same figure in another unit, or with its decimal point moved; only
    /// values that are usual here, likeliest first.
    pub fn likely(&self, quantity: Quantity) -> Vec<Quantity> {
        let mut out: Vec<Quantity> = Vec::new();
        for unit in self.dimension.units() {
            let other = Quantity::new(quantity.value, *unit);
            if self.judge(other) == Verdict::Fine {
                out.push(other);
            }
        }
        if quantity.dimension() == self.dimension {
            // The smallest mistake that explains the figure; larger ones only where none does.
            for pair in [[0.1, 10.0], [0.01, 100.0], [0.001, 1000.0]] {
                if !out.is_empty() {
                    break;
                }
                for factor in pair {
                    let moved = Quantity::new(tidy(quantity.value * factor), quantity.unit);
                    if self.judge(moved) == Verdict::Fine && !out.contains(&moved) {
                        out.push(moved);
                    }
                }
            }
        }
        out
    }

    /// The usual range in a unit of choice: "0.2 to 0.74 mm".
    pub fn range_text(&self) -> String {
        let unit = match self.dimension {
            Dimension::Time if self.usual.1 <= 0.1 => {
                let minutes = |d: f64| plain((d * 1440.0).round());
                return format!("{} to {} min", minutes(self.usual.0), minutes(self.usual.1));
            }
            Dimension::Time if self.usual.1 <= 4.0 => {
                let hours = |d: f64| plain((d * 24.0).round());
                return format!("{} to {} h", hours(self.usual.0), hours(self.usual.1));
            }
            Dimension::Time => {
                let weeks = |d: f64| plain((d / 7.0).round());
                return format!("{} to {} wk", weeks(self.usual.0), weeks(self.usual.1));
            }
            Dimension::Length => "mm",
            Dimension::Force => "g",
            Dimension::Couple => "Nmm",
            Dimension::Stress => "MPa",
            Dimension::Angle => "deg",
            Dimension::Temperature => "C",
            Dimension::Percent => "%",
            Dimension::Ratio => "times",
        };
        format!("{} to {} {unit}", plain(self.usual.0), plain(self.usual.1))
    }
}

/// Removes rounding noise of binary arithmetic: 0.14 x 0.1 is 0.014.
fn tidy(value: f64) -> f64 {
    format!("{value:.9}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn likely(plausible: Plausible, value: f64, unit: Unit) -> Vec<String> {
        plausible.likely(Quantity::new(value, unit)).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn the_usual_slips_are_understood() {
        assert_eq!(likely(WIRE_SIZE, 0.014, Unit::Mm)[0], "0.014 in");
        assert_eq!(likely(WIRE_SIZE, 0.14, Unit::In), ["0.014 in"]);
        assert_eq!(likely(WIRE_SIZE, 0.4, Unit::In)[0], "0.4 mm");
        assert_eq!(likely(CHART_FORCE, 50.0, Unit::N)[0], "50 g");
        assert_eq!(likely(ELASTIC_FORCE, 4.5, Unit::G)[0], "4.5 oz");
    }

    #[test]
    fn the_usual_lies_within_the_possible() {
        for (name, p) in ALL {
            assert!(p.possible.0 <= p.usual.0 && p.usual.1 <= p.possible.1, "{name}");
        }
    }

    #[test]
    fn every_usual_wire_of_the_trade_is_fine() {
        for inches in [0.012, 0.014, 0.016, 0.018, 0.020, 0.022, 0.025, 0.028] {
            assert_eq!(WIRE_SIZE.judge(Quantity::new(inches, Unit::In)), Verdict::Fine);
        }
    }
}
