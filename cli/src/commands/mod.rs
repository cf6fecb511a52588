//! The commands, one file each; `tables` holds those that differ only in the table they show.

pub mod chart;
pub mod check;
pub mod compare;
pub mod demo;
pub mod desk;
pub mod diff;
pub mod draft;
pub mod draw;
pub mod explain;
pub mod fix;
pub mod fmt;
pub mod learn;
pub mod lsp;
pub mod measure;
pub mod new;
pub mod new_practice;
pub mod pick;
pub mod practice;
pub mod preview;
pub mod print;
pub mod seen;
pub mod shell;
pub mod steps;
pub mod tables;
pub mod verify;
