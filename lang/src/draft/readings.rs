//! Other readings of the same mouth: positions are entered to half a millimetre and five degrees, and two people
//! who look at one arch write different figures.

use springline_model::Case;
use springline_model::stand::{Distance, Rotation, Stand};
use springline_units::quantity::{degrees, from_degrees, from_mm, mm};

/// Readings of one mouth that the finalists are computed for; an even number, as two are computed at a time.
pub const READINGS: usize = 8;

/// How far a reading may be off, mm and degrees: half of what entries are rounded to (estimate, no
/// source: no study of two readers of one mouth is behind it).
pub const OFF_MM: f64 = 0.25;
pub const OFF_DEG: f64 = 2.5;

/// The case as another reader would have entered it; the same for the same number.
pub fn reading(case: &Case, number: usize) -> Case {
    let mut case = case.clone();
    for arch in &mut case.arches {
        for (tooth, stand) in &mut arch.stands {
            let mut draws = ReadingDraws::new(number, tooth.code());
            stand.value = read_anew(stand.value, &mut draws);
        }
    }
    case
}

/// Figures that were entered, each a little off; what was not entered stays unsaid, and widths are measured on a
/// cast.
fn read_anew(stand: Stand, draws: &mut ReadingDraws) -> Stand {
    let mut length = |value: f64| from_mm((value + OFF_MM * draws.next()).max(0.0));
    let mut out = stand;
    if let Some((by, way)) = stand.in_out {
        out.in_out = Some((Distance::Measured(length(mm(by.length()))), way));
    }
    if let Some((by, way)) = stand.up_down {
        out.up_down = Some((Distance::Measured(length(mm(by.length()))), way));
    }
    out.space = stand.space.map(|space| length(mm(space)));
    let mut angle = |value: f64| from_degrees((value + OFF_DEG * draws.next()).max(0.0));
    if let Some((by, way)) = stand.rotated {
        out.rotated = Some((Rotation::Measured(angle(degrees(by.angle()))), way));
    }
    out.tipped = stand.tipped.map(|(by, way)| (angle(degrees(by)), way));
    out.torque = stand.torque.map(|(by, way)| (angle(degrees(by)), way));
    out
}

/// Even draws from -1 to 1, the same in every run (splitmix64, Steele et al. 2014).
struct ReadingDraws(u64);

impl ReadingDraws {
    fn new(reading: usize, tooth: u32) -> ReadingDraws {
        // The same for a tooth and its fellow on the other side, so that a mirrored arch is read alike.
        let place = u64::from(tooth % 10) + 10 * u64::from(u8::from(tooth / 10 > 2));
        ReadingDraws((reading as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (place << 32))
    }

    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        (z >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}
