//! The interface to mechanics: a step and the positions of the teeth become slots, wires and loads.

pub(crate) mod arch_setup;
pub(crate) mod loads;
pub mod measured;

pub use arch_setup::{
    ArchSetup, ArchSolution, arch_line, arch_setup, is_reference_wire, rigidity, stock, unfitted,
    with_reference_wire,
};
