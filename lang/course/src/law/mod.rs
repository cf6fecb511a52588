//! How teeth move and how far a forecast may be off: figures in, rates and times with bands out.
//!
//! Nothing here knows of a plan, an arch in a step, or a wire.

pub(crate) mod irregularity;
pub mod movement;
pub(crate) mod passive;
pub mod periodontium;
pub mod rates;
pub mod rules_of_thumb;
pub mod spread;
pub mod statistics;
pub(crate) mod time_band;
pub(crate) mod until;
