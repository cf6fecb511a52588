//! The course table: when each wire becomes passive, and how much space is made.

use jiff::civil::Date;
use serde::Serialize;

use super::grid::grid;
use crate::Plan;
use crate::spreadsheet::{Cell, Table};
use springline_course::{CoilCourse, EndReason, Phase, TimeBand, weeks};
use springline_model::House;
use springline_model::stock::printed;
use springline_units::quantity::{newtons_to_grams, plain};
use springline_units::tooth::{Arch, Tooth};

pub const SCHEMA: &str = "springline.course/1";

/// A predicted time: eight patients in ten lie between `early` and `late`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WeeksBand {
    pub early_weeks: f64,
    pub median_weeks: f64,
    pub late_weeks: f64,
    pub dates: Option<[Date; 3]>,
}

impl From<&TimeBand> for WeeksBand {
    fn from(band: &TimeBand) -> Self {
        WeeksBand {
            early_weeks: band.early_days / 7.0,
            median_weeks: band.median_days / 7.0,
            late_weeks: band.late_days / 7.0,
            dates: band.dates,
        }
    }
}

impl WeeksBand {
    fn text(&self) -> String {
        if self.late_weeks <= 0.0 {
            return "at once".to_owned();
        }
        let [early, median, late] =
            [self.early_weeks, self.median_weeks, self.late_weeks].map(|w| weeks(7.0 * w));
        format!("{median} ({early}-{late})")
    }
}

/// A tooth that waits for space.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Waiting {
    pub tooth: Tooth,
    pub space_mm: f64,
    pub wanted_mm: f64,
    pub ready: Option<WeeksBand>,
}

/// An open coil of a step: it pushes less as its space opens.
#[derive(Debug, Clone, PartialEq)]
pub struct CoilRow {
    pub between: [Tooth; 2],
    pub pressed_mm: f64,
    pub force_g: f64,
    /// As the next visit finds it, so many weeks later.
    pub force_next_g: f64,
    pub next_weeks: f64,
    pub each_visit: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CourseStepRow {
    pub arch: Arch,
    pub step: String,
    pub wire: String,
    pub date_in: Option<Date>,
    pub date_out: Option<Date>,
    pub recorded: bool,
    pub passive: Option<WeeksBand>,
    pub no_bend: Option<WeeksBand>,
    pub rule_of_thumb_weeks: f64,
    pub never: Option<String>,
    pub ends: String,
    pub irregularity_in_mm: f64,
    pub irregularity_out_mm: f64,
    pub room_missing_mm: f64,
    pub incisors_forward_mm: f64,
    /// What past cases here make of the predicted time; 1 without any.
    pub learned_factor: f64,
    pub learned_cases: Option<u32>,
    pub waiting: Vec<Waiting>,
    /// For readers; the schema of this number does not have it.
    #[serde(skip)]
    pub coils: Vec<CoilRow>,
    /// What is forecast for the chair test on the day it is removed.
    #[serde(skip)]
    pub chair: Option<String>,
    /// A curve is bent in that works on when the plain wire would be passive.
    #[serde(skip)]
    pub curved: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Course {
    pub schema: &'static str,
    pub chart: String,
    pub steps: Vec<CourseStepRow>,
    pub note: String,
}

const NOTE: &str = concat!(
    "Weeks for the median patient; 8 in 10 patients lie within the range in brackets. Patients differ by a \
     factor of two, and no model narrows that. Examine the patient. ",
    crate::caution::caution!()
);

pub fn course(plan: &Plan<'_>) -> Course {
    let steps = plan.forecast.arches.iter().flat_map(|a| &a.phases);
    let steps = steps.map(|phase| row(phase, plan.house())).collect();
    Course { schema: SCHEMA, chart: crate::masked(&plan.case.chart), steps, note: note(plan, NOTE) }
}

/// What stands under a table, with what its figures rest on where that is not this patient.
pub(super) fn note(plan: &Plan<'_>, note: &str) -> String {
    use crate::wording;
    let coarse = [wording::patterns(plan.case), wording::in_words(plan.case)].into_iter().flatten();
    coarse.chain([note.to_owned()]).collect::<Vec<_>>().join(" ")
}

fn row(phase: &Phase, house: &House) -> CourseStepRow {
    let p = &phase.passive;
    CourseStepRow {
        arch: phase.arch,
        step: phase.name.to_string(),
        wire: phase.wire.typed_label(),
        date_in: phase.date_in,
        date_out: phase.end.date,
        recorded: matches!(phase.end.reason, EndReason::Recorded { .. }),
        passive: p.quarter.as_ref().map(WeeksBand::from),
        no_bend: p.no_bend.as_ref().map(WeeksBand::from),
        rule_of_thumb_weeks: p.rule_of_thumb_days / 7.0,
        never: p.never.clone(),
        ends: ends(&phase.end.reason),
        irregularity_in_mm: p.index_in_mm,
        irregularity_out_mm: p.index_left_mm,
        room_missing_mm: phase.room.missing_out_mm,
        incisors_forward_mm: phase.room.incisors_forward_mm,
        learned_factor: p.factor,
        learned_cases: p.learned_cases,
        waiting: phase
            .room
            .sites
            .iter()
            .map(|s| Waiting {
                tooth: s.tooth,
                space_mm: s.space_in_mm,
                wanted_mm: s.wanted_mm,
                ready: s.ready.as_ref().map(WeeksBand::from),
            })
            .collect(),
        chair: phase.end.date.and_then(|on| phase.chair_says(house, on, &phase.state.acts)),
        curved: phase.setup.base.wire.reverse_curve.is_some(),
        coils: phase.coils.iter().map(coil).collect(),
    }
}

fn coil(coil: &CoilCourse) -> CoilRow {
    CoilRow {
        between: [coil.first, coil.second],
        pressed_mm: coil.pressed_mm,
        force_g: newtons_to_grams(coil.force_n),
        force_next_g: newtons_to_grams(coil.force_next_n),
        next_weeks: coil.next_days / 7.0,
        each_visit: coil.each_visit,
    }
}

fn ends(reason: &EndReason) -> String {
    match reason {
        EndReason::Passive => "passive".to_owned(),
        EndReason::Time => "time".to_owned(),
        EndReason::Measure { text } => text.clone(),
        EndReason::Decided => "doctor decides".to_owned(),
        EndReason::Recorded { .. } => "recorded".to_owned(),
        EndReason::Never { why } => format!("no forecast: {why}"),
    }
}

pub fn human(course: &Course, plan: &Plan<'_>) -> String {
    let notation = plan.notation();
    let mut out = format!("{}: forecast\n{}", course.chart, plan.left_out());
    for arch in Arch::BOTH {
        let steps: Vec<&CourseStepRow> = course.steps.iter().filter(|s| s.arch == arch).collect();
        if steps.is_empty() {
            continue;
        }
        out.push_str(&format!("\n{arch}\n"));
        let date = |d: Option<Date>| d.map_or_else(|| "-".to_owned(), |d| d.to_string());
        // A wire with a curve in it is not passive at once, whatever the plain wire would be.
        let band = |b: &Option<WeeksBand>, curved: bool| match b {
            Some(b) if !(curved && b.late_weeks <= 0.0) => b.text(),
            _ => "-".to_owned(),
        };
        let rows: Vec<Vec<String>> = steps
            .iter()
            .map(|s| {
                vec![
                    s.step.clone(),
                    printed(&s.wire),
                    date(s.date_in),
                    band(&s.passive, s.curved),
                    band(&s.no_bend, s.curved),
                    format!("{:.0}", s.rule_of_thumb_weeks),
                    date(s.date_out),
                    s.ends.clone(),
                    format!("{:.1}", s.irregularity_in_mm),
                    format!("{:.1}", s.irregularity_out_mm),
                ]
            })
            .collect();
        out.push_str(&grid(
            &[
                "step",
                "wire",
                "placed",
                "passive, wk",
                "no bend, wk",
                "rule of thumb, wk",
                "removed",
                "reason",
                "irregularity, mm",
                "remaining, mm",
            ],
            &rows,
        ));
        for step in steps {
            for site in &step.waiting {
                let when = match &site.ready {
                    Some(b) => format!("available after {} wk", b.text()),
                    None => "no forecast".to_owned(),
                };
                out.push_str(&format!(
                    "    {}: {} has {} mm, needs {} mm: {when}\n",
                    step.step,
                    site.tooth.write(notation),
                    plain((site.space_mm * 10.0).round() / 10.0),
                    plain((site.wanted_mm * 10.0).round() / 10.0)
                ));
            }
            for coil in &step.coils {
                out.push_str(&format!(
                    "    {}: the coil between {} and {} delivers {:.0} g, {:.0} g after {:.0} wk{}\n",
                    step.step,
                    coil.between[0].write(notation),
                    coil.between[1].write(notation),
                    coil.force_g,
                    coil.force_next_g,
                    coil.next_weeks,
                    if coil.each_visit { ", and is reactivated at each visit" } else { "" }
                ));
            }
            if step.incisors_forward_mm >= 0.3 {
                out.push_str(&format!(
                    "    {}: incisors about {:.1} mm forward\n",
                    step.step, step.incisors_forward_mm
                ));
            }
            if let Some(chair) = &step.chair {
                out.push_str(&format!("    {}: chair test as removed: {chair}\n", step.step));
            }
            if let Some(cases) = step.learned_cases {
                out.push_str(&format!(
                    "    {}: {:.2} times the forecast, learned from {cases} cases here\n",
                    step.step, step.learned_factor
                ));
            }
            if step.curved {
                out.push_str(&format!(
                    "    {}: the reverse curve stays active; the weeks are those of the wire without it\n",
                    step.step
                ));
            }
            if let Some(never) = &step.never {
                out.push_str(&format!("    {}: no date: {never}\n", step.step));
            }
        }
    }
    let at_once = |s: &CourseStepRow| {
        !s.curved && s.passive.as_ref().is_some_and(|band| band.late_weeks <= 0.0)
    };
    if course.steps.iter().any(at_once) {
        out.push_str(
            "\n    at once: play absorbs what this wire could still move; torque within it never arrives\n",
        );
    }
    out.push('\n');
    out.push_str(&course.note);
    out.push('\n');
    out
}

impl Table for Course {
    const HEAD: &'static [&'static str] = &[
        "chart",
        "arch",
        "step",
        "wire",
        "date_in",
        "date_out",
        "passive_early_wk",
        "passive_median_wk",
        "passive_late_wk",
        "no_bend_median_wk",
        "rule_of_thumb_wk",
        "irregularity_in_mm",
        "irregularity_out_mm",
        "room_missing_mm",
    ];

    fn rows(&self) -> Vec<Vec<Cell>> {
        let row = |s: &CourseStepRow| {
            let date = |d: Option<Date>| d.map_or(Cell::none(), Cell::plain);
            let of = |b: &Option<WeeksBand>, pick: fn(&WeeksBand) -> f64| {
                Cell::maybe(b.as_ref().map(pick), 2)
            };
            vec![
                Cell::words(&self.chart),
                Cell::plain(s.arch),
                Cell::words(&s.step),
                Cell::words(&s.wire),
                date(s.date_in),
                date(s.date_out),
                of(&s.passive, |b| b.early_weeks),
                of(&s.passive, |b| b.median_weeks),
                of(&s.passive, |b| b.late_weeks),
                of(&s.no_bend, |b| b.median_weeks),
                Cell::figure(s.rule_of_thumb_weeks, 2),
                Cell::figure(s.irregularity_in_mm, 2),
                Cell::figure(s.irregularity_out_mm, 2),
                Cell::figure(s.room_missing_mm, 2),
            ]
        };
        self.steps.iter().map(row).collect()
    }
}
