//! One step of a draft, and how it is said.

use std::fmt;
use std::sync::Arc;

use springline_model::Wire;
use springline_model::stock::Coil;

/// A step before the working wire.
#[derive(Debug, Clone)]
pub struct DraftStep {
    /// The wire that goes in; of [`DraftAct::Overlay`] the light one, laid over the wire that stays.
    pub wire: Arc<Wire>,
    pub act: DraftAct,
}

/// What a step does beside holding its wire.
#[derive(Debug, Clone, Default)]
pub enum DraftAct {
    /// Left in until it is passive.
    #[default]
    Plain,
    /// An open coil makes room for the teeth left out.
    MakeRoom(Arc<Coil>),
    /// This light wire takes the teeth in that were left out.
    TakeIn,
    /// It takes them in over the wire before it, which stays.
    Overlay,
}

impl DraftAct {
    /// Apart from each other by kind, and coils by name.
    fn identity(&self) -> (u8, Option<&str>) {
        match self {
            DraftAct::Plain => (0, None),
            DraftAct::MakeRoom(coil) => (1, Some(&coil.name)),
            DraftAct::TakeIn => (2, None),
            DraftAct::Overlay => (3, None),
        }
    }
}

impl DraftStep {
    pub fn plain(wire: &Arc<Wire>) -> DraftStep {
        DraftStep { wire: wire.clone(), act: DraftAct::Plain }
    }

    pub fn is_plain(&self) -> bool {
        matches!(self.act, DraftAct::Plain)
    }

    pub fn takes_in(&self) -> bool {
        matches!(self.act, DraftAct::TakeIn | DraftAct::Overlay)
    }

    pub fn is_round(&self) -> bool {
        self.wire.section.is_round()
    }
}

/// Two steps are the same if they do the same with the wire of the same name.
impl PartialEq for DraftStep {
    fn eq(&self, other: &DraftStep) -> bool {
        self.wire.name == other.wire.name && self.act.identity() == other.act.identity()
    }
}

impl Eq for DraftStep {}

impl std::hash::Hash for DraftStep {
    fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
        self.wire.name.hash(state);
        self.act.identity().hash(state);
    }
}

impl fmt::Display for DraftStep {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let wire = &self.wire.name;
        match &self.act {
            DraftAct::Plain => f.write_str(wire),
            DraftAct::MakeRoom(coil) => write!(f, "{wire} with {}", coil.name),
            DraftAct::TakeIn => write!(f, "{wire} to take in"),
            DraftAct::Overlay => write!(f, "{wire} over it to take in"),
        }
    }
}

/// "niti-14, niti-14x25"; before a working wire that comes next "no further wire".
pub fn say_steps(steps: &[DraftStep]) -> String {
    if steps.is_empty() {
        return "no further wire".to_owned();
    }
    let names: Vec<String> = steps.iter().map(DraftStep::to_string).collect();
    names.join(", ")
}
