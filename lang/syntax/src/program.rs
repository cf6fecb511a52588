//! Patterns as small programs, and the machine that runs one over the items of a line.
//!
//! The machine backtracks, but never tries the same step at the same item twice, so a line costs
//! at most (steps of the pattern) times (items of the line), whatever is written.

use super::item::{Item, ItemKind, Shape};
use super::pattern::{DAYS, EXCEPT, Hole, Node, Slot, Step};

/// One thing a pattern found on a line, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Event {
    pub kind: EventKind,
    /// The items it covers, by index in the statement.
    pub first: u32,
    pub end: u32,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EventKind {
    /// A keyword in its one written form; it covers no item where a reader left it out.
    Word(&'static str),
    Slot(Slot),
    /// A comma, whether typed or left out.
    Comma,
    Open(&'static str),
    Close,
    Detail(u16),
}

/// What could have stood at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Want {
    Word(&'static str),
    Slot(Slot),
    Comma,
    /// The end of the line.
    End,
}

/// How far a program came, and what it would have taken there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reach {
    pub furthest: usize,
    pub wants: Vec<Want>,
}

impl Reach {
    fn note(&mut self, at: usize, want: Want) {
        if at > self.furthest {
            self.furthest = at;
            self.wants.clear();
        }
        if at == self.furthest && !self.wants.contains(&want) {
            self.wants.push(want);
        }
    }
}

pub(super) fn compile(node: &Node) -> Vec<Step> {
    let mut program = Vec::new();
    let mut details = 0;
    emit(node, false, &mut program, &mut details);
    program.push(Step::End);
    program
}

/// `after_word`: the pattern has a word just before, so that a following `of` may be left out.
fn emit(node: &Node, after_word: bool, out: &mut Vec<Step>, details: &mut u16) {
    match node {
        Node::Word("of") if after_word => out.push(Step::Soft("of")),
        Node::Word(word) => out.push(Step::Word(word)),
        Node::Slot(slot) => out.push(Step::Slot(*slot)),
        Node::Comma => out.push(Step::Comma),
        Node::Sequence(parts) => emit_sequence(parts, out, details),
        Node::Choice(choices) => emit_choice(choices, out, details),
        Node::Optional(body) => {
            let fork = out.len();
            out.push(Step::Fork(fork + 1, 0));
            emit(body, false, out, details);
            patch_fork(out, fork);
        }
        Node::Repeat { body, once } => {
            let detail = once.then(|| next(details));
            emit_repeat(body, detail, out, details);
        }
        Node::Group(name, body) => {
            out.push(Step::Open(name));
            emit(body, false, out, details);
            out.push(Step::Close);
        }
    }
}

fn next(details: &mut u16) -> u16 {
    *details += 1;
    *details
}

fn patch_fork(out: &mut [Step], fork: usize) {
    let after = out.len();
    if let Some(Step::Fork(_, second)) = out.get_mut(fork) {
        *second = after;
    }
}

/// `@stand {, @stand}`: the first counts as one of the list, so that its word is not said again.
fn emit_sequence(parts: &[Node], out: &mut Vec<Step>, details: &mut u16) {
    let mut pending = None;
    for (i, part) in parts.iter().enumerate() {
        let after_word = i > 0 && ends_in_word(&parts[i - 1]);
        match (part, parts.get(i + 1)) {
            (Node::Group(name, _), Some(Node::Repeat { body, once: true }))
                if repeats(body, name) =>
            {
                let detail = next(details);
                out.push(Step::Detail(detail));
                emit(part, after_word, out, details);
                pending = Some(detail);
            }
            (Node::Repeat { body, once: true }, _) if pending.is_some() => {
                emit_repeat(body, pending.take(), out, details);
            }
            _ => emit(part, after_word, out, details),
        }
    }
}

fn repeats(body: &Node, group: &str) -> bool {
    match body {
        Node::Group(name, _) => *name == group,
        Node::Sequence(parts) => parts.iter().any(|p| repeats(p, group)),
        _ => false,
    }
}

fn emit_repeat(body: &Node, detail: Option<u16>, out: &mut Vec<Step>, details: &mut u16) {
    let fork = out.len();
    out.push(Step::Fork(fork + 1, 0));
    if let Some(detail) = detail {
        out.push(Step::Detail(detail));
    }
    emit(body, false, out, details);
    out.push(Step::Jump(fork));
    patch_fork(out, fork);
}

fn emit_choice(choices: &[Node], out: &mut Vec<Step>, details: &mut u16) {
    let mut jumps = Vec::new();
    for (i, choice) in choices.iter().enumerate() {
        if i + 1 == choices.len() {
            emit(choice, false, out, details);
            continue;
        }
        let fork = out.len();
        out.push(Step::Fork(fork + 1, 0));
        emit(choice, false, out, details);
        jumps.push(out.len());
        out.push(Step::Jump(0));
        patch_fork(out, fork);
    }
    let after = out.len();
    for jump in jumps {
        out[jump] = Step::Jump(after);
    }
}

fn ends_in_word(node: &Node) -> bool {
    match node {
        Node::Word(_) => true,
        Node::Sequence(parts) => parts.last().is_some_and(ends_in_word),
        Node::Choice(choices) => choices.iter().all(ends_in_word),
        _ => false,
    }
}

/// Memory that one run after another uses again.
#[derive(Debug, Default)]
pub struct Machine {
    seen: Vec<u64>,
    stack: Vec<(u32, u32, u32)>,
    pub trail: Vec<Event>,
    pub reach: Reach,
    /// The holes that the last item filled, on any way.
    pub last: Vec<Slot>,
    /// Every way is followed, and none counts as a match.
    every_way: bool,
}

impl Machine {
    /// Follows every way through a program, for the sake of what could come after the items.
    pub(super) fn explore(&mut self, program: &[Step], items: &[Item]) {
        self.every_way = true;
        self.run(program, items);
        self.every_way = false;
    }

    /// Runs a program over all items. On success the trail holds what was found; either way
    /// `reach` says how far it came.
    pub(super) fn run(&mut self, program: &[Step], items: &[Item]) -> bool {
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

    /// Follows one way until it ends or fails; other ways go on the stack.
    fn thread(&mut self, program: &[Step], items: &[Item], mut pc: usize, mut at: usize) -> bool {
        let width = items.len() + 1;
        while let Some(step) = program.get(pc) {
            let bit = pc * width + at;
            if self.seen[bit / 64] & (1 << (bit % 64)) != 0 {
                return false;
            }
            self.seen[bit / 64] |= 1 << (bit % 64);
            pc += 1;
            match *step {
                Step::Fork(first, second) => {
                    self.stack.push((second as u32, at as u32, self.trail.len() as u32));
                    pc = first;
                }
                Step::Jump(to) => pc = to,
                Step::Open(name) => self.push(EventKind::Open(name), at, at),
                Step::Close => self.push(EventKind::Close, at, at),
                Step::Detail(id) => self.push(EventKind::Detail(id), at, at),
                Step::End => {
                    let dangling = at > 0 && items.get(at - 1).is_some_and(Item::is_comma);
                    if at == items.len() && !dangling && !self.every_way {
                        return true;
                    }
                    self.reach.note(at, Want::End);
                    return false;
                }
                Step::Word(_) | Step::Soft(_) | Step::Aliased(..) | Step::Slot(_) | Step::Comma => {
                    match self.take(*step, items, at) {
                        Some(next) => at = next,
                        None => return false,
                    }
                }
            }
        }
        false
    }

    fn push(&mut self, kind: EventKind, first: usize, end: usize) {
        self.trail.push(Event { kind, first: first as u32, end: end as u32 });
    }

    /// One step that reads items; where it goes on, or `None`.
    fn take(&mut self, step: Step, items: &[Item], at: usize) -> Option<usize> {
        let item = items.get(at);
        match step {
            Step::Word(word) | Step::Soft(word) | Step::Aliased(word, _) => {
                let said = item.and_then(Item::keyword);
                let also = matches!(step, Step::Aliased(_, read) if said == Some(read));
                if said == Some(word) || also {
                    self.push(EventKind::Word(word), at, at + 1);
                    return Some(at + 1);
                }
                self.reach.note(at, Want::Word(word));
                if matches!(step, Step::Soft(_)) && item.is_some() {
                    self.push(EventKind::Word(word), at, at);
                    return Some(at);
                }
                None
            }
            Step::Slot(slot) => match fill(slot.hole, items, at) {
                Some(end) => {
                    self.push(EventKind::Slot(slot), at, end);
                    if end == items.len() && !self.last.contains(&slot) {
                        self.last.push(slot);
                    }
                    Some(end)
                }
                None => {
                    self.reach.note(at, Want::Slot(slot));
                    None
                }
            },
            Step::Comma => match item {
                Some(item) if item.is_comma() => {
                    self.push(EventKind::Comma, at, at + 1);
                    Some(at + 1)
                }
                Some(item) if !item.is_word() => {
                    self.reach.note(at, Want::Comma);
                    None
                }
                _ => {
                    self.push(EventKind::Comma, at, at);
                    Some(at)
                }
            },
            _ => None,
        }
    }
}

/// Whether the items from `at` fill a hole, and how many of them do.
pub fn fill(hole: Hole, items: &[Item], at: usize) -> Option<usize> {
    let item = items.get(at)?;
    let one = |fits: bool| fits.then_some(at + 1);
    match hole {
        Hole::Teeth => fill_teeth(items, at),
        Hole::Tooth => one(item.tooth().is_some()),
        Hole::Name => one(item.is_word()),
        Hole::Text => one(matches!(item.kind, ItemKind::Text(_))),
        Hole::Date => one(matches!(item.kind, ItemKind::Date(_))),
        Hole::Dates => one(item.dates().is_some()),
        Hole::Rule => one(matches!(item.kind, ItemKind::Rule)),
        Hole::Day => one(item.keyword().is_some_and(|w| DAYS.contains(&w))),
        Hole::Count => one(item.measure().and_then(|m| m.bare()).is_some_and(|v| v.fract() == 0.0)),
        Hole::Dims => one(item.measure().is_some_and(|m| m.shape == Shape::Dims)),
        Hole::Times | Hole::Stresses => one(item.measure().is_some_and(|m| m.shape != Shape::Dims)),
        Hole::Length
        | Hole::Force
        | Hole::Stress
        | Hole::Angle
        | Hole::Time
        | Hole::Ratio
        | Hole::Percent
        | Hole::Any => one(item.measure().is_some_and(|m| m.shape == Shape::Single)),
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
