//! Where the root of every tooth is held, how well it is held against turning, and how much it gives.
//!
//! The axes are those of the arch: the centre lies straight above (below) the bracket and to the inside. The usual
//! inclination of a tooth (an upper incisor leans some 30 degrees against the plane of its brackets) and its
//! recorded tip and torque are left out: the centre of a tooth that leans by `t` lies lower by the sine of `t` times
//! what it lies inside, so of an incisor 10 degrees out of the usual the lever changes by a tenth.

use crate::law::long_axis::slot_before_axis_mm;
use crate::law::periodontium::rotation_lever_mm;
use springline_mechanics::{Root, Stages, Support};
use springline_units::tooth::{Arch, Tooth};

/// Sizes of one tooth, mm, and its mobility, mm/N.
struct RootRow {
    /// Height of the crown, from its edge or cusp to the neck.
    crown: f64,
    /// Height of the slot above the edge or cusp.
    slot: f64,
    /// Length of the root from the neck.
    root: f64,
    held: Held,
    /// Give at the bracket under a labiolingual force there, first stage.
    give: f64,
}

/// What holds the tooth.
enum Held {
    /// One root.
    One,
    /// Two roots side by side across the arch, each so far from the middle: premolars.
    Across(f64),
    /// Molars: the furcation below the neck, and how far the roots stand from the middle along and across the arch.
    Furcated { neck_to_furcation: f64, along: f64, across: f64 },
}

/// From the neck to the crest of the bone: 0.4 to 1.9 mm where it is sound (Hausmann E et al. J Periodontol
/// 1991;62:657-661; value from memory), the middle.
const NECK_TO_CREST_MM: f64 = 1.2;

/// Centre of resistance of a single root, from the crest, of the root's length in bone. 0.33 by holograms of an
/// upper incisor (Burstone CJ, Pryputniewicz RJ. Am J Orthod 1980;77:396-409) and of a paraboloid; 0.42 by Nägerl H
/// et al. Am J Orthod Dentofacial Orthop 1991;99:337-345 (values from memory). 0.24 to 0.42 is possible: 0.1 moves
/// the centre by 1.2 mm.
const CENTRE_OF_ROOT: f64 = 1.0 / 3.0;

/// Lever of a single root against tip and torque, of its length in bone: the square is 0.068, by which the centre of
/// rotation lies `0.068 h^2 / d` beyond the centre of resistance for a force at the distance `d` (Burstone CJ, in
/// Kraus BS, Riedel RA: Vistas in Orthodontics, 1962; value from memory).
const LEVER_OF_ROOT: f64 = 0.261;

/// Centre of resistance of a molar below its furcation, mm: 1 to 2 (Smith RJ, Burstone CJ. Am J Orthod
/// 1984;85(4):294-307; near the trifurcation: Dermaut LR et al. Am J Orthod Dentofacial Orthop 1986;90:29-36; values from
/// memory).
const BELOW_FURCATION_MM: f64 = 1.5;

/// The give of incisors, canines, premolars and molars, mm/N, in the first stage. An incisor of 0.07 gives 0.05 mm under
/// 1 N and 0.12 mm under 5 N with [`Stages::LIGAMENT`] (Muehlemann HR. J Periodontol 1960;31:110-122: 0.05 to 0.10 and 0.10
/// to 0.12). The others are to it as the give under 5 N is: 0.11 mm of incisors, 0.07 of canines, 0.09 of premolars, 0.06 of
/// molars, each plus or minus 0.02 (the same author; all values from memory).
const GIVE: [f64; 4] = [0.070, 0.045, 0.057, 0.038];

/// Crowns and roots: Ash MM, Wheeler's Dental Anatomy, Physiology and Occlusion (textbook table). Slots: McLaughlin RP,
/// Bennett JC. J Clin Orthod 1995;29:552-555, average teeth. Furcations: Gher MW, Dunlap RW. J Periodontol
/// 1985;56:39-43; Dunlap RM, Gher ME. J Periodontol 1985;56:234-238. All values from memory. How far roots stand apart:
/// estimate from crown sizes, no source.
const fn row(crown: f64, slot: f64, root: f64, held: Held, give: f64) -> RootRow {
    RootRow { crown, slot, root, held, give }
}

const fn molar(neck_to_furcation: f64, along: f64, across: f64) -> Held {
    Held::Furcated { neck_to_furcation, along, across }
}

const UPPER: [RootRow; 8] = [
    row(10.5, 5.0, 13.0, Held::One, GIVE[0]),
    row(9.0, 4.5, 13.0, Held::One, GIVE[0]),
    row(10.0, 5.0, 17.0, Held::One, GIVE[1]),
    row(8.5, 4.5, 14.0, Held::Across(2.0), GIVE[2]),
    row(8.5, 4.0, 14.0, Held::One, GIVE[2]),
    row(7.5, 3.0, 12.5, molar(4.2, 2.0, 3.0), GIVE[3]),
    row(7.0, 2.0, 11.5, molar(4.0, 1.5, 2.5), GIVE[3]),
    row(6.5, 2.0, 11.0, molar(4.0, 1.0, 2.0), GIVE[3]),
];

const LOWER: [RootRow; 8] = [
    row(9.0, 4.0, 12.5, Held::One, GIVE[0]),
    row(9.5, 4.0, 14.0, Held::One, GIVE[0]),
    row(11.0, 4.5, 16.0, Held::One, GIVE[1]),
    row(8.5, 4.0, 14.0, Held::One, GIVE[2]),
    row(8.0, 3.5, 14.5, Held::One, GIVE[2]),
    row(7.5, 2.5, 14.0, molar(3.6, 2.7, 1.5), GIVE[3]),
    row(7.0, 2.5, 13.0, molar(3.6, 2.2, 1.5), GIVE[3]),
    row(7.0, 2.5, 11.0, molar(3.6, 1.5, 1.5), GIVE[3]),
];

/// A deciduous tooth's root against a permanent one's (estimate, no source).
const DECIDUOUS: f64 = 0.8;

fn row_of(tooth: Tooth) -> &'static RootRow {
    // Deciduous molars have the roots of molars.
    let position = match (tooth.is_deciduous(), tooth.position()) {
        (true, place @ 4..) => place + 2,
        (_, place) => place,
    };
    let index = usize::from(position).clamp(1, 8) - 1;
    match tooth.arch() {
        Arch::Upper => &UPPER[index],
        Arch::Lower => &LOWER[index],
    }
}

/// The root of a tooth as seen from its bracket.
pub fn root_of(tooth: Tooth) -> Root {
    let row = row_of(tooth);
    let size = if tooth.is_deciduous() { DECIDUOUS } else { 1.0 };
    let in_bone = size * row.root - NECK_TO_CREST_MM;
    let (from_neck, along, across) = match row.held {
        Held::One => (NECK_TO_CREST_MM + CENTRE_OF_ROOT * in_bone, 0.0, 0.0),
        Held::Across(across) => (NECK_TO_CREST_MM + CENTRE_OF_ROOT * in_bone, 0.0, across),
        Held::Furcated { neck_to_furcation, along, across } => {
            (neck_to_furcation + BELOW_FURCATION_MM, along, across)
        }
    };
    let lever = LEVER_OF_ROOT * in_bone;
    Root {
        centre_mm: [slot_before_axis_mm(tooth), size * (row.crown - row.slot) + from_neck, 0.0],
        tip_lever_mm: lever.hypot(along),
        torque_lever_mm: lever.hypot(across),
        turn_lever_mm: match row.held {
            Held::Furcated { .. } => along.hypot(across),
            _ => rotation_lever_mm(tooth),
        },
    }
}

/// The support of a tooth that moves.
pub fn root_support(tooth: Tooth) -> Support {
    let support = Support::root(row_of(tooth).give, &root_of(tooth));
    Support { stages: Stages::LIGAMENT, ..support }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> impl Iterator<Item = Tooth> {
        Arch::BOTH.into_iter().flat_map(|arch| (0..16).filter_map(move |n| Tooth::at(arch, n)))
    }

    /// Bodily movement by a force at the bracket asks for a couple of 8 to 10 N mm a newton by the textbooks (Proffit;
    /// value from memory), 9 to 13 here: brackets stand on the middle of the crown, and long canines go farthest.
    #[test]
    fn the_centre_lies_about_a_centimetre_above_the_bracket() {
        for tooth in all() {
            let [lingual, gingival, _] = root_of(tooth).centre_mm;
            assert!((8.0..13.0).contains(&gingival), "{tooth}: {gingival}");
            assert!((3.5..7.0).contains(&lingual), "{tooth}: {lingual}");
        }
    }

    /// A force at the bracket turns a single-rooted tooth about a point in the middle third of its root, under the centre
    /// of resistance: 0.068 h^2 / d beyond it.
    #[test]
    fn a_tooth_tips_about_a_point_just_beyond_its_centre() {
        for tooth in all().filter(|t| t.position() <= 5) {
            let root = root_of(tooth);
            let beyond = root.tip_lever_mm.powi(2) / root.centre_mm[1];
            assert!((0.5..2.0).contains(&beyond), "{tooth}: {beyond}");
        }
    }

    #[test]
    fn molars_give_less_than_incisors() {
        let incisor = Tooth::iso(11).map(root_support).unwrap();
        for tooth in all().filter(|t| t.is_molar()) {
            assert!(row_of(tooth).give < 0.7 * GIVE[0], "{tooth}");
            let turned = root_support(tooth).rotation_rad_per_nmm;
            assert!(turned < 0.5 * incisor.rotation_rad_per_nmm, "{tooth}: {turned}");
        }
    }
}
