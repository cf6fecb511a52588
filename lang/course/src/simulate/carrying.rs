//! What carries teeth along the arch in a phase, and by what moments it turns them.
//!
//! The teeth that go together share the pull by the area of their roots. A group with incisors goes straight back or
//! forwards: its incisors are pulled inwards (pushed outwards), its canines half so and half along the arch. A tooth
//! that goes without them goes along the arch. The force acts at the bracket, or at the tip of an arm, and turns the
//! tooth by its distance from the centre of resistance.

use crate::geometry::{ArchLayout, arch_line};
use crate::law::periodontium::projected_area_mm2;
use crate::mouth::carried::CarriedState;
use crate::mouth::coil_spring::pushing;
use crate::mouth::positions::Mouth;
use crate::plan::input::ArchInput;
use crate::plan::state::ArchState;
use crate::room::closing::ClosingGap;
use crate::room::supplies::open_gaps;
use crate::run::carried_teeth::CarriedTooth;
use crate::run::pushed_teeth::in_the_way;
use crate::setup::arch_setup::ArchSetup;
use crate::setup::loads::elastics_along;
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_units::tooth::{Side, Tooth};

/// A group of teeth that goes together.
pub(crate) struct Carrying {
    teeth: Vec<Tooth>,
    force_n: f64,
    distal: bool,
    /// What is hooked to an arm, and its height towards the gum, mm.
    arms: Vec<(Tooth, f64)>,
    until_days: f64,
}

/// All teeth of the wire that are carried.
pub(crate) fn carried_teeth(
    world: &ArchInput<'_>,
    state: &ArchState,
    setup: &ArchSetup,
    carried: &CarriedState,
    elastics: &[usize],
) -> Vec<CarriedTooth> {
    let mut groups = closing(world, state, carried);
    groups.extend(pressed_apart(state, carried));
    groups.extend(drawn((world.case, world.arch), state, &carried.mouth, elastics));
    groups.iter().flat_map(|group| turned(group, state, setup)).collect()
}

/// Both ends of every gap that something pulls shut.
fn closing(world: &ArchInput<'_>, state: &ArchState, carried: &CarriedState) -> Vec<Carrying> {
    let growth = crate::law::movement::growth_factor(world.case.growth);
    let gaps = open_gaps(world.arch, state, carried);
    let closing = gaps
        .into_iter()
        .filter_map(|gap| ClosingGap::of(world.arch, state, &carried.mouth, gap, None, growth));
    closing
        .flat_map(|gap| {
            let arms = |teeth: &[Tooth]| -> Vec<(Tooth, f64)> {
                let hooked = gap.hooks.iter().filter(|t| teeth.contains(t));
                hooked.map(|t| (*t, state.power_arm_mm(*t))).collect()
            };
            [(&gap.front, true), (&gap.back, false)].map(|(teeth, distal)| Carrying {
                teeth: teeth.clone(),
                force_n: gap.force_n,
                distal,
                arms: arms(teeth),
                until_days: gap.days(),
            })
        })
        .collect()
}

/// Both ends of every open coil, with all that stands in their way.
fn pressed_apart(state: &ArchState, carried: &CarriedState) -> Vec<Carrying> {
    let mouth = &carried.mouth;
    let coils = pushing(&state.acts).into_iter();
    coils
        .flat_map(|(key, spring, _)| {
            let force_n = mouth.coil_now(&key, spring).force_n();
            let (right, left) = (key.0.min(key.1), key.0.max(key.1));
            [(right, false), (left, true)].map(|(first, to_left)| Carrying {
                teeth: in_the_way(state, mouth, first, to_left),
                force_n,
                distal: (first.side() == Side::Left) == to_left,
                arms: Vec::new(),
                until_days: f64::INFINITY,
            })
        })
        .collect()
}

/// What elastics draw along the arch, with all that stands in its way or is tied to it.
pub(crate) fn drawn(
    (case, arch): (&Case, &ArchCase),
    state: &ArchState,
    mouth: &Mouth,
    elastics: &[usize],
) -> Vec<Carrying> {
    let layout = ArchLayout::of(arch, state, mouth);
    let pulls = elastics_along(case, state, &layout, elastics).into_iter();
    pulls
        .map(|(tooth, along_n)| {
            let to_left = along_n > 0.0;
            let mut teeth = in_the_way(state, mouth, tooth, to_left);
            let tied = state.tied(&arch.bars).into_iter().filter(|g| g.contains(&tooth));
            for other in tied.flatten() {
                if !teeth.contains(&other) {
                    teeth.push(other);
                }
            }
            Carrying {
                teeth,
                force_n: along_n.abs(),
                distal: (tooth.side() == Side::Left) == to_left,
                arms: vec![(tooth, state.power_arm_mm(tooth))],
                until_days: f64::INFINITY,
            }
        })
        .collect()
}

/// The moments of one group's pull about the centres of its teeth; nothing where one of them cannot move.
pub(crate) fn turned(group: &Carrying, state: &ArchState, setup: &ArchSetup) -> Vec<CarriedTooth> {
    let fixed = |t: &Tooth| state.tooth(*t).is_some_and(|s| s.fixed);
    let area: f64 = group.teeth.iter().map(|t| projected_area_mm2(*t)).sum();
    if area <= 0.0 || group.force_n < LEAST_N || group.teeth.iter().any(fixed) {
        return Vec::new();
    }
    let straight_back = group.teeth.iter().any(|t| t.is_incisor());
    let line = arch_line(state.form.curve);
    let of = |tooth: &Tooth| {
        let slot = setup.base.slots.iter().find(|s| u32::from(s.id) == tooth.code())?;
        let turn = if straight_back {
            line.turn_rad(slot.station_mm).abs()
        } else {
            std::f64::consts::FRAC_PI_2
        };
        let back = if group.distal { 1.0 } else { -1.0 };
        let side = if tooth.side() == Side::Left { 1.0 } else { -1.0 };
        let (lingual, along) = (back * turn.cos(), back * side * turn.sin());
        let share_n = group.force_n * projected_area_mm2(*tooth) / area;
        let arm = group.arms.iter().find(|(t, _)| t == tooth).map_or(0.0, |(_, arm)| *arm);
        // The whole pull at the arm, less what the neighbours take from it at their contacts.
        let moment = share_n * slot.support.centre_mm[1] - group.force_n * arm;
        Some(CarriedTooth {
            id: slot.id,
            tip_nmm: along * moment,
            torque_nmm: lingual * moment,
            until_days: group.until_days,
        })
    };
    group.teeth.iter().filter_map(of).collect()
}

/// A pull that carries nothing, N.
const LEAST_N: f64 = 0.01;
