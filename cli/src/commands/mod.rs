//! One command, one file.

pub mod check;
pub mod explain;
// pub mod fmt;
