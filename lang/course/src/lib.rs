//! What happens until when: teeth move, room opens, the wire goes passive, the patient is seen.
//!
//! [`forecast`] takes a checked [`Case`](crate::model::Case) and gives its predicted course: per arch
//! one [`Phase`] for every step lived through, and the dated visits of both arches together. It is a
//! pure function: the day comes in as a value, and the same case gives the same bits.
//!
//! [`forecast_with`] does the same with a [`Memory`] of phases already computed, so that editing a
//! late step computes no earlier one again.
//!
//! [`arch_state`] answers without any simulation which teeth are in the wire during a step, what is
//! in force, and how the wire ends. [`setup`] turns that into what the mechanics solves; it is the
//! one bridge between the case and [`mechanics`](crate::mechanics).
//!
//! [`learn`] estimates from recorded visits how long wires really stay active in a house.
//!
//! **Units**: mm, rad, N, N mm, days. Axes and signs are those of the mechanics: lingual, gingival
//! and, along the arch, the patient's left are positive.

mod account;
mod booking;
mod coarse;
mod coil;
mod draft;
mod finish;
mod forecast;
mod history;
mod insertion;
mod irregularity;
pub mod learn;
mod loads;
pub mod measured;
mod memory;
mod mouth;
pub mod movement;
mod passive;
pub mod periodontium;
mod phase;
mod pose;
pub mod rates;
mod room;
pub mod rules_of_thumb;
mod run;
mod schedule;
pub mod setup;
mod simulate;
pub mod spread;
mod state;
pub mod stations;
pub mod statistics;
mod stop_conditions;
mod supplies;
pub mod torque;
mod until;
mod visit;
pub mod visit_optimizer;
mod visits;

pub use coil::{CoilSpring, label_mm};
pub use forecast::{ArchForecast, Booking, Forecast, forecast, forecast_with};
pub use insertion::{InsertionBands, bands, put_in};
pub use irregularity::{Crown, contact_displacement_mm, index_mm};
pub use loads::elastics_in;
pub use memory::{Counters, Memory};
pub use mouth::Mouth;
pub use passive::{FLOOR_N, QUARTER};
pub use phase::{
    Action, CoilCourse, EndReason, Insertion, NoFigures, PassiveTimes, Phase, PhaseEnd, SeenWire,
    TimeBand, ToothCourse, ToothLoad, weeks,
};
pub use pose::ToothPose;
pub use room::{RoomAccount, RoomMade, RoomSource, SiteAccount};
pub use state::{ArchState, ToothInState, ToothStatus, arch_state};
pub use stop_conditions::COIL_SPENT;
pub use visit::{ArchVisit, PlannedVisit, VisitReason};

#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
