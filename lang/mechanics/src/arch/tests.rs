use super::*;
use crate::quartic_line::QuarticPlace;
use proptest::prelude::*;

/// An ordinary lower form, and one that is square at the canines.
const OVOID: QuarticLine = QuarticLine { front_per_mm: 0.048, sides_per_mm: 0.019, reach_mm: 19.6 };
const SQUARE: QuarticLine =
    QuarticLine { front_per_mm: 0.032, sides_per_mm: 0.060, reach_mm: 19.5 };

const ALL: [ArchLine; 5] = [
    ArchLine::Straight,
    ArchLine::Circle { radius_mm: 22.0 },
    ArchLine::Catenary { a_mm: 15.0 },
    ArchLine::TwoWidths(OVOID),
    ArchLine::TwoWidths(SQUARE),
];

fn form() -> impl Strategy<Value = ArchLine> {
    let widths = (0.02..0.08, -0.03..0.08, 14.0..35.0).prop_map(|(f, g, b)| {
        ArchLine::TwoWidths(QuarticLine { front_per_mm: f, sides_per_mm: g, reach_mm: b })
    });
    prop_oneof![
        (15.0..40.0).prop_map(|radius_mm| ArchLine::Circle { radius_mm }),
        (10.0..25.0).prop_map(|a_mm| ArchLine::Catenary { a_mm }),
        widths,
    ]
}

#[test]
fn a_point_put_beside_the_line_is_found_again() {
    for arch in ALL {
        for (s, inward) in [(-36.0, 0.5), (-3.0, 3.0), (0.0, -2.0), (20.0, 1.0)] {
            let here = arch.station(s);
            let offset = here.compose(0.0, inward);
            let (found, depth) =
                arch.project([here.at[0] + offset[0], here.at[1] + offset[1]], s + 0.7);
            assert!((found - s).abs() < 1e-10 && (depth - inward).abs() < 1e-10, "{arch:?} {s}");
        }
    }
}

proptest! {
    /// However far it goes at once, the place is the same; it moves with the form's numbers as it says.
    #[test]
    fn a_place_by_widths_is_the_same_by_every_way(
        (f, g, b) in (0.02..0.08, -0.03..0.08, 14.0..35.0),
        s in -45.0..45.0,
        by_the_way in -45.0..45.0,
    ) {
        let form = QuarticLine { front_per_mm: f, sides_per_mm: g, reach_mm: b };
        let at = |form: QuarticLine| form.place_from(&QuarticPlace::default(), s);
        let here = at(form);
        let close = |a: [f64; 2], b: [f64; 2], within: f64| (0..2).all(|i| (a[i] - b[i]).abs() < within);
        prop_assert!(close(here.at_mm, ArchLine::TwoWidths(form).station(s).at, 1e-10));
        let mut walked = form.place_from(&QuarticPlace::default(), by_the_way);
        for step in 1..=60 {
            let to = by_the_way + (s - by_the_way) * f64::from(step) / 60.0;
            walked = form.place_from(&walked, to);
        }
        prop_assert!(close(here.at_mm, walked.at_mm, 1e-9), "{here:?} {walked:?}");
        let h = 1e-5;
        let changed = |df: f64, dg: f64| QuarticLine { front_per_mm: f + df, sides_per_mm: g + dg, ..form };
        for (i, (more, less)) in [(changed(h, 0.0), changed(-h, 0.0)), (changed(0.0, h), changed(0.0, -h))]
            .into_iter()
            .enumerate()
        {
            let (more, less) = (at(more), at(less));
            let slope = [0, 1].map(|k| (more.at_mm[k] - less.at_mm[k]) / (2.0 * h));
            // Two central differences of a curve of some 1000 mm per 1/mm.
            prop_assert!(close(slope, here.at_by[i], 1e-2), "{slope:?} {here:?}");
            let turn = (more.turn_rad - less.turn_rad) / (2.0 * h);
            prop_assert!((turn - here.turn_by[i]).abs() < 1e-6);
        }
    }

    /// Place, tangent, turn and curvature are one curve by its arc length.
    #[test]
    fn place_turn_and_curvature_belong_together(arch in form(), s in -45.0..45.0) {
        let h = 1e-4;
        let (before, here, after) = (arch.station(s - h), arch.station(s), arch.station(s + h));
        for i in 0..2 {
            let slope = (after.at[i] - before.at[i]) / (2.0 * h);
            prop_assert!((slope - here.tangent[i]).abs() < 1e-8, "{arch:?} {slope}");
        }
        prop_assert_eq!(arch.tangent(s), here.tangent);
        let turned = here.tangent[1].atan2(here.tangent[0]) - arch.turn_rad(s);
        prop_assert!(turned.sin().abs() < 1e-12 && turned.cos() > 0.0);
        let turn = (arch.turn_rad(s + h) - arch.turn_rad(s - h)) / (2.0 * h);
        let (k, dk) = arch.curvature(s);
        prop_assert!((turn - k).abs() < 1e-8);
        let slope = (arch.curvature(s + h).0 - arch.curvature(s - h).0) / (2.0 * h);
        prop_assert!((slope - dk).abs() < 1e-8);
        let (ks, dks) = arch.curvatures(Four::all(s));
        prop_assert!((ks.0[2] - k).abs() < 1e-15 && (dks.0[1] - dk).abs() < 1e-15);
        prop_assert!((arch.turn_rad(-s) + arch.turn_rad(s)).abs() < 1e-15);
    }

    #[test]
    fn what_lies_beside_a_form_is_found_again(arch in form(), s in -40.0..40.0, inward in -3.0..3.0) {
        let here = arch.station(s);
        let beside = here.compose(0.0, inward);
        let (found, depth) =
            arch.project([here.at[0] + beside[0], here.at[1] + beside[1]], s - 0.9);
        prop_assert!((found - s).abs() < 1e-9 && (depth - inward).abs() < 1e-9, "{arch:?} {found} {depth}");
    }

    /// The quadrature against one of a hundred times as many points.
    #[test]
    fn the_place_is_exact(f in 0.02..0.08, g in -0.03..0.08, b in 14.0..35.0, s in -50.0..50.0) {
        let form = QuarticLine { front_per_mm: f, sides_per_mm: g, reach_mm: b };
        let way = form.way(0.0, s);
        let finely = (0..100).map(|i| form.way(s * f64::from(i) / 100.0, s * f64::from(i + 1) / 100.0));
        let sum = finely.fold([0.0; 2], |sum, part| [sum[0] + part[0], sum[1] + part[1]]);
        prop_assert!((way[0] - sum[0]).hypot(way[1] - sum[1]) < 1e-11, "{way:?} {sum:?}");
    }
}
