//! What rules ask about the traction of an unerupted tooth.

use crate::view::{StepView, width_mm};
use springline_model::step::{Act, ActKind, StepKind};
use springline_model::traction::TractionTo;
use springline_units::quantity::{grams, plain};
use springline_units::tooth::{Side, Tooth};

/// One tooth that an act pulls in a step.
#[derive(Clone, Copy)]
pub struct Pull<'a> {
    pub view: &'a StepView<'a>,
    pub act: &'a Act,
    pub tooth: Tooth,
    pub to: TractionTo,
    /// As the plan says it.
    pub grams: Option<f64>,
}

/// Room beyond its crown that a tooth needs to come into the arch, mm (common practice, no source).
pub const EASE_MM: f64 = 0.5;

impl<'a> Pull<'a> {
    /// What a step itself puts on.
    pub fn in_step(view: &'a StepView<'a>) -> Vec<Pull<'a>> {
        view.step.acts.iter().flat_map(|act| Pull::of(view, act)).collect()
    }

    fn of(view: &'a StepView<'a>, act: &'a Act) -> Vec<Pull<'a>> {
        let ActKind::Traction { teeth, to, force, .. } = &act.kind else { return Vec::new() };
        let grams = force.map(grams);
        teeth.iter().map(|t| Pull { view, act, tooth: *t, to: *to, grams }).collect()
    }

    /// A superelastic or aligning wire gives way to the tooth.
    pub fn is_on_soft_wire(&self) -> bool {
        self.view.wire().wire.alloy.is_niti() || self.view.step.kind == StepKind::Align
    }

    /// The teeth of the wire on both sides of its place.
    pub fn neighbours(&self) -> Option<(Tooth, Tooth)> {
        let right = self.view.next_in_wire(self.tooth, Side::Right)?;
        let left = self.view.next_in_wire(self.tooth, Side::Left)?;
        Some((right, left))
    }

    /// The room that it needs, mm.
    pub fn needs_mm(&self) -> f64 {
        width_mm(self.view.arch, self.tooth) + EASE_MM
    }

    /// The room kept for it as the step begins, mm; `None` where nobody measured or wrote it.
    pub fn room_mm(&self) -> Option<f64> {
        let (a, b) = self.neighbours()?;
        let mouth = &self.view.mouth;
        mouth.gap_mm(a, b).or_else(|| mouth.spaces.get(&self.tooth).copied())
    }

    /// The same line with another force.
    pub fn line_with_force(&self, grams: f64) -> String {
        let text = &self.act.text;
        let words: Vec<&str> = text.split_whitespace().collect();
        let Some(at) = words.iter().position(|w| *w == "force") else {
            return text.clone();
        };
        let new = format!("force {} g", plain(grams));
        let rest = words.iter().skip(at + 3).copied();
        let comma = if words.get(at + 2).is_some_and(|w| w.ends_with(',')) { "," } else { "" };
        let all = words.iter().take(at).copied().map(str::to_owned);
        let all = all.chain([new + comma]).chain(rest.map(str::to_owned));
        all.collect::<Vec<_>>().join(" ")
    }
}
