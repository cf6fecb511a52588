//! The typed case: teeth, arches, wires, brackets, quantities, and what was planned and seen.
//!
//! Wrong states are kept unwritable where the type system allows it: a quantity has a dimension, a
//! tooth exists, an arch holds its own teeth only (checked once, in `resolve`).

pub mod quantity;
pub mod tooth;

pub use quantity::{Angle, Force, Length, Period, Quantity, Ratio, Stress, Unit};
pub use tooth::{Arch, Notation, Side, Tooth};
