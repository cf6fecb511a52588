//! The typed model of a case and of a practice: teeth, arches, wires, brackets, steps, visits, limits.
//!
//! Invalid states are unrepresentable where the type system allows it: a quantity has a dimension, a
//! tooth exists, an arch holds only its own teeth (checked once, in `lower`). The model must not know
//! syntax trees or findings; it refers to the text by [`Place`](springline_text::Place) only.

pub mod builtin;
pub mod case;
pub mod contact;
pub mod crowding;
pub mod departure;
pub mod expander;
pub mod force_left;
pub mod form;
pub mod house;
pub mod limits;
pub mod measured_block;
pub mod overjet;
pub mod provenance;
pub mod stand;
pub mod step;
pub mod stock;
pub mod tooth_size;
pub mod traction;

pub use case::{ArchCase, Case, Visit};
pub use house::House;
pub use provenance::{Origin, Sourced};
pub use step::{Act, ActKind, Step, StepKind};
pub use stock::{Alloy, Name, Section, Wire};
