//! Lowers an `upper` or `lower` block: teeth, positions, and the steps with their departures.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::carried_acts::carry;
use super::duplicates;
use super::names::{FORM, SEQUENCE};
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::{Finding, FixKind, Severity};
use springline_model::builtin;
use springline_model::case::{ArchCase, Bonding, Caution, Gap, Overlap, ToothState};
use springline_model::departure::departures;
use springline_model::house::{House, Sequence};
use springline_model::provenance::{Origin, Sourced};
use springline_model::step::{Step, StepSource};
use springline_model::stock::{Bracket, Name};
use springline_syntax::ast::{
    ArchStatement, ArchToothLine, BandedLine, ChangeLine, FollowLine, GapLine, NameField,
    OverlapLine, SkipLine, StatementKind, StepLine, StepPositionPart, StepStatement, TeethField,
    WhenWord,
};
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
            overlaps: Vec::new(),
            reading: None,
            midline: None,
            crowding: None,
            form: Sourced::default_value(builtin::form(arch)),
            start: None,
            anchorage: None,
            bars: Vec::new(),
            screws: Vec::new(),
            expander: None,
            exposures: BTreeMap::new(),
            extras: Vec::new(),
            follows: None,
            skipped: Vec::new(),
            drafted: None,
            steps: Vec::new(),
            notes: Vec::new(),
            unread: line.children().find(|c| !c.is_read() && bears(*c)).map(StatementRef::place),
        };
        // A practice with a single arch form uses it for every arch.
        if house.forms.len() == 1
            && let Some(form) = house.forms.values().next()
            && let Some(place) = form.place
        {
            out.form = out.form.displace(form.clone(), Origin::House, place);
        }
        let lines: Vec<_> = line.children().filter_map(ArchStatement::cast).collect();
        // Absent teeth first: they are left out of ranges.
        for child in &lines {
            self.state_line(*child, &mut out);
        }
        for child in &lines {
            let before = self.findings.len();
            self.arch_line(*child, house, &mut out);
            out.unread = out.unread.or_else(|| self.nothing_read_since(before));
        }
        // What was read from points last: what somebody wrote goes first.
        for child in &lines {
            if let ArchStatement::Measured(line) = child {
                let before = self.findings.len();
                self.arch_reading(*line, &mut out);
                out.unread = out.unread.or_else(|| self.nothing_read_since(before));
            }
        }
        self.doubt_form(&out);
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

    /// The place of a figure or name that could not be lowered.
    fn nothing_read_since(&self, before: usize) -> Option<Place> {
        let lost = |f: &&Finding| {
            f.severity == Severity::Error
                && (f.code.as_str().starts_with("unit/")
                    || f.code.as_str().starts_with("name/unknown-"))
        };
        self.findings[before..].iter().find(lost).map(|f| f.place)
    }

    fn state_line(&mut self, line: ArchStatement<'_>, out: &mut ArchCase) {
        let (state, teeth) = match line {
            ArchStatement::Missing(line) => (ToothState::Missing, line.teeth),
            ArchStatement::Extracted(line) => {
                let on = line.date.and_then(|date| self.date(date));
                (ToothState::Extracted { on }, line.teeth)
            }
            ArchStatement::Extract(line) => {
                let Some(date) = self.date(line.date) else { return };
                let before = line.when == WhenWord::Before;
                (ToothState::Extract { date, before }, line.teeth)
            }
            ArchStatement::Unerupted(line) => (ToothState::Unerupted, line.teeth),
            ArchStatement::Implant(line) => (ToothState::Implant, line.teeth),
            ArchStatement::Ankylosed(line) => (ToothState::Ankylosed, line.teeth),
            _ => return,
        };
        let place = teeth.statement().place();
        for tooth in self.teeth(teeth) {
            if let Some((_, first)) = out.states.insert(tooth, (state, place)) {
                let text = format!("What became of {tooth}");
                self.said_twice(&text, place, Some(first));
            }
        }
    }

    fn arch_line(&mut self, line: ArchStatement<'_>, house: &House, out: &mut ArchCase) {
        match line {
            ArchStatement::Bonded(line) => {
                let bracket = self.bracket(line.bracket, line.mounting, house);
                self.tube_in_front(line.bracket, line.teeth, bracket.as_ref().map(|b| &*b.0));
                self.bonding(line.teeth, bracket, out);
            }
            ArchStatement::Banded(line) => self.banding(line, house, out),
            ArchStatement::Tubes(line) => {
                let bracket = self.bracket(line.bracket, None, house);
                self.no_tube(line.bracket, bracket.as_ref().map(|b| &*b.0));
                self.bonding(line.teeth, bracket, out);
            }
            ArchStatement::BondedElsewhere(line) => self.bonded_elsewhere(line, house, out),
            ArchStatement::Expose(line) => self.exposure(line, out),
            ArchStatement::Expander(line) => {
                out.expander = out.expander.take().or(self.expander(line))
            }
            ArchStatement::ArchHook(line) => out.hooks.extend(self.teeth(line.teeth)),
            ArchStatement::Button(line) => {
                let (side, place) = (word_values::surface(line.surface), line.statement.place());
                let teeth = self.teeth(line.teeth);
                out.buttons.extend(teeth.into_iter().map(|t| (t, side, place)));
            }
            ArchStatement::Caution(line) => {
                let (why, place) = (line.text.text().to_owned(), line.statement.place());
                let teeth = self.teeth(line.teeth);
                let caution = |tooth| Caution { tooth, why: why.clone(), place };
                out.cautions.extend(teeth.into_iter().map(caution));
            }
            ArchStatement::ArchTooth(line) => self.tooth_line(line, out),
            ArchStatement::Gap(line) => out.gaps.extend(self.gap(line)),
            ArchStatement::Overlap(line) => out.overlaps.extend(self.overlap(line)),
            ArchStatement::Midline(line) => {
                let place = line.statement.place();
                if let Some(midline) = self.midline(line.midline)
                    && let Some((_, first)) = out.midline.replace((midline, place))
                {
                    self.said_twice("The midline", place, Some(first));
                }
            }
            ArchStatement::Crowding(line) => {
                let (length, place) =
                    (self.length(line.length, p::CROWDING), line.statement.place());
                out.crowding = out.crowding.or(length.map(|l| (l, place)));
            }
            ArchStatement::ArchForm(line) => {
                let place = line.statement.place();
                if let Some(form) = self.lookup(line.form, FORM, &house.forms, &house.title) {
                    out.form = out.form.clone().displace(form, Origin::Case, place);
                }
            }
            ArchStatement::ArchStart(line) => {
                let place = line.statement.place();
                out.start = self.date(line.date).map(|d| (d, place));
            }
            ArchStatement::Drafted(line) => {
                let place = line.statement.place();
                out.drafted = out.drafted.or(self.date(line.date).map(|day| (day, place)));
            }
            ArchStatement::Anchorage(line) => {
                let (value, place) =
                    (word_values::anchorage(line.anchorage), line.statement.place());
                if let Some((_, first)) = out.anchorage.replace((value, place)) {
                    self.said_twice("The anchorage", place, Some(first));
                }
            }
            ArchStatement::PalatalArch(line) => {
                if let [a, b] = self.single_teeth(line.teeth)[..] {
                    out.bars.push((a, b, line.statement.place()));
                }
            }
            ArchStatement::MiniScrew(line) => {
                if let Some((a, b)) = self.between(line.between) {
                    out.screws.push((a, b, line.statement.place()));
                }
            }
            ArchStatement::Separators(line) => {
                let statement = StepStatement::Separators(line);
                out.extras.extend(self.act(line.statement, statement, house, Origin::Case));
            }
            ArchStatement::Hold(line) => {
                let statement = StepStatement::Hold(line);
                out.extras.extend(self.act(line.statement, statement, house, Origin::Case));
            }
            ArchStatement::Note(line) => {
                out.notes.push((line.text.text().to_owned(), line.statement.place()));
            }
            // Read before, by `state_line`.
            ArchStatement::Missing(_)
            | ArchStatement::Extracted(_)
            | ArchStatement::Extract(_)
            | ArchStatement::Unerupted(_)
            | ArchStatement::Implant(_)
            | ArchStatement::Ankylosed(_) => {}
            // Read afterwards, by `arch_reading` and `steps`; and with those of the whole case.
            ArchStatement::Measured(_)
            | ArchStatement::Follow(_)
            | ArchStatement::Step(_)
            | ArchStatement::Change(_)
            | ArchStatement::Skip(_)
            | ArchStatement::Accept(_) => {}
        }
    }

    /// On a band, whatever the practice file says of it.
    fn banding(&mut self, line: BandedLine<'_>, house: &House, out: &mut ArchCase) {
        let bracket = self.bracket(line.bracket, None, house);
        let banded = bracket.map(|(bracket, inverted, variant)| {
            let is_banded = bracket.on_band;
            let on_band = || Arc::new(Bracket { on_band: true, ..Bracket::clone(&bracket) });
            (if is_banded { bracket.clone() } else { on_band() }, inverted, variant)
        });
        self.bonding(line.teeth, banded, out);
    }

    /// `tubes` with a bracket: the end of a wire is not held in an open slot.
    fn no_tube(&mut self, named: NameField<'_>, bracket: Option<&Bracket>) {
        let Some(bracket) = bracket.filter(|b| !b.is_tube) else { return };
        self.report(
            Finding::error(
                "name/wrong-attachment",
                named.place(),
                format!("`{}` is a bracket; this line is about tubes.", bracket.name),
            )
            .why("The end of the wire slips out of an open slot.")
            .related(bracket.place, "defined here"),
        );
    }

    /// A tube on a tooth in front of the second premolar: the wire would have to be threaded through it.
    fn tube_in_front(
        &mut self,
        named: NameField<'_>,
        teeth: TeethField<'_>,
        bracket: Option<&Bracket>,
    ) {
        /// The last tooth of an arch without molars carries a tube.
        const SECOND_PREMOLAR: u8 = 5;
        let Some(bracket) = bracket.filter(|b| b.is_tube) else { return };
        let place = named.place();
        let front: Vec<Tooth> =
            self.teeth(teeth).into_iter().filter(|t| t.position() < SECOND_PREMOLAR).collect();
        let Some(first) = front.first() else { return };
        self.report(
            Finding::error(
                "name/wrong-attachment",
                place,
                format!("`{}` is a tube, and {first} wants a bracket.", bracket.name),
            )
            .why(
                "The wire has to be laid into the slots of front teeth, not threaded through them.",
            )
            .related(bracket.place, "defined here")
            .teeth(front),
        );
    }

    fn bonding(
        &mut self,
        teeth: TeethField<'_>,
        bracket: Option<(Arc<Bracket>, bool, Option<Name>)>,
        out: &mut ArchCase,
    ) {
        let place = teeth.statement().place();
        let Some((bracket, inverted, variant)) = bracket else { return };
        let single: Vec<Tooth> = teeth
            .teeth()
            .filter(|s| s.last.is_none())
            .filter_map(|s| Tooth::parse(self.parse.text(s.first)))
            .collect();
        for tooth in self.teeth(teeth) {
            if let Some((state, at)) = out.states.get(&tooth)
                && state.is_absent()
            {
                // In a range an absent tooth is left out; named individually it is a contradiction.
                if single.contains(&tooth) {
                    let at = *at;
                    self.report(
                        Finding::error(
                            "name/absent-tooth-bonded",
                            place,
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
                elsewhere: None,
                place,
            };
            if let Some(first) = out.bonded.insert(tooth, bonding) {
                let text = format!("What is bonded on {tooth}");
                self.said_twice(&text, place, Some(first.place));
            }
        }
    }

    fn tooth_line(&mut self, line: ArchToothLine<'_>, out: &mut ArchCase) {
        let place = line.statement.place();
        let stand = self.position(line.positions);
        for tooth in self.teeth(line.teeth) {
            let entry = out.stands.get(&tooth).cloned();
            let merged = match entry {
                Some(old) => {
                    if overlaps(&old, &stand) {
                        let text = format!("The position of {tooth}");
                        self.said_twice(&text, place, old.place);
                    }
                    Sourced::written(old.value.updated(stand), Origin::Case, place)
                }
                None => Sourced::written(stand, Origin::Case, place),
            };
            out.stands.insert(tooth, merged);
        }
    }

    pub fn gap(&mut self, line: GapLine<'_>) -> Option<Gap> {
        let length = self.length(line.length, p::GAP)?;
        let (first, second) = self.between(line.between)?;
        Some(Gap { first, second, length, place: line.statement.place() })
    }

    pub fn overlap(&mut self, line: OverlapLine<'_>) -> Option<Overlap> {
        let length = self.length(line.length, p::OVERLAP)?;
        let (first, second) = self.between(line.between)?;
        Some(Overlap { first, second, length, place: line.statement.place() })
    }

    // ------------------------------------------------------------------ steps

    fn steps(&mut self, block: StatementRef<'_>, house: &House, out: &mut ArchCase) {
        let children: Vec<StatementRef<'_>> = block.children().collect();
        let follow = children.iter().find_map(|line| FollowLine::cast(*line));
        let mut sequence: Option<Arc<Sequence>> = None;
        if let Some(line) = follow {
            let place = line.statement.place();
            out.follows = Some((line.sequence.text().into(), place));
            sequence = self.lookup(line.sequence, SEQUENCE, &house.sequences, &house.title);
            if let Some(sequence) = &sequence {
                out.steps = sequence.steps.clone();
                for step in &mut out.steps {
                    step.place = place;
                }
                self.follow_from(line, sequence, out);
            }
        }
        // Nor where the line that cannot be read may be the one that follows a sequence.
        let hides = |line: &StatementRef<'_>| {
            let may_follow = line.keyword().is_none() || line.is(StatementKind::Follow);
            !line.is_read() && may_follow
        };
        let unreadable_follow = match follow {
            Some(_) => sequence.is_none(),
            None => children.iter().any(hides),
        };
        let sequence = sequence.as_deref();
        for line in children.into_iter().filter_map(ArchStatement::cast) {
            match line {
                // Without its sequence every step name would be unknown: one mistake, one finding.
                ArchStatement::Change(_) | ArchStatement::Skip(_) if unreadable_follow => {}
                ArchStatement::Step(line) if unreadable_follow && line.step_position.is_some() => {}
                ArchStatement::Change(line) => self.change_line(line, house, sequence, out),
                ArchStatement::Skip(line) => self.skip_line(line, sequence, out),
                ArchStatement::Step(line) => self.step_line(line, house, sequence, out),
                _ => {}
            }
        }
    }

    fn follow_from(&mut self, line: FollowLine<'_>, sequence: &Sequence, out: &mut ArchCase) {
        let Some(hole) = line.step else { return };
        match sequence.steps.iter().position(|s| s.name.as_ref() == hole.text()) {
            Some(first) => drop(out.steps.drain(..first)),
            None => self.no_such_step(hole, Some(sequence), &sequence.steps),
        }
    }

    fn no_such_step(&mut self, hole: NameField<'_>, sequence: Option<&Sequence>, steps: &[Step]) {
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
        line: ChangeLine<'_>,
        house: &House,
        sequence: Option<&Sequence>,
        out: &mut ArchCase,
    ) {
        let (hole, clauses, line) = (line.step, line.clauses, line.statement);
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
        let draft = self.step_builder(line, clauses, house, Origin::Case);
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

    fn skip_line(&mut self, line: SkipLine<'_>, sequence: Option<&Sequence>, out: &mut ArchCase) {
        for hole in line.steps {
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
        line: StepLine<'_>,
        house: &House,
        sequence: Option<&Sequence>,
        out: &mut ArchCase,
    ) {
        let hole = line.step;
        let name = Name::from(hole.text());
        if let Some(old) = out.steps.iter().find(|s| s.name == name) {
            let first = old.house_place.unwrap_or(old.place);
            self.step_taken(hole, &name, sequence, first);
            return;
        }
        let Some(kind) = self.step_kind(line, &name) else { return };
        let Some(at) = self.step_place(line, &name, sequence, out) else { return };
        let clauses = line.clauses;
        let line = line.statement;
        let draft = self.step_builder(line, clauses, house, Origin::Case);
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
        hole: NameField<'_>,
        name: &str,
        sequence: Option<&Sequence>,
        first: Place,
    ) {
        let Some(sequence) = sequence.filter(|s| s.steps.iter().any(|x| x.name.as_ref() == name))
        else {
            self.doubled("step", name, hole.place(), Some(first));
            return;
        };
        let line = hole.statement();
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

    /// Position of a step: after or before the one it names; in order of writing where no sequence is
    /// followed.
    fn step_place(
        &mut self,
        line: StepLine<'_>,
        name: &str,
        sequence: Option<&Sequence>,
        out: &ArchCase,
    ) -> Option<usize> {
        let Some(position) = line.step_position else {
            if sequence.is_none() {
                return Some(out.steps.len());
            }
            self.no_place(line.step, name, &out.steps);
            return None;
        };
        let (StepPositionPart::After(reference) | StepPositionPart::Before(reference)) = position;
        let Some(index) = out.steps.iter().position(|s| s.name.as_ref() == reference.text()) else {
            self.no_such_step(reference, sequence, &out.steps);
            return None;
        };
        if matches!(position, StepPositionPart::Before(_)) {
            return Some(index);
        }
        // Several added after the same step keep the order they are written in.
        let place = line.statement.place();
        let added = out.steps[index + 1..]
            .iter()
            .take_while(|s| s.source == StepSource::Added && s.place < place)
            .count();
        Some(index + 1 + added)
    }

    fn no_place(&mut self, hole: NameField<'_>, name: &str, steps: &[Step]) {
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

/// Whether the mechanics may depend on a line; steps track their own lines.
fn bears(line: StatementRef<'_>) -> bool {
    use StatementKind::{Accept, Change, Note, Step};
    !matches!(line.kind(), Some(Step | Change | Note | Accept))
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
