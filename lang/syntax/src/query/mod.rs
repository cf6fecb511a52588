//! Queries of an editor: pure functions from a parse and an offset to plain data.

mod at;
mod classify;
mod complete;

pub use at::{Fold, ItemAt, folds, item_at, statement_path_at};
pub use classify::{TokenClass, classify};
pub use complete::{Expected, expected};
