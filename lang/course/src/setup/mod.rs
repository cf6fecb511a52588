//! The bridge to the mechanics: a step and where the teeth stand become slots, wires and loads.

pub(crate) mod arch_setup;
pub(crate) mod loads;
pub mod measured;

pub use arch_setup::{
    ArchSetup, ArchSolution, arch_line, arch_setup, is_reference_wire, stock, unfitted,
    with_reference_wire,
};
