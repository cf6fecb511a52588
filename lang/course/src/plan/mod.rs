//! The plan of one arch, without simulation: which teeth are engaged and what is in force in a step, what
//! recorded visits did, which elastics are planned.

pub mod calendar;
pub(crate) mod elastics;
pub(crate) mod history;
pub(crate) mod input;
pub(crate) mod loose_brackets;
pub(crate) mod measures;
pub(crate) mod state;
