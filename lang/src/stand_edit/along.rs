//! Moves a tooth along its arch: the room at its mesial contact becomes what is asked, that at its distal contact
//! changes by the opposite, and so its neighbours stay where they are.
//!
//! A contact without a line of its own has the room that the layout gives it, which for crowns out of line is a guess;
//! a line is written only where the room is another.

use super::{StandPlace, StandRefusal, ToothSaid, describes, rounded, said_of};
use crate::settled::settled;
use springline_course::{ArchLayout, BracketPosition};
use springline_lower::plausible::{self, Plausible, Verdict};
use springline_model::case::{ArchCase, Case};
use springline_model::stand::StandAxis;
use springline_syntax::ast::{GapLine, OverlapLine, StatementKind};
use springline_syntax::{InsertAt, Parse, StatementRef, TreeEditor};
use springline_text::{Edit, Place};
use springline_units::quantity::{Quantity, Unit, plain};
use springline_units::tooth::{Notation, Side, Tooth};
use std::collections::BTreeMap;

/// Rooms nearer to each other than this are the same: half of what is written, mm.
const SAME_MM: f64 = 0.005;

/// What is between a tooth and a neighbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactRoom {
    pub neighbour: Tooth,
    /// A gap along the contact line; less than nothing where the crowns overlap.
    pub mm: f64,
}

/// The text afterwards, and the rooms by it.
#[derive(Debug, Clone, PartialEq)]
pub struct AlongWritten {
    pub text: String,
    pub mesial: ContactRoom,
    /// `None` for the last tooth of its side.
    pub distal: Option<ContactRoom>,
}

/// The mesial contact of every tooth of a plan's arch, as entered.
pub fn mesial_contacts(arch: &ArchCase) -> BTreeMap<Tooth, ContactRoom> {
    let Some(layout) = ArchLayout::entered(arch) else { return BTreeMap::new() };
    let teeth = layout.teeth().iter().map(|t| t.tooth);
    teeth.filter_map(|tooth| Some((tooth, contacts(&layout, tooth).0?))).collect()
}

/// Writes into the plan that the room at a tooth's mesial contact is `mesial_mm`, and its distal one so much less.
pub fn write_along(
    text: &Parse,
    case: &Case,
    tooth: Tooth,
    mesial_mm: f64,
) -> Result<AlongWritten, StandRefusal> {
    let ToothSaid { block, .. } = said_of(text, case, tooth, StandPlace::Plan)?;
    let notation = case.house.notation.value;
    let alone = || StandRefusal::NoTooth(format!("{} has no neighbour.", tooth.write(notation)));
    let arch = case.arch(tooth.arch()).ok_or_else(alone)?;
    let layout = ArchLayout::entered(arch).ok_or_else(alone)?;
    let (mesial, distal) = contacts(&layout, tooth);
    let mesial = mesial.ok_or_else(alone)?;
    let asked = rounded(StandAxis::Space, mesial_mm);
    let by = asked - mesial.mm;
    let distal =
        distal.map(|room| ContactRoom { mm: rounded(StandAxis::Space, room.mm - by), ..room });
    let mesial = ContactRoom { mm: asked, ..mesial };
    let mut written = AlongWritten { text: text.source.to_string(), mesial, distal };
    // A figure that is none is no room either.
    if by.abs() < SAME_MM {
        return Ok(written);
    }
    let mut writing =
        ContactWriting { editor: TreeEditor::new(text), block, arch, notation, added: Vec::new() };
    for room in [Some(mesial), distal].into_iter().flatten() {
        plausible_room(room)?;
        writing.write(tooth, room)?;
    }
    let edits = writing.finish().ok_or(StandRefusal::Unreadable(None))?;
    written.text = settled(text, Edit::all_in(&edits, &text.source), Some(notation));
    Ok(written)
}

/// At the mesial and at the distal contact.
fn contacts(layout: &ArchLayout, tooth: Tooth) -> (Option<ContactRoom>, Option<ContactRoom>) {
    let teeth = layout.teeth();
    let Some(at) = teeth.iter().position(|t| t.tooth == tooth) else { return (None, None) };
    let room = |beside: Option<usize>| {
        let other = teeth.get(beside?)?;
        Some(ContactRoom { neighbour: other.tooth, mm: between_mm(&teeth[at], other) })
    };
    let (to_right, to_left) = (room(at.checked_sub(1)), room(at.checked_add(1)));
    match tooth.side() {
        Side::Right => (to_left, to_right),
        Side::Left => (to_right, to_left),
    }
}

fn between_mm(a: &BracketPosition, b: &BracketPosition) -> f64 {
    (a.crown_centre_mm - b.crown_centre_mm).abs() - 0.5 * (a.crown_mm + b.crown_mm)
}

fn plausible_room(room: ContactRoom) -> Result<(), StandRefusal> {
    let place: Plausible = if room.mm < 0.0 { plausible::OVERLAP } else { plausible::GAP };
    let size = room.mm.abs();
    let is_figure = size.is_finite();
    if is_figure && place.judge(Quantity::new(size, Unit::Mm)) != Verdict::Impossible {
        return Ok(());
    }
    let why = format!(
        "{} mm cannot be {}: it is {} as a rule.",
        plain(size),
        place.what,
        place.range_text()
    );
    Err(StandRefusal::Implausible { axis: StandAxis::Space, why })
}

struct ContactWriting<'p> {
    editor: TreeEditor<'p>,
    block: StatementRef<'p>,
    arch: &'p ArchCase,
    notation: Notation,
    /// Lines that still need a place.
    added: Vec<String>,
}

impl ContactWriting<'_> {
    fn write(&mut self, tooth: Tooth, room: ContactRoom) -> Result<(), StandRefusal> {
        let said = self.lines_of(tooth, room.neighbour);
        if let [_, second, ..] = said.as_slice() {
            let what = format!("The room beside {}", tooth.write(self.notation));
            return Err(StandRefusal::Twice { what, place: second.place() });
        }
        let is_needed = !self.is_without_lines(tooth, room);
        match (said.first(), is_needed) {
            (Some(line), true) => {
                let line = *line;
                let length = GapLine::cast(line)
                    .map(|gap| gap.length)
                    .or_else(|| OverlapLine::cast(line).map(|overlap| overlap.length))
                    .ok_or(StandRefusal::Unreadable(Some(line.place())))?;
                let (whole, figure) = (line.span(), length.span());
                let rest = &line.parse.source[figure.end as usize..whole.end as usize];
                let text = format!("{}{rest}", words(room.mm));
                self.editor.replace(whole, &text);
            }
            (Some(line), false) => self.editor.remove_but_remark(line.id),
            (None, true) => {
                let (first, second) = match tooth < room.neighbour {
                    true => (tooth, room.neighbour),
                    false => (room.neighbour, tooth),
                };
                let [first, second] = [first, second].map(|t| t.write(self.notation));
                self.added.push(format!("{} between {first} and {second}", words(room.mm)));
            }
            (None, false) => {}
        }
        Ok(())
    }

    /// The lines that say how far those two are apart.
    fn lines_of(&self, a: Tooth, b: Tooth) -> Vec<StatementRef<'_>> {
        let is_theirs =
            |first: Tooth, second: Tooth| (first, second) == (a, b) || (first, second) == (b, a);
        let gaps = self.arch.gaps.iter().filter(|g| is_theirs(g.first, g.second)).map(|g| g.place);
        let overlaps =
            self.arch.overlaps.iter().filter(|o| is_theirs(o.first, o.second)).map(|o| o.place);
        let places: Vec<Place> = gaps.chain(overlaps).collect();
        self.block.children().filter(|line| places.contains(&line.place())).collect()
    }

    /// The layout gives them this room by itself, or by what was read from points.
    fn is_without_lines(&self, tooth: Tooth, room: ContactRoom) -> bool {
        let is_other = |first: Tooth, second: Tooth| {
            ![first, second].contains(&tooth) || ![first, second].contains(&room.neighbour)
        };
        let mut bare = self.arch.clone();
        bare.gaps.retain(|g| is_other(g.first, g.second));
        bare.overlaps.retain(|o| is_other(o.first, o.second));
        if let Some(reading) = &self.arch.reading {
            let is_theirs = |first: Tooth, second: Tooth| !is_other(first, second);
            let (gaps, overlaps) = (reading.gaps.iter(), reading.overlaps.iter());
            bare.gaps.extend(gaps.filter(|g| is_theirs(g.first, g.second)).cloned());
            bare.overlaps.extend(overlaps.filter(|o| is_theirs(o.first, o.second)).cloned());
        }
        let layout = ArchLayout::entered(&bare);
        let (mesial, distal) = layout.map(|l| contacts(&l, tooth)).unwrap_or_default();
        let itself = [mesial, distal].into_iter().flatten();
        itself
            .filter(|contact| contact.neighbour == room.neighbour)
            .any(|contact| (contact.mm - room.mm).abs() < SAME_MM)
    }

    /// New lines stand behind what describes the teeth.
    fn finish(mut self) -> Option<Vec<springline_text::Edit>> {
        if !self.added.is_empty() {
            let is_before = |line: &StatementRef<'_>| {
                use StatementKind::{ArchTooth, Gap, Overlap};
                describes(*line) || matches!(line.kind(), Some(ArchTooth | Gap | Overlap))
            };
            let last = self.block.children().filter(is_before).last();
            let at = last.map_or(InsertAt::FirstIn(self.block.id), |l| InsertAt::After(l.id));
            self.editor.insert(at, &self.added.join("\n"));
        }
        self.editor.finish()
    }
}

fn words(room_mm: f64) -> String {
    let word = if room_mm < 0.0 { "overlap" } else { "gap" };
    format!("{word} {} mm", plain(room_mm.abs()))
}
