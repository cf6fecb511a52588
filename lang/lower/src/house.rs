//! Lowers a practice file.

use std::sync::Arc;

use jiff::civil::Weekday;

use super::duplicates;
use super::plausible as p;
use super::read::LoweringContext;
use super::step::StepBuilder;
use super::word_values;
use springline_finding::Finding;
use springline_model::house::{
    ChairTime, House, LANGUAGES, Learned, LearnedChair, OwnFriction, PATIENT_TEXTS, STAFF_TEXTS,
    Sequence, main_language,
};
use springline_model::limits::{Limit, LimitFigures};
use springline_model::provenance::{Origin, Sourced};
use springline_model::step::{Step, StepSource};
use springline_model::stock::{Name, Wire};
use springline_syntax::ast::{
    ActiveLine, BindsFromLine, ChairTimeLine, DayField, FrictionLine, HouseStatement, IntervalLine,
    LearnedLine, LearnedOfPart, LimitLine, NameField, NotationLine, PracticeLine, ReaderWord,
    SequenceLine, SequenceStatement, TextLine,
};
use springline_syntax::tree::Parse;
use springline_units::quantity::{Dimension, Unit, factor, mm, plain};
use springline_units::tooth::Notation;

/// Lowers a practice file on top of `base`: the built-in practice, or the practice file it uses.
pub fn house(parse: &Parse, base: House, findings: &mut Vec<Finding>) -> House {
    let mut house = base;
    let mut reader = LoweringContext::new(parse, notation_of(parse, house.notation.value));
    for line in parse.lines().filter_map(PracticeLine::cast) {
        house.title = line.title.text().to_owned();
    }
    let lines: Vec<HouseStatement<'_>> = parse.lines().filter_map(HouseStatement::cast).collect();
    // Order in the file is free: the language is read before the texts that depend on it, the stock
    // before the sequences that name it.
    let (texts, others): (Vec<&HouseStatement<'_>>, Vec<&HouseStatement<'_>>) =
        lines.iter().partition(|line| matches!(line, HouseStatement::Text(_)));
    for line in others.into_iter().chain(texts) {
        reader.house_line(*line, &mut house);
    }
    in_mouth(&mut house);
    for wire in house.wires.values().filter(|w| w.place.file == parse.file) {
        reader.findings.extend(soft_in_mouth(wire));
    }
    for line in &lines {
        if let HouseStatement::Sequence(line) = line {
            reader.sequence(*line, &mut house);
        }
    }
    findings.append(&mut reader.findings);
    duplicates::check(parse, findings);
    house
}

/// Wires as they are in the mouth of this practice; those of the practice it builds on too, and in its sequences.
fn in_mouth(house: &mut House) {
    let mouth_c = house.mouth_c.value;
    let warm = |wire: &mut Arc<Wire>| {
        if wire.mouth_c != mouth_c {
            Arc::make_mut(wire).mouth_c = mouth_c;
        }
    };
    house.wires.values_mut().for_each(warm);
    for sequence in house.sequences.values_mut() {
        let wires = |s: &Step| {
            [Some(&s.wire.value.wire), s.wire.value.tandem.as_ref()]
                .map(|w| w.is_some_and(|w| w.mouth_c != mouth_c))
        };
        if !sequence.steps.iter().any(|s| wires(s).contains(&true)) {
            continue;
        }
        for step in &mut Arc::make_mut(sequence).steps {
            let used = &mut step.wire.value;
            warm(&mut used.wire);
            used.tandem.iter_mut().for_each(warm);
        }
    }
}

/// A wire of the drawer whose Af lies above the temperature of the mouth.
fn soft_in_mouth(wire: &Wire) -> Option<Finding> {
    let (af_c, mouth_c) = (wire.soft_in_mouth()?, wire.mouth_c);
    let finding = Finding::warning(
        "unit/af-above-mouth",
        wire.place,
        format!(
            "The Af of `{}`, {} C, lies above the {} C of the mouth: it is soft there, not superelastic.",
            wire.name,
            plain(af_c),
            plain(mouth_c)
        ),
    );
    Some(
        finding
            .figure(af_c, mouth_c, Unit::C)
            .note("Correct the Af or the `mouth-temperature`, or do without the wire; every step that uses it is reported.")
            .why("Below its Af nickel-titanium is partly martensite: it keeps a bend and pushes little."),
    )
}

/// The notation must be known before any tooth is read.
fn notation_of(parse: &Parse, base: Notation) -> Notation {
    let line = parse.lines().find_map(NotationLine::cast);
    line.map_or(base, |line| word_values::notation(line.notation))
}

impl LoweringContext<'_> {
    fn house_line(&mut self, statement: HouseStatement<'_>, house: &mut House) {
        let origin = Origin::House;
        match statement {
            HouseStatement::Notation(line) => {
                let (value, place) = (self.notation, line.statement.place());
                house.notation = house.notation.clone().displace(value, origin, place);
            }
            HouseStatement::Language(line) => {
                self.has_words(line.language);
                let (value, place) = (line.language.text().into(), line.statement.place());
                house.language = house.language.clone().displace(value, origin, place);
            }
            HouseStatement::Chart(line) => {
                let (form, place) = (line.form.text().to_owned(), line.statement.place());
                house.chart_form = Some(Sourced::written(form, origin, place));
            }
            HouseStatement::Clinic(line) => {
                let days: Vec<Weekday> = line.days.iter().filter_map(weekday).collect();
                if !days.is_empty() {
                    let place = line.statement.place();
                    house.clinic = house.clinic.clone().displace(days, origin, place);
                }
            }
            HouseStatement::Closed(line) => {
                for dates in line.dates {
                    house.closed.extend(self.dates(dates));
                }
            }
            HouseStatement::Interval(line) => self.interval(line, house),
            HouseStatement::Task(line) => {
                let minutes = self.period(line.time, p::CHAIR_TIME).map(|t| t.minutes());
                if let Some(minutes) = minutes {
                    let written = Sourced::written(minutes, origin, line.statement.place());
                    house.minutes.insert(word_values::task(line.task), written);
                }
            }
            HouseStatement::ChairTime(line) => self.chair_time(line, house),
            HouseStatement::Doctor(line) => house.doctor = Some(line.person.text().into()),
            HouseStatement::Limit(line) => self.limit(line, house),
            HouseStatement::PassiveWhen(line) => {
                let value = word_values::passive_rule(line.passive_rule);
                let place = line.statement.place();
                house.passive_when = house.passive_when.clone().displace(value, origin, place);
            }
            HouseStatement::BookOn(line) => {
                let (value, place) = (word_values::booking(line.booking), line.statement.place());
                house.book_on = house.book_on.clone().displace(value, origin, place);
                let at = line.percent.and_then(|field| self.percent(field, p::BOOK_PERCENT));
                if let Some(at) = at {
                    house.book_at = house.book_at.clone().displace(at, origin, place);
                }
            }
            HouseStatement::MouthTemperature(line) => {
                if let Some(celsius) = self.celsius(line.mouth, p::MOUTH) {
                    let place = line.statement.place();
                    house.mouth_c = house.mouth_c.clone().displace(celsius, origin, place);
                }
            }
            HouseStatement::Prominence(line) => {
                let teeth = self.teeth(line.teeth);
                if let Some(length) = self.length(line.length, p::PROMINENCE) {
                    house.prominence.extend(teeth.into_iter().map(|t| (t, length)));
                }
            }
            HouseStatement::SlotHeight(line) => {
                let teeth = self.teeth(line.teeth);
                if let Some(length) = self.length(line.length, p::SLOT_HEIGHT) {
                    house.slot_height.extend(teeth.into_iter().map(|t| (t, length)));
                }
            }
            HouseStatement::Friction(line) => self.friction(line, house),
            HouseStatement::HouseForm(line) => self.form(line, house),
            HouseStatement::Bracket(line) => {
                self.bracket_stock(line.statement, line.bracket, false, house);
            }
            HouseStatement::Tube(line) => {
                self.bracket_stock(line.statement, line.bracket, true, house);
            }
            HouseStatement::Wire(line) => self.wire_stock(line, house),
            HouseStatement::Coil(line) => self.coil_stock(line, house),
            HouseStatement::Elastic(line) => self.elastic_stock(line, house),
            HouseStatement::HouseChain(line) => self.chain_stock(line, house),
            HouseStatement::HouseStop(line) => self.stop_stock(line, house),
            HouseStatement::Text(line) => self.own_text(line, house),
            HouseStatement::Telephone(line) => {
                house.telephone = Some(line.number.text().trim().to_owned());
            }
            HouseStatement::Learned(line) => self.learned(line, house),
            HouseStatement::Note(line) => house.notes.push(line.text.text().to_owned()),
            // The one it builds on is found before; sequences come when all they name is there.
            HouseStatement::Use(_) | HouseStatement::Sequence(_) => {}
            // There is one set of built-in values so far.
            HouseStatement::Defaults(_) => {}
        }
    }

    /// The patient language; English where the language has no wording.
    fn has_words(&mut self, language: NameField<'_>) {
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
    fn own_text(&mut self, line: TextLine<'_>, house: &mut House) {
        let (name, words) = (line.name, line.words);
        let known: &[&str] = match line.reader {
            ReaderWord::Staff => &STAFF_TEXTS,
            ReaderWord::Patient => &PATIENT_TEXTS,
        };
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
        if line.reader == ReaderWord::Staff {
            house.staff_texts.insert(name, words);
            return;
        }
        let language = line.language.map(|field| Name::from(field.text()));
        let language = language.unwrap_or_else(|| house.language.value.clone());
        house.patient_texts.entry(language).or_default().insert(name, words);
    }

    fn interval(&mut self, line: IntervalLine<'_>, house: &mut House) {
        let Some((from, to)) = self.periods(line.times, p::INTERVAL) else { return };
        if from.days() > to.days() {
            self.report(Finding::error(
                "unit/range-backwards",
                line.times.place(),
                format!("The shortest interval ({from}) is longer than the longest ({to})."),
            ));
            return;
        }
        let place = line.statement.place();
        house.shortest = house.shortest.clone().displace(from, Origin::House, place);
        house.longest = house.longest.clone().displace(to, Origin::House, place);
    }

    fn chair_time(&mut self, line: ChairTimeLine<'_>, house: &mut House) {
        let time = self.period(line.time, p::DAY_CHAIR_TIME);
        let Some(minutes) = time.map(|t| t.minutes()) else { return };
        let place = line.statement.place();
        let named: Vec<_> = line.days.iter().map(weekday).collect();
        let days = if named.is_empty() { vec![None] } else { named };
        for on in days {
            let same = |c: &&ChairTime| c.on == on && c.place.file == place.file;
            if let Some(first) = house.chair_time.iter().find(same).map(|c| c.place) {
                // No fix removes the line: it may name other days as well.
                let text = "The chair time of a day is said twice.";
                let finding = duplicates::said_twice(text, place, Some(first));
                self.report(finding.note("Leave each day in one of the two lines."));
                return;
            }
            house.chair_time.push(ChairTime { on, minutes, place });
        }
    }

    fn limit(&mut self, line: LimitLine<'_>, house: &mut House) {
        let limit = word_values::limit(line.limit);
        let place = limit_place(limit);
        let Some(warn) = self.figure_of_any(line.warn, place) else { return };
        let stop = match line.stop {
            Some(field) => match self.figure_of_any(field, place) {
                Some(stop) => Some(stop),
                None => return,
            },
            None => None,
        };
        let span = line.span.and_then(|field| self.length(field, p::CHART_SPAN)).map(mm);
        let (at, statement) = (line.statement.place(), line.statement.span());
        if limit == Limit::Chart && span.is_none() && line.span.is_none() {
            self.report(
                Finding::error(
                    "name/chart-without-span",
                    at,
                    "Over which span of wire is the bench ceiling read?",
                )
                .why("A bench force means nothing without the span it was measured over.")
                .clinical_fix(
                    "add `over 14 mm span`",
                    self.place(springline_text::Span { start: statement.end, end: statement.end }),
                    " over 14 mm span",
                ),
            );
            return;
        }
        if !self.said_of_order(&line, limit) {
            return;
        }
        let unit = |q: springline_units::quantity::Quantity| q.in_unit(limit.kept_in());
        let (_, default_stop, _) = limit.default_figures();
        let Some(warn) = unit(warn) else { return };
        // A practice that sets only the warning limit keeps the built-in error limit, unless that is
        // lower.
        let stop = stop.and_then(unit).or(default_stop.filter(|s| *s > warn));
        let figures = LimitFigures { warn, stop, span_mm: span };
        let teeth = self.teeth_if_said(line.teeth);
        let written = Sourced::written(figures, Origin::House, at);
        if teeth.is_empty() {
            let displaced = house.limits.of(limit);
            let displaced = displaced.displace(figures, Origin::House, at);
            house.limits.general.insert(limit, displaced);
        }
        for tooth in teeth {
            house.limits.by_tooth.insert((limit, tooth), written.clone());
        }
    }

    /// Whether a limit of the order of wires has no more than its one figure.
    fn said_of_order(&mut self, line: &LimitLine<'_>, limit: Limit) -> bool {
        let word = limit.word();
        let cut = match (line.stop, line.teeth) {
            (Some(stop), _) if limit.is_of_order() => {
                Some((stop.place(), format!("`limit {word}` has one figure and no error limit.")))
            }
            (_, Some(teeth)) if limit.is_of_wire() => {
                Some((teeth.place(), format!("`limit {word}` is of a wire, not of single teeth.")))
            }
            _ => None,
        };
        let Some((place, text)) = cut else { return true };
        let why = "Said here it would change nothing.";
        self.report(Finding::error("name/limit-says-too-much", place, text).why(why));
        false
    }

    fn friction(&mut self, line: FrictionLine<'_>, house: &mut House) {
        let mut read = |field| self.factor(field, p::FRICTION).map(factor);
        let Some(coefficient) = read(line.coefficient) else { return };
        let range = line.low.and_then(&mut read).zip(line.high.and_then(&mut read));
        let place = line.statement.place();
        if range.is_some_and(|(low, high)| !(low <= coefficient && coefficient <= high)) {
            let text = "The coefficient of friction lies outside its own range.";
            self.report(Finding::error("unit/outside-its-range", place, text));
            return;
        }
        let own = OwnFriction { coefficient, range: range.map(|(low, high)| [low, high]), place };
        house.friction.insert(word_values::sliding_alloy(line.sliding_alloy), own);
    }

    fn learned(&mut self, line: LearnedLine<'_>, house: &mut House) {
        let Some(on) = self.date(line.date) else { return };
        for line in line.statement.children().filter_map(BindsFromLine::cast) {
            let [half, low, high] =
                [line.limit, line.low, line.high].map(|f| self.force(f, p::LEARNED_FORCE));
            let spread = self.factor(line.spread, p::LEARNED_FACTOR);
            if let (Some(half), Some(low), Some(high), Some(spread), Some(visits)) =
                (half, low, high, spread, line.visits.count())
            {
                let place = line.statement.place();
                let learned = LearnedChair { half, low, high, spread, visits, on, place };
                house.learned_chair = Some(learned);
            }
        }
        for line in line.statement.children().filter_map(ActiveLine::cast) {
            let factor = self.factor(line.factor, p::LEARNED_FACTOR);
            let spread = self.factor(line.spread, p::LEARNED_FACTOR);
            if let (Some(factor), Some(spread), Some(cases)) = (factor, spread, line.cases.count())
            {
                let wire: Option<Name> = match line.learned_of {
                    LearnedOfPart::Practice => None,
                    LearnedOfPart::Wire(field) => Some(field.text().into()),
                };
                let place = line.statement.place();
                house.learned.push(Learned { wire, factor, spread, cases, on, place });
            }
        }
    }

    fn sequence(&mut self, line: SequenceLine<'_>, house: &mut House) {
        let hole = line.sequence;
        let name = Name::from(hole.text());
        if let Some(old) = house.sequences.get(&name)
            && old.place.file == hole.place().file
        {
            let first = old.place;
            self.doubled("sequence", &name, hole.place(), Some(first));
            return;
        }
        let mut steps: Vec<Step> = Vec::new();
        for statement in line.statement.children().filter_map(SequenceStatement::cast) {
            let SequenceStatement::Step(step) = statement;
            let (child, step_hole) = (step.statement, step.step);
            let step_name = Name::from(step_hole.text());
            if let Some(old) = steps.iter().find(|s| s.name == step_name) {
                let first = old.place;
                self.doubled("step", &step_name, step_hole.place(), Some(first));
                continue;
            }
            let Some(kind) = self.step_kind(step, &step_name) else { continue };
            let draft: StepBuilder =
                self.step_builder(child, step.clauses, house, Origin::Sequence);
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
        _ if limit.kept_in() == springline_units::quantity::Unit::In => p::WIRE_SIZE,
        Dimension::Time => p::STEP_TIME,
        Dimension::Length => p::LIMIT_LENGTH,
        Dimension::Angle => p::LIMIT_ANGLE,
        Dimension::Couple => p::LIMIT_COUPLE,
        Dimension::Percent => p::LIMIT_PERCENT,
        Dimension::Ratio => p::LIMIT_FACTOR,
        _ => p::LIMIT_FORCE,
    }
}

fn weekday(day: DayField<'_>) -> Option<Weekday> {
    Some(match day.text().to_ascii_lowercase().as_str() {
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
