//! Loads on teeth from coils, springs, chains and elastics.
//!
//! What pulls acts at the tip of a tooth's power arm, else at its bracket; an open coil presses on the bracket.
//! What is attached to a post or a screw acts on the wire or the bone and on no tooth.

use std::collections::BTreeMap;

use crate::geometry::{ArchLayout, Strand};
use crate::law::traction_rates::USUAL_TRACTION_G;
use crate::mouth::coil_spring::pushing;
use crate::mouth::positions::Mouth;
use crate::plan::state::ArchState;
use crate::setup::pull::{chain_pull, elastic_pull};
use springline_mechanics::Load;
use springline_model::Case;
use springline_model::case::{ElasticRun, Elastics, ElasticsKind};
use springline_model::step::{Act, ActKind, Anchor};
use springline_model::stock::Coil;
use springline_model::traction::TractionTo;
use springline_units::quantity::{from_grams, newtons};
use springline_units::tooth::{Arch, Tooth};

/// Where neither the act nor the drawer says a force (common practice, no source).
const CLOSING_COIL_G: f64 = 150.0;

/// Where something takes hold of a tooth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum LoadPoint {
    Bracket,
    /// The tip of its power arm, where it has one.
    Arm,
}

/// The loads of an arch, merged by tooth and place.
struct ArchLoads<'a> {
    state: &'a ArchState,
    layout: &'a ArchLayout,
    by_place: BTreeMap<(Tooth, LoadPoint), Load>,
}

impl ArchLoads<'_> {
    fn on(&mut self, tooth: Tooth, point: LoadPoint) -> &mut Load {
        let arm = match point {
            LoadPoint::Bracket => 0.0,
            LoadPoint::Arm => self.state.power_arm_mm(tooth),
        };
        let load = || Load {
            id: tooth.code() as u16,
            lingual_n: 0.0,
            gingival_n: 0.0,
            along_n: 0.0,
            at_mm: [0.0, arm, 0.0],
        };
        let point = if arm > 0.0 { LoadPoint::Arm } else { LoadPoint::Bracket };
        self.by_place.entry((tooth, point)).or_insert_with(load)
    }

    /// Pulls `a` towards `b` (negative: pushes it away), along the arch.
    fn pull(&mut self, (a, point): (Tooth, LoadPoint), b: Tooth, force: f64) {
        if let (Some(sa), Some(sb)) = (self.layout.station_mm(a), self.layout.station_mm(b))
            && sa != sb
        {
            self.on(a, point).along_n += force * (sb - sa).signum();
        }
    }
}

/// What a closing spring pulls with, N: the act's force, else its drawer's, else a usual one.
pub fn closing_force_n(
    coil: Option<&Coil>,
    force: Option<springline_units::quantity::Force>,
) -> f64 {
    let force = force.or_else(|| coil.and_then(|c| c.force));
    newtons(force.unwrap_or_else(|| from_grams(CLOSING_COIL_G)))
}

/// All loads on the teeth that the wire holds, merged by tooth and by where they act.
pub fn loads(
    case: &Case,
    state: &ArchState,
    mouth: &Mouth,
    layout: &ArchLayout,
    elastics: &[usize],
) -> Vec<Load> {
    let mut out = ArchLoads { state, layout, by_place: BTreeMap::new() };
    for (key, spring, _) in pushing(&state.acts) {
        let force = mouth.coil_now(&key, spring).force_n();
        out.pull((key.0, LoadPoint::Bracket), key.1, -force);
        out.pull((key.1, LoadPoint::Bracket), key.0, -force);
    }
    for act in &state.acts {
        match &act.kind {
            ActKind::ClosingCoil { pulls, coil, force } => {
                let force = closing_force_n(coil.as_deref(), *force);
                for (a, b) in pulls {
                    for (from, to) in [(a, b), (b, a)] {
                        if let Anchor::Tooth(tooth) = from {
                            out.pull((*tooth, LoadPoint::Arm), to.tooth(), force);
                        }
                    }
                }
            }
            ActKind::Chain { teeth, chain, force } => {
                let force = chain_pull(chain.as_deref(), *force).mean_n;
                if let (Some(a), Some(b)) = (teeth.iter().min(), teeth.iter().max()) {
                    out.pull((*a, LoadPoint::Arm), *b, force);
                    out.pull((*b, LoadPoint::Arm), *a, force);
                }
            }
            _ => {}
        }
    }
    for act in &state.acts {
        traction_loads(mouth, act, &mut out);
    }
    for index in elastics {
        if let Some(block) = case.elastics.get(*index) {
            elastic_loads(case, block, &|run| elastic_pull(run).mean_n, &mut out);
        }
    }
    let held = |t: &Tooth| state.status(*t).is_in_wire();
    out.by_place.into_iter().filter(|((t, _), _)| held(t)).map(|(_, l)| l).collect()
}

/// An unerupted tooth pulls at what it is pulled to, towards where it lies: at both neighbours in the wire, or at one
/// tooth. A bar and a screw carry it without a tooth of the wire.
fn traction_loads(mouth: &Mouth, act: &Act, out: &mut ArchLoads<'_>) {
    let ActKind::Traction { teeth, to, force, .. } = &act.kind else { return };
    let force = newtons(force.unwrap_or_else(|| from_grams(USUAL_TRACTION_G)));
    for tooth in teeth {
        let lies = mouth.pose(*tooth);
        let (way, held) = (lies.off_mm(), out.state.in_wire().map(|t| t.tooth));
        let on: Vec<Tooth> = match to {
            TractionTo::Wire => {
                let held: Vec<Tooth> = held.collect();
                let before = held.iter().rev().find(|t| *t < tooth);
                before.into_iter().chain(held.iter().find(|t| *t > tooth)).copied().collect()
            }
            TractionTo::Tooth(anchor) => vec![*anchor],
            TractionTo::PalatalArch | TractionTo::Screw(_) => Vec::new(),
        };
        if way <= 0.0 || on.is_empty() {
            continue;
        }
        let each = force / on.len() as f64;
        for anchor in &on {
            let entry = out.on(*anchor, LoadPoint::Bracket);
            entry.lingual_n += each * lies.lingual_mm / way;
            entry.gingival_n += each * lies.gingival_mm / way;
        }
    }
}

/// What elastics draw along the arch on each tooth, N, day and night on average, to the patient's left positive.
pub(crate) fn elastics_along(
    case: &Case,
    state: &ArchState,
    layout: &ArchLayout,
    elastics: &[usize],
) -> Vec<(Tooth, f64)> {
    let mut out = ArchLoads { state, layout, by_place: BTreeMap::new() };
    let worn =
        |run: &ElasticRun| elastic_pull(run).mean_n * run.hours_a_day.clamp(0.0, 24.0) / 24.0;
    for block in elastics.iter().filter_map(|index| case.elastics.get(*index)) {
        elastic_loads(case, block, &worn, &mut out);
    }
    out.by_place.into_iter().map(|((tooth, _), load)| (tooth, load.along_n)).collect()
}

/// What the elastics of one block do to the teeth of one arch.
fn elastic_loads(
    case: &Case,
    block: &Elastics,
    force_n: &dyn Fn(&ElasticRun) -> f64,
    out: &mut ArchLoads<'_>,
) {
    let (arch, layout) = (out.state.arch, out.layout);
    for run in &block.runs {
        let force = force_n(run);
        for tooth in run.teeth.iter().filter(|t| t.arch() == arch) {
            let others: Vec<Tooth> = run.teeth.iter().copied().filter(|t| t != tooth).collect();
            for other in &others {
                let share = force / others.len() as f64;
                let strand = Strand::between(case, layout, *tooth, *other);
                let across = other.side() != tooth.side();
                add_pull(out.on(*tooth, LoadPoint::Arm), strand, share, block.kind, (arch, across));
            }
        }
    }
}

/// One strand from a tooth of this arch to another, perhaps of the other side.
fn add_pull(
    load: &mut Load,
    strand: Strand,
    force: f64,
    kind: ElasticsKind,
    (arch, across): (Arch, bool),
) {
    let length = strand.length_mm();
    if length <= 0.0 {
        return;
    }
    // Towards the other jaw is away from the gum.
    load.gingival_n -= force * strand.vertical_share();
    match kind {
        // From one side of one arch to the other side of the other: across the mouth, not along it.
        ElasticsKind::Diagonal if across => {
            load.lingual_n += force * strand.along_mm.abs().min(30.0) / length;
        }
        ElasticsKind::Cross => load.lingual_n += 0.5 * force * cross_sign(arch),
        _ => load.along_n += force * strand.along_mm / length,
    }
}

/// Cross elastics usually bring upper teeth out and lower teeth in.
fn cross_sign(arch: Arch) -> f64 {
    match arch {
        Arch::Upper => -1.0,
        Arch::Lower => 1.0,
    }
}
