//! Open coils in force in a step, in the form that the rules need.

use crate::view::StepView;
use crate::wording::Words;
use springline_course::{CoilSpring, FLOOR_N, label_mm};
use springline_model::step::{Act, ActKind, Activation};
use springline_model::stock::Coil;
use springline_units::quantity::{grams, mm, newtons_to_grams, plain};
use springline_units::tooth::Tooth;

/// One open coil in force in a step.
pub struct StepOpenCoil<'v> {
    pub act: &'v Act,
    /// From the patient's right.
    pub right: Tooth,
    pub left: Tooth,
    pub coil: Option<&'v Coil>,
    pub activation: Activation,
    /// Brought in by this step, not carried from an earlier one.
    pub new: bool,
}

impl StepOpenCoil<'_> {
    pub fn is_passive(&self) -> bool {
        self.activation == Activation::Passive
    }

    /// As inserted; `None` for one that only maintains its space.
    pub fn spring(&self) -> Option<CoilSpring> {
        CoilSpring::of(self.coil, &self.activation)
    }

    /// Its force at insertion, g; `None` where neither plan nor practice file gives one.
    pub fn force_g(&self) -> Option<f64> {
        let said = matches!(self.activation, Activation::Force { .. })
            || self.coil.is_some_and(|c| c.force.is_some());
        match self.spring() {
            Some(spring) => said.then(|| newtons_to_grams(spring.force_n())),
            None => Some(0.0),
        }
    }

    /// The statement again, pressed by so much.
    pub fn statement(&self, words: &Words, pressed_mm: f64, each_visit: bool) -> String {
        let with = self.coil.map(|c| format!(" with {}", c.name)).unwrap_or_default();
        let again = if each_visit { " each visit" } else { "" };
        let (a, b) = (words.tooth(self.right), words.tooth(self.left));
        let pressed = plain(pressed_mm);
        format!("open-coil between {a} and {b}{with}, activated {pressed} mm{again}")
    }
}

/// Force under which a coil moves nothing, g.
pub fn floor_g() -> f64 {
    newtons_to_grams(FLOOR_N)
}

/// Force of a coil for every millimetre it is pressed, g.
fn rate_g(coil: &Coil) -> f64 {
    coil.force.map_or(0.0, grams) / label_mm(Some(coil))
}

/// Compression for a coil, mm, in half millimetres: according to its label, within its stroke and the
/// practice's limit. `None` where that would move nothing.
pub fn usual_activation_mm(coil: &Coil, most_g: f64) -> Option<f64> {
    let rate = rate_g(coil);
    let most = coil.stroke.map_or(f64::INFINITY, mm).min(most_g / rate);
    let pressed = (2.0 * label_mm(Some(coil)).min(most) + 1e-6).floor() / 2.0;
    (pressed.is_finite() && pressed * rate > floor_g()).then_some(pressed)
}

/// Force of a coil pressed by so much, g.
pub fn force_at_g(coil: &Coil, pressed_mm: f64) -> f64 {
    rate_g(coil) * pressed_mm
}

/// The open coils in force.
pub fn open_coils<'v>(view: &'v StepView<'_>) -> Vec<StepOpenCoil<'v>> {
    view.acts()
        .filter_map(|act| match &act.kind {
            ActKind::OpenCoil { first, second, coil, activation } => Some(StepOpenCoil {
                act,
                right: *first.min(second),
                left: *first.max(second),
                coil: coil.as_deref(),
                activation: *activation,
                new: view.step.acts.iter().any(|a| a.place == act.place),
            }),
            _ => None,
        })
        .collect()
}

/// Whether something makes space in the arch in this step or a later one, for this tooth where a place is
/// given.
pub fn makes_space_for(view: &StepView<'_>, tooth: Tooth) -> bool {
    let spans = |a: Tooth, b: Tooth| {
        a.place().min(b.place()) <= tooth.place() && tooth.place() <= a.place().max(b.place())
    };
    view.arch.steps.iter().skip(view.index).any(|step| {
        step.in_force().any(|act| match &act.kind {
            // A coil that does nothing has a finding of its own.
            ActKind::OpenCoil { first, second, .. } => spans(*first, *second),
            ActKind::Reduce { contacts, .. } => {
                contacts.iter().any(|(a, _)| a.place().abs_diff(tooth.place()) <= 3)
            }
            ActKind::ClosingCoil { .. } | ActKind::Chain { .. } | ActKind::Laceback { .. } => true,
            _ => false,
        })
    })
}
