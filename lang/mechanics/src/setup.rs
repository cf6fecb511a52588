//! The input of one solve.

use super::{ArchLine, ArchWire, Load, Slot, ToothTie};

/// Which theory of bending.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Kinematics {
    /// Exact curvature and twist on the curved arch line.
    #[default]
    Exact,
    /// Small slopes: textbook beams, for comparison with them only (1 % at 0.3 mm, 30 % at 2 mm).
    SmallSlope,
}

/// Where the edges of a displaced slot lie over a curved arch line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Edges {
    /// Each edge is carried along the normal of its own station: `station +- width/2 cos(rotated)
    /// cos(tipped)`, offset by the stand and by the turn. The convention of the reference cases and of
    /// the limits; on a straight line the same as [`Edges::Rigid`].
    #[default]
    OnNormals,
    /// The slot keeps its size and its own directions: the edges of the slot in place are moved as a rigid body. A
    /// tooth 2 mm inside a front of radius 15 mm then takes 13 % more of the line, and its wire is some 5 % stiffer.
    /// The wire is measured from the line through the slots: for wires that stand across the arch line.
    Rigid,
}

/// What becomes of a wire too steep for the arch line: one whose slot or shape turns beyond the limits, or that would
/// run through its slots on the way there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Steep {
    /// It is tried over the line through its slots ([`SolverSettings::over_the_slots`]), and a march that begins there
    /// goes on there. Refused where that line refuses it too.
    #[default]
    OverTheSlots,
    /// It is refused.
    Refused,
}

/// Accuracy of the solver, and the limits beyond which a result is refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolverSettings {
    /// Exact or linearised geometry.
    pub kinematics: Kinematics,
    /// Where the edges of a slot hold the wire.
    pub edges: Edges,
    /// Whether a wire too steep for the arch line has another try.
    pub steep: Steep,
    /// Largest unbalanced force left, N.
    pub force_tolerance_n: f64,
    /// Contact barrier left at the end, N mm: a contact's force times its gap.
    pub barrier_nmm: f64,
    /// Newton steps before a solve is given up.
    pub max_iterations: usize,
    /// Turn of a slot against the arch line that is refused, rad.
    pub turn_limit_rad: f64,
    /// Turn of the wire against its base line that is refused, rad: nearer to square, a wire that is a graph over
    /// that line describes nothing. Over the arch line, from a slope of 1.5 (56 degrees) a shape is believed
    /// only if the wire has not snapped through on the way there ([`Refusal::SnapThrough`](super::Refusal)).
    pub wire_turn_limit_rad: f64,
    /// Fibre strain that is refused in superelastic wire.
    pub flag_strain_refused: f64,
    /// Fibre strain that is refused in linear wire.
    pub linear_strain_refused: f64,
    /// Fibres across the height of a section (a round section has about 0.8 of the square of it).
    pub fibres_across: usize,
    /// Every element of the standard mesh split into this many. Zero lets the solver choose: the
    /// standard mesh where the wire is bent beyond its elastic strain or is steep, a coarser one where
    /// it is neither.
    pub refinement: usize,
}

/// Turn of a slot against the arch line that is refused over the slot line, rad.
const ACROSS_RAD: f64 = 85.0 * std::f64::consts::PI / 180.0;

impl SolverSettings {
    /// For a wire that stands across the arch line: slots that keep their size, and the wire measured from the
    /// line through them.
    pub fn over_the_slots(&self) -> SolverSettings {
        let turn_limit_rad = self.turn_limit_rad.max(ACROSS_RAD);
        SolverSettings { edges: Edges::Rigid, turn_limit_rad, ..*self }
    }

    /// For predictions that march a wire along: forces to a thousandth of a newton instead of a
    /// ten-thousandth, contacts to match. A sixth to a third fewer Newton steps.
    pub fn quick() -> SolverSettings {
        SolverSettings {
            force_tolerance_n: 1.0e-3,
            barrier_nmm: 1.0e-5,
            ..SolverSettings::default()
        }
    }
}

impl Default for SolverSettings {
    fn default() -> Self {
        SolverSettings {
            kinematics: Kinematics::Exact,
            edges: Edges::OnNormals,
            steep: Steep::OverTheSlots,
            force_tolerance_n: 1.0e-4,
            barrier_nmm: 1.0e-6,
            max_iterations: 150,
            turn_limit_rad: std::f64::consts::FRAC_PI_3,
            wire_turn_limit_rad: 80_f64.to_radians(),
            flag_strain_refused: 0.25,
            linear_strain_refused: 0.10,
            fibres_across: 8,
            refinement: 0,
        }
    }
}

/// One arch with one wire in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Setup {
    /// The line that the wire was formed to.
    pub arch: ArchLine,
    /// The engaged slots, in any order; bypassed and missing teeth are simply not there.
    pub slots: Vec<Slot>,
    /// The wire to insert.
    pub wire: ArchWire,
    /// External loads on the teeth: elastics, chains, coils.
    pub loads: Vec<Load>,
    /// Teeth tied together as they stand here.
    pub ties: Vec<ToothTie>,
    /// Accuracy and limits of the solver.
    pub settings: SolverSettings,
}
