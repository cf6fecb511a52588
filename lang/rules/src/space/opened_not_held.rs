//! A space that the plan has opened, and nothing that keeps it open.

use crate::prelude::*;
use springline_model::case::ArchCase;
use springline_model::step::{Step, Term};

pub const RULE: Rule = Rule {
    code: "space/opened-not-held",
    severity: Severity::Warning,
    page: include_str!("opened_not_held.md"),
    check,
    ..Rule::PLAIN
};

/// A gap waited for that is smaller than this is closed, not opened, mm.
const OPENED_MM: f64 = 0.5;

/// A gap that a step waits for.
#[derive(Clone, Copy, PartialEq)]
struct OpenedGap {
    first: Tooth,
    second: Tooth,
    length_mm: f64,
}

impl OpenedGap {
    fn is(&self, other: &OpenedGap) -> bool {
        self.first == other.first && self.second == other.second
    }
}

fn check(context: &RuleContext<'_>, out: &mut Vec<Finding>) {
    let mut list = Vec::new();
    let words = context.words();
    for view in context.views() {
        for (by, gap) in opened_before(&view) {
            if is_kept(&view, &gap) {
                continue;
            }
            let (a, b) = (words.tooth(gap.first), words.tooth(gap.second));
            let line =
                format!("passive-coil between {a} and {b}, hold {} mm", plain(gap.length_mm));
            let mut finding = view
                .finding(
                    RULE.code,
                    RULE.severity,
                    view.case_place(),
                    format!(
                        "{} opens {} mm between {a} and {b}, and nothing keeps the space in {}.",
                        by.name,
                        plain(gap.length_mm),
                        view.step.name
                    ),
                )
                .why("Teeth beside an open space drift into it within weeks.")
                .teeth([gap.first, gap.second]);
            let fix = context.fix(line.clone()).add_to_step(view.arch, view.step, &[line]);
            finding.fixes.extend(fix.done());
            list.push(Candidate::new(view.side(), 1.0, finding));
        }
    }
    merge_per_arch(words, list, out);
    out.extend(context.case.arches.iter().filter_map(|arch| let_go(context, arch)));
}

/// The space of an absent tooth that a step opens, and of which nothing says what comes into it: after the debond it
/// is kept by nobody.
fn let_go(context: &RuleContext<'_>, arch: &ArchCase) -> Option<Finding> {
    if arch.is_unread() {
        return None;
    }
    let last = context.step_view(arch.arch, arch.steps.len().checked_sub(1)?)?;
    let terms = arch.steps.iter().flat_map(|s| s.until.terms.iter().map(move |t| (s, t)));
    let mut open: Vec<(&Step, OpenedGap)> = Vec::new();
    for (step, gap) in terms.filter_map(|(step, term)| Some((step, gap(term)?))) {
        open.retain(|(_, other)| !other.is(&gap));
        if gap.length_mm > OPENED_MM {
            open.push((step, gap));
        }
    }
    let holds = |tooth: &Tooth| {
        let acts = arch.extras.iter().chain(arch.steps.iter().flat_map(|s| &s.acts));
        acts.into_iter().any(|a| match &a.kind {
            ActKind::Hold { teeth, .. } => teeth.contains(tooth),
            _ => false,
        })
    };
    let words = context.words();
    open.into_iter().find_map(|(by, gap)| {
        let between = gap.first.stretch(gap.second).unwrap_or_default();
        let inside = |t: &&Tooth| **t != gap.first && **t != gap.second;
        let absent = |t: &&Tooth| arch.states.get(t).is_some_and(|(s, _)| s.is_absent());
        let tooth = *between.iter().filter(inside).find(absent)?;
        if holds(&tooth) || last.is_in_wire(tooth) {
            return None;
        }
        let (named, length) = (words.tooth(tooth), say_mm(gap.length_mm));
        let message = format!(
            "{} opens {length} for {named}, and nothing says who keeps the space after the debond.",
            by.name
        );
        let place = arch.states.get(&tooth).map_or(arch.place, |(_, place)| *place);
        let mut finding = Finding::new(RULE.code, RULE.severity, place, message)
            .why("Teeth beside an open space drift into it within weeks.")
            .note("Say what comes into it; the retainer carries a tooth until then.")
            .teeth([tooth]);
        let line = format!("hold {named} {length}");
        finding.fixes.extend(context.fix(line.clone()).add_inside(arch.place, &line).done());
        Some(finding)
    })
}

/// Gaps that earlier steps of the arch wait for and that no step since closes again, with the last step that does.
fn opened_before<'a>(view: &StepView<'a>) -> Vec<(&'a Step, OpenedGap)> {
    let mut open: Vec<(&Step, OpenedGap)> = Vec::new();
    for step in view.arch.steps.iter().take(view.index) {
        for gap in step.until.terms.iter().flat_map(|term| opened(view, term)) {
            open.retain(|(_, other)| !other.is(&gap));
            if gap.length_mm > OPENED_MM {
                open.push((step, gap));
            }
        }
    }
    open
}

/// A gap that is waited for, or the space between the neighbours of a tooth.
fn opened(view: &StepView<'_>, term: &Term) -> Vec<OpenedGap> {
    let Term::Space { length, teeth } = term else { return gap(term).into_iter().collect() };
    let beside = |tooth: &Tooth| {
        let absent = view.arch.states.get(tooth).is_some_and(|(s, _)| s.is_absent());
        let (mut before, mut after) = (None, None);
        for other in view.arch.bonded.keys().filter(|t| *t != tooth) {
            match other.place() < tooth.place() {
                true if before.is_none_or(|b: Tooth| b.place() < other.place()) => {
                    before = Some(*other)
                }
                false if after.is_none_or(|a: Tooth| other.place() < a.place()) => {
                    after = Some(*other)
                }
                _ => {}
            }
        }
        let (a, b) = before.zip(after).filter(|_| !absent)?;
        Some(OpenedGap { first: a.min(b), second: a.max(b), length_mm: mm(*length) })
    };
    teeth.iter().filter_map(beside).collect()
}

fn gap(term: &Term) -> Option<OpenedGap> {
    let Term::Gap { length, first, second } = term else { return None };
    let (first, second) = (*first.min(second), *first.max(second));
    Some(OpenedGap { first, second, length_mm: mm(*length) })
}

/// A coil of any kind stands in it, a tooth of it is in the wire, or the step itself closes it.
fn is_kept(view: &StepView<'_>, gap: &OpenedGap) -> bool {
    let between = gap.first.stretch(gap.second).unwrap_or_default();
    let inside = |t: &&Tooth| **t != gap.first && **t != gap.second;
    let filled = between.iter().filter(inside).any(|t| view.is_in_wire(*t));
    let closing = view.step.until.terms.iter().filter_map(self::gap).any(|g| g.is(gap));
    filled || closing || view.acts().any(|act| stands_in(&act.kind, &between))
}

/// Whether it pushes on or keeps apart two teeth of the stretch, or those around it.
fn stands_in(act: &ActKind, stretch: &[Tooth]) -> bool {
    match act {
        ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
            let inside = |t: &Tooth| stretch.contains(t);
            let over = first.stretch(*second).unwrap_or_default();
            inside(first) && inside(second) || stretch.iter().all(|t| over.contains(t))
        }
        _ => false,
    }
}
