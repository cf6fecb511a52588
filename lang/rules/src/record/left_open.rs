//! A fault that the last record leaves open, or that comes again.

use crate::prelude::*;
use springline_course::calendar::days_between;
use springline_course::{Obligation, Observation};

pub const RULE: Rule = Rule {
    code: "record/left-open",
    severity: Severity::Error,
    page: include_str!("left_open.md"),
    check,
    ..Rule::PLAIN
};

/// After this nobody can say that it is about to be mended (common practice, no source).
const SOON_DAYS: f64 = 14.0;

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let all = context.forecast.timeline.obligations();
    let last = context.case.visits.iter().map(|v| v.on).max();
    for (i, open) in all.iter().enumerate() {
        let before =
            all[..i].iter().filter(|o| o.observed == open.observed && o.visit != open.visit);
        let times = 1 + before.count();
        let later = all[i + 1..].iter().any(|o| o.observed == open.observed);
        let Some(visit) = context.case.visits.get(open.visit) else { continue };
        if later || last.is_none_or(|last| open.since < last && open.discharged.is_some()) {
            continue;
        }
        let Some((severity, message, why)) = told(context, open, times) else { continue };
        let place = visit.troubles.iter().map(|(_, place)| *place);
        let place = place.chain([visit.place]).next().unwrap_or(visit.place);
        let mut finding = Finding::new(RULE.code, severity, place, message).why(why);
        if let Some(tooth) = tooth_of(open.observed) {
            finding = finding.teeth([tooth]);
        }
        out.push(finding);
    }
}

fn tooth_of(observed: Observation) -> Option<Tooth> {
    match observed {
        Observation::Loose(t)
        | Observation::Out(t)
        | Observation::Poking(t)
        | Observation::SlideOpen(t) => Some(t),
        Observation::LostStop(spot) => Some(spot.tooth),
        Observation::NoWire(_) => None,
    }
}

type OpenFault = (Severity, String, &'static str);

fn told(context: &RuleContext<'_>, open: &Obligation, times: usize) -> Option<OpenFault> {
    let words = context.words();
    let name = |t: Tooth| words.tooth(t);
    let on = open.since;
    let stale = context.today.is_some_and(|today| days_between(on, today) > SOON_DAYS);
    let grave = if stale || times > 1 { Severity::Warning } else { Severity::Advice };
    let again = if times > 1 { format!(" for the {} time", nth(times)) } else { String::new() };
    Some(match open.observed {
        // Left open it has a rule of its own; here it counts.
        Observation::Loose(t) if times > 1 => (
            Severity::Warning,
            format!("The bracket of {} was off{again} on {on}.", name(t)),
            "A bracket that comes off again is bitten on, or was never dry.",
        ),
        Observation::Loose(_) => return None,
        Observation::LostStop(spot) => (
            grave,
            format!(
                "The stop {} was lost{again} on {on}, and no other is recorded.",
                words.spot(spot.along, spot.tooth)
            ),
            "How much wire has slid past since is not known.",
        ),
        Observation::Out(t) => (
            Severity::Warning,
            format!("The wire was out of {}{again} on {on}.", name(t)),
            "Where the tooth stands is not known any more; a wire that is too short comes out again.",
        ),
        Observation::Poking(t) => (
            grave,
            format!("The end poked at {}{again} on {on}.", name(t)),
            "Wire that is long on one side is short on the other: it has slid.",
        ),
        Observation::SlideOpen(t) => (
            Severity::Warning,
            format!("The slide of {} stayed open{again} on {on}.", name(t)),
            "The tooth has been out of the wire for some of the time since the visit before.",
        ),
        Observation::NoWire(arch) => {
            let hung = hangs(context, arch);
            let (severity, what) = match hung {
                Some(what) => (RULE.severity, format!(", and {what} pulls there")),
                None => (Severity::Warning, String::new()),
            };
            (
                severity,
                format!("The {arch} arch has had no wire since {on}{what}."),
                "Without a wire the teeth go back, and whatever pulls tips them.",
            )
        }
    })
}

/// Something pulls at an arch by the last record.
fn hangs(context: &RuleContext<'_>, arch: Arch) -> Option<&'static str> {
    let case = context.case;
    let now = context.now_step(case.arch(arch)?)?;
    let worn = context.forecast.timeline.elastics_in(arch, now);
    if !worn.is_empty() {
        return Some("elastics");
    }
    let step = case.arch(arch)?.steps.get(now)?;
    step.in_force().find_map(|act| match act.kind {
        ActKind::ClosingCoil { .. } => Some("a closing spring"),
        ActKind::Chain { .. } => Some("a chain"),
        ActKind::Traction { .. } => Some("traction"),
        _ => None,
    })
}

fn nth(times: usize) -> String {
    match times {
        2 => "second".to_owned(),
        3 => "third".to_owned(),
        n => format!("{n}th"),
    }
}
