//! The preview in a browser: a file followed, and its page served on this machine.

mod follow;
mod serve;

pub use follow::Follower;
pub use serve::{Secret, serve};
