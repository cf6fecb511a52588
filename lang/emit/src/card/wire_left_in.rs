//! Staff card: what is done where the wire stays, because its test is not passed or because it is only looked
//! at: coils, chains and traction are renewed, closing springs felt, and ends that have come out cut back.

use super::action::Chair;
use super::wire_out::{fresh_coil, with_coils};
use super::{ActionLine, ArchActions, Tray};
use crate::plan::{ArchToday, InMouth, Plan};
use crate::wording;
use springline_course::ToothStatus;
use springline_model::step::{Act, ActKind, Anchor, EndKind};
use springline_model::traction::TractionBy;
use springline_units::quantity::{grams, plain};
use springline_units::tooth::{Notation, Side, Tooth};

/// What stands out behind the last tube when the wire is cut back, mm: what is cut at the chair (common
/// practice, no source).
const STANDS_OUT_MM: f64 = 1.0;

pub fn lines(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Option<ArchActions> {
    let now = looked_at(arch)?;
    let n = plan.notation();
    let lines: Vec<ActionLine> = done(arch, now, n).into_iter().map(ActionLine::usual).collect();
    let heading = format!("{}: {}", wording::arch(arch.arch.arch), when(arch));
    (!lines.is_empty()).then_some(ArchActions { arch: arch.arch.arch, heading, lines })
}

/// The wire goes out and in again, for a coil.
pub fn goes_out(arch: &ArchToday<'_>) -> bool {
    looked_at(arch).is_some_and(|now| now.acts().any(|a| is_pressed_again(&a.kind)))
}

/// Spaces close behind the front teeth: ends come out, and are cut back.
pub fn cuts_ends(arch: &ArchToday<'_>) -> bool {
    looked_at(arch).is_some_and(|now| now.acts().any(|a| !behind(a).is_empty()))
}

/// What that takes from the drawer.
pub fn tray(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Option<Tray> {
    let now = looked_at(arch)?;
    let n = plan.notation();
    let mut items: Vec<String> = Vec::new();
    let mut put = |item: String| {
        if !items.contains(&item) {
            items.push(item);
        }
    };
    for act in now.acts() {
        match &act.kind {
            ActKind::OpenCoil { coil, .. } if is_pressed_again(&act.kind) => {
                let name = coil.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                put(format!("Open coil{name}, to be cut at the chair; ruler"));
            }
            ActKind::Chain { teeth, chain, .. } => {
                let name = chain.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
                put(format!("Chain{name}, {} links", teeth.len()));
            }
            ActKind::Traction { teeth, by, .. } => {
                put(traction_tray(*by, &wording::list(teeth, n)));
                put("Force gauge".to_owned());
            }
            ActKind::ClosingCoil { .. } => put("Force gauge".to_owned()),
            _ => {}
        }
    }
    if ends(now, n).is_some() {
        put("Distal end cutter".to_owned());
    }
    let heading = match arch.next {
        Some(_) => format!("{}, {}", wording::arch(arch.arch.arch), when(arch)),
        None => wording::arch(arch.arch.arch).to_owned(),
    };
    (!items.is_empty()).then_some(Tray { heading, items })
}

/// What pulls an unerupted tooth: the chain of the surgeon does not stretch.
pub fn traction_tray(by: TractionBy, teeth: &str) -> String {
    match by {
        TractionBy::GoldChain => format!("Elastic thread for the gold chain on {teeth}"),
        other => format!("{} for {teeth}", springline_text::capital(other.words())),
    }
}

/// The wire that may stay; one whose time is over does not.
fn looked_at<'a>(arch: &ArchToday<'a>) -> Option<InMouth<'a>> {
    let goes = arch.next.is_some() && arch.expected() && !arch.is_asked();
    arch.now.filter(|_| !goes)
}

fn when(arch: &ArchToday<'_>) -> &'static str {
    if arch.next.is_some() { "if the test is not passed" } else { "at this look" }
}

fn is_pressed_again(kind: &ActKind) -> bool {
    matches!(kind, ActKind::OpenCoil { .. }) && kind.is_renewed_at_looks()
}

fn done(arch: &ArchToday<'_>, now: InMouth<'_>, n: Notation) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let acts = || now.acts().map(|a| &a.kind);
    let coils: Vec<String> =
        acts().filter(|k| is_pressed_again(k)).filter_map(|k| fresh_coil(k, n)).collect();
    if !coils.is_empty() {
        let chain = acts().any(|k| matches!(k, ActKind::Chain { .. }));
        let chain = if chain { "Chain off; " } else { "" };
        let name = now.state.wire.names();
        out.push(format!("{chain}{name} out{}.", with_coils(now)));
        out.extend(coils);
        out.push(format!("{name} in again, both ends as before."));
    }
    let chair = Chair { arch: arch.arch, next: now, notation: n };
    for kind in acts() {
        match kind {
            ActKind::Chain { teeth, .. } => out.push(format!(
                "New chain over the wire on {}: the old one has lost its pull.",
                wording::list(teeth, n)
            )),
            ActKind::Traction { .. } => out.extend(renewed(kind, n)),
            ActKind::ClosingCoil { pulls, coil, force } => {
                let said = force.or_else(|| coil.as_ref().and_then(|c| c.force));
                let pull =
                    said.map(|f| format!(" About {} g on the gauge?", plain(grams(f).round())));
                out.push(format!(
                    "Closing springs, {}: hooked at both ends?{} If not: hang them again, or a new one.",
                    chair.pulled(pulls),
                    pull.unwrap_or_default()
                ));
            }
            _ => {}
        }
    }
    out.extend(ends(now, n));
    out
}

/// What is done to traction at every look at it.
fn renewed(kind: &ActKind, n: Notation) -> Option<String> {
    let ActKind::Traction { teeth, by, force, first, .. } = kind else { return None };
    let (of, pull) = (wording::list(teeth, n), wording::traction_g(*force));
    let first = first.zip(teeth.first()).map(|(way, tooth)| {
        let (way, then) = (wording::first_way(way, *tooth), wording::onto_the_arch(*tooth));
        format!(" Pull it {way} as before; {then} once the doctor says so.")
    });
    let first = first.unwrap_or_default();
    Some(match by {
        TractionBy::ElasticThread => {
            format!("Traction on {of}: new thread, {pull} on the gauge.{first}")
        }
        TractionBy::Chain => {
            format!("Traction on {of}: new elastic chain, {pull} on the gauge.{first}")
        }
        TractionBy::GoldChain => {
            format!(
                "Traction on {of}: new elastic thread to the gold chain, {pull} on the gauge.{first}"
            )
        }
    })
}

/// As spaces close, the wire comes out behind the teeth that pull from behind.
fn ends(now: InMouth<'_>, n: Notation) -> Option<String> {
    let pulled = now.acts().flat_map(behind);
    let mut sides: Vec<Side> = pulled.map(Tooth::side).collect();
    sides.sort();
    sides.dedup();
    let engaged = |side: Side| {
        let here = now.state.teeth.iter().filter(|t| t.status == ToothStatus::Engaged);
        here.map(|t| t.tooth).filter(|t| t.side() == side).max_by_key(|t| t.position())
    };
    let last: Vec<Tooth> = sides.iter().filter_map(|side| engaged(*side)).collect();
    let bent =
        |side: &Side| matches!(now.state.ends.of(*side).kind, EndKind::TurnedIn | EndKind::Cinched);
    let again = if sides.iter().any(bent) { ", and turned in again" } else { "" };
    (!last.is_empty()).then(|| {
        format!(
            "Feel the wire behind {}: what stands out more than {mm} mm is cut back to {mm} mm{again}.",
            wording::list(&last, n),
            mm = plain(STANDS_OUT_MM)
        )
    })
}

/// Back teeth from which an act pulls along the wire. Between front teeth alone no wire comes out behind.
fn behind(act: &Act) -> Vec<Tooth> {
    let ends: Vec<Tooth> = match &act.kind {
        ActKind::ClosingCoil { pulls, .. } => {
            pulls.iter().flat_map(|(a, b)| [*a, *b]).map(Anchor::tooth).collect()
        }
        ActKind::Chain { teeth, .. } => {
            teeth.iter().min().into_iter().chain(teeth.iter().max()).copied().collect()
        }
        _ => Vec::new(),
    };
    ends.into_iter().filter(|t| !t.is_anterior()).collect()
}
