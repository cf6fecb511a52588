//! Axial force in the wire: bounds on lengths of wire between slot edges, each with one multiplier.
//!
//! A wire that slides freely carries none. A stop, a cinched end, two stops about too much or too little wire
//! bound the length between two edges from one side. A bound that is missed in the free equilibrium is added to
//! the potential as `c/2 C^2` with `C = max(0, (miss - g0 + e C') / c)`, `c = g + e`: `g0 + g C` is the give of the two
//! teeth along the arch, drawn straight at `C'`, the force found last, and `e` a compliance of the search that goes to
//! nothing as `C'` comes to stand (method of multipliers). The length is prescribed, not the force, so a wire that buckles is
//! followed past its buckling load.

use super::mesh::Mesh;
use super::slot_edges::SlotEdges;
use super::{EdgeSide, LengthBound, LengthLimit, Support};

/// One bound as the solver has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Bound {
    /// Elements whose length is bound: from the first to before the second.
    pub elements: (usize, usize),
    /// 1 for a least length, which presses the wire; -1 for a largest, which draws it.
    pub sign: f64,
    /// The bound, as length beyond that of the arch line, mm.
    pub excess_mm: f64,
    /// Indices of the teeth at its ends.
    pub teeth: (usize, usize),
    /// The supports of both, and their give along the arch near the force found, mm/N, with what it misses at none, mm.
    pub supports: [Support; 2],
    pub give: f64,
    pub given: f64,
    /// Compliance that the search adds, mm/N, and the force it has found, N.
    pub eased: f64,
    pub found: f64,
}

impl Bound {
    /// Of the teeth and of the search, mm/N.
    pub fn compliance(&self) -> f64 {
        self.give + self.eased
    }

    /// What the bound carries where the wire misses it by so much without it, N; never below zero.
    pub fn force(&self, missed_mm: f64) -> f64 {
        ((missed_mm - self.given + self.eased * self.found) / self.compliance()).max(0.0)
    }

    /// How far both teeth give along the arch under a force, mm.
    pub fn gave_mm(&self, force_n: f64) -> f64 {
        self.supports.iter().map(|s| s.gave_along(force_n).0).sum()
    }

    /// Takes over the force of a search, and the give there.
    pub fn find(&mut self, force_n: f64) {
        self.found = force_n;
        self.give = self.supports.iter().map(|s| s.gave_along(force_n).1).sum();
        self.given = self.gave_mm(force_n) - self.give * force_n;
    }
}

/// Axial forces that a wire is under.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Axial {
    /// Given axial force of every element, compression positive, N; empty where there is none.
    pub levels: Vec<f64>,
    /// The same beyond both ends: what a hand pushes or pulls with.
    pub ends: [f64; 2],
    /// Bounds on lengths.
    pub bounds: Vec<Bound>,
}

impl Axial {
    /// The bounds of a wire on a mesh.
    pub fn of(bounds: &[LengthBound], seats: &[SlotEdges], mesh: &Mesh) -> Axial {
        let place = |id: u16, side: EdgeSide| {
            let tooth = seats.iter().position(|s| s.slot.id == id)?;
            let (first, last) = mesh.seats[tooth];
            Some((tooth, if side == EdgeSide::Right { first } else { last }))
        };
        let bound = |b: &LengthBound| {
            let (from, to) = (place(b.from.id, b.from.side)?, place(b.to.id, b.to.side)?);
            let ((right, from), (left, to)) = if from.1 < to.1 { (from, to) } else { (to, from) };
            if from == to {
                return None;
            }
            let (sign, length) = match b.length {
                LengthLimit::AtLeast(mm) => (1.0, mm),
                LengthLimit::AtMost(mm) => (-1.0, mm),
            };
            let supports = [right, left].map(|tooth| seats[tooth].slot.support);
            Some(Bound {
                elements: (from, to),
                sign,
                excess_mm: length - (mesh.x[to] - mesh.x[from]),
                teeth: (right, left),
                give: supports.iter().map(Support::along_at_bracket).sum(),
                given: 0.0,
                supports,
                eased: 0.0,
                found: 0.0,
            })
        };
        Axial { bounds: bounds.iter().filter_map(bound).collect(), ..Axial::default() }
    }

    /// Given axial forces of the pieces between held edges, in order.
    pub fn given(pieces_n: &[f64], ends: [f64; 2], mesh: &Mesh) -> Axial {
        let mut levels = vec![0.0; mesh.nodes().saturating_sub(1)];
        let pieces = mesh.stretches.iter().filter(|(first, last)| last > first);
        for (&(first, last), level) in pieces.zip(pieces_n) {
            levels[first..last].fill(*level);
        }
        Axial { levels, ends, bounds: Vec::new() }
    }

    /// Force on the wire along itself at a node where the axial force changes, N.
    pub fn jump(&self, levels: &[f64], node: usize) -> f64 {
        let before = match node.checked_sub(1) {
            Some(element) => levels.get(element).copied().unwrap_or(0.0),
            None => self.ends[0],
        };
        let after = levels.get(node).copied();
        after.unwrap_or(if levels.is_empty() { 0.0 } else { self.ends[1] }) - before
    }

    /// Force along the wire of a hand at its end, towards larger stations, N.
    pub fn hand(&self, levels: &[f64], node: usize) -> f64 {
        match node {
            0 => self.ends[0],
            n if n == levels.len() => -self.ends[1],
            _ => 0.0,
        }
    }
}
