//! The forces of the wires that are in at one moment, tooth by tooth, as data.

use super::moments::{CourseMoment, MomentKind};
use crate::caution::CAUTION;
use crate::preview::way;
use crate::tables::forces::{StepRows, ToothRow, step_rows};
use crate::wording;
use springline_course::Forecast;
use springline_course::on_demand::PhaseFigures;
use springline_model::Case;
use springline_units::tooth::Arch;

/// One arch with its wire. Figures as in the force table, without ranges: those take some hundred solves.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchForces {
    pub arch: Arch,
    pub step: String,
    pub wire: String,
    pub teeth: Vec<ToothForcesRow>,
    /// Why there are no figures.
    pub refused: Option<String>,
    /// Coils, chains and elastics, with what they pull.
    pub pulls: Vec<String>,
}

/// One tooth.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothForcesRow {
    /// As the practice writes it.
    pub shown: String,
    /// Where the wire pushes it, in words; empty where it does not.
    pub way: String,
    pub row: ToothRow,
}

/// Of each arch that has a wire at that moment: forces as the wire goes in, and what is left of them later. The teeth
/// as entered meet their first wire.
pub fn forces_at(case: &Case, forecast: &Forecast, moment: &CourseMoment) -> Vec<ArchForces> {
    if moment.is_off {
        return Vec::new();
    }
    let notation = case.house.notation.value;
    let of = |arch| match moment.kind {
        MomentKind::Entered => Some(0),
        _ => moment.mouth.phase(arch),
    };
    let arch = |arch: Arch| {
        let phase = forecast.arch(arch)?.phases.get(of(arch)?)?;
        let StepRows { arch, step, wire, teeth, refused, pulls, .. } =
            step_rows(case, forecast, phase, PhaseFigures::default());
        let row = |row: ToothRow| {
            let load = phase.insertion.teeth.iter().find(|load| load.tooth == row.tooth);
            ToothForcesRow {
                shown: row.tooth.write(notation),
                way: load.map(way).unwrap_or_default(),
                row,
            }
        };
        let teeth = teeth.into_iter().map(row).collect();
        Some(ArchForces { arch, step, wire, teeth, refused, pulls })
    };
    Arch::BOTH.into_iter().filter_map(arch).collect()
}

/// What a reader must know of the figures.
pub fn forces_note(case: &Case) -> String {
    let coarse = [wording::patterns(case), wording::in_words(case)].into_iter().flatten();
    let note = format!(
        "Tooth mobility is included. Each figure is for teeth exactly as they stand, without its range. {CAUTION}"
    );
    coarse.chain([note]).collect::<Vec<_>>().join(" ")
}
