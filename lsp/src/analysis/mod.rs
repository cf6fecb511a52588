//! Background analysis of documents: a fast pass over the language, then the mechanics, each on its own
//! thread, so that typing waits for neither.

mod closed;
mod mailbox;
mod published;
mod publisher;
mod revisions;
mod worker;

pub use closed::Closed;
pub use published::PublishedChecks;
pub use publisher::{CheckStage, Publisher};
pub use revisions::{Revision, Revisions};
pub use worker::{Analysis, RefreshRequests, foresee, publish_held_back};
