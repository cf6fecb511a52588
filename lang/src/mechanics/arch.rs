//! The line that the slots of an aligned arch lie on.

/// The arch line, given by its curvature over the arc length from the midline.
///
/// A zero [`Stand`](super::Stand) in every slot is an arch in which a preformed wire is passive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ArchLine {
    /// No curvature: bench tests and unrolled arches.
    Straight,
    /// A circle, mm; positive. The inside (lingual) is the side of the centre.
    Circle { radius_mm: f64 },
    /// `Y = a (cosh(X/a) - 1)`, curvature `a / (a^2 + s^2)`; `a_mm` is the radius at the midline, positive.
    Catenary { a_mm: f64 },
}
