//! Text to tokens, to a lossless tree, to matched statements; and back by the formatter.
//!
//! Everything here is pure and takes any input: reading never fails and never panics, it gives a
//! tree *and* findings.

mod balance;
pub mod context;
mod explain;
mod grammar;
pub mod item;
mod lower;
pub mod pattern;
mod program;
mod read;
mod significant;
mod split;
mod suggest;
pub mod token;
pub mod tree;
pub mod vocabulary;

pub use context::Context;
pub use item::{Amount, DateMark, Item, ItemKind, Measure, Shape, Slip, ToothSpan, UnitMark};
pub use pattern::{Hole, Slot};
pub use read::{EDITION, FINDING_LIMIT, SIZE_LIMIT, parse};
pub use tree::{Block, Captured, FileKind, Group, Id, Line, Parse, Statement, Unread};
