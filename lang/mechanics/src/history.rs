//! Material history: the fibre states that one solve passes to the next.

use super::bending::Bending;
use super::mesh::Mesh;
use super::slot_edges::SlotEdges;

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
    /// The tooth and the held edges of each slot, along the line that stations count along.
    pub(crate) edges: Vec<(u16, f64, f64)>,
    /// That line leads through the slots.
    pub(crate) over_slots: bool,
}

impl History {
    /// The states at the section points of a mesh; each point takes the nearest known one, so that a
    /// tooth picked up or let go keeps the rest of the wire's memory.
    pub(crate) fn at(&self, mesh: &Mesh, seats: &[SlotEdges], fibres: usize) -> Vec<f64> {
        if self.is_virgin() || self.fibres != fibres {
            return Vec::new();
        }
        let mut state = Vec::with_capacity(mesh.gauss.len() * fibres);
        let same = self.stations_mm.len() == mesh.gauss.len();
        let other = (self.over_slots != mesh.spatial()).then(|| self.shared_edges(mesh, seats));
        for (n, gauss) in mesh.gauss.iter().enumerate() {
            let from = match &other {
                Some(shared) => self.nearest(along(shared, gauss.station_mm)),
                None if same => n,
                None => self.nearest(gauss.station_mm),
            };
            state.extend_from_slice(&self.state[from * fibres..(from + 1) * fibres]);
        }
        state
    }

    /// Held edges of a mesh that were there before: where they lie, and where they lay.
    fn shared_edges(&self, mesh: &Mesh, seats: &[SlotEdges]) -> Vec<(f64, f64)> {
        let mut shared = Vec::with_capacity(2 * seats.len());
        for (seat, &(first, last)) in seats.iter().zip(&mesh.seats) {
            if let Some((_, from, to)) = self.edges.iter().find(|e| e.0 == seat.slot.id) {
                shared.extend([(mesh.x[first], *from), (mesh.x[last], *to)]);
            }
        }
        shared.dedup_by(|b, a| b.0 <= a.0);
        shared
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
        seats: &[SlotEdges],
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
        let places = seats.iter().zip(&mesh.seats);
        let edges = places.map(|(s, &(a, b))| (s.slot.id, mesh.x[a], mesh.x[b])).collect();
        History { stations_mm, fibres, state, edges, over_slots: mesh.spatial() }
    }

    /// True where nothing has happened to the wire yet.
    pub fn is_virgin(&self) -> bool {
        self.state.iter().all(|&x| x == 0.0)
    }
}

/// Where a place on one line lies on another, by the edges that both hold.
fn along(shared: &[(f64, f64)], at: f64) -> f64 {
    let after = shared.partition_point(|edge| edge.0 < at);
    match (after.checked_sub(1).and_then(|i| shared.get(i)), shared.get(after)) {
        (Some(a), Some(b)) => a.1 + (at - a.0) / (b.0 - a.0) * (b.1 - a.1),
        (Some(edge), None) | (None, Some(edge)) => edge.1 + at - edge.0,
        (None, None) => at,
    }
}
