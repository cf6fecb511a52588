//! Open coils as the rules read them.

use crate::model::quantity::{grams, mm};
use crate::model::step::{Act, ActKind, Activation};
use crate::model::stock::Coil;
use crate::model::tooth::Tooth;
use crate::rules::view::View;

/// One open coil in force in a step.
pub struct OpenCoil<'v> {
    pub act: &'v Act,
    /// From the patient's right.
    pub right: Tooth,
    pub left: Tooth,
    pub coil: Option<&'v Coil>,
    pub activation: Activation,
    /// Brought in by this step, not carried from an earlier one.
    pub new: bool,
}

impl OpenCoil<'_> {
    pub fn is_passive(&self) -> bool {
        self.activation == Activation::Passive
    }

    /// Its force when it goes in, g: as said, else the drawer's at full stroke in proportion to how
    /// far it is pressed.
    pub fn force_g(&self) -> Option<f64> {
        let stock = self.coil.and_then(|c| c.force).map(grams);
        match self.activation {
            Activation::Force { force } => Some(grams(force)),
            Activation::Pressed { by } if mm(by) <= 0.0 => Some(0.0),
            // A superelastic coil gives its labelled force over nearly all its stroke.
            Activation::Pressed { .. } | Activation::Unsaid => stock,
            Activation::Passive => Some(0.0),
        }
    }
}

/// The open coils in force.
pub fn open_coils<'v>(view: &'v View<'_>) -> Vec<OpenCoil<'v>> {
    view.acts()
        .filter_map(|act| match &act.kind {
            ActKind::OpenCoil { first, second, coil, activation } => Some(OpenCoil {
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

/// Whether something makes space in the arch in this step or a later one: for this tooth if it is
/// said where.
pub fn makes_space_for(view: &View<'_>, tooth: Tooth) -> bool {
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
