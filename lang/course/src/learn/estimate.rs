//! One estimate of wire times: of the practice, or of one of its wires.

use std::collections::BTreeSet;

use super::fit::{Prior, fit_log_normal, fit_weibull, spread_by_case};
use super::{Estimate, FEWEST, FEWEST_BRACKETS, Interval, TooLittle, WireTimeObservation};
use crate::law::movement::SIGMA_PATIENT;
use springline_model::stock::Name;

pub(super) fn estimate(
    wire: Option<Name>,
    observations: &[WireTimeObservation],
    prior: Prior,
) -> Result<Estimate, TooLittle> {
    let wires = observations.len();
    let cases = observations.iter().map(|o| &*o.case).collect::<BTreeSet<_>>().len();
    if cases == 0 {
        return Err(TooLittle::NoCases);
    }
    if cases < FEWEST {
        return Err(TooLittle::TooFew { cases, needed: FEWEST });
    }
    let data: Vec<Interval> = observations.iter().map(WireTimeObservation::ratio).collect();
    let Some(with_prior) = fit_log_normal(&data, Some(prior)) else {
        return Err(TooLittle::Contradictory);
    };
    let plain = fit_log_normal(&data, None);
    let weibull = fit_weibull(&data);
    let open_left = data.iter().filter(|i| i.low <= 0.0).count();
    let open_right = data.iter().filter(|i| i.high.is_none()).count();
    let bracketed = wires - data.iter().filter(|i| i.low <= 0.0 || i.high.is_none()).count();
    let spread_from_data = bracketed >= FEWEST_BRACKETS;
    let sigma = if spread_from_data { with_prior.sigma } else { SIGMA_PATIENT };
    let patients: Vec<&str> = observations.iter().map(|o| &*o.case).collect();
    let together = spread_by_case(&data, &patients, &with_prior, &prior);
    let se_mu = with_prior.se_mu.max(together.unwrap_or(0.0));
    let predictive = sigma.hypot(se_mu);
    let reach = 1.645 * se_mu;
    Ok(Estimate {
        wire,
        cases,
        wires,
        bracketed,
        open_left,
        open_right,
        weibull_preferred: match (&plain, &weibull) {
            (Some(n), Some(w)) => w.log_likelihood > n.log_likelihood + 2.0,
            _ => false,
        },
        se_mu,
        factor: with_prior.mu.exp(),
        spread: predictive.exp(),
        factor_90: ((with_prior.mu - reach).exp(), (with_prior.mu + reach).exp()),
        spread_from_data,
        with_prior,
        plain,
        weibull,
    })
}
