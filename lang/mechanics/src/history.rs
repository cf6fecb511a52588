//! Material history: the fibre states that one solve passes to the next.

use super::bending::Bending;
use super::mesh::Mesh;

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
    /// The states at the section points of a mesh; each point takes the nearest known one, so that a
    /// tooth picked up or let go keeps the rest of the wire's memory.
    pub(crate) fn at(&self, mesh: &Mesh, fibres: usize) -> Vec<f64> {
        if self.is_virgin() || self.fibres != fibres {
            return Vec::new();
        }
        let mut state = Vec::with_capacity(mesh.gauss.len() * fibres);
        for (n, gauss) in mesh.gauss.iter().enumerate() {
            let same = self.stations_mm.len() == mesh.gauss.len();
            let from = if same { n } else { self.nearest(gauss.station_mm) };
            state.extend_from_slice(&self.state[from * fibres..(from + 1) * fibres]);
        }
        state
    }

    fn nearest(&self, station_mm: f64) -> usize {
        let after = self.stations_mm.partition_point(|&s| s < station_mm);
        let last = self.stations_mm.len() - 1;
        let (low, high) = (after.saturating_sub(1), after.min(last));
        let away = |i: usize| (self.stations_mm[i] - station_mm).abs();
        if away(low) <= away(high) { low } else { high }
    }

    /// The states after an increment that ended at these curvatures.
    pub(crate) fn after(
        mesh: &Mesh,
        bending: &Bending,
        before: &[f64],
        curvatures: &[[f64; 2]],
    ) -> History {
        let fibres = bending.fibres();
        let mut state = vec![0.0; curvatures.len() * fibres];
        for (n, (&k, after)) in curvatures.iter().zip(state.chunks_exact_mut(fibres)).enumerate() {
            let own = before.get(n * fibres..(n + 1) * fibres).unwrap_or(&[]);
            let fresh = own.iter().all(|&s| s == 0.0);
            if !(fresh && bending.elastic(k)) {
                bending.next_state(k, own, after);
            }
        }
        let stations_mm = mesh.gauss.iter().map(|g| g.station_mm).collect();
        History { stations_mm, fibres, state }
    }

    /// True where nothing has happened to the wire yet.
    pub fn is_virgin(&self) -> bool {
        self.state.iter().all(|&x| x == 0.0)
    }
}
