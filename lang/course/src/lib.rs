//! The predicted course of a case: tooth movement, room, the times at which wires become passive, and the
//! visits.
//!
//! [`forecast`] takes a checked [`Case`](springline_model::Case) and returns its course: per arch one
//! [`Phase`] for every simulated step, and the dated visits of both arches together. It is a pure
//! function: the date is an argument, and the same case gives the same bits.
//!
//! [`forecast_with`] does the same with a [`PhaseCache`] of phases already simulated, so that editing a
//! late step simulates no earlier one again.
//!
//! [`Forecast::timeline`] states what is in the mouth at every visit: each tooth, device and space, and
//! how it is known. It is computed once; rules and outputs read it.
//!
//! [`setup`] turns a step into the input of the solver; it is the only interface between the case and
//! [`mechanics`](springline_mechanics).
//!
//! [`learn`] estimates from recorded visits how long wires really stay active in a practice.
//!
//! The crate must not know syntax trees or findings. Its folders are stages; each uses only those above
//! it:
//!
//! | folder | takes | makes |
//! |---|---|---|
//! | `law` | figures | rates, spreads, times with their bands |
//! | `mouth` | what was entered | the position of everything in an arch at one moment |
//! | `plan` | the case | what is in force in a step, what the visits recorded, the input of the simulation |
//! | `geometry` | a step and a mouth | positions of crowns and brackets along the arch |
//! | `setup` | a step and a mouth | the input of the solver |
//! | `run` | a set-up | one wire simulated until it is passive, at unit rate |
//! | `room` | a step and a mouth | which sources make how much room by when |
//! | `simulate` | plan, records and runs | the phases of an arch, with when each may end |
//! | `visits` | the phases of both arches | the days of the visits |
//! | `timeline` | phases and days | phases, visits and everything in the mouth, as published |
//! | `on_demand` | a phase, or wires of the drawer | ranges, forces over time and the bench test, for whoever asks |
//! | `learn` | recorded cases | how long wires really stay active |
//!
//! **Units**: mm, rad, N, N mm, days. Axes and signs are those of the mechanics: lingual, gingival and,
//! along the arch, the patient's left are positive.

pub mod geometry;
pub(crate) mod law;
pub mod learn;
pub(crate) mod mouth;
pub mod on_demand;
pub(crate) mod plan;
pub(crate) mod room;
pub(crate) mod run;
pub mod setup;
pub(crate) mod simulate;
pub(crate) mod timeline;
pub(crate) mod visits;

pub use geometry::{
    ArchLayout, BracketPosition, Sliding, Strand, arch_line, sliding, taken_overlap_mm,
};
pub use law::chair::{ChairLimits, ChairTest, ChairWord, PassiveBy};
pub use law::irregularity::{Crown, contact_displacement_mm, index_mm};
pub use law::passive::{FLOOR_N, QUARTER};
pub use law::time_band::{TimeBand, weeks};
pub use law::{
    bite_rates, movement, periodontium, rates, rules_of_thumb, spread, statistics, traction_rates,
};
pub use mouth::bite_figures::BiteFigure;
pub use mouth::bite_moves::BiteCause;
pub use mouth::coil_spring::{CoilSpring, label_mm};
pub use mouth::pose::ToothPose;
pub use mouth::positions::Mouth;
pub use plan::calendar;
pub use plan::input::Booking;
pub use plan::loose_brackets::teeth_bonded;
#[cfg(test)]
use plan::state::arch_state;
pub use plan::state::{ArchState, ToothInState, ToothStatus};
pub use room::room_account::{RoomAccount, RoomMade, RoomSource, SiteAccount};
pub use run::chair_reading::ChairReading;
pub use run::figures::{Insertion, LoadedTie, NoFigures, ToothLoad};
pub use run::insertion::{InsertionBands, bands, put_in};
pub use run::phase_cache::{Counters, PhaseCache};
pub use run::stop_signal::StopSignal;
pub use setup::loads::closing_force_n;
pub use setup::measured;
pub use setup::pull::{FadingPull, chain_pull, elastic_pull};
pub use simulate::outcome::{EndReason, SeenWire};
pub use simulate::stop_conditions::{COIL_SPENT, NOT_EXPOSED};
pub use springline_mechanics::{Components, Refusal};
pub use timeline::device::{
    Device, DeviceKind, DeviceRemoval, ElasticsLife, ElasticsRemoval, Purpose, RemovalReason, Until,
};
pub use timeline::expander_life::{ExpanderLife, expander_life};
pub use timeline::forecast::{Forecast, UndoneStep, forecast, forecast_with};
pub use timeline::goals::GoalAtEnd;
pub use timeline::moment::{
    Absence, ArchMoment, Attachment, Basis, BiteForecast, BiteMoment, Hold, Known, MidlineForecast,
    Obligation, Observation, Retainer, SpaceAt, SpaceMoment, Standing, StepMoment, Timeline,
    ToothMoment, VisitMoment,
};
pub use timeline::phase::{ArchForecast, CoilCourse, PassiveTimes, Phase, PhaseEnd, ToothCourse};
pub use timeline::sliding_canines::{CanineSliding, SlidCanine};
pub use timeline::tooth_pulls::ToothPull;
pub use timeline::torque;
pub use visits::visit::{ArchVisit, PlannedVisit, VisitReason};
pub use visits::visit_optimizer;

#[cfg(test)]
mod movement_tests;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
