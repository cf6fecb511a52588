//! Out and in: numbered, one action a line, what is unlike the usual marked with what the house has.

use super::{ArchDoing, DoLine};
use crate::emit::plan::{ArchToday, InMouth, Plan, VisitToday};

use crate::emit::{own_words, say};
use crate::model::house::Task;
use crate::model::provenance::Origin;
use crate::model::quantity::{degrees, grams, mm, plain};
use crate::model::step::{Act, ActKind, Activation, Departure, StepSource, Wing};
use crate::model::tooth::{Notation, Tooth};
use crate::rules::slide;

pub fn doing(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchDoing> {
    if today.visit.kind == Task::Debond {
        return debond(plan, today);
    }
    let again = today.arches.iter().filter_map(|arch| press_again(plan, arch));
    let changes = today.arches.iter().filter_map(|arch| {
        let next = arch.next?;
        let mut lines = Vec::new();
        match arch.now {
            Some(now) => out(plan, now, next, &mut lines),
            None => bond(plan, next, &mut lines),
        }
        if lost_its_stops(arch, next) {
            lines.push(DoLine::usual("No stop on the new wire."));
        }
        into(plan, arch, next, &mut lines);
        let what = match arch.now {
            None => "bond and in",
            Some(_) if arch.expected() => "out and in",
            Some(_) => "only if the test is passed",
        };
        let heading = format!("{}: {what}", say::arch(arch.arch.arch));
        Some(ArchDoing { arch: arch.arch.arch, heading, lines })
    });
    changes.chain(again).collect()
}

/// Coils that the plan has pressed again at each visit, where their wire stays.
fn press_again(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Option<ArchDoing> {
    let now = arch.now?;
    let n = plan.notation();
    let lines: Vec<DoLine> = now
        .state
        .acts
        .iter()
        .filter_map(|act| match &act.kind {
            ActKind::OpenCoil {
                first,
                second,
                activation: Activation::Pressed { by, each_visit: true },
                ..
            } => Some(DoLine::usual(format!(
                "Press the open coil {} together again: {} mm.",
                say::pair(*first, *second, n),
                plain(mm(*by))
            ))),
            _ => None,
        })
        .collect();
    let when = if arch.next.is_some() { "if the test is not passed" } else { "at this look" };
    let heading = format!("{}: {when}", say::arch(arch.arch.arch));
    (!lines.is_empty()).then_some(ArchDoing { arch: arch.arch.arch, heading, lines })
}

/// Brackets and tubes go on first.
fn bond(plan: &Plan<'_>, next: InMouth<'_>, lines: &mut Vec<DoLine>) {
    let n = plan.notation();
    let mut kinds: Vec<(String, Vec<Tooth>)> = Vec::new();
    for tooth in &next.state.teeth {
        let Some(bonding) = &tooth.bonding else { continue };
        let word = if bonding.bracket.on_band { "Cement" } else { "Bond" };
        let over = if bonding.inverted { ", upside down" } else { "" };
        let words = format!("{word} {}{over}", bonding.bracket.name);
        match kinds.iter_mut().find(|(w, _)| *w == words) {
            Some((_, teeth)) => teeth.push(tooth.tooth),
            None => kinds.push((words, vec![tooth.tooth])),
        }
    }
    for (words, teeth) in kinds {
        lines.push(DoLine::usual(format!("{words}: {}.", say::list(&teeth, n))));
    }
}

/// The stops leave with the old wire, and the new step wants none.
fn lost_its_stops(arch: &ArchToday<'_>, next: InMouth<'_>) -> bool {
    arch.now.is_some_and(|now| !now.stops().is_empty())
        && next.stops().is_empty()
        && !same_wire(arch.now, next)
}

fn same_wire(now: Option<InMouth<'_>>, next: InMouth<'_>) -> bool {
    next.state.wire.kept || now.is_some_and(|n| n.state.wire.same_wires(&next.state.wire))
}

/// What comes off and out.
fn out(plan: &Plan<'_>, now: InMouth<'_>, next: InMouth<'_>, lines: &mut Vec<DoLine>) {
    let n = plan.notation();
    let stays = |act: &Act| {
        next.state.acts.iter().any(|a| {
            a.kind == act.kind
                || matches!((&a.kind, &act.kind),
                    (ActKind::OpenCoil { first: a1, second: a2, .. }, ActKind::OpenCoil { first: b1, second: b2, .. })
                        if a1 == b1 && a2 == b2)
        })
    };
    let mut off = Vec::new();
    for act in now.state.acts.iter().filter(|a| !stays(a)) {
        match &act.kind {
            ActKind::Tie { teeth, .. } => off.push(format!("the tie on {}", say::list(teeth, n))),
            ActKind::Laceback { .. } => off.push("the lacebacks".to_owned()),
            ActKind::Chain { .. } => off.push("the chain".to_owned()),
            ActKind::ClosingCoil { .. } => off.push("the closing springs".to_owned()),
            ActKind::Piggyback { wire, .. } => off.push(format!("the piggyback {}", wire.name)),
            ActKind::BiteRaisers { teeth, .. } => {
                off.push(format!("the bite raisers on {}", say::list(teeth, n)));
            }
            _ => {}
        }
    }
    if !off.is_empty() {
        lines.push(DoLine::usual(format!("Take off {}.", say::and(&off))));
    }
    if !same_wire(Some(now), next) {
        let with = now.state.acts.iter().filter(|a| !stays(a)).find_map(|a| match a.kind {
            ActKind::OpenCoil { .. } => Some(" with its coil"),
            ActKind::ClosedCoil { .. } => Some(" with its coil"),
            _ => None,
        });
        lines.push(DoLine::usual(format!(
            "{} out{}.",
            now.state.wire.names(),
            with.unwrap_or_default()
        )));
    }
}

/// What goes on and in: teeth first, then the wire as it is made up, then what ties it.
fn into(plan: &Plan<'_>, arch: &ArchToday<'_>, next: InMouth<'_>, lines: &mut Vec<DoLine>) {
    let n = plan.notation();
    let acts = || next.step.acts.iter();
    for act in acts().filter(|a| before_wire(&a.kind)) {
        put(act, next, n, lines);
    }
    let stays = same_wire(arch.now, next);
    if !stays {
        let house = replaced(&next.step.departures, "wire");
        for act in acts().filter(|a| on_wire(&a.kind) || under_wire(&a.kind)) {
            let from = lines.len();
            put(act, next, n, lines);
            let was_there = |now: InMouth<'_>| now.state.acts.iter().any(|a| a.kind == act.kind);
            if under_wire(&act.kind) && arch.now.is_some_and(was_there) {
                lines[from..].iter_mut().for_each(|l| l.text = format!("Old one off. {}", l.text));
            }
        }
        let teeth = engaged(next);
        let text = format!("{} in: {}.", next.state.wire.names(), say::list(&teeth, n));
        lines.push(DoLine { text, house: house.or_else(|| added(arch, next)) });
        let halves: Vec<Tooth> = half(next);
        if !halves.is_empty() && !acts().any(|a| matches!(a.kind, ActKind::Engage { .. })) {
            let text = format!("One wing only, as before: {}.", say::list(&halves, n));
            lines.push(DoLine { text, house: None });
        }
    } else {
        for act in acts().filter(|a| on_wire(&a.kind)) {
            put(act, next, n, lines);
        }
    }
    if acts().any(|a| matches!(a.kind, ActKind::Stop { .. })) {
        // What they are for, so that a stop is not put on its other side by mistake.
        let said = slide::stops_say(plan.case, plan.forecast, arch.arch.arch, next.state.step);
        lines.extend(said.into_iter().map(|s| DoLine::usual(say::sentence(&s))));
    }
    for act in next.state.acts.iter().filter(|a| matches!(a.kind, ActKind::Bypass { .. })) {
        put(act, next, n, lines);
    }
    // A wire that stays comes out for what lies under it.
    let under = acts().filter(|a| stays && under_wire(&a.kind));
    for (act, mut line) in under.filter_map(|a| Some((a, action(&a.kind, n)?))) {
        line.truncate(line.trim_end_matches('.').len());
        let text = format!("{line}: wire out, tie, wire in again.");
        lines.push(DoLine { text, house: unusual(act, &next.step.departures) });
    }
    for act in acts().filter(|a| after_wire(&a.kind)) {
        put(act, next, n, lines);
    }
    for departure in next.step.departures.iter().filter(|d| d.here.is_none()) {
        if let Some(house) = &departure.house {
            lines.push(DoLine {
                text: format!("No {} here.", departure.what),
                house: Some(format!("House: {}.", own_words(house))),
            });
        }
    }
}

/// The step as a whole is the doctor's own.
fn added(arch: &ArchToday<'_>, next: InMouth<'_>) -> Option<String> {
    let own = next.step.source == StepSource::Added && arch.arch.follows.is_some();
    own.then(|| "An extra step, for this patient.".to_owned())
}

fn engaged(next: InMouth<'_>) -> Vec<Tooth> {
    next.state
        .teeth
        .iter()
        .filter(|t| t.status == crate::course::ToothStatus::Engaged)
        .map(|t| t.tooth)
        .collect()
}

fn half(next: InMouth<'_>) -> Vec<Tooth> {
    next.state
        .teeth
        .iter()
        .filter(|t| matches!(t.status, crate::course::ToothStatus::HalfEngaged(_)))
        .map(|t| t.tooth)
        .collect()
}

fn before_wire(kind: &ActKind) -> bool {
    matches!(
        kind,
        ActKind::Reduce { .. }
            | ActKind::Separators { .. }
            | ActKind::PickUp { .. }
            | ActKind::Rebond { .. }
            | ActKind::Reposition { .. }
            | ActKind::BiteRaisers { .. }
            | ActKind::Records { .. }
    )
}

fn on_wire(kind: &ActKind) -> bool {
    matches!(
        kind,
        ActKind::Coordinated
            | ActKind::ReverseCurve { .. }
            | ActKind::Bend { .. }
            | ActKind::Torque { .. }
            | ActKind::Post { .. }
            | ActKind::Stop { .. }
            | ActKind::Sleeve { .. }
            | ActKind::OpenCoil { .. }
            | ActKind::ClosedCoil { .. }
            | ActKind::Sectional { .. }
    )
}

/// Tied before the wire goes over it.
fn under_wire(kind: &ActKind) -> bool {
    matches!(kind, ActKind::Tie { .. } | ActKind::Laceback { .. })
}

fn after_wire(kind: &ActKind) -> bool {
    matches!(
        kind,
        ActKind::Engage { .. }
            | ActKind::Piggyback { .. }
            | ActKind::Chain { .. }
            | ActKind::ClosingCoil { .. }
            | ActKind::Trim { .. }
            | ActKind::Hold { .. }
            | ActKind::Note { .. }
    )
}

fn put(act: &Act, next: InMouth<'_>, n: Notation, lines: &mut Vec<DoLine>) {
    if let Some(text) = action(&act.kind, n) {
        lines.push(DoLine { text, house: unusual(act, &next.step.departures) });
    }
}

/// What the house has instead, where the case wrote this.
fn unusual(act: &Act, departures: &[Departure]) -> Option<String> {
    if act.origin < Origin::Case {
        return None;
    }
    if matches!(act.kind, ActKind::Note { .. }) {
        return None;
    }
    let keyword = act.kind.keyword();
    let house = departures.iter().filter(|d| &*d.what == keyword).find_map(|d| d.house.as_ref());
    Some(match house {
        Some(house) => format!("House: {}.", own_words(house)),
        None => format!("House: no {}.", noun(&act.kind)),
    })
}

fn noun(kind: &ActKind) -> String {
    match kind.keyword() {
        "engage" if matches!(kind, ActKind::Engage { wing: Wing::Both, .. }) => {
            "tooth taken in here".to_owned()
        }
        "pick-up" => "new bracket".to_owned(),
        "reposition" => "bracket moved".to_owned(),
        "ipr" => "enamel reduction".to_owned(),
        "engage" => "half engaged tooth".to_owned(),
        other => other.replace('-', " "),
    }
}

fn replaced(departures: &[Departure], what: &str) -> Option<String> {
    departures
        .iter()
        .find(|d| &*d.what == what)
        .and_then(|d| d.house.as_ref())
        .map(|house| format!("House: {}.", own_words(house)))
}

/// The sentence for the chair.
fn action(kind: &ActKind, n: Notation) -> Option<String> {
    Some(match kind {
        ActKind::Bypass { teeth, unbonded, .. } => {
            if *unbonded {
                format!("Leave {} without a bracket; the wire passes it.", say::list(teeth, n))
            } else {
                format!("Keep {} out of the wire.", say::list(teeth, n))
            }
        }
        ActKind::Engage { teeth, wing } => match wing {
            Wing::Both => format!("Take {} into the wire.", say::list(teeth, n)),
            Wing::Mesial => format!(
                "{}: mesial wing only, slide open, tie with a steel ligature.",
                say::list(teeth, n)
            ),
            Wing::Distal => format!(
                "{}: distal wing only, slide open, tie with a steel ligature.",
                say::list(teeth, n)
            ),
        },
        ActKind::PickUp { teeth, bracket, inverted, .. } => {
            let over = if *inverted { ", upside down" } else { "" };
            format!("Bond {} on {}{over}.", bracket.name, say::list(teeth, n))
        }
        ActKind::Rebond { teeth, .. } => {
            format!("Rebond {}, same place as before.", say::list(teeth, n))
        }
        ActKind::Reposition { teeth, to } => {
            let way = teeth.first().map(|t| say::stand(to, *t)).filter(|w| !w.is_empty());
            let way = way.map(|w| format!(": {w}")).unwrap_or_default();
            format!("Move the bracket on {}{way}.", say::list(teeth, n))
        }
        ActKind::Piggyback { wire, within, over } => {
            let over = if over.is_empty() {
                String::new()
            } else {
                format!(", tied over {}", say::and(&each(over, n)))
            };
            format!("Piggyback {} into {}{over}.", wire.name, say::list(within, n))
        }
        ActKind::OpenCoil { first, second, activation, .. } => match activation {
            Activation::Passive => {
                format!("Open coil stays {}; do not press it.", say::pair(*first, *second, n))
            }
            Activation::Pressed { by, each_visit } => format!(
                "Thread the open coil on the wire {}; it is pressed by {} mm{}.",
                say::pair(*first, *second, n),
                plain(mm(*by)),
                if *each_visit { ", and again at each visit" } else { "" }
            ),
            _ => format!("Thread the open coil on the wire {}.", say::pair(*first, *second, n)),
        },
        ActKind::ClosedCoil { first, second, hold, .. } => {
            let hold = hold.map(|l| format!(", holding {} mm", plain(mm(l)))).unwrap_or_default();
            format!("Thread the passive coil {}{hold}.", say::pair(*first, *second, n))
        }
        ActKind::ClosingCoil { pulls, coil, force } => {
            let force = force.or_else(|| coil.as_ref().and_then(|c| c.force));
            let pull = force.map(|f| {
                format!("; about {} on the gauge{}", grams_words(f), each_of(pulls.len()))
            });
            let all: Vec<String> = pulls
                .iter()
                .map(|(a, b)| format!("{} to {}", say::anchor(*a, n), say::anchor(*b, n)))
                .collect();
            format!("Hang the closing springs: {}{}.", say::and(&all), pull.unwrap_or_default())
        }
        ActKind::Chain { teeth, .. } => format!("Chain on {}.", say::list(teeth, n)),
        ActKind::Tie { teeth, figure_eight } => {
            let how = if *figure_eight { " in a figure-eight" } else { "" };
            format!("Tie {} together{how}, under the wire.", say::list(teeth, n))
        }
        ActKind::Laceback { pairs } => {
            let all: Vec<String> =
                pairs.iter().map(|(a, b)| format!("{} to {}", a.write(n), b.write(n))).collect();
            format!("Laceback {}, under the wire.", say::and(&all))
        }
        ActKind::Sleeve { spans } => {
            let all: Vec<String> = spans.iter().map(|(a, b)| say::pair(*a, *b, n)).collect();
            format!("Sleeve on the wire {}.", say::and(&all))
        }
        ActKind::BiteRaisers { teeth, .. } => {
            format!("Bite raisers on {}.", say::list(teeth, n))
        }
        ActKind::Reduce { amount, contacts } => {
            let all: Vec<String> =
                contacts.iter().map(|(a, b)| format!("{}/{}", a.write(n), b.write(n))).collect();
            format!(
                "Enamel reduction {} mm at {}. Measure with the gauge.",
                plain(mm(*amount)),
                say::and(&all)
            )
        }
        ActKind::Stop { spots } => {
            let place = if let [a, b] = spots.as_slice()
                && a.tooth.position() == 1
                && b.tooth == a.tooth.mirror()
            {
                "; in the midline gap, one against each bracket"
            } else {
                ", against the bracket"
            };
            let word = if spots.len() == 1 { "Stop" } else { "Stops" };
            format!("{word} {}{place}.", say::spots(spots, n))
        }
        ActKind::Post { spots } => {
            let word = if spots.len() == 1 { "Post" } else { "Posts" };
            format!("{word} on the wire {}.", say::spots(spots, n))
        }
        ActKind::ReverseCurve { depth } => {
            format!(
                "Reverse curve {} mm in the wire: premolars towards the bite, read there over 30 mm.",
                plain(mm(*depth))
            )
        }
        ActKind::Bend { teeth, by } => {
            let way = teeth.first().map(|t| say::stand(by, *t)).unwrap_or_default();
            format!("Bend at {}: {way}.", say::list(teeth, n))
        }
        ActKind::Torque { teeth, angle, turn } => {
            let way = teeth.first().map(|t| say::crown(*turn, *t)).unwrap_or_default();
            format!("Torque at {}: {} deg, {way}.", say::list(teeth, n), plain(degrees(*angle)))
        }
        ActKind::Coordinated => "Shape the wire to the other arch.".to_owned(),
        ActKind::Trim { teeth } => {
            format!("Cut the wire so that 1 mm stands out behind {}.", say::list(teeth, n))
        }
        ActKind::Sectional { teeth } => {
            format!("The wire runs over {} only.", say::list(teeth, n))
        }
        ActKind::Separators { teeth, .. } => format!("Separators at {}.", say::list(teeth, n)),
        ActKind::Hold { teeth, length } => {
            format!("Keep {} mm for {}.", plain(mm(*length)), say::list(teeth, n))
        }
        ActKind::Records { what, .. } => format!("Take records: {what}."),
        ActKind::Note { text } => own_words(text),
        ActKind::HaltIf { .. } => return None,
    })
}

fn each_of(count: usize) -> &'static str {
    if count > 1 { " for each" } else { "" }
}

/// Whole grams: what a gauge shows.
fn grams_words(force: crate::model::quantity::Force) -> String {
    format!("{} g", plain(grams(force).round()))
}

fn each(teeth: &[Tooth], n: Notation) -> Vec<String> {
    teeth.iter().map(|t| t.write(n)).collect()
}

fn debond(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchDoing> {
    let n = plan.notation();
    let mut out: Vec<ArchDoing> = Vec::new();
    for arch in &today.arches {
        let mut lines =
            vec![DoLine::usual("Wire out, then brackets and tubes off. Clean and polish.")];
        if let Some(retain) = &plan.case.retention {
            for (teeth, _) in &retain.fixed {
                let here = |t: &&Tooth| t.arch() == arch.arch.arch;
                let teeth: Vec<Tooth> = teeth.iter().filter(here).copied().collect();
                if !teeth.is_empty() {
                    let text = format!("Bond the retainer {}.", say::list(&teeth, n));
                    lines.push(DoLine::usual(text));
                }
            }
            if retain.night.iter().any(|(a, _)| *a == arch.arch.arch) {
                lines.push(DoLine::usual("Fit the night retainer; show how it goes in and out."));
            }
        }
        if out.len() + 1 == today.arches.len() {
            lines.push(DoLine::usual("Scan or impressions, then photographs."));
        }
        let heading = format!("{}: off", say::arch(arch.arch.arch));
        out.push(ArchDoing { arch: arch.arch.arch, heading, lines });
    }
    out
}
