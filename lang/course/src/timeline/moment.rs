//! The types of the timeline: what is in the mouth at every visit, and how it is known.
//!
//! Values of these types are made by this crate alone; everybody may read them.

use jiff::civil::Date;

use crate::mouth::bite_figures::BiteFigure;
use crate::mouth::bite_moves::BiteCause;
use crate::mouth::pose::ToothPose;
use crate::plan::state::ArchState;
use crate::room::room_account::RoomSource;
use crate::timeline::device::{Device, DeviceRemoval, ElasticsLife, ElasticsRemoval};
use springline_model::case::Relation;
use springline_model::house::Task;
use springline_model::step::{Midline, MidlineReference, Spot, WireUse};
use springline_model::stock::Along;
use springline_text::Place;
use springline_units::tooth::{Arch, Side, Tooth};

/// Everything that is in the mouth, visit by visit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Timeline {
    pub(crate) plan: Vec<PlannedArch>,
    pub(crate) visits: Vec<VisitMoment>,
    pub(crate) bite_as_recorded: BiteMoment,
    pub(crate) elastics: Vec<ElasticsLife>,
    /// Devices that come off before their step or wire ends: of which arch, where they were written, when.
    pub(crate) removed: Vec<(Arch, Place, Date)>,
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
    /// Worn when the patient comes, and from this visit on no more.
    pub elastics_off: Vec<ElasticsRemoval>,
    pub bite: BiteMoment,
    /// What the records left open up to here, as the patient comes; indices into the timeline's.
    pub open: Vec<usize>,
    /// How many of the last visits in a row found the cleaning poor.
    pub poor_hygiene: usize,
    /// What is fitted to keep the result, where the appliance comes off.
    pub retainers: Vec<Retainer>,
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
    /// Devices that come off here whether or not the wire is changed.
    pub off_today: Vec<DeviceRemoval>,
    /// Those that come off with the change.
    pub off_with_change: Vec<DeviceRemoval>,
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
    /// Acts of the phase's state whose device has come off at an earlier visit; indices into them.
    pub came_off: Vec<usize>,
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
    /// Figures as they are forecast from the last measurement on, and what moved them: both arches together,
    /// the median patient.
    pub forecast: Vec<BiteForecast>,
    /// Midlines as forecast from where they were last known.
    pub midlines_forecast: Vec<MidlineForecast>,
}

/// A midline on a day, by all that has carried it since it was last known.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct MidlineForecast {
    pub arch: Arch,
    pub reference: MidlineReference,
    /// Wire that has passed it, mm; to the patient's left is positive.
    pub across_mm: f64,
    /// Room that the right side has made more than the left, mm: the front goes to the other side.
    pub room_mm: f64,
    /// What elastics have carried it, mm, to the patient's left positive.
    pub elastics_mm: f64,
    /// Where it stands, mm to the patient's left of the reference: least, median and most of all together.
    pub left_mm: [f64; 3],
}

/// One figure of the bite as forecast.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct BiteForecast {
    pub figure: BiteFigure,
    /// mm; overjet reversed, bite open, Class III and a midline to the right are under nothing.
    pub value_mm: f64,
    /// What moved it since it was measured, and by how much, mm.
    pub moved_by: Vec<(BiteCause, f64)>,
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
