//! Energy of a point of the wire as a function of the node curves, with gradient and Hessian.
//!
//! The wire is `r(x) = c(x) + y n + z k` over a base line `c`: the arch line, or the slot line with axes that do
//! not turn about it. It bends by `k0` towards n and by `kz` towards k (nothing on the arch line). With `p = r'` and `q = r''` in the
//! moving axes, `S = |p|` and `P = S + p1`, the curvature seen in the frame that the smallest rotation
//! carries from the base line onto the wire is linear in `q`:
//!
//! ```text
//! K1 = q2/S^2 - p2 L/S^3      K2 = -q3/S^2 + p3 L/S^3      L = q1 + (p2 q2 + p3 q3)/P
//! tau = phi'/S + (p3 q2 - p2 q3)/(P S^2) + (k0 p3 - kz p2)/(P S)
//! ```
//!
//! A1, A2 are K1, K2 turned by the twist phi. The energy per length of base line is
//! `[W(A1 - rest1, A2 - rest2) + GJ/2 (tau - rest)^2] S`. Where the wire carries an axial force, its level
//! `C` (compression positive) does the work `C S`, which gradient and Hessian count and the energy does not.

use super::bending::{Bending, Moments};
use super::fibre::ReadyFour;
use super::simd::Four;

/// Curves at a point of the base line: y, y', y'', z', z'', phi, phi', z.
pub(crate) type PointCurves = [f64; 8];

/// Four points at once.
pub(crate) type FourPointCurves = [Four; 8];

/// What belongs to the point and does not change while solving.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct ArchPoint {
    /// Curvature of the base line towards y and its derivative.
    pub k0: f64,
    pub dk0: f64,
    /// The same towards z: none on the arch line.
    pub kz: f64,
    pub dkz: f64,
    /// Curvature of the wire's form where it lies undisturbed.
    pub form: f64,
    /// Curvatures and twist of the wire at rest, arch form included.
    pub rest: [f64; 3],
}

/// Four places.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct FourArchPoints {
    pub k0: Four,
    pub dk0: Four,
    pub kz: Four,
    pub dkz: Four,
    pub form: Four,
    pub rest: [Four; 3],
    /// Axial force of the wire, compression positive, N.
    pub level: Four,
}

impl FourArchPoints {
    pub fn of([a, b, c, d]: [ArchPoint; 4]) -> FourArchPoints {
        FourArchPoints {
            k0: Four([a.k0, b.k0, c.k0, d.k0]),
            dk0: Four([a.dk0, b.dk0, c.dk0, d.dk0]),
            kz: Four([a.kz, b.kz, c.kz, d.kz]),
            dkz: Four([a.dkz, b.dkz, c.dkz, d.dkz]),
            form: Four([a.form, b.form, c.form, d.form]),
            rest: [
                Four([a.rest[0], b.rest[0], c.rest[0], d.rest[0]]),
                Four([a.rest[1], b.rest[1], c.rest[1], d.rest[1]]),
                Four([a.rest[2], b.rest[2], c.rest[2], d.rest[2]]),
            ],
            level: Four::ZERO,
        }
    }
}

/// Elastic energy per length of base line; gradient in the order of [`PointCurves`], of the energy less the work of
/// the axial level.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Density {
    pub energy: Four,
    pub gradient: [Four; 8],
    /// Curvature that strains the fibres.
    pub curvature: [Four; 2],
    /// Moment in the plane of the arch form, times the stretch of the line.
    pub leans: Four,
}

/// Second derivatives that belong to a [`Density`]: written anew for every four points, made once for a whole wire.
#[derive(Debug, Clone, Default)]
pub(crate) struct Hessians {
    /// By the curves, full and symmetric.
    pub by_curves: [[Four; 8]; 8],
    /// By (p, q, phi, phi'), upper triangle; and with rows by the curves.
    by_own: [[Four; 8]; 8],
    half_way: [[Four; 8]; 8],
}

/// What the sections of four points remember.
pub(crate) type States<'a> = [&'a [ReadyFour]; 4];

/// Responses of the sections at four points.
#[inline(always)]
fn sections(bending: &Bending, k: [Four; 2], states: &States<'_>) -> (Four, [Four; 2], [Four; 3]) {
    let mut energy = [0.0; 4];
    let mut moment = [[0.0; 4]; 2];
    let mut tangent = [[0.0; 4]; 3];
    for i in 0..4 {
        let m: Moments = bending.answer([k[0].0[i], k[1].0[i]], states[i]);
        energy[i] = m.energy;
        for j in 0..2 {
            moment[j][i] = m.moment[j];
        }
        for j in 0..3 {
            tangent[j][i] = m.tangent[j];
        }
    }
    (Four(energy), moment.map(Four), tangent.map(Four))
}

/// A function of p with gradient and Hessian (11, 12, 13, 22, 23, 33).
#[derive(Clone, Copy)]
struct Jet {
    v: Four,
    g: [Four; 3],
    h: [Four; 6],
}

/// Where (i, j) sits in a packed Hessian.
const PACKED: [(usize, usize); 6] = [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)];

impl Jet {
    /// `S^-n`, from its value and the inverse of `S^2`; `pp` holds the products of p.
    #[inline(always)]
    fn inverse_power(p: &[Four; 3], pp: &[Four; 6], over: Four, n: f64, value: Four) -> Jet {
        let first = value * over * -n;
        let second = first * over * -(n + 2.0);
        let mut h = [Four::ZERO; 6];
        for n in 0..6 {
            h[n] = second * pp[n];
        }
        for n in [0, 3, 5] {
            h[n] += first;
        }
        Jet { v: value, g: [first * p[0], first * p[1], first * p[2]], h }
    }

    #[inline(always)]
    fn times(&self, o: &Jet) -> Jet {
        let mut h = [Four::ZERO; 6];
        for n in 0..6 {
            let (i, j) = PACKED[n];
            let cross = if i == j {
                self.g[i] * o.g[i] * 2.0
            } else {
                self.g[i] * o.g[j] + self.g[j] * o.g[i]
            };
            h[n] = self.v * o.h[n] + o.v * self.h[n] + cross;
        }
        let mut g = [Four::ZERO; 3];
        for i in 0..3 {
            g[i] = self.v * o.g[i] + o.v * self.g[i];
        }
        Jet { v: self.v * o.v, g, h }
    }

    /// Product with a linear function of p2 and p3 whose value is `value` and slopes `w`.
    #[inline(always)]
    fn times_linear(&self, value: Four, w: [Four; 2]) -> Jet {
        let g = &self.g;
        let h = [
            value * self.h[0],
            value * self.h[1] + w[0] * g[0],
            value * self.h[2] + w[1] * g[0],
            value * self.h[3] + w[0] * g[1] * 2.0,
            value * self.h[4] + w[0] * g[2] + w[1] * g[1],
            value * self.h[5] + w[1] * g[2] * 2.0,
        ];
        let g = [value * g[0], value * g[1] + w[0] * self.v, value * g[2] + w[1] * self.v];
        Jet { v: value * self.v, g, h }
    }

    /// Product with p2 (`axis` 0) or p3 (`axis` 1).
    #[inline(always)]
    fn times_axis(&self, value: Four, axis: usize) -> Jet {
        let (g, v) = (&self.g, self.v);
        let mut h = [Four::ZERO; 6];
        for n in 0..6 {
            h[n] = value * self.h[n];
        }
        if axis == 0 {
            h[1] += g[0];
            h[3] += g[1] * 2.0;
            h[4] += g[2];
        } else {
            h[2] += g[0];
            h[4] += g[1];
            h[5] += g[2] * 2.0;
        }
        let mut slopes = [value * g[0], value * g[1], value * g[2]];
        slopes[1 + axis] += v;
        Jet { v: value * v, g: slopes, h }
    }

    /// `a self + other`.
    #[inline(always)]
    fn scaled_plus(&self, a: Four, o: &Jet) -> Jet {
        let mut r = *o;
        r.v += a * self.v;
        for i in 0..3 {
            r.g[i] += a * self.g[i];
        }
        for i in 0..6 {
            r.h[i] += a * self.h[i];
        }
        r
    }

    /// `a self - other`.
    #[inline(always)]
    fn scaled_minus(&self, a: Four, o: &Jet) -> Jet {
        let mut r = Jet { v: a * self.v - o.v, g: self.g, h: self.h };
        for i in 0..3 {
            r.g[i] = a * self.g[i] - o.g[i];
        }
        for i in 0..6 {
            r.h[i] = a * self.h[i] - o.h[i];
        }
        r
    }
}

/// The exact density; over the arch line (not `SPATIAL`) without what a base line curved in space adds.
#[inline(always)]
pub(crate) fn exact<const SPATIAL: bool>(
    at: &FourPointCurves,
    place: &FourArchPoints,
    bending: &Bending,
    states: &States<'_>,
    hessians: &mut Hessians,
) -> Density {
    let [y, dy, ddy, dz, ddz, phi, dphi, z] = *at;
    let FourArchPoints { k0, dk0, kz, dkz, rest, level, .. } = *place;
    let one = Four::all(1.0);
    let mut p = [one - k0 * y, dy, dz];
    if SPATIAL {
        p[0] -= kz * z;
    }
    let mut q = [-(k0 * dy * 2.0) - dk0 * y, ddy + k0 * p[0], ddz];
    if SPATIAL {
        q[0] -= kz * dz * 2.0 + dkz * z;
        q[2] += kz * p[0];
    }

    let mut pp = [Four::ZERO; 6];
    for n in 0..6 {
        let (i, j) = PACKED[n];
        pp[n] = p[i] * p[j];
    }
    let square = pp[0] + pp[3] + pp[5];
    let s = square.sqrt();
    let inv = one / s;
    let over = inv * inv;
    let t = [p[0] * inv, p[1] * inv, p[2] * inv];
    // Hessian of S.
    let mut bow = [Four::ZERO; 6];
    for n in 0..6 {
        let (i, j) = PACKED[n];
        bow[n] = -(t[i] * t[j] * inv);
    }
    for n in [0, 3, 5] {
        bow[n] += inv;
    }
    let a1 = Jet::inverse_power(&p, &pp, over, 1.0, inv);
    let a2 = Jet::inverse_power(&p, &pp, over, 2.0, over);
    let a3 = Jet::inverse_power(&p, &pp, over, 3.0, over * inv);
    let r = {
        let v = one / (s + p[0]);
        let (v2, w) = (v * v, [t[0] + 1.0, t[1], t[2]]);
        let v3 = v2 * v * 2.0;
        let mut h = [Four::ZERO; 6];
        for n in 0..6 {
            let (i, j) = PACKED[n];
            h[n] = v3 * w[i] * w[j] - v2 * bow[n];
        }
        Jet { v, g: [-(v2 * w[0]), -(v2 * w[1]), -(v2 * w[2])], h }
    };
    let ra1 = r.times(&a1);
    let ra2 = r.times(&a2);
    let ra3 = r.times(&a3);

    // M = L / S^3, so that K1 = q2 a2 - p2 M and K2 = -q3 a2 + p3 M.
    let c = p[1] * q[1] + p[2] * q[2];
    let m = a3.scaled_plus(q[0], &ra3.times_linear(c, [q[1], q[2]]));
    let k1 = a2.scaled_minus(q[1], &m.times_axis(p[1], 0));
    let k2 = a2.scaled_plus(-q[2], &m.times_axis(p[2], 1));
    let swirl = p[2] * q[1] - p[1] * q[2];
    let tau = a1.scaled_plus(dphi, &ra2.times_linear(swirl, [-q[2], q[1]]));
    let mut tau = ra1.times_axis(p[2], 1).scaled_plus(k0, &tau);
    if SPATIAL {
        tau = ra1.times_axis(p[1], 0).scaled_plus(-kz, &tau);
    }

    // Derivatives by q, and their gradients by p.
    let k1_q = [-(p[1] * a3.v), a2.v - pp[3] * ra3.v, -(pp[4] * ra3.v)];
    let k2_q = [p[2] * a3.v, pp[4] * ra3.v, pp[5] * ra3.v - a2.v];
    let tau_q = [p[2] * ra2.v, -(p[1] * ra2.v)];

    let (sin, cos) = phi.sin_cos();
    let (f1, f2) = (k1.v * cos - k2.v * sin, k1.v * sin + k2.v * cos);
    let curvature = [f1 - rest[0], f2 - rest[1]];
    let (w, [m1, m2], [c11, c12, c22]) = sections(bending, curvature, states);
    let gj = bending.torsion;
    let twist = tau.v - rest[2];
    let torque = twist * gj;
    let per_length = w + torque * twist * 0.5;
    // Lengthening the wire costs its energy and gains the work of the axial force.
    let lengthening = per_length - level;

    // First derivatives in the order p, q, phi, phi'.
    let mut d1 = [Four::ZERO; 7];
    let mut d2 = [Four::ZERO; 7];
    for i in 0..3 {
        d1[i] = k1.g[i] * cos - k2.g[i] * sin;
        d2[i] = k1.g[i] * sin + k2.g[i] * cos;
        d1[3 + i] = k1_q[i] * cos - k2_q[i] * sin;
        d2[3 + i] = k1_q[i] * sin + k2_q[i] * cos;
    }
    (d1[6], d2[6]) = (-f2, f1);
    // Twist depends on p, q2, q3 and phi'; its row for q1 and phi is empty.
    let dt = [tau.g[0], tau.g[1], tau.g[2], Four::ZERO, tau_q[0], tau_q[1], Four::ZERO];

    let mut gradient = [Four::ZERO; 8];
    let hessian = &mut hessians.by_own;
    let sgj = s * gj;
    for i in 0..7 {
        let lean = m1 * d1[i] + m2 * d2[i] + torque * dt[i];
        gradient[i] = s * lean;
        let mut w1 = s * (c11 * d1[i] + c12 * d2[i]);
        let mut w2 = s * (c12 * d1[i] + c22 * d2[i]);
        let mut w3 = sgj * dt[i];
        if i < 3 {
            gradient[i] += lengthening * t[i];
            w1 += m1 * t[i];
            w2 += m2 * t[i];
            w3 += torque * t[i];
        }
        for j in i..7 {
            hessian[i][j] = w1 * d1[j] + w2 * d2[j];
            if j != 3 && j != 6 {
                hessian[i][j] += w3 * dt[j];
            }
            if j < 3 {
                hessian[i][j] += lean * t[j];
            }
        }
        hessian[i][7] = w3 * inv;
    }
    gradient[7] = s * torque * inv;
    hessian[7][7] = sgj * over;

    // Second derivatives of the four functions under their weights.
    let alpha = s * (m1 * cos + m2 * sin);
    let beta = s * (m2 * cos - m1 * sin);
    let gamma = s * torque;
    for n in 0..6 {
        let (i, j) = PACKED[n];
        hessian[i][j] += alpha * k1.h[n] + beta * k2.h[n] + gamma * tau.h[n] + lengthening * bow[n];
    }
    let (p2, p3) = (p[1], p[2]);
    for i in 0..3 {
        let (g3, gr3, gr2) = (a3.g[i], ra3.g[i], ra2.g[i]);
        let mut cross = pp[4] * gr3;
        let mut first = [p2 * g3, p3 * g3];
        let mut second = [a2.g[i] - pp[3] * gr3, pp[5] * gr3 - a2.g[i]];
        let mut third = [p3 * gr2, p2 * gr2];
        if i == 1 {
            cross += p3 * ra3.v;
            first[0] += a3.v;
            second[0] -= p2 * ra3.v * 2.0;
            third[1] += ra2.v;
        }
        if i == 2 {
            cross += p2 * ra3.v;
            first[1] += a3.v;
            second[1] += p3 * ra3.v * 2.0;
            third[0] += ra2.v;
        }
        hessian[i][3] += beta * first[1] - alpha * first[0];
        hessian[i][4] += alpha * second[0] + beta * cross + gamma * third[0];
        hessian[i][5] += beta * second[1] - alpha * cross - gamma * third[1];
        hessian[i][7] += gamma * a1.g[i];
    }
    for i in 0..6 {
        hessian[i][6] += s * (m2 * d1[i] - m1 * d2[i]);
    }
    hessian[6][6] -= s * (m1 * f1 + m2 * f2);

    hessians.pull::<SPATIAL>(place);
    Density {
        energy: s * per_length,
        gradient: pull_vector::<SPATIAL>(&gradient, place),
        curvature,
        leans: s * m1,
    }
}

/// The energy alone, written without jets to check them.
#[cfg(test)]
pub(crate) fn exact_energy(
    at: &PointCurves,
    place: &ArchPoint,
    bending: &Bending,
    state: &[ReadyFour],
) -> f64 {
    let [y, dy, ddy, dz, ddz, phi, dphi, z] = *at;
    let ArchPoint { k0, dk0, kz, dkz, rest, .. } = *place;
    let p = [1.0 - k0 * y - kz * z, dy, dz];
    let q = [-2.0 * (k0 * dy + kz * dz) - dk0 * y - dkz * z, ddy + k0 * p[0], ddz + kz * p[0]];
    let square = p[0] * p[0] + p[1] * p[1] + p[2] * p[2];
    let s = square.sqrt();
    let (inv2, r) = (1.0 / square, 1.0 / (s + p[0]));
    let m = (q[0] + (p[1] * q[1] + p[2] * q[2]) * r) * inv2 / s;
    let (k1, k2) = (q[1] * inv2 - p[1] * m, -q[2] * inv2 + p[2] * m);
    let tau = (dphi + (k0 * p[2] - kz * p[1]) * r) / s + (p[2] * q[1] - p[1] * q[2]) * r * inv2;
    let (sin, cos) = phi.sin_cos();
    let curvature = [k1 * cos - k2 * sin - rest[0], k1 * sin + k2 * cos - rest[1]];
    let twist = tau - rest[2];
    s * (bending.answer(curvature, state).energy + 0.5 * bending.torsion * twist * twist)
}

/// The density of small slopes.
#[inline(always)]
pub(crate) fn small_slope(
    at: &FourPointCurves,
    place: &FourArchPoints,
    bending: &Bending,
    states: &States<'_>,
    hessians: &mut Hessians,
) -> Density {
    let [y, _, ddy, dz, ddz, phi, dphi, _] = *at;
    let FourArchPoints { k0, rest, .. } = *place;
    let curvature = [ddy + k0 * k0 * y - (rest[0] - k0), k0 * phi - ddz - rest[1]];
    let (energy, [m1, m2], [c11, c12, c22]) = sections(bending, curvature, states);
    let gj = bending.torsion;
    let twist = dphi + k0 * dz - rest[2];
    let (o, one) = (Four::ZERO, Four::all(1.0));
    let d1 = [k0 * k0, o, one, o, o, o, o];
    let d2 = [o, o, o, o, -one, k0, o];
    let dt = [o, o, o, k0, o, o, one];
    let mut gradient = [o; 8];
    let hessian = &mut hessians.by_curves;
    *hessian = [[o; 8]; 8];
    for i in 0..7 {
        gradient[i] = m1 * d1[i] + m2 * d2[i] + twist * dt[i] * gj;
        let (w1, w2) = (c11 * d1[i] + c12 * d2[i], c12 * d1[i] + c22 * d2[i]);
        for j in 0..7 {
            hessian[i][j] = w1 * d1[j] + w2 * d2[j] + dt[i] * dt[j] * gj;
        }
    }
    Density { energy: energy + twist * twist * (0.5 * gj), gradient, curvature, leans: m1 }
}

/// From derivatives by (p, q, phi, phi') to derivatives by the curves.
#[inline(always)]
fn pull_vector<const SPATIAL: bool>(g: &[Four; 8], at: &FourArchPoints) -> [Four; 8] {
    let FourArchPoints { k0, dk0, kz, dkz, .. } = *at;
    if SPATIAL {
        let inward = g[0] + k0 * g[4] + kz * g[5];
        let (by_y, by_z) = (-(k0 * inward + dk0 * g[3]), -(kz * inward + dkz * g[3]));
        let (dy, dz) = (g[1] - k0 * g[3] * 2.0, g[2] - kz * g[3] * 2.0);
        return [by_y, dy, g[4], dz, g[5], g[6], g[7], by_z];
    }
    let first = -(k0 * (g[0] + k0 * g[4]) + dk0 * g[3]);
    [first, g[1] - k0 * g[3] * 2.0, g[4], g[2], g[5], g[6], g[7], Four::ZERO]
}

impl Hessians {
    /// From derivatives by (p, q, phi, phi') to derivatives by the curves.
    #[inline(always)]
    fn pull<const SPATIAL: bool>(&mut self, at: &FourArchPoints) {
        let rows = if SPATIAL { 8 } else { 7 };
        let h = &self.by_own;
        for j in 0..8 {
            let mut column = [Four::ZERO; 8];
            for i in 0..8 {
                column[i] = if i <= j { h[i][j] } else { h[j][i] };
            }
            let pulled = pull_vector::<SPATIAL>(&column, at);
            for i in 0..rows {
                self.half_way[i][j] = pulled[i];
            }
        }
        for i in 0..rows {
            self.by_curves[i] = pull_vector::<SPATIAL>(&self.half_way[i], at);
        }
    }
}

/// One point in all four lanes, and what the first lane says.
#[cfg(test)]
pub(crate) struct One {
    pub energy: f64,
    pub gradient: [f64; 8],
    pub hessian: [[f64; 8]; 8],
    pub curvature: [f64; 2],
}

#[cfg(test)]
type DensityOf =
    fn(&FourPointCurves, &FourArchPoints, &Bending, &States<'_>, &mut Hessians) -> Density;

#[cfg(test)]
pub(crate) fn one(
    density: DensityOf,
    at: &PointCurves,
    place: &ArchPoint,
    bending: &Bending,
) -> One {
    let mut hessians = Hessians::default();
    let places = FourArchPoints::of([*place; 4]);
    let d = density(&at.map(Four::all), &places, bending, &[&[]; 4], &mut hessians);
    One {
        energy: d.energy.0[0],
        gradient: d.gradient.map(|g| g.0[1]),
        hessian: hessians.by_curves.map(|r| r.map(|h| h.0[2])),
        curvature: d.curvature.map(|k| k.0[3]),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Law, Stock, WireSection};

    fn check(law: Law, section: WireSection) {
        let bending = Bending::new(&[Stock { section, law }], 8).unwrap();
        let place = ArchPoint {
            k0: 0.06,
            dk0: -0.003,
            form: 0.06,
            rest: [0.05, 0.01, 0.002],
            ..ArchPoint::default()
        };
        derivatives(exact::<false>, 7, &place, &bending);
        derivatives(exact::<true>, 8, &place, &bending);
        let place = ArchPoint { k0: 0.4, dk0: -0.3, kz: -0.25, dkz: 0.2, ..place };
        derivatives(exact::<true>, 8, &place, &bending);
    }

    fn derivatives(density: DensityOf, curves: usize, place: &ArchPoint, bending: &Bending) {
        for at in [
            [0.3, 0.2, 0.1, -0.3, 0.05, 0.2, 0.03, -0.2],
            [-0.4, -0.9, -0.2, 0.5, 0.11, -0.3, -0.02, 0.3],
            [0.0; 8],
        ] {
            let here = one(density, &at, place, bending);
            assert!((here.energy - exact_energy(&at, place, bending, &[])).abs() < 1e-12);
            for i in 0..curves {
                let h = 1e-6;
                let shifted = |d: f64| {
                    let mut a = at;
                    a[i] += d;
                    one(density, &a, place, bending)
                };
                let (low, high) = (shifted(-h), shifted(h));
                let slope = (high.energy - low.energy) / (2.0 * h);
                assert!(
                    (slope - here.gradient[i]).abs() < 1e-5 * (1.0 + slope.abs()),
                    "gradient {i}"
                );
                for j in 0..curves {
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
        check(Law::steel(), WireSection::round(0.4));
        check(Law::beta_titanium(), WireSection::rectangular(0.48, 0.63, 0.0));
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
        let stock = Stock { section: WireSection::round(0.4), law: Law::steel() };
        let bending = Bending::new(&[stock], 8).unwrap();
        let point = |x: f64, phi: f64, dphi: f64| -> PointCurves {
            let (a, b, c) = (curve(x - h), curve(x), curve(x + h));
            [
                b.0,
                (c.0 - a.0) / (2.0 * h),
                (c.0 - 2.0 * b.0 + a.0) / (h * h),
                (c.1 - a.1) / (2.0 * h),
                (c.1 - 2.0 * b.1 + a.1) / (h * h),
                phi,
                dphi,
                b.1,
            ]
        };
        // Unturned curvature components give the roll that brings the bend home.
        let free = ArchPoint { k0, form: k0, ..ArchPoint::default() };
        let roll = |x: f64| {
            let k = one(exact::<false>, &point(x, 0.0, 0.0), &free, &bending).curvature;
            assert!((k[0].hypot(k[1]) - k0).abs() < 1e-5, "{k:?}");
            -k[1].atan2(k[0])
        };
        for x in [-4.0, 0.0, 3.0] {
            let phi = roll(x);
            let dphi = (roll(x + 0.05) - roll(x - 0.05)) / 0.1;
            let home = ArchPoint { rest: [k0, 0.0, 0.0], ..free };
            let d = one(exact::<false>, &point(x, phi, dphi), &home, &bending);
            assert!(d.energy.abs() < 1e-4, "{x}: {}", d.energy);
        }
    }

    #[test]
    fn both_densities_agree_for_small_slopes() {
        let stock = Stock { section: WireSection::rectangular(0.4, 0.6, 0.0), law: Law::steel() };
        let bending = Bending::new(&[stock], 8).unwrap();
        let place =
            ArchPoint { k0: 0.05, form: 0.05, rest: [0.05, 0.0, 0.0], ..ArchPoint::default() };
        let at = [1e-5, 2e-5, 3e-5, -1e-5, 2e-5, 4e-5, -2e-5, 3e-5];
        let (a, b) =
            (one(exact::<false>, &at, &place, &bending), one(small_slope, &at, &place, &bending));
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
