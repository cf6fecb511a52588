//! Drawings: a list of lines, paths and words, and what turns it into a file format.

mod arches;
mod crown;
mod fittings;
mod labels;
pub mod list;
mod strip;
pub mod svg;
mod timeline;
mod wire;

pub use arches::mouth;
pub use list::Drawing;
pub use timeline::timeline;
