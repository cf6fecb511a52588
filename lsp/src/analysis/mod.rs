//! What is found out about documents without being asked: a fast pass over the language, then the
//! mechanics, each on a thread of its own, so that typing waits for neither.

mod closed;
mod currents;
mod mailbox;
mod publisher;
mod tellings;
mod worker;

pub use closed::Closed;
pub use currents::{Currents, Stamp};
pub use publisher::{Publisher, Stage};
pub use tellings::Tellings;
pub use worker::{Analysis, Asks, tell_rest};
