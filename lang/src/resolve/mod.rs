//! Names, units and the house: tree to typed case.

pub mod builtin;
mod carry;
mod departure;
pub mod nearest;
pub mod plausible;

pub use departure::{departures, end_text, next_text};
