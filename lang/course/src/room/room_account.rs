//! The room account as published with a phase: how much room is missing, and what provides it, where and
//! by when.

use crate::law::time_band::TimeBand;
use springline_units::tooth::Tooth;

/// Where room comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum RoomSource {
    /// Front teeth come forward: 1.7 mm of arch length a millimetre.
    Forward,
    OpenCoil,
    /// The arch is widened.
    Expansion,
    /// Enamel taken off: there at once.
    Enamel,
    /// Teeth slide into an extraction space or a gap.
    Gap,
    /// Wire that cannot leave between two stops pushes their teeth apart.
    Stops,
}

/// Room from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomMade {
    pub source: RoomSource,
    pub teeth: Vec<Tooth>,
    /// In this phase, median patient, until the wire comes out.
    pub made_mm: f64,
    /// The most it can give in this phase.
    pub at_most_mm: f64,
    /// Median patient, mm a month as it begins; zero where it is there at once.
    pub mm_per_month: f64,
}

/// The account of one bypassed tooth.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteAccount {
    pub tooth: Tooth,
    pub width_mm: f64,
    /// Space between its neighbours at entry and at exit.
    pub space_in_mm: f64,
    pub space_out_mm: f64,
    /// Nobody measured the space at entry.
    pub assumed: bool,
    /// Space at which it is taken in.
    pub wanted_mm: f64,
    /// The bypass has a condition of its own that ends it.
    pub ends_by_itself: bool,
    /// When the wanted space is there; `None` where nothing makes it.
    pub ready: Option<TimeBand>,
    pub made: Vec<RoomMade>,
}

/// The account of an arch over one phase.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RoomAccount {
    /// Room the teeth in the wire lack at entry, mm.
    pub demanded_mm: f64,
    /// `demanded_mm` was not written: 0.6 of (irregularity - 1).
    pub assumed: bool,
    pub made: Vec<RoomMade>,
    /// Still missing when the wire comes out (median patient).
    pub missing_out_mm: f64,
    /// The most that all sources can give falls short by this: zero when they suffice.
    pub uncovered_mm: f64,
    /// How far the front teeth come forward in this phase (median patient).
    pub incisors_forward_mm: f64,
    pub sites: Vec<SiteAccount>,
}

impl RoomAccount {
    pub fn site(&self, tooth: Tooth) -> Option<&SiteAccount> {
        self.sites.iter().find(|s| s.tooth == tooth)
    }
}
