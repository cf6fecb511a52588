//! One step of an arch, actually lived through.

use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;

use super::pose::ToothPose;
use super::room::RoomAccount;
use super::setup::ArchSetup;
use super::state::{ArchState, ToothStatus};
use crate::finding::Place;
use crate::mechanics::{Components, Refusal};
use crate::model::case::Found;
use crate::model::house::PassiveRule;
use crate::model::provenance::Origin;
use crate::model::step::{StepKind, WireUse};
use crate::model::stock::Name;
use crate::model::tooth::{Arch, Tooth};

/// A predicted time: days since the wire went in, for the patient faster than nine in ten, the
/// median one and the one slower than nine in ten, so that eight in ten lie between; and the dates where the case has a start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TimeBand {
    pub early_days: f64,
    pub median_days: f64,
    pub late_days: f64,
    pub dates: Option<[Date; 3]>,
}

impl TimeBand {
    /// There is nothing to wait for.
    pub fn is_at_once(&self) -> bool {
        self.late_days <= 0.0
    }

    /// "9 wk (6 to 14)".
    pub fn weeks(&self) -> String {
        let [early, median, late] = [self.early_days, self.median_days, self.late_days].map(weeks);
        format!("{median} wk ({early} to {late})")
    }
}

/// Whole weeks; what is left, but less than half a week, is not nothing.
pub fn weeks(days: f64) -> String {
    match days / 7.0 {
        w if w > 0.0 && w < 0.5 => "<1".to_owned(),
        w => format!("{:.0}", w.max(0.0)),
    }
}

/// Components and couples on a tooth; axes of [`ToothPose`].
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Action {
    pub lingual_n: f64,
    pub gingival_n: f64,
    /// Towards the patient's left.
    pub along_n: f64,
    pub rotation_nmm: f64,
    pub tip_nmm: f64,
    /// Left after the play of the wire in the slot.
    pub torque_nmm: f64,
}

impl From<Components> for Action {
    fn from(c: Components) -> Action {
        let Components { lingual_n, gingival_n, along_n, rotation_nmm, tip_nmm, torque_nmm } = c;
        Action { lingual_n, gingival_n, along_n, rotation_nmm, tip_nmm, torque_nmm }
    }
}

/// What the wire does to one tooth when it goes in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToothLoad {
    pub tooth: Tooth,
    /// Resultant at insertion.
    pub peak_n: f64,
    /// After the worst tooth of the arch has given 0.2 mm, or all that it has to give.
    pub delivered_n: f64,
    /// The same after 0.5 mm: the sustained force S.
    pub sustained_n: f64,
    /// S of 0.014 in superelastic round wire in the same arch; `None` where it has no answer, and where
    /// it is not asked: for steel and beta-titanium, and where this wire keeps under 20 g everywhere.
    pub sustained_14_n: Option<f64>,
    pub at_insertion: Action,
    pub delivered: Action,
    /// Largest fibre strain beside the tooth, and its share of the alloy's limit.
    pub strain: f64,
    pub strain_fraction: f64,
    /// How far the nearest open contact is from touching; zero when all are closed.
    pub gap_mm: f64,
    pub passive: bool,
}

/// Why there are no figures.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NoFigures {
    pub tooth: Option<Tooth>,
    pub why: String,
    #[serde(skip)]
    pub refusal: Refusal,
}

impl NoFigures {
    pub fn new(refusal: Refusal) -> NoFigures {
        let tooth = refusal.id().and_then(|id| Tooth::iso(u32::from(id)));
        NoFigures { tooth, why: refusal.to_string(), refusal }
    }
}

/// The mechanics of a wire going in.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Insertion {
    /// In order along the arch; empty where refused.
    pub teeth: Vec<ToothLoad>,
    pub refused: Option<NoFigures>,
    /// Length the wire takes in at its ends as it goes into the slots, mm; negative gives out.
    pub taken_in_mm: f64,
    /// A stopped end would have to slide for these figures: an axial force is missing.
    pub blocked: bool,
}

impl Insertion {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothLoad> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    fn worst(&self, of: impl Fn(&ToothLoad) -> f64) -> Option<&ToothLoad> {
        self.teeth.iter().max_by(|a, b| of(a).total_cmp(&of(b)))
    }

    pub fn worst_peak(&self) -> Option<&ToothLoad> {
        self.worst(|t| t.peak_n)
    }

    pub fn worst_delivered(&self) -> Option<&ToothLoad> {
        self.worst(|t| t.delivered_n)
    }

    pub fn worst_sustained(&self) -> Option<&ToothLoad> {
        self.worst(|t| t.sustained_n)
    }

    /// The arch's S14: largest sustained force of 0.014 in superelastic wire on any tooth.
    pub fn sustained_14_n(&self) -> Option<f64> {
        self.teeth.iter().filter_map(|t| t.sustained_14_n).max_by(f64::total_cmp)
    }
}

/// One tooth over a phase.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToothCourse {
    pub tooth: Tooth,
    pub status: ToothStatus,
    pub fixed: bool,
    /// Where the stand at entry comes from; `Assumed` means nobody described it.
    pub origin: Origin,
    pub entry: ToothPose,
    /// Median patient, when the wire is planned to come out (or came out).
    pub exit: ToothPose,
    /// What the play of this wire leaves if it stays for ever.
    pub left_by_play: ToothPose,
}

/// How long the wire stays active.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PassiveTimes {
    /// The rule that dates the visit.
    pub rule: PassiveRule,
    /// A quarter of what the wire can remove is left, or every force is under the floor.
    pub quarter: Option<TimeBand>,
    /// Median days to passive by the dating rule, as predicted when the wire went in and before any
    /// visit spoke of it.
    pub predicted_at_insertion_days: Option<f64>,
    /// The stricter look: every force under the floor and no bend to be seen beside a slot.
    pub no_bend: Option<TimeBand>,
    pub rule_of_thumb_days: f64,
    /// What the rule of thumb went by: "4 to 6 mm of crowding".
    pub rule_of_thumb: &'static str,
    /// Standard deviation of the logarithm of the time, all spreads together.
    pub spread_ln: f64,
    /// Learned factor on the time (1 without), and the cases behind it.
    pub factor: f64,
    pub learned_cases: Option<u32>,
    /// Irregularity of the six front teeth, mm: at entry, when passive, and left by play.
    pub index_in_mm: f64,
    pub index_passive_mm: f64,
    pub index_left_mm: f64,
    /// The room account, not the wire, sets the time.
    pub held_by_room: bool,
    /// Why there is no date.
    pub never: Option<String>,
}

impl PassiveTimes {
    /// The time by the rule that dates the visit.
    pub fn by_rule(&self) -> Option<&TimeBand> {
        match self.rule {
            PassiveRule::QuarterLeft => self.quarter.as_ref(),
            PassiveRule::NoBend => self.no_bend.as_ref(),
        }
    }
}

/// Why a phase ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "reason")]
pub enum EndReason {
    Passive,
    /// A stated time, or the settling time.
    Time,
    /// A measure is predicted to be reached: the condition as written.
    Measure {
        text: String,
    },
    /// The doctor decides; the date is that of the first review, assumed.
    Decided,
    /// The next phase is recorded in a visit.
    Recorded {
        visit: usize,
    },
    /// The condition is not reached in what can be predicted.
    Never {
        why: String,
    },
}

/// When and why the wire comes out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PhaseEnd {
    pub reason: EndReason,
    /// Predicted time of the condition; kept beside the record when the end is recorded.
    pub predicted: Option<TimeBand>,
    /// The day the wire comes out: recorded, or of the planned visit.
    pub date: Option<Date>,
}

/// What a recorded visit found of this wire, beside what was predicted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SeenWire {
    /// Index into the case's visits.
    pub visit: usize,
    pub on: Date,
    pub found: Option<Found>,
    /// Predicted share of patients whose wire is passive by that day.
    pub expected_passive: Option<f64>,
    /// Teeth whose measured stand replaced the predicted one: predicted, measured.
    pub replaced: Vec<(Tooth, ToothPose, ToothPose)>,
}

/// An open coil in a phase: it pushes less as its space opens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoilCourse {
    pub first: Tooth,
    pub second: Tooth,
    /// Where its act was written.
    pub place: Place,
    /// By how much it lies pressed as the step begins, mm.
    pub pressed_mm: f64,
    /// Its force then, N.
    pub force_n: f64,
    /// Its force as the next visit finds it, N, and the days until then (median patient).
    pub force_next_n: f64,
    pub next_days: f64,
    /// Pressed by as much again at each visit.
    pub each_visit: bool,
    /// The most room it makes in this phase, mm: until its force is under the floor.
    pub room_mm: f64,
}

/// One step of one arch, lived through.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Phase {
    pub arch: Arch,
    /// Index into the arch's steps.
    pub step: usize,
    pub name: Name,
    pub kind: StepKind,
    /// As recorded where a visit names it, else as planned.
    pub wire: WireUse,
    /// The day the wire goes in; `None` where the case has no start.
    pub date_in: Option<Date>,
    /// The wire is in already: `date_in` is a fact.
    pub begun: bool,
    pub state: ArchState,
    /// From the patient's right to left, absent teeth included.
    pub teeth: Vec<ToothCourse>,
    pub insertion: Insertion,
    pub passive: PassiveTimes,
    pub room: RoomAccount,
    pub end: PhaseEnd,
    /// Open coils that push, as the step begins.
    pub coils: Vec<CoilCourse>,
    /// Longest time between two looks while this wire is in, days, and what demands it where that is
    /// not the house or the step: `open coil`, `elastics`.
    pub look_days: f64,
    pub supervised: Option<&'static str>,
    /// The day it is booked to be changed, counted from insertion, and the predicted share of
    /// patients in whom that is possible by then.
    pub booked_days: f64,
    pub booked_share: Option<f64>,
    /// Recorded visits in this phase, in order.
    pub seen: Vec<SeenWire>,
    /// What was given to the mechanics when the wire went in: the set-up of `insertion`. Change a wire in
    /// a copy and solve again.
    #[serde(skip)]
    pub setup: Arc<ArchSetup>,
    /// Path of the median patient for the drawing: days since the wire went in, and the poses in the
    /// order of `teeth`.
    pub path: Vec<(f64, Vec<ToothPose>)>,
}

impl Phase {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothCourse> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }
}
