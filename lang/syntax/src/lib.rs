//! The syntax of the language: text to tokens, to a lossless tree, to statements matched against the
//! vocabulary; and back to text by the formatter and the syntax editor.
//!
//! The crate is pure and accepts any input. Parsing never fails and never panics; it returns a tree *and*
//! findings. It knows nothing of a case's meaning: names are not resolved, and quantities are not
//! checked.

pub mod about;
pub mod ast;
mod balance;
pub mod context;
mod decode;
mod diagnose;
pub mod edit;
pub mod format;
mod grammar;
pub mod item;
mod item_builder;
mod limits;
pub mod pattern;
pub mod patterns;
mod program;
pub mod query;
mod read;
mod reparse;
pub mod repeat;
mod shift;
mod split;
mod statement_parser;
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
pub use limits::{EDITION, FINDING_LIMIT, SIZE_LIMIT};
pub use pattern::{Placeholder, PlaceholderKind};
pub use query::{
    Expected, Fold, ItemAt, TokenClass, classify, expected, folds, item_at, statement_path_at,
};
pub use read::parse;
pub use reparse::reparse;
pub use tree::{
    Block, FieldValue, FileKind, FragmentMatch, Id, Parse, Statement, StatementRef, Unread,
};
