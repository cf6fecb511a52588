//! The practice's limits: for each measured figure a warning limit and an error limit.
//!
//! The defaults come from the project's own simulation: computer-drawn arches labelled as accepted or
//! heavy by common practice; no patients. It can be repeated; see `lang/docs/limits.md`.

use std::collections::BTreeMap;

use serde::Serialize;

use super::provenance::Sourced;
use springline_units::quantity::Dimension;
use springline_units::tooth::Tooth;

/// Source of the defaults that were set by the simulation behind `lang/docs/limits.md`.
pub const SIMULATION: &str = "our own simulation: computer-drawn arches labelled by common practice, no patients \
                              (lang/docs/limits.md)";

/// Strain at which superelastic wire is refused under a limit of 100 %: twice the 6 to 8 % that it is
/// published to come back from (Otsuka K, Ren X. Prog Mater Sci 2005;50:511-678; value from memory). 8 %
/// itself would refuse a fifth of the accepted arches of [`SIMULATION`].
pub const SUPERELASTIC_STRAIN: f64 = 0.16;

/// The figures that can be limited.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Limit {
    /// Force of a wire in the bench test, over a stated span.
    Chart,
    /// Force left after 0.5 mm of tooth movement.
    Sustained,
    /// The same as a multiple of 0.014 in superelastic wire in the same arch.
    SustainedRatio,
    /// Force left after 0.2 mm of tooth movement (steel and beta-titanium).
    Delivered,
    /// Force when the wire goes in.
    Peak,
    Intrusion,
    Extrusion,
    Bodily,
    Tipping,
    Couple,
    Torque,
    /// Remaining misfit, in mm, when steel or beta-titanium is inserted.
    Misfit,
    /// The same in degrees.
    Turn,
    /// Strain as a share, in percent: of the elastic limit, for nickel-titanium of
    /// [`SUPERELASTIC_STRAIN`].
    Strain,
    /// Deflection of the working wire under its elastics, mm.
    Give,
    /// Force of an open coil.
    Coil,
    /// Force of elastics per side.
    Elastic,
    /// Bare span without sleeve, mm.
    Span,
}

impl Limit {
    pub const ALL: [Limit; 18] = [
        Limit::Chart,
        Limit::Sustained,
        Limit::SustainedRatio,
        Limit::Delivered,
        Limit::Peak,
        Limit::Intrusion,
        Limit::Extrusion,
        Limit::Bodily,
        Limit::Tipping,
        Limit::Couple,
        Limit::Torque,
        Limit::Misfit,
        Limit::Turn,
        Limit::Strain,
        Limit::Give,
        Limit::Coil,
        Limit::Elastic,
        Limit::Span,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Limit::Chart => "bench",
            Limit::Sustained => "sustained",
            Limit::SustainedRatio => "sustained-ratio",
            Limit::Delivered => "delivered",
            Limit::Peak => "peak",
            Limit::Intrusion => "intrusion",
            Limit::Extrusion => "extrusion",
            Limit::Bodily => "bodily",
            Limit::Tipping => "tipping",
            Limit::Couple => "couple",
            Limit::Torque => "torque",
            Limit::Misfit => "misfit",
            Limit::Turn => "rotation",
            Limit::Strain => "strain",
            Limit::Give => "deflection",
            Limit::Coil => "coil",
            Limit::Elastic => "elastic",
            Limit::Span => "span",
        }
    }

    pub fn from_word(word: &str) -> Option<Limit> {
        Limit::ALL.into_iter().find(|l| l.word() == word)
    }

    pub fn dimension(self) -> Dimension {
        match self {
            Limit::SustainedRatio => Dimension::Ratio,
            Limit::Couple | Limit::Torque => Dimension::Couple,
            Limit::Misfit | Limit::Give | Limit::Span => Dimension::Length,
            Limit::Turn => Dimension::Angle,
            Limit::Strain => Dimension::Percent,
            _ => Dimension::Force,
        }
    }

    /// The unit in which the figures below are kept: g, mm, deg, N mm, % or a factor.
    pub fn unit(self) -> &'static str {
        match self.dimension() {
            Dimension::Length => "mm",
            Dimension::Angle => "deg",
            Dimension::Couple => "Nmm",
            Dimension::Percent => "%",
            Dimension::Ratio => "times",
            _ => "g",
        }
    }

    /// Built-in figures: (warning limit, error limit, reason or source).
    pub fn default_figures(self) -> (f64, Option<f64>, &'static str) {
        match self {
            Limit::Chart => {
                (50.0, None, "about 50 g over a 14 mm span: common practice, no source")
            }
            Limit::Sustained => (120.0, Some(600.0), SIMULATION),
            Limit::SustainedRatio => (1.2, Some(2.5), SIMULATION),
            Limit::Delivered => (200.0, Some(750.0), SIMULATION),
            Limit::Peak => (1200.0, Some(2700.0), SIMULATION),
            Limit::Intrusion => (
                60.0,
                Some(120.0),
                "common practice, no source; only where intrusion is the aim or beside a high tooth",
            ),
            Limit::Extrusion => (100.0, Some(200.0), "common practice, no source"),
            Limit::Bodily => (150.0, Some(300.0), "common practice, no source"),
            Limit::Tipping => (100.0, Some(250.0), "common practice, no source"),
            Limit::Couple => (20.0, Some(40.0), "common practice, no source"),
            Limit::Torque => (15.0, Some(30.0), "common practice, no source"),
            Limit::Misfit => (0.4, Some(0.9), SIMULATION),
            Limit::Turn => (6.0, Some(12.0), SIMULATION),
            Limit::Strain => (
                90.0,
                Some(110.0),
                "common practice, no source, as a share of the elastic limit (published, from memory); for \
                 superelastic wire a share of 16 %, twice the published recoverable strain: our own simulation \
                 (lang/docs/limits.md)",
            ),
            // Read along the brackets, whose spans at the canines are longer than the crowns' by an eighth to a fifth, the
            // same wires under the same elastics deflect 1.3 to 1.4 times as far.
            Limit::Give => (0.7, Some(2.0), "common practice, no source"),
            Limit::Coil => (
                150.0,
                Some(300.0),
                "common practice, no source; clinicians surveyed: mean 77 g for a lateral (value from memory)",
            ),
            Limit::Elastic => (
                171.0,
                Some(340.0),
                "6 oz per side on the heaviest wire: common practice, no source",
            ),
            Limit::Span => (8.0, None, "common practice, no source"),
        }
    }
}

/// One limit as set: figures in [`Limit::unit`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LimitFigures {
    pub warn: f64,
    pub stop: Option<f64>,
    /// Bench span of the chart ceiling, mm.
    pub span_mm: Option<f64>,
}

/// All limits: general ones and those for single teeth.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Limits {
    pub general: BTreeMap<Limit, Sourced<LimitFigures>>,
    pub by_tooth: BTreeMap<(Limit, Tooth), Sourced<LimitFigures>>,
}

impl Limits {
    pub fn of(&self, limit: Limit) -> Sourced<LimitFigures> {
        self.general.get(&limit).cloned().unwrap_or_else(|| {
            let (warn, stop, _) = limit.default_figures();
            let span_mm = (limit == Limit::Chart).then_some(14.0);
            Sourced::default_value(LimitFigures { warn, stop, span_mm })
        })
    }

    pub fn for_tooth(&self, limit: Limit, tooth: Tooth) -> Sourced<LimitFigures> {
        self.by_tooth.get(&(limit, tooth)).cloned().unwrap_or_else(|| self.of(limit))
    }
}
