//! Two wires in one slot: they share the curvature, add their moments, and lie side by side in the depth.

use crate::support::*;
use springline_mechanics::*;

fn stock(mil: f64, law: Law) -> Stock {
    Stock { section: WireSection::round(0.0254 * mil), law }
}

/// Three rigid brackets without play, the middle one off by so much.
fn three(off_mm: f64, first: Stock, second: Option<Stock>) -> Setup {
    let slots = (0..3)
        .map(|i| Slot {
            stand: SlotPose {
                lingual_mm: if i == 1 { off_mm } else { 0.0 },
                ..SlotPose::default()
            },
            play: Play::None,
            support: Support::RIGID,
            ..Slot::bracket(i, 8.0 * f64::from(i), 3.0)
        })
        .collect();
    let mut setup = straight(
        slots,
        first.section,
        first.law,
        SolverSettings { refinement: 2, ..SolverSettings::default() },
    );
    setup.settings.force_tolerance_n = 1e-8;
    setup.settings.flag_strain_refused = 1.0;
    setup.wire.tandem = second;
    setup
}

fn forces(setup: &Setup) -> Vec<f64> {
    on_wire(&solve(setup, Start::Cold).unwrap())
}

/// Closed form: curvature shared, so the rigidities add. Two equal wires push twice as hard whatever
/// their law; two of one alloy as the sum of their d^4 says.
#[test]
fn rigidities_add() {
    for law in [Law::steel(), Law::superelastic()] {
        let one = forces(&three(0.8, stock(14.0, law), None));
        let two = forces(&three(0.8, stock(14.0, law), Some(stock(14.0, law))));
        let twice: Vec<f64> = one.iter().map(|f| 2.0 * f).collect();
        assert!(apart(&two, &twice) < 1e-6 * largest(&twice), "{two:?} {twice:?}");
    }
    let one = forces(&three(0.3, stock(14.0, Law::steel()), None));
    let both = forces(&three(0.3, stock(14.0, Law::steel()), Some(stock(18.0, Law::steel()))));
    let ratio = 1.0 + (18.0_f64 / 14.0).powi(4);
    let want: Vec<f64> = one.iter().map(|f| ratio * f).collect();
    assert!(apart(&both, &want) < 1e-6 * largest(&want), "{both:?} {want:?}");
}

/// The same on the way back, history carried: both wires of a pair remember alike.
#[test]
fn two_equal_wires_unload_as_one_of_twice_the_force() {
    let law = Law::superelastic();
    let run = |second: Option<Stock>| {
        let first = solve(&three(1.5, stock(14.0, law), second), Start::Cold).unwrap();
        let back = three(0.6, stock(14.0, law), second);
        on_wire(&solve(&back, Start::Carry(&first)).unwrap())
    };
    let (one, two) = (run(None), run(Some(stock(14.0, law))));
    let twice: Vec<f64> = one.iter().map(|f| 2.0 * f).collect();
    assert!(apart(&two, &twice) < 1e-5 * largest(&twice), "{two:?} {twice:?}");
}

/// A superelastic wire beside a steel one of the same size: the pair is the sum of what both do alone at
/// the same curvatures. Where the curvature is set by the slots (rigid, no play, small offset) the shapes
/// are nearly alike, so the sum of the single wires is met within two per cent.
#[test]
fn unlike_wires_add_at_the_same_shape() {
    let pair =
        forces(&three(0.15, stock(14.0, Law::steel()), Some(stock(14.0, Law::superelastic()))));
    let alone = |law| forces(&three(0.15, stock(14.0, law), None));
    let (a, b) = (alone(Law::steel()), alone(Law::superelastic()));
    let sum: Vec<f64> = a.iter().zip(&b).map(|(x, y)| x + y).collect();
    assert!(apart(&pair, &sum) < 0.02 * largest(&sum), "{pair:?} {sum:?}");
}

/// Closed form: height of the slot less the larger wire is free, depth less both is. Two 0.014 in fill a
/// depth of 0.028 in exactly: no in-out play is left, while a single one has 0.36 mm of it.
#[test]
fn two_wires_leave_the_room_that_the_slot_has_beyond_them() {
    let law = Law::superelastic();
    let lying = |lingual_mm: f64, gingival_mm: f64, second: Option<Stock>| {
        let slots = (0..3)
            .map(|i| {
                let off = if i == 1 { 1.0 } else { 0.0 };
                Slot {
                    stand: SlotPose {
                        lingual_mm: off * lingual_mm,
                        gingival_mm: off * gingival_mm,
                        ..SlotPose::default()
                    },
                    ..Slot::bracket(i, 8.0 * f64::from(i), 3.0)
                }
            })
            .collect();
        let stock = stock(14.0, law);
        let mut setup = straight(slots, stock.section, stock.law, SolverSettings::default());
        setup.wire.tandem = second;
        solve(&setup, Start::Cold).unwrap()
    };
    let second = Some(stock(14.0, law));
    // Up and down a pair has as much room as one: 0.2032 mm in all.
    for pair in [None, second] {
        assert!(lying(0.0, 0.19, pair).teeth.iter().all(|t| t.passive));
        assert!(!lying(0.0, 0.22, pair).teeth.iter().all(|t| t.passive));
    }
    // In and out one has 0.3556 mm in all, the pair none.
    assert!(lying(0.33, 0.0, None).teeth.iter().all(|t| t.passive));
    assert!(!lying(0.05, 0.0, second).teeth.iter().all(|t| t.passive));
}

#[test]
fn a_pair_too_deep_for_the_slot_is_refused() {
    let mut setup =
        three(0.0, stock(16.0, Law::superelastic()), Some(stock(16.0, Law::superelastic())));
    setup.slots.iter_mut().for_each(|s| s.play = Play::Geometric);
    match solve(&setup, Start::Cold) {
        Err(Refusal::DoesNotFit { wire_mm, slot_mm, .. }) => {
            assert!((wire_mm - 0.8128).abs() < 1e-9 && (slot_mm - 0.7112).abs() < 1e-9);
        }
        other => panic!("{other:?}"),
    }
}
