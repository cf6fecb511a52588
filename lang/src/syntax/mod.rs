//! Text to tree and back.

pub mod context;
pub mod vocabulary;
