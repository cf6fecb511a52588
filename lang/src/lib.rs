//! The Springline language.
