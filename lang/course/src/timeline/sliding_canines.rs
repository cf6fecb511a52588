//! Space closure along the wire: how much of a spring's force reaches the canine that it slides.
//!
//! While the canine tips in the play of its wire nothing is lost. Then the wire keeps it upright, and the couple
//! that this takes presses the wire onto both edges of the slot. A power arm brings the pull nearer the centre of
//! resistance, so that less is left for the wire to keep upright. Rates of closure were measured with friction in
//! them and are left alone.

use crate::geometry::ArchLayout;
use crate::plan::state::ArchState;
use crate::run::chair::FrictionRange;
use crate::setup::loads::closing_force_n;
use crate::setup::pull::chain_pull;
use crate::simulate::phase_in_progress::{PhaseInProgress, PhaseSegment};
use crate::timeline::tooth_pulls::{UPRIGHT_MM, centre_at_mm};
use springline_mechanics::{Clip, Friction, Setup, Slot, SlotPose, closed};
use springline_model::step::{ActKind, Anchor};
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::{Notation, Tooth};

/// What becomes of the force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CanineSliding {
    /// It tips first, freely, over this way of its crown, mm; then it moves.
    TipsFreely { over_mm: f64 },
    /// It moves upright from the start.
    Moves,
    /// The wire holds it with more than the force: it stands until its root has followed.
    Stands,
}

/// A canine that something pulls along its wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlidCanine {
    pub tooth: Tooth,
    pub force_n: f64,
    pub state: CanineSliding,
    /// Share of the force lost to friction while it moves upright, with its range over the coefficient's.
    pub lost: f64,
    pub lost_range: [f64; 2],
}

/// Tipping over less than this is not told, mm.
const LITTLE_MM: f64 = 0.05;
/// The canines that this phase pulls distally along the wire, each by itself, as the wire goes in.
pub(crate) fn slid_canines(draft: &PhaseInProgress, layout: &ArchLayout) -> Vec<SlidCanine> {
    let first = &draft.segments[0];
    let range = first.friction;
    let pulled = pulled(&draft.state).into_iter();
    let arm_mm = |tooth| draft.state.power_arm_mm(tooth);
    pulled.filter_map(|pull| slid(first, layout, &range, pull, arm_mm(pull.0))).collect()
}

fn slid(
    leg: &PhaseSegment,
    layout: &ArchLayout,
    range: &FrictionRange,
    (tooth, to, force_n): (Tooth, Tooth, f64),
    pulled_at_mm: f64,
) -> Option<SlidCanine> {
    let setup = &leg.setup.base;
    let slot = setup.slots.iter().find(|s| u32::from(s.id) == tooth.code())?;
    let (_, held_n) = leg.run.held_n.iter().find(|(id, _)| *id == slot.id)?;
    let centre_at_mm = centre_at_mm(slot);
    let lever_mm = (centre_at_mm - pulled_at_mm).abs();
    let lost = |k: usize| {
        let Friction { coefficient, clip_n } = range.0[k];
        let share = closed::sliding_share(coefficient, lever_mm, slot.width_mm)?;
        let clip_n = if matches!(slot.clip, Clip::Active { .. }) { clip_n } else { 0.0 };
        Some(((1.0 - share) + clip_n / force_n).max(held_n[k] / force_n).min(1.0))
    };
    let (low, taken, high) = (lost(0)?, lost(1)?, lost(2)?);
    let distal = (layout.station_mm(to)? - layout.station_mm(tooth)?).signum();
    let turned = if lever_mm < UPRIGHT_MM { 0.0 } else { room_rad(setup, slot, distal) };
    let over_mm = centre_at_mm * turned;
    let state = match () {
        () if taken >= 1.0 => CanineSliding::Stands,
        () if over_mm > LITTLE_MM => CanineSliding::TipsFreely { over_mm },
        () => CanineSliding::Moves,
    };
    Some(SlidCanine { tooth, force_n, state, lost: taken, lost_range: [low, high] })
}

/// How far it can tip with its crown along the pull before the wire touches both corners.
fn room_rad(setup: &Setup, slot: &Slot, along: f64) -> f64 {
    let height = setup.wire.stock.section.height_mm();
    let critical = closed::critical_contact_angle(height, slot.width_mm, slot.height_mm);
    let SlotPose { tipped_rad, .. } = slot.stand;
    // With the crown towards larger stations the edge there goes to the gum.
    (critical.unwrap_or(0.0) - along * tipped_rad).max(0.0)
}

/// Canine, towards which tooth, with what force.
fn pulled(state: &ArchState) -> Vec<(Tooth, Tooth, f64)> {
    let mut out = Vec::new();
    for act in &state.acts {
        match &act.kind {
            ActKind::ClosingCoil { pulls, coil, force } => {
                let force = closing_force_n(coil.as_deref(), *force);
                for (a, b) in pulls {
                    if let (Anchor::Tooth(a), Anchor::Tooth(b)) = (a, b) {
                        out.extend([(*a, *b, force), (*b, *a, force)]);
                    }
                }
            }
            ActKind::Chain { teeth, chain, force } => {
                let force = chain_pull(chain.as_deref(), *force).mean_n;
                if let (Some(a), Some(b)) = (teeth.iter().min(), teeth.iter().max()) {
                    out.extend([(*a, *b, force), (*b, *a, force)]);
                }
            }
            _ => {}
        }
    }
    let tied = state.tied(&[]);
    let alone = |tooth: Tooth| {
        let front = |t: &Tooth| t.is_anterior() && *t != tooth;
        !tied.iter().any(|g| g.contains(&tooth) && g.iter().any(front))
    };
    out.retain(|(tooth, to, force)| {
        let distal = to.side() == tooth.side() && to.position() > 3;
        tooth.position() == 3
            && distal
            && *force > 0.0
            && state.status(*tooth).is_in_wire()
            && alone(*tooth)
    });
    out
}

impl SlidCanine {
    /// For who hangs the spring: "13 will tip by up to 0.4 mm first; after that about 55 % of the force reaches it".
    pub fn say_at_chair(&self, notation: Notation) -> String {
        let tooth = self.tooth.write(notation);
        let reaches = 5.0 * (20.0 * (1.0 - self.lost)).round();
        match self.state {
            CanineSliding::TipsFreely { over_mm } => format!(
                "{tooth} will tip by up to {over_mm:.1} mm first; after that about {reaches} % of the force \
                 reaches it"
            ),
            CanineSliding::Moves => format!("about {reaches} % of the force reaches {tooth}"),
            CanineSliding::Stands => {
                format!("{tooth} will not move yet: the wire holds it until its root has followed")
            }
        }
    }

    /// "13 under 150 g tips over the first 0.4 mm without loss; then it moves and loses about 45 % of the force
    /// to friction (33 to 58 %), and the molar feels as much less".
    pub fn say(&self, notation: Notation) -> String {
        let tooth = self.tooth.write(notation);
        let grams = newtons_to_grams(self.force_n);
        let percent = |share: f64| (100.0 * share).round();
        let [low, high] = self.lost_range.map(percent);
        let loses = format!(
            "loses about {} % of the force to friction ({low} to {high} %), and the molar feels as much less",
            percent(self.lost)
        );
        match self.state {
            CanineSliding::TipsFreely { over_mm } => format!(
                "{tooth} under {grams:.0} g tips over the first {over_mm:.1} mm without loss; then it moves and \
                 {loses}"
            ),
            CanineSliding::Moves => format!("{tooth} under {grams:.0} g moves and {loses}"),
            CanineSliding::Stands => format!(
                "{tooth} stands under {grams:.0} g: the wire holds it with more, until its root has followed"
            ),
        }
    }
}
