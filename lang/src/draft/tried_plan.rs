//! A sequence as computed by the checker: what it costs, and the figures by which it is told from others.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use serde::Serialize;

use super::draft_step::DraftStep;
use super::expected::{ExpectedCourse, expected, looks};
use super::fit::{PoorFit, poor_fit};
use super::frame::{DraftFrame, is_work};
use super::plan_cost::PlanCost;
use super::writing::{departures, written};
use crate::check::{CheckOptions, SourceText};
use crate::fixes::Trial;
use crate::judgement_cache::JudgementCache;
use springline_course::{Forecast, Phase};
use springline_finding::{Finding, Severity};
use springline_model::Case;
use springline_model::house::Task;
use springline_rules::Trees;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::Tooth;

/// A wire of a sequence, as computed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TriedWire {
    pub step: String,
    pub wire: String,
    /// Weeks until its change is booked.
    pub weeks: f64,
    /// The largest force on a tooth as it goes in, g, and the tooth.
    pub peak_g: Option<f64>,
    pub peak_on: Option<Tooth>,
    /// The largest force kept after half a millimetre, g.
    pub sustained_g: Option<f64>,
}

/// A whole sequence, as computed.
#[derive(Debug, Clone)]
pub struct TriedPlan {
    pub steps: Vec<DraftStep>,
    pub cost: PlanCost,
    pub wires: Vec<TriedWire>,
    /// Days from the first of its wires to the working wire, as booked; and visits.
    pub booked_days: f64,
    pub booked_visits: u32,
    /// Days and visits over fast and slow patients, before any wire is put off for a tooth that is too far off.
    pub expected: ExpectedCourse,
    /// Index of the step after them, into the steps of the arch.
    pub working_step: usize,
    /// Errors and warnings that the doctor has not accepted, worst first.
    pub findings: Vec<Finding>,
    /// Those about what the doctor does beside the wires; they count for nothing.
    pub of_doctors_acts: Vec<Finding>,
    /// Wires for which a tooth is predicted to be too far off, the working wire included.
    pub poor_fits: Vec<PoorFit>,
    /// The case with the other arch left out.
    pub case: Arc<Case>,
}

/// Rules whose findings on a step hang on nothing that comes after it, so that they speak of every sequence that
/// begins alike. All other rules are asked of whole sequences only.
const OF_A_BEGINNING: [&str; 3] =
    ["order/steep-step", "order/level-before-aligned", "order/wire-does-not-fit"];

/// What speaks of an act that is the doctor's alone: it may have another figure with other wires, but drives no choice
/// of them.
const OF_DOCTORS_ACTS: [&str; 2] = ["space/enamel-too-much", "space/enamel-without-need"];

fn is_of_doctors_act(finding: &Finding) -> bool {
    OF_DOCTORS_ACTS.contains(&finding.code.as_str())
}

/// What is said of the end of a step. That of the working wire may hang on elastics and the other arch, which are not
/// there while one arch is drafted.
const OF_AN_END: &str = "time/never-ends";

fn speaks_of_beginning(finding: &Finding) -> bool {
    finding.code.family() == "force" || OF_A_BEGINNING.contains(&finding.code.as_str())
}

/// What a cost counts: all that is said of a whole sequence, or only what holds of all that begin so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum CostOf {
    Whole,
    Beginning,
}

/// Course and findings of a case.
type Judged = (Forecast, Vec<Finding>);

/// Judges sequences of one arch, two at a time where two are asked for; what was judged once is remembered.
pub struct PlanJudge<'f, 't, 'a> {
    pub frame: &'f DraftFrame,
    trial: &'t mut Trial<'a>,
    /// What the second of two threads remembers.
    second: JudgementCache,
    whole: HashMap<Vec<DraftStep>, Option<Arc<TriedPlan>>>,
    beginnings: HashMap<Vec<DraftStep>, Option<PlanCost>>,
    /// Sequences and beginnings judged so far.
    pub judged: usize,
    /// Wires that the mechanics has no figures for, and why: no sequence with one is drafted.
    pub refused: BTreeMap<String, String>,
}

impl<'f, 't, 'a> PlanJudge<'f, 't, 'a> {
    pub fn new(frame: &'f DraftFrame, trial: &'t mut Trial<'a>) -> Self {
        let mut second = JudgementCache::default();
        second.stop_drafts_on(trial.judgements.stop_signal());
        PlanJudge {
            frame,
            trial,
            second,
            whole: HashMap::new(),
            beginnings: HashMap::new(),
            judged: 0,
            refused: BTreeMap::new(),
        }
    }

    /// A whole sequence; `None` where its text cannot be written or read.
    pub fn whole(&mut self, steps: &[DraftStep]) -> Option<Arc<TriedPlan>> {
        if let Some(known) = self.whole.get(steps) {
            return known.clone();
        }
        let plan = self.judge_whole(steps).map(Arc::new);
        if plan.is_none() {
            self.beginnings.entry(steps.to_vec()).or_insert(None);
        }
        self.whole.insert(steps.to_vec(), plan.clone());
        plan
    }

    /// What every sequence costs at least that begins so.
    pub fn beginning(&mut self, steps: &[DraftStep]) -> Option<PlanCost> {
        if steps.is_empty() {
            return Some(PlanCost::default());
        }
        if let Some(known) = self.beginnings.get(steps) {
            return *known;
        }
        // A sequence that may be whole is computed once, as a whole, and its beginning is read off it.
        if self.frame.drawer.is_whole(steps) {
            self.whole(steps);
            return self.beginnings.get(steps).copied().flatten();
        }
        let cost = self.judge_beginning(steps);
        self.beginnings.insert(steps.to_vec(), cost);
        cost
    }

    /// The cheapest of the whole sequences judged so far; where teeth lack room, of those that make some.
    pub fn cheapest_allowed(&self) -> Option<Arc<TriedPlan>> {
        let makes_room =
            |p: &&Arc<TriedPlan>| self.frame.room.is_none() || self.frame.drawer.allows(&p.steps);
        let plans = self.whole.values().flatten().filter(makes_room);
        plans.min_by_key(|p| (p.cost.key(), self.frame.drawer.places(&p.steps))).cloned()
    }

    /// A whole sequence that was judged already.
    pub fn known(&self, steps: &[DraftStep]) -> Option<Arc<TriedPlan>> {
        self.whole.get(steps).cloned().flatten()
    }

    /// Judges two sequences or beginnings side by side that will be asked for; nothing where one of them is known.
    pub fn ahead(&mut self, two: [&[DraftStep]; 2]) {
        let is_known = |steps: &[DraftStep]| {
            steps.is_empty()
                || self.whole.contains_key(steps)
                || self.beginnings.contains_key(steps)
        };
        if two[0] == two[1] || two.iter().any(|steps| is_known(steps)) {
            return;
        }
        let of = two.map(|steps| match self.frame.drawer.is_whole(steps) {
            true => CostOf::Whole,
            false => CostOf::Beginning,
        });
        let [Some(a), Some(b)] = [self.case_of(two[0], of[0]), self.case_of(two[1], of[1])] else {
            return;
        };
        let judged = self.judge_two([&a, &b]);
        for (((steps, of), case), judged) in two.into_iter().zip(of).zip([a, b]).zip(judged) {
            match of {
                CostOf::Whole => {
                    let plan = self.concluded(steps, case, &judged).map(Arc::new);
                    if plan.is_none() {
                        self.beginnings.entry(steps.to_vec()).or_insert(None);
                    }
                    self.whole.insert(steps.to_vec(), plan);
                }
                CostOf::Beginning => {
                    let cost = self.cost_of_beginning(steps, &case, &judged);
                    self.beginnings.insert(steps.to_vec(), cost);
                }
            }
        }
    }

    /// The same plan on two other entries, such as other readings of the same mouth.
    pub fn again(&mut self, plan: &TriedPlan, cases: [&Case; 2]) -> [Option<PlanCost>; 2] {
        let [first, second] = self.judge_two(cases);
        [(cases[0], first), (cases[1], second)].map(|(case, (forecast, findings))| {
            self.cost(case, &forecast, &findings, plan.steps.len(), CostOf::Whole)
                .map(|cost| PlanCost { departures: plan.cost.departures, ..cost })
        })
    }

    /// The arch alone with these steps; of a beginning without any after them.
    fn case_of(&mut self, steps: &[DraftStep], of: CostOf) -> Option<Case> {
        let text = written(self.frame, steps, &[])?;
        let source = SourceText { name: self.frame.source.name.clone(), text: text.into() };
        let read = (self.trial.read)(&source);
        let mut case = one_arch(read.case.as_deref()?, self.frame)?;
        if of == CostOf::Beginning {
            case.arches.first_mut()?.steps.truncate(self.frame.fixed + steps.len());
        }
        Some(case)
    }

    fn judge(&mut self, case: &Case) -> Judged {
        self.judged += 1;
        let options: &CheckOptions = self.trial.options;
        self.trial.judgements.judge_part(case, &Trees::new([]), options)
    }

    /// Two cases on two threads; the answers are those of one after the other.
    fn judge_two(&mut self, [a, b]: [&Case; 2]) -> [Judged; 2] {
        self.judged += 2;
        let options: &CheckOptions = self.trial.options;
        let (own, other) = (&mut *self.trial.judgements, &mut self.second);
        let (first, second) = std::thread::scope(|scope| {
            let second = scope.spawn(|| other.judge_part(b, &Trees::new([]), options));
            (own.judge_part(a, &Trees::new([]), options), second.join().ok())
        });
        [first, second.unwrap_or_else(|| own.judge_part(b, &Trees::new([]), options))]
    }

    fn judge_whole(&mut self, steps: &[DraftStep]) -> Option<TriedPlan> {
        let case = self.case_of(steps, CostOf::Whole)?;
        let judged = self.judge(&case);
        self.concluded(steps, case, &judged)
    }

    /// A whole sequence of which the case has been judged; what its beginning costs is remembered.
    fn concluded(
        &mut self,
        steps: &[DraftStep],
        case: Case,
        (forecast, findings): &Judged,
    ) -> Option<TriedPlan> {
        let own = |f: &Finding| is_of_steps(&case, self.frame, f);
        let doctors = |f: &&Finding| is_open(f) && f.step.is_some() && is_of_doctors_act(f);
        let of_doctors_acts = findings.iter().filter(doctors).cloned().collect();
        let of_steps = findings.iter().filter(|f| own(f)).cloned().collect();
        self.note_refused(forecast, steps.len());
        let beginning = self.cost(&case, forecast, findings, steps.len(), CostOf::Beginning);
        self.beginnings.insert(steps.to_vec(), beginning);
        let cost = self.cost(&case, forecast, findings, steps.len(), CostOf::Whole)?;
        let cost = PlanCost { departures: departures(self.frame, steps), ..cost };
        let poor_fits = self.poor_fits(&case, forecast, steps.len(), CostOf::Whole);
        let phases = phases(forecast, self.frame, steps.len())?;
        let booked_visits = phases.iter().map(|p| 1 + looks(p)).sum();
        Some(TriedPlan {
            steps: steps.to_vec(),
            cost,
            wires: phases.iter().map(|p| tried_wire(p)).collect(),
            // From 0: the sum of none is -0.
            booked_days: phases.iter().fold(0.0, |sum, p| sum + p.booked_days),
            booked_visits,
            working_step: self.frame.fixed + steps.len(),
            expected: expected(phases.iter().copied(), &case.house),
            findings: of_steps,
            of_doctors_acts,
            poor_fits,
            case: Arc::new(case),
        })
    }

    pub(super) fn judge_beginning(&mut self, steps: &[DraftStep]) -> Option<PlanCost> {
        let case = self.case_of(steps, CostOf::Beginning)?;
        let judged = self.judge(&case);
        self.cost_of_beginning(steps, &case, &judged)
    }

    fn cost_of_beginning(
        &mut self,
        steps: &[DraftStep],
        case: &Case,
        (forecast, findings): &Judged,
    ) -> Option<PlanCost> {
        self.note_refused(forecast, steps.len());
        self.cost(case, forecast, findings, steps.len(), CostOf::Beginning)
    }

    fn note_refused(&mut self, forecast: &Forecast, steps: usize) {
        for phase in phases(forecast, self.frame, steps).unwrap_or_default() {
            if let Some(why) = &phase.insertion.refused {
                let wire = phase.wire.wire.name.to_string();
                self.refused.entry(wire).or_insert_with(|| why.why.clone());
            }
        }
    }

    /// Of the drafted steps; of a whole sequence of the working wire after them as well.
    fn poor_fits(
        &self,
        case: &Case,
        forecast: &Forecast,
        steps: usize,
        of: CostOf,
    ) -> Vec<PoorFit> {
        let Some(arch) = forecast.arch(self.frame.arch) else { return Vec::new() };
        let from = self.frame.fixed.max(1);
        let end = self.frame.fixed + steps + usize::from(of == CostOf::Whole);
        (from..end)
            .filter_map(|step| arch.latest_phase_of_step(step))
            .filter_map(|phase| poor_fit(phase, &case.house))
            .collect()
    }

    fn cost(
        &self,
        case: &Case,
        forecast: &Forecast,
        findings: &[Finding],
        steps: usize,
        of: CostOf,
    ) -> Option<PlanCost> {
        let phases = phases(forecast, self.frame, steps)?;
        if phases.iter().any(|p| p.insertion.refused.is_some()) {
            return None;
        }
        let house = &case.house;
        let course = expected(phases.iter().copied(), house);
        let plan = case.arch(self.frame.arch)?;
        let own = plan.steps.get(..self.frame.fixed + steps)?;
        let begins = |f: &Finding| {
            speaks_of_beginning(f) && own.iter().any(|s| f.step.as_ref() == Some(&s.name))
        };
        let counts = |f: &&Finding| of == CostOf::Whole || begins(f);
        let open: Vec<&Finding> =
            findings.iter().filter(|f| is_of_steps(case, self.frame, f)).filter(counts).collect();
        let fits = self.poor_fits(case, forecast, steps, of);
        let waits: f64 = fits.iter().map(PoorFit::waits).sum();
        let number =
            |severity: Severity| open.iter().filter(|f| f.severity == severity).count() as u32;
        let minutes = phases.iter().map(|p| {
            house.minutes_for(Task::WireChange)
                + f64::from(looks(p)) * house.minutes_for(Task::Review)
        });
        let mut names: Vec<&str> = phases.iter().map(|p| p.wire.wire.name.as_ref()).collect();
        names.sort_unstable();
        names.dedup();
        Some(PlanCost {
            errors: number(Severity::Error),
            warnings: number(Severity::Warning),
            excess: open.iter().fold(0.0, |sum, f| sum + excess(f)),
            days: course.days + waits * house.shortest.value.days().max(1.0),
            visits: course.visits + waits,
            minutes: minutes.sum(),
            wires: names.len() as u32,
            departures: 0,
        })
    }
}

/// An open error or warning about a step of the arch up to the working wire. What comes after that, and what the plan
/// lacks as a whole, is the same whatever is drafted, and may hang on the other arch.
fn is_of_steps(case: &Case, frame: &DraftFrame, finding: &Finding) -> bool {
    let Some(plan) = case.arch(frame.arch) else { return false };
    let later = plan.steps.get(frame.fixed..).unwrap_or_default();
    let work = later.iter().position(is_work).map_or(plan.steps.len(), |at| frame.fixed + at);
    let at = finding.step.as_ref().and_then(|s| plan.steps.iter().position(|p| p.name == *s));
    let counts = |at: usize| at < work || at == work && finding.code.as_str() != OF_AN_END;
    is_open(finding) && !is_of_doctors_act(finding) && at.is_some_and(counts)
}

/// The case with this arch alone: the other one and what hangs on both is the same whatever is drafted.
fn one_arch(case: &Case, frame: &DraftFrame) -> Option<Case> {
    let mut case = case.clone();
    case.arches.retain(|a| a.arch == frame.arch);
    case.elastics.clear();
    (!case.arches.is_empty()).then_some(case)
}

/// The phases of the drafted steps; `None` where the course does not come that far.
fn phases<'p>(forecast: &'p Forecast, frame: &DraftFrame, steps: usize) -> Option<Vec<&'p Phase>> {
    let arch = forecast.arch(frame.arch)?;
    (frame.fixed..frame.fixed + steps).map(|step| arch.latest_phase_of_step(step)).collect()
}

/// Says something of the plan that the doctor has not accepted.
pub fn is_open(finding: &Finding) -> bool {
    finding.accepted.is_none() && finding.severity != Severity::Advice
}

/// How far a finding is past its limit, as a share of the limit.
fn excess(finding: &Finding) -> f64 {
    let Some(figure) = &finding.figure else { return 1.0 };
    if figure.limit.abs() < 1e-9 {
        return 1.0;
    }
    (figure.value / figure.limit - 1.0).abs()
}

fn tried_wire(phase: &Phase) -> TriedWire {
    let peak = phase.insertion.worst_peak();
    let sustained = phase.insertion.worst_sustained();
    TriedWire {
        step: phase.name.to_string(),
        wire: phase.wire.wire.name.to_string(),
        weeks: phase.booked_days / 7.0,
        peak_g: peak.map(|t| newtons_to_grams(t.peak_n).round()),
        peak_on: peak.map(|t| t.tooth),
        sustained_g: sustained.map(|t| newtons_to_grams(t.sustained_n).round()),
    }
}
