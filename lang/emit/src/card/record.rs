//! Staff card: the visit record form. Every line has the wording of a recorded visit, so that it can be
//! typed as it stands.

use super::RecordLine;
use super::RecordPart::{self, Key, Tick, Word, Write};
use super::examine::LineWay;
use super::{examine, expander};
use crate::plan::{ArchToday, Plan, VisitToday};
use crate::wording;
use jiff::civil::Date;
use springline_model::house::Task;
use springline_model::stand::InOut;
use springline_model::step::ActKind;
use springline_units::tooth::Tooth;

/// What the boxes of the test, where there is one, and of the wire mean.
fn means(today: &VisitToday<'_>) -> String {
    let closes = if today.is_ligated() { "the ligature goes on" } else { "the slide closes" };
    let test = format!(
        "passive: the wire lies at the base of every slot opened, no finger pressure, {closes} without force. \
         nearly-passive: light finger pressure; ask the doctor. active: it bends beside a slot. binds at: it \
         does not slide through that slot. "
    );
    let test = if today.arches.iter().any(|a| a.now.is_some()) { test } else { String::new() };
    format!("{test}kept: left in. same-wire: taken out and put back.")
}

fn word(text: impl Into<String>) -> RecordPart {
    Word(text.into())
}

fn tick(text: impl Into<String>) -> RecordPart {
    Tick(text.into())
}

/// What is said in one statement of the language, in the order of the form.
#[derive(Debug, Clone, PartialEq)]
pub struct RecordStatement {
    pub parts: Vec<RecordPart>,
    pub rule: RecordRule,
}

/// How a statement is made of its parts once they are filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RecordRule {
    /// The line that opens the visit.
    Head,
    /// Words as they stand, with what is ticked and written in.
    Plain,
    /// What an arch was like, what was done, or both.
    ArchSeen,
    /// In the middle, or so far to a side.
    Midline,
    /// Explains; says nothing.
    Key,
}

fn said(rule: RecordRule, parts: Vec<RecordPart>) -> RecordStatement {
    RecordStatement { parts, rule }
}

fn plain(parts: Vec<RecordPart>) -> RecordStatement {
    said(RecordRule::Plain, parts)
}

/// The form of a planned visit, as it is printed.
pub fn form(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<RecordLine> {
    let lines = statements(plan, today, today.visit.date, today.visit.kind);
    let flat = |line: Vec<RecordStatement>| line.into_iter().flat_map(|s| s.parts).collect();
    lines.into_iter().map(|line| RecordLine(flat(line))).collect()
}

/// Kinds of visit at which no wire is tested.
fn is_between(kind: Task) -> bool {
    matches!(kind, Task::Repair | Task::Emergency)
}

/// The same statement by statement, for a visit of that day and kind.
pub fn statements(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    on: Date,
    kind: Task,
) -> Vec<Vec<RecordStatement>> {
    let mut head = vec![head(on, kind)];
    if !is_between(kind) {
        head.push(plain(vec![tick("done as-planned")]));
    }
    let mut out = vec![head];
    for arch in &today.arches {
        let name = word(arch.arch.arch.word());
        let parts = match kind {
            Task::Debond => vec![name, tick("out")],
            _ if is_between(kind) && arch.now.is_none() => continue,
            _ if is_between(kind) => vec![name, tick("kept"), tick("same-wire"), tick("out")],
            _ => arch_line(arch),
        };
        out.push(vec![said(RecordRule::ArchSeen, parts)]);
    }
    if !is_between(kind) && out.iter().flatten().any(|s| s.parts.contains(&tick("same-wire"))) {
        out.push(vec![said(RecordRule::Key, vec![Key(means(today))])]);
    }
    out.extend(Some(measured(plan, today)).filter(|line| !line.is_empty() && !is_between(kind)));
    let stays = !matches!(kind, Task::Debond | Task::RetainerCheck);
    if stays && today.arches.iter().any(|a| a.now.is_some()) {
        out.push(troubles(today));
    }
    out.push(last_line(today));
    out
}

/// Where nothing is known of what is in the mouth: what was found and done, in words.
pub fn of_a_note(on: Date, kind: Task) -> Vec<Vec<RecordStatement>> {
    vec![vec![head(on, kind)], vec![note()]]
}

fn head(on: Date, kind: Task) -> RecordStatement {
    let kind = word(format!("as {}", as_kind(kind)));
    said(RecordRule::Head, vec![word(format!("seen {on}")), word("by"), Write("initials"), kind])
}

fn note() -> RecordStatement {
    plain(vec![word("note"), Write("long")])
}

/// What is measured at this visit.
fn measured(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<RecordStatement> {
    let n = plan.notation();
    let measures = examine::measures(plan, today);
    let figure = |before: String| plain(vec![word(before), Write("mm")]);
    let mut line = Vec::new();
    for tooth in &measures.spaces {
        line.push(figure(format!("tooth {} space", tooth.write(n))));
    }
    for (a, b) in &measures.gaps {
        let between = word(format!("between {} and {}", a.write(n), b.write(n)));
        line.push(plain(vec![word("gap"), Write("mm"), between]));
    }
    for teeth in expander::read_today(plan, today) {
        line.push(figure(format!("expanded {teeth}")));
    }
    for (tooth, way) in measures.ways(plan) {
        let name = format!("tooth {}", tooth.write(n));
        line.push(match way {
            LineWay::UpDown => figure(format!("{name} gingival")),
            LineWay::InOut => {
                let [out, inwards] =
                    [InOut::Labial, InOut::Lingual].map(|way| tick(wording::in_out(way, tooth)));
                plain(vec![word(name), out, inwards, Write("mm")])
            }
        });
    }
    if measures.overjet {
        // Where it was ever reversed, its direction must be recorded.
        line.push(match plan.case.is_reverse() {
            true => plain(vec![tick("overjet"), tick("reverse-overjet"), Write("mm")]),
            false => figure("overjet".to_owned()),
        });
    }
    if measures.overbite {
        line.push(match examine::has_open_bite(plan) {
            true => plain(vec![tick("overbite"), tick("open-bite"), Write("mm")]),
            false => figure("overbite".to_owned()),
        });
    }
    for (wanted, what) in [(measures.molars, "molars"), (measures.canines, "canines")] {
        for side in ["right", "left"].into_iter().filter(|_| wanted) {
            let classes = ["class-1", "class-2", "class-3"].map(tick);
            let asked = [word(format!("{what} {side}"))].into_iter().chain(classes);
            line.push(plain(asked.chain([Write("mm")]).collect()));
        }
    }
    for teeth in raised(today) {
        let teeth: Vec<String> = teeth.iter().map(|t| t.write(n)).collect();
        line.push(plain(vec![tick(format!("bite-raisers-off {}", teeth.join(", ")))]));
    }
    if !measures.over_the_bite.is_empty() {
        let teeth: Vec<String> = measures.over_the_bite.iter().map(|t| t.write(n)).collect();
        line.push(plain(vec![tick(format!("crossbite-corrected {}", teeth.join(", ")))]));
    }
    for arch in &measures.midlines {
        line.push(said(
            RecordRule::Midline,
            vec![
                word(format!("{arch} midline")),
                tick("on face"),
                Write("mm"),
                tick("to patient-right"),
                tick("to patient-left"),
                word("of face"),
            ],
        ));
    }
    line
}

/// What went wrong since the visit before.
fn troubles(today: &VisitToday<'_>) -> Vec<RecordStatement> {
    let list = |what: &str, of| plain(vec![word(what), Write(of)]);
    let mut line = vec![list("loose", "brackets")];
    if has_stops(today) {
        line.push(list("lost stop", "place"));
    }
    line.extend([list("out", "wire out of"), list("poking", "teeth")]);
    if !today.is_ligated() {
        line.push(list("slide-open", "teeth"));
    }
    line
}

/// Bite raisers that the patient comes with.
fn raised<'a>(today: &VisitToday<'a>) -> Vec<&'a [Tooth]> {
    let acts = today.arches.iter().filter_map(|a| a.now).flat_map(|now| now.acts());
    let raisers = acts.filter_map(|act| match &act.kind {
        ActKind::BiteRaisers { teeth, .. } => Some(teeth.as_slice()),
        _ => None,
    });
    raisers.collect()
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

fn last_line(today: &VisitToday<'_>) -> Vec<RecordStatement> {
    let mut line = Vec::new();
    if today.arches.iter().any(|a| a.now.is_some()) {
        line.push(plain(vec![word("pain"), Write(""), word("of 10")]));
    }
    if today.was_worn() {
        for side in ["right", "left"] {
            let asked = word(format!("wear {side}"));
            line.push(plain(vec![asked, tick("good"), tick("partly"), tick("none")]));
        }
    }
    line.push(plain(vec![word("hygiene"), tick("good"), tick("fair"), tick("poor")]));
    line.push(note());
    line
}
