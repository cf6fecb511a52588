//! The preview in a browser: follows a file and serves its page locally.

mod follow;
mod serve;

pub use follow::Follower;
pub use serve::serve;
