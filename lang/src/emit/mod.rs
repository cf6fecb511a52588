//! Documents made of checked cases: cards, sheets, schedules, charts, findings for machines.
//!
//! Every function here is pure: what it needs, the day included, is handed to it.

pub mod draw;
pub mod picture;
pub mod say;
mod telling;
