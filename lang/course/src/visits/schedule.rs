//! Turns the phases of both arches into dated visits, with the visit optimiser.

use jiff::civil::Date;

use crate::plan::calendar::days_between;
use crate::plan::input::PhaseDates;
use crate::simulate::due::BookingWindow;
use crate::simulate::outcome::EndReason;
use crate::simulate::phase_in_progress::PhaseInProgress;
use crate::simulate::stop_conditions::STOPS_SHORT;
use crate::visits::visit_optimizer::{PhaseDemand, VisitProblem, VisitSolution};
use springline_model::House;
use springline_units::quantity::Period;

/// One arch in the queue: its phases, what was recorded, and when it begins.
pub(crate) struct ArchQueue<'a> {
    pub drafts: &'a [PhaseInProgress],
    pub begins: Option<Date>,
}

/// A visit to come, by days of the origin and phases of each arch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Coming {
    pub date: Date,
    pub earliest: Date,
    pub latest: Date,
    /// Per arch: the phase that is in, and the one that begins.
    pub arches: Vec<(Option<usize>, Option<usize>)>,
    /// Per arch: the wire in it is changed (or taken out for good).
    pub changed: Vec<bool>,
    /// Per arch: the first wire goes in.
    pub begins: Vec<bool>,
    /// The arch whose step waits for what is not foreseen: the doctor decides, and nothing is dated after it.
    pub stops: Option<usize>,
}

/// The visits to come and the days of every phase.
pub(crate) struct Timetable {
    pub coming: Vec<Coming>,
    pub days: Vec<Vec<PhaseDates>>,
    /// The first of them was due on this day, which is past.
    pub due: Option<Date>,
    pub cut_short: bool,
}

fn whole(days: f64) -> i64 {
    // Up: a wire is not changed before it is passive. A hundredth of a day is not a day.
    (days - 0.01).ceil().clamp(0.0, 1.0e5) as i64
}

fn down(days: f64) -> i64 {
    (days + 0.01).floor().clamp(1.0, 1.0e5) as i64
}

/// Calendar of the clinic, in days of an origin.
pub(crate) struct Calendar<'a> {
    pub house: &'a House,
    pub origin: Date,
}

impl Calendar<'_> {
    pub fn day(&self, date: Date) -> i64 {
        days_between(self.origin, date) as i64
    }

    pub fn date(&self, day: i64) -> Date {
        Period::days_of(day as f64).after(self.origin).unwrap_or(Date::MAX)
    }

    pub fn is_open(&self, day: i64) -> bool {
        // A house that never opens still needs a plan: every day is as good as another.
        self.house.clinic.value.is_empty() || self.house.is_open(self.date(day))
    }

    fn need(&self, due: &BookingWindow) -> PhaseDemand {
        PhaseDemand {
            ready: whole(due.ready_days),
            look: down(due.look_days),
            first_look: down(due.first_look_days),
            earliest: due.earliest_days.map_or(0, whole),
            rests: due.rests_days.map(whole),
            fixed: due.fixed.map(|d| self.day(d)),
        }
    }

    fn problem<'b>(
        &self,
        arches: Vec<Vec<PhaseDemand>>,
        inserted: Vec<i64>,
        last_visit: i64,
        open: &'b dyn Fn(i64) -> bool,
    ) -> VisitProblem<'b> {
        let shortest = down(self.house.shortest.value.days());
        let longest = down(self.house.longest.value.days()).max(shortest);
        let not_before = i64::MIN;
        let repair_by = None;
        VisitProblem {
            arches,
            inserted,
            last_visit,
            not_before,
            repair_by,
            shortest,
            longest,
            open,
        }
    }
}

/// Whether the timetable ends with the visit at which a step waits for what is not foreseen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unforeseen {
    Stops,
    /// Dated as if it came at once: for a first pass, which does not know yet what the other arch does.
    GoesOn,
}

/// Dates everything that is still to come; nothing before `today`. `repair_by`: the patient comes by then, since something
/// is broken.
pub(crate) fn timetable(
    house: &House,
    arches: &[ArchQueue<'_>],
    (last, repair_by): (Option<Date>, Option<Date>),
    today: Option<Date>,
    unforeseen: Unforeseen,
) -> Timetable {
    let mut days: Vec<Vec<PhaseDates>> = arches.iter().map(recorded_days).collect();
    let nothing = |days| Timetable { coming: Vec::new(), days, due: None, cut_short: false };
    let begins: Vec<Date> = arches.iter().filter_map(|a| a.begins).collect();
    let Some(origin) = begins.iter().copied().chain(last).min() else { return nothing(days) };
    let calendar = Calendar { house, origin };
    let seen = last.unwrap_or(origin);
    let (mut needs, mut inserted, mut labels) = (Vec::new(), Vec::new(), Vec::new());
    for (arch, own) in arches.iter().zip(&days) {
        let queue = Queue::new(&calendar, arch, own, seen);
        needs.push(queue.needs);
        inserted.push(queue.inserted);
        labels.push(queue.labels);
    }
    let open = |day: i64| calendar.is_open(day);
    let mut problem = calendar.problem(needs, inserted, calendar.day(seen), &open);
    problem.repair_by = repair_by.map(|by| calendar.day(by));
    let mut solution = problem.solve();
    // A missed visit is booked again, and its old date is kept.
    let first = solution.visits.first().map(|v| calendar.date(v.day));
    let due = first.filter(|due| today.is_some_and(|t| *due < t));
    if let (Some(_), Some(today)) = (due, today) {
        problem.not_before = calendar.day(today);
        solution = problem.solve();
    }
    let never = |arch: usize, phase: Option<usize>| {
        let draft = phase.and_then(|p| arches.get(arch)?.drafts.get(p));
        let never = |reason: &EndReason| match reason {
            EndReason::Never { why } => why != STOPS_SHORT,
            _ => false,
        };
        unforeseen == Unforeseen::Stops && draft.is_some_and(|d| never(&d.reason))
    };
    let coming = read(&calendar, &problem, &solution, &labels, &mut days, &never);
    Timetable { coming, days, due, cut_short: solution.cut_short }
}

/// Recorded dates of each phase.
fn recorded_days(arch: &ArchQueue<'_>) -> Vec<PhaseDates> {
    arch.drafts
        .iter()
        .map(|d| PhaseDates {
            date_in: d.date_in,
            date_out: d.recorded_end.map(|(_, on)| on),
            begun: d.begun,
        })
        .collect()
}

/// An arch without a wire: nothing in it has to be looked at.
const WAITS: PhaseDemand = PhaseDemand {
    ready: 0,
    look: 100_000,
    first_look: 100_000,
    earliest: 0,
    rests: None,
    fixed: None,
};

/// The phases of an arch that still have to end, as input of the optimiser.
struct Queue {
    needs: Vec<PhaseDemand>,
    /// Index of the phase that each need is about; `None`: waiting for the first wire.
    labels: Vec<Option<usize>>,
    inserted: i64,
}

impl Queue {
    fn new(
        calendar: &Calendar<'_>,
        arch: &ArchQueue<'_>,
        days: &[PhaseDates],
        seen: Date,
    ) -> Queue {
        let first = days.iter().position(|d| d.date_out.is_none());
        let mut queue =
            Queue { needs: Vec::new(), labels: Vec::new(), inserted: calendar.day(seen) };
        let Some(first) = first else { return queue };
        match days[first].date_in {
            // The wire is in (or goes in today): its own clock runs.
            Some(date) if date <= seen => queue.inserted = calendar.day(date),
            // It goes in on a day that is known.
            Some(date) => {
                let day = calendar.day(date);
                let ready = day - queue.inserted;
                let waits = PhaseDemand { ready, fixed: Some(day), ..WAITS };
                queue.needs.push(waits);
                queue.labels.push(None);
            }
            // The last wire came out and none went in: at the next visit.
            None if arch.begins.is_some() => {
                queue.needs.push(WAITS);
                queue.labels.push(None);
            }
            None => return queue,
        }
        for (index, draft) in arch.drafts.iter().enumerate().skip(first) {
            queue.needs.push(calendar.need(&draft.due));
            queue.labels.push(Some(index));
        }
        queue
    }
}

fn read(
    calendar: &Calendar<'_>,
    problem: &VisitProblem<'_>,
    solution: &VisitSolution,
    labels: &[Vec<Option<usize>>],
    days: &mut [Vec<PhaseDates>],
    never: &dyn Fn(usize, Option<usize>) -> bool,
) -> Vec<Coming> {
    let mut at = vec![0_usize; labels.len()];
    let mut inserted = problem.inserted.clone();
    let mut last = problem.last_visit;
    let mut out = Vec::new();
    for visit in &solution.visits {
        let date = calendar.date(visit.day);
        let mut coming = Coming {
            date,
            earliest: date,
            latest: calendar.date(visit.latest.max(visit.day)),
            arches: Vec::new(),
            changed: visit.changed.clone(),
            begins: vec![false; labels.len()],
            stops: None,
        };
        let mut earliest = last + problem.shortest;
        for a in 0..labels.len() {
            let now = labels[a].get(at[a]).copied().flatten();
            if visit.changed[a] && never(a, now) {
                coming.stops = coming.stops.or(Some(a));
                coming.changed[a] = false;
            }
            if !coming.changed[a] {
                coming.arches.push((now, None));
                continue;
            }
            earliest = earliest.max(inserted[a] + problem.arches[a][at[a]].ready);
            if let Some(now) = now {
                days[a][now].date_out = Some(date);
            }
            coming.begins[a] = now.is_none() || at[a] == 0 && labels[a][0].is_none();
            at[a] += 1;
            inserted[a] = visit.day;
            let next = labels[a].get(at[a]).copied().flatten();
            if let Some(next) = next {
                days[a][next].date_in = Some(date);
            }
            coming.arches.push((now, next));
        }
        coming.earliest = calendar.date(earliest.min(visit.day));
        last = visit.day;
        let stops = coming.stops.is_some();
        out.push(coming);
        if stops {
            break;
        }
    }
    out
}

/// The day that had been planned before a recorded visit: the phases then in, as they were booked.
pub(crate) fn planned_before(
    house: &House,
    arches: &[ArchQueue<'_>],
    previous: Date,
    visit: Date,
) -> Option<Date> {
    let calendar = Calendar { house, origin: previous };
    let (mut needs, mut inserted) = (Vec::new(), Vec::new());
    for arch in arches {
        let phase = arch.drafts.iter().find(|d| {
            let out = d.recorded_end.map(|(_, on)| on);
            d.date_in.is_some_and(|i| i <= previous) && out.is_none_or(|o| o >= visit)
        });
        if let Some(phase) = phase {
            needs.push(vec![calendar.need(&phase.first_due)]);
            inserted.push(calendar.day(phase.date_in?));
        }
    }
    if needs.is_empty() {
        return None;
    }
    let open = |day: i64| calendar.is_open(day);
    let solution = calendar.problem(needs, inserted, 0, &open).solve();
    solution.visits.first().map(|v| calendar.date(v.day))
}
