//! Pairs by method: every two statements of one step, one arch or one case, with a verdict each
//! (`tests/pairs.md`), and those that must be found as plans.

pub mod plan;
pub mod run;
pub mod table;
