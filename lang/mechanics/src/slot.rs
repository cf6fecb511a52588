//! One engaged bracket or tube: the position of its slot, how it holds the wire, and the support of its
//! tooth.

use super::Support;
use super::support::SixForces;

/// Displacement of a tooth from its place on the arch line. All zero is in place.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SlotPose {
    /// Displacement to the inside of the arch, mm; labial is negative.
    pub lingual_mm: f64,
    /// Displacement towards the gum, mm; occlusal is negative.
    pub gingival_mm: f64,
    /// Displacement along the arch towards the patient's left (growing station), mm.
    pub along_mm: f64,
    /// Rotation about the long axis, rad; positive turns the edge of larger station lingual.
    pub rotated_rad: f64,
    /// Tip, rad; positive turns the edge of larger station gingival.
    pub tipped_rad: f64,
    /// Roll about the arch line, rad; positive turns the slot's lingual side gingival (crown-lingual).
    pub torque_rad: f64,
}

impl SlotPose {
    /// In the order of the forces on a tooth: lingual, gingival, rotation, tip, torque, along.
    pub(crate) fn six(&self) -> SixForces {
        let SlotPose { lingual_mm, gingival_mm, along_mm, .. } = *self;
        let SlotPose { rotated_rad, tipped_rad, torque_rad, .. } = *self;
        [lingual_mm, gingival_mm, rotated_rad, tipped_rad, torque_rad, along_mm]
    }

    /// Moved across the arch line and turned.
    pub(crate) fn moved_across(&self, by: &SixForces) -> SlotPose {
        SlotPose {
            lingual_mm: self.lingual_mm + by[0],
            gingival_mm: self.gingival_mm + by[1],
            along_mm: self.along_mm,
            rotated_rad: self.rotated_rad + by[2],
            tipped_rad: self.tipped_rad + by[3],
            torque_rad: self.torque_rad + by[4],
        }
    }
}

/// Bracket or tube. Both have four walls here (a ligature that lets go is not modelled); the
/// difference counts where the wire's end is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Housing {
    /// Open towards the lip, closed by a slide or clip.
    #[default]
    Bracket,
    /// Closed all round: the wire goes in from its end.
    Tube,
}

/// Which edges of the slot hold the wire.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Engagement {
    /// Both edges (fully engaged).
    #[default]
    Full,
    /// Only the edge nearer the midline (half engaged, or one wing left).
    MesialWing,
    /// Only the edge farther from the midline.
    DistalWing,
}

/// How the slot's fourth side closes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Clip {
    /// A slide or a tube: the whole depth is free.
    #[default]
    Passive,
    /// A clip that presses the wire to the base until only this depth, mm, is left from the base. At
    /// or under the wire's own depth the wire is seated: no labiolingual clearance.
    Active {
        /// Depth left from the base, mm, above zero.
        depth_left_mm: f64,
    },
}

/// Whether the wire has room in the slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Play {
    /// Slot less wire, in both planes and in twist.
    #[default]
    Geometric,
    /// Two-sided contacts without clearance and no hold on the twist: reference cases and bench rigs.
    None,
}

/// Half-widths of the error of a position.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct StandError {
    /// Labiolingual, mm.
    pub lingual_mm: f64,
    /// Occlusogingival, mm.
    pub gingival_mm: f64,
    /// About the long axis, rad.
    pub rotated_rad: f64,
    /// Of tip, rad.
    pub tipped_rad: f64,
    /// Of torque, rad.
    pub torque_rad: f64,
}

impl StandError {
    /// Any error.
    pub const ANY: StandError = StandError {
        lingual_mm: f64::INFINITY,
        gingival_mm: f64::INFINITY,
        rotated_rad: f64::INFINITY,
        tipped_rad: f64::INFINITY,
        torque_rad: f64::INFINITY,
    };
}

/// One engaged slot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slot {
    /// The caller's name for the tooth, returned with its forces; must be unique in a [`Setup`](super::Setup).
    pub id: u16,
    /// Arc length of the bracket's centre from the midline with the tooth in place, mm; patient's left positive.
    pub station_mm: f64,
    /// Mesiodistal width of the slot, mm; zero is a knife edge.
    pub width_mm: f64,
    /// Occlusogingival size of the slot as it truly is, mm; a solve takes no account of its name.
    pub height_mm: f64,
    /// Smallest and largest possible height over [`Slot::height_mm`]; used for bands only.
    pub height_range: [f64; 2],
    /// Labiolingual size of the slot, mm (0.028 in = 0.7112).
    pub depth_mm: f64,
    /// Bracket or tube.
    pub housing: Housing,
    /// Displacement of the tooth from its place, mm and rad; zero is in place.
    pub stand: SlotPose,
    /// Error of that displacement where it is larger than [`Spread`](super::Spread) states for all teeth;
    /// used for bands only.
    pub stand_error: StandError,
    /// The most that the error can be, where a wire has held the tooth: what its play leaves. Used for bands only.
    pub stand_error_most: StandError,
    /// Torque built into the slot, rad, crown-labial positive.
    pub prescription_rad: f64,
    /// Which edges of the slot engage the wire.
    pub engagement: Engagement,
    /// What closes it.
    pub clip: Clip,
    /// How the room between wire and slot counts.
    pub play: Play,
    /// Support of the tooth.
    pub support: Support,
}

impl Slot {
    /// A fully engaged bracket in place whose slot is truly 0.022 x 0.028 in, on a tooth of default mobility.
    pub fn bracket(id: u16, station_mm: f64, width_mm: f64) -> Slot {
        Slot {
            id,
            station_mm,
            width_mm,
            height_mm: 0.022 * 25.4,
            height_range: [1.0; 2],
            depth_mm: 0.028 * 25.4,
            housing: Housing::Bracket,
            stand: SlotPose::default(),
            stand_error: StandError::default(),
            stand_error_most: StandError::ANY,
            prescription_rad: 0.0,
            engagement: Engagement::Full,
            clip: Clip::Passive,
            play: Play::Geometric,
            support: Support::default(),
        }
    }

    /// How far the slot is rolled against a wire that lies flat, rad; a tooth that stands crown-lingual is positive.
    pub fn roll_rad(&self) -> f64 {
        self.stand.torque_rad + self.prescription_rad
    }
}
