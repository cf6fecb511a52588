//! The published result: phases with dates, visits, and the course of the whole case.

pub(crate) mod arches;
pub(crate) mod bite;
pub(crate) mod build;
pub(crate) mod devices;
pub(crate) mod elastics;
pub(crate) mod finish;
pub(crate) mod forecast;
pub mod moment;
pub(crate) mod phase;
pub(crate) mod records;
pub(crate) mod spaces;
pub(crate) mod teeth;
pub mod torque;
pub(crate) mod visit_builder;
