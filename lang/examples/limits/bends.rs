//! Finishing bends: what one bent tooth of an aligned arch gets after 0.2 mm, against the limits of the movement that the
//! bend asks for. A bend beside a slot is the opposite displacement of the tooth.

use fastrand::Rng;
use springline_lang::mechanics::{Components, March, SlotPose, march};
use springline_lang::units::quantity::newtons_to_grams;
use springline_lang::units::tooth::Arch;

use crate::arches::{Label, bent_arch, finishing_wires};

/// A movement asked for by a bend: its limit, how the tooth is set for a size in mm or degrees, and its figure, g or N mm.
struct BendAsked {
    limit: &'static str,
    unit: &'static str,
    set: fn(&mut SlotPose, f64),
    figure: fn(&Components) -> f64,
    accepted: f64,
    heavy: f64,
}

const ASKED: [BendAsked; 6] = [
    BendAsked {
        limit: "intrusion",
        unit: "mm",
        set: |stand, mm| stand.gingival_mm -= mm,
        figure: |f| newtons_to_grams(f.gingival_n.abs()),
        accepted: 0.5,
        heavy: 1.0,
    },
    BendAsked {
        limit: "extrusion",
        unit: "mm",
        set: |stand, mm| stand.gingival_mm += mm,
        figure: |f| newtons_to_grams(f.gingival_n.abs()),
        accepted: 0.5,
        heavy: 1.0,
    },
    BendAsked {
        limit: "tipping",
        unit: "mm",
        set: |stand, mm| stand.lingual_mm += mm,
        figure: |f| newtons_to_grams(f.lingual_n.abs()),
        accepted: 0.5,
        heavy: 1.0,
    },
    BendAsked {
        limit: "couple, rotation",
        unit: "deg",
        set: |stand, deg| stand.rotated_rad += deg.to_radians(),
        figure: |f| f.rotation_nmm.abs(),
        accepted: 5.0,
        heavy: 10.0,
    },
    BendAsked {
        limit: "couple, uprighting",
        unit: "deg",
        set: |stand, deg| stand.tipped_rad += deg.to_radians(),
        figure: |f| f.tip_nmm.abs(),
        accepted: 5.0,
        heavy: 10.0,
    },
    BendAsked {
        limit: "torque",
        unit: "deg",
        set: |stand, deg| stand.torque_rad += deg.to_radians(),
        figure: |f| f.torque_nmm.abs(),
        // 12 degrees of it are the play of a full wire (8.8 to 20 by tolerances).
        accepted: 25.0,
        heavy: 40.0,
    },
];

/// A row for each movement, size and wire: median, 95 % and largest over so many draws in both arches.
pub fn table(draws: usize) {
    println!("| limit | bend | wire | label | pairs | median | 95 % | largest | no answer |");
    println!("| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
    for asked in &ASKED {
        for wire in finishing_wires() {
            for (size, label) in [(asked.accepted, Label::Accepted), (asked.heavy, Label::Heavy)] {
                // Steel is not bent so far in practice.
                let label = if wire.is_steel() { Label::Heavy } else { label };
                let (mut figures, mut refused) = (Vec::new(), 0);
                for arch in Arch::BOTH {
                    for n in 0..draws {
                        let mut rng = Rng::with_seed(104_729 * n as u64 + arch as u64);
                        let set = |stand: &mut SlotPose| (asked.set)(stand, size);
                        let (setup, id) = bent_arch(arch, wire.wire(), &set, &mut rng);
                        match march(&setup, &March::default()) {
                            Ok(m) => {
                                figures.extend(m.tooth(id).map(|t| (asked.figure)(&t.delivered)));
                            }
                            Err(_) => refused += 1,
                        }
                    }
                }
                figures.sort_by(f64::total_cmp);
                let at = |share: f64| {
                    let last = figures.len().saturating_sub(1);
                    figures.get((last as f64 * share).round() as usize).copied().unwrap_or(0.0)
                };
                println!(
                    "| {} | {size} {} | {} | {} | {} | {:.0} | {:.0} | {:.0} | {refused} |",
                    asked.limit,
                    asked.unit,
                    wire.name(),
                    label.word(),
                    figures.len(),
                    at(0.5),
                    at(0.95),
                    at(1.0)
                );
            }
        }
    }
}
