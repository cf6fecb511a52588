//! The closed form of large deflections, which the solver is held to, against published tables.

use crate::support::elastica::{cantilever_elastica, three_point_elastica};

/// Bisshopp KE, Drucker DC. Q Appl Math 1945;3:272-275, by quadrature.
#[test]
fn cantilever_agrees_with_the_published_table() {
    for (load, d, x, slope) in [
        (0.5, 0.162_143_58, 0.984_081_04, 0.244_533_65),
        (1.0, 0.301_720_77, 0.943_566_76, 0.461_351_95),
        (2.0, 0.493_457_48, 0.839_358_28, 0.781_749_83),
        (3.0, 0.603_253_44, 0.745_579_82, 0.986_016_95),
        (5.0, 0.713_791_52, 0.612_371_64, 1.215_368_12),
        (10.0, 0.810_609_02, 0.445_004_4, 1.430_285_54),
    ] {
        let tip = cantilever_elastica(load).unwrap();
        assert!((tip.deflection_over_length / d - 1.0).abs() < 1e-5, "{load}: {tip:?}");
        assert!((tip.reach_over_length / x - 1.0).abs() < 1e-5, "{load}: {tip:?}");
        assert!((tip.slope_rad / slope - 1.0).abs() < 1e-5, "{load}: {tip:?}");
    }
}

/// Closed form of the rectangular elastica (Conway HD. Philos Mag 1947;38:905-911 is the problem).
#[test]
fn three_point_agrees_with_the_rectangular_elastica() {
    for (ratio, over, degrees) in [
        (0.05, 0.974_711_675_6, 8.566_904_44),
        (0.1, 0.903_680_581_3, 16.972_821_4),
        (0.2, 0.678_323_845_1, 32.759_928_5),
        (0.3, 0.439_864_360_7, 46.615_759_9),
    ] {
        let bend = three_point_elastica(ratio).unwrap();
        assert!((bend.over_small / over - 1.0).abs() < 1e-6, "{ratio}: {bend:?}");
        assert!((bend.support_rad.to_degrees() / degrees - 1.0).abs() < 1e-6, "{ratio}: {bend:?}");
    }
}
