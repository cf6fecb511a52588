//! Scheduling: from the phases of both arches to the dates of visits.

pub(crate) mod debond_day;
pub(crate) mod schedule;
pub(crate) mod visit;
pub mod visit_optimizer;
