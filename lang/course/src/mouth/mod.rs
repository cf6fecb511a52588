//! Positions in one arch at one moment: initialised from what was entered, and updated by measurements of
//! visits and by the simulation.

pub(crate) mod bite_figures;
pub(crate) mod bite_moves;
pub(crate) mod carried;
pub(crate) mod coarse;
pub(crate) mod coil_spring;
pub(crate) mod drawn_tooth;
pub(crate) mod kept_short;
pub(crate) mod pair;
pub(crate) mod pose;
pub(crate) mod positions;
