//! State of an arch during a step, from the plan alone: which teeth are engaged, and what is in force.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use springline_model::case::{ArchCase, Bonding, ToothState};
use springline_model::form::Form;
use springline_model::step::{Act, ActKind, EndKind, Ends, Spot, StepKind, Wing, WireUse};
use springline_model::stock::{Closure, Name};
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side, Tooth};

/// How a tooth takes part in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ToothStatus {
    /// Both wings hold the wire.
    Engaged,
    /// One wing holds it; the slide stays open.
    HalfEngaged(Wing),
    /// Out of the base wire, in the light one laid over it.
    Piggyback,
    /// Bonded, but out of the wire.
    Bypassed,
    /// Present, without a bracket.
    NotBonded,
    /// Missing, extracted or not erupted.
    Absent,
}

impl ToothStatus {
    /// Engaged in the base wire, wholly or by one wing.
    pub fn is_in_wire(self) -> bool {
        matches!(self, ToothStatus::Engaged | ToothStatus::HalfEngaged(_))
    }
}

/// One tooth of the arch in a step.
#[derive(Debug, Clone, PartialEq)]
pub struct ToothInState {
    pub tooth: Tooth,
    pub status: ToothStatus,
    /// An implant or ankylosed: it does not move, whatever pulls.
    pub fixed: bool,
    /// The bracket or tube it carries in this step.
    pub bonding: Option<Bonding>,
}

/// One arch during one step, as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct ArchState {
    pub arch: Arch,
    pub step: usize,
    pub name: Name,
    pub kind: StepKind,
    /// From the patient's right to left: 7 to 7, third molars only where the case names them.
    pub teeth: Vec<ToothInState>,
    pub wire: WireUse,
    pub form: Arc<Form>,
    pub ends: Ends,
    /// Everything in force, earlier things first.
    pub acts: Vec<Act>,
    /// How many of them come from earlier steps; the rest are this step's own.
    pub carried: usize,
}

impl ArchState {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothInState> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    pub fn status(&self, tooth: Tooth) -> ToothStatus {
        self.tooth(tooth).map_or(ToothStatus::Absent, |t| t.status)
    }

    /// Teeth that the base wire holds, from the patient's right to left.
    pub fn in_wire(&self) -> impl Iterator<Item = &ToothInState> {
        self.teeth.iter().filter(|t| t.status.is_in_wire())
    }

    /// As it is while the brackets of these teeth are off.
    pub(crate) fn without_brackets(&self, off: &BTreeSet<Tooth>) -> ArchState {
        let mut state = self.clone();
        for tooth in state.teeth.iter_mut().filter(|t| off.contains(&t.tooth)) {
            if tooth.status != ToothStatus::Absent {
                tooth.status = ToothStatus::NotBonded;
                tooth.bonding = None;
            }
        }
        state
    }

    /// Positions of stops.
    pub fn stops(&self) -> impl Iterator<Item = (Spot, &Act)> {
        self.acts.iter().flat_map(|act| {
            let spots: &[Spot] = match &act.kind {
                ActKind::Stop { spots } => spots,
                _ => &[],
            };
            spots.iter().map(move |s| (*s, act))
        })
    }

    /// How far towards the gum the power arm on a tooth's bracket ends, mm; 0 without one.
    pub fn power_arm_mm(&self, tooth: Tooth) -> f64 {
        let arm = self.acts.iter().rev().find_map(|a| match &a.kind {
            ActKind::PowerArm { teeth, height } if teeth.contains(&tooth) => Some(mm(*height)),
            _ => None,
        });
        arm.unwrap_or(0.0)
    }

    /// What of these acts, or which end, holds the wire besides its slots, so that shifting it tells nothing of
    /// them; `None` where nothing does.
    pub fn held_by<'a>(&self, acts: impl IntoIterator<Item = &'a Act>) -> Option<&'static str> {
        let acts = acts.into_iter().find_map(|a| {
            Some(match a.kind {
                ActKind::Stop { .. } => "a stop",
                ActKind::OpenCoil { .. } | ActKind::ClosedCoil { .. } => "a coil",
                ActKind::ClosingCoil { .. } => "the closing spring",
                ActKind::Tie { .. } => "the tie",
                ActKind::Laceback { .. } => "the laceback",
                ActKind::Chain { .. } => "the chain",
                _ => return None,
            })
        });
        let cinched = [Side::Right, Side::Left].iter().any(|s| self.is_cinched_on(*s));
        acts.or_else(|| cinched.then_some("a cinched end"))
    }

    /// This end is bent tight behind the last tube.
    pub fn is_cinched_on(&self, side: Side) -> bool {
        self.ends.of(side).kind == EndKind::Cinched
    }

    /// Ligatures press the wire into some of its slots.
    pub fn is_ligated(&self) -> bool {
        let held = self.in_wire().filter_map(|t| t.bonding.as_ref());
        held.map(|b| &b.bracket).any(|b| !b.is_tube && b.closure == Closure::Ligated)
    }

    /// Groups of teeth held together by ties, lacebacks, chains or a bar, each from right to left.
    pub fn tied(&self, bars: &[(Tooth, Tooth, springline_text::Place)]) -> Vec<Vec<Tooth>> {
        let mut groups: Vec<BTreeSet<Tooth>> = Vec::new();
        let mut join = |teeth: BTreeSet<Tooth>| {
            let (mut touching, rest): (Vec<_>, Vec<_>) =
                groups.drain(..).partition(|g| g.intersection(&teeth).next().is_some());
            touching.push(teeth);
            groups = rest;
            groups.push(touching.into_iter().flatten().collect());
        };
        for act in &self.acts {
            match &act.kind {
                ActKind::Tie { teeth, .. } | ActKind::Chain { teeth, .. } => {
                    join(teeth.iter().copied().collect());
                }
                ActKind::Laceback { pairs } => {
                    for (a, b) in pairs {
                        join(a.stretch(*b).unwrap_or_default().into_iter().collect());
                    }
                }
                _ => {}
            }
        }
        for (a, b, _) in bars {
            join([*a, *b].into());
        }
        groups
            .into_iter()
            .map(|g| {
                g.into_iter().filter(|t| self.status(*t) != ToothStatus::Absent).collect::<Vec<_>>()
            })
            .filter(|g| g.len() > 1)
            .collect()
    }
}

/// The arch during one of its steps, as the plan has it; `None` where there is no such step.
///
/// `released` are bypassed teeth whose own condition has been met by then (`bypass 12 until space
/// 6.6 mm`): the plan alone cannot know, the [`Phase`](crate::Phase) does. Pass an empty set to see a
/// bypass for as long as the plan leaves it open.
pub fn arch_state(case: &ArchCase, step: usize, released: &BTreeSet<Tooth>) -> Option<ArchState> {
    let this = case.steps.get(step)?;
    let mut bonded: BTreeMap<Tooth, Bonding> = case.bonded.clone();
    let mut wings: BTreeMap<Tooth, Wing> = BTreeMap::new();
    // Unerupted as the case begins, and bonded since.
    let mut came_through: BTreeSet<Tooth> = BTreeSet::new();
    for earlier in &case.steps[..=step] {
        for act in &earlier.acts {
            bond(&act.kind, act, &mut bonded);
            if let ActKind::PickUp { teeth, .. } = &act.kind {
                came_through.extend(teeth);
            }
            if let ActKind::Engage { teeth, wing } = &act.kind {
                wings.extend(teeth.iter().map(|t| (*t, *wing)));
            }
        }
    }
    let mut bypassed: BTreeMap<Tooth, bool> = BTreeMap::new();
    let mut overlaid: BTreeSet<Tooth> = BTreeSet::new();
    let mut section: Option<BTreeSet<Tooth>> = None;
    for act in this.in_force() {
        match &act.kind {
            ActKind::Bypass { teeth, unbonded, .. } => {
                bypassed.extend(teeth.iter().map(|t| (*t, *unbonded)));
            }
            ActKind::Engage { teeth, .. } => bypassed.retain(|t, _| !teeth.contains(t)),
            ActKind::Piggyback { within, .. } => overlaid.extend(within.iter().copied()),
            ActKind::Sectional { teeth } => {
                section.get_or_insert_with(BTreeSet::new).extend(teeth.iter().copied());
            }
            _ => {}
        }
    }
    let teeth = present(case)
        .into_iter()
        .map(|tooth| {
            let state = case.states.get(&tooth).map(|(s, _)| *s);
            let through = came_through.contains(&tooth);
            let state = state.filter(|s| !(*s == ToothState::Unerupted && through));
            let bonding = bonded.get(&tooth).cloned();
            let outside = section.as_ref().is_some_and(|s| !s.contains(&tooth));
            let bypass = bypassed.get(&tooth).filter(|_| !released.contains(&tooth));
            let status = match (state, &bonding, bypass) {
                (Some(s), _, _) if s.is_absent() => ToothStatus::Absent,
                (_, None, _) | (_, _, Some(true)) => ToothStatus::NotBonded,
                _ if overlaid.contains(&tooth) => ToothStatus::Piggyback,
                (_, _, Some(false)) => ToothStatus::Bypassed,
                _ if outside => ToothStatus::Bypassed,
                _ => match wings.get(&tooth) {
                    None | Some(Wing::Both) => ToothStatus::Engaged,
                    Some(wing) => ToothStatus::HalfEngaged(*wing),
                },
            };
            let fixed = state.is_some_and(|s| s.is_fixed());
            let bonding =
                bonding.filter(|_| !matches!(status, ToothStatus::NotBonded | ToothStatus::Absent));
            ToothInState { tooth, status, fixed, bonding }
        })
        .collect();
    Some(ArchState {
        arch: case.arch,
        step,
        name: this.name.clone(),
        kind: this.kind,
        teeth,
        wire: this.wire.value.clone(),
        form: this.form.as_ref().map_or_else(|| case.form.value.clone(), |f| f.value.clone()),
        ends: this.ends.clone(),
        acts: this.in_force().cloned().collect(),
        carried: this.carried.len(),
    })
}

/// Applies an act that bonds brackets.
fn bond(kind: &ActKind, act: &Act, bonded: &mut BTreeMap<Tooth, Bonding>) {
    match kind {
        ActKind::PickUp { teeth, bracket, inverted, variant } => {
            for tooth in teeth {
                let bonding = Bonding {
                    bracket: bracket.clone(),
                    inverted: *inverted,
                    variant: variant.clone(),
                    elsewhere: None,
                    place: act.place,
                };
                bonded.insert(*tooth, bonding);
            }
        }
        ActKind::Rebond { teeth, bracket: Some(bracket) } => {
            for tooth in teeth {
                if let Some(bonding) = bonded.get_mut(tooth) {
                    bonding.bracket = bracket.clone();
                }
            }
        }
        _ => {}
    }
}

/// The teeth of an arch that count, from the patient's right to left. A deciduous tooth that the
/// case names stands in the place of its successor.
pub(crate) fn present(case: &ArchCase) -> Vec<Tooth> {
    let named = |t: &Tooth| {
        case.bonded.contains_key(t) || case.stands.contains_key(t) || case.states.contains_key(t)
    };
    (0..16)
        .filter_map(|place| {
            let permanent = Tooth::at(case.arch, place)?;
            let deciduous = Tooth::iso(permanent.code() + 40).filter(named);
            match deciduous {
                Some(tooth) if !case.bonded.contains_key(&permanent) => Some(tooth),
                _ => (permanent.position() < 8 || named(&permanent)).then_some(permanent),
            }
        })
        .collect()
}
