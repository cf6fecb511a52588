//! Published and closed-form figures, each with its source.

use super::*;
use springline_mechanics::bench::{ThreePoint, moment_curvature, three_point};

/// One figure computed and wanted.
pub struct Check {
    pub what: String,
    pub source: &'static str,
    pub have: f64,
    pub want: f64,
    /// Absolute; half of the last printed digit unless the source says otherwise.
    pub tolerance: f64,
}

const MIL: f64 = 0.0254;
const BURSTONE: &str = "closed form; definition in Burstone CJ. Am J Orthod 1981;80(1):1-16";

pub fn checks() -> Vec<Check> {
    let mut all = Vec::new();
    let mut put = |what: String, source, have, want, tolerance| {
        all.push(Check { what, source, have, want, tolerance });
    };
    for (mil, want) in [
        (4.0, 1.0),
        (10.0, 39.06),
        (12.0, 81.0),
        (14.0, 150.06),
        (16.0, 256.0),
        (18.0, 410.06),
        (20.0, 625.0),
        (22.0, 915.06),
        (30.0, 3164.06),
        (36.0, 6561.0),
    ] {
        let cs = closed::cross_section_stiffness_number(&WireSection::round(MIL * mil)).unwrap().0;
        put(format!("cross-section stiffness number, round {mil} mil"), BURSTONE, cs, want, 0.006);
    }
    for (h, d, second, first) in [
        (10.0, 20.0, 132.63, 530.52),
        (16.0, 16.0, 434.60, 434.60),
        (16.0, 22.0, 597.57, 1129.79),
        (18.0, 18.0, 696.14, 696.14),
        (18.0, 25.0, 966.87, 1865.10),
        (21.0, 25.0, 1535.35, 2175.95),
        (21.5, 28.0, 1845.37, 3129.84),
    ] {
        let section = WireSection::rectangular(MIL * h, MIL * d, 0.0);
        let (v, l) = closed::cross_section_stiffness_number(&section).unwrap();
        put(format!("the same, {h} x {d} mil, second order"), BURSTONE, v, second, 0.006);
        put(format!("the same, {h} x {d} mil, first order"), BURSTONE, l, first, 0.006);
    }
    let doubled = closed::bending_inertia(&WireSection::round(0.8)).unwrap().0
        / closed::bending_inertia(&WireSection::round(0.4)).unwrap().0;
    put(
        "stiffness of a round wire of twice the diameter, ratio".into(),
        "Proffit WR, Fields HW, Sarver DM. Contemporary Orthodontics, 3rd-6th ed. (value from memory)",
        doubled,
        16.0,
        1e-9,
    );
    for (h, d, slot, want) in [
        (19.0, 25.0, 22.0, 7.24),
        (17.0, 25.0, 18.0, 2.32),
        (18.0, 25.0, 22.0, 9.82),
        (16.0, 22.0, 18.0, 5.40),
    ] {
        let section = WireSection::rectangular(MIL * h, MIL * d, 0.0);
        let play = closed::third_order_play(&section, MIL * slot).unwrap().to_degrees();
        put(
            format!("third-order play, {h}x{d} in {slot} slot, sharp, deg"),
            "closed form, exact projection of the rectangle",
            play,
            want,
            0.006,
        );
    }
    for (wire, slot, width, want) in
        [(16.0, 22.0, 3.3, 2.64), (16.0, 18.0, 3.3, 0.88), (14.0, 22.0, 3.15, 3.70)]
    {
        let angle = closed::critical_contact_angle(MIL * wire, width, MIL * slot).unwrap();
        put(
            format!("critical contact angle, {wire} mil in {slot} slot, width {width} mm, deg"),
            "formula of Kusy RP, Whitley JQ. Eur J Orthod 1999;21(2):199-208 (value from memory); within 2 %",
            angle.to_degrees(),
            want,
            0.02 * want,
        );
    }
    for (load, d, x, slope) in [
        (1.0, 0.30172, 0.05643, 0.46135),
        (2.0, 0.49346, 0.16064, 0.78175),
        (5.0, 0.71379, 0.38763, 1.21537),
    ] {
        let tip = elastica::cantilever_elastica(load).unwrap();
        let source = "Bisshopp KE, Drucker DC. Q Appl Math 1945;3(3):272-275";
        put(
            format!("cantilever, load {load}: deflection"),
            source,
            tip.deflection_over_length,
            d,
            1e-5,
        );
        put(
            format!("cantilever, load {load}: shortening"),
            source,
            1.0 - tip.reach_over_length,
            x,
            1e-5,
        );
        put(format!("cantilever, load {load}: slope"), source, tip.slope_rad, slope, 1e-5);
    }
    let (section, law) = unit_rigidity();
    for (ratio, want) in [(0.05, 2.33931), (0.10, 4.33767), (0.20, 6.51191), (0.31, 6.22744)] {
        let slots = vec![knife(1, -5.0, 0.0), knife(2, 0.0, 10.0 * ratio), knife(3, 5.0, 0.0)];
        let setup = straight(slots, section, law, strict(Kinematics::Exact));
        let force = on_wire(&solve(&setup, Start::Cold).unwrap())[1] * 100.0;
        put(
            format!("solver, three-point bend to {ratio} of the span, F L^2 / EI"),
            "elastica; problem of Conway HD. Philos Mag 1947;38:905-911",
            force,
            want,
            2e-4 * want,
        );
    }
    let slots = vec![knife(1, 0.0, 0.0), knife(2, 5.0, 0.01), knife(3, 10.0, 0.0)];
    let setup = straight(slots, section, law, strict(Kinematics::SmallSlope));
    let solution = solve(&setup, Start::Cold).unwrap();
    put(
        "solver, two equal spans, middle displaced: R_mid L^3 / (EI d)".into(),
        "three-moment equation, structural handbooks",
        on_wire(&solution)[1] * 125.0 / 0.01,
        6.0,
        1e-6,
    );
    put(
        "the same, end reaction".into(),
        "three-moment equation, structural handbooks",
        -on_wire(&solution)[0] * 125.0 / 0.01,
        3.0,
        1e-6,
    );
    for (mil, want) in [(14.0, 0.599), (16.0, 0.895), (18.0, 1.274)] {
        let flat = Flag::endless(50_000.0, 1e-3, 200.0, 0.5);
        let stock = Stock { section: WireSection::round(MIL * mil), law: Law::Flag(flat) };
        let full = moment_curvature(&stock, true, &[3.0]).unwrap()[0];
        put(
            format!("three-point force of a {mil} mil round wire all at 200 MPa, N"),
            "closed form 4 M / L, 10 mm span",
            4.0 * full / 10.0,
            want,
            0.006 * want,
        );
    }
    for (mil, at) in [
        (12.0, [0.39, 0.38, 0.36]),
        (14.0, [0.63, 0.61, 0.58]),
        (16.0, [0.95, 0.93, 0.89]),
        (18.0, [1.39, 1.35, 1.28]),
    ] {
        let stock = Stock { section: WireSection::round(MIL * mil), law: Law::superelastic() };
        let curve = three_point(&stock, &ThreePoint::standard()).unwrap();
        for (deflection, want) in [2.0, 1.0, 0.5].into_iter().zip(at) {
            put(
                format!("standard bend of superelastic {mil} mil, unloading at {deflection} mm, N"),
                "trial implementation with the same set, exact kinematics; printed digits and 2 %",
                curve.unloading_at(deflection).unwrap(),
                want,
                0.005 + 0.02 * want,
            );
        }
    }
    all
}
