//! What patients read, in as many languages as a practice likes: one plain file a language.

mod catalogue;
pub mod reading;

pub use catalogue::{Catalogue, CatalogueFault};
