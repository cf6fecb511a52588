//! Wires of the practice's drawer that fixes propose.

use crate::prelude::*;
use crate::support::strength::is_rigid_alloy;

/// The lightest superelastic round wire in stock that can carry a coil.
pub fn carrier(context: &RuleContext<'_>) -> Option<String> {
    let carries_mm = context.case.house.limits.warn(Limit::CoilWire) * 25.4;
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && w.section.is_round())
        .map(|w| (mm(w.section.height()), w.name.to_string()))
        .filter(|(h, _)| *h >= carries_mm - 1e-6)
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

/// The practice's 0.012 in superelastic wire, if it has one.
pub fn lightest_round(context: &RuleContext<'_>) -> Option<String> {
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && w.section.is_round())
        .filter(|w| mm(w.section.height()) <= 0.012 * 25.4 + 1e-6)
        .map(|w| w.name.to_string())
        .next()
}

/// The practice's 0.014 in superelastic round wire.
pub fn lightest_in_drawer<'a>(context: &RuleContext<'a>) -> Option<&'a springline_model::Wire> {
    let is_014 = |w: &springline_model::Wire| (mm(w.section.height()) - 0.014 * 25.4).abs() < 0.013;
    context
        .case
        .house
        .wires
        .values()
        .map(|w| w.as_ref())
        .find(|w| !is_rigid_alloy(w) && w.section.is_round() && is_014(w))
}

/// The thinnest round superelastic wire: what turns a tooth that stands across.
pub fn thinnest_in_drawer<'a>(context: &RuleContext<'a>) -> Option<&'a springline_model::Wire> {
    let drawer = context.case.house.wires.values();
    let round = drawer.filter(|w| w.alloy.is_niti() && w.section.is_round());
    let height = |w: &springline_model::Wire| mm(w.section.height());
    let thinnest = round.min_by(|a, b| height(a).total_cmp(&height(b)).then(a.name.cmp(&b.name)));
    thinnest.map(|w| &**w)
}

/// The practice's 0.014 in superelastic round wire, or the nearest above 0.012 in.
pub fn lightest(context: &RuleContext<'_>) -> Option<String> {
    context
        .case
        .house
        .wires
        .values()
        .filter(|w| w.alloy.is_niti() && w.section.is_round())
        .min_by(|a, b| {
            let from = |w: &springline_model::Wire| (mm(w.section.height()) - 0.014 * 25.4).abs();
            from(a).total_cmp(&from(b))
        })
        .map(|w| w.name.to_string())
}
