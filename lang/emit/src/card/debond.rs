//! Staff card: the day the appliance comes off, from the last wire to the retainers.

use super::{ActionLine, ArchActions, comes_off};
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::wording;
use springline_units::tooth::{Arch, Tooth};

/// An arch at a time what comes off and is bonded; then, once, what both arches are needed for.
pub fn actions(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchActions> {
    let mut out: Vec<ArchActions> = today
        .arches
        .iter()
        .map(|arch| ArchActions {
            arch: arch.arch.arch,
            heading: format!("{}: debond", wording::arch(arch.arch.arch)),
            lines: of_arch(plan, arch).into_iter().map(ActionLine::usual).collect(),
        })
        .collect();
    let last = today.arches.last().map_or(Arch::Upper, |a| a.arch.arch);
    out.push(ArchActions {
        arch: last,
        heading: "Records and retainers".to_owned(),
        lines: records(plan).into_iter().map(ActionLine::usual).collect(),
    });
    out
}

/// What holds other things comes off after them: bars before the bands they sit in.
fn of_arch(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let over = comes_off::over_the_wire(plan, arch);
    let mut out: Vec<String> = Vec::new();
    if !over.is_empty() {
        out.push(format!("Take off {}.", wording::and(&over)));
    }
    let with = comes_off::with_the_wire(plan, arch);
    let with = match with.is_empty() {
        true => String::new(),
        false => format!(" with {}", wording::and(&with)),
    };
    let under = comes_off::under_the_wire(plan, arch);
    let under = match under.is_empty() {
        true => String::new(),
        false => format!("; then {}", wording::and(&under)),
    };
    out.push(format!("Wire out{with}{under}."));
    out.extend(comes_off::on_teeth_and_bone(plan, arch));
    let bands = bands(arch);
    out.push(match bands.is_empty() {
        true => "Brackets and tubes off. Clean and polish.".to_owned(),
        false => format!(
            "Brackets and tubes off; bands off {} with the band remover. Clean and polish.",
            wording::list(&bands, n)
        ),
    });
    for (teeth, _) in plan.case.retention.iter().flat_map(|r| &r.fixed) {
        let here = |t: &&Tooth| t.arch() == arch.arch.arch;
        let teeth: Vec<Tooth> = teeth.iter().filter(here).copied().collect();
        if !teeth.is_empty() {
            out.push(format!("Bond the retainer {}.", wording::list(&teeth, n)));
        }
    }
    out
}

/// A night retainer is made on the teeth as they are now, or was made before on a model.
fn records(plan: &Plan<'_>) -> Vec<String> {
    let mut out = vec!["Scan or impressions of the clean teeth, then photographs.".to_owned()];
    let arches: Vec<&str> =
        plan.case.retention.iter().flat_map(|r| &r.night).map(|(arch, _)| arch.word()).collect();
    if !arches.is_empty() {
        out.push(format!(
            "Night retainer, {}: made beforehand, fit it now; if not, give the day on which it is ready, this week. \
             Show how it goes in and out.",
            arches.join(" and ")
        ));
    }
    out
}

/// Teeth with a band.
pub fn bands(arch: &ArchToday<'_>) -> Vec<Tooth> {
    let teeth = arch.now.iter().flat_map(|now| &now.state.teeth);
    let banded = teeth.filter(|t| t.bonding.as_ref().is_some_and(|b| b.bracket.on_band));
    banded.map(|t| t.tooth).collect()
}
