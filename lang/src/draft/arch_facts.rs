//! What of an arch decides whether and how it is drafted: room, teeth that stand far off, what is the doctor's.

use super::arch_text::current;
use super::doctor_choice::ChosenRoom;
use super::drawer::DraftDrawer;
use super::refusal::NotDrafted;
use super::room::{DraftRoom, roomless, unexplained_mm};
use crate::check::LoweredFile;
use springline_course::Forecast;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::limits::Limit;
use springline_units::quantity::{degrees, mm, plain};
use springline_units::tooth::Tooth;

/// A tooth turned farther, or standing higher, goes into no wire without a warning: as the checker's rules have it.
const SEVERE_DEG: f64 = 45.0;
const HIGH_MM: f64 = 3.0;

/// Room that has to be made; or whose choice it is where it comes from.
pub fn room_of(
    case: &Case,
    plan: &ArchCase,
    forecast: &Forecast,
    choice: &ChosenRoom,
) -> Result<Option<DraftRoom>, NotDrafted> {
    // What enamel gives is read where it is written.
    let said = choice.read.as_ref().and_then(|r| r.case.as_deref());
    let with = said.and_then(|c| c.arch(plan.arch)).unwrap_or(plan);
    let short = roomless(case, with);
    let first = forecast.arch(plan.arch).and_then(|a| a.phases.first());
    let recorded = forecast.recorded_phase(plan.arch);
    let in_wire = |tooth: Tooth| recorded.is_some_and(|p| p.state.status(tooth).is_in_wire());
    let short: Vec<(Tooth, f64)> = short.into_iter().filter(|(t, _)| !in_wire(*t)).collect();
    let forward = case.goal.as_ref().is_some_and(|g| g.incisors_forward == Some(true));
    let unexplained = unexplained_mm(case, with);
    if !forward && !choice.any && recorded.is_none() && (!short.is_empty() || unexplained.is_some())
    {
        let missing = unexplained.unwrap_or_else(|| short.iter().map(|(_, mm)| mm).sum());
        let teeth = short.iter().map(|(t, _)| t.write(case.house.notation.value)).collect();
        return Err(NotDrafted::ChoiceOfRoom {
            arch: plan.arch,
            tenths: (missing * 10.0).round() as u32,
            teeth,
        });
    }
    if short.is_empty() {
        return Ok(None);
    }
    let layout = first.map(|p| &p.layout);
    match DraftRoom::new(case, with, &short, layout, recorded.is_some()) {
        Ok(room) => Ok(Some(room)),
        Err(why) => {
            let notation = case.house.notation.value;
            let teeth = short.iter().map(|(t, _)| t.write(notation)).collect();
            Err(NotDrafted::NoPlaceForCoil { arch: plan.arch, teeth, why })
        }
    }
}

/// A figure outside what can be, in the case or its practice file.
pub fn implausible(read: &LoweredFile) -> Option<String> {
    let found = read.findings.iter().find(|f| f.code.as_str() == "unit/implausible");
    found.map(|f| f.message.clone())
}

/// Teeth that no wire takes in without a warning.
pub fn severe(case: &Case, plan: &ArchCase) -> Vec<String> {
    let notation = case.house.notation.value;
    let of = |tooth: &Tooth| {
        let stand = current(case, plan, *tooth);
        let turned = stand.rotated.map_or(0.0, |(by, _)| degrees(by.angle()));
        let high = stand.up_down.map_or(0.0, |(by, _)| mm(by.length()));
        let name = tooth.write(notation);
        if turned > SEVERE_DEG {
            Some(format!("{name} is turned by {} deg", plain(turned)))
        } else if high > HIGH_MM {
            Some(format!("{name} stands {} mm off in height", plain(high)))
        } else {
            None
        }
    };
    plan.bonded.keys().filter_map(of).collect()
}

/// A bonded tooth that stands out of line, as entered or as last measured: as far as the practice lets no light
/// rectangular wire go in.
pub fn is_out_of_line(case: &Case, plan: &ArchCase) -> bool {
    plan.bonded.keys().any(|tooth| {
        let stand = current(case, plan, *tooth);
        use springline_model::stand::StandAxis;
        let over = |axis: StandAxis| {
            let limit = if axis.is_angle() { Limit::LightTurn } else { Limit::LightMisfit };
            let limit = case.house.limits.for_tooth(limit, *tooth).value.warn;
            !axis.is_room() && stand.figure(axis).is_some_and(|f| f.abs() >= limit)
        };
        StandAxis::ALL.into_iter().any(over)
    })
}

/// An overbite that is deeper than the goal by more than it is read to (common practice, no source).
const DEEPER_MM: f64 = 1.0;

/// Light wire leaves a front that is deep as a whole.
fn deep_bite(case: &Case) -> Option<String> {
    let wanted = mm(case.goal.as_ref()?.bite.overbite?.0);
    let mut visits: Vec<_> = case.visits.iter().collect();
    visits.sort_by_key(|v| v.on);
    let said = visits.into_iter().rev().map(|v| &v.bite).chain([&case.bite]);
    let now = said.into_iter().find_map(|bite| bite.overbite).map(|(length, _)| mm(length))?;
    (now > wanted + DEEPER_MM).then(|| {
        format!(
            "The overbite is {} mm and {} mm are wanted: no wire before the working wire is counted as levelling it. The \
             working wire, a curve bent in and raisers are the doctor's to plan.",
            plain(now),
            plain(wanted)
        )
    })
}

/// What is the doctor's and no draft decides, in sentences.
pub fn remarks(case: &Case, plan: &ArchCase, drawer: &DraftDrawer) -> Vec<String> {
    use springline_model::case::ToothState;
    let mut out = Vec::new();
    let has = |of: fn(&ToothState) -> bool| plan.states.values().any(|(state, _)| of(state));
    let mut left = Vec::new();
    if has(|s| matches!(s, ToothState::Extract { .. } | ToothState::Extracted { .. })) {
        left.push("closing the extraction spaces");
    }
    if has(|s| matches!(s, ToothState::Unerupted)) {
        left.push("bringing in what has not come through");
    }
    if !case.elastics.is_empty() {
        left.push("elastics");
    }
    if !left.is_empty() {
        out.push(format!(
            "Drafted up to the working wire only: {} is the doctor's to plan.",
            left.join(" and ")
        ));
    }
    out.extend(deep_bite(case));
    if !drawer.has_fourteen() {
        out.push(
            "The drawer has no 0.014 in superelastic round wire: what each wire keeps is held against one as the model \
             has it."
                .to_owned(),
        );
    }
    if !drawer.left_out.is_empty() {
        out.push(format!(
            "The drawer has more wires than are tried; left out: {}.",
            drawer.left_out.join(", ")
        ));
    }
    out
}
