//! Staff card: the wire change as numbered instructions, one per line, with departures from the
//! practice's usual way marked.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::action::{Chair, INVERTED};
use super::wire_out::{fresh_coil, is_on_already, out_and_in, stays, with_coils};
use super::{ActionLine, ArchActions, wire_left_in};
use crate::elastics_today::WornIf;
use crate::plan::{ArchToday, InMouth, Plan, VisitToday};
use crate::{dates, masked, wording};
use springline_course::teeth_bonded;
use springline_model::house::Task;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Departure, End, EndKind, Ends, Spot, StepSource, Wing};
use springline_units::tooth::{Notation, Side, Tooth};

/// Note beside everything unusual for the practice: an instruction, never a prohibition.
pub const ONLY_HERE: &str = "For this patient only.";

/// `loose`: teeth whose bracket is off, with the day that was recorded.
pub fn wire_change(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    loose: &BTreeMap<Tooth, Date>,
) -> Vec<ArchActions> {
    if today.visit.kind == Task::Debond {
        return super::debond::actions(plan, today);
    }
    let left_in = today.arches.iter().filter_map(|arch| wire_left_in::lines(plan, arch));
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
            let bands = today.elastics_today(plan).iter().any(|e| match &e.worn {
                WornIf::Passed(gates) | WornIf::NotPassed(gates) => gates.contains(&arch.arch.arch),
                WornIf::Always | WornIf::UnlessMet => false,
            });
            lines.push(ActionLine::usual(match bands {
                true => "Nothing changes on the wire; the elastics do.",
                false => "Nothing changes on the wire.",
            }));
        }
        let what = match arch.now {
            None => "bond and place wire".to_owned(),
            Some(_) if arch.expected() && stays(arch) => "next step, same wire".to_owned(),
            Some(_) if arch.expected() => "change wire".to_owned(),
            Some(_) => super::test::only_if(plan, arch),
        };
        let heading = format!("{}: {what}", wording::arch(arch.arch.arch));
        Some(ArchActions { arch: arch.arch.arch, heading, lines })
    });
    changes.chain(left_in).collect()
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
    arch.now.is_some_and(|now| !now.stops().is_empty()) && next.stops().is_empty() && !stays(arch)
}

/// What comes off and out: first what lies over the wire, then the wire, then what is tied under it.
fn out(
    plan: &Plan<'_>,
    arch: &ArchToday<'_>,
    now: InMouth<'_>,
    next: InMouth<'_>,
    lines: &mut Vec<ActionLine>,
) {
    let n = plan.notation();
    let mut over = Vec::new();
    let mut under = Vec::new();
    let mut threaded = Vec::new();
    let mut drawn: Vec<Tooth> = Vec::new();
    for (act, _) in arch.off_with_change() {
        match &act.kind {
            ActKind::Tie { teeth, .. } => {
                under.push(format!("the tie on {}", wording::list(teeth, n)))
            }
            ActKind::Laceback { .. } => under.push("the lacebacks".to_owned()),
            ActKind::Chain { .. } => over.push("the chain".to_owned()),
            ActKind::ClosingCoil { .. } => over.push("the closing springs".to_owned()),
            ActKind::Piggyback { wire, .. } => over.push(format!("the piggyback {}", wire.name)),
            ActKind::BiteRaisers { teeth, .. } => {
                over.push(format!("the bite raisers on {}", wording::list(teeth, n)));
            }
            ActKind::PowerArm { teeth, .. } => {
                over.push(format!("the power arms on {}", wording::list(teeth, n)));
            }
            ActKind::Traction { teeth, .. } => {
                over.push(format!("the traction on {}", wording::list(teeth, n)));
                drawn.extend(teeth);
            }
            ActKind::Separators { teeth, .. } => {
                over.push(format!("the separators at {}", wording::list(teeth, n)));
            }
            ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
                threaded.push(format!("the coil {}", wording::pair(*first, *second, n)));
            }
            _ => {}
        }
    }
    if !over.is_empty() {
        lines.push(ActionLine::usual(format!("Take off {}.", wording::and(&over))));
    }
    lines.extend(surgeons_chain_off(next, &drawn, n));
    let (name, coils) = (now.state.wire.names(), with_coils(now));
    let (stays, out) = (stays(arch), !stays(arch) || out_and_in(arch));
    if stays && out && !threaded.is_empty() {
        lines.push(ActionLine::usual(format!(
            "{name} out{coils}; {} off it.",
            wording::and(&threaded)
        )));
    } else if out {
        lines.push(ActionLine::usual(format!("{name} out{coils}.")));
    }
    if !under.is_empty() && out {
        lines.push(ActionLine::usual(format!("Take off {}.", wording::and(&under))));
    } else if !under.is_empty() {
        let what = wording::and(&under);
        lines.push(ActionLine::usual(format!(
            "Cut {what} and draw it out from under the wire, which stays in."
        )));
    }
}

/// A tooth that was drawn carries what the surgeon bonded, where its bracket is to go.
fn surgeons_chain_off(next: InMouth<'_>, drawn: &[Tooth], n: Notation) -> Option<ActionLine> {
    let bonded = next.step.acts.iter().flat_map(teeth_bonded);
    let teeth: Vec<Tooth> = bonded.filter(|t| drawn.contains(t)).collect();
    (!teeth.is_empty()).then(|| {
        ActionLine::usual(format!(
            "Take the surgeon\u{2019}s chain and pad off {}; polish, rinse and dry.",
            wording::list(&teeth, n)
        ))
    })
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
    // A film is looked at before a bracket is moved.
    let (films, others): (Vec<&Act>, Vec<&Act>) = acts()
        .filter(|a| before_wire(&a.kind))
        .partition(|a| matches!(a.kind, ActKind::Records { .. }));
    for act in films.into_iter().chain(others) {
        add_action(act, chair, lines);
    }
    let in_place = stays(arch) && !out_and_in(arch);
    if in_place {
        on_the_wire_that_stays(plan, arch, chair, lines);
    } else {
        new_wire(arch, chair, &off, lines);
    }
    for spots in acts().filter_map(stop_spots) {
        if !in_place {
            lines.push(ActionLine::usual(stops_crimped(plan, chair, spots)));
        }
    }
    for act in next.acts().filter(|a| matches!(a.kind, ActKind::Bypass { .. })) {
        add_action(act, chair, lines);
    }
    for act in acts()
        .filter(|a| after_wire(&a.kind) && (in_place || !is_in_with(act_teeth(a), next, &off)))
    {
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

/// How stops are crimped, with what they are for, so that none is put on its other side by mistake.
fn stops_crimped(plan: &Plan<'_>, chair: Chair<'_>, spots: &[Spot]) -> String {
    let said = chair.next.phase.sliding(plan.house()).stops_say(plan.notation());
    let said = said.into_iter().chain(chair.next.phase.stops_do(plan.house()));
    let what_for: Vec<String> = said.map(|s| wording::sentence(&s)).collect();
    [chair.crimp(spots)].into_iter().chain(what_for).collect::<Vec<_>>().join(" ")
}

/// Teeth that are taken into the wire by both wings, and by nothing else.
fn act_teeth(act: &Act) -> &[Tooth] {
    match &act.kind {
        ActKind::Engage { teeth, wing: Wing::Both } => teeth,
        _ => &[],
    }
}

/// The wire that goes in lies in all of them: said with it.
fn is_in_with(teeth: &[Tooth], next: InMouth<'_>, off: &[Tooth]) -> bool {
    let engaged = engaged(next);
    !teeth.is_empty() && teeth.iter().all(|t| engaged.contains(t) && !off.contains(t))
}

fn stop_spots(act: &Act) -> Option<&[Spot]> {
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
    let put_on = arch.put_on();
    for act in put_on.iter().copied().filter(|a| on_wire(&a.kind) || under_wire(&a.kind)) {
        if let Some(text) =
            fresh_coil(&act.kind, n).filter(|_| stays(arch) && is_on_already(arch, act))
        {
            lines.push(ActionLine { text, house: unusual(act, &next.step.departures) });
            continue;
        }
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
    let joined = acts().find(|a| is_in_with(act_teeth(a), next, off));
    let with = joined.map(|a| format!(", now with {}", wording::list(act_teeth(a), n)));
    let again = if stays(arch) { " again" } else { "" };
    let text = format!(
        "{} in{again}{base}: {}{}.",
        next.state.wire.names(),
        wording::list(&teeth, n),
        with.unwrap_or_default()
    );
    let house = house.or_else(|| added(arch, next)).filter(|_| !stays(arch));
    let own = joined.and_then(|a| unusual(a, &next.step.departures));
    lines.push(ActionLine { text, house: house.or(own) });
    let halves: Vec<Tooth> = half(next);
    if !halves.is_empty() && !acts().any(|a| matches!(a.kind, ActKind::Engage { .. })) {
        lines.push(ActionLine::usual(format!(
            "One wing only, as before: {}.",
            wording::list(&halves, n)
        )));
    }
}

fn on_the_wire_that_stays(
    plan: &Plan<'_>,
    arch: &ArchToday<'_>,
    chair: Chair<'_>,
    lines: &mut Vec<ActionLine>,
) {
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
        match stop_spots(act) {
            // Only a split one goes on a wire that is in.
            Some(spots) => lines.push(ActionLine {
                text: format!(
                    "Split stop on the wire that is in. {}",
                    stops_crimped(plan, chair, spots)
                ),
                house: unusual(act, &next.step.departures),
            }),
            None => add_action(act, chair, lines),
        }
    }
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
        return out_and_in(arch).then(|| ActionLine::usual("Both ends as before."));
    }
    let mut text = both_ends(ends);
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
    let house = (!usual.is_empty()).then(|| not_here(&usual_ends(&usual)));
    Some(ActionLine { text, house })
}

/// The ends as the practice has them, from the words of its file: "turned-in slack 2 mm on right".
fn usual_ends(usual: &[&str]) -> String {
    let said: Vec<(String, &str)> = usual
        .iter()
        .filter_map(|text| text.rsplit_once(" on "))
        .map(|(how, side)| {
            let how = match how.split_once(" slack ") {
                Some((kind, slack)) => format!("{}, {slack} behind the tube", end_kind(kind)),
                None => end_kind(how).to_owned(),
            };
            (how, side)
        })
        .collect();
    match said.as_slice() {
        [(right, _), (left, _)] if right == left => format!("both ends {right}"),
        each => each
            .iter()
            .map(|(how, side)| format!("{side} end {how}"))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

fn end_kind(word: &str) -> &str {
    match word {
        "turned-in" => "turned in lightly",
        "free" => "left free",
        "flush" => "cut flush with the tube",
        other => other,
    }
}

fn both_ends(ends: &Ends) -> String {
    // Without a length it is that of the practice.
    let how = |end: &End| match (end.kind, end.slack) {
        (EndKind::TurnedIn, None) => format!("{}, as usual here", wording::end(end)),
        _ => wording::end(end),
    };
    let (right, left) = (how(&ends.right.value), how(&ends.left.value));
    if right == left {
        format!("Both ends: {right}.")
    } else {
        format!("Patient\u{2019}s right end: {right}. Left end: {left}.")
    }
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

#[cfg(test)]
mod tests {
    use super::usual_ends;

    #[test]
    fn the_usual_ends_are_said_in_words() {
        let right = "turned-in slack 2 mm on right";
        assert_eq!(
            usual_ends(&[right, "turned-in slack 2 mm on left"]),
            "both ends turned in lightly, 2 mm behind the tube"
        );
        assert_eq!(
            usual_ends(&[right, "free on left"]),
            "right end turned in lightly, 2 mm behind the tube, left end left free"
        );
        assert_eq!(usual_ends(&["cinched on left"]), "left end cinched");
    }
}
