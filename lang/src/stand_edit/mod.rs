//! Writes where one tooth stands, with the smallest change of the text that says so.
//!
//! On a line of its own only the clause changes. Out of a line that it shares with others a tooth is taken, and
//! gets a line of its own below. Where nothing is said of it, its line is put among the others in the order of the
//! arch. What other lines say, their order, notation and remarks stay. Where the text says a thing twice or cannot be
//! read, nothing is guessed: the answer is the reason.

mod along;
mod clause;
mod relist;
mod tooth_line;

use std::collections::BTreeMap;
use std::fmt;

use jiff::civil::Date;

use crate::settled::settled;
use springline_lower::plausible::{self, Plausible, Verdict};
use springline_model::case::{Case, ToothState};
use springline_model::measured_block::MeasuredBlock;
use springline_model::provenance::Origin;
use springline_model::stand::{Stand, StandAxis};
use springline_syntax::ast::{SeenLine, StatementKind};
use springline_syntax::{Id, InsertAt, Parse, StatementRef, TreeEditor};
use springline_text::{Edit, Place};
use springline_units::quantity::{Quantity, Unit, plain};
use springline_units::tooth::{Arch, Notation, Tooth};

pub use along::{AlongWritten, ContactRoom, mesial_contacts, write_along};
pub use clause::stand_clause;
use relist::{Relisted, relist};
use tooth_line::{ToothLine, tooth_lines};

/// Where it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StandPlace {
    /// In the plan: how the tooth stands at the start.
    Plan,
    /// In the visit of that day, which is in the text already: what was measured then.
    Visit(Date),
}

/// What becomes of each part of a stand, as signed figures (see [`Stand::figure`]): `None` takes the part out,
/// a part that is not named stays.
pub type StandChange = BTreeMap<StandAxis, Option<f64>>;

/// The text afterwards, and where the tooth stands by it.
#[derive(Debug, Clone, PartialEq)]
pub struct StandWritten {
    pub text: String,
    pub stand: Stand,
}

/// Why nothing was written.
#[derive(Debug, Clone, PartialEq)]
pub enum StandRefusal {
    /// A line that may bear on it cannot be read.
    Unreadable(Option<Place>),
    /// The text says it twice.
    Twice { what: String, place: Place },
    /// The arch's teeth are a pattern spread from its crowding: one tooth described would end it for all.
    Pattern(Place),
    /// A figure that cannot be.
    Implausible { axis: StandAxis, why: String },
    /// There is no such crown to stand anywhere.
    NoTooth(String),
    /// No visit of that day is recorded.
    NoVisit(Date),
    /// A remark stands between what would be joined.
    Remark(Place),
}

impl StandRefusal {
    /// A word for programs.
    pub fn kind(&self) -> &'static str {
        match self {
            StandRefusal::Unreadable(_) => "unreadable",
            StandRefusal::Twice { .. } => "twice",
            StandRefusal::Pattern(_) => "pattern",
            StandRefusal::Implausible { .. } => "implausible",
            StandRefusal::NoTooth(_) => "tooth",
            StandRefusal::NoVisit(_) => "visit",
            StandRefusal::Remark(_) => "remark",
        }
    }

    pub fn place(&self) -> Option<Place> {
        match self {
            StandRefusal::Unreadable(place) => *place,
            StandRefusal::Twice { place, .. }
            | StandRefusal::Pattern(place)
            | StandRefusal::Remark(place) => Some(*place),
            _ => None,
        }
    }
}

impl fmt::Display for StandRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StandRefusal::Unreadable(_) => {
                f.write_str("A line cannot be read at the moment; mend it first.")
            }
            StandRefusal::Twice { what, .. } => {
                write!(f, "{what} is said twice in the text; leave one of the two out first.")
            }
            StandRefusal::Pattern(_) => f.write_str(
                "The front teeth of this arch are spread from its `crowding`; describe them one by one in its place \
                 before one of them is moved.",
            ),
            StandRefusal::Implausible { why, .. } | StandRefusal::NoTooth(why) => f.write_str(why),
            StandRefusal::NoVisit(on) => write!(f, "No visit of {on} is written in the text."),
            StandRefusal::Remark(_) => f.write_str(
                "A remark stands between the parts of this line; change it in the text.",
            ),
        }
    }
}

/// Writes the changed parts of where a tooth stands. `case` is what `text` was read as.
pub fn write_stand(
    text: &Parse,
    case: &Case,
    tooth: Tooth,
    into: StandPlace,
    asked: &StandChange,
) -> Result<StandWritten, StandRefusal> {
    let ToothSaid { block, before, by_points, lines } = said_of(text, case, tooth, into)?;
    let changes = changed_parts(&before, &by_points, into, asked)?;
    for (axis, figure) in &changes {
        plausible_figure(*axis, *figure)?;
    }
    let stand = changes.iter().fold(before, |stand, (axis, f)| stand.with_figure(*axis, *f));
    // What is not said any more is again as it was read from points.
    let stand = by_points.updated(stand);
    if changes.is_empty() {
        return Ok(StandWritten { text: text.source.to_string(), stand });
    }
    let notation = case.house.notation.value;
    let editor = TreeEditor::new(text);
    let mut writing = Writing { editor, tooth, notation, block, added: Vec::new() };
    writing.write(&lines, changes)?;
    let edits = writing.editor.finish().ok_or(StandRefusal::Unreadable(None))?;
    let out = Edit::all_in(&edits, &text.source);
    Ok(StandWritten { text: settled(text, out, Some(notation)), stand })
}

/// Whether where a tooth stands can be written at all, as the text is.
pub fn can_write_stand(
    text: &Parse,
    case: &Case,
    tooth: Tooth,
    into: StandPlace,
) -> Result<(), StandRefusal> {
    said_of(text, case, tooth, into).map(drop)
}

/// What the text says of a tooth in one place.
struct ToothSaid<'p> {
    block: StatementRef<'p>,
    before: Stand,
    /// What was read from points, over which the lines go.
    by_points: Stand,
    /// All `tooth` lines of the block.
    lines: Vec<ToothLine<'p>>,
}

fn said_of<'p>(
    text: &'p Parse,
    case: &Case,
    tooth: Tooth,
    into: StandPlace,
) -> Result<ToothSaid<'p>, StandRefusal> {
    if text.unread.is_some() || text.braces_guessed {
        return Err(StandRefusal::Unreadable(None));
    }
    let (block, before) = match into {
        StandPlace::Plan => (arch_block(text, tooth.arch())?, in_plan(case, tooth)?),
        StandPlace::Visit(on) => (visit_block(text, on)?, in_visit(case, tooth, on)?),
    };
    let lines = tooth_lines(block, case.house.notation.value)?;
    told_once(&lines, tooth)?;
    Ok(ToothSaid { block, before, by_points: by_points(case, tooth, into), lines })
}

/// The clauses of a line for a visit that is not in the text yet: "tooth 12 palatal 1 mm".
pub fn visit_line(
    tooth: Tooth,
    notation: Notation,
    asked: &StandChange,
) -> Result<String, StandRefusal> {
    let mut clauses = Vec::new();
    for (axis, figure) in asked {
        let Some(figure) = figure.map(|f| rounded(*axis, f)) else { continue };
        plausible_figure(*axis, Some(figure))?;
        clauses.push(stand_clause(*axis, figure, tooth));
    }
    if clauses.is_empty() {
        return Err(StandRefusal::NoTooth("Nothing was measured.".to_owned()));
    }
    Ok(format!("tooth {} {}", tooth.write(notation), clauses.join(", ")))
}

/// The one block of an arch.
fn arch_block(text: &Parse, arch: Arch) -> Result<StatementRef<'_>, StandRefusal> {
    let kind = match arch {
        Arch::Upper => StatementKind::Upper,
        Arch::Lower => StatementKind::Lower,
    };
    let mut blocks = text.lines().filter(|l| l.is(kind));
    match (blocks.next(), blocks.next()) {
        (Some(block), None) => Ok(block),
        (Some(_), Some(second)) => {
            Err(StandRefusal::Twice { what: format!("`{arch}`"), place: second.place() })
        }
        (None, _) => Err(StandRefusal::NoTooth(format!("The plan has no {arch} arch."))),
    }
}

fn visit_block(text: &Parse, on: Date) -> Result<StatementRef<'_>, StandRefusal> {
    let day = |l: &StatementRef<'_>| {
        SeenLine::cast(*l).and_then(|seen| seen.date.date()?.date) == Some(on)
    };
    let mut blocks = text.lines().filter(day);
    let block = match (blocks.next(), blocks.next()) {
        (Some(block), None) => block,
        (Some(_), Some(second)) => {
            let what = format!("The visit of {on}");
            return Err(StandRefusal::Twice { what, place: second.place() });
        }
        (None, _) => return Err(StandRefusal::NoVisit(on)),
    };
    match block.children().find(|line| !line.is_read()) {
        Some(line) => Err(StandRefusal::Unreadable(Some(line.place()))),
        None => Ok(block),
    }
}

/// What the plan says of a tooth.
fn in_plan(case: &Case, tooth: Tooth) -> Result<Stand, StandRefusal> {
    let Some(arch) = case.arch(tooth.arch()) else {
        return Err(StandRefusal::Unreadable(None));
    };
    if let Some(place) = arch.unread {
        return Err(StandRefusal::Unreadable(Some(place)));
    }
    let gone = arch.states.get(&tooth).map(|(state, _)| *state);
    if let Some(ToothState::Missing | ToothState::Extracted { .. }) = gone {
        return Err(StandRefusal::NoTooth(format!(
            "{} is not there.",
            tooth.write(case.house.notation.value)
        )));
    }
    let spread = arch.stands.values().any(|s| s.origin == Origin::Pattern);
    match arch.crowding {
        Some((_, place)) if spread && tooth.is_anterior() => Err(StandRefusal::Pattern(place)),
        _ => Ok(arch.stands.get(&tooth).map_or_else(Stand::default, |s| s.value)),
    }
}

fn in_visit(case: &Case, tooth: Tooth, on: Date) -> Result<Stand, StandRefusal> {
    let visit = case.visits.iter().find(|v| v.on == on).ok_or(StandRefusal::NoVisit(on))?;
    Ok(visit.stands.get(&tooth).map_or_else(Stand::default, |(stand, _)| *stand))
}

fn by_points(case: &Case, tooth: Tooth, into: StandPlace) -> Stand {
    let readings: Vec<&MeasuredBlock> = match into {
        StandPlace::Plan => {
            case.arch(tooth.arch()).and_then(|a| a.reading.as_ref()).into_iter().collect()
        }
        StandPlace::Visit(on) => {
            case.visits.iter().filter(|v| v.on == on).flat_map(|v| &v.readings).collect()
        }
    };
    readings.iter().find_map(|r| r.stands.get(&tooth)).map_or_else(Stand::default, |(s, _)| *s)
}

/// What differs from what is said already. In a plan, in line is said by not saying it; at a visit it is a
/// measurement.
fn changed_parts(
    before: &Stand,
    by_points: &Stand,
    into: StandPlace,
    asked: &StandChange,
) -> Result<StandChange, StandRefusal> {
    let mut out = StandChange::new();
    for (axis, figure) in asked {
        if figure.is_some_and(|f| !f.is_finite()) {
            let why = format!("{} is no figure.", axis.says());
            return Err(StandRefusal::Implausible { axis: *axis, why });
        }
        let said = before.figure(*axis);
        let wanted = figure.map(|f| rounded(*axis, f));
        if said.map(|f| rounded(*axis, f)) == wanted {
            continue;
        }
        let in_line = wanted == Some(0.0) && into == StandPlace::Plan && !axis.is_room();
        // Where points say otherwise it has to be said.
        let in_line = in_line && by_points.figure(*axis).is_none();
        let wanted = if in_line { None } else { wanted };
        if said.is_some() || wanted.is_some() {
            out.insert(*axis, wanted);
        }
    }
    Ok(out)
}

/// To hundredths of a millimetre or tenths of a degree, without a minus before nothing.
fn rounded(axis: StandAxis, figure: f64) -> f64 {
    let parts = if axis.is_angle() { 10.0 } else { 100.0 };
    (figure * parts).round() / parts + 0.0
}

fn plausible_figure(axis: StandAxis, figure: Option<f64>) -> Result<(), StandRefusal> {
    let Some(figure) = figure else { return Ok(()) };
    let place: Plausible = match axis {
        StandAxis::InOut | StandAxis::UpDown => plausible::DISPLACEMENT,
        StandAxis::Rotation => plausible::ROTATION,
        StandAxis::Tip => plausible::TIP,
        StandAxis::Torque => plausible::TORQUE_ANGLE,
        StandAxis::Width => plausible::CROWN_WIDTH,
        StandAxis::Space => plausible::SPACE,
    };
    let unit = if axis.is_angle() { Unit::Deg } else { Unit::Mm };
    let size = if axis.is_room() { figure } else { figure.abs() };
    if place.judge(Quantity::new(size, unit)) == Verdict::Impossible {
        let why = format!(
            "{} {unit} cannot be {}: it is {} as a rule.",
            plain(size),
            place.what,
            place.range_text()
        );
        return Err(StandRefusal::Implausible { axis, why });
    }
    Ok(())
}

/// Each part of a tooth's stand is said in one place, and the tooth is named there once.
fn told_once(lines: &[ToothLine<'_>], tooth: Tooth) -> Result<(), StandRefusal> {
    let mut known: Vec<StandAxis> = Vec::new();
    for line in lines.iter().filter(|l| l.teeth.contains(&tooth)) {
        if line.teeth.iter().filter(|t| **t == tooth).count() > 1 {
            return Err(StandRefusal::Twice { what: tooth.to_string(), place: line.line.place() });
        }
        for (_, axis) in &line.parts {
            if known.contains(axis) {
                let what = axis.says().to_owned();
                return Err(StandRefusal::Twice { what, place: line.line.place() });
            }
            known.push(*axis);
        }
    }
    Ok(())
}

/// The edits of one tooth in one block.
struct Writing<'p> {
    editor: TreeEditor<'p>,
    tooth: Tooth,
    notation: Notation,
    block: StatementRef<'p>,
    /// Clauses that still need a line.
    added: Vec<String>,
}

impl<'p> Writing<'p> {
    fn write(
        &mut self,
        lines: &[ToothLine<'p>],
        mut changes: StandChange,
    ) -> Result<(), StandRefusal> {
        let tooth = self.tooth;
        let mine: Vec<&ToothLine<'p>> = lines.iter().filter(|l| l.teeth.contains(&tooth)).collect();
        let mut shared_above: Option<Id> = None;
        for line in mine.iter().filter(|l| l.teeth.len() > 1) {
            if line.parts.iter().any(|(_, axis)| changes.contains_key(axis)) {
                self.take_out(line, &mut changes)?;
                shared_above = Some(line.line.id);
            }
        }
        let own: Vec<&&ToothLine<'p>> = mine.iter().filter(|l| l.teeth.len() == 1).collect();
        // Later parts go to the last line that is the tooth's alone.
        let last = own.last().map(|l| l.line.id);
        let on_own = |axis: &StandAxis| own.iter().any(|l| l.parts.iter().any(|(_, a)| a == axis));
        let new: Vec<StandAxis> = changes.keys().copied().filter(|axis| !on_own(axis)).collect();
        for axis in new {
            if let Some(Some(figure)) = changes.remove(&axis) {
                self.added.push(stand_clause(axis, figure, self.tooth));
            }
        }
        for line in &own {
            let more = if Some(line.line.id) == last {
                std::mem::take(&mut self.added)
            } else {
                Vec::new()
            };
            self.change(line, &changes, more)?;
        }
        if self.added.is_empty() {
            return Ok(());
        }
        let statement =
            format!("tooth {} {}", self.tooth.write(self.notation), self.added.join(", "));
        let at = shared_above.map_or_else(|| self.in_order(lines), InsertAt::After);
        self.editor.insert(at, &statement);
        Ok(())
    }

    /// Takes the tooth out of a line that says the same of others too; what it said of the tooth is still to
    /// be written.
    fn take_out(
        &mut self,
        line: &ToothLine<'p>,
        changes: &mut StandChange,
    ) -> Result<(), StandRefusal> {
        for (span, axis) in &line.parts {
            match changes.remove(axis) {
                None => self.added.push(self.block.parse.text(*span).to_owned()),
                Some(Some(figure)) => self.added.push(stand_clause(*axis, figure, self.tooth)),
                Some(None) => {}
            }
        }
        let (spans, left) = line.without(self.tooth, self.notation);
        self.relist(line, &spans, left, Vec::new())
    }

    /// The clauses of a line of its own, changed; the line goes with its last one.
    fn change(
        &mut self,
        line: &ToothLine<'p>,
        changes: &StandChange,
        more: Vec<String>,
    ) -> Result<(), StandRefusal> {
        let touched = line.parts.iter().any(|(_, axis)| changes.contains_key(axis));
        if !touched && more.is_empty() {
            return Ok(());
        }
        let parse = self.block.parse;
        let spans: Vec<_> = line.parts.iter().map(|(span, _)| *span).collect();
        let clauses: Vec<Vec<String>> = line
            .parts
            .iter()
            .map(|(span, axis)| match changes.get(axis) {
                None => vec![parse.text(*span).to_owned()],
                Some(Some(figure)) => vec![stand_clause(*axis, *figure, self.tooth)],
                Some(None) => Vec::new(),
            })
            .collect();
        if clauses.iter().all(Vec::is_empty) && more.is_empty() {
            self.editor.remove_but_remark(line.line.id);
            return Ok(());
        }
        self.relist(line, &spans, clauses, more)
    }

    fn relist(
        &mut self,
        line: &ToothLine<'p>,
        spans: &[springline_text::Span],
        new: Vec<Vec<String>>,
        more: Vec<String>,
    ) -> Result<(), StandRefusal> {
        match relist(self.block.parse, spans, new, more) {
            Some(Relisted { span, text }) => self.editor.replace(span, &text),
            None => return Err(StandRefusal::Remark(line.line.place())),
        }
        Ok(())
    }

    /// Behind the last `tooth` line of a tooth further to the patient's right; else before the first one;
    /// where there is none, before what the arch is to do.
    fn in_order(&self, lines: &[ToothLine<'p>]) -> InsertAt {
        let first = |l: &ToothLine<'_>| l.teeth.iter().min().copied();
        let earlier = lines.iter().rfind(|l| first(l).is_some_and(|t| t < self.tooth));
        if let Some(line) = earlier {
            return InsertAt::After(line.line.id);
        }
        let later = lines.iter().map(|l| l.line.id).next();
        let before = later.or_else(|| self.block.children().find(|l| !describes(*l)).map(|l| l.id));
        // Behind the line before it: a remark above a line belongs to that line.
        let above = self.block.children().take_while(|l| Some(l.id) != before).last();
        above.map_or(InsertAt::FirstIn(self.block.id), |l| InsertAt::After(l.id))
    }
}

/// What stands before the positions in a block, by custom: what is bonded and which teeth there are; at a
/// visit, what was done.
fn describes(line: StatementRef<'_>) -> bool {
    use StatementKind::{
        Ankylosed, ArchHook, Banded, Bonded, BondedElsewhere, Button, Caution, Done, Expose,
        Extract, Extracted, Implant, Missing, SeenArch, Tubes, Unerupted,
    };
    matches!(
        line.kind(),
        Some(
            Bonded
                | Banded
                | BondedElsewhere
                | Tubes
                | ArchHook
                | Button
                | Missing
                | Extracted
                | Extract
                | Unerupted
                | Expose
                | Implant
                | Ankylosed
                | Caution
                | SeenArch
                | Done
        )
    )
}

#[cfg(test)]
mod tests;
