//! Loads on teeth from coils, springs, chains and elastics.
//!
//! Tension and compression along the arch act at the bracket. What is attached to a post or a screw acts
//! on the wire or the bone and on no tooth.

use std::collections::BTreeMap;

use crate::geometry::{ArchLayout, Strand};
use crate::mouth::coil_spring::pushing;
use crate::mouth::positions::Mouth;
use crate::plan::state::ArchState;
use crate::setup::pull::{chain_pull, elastic_pull};
use springline_mechanics::Load;
use springline_model::Case;
use springline_model::case::{Elastics, ElasticsKind};
use springline_model::step::{ActKind, Anchor};
use springline_model::stock::Coil;
use springline_units::quantity::{from_grams, newtons};
use springline_units::tooth::{Arch, Tooth};

/// Where neither the act nor the drawer says a force (common practice, no source).
const CLOSING_COIL_G: f64 = 150.0;

fn load(tooth: Tooth) -> Load {
    Load { id: tooth.code() as u16, lingual_n: 0.0, gingival_n: 0.0, along_n: 0.0, at_mm: [0.0; 3] }
}

pub fn closing_force_n(
    coil: Option<&Coil>,
    force: Option<springline_units::quantity::Force>,
) -> f64 {
    let force = force.or_else(|| coil.and_then(|c| c.force));
    newtons(force.unwrap_or_else(|| from_grams(CLOSING_COIL_G)))
}

/// All loads on the teeth that the wire holds, merged tooth by tooth.
pub fn loads(
    case: &Case,
    state: &ArchState,
    mouth: &Mouth,
    layout: &ArchLayout,
    elastics: &[usize],
) -> Vec<Load> {
    let mut out: BTreeMap<Tooth, Load> = BTreeMap::new();
    // Pulls `a` towards `b` (negative: pushes it away), along the arch.
    let mut pull = |a: Tooth, b: Tooth, force: f64| {
        if let (Some(sa), Some(sb)) = (layout.station_mm(a), layout.station_mm(b))
            && sa != sb
        {
            out.entry(a).or_insert_with(|| load(a)).along_n += force * (sb - sa).signum();
        }
    };
    for (key, spring, _) in pushing(&state.acts) {
        let force = mouth.coil_now(&key, spring).force_n();
        pull(key.0, key.1, -force);
        pull(key.1, key.0, -force);
    }
    for act in &state.acts {
        match &act.kind {
            ActKind::ClosingCoil { pulls, coil, force } => {
                let force = closing_force_n(coil.as_deref(), *force);
                for (a, b) in pulls {
                    for (from, to) in [(a, b), (b, a)] {
                        if let Anchor::Tooth(tooth) = from {
                            pull(*tooth, to.tooth(), force);
                        }
                    }
                }
            }
            ActKind::Chain { teeth, chain, force } => {
                let force = chain_pull(chain.as_deref(), *force).mean_n;
                if let (Some(a), Some(b)) = (teeth.iter().min(), teeth.iter().max()) {
                    pull(*a, *b, force);
                    pull(*b, *a, force);
                }
            }
            _ => {}
        }
    }
    for index in elastics {
        if let Some(block) = case.elastics.get(*index) {
            elastic_loads(case, block, layout, state.arch, &mut out);
        }
    }
    let held = |t: &Tooth| state.status(*t).is_in_wire();
    out.into_iter().filter(|(t, _)| held(t)).map(|(_, l)| l).collect()
}

/// What the elastics of one block do to the teeth of one arch.
fn elastic_loads(
    case: &Case,
    block: &Elastics,
    layout: &ArchLayout,
    arch: Arch,
    out: &mut BTreeMap<Tooth, Load>,
) {
    for run in &block.runs {
        let force = elastic_pull(run).mean_n;
        for tooth in run.teeth.iter().filter(|t| t.arch() == arch) {
            let others: Vec<Tooth> = run.teeth.iter().copied().filter(|t| t != tooth).collect();
            for other in &others {
                let share = force / others.len() as f64;
                let entry = out.entry(*tooth).or_insert_with(|| load(*tooth));
                let strand = Strand::between(case, layout, *tooth, *other);
                let across = other.side() != tooth.side();
                add_pull(entry, strand, share, block.kind, (arch, across));
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
