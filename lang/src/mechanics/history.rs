//! What the material remembers between solves.

/// The state of every section point of a wire: which share of each fibre is transformed, or how far it
/// has yielded. Opaque; made by [`solve`](super::solve) and handed on as
/// [`Start::Carry`](super::Start::Carry). It stays at its stations on the arch line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct History {
    /// Station of each section point, mm, increasing.
    pub(crate) stations_mm: Vec<f64>,
    /// Fibres per section point.
    pub(crate) fibres: usize,
    /// One value a fibre, section point by section point.
    pub(crate) state: Vec<f64>,
}

impl History {
    /// True where nothing has happened to the wire yet.
    pub fn is_virgin(&self) -> bool {
        self.state.iter().all(|&x| x == 0.0)
    }
}
