//! Pairs of neighbouring teeth in a canonical order.

use springline_units::tooth::Tooth;

/// The pair in the order of the arch.
pub(crate) fn pair(a: Tooth, b: Tooth) -> (Tooth, Tooth) {
    if a <= b { (a, b) } else { (b, a) }
}
