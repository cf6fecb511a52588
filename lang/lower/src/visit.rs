//! Recorded visits.

use std::collections::BTreeMap;

use super::names::WIRE;
use super::plausible as p;
use super::read::LoweringContext;
use springline_finding::Finding;
use springline_model::case::{ArchSeen, Bite, Done, Found, Hygiene, Trouble, Visit, Wear};
use springline_model::house::{House, Task};
use springline_model::provenance::Origin;
use springline_model::stand::Stand;
use springline_model::step::Spot;
use springline_model::stock::Along;
use springline_syntax::tree::{FragmentMatch, StatementRef};
use springline_units::tooth::{Arch, Side};

impl LoweringContext<'_> {
    pub fn visit(&mut self, block: StatementRef<'_>, house: &House) -> Option<Visit> {
        let on = self.date(block.hole("date")?)?;
        let mut visit = Visit {
            on,
            by: block.hole("person").map(|h| h.text().into()),
            kind: block
                .has("as")
                .then(|| block.group().words().find_map(Task::from_word))
                .flatten(),
            arches: Vec::new(),
            as_planned: false,
            stands: BTreeMap::new(),
            gaps: Vec::new(),
            bite: Bite::default(),
            over_the_bite: Vec::new(),
            troubles: Vec::new(),
            pain: None,
            wear: Vec::new(),
            hygiene: None,
            notes: Vec::new(),
            place: block.place(),
        };
        for line in block.children().filter(|l| l.is_read()) {
            self.visit_line(line, house, &mut visit);
        }
        Some(visit)
    }

    fn visit_line(&mut self, line: StatementRef<'_>, house: &House, visit: &mut Visit) {
        let place = line.place();
        let teeth =
            |reader: &mut Self| line.hole("teeth").map(|h| reader.teeth(h)).unwrap_or_default();
        match line.keyword() {
            Some("upper" | "lower") => {
                if let Some(seen) = self.arch_seen(line, house) {
                    if let Some(old) = visit.arches.iter_mut().find(|a| a.arch == seen.arch) {
                        merge(self, old, seen);
                    } else {
                        visit.arches.push(seen);
                    }
                }
            }
            Some("done") => visit.as_planned = true,
            Some("tooth") => {
                let stand: Stand = self.stand(line.group());
                for tooth in teeth(self) {
                    let old = visit.stands.get(&tooth).map_or_else(Stand::default, |(s, _)| *s);
                    visit.stands.insert(tooth, (old.updated(stand), place));
                }
            }
            Some("gap") => visit.gaps.extend(self.gap(line)),
            Some("loose") => {
                let trouble = Trouble::Loose { teeth: teeth(self) };
                visit.troubles.push((trouble, place));
            }
            Some("out") => {
                let trouble = Trouble::Out { teeth: teeth(self) };
                visit.troubles.push((trouble, place));
            }
            Some("poking") => {
                let trouble = Trouble::Poking { teeth: teeth(self) };
                visit.troubles.push((trouble, place));
            }
            Some("slide-open") => {
                let trouble = Trouble::SlideOpen { teeth: teeth(self) };
                visit.troubles.push((trouble, place));
            }
            Some("lost") => {
                let places: Vec<FragmentMatch<'_>> = line.groups("place").collect();
                let spots = places
                    .into_iter()
                    .filter_map(|g| {
                        let along = if g.has("mesial") { Along::Mesial } else { Along::Distal };
                        Some(Spot { along, tooth: self.tooth(g.hole("tooth")?)? })
                    })
                    .collect();
                visit.troubles.push((Trouble::LostStop { spots }, place));
            }
            Some("pain") => self.pain(line, visit),
            Some("wear") => self.wear(line, visit),
            Some("hygiene") => {
                visit.hygiene = Some(match () {
                    () if line.has("poor") => Hygiene::Poor,
                    () if line.has("fair") => Hygiene::Fair,
                    () => Hygiene::Good,
                });
            }
            Some("crossbite-corrected") => {
                let teeth = teeth(self);
                visit.over_the_bite.extend(teeth);
            }
            Some("note") => visit.notes.extend(line.hole("text").map(|h| h.text().to_owned())),
            _ => self.bite_line(line, &mut visit.bite),
        }
    }

    fn arch_seen(&mut self, line: StatementRef<'_>, house: &House) -> Option<ArchSeen> {
        let arch = if line.has("upper") { Arch::Upper } else { Arch::Lower };
        self.arch = Some(arch);
        let found = line.groups("found").next().and_then(|g| {
            Some(match g.word()? {
                "passive" => Found::Passive,
                "nearly-passive" => Found::NearlyPassive,
                "active" => Found::Active,
                "binds" => Found::Binds { teeth: self.teeth(g.hole("teeth")?) },
                _ => Found::NotTested,
            })
        });
        let done = line.groups("done").next().and_then(|g| self.done(g, house));
        // The word after `upper` in a midline line is the reference, not the arch.
        self.arch = None;
        let midline = self.midline(line.group());
        self.arch = Some(arch);
        let mut acts = Vec::new();
        for child in line.children().filter(|l| l.is_read()) {
            acts.extend(self.act(child, house, Origin::Visit));
        }
        self.arch = None;
        Some(ArchSeen { arch, found, done, midline, acts, place: line.place() })
    }

    fn done(&mut self, group: FragmentMatch<'_>, house: &House) -> Option<Done> {
        Some(match group.word()? {
            "kept" => Done::Kept,
            "same-wire" => Done::SameWire,
            "out" => Done::Out,
            _ => {
                let step = group.hole("step")?.text().into();
                // Which wire went in is told, not taken from the plan; see `unsaid_wire`.
                let wires: Vec<_> = group.labelled("wire").collect();
                let wire = self.lookup(*wires.first()?, WIRE, &house.wires, &house.title)?;
                let tandem = match wires.get(1) {
                    Some(hole) => Some(self.lookup(*hole, WIRE, &house.wires, &house.title)?),
                    None => None,
                };
                Done::Now { step, wire, tandem }
            }
        })
    }

    fn pain(&mut self, line: StatementRef<'_>, visit: &mut Visit) {
        let score = line.hole("score").and_then(|h| h.count());
        let scale = line.hole("scale").and_then(|h| h.count());
        let (Some(score), Some(scale)) = (score, scale) else { return };
        if score > scale || scale == 0 || scale > 100 {
            self.report(
                Finding::error(
                    "unit/score-over-scale",
                    line.place(),
                    format!("A score of {score} of {scale} is impossible."),
                )
                .note("Write the score and what it is out of, such as `pain 3 of 10`."),
            );
            return;
        }
        visit.pain = Some((score, scale));
    }

    fn wear(&mut self, line: StatementRef<'_>, visit: &mut Visit) {
        let parts: Vec<FragmentMatch<'_>> = line.groups("worn").collect();
        for part in parts {
            let side = match () {
                () if part.has("right") => Some(Side::Right),
                () if part.has("left") => Some(Side::Left),
                () => None,
            };
            let wear = match () {
                () if part.has("good") => Some(Wear::Good),
                () if part.has("partly") => Some(Wear::Partly),
                () if part.has("none") => Some(Wear::Nothing),
                () => part
                    .hole("time")
                    .and_then(|h| self.period(h, p::WEAR_HOURS))
                    .map(|t| Wear::Hours { hours: t.hours() }),
            };
            visit.wear.extend(wear.map(|w| (side, w)));
        }
    }
}

/// A second line for the same arch adds what the first did not say.
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
