//! Second- and third-order clearance of a wire in its slot.

use super::super::{SectionShape, WireSection};

/// Smallest root of `across sin t + along cos t = room` on `(0, pi/2]`; zero without clearance.
fn first_contact(across: f64, along: f64, room: f64) -> Option<f64> {
    if ![across, along, room].iter().all(|x| x.is_finite()) || along < 0.0 || across <= 0.0 {
        return None;
    }
    if along > room {
        return None;
    }
    // across sin t + along cos t = R cos(t - peak): it rises from `along` to R at `peak`, and the
    // first crossing lies on that rise. A room of R or more is never filled.
    let reach = across.hypot(along);
    if room >= reach {
        return None;
    }
    let peak = across.atan2(along);
    Some((peak - (room / reach).acos()).max(0.0))
}

/// Third-order play: how far the wire turns each way from centre before its corners touch, rad.
///
/// Solves `(d - 2r) sin t + (h - 2r) cos t + 2r = slot` with `h` the wire's size along the slot
/// height, `d` its depth, `r` the edge radius. `None` for a round wire or one that turns freely, and
/// for one too large for the slot.
pub fn third_order_play(section: &WireSection, slot_height_mm: f64) -> Option<f64> {
    match section.shape {
        SectionShape::Round { .. } => None,
        SectionShape::Rectangular { height_mm: h, depth_mm: d, edge_radius_mm: r } => {
            if !(r >= 0.0 && 2.0 * r <= h.min(d)) {
                return None;
            }
            first_contact(d - 2.0 * r, h - 2.0 * r, slot_height_mm - 2.0 * r)
        }
    }
}

/// Second-order critical contact angle, rad: the tip at which the wire touches both edges of the slot,
/// from `width sin t + wire cos t = slot`.
pub fn critical_contact_angle(wire_mm: f64, width_mm: f64, slot_mm: f64) -> Option<f64> {
    first_contact(width_mm, wire_mm, slot_mm)
}
