//! Rules of thumb of common practice, shown beside every prediction until a practice has learned its own
//! times.
//!
//! All figures: common practice, no source.

use crate::law::movement::MONTH_DAYS;
use crate::law::traction_rates::LONGEST_TRACTION_MONTHS;
use springline_model::case::ElasticsKind;
use springline_model::step::{ActKind, Activation, StepKind};
use springline_model::stock::{Alloy, Wire};

/// The measure used by the rule: the crowding of the front, or twice the displacement of the tooth
/// farthest off, whichever is more (the index ignores a high or buccal tooth).
pub fn crowding_mm(irregularity_mm: f64, farthest_mm: f64) -> f64 {
    irregularity_mm.max(2.0 * farthest_mm)
}

/// Days until the next inspection of this wire, and the measure used.
pub fn rule_of_thumb(kind: StepKind, wire: &Wire, crowding_mm: f64) -> (f64, &'static str) {
    let weeks = |n: f64| 7.0 * n;
    match (kind, wire.alloy.is_niti(), wire.section.is_round()) {
        (StepKind::Finish, _, _) => (weeks(5.0), "finishing: 4 to 5 weeks"),
        (_, false, _) if wire.alloy != Alloy::MultistrandSteel => {
            (weeks(5.0), "steel or beta-titanium, time to express: 4 to 6 weeks")
        }
        (StepKind::Work, true, _) => (weeks(6.0), "working wire: 6 weeks"),
        (_, _, false) => (weeks(8.0), "light rectangular wire: 8 weeks"),
        _ if crowding_mm < 3.5 => {
            (weeks(6.0), "a rotation or less than 3 mm of crowding: 5 to 6 weeks")
        }
        _ if crowding_mm < 6.5 => (weeks(8.0), "4 to 6 mm of crowding: 8 weeks"),
        _ if crowding_mm < 9.5 => (weeks(10.0), "7 to 9 mm of crowding: 10 weeks"),
        _ => (weeks(12.0), "10 mm of crowding or more: 10 to 12 weeks and a further check"),
    }
}

/// Longest unsupervised time of things on teeth and wires, days.
pub const COIL_LONGEST_DAYS: f64 = 70.0;
pub const CLOSING_COIL_DAYS: f64 = 42.0;
pub const CHAIN_DAYS: f64 = 35.0;
pub const ELASTICS_FIRST_DAYS: f64 = 28.0;
pub const ELASTICS_DAYS: f64 = 42.0;
pub const PIGGYBACK_DAYS: f64 = 42.0;
/// Thread and chain have lost their pull by then.
pub const TRACTION_DAYS: f64 = 42.0;
/// Days until a working wire counts as expressed, where a step gives no time.
pub const SETTLE_DAYS: f64 = 28.0;

/// Longest time that a device stays on before the plan itself is in doubt, days; `None` where that is
/// bounded by the wire it sits on.
pub fn longest_on_days(device: &ActKind) -> Option<f64> {
    let weeks = match device {
        ActKind::OpenCoil { activation: Activation::Passive, .. } => return None,
        ActKind::OpenCoil { .. } | ActKind::ReverseCurve { .. } => 30.0,
        ActKind::BiteRaisers { .. } => 26.0,
        ActKind::Piggyback { .. } => 20.0,
        ActKind::Traction { .. } => LONGEST_TRACTION_MONTHS * MONTH_DAYS / 7.0,
        ActKind::Separators { .. } => 2.0,
        _ => return None,
    };
    Some(7.0 * weeks)
}

/// The same of elastics for which the plan names no longest time.
pub fn longest_worn_days(kind: ElasticsKind) -> f64 {
    7.0 * match kind {
        ElasticsKind::Class2 | ElasticsKind::Class3 => 26.0,
        ElasticsKind::Triangle | ElasticsKind::Box => 26.0,
        ElasticsKind::Cross | ElasticsKind::Diagonal => 12.0,
        ElasticsKind::Settling => 6.0,
    }
}
