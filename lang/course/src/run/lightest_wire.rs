//! The reference of the force rules: what 0.014 in superelastic round wire sustains in the same slots. A rule asks for it
//! where a figure is past its limit in grams, which few are; so it is solved then, and once.

use std::sync::{Arc, OnceLock};

use springline_mechanics::{Law, March, Marched, Setup, Start, march_from};

use crate::setup::arch_setup::{is_reference_wire, with_reference_wire};

/// The lightest wire in the slots of another.
#[derive(Debug, Clone)]
pub(crate) struct LightestWire(Arc<Asked>);

#[derive(Debug)]
struct Asked {
    /// With that wire in it.
    setup: Setup,
    /// The teeth that count.
    teeth: Vec<u16>,
    sustained_n: OnceLock<Option<f64>>,
}

impl PartialEq for LightestWire {
    /// By what is asked, whether it has been answered or not.
    fn eq(&self, other: &LightestWire) -> bool {
        self.0.setup == other.0.setup && self.0.teeth == other.0.teeth
    }
}

/// Sustained force below which the reference is not asked for: a third of the lowest warning limit.
const QUIET_N: f64 = 0.2;

impl LightestWire {
    /// In the place of a wire whose figures are known; nothing where no rule compares it: steel, beta-titanium, a light
    /// wire.
    pub fn instead_of(
        setup: &Setup,
        own: &Marched,
        counts: impl Fn(u16) -> bool,
    ) -> Option<LightestWire> {
        let teeth: Vec<u16> = own.teeth.iter().map(|t| t.id).filter(|id| counts(*id)).collect();
        let answer = OnceLock::new();
        if is_reference_wire(setup) {
            answer.get_or_init(|| worst(own, &teeth));
        } else {
            let quiet = own.sustained().1 < QUIET_N;
            let superelastic = matches!(setup.wire.stock.law, Law::Flag(_));
            if quiet || !superelastic {
                return None;
            }
        }
        let setup = with_reference_wire(setup);
        Some(LightestWire(Arc::new(Asked { setup, teeth, sustained_n: answer })))
    }

    /// The largest sustained force on any tooth that counts, N; `None` where the wire has no figures.
    pub fn sustained_n(&self) -> Option<f64> {
        let Asked { setup, teeth, sustained_n } = &*self.0;
        let solved = || march_from(setup, &March::default(), Start::Cold).ok();
        *sustained_n.get_or_init(|| worst(&solved()?, teeth))
    }
}

fn worst(marched: &Marched, teeth: &[u16]) -> Option<f64> {
    let all = marched.teeth.iter().filter(|t| teeth.contains(&t.id));
    all.map(|t| t.sustained_n()).max_by(f64::total_cmp)
}
