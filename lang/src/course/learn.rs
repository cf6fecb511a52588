//! How long wires really stay active in a house, from its recorded visits.

use jiff::civil::Date;
use serde::Serialize;

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
    TooFew { cases: usize, needed: usize },
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

/// What the visits of these cases tell. `today` leaves out what is dated later.
pub fn learn(_cases: &[&Case], _today: Option<Date>) -> Learning {
    Learning {
        house: Err(TooLittle::NoCases),
        wires: Vec::new(),
        observations: Vec::new(),
        left_out: Vec::new(),
    }
}
