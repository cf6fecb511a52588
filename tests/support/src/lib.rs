//! What the tests of several crates share: practice files from memory, the files of `examples/`, cases from
//! text, draws from a seed.
//!
//! Nothing above lowering is used here, so that the unit tests of every crate from `course` upwards can use it
//! and have the same types; tests of the crates below have their own.

mod cases;
mod examples;
mod practices;
mod seeded;

pub use cases::{case, nowhere};
pub use examples::{example, examples, examples_in};
pub use practices::{Practices, RULES_SALTMARSH, SALTMARSH};
pub use seeded::Seeded;
