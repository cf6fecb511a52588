//! Figures of a wire at insertion, or the reason why there are none.

use crate::run::lightest_wire::LightestWire;
use springline_mechanics::{Components, Load, Refusal};
use springline_units::tooth::Tooth;

/// Action of the wire on one tooth at insertion.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothLoad {
    pub tooth: Tooth,
    /// Resultant at insertion.
    pub peak_n: f64,
    /// After the worst tooth of the arch has moved 0.2 mm, or has come to rest before that.
    pub delivered_n: f64,
    /// The same after 0.5 mm: the sustained force S.
    pub sustained_n: f64,
    pub at_insertion: Components,
    pub delivered: Components,
    /// Largest fibre strain beside the tooth, and its share of the alloy's limit.
    pub strain: f64,
    pub strain_fraction: f64,
    /// How far the nearest open contact is from touching; zero when all are closed.
    pub gap_mm: f64,
    pub passive: bool,
}

/// Why there are no figures.
#[derive(Debug, Clone, PartialEq)]
pub struct NoFigures {
    pub tooth: Option<Tooth>,
    pub why: String,
    pub refusal: Refusal,
}

impl NoFigures {
    pub fn new(refusal: Refusal) -> NoFigures {
        let tooth = refusal.id().and_then(|id| Tooth::iso(u32::from(id)));
        NoFigures { tooth, why: refusal.to_string(), refusal }
    }
}

/// A tie between two teeth as the wire goes in, under load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadedTie {
    /// To the patient's right, and to the left.
    pub right: Tooth,
    pub left: Tooth,
    pub tension_n: f64,
}

/// The mechanics of a wire going in.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Insertion {
    /// In order along the arch; empty where refused.
    pub teeth: Vec<ToothLoad>,
    pub refused: Option<NoFigures>,
    /// Length the wire takes in at its ends as it goes into the slots, mm; negative gives out.
    pub taken_in_mm: f64,
    /// Force along the arch, N, patient's left positive, that keeps the wire from drifting to one side as the
    /// arch form would have it; it drifts the other way.
    pub held_n: f64,
    /// The ties that are not slack, from right to left.
    pub ties: Vec<LoadedTie>,
    /// What they draw each of their teeth with.
    pub tie_loads: Vec<Load>,
    /// What the lightest wire would sustain in the same arch: of the base wire and of the overlay, where it is asked.
    pub(crate) lightest: Vec<LightestWire>,
}

impl Insertion {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothLoad> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    fn worst(&self, of: impl Fn(&ToothLoad) -> f64) -> Option<&ToothLoad> {
        self.teeth.iter().max_by(|a, b| of(a).total_cmp(&of(b)))
    }

    pub fn worst_peak(&self) -> Option<&ToothLoad> {
        self.worst(|t| t.peak_n)
    }

    pub fn worst_sustained(&self) -> Option<&ToothLoad> {
        self.worst(|t| t.sustained_n)
    }

    /// The arch's S14: the largest sustained force of 0.014 in superelastic wire on any tooth. `None` where it has no
    /// answer, and where it is not asked: for steel and beta-titanium, and where this wire keeps under 20 g everywhere.
    /// Solved when asked for.
    pub fn sustained_14_n(&self) -> Option<f64> {
        self.lightest.iter().filter_map(LightestWire::sustained_n).max_by(f64::total_cmp)
    }
}
