//! The set-up list: stock needed for the visits of a range of days.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

use crate::plan::{ArchToday, InMouth, Plan, VisitToday};
use crate::{masked, wording};
use springline_model::house::Task;
use springline_model::step::ActKind;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PullItem {
    /// `wire`, `coil`, `stop`, `bracket`, `chain`, `elastic`.
    pub kind: &'static str,
    pub what: String,
    pub count: usize,
    /// For whom.
    pub charts: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PullList {
    pub schema: &'static str,
    pub from: Date,
    /// Included.
    pub to: Date,
    pub visits: usize,
    pub items: Vec<PullItem>,
}

type PullKey = (&'static str, String);

/// What the changes expected from `from` to `to` need; cases on hold are left out.
pub fn pull_list(plans: &[Plan<'_>], from: Date, to: Date) -> PullList {
    let mut all: BTreeMap<PullKey, (usize, Vec<String>)> = BTreeMap::new();
    let mut visits = 0;
    for plan in plans.iter().filter(|p| p.blocking().is_empty()) {
        let chart = masked(&plan.case.chart);
        for (number, visit) in plan.coming().filter(|(_, v)| (from..=to).contains(&v.date)) {
            visits += 1;
            if visit.kind == Task::Debond {
                continue;
            }
            let Some(today) = VisitToday::of(plan, number) else { continue };
            let mut need = Vec::new();
            for arch in &today.arches {
                match (arch.next, arch.now) {
                    (Some(next), _) if arch.expected() => wants(arch, next, &mut need),
                    (_, Some(now)) => renewed(now, &mut need),
                    _ => {}
                }
            }
            for run in today.worn(plan).iter().flat_map(|e| &e.runs) {
                need.push(("elastic", wording::elastic(&run.elastic), 1));
            }
            for (kind, what, count) in need {
                let entry = all.entry((kind, what)).or_default();
                entry.0 += count;
                if entry.1.last() != Some(&chart) {
                    entry.1.push(chart.clone());
                }
            }
        }
    }
    let items = all
        .into_iter()
        .map(|((kind, what), (count, charts))| PullItem { kind, what, count, charts })
        .collect();
    PullList { schema: super::SCHEMA, from, to, visits, items }
}

/// What is put on anew where the wire stays.
fn renewed(now: InMouth<'_>, need: &mut Vec<(&'static str, String, usize)>) {
    for act in now.acts().filter(|a| a.kind.is_renewed_at_looks()) {
        match &act.kind {
            ActKind::OpenCoil { coil: Some(coil), .. } => {
                need.push(("coil", format!("{} (open)", coil.name), 1));
            }
            ActKind::Chain { chain: Some(chain), .. } => {
                need.push(("chain", chain.name.to_string(), 1));
            }
            _ => {}
        }
    }
}

fn wants(arch: &ArchToday<'_>, next: InMouth<'_>, need: &mut Vec<(&'static str, String, usize)>) {
    let jaw = wording::arch(arch.arch.arch).to_lowercase();
    if !arch.same_wire() {
        let wires = &next.state.wire;
        for wire in std::iter::once(&wires.wire).chain(&wires.tandem) {
            need.push(("wire", format!("{} {jaw}", wire.typed_label()), 1));
        }
    }
    if arch.now.is_none() {
        for bonding in next.state.teeth.iter().filter_map(|t| t.bonding.as_ref()) {
            need.push(("bracket", bonding.bracket.name.to_string(), 1));
        }
    }
    for act in arch.put_on() {
        match &act.kind {
            ActKind::OpenCoil { coil: Some(coil), activation, .. }
                if *activation != springline_model::step::Activation::Passive =>
            {
                need.push(("coil", format!("{} (open)", coil.name), 1));
            }
            ActKind::ClosedCoil { coil: Some(coil), .. } => {
                need.push(("coil", format!("{} (passive)", coil.name), 1));
            }
            ActKind::ClosingCoil { coil: Some(coil), pulls, .. } => {
                need.push(("coil", format!("{} (closing spring)", coil.name), pulls.len()));
            }
            ActKind::Chain { chain: Some(chain), .. } => {
                need.push(("chain", chain.name.to_string(), 1));
            }
            ActKind::Stop { spots } => {
                let round =
                    if next.state.wire.wire.section.is_round() { "round" } else { "rectangular" };
                need.push(("stop", format!("for {round} wire"), spots.len()));
            }
            ActKind::PickUp { teeth, bracket, .. } => {
                need.push(("bracket", bracket.name.to_string(), teeth.len()));
            }
            ActKind::Piggyback { wire, .. } => {
                need.push(("wire", format!("{}, a piece", wire.typed_label()), 1));
            }
            _ => {}
        }
    }
}
