//! Writes a sequence of wires as the smallest departure from the sequence that the arch follows.

use super::arch_text::{applied, arch_line};
use super::draft_step::say_steps;
use super::draft_step::{DraftAct, DraftStep};
use super::frame::{DraftFrame, UsualStep};
use crate::check::SourceText;
use springline_syntax::ast::{ArchStatement, PartList};
use springline_syntax::{ClauseKind, Id, InsertAt, TreeEditor};

/// One line of the departure.
#[derive(Debug, Clone, PartialEq, Eq)]
enum DepartureLine {
    /// The step of this index with this wire.
    Change(usize, usize),
    Skip(usize),
    /// A new step with the wire of this index before the usual step of that one.
    Insert {
        wire: usize,
        before: usize,
    },
}

/// What a departure costs: a wire of the same shape in place of another, a step left out, one added. Only their order
/// matters (value judgement, no source).
const CHANGED: u32 = 2;
const OTHER_SHAPE: u32 = 5;
const SKIPPED: u32 = 2;
const ADDED: u32 = 3;
/// More than any other way: a step that makes room or takes in is never one of the usual ones.
const NEVER: u32 = 1000;

/// The cheapest way from the usual steps to these, first the changes that come first. `lines`: what stands inside
/// each of them.
fn departure(
    usual: &[UsualStep],
    steps: &[DraftStep],
    lines: &[Vec<String>],
) -> Vec<DepartureLine> {
    let (n, m) = (usual.len(), steps.len());
    let swap = |i: usize, j: usize| match (&usual[i], &steps[j]) {
        (_, s) if !s.is_plain() => NEVER,
        (u, s) if u.wire.name == s.wire.name => 0,
        (u, s) if u.wire.section.is_round() == s.is_round() => CHANGED,
        _ => OTHER_SHAPE,
    };
    // Cost of what is left from usual step i and drafted step j on.
    let mut rest = vec![vec![0_u32; m + 1]; n + 1];
    for i in (0..=n).rev() {
        for j in (0..=m).rev() {
            let skip = (i < n).then(|| SKIPPED + rest[i + 1][j]);
            let add = (j < m).then(|| ADDED + rest[i][j + 1]);
            let both = (i < n && j < m).then(|| swap(i, j) + rest[i + 1][j + 1]);
            rest[i][j] = [both, skip, add].into_iter().flatten().min().unwrap_or(0);
        }
    }
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while i < n || j < m {
        if i < n && j < m && rest[i][j] == swap(i, j) + rest[i + 1][j + 1] {
            if swap(i, j) > 0 || lines.get(j).is_some_and(|l| !l.is_empty()) {
                out.push(DepartureLine::Change(i, j));
            }
            (i, j) = (i + 1, j + 1);
        } else if i < n && rest[i][j] == SKIPPED + rest[i + 1][j] {
            out.push(DepartureLine::Skip(i));
            i += 1;
        } else {
            out.push(DepartureLine::Insert { wire: j, before: i });
            j += 1;
        }
    }
    out
}

/// Lines by which these steps depart from the usual ones.
pub fn departures(frame: &DraftFrame, steps: &[DraftStep]) -> u32 {
    departure(&frame.usual, steps, &frame.lines(steps)).len() as u32
}

/// The text with these steps; as it is where they are the usual ones. `head` stands before the departures where
/// there are any, or where the arch had no steps before.
pub fn written(frame: &DraftFrame, steps: &[DraftStep], head: &[String]) -> Option<String> {
    let inside = frame.lines(steps);
    let lines = departure(&frame.usual, steps, &inside);
    let statements = frame.statements();
    let follow = statements.iter().find_map(|s| match s {
        ArchStatement::Follow(line) => Some(line.statement.id),
        _ => None,
    })?;
    let mut editor = TreeEditor::new(&frame.parse);
    let mut new: Vec<String> = Vec::new();
    if !lines.is_empty() || frame.began {
        new.extend(head.iter().cloned());
    }
    let skipped: Vec<&str> = lines
        .iter()
        .filter_map(|line| match line {
            DepartureLine::Skip(i) => Some(frame.usual[*i].name.as_str()),
            _ => None,
        })
        .collect();
    if !skipped.is_empty() {
        new.push(format!("skip {}", skipped.join(", ")));
    }
    let mut taken = frame.taken.clone();
    // The step that the next new one stands behind, where the last line was a new one.
    let mut behind: Option<(usize, String)> = None;
    for line in &lines {
        match line {
            DepartureLine::Skip(_) => {}
            DepartureLine::Change(i, j) => {
                let (name, wire) = (&frame.usual[*i].name, &steps[*j].wire.name);
                let own = statements.iter().find_map(|s| match s {
                    ArchStatement::Change(line) if line.step.text() == name => {
                        Some(line.statement.id)
                    }
                    _ => None,
                });
                let same = *wire == frame.usual[*i].wire.name;
                match own {
                    Some(id) if !same && frame.usual[*i].is_of_practice(wire) => {
                        without_wire(&mut editor, id, &inside[*j]);
                    }
                    Some(id) => {
                        if !same {
                            editor.set_clause(id, ClauseKind::Wire, wire);
                        }
                        for line in &inside[*j] {
                            editor.insert(InsertAt::LastIn(id), line);
                        }
                    }
                    None if same => new.push(with_block(format!("change {name}"), &inside[*j])),
                    None => {
                        new.push(with_block(format!("change {name}, wire {wire}"), &inside[*j]));
                    }
                }
            }
            DepartureLine::Insert { wire, before } => {
                let step = &steps[*wire];
                let (stem, kind) = match (&step.act, step.is_round()) {
                    (DraftAct::MakeRoom(_), _) => ("make-space", "align"),
                    (DraftAct::TakeIn | DraftAct::Overlay, _) => ("bring-in", "align"),
                    (DraftAct::Plain, true) => ("align", "align"),
                    (DraftAct::Plain, false) => ("level", "level"),
                };
                let name = free_name(stem, &taken);
                let beside = behind.take().filter(|(at, _)| at == before);
                let position = match (&beside, standing(frame, &lines, *before)) {
                    (Some((_, last)), _) => format!(" after {last}"),
                    (None, Some(position)) => position,
                    (None, None) => String::new(),
                };
                let wire_ends = match step.act {
                    DraftAct::Overlay => "wire keep".to_owned(),
                    _ => format!("wire {}, ends {}", step.wire.name, ends(frame, *before)),
                };
                let until = frame.room.as_ref().and_then(|room| room.until(step));
                let until = until.unwrap_or_else(|| "passive".to_owned());
                let head = format!(
                    "step {name} as {kind}{position}, {wire_ends}, until {until}, next computed"
                );
                new.push(with_block(head, &inside[*wire]));
                taken.push(name.clone());
                behind = Some((*before, name));
            }
        }
    }
    if !new.is_empty() {
        editor.insert(InsertAt::After(follow), &new.join("\n"));
    }
    applied(editor.finish()?, &frame.source.text)
}

/// The practice's own wire again: the clause goes, and the line with it where nothing else is on it.
fn without_wire(editor: &mut TreeEditor<'_>, id: Id, inside: &[String]) {
    let parse = editor.parse();
    let Some(line) = parse.line(id) else { return };
    let clauses: Vec<_> = line.step_clauses().into_iter().flat_map(PartList::spanned).collect();
    let wire = clauses.iter().find(|(_, said)| ClauseKind::of(said) == ClauseKind::Wire);
    let Some((span, _)) = wire else { return };
    if clauses.len() == 1 && line.children().next().is_none() && inside.is_empty() {
        editor.remove_but_remark(id);
        return;
    }
    editor.remove_part(*span);
    for line in inside {
        editor.insert(InsertAt::LastIn(id), line);
    }
}

/// The text as it was, with these steps told in a comment of the arch.
pub fn told(
    frame: &DraftFrame,
    source: &SourceText,
    steps: &[DraftStep],
    today: jiff::civil::Date,
) -> Option<String> {
    let parse = springline_syntax::parse(springline_text::FileId(0), &source.text);
    let arch = arch_line(&parse, frame.arch)?;
    let mut editor = TreeEditor::new(&parse);
    let said = say_steps(steps);
    let comment =
        format!("// drafted {today}, not a plan: every sequence has an error; the least: {said}");
    editor.insert(InsertAt::LastIn(arch.id), &comment);
    applied(editor.finish()?, &source.text)
}

/// A statement with these lines in its block.
fn with_block(head: String, lines: &[String]) -> String {
    match lines {
        [] => head,
        lines => format!("{head} {{\n  {}\n}}", lines.join("\n  ")),
    }
}

/// Where a new step stands: behind the usual step before it that stays, else before the first one.
fn standing(frame: &DraftFrame, lines: &[DepartureLine], before: usize) -> Option<String> {
    let stays = |i: &usize| !lines.contains(&DepartureLine::Skip(*i));
    if let Some(i) = (0..before).rev().find(stays) {
        return Some(format!(" after {}", frame.usual[i].name));
    }
    if let Some(i) = frame.fixed.checked_sub(1) {
        return frame.taken.get(i).map(|name| format!(" after {name}"));
    }
    let next = (before..frame.usual.len()).find(stays).map(|i| frame.usual[i].name.clone());
    let next = next.or_else(|| frame.taken.get(frame.fixed + frame.drafted).cloned());
    next.map(|name| format!(" before {name}"))
}

/// As the step has it that it stands behind, or before.
fn ends(frame: &DraftFrame, before: usize) -> &str {
    let step = before.checked_sub(1).and_then(|i| frame.usual.get(i)).or(frame.usual.first());
    step.map_or(&frame.ends, |s| &s.ends)
}

/// "align-2", or the next number that is free.
fn free_name(stem: &str, taken: &[String]) -> String {
    let free = |name: &String| !taken.contains(name);
    let numbered = (2..).map(|n| format!("{stem}-{n}"));
    std::iter::once(stem.to_owned()).chain(numbered).find(free).unwrap_or_default()
}
