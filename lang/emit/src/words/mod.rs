//! Patient wording in several languages, one plain file per language.

mod catalogue;
pub mod reading;

pub use catalogue::{Catalogue, CatalogueFault};
