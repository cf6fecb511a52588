//! The shipped figures put to a pair, as the rules put them to a first wire.

use springline_lang::mechanics::{March, Setup, Slot, march};
use springline_lang::model::limits::{Limit, SUPERELASTIC_STRAIN};
use springline_lang::units::quantity::newtons_to_grams;

use crate::arches::{Pair, lightest};

/// What is found of one wire in one arch.
#[derive(Debug, Clone, Default)]
pub struct Verdict {
    pub errors: usize,
    pub warnings: usize,
    /// The mechanics has no answer: the wire cannot be put in.
    pub refused: bool,
    /// The limits that spoke.
    pub said: Vec<&'static str>,
    pub figures: Figures,
}

/// What the limits are put to, g.
#[derive(Debug, Clone, Copy, Default)]
pub struct Figures {
    pub peak: f64,
    pub delivered: f64,
    pub sustained: f64,
    /// Sustained by the lightest wire in the same arch; superelastic wires only.
    pub light: f64,
    /// Of what the wire bears, percent.
    pub strain: f64,
}

/// How far a tooth may stand off its neighbours' line under a heavier wire, mm.
const FAR_MM: f64 = 2.75;

pub fn judge(pair: &Pair) -> Verdict {
    let how = March::default();
    let Ok(own) = march(&pair.setup, &how) else {
        return Verdict { errors: 1, refused: true, ..Verdict::default() };
    };
    let [peak, delivered, kept] =
        [own.peak(), own.delivered(), own.sustained()].map(|(_, n)| newtons_to_grams(n));
    let figures = Figures { peak, delivered, sustained: kept, light: 0.0, strain: 0.0 };
    let mut verdict = Verdict { figures, ..Verdict::default() };
    if pair.wire.rigid {
        verdict.add("misfit or turn", left_over(&pair.setup));
    } else {
        let light = march(&Setup { wire: lightest(), ..pair.setup.clone() }, &how);
        let light = light.map_or(0.0, |l| newtons_to_grams(l.sustained().1));
        verdict.figures.light = light;
        verdict.add("sustained", sustained(kept, light));
    }
    // The others speak where the main verdict is silent or milder.
    let (none, mild) = (verdict.said.is_empty(), verdict.errors == 0);
    let beside = |past: Option<bool>| past.filter(|error| none || (*error && mild));
    if pair.wire.rigid {
        verdict.add("delivered", beside(past(delivered, Limit::Delivered)));
    }
    verdict.add("peak", beside(past(peak, Limit::Peak)));
    // As the rule has it: superelastic wire of the 16 % at which it is refused, others of the alloy's own limit.
    let share_of = |t: &springline_lang::mechanics::ToothForces| match pair.wire.rigid {
        true => t.strain_fraction,
        false => t.strain / SUPERELASTIC_STRAIN,
    };
    let share = own.inserted.teeth.iter().map(share_of).fold(0.0, f64::max);
    verdict.figures.strain = 100.0 * share;
    verdict.add("strain", beside(past(100.0 * share, Limit::Strain)));
    let far = pair.wire.heavy && far(&pair.setup) > FAR_MM;
    verdict.add("far tooth", beside(far.then_some(false)));
    verdict
}

impl Verdict {
    fn add(&mut self, limit: &'static str, past: Option<bool>) {
        let Some(error) = past else { return };
        self.said.push(limit);
        if error {
            self.errors += 1;
        } else {
            self.warnings += 1;
        }
    }
}

/// `Some(true)` stops, `Some(false)` warns.
fn past(value: f64, limit: Limit) -> Option<bool> {
    let (warn, stop, _) = limit.default_figures();
    match stop {
        Some(stop) if value > stop => Some(true),
        _ if value > warn => Some(false),
        _ => None,
    }
}

/// Both the grams and the ratio must be passed.
fn sustained(grams: f64, light: f64) -> Option<bool> {
    let (warn, stop, _) = Limit::Sustained.default_figures();
    let (times, stop_times, _) = Limit::SustainedRatio.default_figures();
    match (stop, stop_times) {
        (Some(stop), Some(t)) if grams > stop && grams > t * light => Some(true),
        _ if grams > warn && grams > times * light => Some(false),
        _ => None,
    }
}

/// Entered stands against misfit and turn; said to a tenth, as the rule says it.
fn left_over(setup: &Setup) -> Option<bool> {
    let tenth = |v: f64| (v * 10.0).round() / 10.0;
    let worst = |of: &dyn Fn(&Slot) -> f64| setup.slots.iter().map(of).fold(0.0, f64::max);
    let mm = tenth(worst(&|s| s.stand.lingual_mm.hypot(s.stand.gingival_mm)));
    let deg =
        worst(&|s| s.stand.rotated_rad.abs().max(s.stand.tipped_rad.abs()).to_degrees().round());
    match (past(mm, Limit::Misfit), past(deg, Limit::Turn)) {
        (Some(a), Some(b)) => Some(a || b),
        (one, other) => one.or(other),
    }
}

/// The worst tooth's distance from the line between its neighbours.
fn far(setup: &Setup) -> f64 {
    let off = |w: &[Slot]| {
        let mid = |f: fn(&Slot) -> f64| (f(&w[0]) + f(&w[2])) / 2.0;
        let lingual = w[1].stand.lingual_mm - mid(|s| s.stand.lingual_mm);
        let gingival = w[1].stand.gingival_mm - mid(|s| s.stand.gingival_mm);
        lingual.hypot(gingival)
    };
    setup.slots.windows(3).map(off).fold(0.0, f64::max)
}
