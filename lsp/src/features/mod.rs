//! Editor features, each a pure function of [`AnalysedFile`](crate::AnalysedFile) and a byte offset that returns plain
//! data. None of them knows the protocol.

pub mod accept;
pub mod actions;
pub mod complete;
pub mod draft_offer;
pub mod due;
pub mod edits;
pub mod extract;
pub mod habits;
pub mod hints;
pub mod hover;
pub mod lens;
pub mod links;
pub mod mentions;
pub mod names;
pub mod notation;
pub mod nudge;
pub mod select;
pub mod signature;
pub mod symbols;
mod text;
pub mod while_typing;

#[cfg(test)]
pub mod testing;
