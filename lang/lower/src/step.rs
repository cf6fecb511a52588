//! Lowers a step's line and block, before it is known which sequence it changes.

use std::sync::Arc;

use super::names::{FORM, WIRE};
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::form::Form;
use springline_model::house::House;
use springline_model::provenance::{Origin, Sourced};
use springline_model::step::{
    Act, Condition, End, EndKind, Ends, NextVisit, Step, StepKind, StepSource, WireUse,
};
use springline_model::stock::{Name, Wire};
use springline_syntax::ast::{
    ClausePart, EndPart, NextVisitPart, NoLine, PartList, StepLine, StepStatement, WireUsePart,
};
use springline_syntax::tree::StatementRef;
use springline_text::Place;
use springline_units::quantity::Period;
use springline_units::tooth::{Side, Tooth};

/// The wire clause of a step.
#[derive(Debug, Clone)]
pub enum WireClause {
    Keep,
    Use { wire: Arc<Wire>, tandem: Option<Arc<Wire>> },
}

/// Something removed with `no`.
#[derive(Debug, Clone)]
pub struct Removal {
    pub what: &'static str,
    /// Empty: all of them.
    pub teeth: Vec<Tooth>,
    pub place: Place,
}

/// The contents of one `step` or `change`, each part with its place.
#[derive(Debug, Clone, Default)]
pub struct StepBuilder {
    pub wire: Option<(WireClause, Place)>,
    pub form: Option<(Arc<Form>, Place)>,
    pub ends: Vec<(Option<Side>, End, Place)>,
    pub until: Option<(Condition, Place)>,
    pub next: Option<(NextVisit, Place)>,
    pub settle: Option<(Period, Place)>,
    pub acts: Vec<Act>,
    pub removals: Vec<Removal>,
    /// A line that could not be read.
    pub incomplete: Option<Place>,
}

impl LoweringContext<'_> {
    /// Lowers the clauses of a line and the statements of its block.
    pub fn step_builder(
        &mut self,
        line: StatementRef<'_>,
        clauses: PartList<'_, ClausePart<'_>>,
        house: &House,
        origin: Origin,
    ) -> StepBuilder {
        let mut draft = StepBuilder::default();
        for (span, clause) in clauses.spanned() {
            let before = self.findings.len();
            self.clause(clause, self.place(span), house, &mut draft);
            if self.findings.len() > before && draft.incomplete.is_none() {
                draft.incomplete = self.first_error_since(before);
            }
        }
        for child in line.children() {
            match StepStatement::cast(child) {
                None => drop(draft.incomplete.get_or_insert(child.place())),
                Some(StepStatement::No(line)) => self.removal(line, &mut draft),
                Some(StepStatement::Accept(_)) => {}
                Some(statement) => {
                    let before = self.findings.len();
                    match self.act(child, statement, house, origin) {
                        Some(act) => draft.acts.push(act),
                        None => {
                            draft.incomplete.get_or_insert(child.place());
                        }
                    }
                    if let Some(place) = self.first_error_since(before) {
                        draft.incomplete.get_or_insert(place);
                    }
                }
            }
        }
        draft
    }

    fn first_error_since(&self, before: usize) -> Option<Place> {
        self.findings[before..]
            .iter()
            .find(|f| f.severity == springline_finding::Severity::Error)
            .map(|f| f.place)
    }

    fn clause(
        &mut self,
        clause: ClausePart<'_>,
        place: Place,
        house: &House,
        draft: &mut StepBuilder,
    ) {
        match clause {
            ClausePart::Wire(wire) => {
                let Some(said) = self.wire_clause(wire, house) else {
                    draft.incomplete.get_or_insert(place);
                    return;
                };
                if let Some((_, first)) = draft.wire.replace((said, place)) {
                    self.said_twice("The wire", place, Some(first));
                }
            }
            ClausePart::Form(form) => {
                if let Some(form) = self.lookup(form, FORM, &house.forms, &house.title)
                    && let Some((_, first)) = draft.form.replace((form, place))
                {
                    self.said_twice("The arch form", place, Some(first));
                }
            }
            ClausePart::Ends(ends) => {
                for end in ends {
                    self.ends_clause(end, draft);
                }
            }
            ClausePart::Express(time) => {
                if let Some(period) = self.period(time, p::STEP_TIME)
                    && let Some((_, first)) = draft.settle.replace((period, place))
                {
                    self.said_twice("The time to express", place, Some(first));
                }
            }
            ClausePart::Until(condition) => {
                if let Some(condition) = self.condition(condition)
                    && let Some((_, first)) = draft.until.replace((condition, place))
                {
                    self.said_twice("`until`", place, Some(first));
                }
            }
            ClausePart::Next(next) => {
                if let Some(next) = self.next_visit(next)
                    && let Some((_, first)) = draft.next.replace((next, place))
                {
                    self.said_twice("The next visit", place, Some(first));
                }
            }
        }
    }

    fn wire_clause(&mut self, part: WireUsePart<'_>, house: &House) -> Option<WireClause> {
        Some(match part {
            WireUsePart::Keep => WireClause::Keep,
            WireUsePart::Wire { wire, tandem } => {
                let wire = self.lookup(wire, WIRE, &house.wires, &house.title)?;
                let tandem = self.lookup_if_said(tandem, WIRE, &house.wires, &house.title)?;
                WireClause::Use { wire, tandem }
            }
        })
    }

    fn ends_clause(&mut self, part: EndPart<'_>, draft: &mut StepBuilder) {
        let place = self.place(part.fragment.span());
        let slack = match part.length {
            Some(field) => match self.length(field, p::SLACK) {
                Some(length) => Some(length),
                None => return,
            },
            None => None,
        };
        let side = part.side.map(word_values::side);
        let clash = |a: Option<Side>, b: Option<Side>| a == b || a.is_none() || b.is_none();
        if let Some((_, _, first)) = draft.ends.iter().find(|(s, _, _)| clash(*s, side)) {
            let first = *first;
            self.said_twice("This wire end", place, Some(first));
            return;
        }
        let kind = word_values::end_kind(part.end_kind);
        draft.ends.push((side, End { kind, slack, trimmed: part.trimmed }, place));
    }

    fn next_visit(&mut self, part: NextVisitPart<'_>) -> Option<NextVisit> {
        let times = match part {
            NextVisitPart::Computed => return Some(NextVisit::Computed),
            NextVisitPart::Date(date) => {
                return self.date(date).map(|date| NextVisit::On { date });
            }
            NextVisitPart::Times(times) => times,
        };
        let (from, to) = self.periods(times, p::INTERVAL)?;
        if from.days() > to.days() {
            self.report(Finding::error(
                "unit/range-backwards",
                times.place(),
                format!("A range runs from the smaller to the larger: {from} is longer than {to}."),
            ));
            return None;
        }
        Some(NextVisit::Range { from, to })
    }

    fn removal(&mut self, line: NoLine<'_>, draft: &mut StepBuilder) {
        let (what, place) = (line.removable.word(), line.statement.place());
        draft.removals.push(Removal { what, teeth: self.teeth_if_said(line.teeth), place });
    }

    /// The kind of a step: as given, or from its name; otherwise `None` with a finding.
    pub fn step_kind(&mut self, line: StepLine<'_>, name: &str) -> Option<StepKind> {
        if let Some(kind) = line.step_kind {
            return Some(word_values::step_kind(kind));
        }
        // `level-2` is a level step; digits and anything after the first hyphen are a name's own.
        let stem =
            name.split('-').next().unwrap_or(name).trim_end_matches(|c: char| c.is_ascii_digit());
        if let Some(kind) = StepKind::from_word(stem) {
            return Some(kind);
        }
        let hole = line.step;
        let mut finding = Finding::error(
            "name/step-without-kind",
            hole.place(),
            format!("What is `{name}` for: align, level, work or finish?"),
        )
        .why("The order of treatment is checked by the purpose of each step.");
        for kind in ["align", "level", "work", "finish"] {
            finding = finding.clinical_fix(
                format!("write `{name} as {kind}`"),
                hole.place(),
                format!("{name} as {kind}"),
            );
        }
        self.report(finding);
        None
    }
}

/// Lightly turned in, the default where nothing else is given (common practice, no source).
fn default_end() -> Sourced<End> {
    Sourced::default_value(End { kind: EndKind::TurnedIn, slack: None, trimmed: false })
}

impl StepBuilder {
    /// A new step from its line alone. `before` is the step it follows, for `wire keep`.
    pub fn into_step(
        self,
        reader: &mut LoweringContext<'_>,
        line: StatementRef<'_>,
        name: Name,
        kind: StepKind,
        source: StepSource,
        origin: Origin,
        before: Option<&Step>,
    ) -> Option<Step> {
        let wire = match self.wire {
            Some((WireClause::Use { wire, tandem }, place)) => {
                Sourced::written(WireUse { wire, tandem, kept: false }, origin, place)
            }
            Some((WireClause::Keep, place)) => match before {
                Some(step) => {
                    let mut kept = step.wire.value.clone();
                    kept.kept = true;
                    Sourced::written(kept, origin, place)
                }
                None => {
                    reader.report(Finding::error(
                        "name/nothing-to-keep",
                        place,
                        "`wire keep` has no wire before it to keep.",
                    ));
                    return None;
                }
            },
            None => {
                if self.incomplete.is_none() {
                    reader.report(
                        Finding::error(
                            "name/step-without-wire",
                            line.place(),
                            format!("Which wire is placed in `{name}`?"),
                        )
                        .note("Write `wire NAME` on the step's line, or `wire keep`."),
                    );
                }
                return None;
            }
        };
        let until = match self.until {
            Some((condition, place)) => Sourced::written(condition, origin, place),
            None => {
                if self.incomplete.is_none() {
                    reader.report(no_end(line, &name));
                }
                return None;
            }
        };
        let mut step = Step {
            name,
            kind,
            source,
            place: line.place(),
            house_place: None,
            wire,
            form: self.form.map(|(f, place)| Sourced::written(f, origin, place)),
            ends: Ends { right: default_end(), left: default_end() },
            until,
            next: Sourced::default_value(NextVisit::Computed),
            settle: self.settle.map(|(s, place)| Sourced::written(s, origin, place)),
            acts: self.acts,
            carried: Vec::new(),
            departures: Vec::new(),
            incomplete: self.incomplete,
        };
        if let Some((next, place)) = self.next {
            step.next = Sourced::written(next, origin, place);
        }
        set_ends(&mut step.ends, self.ends, origin);
        Some(step)
    }

    /// The step of a sequence as this case changes it: the line replaces, the braces add.
    pub fn change(self, house: &Step, line: StatementRef<'_>, before: Option<&Step>) -> Step {
        let origin = Origin::Case;
        let mut step = house.clone();
        step.place = line.place();
        if let Some((said, place)) = self.wire {
            let value = match said {
                WireClause::Use { wire, tandem } => WireUse { wire, tandem, kept: false },
                WireClause::Keep => {
                    let mut kept =
                        before.map_or_else(|| step.wire.value.clone(), |b| b.wire.value.clone());
                    kept.kept = true;
                    kept
                }
            };
            step.wire = step.wire.displace(value, origin, place);
        }
        if let Some((form, place)) = self.form {
            step.form = Some(match step.form.take() {
                Some(old) => old.displace(form, origin, place),
                None => Sourced::written(form, origin, place),
            });
        }
        if let Some((until, place)) = self.until {
            step.until = step.until.displace(until, origin, place);
        }
        if let Some((next, place)) = self.next {
            step.next = step.next.displace(next, origin, place);
        }
        if let Some((settle, place)) = self.settle {
            step.settle = Some(match step.settle.take() {
                Some(old) => old.displace(settle, origin, place),
                None => Sourced::written(settle, origin, place),
            });
        }
        set_ends(&mut step.ends, self.ends, origin);
        for removal in &self.removals {
            remove(&mut step.acts, removal);
        }
        step.acts.extend(self.acts);
        step.incomplete = step.incomplete.or(self.incomplete);
        step
    }
}

fn no_end(line: StatementRef<'_>, name: &str) -> Finding {
    let end = springline_text::Span { start: line.span().end, end: line.span().end };
    let place = line.parse.place(end);
    let mut finding =
        Finding::error("name/step-without-end", line.place(), format!("When does `{name}` end?"))
            .why("A step without an end is never followed by the next one.");
    for until in ["passive", "6 wk", "doctor-decides"] {
        finding =
            finding.clinical_fix(format!("add `until {until}`"), place, format!(", until {until}"));
    }
    finding
}

fn set_ends(ends: &mut Ends, said: Vec<(Option<Side>, End, Place)>, origin: Origin) {
    for (side, end, place) in said {
        let sides = side.map_or(vec![Side::Right, Side::Left], |s| vec![s]);
        for side in sides {
            let slot = match side {
                Side::Right => &mut ends.right,
                Side::Left => &mut ends.left,
            };
            *slot = slot.clone().displace(end, origin, place);
        }
    }
}

/// Removes what the sequence contributed; only for the named teeth, where teeth are named.
fn remove(acts: &mut Vec<Act>, removal: &Removal) {
    acts.retain(|act| {
        if act.kind.keyword() != removal.what {
            return true;
        }
        !removal.teeth.is_empty() && !act.kind.teeth().iter().any(|t| removal.teeth.contains(t))
    });
}
