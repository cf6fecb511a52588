//! The types of devices: what is on wire and teeth, since when, for what, and until what.

use jiff::civil::Date;

use springline_model::case::ElasticsKind;
use springline_model::step::{Condition, EndKind, StepKind};
use springline_units::tooth::{Side, Tooth};

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
    /// After so many days on, the plan itself is in doubt.
    pub longest_days: Option<f64>,
}

/// A device that comes off at a visit.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct DeviceRemoval {
    /// Of the step that is in when the patient comes.
    pub what: DeviceKind,
    pub reason: RemovalReason,
}

/// A block of elastics that is worn no longer from a visit on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ElasticsRemoval {
    /// Index into the case's blocks.
    pub block: usize,
    pub reason: RemovalReason,
}

/// Why something comes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RemovalReason {
    /// The records show that its condition is met.
    Recorded,
    /// Its condition is forecast to be met by then: it comes off if it is.
    Foreseen,
    /// Its longest time is over, and its condition is not forecast to be met.
    LongestTime,
    /// A tooth that it hangs on has lost its bracket: it comes off unless that is put back.
    SupportLost(Tooth),
    /// Its step, or the wire on which it sits, ends with the change of this visit.
    WithChange,
    /// With the change another device takes its place.
    Replaced,
    /// A later block of elastics on the same hooks, by its index.
    ReplacedBy(usize),
    /// The step begins until which they were to be worn.
    StepBegins,
    /// The whole appliance comes off.
    Debond,
}

impl RemovalReason {
    /// The forecast counts on it: the device is on no later card.
    pub fn is_final(self) -> bool {
        !matches!(self, RemovalReason::SupportLost(_))
    }
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

impl Until {
    /// A measure or a time of its own.
    pub fn condition(&self) -> Option<&Condition> {
        match self {
            Until::Condition(c) | Until::StepEnds(Some(c)) => Some(c),
            _ => None,
        }
    }
}

/// One block of elastics over the course.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct ElasticsLife {
    pub kind: ElasticsKind,
    /// The later arch has reached the step they are worn from, with its wire expressed where required.
    pub first_day: Option<Date>,
    /// The longest time is over: as the plan has it, else as is usual for the kind.
    pub last_day: Option<Date>,
    /// The longest time is the plan's own.
    pub longest_said: bool,
}
