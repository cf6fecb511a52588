//! The house file.

use std::sync::Arc;

use jiff::civil::Weekday;

use super::duplicates;
use super::plausible as p;
use super::read::LoweringContext;
use super::step::StepBuilder;
use springline_finding::Finding;
use springline_model::house::{
    BookOn, ChairTime, House, LANGUAGES, Learned, PATIENT_TEXTS, PassiveRule, STAFF_TEXTS,
    Sequence, Task, main_language,
};
use springline_model::limits::{Limit, LimitFigures};
use springline_model::provenance::{Origin, Sourced};
use springline_model::step::{Step, StepSource};
use springline_model::stock::Name;
use springline_syntax::pattern::PlaceholderKind;
use springline_syntax::tree::{FieldValue, Parse, StatementRef};
use springline_units::quantity::{Dimension, mm};
use springline_units::tooth::Notation;

/// Reads a house file on top of `base`: the built-in house, or the house it uses.
pub fn house(parse: &Parse, base: House, findings: &mut Vec<Finding>) -> House {
    let mut house = base;
    let mut reader = LoweringContext::new(parse, notation_of(parse, house.notation.value));
    let lines: Vec<StatementRef<'_>> = parse.lines().filter(|l| l.is_read()).collect();
    // The language before the texts that are in it, the drawer before the sequences that name what is
    // in it: order means nothing here.
    let (texts, others): (Vec<&StatementRef<'_>>, Vec<&StatementRef<'_>>) =
        lines.iter().partition(|l| l.keyword() == Some("text"));
    for line in others.into_iter().chain(texts) {
        reader.house_line(*line, &mut house);
    }
    for line in &lines {
        if line.keyword() == Some("sequence") {
            reader.sequence(*line, &mut house);
        }
    }
    findings.append(&mut reader.findings);
    duplicates::check(parse, findings);
    house
}

/// The notation has to be known before any tooth is read.
fn notation_of(parse: &Parse, base: Notation) -> Notation {
    let line = parse.lines().find(|l| l.is_read() && l.keyword() == Some("notation"));
    match line {
        Some(l) if l.has("quadrant") => Notation::Quadrant,
        Some(l) if l.has("universal") => Notation::Universal,
        Some(_) => Notation::Iso,
        None => base,
    }
}

impl LoweringContext<'_> {
    fn house_line(&mut self, line: StatementRef<'_>, house: &mut House) {
        let place = line.place();
        let origin = Origin::House;
        match line.keyword() {
            Some("practice") => {
                if let Some(hole) = line.hole("title") {
                    house.title = hole.text().to_owned();
                }
            }
            Some("notation") => {
                let value = self.notation;
                house.notation = house.notation.clone().displace(value, origin, place);
            }
            Some("language") => {
                if let Some(hole) = line.hole("language") {
                    self.has_words(hole);
                    house.language =
                        house.language.clone().displace(hole.text().into(), origin, place);
                }
            }
            Some("chart") => {
                if let Some(hole) = line.hole("form") {
                    house.chart_form =
                        Some(Sourced::written(hole.text().to_owned(), origin, place));
                }
            }
            Some("clinic") => {
                let days: Vec<Weekday> =
                    line.holes(PlaceholderKind::Day).filter_map(|h| weekday(h.text())).collect();
                if !days.is_empty() {
                    house.clinic = house.clinic.clone().displace(days, origin, place);
                }
            }
            Some("closed") => {
                for hole in line.holes(PlaceholderKind::Dates).collect::<Vec<_>>() {
                    house.closed.extend(self.dates(hole));
                }
            }
            Some("interval") => self.interval(line, house),
            Some("task") => {
                let task = line.group().words().nth(1).and_then(Task::from_word);
                let minutes = line
                    .hole("time")
                    .and_then(|h| self.period(h, p::CHAIR_TIME))
                    .map(|t| t.minutes());
                if let (Some(task), Some(minutes)) = (task, minutes) {
                    house.minutes.insert(task, Sourced::written(minutes, origin, place));
                }
            }
            Some("chair-time") => self.chair_time(line, house),
            Some("doctor") => house.doctor = line.hole("person").map(|h| h.text().into()),
            Some("limit") => self.limit(line, house),
            Some("passive-when") => {
                let value = if line.has("no-bend") {
                    PassiveRule::NoBend
                } else {
                    PassiveRule::QuarterLeft
                };
                house.passive_when = house.passive_when.clone().displace(value, origin, place);
            }
            Some("book-on") => {
                let value = if line.has("rule-of-thumb") {
                    BookOn::RuleOfThumb
                } else {
                    BookOn::Prediction
                };
                house.book_on = house.book_on.clone().displace(value, origin, place);
                let at =
                    line.hole("percent").and_then(|h| self.figure(h, p::BOOK_PERCENT)?.percent());
                if let Some(at) = at {
                    house.book_at = house.book_at.clone().displace(at, origin, place);
                }
            }
            Some("form") => self.form(line, house),
            Some("bracket" | "tube") => self.bracket_stock(line, house),
            Some("wire") => self.wire_stock(line, house),
            Some("coil") => self.coil_stock(line, house),
            Some("elastic") => self.elastic_stock(line, house),
            Some("chain") => self.chain_stock(line, house),
            Some("stop") => self.stop_stock(line, house),
            Some("text") => {
                self.own_text(line, house);
            }
            Some("telephone") => {
                house.telephone = line.hole("number").map(|h| h.text().trim().to_owned());
            }
            Some("learned") => self.learned(line, house),
            Some("note") => house.notes.extend(line.hole("text").map(|h| h.text().to_owned())),
            _ => {}
        }
    }

    /// Patients get the words of that language, or English where there are none.
    fn has_words(&mut self, language: FieldValue<'_>) {
        let tag = main_language(language.text());
        if LANGUAGES.iter().any(|(own, _)| *own == tag) {
            return;
        }
        let built_in: Vec<String> =
            LANGUAGES.iter().map(|(tag, name)| format!("`{tag}` ({name})")).collect();
        self.report(
            Finding::warning(
                "name/unknown-language",
                language.place(),
                format!("No words for patients in `{}` come with the program.", language.text()),
            )
            .why("Patients would get their sheet in English.")
            .note(format!(
                "Built in: {}. For another language print with `--words FILE`.",
                built_in.join(", ")
            )),
        );
    }

    /// The practice's own wording; for patients in its own language, unless the line names another.
    fn own_text(&mut self, line: StatementRef<'_>, house: &mut House) {
        let (Some(name), Some(words)) = (line.hole("name"), line.hole("words")) else { return };
        let known: &[&str] = if line.has("staff") { &STAFF_TEXTS } else { &PATIENT_TEXTS };
        if !known.contains(&name.text()) {
            let list: Vec<String> = known.iter().map(|k| format!("`{k}`")).collect();
            self.report(
                Finding::warning(
                    "name/unknown-text",
                    name.place(),
                    format!("No page has a text called `{}`.", name.text()),
                )
                .why("It would be printed nowhere.")
                .note(format!("Texts that can be worded: {}.", list.join(", "))),
            );
        }
        let (name, words) = (Name::from(name.text()), words.text().to_owned());
        if line.has("staff") {
            house.staff_texts.insert(name, words);
            return;
        }
        let language = line.hole("language").map(|h| Name::from(h.text()));
        let language = language.unwrap_or_else(|| house.language.value.clone());
        house.patient_texts.entry(language).or_default().insert(name, words);
    }

    fn interval(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("times") else { return };
        let Some((from, to)) = self.figures(hole, p::INTERVAL) else { return };
        let (Some(from), Some(to)) = (from.period(), to.period()) else { return };
        if from.days() > to.days() {
            self.report(Finding::error(
                "unit/range-backwards",
                hole.place(),
                format!("The shortest interval ({from}) is longer than the longest ({to})."),
            ));
            return;
        }
        house.shortest = house.shortest.clone().displace(from, Origin::House, line.place());
        house.longest = house.longest.clone().displace(to, Origin::House, line.place());
    }

    fn chair_time(&mut self, line: StatementRef<'_>, house: &mut House) {
        let time = line.hole("time").and_then(|h| self.period(h, p::DAY_CHAIR_TIME));
        let Some(minutes) = time.map(|t| t.minutes()) else { return };
        let named: Vec<_> = line.holes(PlaceholderKind::Day).map(|h| weekday(h.text())).collect();
        let days = if named.is_empty() { vec![None] } else { named };
        for on in days {
            let same = |c: &&ChairTime| c.on == on && c.place.file == line.place().file;
            if let Some(first) = house.chair_time.iter().find(same).map(|c| c.place) {
                // No fix takes a line away: it may name other days as well.
                let text = "The chair time of a day is said twice.";
                let finding = duplicates::said_twice(text, line.place(), Some(first));
                self.report(finding.note("Leave each day in one of the two lines."));
                return;
            }
            house.chair_time.push(ChairTime { on, minutes, place: line.place() });
        }
    }

    fn limit(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(limit) = line.group().words().nth(1).and_then(Limit::from_word) else { return };
        let place = limit_place(limit);
        let Some(warn) = line.hole("warn").and_then(|h| self.figure(h, place)) else { return };
        let stop = match line.hole("stop") {
            Some(hole) => match self.figure(hole, place) {
                Some(stop) => Some(stop),
                None => return,
            },
            None => None,
        };
        let span = line.hole("span").and_then(|h| self.length(h, p::CHART_SPAN)).map(mm);
        if limit == Limit::Chart && span.is_none() && line.hole("span").is_none() {
            self.report(
                Finding::error(
                    "name/chart-without-span",
                    line.place(),
                    "Over which span of wire is the bench ceiling read?",
                )
                .why("A bench force means nothing without the span it was measured over.")
                .clinical_fix(
                    "add `over 14 mm span`",
                    self.place(springline_text::Span {
                        start: line.span().end,
                        end: line.span().end,
                    }),
                    " over 14 mm span",
                ),
            );
            return;
        }
        let unit = |q: springline_units::quantity::Quantity| match q.dimension() {
            Dimension::Length => q.in_unit(springline_units::quantity::Unit::Mm),
            Dimension::Force => q.in_unit(springline_units::quantity::Unit::G),
            Dimension::Couple => q.in_unit(springline_units::quantity::Unit::Nmm),
            _ => Some(q.value),
        };
        let (_, default_stop, _) = limit.default_figures();
        let Some(warn) = unit(warn) else { return };
        // A house that only moves the warning keeps the built-in stop, unless that lies below it.
        let stop = stop.and_then(unit).or(default_stop.filter(|s| *s > warn));
        let figures = LimitFigures { warn, stop, span_mm: span };
        let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
        let written = Sourced::written(figures, Origin::House, line.place());
        if teeth.is_empty() {
            let displaced = house.limits.of(limit);
            house
                .limits
                .general
                .insert(limit, displaced.displace(figures, Origin::House, line.place()));
        }
        for tooth in teeth {
            house.limits.by_tooth.insert((limit, tooth), written.clone());
        }
    }

    fn learned(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(on) = line.hole("date").and_then(|h| self.date(h)) else { return };
        for child in line.children().filter(|c| c.is_read() && c.keyword() == Some("active")) {
            let ratios: Vec<_> = child.holes(PlaceholderKind::Ratio).collect();
            let [factor, spread] = ratios[..] else { continue };
            let factor = self.figure(factor, p::LEARNED_FACTOR).and_then(|q| q.factor());
            let spread = self.figure(spread, p::LEARNED_FACTOR).and_then(|q| q.factor());
            let cases = child.hole("cases").or(child.hole("count")).and_then(|h| h.count());
            if let (Some(factor), Some(spread), Some(cases)) = (factor, spread, cases) {
                let wire: Option<Name> = child.hole("wire").map(|h| h.text().into());
                house.learned.push(Learned {
                    wire,
                    factor,
                    spread,
                    cases,
                    on,
                    place: child.place(),
                });
            }
        }
    }

    fn sequence(&mut self, line: StatementRef<'_>, house: &mut House) {
        let Some(hole) = line.hole("sequence") else { return };
        let name = Name::from(hole.text());
        if let Some(old) = house.sequences.get(&name)
            && old.place.file == hole.place().file
        {
            let first = old.place;
            self.doubled("sequence", &name, hole.place(), Some(first));
            return;
        }
        let mut steps: Vec<Step> = Vec::new();
        for child in line.children() {
            if !child.is_read() || child.keyword() != Some("step") {
                continue;
            }
            let Some(step_hole) = child.hole("step") else { continue };
            let step_name = Name::from(step_hole.text());
            if let Some(old) = steps.iter().find(|s| s.name == step_name) {
                let first = old.place;
                self.doubled("step", &step_name, step_hole.place(), Some(first));
                continue;
            }
            let Some(kind) = self.step_kind(child, &step_name) else { continue };
            let draft: StepBuilder = self.step_builder(child, house, Origin::Sequence);
            let source = StepSource::Sequence { sequence: name.clone() };
            let before = steps.last().cloned();
            if let Some(mut step) = draft.into_step(
                self,
                child,
                step_name,
                kind,
                source,
                Origin::Sequence,
                before.as_ref(),
            ) {
                step.house_place = Some(child.place());
                steps.push(step);
            }
        }
        let sequence = Sequence { name: name.clone(), steps, place: hole.place() };
        house.sequences.insert(name, Arc::new(sequence));
    }
}

fn limit_place(limit: Limit) -> p::Plausible {
    match limit.dimension() {
        _ if limit == Limit::Chart => p::CHART_FORCE,
        Dimension::Length => p::LIMIT_LENGTH,
        Dimension::Angle => p::LIMIT_ANGLE,
        Dimension::Couple => p::LIMIT_COUPLE,
        Dimension::Percent => p::LIMIT_PERCENT,
        Dimension::Ratio => p::LIMIT_FACTOR,
        _ => p::LIMIT_FORCE,
    }
}

fn weekday(text: &str) -> Option<Weekday> {
    Some(match text.to_ascii_lowercase().as_str() {
        "mon" => Weekday::Monday,
        "tue" => Weekday::Tuesday,
        "wed" => Weekday::Wednesday,
        "thu" => Weekday::Thursday,
        "fri" => Weekday::Friday,
        "sat" => Weekday::Saturday,
        "sun" => Weekday::Sunday,
        _ => return None,
    })
}
