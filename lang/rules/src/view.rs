//! One step of one arch, with everything that the rules read.

use std::borrow::Cow;

use jiff::civil::Date;

use super::RuleContext;
use super::wording::Words;
use springline_course::{
    ArchLayout, ArchState, BiteMoment, EndReason, Mouth, Phase, Sliding, Standing, ToothPose,
};
use springline_finding::Finding;
use springline_model::case::{ArchCase, Case};
use springline_model::stand::Stand;
use springline_model::step::{Act, ActKind, Condition, Step, StepKind, Term, WireUse};
use springline_model::stock::{Bracket, Section};
use springline_text::Place;
use springline_units::anatomy::crown_width_mm;
use springline_units::quantity::mm;
use springline_units::tooth::{Arch, Side, Tooth};

/// A current or coming step.
pub struct StepView<'a> {
    pub context: &'a RuleContext<'a>,
    pub case: &'a Case,
    pub arch: &'a ArchCase,
    pub step: &'a Step,
    pub index: usize,
    pub state: &'a ArchState,
    /// Positions at the start of the step: predicted, else as last recorded.
    pub mouth: Cow<'a, Mouth>,
    /// How the arch is laid out then.
    pub layout: Cow<'a, ArchLayout>,
    /// Its predicted phase; `None` beyond the prediction.
    pub phase: Option<&'a Phase>,
}

impl<'a> RuleContext<'a> {
    pub fn words(&self) -> Words {
        Words::of(self.case)
    }

    /// Every step that can still be judged: not the ones that a visit has closed, nor the ones with a
    /// line that could not be read.
    pub fn views(&'a self) -> Vec<StepView<'a>> {
        let mut out = Vec::new();
        for arch in &self.case.arches {
            let forecast = self.forecast.arch(arch.arch);
            for (index, step) in arch.steps.iter().enumerate() {
                let phase = forecast.and_then(|f| f.latest_phase_of_step(index));
                let over =
                    phase.is_some_and(|p| matches!(p.end.reason, EndReason::Recorded { .. }));
                if step.incomplete.is_some() || over || self.is_before_now(arch, index) {
                    continue;
                }
                out.extend(self.view(arch, step, index, phase));
            }
        }
        out
    }

    /// One step as rules look at it, whether it is over or not.
    pub(super) fn step_view(&'a self, arch: Arch, index: usize) -> Option<StepView<'a>> {
        let arch = self.case.arch(arch)?;
        let step = arch.steps.get(index)?;
        let phase = self.forecast.arch(arch.arch).and_then(|f| f.latest_phase_of_step(index));
        self.view(arch, step, index, phase)
    }

    fn view(
        &'a self,
        arch: &'a ArchCase,
        step: &'a Step,
        index: usize,
        phase: Option<&'a Phase>,
    ) -> Option<StepView<'a>> {
        let (state, mouth, layout) = match phase {
            Some(phase) => {
                (&phase.state, Cow::Borrowed(&phase.entry), Cow::Borrowed(&phase.layout))
            }
            None => {
                let state = self.forecast.timeline.planned(arch.arch, index)?;
                let mouth = Mouth::last_found(self.case, arch);
                let layout = ArchLayout::of(arch, state, &mouth);
                (state, Cow::Owned(mouth), Cow::Owned(layout))
            }
        };
        let case = self.case;
        Some(StepView { context: self, case, arch, step, index, state, mouth, layout, phase })
    }

    /// A visit has recorded a later step of this arch.
    fn is_before_now(&self, arch: &ArchCase, index: usize) -> bool {
        self.now_step(arch).is_some_and(|now| index < now)
    }

    /// Index of the step that the arch has reached by record.
    pub fn now_step(&self, arch: &ArchCase) -> Option<usize> {
        self.forecast.recorded_phase(arch.arch).map(|p| p.step)
    }

    /// Index of the step that an arch was in when the patient came to a recorded visit.
    pub fn step_on_arrival(&self, visit: usize, arch: Arch) -> Option<usize> {
        let visits = self.forecast.timeline.visits().iter();
        let moment = visits.into_iter().find(|v| v.standing == Standing::Recorded(visit))?;
        Some(moment.arch(arch)?.arrives.as_ref()?.step)
    }

    /// The bite as last recorded, else as entered.
    pub fn bite(&self) -> &'a BiteMoment {
        self.forecast.timeline.bite_as_recorded()
    }

    /// The last recorded visit.
    pub fn last_seen(&self) -> Option<Date> {
        self.case.visits.iter().map(|v| v.on).max()
    }
}

/// The entered position, overridden by measurements of visits.
pub fn current_stand(case: &Case, arch: &ArchCase, tooth: Tooth) -> Stand {
    let entered = arch.stands.get(&tooth).map(|s| s.value).unwrap_or_default();
    case.visits
        .iter()
        .filter_map(|v| v.stands.get(&tooth))
        .fold(entered, |stand, (seen, _)| stand.updated(*seen))
}

/// Crown width as entered, else the textbook's.
pub fn width_mm(arch: &ArchCase, tooth: Tooth) -> f64 {
    arch.stands.get(&tooth).and_then(|s| s.width).map_or(crown_width_mm(tooth), mm)
}

/// Where the tooth was described.
pub fn described(arch: &ArchCase, tooth: Tooth) -> Option<Place> {
    arch.stands.get(&tooth).and_then(|s| s.place)
}

impl<'a> StepView<'a> {
    pub fn words(&self) -> Words {
        self.context.words()
    }

    pub fn side(&self) -> Arch {
        self.arch.arch
    }

    /// The wire as an assistant reads it.
    pub fn wire(&self) -> &WireUse {
        match self.phase {
            Some(phase) => &phase.wire,
            None => &self.step.wire.value,
        }
    }

    /// The step before it in the plan.
    pub fn before(&self) -> Option<&'a Step> {
        self.index.checked_sub(1).and_then(|i| self.arch.steps.get(i))
    }

    pub fn after(&self) -> Option<&'a Step> {
        self.arch.steps.get(self.index + 1)
    }

    /// The wire of this step goes in new: it is not the one already there.
    pub fn wire_goes_in(&self) -> bool {
        let kept = self.step.wire.kept
            || self.before().is_some_and(|b| b.wire.same_wires(&self.step.wire));
        !kept && !self.is_in_mouth()
    }

    /// Whether the wire is in the mouth by record: a visit inserted it, or the case was entered with it in
    /// place.
    pub fn is_in_mouth(&self) -> bool {
        let in_mouth = self.context.forecast.step_in_mouth(self.side());
        in_mouth == Some(self.index) && !self.replaces_wire_in_place()
    }

    /// The case was entered with another wire in this arch, and nobody has looked since.
    fn replaces_wire_in_place(&self) -> bool {
        let Some(entered) = &self.case.in_place else { return false };
        let seen = self.phase.is_some_and(|p| !p.seen.is_empty());
        let same = entered
            .wires
            .get(&self.side())
            .is_some_and(|(wire, ..)| wire.name == self.step.wire.wire.name);
        self.index == 0 && !seen && !same
    }

    /// Position of the tooth at the start of this step: predicted where there is a prediction, else as
    /// last recorded.
    pub fn pose(&self, tooth: Tooth) -> ToothPose {
        self.mouth.pose(tooth)
    }

    /// Whether the preceding wire comes out only when it is passive, by condition or by prediction.
    /// Deviations still predicted then are judged at the chair, by the passive test and the fit check.
    pub fn follows_done_work(&self) -> bool {
        let Some(before) = self.index.checked_sub(1) else { return false };
        let Some(phase) =
            self.context.forecast.arch(self.side()).and_then(|f| f.latest_phase_of_step(before))
        else {
            return false;
        };
        match phase.end.reason {
            EndReason::Passive | EndReason::Measure { .. } | EndReason::Recorded { .. } => true,
            EndReason::Decided => true,
            EndReason::Time => {
                let (end, passive) = (phase.end.predicted.as_ref(), phase.passive.by_rule());
                matches!((end, passive), (Some(e), Some(p)) if e.median_days >= p.median_days)
            }
            EndReason::Never { .. } => false,
        }
    }

    /// The plan itself takes the aligning or levelling wire before this one out after a stated time, so
    /// what is left here is the plan's own doing and not the prediction's.
    pub fn cuts_work_short(&self) -> bool {
        let Some(before) = self.index.checked_sub(1) else { return false };
        let forecast = self.context.forecast.arch(self.side());
        forecast.and_then(|f| f.latest_phase_of_step(before)).is_some_and(|phase| {
            phase.end.reason == EndReason::Time
                && matches!(phase.kind, StepKind::Align | StepKind::Level)
                && !self.follows_done_work()
        })
    }

    /// Whether [`pose`](StepView::pose) is more than a guess: predicted, or as entered for the first wire.
    pub fn knows_poses(&self) -> bool {
        self.phase.is_some() || self.index == 0
    }

    /// Teeth in the wire, from the patient's right.
    pub fn in_wire(&self) -> Vec<Tooth> {
        self.state.in_wire().map(|t| t.tooth).collect()
    }

    pub fn is_in_wire(&self, tooth: Tooth) -> bool {
        self.state.status(tooth).is_in_wire()
    }

    /// It was in the wire of the step before with both wings.
    pub fn was_in_wire(&self, tooth: Tooth) -> bool {
        let Some(before) = self.index.checked_sub(1) else { return false };
        let state = self.context.forecast.state_of_step(self.side(), before);
        state.is_some_and(|s| s.status(tooth) == springline_course::ToothStatus::Engaged)
    }

    /// In the wire of this step, in none of an earlier one, and not said to be in one before the case was entered:
    /// it stands where it was found, whatever the steps before were for.
    pub fn is_new_to_wires(&self, tooth: Tooth) -> bool {
        use springline_course::ToothStatus;
        let held = |step: usize| {
            let state = self.context.forecast.state_of_step(self.side(), step);
            state.is_some_and(|s| {
                let status = s.status(tooth);
                status.is_in_wire() || status == ToothStatus::Piggyback
            })
        };
        let came_with_wire =
            self.case.in_place.as_ref().is_some_and(|p| p.wires.contains_key(&self.side()));
        self.is_in_wire(tooth) && !came_with_wire && !(0..self.index).any(held)
    }

    /// The next tooth in the wire towards that side of the patient.
    pub fn next_in_wire(&self, tooth: Tooth, way: Side) -> Option<Tooth> {
        let teeth = self.in_wire();
        match way {
            Side::Right => teeth.into_iter().rfind(|t| t.place() < tooth.place()),
            Side::Left => teeth.into_iter().find(|t| t.place() > tooth.place()),
        }
    }

    pub fn bracket(&self, tooth: Tooth) -> Option<&Bracket> {
        self.state.tooth(tooth)?.bonding.as_ref().map(|b| b.bracket.as_ref())
    }

    /// The section goes into the slot of every bracket in the wire, with so much height to spare, mm.
    pub fn goes_in(&self, section: Section, spare_mm: f64) -> bool {
        let (height, depth) = sizes_mm(section);
        self.in_wire()
            .into_iter()
            .filter_map(|t| self.bracket(t))
            .all(|b| height <= b.room_mm() - spare_mm + 1e-9 && depth <= mm(b.slot_depth) + 1e-9)
    }

    /// Everything in force, with where it was written.
    pub fn acts(&self) -> impl Iterator<Item = &Act> {
        self.state.acts.iter()
    }

    /// Groups of teeth that hold together.
    pub fn tied(&self) -> Vec<Vec<Tooth>> {
        self.state.tied(&self.arch.bars)
    }

    pub fn are_tied(&self, a: Tooth, b: Tooth) -> bool {
        self.tied().iter().any(|g| g.contains(&a) && g.contains(&b))
    }

    /// The space at which a bypassed tooth is engaged.
    pub fn wanted_space(&self, tooth: Tooth) -> Option<f64> {
        use springline_model::step::ActKind;
        self.arch.steps[..=self.index.min(self.arch.steps.len().saturating_sub(1))]
            .iter()
            .rev()
            .flat_map(|s| s.acts.iter())
            .find_map(|act| match &act.kind {
                ActKind::Bypass { teeth, until: Some(until), .. } if teeth.contains(&tooth) => {
                    until.terms.iter().find_map(|t| match t {
                        Term::Space { length, .. } => Some(mm(*length)),
                        _ => None,
                    })
                }
                _ => None,
            })
    }

    /// The wire of this step in its slots: what it meets when it slides. Its stops lie where they were written
    /// in this case.
    pub fn sliding(&self) -> Sliding {
        let mut wire = match self.phase {
            Some(phase) => phase.sliding(&self.case.house),
            None => Sliding::of(&self.case.house, &self.layout, self.state, &self.mouth, None),
        };
        for stop in &mut wire.stops {
            stop.place = self.clause_place(Some(stop.place));
        }
        wire
    }

    /// A finding about this step.
    pub fn finding(
        &self,
        code: &'static str,
        severity: springline_finding::Severity,
        place: Place,
        message: impl Into<String>,
    ) -> Finding {
        Finding::new(code, severity, place, message).step(self.step.name.clone())
    }

    /// Where a clause of the step was written, if in this case; else the step's own line.
    pub fn clause_place(&self, place: Option<Place>) -> Place {
        place.filter(|p| p.file == self.arch.place.file).unwrap_or(self.case_place())
    }

    /// A line of the case for the step: its own, or the `follow` that brings it.
    pub fn case_place(&self) -> Place {
        if self.step.place.file == self.arch.place.file {
            return self.step.place;
        }
        self.arch.follows.as_ref().map_or(self.arch.place, |(_, p)| *p)
    }

    /// The condition that ends the step, and those of what comes off within it, with their places.
    pub fn conditions(&self) -> Vec<(&'a Condition, Place)> {
        let own = (&self.step.until.value, self.clause_place(self.step.until.place));
        let of_acts = self.step.acts.iter().filter_map(|act| match &act.kind {
            ActKind::Bypass { until: Some(until), .. }
            | ActKind::BiteRaisers { until: Some(until), .. } => Some((until, self.act_place(act))),
            _ => None,
        });
        std::iter::once(own).chain(of_acts).collect()
    }

    /// Where an act was written, if in this case.
    pub fn act_place(&self, act: &Act) -> Place {
        self.clause_place(Some(act.place))
    }
}

/// Height by depth of a section, mm.
pub fn sizes_mm(section: Section) -> (f64, f64) {
    (mm(section.height()), mm(section.depth()))
}
