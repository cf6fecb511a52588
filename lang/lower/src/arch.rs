//! An `upper` or `lower` block: teeth, stands, and the steps with their departures.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::carry::carry;
use super::duplicates;
use super::names::{FORM, SEQUENCE};
use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::{Finding, FixKind, Severity};
use springline_model::builtin;
use springline_model::case::{Anchorage, ArchCase, Bonding, Caution, Gap, ToothState};
use springline_model::departure::departures;
use springline_model::house::{House, Sequence};
use springline_model::provenance::{Origin, Sourced};
use springline_model::stand::InOut;
use springline_model::step::{Step, StepSource};
use springline_model::stock::{Bracket, Name};
use springline_syntax::pattern::PlaceholderKind;
use springline_syntax::tree::StatementRef;
use springline_text::Place;
use springline_units::tooth::{Arch, Tooth};

impl LoweringContext<'_> {
    pub fn arch_block(&mut self, line: StatementRef<'_>, arch: Arch, house: &House) -> ArchCase {
        self.arch = Some(arch);
        let mut out = ArchCase {
            arch,
            place: line.place(),
            bonded: BTreeMap::new(),
            states: BTreeMap::new(),
            stands: BTreeMap::new(),
            hooks: BTreeSet::new(),
            buttons: Vec::new(),
            cautions: Vec::new(),
            gaps: Vec::new(),
            midline: None,
            crowding: None,
            form: Sourced::default_value(builtin::form(arch)),
            start: None,
            anchorage: None,
            bars: Vec::new(),
            screws: Vec::new(),
            extras: Vec::new(),
            follows: None,
            skipped: Vec::new(),
            steps: Vec::new(),
            notes: Vec::new(),
            unread: line.children().find(|c| !c.is_read() && bears(*c)).map(StatementRef::place),
        };
        // A house with one arch form means it for every arch.
        if house.forms.len() == 1
            && let Some(form) = house.forms.values().next()
            && let Some(place) = form.place
        {
            out.form = out.form.displace(form.clone(), Origin::House, place);
        }
        let lines: Vec<StatementRef<'_>> = line.children().filter(|c| c.is_read()).collect();
        // Absent teeth first: they drop out of stretches.
        for child in &lines {
            self.state_line(*child, &mut out);
        }
        for child in &lines {
            let before = self.findings.len();
            self.arch_line(*child, house, &mut out);
            out.unread = out.unread.or_else(|| self.nothing_read_since(before));
        }
        self.spread_crowding(&mut out);
        self.steps(line, house, &mut out);
        // Without that line the teeth are not as the doctor has them: no step can be judged.
        if let Some(place) = out.unread {
            for step in &mut out.steps {
                step.incomplete.get_or_insert(place);
            }
        }
        carry(&mut out.steps);
        self.arch = None;
        out
    }

    /// Where a figure or a name stands that came to nothing.
    fn nothing_read_since(&self, before: usize) -> Option<Place> {
        let lost = |f: &&Finding| {
            f.severity == Severity::Error
                && (f.code.0.starts_with("unit/") || f.code.0.starts_with("name/unknown-"))
        };
        self.findings[before..].iter().find(lost).map(|f| f.place)
    }

    fn state_line(&mut self, line: StatementRef<'_>, out: &mut ArchCase) {
        let date = line.hole("date");
        let state = match line.keyword() {
            Some("missing") => ToothState::Missing,
            Some("extracted") => ToothState::Extracted { on: date.and_then(|h| self.date(h)) },
            Some("extract") => {
                let Some(date) = date.and_then(|h| self.date(h)) else { return };
                ToothState::Extract { date, before: line.has("before") }
            }
            Some("unerupted") => ToothState::Unerupted,
            Some("implant") => ToothState::Implant,
            Some("ankylosed") => ToothState::Ankylosed,
            _ => return,
        };
        let Some(hole) = line.hole("teeth") else { return };
        for tooth in self.teeth(hole) {
            if let Some((_, first)) = out.states.insert(tooth, (state, line.place())) {
                let text = format!("What became of {tooth}");
                self.said_twice(&text, line.place(), Some(first));
            }
        }
    }

    fn arch_line(&mut self, line: StatementRef<'_>, house: &House, out: &mut ArchCase) {
        let place = line.place();
        match line.keyword() {
            Some("bonded" | "banded" | "tubes") => self.bonding(line, house, out),
            Some("hook") => {
                let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                out.hooks.extend(teeth);
            }
            Some("button") => {
                let side = if line.has("labial") { InOut::Labial } else { InOut::Lingual };
                let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                out.buttons.extend(teeth.into_iter().map(|t| (t, side, place)));
            }
            Some("caution") => {
                let why = line.hole("text").map(|h| h.text().to_owned()).unwrap_or_default();
                let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                let caution = |tooth| Caution { tooth, why: why.clone(), place };
                out.cautions.extend(teeth.into_iter().map(caution));
            }
            Some("tooth") => self.tooth_line(line, out),
            Some("gap") => out.gaps.extend(self.gap(line)),
            Some("midline") => {
                if let Some(midline) = self.midline(line.group())
                    && let Some((_, first)) = out.midline.replace((midline, place))
                {
                    self.said_twice("The midline", place, Some(first));
                }
            }
            Some("crowding") => {
                let length = line.hole("length").and_then(|h| self.length(h, p::CROWDING));
                out.crowding = out.crowding.or(length.map(|l| (l, place)));
            }
            Some("form") => {
                if let Some(hole) = line.hole("form")
                    && let Some(form) = self.lookup(hole, FORM, &house.forms, &house.title)
                {
                    out.form = out.form.clone().displace(form, Origin::Case, place);
                }
            }
            Some("start") => {
                out.start = line.hole("date").and_then(|h| self.date(h)).map(|d| (d, place));
            }
            Some("anchorage") => {
                let value = match () {
                    () if line.has("maximum") => Anchorage::Maximum,
                    () if line.has("moderate") => Anchorage::Moderate,
                    () => Anchorage::Minimum,
                };
                if let Some((_, first)) = out.anchorage.replace((value, place)) {
                    self.said_twice("The anchorage", place, Some(first));
                }
            }
            Some("palatal-arch") => {
                if let [a, b] = self.single_teeth(line.group())[..] {
                    out.bars.push((a, b, place));
                }
            }
            Some("mini-screw") => {
                if let Some((a, b)) = self.between(line.group()) {
                    out.screws.push((a, b, place));
                }
            }
            Some("separators" | "hold") => out.extras.extend(self.act(line, house, Origin::Case)),
            Some("note") => {
                out.notes.extend(line.hole("text").map(|h| (h.text().to_owned(), place)));
            }
            _ => {}
        }
    }

    fn bonding(&mut self, line: StatementRef<'_>, house: &House, out: &mut ArchCase) {
        let Some(hole) = line.hole("teeth") else { return };
        let Some((mut bracket, inverted, variant)) = self.bracket(line.group(), house) else {
            return;
        };
        if line.keyword() == Some("banded") && !bracket.on_band {
            bracket = Arc::new(Bracket { on_band: true, ..Bracket::clone(&bracket) });
        }
        let single: Vec<Tooth> = hole
            .teeth()
            .filter(|s| s.last.is_none())
            .filter_map(|s| Tooth::parse(self.parse.text(s.first)))
            .collect();
        for tooth in self.teeth(hole) {
            if let Some((state, at)) = out.states.get(&tooth)
                && state.is_absent()
            {
                // In a stretch an absent tooth simply drops out; named by itself it contradicts.
                if single.contains(&tooth) {
                    let at = *at;
                    self.report(
                        Finding::error(
                            "name/absent-tooth-bonded",
                            line.place(),
                            format!("{tooth} is not present and cannot be bonded."),
                        )
                        .teeth([tooth])
                        .related(at, "given here"),
                    );
                }
                continue;
            }
            let bonding = Bonding {
                bracket: bracket.clone(),
                inverted,
                variant: variant.clone(),
                place: line.place(),
            };
            if let Some(first) = out.bonded.insert(tooth, bonding) {
                let text = format!("What is bonded on {tooth}");
                self.said_twice(&text, line.place(), Some(first.place));
            }
        }
    }

    fn tooth_line(&mut self, line: StatementRef<'_>, out: &mut ArchCase) {
        let Some(hole) = line.hole("teeth") else { return };
        let stand = self.stand(line.group());
        for tooth in self.teeth(hole) {
            let entry = out.stands.get(&tooth).cloned();
            let merged = match entry {
                Some(old) => {
                    if overlaps(&old, &stand) {
                        let text = format!("The position of {tooth}");
                        self.said_twice(&text, line.place(), old.place);
                    }
                    Sourced::written(old.value.updated(stand), Origin::Case, line.place())
                }
                None => Sourced::written(stand, Origin::Case, line.place()),
            };
            out.stands.insert(tooth, merged);
        }
    }

    pub fn gap(&mut self, line: StatementRef<'_>) -> Option<Gap> {
        let length = self.length(line.hole("length")?, p::GAP)?;
        let (first, second) = self.between(line.group())?;
        Some(Gap { first, second, length, place: line.place() })
    }

    // ------------------------------------------------------------------ steps

    fn steps(&mut self, block: StatementRef<'_>, house: &House, out: &mut ArchCase) {
        let children: Vec<StatementRef<'_>> = block.children().collect();
        let follow = children.iter().find(|l| l.is_read() && l.keyword() == Some("follow"));
        let mut sequence: Option<Arc<Sequence>> = None;
        if let Some(line) = follow
            && let Some(hole) = line.hole("sequence")
        {
            out.follows = Some((hole.text().into(), line.place()));
            sequence = self.lookup(hole, SEQUENCE, &house.sequences, &house.title);
            if let Some(sequence) = &sequence {
                out.steps = sequence.steps.clone();
                for step in &mut out.steps {
                    step.place = line.place();
                }
                self.follow_from(*line, sequence, out);
            }
        }
        // Nor where the line that cannot be read may be the one that follows a sequence.
        let hides =
            |l: &&StatementRef<'_>| !l.is_read() && matches!(l.keyword(), None | Some("follow"));
        let unreadable_follow = match follow {
            Some(_) => sequence.is_none(),
            None => children.iter().any(|l| hides(&l)),
        };
        for line in children {
            match line.keyword() {
                // Against a sequence that could not be found every name would be unknown: one
                // mistake, one finding.
                Some("change" | "skip") if unreadable_follow => {}
                Some("step") if unreadable_follow && takes_place(line) => {}
                Some("change") => self.change_line(line, house, sequence.as_deref(), out),
                Some("skip") if line.is_read() => self.skip_line(line, sequence.as_deref(), out),
                Some("step") => self.step_line(line, house, sequence.as_deref(), out),
                _ => {}
            }
        }
    }

    fn follow_from(&mut self, line: StatementRef<'_>, sequence: &Sequence, out: &mut ArchCase) {
        let Some(hole) = line.hole("step") else { return };
        match sequence.steps.iter().position(|s| s.name.as_ref() == hole.text()) {
            Some(first) => drop(out.steps.drain(..first)),
            None => self.no_such_step(hole, Some(sequence), &sequence.steps),
        }
    }

    fn no_such_step(
        &mut self,
        hole: springline_syntax::tree::FieldValue<'_>,
        sequence: Option<&Sequence>,
        steps: &[Step],
    ) {
        let name = hole.text();
        let names: Vec<&str> = steps.iter().map(|s| s.name.as_ref()).collect();
        let has = if names.is_empty() {
            "there are no steps yet".to_owned()
        } else {
            format!("it has {}", names.join(", "))
        };
        let whose = sequence.map_or("This arch".to_owned(), |s| format!("`{}`", s.name));
        let mut finding = Finding::error(
            "name/unknown-step",
            hole.place(),
            format!("{whose} has no step `{name}`; {has}."),
        );
        let close = springline_text::nearest::nearest(name, names.iter().copied());
        let offered = if close.is_empty() { names } else { close };
        for candidate in offered {
            finding = finding.clinical_fix(format!("write `{candidate}`"), hole.place(), candidate);
        }
        self.report(finding);
    }

    fn change_line(
        &mut self,
        line: StatementRef<'_>,
        house: &House,
        sequence: Option<&Sequence>,
        out: &mut ArchCase,
    ) {
        let Some(hole) = step_hole(line) else { return };
        let name = hole.text();
        let Some(index) = out.steps.iter().position(|s| s.name.as_ref() == name) else {
            if sequence.is_none() {
                self.report(
                    Finding::error(
                        "name/nothing-to-change",
                        line.place(),
                        format!("There is no sequence here that `{name}` could be changed in."),
                    )
                    .note("`follow` a sequence of the practice first, or write `step` instead of `change`."),
                );
            } else {
                self.no_such_step(hole, sequence, &out.steps);
            }
            return;
        };
        let Some(house_step) =
            sequence.and_then(|s| s.steps.iter().find(|s| s.name.as_ref() == name)).cloned()
        else {
            self.report(
                Finding::error(
                    "name/change-of-own-step",
                    line.place(),
                    format!(
                        "`{name}` was added in this case; write what you want in its own line."
                    ),
                )
                .related(out.steps[index].place, "added here"),
            );
            return;
        };
        if matches!(out.steps[index].source, StepSource::Changed { .. }) {
            let first = out.steps[index].place;
            let text = format!("`change {name}`");
            self.said_twice(&text, line.place(), Some(first));
            return;
        }
        let draft = self.step_builder(line, house, Origin::Case);
        let before = index.checked_sub(1).and_then(|i| out.steps.get(i)).cloned();
        let incomplete = draft.incomplete.is_some();
        let mut step = draft.change(&house_step, line, before.as_ref());
        step.departures = departures(&house_step, &step);
        if let StepSource::Sequence { sequence } = &house_step.source {
            step.source = StepSource::Changed { sequence: sequence.clone() };
        }
        if step.departures.is_empty() && !incomplete {
            let mut finding = Finding::advice(
                "name/change-without-effect",
                line.place(),
                format!("This changes nothing: `{name}` is as the practice has it."),
            );
            let title = "remove this line".to_owned();
            finding.fixes.extend(duplicates::remove(line, title, FixKind::Safe));
            self.report(finding);
        }
        out.steps[index] = step;
    }

    fn skip_line(
        &mut self,
        line: StatementRef<'_>,
        sequence: Option<&Sequence>,
        out: &mut ArchCase,
    ) {
        for hole in line.holes(PlaceholderKind::Name).collect::<Vec<_>>() {
            match out.steps.iter().position(|s| s.name.as_ref() == hole.text()) {
                Some(index) => {
                    out.steps.remove(index);
                    out.skipped.push((hole.text().into(), hole.place()));
                }
                None => self.no_such_step(hole, sequence, &out.steps),
            }
        }
    }

    fn step_line(
        &mut self,
        line: StatementRef<'_>,
        house: &House,
        sequence: Option<&Sequence>,
        out: &mut ArchCase,
    ) {
        let Some(hole) = step_hole(line) else { return };
        let name = Name::from(hole.text());
        if let Some(old) = out.steps.iter().find(|s| s.name == name) {
            let first = old.house_place.unwrap_or(old.place);
            self.step_taken(hole, &name, sequence, first);
            return;
        }
        let Some(kind) = self.step_kind(line, &name) else { return };
        let Some(at) = self.step_place(line, &name, sequence, out) else { return };
        let draft = self.step_builder(line, house, Origin::Case);
        let before = at.checked_sub(1).and_then(|i| out.steps.get(i)).cloned();
        let step = draft.into_step(
            self,
            line,
            name,
            kind,
            StepSource::Added,
            Origin::Case,
            before.as_ref(),
        );
        if let Some(step) = step {
            out.steps.insert(at, step);
        }
    }

    fn step_taken(
        &mut self,
        hole: springline_syntax::tree::FieldValue<'_>,
        name: &str,
        sequence: Option<&Sequence>,
        first: Place,
    ) {
        let Some(sequence) = sequence.filter(|s| s.steps.iter().any(|x| x.name.as_ref() == name))
        else {
            self.doubled("step", name, hole.place(), Some(first));
            return;
        };
        let line = hole.line;
        let keyword = line.items().first().map_or(line.span(), |i| i.span);
        self.report(
            Finding::error(
                "name/step-taken",
                hole.place(),
                format!(
                    "`{name}` is already in `{}`. Change it, or add another after it?",
                    sequence.name
                ),
            )
            .related(first, "there")
            .clinical_fix(format!("write `change {name}`"), self.place(keyword), "change")
            .clinical_fix(
                format!("write `step {name}-2 after {name}`"),
                hole.place(),
                format!("{name}-2 after {name}"),
            ),
        );
    }

    /// Where a step comes: after or before the one it names; in order of writing where no sequence
    /// is followed.
    fn step_place(
        &mut self,
        line: StatementRef<'_>,
        name: &str,
        sequence: Option<&Sequence>,
        out: &ArchCase,
    ) -> Option<usize> {
        let reference: Option<springline_syntax::tree::FieldValue<'_>> =
            line.group().labelled("step").find(|h| !h.slot.defines);
        let Some(reference) = reference else {
            if sequence.is_none() {
                return Some(out.steps.len());
            }
            self.no_place(line, name, &out.steps);
            return None;
        };
        let Some(index) = out.steps.iter().position(|s| s.name.as_ref() == reference.text()) else {
            self.no_such_step(reference, sequence, &out.steps);
            return None;
        };
        if line.has("before") {
            return Some(index);
        }
        // Several added after the same step keep the order they are written in.
        let added = out.steps[index + 1..]
            .iter()
            .take_while(|s| s.source == StepSource::Added && s.place < line.place())
            .count();
        Some(index + 1 + added)
    }

    fn no_place(&mut self, line: StatementRef<'_>, name: &str, steps: &[Step]) {
        let Some(hole) = step_hole(line) else { return };
        let mut finding = Finding::error(
            "name/step-without-place",
            hole.place(),
            format!("Where does `{name}` come?"),
        )
        .why("The arch follows a sequence, so an added step needs a place in it.");
        for step in steps {
            finding = finding.clinical_fix(
                format!("write `{name} after {}`", step.name),
                hole.place(),
                format!("{name} after {}", step.name),
            );
        }
        self.report(finding);
    }
}

/// Whether a step says after or before which other one it comes.
fn takes_place(line: StatementRef<'_>) -> bool {
    line.group().labelled("step").any(|hole| !hole.slot.defines)
}

/// Whether what the wires do may hang on a line; steps look after their own.
fn bears(line: StatementRef<'_>) -> bool {
    !matches!(line.keyword(), Some("step" | "change" | "note" | "accept"))
}

/// The name a `step` defines or a `change` is about.
fn step_hole(line: StatementRef<'_>) -> Option<springline_syntax::tree::FieldValue<'_>> {
    line.group().labelled("step").next()
}

fn overlaps(old: &springline_model::stand::Stand, new: &springline_model::stand::Stand) -> bool {
    (old.in_out.is_some() && new.in_out.is_some())
        || (old.up_down.is_some() && new.up_down.is_some())
        || (old.rotated.is_some() && new.rotated.is_some())
        || (old.tipped.is_some() && new.tipped.is_some())
        || (old.torque.is_some() && new.torque.is_some())
        || (old.width.is_some() && new.width.is_some())
        || (old.space.is_some() && new.space.is_some())
}
