//! Tests that cross crates, and what they share.

#[allow(dead_code, reason = "shared with the server's own tests, which use all of it")]
#[path = "../../lsp/tests/protocol/client.rs"]
mod client;
pub mod faults;
#[allow(dead_code, reason = "shared with the language's own tests, which use all of it")]
#[path = "../../lang/tests/syntax_layer/generate.rs"]
mod generate;
pub mod invariants;
pub mod pairs;
pub mod perturb;
pub mod reading;
