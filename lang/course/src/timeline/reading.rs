//! What the timeline answers: look-ups in its values.

use jiff::civil::Date;

use crate::plan::state::ArchState;
use crate::timeline::device::{Device, DeviceKind, ElasticsLife};
use crate::timeline::forecast::Forecast;
use crate::timeline::moment::{
    ArchMoment, BiteMoment, Hold, Obligation, PlannedStep, StepMoment, Timeline, ToothMoment,
    VisitMoment,
};
use springline_model::house::Task;
use springline_model::step::Act;
use springline_units::tooth::{Arch, Tooth};

impl VisitMoment {
    pub fn arch(&self, arch: Arch) -> Option<&ArchMoment> {
        self.arches.iter().find(|a| a.arch == arch)
    }

    /// The appliance comes off.
    pub fn is_debond(&self) -> bool {
        self.kind == Task::Debond
    }
}

impl ArchMoment {
    /// This device is gone when the patient leaves, if all goes as foreseen.
    pub fn is_off(&self, what: DeviceKind) -> bool {
        self.off_today.iter().any(|r| r.what == what && r.reason.is_final())
    }

    /// The change is what is expected; the first wire always is.
    pub fn is_change_expected(&self) -> bool {
        self.change_expected || self.arrives.is_none()
    }

    /// The step that is in as the work of the visit ends, were the appliance to stay on.
    pub fn with_work_done(&self) -> Option<&StepMoment> {
        match self.is_change_expected() {
            true => self.if_passed.as_ref().or(self.arrives.as_ref()),
            false => self.arrives.as_ref(),
        }
    }

    /// What the patient leaves with when all goes as expected; nothing after a debond.
    pub fn leaves(&self) -> Option<&StepMoment> {
        self.with_work_done().filter(|_| !self.comes_off)
    }
}

impl StepMoment {
    pub fn tooth(&self, tooth: Tooth) -> Option<&ToothMoment> {
        self.teeth.iter().find(|t| t.tooth == tooth)
    }

    /// Devices that an act of the plan or of a record put there, with its index in the step's acts.
    pub fn acts(&self) -> impl Iterator<Item = (usize, &Device)> {
        self.devices.iter().filter_map(|d| match d.what {
            DeviceKind::Act(index) => Some((index, d)),
            _ => None,
        })
    }
}

impl StepMoment {
    /// The act of the phase's state that put a device there, with its index; `None` for wire and ends, and
    /// for what is written at the arch or the case.
    pub fn act_of<'f>(
        &self,
        forecast: &'f Forecast,
        arch: Arch,
        what: DeviceKind,
    ) -> Option<(usize, &'f Act)> {
        let DeviceKind::Act(index) = what else { return None };
        let phase = forecast.arch(arch)?.phases.get(self.phase)?;
        Some((index, phase.state.acts.get(index)?))
    }
}

impl Hold {
    pub fn is_engaged(self) -> bool {
        matches!(self, Hold::In | Hold::HalfIn(_) | Hold::Overlay)
    }
}

impl Obligation {
    /// Open at the end of that day.
    pub fn is_open_on(&self, day: Date) -> bool {
        self.since <= day && self.discharged.is_none_or(|mended| mended > day)
    }
}

impl Timeline {
    /// As many as the forecast's visits, and in their order.
    pub fn visits(&self) -> &[VisitMoment] {
        &self.visits
    }

    /// The bite as last recorded, else as entered; with nothing of the forecast.
    pub fn bite_as_recorded(&self) -> &BiteMoment {
        &self.bite_as_recorded
    }

    /// One for each block of elastics of the case.
    pub fn elastics(&self) -> &[ElasticsLife] {
        &self.elastics
    }

    pub fn obligations(&self) -> &[Obligation] {
        &self.obligations
    }

    /// What the records left open at the end of that day.
    pub fn open_on(&self, day: Date) -> impl Iterator<Item = &Obligation> {
        self.obligations.iter().filter(move |o| o.is_open_on(day))
    }

    fn planned_step(&self, arch: Arch, step: usize) -> Option<&PlannedStep> {
        self.plan.iter().find(|p| p.arch == arch)?.steps.get(step)
    }

    /// A step as the plan alone has it: a bypass lasts as long as the plan leaves it open.
    pub fn planned(&self, arch: Arch, step: usize) -> Option<&ArchState> {
        self.planned_step(arch, step).map(|s| &s.state)
    }

    /// Blocks of elastics that the plan has worn in a step; indices into the case's.
    pub fn elastics_in(&self, arch: Arch, step: usize) -> &[usize] {
        self.planned_step(arch, step).map_or(&[], |s| &s.elastics)
    }
}
