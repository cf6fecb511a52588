//! The phases of one arch in order: plan, records and runs go in; how far each phase came, and when and
//! why it may end, come out. No visit has a day yet.

pub(crate) mod arch_phases;
pub(crate) mod booking;
pub(crate) mod due;
pub(crate) mod movers;
pub(crate) mod outcome;
pub(crate) mod phase_in_progress;
pub(crate) mod stop_conditions;
