//! Widths of the lower teeth against those of the upper.
//!
//! Norms: Bolton WA. Angle Orthod 1958;28(3):113-130: 55 well fitting sets of models, the six front teeth 77.2 %
//! (standard deviation 1.65), twelve teeth from first molar to first molar 91.3 % (1.91).

use serde::Serialize;

use springline_text::Place;
use springline_units::tooth::{Arch, Tooth};

/// Less is made up by tip, torque and the bite, mm (common practice, no source: 1.5 to 2 mm count).
pub const COUNTS_MM: f64 = 1.5;

/// Ratios as measured, in percent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToothSizeRatio {
    pub anterior: Option<f64>,
    pub overall: Option<f64>,
    pub place: Place,
}

/// Over which teeth the widths are added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ToothSizeSpan {
    Anterior,
    Overall,
}

impl ToothSizeSpan {
    pub const ALL: [ToothSizeSpan; 2] = [ToothSizeSpan::Anterior, ToothSizeSpan::Overall];

    pub fn word(self) -> &'static str {
        match self {
            ToothSizeSpan::Anterior => "anterior",
            ToothSizeSpan::Overall => "overall",
        }
    }

    /// Mean and standard deviation, percent.
    pub fn norm(self) -> (f64, f64) {
        match self {
            ToothSizeSpan::Anterior => (77.2, 1.65),
            ToothSizeSpan::Overall => (91.3, 1.91),
        }
    }

    /// The teeth of one arch.
    pub fn teeth(self, arch: Arch) -> Vec<Tooth> {
        let last = if self == ToothSizeSpan::Anterior { 3 } else { 6 };
        (0..16)
            .filter_map(|place| Tooth::at(arch, place))
            .filter(|t| t.position() <= last)
            .collect()
    }

    /// How much too wide the lower teeth are for the upper, mm; under nothing how much the upper are.
    pub fn lower_excess_mm(self, percent: f64, upper_mm: f64) -> f64 {
        let (norm, _) = self.norm();
        let over = (percent - norm) / 100.0 * upper_mm;
        // A millimetre off the lower teeth does what more than one off the upper does.
        if over > 0.0 { over } else { 100.0 / norm * over }
    }
}
