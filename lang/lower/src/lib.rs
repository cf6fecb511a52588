//! Lowering: from the syntax tree to the typed case. Resolves names against the practice file, converts
//! units, and checks that quantities are plausible.
//!
//! The crate must not know mechanics or rules. It asks for practice files through
//! [`Library`] and does no I/O itself.

mod accept;
mod act;
mod arch;
mod bite;
mod brought_in;
mod carried_acts;
mod case;
mod condition;
mod crowding;
mod duplicates;
mod elastics;
mod form;
mod form_doubt;
mod house;
pub mod library;
mod measured_block;
pub mod names;
pub mod plausible;
mod points_files;
pub mod read;
mod stand;
mod step;
mod stock;
mod unnamed_wire;
mod visit;
mod word_values;

pub use case::{Acceptable, case};
pub use condition::one_line;
pub use house::house;
pub use library::{Library, LoadedHouse, NoLibrary, NotLoaded, PointsFile, Used, find, load, used};
pub use points_files::check_points_files;
pub use stand::stand_axis;
