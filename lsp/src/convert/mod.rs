//! Conversion from the features' plain data to protocol types, and nothing else.

pub mod completion;
pub mod diagnostic;
pub mod edit;
pub mod symbol;
pub mod token;
