//! The published result: phases with dates, visits, and the course of the whole case.

pub(crate) mod finish;
pub(crate) mod forecast;
pub(crate) mod phase;
pub mod torque;
pub(crate) mod visit_builder;
