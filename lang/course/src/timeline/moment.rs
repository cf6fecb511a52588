//! The types of the timeline: what is in the mouth at every visit, and how it is known.
//!
//! Values of these types are made by this crate alone; everybody may read them.

use jiff::civil::Date;

use crate::mouth::pose::ToothPose;
use crate::plan::state::ArchState;
use crate::room::room_account::RoomSource;
use springline_model::case::{ElasticsKind, Relation};
use springline_model::house::Task;
use springline_model::step::{Act, Condition, EndKind, Midline, Spot, StepKind, WireUse};
use springline_model::stock::Along;
use springline_units::tooth::{Arch, Side, Tooth};

/// Everything that is in the mouth, visit by visit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    pub(crate) plan: Vec<PlannedArch>,
    pub(crate) visits: Vec<VisitMoment>,
    pub(crate) elastics: Vec<ElasticsLife>,
    pub(crate) obligations: Vec<Obligation>,
}

/// How a value is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Not described: assumed to be in place.
    Assumed,
    /// Written in the case, and nothing has moved it since.
    Entered,
    /// Measured at that visit: index into the case's visits.
    Measured(usize),
    /// That visit found the wire passive: where its play leaves it.
    TestedPassive(usize),
    /// Forecast, of the median patient.
    Predicted,
}

/// A value, its range, and how it is known.
///
/// Of an entry the bounds are its error; of a forecast the patients slower and faster than nine in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Known<T> {
    pub value: T,
    pub low: T,
    pub high: T,
    pub basis: Basis,
}

impl<T: Copy> Known<T> {
    pub(crate) fn exactly(value: T, basis: Basis) -> Known<T> {
        Known { value, low: value, high: value, basis }
    }
}

/// A visit was recorded, or is to come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Index into the case's visits.
    Recorded(usize),
    Foreseen,
}

/// One visit: the mouth when the patient comes and when the patient leaves.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct VisitMoment {
    pub date: Date,
    pub standing: Standing,
    pub kind: Task,
    /// Arches that have a wire, or get one; in the order of the case.
    pub arches: Vec<ArchMoment>,
    /// Blocks of elastics worn when the patient comes, and from this visit on; indices into the case's.
    pub elastics_on_arrival: Vec<usize>,
    pub elastics_after: Vec<usize>,
    pub bite: BiteMoment,
    /// What the records left open up to here, as the patient comes; indices into the timeline's.
    pub open: Vec<usize>,
    /// How many of the last visits in a row found the cleaning poor.
    pub poor_hygiene: usize,
    /// What is fitted to keep the result, where the appliance comes off.
    pub retainers: Vec<Retainer>,
}

impl VisitMoment {
    pub fn arch(&self, arch: Arch) -> Option<&ArchMoment> {
        self.arches.iter().find(|a| a.arch == arch)
    }

    /// The appliance comes off.
    pub fn is_debond(&self) -> bool {
        self.kind == Task::Debond
    }
}

/// One arch at one visit.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ArchMoment {
    pub arch: Arch,
    /// `None` before the first wire.
    pub arrives: Option<StepMoment>,
    /// What goes in when the test is passed; `None`: nothing is changed here.
    pub if_passed: Option<StepMoment>,
    /// The forecast counts on the change, or a record has it; otherwise the wire is expected to stay.
    pub change_expected: bool,
    /// The whole appliance comes off here.
    pub comes_off: bool,
}

impl ArchMoment {
    /// The change is what is expected; the first wire always is.
    pub fn is_change_expected(&self) -> bool {
        self.change_expected || self.arrives.is_none()
    }

    /// The step that is in as the work of the visit ends, were the appliance to stay on.
    pub fn with_work_done(&self) -> Option<&StepMoment> {
        match self.is_change_expected() {
            true => self.if_passed.as_ref().or(self.arrives.as_ref()),
            false => self.arrives.as_ref(),
        }
    }

    /// What the patient leaves with when all goes as expected; nothing after a debond.
    pub fn leaves(&self) -> Option<&StepMoment> {
        self.with_work_done().filter(|_| !self.comes_off)
    }
}

/// One step of one arch on one day.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct StepMoment {
    /// Index into the phases of the arch, and into its steps.
    pub phase: usize,
    pub step: usize,
    pub wire: WireUse,
    /// The day this step began, or begins.
    pub begun: Option<Date>,
    /// From the patient's right to left, absent teeth included.
    pub teeth: Vec<ToothMoment>,
    pub spaces: Vec<SpaceMoment>,
    pub devices: Vec<Device>,
}

impl StepMoment {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothMoment> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    /// Devices that an act of the plan or of a record put there, with its index in the step's acts.
    pub fn acts(&self) -> impl Iterator<Item = (usize, &Device)> {
        self.devices.iter().filter_map(|d| match d.what {
            DeviceKind::Act(index) => Some((index, d)),
            _ => None,
        })
    }
}

/// How the wire engages a tooth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hold {
    /// The wire is in the slot.
    In,
    /// One wing only: the slot's mesial or distal half holds the wire.
    HalfIn(Along),
    /// Held by the light overlay wire; the base wire passes.
    Overlay,
    /// Has its bracket, the wire passes it by.
    Passed,
    /// No bracket (yet).
    NotBonded,
    /// Bonded, but the wire ends before it.
    BeyondWire,
    /// Has lost its bracket.
    BracketOff,
    Absent(Absence),
}

impl Hold {
    pub fn is_engaged(self) -> bool {
        matches!(self, Hold::In | Hold::HalfIn(_) | Hold::Overlay)
    }
}

/// Why there is no crown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Absence {
    Missing,
    Extracted,
    /// To be taken out; the plan counts on it.
    ToExtract,
    Unerupted,
}

/// What is on a tooth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Attachment {
    None,
    /// The step leaves it without a bracket on purpose.
    UnbondedOnPurpose,
    Bonded,
    /// The bracket was recorded loose on that day and not put back.
    Lost(Date),
}

#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ToothMoment {
    pub tooth: Tooth,
    pub pose: Known<ToothPose>,
    pub attachment: Attachment,
    /// As the step has it; a bracket that was recorded loose stands in `attachment`.
    pub hold: Hold,
    /// An implant, or grown to the bone.
    pub fixed: bool,
}

/// Space between two teeth: a gap, or the place of a tooth out of the wire.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SpaceMoment {
    pub at: SpaceAt,
    /// Between entry and exit of a phase by straight line.
    pub length_mm: Known<f64>,
    /// What makes it in this phase, mm until the wire comes out.
    pub account: Vec<(RoomSource, f64)>,
    /// At which the tooth is engaged.
    pub wanted_mm: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpaceAt {
    Tooth(Tooth),
    Between(Tooth, Tooth),
}

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

/// The bite on a day.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct BiteMoment {
    /// As entered or last measured, mm; an open bite is an overbite under nothing.
    pub overjet_mm: Option<Known<f64>>,
    pub overbite_mm: Option<Known<f64>>,
    pub molars: Vec<(Side, Relation, Basis)>,
    pub canines: Vec<(Side, Relation, Basis)>,
    pub crossbite: Vec<Tooth>,
    pub over_the_bite: Vec<Tooth>,
    pub midlines: Vec<(Arch, Midline, Basis)>,
    /// Overjet and overbite as each arch by itself is forecast to have made them, mm.
    pub forecast: Vec<(Arch, [Option<f64>; 2])>,
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

/// Something that a record left open.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Obligation {
    pub observed: Observation,
    /// The visit that found it: its day, and its index in the case's visits.
    pub since: Date,
    pub visit: usize,
    /// The date of the record that repaired it.
    pub discharged: Option<Date>,
}

impl Obligation {
    /// Open at the end of that day.
    pub fn is_open_on(&self, day: Date) -> bool {
        self.since <= day && self.discharged.is_none_or(|mended| mended > day)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Observation {
    Loose(Tooth),
    LostStop(Spot),
    /// The wire has come out of that tooth's slot.
    Out(Tooth),
    Poking(Tooth),
    SlideOpen(Tooth),
    /// The wire was removed and none inserted.
    NoWire(Arch),
}

#[derive(Debug, Clone, PartialEq)]
pub enum Retainer {
    Bonded(Vec<Tooth>),
    Night(Arch),
}

/// The steps of an arch as the plan alone has them.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedArch {
    pub arch: Arch,
    pub steps: Vec<PlannedStep>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PlannedStep {
    pub state: ArchState,
    /// Blocks of elastics that the plan has worn in it.
    pub elastics: Vec<usize>,
}

impl Timeline {
    /// As many as the forecast's visits, and in their order.
    pub fn visits(&self) -> &[VisitMoment] {
        &self.visits
    }

    /// One for each block of elastics of the case.
    pub fn elastics(&self) -> &[ElasticsLife] {
        &self.elastics
    }

    pub fn obligations(&self) -> &[Obligation] {
        &self.obligations
    }

    /// What the records left open at the end of that day.
    pub fn open_on(&self, day: Date) -> impl Iterator<Item = &Obligation> {
        self.obligations.iter().filter(move |o| o.is_open_on(day))
    }

    fn planned_step(&self, arch: Arch, step: usize) -> Option<&PlannedStep> {
        self.plan.iter().find(|p| p.arch == arch)?.steps.get(step)
    }

    /// A step as the plan alone has it: a bypass lasts as long as the plan leaves it open.
    pub fn planned(&self, arch: Arch, step: usize) -> Option<&ArchState> {
        self.planned_step(arch, step).map(|s| &s.state)
    }

    /// Blocks of elastics that the plan has worn in a step; indices into the case's.
    pub fn elastics_in(&self, arch: Arch, step: usize) -> &[usize] {
        self.planned_step(arch, step).map_or(&[], |s| &s.elastics)
    }
}

/// The acts of a plan or record that put something on wire or teeth.
pub(crate) fn is_device(act: &Act) -> bool {
    use springline_model::step::ActKind as K;
    !matches!(
        act.kind,
        K::Bypass { .. }
            | K::Engage { .. }
            | K::PickUp { .. }
            | K::Rebond { .. }
            | K::Reposition { .. }
            | K::Reduce { .. }
            | K::Coordinated
            | K::Trim { .. }
            | K::HaltIf { .. }
            | K::Sectional { .. }
            | K::Records { .. }
            | K::Hold { .. }
            | K::Note { .. }
    )
}
