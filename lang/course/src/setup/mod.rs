//! The interface to mechanics: a step and the positions of the teeth become slots, wires and loads.

pub(crate) mod arch_setup;
pub(crate) mod axial;
pub(crate) mod held_within;
pub(crate) mod loads;
pub mod measured;
pub(crate) mod pull;
pub(crate) mod roots;
pub(crate) mod ties;

pub use arch_setup::{
    ArchSetup, ArchSolution, arch_setup, bench_stock, is_reference_wire, rigidity, stock, unfitted,
    with_reference_wire,
};
pub use roots::{root_of, root_support};
