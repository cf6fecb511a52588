//! Quantities with a dimension, teeth that exist, and how both are written.
//!
//! A length is not a force, and a tooth number that no notation has cannot be made. This layer must
//! not know files, the language or the case.

pub mod anatomy;
pub mod quantity;
pub mod tooth;
