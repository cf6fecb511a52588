//! Findings for people and machines: one renderer, one file.

pub mod human;
