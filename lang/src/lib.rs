//! The Springline language.

pub mod finding;
pub mod model;
pub mod syntax;
