//! Ties, lacebacks and figures-of-eight as bounds on the distance between the brackets they hold.
//!
//! They count as tied before the wire goes in and anything pulls, while the teeth stand as entered. A laceback holds its two
//! ends: twisted past the brackets between, it grips none of them. A tie over several teeth holds each to the next. Chains
//! pull by themselves ([`loads`](crate::setup::loads)), and a bar across the palate does not run along the arch.

use crate::plan::state::ArchState;
use springline_mechanics::{Slot, ToothTie};
use springline_model::step::ActKind;
use springline_units::tooth::Tooth;

/// The ties between teeth of the base wire, each pair once, right to left.
pub(crate) fn tooth_ties(state: &ArchState, slots: &[Slot]) -> Vec<ToothTie> {
    let held = |t: &Tooth| slots.iter().any(|s| u32::from(s.id) == t.code());
    let mut pairs: Vec<[Tooth; 2]> = Vec::new();
    for act in &state.acts {
        match &act.kind {
            ActKind::Tie { teeth, .. } => {
                let mut row: Vec<Tooth> = teeth.iter().copied().filter(held).collect();
                row.sort();
                row.dedup();
                pairs.extend(row.windows(2).map(|w| [w[0], w[1]]));
            }
            ActKind::Laceback { pairs: ends } => {
                let both = ends.iter().filter(|(a, b)| held(a) && held(b) && a != b);
                pairs.extend(both.map(|(a, b)| [*a.min(b), *a.max(b)]));
            }
            _ => {}
        }
    }
    pairs.sort();
    pairs.dedup();
    let id = |t: Tooth| t.code() as u16;
    pairs.into_iter().map(|[a, b]| ToothTie::between(id(a), id(b))).collect()
}
