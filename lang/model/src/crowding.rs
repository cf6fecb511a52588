//! The pattern of irregularity assumed for an arch when only its crowding is given.

use super::stand::{InOut, Stand, Turn};
use springline_units::anatomy::SLOT_BEFORE_CONTACTS_MM;
use springline_units::quantity::{Length, from_degrees, from_mm, mm};
use springline_units::tooth::{Arch, Tooth};

/// Share of the irregularity above 1 mm that is missing room, where nobody wrote spaces: a guess.
/// Published cut-offs support no more than that the one grows with the other (Bernabe E, Flores-Mir C. Eur J
/// Orthod 2006;28(3):269-273).
pub const MISSING_PER_INDEX: f64 = 0.6;

/// Half-widths of the error of every front tooth of the pattern, mm and degrees: as large as what the pattern
/// itself does to a tooth in a moderately crowded arch. Common practice, no source.
pub const PATTERN_ERROR: (f64, f64) = (1.5, 15.0);

/// The six front teeth, from the patient's right.
fn front(arch: Arch) -> impl Iterator<Item = Tooth> {
    (0..16).filter_map(move |place| Tooth::at(arch, place)).filter(|t| t.is_anterior())
}

/// A typical pattern of so much crowding: laterals to the tongue with their mesial edge in, canines to the lip,
/// centrals in line. Common practice, no source; the irregularity it has is the one from which the course would
/// reckon the same lack of room. Teeth that are not there are left out.
pub fn pattern(arch: Arch, by: Length, is_there: impl Fn(Tooth) -> bool) -> Vec<(Tooth, Stand)> {
    let index = mm(by) / MISSING_PER_INDEX + 1.0;
    let tenths = |x: f64| from_mm((x * 10.0).round() / 10.0).into();
    let turn_deg = (2.0 * index).round().min(30.0);
    // The contacts of a turned crown stand nearer the lip than its bracket is displaced.
    let beyond_mm = SLOT_BEFORE_CONTACTS_MM * (1.0 - turn_deg.to_radians().cos());
    let stand = |tooth: Tooth| match tooth.position() {
        2 => Stand {
            in_out: Some((tenths(index / 5.0 + beyond_mm), InOut::Lingual)),
            rotated: Some((from_degrees(turn_deg).into(), Turn::MesialIn)),
            ..Stand::default()
        },
        3 => Stand { in_out: Some((tenths(index / 10.0), InOut::Labial)), ..Stand::default() },
        _ => Stand::default(),
    };
    front(arch).filter(|t| is_there(*t)).map(|t| (t, stand(t))).collect()
}
