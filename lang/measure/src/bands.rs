//! What the error of picking makes of every figure: the points are picked again, 64 times.

use std::collections::BTreeMap;

use crate::figure_key::FigureKey;
use crate::picks::ArchPicks;
use springline_mechanics::normal_deviate;

/// Enough for a standard deviation good to a tenth of itself.
const AGAIN: usize = 64;

/// The same points picked again with a normal error of so many mm in every coordinate: a Latin hypercube, so that each
/// coordinate takes its whole range.
pub(crate) fn picked_again(picks: &ArchPicks, error_mm: f64, seed: u64) -> Vec<ArchPicks> {
    let mut random = fastrand::Rng::with_seed(seed);
    let count = picks.clone().coordinates();
    let mut draws: Vec<Vec<f64>> = (0..AGAIN).map(|_| Vec::with_capacity(count)).collect();
    for _ in 0..count {
        let mut ranks: Vec<usize> = (0..AGAIN).collect();
        random.shuffle(&mut ranks);
        for (draw, rank) in draws.iter_mut().zip(ranks) {
            draw.push(normal_deviate((rank as f64 + random.f64()) / AGAIN as f64));
        }
    }
    let again = |draw: Vec<f64>| {
        let (mut out, mut at) = (picks.clone(), draw.into_iter());
        out.each(|x| *x += error_mm * at.next().unwrap_or(0.0));
        out
    };
    draws.into_iter().map(again).collect()
}

/// Standard deviations of the figures that every pick has.
pub(crate) fn deviations(all: &[BTreeMap<FigureKey, f64>]) -> BTreeMap<FigureKey, f64> {
    let Some(first) = all.first() else { return BTreeMap::new() };
    let of = |key: &FigureKey| {
        let values: Vec<f64> = all.iter().filter_map(|m| m.get(key).copied()).collect();
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let square =
            values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0);
        square.sqrt()
    };
    first.keys().map(|key| (*key, of(key))).collect()
}
