//! What chains and elastics pull while they are worn: fresh, on average, and as they are renewed.
//!
//! The forces on teeth are those of the average. Rates of closing and of the overjet were published for chains and
//! elastics as they were renewed, so their loss is in those figures already and is not counted there again.

use crate::law::rules_of_thumb::CHAIN_DAYS;
use springline_model::case::ElasticRun;
use springline_model::force_left::ForceLeft;
use springline_model::stock::Chain;
use springline_units::quantity::{Force, from_grams, newtons};

/// Of a chain where neither the act nor the drawer says its force (common practice, no source).
const CHAIN_G: f64 = 150.0;

/// The force of something that loses it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FadingPull {
    pub fresh_n: f64,
    /// On average until it is renewed.
    pub mean_n: f64,
    /// When it is renewed.
    pub last_n: f64,
    /// Until then.
    pub hours: f64,
}

impl FadingPull {
    fn of(fresh: Force, left: &ForceLeft, hours: f64) -> FadingPull {
        let fresh_n = newtons(fresh);
        let (mean, last) = (left.mean(hours), left.after(hours));
        FadingPull { fresh_n, mean_n: fresh_n * mean, last_n: fresh_n * last, hours }
    }
}

/// A chain with the force of its act, else of the drawer; renewed after the longest time it is left alone.
pub fn chain_pull(chain: Option<&Chain>, force: Option<Force>) -> FadingPull {
    let fresh = force.or_else(|| chain.and_then(|c| c.force));
    let left = chain.map_or_else(ForceLeft::chain, Chain::force_left);
    FadingPull::of(fresh.unwrap_or_else(|| from_grams(CHAIN_G)), &left, 24.0 * CHAIN_DAYS)
}

/// An elastic, a new one every day, over the hours that it is worn.
pub fn elastic_pull(run: &ElasticRun) -> FadingPull {
    let hours = run.hours_a_day.clamp(0.0, 24.0);
    FadingPull::of(run.elastic.force, &run.elastic.force_left(), hours)
}
