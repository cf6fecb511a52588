//! The case file.

use std::sync::Arc;

use super::duplicates;
use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::{Code, Finding, Severity};
use springline_model::case::{Case, Debond, Growth, InPlace, Retention};
use springline_model::house::House;
use springline_model::provenance::Origin;
use springline_model::step::Step;
use springline_model::stock::Name;
use springline_syntax::tree::{Parse, StatementRef};
use springline_text::Place;
use springline_units::tooth::Arch;

/// What findings can be accepted: asked of the register of rules, which this layer does not know.
pub struct Acceptable<'a> {
    pub known: &'a dyn Fn(&str) -> Option<Code>,
    pub codes: &'a [&'a str],
}

/// Reads a case. `None` only where the text was not read at all or does not say it is a case.
pub fn case(
    parse: &Parse,
    house: Arc<House>,
    acceptable: &Acceptable<'_>,
    findings: &mut Vec<Finding>,
) -> Option<Case> {
    let mut reader = LoweringContext::new(parse, house.notation.value);
    let opening = parse.lines().find(|l| l.is_read() && l.keyword() == Some("case"))?;
    let hole = opening.hole("chart")?;
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
        if line.is_read() || matches!(line.keyword(), Some("upper" | "lower" | "elastics" | "seen"))
        {
            said.line(&mut reader, line);
            reader.case_line(line, &house, &mut case);
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

/// Statements that can be said once only.
#[derive(Default)]
struct OnceOnly(Vec<(&'static str, springline_text::Place)>);

impl OnceOnly {
    fn line(&mut self, reader: &mut LoweringContext<'_>, line: StatementRef<'_>) {
        const ONCE: [&str; 12] = [
            "case", "use", "doctor", "start", "in-place", "patient", "bite", "goal", "upper",
            "lower", "debond", "retain",
        ];
        let Some(keyword) = line.keyword().filter(|k| ONCE.contains(k)) else { return };
        if let Some((_, first)) = self.0.iter().find(|(k, _)| *k == keyword) {
            let first = *first;
            reader.said_twice(&format!("`{keyword}`"), line.place(), Some(first));
        } else {
            self.0.push((keyword, line.place()));
        }
    }
}

impl LoweringContext<'_> {
    fn case_line(&mut self, line: StatementRef<'_>, house: &House, case: &mut Case) {
        let place = line.place();
        match line.keyword() {
            Some("doctor") => case.doctor = line.hole("person").map(|h| h.text().into()),
            Some("start") => {
                case.start = line.hole("date").and_then(|h| self.date(h)).map(|d| (d, place));
            }
            Some("in-place") => case.in_place = self.in_place(line, house),
            Some("patient") => {
                case.growth = if line.has("growing") { Growth::Growing } else { Growth::Adult };
            }
            Some("bite") => case.bite = self.bite(line),
            Some("goal") => case.goal = Some(self.goal(line)),
            Some(word @ ("upper" | "lower")) => {
                let arch = if word == "upper" { Arch::Upper } else { Arch::Lower };
                if case.arch(arch).is_none() {
                    let block = self.arch_block(line, arch, house);
                    case.arches.push(block);
                    case.arches.sort_by_key(|a| a.arch);
                }
            }
            Some("elastics") => {
                let elastics = self.elastics(line, house);
                case.elastics.push(elastics);
            }
            Some("debond") => {
                let date = line.hole("date").and_then(|h| self.date(h));
                let because = line.hole("text").map(|h| h.text().to_owned());
                case.debond = Some(Debond { on: date, because, place });
            }
            Some("retain") => case.retention = Some(self.retention(line)),
            Some("seen") => {
                let visit = self.visit(line, house);
                case.visits.extend(visit);
            }
            Some("missed") => {
                let date = line.hole("date").and_then(|h| self.date(h));
                case.missed.extend(date.map(|d| (d, place)));
            }
            Some("records") => case.extras.extend(self.act(line, house, Origin::Case)),
            Some("note") => {
                case.notes.extend(line.hole("text").map(|h| (h.text().to_owned(), place)));
            }
            _ => {}
        }
    }

    fn in_place(&mut self, block: StatementRef<'_>, house: &House) -> Option<InPlace> {
        let on = self.date(block.hole("date")?)?;
        let mut out = InPlace { on, wires: Default::default(), place: block.place() };
        for line in block.children().filter(|l| l.is_read()) {
            let arch = if line.has("upper") { Arch::Upper } else { Arch::Lower };
            let Some(hole) = line.hole("wire") else { continue };
            let wire = self.lookup(hole, super::names::WIRE, &house.wires, &house.title);
            let since = line.hole("date").and_then(|h| self.date(h));
            let (Some(wire), Some(since)) = (wire, since) else { continue };
            if let Some((_, _, first)) = out.wires.insert(arch, (wire, since, line.place())) {
                let text = format!("The {arch} wire");
                self.said_twice(&text, line.place(), Some(first));
            }
        }
        Some(out)
    }

    fn retention(&mut self, block: StatementRef<'_>) -> Retention {
        let mut out = Retention { place: Some(block.place()), ..Retention::default() };
        for line in block.children().filter(|l| l.is_read()) {
            let period = line.hole("time").and_then(|h| self.period(h, p::RETAIN_TIME));
            match line.keyword() {
                Some("fixed") => {
                    let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                    out.fixed.push((teeth, period));
                }
                Some("night-time") => {
                    let arches = match () {
                        () if line.has("both") => vec![Arch::Upper, Arch::Lower],
                        () if line.has("upper") => vec![Arch::Upper],
                        () => vec![Arch::Lower],
                    };
                    out.night.extend(arches.into_iter().map(|a| (a, period)));
                }
                Some("check") => out.check = period,
                _ => {}
            }
        }
        out
    }

    /// Every `accept`, wherever it stands.
    fn accepts(&mut self, parse: &Parse, acceptable: &Acceptable<'_>, case: &mut Case) {
        for line in parse.all_lines().filter(|l| l.is_read() && l.keyword() == Some("accept")) {
            let (mut arch, mut step) = (None, None);
            let mut at = line.parent();
            while let Some(parent) = at {
                match parent.keyword() {
                    Some("upper") if parent.parent().is_none() => arch = Some(Arch::Upper),
                    Some("lower") if parent.parent().is_none() => arch = Some(Arch::Lower),
                    Some("step" | "change") => {
                        step = parent.hole("step").map(|h| Name::from(h.text()));
                    }
                    _ => {}
                }
                at = parent.parent();
            }
            let accept = self.accept(line, arch, step, acceptable.known, acceptable.codes);
            case.accepts.extend(accept);
        }
    }

    /// A step with an unread line is never judged without it, nor an arch; the line says so, once.
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

/// `from work` has to name a step of the case.
fn check_elastics_steps(reader: &mut LoweringContext<'_>, case: &Case) {
    for elastics in &case.elastics {
        let Some((name, _, place)) = &elastics.from else { continue };
        let steps: Vec<&str> =
            case.arches.iter().flat_map(|a| a.steps.iter().map(|s| s.name.as_ref())).collect();
        if steps.is_empty() || steps.contains(&name.as_ref()) {
            continue;
        }
        let mut finding =
            Finding::error("name/unknown-step", *place, format!("No step is called `{name}`."));
        let mut offered: Vec<&str> = Vec::new();
        for step in steps {
            if !offered.contains(&step) {
                offered.push(step);
            }
        }
        for step in offered {
            finding = finding.clinical_fix(format!("write `{step}`"), *place, step);
        }
        reader.report(finding);
    }
}
