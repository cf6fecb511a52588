//! Energy of a point of the wire as a function of the node curves, with gradient and Hessian.
//!
//! The wire is `r(x) = c(x) + y n + z k` over the arch line `c`. With `p = r'` and `q = r''` in the
//! moving axes, `S = |p|` and `P = S + p1`, the curvature seen in the frame that the smallest rotation
//! carries from the arch line onto the wire is linear in `q`:
//!
//! ```text
//! K1 = q2/S^2 - p2 L/S^3      K2 = -q3/S^2 + p3 L/S^3      L = q1 + (p2 q2 + p3 q3)/P
//! tau = phi'/S + (p3 q2 - p2 q3)/(P S^2) + k0 p3/(P S)
//! ```
//!
//! A1, A2 are K1, K2 turned by the twist phi. The energy per length of arch line is
//! `[W(A1 - rest1, A2 - rest2) + GJ/2 (tau - rest)^2] S`.

use super::bending::{Bending, Moments};
use super::fibre::Ready;

/// Curves at a point of the arch line: y, y', y'', z', z'', phi, phi'.
pub(crate) type Point = [f64; 7];

/// What belongs to the point and does not change while solving.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Place {
    /// Curvature of the arch line and its derivative.
    pub k0: f64,
    pub dk0: f64,
    /// Curvatures and twist of the wire at rest, arch form included.
    pub rest: [f64; 3],
}

/// Energy per length of arch line, gradient and Hessian (full, symmetric) in the order of [`Point`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct Density {
    pub energy: f64,
    pub gradient: [f64; 7],
    pub hessian: [[f64; 7]; 7],
    /// Curvature that strains the fibres.
    pub curvature: [f64; 2],
}

/// A function of p with gradient and Hessian (11, 12, 13, 22, 23, 33).
#[derive(Clone, Copy)]
struct Jet {
    v: f64,
    g: [f64; 3],
    h: [f64; 6],
}

/// Where (i, j) sits in a packed Hessian.
const PACKED: [(usize, usize); 6] = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)];

impl Jet {
    /// `S^-n`.
    fn inverse_power(p: [f64; 3], square: f64, n: f64, value: f64) -> Jet {
        let first = -n * value / square;
        let second = n * (n + 2.0) * value / (square * square);
        let mut h = [0.0; 6];
        for (slot, (i, j)) in h.iter_mut().zip(PACKED) {
            *slot = second * p[i] * p[j] + if i == j { first } else { 0.0 };
        }
        Jet { v: value, g: p.map(|x| first * x), h }
    }

    fn times(&self, o: &Jet) -> Jet {
        let mut h = [0.0; 6];
        for (n, (i, j)) in PACKED.into_iter().enumerate() {
            h[n] = self.v * o.h[n] + o.v * self.h[n] + self.g[i] * o.g[j] + self.g[j] * o.g[i];
        }
        let g = std::array::from_fn(|i| self.v * o.g[i] + o.v * self.g[i]);
        Jet { v: self.v * o.v, g, h }
    }

    /// Product with the linear function `c + w . p` whose value at p is `value`.
    fn times_linear(&self, value: f64, w: [f64; 3]) -> Jet {
        let mut h = [0.0; 6];
        for (n, (i, j)) in PACKED.into_iter().enumerate() {
            h[n] = value * self.h[n] + w[i] * self.g[j] + w[j] * self.g[i];
        }
        let g = std::array::from_fn(|i| value * self.g[i] + w[i] * self.v);
        Jet { v: value * self.v, g, h }
    }

    /// `a self + b other`.
    fn blend(&self, a: f64, o: &Jet, b: f64) -> Jet {
        Jet {
            v: a * self.v + b * o.v,
            g: std::array::from_fn(|i| a * self.g[i] + b * o.g[i]),
            h: std::array::from_fn(|i| a * self.h[i] + b * o.h[i]),
        }
    }
}

/// The exact density.
pub(crate) fn exact(at: &Point, place: &Place, bending: &Bending, state: &[Ready]) -> Density {
    let [y, dy, ddy, dz, ddz, phi, dphi] = *at;
    let Place { k0, dk0, rest } = *place;
    let p = [1.0 - k0 * y, dy, dz];
    let q = [-2.0 * k0 * dy - dk0 * y, ddy + k0 * p[0], ddz];

    let square = p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
    let s = square.sqrt();
    let inv = 1.0 / s;
    let t = p.map(|x| x * inv);
    let a1 = Jet::inverse_power(p, square, 1.0, inv);
    let a2 = Jet::inverse_power(p, square, 2.0, inv * inv);
    let a3 = Jet::inverse_power(p, square, 3.0, inv * inv * inv);
    let r = {
        let v = 1.0 / (s + p[0]);
        let w = [t[0] + 1.0, t[1], t[2]];
        let mut h = [0.0; 6];
        for (n, (i, j)) in PACKED.into_iter().enumerate() {
            let unit = if i == j { 1.0 } else { 0.0 };
            h[n] = 2.0 * v * v * v * w[i] * w[j] - v * v * (unit - t[i] * t[j]) * inv;
        }
        Jet { v, g: w.map(|x| -v * v * x), h }
    };
    let ra1 = r.times(&a1);
    let ra2 = r.times(&a2);
    let ra3 = r.times(&a3);

    // M = L / S^3, so that K1 = q2 a2 - p2 M and K2 = -q3 a2 + p3 M.
    let c = p[1] * q[1] + p[2] * q[2];
    let m = ra3.times_linear(c, [0.0, q[1], q[2]]).blend(1.0, &a3, q[0]);
    let k1 = a2.blend(q[1], &m.times_linear(p[1], [0.0, 1.0, 0.0]), -1.0);
    let k2 = a2.blend(-q[2], &m.times_linear(p[2], [0.0, 0.0, 1.0]), 1.0);
    let swirl = p[2] * q[1] - p[1] * q[2];
    let tau = ra2
        .times_linear(swirl, [0.0, -q[2], q[1]])
        .blend(1.0, &ra1.times_linear(p[2], [0.0, 0.0, 1.0]), k0)
        .blend(1.0, &a1, dphi);

    // Derivatives by q, and their gradients by p.
    let k1_q = [-p[1] * a3.v, a2.v - p[1] * p[1] * ra3.v, -p[1] * p[2] * ra3.v];
    let k2_q = [p[2] * a3.v, p[1] * p[2] * ra3.v, -a2.v + p[2] * p[2] * ra3.v];
    let tau_q = [0.0, p[2] * ra2.v, -p[1] * ra2.v];

    let (sin, cos) = phi.sin_cos();
    let (f1, f2) = (k1.v * cos - k2.v * sin, k1.v * sin + k2.v * cos);
    let curvature = [f1 - rest[0], f2 - rest[1]];
    let Moments { energy: w, moment: [m1, m2], tangent: [c11, c12, c22] } =
        bending.answer(curvature, state);
    let gj = bending.torsion;
    let twist = tau.v - rest[2];
    let torque = gj * twist;
    let per_length = w + 0.5 * torque * twist;

    // First derivatives in the order p, q, phi, phi'.
    let turn = |u: f64, v: f64| (u * cos - v * sin, u * sin + v * cos);
    let mut d1 = [0.0; 8];
    let mut d2 = [0.0; 8];
    let mut dt = [0.0; 8];
    for i in 0..3 {
        (d1[i], d2[i]) = turn(k1.g[i], k2.g[i]);
        (d1[3 + i], d2[3 + i]) = turn(k1_q[i], k2_q[i]);
        dt[i] = tau.g[i];
        dt[3 + i] = tau_q[i];
    }
    (d1[6], d2[6]) = (-f2, f1);
    dt[7] = inv;

    let mut gradient = [0.0; 8];
    let mut hessian = [[0.0; 8]; 8];
    for i in 0..8 {
        let ts = if i < 3 { t[i] } else { 0.0 };
        gradient[i] = s * (m1 * d1[i] + m2 * d2[i] + torque * dt[i]) + per_length * ts;
        let w1 = s * (c11 * d1[i] + c12 * d2[i]) + m1 * ts;
        let w2 = s * (c12 * d1[i] + c22 * d2[i]) + m2 * ts;
        let w3 = s * gj * dt[i] + torque * ts;
        let w4 = m1 * d1[i] + m2 * d2[i] + torque * dt[i];
        for j in i..8 {
            let ts = if j < 3 { t[j] } else { 0.0 };
            hessian[i][j] = w1 * d1[j] + w2 * d2[j] + w3 * dt[j] + w4 * ts;
        }
    }

    // Second derivatives of the four functions under their weights.
    let alpha = s * (m1 * cos + m2 * sin);
    let beta = s * (m2 * cos - m1 * sin);
    let gamma = s * torque;
    for (n, (i, j)) in PACKED.into_iter().enumerate() {
        let unit = if i == j { 1.0 } else { 0.0 };
        hessian[i][j] += alpha * k1.h[n]
            + beta * k2.h[n]
            + gamma * tau.h[n]
            + per_length * (unit - t[i] * t[j]) * inv;
    }
    let (p2, p3) = (p[1], p[2]);
    for i in 0..3 {
        let e2 = if i == 1 { 1.0 } else { 0.0 };
        let e3 = if i == 2 { 1.0 } else { 0.0 };
        let (g3, gr3, gr2) = (a3.g[i], ra3.g[i], ra2.g[i]);
        let cross = p2 * p3 * gr3 + (e2 * p3 + e3 * p2) * ra3.v;
        hessian[i][3] += alpha * -(p2 * g3 + e2 * a3.v) + beta * (p3 * g3 + e3 * a3.v);
        hessian[i][4] += alpha * (a2.g[i] - p2 * p2 * gr3 - 2.0 * p2 * e2 * ra3.v)
            + beta * cross
            + gamma * (p3 * gr2 + e3 * ra2.v);
        hessian[i][5] += alpha * -cross + beta * (-a2.g[i] + p3 * p3 * gr3 + 2.0 * p3 * e3 * ra3.v)
            - gamma * (p2 * gr2 + e2 * ra2.v);
        hessian[i][7] += gamma * a1.g[i];
    }
    for i in 0..6 {
        hessian[i][6] += s * (m2 * d1[i] - m1 * d2[i]);
    }
    hessian[6][6] -= s * (m1 * f1 + m2 * f2);
    for i in 0..8 {
        for j in 0..i {
            hessian[i][j] = hessian[j][i];
        }
    }

    Density {
        energy: s * per_length,
        gradient: pull_vector(&gradient, k0, dk0),
        hessian: pull_matrix(&hessian, k0, dk0),
        curvature,
    }
}

/// The energy alone, written without jets to check them.
#[cfg(test)]
pub(crate) fn exact_energy(at: &Point, place: &Place, bending: &Bending, state: &[Ready]) -> f64 {
    let [y, dy, ddy, dz, ddz, phi, dphi] = *at;
    let Place { k0, dk0, rest } = *place;
    let p = [1.0 - k0 * y, dy, dz];
    let q = [-2.0 * k0 * dy - dk0 * y, ddy + k0 * p[0], ddz];
    let square = p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
    let s = square.sqrt();
    let (inv2, r) = (1.0 / square, 1.0 / (s + p[0]));
    let m = (q[0] + (p[1] * q[1] + p[2] * q[2]) * r) * inv2 / s;
    let (k1, k2) = (q[1] * inv2 - p[1] * m, -q[2] * inv2 + p[2] * m);
    let tau = (dphi + k0 * p[2] * r) / s + (p[2] * q[1] - p[1] * q[2]) * r * inv2;
    let (sin, cos) = phi.sin_cos();
    let curvature = [k1 * cos - k2 * sin - rest[0], k1 * sin + k2 * cos - rest[1]];
    let twist = tau - rest[2];
    s * (bending.answer(curvature, state).energy + 0.5 * bending.torsion * twist * twist)
}

/// The density of small slopes.
pub(crate) fn small_slope(
    at: &Point,
    place: &Place,
    bending: &Bending,
    state: &[Ready],
) -> Density {
    let [y, _, ddy, dz, ddz, phi, dphi] = *at;
    let Place { k0, rest, .. } = *place;
    let curvature = [ddy + k0 * k0 * y - (rest[0] - k0), k0 * phi - ddz - rest[1]];
    let Moments { energy, moment: [m1, m2], tangent: [c11, c12, c22] } =
        bending.answer(curvature, state);
    let gj = bending.torsion;
    let twist = dphi + k0 * dz - rest[2];
    let d1 = [k0 * k0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0];
    let d2 = [0.0, 0.0, 0.0, 0.0, -1.0, k0, 0.0];
    let dt = [0.0, 0.0, 0.0, k0, 0.0, 0.0, 1.0];
    let mut gradient = [0.0; 7];
    let mut hessian = [[0.0; 7]; 7];
    for i in 0..7 {
        gradient[i] = m1 * d1[i] + m2 * d2[i] + gj * twist * dt[i];
        let (w1, w2) = (c11 * d1[i] + c12 * d2[i], c12 * d1[i] + c22 * d2[i]);
        for j in 0..7 {
            hessian[i][j] = w1 * d1[j] + w2 * d2[j] + gj * dt[i] * dt[j];
        }
    }
    Density { energy: energy + 0.5 * gj * twist * twist, gradient, hessian, curvature }
}

/// From derivatives by (p, q, phi, phi') to derivatives by the curves.
fn pull_vector(g: &[f64; 8], k0: f64, dk0: f64) -> [f64; 7] {
    [-k0 * g[0] - dk0 * g[3] - k0 * k0 * g[4], g[1] - 2.0 * k0 * g[3], g[4], g[2], g[5], g[6], g[7]]
}

fn pull_matrix(h: &[[f64; 8]; 8], k0: f64, dk0: f64) -> [[f64; 7]; 7] {
    let mut half = [[0.0; 8]; 7];
    for j in 0..8 {
        let column = std::array::from_fn(|i| h[i][j]);
        let pulled = pull_vector(&column, k0, dk0);
        for i in 0..7 {
            half[i][j] = pulled[i];
        }
    }
    std::array::from_fn(|i| pull_vector(&half[i], k0, dk0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Law, Section, Stock};

    fn check(law: Law, section: Section) {
        let bending = Bending::new(&[Stock { section, law }], 8).unwrap();
        let place = Place { k0: 0.06, dk0: -0.003, rest: [0.05, 0.01, 0.002] };
        for at in [
            [0.3, 0.2, 0.1, -0.3, 0.05, 0.2, 0.03],
            [-0.4, -0.9, -0.2, 0.5, 0.11, -0.3, -0.02],
            [0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0],
        ] {
            let here = exact(&at, &place, &bending, &[]);
            assert!((here.energy - exact_energy(&at, &place, &bending, &[])).abs() < 1e-12);
            for i in 0..7 {
                let h = 1e-6;
                let shifted = |d: f64| {
                    let mut a = at;
                    a[i] += d;
                    exact(&a, &place, &bending, &[])
                };
                let (low, high) = (shifted(-h), shifted(h));
                let slope = (high.energy - low.energy) / (2.0 * h);
                assert!(
                    (slope - here.gradient[i]).abs() < 1e-5 * (1.0 + slope.abs()),
                    "gradient {i}"
                );
                for j in 0..7 {
                    let bend = (high.gradient[j] - low.gradient[j]) / (2.0 * h);
                    let error = (bend - here.hessian[i][j]).abs();
                    assert!(
                        error < 2e-5 * (1.0 + bend.abs()),
                        "{i} {j} {bend} {}",
                        here.hessian[i][j]
                    );
                }
            }
        }
    }

    #[test]
    fn derivatives_of_the_exact_density_are_right() {
        check(Law::steel(), Section::round(0.4));
        check(Law::beta_titanium(), Section::rectangular(0.48, 0.63, 0.0));
    }

    /// A rigid turn of a curved wire bends and twists nothing, whatever its size.
    #[test]
    fn a_rigid_motion_costs_no_energy() {
        use crate::ArchLine;
        let radius = 20.0;
        let arch = ArchLine::Circle { radius_mm: radius };
        // Turn by 0.5 rad about a slanting axis, then see the turned circle over the same arch line.
        let axis = [0.6_f64, 0.64, 0.48];
        let angle = 0.5_f64;
        let turned = |v: [f64; 3]| -> [f64; 3] {
            let dot = axis[0] * v[0] + axis[1] * v[1] + axis[2] * v[2];
            let cross = [
                axis[1] * v[2] - axis[2] * v[1],
                axis[2] * v[0] - axis[0] * v[2],
                axis[0] * v[1] - axis[1] * v[0],
            ];
            let (s, c) = angle.sin_cos();
            std::array::from_fn(|i| v[i] * c + cross[i] * s + axis[i] * dot * (1.0 - c))
        };
        let curve = |x: f64| {
            // The material station whose turned place lies in the normal plane at x.
            let here = arch.station(x);
            let mut m = x;
            for _ in 0..60 {
                let at = |m: f64| {
                    let c = arch.station(m);
                    let r = turned([c.at[0], c.at[1], 0.0]);
                    here.resolve([r[0] - here.at[0], r[1] - here.at[1]]).0
                };
                m -= at(m) / ((at(m + 1e-5) - at(m - 1e-5)) / 2e-5);
            }
            let c = arch.station(m);
            let r = turned([c.at[0], c.at[1], 0.0]);
            (here.resolve([r[0] - here.at[0], r[1] - here.at[1]]).1, r[2])
        };
        let h = 1e-3;
        let k0 = 1.0 / radius;
        let stock = Stock { section: Section::round(0.4), law: Law::steel() };
        let bending = Bending::new(&[stock], 8).unwrap();
        let point = |x: f64, phi: f64, dphi: f64| -> Point {
            let (a, b, c) = (curve(x - h), curve(x), curve(x + h));
            [
                b.0,
                (c.0 - a.0) / (2.0 * h),
                (c.0 - 2.0 * b.0 + a.0) / (h * h),
                (c.1 - a.1) / (2.0 * h),
                (c.1 - 2.0 * b.1 + a.1) / (h * h),
                phi,
                dphi,
            ]
        };
        // Unturned curvature components give the roll that brings the bend home.
        let free = Place { k0, dk0: 0.0, rest: [0.0; 3] };
        let roll = |x: f64| {
            let k = exact(&point(x, 0.0, 0.0), &free, &bending, &[]).curvature;
            assert!((k[0].hypot(k[1]) - k0).abs() < 1e-5, "{k:?}");
            -k[1].atan2(k[0])
        };
        for x in [-4.0, 0.0, 3.0] {
            let phi = roll(x);
            let dphi = (roll(x + 0.05) - roll(x - 0.05)) / 0.1;
            let home = Place { rest: [k0, 0.0, 0.0], ..free };
            let d = exact(&point(x, phi, dphi), &home, &bending, &[]);
            assert!(d.energy.abs() < 1e-4, "{x}: {}", d.energy);
        }
    }

    #[test]
    fn both_densities_agree_for_small_slopes() {
        let stock = Stock { section: Section::rectangular(0.4, 0.6, 0.0), law: Law::steel() };
        let bending = Bending::new(&[stock], 8).unwrap();
        let place = Place { k0: 0.05, dk0: 0.0, rest: [0.05, 0.0, 0.0] };
        let at = [1e-5, 2e-5, 3e-5, -1e-5, 2e-5, 4e-5, -2e-5];
        let (a, b) = (exact(&at, &place, &bending, &[]), small_slope(&at, &place, &bending, &[]));
        for i in 0..7 {
            let scale = 1e-3 * b.gradient.iter().fold(0.0_f64, |m, g| m.max(g.abs()));
            assert!(
                (a.gradient[i] - b.gradient[i]).abs() < scale,
                "{i} {:?} {:?}",
                a.gradient,
                b.gradient
            );
        }
    }
}
