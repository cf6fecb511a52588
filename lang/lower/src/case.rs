//! Lowers a case file.

use std::sync::Arc;

use super::duplicates;
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::{Code, Finding, Severity};
use springline_model::case::{ArchCase, Case, Debond, Growth, InPlace, Retention};
use springline_model::house::House;
use springline_model::provenance::Origin;
use springline_model::step::Step;
use springline_model::stock::Name;
use springline_syntax::ast::{
    AcceptLine, CaseLine, CaseStatement, InPlaceLine, InPlaceStatement, RetainLine,
    RetainStatement, StatementKind, StepStatement,
};
use springline_syntax::tree::{Parse, StatementRef};
use springline_text::Place;
use springline_text::nearest::distance;
use springline_units::tooth::Arch;

/// Which findings can be accepted. The caller answers from the register of rules, which this layer does
/// not know.
pub struct Acceptable<'a> {
    pub known: &'a dyn Fn(&str) -> Option<Code>,
    pub codes: &'a [&'a str],
}

/// Lowers a case. `None` only where the text was not parsed at all or is not a case.
pub fn case(
    parse: &Parse,
    house: Arc<House>,
    acceptable: &Acceptable<'_>,
    findings: &mut Vec<Finding>,
) -> Option<Case> {
    let mut reader = LoweringContext::new(parse, house.notation.value);
    let hole = parse.lines().find_map(CaseLine::cast)?.chart;
    if let Some(form) = house.chart_form.as_ref().filter(|_| !house.accepts_chart(hole.text())) {
        reader.report(
            Finding::warning(
                "name/chart-form",
                hole.place(),
                format!("`{}` is not a chart reference of this practice.", hole.text()),
            )
            .why("The chart reference stands on every page, and a patient's name never does.")
            .note(format!("The practice file writes them as `{}`, # for a digit.", form.value)),
        );
    }
    let mut case = Case {
        chart: hole.text().to_owned(),
        chart_place: hole.place(),
        house: house.clone(),
        doctor: None,
        start: None,
        in_place: None,
        growth: Growth::Unknown,
        age: None,
        tooth_size: None,
        bite: Default::default(),
        goal: None,
        arches: Vec::new(),
        elastics: Vec::new(),
        debond: None,
        retention: None,
        visits: Vec::new(),
        missed: Vec::new(),
        accepts: Vec::new(),
        extras: Vec::new(),
        notes: Vec::new(),
    };
    let mut said = OnceOnly::default();
    for line in parse.lines() {
        if line.is_read() || opens_block(line) {
            said.line(&mut reader, line);
        }
        match CaseStatement::cast(line) {
            Some(statement) => reader.case_line(statement, &house, &mut case),
            None => reader.unread_block(line, &house, &mut case),
        }
    }
    reader.accepts(parse, acceptable, &mut case);
    reader.not_judged(&case);
    check_elastics_steps(&mut reader, &case);
    super::unnamed_wire::check(&mut reader, &case);
    findings.append(&mut reader.findings);
    duplicates::check(parse, findings);
    Some(case)
}

/// What is in an arch, or in elastics, is read even where the line that opens them cannot be.
fn opens_block(line: StatementRef<'_>) -> bool {
    use StatementKind::{Elastics, Lower, Upper};
    matches!(line.kind(), Some(Upper | Lower | Elastics))
}

/// Statements that may occur only once.
#[derive(Default)]
struct OnceOnly(Vec<(StatementKind, springline_text::Place)>);

impl OnceOnly {
    fn line(&mut self, reader: &mut LoweringContext<'_>, line: StatementRef<'_>) {
        const ONCE: [StatementKind; 12] = [
            StatementKind::Case,
            StatementKind::Use,
            StatementKind::Doctor,
            StatementKind::CaseStart,
            StatementKind::InPlace,
            StatementKind::Patient,
            StatementKind::Bite,
            StatementKind::Goal,
            StatementKind::Upper,
            StatementKind::Lower,
            StatementKind::Debond,
            StatementKind::Retain,
        ];
        let Some(kind) = line.kind().filter(|kind| ONCE.contains(kind)) else { return };
        if let Some((_, first)) = self.0.iter().find(|(known, _)| *known == kind) {
            let first = *first;
            let keyword = line.keyword().unwrap_or_default();
            reader.said_twice(&format!("`{keyword}`"), line.place(), Some(first));
        } else {
            self.0.push((kind, line.place()));
        }
    }
}

impl LoweringContext<'_> {
    fn case_line(&mut self, statement: CaseStatement<'_>, house: &House, case: &mut Case) {
        match statement {
            CaseStatement::Doctor(line) => case.doctor = Some(line.person.text().into()),
            CaseStatement::CaseStart(line) => {
                let place = line.statement.place();
                case.start = self.date(line.date).map(|d| (d, place));
            }
            CaseStatement::InPlace(line) => case.in_place = self.in_place(line, house),
            CaseStatement::Patient(line) => {
                case.growth = word_values::growth(line.growth);
                case.age = self.age(line);
            }
            CaseStatement::ToothSizeRatio(line) => {
                case.tooth_size = case.tooth_size.take().or_else(|| self.tooth_size(line));
            }
            CaseStatement::Bite(line) => case.bite = self.bite(line.statement),
            CaseStatement::Goal(line) => case.goal = Some(self.goal(line.statement)),
            CaseStatement::Upper(line) => self.case_arch(line.statement, Arch::Upper, house, case),
            CaseStatement::Lower(line) => self.case_arch(line.statement, Arch::Lower, house, case),
            CaseStatement::Elastics(line) => {
                let elastics = self.elastics(line.statement, house);
                case.elastics.push(elastics);
            }
            CaseStatement::Debond(line) => {
                let on = line.date.and_then(|field| self.date(field));
                let because = line.text.map(|field| field.text().to_owned());
                case.debond = Some(Debond { on, because, place: line.statement.place() });
            }
            CaseStatement::Retain(line) => case.retention = Some(self.retention(line)),
            CaseStatement::Seen(line) => {
                let visit = self.visit(line, house);
                case.visits.extend(visit);
            }
            CaseStatement::Missed(line) => {
                let place = line.statement.place();
                case.missed.extend(self.date(line.date).map(|d| (d, place)));
            }
            CaseStatement::Records(line) => {
                let statement = StepStatement::Records(line);
                case.extras.extend(self.act(line.statement, statement, house, Origin::Case));
            }
            CaseStatement::Note(line) => {
                case.notes.push((line.text.text().to_owned(), line.statement.place()));
            }
            // The practice file is found before, and what is accepted is read last.
            CaseStatement::Use(_) | CaseStatement::Accept(_) => {}
        }
    }

    fn unread_block(&mut self, line: StatementRef<'_>, house: &House, case: &mut Case) {
        match line.kind() {
            Some(StatementKind::Upper) => self.case_arch(line, Arch::Upper, house, case),
            Some(StatementKind::Lower) => self.case_arch(line, Arch::Lower, house, case),
            Some(StatementKind::Elastics) => {
                let elastics = self.elastics(line, house);
                case.elastics.push(elastics);
            }
            _ => {}
        }
    }

    fn case_arch(&mut self, line: StatementRef<'_>, arch: Arch, house: &House, case: &mut Case) {
        if case.arch(arch).is_none() {
            let block = self.arch_block(line, arch, house);
            case.arches.push(block);
            case.arches.sort_by_key(|a| a.arch);
        }
    }

    fn in_place(&mut self, block: InPlaceLine<'_>, house: &House) -> Option<InPlace> {
        let on = self.date(block.date)?;
        let block = block.statement;
        let mut out = InPlace { on, wires: Default::default(), place: block.place() };
        for statement in block.children().filter_map(InPlaceStatement::cast) {
            let InPlaceStatement::InPlaceArch(line) = statement;
            let (arch, place) = (word_values::arch(line.arch), line.statement.place());
            let wire = self.lookup(line.wire, super::names::WIRE, &house.wires, &house.title);
            let since = self.date(line.date);
            let (Some(wire), Some(since)) = (wire, since) else { continue };
            if let Some((_, _, first)) = out.wires.insert(arch, (wire, since, place)) {
                let text = format!("The {arch} wire");
                self.said_twice(&text, place, Some(first));
            }
        }
        Some(out)
    }

    fn retention(&mut self, block: RetainLine<'_>) -> Retention {
        let block = block.statement;
        let mut out = Retention { place: Some(block.place()), ..Retention::default() };
        for line in block.children().filter_map(RetainStatement::cast) {
            match line {
                RetainStatement::Fixed(line) => {
                    let period = line.time.and_then(|field| self.period(field, p::RETAIN_TIME));
                    out.fixed.push((self.teeth(line.teeth), period));
                }
                RetainStatement::NightTime(line) => {
                    let period = line.time.and_then(|field| self.period(field, p::RETAIN_TIME));
                    let arches = word_values::retained(line.retained);
                    out.night.extend(arches.iter().map(|a| (*a, period)));
                }
                RetainStatement::Check(line) => out.check = self.period(line.time, p::RETAIN_TIME),
            }
        }
        out
    }

    /// Every `accept` line, in any block.
    fn accepts(&mut self, parse: &Parse, acceptable: &Acceptable<'_>, case: &mut Case) {
        for line in parse.all_lines().filter_map(AcceptLine::cast) {
            let (mut arch, mut step) = (None, None);
            let mut at = line.statement.parent();
            while let Some(parent) = at {
                match parent.kind() {
                    Some(StatementKind::Upper) => arch = Some(Arch::Upper),
                    Some(StatementKind::Lower) => arch = Some(Arch::Lower),
                    Some(StatementKind::Step | StatementKind::Change) => {
                        step = parent.step_name().map(|field| Name::from(field.text()));
                    }
                    _ => {}
                }
                at = parent.parent();
            }
            let accept = self.accept(line, arch, step, acceptable.known, acceptable.codes);
            case.accepts.extend(accept);
        }
    }

    /// Neither a step nor an arch is judged without a line that could not be read; the finding at the
    /// line says so once.
    fn not_judged(&mut self, case: &Case) {
        for arch in &case.arches {
            let mut lines: Vec<(Place, Vec<&Step>)> = Vec::new();
            for step in &arch.steps {
                let Some(place) = step.incomplete.filter(|p| p.file == self.parse.file) else {
                    continue;
                };
                match lines.iter_mut().find(|(p, _)| *p == place) {
                    Some((_, steps)) => steps.push(step),
                    None => lines.push((place, vec![step])),
                }
            }
            for (place, steps) in lines {
                self.report(not_judged(arch.arch, place, &steps));
            }
        }
    }
}

fn not_judged(arch: Arch, place: Place, steps: &[&Step]) -> Finding {
    let advice = |what: String| {
        let text = format!("The {arch} {what} is not checked while this line cannot be read.");
        Finding::new("syntax/not-judged", Severity::Advice, place, text)
    };
    match steps {
        [step] => advice(format!("step `{}`", step.name)).step(step.name.clone()),
        _ => advice("arch".to_owned()),
    }
}

/// `from work` and `until step finish` have to name a step of the case.
fn check_elastics_steps(reader: &mut LoweringContext<'_>, case: &Case) {
    let from = |e: &springline_model::case::Elastics| {
        e.from.as_ref().map(|(name, _, place)| (name.clone(), *place))
    };
    let named = case.elastics.iter().flat_map(|e| from(e).into_iter().chain(e.until_step.clone()));
    for (name, place) in named {
        let steps: Vec<&str> =
            case.arches.iter().flat_map(|a| a.steps.iter().map(|s| s.name.as_ref())).collect();
        if steps.is_empty() || steps.contains(&name.as_ref()) {
            continue;
        }
        let mut finding =
            Finding::error("name/unknown-step", place, format!("No step is called `{name}`."));
        let mut offered: Vec<&str> = Vec::new();
        for step in steps {
            if !offered.contains(&step) {
                offered.push(step);
            }
        }
        for step in offered {
            finding = finding.clinical_fix(format!("write `{step}`"), place, step);
        }
        reader.report(finding);
    }
    for elastics in &case.elastics {
        if let Some((name, place)) = from(elastics) {
            slip_in_one_arch(case, &name, place).into_iter().for_each(|f| reader.report(f));
        }
    }
}

/// Elastics begin with a step of one arch, and the other arch has one that differs by a slip of the finger and that no
/// other arch has: only one of the two is the step that is meant.
fn slip_in_one_arch(case: &Case, name: &Name, place: Place) -> Option<Finding> {
    let has = |arch: &ArchCase, step: &str| arch.steps.iter().any(|s| *s.name == *step);
    if !case.arches.iter().any(|a| has(a, name)) {
        return None;
    }
    let without = case.arches.iter().find(|a| !has(a, name) && !a.steps.is_empty())?;
    let only_there = without.steps.iter().map(|s| s.name.as_ref());
    let only_there =
        only_there.filter(|s| !case.arches.iter().any(|a| a.arch != without.arch && has(a, s)));
    // Numbered steps differ by more than a slip.
    let bare = |s: &str| s.trim_end_matches(|c: char| c.is_ascii_digit()).to_owned();
    let mut slips = only_there.filter(|s| distance(name, s) == 1 && bare(s) != bare(name));
    let near = slips.next()?;
    let other = without.steps.iter().find(|s| *s.name == *near)?;
    let message = format!(
        "The elastics begin with `{name}`, and the {} arch has `{near}` in its place.",
        without.arch
    );
    let finding = Finding::new("name/unknown-step", Severity::Warning, place, message)
        .why("In that arch the elastics begin with no step of its own.");
    Some(finding.related(other.place, "here"))
}
