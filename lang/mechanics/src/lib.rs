//! The archwire as it really is: a superelastic spline held by slots with clearance, in three planes.
//!
//! The layer is pure: no I/O, no clock, no words of the language. A caller builds a [`Setup`] (an arch
//! line, slots, a wire, loads) and asks [`solve`] for the forces at insertion, [`march`] for what is
//! left after the teeth have given, [`band`] for how far tolerances carry a figure, or [`bench`] for
//! the standard's bending test.
//!
//! **Units**: mm, N, N mm, MPa, rad, degrees Celsius. A field's suffix says its unit.
//!
//! **Axes**: `s` runs along the arch line from the patient's right to the patient's left, zero at the
//! midline (46 near -36, 36 near +36). At each station `lingual` points to the inside of the arch
//! and `gingival` towards the gum, in either jaw. Rotations of a tooth: `rotated` positive turns
//! the edge of larger station lingual, `tipped` positive turns it gingival, `torque` positive turns
//! the slot's lingual side gingival (that is crown-lingual; crown-labial torque is negative).
//!
//! **Signs**: every force and couple is the wire's action *on the tooth*, along those axes.
//!
//! **Refusals**: no input panics; what cannot be answered is a [`Refusal`] that names the tooth, the
//! figure and the limit. Same input, same bits.

// Indices here are those of the formulae: components, nodes, degrees of freedom.
#![warn(missing_docs)]
#![allow(clippy::needless_range_loop)]

mod arch;
mod assemble;
mod band;
pub mod bench;
mod bending;
mod chain;
mod check;
pub mod closed;
mod contact;
mod equilibrium;
mod fibre;
mod fit;
mod history;
mod kinematics;
mod lanes;
mod law;
mod load;
mod march;
mod mesh;
mod mesh_density;
mod quadrature;
mod refusal;
mod report;
mod rest_curvature;
mod section;
mod setup;
mod slot;
mod slot_edges;
mod solution;
mod solve;
mod wire;

pub use arch::ArchLine;
pub use band::{ArchBands, Band, Spread, ToothBand, WorstBand, banded};
pub use fit::{Fit, FitPoint, MeasuredWire, fit};
pub use history::History;
pub use law::{Flag, Law, Linear};
pub use load::Load;
pub use march::{
    COUPLE_LEVERS_MM, Components, March, Marched, ToothMarch, Unloading, march, march_from,
};
pub use refusal::Refusal;
pub use section::{SectionShape, WireSection};
pub use setup::{Edges, Kinematics, Setup, SolverSettings};
pub use slot::{Clip, Engagement, Housing, Play, Slot, SlotPose, StandError, Support};
pub use solution::{Edge, Solution, SolveStep, ToothForces};
pub use solve::{Start, solve};
pub use wire::{ArchWire, Bend, BendKind, ReverseCurve, Shear, Stock, WireEnd};
