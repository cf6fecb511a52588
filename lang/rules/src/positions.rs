//! Where brackets stand along the arch, from the widths of crowns and the gaps that were entered.
//!
//! A one-dimensional account: zero at the midline, the patient's left positive.

use super::view::{StepView, current_stand, width_mm};
use springline_model::case::Gap;
use springline_model::step::Term;
use springline_units::quantity::mm;
use springline_units::tooth::{Side, Tooth};

/// Bracket width where the drawer gives none, mm (common practice, no source).
const BRACKET_MM: f64 = 3.0;
/// Tube length where the drawer gives none, mm.
const TUBE_MM: f64 = 4.0;

/// One tooth along the arch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BracketPosition {
    pub tooth: Tooth,
    pub centre_mm: f64,
    /// Of the bracket or tube; zero where there is none.
    pub width_mm: f64,
    pub in_wire: bool,
}

impl BracketPosition {
    pub fn right_edge(&self) -> f64 {
        self.centre_mm - self.width_mm / 2.0
    }

    pub fn left_edge(&self) -> f64 {
        self.centre_mm + self.width_mm / 2.0
    }
}

/// The latest length of a gap between two teeth.
pub fn gap_mm(view: &StepView<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    // An earlier step that ends with a length of this gap has brought it there.
    let reached = view.arch.steps.iter().take(view.index).rev().find_map(|s| {
        s.until.terms.iter().find_map(|t| match t {
            Term::Gap { length, first, second }
                if (*first == a && *second == b) || (*first == b && *second == a) =>
            {
                Some(mm(*length))
            }
            _ => None,
        })
    });
    if reached.is_some() {
        return reached;
    }
    let same = |g: &&Gap| (g.first == a && g.second == b) || (g.first == b && g.second == a);
    view.case
        .visits
        .iter()
        .rev()
        .find_map(|v| v.gaps.iter().find(same))
        .or_else(|| view.arch.gaps.iter().find(same))
        .map(|g| mm(g.length))
}

/// All teeth that are there, from the patient's right to left, with where their brackets stand.
pub fn along(view: &StepView<'_>) -> Vec<BracketPosition> {
    let mut out = Vec::new();
    for side in [Side::Right, Side::Left] {
        let teeth: Vec<Tooth> =
            view.state.teeth.iter().map(|t| t.tooth).filter(|t| t.side() == side).collect();
        let outward: Vec<Tooth> = match side {
            Side::Right => teeth.into_iter().rev().collect(),
            Side::Left => teeth,
        };
        let sign = if side == Side::Right { -1.0 } else { 1.0 };
        let mut at = 0.0;
        let mut last: Option<Tooth> = None;
        let mut absent_mm = 0.0;
        for tooth in outward {
            let absent = view.arch.states.get(&tooth).is_some_and(|(s, _)| s.is_absent());
            if absent {
                absent_mm += width_mm(view.arch, tooth);
                continue;
            }
            let width = slot_of_arch(view, tooth);
            // A gap that was measured counts; else an absent tooth leaves its width.
            let gap = last.and_then(|l| gap_mm(view, l, tooth)).unwrap_or(absent_mm);
            absent_mm = 0.0;
            at += gap;
            let bracket = view.bracket(tooth);
            let general = if bracket.is_some_and(|b| b.is_tube) { TUBE_MM } else { BRACKET_MM };
            let width_of = bracket.map_or(0.0, |b| b.width.of(tooth).map_or(general, mm));
            out.push(BracketPosition {
                tooth,
                centre_mm: sign * (at + width / 2.0),
                width_mm: width_of,
                in_wire: view.is_in_wire(tooth),
            });
            at += width;
            last = Some(tooth);
        }
    }
    out.sort_by(|a, b| a.centre_mm.total_cmp(&b.centre_mm));
    out
}

/// What a tooth takes up of the arch: its space where that was measured, else its crown.
fn slot_of_arch(view: &StepView<'_>, tooth: Tooth) -> f64 {
    let space = view
        .phase
        .and_then(|p| p.room.site(tooth))
        .map(|s| s.space_in_mm)
        .or_else(|| current_stand(view.case, view.arch, tooth).space.map(mm));
    space.unwrap_or_else(|| width_mm(view.arch, tooth)).max(0.5)
}

/// Free wire between the brackets of two teeth in the wire, mm.
pub fn free_between(view: &StepView<'_>, a: Tooth, b: Tooth) -> Option<f64> {
    let all = along(view);
    let find = |t: Tooth| all.iter().find(|x| x.tooth == t).copied();
    let (a, b) = (find(a)?, find(b)?);
    let (right, left) = if a.centre_mm < b.centre_mm { (a, b) } else { (b, a) };
    Some((left.right_edge() - right.left_edge()).max(0.0))
}
