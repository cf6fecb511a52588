//! Geometry of an arch along its line: positions of teeth and brackets, and what follows from them alone:
//! the free wire between brackets, the direction in which an elastic pulls, how far a wire can slide.
//!
//! The only account of it, shared by the mechanics' slots, rules, cards and drawings.

mod brackets;
mod contact_line;
mod crowding;
mod layout;
pub mod sliding;
mod sliding_words;
mod strand;

pub use brackets::{BracketPosition, put_on_slot_line};
pub use contact_line::{arch_line, contact_station_mm, slot_station_mm};
pub use crowding::taken_overlap_mm;
pub(crate) use crowding::{crown, measured_overlaps, overlap_now_mm};
pub use layout::ArchLayout;
pub(crate) use layout::left_by_absent_mm;
pub use sliding::Sliding;
pub use strand::Strand;
