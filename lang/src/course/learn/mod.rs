//! How long wires really stay active in a house, from its recorded visits.
//!
//! The day a wire goes passive is never seen: it lies between the last visit that found it active and
//! the first that found it passive. So the ratio of observed to predicted time is an interval, and
//! the estimate is the log-normal that makes the intervals most likely, under a weak prior. Taking
//! the middle of each interval instead is wrong: it widens the spread by what the visits leave open.

mod fit;
mod gather;
mod likelihood;

use jiff::civil::Date;
use serde::Serialize;

pub use fit::{Prior, fit_log_normal, fit_weibull};
use gather::gather;
pub use likelihood::Interval;

use super::memory::Memory;
use super::movement::SIGMA_PATIENT;
use crate::model::Case;
use crate::model::stock::Name;

/// One wire in one patient, as two visits bracket it. Days since the wire went in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Observation {
    pub case: String,
    pub wire: Name,
    /// Predicted days to passive, before any learning.
    pub predicted_days: f64,
    /// Last visit that found it active; 0 if none.
    pub active_at_days: f64,
    /// First visit that found it passive; `None` if none did.
    pub passive_by_days: Option<f64>,
}

/// An estimate with its standard errors.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LogNormal {
    pub mu: f64,
    pub sigma: f64,
    pub se_mu: f64,
    pub se_ln_sigma: f64,
    pub log_likelihood: f64,
}

/// The second opinion.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weibull {
    pub lambda: f64,
    pub rho: f64,
    pub se_ln_lambda: f64,
    pub se_ln_rho: f64,
    pub log_likelihood: f64,
}

/// What a house (or one of its wires) tells.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Estimate {
    /// `None`: the whole house.
    pub wire: Option<Name>,
    pub cases: usize,
    /// Seen active and later passive; never seen active; never seen passive.
    pub bracketed: usize,
    pub open_left: usize,
    pub open_right: usize,
    /// With the weak prior: what the course uses.
    pub with_prior: LogNormal,
    /// Without a prior; `None` where the data do not determine it.
    pub plain: Option<LogNormal>,
    pub weibull: Option<Weibull>,
    /// The Weibull fits better by more than 2 in log-likelihood.
    pub weibull_preferred: bool,
    /// Factor on the predicted time, and the geometric spread to plan with.
    pub factor: f64,
    pub spread: f64,
    /// Nine-in-ten interval of the factor.
    pub factor_90: (f64, f64),
    /// `spread` rests on data; with fewer than five brackets it is the prior's.
    pub spread_from_data: bool,
}

/// Why there is no estimate.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "refused")]
pub enum TooLittle {
    NoCases,
    TooFew {
        cases: usize,
        needed: usize,
    },
    /// No estimate was found that fits them.
    Contradictory,
}

/// House and wires.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Learning {
    pub house: Result<Estimate, TooLittle>,
    pub wires: Vec<(Name, Result<Estimate, TooLittle>)>,
    pub observations: Vec<Observation>,
    /// Wires left out, with the reason.
    pub left_out: Vec<(String, Name, &'static str)>,
}

/// Fewer say nothing that the prior does not say.
pub const FEWEST: usize = 5;
/// Fewer two-sided brackets tell nothing of the spread.
pub const FEWEST_BRACKETS: usize = 5;

/// What the visits of these cases tell. `today` leaves out what is dated later.
pub fn learn(cases: &[&Case], today: Option<Date>) -> Learning {
    let mut memory = Memory::default();
    let (mut observations, mut left_out) = (Vec::new(), Vec::new());
    for case in cases {
        let (found, out) = gather(case, today, &mut memory);
        observations.extend(found);
        left_out.extend(out);
    }
    learn_from(observations, left_out)
}

/// The estimates from observations already gathered.
pub fn learn_from(
    observations: Vec<Observation>,
    left_out: Vec<(String, Name, &'static str)>,
) -> Learning {
    let house = estimate(None, &observations, Prior::house());
    let mut names: Vec<Name> = observations.iter().map(|o| o.wire.clone()).collect();
    names.sort();
    names.dedup();
    let wires = match &house {
        Ok(house) => names
            .into_iter()
            .map(|name| {
                let own: Vec<Observation> =
                    observations.iter().filter(|o| o.wire == name).cloned().collect();
                let prior = Prior::wire(&house.with_prior);
                (name.clone(), estimate(Some(name), &own, prior))
            })
            .collect(),
        Err(_) => Vec::new(),
    };
    Learning { house, wires, observations, left_out }
}

impl Observation {
    /// Observed over predicted.
    pub fn ratio(&self) -> Interval {
        Interval {
            low: self.active_at_days / self.predicted_days,
            high: self.passive_by_days.map(|d| d / self.predicted_days),
        }
    }
}

fn estimate(
    wire: Option<Name>,
    observations: &[Observation],
    prior: Prior,
) -> Result<Estimate, TooLittle> {
    let cases = observations.len();
    if cases == 0 {
        return Err(TooLittle::NoCases);
    }
    if cases < FEWEST {
        return Err(TooLittle::TooFew { cases, needed: FEWEST });
    }
    let data: Vec<Interval> = observations.iter().map(Observation::ratio).collect();
    let Some(with_prior) = fit_log_normal(&data, Some(prior)) else {
        return Err(TooLittle::Contradictory);
    };
    let plain = fit_log_normal(&data, None);
    let weibull = fit_weibull(&data);
    let open_left = data.iter().filter(|i| i.low <= 0.0).count();
    let open_right = data.iter().filter(|i| i.high.is_none()).count();
    let bracketed = cases - data.iter().filter(|i| i.low <= 0.0 || i.high.is_none()).count();
    let spread_from_data = bracketed >= FEWEST_BRACKETS;
    let sigma = if spread_from_data { with_prior.sigma } else { SIGMA_PATIENT };
    let predictive = sigma.hypot(with_prior.se_mu);
    let reach = 1.645 * with_prior.se_mu;
    Ok(Estimate {
        wire,
        cases,
        bracketed,
        open_left,
        open_right,
        weibull_preferred: match (&plain, &weibull) {
            (Some(n), Some(w)) => w.log_likelihood > n.log_likelihood + 2.0,
            _ => false,
        },
        factor: with_prior.mu.exp(),
        spread: predictive.exp(),
        factor_90: ((with_prior.mu - reach).exp(), (with_prior.mu + reach).exp()),
        spread_from_data,
        with_prior,
        plain,
        weibull,
    })
}
