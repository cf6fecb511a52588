//! What is found out about documents without being asked: a fast pass over the language, then the
//! mechanics, each on a thread of its own, so that typing waits for neither.

mod currents;
mod mailbox;
mod publisher;
mod worker;

pub use currents::{Currents, Stamp};
pub use publisher::{Publisher, Stage};
pub use worker::{Analysis, Asks};
