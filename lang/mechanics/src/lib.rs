//! Archwire mechanics: a superelastic rod held by slots with clearance, in three dimensions.
//!
//! A caller builds a [`Setup`] (arch line, slots, wire, loads) and asks [`solve`] for the forces at
//! insertion, [`march`] for the forces left after the teeth have moved, [`banded`] for the effect of
//! tolerances, or [`bench`](mod@bench) for the standard bending test.
//!
//! The crate is pure: no I/O, no clock, and no knowledge of the language or of a case. Teeth are numbers
//! given by the caller; treatment time belongs to `course`.
//!
//! **Units**: mm, N, N mm, MPa, rad, degrees Celsius. A field's suffix states its unit.
//!
//! **Axes**: `s` runs along the arch line from the patient's right to the patient's left, zero at the
//! midline (46 near -36, 36 near +36). At each station `lingual` points to the inside of the arch and
//! `gingival` towards the gum, in either jaw. Rotations of a tooth: `rotated` positive turns the edge of
//! larger station lingual, `tipped` positive turns it gingival, `torque` positive turns the slot's
//! lingual side gingival (that is crown-lingual; crown-labial torque is negative).
//!
//! **Signs**: every force and couple is the wire's action *on the tooth*, along those axes.
//!
//! **Refusals**: no input panics. Where there is no answer the result is a [`Refusal`] that names the
//! tooth, the figure and the limit. The same input gives the same bits.

// Indices here are those of the formulae: components, nodes, degrees of freedom.
#![warn(missing_docs)]
#![allow(clippy::needless_range_loop)]

// The random arches of the integration tests serve the unit tests too, by the crate's own name.
#[cfg(test)]
extern crate self as springline_mechanics;

mod arch;
mod assemble;
mod axial;
mod band;
pub mod bench;
mod bending;
mod block_tridiagonal;
mod check;
pub mod closed;
mod components;
mod contact;
mod converged;
mod edge_forces;
mod equilibrium;
mod fibre;
mod fit;
mod friction;
mod history;
mod kinematics;
mod law;
mod length_bounds;
mod load;
mod march;
mod mesh;
mod mesh_density;
mod prepared;
mod quadrature;
mod quartic_line;
mod refusal;
mod report;
mod rest_curvature;
mod section;
mod setup;
mod shift;
mod simd;
mod slot;
mod slot_edges;
mod slot_line;
mod solution;
mod solve;
mod solve_arch;
mod support;
mod thrust;
mod ties;
mod travel;
mod wire;
mod wire_balance;
mod wire_curve;

pub use arch::ArchLine;
pub use band::{ArchBands, Band, Spread, ToothBand, WorstBand, banded, normal_deviate};
pub use components::{COUPLE_LEVERS_MM, Components};
pub use fit::{Fit, FitPoint, MeasuredWire, fit};
pub use friction::{
    CLIP_N, Coefficient, Friction, Hand, SlidingWire, SlotResistance, Surface, Towards, is_pulled,
};
pub use history::History;
pub use law::{Flag, Law, Linear};
pub use load::{Load, ToothTie};
pub use march::{March, Marched, ToothMarch, Unloading, march, march_from};
pub use quartic_line::{QuarticLine, QuarticPlace};
pub use refusal::Refusal;
pub use section::{SectionShape, WireSection};
pub use setup::{Edges, Kinematics, Setup, SolverSettings, Steep};
pub use shift::{Shifted, WireTravel, WithFriction, running_wire, shift};
pub use slot::{Clip, Engagement, Housing, Play, Slot, SlotPose, StandError};
pub use solution::{BoundForce, Edge, Solution, SolveStep, ToothForces, Unbalanced};
pub use solve::Start;
pub use solve_arch::solve;
pub use support::{Root, Stages, Support, ToothTravel};
pub use travel::{Travelled, travel};
pub use wire::{
    ArchWire, Bend, BendKind, EdgeSide, LengthBound, LengthLimit, ReverseCurve, Shear, SlotEdge,
    Stock,
};
pub use wire_curve::{WirePoint, wire_curve};
