//! What the case says, read for one arch: which teeth are in the wire and what is in force in a step,
//! what the recorded visits did, which elastics are planned. No simulation.

pub(crate) mod calendar;
pub(crate) mod elastics;
pub(crate) mod history;
pub(crate) mod input;
pub(crate) mod state;
