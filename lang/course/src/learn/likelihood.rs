//! Likelihood of interval-censored times (known only to lie between two visits), with its derivatives.

use crate::law::statistics::{density, ln_between};

/// A time known to lie between two bounds: zero below where it was never seen active, `None` above
/// where it was never seen passive. Equal bounds are an exact time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    pub low: f64,
    pub high: Option<f64>,
}

/// Value, gradient and second derivatives (xx, xy, yy) in two parameters.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlaneJet {
    pub value: f64,
    pub first: [f64; 2],
    pub second: [f64; 3],
}

impl PlaneJet {
    pub fn add(&mut self, other: PlaneJet) {
        self.value += other.value;
        for (a, b) in self.first.iter_mut().zip(other.first) {
            *a += b;
        }
        for (a, b) in self.second.iter_mut().zip(other.second) {
            *a += b;
        }
    }

    /// Of ln p, from ln p itself and the derivatives of p over p.
    fn of_log(ln_p: f64, first: [f64; 2], second: [f64; 3]) -> PlaneJet {
        let [x, y] = first;
        PlaneJet {
            value: ln_p,
            first,
            second: [second[0] - x * x, second[1] - x * y, second[2] - y * y],
        }
    }
}

/// ln likelihood of a log-normal in (mu, ln sigma).
pub fn log_normal(interval: Interval, mu: f64, ln_sigma: f64) -> PlaneJet {
    let sigma = ln_sigma.exp();
    let z = |t: f64| (t.ln() - mu) / sigma;
    if interval.high == Some(interval.low) && interval.low > 0.0 {
        let z = z(interval.low);
        return PlaneJet {
            value: -0.5 * z * z - ln_sigma - interval.low.ln() - 0.5 * std::f64::consts::TAU.ln(),
            first: [z / sigma, z * z - 1.0],
            second: [-1.0 / (sigma * sigma), -2.0 * z / sigma, -2.0 * z * z],
        };
    }
    let low = if interval.low > 0.0 { z(interval.low) } else { f64::NEG_INFINITY };
    let high = interval.high.map_or(f64::INFINITY, z);
    let ln_p = ln_between(low, high);
    // Densities over p, in logarithms: both vanish together far out.
    let over = |x: f64| {
        if x.is_finite() { (density(x).max(f64::MIN_POSITIVE).ln() - ln_p).exp() } else { 0.0 }
    };
    let term = |x: f64| {
        let f = over(x);
        if f == 0.0 {
            return [0.0; 5];
        }
        [f, x * f, x * x * f, (x * x * x - x) * f, x]
    };
    let (a, b) = (term(low), term(high));
    let first = [-(b[0] - a[0]) / sigma, -(b[1] - a[1])];
    let second =
        [-(b[1] - a[1]) / (sigma * sigma), ((b[0] - a[0]) - (b[2] - a[2])) / sigma, -(b[3] - a[3])];
    PlaneJet::of_log(ln_p, first, second)
}

/// ln likelihood of a Weibull in (ln lambda, ln rho).
pub fn weibull(interval: Interval, ln_lambda: f64, ln_rho: f64) -> PlaneJet {
    let rho = ln_rho.exp();
    // (t / lambda)^rho with its derivatives.
    let power = |t: f64| {
        let ln_a = rho * (t.ln() - ln_lambda);
        let a = ln_a.exp();
        let first = [-rho * a, a * ln_a];
        let second = [rho * rho * a, -rho * a * (1.0 + ln_a), a * ln_a * (1.0 + ln_a)];
        (a, first, second)
    };
    if interval.high == Some(interval.low) && interval.low > 0.0 {
        // ln (rho / t) + ln a - a
        let (a, first, second) = power(interval.low);
        let ln_a = a.ln();
        return PlaneJet {
            value: ln_rho - interval.low.ln() + ln_a - a,
            first: [-rho - first[0], 1.0 + ln_a - first[1]],
            second: [-second[0], -rho - second[1], ln_a - second[2]],
        };
    }
    let none = (0.0, [0.0; 2], [0.0; 3]);
    let (a, a1, a2) = if interval.low > 0.0 { power(interval.low) } else { none };
    let high = interval.high.map(power).filter(|(b, _, _)| b.is_finite());
    // p = e^-a - e^-b = e^-a (1 - e^-(b - a))
    let gap = high.map_or(f64::INFINITY, |(b, _, _)| (b - a).max(f64::MIN_POSITIVE));
    let inside = -(-gap).exp_m1();
    let ln_p = -a + inside.ln();
    let (wa, wb) = (1.0 / inside, (-gap).exp() / inside);
    let (b1, b2) = high.map_or(([0.0; 2], [0.0; 3]), |(_, f, s)| (f, s));
    let first: [f64; 2] = std::array::from_fn(|i| -a1[i] * wa + weighted(b1[i], wb));
    let cross = |f: [f64; 2]| [f[0] * f[0], f[0] * f[1], f[1] * f[1]];
    let (ca, cb) = (cross(a1), cross(b1));
    let second: [f64; 3] =
        std::array::from_fn(|i| (ca[i] - a2[i]) * wa - weighted(cb[i] - b2[i], wb));
    PlaneJet::of_log(ln_p, first, second)
}

/// Zero weight takes everything.
fn weighted(x: f64, weight: f64) -> f64 {
    if weight == 0.0 { 0.0 } else { x * weight }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(f: impl Fn(f64, f64) -> PlaneJet, x: f64, y: f64) {
        let h = 1e-5;
        let jet = f(x, y);
        let (dx, dy) = (f(x + h, y), f(x, y + h));
        let (bx, by) = (f(x - h, y), f(x, y - h));
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-5 * (1.0 + a.abs()), "{a} {b}");
        close(jet.first[0], (dx.value - bx.value) / (2.0 * h));
        close(jet.first[1], (dy.value - by.value) / (2.0 * h));
        close(jet.second[0], (dx.first[0] - bx.first[0]) / (2.0 * h));
        close(jet.second[1], (dx.first[1] - bx.first[1]) / (2.0 * h));
        close(jet.second[2], (dy.first[1] - by.first[1]) / (2.0 * h));
    }

    #[test]
    fn derivatives_are_those_of_the_likelihood() {
        for interval in [
            Interval { low: 0.6, high: Some(1.4) },
            Interval { low: 0.0, high: Some(0.8) },
            Interval { low: 1.5, high: None },
            Interval { low: 1.1, high: Some(1.1) },
        ] {
            for (x, y) in [(0.1, -0.9), (-0.3, 0.2), (0.5, -0.4)] {
                check(|m, s| log_normal(interval, m, s), x, y);
                check(|l, r| weibull(interval, l, r), x, y + 1.5);
            }
        }
    }
}
