//! Staff card: the wire change as numbered instructions, one per line, with departures from the
//! practice's usual way marked.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::action::{Chair, INVERTED};
use super::{ActionLine, ArchActions};
use crate::plan::{ArchToday, InMouth, Plan, VisitToday};
use crate::{dates, masked, wording};
use springline_course::teeth_bonded;
use springline_model::house::Task;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Activation, Departure, EndKind, StepSource};
use springline_model::traction::TractionBy;
use springline_units::quantity::{mm, plain};
use springline_units::tooth::{Side, Tooth};

/// Note beside everything unusual for the practice: an instruction, never a prohibition.
pub const ONLY_HERE: &str = "For this patient only.";

/// `loose`: teeth whose bracket is off, with the day that was recorded.
pub fn wire_change(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    loose: &BTreeMap<Tooth, Date>,
) -> Vec<ArchActions> {
    if today.visit.kind == Task::Debond {
        return debond(plan, today);
    }
    let again = today.arches.iter().filter_map(|arch| press_again(plan, arch));
    let changes = today.arches.iter().filter_map(|arch| {
        let next = arch.next?;
        let mut lines = Vec::new();
        match arch.now {
            Some(now) => out(plan, arch, now, next, &mut lines),
            None => bond(plan, arch, next, &mut lines),
        }
        if lost_its_stops(arch, next) {
            lines.push(ActionLine::usual("No stop on the new wire."));
        }
        into(plan, arch, next, loose, &mut lines);
        if lines.is_empty() {
            lines.push(ActionLine::usual("Nothing changes on the wire."));
        }
        let what = match arch.now {
            None => "bond and place wire".to_owned(),
            Some(_) if arch.expected() && same_wire(arch.now, next) => {
                "next step, same wire".to_owned()
            }
            Some(_) if arch.expected() => "change wire".to_owned(),
            Some(_) => super::test::only_if(plan, arch),
        };
        let heading = format!("{}: {what}", wording::arch(arch.arch.arch));
        Some(ArchActions { arch: arch.arch.arch, heading, lines })
    });
    changes.chain(again).collect()
}

/// Coils that the plan has pressed again at each visit, where their wire stays, and chains and traction, which have lost
/// much of their pull.
fn press_again(plan: &Plan<'_>, arch: &ArchToday<'_>) -> Option<ArchActions> {
    let now = arch.now?;
    let n = plan.notation();
    let lines: Vec<ActionLine> = now
        .acts()
        .filter_map(|act| match &act.kind {
            ActKind::OpenCoil {
                first,
                second,
                activation: Activation::Pressed { by, each_visit: true },
                ..
            } => Some(ActionLine::usual(format!(
                "Press the open coil {} together again: {} mm.",
                wording::pair(*first, *second, n),
                plain(mm(*by))
            ))),
            ActKind::Chain { teeth, .. } => Some(ActionLine::usual(format!(
                "New chain over the wire on {}: the old one has lost its pull.",
                wording::list(teeth, n)
            ))),
            ActKind::Traction { teeth, by, force, .. } => Some(ActionLine::usual(renewed(
                &wording::list(teeth, n),
                *by,
                &wording::traction_g(*force),
            ))),
            _ => None,
        })
        .collect();
    let when = if arch.next.is_some() { "if the test is not passed" } else { "at this look" };
    let heading = format!("{}: {when}", wording::arch(arch.arch.arch));
    (!lines.is_empty()).then_some(ArchActions { arch: arch.arch.arch, heading, lines })
}

/// What is done to traction at every look at it.
fn renewed(teeth: &str, by: TractionBy, grams: &str) -> String {
    match by {
        TractionBy::ElasticThread => {
            format!("Traction on {teeth}: new thread, {grams} on the gauge.")
        }
        TractionBy::Chain => format!("Traction on {teeth}: new chain, {grams} on the gauge."),
        TractionBy::GoldChain => {
            format!("Traction on {teeth}: take up the gold chain, {grams} on the gauge.")
        }
    }
}

/// Brackets and tubes go on first.
fn bond(plan: &Plan<'_>, arch: &ArchToday<'_>, next: InMouth<'_>, lines: &mut Vec<ActionLine>) {
    let n = plan.notation();
    let mut kinds: Vec<(String, Vec<Tooth>)> = Vec::new();
    for tooth in &next.state.teeth {
        let Some(bonding) = &tooth.bonding else { continue };
        let word = if bonding.bracket.on_band { "Cement" } else { "Bond" };
        let over = if bonding.inverted { INVERTED } else { "" };
        let words = format!("{word} {}{over}", bonding.bracket.name);
        match kinds.iter_mut().find(|(w, _)| *w == words) {
            Some((_, teeth)) => teeth.push(tooth.tooth),
            None => kinds.push((words, vec![tooth.tooth])),
        }
    }
    for (words, teeth) in kinds {
        lines.push(ActionLine::usual(format!("{words}: {}.", wording::list(&teeth, n))));
    }
    // Other brackets have theirs from the maker.
    let has_none = |t: &&Tooth| {
        let bonding = next.state.tooth(**t).and_then(|s| s.bonding.as_ref());
        bonding.is_some_and(|b| !b.bracket.hooks.contains(*t))
    };
    let hooks: Vec<Tooth> = arch.arch.hooks.iter().filter(has_none).copied().collect();
    if !hooks.is_empty() {
        lines.push(ActionLine::usual(format!("With a hook: {}.", wording::list(&hooks, n))));
    }
}

/// The stops are removed with the old wire, and the new step has none.
fn lost_its_stops(arch: &ArchToday<'_>, next: InMouth<'_>) -> bool {
    arch.now.is_some_and(|now| !now.stops().is_empty())
        && next.stops().is_empty()
        && !same_wire(arch.now, next)
}

fn same_wire(now: Option<InMouth<'_>>, next: InMouth<'_>) -> bool {
    next.state.wire.kept || now.is_some_and(|n| n.state.wire.same_wires(&next.state.wire))
}

/// What comes off and out.
fn out(
    plan: &Plan<'_>,
    arch: &ArchToday<'_>,
    now: InMouth<'_>,
    next: InMouth<'_>,
    lines: &mut Vec<ActionLine>,
) {
    let n = plan.notation();
    let stays = same_wire(Some(now), next);
    let mut off = Vec::new();
    let mut coil = "";
    for (act, _) in arch.off_with_change() {
        match &act.kind {
            ActKind::Tie { teeth, .. } => {
                off.push(format!("the tie on {}", wording::list(teeth, n)))
            }
            ActKind::Laceback { .. } => off.push("the lacebacks".to_owned()),
            ActKind::Chain { .. } => off.push("the chain".to_owned()),
            ActKind::ClosingCoil { .. } => off.push("the closing springs".to_owned()),
            ActKind::Piggyback { wire, .. } => off.push(format!("the piggyback {}", wire.name)),
            ActKind::BiteRaisers { teeth, .. } => {
                off.push(format!("the bite raisers on {}", wording::list(teeth, n)));
            }
            ActKind::PowerArm { teeth, .. } => {
                off.push(format!("the power arms on {}", wording::list(teeth, n)));
            }
            ActKind::Traction { teeth, .. } => {
                off.push(format!("the traction on {}", wording::list(teeth, n)));
            }
            ActKind::Separators { teeth, .. } => {
                off.push(format!("the separators at {}", wording::list(teeth, n)));
            }
            ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
                if stays {
                    off.push(format!("the coil {}", wording::pair(*first, *second, n)));
                }
                coil = " with its coil";
            }
            _ => {}
        }
    }
    if !off.is_empty() {
        lines.push(ActionLine::usual(format!("Take off {}.", wording::and(&off))));
    }
    if !stays {
        lines.push(ActionLine::usual(format!("{} out{coil}.", now.state.wire.names())));
    }
}

/// What is attached and inserted: teeth first, then the prepared wire, then what ties it.
fn into(
    plan: &Plan<'_>,
    arch: &ArchToday<'_>,
    next: InMouth<'_>,
    loose: &BTreeMap<Tooth, Date>,
    lines: &mut Vec<ActionLine>,
) {
    let chair = Chair { arch: arch.arch, next, notation: plan.notation() };
    let put_on = arch.put_on();
    let acts = || put_on.iter().copied();
    let off = still_off(arch, next, loose);
    lines.extend(rebond_first(plan, &off, loose));
    for act in acts().filter(|a| before_wire(&a.kind)) {
        add_action(act, chair, lines);
    }
    let stays = same_wire(arch.now, next);
    if stays {
        on_the_wire_that_stays(arch, chair, lines);
    } else {
        new_wire(arch, chair, &off, lines);
    }
    for spots in acts().filter_map(stop_spots) {
        if !stays {
            lines.push(ActionLine::usual(chair.crimp(spots)));
        }
    }
    if acts().any(|a| stop_spots(a).is_some()) {
        // What they are for, so that a stop is not put on its other side by mistake.
        let said = next.phase.sliding(plan.house()).stops_say(plan.notation());
        let said = said.into_iter().chain(next.phase.stops_do(plan.house()));
        lines.extend(said.into_iter().map(|s| ActionLine::usual(wording::sentence(&s))));
    }
    for act in next.acts().filter(|a| matches!(a.kind, ActKind::Bypass { .. })) {
        add_action(act, chair, lines);
    }
    // A wire that stays is removed temporarily to reach what is under it.
    let under = acts().filter(|a| stays && under_wire(&a.kind));
    for (act, mut line) in under.filter_map(|a| Some((a, chair.action(&a.kind)?))) {
        line.truncate(line.trim_end_matches('.').len());
        let text = format!("{line}: wire out, tie, wire in again.");
        lines.push(ActionLine { text, house: unusual(act, &next.step.departures) });
    }
    for act in acts().filter(|a| after_wire(&a.kind)) {
        insertion_lines(act, chair, &off, lines);
    }
    lines.extend(ends(arch, next));
    for departure in next.step.departures.iter().filter(|d| d.here.is_none()) {
        if let Some(house) = &departure.house {
            lines.push(ActionLine {
                text: format!("No {} here.", words_of(&departure.what)),
                house: Some(not_here(house)),
            });
        }
    }
}

fn stop_spots(act: &Act) -> Option<&[springline_model::step::Spot]> {
    match &act.kind {
        ActKind::Stop { spots } => Some(spots),
        _ => None,
    }
}

/// Teeth of this arch that the step would have in the wire, and that have no bracket.
fn still_off(arch: &ArchToday<'_>, next: InMouth<'_>, loose: &BTreeMap<Tooth, Date>) -> Vec<Tooth> {
    let mended: Vec<Tooth> = next.step.acts.iter().flat_map(teeth_bonded).collect();
    let here = |t: &&Tooth| t.arch() == arch.arch.arch && !mended.contains(t);
    loose.keys().filter(here).copied().collect()
}

fn rebond_first(plan: &Plan<'_>, off: &[Tooth], loose: &BTreeMap<Tooth, Date>) -> Vec<ActionLine> {
    off.iter()
        .map(|tooth| {
            let since = loose.get(tooth).map(|day| dates::long(*day)).unwrap_or_default();
            let tooth = tooth.write(plan.notation());
            ActionLine {
                text: format!("{tooth} has no bracket: rebond it, or leave it out of the wire."),
                house: Some(format!("Recorded loose on {since}. The doctor decides.")),
            }
        })
        .collect()
}

/// Made up before it goes in; then which teeth it lies in.
fn new_wire(arch: &ArchToday<'_>, chair: Chair<'_>, off: &[Tooth], lines: &mut Vec<ActionLine>) {
    let (next, n) = (chair.next, chair.notation);
    let house = replaced(&next.step.departures, "wire");
    let acts = || next.step.acts.iter();
    for act in acts().filter(|a| on_wire(&a.kind) || under_wire(&a.kind)) {
        let from = lines.len();
        add_action(act, chair, lines);
        let was_there = |now: InMouth<'_>| now.acts().any(|a| a.kind == act.kind);
        if under_wire(&act.kind) && arch.now.is_some_and(was_there) {
            lines[from..].iter_mut().for_each(|l| l.text = format!("Old one off. {}", l.text));
        }
    }
    let mut teeth = engaged(next);
    teeth.retain(|t| !off.contains(t));
    let base = match acts().any(|a| matches!(a.kind, ActKind::Piggyback { .. })) {
        true => " as the base wire",
        false => "",
    };
    let text = format!("{} in{base}: {}.", next.state.wire.names(), wording::list(&teeth, n));
    lines.push(ActionLine { text, house: house.or_else(|| added(arch, next)) });
    let halves: Vec<Tooth> = half(next);
    if !halves.is_empty() && !acts().any(|a| matches!(a.kind, ActKind::Engage { .. })) {
        lines.push(ActionLine::usual(format!(
            "One wing only, as before: {}.",
            wording::list(&halves, n)
        )));
    }
}

fn on_the_wire_that_stays(arch: &ArchToday<'_>, chair: Chair<'_>, lines: &mut Vec<ActionLine>) {
    let next = chair.next;
    let passed = next.step.acts.iter().find_map(|a| match &a.kind {
        ActKind::Piggyback { within, .. } => Some(within),
        _ => None,
    });
    if let Some(passed) = passed {
        let teeth = wording::list(passed, chair.notation);
        lines.push(ActionLine::usual(format!(
            "{} stays in as the base wire, straight past {teeth}: do not bend it.",
            next.state.wire.names()
        )));
    }
    for act in arch.put_on().into_iter().filter(|a| on_wire(&a.kind)) {
        if let Some(line) = pressed_anew(arch, act, chair) {
            lines.push(line);
            continue;
        }
        match stop_spots(act) {
            // Only a split one goes on a wire that is in.
            Some(spots) => lines.push(ActionLine {
                text: format!("Split stop on the wire that is in. {}", chair.crimp(spots)),
                house: unusual(act, &next.step.departures),
            }),
            None => add_action(act, chair, lines),
        }
    }
}

/// The same coil is on the wire already, and stays.
fn pressed_anew(arch: &ArchToday<'_>, act: &Act, chair: Chair<'_>) -> Option<ActionLine> {
    let ActKind::OpenCoil { first, second, coil, activation } = &act.kind else { return None };
    let there = |a: &Act| match &a.kind {
        ActKind::OpenCoil { first: a, second: b, coil: on, .. } => {
            (a, b) == (first, second) && (coil.is_none() || coil == on)
        }
        _ => false,
    };
    let off = arch.off_with_change().any(|(a, _)| there(a));
    if off || !arch.now.is_some_and(|now| now.acts().any(there)) {
        return None;
    }
    let between = wording::pair(*first, *second, chair.notation);
    let text = match activation {
        Activation::Pressed { by, .. } => {
            format!("Press the open coil {between} together again: {} mm.", plain(mm(*by)))
        }
        Activation::Passive => return None,
        _ => format!("Press the open coil {between} together again."),
    };
    Some(ActionLine { text, house: unusual(act, &chair.next.step.departures) })
}

/// Both ends of a wire that goes in today, or whose ends are to be another way.
fn ends(arch: &ArchToday<'_>, next: InMouth<'_>) -> Option<ActionLine> {
    let ends = &next.state.ends;
    // Written on another line, the same ends are no order.
    let as_before = arch.now.is_some_and(|now| {
        let now = &now.state.ends;
        now.right.value == ends.right.value && now.left.value == ends.left.value
    });
    // Not written for a wire that stays, they stay as they are.
    let unsaid = [&ends.right, &ends.left].iter().all(|e| e.origin < Origin::House);
    if arch.same_wire() && (as_before || unsaid) {
        return None;
    }
    let (right, left) = (wording::end(&ends.right.value), wording::end(&ends.left.value));
    let mut text = if right == left {
        format!("Both ends: {right}.")
    } else {
        format!("Patient\u{2019}s right end: {right}. Left end: {left}.")
    };
    let bent = [Side::Right, Side::Left]
        .iter()
        .any(|s| matches!(ends.of(*s).kind, EndKind::TurnedIn | EndKind::Cinched));
    if next.state.wire.wire.alloy.is_niti() && bent && !arch.same_wire() {
        text.push_str(
            " NiTi springs back: flame the ends before it goes in, or cinch-back pliers.",
        );
    }
    // One departure for each end.
    let departs = next.step.departures.iter().filter(|d| &*d.what == "ends");
    let usual: Vec<&str> = departs.filter_map(|d| d.house.as_deref()).collect();
    let house = (!usual.is_empty()).then(|| not_here(&usual.join(", ")));
    Some(ActionLine { text, house })
}

/// The step as a whole is the doctor's own.
fn added(arch: &ArchToday<'_>, next: InMouth<'_>) -> Option<String> {
    let own = next.step.source == StepSource::Added && arch.arch.follows.is_some();
    own.then(|| "An extra step, for this patient only.".to_owned())
}

fn engaged(next: InMouth<'_>) -> Vec<Tooth> {
    next.state
        .teeth
        .iter()
        .filter(|t| t.status == springline_course::ToothStatus::Engaged)
        .map(|t| t.tooth)
        .collect()
}

fn half(next: InMouth<'_>) -> Vec<Tooth> {
    next.state
        .teeth
        .iter()
        .filter(|t| matches!(t.status, springline_course::ToothStatus::HalfEngaged(_)))
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
            | ActKind::PowerArm { .. }
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
            | ActKind::Traction { .. }
            | ActKind::Chain { .. }
            | ActKind::ClosingCoil { .. }
            | ActKind::Trim { .. }
            | ActKind::Hold { .. }
            | ActKind::Note { .. }
    )
}

fn add_action(act: &Act, chair: Chair<'_>, lines: &mut Vec<ActionLine>) {
    if let Some(mut text) = chair.action(&act.kind) {
        if matches!(act.kind, ActKind::ClosingCoil { .. } | ActKind::Chain { .. }) {
            let teeth = act.kind.teeth();
            let slid = chair.next.phase.slid.iter().filter(|c| teeth.contains(&c.tooth));
            let said = slid.map(|c| format!(" Forecast: {}.", c.say_at_chair(chair.notation)));
            text.extend(said);
        }
        lines.push(ActionLine { text, house: unusual(act, &chair.next.step.departures) });
    }
}

/// A tooth without its bracket is not taken into the wire.
fn insertion_lines(act: &Act, chair: Chair<'_>, off: &[Tooth], lines: &mut Vec<ActionLine>) {
    let without: Vec<Tooth> = match &act.kind {
        ActKind::Engage { teeth, .. } | ActKind::Piggyback { within: teeth, .. } => {
            teeth.iter().filter(|t| off.contains(t)).copied().collect()
        }
        _ => Vec::new(),
    };
    let from = lines.len();
    add_action(act, chair, lines);
    if !without.is_empty() {
        let teeth = wording::list(&without, chair.notation);
        for line in &mut lines[from..] {
            line.text = format!("Once {teeth} has its bracket again: {}", line.text);
        }
    }
}

/// What the practice has instead, where the case wrote this.
fn unusual(act: &Act, departures: &[Departure]) -> Option<String> {
    if act.origin < Origin::Case || matches!(act.kind, ActKind::Note { .. }) {
        return None;
    }
    let keyword = act.kind.keyword();
    let usual = departures.iter().filter(|d| &*d.what == keyword).find_map(|d| d.house.as_ref());
    Some(match usual {
        Some(usual) => not_here(usual),
        None => ONLY_HERE.to_owned(),
    })
}

/// A keyword in words: "bite raisers".
fn words_of(keyword: &str) -> String {
    match keyword {
        "reduce" | "ipr" => "interproximal reduction".to_owned(),
        "closed-coil" => "passive coil".to_owned(),
        "closing-coil" => "closing spring".to_owned(),
        other => other.replace('-', " "),
    }
}

fn replaced(departures: &[Departure], what: &str) -> Option<String> {
    departures
        .iter()
        .find(|d| &*d.what == what)
        .and_then(|d| d.house.as_ref())
        .map(|usual| not_here(usual))
}

fn not_here(usual: &str) -> String {
    format!("Usual here: {}. Not for this patient.", masked(usual))
}

fn debond(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<ArchActions> {
    let n = plan.notation();
    let mut out: Vec<ArchActions> = Vec::new();
    for arch in &today.arches {
        let on_wire = super::comes_off::with_the_wire(plan, arch);
        let on_wire = if on_wire.is_empty() {
            String::new()
        } else {
            format!(" with {}", wording::and(&on_wire))
        };
        let mut lines = vec![ActionLine::usual(format!(
            "Wire out{on_wire}, then brackets and tubes off. Clean and polish."
        ))];
        lines.extend(super::comes_off::with_appliance(plan, arch).map(ActionLine::usual));
        if let Some(retain) = &plan.case.retention {
            for (teeth, _) in &retain.fixed {
                let here = |t: &&Tooth| t.arch() == arch.arch.arch;
                let teeth: Vec<Tooth> = teeth.iter().filter(here).copied().collect();
                if !teeth.is_empty() {
                    let text = format!("Bond the retainer {}.", wording::list(&teeth, n));
                    lines.push(ActionLine::usual(text));
                }
            }
            if retain.night.iter().any(|(a, _)| *a == arch.arch.arch) {
                lines.push(ActionLine::usual(
                    "Fit the night retainer; show how it goes in and out.",
                ));
            }
        }
        if out.len() + 1 == today.arches.len() {
            lines.push(ActionLine::usual("Scan or impressions, then photographs."));
        }
        let heading = format!("{}: debond", wording::arch(arch.arch.arch));
        out.push(ArchActions { arch: arch.arch.arch, heading, lines });
    }
    out
}
