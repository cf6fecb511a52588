//! The Springline language.

pub mod finding;
pub mod mechanics;
pub mod model;
pub mod syntax;
