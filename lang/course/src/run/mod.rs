//! One wire of one arch: its forces at insertion, and the movement of the teeth until it is passive, at
//! unit rate and without dates. Results are cached.

pub(crate) mod carried_teeth;
pub(crate) mod chair;
pub(crate) mod chair_reading;
pub(crate) mod drive;
pub(crate) mod figures;
pub(crate) mod insertion;
pub(crate) mod lightest_wire;
pub(crate) mod phase_cache;
pub(crate) mod pushed_teeth;
pub(crate) mod stop_signal;
pub(crate) mod time_step;
pub(crate) mod trace;
