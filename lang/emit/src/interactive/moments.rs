//! The moments of a course that a picture can be of: as entered, each visit, and wires without a day.

use jiff::civil::Date;

use crate::dates;
use crate::preview::{Moment, moments};
use springline_course::{ArchMoment, Forecast, Standing};
use springline_model::Case;
use springline_model::house::Task;
use springline_units::tooth::Arch;

/// What kind of moment it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MomentKind {
    /// The teeth as the plan describes them, without a wire.
    Entered,
    Visit,
    /// A day between or after visits.
    Day,
    /// A wire that the plan has no day for.
    Undated,
}

/// How the mouth of a moment is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MomentStanding {
    Entered,
    Recorded,
    Predicted,
}

/// One moment; of a visit as the patient leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct CourseMoment {
    /// `entered`, a date, or `undated-` and a number: stable as long as the text is.
    pub id: String,
    pub kind: MomentKind,
    pub date: Option<Date>,
    pub standing: MomentStanding,
    /// Of a visit to come: the days between which it does no harm.
    pub window: Option<(Date, Date)>,
    pub task: Option<Task>,
    pub arches: Vec<MomentArch>,
    /// The appliance is off from here on.
    pub is_off: bool,
    pub(super) mouth: Moment,
    /// The mouth as the patient left the visit before.
    pub(super) before: Option<Moment>,
}

/// What an arch has from that moment on.
#[derive(Debug, Clone, PartialEq)]
pub struct MomentArch {
    pub arch: Arch,
    pub step: Option<String>,
    pub wire: Option<String>,
    /// It went in, or goes in, at this moment.
    pub changes: bool,
}

/// All of them in order; the first is `entered`.
pub fn course_moments(case: &Case, forecast: &Forecast) -> Vec<CourseMoment> {
    let mut out = vec![entered()];
    let planned = forecast.visits.iter().map(|v| (v.window, v.kind));
    let mut before = None;
    for (visit, (window, kind)) in forecast.timeline.visits().iter().zip(planned) {
        let recorded = matches!(visit.standing, Standing::Recorded(_));
        let is_off = visit.is_debond() || visit.kind == Task::RetainerCheck;
        let mut mouth = Moment { date: Some(visit.date), upper: None, lower: None };
        for arch in &visit.arches {
            if let Some(here) = arch.with_work_done() {
                mouth.put(arch.arch, here.phase);
            }
        }
        out.push(CourseMoment {
            id: visit.date.to_string(),
            kind: MomentKind::Visit,
            date: Some(visit.date),
            standing: if recorded { MomentStanding::Recorded } else { MomentStanding::Predicted },
            window: (!recorded).then_some(window),
            task: Some(kind),
            arches: visit.arches.iter().map(|a| at_visit(case, a)).collect(),
            is_off,
            mouth,
            before: before.replace(mouth),
        });
    }
    out.extend(undated(forecast));
    out
}

fn entered() -> CourseMoment {
    CourseMoment {
        id: "entered".to_owned(),
        kind: MomentKind::Entered,
        date: None,
        standing: MomentStanding::Entered,
        window: None,
        task: None,
        arches: Vec::new(),
        is_off: false,
        mouth: Moment { date: None, upper: None, lower: None },
        before: None,
    }
}

fn at_visit(case: &Case, arch: &ArchMoment) -> MomentArch {
    let leaves = arch.leaves();
    let step = leaves.and_then(|here| case.arch(arch.arch)?.steps.get(here.step));
    MomentArch {
        arch: arch.arch,
        step: step.map(|s| s.name.to_string()),
        wire: leaves.map(|here| here.wire.names()),
        changes: leaves.is_some() && arch.is_change_expected() && arch.if_passed.is_some(),
    }
}

fn undated(forecast: &Forecast) -> Vec<CourseMoment> {
    let without_day = moments(forecast).into_iter().filter(|m| m.date.is_none());
    let one = |(i, mouth): (usize, Moment)| {
        let arches = Arch::BOTH.into_iter().filter_map(|arch| {
            let phase = forecast.arch(arch)?.phases.get(mouth.phase(arch)?)?;
            Some(MomentArch {
                arch,
                step: Some(phase.name.to_string()),
                wire: Some(phase.wire.names()),
                changes: phase.date_in.is_none(),
            })
        });
        CourseMoment {
            id: format!("undated-{}", i + 1),
            kind: MomentKind::Undated,
            standing: MomentStanding::Predicted,
            arches: arches.collect(),
            mouth,
            ..entered()
        }
    };
    without_day.enumerate().map(one).collect()
}

/// The moment with that name: one of the list, `today`, or any day. `None` where there is none.
pub fn moment_of(all: &[CourseMoment], forecast: &Forecast, name: &str) -> Option<CourseMoment> {
    if name == "today" {
        return on_day(all, forecast.today?);
    }
    if let Some(known) = all.iter().find(|m| m.id == name) {
        return Some(known.clone());
    }
    on_day(all, name.parse().ok()?)
}

/// The moment of the list that holds today.
pub fn now<'m>(all: &'m [CourseMoment], forecast: &Forecast) -> Option<&'m CourseMoment> {
    let today = forecast.today?;
    begun(all, today).or(all.first())
}

/// The last visit that has been on that day; one that is only foreseen for it has not.
fn begun(all: &[CourseMoment], day: Date) -> Option<&CourseMoment> {
    let been = |m: &&CourseMoment| {
        let recorded = m.standing == MomentStanding::Recorded;
        m.date.is_some_and(|date| date < day || (date == day && recorded))
    };
    all.iter().rfind(been)
}

/// What was in the mouth on a day; before the first visit the teeth as entered.
fn on_day(all: &[CourseMoment], day: Date) -> Option<CourseMoment> {
    let Some(before) = begun(all, day) else { return all.first().cloned() };
    if before.date == Some(day) {
        return Some(before.clone());
    }
    let still = |a: &MomentArch| MomentArch { changes: false, ..a.clone() };
    Some(CourseMoment {
        id: day.to_string(),
        kind: MomentKind::Day,
        date: Some(day),
        standing: MomentStanding::Predicted,
        window: None,
        task: None,
        arches: before.arches.iter().map(still).collect(),
        is_off: before.is_off,
        mouth: Moment { date: Some(day), ..before.mouth },
        before: Some(before.mouth),
    })
}

impl CourseMoment {
    /// "Tue 24 Nov 2026, wire change, predicted; 3 Nov to 8 Dec".
    pub fn says(&self) -> String {
        let when = match (self.kind, self.date) {
            (MomentKind::Entered, _) => return "as entered".to_owned(),
            (_, Some(date)) => dates::long(date),
            (_, None) => "no date yet".to_owned(),
        };
        let task = self
            .task
            .map(|t| format!(", {}", crate::card::today::kind(t).to_lowercase()))
            .unwrap_or_default();
        let standing = match self.standing {
            MomentStanding::Predicted => ", predicted",
            _ => ", recorded",
        };
        let window = self
            .window
            .filter(|(from, to)| from != to)
            .map(|(from, to)| format!("; {} to {}", dates::short(from), dates::short(to)));
        format!("{when}{task}{standing}{}", window.unwrap_or_default())
    }
}
