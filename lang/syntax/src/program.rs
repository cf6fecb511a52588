//! Pattern programs, and the backtracking matcher that runs one over the items of a line.
//!
//! The matcher never tries the same instruction at the same item twice, so a line costs at most
//! (instructions of the pattern) times (items of the line), whatever the input.

use super::item::{Item, ItemKind, ItemShape};
use super::pattern::{DAYS, EXCEPT, Instruction, PatternNode, Placeholder, PlaceholderKind};

/// One match of a pattern element on a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MatchEvent {
    pub kind: MatchEventKind,
    /// The items it covers, by index in the statement.
    pub first: u32,
    pub end: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MatchEventKind {
    /// A keyword in canonical form; it covers no item where an author left it out.
    Word(&'static str),
    Slot(Placeholder),
    /// A comma, whether typed or left out.
    Comma,
    Open(&'static str),
    Close,
    Detail(u16),
}

/// An alternative that was expected at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ExpectedItem {
    Word(&'static str),
    Slot(Placeholder),
    Comma,
    /// The end of the line.
    End,
}

/// The furthest item a program reached, and what was expected there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FurthestFailure {
    pub furthest: usize,
    pub wants: Vec<ExpectedItem>,
}

impl FurthestFailure {
    fn note(&mut self, at: usize, want: ExpectedItem) {
        if at > self.furthest {
            self.furthest = at;
            self.wants.clear();
        }
        if at == self.furthest && !self.wants.contains(&want) {
            self.wants.push(want);
        }
    }
}

pub(super) fn compile(node: &PatternNode) -> Vec<Instruction> {
    let mut program = Vec::new();
    let mut details = 0;
    emit(node, false, &mut program, &mut details);
    program.push(Instruction::End);
    program
}

/// `after_word`: the pattern has a word just before, so that a following `of` may be left out.
fn emit(node: &PatternNode, after_word: bool, out: &mut Vec<Instruction>, details: &mut u16) {
    match node {
        PatternNode::Word("of") if after_word => out.push(Instruction::Soft("of")),
        PatternNode::Word(word) => out.push(Instruction::Word(word)),
        PatternNode::Slot(slot) => out.push(Instruction::Slot(*slot)),
        PatternNode::Comma => out.push(Instruction::Comma),
        PatternNode::Sequence(parts) => emit_sequence(parts, out, details),
        PatternNode::Choice(choices) => emit_choice(choices, out, details),
        PatternNode::Optional(body) => {
            let fork = out.len();
            out.push(Instruction::Fork(fork + 1, 0));
            emit(body, false, out, details);
            patch_fork(out, fork);
        }
        PatternNode::Repeat { body, once } => {
            let detail = once.then(|| next(details));
            emit_repeat(body, detail, out, details);
        }
        PatternNode::Group(name, body) => {
            out.push(Instruction::Open(name));
            emit(body, false, out, details);
            out.push(Instruction::Close);
        }
    }
}

fn next(details: &mut u16) -> u16 {
    *details += 1;
    *details
}

fn patch_fork(out: &mut [Instruction], fork: usize) {
    let after = out.len();
    if let Some(Instruction::Fork(_, second)) = out.get_mut(fork) {
        *second = after;
    }
}

/// `@stand {, @stand}`: the first counts as an entry of the list, so that its word cannot be repeated.
fn emit_sequence(parts: &[PatternNode], out: &mut Vec<Instruction>, details: &mut u16) {
    let mut pending = None;
    for (i, part) in parts.iter().enumerate() {
        let after_word = i > 0 && ends_in_word(&parts[i - 1]);
        match (part, parts.get(i + 1)) {
            (PatternNode::Group(name, _), Some(PatternNode::Repeat { body, once: true }))
                if repeats(body, name) =>
            {
                let detail = next(details);
                out.push(Instruction::Detail(detail));
                emit(part, after_word, out, details);
                pending = Some(detail);
            }
            (PatternNode::Repeat { body, once: true }, _) if pending.is_some() => {
                emit_repeat(body, pending.take(), out, details);
            }
            _ => emit(part, after_word, out, details),
        }
    }
}

fn repeats(body: &PatternNode, group: &str) -> bool {
    match body {
        PatternNode::Group(name, _) => *name == group,
        PatternNode::Sequence(parts) => parts.iter().any(|p| repeats(p, group)),
        _ => false,
    }
}

fn emit_repeat(
    body: &PatternNode,
    detail: Option<u16>,
    out: &mut Vec<Instruction>,
    details: &mut u16,
) {
    let fork = out.len();
    out.push(Instruction::Fork(fork + 1, 0));
    if let Some(detail) = detail {
        out.push(Instruction::Detail(detail));
    }
    emit(body, false, out, details);
    out.push(Instruction::Jump(fork));
    patch_fork(out, fork);
}

fn emit_choice(choices: &[PatternNode], out: &mut Vec<Instruction>, details: &mut u16) {
    let mut jumps = Vec::new();
    for (i, choice) in choices.iter().enumerate() {
        if i + 1 == choices.len() {
            emit(choice, false, out, details);
            continue;
        }
        let fork = out.len();
        out.push(Instruction::Fork(fork + 1, 0));
        emit(choice, false, out, details);
        jumps.push(out.len());
        out.push(Instruction::Jump(0));
        patch_fork(out, fork);
    }
    let after = out.len();
    for jump in jumps {
        out[jump] = Instruction::Jump(after);
    }
}

fn ends_in_word(node: &PatternNode) -> bool {
    match node {
        PatternNode::Word(_) => true,
        PatternNode::Sequence(parts) => parts.last().is_some_and(ends_in_word),
        PatternNode::Choice(choices) => choices.iter().all(ends_in_word),
        _ => false,
    }
}

/// Scratch buffers reused between runs.
#[derive(Debug, Default)]
pub struct Machine {
    seen: Vec<u64>,
    stack: Vec<(u32, u32, u32)>,
    pub trail: Vec<MatchEvent>,
    pub reach: FurthestFailure,
    /// The placeholders that the last item filled, on any branch.
    pub last: Vec<Placeholder>,
    /// Follow every branch; none counts as a match.
    every_way: bool,
}

impl Machine {
    /// Follows every branch of a program, to collect what could come after the items.
    pub(super) fn explore(&mut self, program: &[Instruction], items: &[Item]) {
        self.every_way = true;
        self.run(program, items);
        self.every_way = false;
    }

    /// Runs a program over all items. On success the trail holds what was found; either way
    /// `reach` says how far it came.
    pub(super) fn run(&mut self, program: &[Instruction], items: &[Item]) -> bool {
        let width = items.len() + 1;
        self.seen.clear();
        self.seen.resize((program.len() * width).div_ceil(64), 0);
        self.stack.clear();
        self.trail.clear();
        self.last.clear();
        self.reach.furthest = 0;
        self.reach.wants.clear();
        self.stack.push((0, 0, 0));
        while let Some((step, at, trail)) = self.stack.pop() {
            self.trail.truncate(trail as usize);
            if self.thread(program, items, step as usize, at as usize) {
                return true;
            }
        }
        false
    }

    /// Follows one branch until it ends or fails; alternatives go on the stack.
    fn thread(
        &mut self,
        program: &[Instruction],
        items: &[Item],
        mut pc: usize,
        mut at: usize,
    ) -> bool {
        let width = items.len() + 1;
        while let Some(step) = program.get(pc) {
            let bit = pc * width + at;
            if self.seen[bit / 64] & (1 << (bit % 64)) != 0 {
                return false;
            }
            self.seen[bit / 64] |= 1 << (bit % 64);
            pc += 1;
            match *step {
                Instruction::Fork(first, second) => {
                    self.stack.push((second as u32, at as u32, self.trail.len() as u32));
                    pc = first;
                }
                Instruction::Jump(to) => pc = to,
                Instruction::Open(name) => self.push(MatchEventKind::Open(name), at, at),
                Instruction::Close => self.push(MatchEventKind::Close, at, at),
                Instruction::Detail(id) => self.push(MatchEventKind::Detail(id), at, at),
                Instruction::End => {
                    let dangling = at > 0 && items.get(at - 1).is_some_and(Item::is_comma);
                    if at == items.len() && !dangling && !self.every_way {
                        return true;
                    }
                    self.reach.note(at, ExpectedItem::End);
                    return false;
                }
                Instruction::Word(_)
                | Instruction::Soft(_)
                | Instruction::Aliased(..)
                | Instruction::Slot(_)
                | Instruction::Comma => match self.take(*step, items, at) {
                    Some(next) => at = next,
                    None => return false,
                },
            }
        }
        false
    }

    fn push(&mut self, kind: MatchEventKind, first: usize, end: usize) {
        self.trail.push(MatchEvent { kind, first: first as u32, end: end as u32 });
    }

    /// One instruction that consumes items; the next position, or `None`.
    fn take(&mut self, step: Instruction, items: &[Item], at: usize) -> Option<usize> {
        let item = items.get(at);
        match step {
            Instruction::Word(word) | Instruction::Soft(word) | Instruction::Aliased(word, _) => {
                let said = item.and_then(Item::keyword);
                let also = matches!(step, Instruction::Aliased(_, read) if said == Some(read));
                if said == Some(word) || also {
                    self.push(MatchEventKind::Word(word), at, at + 1);
                    return Some(at + 1);
                }
                self.reach.note(at, ExpectedItem::Word(word));
                if matches!(step, Instruction::Soft(_)) && item.is_some() {
                    self.push(MatchEventKind::Word(word), at, at);
                    return Some(at);
                }
                None
            }
            Instruction::Slot(slot) => match fill(slot.hole, items, at) {
                Some(end) => {
                    self.push(MatchEventKind::Slot(slot), at, end);
                    if end == items.len() && !self.last.contains(&slot) {
                        self.last.push(slot);
                    }
                    Some(end)
                }
                None => {
                    self.reach.note(at, ExpectedItem::Slot(slot));
                    None
                }
            },
            Instruction::Comma => match item {
                Some(item) if item.is_comma() => {
                    self.push(MatchEventKind::Comma, at, at + 1);
                    Some(at + 1)
                }
                Some(item) if !item.is_word() => {
                    self.reach.note(at, ExpectedItem::Comma);
                    None
                }
                _ => {
                    self.push(MatchEventKind::Comma, at, at);
                    Some(at)
                }
            },
            _ => None,
        }
    }
}

/// How many items from `at` fill a placeholder, if any do.
pub fn fill(hole: PlaceholderKind, items: &[Item], at: usize) -> Option<usize> {
    let item = items.get(at)?;
    let one = |fits: bool| fits.then_some(at + 1);
    match hole {
        PlaceholderKind::Teeth => fill_teeth(items, at),
        PlaceholderKind::Tooth => one(item.tooth().is_some()),
        PlaceholderKind::Name => one(item.is_word()),
        PlaceholderKind::Text => one(matches!(item.kind, ItemKind::Text(_))),
        PlaceholderKind::Date => one(matches!(item.kind, ItemKind::Date(_))),
        PlaceholderKind::Dates => one(item.dates().is_some()),
        PlaceholderKind::Rule => one(matches!(item.kind, ItemKind::Rule)),
        PlaceholderKind::Day => one(item.keyword().is_some_and(|w| DAYS.contains(&w))),
        PlaceholderKind::Count => {
            one(item.measure().and_then(|m| m.bare()).is_some_and(|v| v.fract() == 0.0))
        }
        PlaceholderKind::Dims => one(item.measure().is_some_and(|m| m.shape == ItemShape::Dims)),
        PlaceholderKind::Times | PlaceholderKind::Stresses => {
            one(item.measure().is_some_and(|m| m.shape != ItemShape::Dims))
        }
        PlaceholderKind::Length
        | PlaceholderKind::Force
        | PlaceholderKind::Stress
        | PlaceholderKind::Angle
        | PlaceholderKind::Time
        | PlaceholderKind::Temperature
        | PlaceholderKind::Ratio
        | PlaceholderKind::Percent
        | PlaceholderKind::Any => one(item.measure().is_some_and(|m| m.shape == ItemShape::Single)),
    }
}

/// A list of teeth goes on after a comma only if a tooth follows, and may leave some out: `15..25 except 12`.
fn fill_teeth(items: &[Item], at: usize) -> Option<usize> {
    let end = teeth_from(items, at)?;
    match items.get(end).and_then(Item::keyword) {
        Some(EXCEPT) => Some(teeth_from(items, end + 1).unwrap_or(end)),
        _ => Some(end),
    }
}

fn teeth_from(items: &[Item], at: usize) -> Option<usize> {
    items.get(at)?.teeth()?;
    let mut end = at + 1;
    while let [comma, next, ..] = items.get(end..).unwrap_or_default() {
        if !comma.is_comma() || next.teeth().is_none() {
            break;
        }
        end += 2;
    }
    Some(end)
}
