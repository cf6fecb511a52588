//! Whether anybody still waits for a simulation.

use std::fmt;
use std::sync::Arc;

/// Asked between the solves of a simulation. Once it says yes it must go on to say so: what is computed after that is
/// worth nothing, and is not remembered.
#[derive(Clone, Default)]
pub struct StopSignal(Option<Arc<dyn Fn() -> bool + Send + Sync>>);

impl StopSignal {
    pub fn new(is_set: impl Fn() -> bool + Send + Sync + 'static) -> StopSignal {
        StopSignal(Some(Arc::new(is_set)))
    }

    pub fn is_set(&self) -> bool {
        self.0.as_ref().is_some_and(|is_set| is_set())
    }
}

impl fmt::Debug for StopSignal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("StopSignal").field(&self.is_set()).finish()
    }
}
