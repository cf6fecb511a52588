//! The types of devices: what is on wire and teeth, since when, for what, and until what.

use jiff::civil::Date;

use springline_model::case::ElasticsKind;
use springline_model::step::{Condition, EndKind, StepKind};
use springline_units::tooth::Side;

/// Something on wire or teeth.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Device {
    pub what: DeviceKind,
    pub purpose: Purpose,
    /// The visit at which it went on; `None` where that has no day.
    pub since: Option<Date>,
    pub until: Until,
    /// Records show that its condition is met: it is to come off.
    pub end_recorded: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DeviceKind {
    Wire,
    /// A light wire laid over it, and everything else that an act put there: index into the acts of the
    /// phase's state ([`Phase::state`](crate::Phase)), which records may have changed, not of the plan's step.
    Act(usize),
    End(Side, EndKind),
    /// Written at the arch, or at the case: index into its extras.
    ArchExtra(usize),
    CaseExtra(usize),
}

/// What a device is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// The wire: what its step is for.
    Step(StepKind),
    OpenSpace,
    HoldSpace,
    CloseSpace,
    /// Holds teeth together.
    Unite,
    HoldCanine,
    ProtectLip,
    ClearBite,
    BringIn,
    /// Keeps the wire, or a length of it, in place.
    HoldWire,
    Hook,
    LevelBite,
    Detail,
    RoomForBand,
}

/// What ends a device.
#[derive(Debug, Clone, PartialEq)]
pub enum Until {
    /// Its step, or its own condition before that.
    StepEnds(Option<Condition>),
    /// The wire on which it sits comes out.
    WireOut,
    /// Its own condition, over steps.
    Condition(Condition),
    NextVisit,
    Debond,
}

/// One block of elastics over the course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ElasticsLife {
    pub kind: ElasticsKind,
    /// The later arch has reached the step they are worn from, with its wire expressed where required.
    pub first_day: Option<Date>,
    /// The longest time is over.
    pub last_day: Option<Date>,
}
