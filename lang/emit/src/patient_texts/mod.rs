//! Patient wording in several languages, one plain file per language.

mod catalogue;

pub use catalogue::{Catalogue, CatalogueFault};
