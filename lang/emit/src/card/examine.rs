//! Staff card: what to ask, inspect and measure before anything is opened.

use std::collections::BTreeSet;

use super::{Blank, first, spaces};
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::wording;
use springline_course::{RemovalReason, Standing};
use springline_model::case::{ArchCase, Bite, ElasticsKind, Goal, ToothState};
use springline_model::house::Task;
use springline_model::step::{ActKind, Condition, Spot, Term};
use springline_units::tooth::{Arch, Tooth};

/// A midline that is forecast to move less than this is not told, mm: it is read to half a millimetre.
const TOLD_MM: f64 = 0.5;

pub fn ask(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    if today.visit.kind == Task::BondUp && today.arches.iter().all(|a| a.now.is_none()) {
        return vec!["Anything new since the plan was made? Allergies on file?".to_owned()];
    }
    let mut out = vec!["Sore spots? Anything loose, broken or poking?".to_owned()];
    if today.was_worn() {
        out.push("Elastics: how many hours a day, right and left?".to_owned());
    }
    if ended_at_last_visit(plan, today) {
        out.push("Elastics were to end at the last visit: none worn since?".to_owned());
    }
    out
}

/// The last record shows the end of elastics that nobody may have told the patient of.
fn ended_at_last_visit(plan: &Plan<'_>, today: &VisitToday<'_>) -> bool {
    let before = today.number.checked_sub(2).and_then(|i| plan.forecast.timeline.visits().get(i));
    // Where others hang on the same hooks, the patient wears those.
    let replaced = |ended: usize| {
        let worn = today.moment.elastics_on_arrival.iter().chain(&today.moment.elastics_after);
        let runs = |i: usize| plan.case.elastics.get(i).into_iter().flat_map(|e| &e.runs);
        worn.flat_map(|i| runs(*i)).any(|run| runs(ended).any(|was| was.teeth == run.teeth))
    };
    before.is_some_and(|visit| {
        let recorded = matches!(visit.standing, Standing::Recorded(_));
        let mut by_record =
            visit.elastics_off.iter().filter(|e| e.reason == RemovalReason::Recorded);
        recorded && by_record.any(|e| !replaced(e.block))
    })
}

pub fn look(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let n = plan.notation();
    if today.arches.iter().all(|a| a.now.is_none()) {
        let sites = today.arches.iter().flat_map(|a| extracted(a.arch)).collect::<Vec<_>>();
        let out = (!sites.is_empty())
            .then(|| format!("{} out, the sites healed over?", wording::list(&sites, n)));
        return ["Teeth clean and dry? Gums healthy?".to_owned()].into_iter().chain(out).collect();
    }
    if today.visit.kind == Task::Debond {
        return vec!["Teeth and gums: anything the doctor should see first?".to_owned()];
    }
    let broken = match today.visit.kind {
        Task::RetainerCheck => "",
        _ => " Anything off or broken: repair card first.",
    };
    let closed = if today.is_ligated() { "Ligatures in place?" } else { "Slides closed?" };
    let mut out = vec![format!("Brackets tight? {closed} Wire ends? Gums, cleaning?{broken}")];
    let stops: Vec<Spot> =
        today.arches.iter().filter_map(|a| a.now).flat_map(|m| m.stops()).collect();
    if !stops.is_empty() {
        let word = if stops.len() == 1 { "Stop" } else { "Stops" };
        out.push(format!("{word} still there: {}?", wording::spots(&stops, n)));
    }
    for (teeth, until) in first::raisers(today) {
        let teeth = wording::list(teeth, n);
        match until {
            Some(until) => out.push(format!(
                "Bite raisers on {teeth}: take them off once {}.",
                super::condition::condition_text(until, n)
            )),
            None => out.push(format!("Bite raisers still on {teeth}?")),
        }
    }
    out.extend(raisers_perhaps_on(plan, today));
    for here in today.arches.iter().filter_map(|a| a.now) {
        for act in here.acts() {
            if let ActKind::PowerArm { teeth, .. } = &act.kind {
                out.push(format!(
                    "Power arms on {}: clear of gum and cheek?",
                    wording::list(teeth, n)
                ));
            }
        }
    }
    for line in &today.moment.bite.midlines_forecast {
        if line.moved_mm().abs() >= TOLD_MM {
            out.push(format!(
                "{} midline: forecast {}. Gone another way: tell the doctor.",
                wording::arch(line.arch),
                line.say()
            ));
        }
    }
    for arch in &today.arches {
        for act in arch.now.iter().flat_map(|now| now.acts()) {
            let ActKind::Traction { teeth, .. } = &act.kind else { continue };
            out.push(format!(
                "{}: has it moved since the last visit? Gum over it healthy, its neighbours not mobile? \
                 Twice still: stop, call the doctor.",
                wording::list(teeth, n)
            ));
        }
        let begins = arch.next.iter().flat_map(|next| &next.step.acts);
        for act in begins.filter(|_| arch.expected()) {
            let ActKind::Traction { teeth, .. } = &act.kind else { continue };
            let exposed = teeth.iter().filter_map(|t| Some((t, arch.arch.exposures.get(t)?.on?)));
            out.extend(exposed.map(|(tooth, on)| {
                format!(
                    "{}: exposed on {}? Healed, the chain there and firm?",
                    tooth.write(n),
                    crate::dates::long(on)
                )
            }));
        }
        for caution in &arch.arch.cautions {
            out.push(format!(
                "Caution at {}: {}.",
                caution.tooth.write(n),
                crate::masked(&caution.why)
            ));
        }
    }
    out
}

/// Bite raisers that were to come off at an earlier visit if they had done their work: nobody has said yet.
fn raisers_perhaps_on(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    let n = plan.notation();
    let earlier = (1..today.number).filter_map(|number| VisitToday::of(plan, number));
    let to_come = earlier.filter(|v| v.moment.standing == Standing::Foreseen);
    let acts: Vec<_> = to_come.flat_map(|v| v.arches).flat_map(|a| a.off_today()).collect();
    let perhaps = acts.into_iter().filter(|(_, why)| *why == RemovalReason::Foreseen);
    let said = perhaps.filter_map(|(act, _)| match &act.kind {
        ActKind::BiteRaisers { teeth, until: Some(until) } => Some(format!(
            "Bite raisers on {}, if still on: off once {}.",
            wording::list(teeth, n),
            super::condition::condition_text(until, n)
        )),
        _ => None,
    });
    said.collect()
}

/// Teeth that the plan takes out, or has had taken out.
fn extracted(arch: &ArchCase) -> impl Iterator<Item = Tooth> {
    let out =
        |s: &ToothState| matches!(s, ToothState::Extract { .. } | ToothState::Extracted { .. });
    arch.states.iter().filter(move |(_, (s, _))| out(s)).map(|(t, _)| *t)
}

/// What is measured at this visit; the record has a line for each.
pub fn measures(plan: &Plan<'_>, today: &VisitToday<'_>) -> ChairMeasures {
    let mut all = ChairMeasures::default();
    if today.visit.kind == Task::RetainerCheck {
        return all;
    }
    for arch in &today.arches {
        for here in [arch.now, arch.next].into_iter().flatten() {
            all.condition(&here.step.until);
            for act in here.acts() {
                all.act(&act.kind);
                for (a, b) in spaces::of(arch.arch, &act.kind) {
                    all.stretch(arch.arch, a, b);
                }
            }
        }
    }
    for elastics in today.judged(plan) {
        if let Some((until, _)) = &elastics.until {
            all.condition(until);
        }
        all.elastics(plan, elastics.kind);
    }
    if let Some(goal) = &plan.case.goal {
        all.midlines.extend(goal.bite.midlines.keys().copied());
    }
    for arch in &plan.case.arches {
        if arch.midline.is_some() {
            all.midlines.insert(arch.arch);
        }
    }
    if plan.case.bite.overjet.is_some() {
        all.overjet = true;
    }
    if let Some(goal) = plan.case.goal.as_ref().filter(|_| nears_the_end(today)) {
        all.goal(plan, goal);
    }
    let found = &plan.forecast.timeline.bite_as_recorded().over_the_bite;
    all.over_the_bite.retain(|t| !found.contains(t));
    all
}

/// Every arch is in its last step, or goes into it today.
fn nears_the_end(today: &VisitToday<'_>) -> bool {
    let last = |arch: &ArchToday<'_>| {
        let step = arch.after().map(|here| &here.step.name);
        step.is_some() && step == arch.arch.steps.last().map(|s| &s.name)
    };
    !today.arches.is_empty() && today.arches.iter().all(last)
}

/// How spaces and gaps are measured, and a tooth to the line of its neighbours, where there are any.
pub fn how_measured(plan: &Plan<'_>, measures: &ChairMeasures) -> Option<String> {
    let any = !measures.spaces.is_empty() || !measures.gaps.is_empty();
    let caliper = any.then(|| {
        "Space and gap: sliding caliper, from the contact point of one tooth named to that of the \
         other, at the widest of the crowns, along the arch; not between brackets. Read to 0.5 mm."
            .to_owned()
    });
    let n = plan.notation();
    let hidden = measures.drawn.iter().map(|t| {
        format!(
            "{} under the gum is not measured: leave it empty until its tip is seen.",
            t.write(n)
        )
    });
    let said: Vec<String> = caliper.into_iter().chain(hidden).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Where the front teeth ever stood open, the direction must be recorded.
pub fn has_open_bite(plan: &Plan<'_>) -> bool {
    let open = |bite: &Bite| bite.open_bite.is_some();
    open(&plan.case.bite) || plan.case.visits.iter().any(|v| open(&v.bite))
}

/// A way across the line of the arch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineWay {
    UpDown,
    InOut,
}

#[derive(Debug, Default)]
pub struct ChairMeasures {
    pub spaces: BTreeSet<Tooth>,
    pub gaps: BTreeSet<(Tooth, Tooth)>,
    pub overjet: bool,
    pub overbite: bool,
    pub midlines: BTreeSet<Arch>,
    pub over_the_bite: BTreeSet<Tooth>,
    /// Teeth under traction.
    pub drawn: BTreeSet<Tooth>,
    /// Teeth that are waited for until they stand near the line of the others.
    pub to_the_line: BTreeSet<Tooth>,
    /// Class of molars and canines.
    pub molars: bool,
    pub canines: bool,
}

impl ChairMeasures {
    fn condition(&mut self, condition: &Condition) {
        for term in &condition.terms {
            match term {
                Term::Space { teeth, .. } => self.spaces.extend(teeth),
                Term::Gap { first, second, .. } => {
                    self.gaps.insert((*first, *second));
                }
                Term::Overjet { .. } => self.overjet = true,
                Term::Overbite { .. } => self.overbite = true,
                Term::OverTheBite { teeth } => self.over_the_bite.extend(teeth),
                Term::Within { teeth, .. } => self.to_the_line.extend(teeth),
                Term::Midline { arch, .. } => {
                    self.midlines.insert(*arch);
                }
                _ => {}
            }
        }
    }

    /// What the goal is judged by before the appliance comes off.
    fn goal(&mut self, plan: &Plan<'_>, goal: &Goal) {
        self.overjet |= goal.bite.overjet.is_some();
        self.overbite |= goal.bite.overbite.is_some() || goal.bite.open_bite.is_some();
        self.molars |= !goal.bite.molars.is_empty();
        self.canines |= !goal.bite.canines.is_empty();
        if goal.spaces_closed {
            let written = plan.case.arches.iter().flat_map(|a| &a.gaps);
            self.gaps.extend(written.map(|g| (g.first.min(g.second), g.first.max(g.second))));
        }
    }

    fn act(&mut self, act: &ActKind) {
        match act {
            ActKind::Bypass { teeth, .. } => self.spaces.extend(teeth),
            ActKind::Traction { teeth, .. } => self.drawn.extend(teeth),
            ActKind::HaltIf { measure, .. } if measure.is_overjet() => self.overjet = true,
            ActKind::HaltIf { .. } => self.overbite = true,
            ActKind::ReverseCurve { .. } => self.overbite = true,
            ActKind::BiteRaisers { until: Some(until), .. } => self.condition(until),
            _ => {}
        }
    }

    /// What elastics change decides about them.
    fn elastics(&mut self, plan: &Plan<'_>, kind: ElasticsKind) {
        match kind {
            ElasticsKind::Triangle | ElasticsKind::Box => self.overbite = true,
            ElasticsKind::Cross => self.over_the_bite.extend(&plan.case.bite.crossbite),
            ElasticsKind::Diagonal => self.midlines.extend(Arch::BOTH),
            ElasticsKind::Settling => return,
            ElasticsKind::Class2 | ElasticsKind::Class3 => {}
        }
        self.overjet = true;
    }

    /// The space of the tooth between two, or the gap where there is none.
    fn stretch(&mut self, arch: &ArchCase, a: Tooth, b: Tooth) {
        let inner = spaces::standing_between(arch, a, b);
        if inner.is_empty() {
            self.gaps.insert((a.min(b), a.max(b)));
        } else {
            self.spaces.extend(inner);
        }
    }

    /// In which ways a tooth is measured to the line of its neighbours: as it stands off it by the plan; a drawn
    /// tooth up or down at least.
    pub fn ways(&self, plan: &Plan<'_>) -> Vec<(Tooth, LineWay)> {
        let mut out = Vec::new();
        for tooth in self.drawn.union(&self.to_the_line) {
            let stand = plan.case.arch(tooth.arch()).and_then(|a| a.stands.get(tooth));
            let up_down = stand.is_some_and(|s| s.value.up_down.is_some());
            let in_out = stand.is_some_and(|s| s.value.in_out.is_some());
            if up_down || self.drawn.contains(tooth) {
                out.push((*tooth, LineWay::UpDown));
            }
            if in_out || !(up_down || self.drawn.contains(tooth)) {
                out.push((*tooth, LineWay::InOut));
            }
        }
        out
    }

    /// Boxes to fill, half millimetres: what the steps, the elastics and the goal are judged by.
    pub fn blanks(&self, plan: &Plan<'_>) -> Vec<Blank> {
        let n = plan.notation();
        let mut out: Vec<Blank> = Vec::new();
        let mut put = |what: String| out.push(Blank { what, unit: "mm" });
        for tooth in &self.spaces {
            let beside = plan.case.arch(tooth.arch()).and_then(|a| spaces::beside(a, *tooth));
            let from_to = beside
                .map(|(a, b)| format!(" ({} to {})", a.write(n), b.write(n)))
                .unwrap_or_default();
            put(format!("Space {}{from_to}", tooth.write(n)));
        }
        for (a, b) in &self.gaps {
            put(format!("Gap {} to {}", a.write(n), b.write(n)));
        }
        for (tooth, way) in self.ways(plan) {
            let way = match way {
                LineWay::UpDown => "up or down",
                LineWay::InOut => "in or out",
            };
            put(format!("{} to the line of its neighbours, {way}", tooth.write(n)));
        }
        if self.overjet {
            put(match plan.case.is_reverse() {
                true => "Overjet (or reverse)".to_owned(),
                false => "Overjet".to_owned(),
            });
        }
        if self.overbite {
            put(match has_open_bite(plan) {
                true => "Overbite (or open)".to_owned(),
                false => "Overbite".to_owned(),
            });
        }
        for (wanted, what) in [(self.molars, "Molars"), (self.canines, "Canines")] {
            if wanted {
                put(format!("{what}, class and by how much, right"));
                put(format!("{what}, class and by how much, left"));
            }
        }
        for arch in &self.midlines {
            put(format!("{} midline", wording::arch(*arch)));
        }
        out
    }
}
