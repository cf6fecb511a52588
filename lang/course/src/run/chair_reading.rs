//! The chair test of one moment. How much more it takes on stiff teeth is a solve of its own, and few readers ask for the
//! high end of the range; so it is solved then, and once for a wire.

use std::sync::{Arc, OnceLock};

use crate::law::chair::ChairTest;
use crate::run::chair::{FrictionRange, ShiftForce};
use springline_mechanics::{Setup, Solution, Start, Support, solve};

/// Give of teeth at the stiff end of what was measured, over what is taken: mobilities of sound teeth of one kind differ by some
/// half to either side (Muehlemann HR. J Periodontol 1960;31:110-122; value from memory).
const STIFF: f64 = 0.5;
/// Forces between which the give of the teeth is tried, N: below nothing is felt, far above every wire binds.
const TRIED_N: [f64; 2] = [0.05, 1.5];

/// A wire on stiff teeth.
#[derive(Debug, Clone)]
pub(crate) struct StiffTeeth(Arc<OnStiffTeeth>);

#[derive(Debug)]
struct OnStiffTeeth {
    setup: Setup,
    /// On teeth as soft as they are taken to be, and what it then takes to shift the wire, N.
    solution: Solution,
    soft_n: f64,
    range: FrictionRange,
    times: OnceLock<f64>,
}

impl PartialEq for StiffTeeth {
    /// By what is asked, whether it has been answered or not.
    fn eq(&self, other: &StiffTeeth) -> bool {
        let (a, b) = (&*self.0, &*other.0);
        (&a.setup, &a.solution, a.range) == (&b.setup, &b.solution, b.range)
    }
}

impl StiffTeeth {
    /// Under a wire in its slots; `None` where the force is not worth the solve.
    pub fn under(
        setup: &Setup,
        solution: &Solution,
        felt: &ShiftForce,
        range: &FrictionRange,
    ) -> Option<StiffTeeth> {
        let ([least, most], soft_n) = (TRIED_N, felt.taken_n());
        (least..most).contains(&soft_n).then(|| {
            StiffTeeth(Arc::new(OnStiffTeeth {
                setup: setup.clone(),
                solution: solution.clone(),
                soft_n,
                range: *range,
                times: OnceLock::new(),
            }))
        })
    }

    /// How many times as much it takes to shift the wire; once as much where there is no answer.
    fn times(&self) -> f64 {
        let asked = &*self.0;
        *asked.times.get_or_init(|| asked.solved_n().map_or(1.0, |n| (n / asked.soft_n).max(1.0)))
    }
}

impl OnStiffTeeth {
    fn solved_n(&self) -> Option<f64> {
        let mut stiff = self.setup.clone();
        for slot in &mut stiff.slots {
            slot.support = scaled(&slot.support, STIFF);
        }
        let solved = solve(&stiff, Start::Carry(&self.solution)).ok()?;
        Some(ShiftForce::of(&stiff, &solved, &self.range).taken_n())
    }
}

fn scaled(support: &Support, by: f64) -> Support {
    Support {
        lingual_mm_per_n: by * support.lingual_mm_per_n,
        gingival_mm_per_n: by * support.gingival_mm_per_n,
        rotation_rad_per_nmm: by * support.rotation_rad_per_nmm,
        tip_rad_per_nmm: by * support.tip_rad_per_nmm,
        torque_rad_per_nmm: by * support.torque_rad_per_nmm,
        along_mm_per_n: by * support.along_mm_per_n,
        ..*support
    }
}

/// The chair test as predicted for one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct ChairReading {
    /// On teeth as soft as they are taken to be, whatever the friction.
    soft: ChairTest,
    stiff: Option<StiffTeeth>,
}

impl ChairReading {
    pub(crate) fn new(soft: ChairTest, stiff: Option<StiffTeeth>) -> ChairReading {
        ChairReading { soft, stiff }
    }

    /// What it takes to shift the wire, N, by the friction taken.
    pub fn force_n(&self) -> f64 {
        self.soft.force_n
    }

    /// The whole test. Solved when first asked for.
    pub fn test(&self) -> ChairTest {
        let ([low, high], times) =
            (self.soft.range_n, self.stiff.as_ref().map_or(1.0, StiffTeeth::times));
        ChairTest { range_n: [low, high * times], ..self.soft }
    }
}
