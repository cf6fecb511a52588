//! The phases of one arch in order: plan, records and runs go in; how far each phase came, and when and
//! why it may end, come out. No visit has a day yet.

pub(crate) mod booking;
pub(crate) mod draft;
pub(crate) mod due;
pub(crate) mod live;
pub(crate) mod movers;
pub(crate) mod outcome;
pub(crate) mod stop_conditions;
