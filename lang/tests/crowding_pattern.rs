//! The pattern behind a written crowding, by the account of room that the course keeps.

use springline_lang::course::{Crown, ToothPose, index_mm};
use springline_lang::model::crowding::{MISSING_PER_INDEX, pattern};
use springline_lang::units::anatomy::crown_width_mm;
use springline_lang::units::quantity::from_mm;
use springline_lang::units::tooth::Arch;

/// The pattern lacks the room that was written, by the course's own account.
#[test]
fn the_pattern_lacks_the_room_that_was_written() {
    for arch in Arch::BOTH {
        for by in [1.0, 2.0, 5.0, 8.0, 12.0] {
            let crowns: Vec<Crown> = pattern(arch, from_mm(by), |_| true)
                .into_iter()
                .map(|(tooth, stand)| {
                    let pose = ToothPose::from_stand(tooth, &stand);
                    Crown {
                        tooth,
                        width_mm: crown_width_mm(tooth),
                        lingual_mm: pose.lingual_mm,
                        rotated_rad: pose.rotated_rad,
                    }
                })
                .collect();
            assert_eq!(crowns.len(), 6);
            let lacks = MISSING_PER_INDEX * (index_mm(&crowns) - 1.0);
            // Places are rounded to a tenth of a millimetre, ten of them in the sum.
            assert!((lacks - by).abs() < 0.4, "{arch} {by}: {lacks}");
        }
    }
}
