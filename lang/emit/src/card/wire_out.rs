//! Staff card: a wire that stays, and has to come out for a while because of what is threaded on it or tied
//! under it.

use crate::plan::{ArchToday, InMouth};
use crate::wording;
use springline_model::step::{Act, ActKind, Activation};
use springline_units::tooth::Notation;

/// The next step is on the wire that is in, and that wire goes out and in again on the way.
pub fn out_and_in(arch: &ArchToday<'_>) -> bool {
    stays(arch)
        && (arch.put_on().into_iter().any(|act| needs_the_wire_out(arch, act))
            || arch.off_with_change().any(|(act, _)| is_threaded(&act.kind)))
}

/// The next step has the wire that is in.
pub fn stays(arch: &ArchToday<'_>) -> bool {
    arch.same_wire() || (arch.now.is_some() && arch.next.is_some_and(|n| n.state.wire.kept))
}

/// Posts are crimped and split stops closed on a wire that is in; the rest is threaded, bent or tied under it.
fn needs_the_wire_out(arch: &ArchToday<'_>, act: &Act) -> bool {
    match &act.kind {
        ActKind::OpenCoil { activation: Activation::Passive, .. } => !is_on_already(arch, act),
        ActKind::OpenCoil { .. }
        | ActKind::ClosedCoil { .. }
        | ActKind::Sleeve { .. }
        | ActKind::Coordinated
        | ActKind::ReverseCurve { .. }
        | ActKind::Bend { .. }
        | ActKind::Torque { .. }
        | ActKind::Tie { .. }
        | ActKind::Laceback { .. } => true,
        _ => false,
    }
}

/// A coil of the same kind sits there already, and stays.
pub fn is_on_already(arch: &ArchToday<'_>, act: &Act) -> bool {
    let ActKind::OpenCoil { first, second, coil, .. } = &act.kind else { return false };
    let there = |a: &Act| match &a.kind {
        ActKind::OpenCoil { first: a, second: b, coil: on, .. } => {
            (a, b) == (first, second) && (coil.is_none() || coil == on)
        }
        _ => false,
    };
    let off = arch.off_with_change().any(|(a, _)| there(a));
    !off && arch.now.is_some_and(|now| now.acts().any(there))
}

pub fn is_threaded(kind: &ActKind) -> bool {
    matches!(kind, ActKind::OpenCoil { .. } | ActKind::ClosedCoil { .. } | ActKind::Sleeve { .. })
}

/// " with its coils": what sits on the wire that is in.
pub fn with_coils(now: InMouth<'_>) -> &'static str {
    let coil = |a: &&Act| matches!(a.kind, ActKind::OpenCoil { .. } | ActKind::ClosedCoil { .. });
    match now.acts().filter(coil).count() {
        0 => "",
        1 => " with its coil",
        _ => " with its coils",
    }
}

/// A fresh coil, pressed as the plan has it: the room has grown since, so its length is measured at the chair.
/// Nothing on the wire beside the old one would do: what is crimped there holds the wire, and the coil no
/// longer pushes the bracket.
pub fn fresh_coil(act: &ActKind, n: Notation) -> Option<String> {
    let ActKind::OpenCoil { first, second, coil, activation } = act else { return None };
    let name = coil.as_ref().map(|c| format!(" {}", c.name)).unwrap_or_default();
    let between = wording::pair(*first, *second, n);
    match activation {
        Activation::Pressed { by, .. } => Some(format!(
            "New open coil{name} {between}, cut {} mm longer than the clear wire between their brackets.",
            springline_units::quantity::plain(springline_units::quantity::mm(*by))
        )),
        Activation::Passive => None,
        _ => Some(format!(
            "New open coil{name} {between}, cut one bracket width longer than the clear wire between their \
             brackets."
        )),
    }
}
