//! How far a wire may slide before a stop or an end meets a bracket.

/// A stop on the wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlidingStop {
    /// Its centre, mm along the arch with the wire unshifted.
    pub centre_mm: f64,
    /// Its length along the wire, mm.
    pub length_mm: f64,
}

/// Shifts of the wire towards growing station that nothing forbids, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlidingInterval {
    /// Least shift, mm; not above zero where the wire lies free.
    pub from_mm: f64,
    /// Largest shift, mm.
    pub to_mm: f64,
}

impl SlidingInterval {
    /// True when no shift at all is allowed: the wire is locked and would carry axial force.
    pub fn is_blocked(&self) -> bool {
        self.from_mm > self.to_mm
    }
}

/// Intersects, over brackets (centre, width) and stops, the shifts at which the wire covers every slot
/// to its outer edge and no stop enters a bracket. `ends_mm` are the wire's two ends.
pub fn sliding_interval(
    brackets_mm: &[(f64, f64)],
    ends_mm: (f64, f64),
    stops: &[SlidingStop],
) -> Option<SlidingInterval> {
    let numbers = brackets_mm.iter().flat_map(|b| [b.0, b.1]);
    let stop_numbers = stops.iter().flat_map(|s| [s.centre_mm, s.length_mm]);
    if brackets_mm.is_empty()
        || !numbers.chain(stop_numbers).chain([ends_mm.0, ends_mm.1]).all(f64::is_finite)
    {
        return None;
    }
    let right_most = brackets_mm.iter().map(|b| b.0 - b.1 / 2.0).fold(f64::INFINITY, f64::min);
    let left_most = brackets_mm.iter().map(|b| b.0 + b.1 / 2.0).fold(f64::NEG_INFINITY, f64::max);
    let (mut from, mut to) = (left_most - ends_mm.1, right_most - ends_mm.0);
    for stop in stops {
        for &(centre, width) in brackets_mm {
            let reach = (width + stop.length_mm) / 2.0;
            if centre >= stop.centre_mm {
                to = to.min(centre - reach - stop.centre_mm);
            } else {
                from = from.max(centre + reach - stop.centre_mm);
            }
        }
    }
    Some(SlidingInterval { from_mm: from, to_mm: to })
}
