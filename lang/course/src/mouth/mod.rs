//! Where everything in one arch stands at one moment: what was entered goes in, and what visits
//! measure or the simulation moves replaces it.

pub(crate) mod carried;
pub(crate) mod coarse;
pub(crate) mod coil_spring;
pub(crate) mod pair;
pub(crate) mod pose;
pub(crate) mod positions;
