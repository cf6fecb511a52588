//! A phase: one step of an arch as simulated, with its dates.

use std::sync::Arc;

use crate::geometry::sliding::BlockedWire;
use crate::geometry::{ArchLayout, Sliding};
use crate::law::chair::PassiveBy;
use crate::law::time_band::TimeBand;
use crate::mouth::bite_moves::BiteMoves;
use crate::mouth::pose::ToothPose;
use crate::mouth::positions::Mouth;
use crate::plan::state::{ArchState, ToothStatus};
use crate::room::room_account::RoomAccount;
use crate::run::chair_reading::ChairReading;
use crate::run::figures::Insertion;
use crate::run::insertion::put_in;
use crate::setup::arch_setup::ArchSetup;
use crate::setup::axial::{drawn_forward_n, pressed_apart_n};
use crate::simulate::cross_pull::CrossPull;
use crate::simulate::outcome::{EndReason, SeenWire};
use crate::timeline::moment::SpaceAt;
use crate::timeline::sliding_canines::SlidCanine;
use crate::timeline::tooth_pulls::{ToothPull, tips, tooth_pulls};
use jiff::civil::Date;
use springline_mechanics::StandError;
use springline_model::house::{House, PassiveRule};
use springline_model::provenance::Origin;
use springline_model::step::{StepKind, WireUse};
use springline_model::stock::{Name, Wire};
use springline_text::Place;
use springline_units::tooth::{Arch, Tooth};

/// One tooth over a phase.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothCourse {
    pub tooth: Tooth,
    pub status: ToothStatus,
    pub fixed: bool,
    /// Provenance of the pose at entry; `Assumed` means it was not described.
    pub origin: Origin,
    pub entry: ToothPose,
    /// Error of `entry`, where it was entered as a word.
    pub entry_error: StandError,
    /// Median patient, when the wire is planned to come out (or came out).
    pub exit: ToothPose,
    /// Pose left by the play of this wire after unlimited time.
    pub left_by_play: ToothPose,
}

/// How long the wire stays active.
#[derive(Debug, Clone, PartialEq)]
pub struct PassiveTimes {
    /// The rule that dates the visit.
    pub rule: PassiveRule,
    /// A quarter of what the wire can correct is left, or every force is below the floor.
    pub quarter: Option<TimeBand>,
    /// What decides it by the rule that dates the visit.
    pub decided_by: PassiveBy,
    /// Median days to passive by the dating rule, as predicted at insertion and before any visit.
    pub predicted_at_insertion_days: Option<f64>,
    /// The stricter look: every force under the floor and no bend to be seen beside a slot.
    pub no_bend: Option<TimeBand>,
    pub rule_of_thumb_days: f64,
    /// The measure used by the rule of thumb: "4 to 6 mm of crowding".
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
    /// Whether the room account, not the wire, determines the time.
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

/// When and why the wire comes out.
#[derive(Debug, Clone, PartialEq)]
pub struct PhaseEnd {
    pub reason: EndReason,
    /// Predicted time of the condition; kept beside the record when the end is recorded.
    pub predicted: Option<TimeBand>,
    /// The day the wire comes out: recorded, or of the planned visit.
    pub date: Option<Date>,
}

/// An open coil in a phase: it pushes less as its space opens.
#[derive(Debug, Clone, PartialEq)]
pub struct CoilCourse {
    pub first: Tooth,
    pub second: Tooth,
    /// Where its act was written.
    pub place: Place,
    /// Compression at the start of the step, mm.
    pub pressed_mm: f64,
    /// Its force then, N.
    pub force_n: f64,
    /// Its force as the next visit finds it, N, and the days until then (median patient).
    pub force_next_n: f64,
    pub next_days: f64,
    /// Compressed by the same amount again at each visit.
    pub each_visit: bool,
    /// The most room it makes in this phase, mm: until its force is under the floor.
    pub room_mm: f64,
}

/// One step of one arch, as simulated.
#[derive(Debug, Clone, PartialEq)]
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
    /// Positions and layout of the arch at insertion.
    pub entry: Mouth,
    pub layout: ArchLayout,
    /// From the patient's right to left, absent teeth included.
    pub teeth: Vec<ToothCourse>,
    pub insertion: Insertion,
    /// The same in the mouth as a visit has found it since, where one has measured teeth, found or mended a bracket,
    /// or changed what acts.
    pub insertion_since: Option<Insertion>,
    pub passive: PassiveTimes,
    pub room: RoomAccount,
    pub end: PhaseEnd,
    /// Open coils that push, as the step begins.
    pub coils: Vec<CoilCourse>,
    /// Longest time between two inspections while this wire is in, days, and its reason where that is not
    /// the practice or the step: `open coil`, `elastics`.
    pub look_days: f64,
    pub supervised: Option<&'static str>,
    /// The day it is booked to be changed, counted from insertion, and the predicted share of
    /// patients in whom that is possible by then.
    pub booked_days: f64,
    pub booked_share: Option<f64>,
    /// Recorded visits in this phase, in order.
    pub seen: Vec<SeenWire>,
    /// The solver's input at insertion: the set-up of `insertion`. To try another wire, change it in a
    /// copy and solve again.
    pub setup: Arc<ArchSetup>,
    /// Path of the median patient for the drawing: days since the wire went in, and the poses in the
    /// order of `teeth`.
    pub path: Vec<(f64, Vec<ToothPose>)>,
    /// What shifting the wire would meet: days since it went in, and the chair test of the median patient
    /// (empty where the wire has no figures, or ligatures hold it).
    pub chair: Vec<(f64, ChairReading)>,
    /// Canines that it slides along the wire, each by itself.
    pub slid: Vec<SlidCanine>,
    /// What else the timeline reads of it.
    pub(crate) way: PhaseWay,
}

/// A space over a phase: days since the wire went in, and mm; as it began, as measured in it, and when the
/// wire comes out (median patient).
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SpaceCourse {
    pub at: SpaceAt,
    pub path: Vec<(f64, f64)>,
}

impl SpaceCourse {
    /// On a day, by straight line; and as it began.
    pub fn on(&self, day: f64) -> Option<(f64, f64)> {
        let (_, began) = *self.path.first()?;
        let after = self.path.partition_point(|(d, _)| *d <= day);
        let now = match (after.checked_sub(1).and_then(|i| self.path.get(i)), self.path.get(after))
        {
            (Some((a, from)), Some((b, to))) => from + (to - from) * (day - a) / (b - a),
            (Some((_, mm)), None) | (None, Some((_, mm))) => *mm,
            (None, None) => return None,
        };
        Some((now, began))
    }
}

/// What the timeline needs of a phase beside what is handed out of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct PhaseWay {
    /// The path goes on so if the wire stays beyond the exit.
    pub beyond: Vec<(f64, Vec<ToothPose>)>,
    /// Days after insertion from which the path was computed again.
    pub reckoned_from: Vec<f64>,
    pub exit_days: f64,
    pub spaces: Vec<SpaceCourse>,
    /// What acts on the bite from this arch while the wire is in.
    pub acting: BiteMoves,
    /// Teeth that elastics carry across.
    pub across: Vec<CrossPull>,
}

impl Phase {
    /// The wire in its slots as it goes in: what it meets when it slides.
    pub fn sliding(&self, house: &House) -> Sliding {
        let solved = self.insertion.refused.is_none() && !self.insertion.teeth.is_empty();
        let taken_in_mm = solved.then_some(self.insertion.taken_in_mm);
        Sliding::of(house, &self.layout, &self.state, &self.entry, taken_in_mm)
    }

    /// Teeth that coils, springs, chains, elastics and ties pull on, as the wire goes in.
    pub fn tooth_pulls(&self) -> Vec<ToothPull> {
        let Insertion { teeth, tie_loads, .. } = &self.insertion;
        tooth_pulls(&self.setup, &tips(teeth), tie_loads)
    }

    /// Wire that cannot leave between two stops, and the force, N, with which it presses their teeth apart once
    /// those between are in line; without a figure where the mechanics has none. Solved when asked for.
    pub fn blocked(&self, house: &House) -> Option<(BlockedWire, Option<f64>)> {
        let blocked = self.sliding(house).blocked()?;
        Some((blocked, self.pressed_apart_n(&blocked)))
    }

    /// Force, N, with which so much wire too much presses two brackets apart. Solved when asked for.
    pub fn pressed_apart_n(&self, blocked: &BlockedWire) -> Option<f64> {
        pressed_apart_n(&self.setup.base, blocked)
    }

    /// What stops do to teeth and midline, as sentences with their figures.
    pub fn stops_do(&self, house: &House) -> Vec<String> {
        let notation = house.notation.value;
        let pressed = self.blocked(house).map(|(wire, force_n)| {
            let tied = self
                .state
                .tied(&[])
                .iter()
                .any(|g| g.contains(&wire.right) && g.contains(&wire.left));
            wire.say(force_n, tied, notation)
        });
        pressed.into_iter().chain(self.sliding(house).midline_says()).collect()
    }

    /// Force, N, with which a wire whose ends are bent before the teeth are tied in draws each end's tooth
    /// forward. Solved when asked for.
    pub fn drawn_forward_n(&self, slack_mm: f64) -> Option<f64> {
        drawn_forward_n(&self.setup.base, slack_mm)
    }

    /// What another wire would do in this one's place: a single wire, fresh, in the same slots and loads.
    pub fn trial(&self, wire: &Wire) -> Insertion {
        put_in(&self.setup.with_wire(wire))
    }

    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothCourse> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    /// Poses of the median patient so many days after insertion, in the order of `teeth`: by straight line
    /// along the path, and as the exit has them after it.
    pub(crate) fn poses_on(&self, days: f64) -> Vec<ToothPose> {
        between(&self.path, days).unwrap_or_else(|| self.teeth.iter().map(|t| t.entry).collect())
    }

    /// The same of a patient who is so many times as fast, the wire left in beyond its exit where that
    /// patient is farther.
    pub(crate) fn poses_at_speed(&self, days: f64, times: f64) -> Vec<ToothPose> {
        let from = self.way.reckoned_from.iter().copied().filter(|d| *d <= days);
        let from = from.fold(0.0, f64::max);
        let goes = from + (days.min(self.way.exit_days.max(from)) - from) * times;
        let last = self.path.last().map_or(0.0, |(d, _)| *d);
        let row = if goes > last { between(&self.way.beyond, goes) } else { None };
        row.unwrap_or_else(|| self.poses_on(goes))
    }
}

/// One arch from start to end.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchForecast {
    pub arch: Arch,
    pub phases: Vec<Phase>,
}

impl ArchForecast {
    /// The last phase of a step: a step may be recorded more than once, and the current or coming one is
    /// the last.
    pub fn latest_phase_of_step(&self, step: usize) -> Option<&Phase> {
        self.phases.iter().rev().find(|p| p.step == step)
    }

    /// The first phase of a step of the plan.
    pub fn phase_of_step(&self, step: usize) -> Option<&Phase> {
        self.phases.iter().find(|p| p.step == step)
    }
}

/// The row of a path on a day.
fn between(path: &[(f64, Vec<ToothPose>)], day: f64) -> Option<Vec<ToothPose>> {
    let after = path.partition_point(|(d, _)| *d <= day);
    match (after.checked_sub(1).and_then(|i| path.get(i)), path.get(after)) {
        (Some((a, from)), Some((b, to))) => {
            let share = if b > a { (day - a) / (b - a) } else { 1.0 };
            let mix = |(x, y): (&ToothPose, &ToothPose)| {
                let (x, y) = (x.parts(), y.parts());
                ToothPose::from_parts(std::array::from_fn(|i| x[i] + (y[i] - x[i]) * share))
            };
            Some(from.iter().zip(to).map(mix).collect())
        }
        (Some((_, row)), None) | (None, Some((_, row))) => Some(row.clone()),
        (None, None) => None,
    }
}
