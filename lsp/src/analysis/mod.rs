//! What is found out about documents without being asked: a fast pass over the language, then the
//! mechanics, each on a thread of its own, so that typing waits for neither.

mod closed;
mod mailbox;
mod publisher;
mod revisions;
mod tellings;
mod worker;

pub use closed::Closed;
pub use publisher::{Publisher, Stage};
pub use revisions::{Currents, Stamp};
pub use tellings::Tellings;
pub use worker::{Analysis, Asks, tell_rest};
