//! Pose of a tooth: its displacement and rotation from its place on the arch line, as signed figures.

use springline_mechanics as mechanics;
use springline_model::stand::{Distance, InOut, Rotation, Stand, Turn, UpDown};
use springline_model::stock::{Along, CrownTurn};
use springline_units::quantity::{from_degrees, from_mm, mm, radians};
use springline_units::tooth::{Side, Tooth};

/// Displacement of a tooth from its place on the arch line. All zero is in place; for torque, zero is the
/// inclination at which a slot without torque is level.
///
/// Signs as in the mechanics: lingual, gingival and the patient's left are positive; `rotated`
/// turns the left-hand edge lingual, `tipped` turns it gingival, `torque` turns the crown lingual.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ToothPose {
    pub lingual_mm: f64,
    pub gingival_mm: f64,
    pub along_mm: f64,
    pub rotated_rad: f64,
    pub tipped_rad: f64,
    pub torque_rad: f64,
}

/// +1 where the mesial edge is the one towards the patient's left (right side of the mouth).
fn mesial_sign(tooth: Tooth) -> f64 {
    match tooth.side() {
        Side::Right => 1.0,
        Side::Left => -1.0,
    }
}

fn pick<W>(x: f64, plus: W, minus: W) -> W {
    if x > 0.0 { plus } else { minus }
}

impl ToothPose {
    /// From the words of the case.
    pub fn from_stand(tooth: Tooth, stand: &Stand) -> ToothPose {
        let mesial = mesial_sign(tooth);
        let in_out = |(by, way): (Distance, InOut)| match way {
            InOut::Lingual => mm(by.length()),
            InOut::Labial => -mm(by.length()),
        };
        let up_down = |(by, way): (Distance, UpDown)| match way {
            UpDown::Gingival => mm(by.length()),
            UpDown::Occlusal => -mm(by.length()),
        };
        let turn = |(by, way): (Rotation, Turn)| match way {
            Turn::MesialIn => mesial * radians(by.angle()),
            Turn::MesialOut => -mesial * radians(by.angle()),
        };
        // A crown tipped mesially has its mesial marginal edge lower, towards the gum.
        let tip = |(by, way)| match way {
            Along::Mesial => mesial * radians(by),
            Along::Distal => -mesial * radians(by),
        };
        let roll = |(by, way)| match way {
            CrownTurn::CrownLingual => radians(by),
            CrownTurn::CrownLabial => -radians(by),
        };
        ToothPose {
            lingual_mm: stand.in_out.map_or(0.0, in_out),
            gingival_mm: stand.up_down.map_or(0.0, up_down),
            along_mm: 0.0,
            rotated_rad: stand.rotated.map_or(0.0, turn),
            tipped_rad: stand.tipped.map_or(0.0, tip),
            torque_rad: stand.torque.map_or(0.0, roll),
        }
    }

    /// Overrides this pose with the measured values of a stand; other components stay.
    pub fn updated(self, tooth: Tooth, stand: &Stand) -> ToothPose {
        let said = ToothPose::from_stand(tooth, stand);
        ToothPose {
            lingual_mm: if stand.in_out.is_some() { said.lingual_mm } else { self.lingual_mm },
            gingival_mm: if stand.up_down.is_some() { said.gingival_mm } else { self.gingival_mm },
            along_mm: self.along_mm,
            rotated_rad: if stand.rotated.is_some() { said.rotated_rad } else { self.rotated_rad },
            tipped_rad: if stand.tipped.is_some() { said.tipped_rad } else { self.tipped_rad },
            torque_rad: if stand.torque.is_some() { said.torque_rad } else { self.torque_rad },
        }
    }

    /// Back to words, rounded to hundredths of a millimetre and tenths of a degree; what rounds to
    /// nothing is left out.
    pub fn to_stand(self, tooth: Tooth) -> Stand {
        let mesial = mesial_sign(tooth);
        let length = |x: f64| {
            let rounded = (x * 100.0).round() / 100.0;
            (rounded != 0.0).then(|| from_mm(rounded.abs()))
        };
        let angle = |x: f64| {
            let rounded = (x.to_degrees() * 10.0).round() / 10.0;
            (rounded != 0.0).then(|| from_degrees(rounded.abs()))
        };
        Stand {
            in_out: length(self.lingual_mm)
                .map(|l| (l.into(), pick(self.lingual_mm, InOut::Lingual, InOut::Labial))),
            up_down: length(self.gingival_mm)
                .map(|l| (l.into(), pick(self.gingival_mm, UpDown::Gingival, UpDown::Occlusal))),
            rotated: angle(self.rotated_rad).map(|a| {
                (a.into(), pick(mesial * self.rotated_rad, Turn::MesialIn, Turn::MesialOut))
            }),
            tipped: angle(self.tipped_rad)
                .map(|a| (a, pick(mesial * self.tipped_rad, Along::Mesial, Along::Distal))),
            torque: angle(self.torque_rad).map(|a| {
                (a, pick(self.torque_rad, CrownTurn::CrownLingual, CrownTurn::CrownLabial))
            }),
            ..Stand::default()
        }
    }

    /// Distance from its place in the plane of the arch and up and down, mm.
    pub fn off_mm(&self) -> f64 {
        self.lingual_mm.hypot(self.gingival_mm)
    }

    /// How far the slot is turned from the wire, in rotation or tip, degrees; torque has play and limits of its own.
    pub fn turned_deg(&self) -> f64 {
        self.rotated_rad.abs().max(self.tipped_rad.abs()).to_degrees()
    }

    /// The largest of the three turns, degrees.
    pub fn off_deg(&self) -> f64 {
        self.rotated_rad.abs().max(self.tipped_rad.abs()).max(self.torque_rad.abs()).to_degrees()
    }

    /// For the mechanics.
    pub fn stand(&self) -> mechanics::SlotPose {
        mechanics::SlotPose {
            lingual_mm: self.lingual_mm,
            gingival_mm: self.gingival_mm,
            along_mm: self.along_mm,
            rotated_rad: self.rotated_rad,
            tipped_rad: self.tipped_rad,
            torque_rad: self.torque_rad,
        }
    }

    /// The six numbers, for keys and for arithmetic over all of them.
    pub fn parts(&self) -> [f64; 6] {
        [
            self.lingual_mm,
            self.gingival_mm,
            self.along_mm,
            self.rotated_rad,
            self.tipped_rad,
            self.torque_rad,
        ]
    }

    pub fn from_parts(parts: [f64; 6]) -> ToothPose {
        let [lingual_mm, gingival_mm, along_mm, rotated_rad, tipped_rad, torque_rad] = parts;
        ToothPose { lingual_mm, gingival_mm, along_mm, rotated_rad, tipped_rad, torque_rad }
    }

    /// Finite in every part.
    pub fn is_finite(&self) -> bool {
        self.parts().iter().all(|x| x.is_finite())
    }
}

/// A slot goes the way its tooth has gone; a bend beside it stays.
pub(crate) fn move_slot(slot: &mut mechanics::SlotPose, from: &ToothPose, to: &ToothPose) {
    let (from, to) = (from.stand(), to.stand());
    slot.lingual_mm += to.lingual_mm - from.lingual_mm;
    slot.gingival_mm += to.gingival_mm - from.gingival_mm;
    slot.along_mm += to.along_mm - from.along_mm;
    slot.rotated_rad += to.rotated_rad - from.rotated_rad;
    slot.tipped_rad += to.tipped_rad - from.tipped_rad;
    slot.torque_rad += to.torque_rad - from.torque_rad;
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tooth(code: u32) -> Tooth {
        Tooth::iso(code).unwrap()
    }

    #[test]
    fn words_and_numbers_say_the_same() {
        let stand = Stand {
            in_out: Some((from_mm(2.5).into(), InOut::Lingual)),
            up_down: Some((from_mm(1.0).into(), UpDown::Gingival)),
            rotated: Some((from_degrees(20.0).into(), Turn::MesialIn)),
            tipped: Some((from_degrees(5.0), Along::Distal)),
            torque: Some((from_degrees(3.0), CrownTurn::CrownLabial)),
            ..Stand::default()
        };
        for code in [12, 22, 33, 43] {
            let pose = ToothPose::from_stand(tooth(code), &stand);
            let back = ToothPose::from_stand(tooth(code), &pose.to_stand(tooth(code)));
            for (a, b) in pose.parts().iter().zip(back.parts()) {
                assert!((a - b).abs() < 1e-9, "{code}: {pose:?} {back:?}");
            }
        }
    }

    #[test]
    fn mesial_in_turns_the_edge_next_to_the_midline_lingual() {
        let stand = Stand {
            rotated: Some((from_degrees(20.0).into(), Turn::MesialIn)),
            ..Stand::default()
        };
        // On the right side the mesial edge is the one of larger station.
        assert!(ToothPose::from_stand(tooth(12), &stand).rotated_rad > 0.0);
        assert!(ToothPose::from_stand(tooth(22), &stand).rotated_rad < 0.0);
    }

    #[test]
    fn what_is_not_measured_stays() {
        let before = ToothPose { lingual_mm: 1.0, rotated_rad: 0.2, ..ToothPose::default() };
        let seen = Stand { in_out: Some((from_mm(0.5).into(), InOut::Labial)), ..Stand::default() };
        let after = before.updated(tooth(12), &seen);
        assert_eq!(after.lingual_mm, -0.5);
        assert_eq!(after.rotated_rad, 0.2);
    }
}
