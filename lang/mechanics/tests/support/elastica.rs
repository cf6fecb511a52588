//! Exact large deflections of a linear elastic wire, as reference values for the solver.

/// End of a cantilever under a dead load across its first direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CantileverTip {
    /// Deflection of the tip across the first direction, over the length.
    pub deflection_over_length: f64,
    /// Distance of the tip from the wall along the first direction.
    pub reach_over_length: f64,
    /// Slope of the tip against the first direction, rad.
    pub slope_rad: f64,
}

/// The cantilever elastica for `load = P L^2 / EI`, not negative (Bisshopp and Drucker's problem).
pub fn cantilever_elastica(load: f64) -> Option<CantileverTip> {
    if !(load.is_finite() && (0.0..=200.0).contains(&load)) {
        return None;
    }
    if load == 0.0 {
        return Some(CantileverTip {
            deflection_over_length: 0.0,
            reach_over_length: 1.0,
            slope_rad: 0.0,
        });
    }
    // sqrt(2 load) L = integral of d(theta) / sqrt(sin(tip) - sin(theta)): find the tip slope.
    let (mut low, mut high) = (0.0_f64, std::f64::consts::FRAC_PI_2);
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        if cantilever_integrals(mid).0 < (2.0 * load).sqrt() {
            low = mid;
        } else {
            high = mid;
        }
    }
    let tip = 0.5 * (low + high);
    let (length, rise) = cantilever_integrals(tip);
    // First integral at the wall gives the reach: theta'^2 / 2 = load sin(tip), M(0) = P x.
    let reach = (2.0 * tip.sin() / load).sqrt();
    Some(CantileverTip {
        deflection_over_length: rise / length,
        reach_over_length: reach,
        slope_rad: tip,
    })
}

/// Length and rise of the curve between wall and tip, up to one common scale, for a tip slope.
fn cantilever_integrals(tip: f64) -> (f64, f64) {
    // theta = tip - v^2 takes the root out of the denominator.
    let end = tip.sqrt();
    gauss(end, |v| {
        let theta = tip - v * v;
        // sin(tip) - sin(theta) = 2 cos(mean) sin(half difference), without cancellation.
        let under = 2.0 * (0.5 * (tip + theta)).cos() * (0.5 * v * v).sin();
        let weight = if under > 0.0 { 2.0 * v / under.sqrt() } else { 2.0 / tip.cos().sqrt() };
        (weight, weight * theta.sin())
    })
}

/// A three-point bend of an elastic wire that slides over its fulcrums.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreePointElastica {
    /// Force at mid-span over `48 EI d / L^3`.
    pub over_small: f64,
    /// `F L^2 / EI`.
    pub force: f64,
    /// Slope at the fulcrums, rad.
    pub support_rad: f64,
}

/// The exact bend for `ratio` = deflection over span, 0 to 0.5. Frictionless fulcrums push square to
/// the wire, so the whole wire is a piece of the rectangular elastica.
pub fn three_point_elastica(ratio: f64) -> Option<ThreePointElastica> {
    if !(ratio > 0.0 && ratio < 0.5) {
        return None;
    }
    let (mut low, mut high) = (1.0e-9_f64, 1.4_f64);
    for _ in 0..200 {
        let mid = 0.5 * (low + high);
        let (x, y) = half_span(mid);
        if y / (2.0 * x) < ratio {
            low = mid;
        } else {
            high = mid;
        }
    }
    let slope = 0.5 * (low + high);
    let (x, _) = half_span(slope);
    // With r the fulcrum's push over EI and half-span L/2 = x / sqrt(2 r): F = 2 r cos(slope).
    let force = 4.0 * x * x * slope.cos();
    Some(ThreePointElastica { over_small: force / (48.0 * ratio), force, support_rad: slope })
}

/// Half-span and rise between fulcrum and middle, scaled by `sqrt(2 r)`.
fn half_span(slope: f64) -> (f64, f64) {
    // k^2 / 2 = r sin(slope - theta): put theta = slope - v^2.
    gauss(slope.sqrt(), |v| {
        let theta = slope - v * v;
        let sine = (v * v).sin();
        let weight = if sine > 0.0 { 2.0 * v / sine.sqrt() } else { 2.0 };
        (weight * theta.cos(), weight * theta.sin())
    })
}

/// Integrates two functions from zero to `end` by 64 panels of five Gauss points.
fn gauss(end: f64, f: impl Fn(f64) -> (f64, f64)) -> (f64, f64) {
    const AT: [f64; 3] = [0.0, 0.538_469_310_105_683_1, 0.906_179_845_938_664];
    const WEIGHT: [f64; 3] =
        [0.568_888_888_888_888_9, 0.478_628_670_499_366_47, 0.236_926_885_056_189_1];
    let panels = 64;
    let half = end / f64::from(2 * panels);
    let mut sum = (0.0, 0.0);
    for panel in 0..panels {
        let mid = half * f64::from(2 * panel + 1);
        for (at, weight) in AT.iter().zip(WEIGHT) {
            let signs: &[f64] = if *at == 0.0 { &[1.0] } else { &[-1.0, 1.0] };
            for sign in signs {
                let (a, b) = f(mid + sign * at * half);
                sum.0 += weight * half * a;
                sum.1 += weight * half * b;
            }
        }
    }
    sum
}
