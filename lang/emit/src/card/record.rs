//! Staff card: the visit record form. Every line has the wording of a recorded visit, so that it can be
//! typed as it stands.

use super::RecordLine;
use super::RecordPart::{self, Key, Tick, Word, Write};
use super::{examine, expander};
use crate::plan::{ArchToday, Plan, VisitToday};
use springline_model::house::Task;

/// What the boxes of the test and of the wire mean.
fn means(today: &VisitToday<'_>) -> String {
    let closes = if today.is_ligated() { "the ligature goes on" } else { "the slide closes" };
    format!(
        "passive: the wire lies at the base of every slot opened, no finger pressure, {closes} without force. \
         nearly-passive: light finger pressure; ask the doctor. active: it bends beside a slot. binds at: it \
         does not slide through that slot. kept: left in. same-wire: taken out and put back."
    )
}

fn word(text: impl Into<String>) -> RecordPart {
    Word(text.into())
}

fn tick(text: impl Into<String>) -> RecordPart {
    Tick(text.into())
}

pub fn form(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<RecordLine> {
    let n = plan.notation();
    let mut out = vec![RecordLine(vec![
        word(format!("seen {}", today.visit.date)),
        word("by"),
        Write("initials"),
        word(format!("as {}", as_kind(today.visit.kind))),
        tick("done as-planned"),
    ])];
    for arch in &today.arches {
        out.push(RecordLine(match today.visit.kind {
            Task::Debond => vec![word(arch.arch.arch.word()), tick("out")],
            _ => arch_line(arch),
        }));
    }
    if out.iter().any(|l| l.0.contains(&tick("same-wire"))) {
        out.push(RecordLine(vec![Key(means(today))]));
    }
    let measures = examine::measures(plan, today);
    let mut line = Vec::new();
    for tooth in &measures.spaces {
        line.extend([word(format!("tooth {} space", tooth.write(n))), Write("mm")]);
    }
    for (a, b) in &measures.gaps {
        line.extend([
            word("gap"),
            Write("mm"),
            word(format!("between {} and {}", a.write(n), b.write(n))),
        ]);
    }
    for teeth in expander::read_today(plan, today) {
        line.extend([word(format!("expanded {teeth}")), Write("mm")]);
    }
    for tooth in &measures.drawn {
        line.extend([word(format!("tooth {} gingival", tooth.write(n))), Write("mm")]);
    }
    if measures.overjet {
        // Where it was ever reversed, its direction must be recorded.
        match plan.case.is_reverse() {
            true => line.extend([tick("overjet"), tick("reverse-overjet"), Write("mm")]),
            false => line.extend([word("overjet"), Write("mm")]),
        }
    }
    if measures.overbite {
        match examine::has_open_bite(plan) {
            true => line.extend([tick("overbite"), tick("open-bite"), Write("mm")]),
            false => line.extend([word("overbite"), Write("mm")]),
        }
    }
    for (wanted, what) in [(measures.molars, "molars"), (measures.canines, "canines")] {
        for side in ["right", "left"].into_iter().filter(|_| wanted) {
            line.push(word(format!("{what} {side}")));
            line.extend([tick("class-1"), tick("class-2"), tick("class-3"), Write("mm")]);
        }
    }
    if !measures.over_the_bite.is_empty() {
        let teeth: Vec<String> = measures.over_the_bite.iter().map(|t| t.write(n)).collect();
        line.push(tick(format!("crossbite-corrected {}", teeth.join(", "))));
    }
    for arch in &measures.midlines {
        line.extend([
            word(format!("{arch} midline")),
            tick("on face"),
            Write("mm"),
            tick("to patient-right"),
            tick("to patient-left"),
            word("of face"),
        ]);
    }
    if !line.is_empty() {
        out.push(RecordLine(line));
    }
    let stays = !matches!(today.visit.kind, Task::Debond | Task::RetainerCheck);
    if stays && today.arches.iter().any(|a| a.now.is_some()) {
        let mut line = vec![word("loose"), Write("brackets")];
        if has_stops(today) {
            line.extend([word("lost stop"), Write("place")]);
        }
        line.extend([word("out"), Write("wire out of"), word("poking"), Write("teeth")]);
        if !today.is_ligated() {
            line.extend([word("slide-open"), Write("teeth")]);
        }
        out.push(RecordLine(line));
    }
    out.push(RecordLine(last_line(today)));
    out
}

fn as_kind(kind: Task) -> &'static str {
    match kind {
        Task::Reposition | Task::Coil | Task::Elastics => Task::WireChange.word(),
        other => other.word(),
    }
}

fn arch_line(arch: &ArchToday<'_>) -> Vec<RecordPart> {
    let mut line = vec![word(arch.arch.arch.word())];
    if arch.now.is_some() {
        line.extend([
            tick("passive"),
            tick("nearly-passive"),
            tick("active"),
            tick("binds at"),
            Write("teeth"),
            word(","),
            tick("kept"),
            tick("same-wire"),
        ]);
    }
    if let Some(next) = arch.next {
        line.push(tick(format!("now {} with {}", next.step.name, next.state.wire.names())));
    }
    line
}

fn has_stops(today: &VisitToday<'_>) -> bool {
    today.arches.iter().filter_map(|a| a.now).any(|m| !m.stops().is_empty())
}

fn last_line(today: &VisitToday<'_>) -> Vec<RecordPart> {
    let mut line = Vec::new();
    if today.arches.iter().any(|a| a.now.is_some()) {
        line.extend([word("pain"), Write(""), word("of 10")]);
    }
    if today.was_worn() {
        for side in ["right", "left"] {
            line.push(word(format!("wear {side}")));
            line.extend([tick("good"), tick("partly"), tick("none")]);
        }
    }
    line.push(word("hygiene"));
    line.extend([tick("good"), tick("fair"), tick("poor")]);
    line.extend([word("note"), Write("long")]);
    line
}
