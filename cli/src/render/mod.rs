//! Renderers of findings, one file each.

pub mod human;
