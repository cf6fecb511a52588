//! Comparison of the entries for single teeth.

use std::collections::BTreeSet;

use super::{Change, differ};
use crate::plan::Plan;
use crate::wording;
use springline_model::case::ArchCase;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Arch, Tooth};

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<Change> {
    let mut out = Vec::new();
    for arch in Arch::BOTH {
        let (a, b) = (old.case.arch(arch), new.case.arch(arch));
        let mut teeth: BTreeSet<Tooth> = BTreeSet::new();
        for side in [a, b].into_iter().flatten() {
            teeth.extend(side.bonded.keys().chain(side.stands.keys()).chain(side.states.keys()));
            teeth.extend(side.hooks.iter());
        }
        for tooth in teeth {
            let name = tooth.write(new.notation());
            let at = format!("{}, tooth {name}", wording::arch(arch));
            let mut told = |what: &str, of: &dyn Fn(&ArchCase, Tooth) -> Option<String>| {
                let side = |arch: Option<&ArchCase>| arch.and_then(|arch| of(arch, tooth));
                differ(&at, what, side(a), side(b), &mut out);
            };
            told("position", &stand);
            told("space", &|arch, t| length(arch.stands.get(&t)?.value.space));
            told("width", &|arch, t| length(arch.stands.get(&t)?.value.width));
            told("bracket", &bracket);
            told("condition", &|arch, t| {
                arch.states.get(&t).map(|(state, _)| wording::tooth_state(*state))
            });
            told("hook", &|arch, t| arch.hooks.contains(&t).then(|| "yes".to_owned()));
        }
    }
    out
}

fn stand(arch: &ArchCase, tooth: Tooth) -> Option<String> {
    let words = wording::stand(&arch.stands.get(&tooth)?.value, tooth);
    (!words.is_empty()).then_some(words)
}

fn length(length: Option<springline_units::quantity::Length>) -> Option<String> {
    length.map(|l| format!("{} mm", plain(mm(l))))
}

fn bracket(arch: &ArchCase, tooth: Tooth) -> Option<String> {
    let bonding = arch.bonded.get(&tooth)?;
    let variant = bonding.variant.as_deref().map(|v| format!(", {v}")).unwrap_or_default();
    let turned = if bonding.inverted { ", inverted" } else { "" };
    Some(format!("{}{variant}{turned}", bonding.bracket.name))
}
