//! External loads on teeth: elastics, chains and coils.

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
