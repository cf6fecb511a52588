//! Lowers `bite`, `goal`, and the measurements of a visit that share their notation.

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_model::case::{Bite, Goal, Overjet, Relation};
use springline_syntax::ast::{
    BiteStatement, ClassPart, ExtractionWord, GoalStatement, IncisorsWord, PartList, SidedClassPart,
};
use springline_syntax::tree::StatementRef;
use springline_text::Place;
use springline_units::quantity::Length;
use springline_units::tooth::Side;

impl LoweringContext<'_> {
    pub fn bite(&mut self, block: StatementRef<'_>) -> Bite {
        let mut bite = Bite::default();
        for line in block.children().filter_map(BiteStatement::cast) {
            self.bite_line(line, &mut bite);
        }
        bite
    }

    pub fn goal(&mut self, block: StatementRef<'_>) -> Goal {
        let mut goal = Goal { place: Some(block.place()), ..Goal::default() };
        for line in block.children().filter_map(GoalStatement::cast) {
            let measure = match line {
                GoalStatement::GoalCrossbiteCorrected(line) => {
                    goal.over_the_bite.extend(self.teeth(line.teeth));
                    continue;
                }
                GoalStatement::Extraction(line) => {
                    goal.extraction = Some(line.extraction == ExtractionWord::Planned);
                    continue;
                }
                GoalStatement::Incisors(line) => {
                    goal.incisors_forward = Some(line.incisors == IncisorsWord::Forward);
                    continue;
                }
                GoalStatement::Spaces(_) => {
                    goal.spaces_closed = true;
                    continue;
                }
                GoalStatement::Overjet(line) => BiteStatement::Overjet(line),
                GoalStatement::ReverseOverjet(line) => BiteStatement::ReverseOverjet(line),
                GoalStatement::Overbite(line) => BiteStatement::Overbite(line),
                GoalStatement::OpenBite(line) => BiteStatement::OpenBite(line),
                GoalStatement::Molars(line) => BiteStatement::Molars(line),
                GoalStatement::Canines(line) => BiteStatement::Canines(line),
                GoalStatement::BiteArch(line) => BiteStatement::BiteArch(line),
            };
            self.bite_line(measure, &mut goal.bite);
        }
        goal
    }

    /// One measure.
    pub fn bite_line(&mut self, line: BiteStatement<'_>, bite: &mut Bite) {
        match line {
            BiteStatement::Overjet(line) => {
                let value = self.length(line.length, p::OVERJET).map(Overjet::forward);
                let place = line.statement.place();
                self.measure("The overjet", value, place, &mut bite.overjet);
            }
            BiteStatement::ReverseOverjet(line) => {
                let value = self.length(line.length, p::OVERJET).map(Overjet::reverse);
                let place = line.statement.place();
                self.measure("The overjet", value, place, &mut bite.overjet);
            }
            BiteStatement::Overbite(line) => {
                let value = self.length(line.length, p::OVERBITE);
                let place = line.statement.place();
                self.measure("The overbite", value, place, &mut bite.overbite);
            }
            BiteStatement::OpenBite(line) => {
                let value = self.length(line.length, p::OVERBITE);
                let place = line.statement.place();
                self.measure("The open bite", value, place, &mut bite.open_bite);
            }
            BiteStatement::CurveOfSpee(line) => {
                let value = self.length(line.length, p::CURVE_OF_SPEE);
                let place = line.statement.place();
                self.measure("The curve of Spee", value, place, &mut bite.curve_of_spee);
            }
            BiteStatement::Molars(line) => {
                self.relations(line.sided_class, |side, r| bite.molars.insert(side, r));
            }
            BiteStatement::Canines(line) => {
                bite.canines_place = Some(line.statement.place());
                self.relations(line.sided_class, |side, r| bite.canines.insert(side, r));
            }
            BiteStatement::Crossbite(line) => bite.crossbite.extend(self.teeth(line.teeth)),
            BiteStatement::BiteArch(line) => {
                let place = line.statement.place();
                if let Some(midline) = self.midline(line.midline)
                    && let Some((_, first)) =
                        bite.midlines.insert(word_values::arch(line.arch), (midline, place))
                {
                    self.said_twice("This midline", place, Some(first));
                }
            }
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
        parts: PartList<'_, SidedClassPart<'_>>,
        mut keep: impl FnMut(Side, Relation) -> Option<Relation>,
    ) {
        for (span, part) in parts.spanned() {
            let (class, sides) = match part {
                SidedClassPart::Right(class) => (class, &[Side::Right][..]),
                SidedClassPart::Left(class) => (class, &[Side::Left][..]),
                SidedClassPart::Class(class) => (class, &[Side::Right, Side::Left][..]),
            };
            let Some(relation) = self.relation(class) else { continue };
            for side in sides {
                if keep(*side, relation).is_some() {
                    let text = format!("The relation on the {side}");
                    self.said_twice(&text, self.place(span), None);
                }
            }
        }
    }

    fn relation(&mut self, part: ClassPart<'_>) -> Option<Relation> {
        let by: Option<Length> = match part.by {
            Some(field) => Some(self.length(field, p::CLASS_AMOUNT)?),
            None => None,
        };
        Some(Relation { class: word_values::bite_class(part.bite_class), by })
    }
}
