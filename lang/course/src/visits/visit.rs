//! A visit of the schedule, for both arches.

use jiff::civil::Date;
use springline_model::case::Found;
use springline_model::house::Task;
use springline_model::stock::Name;
use springline_units::tooth::{Arch, Tooth};

/// Why the patient is seen on that day and not later.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum VisitReason {
    /// Bond-up.
    Start,
    /// A wire is expected to be passive in this arch.
    Passive {
        arch: Arch,
    },
    /// A stated time or measure is due in this arch.
    Due {
        arch: Arch,
    },
    /// The practice's (or the step's) longest interval: an inspection; the wire stays unless it is
    /// passive.
    LongestInterval,
    /// A coil, chain, spring or elastic must be looked after by then.
    Supervision {
        what: String,
    },
    Debond,
    /// The step of this arch waits for what is not foreseen: the doctor decides, and no later visit is dated.
    NotForeseen {
        arch: Arch,
    },
    Recorded,
}

/// What happens to one arch at a visit.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchVisit {
    pub arch: Arch,
    /// Index of the phase that is in when the patient comes; `None` before the first wire.
    pub phase: Option<usize>,
    /// Step whose wire is in, index into the arch's steps.
    pub step: Option<usize>,
    pub name: Option<Name>,
    /// Teeth to test, worst first.
    pub test: Vec<Tooth>,
    /// The phase that begins when the test is passed; `None`: nothing is changed here.
    pub next_phase: Option<usize>,
    pub next_step: Option<usize>,
    pub next_name: Option<Name>,
    /// The change is what the schedule counts on; otherwise the wire is expected to stay.
    pub change_expected: bool,
    /// Predicted share of patients in whom the change is possible by then.
    pub chance: Option<f64>,
    /// Recorded visits: how the arch was found.
    pub found: Option<Found>,
}

/// One visit, recorded or predicted.
#[derive(Debug, Clone, PartialEq)]
pub struct PlannedVisit {
    pub date: Date,
    /// Earliest and latest harmless day.
    pub window: (Date, Date),
    /// Index into the case's visits.
    pub recorded: Option<usize>,
    /// For a recorded visit the day that the plan before it had named; for one to come the day it was
    /// due, where that is past.
    pub was_planned_for: Option<Date>,
    pub kind: Task,
    pub arches: Vec<ArchVisit>,
    /// Work of the visit with the minutes of each.
    pub tasks: Vec<(Task, f64)>,
    pub minutes: f64,
    pub reason: VisitReason,
    /// Share of patients whose wire should be passive by the booked day, where that dates it.
    pub quantile: Option<f64>,
    /// Stable name for calendars: the number of the visit in the course stays when dates move or when
    /// other things are to be done at it.
    pub key: String,
}

impl PlannedVisit {
    pub fn arch(&self, arch: Arch) -> Option<&ArchVisit> {
        self.arches.iter().find(|a| a.arch == arch)
    }
}
