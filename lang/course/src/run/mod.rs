//! One wire of one arch: the forces as it goes in, and the teeth followed until it does nothing, at
//! unit rate and without dates. What was computed once is kept.

pub(crate) mod figures;
pub(crate) mod insertion;
pub(crate) mod phase_cache;
pub(crate) mod trace;
