//! Learns from recorded visits how long wires really stay active in a practice.
//!
//! The day a wire becomes passive is never observed: it lies between the last visit that found it active
//! and the first that found it passive. The ratio of observed to predicted time is therefore an interval,
//! and the estimate is the log-normal distribution of maximum likelihood for these intervals, under a
//! weak prior. Taking the middle of each interval instead would be biased: it widens the spread by what
//! the visits leave open.

mod chair;
mod estimate;
mod fit;
mod gather;
mod likelihood;

pub use chair::{
    ChairEstimate, ChairObservation, FEWEST_OF_EACH, FEWEST_TESTS, FewTests, Logistic, chair_line,
    fit_chair,
};
use estimate::estimate;
pub use fit::{Prior, fit_log_normal, fit_weibull, spread_by_case};
use gather::gather;
use jiff::civil::Date;
pub use likelihood::Interval;

use crate::run::phase_cache::PhaseCache;
use springline_model::Case;
use springline_model::stock::Name;

/// One wire in one patient, as two visits bracket it. Days since the wire went in.
#[derive(Debug, Clone, PartialEq)]
pub struct WireTimeObservation {
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
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogNormal {
    pub mu: f64,
    pub sigma: f64,
    pub se_mu: f64,
    pub se_ln_sigma: f64,
    pub log_likelihood: f64,
}

/// The second opinion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    pub lambda: f64,
    pub rho: f64,
    pub se_ln_lambda: f64,
    pub se_ln_rho: f64,
    pub log_likelihood: f64,
}

/// What a house (or one of its wires) tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// `None`: the whole house.
    pub wire: Option<Name>,
    /// Case files behind it, and wires in them.
    pub cases: usize,
    pub wires: usize,
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
    /// Standard error of `mu`, the larger of two: with every wire counted for itself, and with the
    /// wires of one patient counted as going together.
    pub se_mu: f64,
    /// Factor on the predicted time, and the geometric spread to plan with.
    pub factor: f64,
    pub spread: f64,
    /// Nine-in-ten interval of the factor.
    pub factor_90: (f64, f64),
    /// `spread` rests on data; with fewer than five brackets it is the prior's.
    pub spread_from_data: bool,
}

/// Why there is no estimate.
#[derive(Debug, Clone, PartialEq, Eq)]
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
#[derive(Debug, Clone, PartialEq)]
pub struct Learning {
    pub house: Result<Estimate, TooLittle>,
    pub wires: Vec<(Name, Result<Estimate, TooLittle>)>,
    pub observations: Vec<WireTimeObservation>,
    pub left_out: Vec<LeftOut>,
    /// Where the practice draws the line in the chair test.
    pub chair: Result<ChairEstimate, FewTests>,
}

/// Fewer cases say nothing that the prior does not say.
pub const FEWEST: usize = 5;
/// Fewer two-sided brackets tell nothing of the spread.
pub const FEWEST_BRACKETS: usize = 5;

/// What the visits of one case say, and the wires left out with the reason.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Gathered {
    pub observations: Vec<WireTimeObservation>,
    pub left_out: Vec<LeftOut>,
    /// Tests of wires that were shifted.
    pub chair: Vec<ChairObservation>,
}

/// A wire that was looked at and says nothing of its time.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftOut {
    pub case: String,
    pub wire: Name,
    pub why: &'static str,
}

/// Reads one case. `today` leaves out what is dated later.
pub fn observe(case: &Case, today: Option<Date>, memory: &mut PhaseCache) -> Gathered {
    gather(case, today, memory)
}

/// What the visits of these cases tell.
pub fn learn(cases: &[&Case], today: Option<Date>) -> Learning {
    let mut memory = PhaseCache::default();
    let mut all = Gathered::default();
    for case in cases {
        all.extend(observe(case, today, &mut memory));
    }
    learn_from(all.observations, all.left_out).with_chair(&all.chair)
}

impl Gathered {
    /// Takes up those of another case.
    pub fn extend(&mut self, more: Gathered) {
        self.observations.extend(more.observations);
        self.left_out.extend(more.left_out);
        self.chair.extend(more.chair);
    }
}

impl Learning {
    /// With the practice's line of the chair test.
    #[must_use]
    pub fn with_chair(self, seen: &[ChairObservation]) -> Learning {
        Learning { chair: chair_line(seen), ..self }
    }
}

/// The estimates of wire times from observations already gathered.
pub fn learn_from(observations: Vec<WireTimeObservation>, left_out: Vec<LeftOut>) -> Learning {
    let house = estimate(None, &observations, Prior::house());
    let mut names: Vec<Name> = observations.iter().map(|o| o.wire.clone()).collect();
    names.sort();
    names.dedup();
    let wires = match &house {
        Ok(house) => names
            .into_iter()
            .map(|name| {
                let own: Vec<WireTimeObservation> =
                    observations.iter().filter(|o| o.wire == name).cloned().collect();
                let prior = Prior::wire(&house.with_prior);
                (name.clone(), estimate(Some(name), &own, prior))
            })
            .collect(),
        Err(_) => Vec::new(),
    };
    Learning { house, wires, observations, left_out, chair: chair_line(&[]) }
}

impl WireTimeObservation {
    /// Observed over predicted.
    pub fn ratio(&self) -> Interval {
        Interval {
            low: self.active_at_days / self.predicted_days,
            high: self.passive_by_days.map(|d| d / self.predicted_days),
        }
    }
}
