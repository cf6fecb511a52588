//! A record that does not fit the plan.

use crate::prelude::*;
use jiff::civil::Date;
use springline_finding::Fix;
use springline_model::case::{ArchCase, ArchSeen, Case, Done, Found, Trouble};
use springline_model::step::Step;
use springline_text::nearest::nearest;
use springline_text::{Place, Span};

pub const RULE: Rule = Rule {
    code: "record/contradicts-plan",
    severity: Severity::Warning,
    page: include_str!("contradicts_plan.md"),
    check,
    ..Rule::PLAIN
};

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let case = context.case;
    let words = context.words();
    let latest = case.visits.len().saturating_sub(1);
    for (index, visit) in case.visits.iter().enumerate() {
        let mut said: Vec<Contradiction> = Vec::new();
        for seen in &visit.arches {
            let Some(arch) = case.arch(seen.arch) else {
                said.extend(of_no_arch(seen));
                continue;
            };
            // Not known while a line of the arch is typed.
            let now = context.step_on_arrival(index, seen.arch);
            let step = now.and_then(|now| arch.steps.get(now));
            if let Some(Found::Binds { teeth }) = &seen.found
                && let Some(now) = now
                && let Some(state) = context.forecast.timeline.planned(arch.arch, now)
            {
                let loose: Vec<Tooth> =
                    teeth.iter().copied().filter(|t| !reaches(state, *t)).collect();
                if !loose.is_empty() {
                    said.push(Contradiction {
                        place: seen.place,
                        message: format!(
                            "The wire binds at {}, which the plan leaves out of the wire.",
                            words.teeth(&loose)
                        ),
                        teeth: loose,
                        step: step.map(|s| s.name.clone()),
                        fixes: Vec::new(),
                        slip: false,
                    });
                }
            }
            said.extend(before_its_start(arch, seen, visit.on));
            said.extend(kept_without_a_wire(case, index, seen));
            if let Some(Done::Now { step: name, wire, tandem }) = &seen.done {
                let Some(at) = arch.steps.iter().position(|s| s.name == *name) else {
                    // The line that has the step may be the one that is typed.
                    if arch.is_unread() || arch.steps.is_empty() {
                        continue;
                    }
                    let names: Vec<&str> = arch.steps.iter().map(|s| s.name.as_ref()).collect();
                    let close = nearest(name, names.iter().copied());
                    let meant = match close.as_slice() {
                        [] => format!("it has {}", names.join(", ")),
                        _ => format!("perhaps {} is meant", close.join(" or ")),
                    };
                    let fixes = close
                        .iter()
                        .filter_map(|other| {
                            context
                                .fix(format!("write {other}"))
                                .set_field(
                                    seen.place,
                                    |line| line.holes(PlaceholderKind::Name).next(),
                                    other,
                                )
                                .done()
                        })
                        .collect();
                    said.push(Contradiction { place: seen.place, message: format!(
                            "The record names the step {name}, which the {} arch does not have; {meant}.",
                            seen.arch
                        ), teeth: Vec::new(), step: None, fixes, slip: true });
                    continue;
                };
                let planned = &arch.steps[at].wire;
                let same = planned.wire.name == wire.name
                    && planned.tandem.as_ref().map(|w| &w.name) == tandem.as_ref().map(|w| &w.name);
                if !same {
                    let now = springline_model::step::WireUse {
                        wire: wire.clone(),
                        tandem: tandem.clone(),
                        kept: false,
                    };
                    let plan = context
                        .fix(format!("change the plan to what was done: {} in {name}", now.names()))
                        .set_clause(arch, &arch.steps[at], ClauseKind::Wire, now.names())
                        .done();
                    let record = context
                        .fix(format!("correct the record: it was {}", planned.names()))
                        .set_field(seen.place, wires, &planned.names())
                        .done();
                    // The wire of a step beside it: then the name is the slip.
                    let has = |s: &&Step| s.wire.same_wires(&now) && s.name != *name;
                    let another = arch.steps.iter().find(has);
                    let perhaps =
                        another.map_or(String::new(), |s| format!(" {} has that wire.", s.name));
                    said.push(Contradiction {
                        place: seen.place,
                        message: format!(
                            "{name} was recorded with {} on {}; the plan has {}.{perhaps}",
                            wire.label(),
                            visit.on,
                            planned.label()
                        ),
                        teeth: Vec::new(),
                        step: Some(name.clone()),
                        fixes: [plan, record].into_iter().flatten().collect(),
                        // While a line of the arch is typed its plan may have lost a wire.
                        slip: another.is_some()
                            || !arch.is_unread() && is_in_the_mouth(case, index, seen.arch),
                    });
                }
            }
        }
        for (trouble, place) in &visit.troubles {
            let Trouble::LostStop { spots } = trouble else { continue };
            let placed = |spot: &springline_model::step::Spot| {
                case.arch(spot.tooth.arch()).is_some_and(|a| {
                    a.steps
                        .iter()
                        .flat_map(|s| s.in_force())
                        .any(|x| matches!(&x.kind, ActKind::Stop { spots } if spots.contains(spot)))
                })
            };
            if let Some(spot) = spots.iter().find(|s| !placed(s)) {
                said.push(Contradiction {
                    place: *place,
                    message: format!(
                        "A stop {} is recorded as lost; the plan has none there.",
                        words.spot(spot.along, spot.tooth)
                    ),
                    teeth: vec![spot.tooth],
                    step: None,
                    fixes: Vec::new(),
                    slip: false,
                });
            }
        }
        if !visit.wear.is_empty() && case.elastics.is_empty() {
            said.push(Contradiction {
                place: visit.place,
                message: "Elastics are recorded as worn or not worn, and the plan has none."
                    .to_owned(),
                teeth: Vec::new(),
                step: None,
                fixes: Vec::new(),
                slip: false,
            });
        }
        for Contradiction { place, message, teeth, step, fixes, slip } in said {
            // Earlier contradictions are history; only the last record needs a decision, what is in the mouth, and a slip.
            let severity = if index == latest || slip { RULE.severity } else { Severity::Advice };
            let mut finding = Finding::new(RULE.code, severity, place, message)
                .why("Either treatment differed from the card, or one of the two was written wrongly.")
                .teeth(teeth);
            if let Some(step) = step {
                finding = finding.step(step);
            }
            finding.fixes.extend(fixes);
            out.push(finding);
        }
    }
}

/// Work in an arch on a day before the one on which it starts: one of the two days is wrong, however long ago.
fn before_its_start(arch: &ArchCase, seen: &ArchSeen, on: Date) -> Option<Contradiction> {
    let (start, _) = arch.start.filter(|(start, _)| on < *start)?;
    let placed = matches!(seen.done, Some(Done::Now { .. }));
    let what = match placed {
        true => "got a wire",
        false => seen.found.as_ref().map(|_| "was tested")?,
    };
    Some(Contradiction {
        place: seen.place,
        message: format!("The {} arch {what} on {on}; it starts on {start}.", seen.arch),
        teeth: Vec::new(),
        step: None,
        fixes: Vec::new(),
        slip: placed,
    })
}

/// A wire that was kept, though the visit before took it out.
fn kept_without_a_wire(case: &Case, visit: usize, seen: &ArchSeen) -> Option<Contradiction> {
    let kept = matches!(seen.done, Some(Done::Kept | Done::SameWire));
    let earlier = case.visits.get(..visit).unwrap_or_default().iter().rev();
    let mut records = earlier.filter_map(|v| {
        let same = v.arches.iter().find(|a| a.arch == seen.arch)?;
        same.done.as_ref().map(|done| (v.on, done))
    });
    let (on, _) = records.next().filter(|(_, done)| kept && **done == Done::Out)?;
    let message = format!("The {} wire was kept, and it had been taken out on {on}.", seen.arch);
    Some(Contradiction {
        place: seen.place,
        message,
        teeth: Vec::new(),
        step: None,
        fixes: Vec::new(),
        slip: true,
    })
}

/// No later visit puts another wire into the arch: what this one names is still there.
fn is_in_the_mouth(case: &Case, visit: usize, arch: Arch) -> bool {
    let mut later = case.visits.iter().skip(visit + 1).flat_map(|v| &v.arches);
    !later.any(|seen| seen.arch == arch && matches!(seen.done, Some(Done::Now { .. } | Done::Out)))
}

/// What is told of an arch in which nothing is planned.
fn of_no_arch(seen: &ArchSeen) -> Option<Contradiction> {
    let tells = seen.found.is_some() || seen.done.is_some();
    tells.then(|| Contradiction {
        place: seen.place,
        message: format!("The record tells of the {} arch, and the plan has none.", seen.arch),
        teeth: Vec::new(),
        step: None,
        fixes: Vec::new(),
        slip: true,
    })
}

/// One contradiction, with its fixes.
struct Contradiction {
    place: Place,
    message: String,
    teeth: Vec<Tooth>,
    step: Option<std::sync::Arc<str>>,
    fixes: Vec<Fix>,
    /// A slip of the pen, which counts whenever it was made, or a wire that is still in the mouth.
    slip: bool,
}

/// The wires that a record names, after its step.
fn wires(line: StatementRef<'_>) -> Option<Span> {
    let mut names = line.holes(PlaceholderKind::Name).skip(1).map(FieldValue::span);
    let first = names.next()?;
    Some(names.fold(first, Span::to))
}

/// The wire, or a light wire over it, touches the tooth.
fn reaches(state: &springline_course::ArchState, tooth: Tooth) -> bool {
    use springline_course::ToothStatus;
    let status = state.status(tooth);
    status.is_in_wire() || status == ToothStatus::Piggyback
}
