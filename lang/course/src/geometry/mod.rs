//! Where the teeth and brackets of an arch lie along its line, and what follows from that alone: the free
//! wire between brackets, the direction in which an elastic pulls, how far a wire can slide.
//!
//! One account for all readers: the mechanics' slots, the rules, the cards and the drawings.

mod layout;
mod strand;

pub use layout::{ArchLayout, BracketPosition};
pub(crate) use layout::{crown, left_by_absent_mm};
pub use strand::Strand;
