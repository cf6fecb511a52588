//! When the patient is seen: the phases of both arches go in, the days of the visits come out.

pub(crate) mod schedule;
pub(crate) mod visit;
pub mod visit_optimizer;
