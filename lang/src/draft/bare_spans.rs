//! Stretches of wire that the doctor's choice leaves bare, such as over extraction spaces, and their sleeves.

use springline_course::Phase;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::limits::Limit;
use springline_model::step::ActKind;
use springline_units::tooth::Tooth;

/// The longest stretch of wire without a sleeve, mm, as the practice has it.
pub fn longest_bare_mm(case: &Case) -> f64 {
    case.house.limits.of(Limit::Span).value.warn
}

/// Sleeve lines for the stretches that are bare as this phase begins and for which no step says anything yet.
pub fn sleeves(case: &Case, plan: &ArchCase, phase: &Phase) -> Vec<String> {
    let covered = |a: Tooth, b: Tooth| {
        let acts = plan.steps.iter().flat_map(|s| &s.acts);
        acts.into_iter().any(|act| match &act.kind {
            ActKind::Sleeve { spans } => spans.iter().any(|s| pair(*s) == pair((a, b))),
            ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
                pair((*first, *second)) == pair((a, b))
            }
            _ => false,
        })
    };
    let held: Vec<Tooth> = phase.state.in_wire().map(|t| t.tooth).collect();
    let apart = held.windows(2).map(|w| (w[0], w[1])).filter(|(a, b)| b.place() > a.place() + 1);
    let bare = apart.filter(|(a, b)| {
        let free = phase.layout.free_wire_mm(*a, *b);
        free.is_some_and(|mm| mm > longest_bare_mm(case) + 1e-6) && !covered(*a, *b)
    });
    let notation = case.house.notation.value;
    bare.map(|(a, b)| format!("sleeve between {} and {}", a.write(notation), b.write(notation)))
        .collect()
}

fn pair((a, b): (Tooth, Tooth)) -> (Tooth, Tooth) {
    (a.min(b), a.max(b))
}
