//! The published result: phases with dates, visits, and the timeline of everything in the mouth.
//!
//! Input are the simulated phases and the days of the visits. `finish` turns them into [`phase::Phase`]s
//! and `visit_builder` into visits; `build` combines both into the [`moment::Timeline`]: the state of
//! each arch when the patient arrives and leaves (`arches`), every tooth (`teeth`), space (`spaces`) and
//! device (`devices`) and when it comes off (`lives`, `foreseen`), the elastics (`elastics`), the bite (`bite`), open
//! problems of the record (`records`), and the goal on the day of the debond (`goals`). Nothing is simulated here,
//! and no other crate computes these things.

pub(crate) mod arches;
pub(crate) mod bite;
pub(crate) mod build;
pub(crate) mod chair;
pub mod device;
pub(crate) mod devices;
pub(crate) mod elastics;
pub mod expander_life;
pub(crate) mod finish;
pub(crate) mod forecast;
mod foreseen;
pub(crate) mod goals;
mod lives;
pub(crate) mod midline;
pub mod moment;
pub(crate) mod phase;
mod reading;
pub(crate) mod records;
pub(crate) mod sliding_canines;
pub(crate) mod spaces;
pub(crate) mod teeth;
pub(crate) mod tooth_pulls;
pub mod torque;
pub(crate) mod visit_builder;
