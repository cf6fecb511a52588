//! What it takes to shift the base wire along its slots, at every state of a run.

use springline_mechanics::{CLIP_N, Friction, Setup, SlidingWire, Solution, Surface};
use springline_model::House;
use springline_model::house::SlidingAlloy;
use springline_model::stock::Alloy;

/// Friction at the low end, as taken, and at the high end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FrictionRange(pub [Friction; 3]);

impl FrictionRange {
    /// Of an alloy on slots of stainless steel.
    pub fn of(alloy: Alloy) -> FrictionRange {
        let surface = match SlidingAlloy::of(alloy) {
            SlidingAlloy::Steel => Surface::Steel,
            SlidingAlloy::CobaltChromium => Surface::CobaltChromium,
            SlidingAlloy::BetaTitanium => Surface::BetaTitanium,
            SlidingAlloy::Niti => Surface::NickelTitanium,
        };
        let on = surface.on_steel();
        let pair = |coefficient, clip_n| Friction { coefficient, clip_n };
        FrictionRange([
            pair(on.low, CLIP_N.low),
            pair(on.value, CLIP_N.value),
            pair(on.high, CLIP_N.high),
        ])
    }

    /// The same with the practice's own coefficient, where it has one; its range unless said is as wide as the built-in
    /// one, by factors.
    pub fn in_house(house: &House, alloy: Alloy) -> FrictionRange {
        let mut range = FrictionRange::of(alloy);
        let Some(own) = house.friction.get(&SlidingAlloy::of(alloy)) else { return range };
        let usual = range.taken().coefficient;
        let all = match own.range {
            Some([low, high]) => [low, own.coefficient, high],
            None => range.0.map(|f| own.coefficient * f.coefficient / usual),
        };
        for (friction, coefficient) in range.0.iter_mut().zip(all) {
            friction.coefficient = coefficient;
        }
        range
    }

    pub fn taken(&self) -> &Friction {
        &self.0[1]
    }
}

/// The force to shift a wire, N, by each friction of the range; and the tooth that holds it most, with its share.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct ShiftForce {
    pub by_friction_n: [f64; 3],
    pub tightest: Option<(u16, f64)>,
}

impl ShiftForce {
    pub fn of(setup: &Setup, solution: &Solution, range: &FrictionRange) -> ShiftForce {
        let wire = SlidingWire::of(setup, solution);
        ShiftForce {
            by_friction_n: range.0.map(|friction| wire.chair_n(&friction, &setup.wire)),
            tightest: wire.tightest(range.taken()),
        }
    }

    pub fn taken_n(&self) -> f64 {
        self.by_friction_n[1]
    }

    /// By straight line, the tooth of the nearer state.
    pub fn between(&self, next: &ShiftForce, share: f64) -> ShiftForce {
        let (a, b) = (self.by_friction_n, next.by_friction_n);
        let nearer = if share < 0.5 { self } else { next };
        ShiftForce {
            by_friction_n: std::array::from_fn(|i| a[i] + (b[i] - a[i]) * share),
            tightest: nearer.tightest.or(self.tightest).or(next.tightest),
        }
    }
}

/// What every slot holds, N, by each friction of the range.
pub(crate) fn held(
    setup: &Setup,
    solution: &Solution,
    range: &FrictionRange,
) -> Vec<(u16, [f64; 3])> {
    let wire = SlidingWire::of(setup, solution);
    let [low, taken, high] = range.0.map(|friction| wire.slots(&friction));
    let both = taken.into_iter().zip(low.into_iter().zip(high));
    both.map(|(t, (l, h))| (t.id, [l, t, h].map(|s| s.resistance_n))).collect()
}
