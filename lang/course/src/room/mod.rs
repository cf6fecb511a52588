//! The room account: how much room a step lacks, which sources provide it, and how fast gaps close.

pub(crate) mod bite_acts;
pub(crate) mod closing;
pub(crate) mod coil;
pub(crate) mod one_sided;
pub(crate) mod room_account;
pub(crate) mod supplies;
pub(crate) mod supply_and_demand;
