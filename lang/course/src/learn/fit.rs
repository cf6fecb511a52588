//! Maximum-likelihood fit by damped Newton steps on exact derivatives.

use std::collections::BTreeMap;

use super::likelihood::{Interval, PlaneJet, log_normal, weibull};
use super::{LogNormal, Weibull};
use crate::law::movement::SIGMA_PATIENT;

/// A weak prior: its influence is negligible from some twenty cases on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    pub mu: f64,
    pub sd_mu: f64,
    pub ln_sigma: f64,
    pub sd_ln_sigma: f64,
}

impl Prior {
    /// For a house: no shift known, spread between practices 0.30; spread between patients 0.41 give
    /// or take a quarter.
    pub fn house() -> Prior {
        Prior { mu: 0.0, sd_mu: 0.30, ln_sigma: SIGMA_PATIENT.ln(), sd_ln_sigma: 0.25 }
    }

    /// For one wire of a practice: centred on the practice's estimate.
    pub fn wire(house: &LogNormal) -> Prior {
        Prior { mu: house.mu, sd_mu: 0.2, ln_sigma: SIGMA_PATIENT.ln(), sd_ln_sigma: 0.25 }
    }

    fn jet(&self, mu: f64, ln_sigma: f64) -> PlaneJet {
        let (a, b) = ((mu - self.mu) / self.sd_mu, (ln_sigma - self.ln_sigma) / self.sd_ln_sigma);
        PlaneJet {
            value: -0.5 * (a * a + b * b),
            first: [-a / self.sd_mu, -b / self.sd_ln_sigma],
            second: [-1.0 / self.sd_mu.powi(2), 0.0, -1.0 / self.sd_ln_sigma.powi(2)],
        }
    }
}

/// Log-normal with or without a prior; `None` where the data do not determine it.
pub fn fit_log_normal(data: &[Interval], prior: Option<Prior>) -> Option<LogNormal> {
    let data_jet = |mu: f64, ln_sigma: f64| {
        let mut sum = PlaneJet::default();
        data.iter().for_each(|i| sum.add(log_normal(*i, mu, ln_sigma)));
        sum
    };
    let jet = |mu: f64, ln_sigma: f64| {
        let mut sum = data_jet(mu, ln_sigma);
        if let Some(prior) = prior {
            sum.add(prior.jet(mu, ln_sigma));
        }
        sum
    };
    let ([mu, ln_sigma], [se_mu, se_ln_sigma]) = climb(jet, [0.0, SIGMA_PATIENT.ln()])?;
    Some(LogNormal {
        mu,
        sigma: ln_sigma.exp(),
        se_mu,
        se_ln_sigma,
        log_likelihood: data_jet(mu, ln_sigma).value,
    })
}

/// Standard error of mu when the wires of one case go together: the sandwich of the curvature about
/// the sum of every case's gradient squared (White, Econometrica 1982;50(1):1-25, by clusters; value
/// from memory). `None` where it cannot be had.
pub fn spread_by_case(
    data: &[Interval],
    cases: &[&str],
    fit: &LogNormal,
    prior: &Prior,
) -> Option<f64> {
    let (mu, ln_sigma) = (fit.mu, fit.sigma.ln());
    let mut total = prior.jet(mu, ln_sigma);
    let mut by_case: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    for (interval, case) in data.iter().zip(cases) {
        let jet = log_normal(*interval, mu, ln_sigma);
        let sum = by_case.entry(case).or_default();
        sum[0] += jet.first[0];
        sum[1] += jet.first[1];
        total.add(jet);
    }
    let n = by_case.len() as f64;
    if n < 2.0 {
        return None;
    }
    // The prior counts as one more observation of the stated precision.
    let mut middle = [prior.sd_mu.powi(-2), 0.0, prior.sd_ln_sigma.powi(-2)];
    for [x, y] in by_case.into_values() {
        let share = n / (n - 1.0);
        middle[0] += share * x * x;
        middle[1] += share * x * y;
        middle[2] += share * y * y;
    }
    let [xx, xy, yy] = total.second;
    let det = xx * yy - xy * xy;
    // The first row of the inverse, on both sides.
    let row = [yy / det, -xy / det];
    let variance = row[0] * row[0] * middle[0]
        + 2.0 * row[0] * row[1] * middle[1]
        + row[1] * row[1] * middle[2];
    (variance.is_finite() && variance >= 0.0).then(|| variance.sqrt())
}

pub fn fit_weibull(data: &[Interval]) -> Option<Weibull> {
    let jet = |l: f64, r: f64| {
        let mut sum = PlaneJet::default();
        data.iter().for_each(|i| sum.add(weibull(*i, l, r)));
        sum
    };
    let ([ln_lambda, ln_rho], [se_ln_lambda, se_ln_rho]) = climb(jet, [0.2, 0.9])?;
    Some(Weibull {
        lambda: ln_lambda.exp(),
        rho: ln_rho.exp(),
        se_ln_lambda,
        se_ln_rho,
        log_likelihood: jet(ln_lambda, ln_rho).value,
    })
}

/// Beyond this a parameter diverges: the data do not determine it.
const FAR: f64 = 6.0;

/// A standard error as large as this means the same: a flat ridge, not a maximum.
const UNHELD: f64 = 3.0;

/// The maximum of a smooth likelihood, and the standard errors there.
pub(super) fn climb(
    jet: impl Fn(f64, f64) -> PlaneJet,
    start: [f64; 2],
) -> Option<([f64; 2], [f64; 2])> {
    let mut at = start;
    let mut here = jet(at[0], at[1]);
    let mut damp = 0.0_f64;
    for _ in 0..200 {
        let [xx, xy, yy] = here.second;
        let (a, b, c) = (-xx + damp, -xy, -yy + damp);
        let det = a * c - b * b;
        if !(det > 0.0 && a > 0.0) {
            // Not concave here: shift towards the gradient direction.
            damp = (damp * 4.0).max(1e-3 * (xx.abs() + yy.abs() + 1.0));
            if damp > 1e12 {
                return None;
            }
            continue;
        }
        let [gx, gy] = here.first;
        let step = [(c * gx - b * gy) / det, (a * gy - b * gx) / det];
        let size = step[0].hypot(step[1]);
        let scale = if size > 1.0 { 1.0 / size } else { 1.0 };
        let next = [at[0] + scale * step[0], at[1] + scale * step[1]];
        if !(next[0].abs() < FAR && next[1].abs() < FAR) {
            return None;
        }
        let there = jet(next[0], next[1]);
        if there.value.is_finite() && there.value >= here.value - 1e-12 {
            let still = size < 1e-10;
            (at, here) = (next, there);
            damp *= 0.2;
            if still {
                break;
            }
        } else {
            damp = (damp * 4.0).max(1e-3 * (xx.abs() + yy.abs() + 1.0));
            if damp > 1e12 {
                break;
            }
        }
    }
    let [xx, xy, yy] = here.second;
    let det = xx * yy - xy * xy;
    let level = here.first[0].hypot(here.first[1]) < 1e-6 * (1.0 + here.value.abs());
    let errors = [(-yy / det).sqrt(), (-xx / det).sqrt()];
    let held = errors.iter().all(|e| *e < UNHELD);
    (level && xx < 0.0 && det > 0.0 && held).then_some((at, errors))
}
