//! Teeth that travel by the forces they have in the end: the end is the equilibrium where they then stand.

use springline_mechanics::{
    ArchLine, ArchWire, Components, Law, Load, Root, Setup, Slot, SlotPose, SolverSettings, Start,
    Support, ToothTravel, WireSection, solve, travel,
};

fn setup() -> Setup {
    let root = Root {
        centre_mm: [4.5, 9.5, 0.0],
        tip_lever_mm: 3.1,
        torque_lever_mm: 3.1,
        turn_lever_mm: 1.5,
    };
    let mut slots: Vec<Slot> = (0..5).map(|i| Slot::bracket(i, 8.0 * f64::from(i), 3.0)).collect();
    for slot in &mut slots {
        slot.support = Support::root(0.07, &root);
    }
    slots[2].stand = SlotPose { lingual_mm: 1.2, rotated_rad: 0.15, ..SlotPose::default() };
    slots[3].stand.gingival_mm = 0.8;
    let couple = [1.0, -1.0].map(|sign| Load {
        id: 1,
        lingual_n: 0.0,
        gingival_n: 2.0 * sign,
        along_n: 0.0,
        at_mm: [0.0, 0.0, sign],
    });
    Setup {
        arch: ArchLine::Straight,
        slots,
        wire: ArchWire::new(WireSection::round(0.4), Law::steel()),
        loads: couple.to_vec(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

fn ways(setup: &Setup, times: f64) -> Vec<ToothTravel> {
    let one = |slot: &Slot| {
        let own = slot.support;
        let way = Support {
            lingual_mm_per_n: times * own.lingual_mm_per_n,
            gingival_mm_per_n: times * own.gingival_mm_per_n,
            along_mm_per_n: times * own.along_mm_per_n,
            rotation_rad_per_nmm: 2.0 * times * own.rotation_rad_per_nmm,
            tip_rad_per_nmm: times * own.tip_rad_per_nmm,
            torque_rad_per_nmm: 0.5 * times * own.torque_rad_per_nmm,
            march_gingival_mm_per_n: times * own.march_gingival_mm_per_n,
            ..own
        };
        ToothTravel { id: slot.id, way, in_contact: slot.id.is_multiple_of(2) }
    };
    setup.slots.iter().map(one).collect()
}

fn apart(a: &Components, b: &Components) -> f64 {
    let forces = [
        a.lingual_n - b.lingual_n,
        a.gingival_n - b.gingival_n,
        (a.rotation_nmm - b.rotation_nmm) / 10.0,
        (a.tip_nmm - b.tip_nmm) / 10.0,
        (a.torque_nmm - b.torque_nmm) / 10.0,
    ];
    forces.into_iter().map(f64::abs).fold(0.0, f64::max)
}

#[test]
fn the_end_is_the_equilibrium_where_the_teeth_then_stand() {
    for times in [0.1, 1.0, 5.0] {
        let mut setup = setup();
        let start = solve(&setup, Start::Cold).unwrap();
        let ways = ways(&setup, times);
        let gone = travel(&setup, Start::Carry(&start), &ways).unwrap();
        for (slot, by) in setup.slots.iter_mut().zip(&gone.by) {
            slot.stand.lingual_mm += by.lingual_mm;
            slot.stand.gingival_mm += by.gingival_mm;
            slot.stand.rotated_rad += by.rotated_rad;
            slot.stand.tipped_rad += by.tipped_rad;
            slot.stand.torque_rad += by.torque_rad;
        }
        let there = solve(&setup, Start::Carry(&gone.solution)).unwrap();
        for (a, b) in gone.solution.teeth.iter().zip(&there.teeth) {
            // Edges are placed anew where the teeth have turned: a percent of the forces.
            let most = 0.02 * a.carried.drive_n() + 0.03;
            assert!(apart(&a.carried, &b.carried) < most, "{times} {a:?}\n{b:?}");
        }
        let worst = |s: &springline_mechanics::Solution| {
            s.teeth.iter().map(|t| t.resultant_n).fold(0.0, f64::max)
        };
        assert!(worst(&gone.solution) < worst(&start), "{times}");
    }
}

#[test]
fn without_a_way_nothing_goes() {
    let setup = setup();
    let start = solve(&setup, Start::Cold).unwrap();
    let still = solve(&setup, Start::Carry(&start)).unwrap();
    let gone = travel(&setup, Start::Carry(&start), &ways(&setup, 0.0)).unwrap();
    for (a, b) in still.teeth.iter().zip(&gone.solution.teeth) {
        assert!(apart(&a.carried, &b.carried) < 1e-3, "{a:?}\n{b:?}");
    }
    assert!(gone.by.iter().all(|by| *by == SlotPose::default()));
}
