//! From what features answer to what the protocol says; and nothing else.

pub mod diagnostic;
