//! Stress, tangent and potential of one fibre over one increment.
//!
//! Within an increment the state of a law is fixed at the end of the last solve, so stress is a
//! single-valued function of strain. It therefore has a potential, and the solver can minimise energy.

use super::simd::Four;
use super::{Flag, Law, Linear};

/// Share of the modulus that is left after yield: enough slope for a unique equilibrium.
const HARDENING: f64 = 0.02;

/// Lowest unloading stress, MPa. A flag shifted below it by cold would keep its strain until it is
/// warmed; the path back to zero strain is kept instead.
const LOWEST_PLATEAU_MPA: f64 = 5.0;

/// A fibre is left at a corner of its law and begins the next increment there, where rounding alone would say which way it
/// goes on. It is taken to unload, as fibres do while teeth come into line: corners lie beyond their strains by this share.
const UNLOADS: f64 = 1.0 + 1e-9;

/// One straight-line path with two kinks: slope `ea` to `(e1, s1)`, plateau to `(e2, s2)`, then `em`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Path {
    ea: f64,
    em: f64,
    e1: f64,
    s1: f64,
    e2: f64,
    plateau: f64,
}

impl Path {
    fn new(ea: f64, em: f64, start: f64, end: f64, transformation: f64) -> Path {
        let (e1, e2) = (start / ea, transformation + end / em);
        Path { ea, em, e1, s1: start, e2, plateau: (end - start) / (e2 - e1) }
    }

    /// For strain not negative.
    #[inline]
    fn stress(&self, e: f64) -> f64 {
        let p = least(self.ea * e, self.s1 + self.plateau * (e - self.e1));
        // Below its start the last line lies under the plateau, so the larger is the path.
        most(p, self.s1 + self.plateau * (self.e2 - self.e1) + self.em * (e - self.e2))
    }

    #[inline]
    fn tangent(&self, e: f64) -> f64 {
        if e < self.e1 {
            self.ea
        } else if e < self.e2 {
            self.plateau
        } else {
            self.em
        }
    }

    #[inline]
    fn potential(&self, e: f64) -> f64 {
        let (a, b) = (most(e - self.e1, 0.0), most(e - self.e2, 0.0));
        0.5 * (self.ea * e * e - (self.ea - self.plateau) * a * a
            + (self.em - self.plateau) * b * b)
    }
}

/// Stress, tangent and potential of a path at four strains, none negative.
impl Path {
    #[inline(always)]
    fn four(&self, e: Four) -> SectionResponses {
        let (over, past) = ((e - self.e1).most(Four::ZERO), (e - self.e2).most(Four::ZERO));
        let (lost, regained) = (self.ea - self.plateau, self.em - self.plateau);
        let stress = e * self.ea - over * lost + past * regained;
        let soft = Four::ZERO.where_less(past, Four::all(self.em), Four::all(self.plateau));
        let tangent = Four::ZERO.where_less(over, soft, Four::all(self.ea));
        let potential = (e * e * self.ea - over * over * lost + past * past * regained) * 0.5;
        SectionResponses { stress, tangent, potential }
    }
}

#[inline]
fn least(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

#[inline]
fn most(a: f64, b: f64) -> f64 {
    if a > b { a } else { b }
}

/// A law made ready for evaluation.
#[derive(Debug, Clone, Copy)]
pub(crate) enum FibreLaw {
    /// Elastic without end.
    Elastic { modulus: f64 },
    /// Elastic to a yield stress, then a line of small slope; state is the plastic strain.
    Yielding { modulus: f64, yield_strain: f64 },
    /// Flag; state is the transformed share, signed as the strain that made it.
    Flag { upper: Path, lower: Path, transformation: f64 },
}

/// Response of a fibre: stress, tangent, potential per volume.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct SectionResponse {
    pub stress: f64,
    #[cfg_attr(not(test), allow(dead_code))] // what four fibres answer is held against it
    pub tangent: f64,
    #[cfg_attr(not(test), allow(dead_code))]
    pub potential: f64,
}

/// Response of four fibres.
#[derive(Debug, Clone, Copy)]
pub(crate) struct SectionResponses {
    pub stress: Four,
    pub tangent: Four,
    pub potential: Four,
}

/// A fibre's state with the values derived from it, computed once per solve.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Ready {
    pub state: f64,
    /// Ray of the mixture: its slope, and the strain where it meets zero stress.
    rigidity: f64,
    foot: f64,
    /// Strains where the ray leaves the lower path and reaches the upper.
    from: f64,
    to: f64,
    /// Potential where the ray begins, and what the upper path's own potential lacks.
    begins: f64,
    lacks: f64,
}

/// The same of four fibres.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct ReadyFour {
    state: Four,
    rigidity: Four,
    foot: Four,
    from: Four,
    to: Four,
    begins: Four,
    lacks: Four,
}

impl ReadyFour {
    pub fn of([a, b, c, d]: [Ready; 4]) -> ReadyFour {
        ReadyFour {
            state: Four([a.state, b.state, c.state, d.state]),
            rigidity: Four([a.rigidity, b.rigidity, c.rigidity, d.rigidity]),
            foot: Four([a.foot, b.foot, c.foot, d.foot]),
            from: Four([a.from, b.from, c.from, d.from]),
            to: Four([a.to, b.to, c.to, d.to]),
            begins: Four([a.begins, b.begins, c.begins, d.begins]),
            lacks: Four([a.lacks, b.lacks, c.lacks, d.lacks]),
        }
    }
}

impl FibreLaw {
    pub fn new(law: &Law) -> FibreLaw {
        match *law {
            Law::Linear(Linear { modulus_mpa, yield_mpa: None, .. }) => {
                FibreLaw::Elastic { modulus: modulus_mpa }
            }
            Law::Linear(Linear { modulus_mpa, yield_mpa: Some(y), .. }) => {
                FibreLaw::Yielding { modulus: modulus_mpa, yield_strain: y / modulus_mpa }
            }
            Law::Flag(f) => FibreLaw::flag(&f),
        }
    }

    fn flag(f: &Flag) -> FibreLaw {
        let start = f.loading_start_mpa.max(2.0 * LOWEST_PLATEAU_MPA);
        let end = f.loading_end_mpa.max(start);
        let low_end = f.unloading_end_mpa.clamp(LOWEST_PLATEAU_MPA, start);
        let low_start = f.unloading_start_mpa.clamp(low_end, end);
        let path =
            |s, e| Path::new(f.austenite_mpa, f.martensite_mpa, s, e, f.transformation_strain);
        FibreLaw::Flag {
            upper: path(start, end),
            lower: path(low_end, low_start),
            transformation: f.transformation_strain,
        }
    }

    /// Strain up to which a fibre without history is simply elastic.
    pub fn elastic_strain(&self) -> f64 {
        match *self {
            FibreLaw::Elastic { .. } => f64::INFINITY,
            FibreLaw::Yielding { yield_strain, .. } => yield_strain,
            FibreLaw::Flag { upper, .. } => upper.e1,
        }
    }

    pub fn modulus(&self) -> f64 {
        match *self {
            FibreLaw::Elastic { modulus } | FibreLaw::Yielding { modulus, .. } => modulus,
            FibreLaw::Flag { upper, .. } => upper.ea,
        }
    }

    /// A fibre to which nothing has happened yet. The hot path: no branch on the state.
    #[inline]
    pub fn fresh(&self, strain: f64) -> SectionResponse {
        match *self {
            FibreLaw::Flag { upper: path, .. } => {
                let e = strain.abs();
                SectionResponse {
                    stress: path.stress(e).copysign(strain),
                    tangent: path.tangent(e),
                    potential: path.potential(e),
                }
            }
            _ => self.answer(strain, &Ready::default()),
        }
    }

    /// A state prepared for [`FibreLaw::answer`].
    #[inline]
    pub fn ready(&self, state: f64) -> Ready {
        let FibreLaw::Flag { upper: up, lower: low, transformation } = *self else {
            return Ready { state, ..Ready::default() };
        };
        let share = state.abs();
        let rigidity = 1.0 / (1.0 / up.ea + share * (1.0 / up.em - 1.0 / up.ea));
        let foot = transformation * share;
        let meets = |p: &Path| (rigidity * foot + p.s1 - p.plateau * p.e1) / (rigidity - p.plateau);
        let (from, to) = (UNLOADS * meets(&low), UNLOADS * meets(&up));
        let begins = low.potential(from);
        let across = 0.5 * (to - from) * rigidity * (to + from - 2.0 * foot);
        let lacks = begins + across - up.potential(to);
        Ready { state, rigidity, foot, from, to, begins, lacks }
    }

    /// Four fibres to which nothing has happened yet. The hot path.
    #[inline(always)]
    pub fn fresh_four(&self, strain: Four) -> SectionResponses {
        match self {
            FibreLaw::Flag { upper, .. } => {
                let a = upper.four(strain.abs());
                SectionResponses { stress: a.stress.signed(strain), ..a }
            }
            _ => self.answer_four(strain, &ReadyFour::default()),
        }
    }

    /// Four fibres with their states.
    #[inline(always)]
    pub fn answer_four(&self, strain: Four, ready: &ReadyFour) -> SectionResponses {
        match self {
            FibreLaw::Elastic { modulus } => SectionResponses {
                stress: strain * *modulus,
                tangent: Four::all(*modulus),
                potential: strain * strain * (0.5 * modulus),
            },
            FibreLaw::Yielding { modulus, yield_strain } => {
                let soft = HARDENING * modulus;
                let lost = modulus - soft;
                let centre = ready.state * (modulus / lost);
                let e = strain - ready.state;
                let over = (strain - centre - *yield_strain).most(Four::ZERO);
                let under = (strain - centre + *yield_strain).least(Four::ZERO);
                let past = over - under;
                let corner = Four::all((UNLOADS - 1.0) * yield_strain);
                let tangent = corner.where_less(past, Four::all(soft), Four::all(*modulus));
                SectionResponses {
                    stress: e * *modulus - (over + under) * lost,
                    tangent,
                    potential: (e * e * *modulus - past * past * lost) * 0.5,
                }
            }
            FibreLaw::Flag { upper, lower, .. } => {
                let e = strain.abs();
                let up = upper.four(e);
                let low = lower.four(e);
                let ray = (e - ready.foot) * ready.rigidity;
                let on = ready.begins
                    + (e - ready.from) * ready.rigidity * (e + ready.from - ready.foot * 2.0) * 0.5;
                // Strained the other way, what is transformed has gone: the upper path from zero.
                let same = ready.state * strain;
                let from = Four::ZERO.where_less(same, ready.from, Four::ZERO);
                let to = Four::ZERO.where_less(same, ready.to, Four::ZERO);
                let lacks = Four::ZERO.where_less(same, ready.lacks, Four::ZERO);
                let pick = |low: Four, ray: Four, up: Four| {
                    e.where_less(from, low, e.where_less(to, ray, up))
                };
                SectionResponses {
                    stress: pick(low.stress, ray, up.stress).signed(strain),
                    tangent: pick(low.tangent, ready.rigidity, up.tangent),
                    potential: pick(low.potential, on, lacks + up.potential),
                }
            }
        }
    }

    /// A fibre with a state.
    #[inline]
    pub fn answer(&self, strain: f64, ready: &Ready) -> SectionResponse {
        match *self {
            FibreLaw::Elastic { modulus } => SectionResponse {
                stress: modulus * strain,
                tangent: modulus,
                potential: 0.5 * modulus * strain * strain,
            },
            FibreLaw::Yielding { modulus, yield_strain } => {
                // Kinematic: the elastic range keeps its length and moves with the plastic strain.
                let state = ready.state;
                let soft = HARDENING * modulus;
                let centre = state * modulus / (modulus - soft);
                let (low, high) = (centre - yield_strain, centre + yield_strain);
                let e = strain - state;
                let (over, under) = (most(strain - high, 0.0), least(strain - low, 0.0));
                let lost = modulus - soft;
                SectionResponse {
                    stress: modulus * e - lost * (over + under),
                    tangent: if over - under > (UNLOADS - 1.0) * yield_strain {
                        soft
                    } else {
                        modulus
                    },
                    potential: 0.5 * (modulus * e * e - lost * (over * over + under * under)),
                }
            }
            FibreLaw::Flag { upper: up, lower: low, .. } => {
                if ready.state * strain <= 0.0 {
                    return self.fresh(strain);
                }
                let e = strain.abs();
                let Ready { rigidity, foot, from, to, begins, lacks, .. } = *ready;
                let (stress, tangent, potential) = if e < from {
                    (low.stress(e), low.tangent(e), low.potential(e))
                } else if e < to {
                    let stress = rigidity * (e - foot);
                    let area = 0.5 * (e - from) * rigidity * (e + from - 2.0 * foot);
                    (stress, rigidity, begins + area)
                } else {
                    (up.stress(e), up.tangent(e), lacks + up.potential(e))
                };
                SectionResponse { stress: stress.copysign(strain), tangent, potential }
            }
        }
    }

    /// The state after the increment has ended at this strain.
    pub fn next_state(&self, strain: f64, state: f64) -> f64 {
        match *self {
            FibreLaw::Elastic { .. } => 0.0,
            FibreLaw::Yielding { modulus, .. } => {
                strain - self.answer(strain, &self.ready(state)).stress / modulus
            }
            FibreLaw::Flag { upper: up, transformation, .. } => {
                let s = if state * strain > 0.0 {
                    self.answer(strain, &self.ready(state)).stress.abs()
                } else {
                    up.stress(strain.abs())
                };
                let share =
                    (strain.abs() - s / up.ea) / (transformation + s * (1.0 / up.em - 1.0 / up.ea));
                // Rounding on the elastic line must not leave a trace of transformation.
                if share < 1e-9 { 0.0 } else { share.min(1.0).copysign(strain) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laws() -> Vec<FibreLaw> {
        let Law::Linear(steel) = Law::steel() else { unreachable!() };
        [
            Law::superelastic(),
            Law::thermal(),
            Law::Flag(Flag::endless(50_000.0, 800.0, 450.0, 0.55)),
            Law::Linear(Linear { yield_mpa: Some(1300.0), ..steel }),
        ]
        .iter()
        .map(FibreLaw::new)
        .collect()
    }

    #[test]
    fn stress_is_the_slope_of_the_potential_and_tangent_that_of_stress() {
        for law in laws() {
            for state in [0.0_f64, 0.3, 0.9, 1.0, -0.4, 0.004, -0.01] {
                if matches!(law, FibreLaw::Yielding { .. }) && state.abs() > 0.1 {
                    continue;
                }
                for i in -90..90 {
                    let e = 0.001_017 * f64::from(i) + 1e-4;
                    let h = 1e-7;
                    let (a, b) = (
                        law.answer(e - h, &law.ready(state)),
                        law.answer(e + h, &law.ready(state)),
                    );
                    let here = law.answer(e, &law.ready(state));
                    let slope = (b.potential - a.potential) / (2.0 * h);
                    assert!((slope - here.stress).abs() < 1e-2, "{law:?} {state} {e}");
                    if (a.tangent - b.tangent).abs() < 1e-9 {
                        let t = (b.stress - a.stress) / (2.0 * h);
                        assert!(
                            (t - here.tangent).abs() < 1e-3 * (1.0 + t.abs()),
                            "{law:?} {state} {e}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn four_fibres_answer_as_one_does() {
        for law in laws() {
            for state in [0.0_f64, 0.3, 0.9, 1.0, -0.4, 0.004, -0.01] {
                let ready = law.ready(state);
                for i in -90..90 {
                    let e = 0.001_017 * f64::from(i) + 1e-4;
                    let one = law.answer(e, &ready);
                    let four = law.answer_four(Four::all(e), &ReadyFour::of([ready; 4]));
                    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + a.abs());
                    assert!(near(one.stress, four.stress.0[0]), "{law:?} {state} {e}");
                    assert!(near(one.tangent, four.tangent.0[1]), "{law:?} {state} {e}");
                    assert!(near(one.potential, four.potential.0[2]), "{law:?} {state} {e}");
                }
            }
        }
    }

    #[test]
    fn one_step_or_many_end_in_the_same_state() {
        for law in laws() {
            let mut state = 0.0;
            for i in 1..=50 {
                state = law.next_state(0.05 * f64::from(i) / 50.0, state);
            }
            assert!((state - law.next_state(0.05, 0.0)).abs() < 1e-9);
            let mut back = state;
            for i in (0..50).rev() {
                back = law.next_state(0.05 * f64::from(i) / 50.0, back);
            }
            let at_once = law.next_state(0.0, state);
            assert!((back - at_once).abs() < 1e-9, "{law:?} {back} {at_once}");
        }
    }

    /// At the strain at which it was left a fibre has the slope of the way back, whatever rounding makes of that strain.
    #[test]
    fn a_fibre_left_at_a_corner_is_taken_to_unload() {
        for law in laws() {
            for strain in [0.013, 0.02, 0.031, 0.047, -0.017, -0.03] {
                let yields = matches!(law, FibreLaw::Yielding { .. });
                let state = law.next_state(strain, 0.0);
                for near in [strain, strain * (1.0 + 1e-15), strain * (1.0 - 1e-15)] {
                    let tangent = law.answer(near, &law.ready(state)).tangent;
                    let back = law.answer(0.99 * strain, &law.ready(state)).tangent;
                    assert_eq!(tangent, back, "{law:?} {strain}");
                    if yields {
                        assert_eq!(tangent, law.modulus());
                    }
                }
            }
        }
    }

    #[test]
    fn an_inner_loop_stays_between_the_plateaus() {
        let law = FibreLaw::new(&Law::superelastic());
        let state = law.next_state(0.03, 0.0);
        let up = law.answer(0.03, &law.ready(0.0)).stress;
        let down = law.answer(0.02, &law.ready(state)).stress;
        assert!(down < up && down > 180.0, "{down}");
        let low = law.next_state(0.02, state);
        let again = law.answer(0.025, &law.ready(low)).stress;
        assert!(again > down && again <= law.answer(0.025, &law.ready(0.0)).stress + 1e-9);
    }
}
