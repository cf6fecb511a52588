//! What acts on teeth beside the wire: loads of elastics, chains and coils, and ties.

/// A force on a tooth from something other than the archwire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// The [`Slot::id`](super::Slot) it acts on; a tooth without an engaged slot is refused.
    pub id: u16,
    /// Lingual component on the tooth, N.
    pub lingual_n: f64,
    /// Gingival component on the tooth, N.
    pub gingival_n: f64,
    /// Component along the arch on the tooth, towards the patient's left, N. It turns the tooth; the
    /// wire, free to slide, does not resist it.
    pub along_n: f64,
    /// Where it acts, from the bracket's centre: lingual, gingival, along, mm.
    pub at_mm: [f64; 3],
}

/// A tie, laceback or link of a figure-of-eight between the brackets of two teeth, slack where they come nearer to one another.
/// It draws each bracket straight towards the other, as they stand in the set-up. A tooth held at its bracket alone
/// ([`Support::mobility`](super::Support::mobility)) does not give along the arch, so two such are held across it only.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothTie {
    /// The [`Slot::id`](super::Slot) of one tooth,
    pub from: u16,
    /// and of the other.
    pub to: u16,
    /// Between the brackets' centres, mm; `None` for the distance at which they stand in the set-up.
    pub length_mm: Option<f64>,
}

impl ToothTie {
    /// As long as the teeth stand apart.
    pub fn between(from: u16, to: u16) -> ToothTie {
        ToothTie { from, to, length_mm: None }
    }
}
