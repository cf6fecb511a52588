//! From what features answer to what the protocol says, and nothing else.

pub mod completion;
pub mod diagnostic;
pub mod edit;
pub mod symbol;
pub mod token;
