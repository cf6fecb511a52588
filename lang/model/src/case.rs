//! The typed case: one patient's plan and record, with names resolved and units checked.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;

use super::expander::Expander;
use super::form::Form;
use super::house::{House, Task};
use super::measured_block::MeasuredBlock;
use super::provenance::Sourced;
use super::stand::{InOut, Stand};
use super::step::{Act, Condition, Midline, Step};
use super::stock::{Bracket, Elastic, Name, Wire};
use super::tooth_size::ToothSizeRatio;
use super::traction::Exposure;

pub use super::contact::{Gap, Overlap};
pub use super::overjet::{Overjet, say_overjet};
use springline_text::Place;
use springline_units::quantity::{Length, Period, mm};
use springline_units::tooth::{Arch, Side, Tooth};

/// A bracket, tube or band on a tooth.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bonding {
    pub bracket: Arc<Bracket>,
    pub inverted: bool,
    pub variant: Option<Name>,
    /// Another practice's bracket.
    pub elsewhere: Option<Elsewhere>,
    pub place: Place,
}

/// What is known of a bracket that another practice bonded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Elsewhere {
    /// Its slot was measured; else that of the practice's own brackets stands for it.
    pub slot_known: bool,
    pub on: Option<Date>,
}

/// A tooth whose presence is not ordinary.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "state")]
pub enum ToothState {
    Missing,
    /// Taken out already.
    Extracted {
        on: Option<Date>,
    },
    /// To be taken out.
    Extract {
        date: Date,
        before: bool,
    },
    Unerupted,
    Implant,
    Ankylosed,
}

impl ToothState {
    /// Leaves no crown in the arch.
    pub fn is_absent(self) -> bool {
        matches!(
            self,
            ToothState::Missing
                | ToothState::Extracted { .. }
                | ToothState::Extract { .. }
                | ToothState::Unerupted
        )
    }

    pub fn is_fixed(self) -> bool {
        matches!(self, ToothState::Implant | ToothState::Ankylosed)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Growth {
    Adult,
    Growing,
    /// Not said.
    Unknown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Anchorage {
    Maximum,
    Moderate,
    Minimum,
}

/// Angle's classes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BiteClass {
    Class1,
    Class2,
    Class3,
}

impl BiteClass {
    /// As a sentence has it.
    pub fn said(self) -> &'static str {
        match self {
            BiteClass::Class1 => "Class I",
            BiteClass::Class2 => "Class II",
            BiteClass::Class3 => "Class III",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Relation {
    pub class: BiteClass,
    pub by: Option<Length>,
}

impl Relation {
    /// How far Class II, Class III under nothing, mm; `None` where the class alone is said.
    pub fn mm(&self) -> Option<f64> {
        let by = self.by.map(mm);
        match self.class {
            BiteClass::Class1 => Some(0.0),
            BiteClass::Class2 => by,
            BiteClass::Class3 => by.map(|by| -by),
        }
    }
}

/// How the arches meet, or are to meet.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Bite {
    pub overjet: Option<(Overjet, Place)>,
    pub overbite: Option<(Length, Place)>,
    pub open_bite: Option<(Length, Place)>,
    /// Depth of the curve of the lower arch.
    pub curve_of_spee: Option<(Length, Place)>,
    pub molars: BTreeMap<Side, Relation>,
    pub canines: BTreeMap<Side, Relation>,
    /// Of the line of the canines.
    #[serde(skip)]
    pub canines_place: Option<Place>,
    pub crossbite: Vec<Tooth>,
    pub midlines: BTreeMap<Arch, (Midline, Place)>,
}

/// Where treatment ends.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Goal {
    pub bite: Bite,
    pub over_the_bite: Vec<Tooth>,
    /// `Some(false)`: no extraction.
    pub extraction: Option<bool>,
    pub incisors_forward: Option<bool>,
    pub spaces_closed: bool,
    pub place: Option<Place>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Caution {
    pub tooth: Tooth,
    pub why: String,
    pub place: Place,
}

/// One arch of a case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchCase {
    pub arch: Arch,
    /// The `upper` or `lower` line.
    pub place: Place,
    pub bonded: BTreeMap<Tooth, Bonding>,
    pub states: BTreeMap<Tooth, (ToothState, Place)>,
    /// Entered positions; teeth not listed are assumed in line.
    pub stands: BTreeMap<Tooth, Sourced<Stand>>,
    pub hooks: BTreeSet<Tooth>,
    pub buttons: Vec<(Tooth, InOut, Place)>,
    pub cautions: Vec<Caution>,
    pub gaps: Vec<Gap>,
    pub overlaps: Vec<Overlap>,
    /// What was read from points. `stands`, `gaps` and `overlaps` have taken it over where no line of the case says
    /// the same: whatever asks where teeth stand asks those.
    pub reading: Option<MeasuredBlock>,
    pub midline: Option<(Midline, Place)>,
    /// Room the arch lacks, where its front teeth are not described one by one.
    pub crowding: Option<(Length, Place)>,
    pub form: Sourced<Arc<Form>>,
    pub start: Option<(Date, Place)>,
    pub anchorage: Option<(Anchorage, Place)>,
    /// Bars that tie two molars.
    pub bars: Vec<(Tooth, Tooth, Place)>,
    pub screws: Vec<(Tooth, Tooth, Place)>,
    pub expander: Option<Expander>,
    /// Unerupted teeth that are laid open.
    pub exposures: BTreeMap<Tooth, Exposure>,
    /// Separators and held spaces written at arch level.
    pub extras: Vec<Act>,
    pub follows: Option<(Name, Place)>,
    pub skipped: Vec<(Name, Place)>,
    /// The day its steps were drafted, while no doctor has taken them on.
    pub drafted: Option<(Date, Place)>,
    pub steps: Vec<Step>,
    pub notes: Vec<(String, Place)>,
    /// A line outside the steps could not be read.
    pub unread: Option<Place>,
}

impl ArchCase {
    /// A line of the arch or of one of its steps could not be read.
    pub fn is_unread(&self) -> bool {
        self.unread.is_some() || self.first_incomplete().is_some()
    }

    /// The first step that is not wholly read.
    pub fn first_incomplete(&self) -> Option<usize> {
        self.steps.iter().position(|s| s.incomplete.is_some())
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ElasticsKind {
    Class2,
    Class3,
    Triangle,
    Box,
    Cross,
    Diagonal,
    Settling,
}

impl ElasticsKind {
    pub fn word(self) -> &'static str {
        match self {
            ElasticsKind::Class2 => "class-2",
            ElasticsKind::Class3 => "class-3",
            ElasticsKind::Triangle => "triangle",
            ElasticsKind::Box => "box",
            ElasticsKind::Cross => "cross",
            ElasticsKind::Diagonal => "diagonal",
            ElasticsKind::Settling => "settling",
        }
    }
}

/// One elastic on one side.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ElasticRun {
    pub side: Side,
    /// Two or three teeth.
    pub teeth: Vec<Tooth>,
    pub elastic: Arc<Elastic>,
    pub hours_a_day: f64,
    pub place: Place,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Elastics {
    pub kind: ElasticsKind,
    pub runs: Vec<ElasticRun>,
    pub from: Option<(Name, bool, Place)>,
    pub until: Option<(Condition, Place)>,
    /// Worn until either arch begins that step.
    pub until_step: Option<(Name, Place)>,
    pub longest: Option<(Period, Place)>,
    pub notes: Vec<String>,
    pub place: Place,
}

#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Retention {
    pub fixed: Vec<(Vec<Tooth>, Option<Period>)>,
    pub night: Vec<(Arch, Option<Period>)>,
    pub check: Option<Period>,
    pub place: Option<Place>,
}

/// The planned date of debonding, with its reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Debond {
    pub on: Option<Date>,
    pub because: Option<String>,
    pub place: Place,
}

/// What is in the mouth of a running case when it is entered.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InPlace {
    pub on: Date,
    pub wires: BTreeMap<Arch, (Arc<Wire>, Date, Place)>,
    pub place: Place,
}

/// How an arch was found.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "found")]
pub enum Found {
    Passive,
    /// Changed, still a little active.
    NearlyPassive,
    Active,
    Binds {
        teeth: Vec<Tooth>,
    },
    NotTested,
}

/// What was done with the wire.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "done")]
pub enum Done {
    Kept,
    /// Removed, cleaned, reinserted.
    SameWire,
    Out,
    Now {
        step: Name,
        wire: Arc<Wire>,
        tandem: Option<Arc<Wire>>,
    },
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchSeen {
    pub arch: Arch,
    pub found: Option<Found>,
    pub done: Option<Done>,
    pub midline: Option<Midline>,
    /// Done otherwise than planned.
    pub acts: Vec<Act>,
    pub place: Place,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "wear")]
pub enum Wear {
    Good,
    Partly,
    Nothing,
    Hours { hours: f64 },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Hygiene {
    Good,
    Fair,
    Poor,
}

/// Breakages, losses and complaints.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "trouble")]
pub enum Trouble {
    Loose { teeth: Vec<Tooth> },
    LostStop { spots: Vec<super::step::Spot> },
    Out { teeth: Vec<Tooth> },
    Poking { teeth: Vec<Tooth> },
    SlideOpen { teeth: Vec<Tooth> },
}

/// A recorded visit.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Visit {
    pub on: Date,
    pub by: Option<Name>,
    pub kind: Option<Task>,
    pub arches: Vec<ArchSeen>,
    pub as_planned: bool,
    pub stands: BTreeMap<Tooth, (Stand, Place)>,
    pub gaps: Vec<Gap>,
    pub overlaps: Vec<Overlap>,
    /// What was read from points that day, taken over into the three above likewise.
    pub readings: Vec<MeasuredBlock>,
    pub bite: Bite,
    pub over_the_bite: Vec<Tooth>,
    pub troubles: Vec<(Trouble, Place)>,
    pub pain: Option<(u32, u32)>,
    /// `None` side: both.
    pub wear: Vec<(Option<Side>, Wear)>,
    pub hygiene: Option<Hygiene>,
    /// Teeth whose bite raisers were taken off.
    pub raisers_off: Vec<Tooth>,
    /// How far expanders are open.
    pub expanded: Vec<(Vec<Tooth>, Length, Place)>,
    pub notes: Vec<String>,
    pub place: Place,
}

/// The doctor's acceptance of a finding, as written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Accept {
    /// `family/fault`.
    pub code: String,
    pub code_place: Place,
    pub teeth: Vec<Tooth>,
    /// In the finding's own unit.
    pub up_to: Option<springline_units::quantity::Quantity>,
    pub until_date: Option<Date>,
    pub until_step: Option<Name>,
    pub reason: String,
    pub by: Name,
    /// Its place in the text limits which findings it applies to.
    pub arch: Option<Arch>,
    pub step: Option<Name>,
    pub place: Place,
}

/// A whole case.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Case {
    pub chart: String,
    pub chart_place: Place,
    pub house: Arc<House>,
    pub doctor: Option<Name>,
    pub start: Option<(Date, Place)>,
    pub in_place: Option<InPlace>,
    pub growth: Growth,
    /// In years, at the start.
    pub age: Option<(u32, Place)>,
    pub tooth_size: Option<ToothSizeRatio>,
    pub bite: Bite,
    pub goal: Option<Goal>,
    pub arches: Vec<ArchCase>,
    pub elastics: Vec<Elastics>,
    pub debond: Option<Debond>,
    pub retention: Option<Retention>,
    /// In the order of their dates as written.
    pub visits: Vec<Visit>,
    pub missed: Vec<(Date, Place)>,
    pub accepts: Vec<Accept>,
    pub extras: Vec<Act>,
    pub notes: Vec<(String, Place)>,
}

impl Case {
    /// Whether the overjet is reversed or was at any time, so that its direction has to be asked for.
    pub fn is_reverse(&self) -> bool {
        let seen = self.visits.iter().map(|v| &v.bite);
        let goal = self.goal.iter().map(|g| &g.bite);
        let all = seen.chain(goal).chain([&self.bite]);
        all.filter_map(|b| b.overjet.as_ref()).any(|(jet, _)| jet.is_reverse())
    }

    pub fn arch(&self, arch: Arch) -> Option<&ArchCase> {
        self.arches.iter().find(|a| a.arch == arch)
    }

    /// The case as far as its course can be computed: every arch up to the first step that could not be
    /// read in full. Later steps would start from unknown positions.
    pub fn computable(&self) -> Cow<'_, Case> {
        if self.arches.iter().all(|arch| arch.first_incomplete().is_none()) {
            return Cow::Borrowed(self);
        }
        let mut case = self.clone();
        for arch in &mut case.arches {
            arch.steps.truncate(arch.first_incomplete().unwrap_or(arch.steps.len()));
        }
        Cow::Owned(case)
    }
}
