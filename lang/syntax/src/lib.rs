//! Text to tokens, to a lossless tree, to matched statements; and back by the formatter.
//!
//! Everything here is pure and takes any input: reading never fails and never panics, it gives a
//! tree *and* findings.

mod balance;
pub mod context;
mod decode;
mod diagnose;
pub mod edit;
pub mod format;
mod grammar;
pub mod item;
mod item_builder;
pub mod pattern;
mod program;
pub mod query;
mod read;
mod reparse;
pub mod repeat;
mod shift;
mod split;
mod suggest;
pub mod token;
pub mod tree;
mod trivia;
pub mod vocabulary;

pub use context::Context;
pub use decode::decode;
pub use diagnose::detail::GRADES;
pub use edit::{ClauseKind, HasSpan, InsertAt, TreeEditor};
pub use format::{FormatOptions, FormatRefusal, format};
pub use item::{
    Amount, DateMark, Item, ItemKind, ItemShape, Measure, RecoverableTypo, ToothSpan, UnitMark,
};
pub use pattern::{Placeholder, PlaceholderKind};
pub use query::{
    Expected, Fold, ItemAt, TokenClass, classify, expected, folds, item_at, statement_path_at,
};
pub use read::{EDITION, FINDING_LIMIT, SIZE_LIMIT, parse};
pub use reparse::reparse;
pub use tree::{
    Block, FieldValue, FileKind, FragmentMatch, Id, Parse, Statement, StatementRef, Unread,
};
