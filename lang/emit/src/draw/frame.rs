//! Where a tooth lies on a drawing, for pages that let it be moved by hand.

use super::list::Point;
use springline_units::tooth::Tooth;

/// One tooth on paper. Places in the drawing's millimetres, directions of length one; turns in degrees as SVG
/// counts them, clockwise to the eye.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothFrame {
    pub tooth: Tooth,
    /// Millimetres of paper for one of the mouth.
    pub scale: f64,
    /// Where its slot would lie, were the tooth in line.
    pub rest: Point,
    /// Where its slot lies: the tooth turns about it.
    pub slot: Point,
    /// To the patient's left along the arch.
    pub along: Point,
    /// To the tongue; on drawings from the bite.
    pub inward: Option<Point>,
    /// To the gum; on drawings from the front.
    pub gingival: Option<Point>,
    /// How far its own axis is turned from `along` on paper.
    pub turn_deg: f64,
    /// Which way on paper it turns, +1 or -1, as it is rotated mesial-in; 0 where that is not seen.
    pub mesial_in: f64,
    /// The same as it is tipped mesially.
    pub mesial_up: f64,
    pub width_mm: f64,
    /// From face to back.
    pub depth_mm: f64,
    /// The middle of the crown as drawn, and its two contacts.
    pub middle: Point,
    pub mesial: Point,
    pub distal: Point,
}
