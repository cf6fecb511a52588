//! Predicted times of the conditions that end a step, from the measures they refer to.

use crate::law::condition_time::ConditionTime;
use crate::law::spread::{Time, default_sigma};
use crate::mouth::bite_figures::{BiteFigure, BiteFigures, midline_mm};
use crate::mouth::carried::CarriedState;
use crate::mouth::drawn_tooth;
use crate::plan::calendar::days_between;
use crate::plan::elastics::settle_days;
use crate::plan::input::ArchInput;
use crate::plan::state::ToothStatus;
use crate::room::closing::ClosingGap;
use crate::room::supplies::open_gaps;
use crate::simulate::aligning_midline::reaches;
use crate::simulate::cross_pull::{OVER_THE_BITE_MM, way_over_mm};
use crate::simulate::outcome::EndReason;
use crate::simulate::phase_in_progress::PhaseInProgress;
use crate::timeline::expander_life::expander_life;
use springline_model::step::{Condition, Term};
use springline_units::quantity::{mm, plain};
use springline_units::tooth::Tooth;

/// Measures at the start of the last segment of a phase, and their rates of change at unit rate.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct StopMeasures {
    /// Day after insertion on which the bite is as given here.
    pub bite_days: f64,
    pub bite: BiteFigures,
    /// Teeth found over the bite.
    pub over_the_bite: Vec<Tooth>,
    /// Neighbours, length, and how it closes where something pulls.
    pub gaps: Vec<((Tooth, Tooth), f64, Option<ClosingGap>)>,
}

impl StopMeasures {
    pub fn of(
        world: &ArchInput<'_>,
        draft: &PhaseInProgress,
        carried: &CarriedState,
    ) -> StopMeasures {
        let gaps = with_coils(open_gaps(world.arch, &draft.state, carried), draft)
            .into_iter()
            .map(|(pair, length)| {
                let (gap, mouth) = ((pair, length), &carried.mouth);
                let (begun, growth) = (draft.date_in, draft.growth);
                let closing = ClosingGap::of(world.arch, &draft.state, mouth, gap, begun, growth);
                (pair, length, closing)
            })
            .collect();
        StopMeasures {
            bite_days: draft.bite_days,
            over_the_bite: carried.over_the_bite.iter().copied().collect(),
            bite: carried.bite,
            gaps,
        }
    }

    fn gap_of(&self, tooth: Tooth) -> Option<&((Tooth, Tooth), f64, Option<ClosingGap>)> {
        self.gaps.iter().find(|((a, b), _, _)| *a < tooth && tooth < *b)
    }
}

/// Time until a measure that changes steadily from a day on meets a figure, at the pace of the
/// median patient.
fn meets(draft: &PhaseInProgress, from: f64, now: f64, rate: f64, figure: f64) -> Option<Time> {
    let way = figure - now;
    if way.abs() < 1e-9 {
        return Some(Time::calendar(from));
    }
    let days = way / rate;
    (rate != 0.0 && days > 0.0).then(|| Time::scaled(from, days / draft.growth, default_sigma()))
}

/// Why a phase ends, and when its step's condition holds.
pub(crate) fn when(
    world: &ArchInput<'_>,
    draft: &PhaseInProgress,
    measures: &StopMeasures,
) -> (EndReason, Option<ConditionTime>) {
    let Some(step) = world.arch.steps.get(draft.step) else { return (EndReason::Decided, None) };
    let condition = &step.until.value;
    if let Some(tooth) = waits_for_exposure(world, draft) {
        let notation = world.case.house.notation.value;
        let why = format!("{}{NOT_EXPOSED}", tooth.write(notation));
        return (EndReason::Never { why }, None);
    }
    let found = condition_when(world, draft, measures, condition);
    let settled = |w: ConditionTime| match draft.settle_days {
        days if days > 0.0 => w.and(Time::calendar(days)),
        _ => w,
    };
    match found {
        Some(when) => (reason(condition), Some(settled(when))),
        None if condition.terms.iter().any(|t| matches!(t, Term::Decided)) => {
            // The doctor decides; where elastics have their own end condition, not before that is met or
            // they have been worn for their longest time.
            let aims = draft.elastics.iter().zip(&draft.worn_days);
            let aim = aims
                .filter_map(|(i, days)| {
                    let (until, _) = world.case.elastics.get(*i)?.until.as_ref()?;
                    let over = days.1.is_finite().then(|| Time::calendar(days.1));
                    condition_when(world, draft, measures, until)
                        .or_else(|| ConditionTime::of(vec![over], true))
                })
                .max_by(|a, b| a.at(0.5).total_cmp(&b.at(0.5)));
            (EndReason::Decided, aim.map(settled))
        }
        None => (EndReason::Never { why: why_never(draft, measures, condition) }, None),
    }
}

/// After the tooth that the next step pulls.
pub const NOT_EXPOSED: &str = " has to be exposed first, and no day is written for that";

/// The tooth that this step or the one after it pulls, and that a surgeon has yet to lay open.
fn waits_for_exposure(world: &ArchInput<'_>, draft: &PhaseInProgress) -> Option<Tooth> {
    let next = world.arch.steps.get(draft.step + 1);
    let next = next.and_then(|s| drawn_tooth::waits_for_exposure(world.arch, &s.acts));
    drawn_tooth::waits_for_exposure(world.arch, &draft.state.acts).or(next)
}

fn reason(condition: &Condition) -> EndReason {
    let is = |f: fn(&Term) -> bool| condition.terms.iter().all(f);
    if is(|t| matches!(t, Term::Passive)) {
        EndReason::Passive
    } else if is(|t| matches!(t, Term::Time { .. } | Term::Settled)) {
        EndReason::Time
    } else {
        EndReason::Measure { text: condition.text.clone() }
    }
}

/// Whether a step waits for more space than its coil makes.
pub const COIL_SPENT: &str = "the coil is exhausted before the space is there";

/// The wire runs out of force before the tooth is where the step waits for it. The least force of the law stops a
/// light wire earlier than chairs see it stop, so this alone ends no schedule.
pub(crate) const STOPS_SHORT: &str = "the wire becomes passive before the tooth gets there";

fn why_never(draft: &PhaseInProgress, measures: &StopMeasures, condition: &Condition) -> String {
    if condition.terms.iter().any(|t| matches!(t, Term::Passive)) {
        return draft.never_passive().unwrap_or_else(|| NOTHING_BRINGS_IT.to_owned());
    }
    let spaces = |t: &Term| matches!(t, Term::Space { .. } | Term::Gap { .. });
    if condition.terms.iter().any(spaces) && !draft.segment().coils.is_empty() {
        return COIL_SPENT.to_owned();
    }
    let reaches = |t: &Term| matches!(t, Term::Within { .. } | Term::OverTheBite { .. });
    if condition.terms.iter().any(reaches) && draft.never_passive().is_none() {
        return STOPS_SHORT.to_owned();
    }
    let short = condition.terms.iter().find_map(|t| bite_falls_short(draft, measures, t));
    short.unwrap_or_else(|| NOTHING_BRINGS_IT.to_owned())
}

/// Something moves the bite the right way, and comes off before it is there.
fn bite_falls_short(
    draft: &PhaseInProgress,
    measures: &StopMeasures,
    term: &Term,
) -> Option<String> {
    let (figure, aim) = match term {
        Term::Overjet { overjet } => (BiteFigure::Overjet, overjet.mm()),
        Term::Overbite { length } => (BiteFigure::Overbite, mm(*length)),
        _ => return None,
    };
    let start = measures.bite.get(figure)?;
    let most = draft.on_bite().farthest(&measures.bite, measures.bite_days, figure)?;
    // Less than half the half millimetre to which a bite is measured is no way at all.
    let goes = (most - start) * (aim - start).signum() >= MEASURED_TO_MM;
    let stands = match (figure, most < 0.0) {
        (BiteFigure::Overbite, true) => "an open bite of",
        (BiteFigure::Overbite, false) => "an overbite of",
        (_, true) => "a reverse overjet of",
        (_, false) => "an overjet of",
    };
    let most = plain((most.abs() * 10.0).round() / 10.0);
    goes.then(|| format!("what acts on it comes off at {stands} {most} mm"))
}

const NOTHING_BRINGS_IT: &str = "nothing in this step brings it about";

fn condition_when(
    world: &ArchInput<'_>,
    draft: &PhaseInProgress,
    measures: &StopMeasures,
    condition: &Condition,
) -> Option<ConditionTime> {
    let terms = condition
        .terms
        .iter()
        .filter(|t| condition.terms.len() == 1 || !matches!(t, Term::Decided))
        .map(|t| term_time(world, draft, measures, t))
        .collect();
    ConditionTime::of(terms, condition.all)
}

/// Half of the half millimetre to which a tooth's stand is measured: what the wire leaves by less than that over the
/// figure is written down as the figure, mm.
const MEASURED_TO_MM: f64 = 0.25;

fn term_time(
    world: &ArchInput<'_>,
    draft: &PhaseInProgress,
    measures: &StopMeasures,
    term: &Term,
) -> Option<Time> {
    match term {
        Term::Passive => draft.passive(world.booking.rule),
        Term::Decided => None,
        Term::Settled => world.arch.steps.get(draft.step).map(settle_days).map(Time::calendar),
        Term::Time { period } => Some(Time::calendar(period.days().max(0.0))),
        Term::Space { length, teeth } => {
            let waits: Vec<Tooth> = if teeth.is_empty() {
                draft.segment().sites.iter().map(|s| s.tooth).collect()
            } else {
                teeth.clone()
            };
            let times: Option<Vec<Time>> =
                waits.iter().map(|t| space_time(draft, measures, *t, mm(*length))).collect();
            times?.into_iter().max_by(|a, b| a.at(0.5).total_cmp(&b.at(0.5)))
        }
        Term::Gap { length, first, second } => {
            let pair = crate::mouth::pair::pair(*first, *second);
            gap_time(draft, measures.gaps.iter().find(|(p, _, _)| *p == pair), mm(*length))
        }
        Term::Overjet { overjet } => {
            bite_time(draft, measures, (BiteFigure::Overjet, overjet.mm()))
        }
        Term::Overbite { length } => {
            bite_time(draft, measures, (BiteFigure::Overbite, mm(*length)))
        }
        Term::Midline { arch, midline } => {
            let (line, aim) = (BiteFigure::Midline(*arch), midline_mm(midline)?);
            let pulled = bite_time(draft, measures, (line, aim));
            // The wire carries the midline of its own arch.
            let here = measures.bite.get(line).filter(|_| *arch == world.arch.arch);
            let aligned = here.and_then(|now| reaches(world, draft, (now, aim)));
            pulled.into_iter().chain(aligned).min_by(sooner)
        }
        Term::OverTheBite { teeth } => {
            let still: Vec<Tooth> =
                teeth.iter().copied().filter(|t| !measures.over_the_bite.contains(t)).collect();
            if still.is_empty() {
                return Some(Time::calendar(measures.bite_days));
            }
            if let Some(day) = widened_by(world, draft, &still) {
                return Some(Time::calendar(day));
            }
            over_the_bite(draft, &still)
        }
        Term::Within { length, teeth } => {
            if let Some(time) = draft.drawn_within(teeth, mm(*length)) {
                return Some(time);
            }
            let within = |mm: f64| draft.teeth_reach(teeth, move |pose| pose.off_mm() <= mm);
            within(mm(*length)).or_else(|| within(mm(*length) + MEASURED_TO_MM))
        }
    }
}

/// When teeth are out of crossbite: the wire brings them into line, or cross elastics carry them over, whichever is the
/// sooner.
fn over_the_bite(draft: &PhaseInProgress, teeth: &[Tooth]) -> Option<Time> {
    let each = teeth.iter().map(|tooth| {
        let by_wire = draft.teeth_reach(&[*tooth], |pose| pose.lingual_mm <= OVER_THE_BITE_MM);
        let Some(pull) = draft.across.iter().find(|p| p.tooth == *tooth) else { return by_wire };
        let pose = draft.leg_mouth.pose(*tooth);
        let start = draft.segment_start();
        let day = pull.day(start, way_over_mm(*tooth, &pose));
        let by_elastics = day.map(|day| {
            let from = start.max(pull.from_days).min(day);
            Time::scaled(from, day - from, default_sigma())
        });
        // A tooth that stands in its line is in crossbite with it: the wire does nothing.
        let wire_does = pose.lingual_mm > OVER_THE_BITE_MM;
        by_wire.filter(|_| wire_does).into_iter().chain(by_elastics).min_by(sooner)
    });
    let all: Option<Vec<Time>> = each.collect();
    all?.into_iter().max_by(sooner)
}

fn sooner(a: &Time, b: &Time) -> std::cmp::Ordering {
    a.at(0.5).total_cmp(&b.at(0.5))
}

/// The day of a phase on which the screw is open as far as planned, where back teeth wait for that.
fn widened_by(world: &ArchInput<'_>, draft: &PhaseInProgress, teeth: &[Tooth]) -> Option<f64> {
    let begins = draft.begins?;
    let lives = world.case.arches.iter().filter_map(|arch| expander_life(world.case, arch));
    let turned = lives.map(|life| life.turned).max()?;
    let behind = teeth.iter().all(|t| !t.is_anterior());
    behind.then(|| days_between(begins, turned).max(draft.segment_start()))
}

/// Open gaps, and the places where a coil opens one between teeth that nobody wrote a gap for.
fn with_coils(
    mut gaps: Vec<((Tooth, Tooth), f64)>,
    draft: &PhaseInProgress,
) -> Vec<((Tooth, Tooth), f64)> {
    for coil in &draft.segment().coils {
        let pair = crate::mouth::pair::pair(coil.key.0, coil.key.1);
        if !gaps.iter().any(|(known, _)| *known == pair) {
            gaps.push((pair, 0.0));
        }
    }
    gaps
}

/// When a gap is as long: opened by its coil, or closed by what pulls across it.
fn gap_time(
    draft: &PhaseInProgress,
    gap: Option<&((Tooth, Tooth), f64, Option<ClosingGap>)>,
    wanted_mm: f64,
) -> Option<Time> {
    let start = draft.segment_start();
    let Some((pair, now, closing)) = gap else {
        return (wanted_mm <= 0.05).then(|| Time::calendar(start));
    };
    let coil = draft.segment().coils.iter().find(|c| c.between(pair.0, pair.1));
    match coil {
        Some(coil) if wanted_mm > *now => {
            let supplies = [coil.supply.clone()];
            let days = crate::room::supply_and_demand::time_to_make(&supplies, wanted_mm - now)?;
            Some(Time::scaled(start, days / draft.growth, default_sigma()))
        }
        _ => {
            let rate = closing.as_ref().map_or(0.0, |c| c.mm_per_day);
            let least = closing.as_ref().map_or(0.0, |c| c.least_mm);
            let reaches = wanted_mm >= least - 1e-9 || wanted_mm >= *now;
            meets(draft, start, *now, -rate, wanted_mm).filter(|_| reaches)
        }
    }
}

/// When the bite gets there by all that acts on it. What waits to be worn starts the clock.
fn bite_time(
    draft: &PhaseInProgress,
    measures: &StopMeasures,
    (figure, aim): (BiteFigure, f64),
) -> Option<Time> {
    let moves = draft.on_bite();
    let reach = |aim| moves.reach(&measures.bite, measures.bite_days, (figure, aim));
    // What stops a shade before the figure is measured as the figure.
    let way = measures.bite.get(figure)? - aim;
    let shade = || (way.abs() > MEASURED_TO_MM).then(|| aim + MEASURED_TO_MM.copysign(way));
    let days = reach(aim).or_else(|| reach(shade()?))?;
    let day = measures.bite_days + days;
    let from = measures.bite_days.max(moves.begins(figure)).min(day);
    Some(Time::scaled(from, day - from, default_sigma()))
}

/// When a tooth has so much space, or an extraction space has shrunk to it.
fn space_time(
    draft: &PhaseInProgress,
    measures: &StopMeasures,
    tooth: Tooth,
    wanted: f64,
) -> Option<Time> {
    if draft.state.status(tooth) == ToothStatus::Absent {
        return gap_time(draft, measures.gap_of(tooth), wanted);
    }
    let site = draft.segment().sites.iter().find(|s| s.tooth == tooth)?;
    let days =
        crate::room::supply_and_demand::time_to_make(&site.supplies, wanted - site.space_mm)?;
    Some(Time::scaled(draft.segment_start(), days / draft.growth, default_sigma()))
}
