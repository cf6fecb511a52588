//! Quantities with units, through the `uom` library: a length cannot be added to a force.
//!
//! The syntax tree keeps what the user typed; a quantity is only its meaning.

use std::fmt;

use serde::Serialize;
pub use uom::si::f64::{Angle, Force, Length, Pressure as Stress, Ratio, Torque as Couple};
use uom::si::{angle, force, length, pressure, ratio, torque};

/// What a number can measure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Dimension {
    Length,
    Force,
    Couple,
    Stress,
    Angle,
    Time,
    Temperature,
    Percent,
    Ratio,
}

impl Dimension {
    /// With its article, for a sentence: "A displacement is a length".
    pub fn describe(self) -> &'static str {
        match self {
            Dimension::Length => "a length",
            Dimension::Force => "a force",
            Dimension::Couple => "a couple",
            Dimension::Stress => "a stress",
            Dimension::Angle => "an angle",
            Dimension::Time => "a time",
            Dimension::Temperature => "a temperature",
            Dimension::Percent => "a percentage",
            Dimension::Ratio => "a factor",
        }
    }

    /// The units a fix offers for a bare number, likeliest first.
    pub fn units(self) -> &'static [Unit] {
        match self {
            Dimension::Length => &[Unit::Mm, Unit::In],
            Dimension::Force => &[Unit::G, Unit::N, Unit::Oz],
            Dimension::Couple => &[Unit::Nmm, Unit::Gmm],
            Dimension::Stress => &[Unit::MPa, Unit::GPa],
            Dimension::Angle => &[Unit::Deg],
            Dimension::Time => &[Unit::Wk, Unit::D, Unit::Mo],
            Dimension::Temperature => &[Unit::C],
            Dimension::Percent => &[Unit::Percent],
            Dimension::Ratio => &[Unit::Times],
        }
    }
}

/// Every unit of the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub enum Unit {
    Mm,
    Um,
    In,
    Mil,
    N,
    CN,
    G,
    Oz,
    Nmm,
    Gmm,
    MPa,
    GPa,
    Deg,
    Min,
    H,
    D,
    Wk,
    Mo,
    C,
    Percent,
    Times,
}

impl Unit {
    pub const ALL: [Unit; 21] = [
        Unit::Mm,
        Unit::Um,
        Unit::In,
        Unit::Mil,
        Unit::N,
        Unit::CN,
        Unit::G,
        Unit::Oz,
        Unit::Nmm,
        Unit::Gmm,
        Unit::MPa,
        Unit::GPa,
        Unit::Deg,
        Unit::Min,
        Unit::H,
        Unit::D,
        Unit::Wk,
        Unit::Mo,
        Unit::C,
        Unit::Percent,
        Unit::Times,
    ];

    /// The canonical symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Unit::Mm => "mm",
            Unit::Um => "um",
            Unit::In => "in",
            Unit::Mil => "mil",
            Unit::N => "N",
            Unit::CN => "cN",
            Unit::G => "g",
            Unit::Oz => "oz",
            Unit::Nmm => "Nmm",
            Unit::Gmm => "gmm",
            Unit::MPa => "MPa",
            Unit::GPa => "GPa",
            Unit::Deg => "deg",
            Unit::Min => "min",
            Unit::H => "h",
            Unit::D => "d",
            Unit::Wk => "wk",
            Unit::Mo => "mo",
            Unit::C => "C",
            Unit::Percent => "%",
            Unit::Times => "times",
        }
    }

    /// As it is printed for people; what is typed and what machines read stays `Nmm`.
    pub fn printed(self) -> &'static str {
        match self {
            Unit::Nmm => "N\u{b7}mm",
            other => other.symbol(),
        }
    }

    /// From its symbol, or from a synonym that the formatter rewrites (`weeks`, `"`).
    pub fn parse(text: &str) -> Option<Unit> {
        if let Some(unit) = Unit::ALL.into_iter().find(|u| u.symbol() == text) {
            return Some(unit);
        }
        Some(match text {
            "\"" | "inch" | "inches" => Unit::In,
            "°" | "degree" | "degrees" => Unit::Deg,
            "week" | "weeks" | "wks" => Unit::Wk,
            "month" | "months" => Unit::Mo,
            "day" | "days" => Unit::D,
            "hour" | "hours" => Unit::H,
            "minute" | "minutes" => Unit::Min,
            "gram" | "grams" | "gf" => Unit::G,
            "ounce" | "ounces" => Unit::Oz,
            "µm" | "μm" => Unit::Um,
            "percent" => Unit::Percent,
            _ => return None,
        })
    }

    pub fn dimension(self) -> Dimension {
        match self {
            Unit::Mm | Unit::Um | Unit::In | Unit::Mil => Dimension::Length,
            Unit::N | Unit::CN | Unit::G | Unit::Oz => Dimension::Force,
            Unit::Nmm | Unit::Gmm => Dimension::Couple,
            Unit::MPa | Unit::GPa => Dimension::Stress,
            Unit::Deg => Dimension::Angle,
            Unit::Min | Unit::H | Unit::D | Unit::Wk | Unit::Mo => Dimension::Time,
            Unit::C => Dimension::Temperature,
            Unit::Percent => Dimension::Percent,
            Unit::Times => Dimension::Ratio,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

/// International pound of 1959: 0.45359237 kg exactly, sixteen ounces to it.
const GRAMS_PER_OUNCE: f64 = 28.349523125;

/// A number with its unit, as read: dimension known at run time only.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Quantity {
    pub value: f64,
    pub unit: Unit,
}

impl Quantity {
    pub fn new(value: f64, unit: Unit) -> Self {
        Quantity { value, unit }
    }

    pub fn dimension(self) -> Dimension {
        self.unit.dimension()
    }

    pub fn length(self) -> Option<Length> {
        Some(match self.unit {
            Unit::Mm => Length::new::<length::millimeter>(self.value),
            Unit::Um => Length::new::<length::micrometer>(self.value),
            Unit::In => Length::new::<length::inch>(self.value),
            Unit::Mil => Length::new::<length::mil>(self.value),
            _ => return None,
        })
    }

    pub fn force(self) -> Option<Force> {
        Some(match self.unit {
            Unit::N => Force::new::<force::newton>(self.value),
            Unit::CN => Force::new::<force::centinewton>(self.value),
            Unit::G => Force::new::<force::gram_force>(self.value),
            // uom's own ounce-force is rounded to seven digits; this is the defined one.
            Unit::Oz => Force::new::<force::gram_force>(self.value * GRAMS_PER_OUNCE),
            _ => return None,
        })
    }

    pub fn couple(self) -> Option<Couple> {
        let newton_mm = match self.unit {
            Unit::Nmm => self.value,
            Unit::Gmm => grams_to_newtons(self.value),
            _ => return None,
        };
        Some(Couple::new::<torque::newton_millimeter>(newton_mm))
    }

    pub fn stress(self) -> Option<Stress> {
        Some(match self.unit {
            Unit::MPa => Stress::new::<pressure::megapascal>(self.value),
            Unit::GPa => Stress::new::<pressure::gigapascal>(self.value),
            _ => return None,
        })
    }

    pub fn angle(self) -> Option<Angle> {
        (self.unit == Unit::Deg).then(|| Angle::new::<angle::degree>(self.value))
    }

    pub fn period(self) -> Option<Period> {
        (self.dimension() == Dimension::Time)
            .then_some(Period { amount: self.value, unit: self.unit })
    }

    pub fn percent(self) -> Option<Ratio> {
        (self.unit == Unit::Percent).then(|| Ratio::new::<ratio::percent>(self.value))
    }

    pub fn factor(self) -> Option<Ratio> {
        (self.unit == Unit::Times).then(|| Ratio::new::<ratio::ratio>(self.value))
    }

    /// The value in another unit of the same dimension (`mo` counts 30.4 days here).
    pub fn in_unit(self, unit: Unit) -> Option<f64> {
        if unit.dimension() != self.dimension() {
            return None;
        }
        Some(self.value * si(self.unit) / si(unit))
    }
}

/// Factor from a unit to the base of its dimension (mm, N, N mm, MPa, deg, days, 1).
fn si(unit: Unit) -> f64 {
    let one = Quantity::new(1.0, unit);
    match unit.dimension() {
        Dimension::Length => one.length().map_or(1.0, mm),
        Dimension::Force => one.force().map_or(1.0, newtons),
        Dimension::Couple => one.couple().map_or(1.0, newton_mm),
        Dimension::Stress => one.stress().map_or(1.0, |s| s.get::<pressure::megapascal>()),
        Dimension::Time => one.period().map_or(1.0, |p| p.days()),
        Dimension::Angle | Dimension::Temperature | Dimension::Percent | Dimension::Ratio => 1.0,
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", plain(self.value), self.unit)
    }
}

/// A length of clinical time. Months are calendar months in dates and 30.4 days in mechanics, so a
/// period keeps its unit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Period {
    pub amount: f64,
    pub unit: Unit,
}

impl Period {
    pub fn days_of(days: f64) -> Period {
        Period { amount: days, unit: Unit::D }
    }

    pub fn weeks(weeks: f64) -> Period {
        Period { amount: weeks, unit: Unit::Wk }
    }

    /// In days; a month counts 30.4.
    pub fn days(self) -> f64 {
        self.amount
            * match self.unit {
                Unit::Min => 1.0 / 1440.0,
                Unit::H => 1.0 / 24.0,
                Unit::Wk => 7.0,
                Unit::Mo => 30.4,
                _ => 1.0,
            }
    }

    pub fn hours(self) -> f64 {
        self.days() * 24.0
    }

    pub fn minutes(self) -> f64 {
        self.days() * 1440.0
    }

    /// The day that lies this period after another. `None` outside the calendar.
    pub fn after(self, day: jiff::civil::Date) -> Option<jiff::civil::Date> {
        use jiff::ToSpan;
        let span = match self.unit {
            Unit::Mo if self.amount.fract() == 0.0 => (self.amount as i64).months(),
            _ => (self.days().round() as i64).days(),
        };
        day.checked_add(span).ok()
    }
}

impl fmt::Display for Period {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", plain(self.amount), self.unit)
    }
}

pub fn mm(length: Length) -> f64 {
    length.get::<length::millimeter>()
}

pub fn from_mm(value: f64) -> Length {
    Length::new::<length::millimeter>(value)
}

pub fn inches(length: Length) -> f64 {
    length.get::<length::inch>()
}

pub fn newtons(force: Force) -> f64 {
    force.get::<force::newton>()
}

pub fn from_newtons(value: f64) -> Force {
    Force::new::<force::newton>(value)
}

/// Gram-force, the trade's unit.
pub fn grams(force: Force) -> f64 {
    force.get::<force::gram_force>()
}

pub fn from_grams(value: f64) -> Force {
    Force::new::<force::gram_force>(value)
}

/// 1 g is 9.80665 mN (standard gravity, CGPM 1901).
pub fn grams_to_newtons(value: f64) -> f64 {
    newtons(from_grams(value))
}

pub fn newtons_to_grams(value: f64) -> f64 {
    grams(from_newtons(value))
}

pub fn newton_mm(couple: Couple) -> f64 {
    couple.get::<torque::newton_millimeter>()
}

pub fn degrees(angle: Angle) -> f64 {
    angle.get::<angle::degree>()
}

pub fn from_degrees(value: f64) -> Angle {
    Angle::new::<angle::degree>(value)
}

pub fn radians(angle: Angle) -> f64 {
    angle.get::<angle::radian>()
}

/// A ratio as a plain factor: 150 % is 1.5.
pub fn factor(ratio: Ratio) -> f64 {
    ratio.get::<ratio::ratio>()
}

pub fn megapascals(stress: Stress) -> f64 {
    stress.get::<pressure::megapascal>()
}

/// A number as a person writes it: at most four decimals, no trailing zeros, never `-0`.
pub fn plain(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let text = format!("{value:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// To a tenth, without a minus before nothing: no figure of a mouth is known better.
pub fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_read_back_what_they_write() {
        for unit in Unit::ALL {
            assert_eq!(Unit::parse(unit.symbol()), Some(unit));
        }
    }

    /// Sources: 1 in = 25.4 mm exactly and 1 lb = 0.45359237 kg exactly (international yard and
    /// pound agreement, 1959), hence 1 oz = 28.349523125 g; standard gravity 9.80665 m/s^2.
    #[test]
    fn conversions_are_the_defined_ones() {
        let q = |v, u| Quantity::new(v, u);
        assert!((q(1.0, Unit::In).in_unit(Unit::Mm).unwrap() - 25.4).abs() < 1e-12);
        assert!((q(1.0, Unit::Oz).in_unit(Unit::G).unwrap() - 28.349523125).abs() < 1e-9);
        assert!((q(1.0, Unit::G).in_unit(Unit::N).unwrap() - 0.00980665).abs() < 1e-12);
        assert!((q(1.0, Unit::GPa).in_unit(Unit::MPa).unwrap() - 1000.0).abs() < 1e-9);
        assert!(q(1.0, Unit::Oz).in_unit(Unit::Mm).is_none());
    }

    #[test]
    fn numbers_are_written_as_a_person_would() {
        assert_eq!(plain(0.014), "0.014");
        assert_eq!(plain(50.0), "50");
        assert_eq!(plain(-0.0), "0");
        assert_eq!(plain(2.40), "2.4");
    }
}
