//! Where a practice draws the line between a wire that slides and one that binds, from its own records.
//!
//! A visit that tested a wire and wrote `passive` or `binds at` says on which side of the line the force lay that
//! was predicted for it. Logistic regression on the logarithm of that force gives the force at which half of the
//! visits say one and half the other, and over what factor it turns.

use super::fit::climb;
use super::likelihood::PlaneJet;
use crate::law::chair::{BINDS_G, SLIDES_G};
use springline_model::stock::Name;

/// One test: the force predicted for the day, and what was recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct ChairObservation {
    pub case: String,
    pub wire: Name,
    pub predicted_g: f64,
    /// `binds at`; else `passive`.
    pub bound: bool,
}

/// Where the line lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChairEstimate {
    pub visits: usize,
    pub bound: usize,
    /// Force at which half of the visits say that the wire binds, g.
    pub half_g: f64,
    /// Nine-in-ten interval of it.
    pub half_90_g: (f64, f64),
    /// Nine in ten say so at this factor over it, one in ten at this factor under it.
    pub spread: f64,
}

/// Too few tests, or all with one answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FewTests {
    pub passive: usize,
    pub bound: usize,
}

/// Fewer tests say nothing that the guess does not say.
pub const FEWEST_TESTS: usize = 8;
/// And fewer of either answer.
pub const FEWEST_OF_EACH: usize = 2;
/// What is predicted as less counts as this, g: the logarithm needs a floor, and nobody feels a gram.
const FLOOR_G: f64 = 1.0;
/// Spread of the prior in ln g: the guesses of both limits run over 10 to 400 g.
const SD_LINE: f64 = 1.0;
/// And of the slope's logarithm.
const SD_SLOPE: f64 = 0.5;

/// Between the guesses of sliding and binding.
fn middle_g() -> f64 {
    (SLIDES_G * BINDS_G).sqrt()
}

/// One in ten calls the one bound, nine in ten the other.
fn prior_slope() -> f64 {
    2.0 * 9_f64.ln() / (BINDS_G / SLIDES_G).ln()
}

/// The line as ln of the middle of the guesses, the logarithm of the slope there, and the standard errors of both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Logistic {
    pub ln_line: f64,
    pub ln_slope: f64,
    pub se_ln_line: f64,
    pub se_ln_slope: f64,
}

/// The regression, with the weak prior or without; `None` where the data do not determine it.
pub fn fit_chair(tests: &[(f64, bool)], with_prior: bool) -> Option<Logistic> {
    let jet = |line: f64, ln_slope: f64| {
        let mut sum = PlaneJet::default();
        tests.iter().for_each(|(grams, bound)| sum.add(answered(*grams, *bound, line, ln_slope)));
        if with_prior {
            sum.add(prior(line, ln_slope));
        }
        sum
    };
    let ([ln_line, ln_slope], [se_ln_line, se_ln_slope]) = climb(jet, [0.0, prior_slope().ln()])?;
    Some(Logistic { ln_line, ln_slope, se_ln_line, se_ln_slope })
}

/// ln likelihood of one answer.
fn answered(grams: f64, bound: bool, line: f64, ln_slope: f64) -> PlaneJet {
    let slope = ln_slope.exp();
    let eta = slope * ((grams.max(FLOOR_G) / middle_g()).ln() - line);
    let says = 1.0 / (1.0 + (-eta).exp());
    // ln(1 + e^x) without overflow.
    let soft = |x: f64| x.max(0.0) + (-x.abs()).exp().ln_1p();
    let value = if bound { -soft(-eta) } else { -soft(eta) };
    let (g, h) = (f64::from(u8::from(bound)) - says, -says * (1.0 - says));
    PlaneJet {
        value,
        first: [-slope * g, eta * g],
        second: [h * slope * slope, -slope * (h * eta + g), eta * (h * eta + g)],
    }
}

fn prior(line: f64, ln_slope: f64) -> PlaneJet {
    let (a, b) = (line / SD_LINE, (ln_slope - prior_slope().ln()) / SD_SLOPE);
    PlaneJet {
        value: -0.5 * (a * a + b * b),
        first: [-a / SD_LINE, -b / SD_SLOPE],
        second: [-SD_LINE.powi(-2), 0.0, -SD_SLOPE.powi(-2)],
    }
}

/// The practice's line.
///
/// # Errors
/// Where too few tests are recorded, or too few of one answer.
pub fn chair_line(seen: &[ChairObservation]) -> Result<ChairEstimate, FewTests> {
    let bound = seen.iter().filter(|s| s.bound).count();
    let few = FewTests { passive: seen.len() - bound, bound };
    if seen.len() < FEWEST_TESTS || few.passive.min(few.bound) < FEWEST_OF_EACH {
        return Err(few);
    }
    let tests: Vec<(f64, bool)> = seen.iter().map(|s| (s.predicted_g, s.bound)).collect();
    let fit = fit_chair(&tests, true).ok_or(few)?;
    let grams = |ln: f64| middle_g() * ln.exp();
    let reach = 1.645 * fit.se_ln_line;
    Ok(ChairEstimate {
        visits: seen.len(),
        bound,
        half_g: grams(fit.ln_line),
        half_90_g: (grams(fit.ln_line - reach), grams(fit.ln_line + reach)),
        spread: (9_f64.ln() / fit.ln_slope.exp()).exp(),
    })
}
