//! Drawings as lists of lines, paths and text, and their SVG back end.

mod arches;
mod bands;
mod bench;
mod crown;
mod fittings;
pub mod force_time;
mod frame;
mod heights;
mod labels;
mod learnt;
pub mod list;
mod measured;
mod occlusal;
mod plot;
mod strip;
pub mod svg;
mod timeline;
mod wire;

pub use arches::{mouth, mouth_as_it_stands, mouth_frames};
pub use bands::{BandsLegend, bands, counted};
pub use bench::bench;
pub use frame::ToothFrame;
pub use learnt::learnt;
pub use list::Drawing;
pub use measured::measured;
pub use occlusal::{OcclusalSize, OcclusalView, occlusal, occlusal_frames};
pub use plot::terminal;
pub use timeline::{timeline, timeline_with_forces};
