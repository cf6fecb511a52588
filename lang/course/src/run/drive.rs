//! What moves a tooth: everything that acts on it, about its centre of resistance.
//!
//! A force moves the centre its way, and turns the tooth by its moment about the centre, in the proportions in which
//! the ligament gives: a crown that is pushed tips about a point a little beyond the centre, a couple turns the tooth
//! about the centre, and both together may move it bodily. That is so across the arch and along it, each on its own
//! faces of the root. How fast is the law's for the force at the bracket that would tip the tooth so: a crown that is
//! pushed by nothing else goes as the law has it. The turn about the long axis is a movement of its own: it shears
//! the ligament round the root, by the law at half the mean radius of the root.

use crate::law::passive::MonitoredTooth;
use springline_mechanics::{COUPLE_LEVERS_MM, Components, SlotPose, Stages, Support, ToothTravel};

/// An engaged tooth with its support.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct MovingTooth {
    pub id: u16,
    pub watched: MonitoredTooth,
    pub area_mm2: f64,
    /// Where its root is held and how readily it turns there.
    pub support: Support,
    pub rotation_lever_mm: f64,
    /// How far the slot lies before the tooth's long axis, mm.
    pub axis_mm: f64,
    /// The wire holds one wing only.
    pub one_wing: bool,
    /// Force that it takes to move it towards the gum at all, N.
    pub least_intruding_n: f64,
    /// Factor k of its situation.
    pub k: f64,
    /// Its neighbours stand in its way: what presses it along the arch passes to them through the contacts.
    pub in_contact: bool,
}

/// The movements of a tooth: across the arch (in and out, up and down, torque), along it (tip), and about the long
/// axis.
pub(crate) const ACROSS: usize = 0;
pub(crate) const LENGTHWISE: usize = 1;
pub(crate) const TURNS: usize = 2;
pub(crate) const MOVEMENTS: usize = 3;

/// Everything that acts on one tooth, and what it comes to.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Drive {
    /// Wire and loads at the bracket.
    pub forces: Components,
    /// Something carries the tooth along the arch, and turns it by this.
    pub carried_by: Option<Components>,
    /// By movement, N: the force at the bracket that would tip the tooth as fast; the couple about the long axis over
    /// the lever of the ligament.
    pub size_n: [f64; MOVEMENTS],
    /// The couple about the long axis, through the centre of resistance, N mm.
    pub turn_nmm: f64,
    /// The force that it counts as where rest is in question, N.
    pub counts_n: f64,
    /// From stops that run into its bracket, to the patient's left positive, and the area of the roots that go with it:
    /// nothing where they cannot.
    pub along: f64,
    pub along_area_mm2: f64,
}

/// The compliance of each movement by itself, one millimetre for each newton of its size.
const EACH: [[f64; MOVEMENTS]; MOVEMENTS] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

impl MovingTooth {
    /// What these forces at the bracket of the tooth, standing there, come to. `carried_by`: the couples among them by
    /// which something that carries it along the arch turns it.
    pub fn drive(
        &self,
        pose: &[f64; 6],
        forces: Components,
        carried_by: Option<Components>,
    ) -> Drive {
        let mut drive = Drive { forces, carried_by, ..Drive::default() };
        (drive.size_n, drive.turn_nmm) = self.sizes(pose, &drive);
        let counting = Drive { forces: drive.unbalanced(), ..drive };
        let ([across, along, _], turn_nmm) = self.sizes(pose, &counting);
        drive.counts_n = across.max(along).max(turn_nmm.abs() / COUPLE_LEVERS_MM[0]);
        drive
    }

    fn sizes(&self, pose: &[f64; 6], drive: &Drive) -> ([f64; MOVEMENTS], f64) {
        let alone = |c: usize| self.way(pose, drive, EACH[c]).goes(&drive.forces);
        let tips = |c: usize| work(&drive.forces, &alone(c)).max(0.0).sqrt();
        let turn_nmm = alone(TURNS).rotated_rad * self.rotation_lever_mm.powi(2);
        ([tips(ACROSS), tips(LENGTHWISE), turn_nmm.abs() / self.rotation_lever_mm], turn_nmm)
    }

    /// The compliance of a way: so many millimetres for each newton of every movement's size.
    pub fn way(&self, pose: &[f64; 6], drive: &Drive, mm_per_n: [f64; MOVEMENTS]) -> ToothTravel {
        let Support { centre_mm: [lingual, gingival, along], .. } = self.support;
        let norms = self.at_bracket();
        let part = |c: usize| if norms[c] > 0.0 { mm_per_n[c] / norms[c] } else { 0.0 };
        let (across, lengthwise) = (part(ACROSS), part(LENGTHWISE));
        let turns = mm_per_n[TURNS] * self.by_one_wing(pose, &drive.forces);
        // Towards the gum nothing moves below the least force of an intrusion.
        let intruding = drive.forces.gingival_n;
        let upward = match intruding > 0.0 {
            true => across * (1.0 - self.least_intruding_n / intruding).max(0.0),
            false => across,
        };
        // What carries a tooth along carries its neighbours and their wire too: their brackets stay where they are to
        // one another, and couples turn the tooth about its own.
        let height = if drive.carried_by.is_some() { 0.0 } else { gingival };
        let way = Support {
            lingual_mm_per_n: across * self.support.lingual_mm_per_n,
            gingival_mm_per_n: upward * self.support.gingival_mm_per_n,
            along_mm_per_n: lengthwise * self.support.along_mm_per_n,
            rotation_rad_per_nmm: turns / self.rotation_lever_mm.powi(2),
            tip_rad_per_nmm: lengthwise * self.support.tip_rad_per_nmm,
            torque_rad_per_nmm: across * self.support.torque_rad_per_nmm,
            centre_mm: [lingual, height, along],
            stages: Stages::One,
            march_gingival_mm_per_n: upward * self.support.march_gingival_mm_per_n,
        };
        ToothTravel { id: self.id, way, in_contact: self.in_contact }
    }

    /// How many times as far a tooth turns as by the couple at its slot. One wing held by the wire pulls at its own arm
    /// and at that of the slot, which a turned tooth carries mesial or distal of its axis: at 50 degrees the second is
    /// four times the first. Both are the same contact's and die together. Two wings make a couple that is the same
    /// about any axis, and little net force.
    fn by_one_wing(&self, pose: &[f64; 6], forces: &Components) -> f64 {
        if !self.one_wing {
            return 1.0;
        }
        let at_slot = forces.rotation_nmm;
        let about_axis = at_slot + self.axis_mm * pose[ROTATED].sin() * forces.lingual_n;
        let times = about_axis / at_slot;
        if times.is_finite() { times.clamp(1.0, MOST_BY_ONE_WING) } else { 1.0 }
    }

    /// Give at the bracket under a force there, across the arch and along it, mm/N.
    fn at_bracket(&self) -> [f64; 2] {
        let Support { lingual_mm_per_n, along_mm_per_n, .. } = self.support;
        let Support { torque_rad_per_nmm, tip_rad_per_nmm, centre_mm: [_, height, _], .. } =
            self.support;
        [
            lingual_mm_per_n + height.powi(2) * torque_rad_per_nmm,
            along_mm_per_n + height.powi(2) * tip_rad_per_nmm,
        ]
    }

    /// Give of each movement, mm/N.
    fn gives(&self) -> [f64; MOVEMENTS] {
        let [across, along] = self.at_bracket();
        [across, along, self.support.rotation_rad_per_nmm * self.rotation_lever_mm.powi(2)]
    }

    /// How stiffly the support itself holds it in every movement beyond the first stage of its give, N per mm: no force
    /// dies faster.
    pub fn held_n_per_mm(&self) -> [f64; MOVEMENTS] {
        let stiffer = match self.support.stages {
            Stages::Two { stiffer, .. } => stiffer,
            Stages::One => 1.0,
        };
        self.gives().map(|give| if give > 0.0 { stiffer / give } else { STIFFEST })
    }

    /// How far a march of so many mm/N takes it for each newton of every movement.
    pub fn marched(&self, travel_mm_per_n: f64) -> [f64; MOVEMENTS] {
        self.gives().map(|give| travel_mm_per_n / MARCH_MM_PER_N * give)
    }
}

/// The give that a march counts as one.
const MARCH_MM_PER_N: f64 = 0.1;
/// The slot of a tooth turned across the arch lies some 6 mm beside its axis, the wing 0.5 mm beside the slot's middle.
const MOST_BY_ONE_WING: f64 = 12.0;
/// Of a tooth that does not give, N per mm.
const STIFFEST: f64 = 1.0e4;

/// Part of a pose: rotation.
const ROTATED: usize = 3;

/// Work of forces on a way.
fn work(forces: &Components, way: &SlotPose) -> f64 {
    forces.lingual_n * way.lingual_mm
        + forces.gingival_n * way.gingival_mm
        + forces.along_n * way.along_mm
        + forces.rotation_nmm * way.rotated_rad
        + forces.tip_nmm * way.tipped_rad
        + forces.torque_nmm * way.torque_rad
}

fn less(a: &Components, b: &Components) -> Components {
    Components {
        lingual_n: a.lingual_n - b.lingual_n,
        gingival_n: a.gingival_n - b.gingival_n,
        along_n: a.along_n - b.along_n,
        rotation_nmm: a.rotation_nmm - b.rotation_nmm,
        tip_nmm: a.tip_nmm - b.tip_nmm,
        torque_nmm: a.torque_nmm - b.torque_nmm,
    }
}

impl Drive {
    /// What of the forces tells that the wire still has work to do: not a couple of what carries the tooth that the
    /// wire leaves alone, nor one that it balances.
    fn unbalanced(&self) -> Components {
        let Some(load) = &self.carried_by else { return self.forces };
        let wire = less(&self.forces, load);
        let nearer = |all: f64, wire: f64| if wire.abs() < all.abs() { wire } else { all };
        Components {
            tip_nmm: nearer(self.forces.tip_nmm, wire.tip_nmm),
            torque_nmm: nearer(self.forces.torque_nmm, wire.torque_nmm),
            ..self.forces
        }
    }

    /// The size of what is different in another, by movement, N.
    pub fn change_n(
        &self,
        tooth: &MovingTooth,
        pose: &[f64; 6],
        other: &Drive,
    ) -> [f64; MOVEMENTS] {
        let change = Drive { forces: less(&self.forces, &other.forces), ..*self };
        tooth.sizes(pose, &change).0
    }

    /// Whether what moves the tooth has turned round since.
    pub fn turned_round(
        &self,
        tooth: &MovingTooth,
        pose: &[f64; 6],
        since: &Drive,
    ) -> [bool; MOVEMENTS] {
        EACH.map(|each| {
            let went = tooth.way(pose, since, each).goes(&since.forces);
            work(&self.forces, &went) < 0.0
        })
    }

    /// What tips crown and root, N.
    pub fn tips_n(&self) -> f64 {
        self.size_n[ACROSS].max(self.size_n[LENGTHWISE])
    }

    /// The force that it counts as against the floor of forces, N.
    pub fn worst_n(&self) -> f64 {
        let along = if self.along_area_mm2 > 0.0 { self.along.abs() } else { 0.0 };
        self.counts_n.max(along)
    }
}
