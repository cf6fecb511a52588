//! The typed case: teeth, arches, wires, brackets, quantities, and what was planned and seen.
//!
//! Wrong states are kept unwritable where the type system allows it: a quantity has a dimension, a
//! tooth exists, an arch holds its own teeth only (checked once, in `resolve`).

pub mod builtin;
pub mod case;
pub mod crowding;
pub mod departure;
pub mod house;
pub mod limits;
pub mod provenance;
pub mod stand;
pub mod step;
pub mod stock;

pub use case::{ArchCase, Case, Visit};
pub use house::House;
pub use provenance::{Origin, Sourced};
pub use step::{Act, ActKind, Step, StepKind};
pub use stock::{Alloy, Name, Section, Wire};
