//! `bite`, `goal`, and the measures of a visit that use the same sentences.

use super::plausible as p;
use super::read::LoweringContext;
use springline_model::case::{Bite, BiteClass, Goal, Overjet, Relation};
use springline_syntax::tree::{FragmentMatch, StatementRef};
use springline_text::Place;
use springline_units::quantity::Length;
use springline_units::tooth::{Arch, Side};

/// From the word and the amount that were written.
pub fn overjet(word: &str, by: Length) -> Overjet {
    if word == "reverse-overjet" { Overjet::reverse(by) } else { Overjet::forward(by) }
}

impl LoweringContext<'_> {
    pub fn bite(&mut self, block: StatementRef<'_>) -> Bite {
        let mut bite = Bite::default();
        for line in block.children().filter(|l| l.is_read()) {
            self.bite_line(line, &mut bite);
        }
        bite
    }

    pub fn goal(&mut self, block: StatementRef<'_>) -> Goal {
        let mut goal = Goal { place: Some(block.place()), ..Goal::default() };
        for line in block.children().filter(|l| l.is_read()) {
            match line.keyword() {
                Some("crossbite-corrected") => {
                    let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                    goal.over_the_bite.extend(teeth);
                }
                Some("extraction") => goal.extraction = Some(line.has("planned")),
                Some("incisors") => goal.incisors_forward = Some(line.has("forward")),
                Some("spaces") => goal.spaces_closed = true,
                _ => self.bite_line(line, &mut goal.bite),
            }
        }
        goal
    }

    /// One measure; anything else is left alone.
    pub fn bite_line(&mut self, line: StatementRef<'_>, bite: &mut Bite) {
        let place = line.place();
        match line.keyword() {
            Some(word @ ("overjet" | "reverse-overjet")) => {
                let value = line.hole("length").and_then(|h| self.length(h, p::OVERJET));
                let value = value.map(|l| overjet(word, l));
                self.measure("The overjet", value, place, &mut bite.overjet);
            }
            Some("overbite") => {
                let value = line.hole("length").and_then(|h| self.length(h, p::OVERBITE));
                self.measure("The overbite", value, place, &mut bite.overbite);
            }
            Some("open-bite") => {
                let value = line.hole("length").and_then(|h| self.length(h, p::OVERBITE));
                self.measure("The open bite", value, place, &mut bite.open_bite);
            }
            Some("molars") => self.relations(line, |side, r| bite.molars.insert(side, r)),
            Some("canines") => self.relations(line, |side, r| bite.canines.insert(side, r)),
            Some("crossbite") => {
                let teeth = line.hole("teeth").map(|h| self.teeth(h)).unwrap_or_default();
                bite.crossbite.extend(teeth);
            }
            Some(word @ ("upper" | "lower")) => {
                let arch = if word == "upper" { Arch::Upper } else { Arch::Lower };
                if let Some(midline) = self.midline(line.group())
                    && let Some((_, first)) = bite.midlines.insert(arch, (midline, place))
                {
                    self.said_twice("This midline", place, Some(first));
                }
            }
            _ => {}
        }
    }

    fn measure<T>(
        &mut self,
        what: &str,
        value: Option<T>,
        place: Place,
        slot: &mut Option<(T, Place)>,
    ) {
        let Some(value) = value else { return };
        if let Some((_, first)) = slot {
            let first = *first;
            self.said_twice(what, place, Some(first));
            return;
        }
        *slot = Some((value, place));
    }

    fn relations(
        &mut self,
        line: StatementRef<'_>,
        mut keep: impl FnMut(Side, Relation) -> Option<Relation>,
    ) {
        let parts: Vec<FragmentMatch<'_>> = line.groups("sided-class").collect();
        for part in parts {
            let class = match () {
                () if part.has("class-2") => BiteClass::Class2,
                () if part.has("class-3") => BiteClass::Class3,
                () => BiteClass::Class1,
            };
            let by = match part.hole("by") {
                Some(hole) => match self.length(hole, p::CLASS_AMOUNT) {
                    Some(by) => Some(by),
                    None => continue,
                },
                None => None,
            };
            let sides = match () {
                () if part.has("right") => vec![Side::Right],
                () if part.has("left") => vec![Side::Left],
                () => vec![Side::Right, Side::Left],
            };
            for side in sides {
                if keep(side, Relation { class, by }).is_some() {
                    let text = format!("The relation on the {side}");
                    self.said_twice(&text, self.place(part.span()), None);
                }
            }
        }
    }
}
