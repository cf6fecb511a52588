//! Lowers recorded visits.

use std::collections::BTreeMap;

use super::names::WIRE;
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::case::{ArchSeen, Bite, Done, Found, Trouble, Visit, Wear};
use springline_model::house::House;
use springline_model::provenance::Origin;
use springline_model::stand::Stand;
use springline_model::step::Spot;
use springline_syntax::ast::{
    BiteStatement, DonePart, FoundPart, PainLine, PlacePart, SeenArchLine, SeenLine, SeenStatement,
    StepStatement, WearLine, WornPart,
};
use springline_units::tooth::Side;

impl LoweringContext<'_> {
    pub fn visit(&mut self, block: SeenLine<'_>, house: &House) -> Option<Visit> {
        let on = self.date(block.date)?;
        let mut visit = Visit {
            on,
            by: block.person.map(|field| field.text().into()),
            kind: block.visit_task.map(word_values::visit_task),
            arches: Vec::new(),
            as_planned: false,
            stands: BTreeMap::new(),
            gaps: Vec::new(),
            overlaps: Vec::new(),
            readings: Vec::new(),
            bite: Bite::default(),
            over_the_bite: Vec::new(),
            troubles: Vec::new(),
            pain: None,
            wear: Vec::new(),
            hygiene: None,
            raisers_off: Vec::new(),
            expanded: Vec::new(),
            notes: Vec::new(),
            place: block.statement.place(),
        };
        let lines: Vec<_> = block.statement.children().filter_map(SeenStatement::cast).collect();
        for line in &lines {
            self.visit_line(*line, house, &mut visit);
        }
        // What was read from points last: what somebody wrote goes first.
        for line in lines {
            if let SeenStatement::Measured(line) = line {
                self.visit_reading(line, &mut visit);
            }
        }
        Some(visit)
    }

    fn visit_line(&mut self, line: SeenStatement<'_>, house: &House, visit: &mut Visit) {
        let bite = &mut visit.bite;
        match line {
            SeenStatement::SeenArch(line) => {
                let seen = self.arch_seen(line, house);
                if let Some(old) = visit.arches.iter_mut().find(|a| a.arch == seen.arch) {
                    merge(self, old, seen);
                } else {
                    visit.arches.push(seen);
                }
            }
            SeenStatement::Done(_) => visit.as_planned = true,
            SeenStatement::SeenTooth(line) => {
                let stand: Stand = self.position(line.positions);
                for tooth in self.teeth(line.teeth) {
                    let old = visit.stands.get(&tooth).map_or_else(Stand::default, |(s, _)| *s);
                    visit.stands.insert(tooth, (old.updated(stand), line.statement.place()));
                }
            }
            SeenStatement::Measured(_) => {}
            SeenStatement::Gap(line) => visit.gaps.extend(self.gap(line)),
            SeenStatement::Overlap(line) => visit.overlaps.extend(self.overlap(line)),
            SeenStatement::Loose(line) => {
                let trouble = Trouble::Loose { teeth: self.teeth(line.teeth) };
                visit.troubles.push((trouble, line.statement.place()));
            }
            SeenStatement::Out(line) => {
                let trouble = Trouble::Out { teeth: self.teeth(line.teeth) };
                visit.troubles.push((trouble, line.statement.place()));
            }
            SeenStatement::Poking(line) => {
                let trouble = Trouble::Poking { teeth: self.teeth(line.teeth) };
                visit.troubles.push((trouble, line.statement.place()));
            }
            SeenStatement::SlideOpen(line) => {
                let trouble = Trouble::SlideOpen { teeth: self.teeth(line.teeth) };
                visit.troubles.push((trouble, line.statement.place()));
            }
            SeenStatement::Lost(line) => {
                let spots = line.places.into_iter().filter_map(|place| self.spot(place)).collect();
                visit.troubles.push((Trouble::LostStop { spots }, line.statement.place()));
            }
            SeenStatement::Pain(line) => self.pain(line, visit),
            SeenStatement::Wear(line) => self.wear(line, visit),
            SeenStatement::Hygiene(line) => {
                visit.hygiene = Some(word_values::hygiene(line.hygiene))
            }
            SeenStatement::SeenCrossbiteCorrected(line) => {
                visit.over_the_bite.extend(self.teeth(line.teeth));
            }
            SeenStatement::BiteRaisersOff(line) => {
                visit.raisers_off.extend(self.teeth(line.teeth));
            }
            SeenStatement::Expanded(line) => {
                let (teeth, place) = (self.teeth(line.teeth), line.statement.place());
                let length = self.length(line.length, p::EXPANSION);
                visit.expanded.extend(length.map(|length| (teeth, length, place)));
            }
            SeenStatement::CurveOfSpee(line) => {
                self.bite_line(BiteStatement::CurveOfSpee(line), bite);
            }
            SeenStatement::Note(line) => visit.notes.push(line.text.text().to_owned()),
            SeenStatement::Overjet(line) => self.bite_line(BiteStatement::Overjet(line), bite),
            SeenStatement::ReverseOverjet(line) => {
                self.bite_line(BiteStatement::ReverseOverjet(line), bite);
            }
            SeenStatement::Overbite(line) => self.bite_line(BiteStatement::Overbite(line), bite),
            SeenStatement::OpenBite(line) => self.bite_line(BiteStatement::OpenBite(line), bite),
            SeenStatement::Molars(line) => self.bite_line(BiteStatement::Molars(line), bite),
            SeenStatement::Canines(line) => self.bite_line(BiteStatement::Canines(line), bite),
            SeenStatement::Crossbite(line) => self.bite_line(BiteStatement::Crossbite(line), bite),
        }
    }

    /// `mesial of 11`.
    pub fn spot(&mut self, place: PlacePart<'_>) -> Option<Spot> {
        Some(Spot { along: word_values::along(place.along), tooth: self.tooth(place.tooth)? })
    }

    fn arch_seen(&mut self, line: SeenArchLine<'_>, house: &House) -> ArchSeen {
        let arch = word_values::arch(line.arch);
        self.arch = Some(arch);
        let found = line.found.map(|found| self.found(found));
        let done = line.done.and_then(|done| self.done(done, house));
        self.arch = None;
        let midline = line.midline.and_then(|midline| self.midline(midline));
        self.arch = Some(arch);
        let mut acts = Vec::new();
        for child in line.statement.children() {
            if let Some(statement) = StepStatement::cast(child) {
                acts.extend(self.act(child, statement, house, Origin::Visit));
            }
        }
        self.arch = None;
        ArchSeen { arch, found, done, midline, acts, place: line.statement.place() }
    }

    fn found(&mut self, found: FoundPart<'_>) -> Found {
        match found {
            FoundPart::Passive => Found::Passive,
            FoundPart::NearlyPassive => Found::NearlyPassive,
            FoundPart::Active => Found::Active,
            FoundPart::Binds(teeth) => Found::Binds { teeth: self.teeth(teeth) },
            FoundPart::NotTested => Found::NotTested,
        }
    }

    fn done(&mut self, done: DonePart<'_>, house: &House) -> Option<Done> {
        Some(match done {
            DonePart::Kept => Done::Kept,
            DonePart::SameWire => Done::SameWire,
            DonePart::Out => Done::Out,
            DonePart::Now { step, wire, tandem } => {
                // The inserted wire is recorded, not taken from the plan; see `unnamed_wire`.
                let wire = self.lookup(wire?, WIRE, &house.wires, &house.title)?;
                let tandem = self.lookup_if_said(tandem, WIRE, &house.wires, &house.title)?;
                Done::Now { step: step.text().into(), wire, tandem }
            }
        })
    }

    fn pain(&mut self, line: PainLine<'_>, visit: &mut Visit) {
        let (Some(score), Some(scale)) = (line.score.count(), line.scale.count()) else { return };
        if score > scale || scale == 0 || scale > 100 {
            self.report(
                Finding::error(
                    "unit/score-over-scale",
                    line.statement.place(),
                    format!("A score of {score} of {scale} is impossible."),
                )
                .note("Write the score and what it is out of, such as `pain 3 of 10`."),
            );
            return;
        }
        visit.pain = Some((score, scale));
    }

    fn wear(&mut self, line: WearLine<'_>, visit: &mut Visit) {
        for told in line.told {
            let (side, wear) = match told {
                WornPart::Right(wear) => (Some(Side::Right), word_values::wear(wear)),
                WornPart::Left(wear) => (Some(Side::Left), word_values::wear(wear)),
                WornPart::Good => (None, Wear::Good),
                WornPart::Partly => (None, Wear::Partly),
                WornPart::None => (None, Wear::Nothing),
                WornPart::Time(time) => {
                    let Some(time) = self.period(time, p::WEAR_HOURS) else { continue };
                    (None, Wear::Hours { hours: time.hours() })
                }
            };
            visit.wear.push((side, wear));
        }
    }
}

/// A second line for the same arch adds to the first.
fn merge(reader: &mut LoweringContext<'_>, old: &mut ArchSeen, new: ArchSeen) {
    let doubled = (old.found.is_some() && new.found.is_some())
        || (old.done.is_some() && new.done.is_some())
        || (old.midline.is_some() && new.midline.is_some());
    if doubled {
        let text = format!("How the {} arch was found", old.arch);
        reader.said_twice(&text, new.place, Some(old.place));
        return;
    }
    old.found = old.found.take().or(new.found);
    old.done = old.done.take().or(new.done);
    old.midline = old.midline.or(new.midline);
    old.acts.extend(new.acts);
}
