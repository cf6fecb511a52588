//! Comparison of forces, tooth by tooth, for steps that both plans have.

use serde::Serialize;

use crate::plan::Plan;
use crate::tables::two_digits;
use crate::wording;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::{Arch, Notation, Tooth};

/// Smaller changes are within the scatter of published figures.
const LEAST_G: f64 = 10.0;
const LEAST_SHARE: f64 = 0.1;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ForceChange {
    pub arch: Arch,
    pub step: String,
    pub tooth: Tooth,
    #[serde(skip)]
    name: String,
    /// After 0.2 mm of tooth movement; absent where the tooth is not engaged.
    pub before_g: Option<f64>,
    pub after_g: Option<f64>,
}

impl ForceChange {
    pub fn line(&self) -> String {
        let side = |g: Option<f64>| g.map_or_else(|| "not in the wire".to_owned(), two_digits);
        format!(
            "{}, step {}, tooth {}: {} \u{2192} {}",
            wording::arch(self.arch),
            self.step,
            self.name,
            side(self.before_g),
            side(self.after_g)
        )
    }
}

pub fn changes(old: &Plan<'_>, new: &Plan<'_>) -> Vec<ForceChange> {
    let notation: Notation = new.notation();
    let mut out = Vec::new();
    for arch in Arch::BOTH {
        let (Some(a), Some(b)) = (old.forecast.arch(arch), new.forecast.arch(arch)) else {
            continue;
        };
        for after in &b.phases {
            let Some(before) = a.phases.iter().find(|p| p.name == after.name) else { continue };
            if before.insertion.refused.is_some() || after.insertion.refused.is_some() {
                continue;
            }
            let grams = |phase: &springline_course::Phase, tooth: Tooth| {
                let load = phase.insertion.teeth.iter().find(|l| l.tooth == tooth)?;
                Some(newtons_to_grams(load.delivered_n))
            };
            let teeth: std::collections::BTreeSet<Tooth> = before
                .insertion
                .teeth
                .iter()
                .chain(&after.insertion.teeth)
                .map(|l| l.tooth)
                .collect();
            for tooth in teeth {
                let (x, y) = (grams(before, tooth), grams(after, tooth));
                if worth_telling(x, y) {
                    out.push(ForceChange {
                        arch,
                        step: after.name.to_string(),
                        tooth,
                        name: tooth.write(notation),
                        before_g: x,
                        after_g: y,
                    });
                }
            }
        }
    }
    out
}

fn worth_telling(before: Option<f64>, after: Option<f64>) -> bool {
    match (before, after) {
        (Some(a), Some(b)) => (a - b).abs() >= LEAST_G && (a - b).abs() >= LEAST_SHARE * a.max(b),
        (None, None) => false,
        (Some(one), None) | (None, Some(one)) => one >= LEAST_G,
    }
}
