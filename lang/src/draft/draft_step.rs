//! One step of a draft, and how it is said.

use std::fmt;
use std::sync::Arc;

use springline_model::Wire;

/// A step before the working wire: a wire, left in until it is passive.
#[derive(Debug, Clone)]
pub struct DraftStep {
    pub wire: Arc<Wire>,
}

impl DraftStep {
    pub fn is_round(&self) -> bool {
        self.wire.section.is_round()
    }
}

/// Two steps are the same if they use the wire of the same name.
impl PartialEq for DraftStep {
    fn eq(&self, other: &DraftStep) -> bool {
        self.wire.name == other.wire.name
    }
}

impl Eq for DraftStep {}

impl std::hash::Hash for DraftStep {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.wire.name.hash(state);
    }
}

impl fmt::Display for DraftStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.wire.name)
    }
}

/// "niti-14, niti-14x25".
pub fn say_steps(steps: &[DraftStep]) -> String {
    let names: Vec<String> = steps.iter().map(DraftStep::to_string).collect();
    names.join(", ")
}
