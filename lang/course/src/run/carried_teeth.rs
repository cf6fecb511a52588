//! Teeth that something carries along the arch: a closing spring, a chain, an open coil, elastics. How fast is
//! published, friction and all, and counted elsewhere; what turns them on the way is here.

use crate::run::drive::MovingTooth;
use springline_mechanics::{Components, Load, Setup};

/// What turns one tooth: the moments about its centre of resistance of what carries it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct CarriedTooth {
    pub id: u16,
    pub tip_nmm: f64,
    pub torque_nmm: f64,
    /// Days at unit rate until it is there, and nothing pulls on it any more.
    pub until_days: f64,
}

/// What turns each tooth after so many days; nothing where it is not carried.
pub(crate) fn couples_at(
    movers: &[MovingTooth],
    carried: &[CarriedTooth],
    days: f64,
) -> Vec<Option<Components>> {
    let of = |id: u16| {
        let own = carried.iter().filter(|c| c.id == id && c.until_days > days);
        own.fold(None, |sum: Option<Components>, c| {
            let mut sum = sum.unwrap_or_default();
            sum.tip_nmm += c.tip_nmm;
            sum.torque_nmm += c.torque_nmm;
            Some(sum)
        })
    };
    movers.iter().map(|m| of(m.id)).collect()
}

/// When the next tooth is there.
pub(crate) fn next_there(carried: &[CarriedTooth], days: f64) -> Option<f64> {
    let ends = carried.iter().map(|c| c.until_days);
    ends.filter(|end| *end > days && end.is_finite()).reduce(f64::min)
}

/// The same as loads on the teeth of a wire: pairs of forces two millimetres apart.
pub(crate) fn turning_loads(
    setup: &Setup,
    movers: &[MovingTooth],
    couples: &[Option<Components>],
) -> Vec<Load> {
    let held = |id: u16| setup.slots.iter().any(|s| s.id == id);
    let teeth = movers.iter().zip(couples).filter(|(m, _)| held(m.id));
    teeth
        .filter_map(|(m, by)| Some((m.id, (*by)?)))
        .flat_map(|(id, by)| {
            let pair = move |couple_nmm: f64, [lingual, along]: [f64; 2]| {
                [1.0, -1.0].map(|sign| Load {
                    id,
                    lingual_n: 0.0,
                    gingival_n: 0.5 * sign * couple_nmm,
                    along_n: 0.0,
                    at_mm: [sign * lingual, 0.0, sign * along],
                })
            };
            [pair(by.tip_nmm, [0.0, 1.0]), pair(by.torque_nmm, [1.0, 0.0])]
        })
        .flatten()
        .collect()
}
