//! Stock that no case uses.

use std::collections::BTreeSet;

use crate::plan::Plan;
use springline_model::House;
use springline_model::step::ActKind;

/// Wires in stock that no case of the practice uses or will use.
pub fn unused_wires(house: &House, plans: &[Plan<'_>]) -> Vec<String> {
    let mut used: BTreeSet<&str> = BTreeSet::new();
    for plan in plans.iter().filter(|p| p.case.house.title == house.title) {
        for phase in plan.forecast.arches.iter().flat_map(|a| &a.phases) {
            used.insert(&phase.wire.wire.name);
            used.extend(phase.wire.tandem.iter().map(|w| &*w.name));
            for act in &phase.state.acts {
                if let ActKind::Piggyback { wire, .. } = &act.kind {
                    used.insert(&wire.name);
                }
            }
        }
    }
    house.wires.keys().filter(|n| !used.contains(&***n)).map(|n| n.to_string()).collect()
}
