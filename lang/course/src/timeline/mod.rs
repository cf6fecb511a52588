//! The published result: phases with dates, visits, and the timeline of everything in the mouth.
//!
//! Phases in progress and the days of the visits go in. `finish` makes [`phase::Phase`]s of them and
//! `visit_builder` the visits; `build` reads both into the [`moment::Timeline`]: what is in each arch when
//! the patient comes and leaves (`arches`), every tooth (`teeth`), space (`spaces`), device (`devices`), the
//! elastics (`elastics`), the bite (`bite`) and what the records left open (`records`). Nothing is
//! simulated here, and no other crate computes these things.

pub(crate) mod arches;
pub(crate) mod bite;
pub(crate) mod build;
pub(crate) mod devices;
pub(crate) mod elastics;
pub(crate) mod finish;
pub(crate) mod forecast;
pub mod moment;
pub(crate) mod phase;
pub(crate) mod records;
pub(crate) mod spaces;
pub(crate) mod teeth;
pub mod torque;
pub(crate) mod visit_builder;
