//! Simulation of the phases of one arch. Input: plan, records and single-wire runs. Result: how far each
//! phase came, and when and why it may end. Visits have no dates yet.

pub(crate) mod aligning_midline;
pub(crate) mod arch_phases;
pub(crate) mod booking;
pub(crate) mod carrying;
pub(crate) mod cross_pull;
pub(crate) mod due;
pub(crate) mod movers;
pub(crate) mod outcome;
pub(crate) mod phase_in_progress;
pub(crate) mod stop_conditions;
