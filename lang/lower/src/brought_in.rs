//! Lowers what an unerupted tooth, a narrow arch and a patient from elsewhere need.

use std::sync::Arc;

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::case::{ArchCase, Bonding, Elsewhere};
use springline_model::expander::Expander;
use springline_model::house::House;
use springline_model::step::ActKind;
use springline_model::stock::{Bracket, ByTooth};
use springline_model::tooth_size::ToothSizeRatio;
use springline_model::traction::{Exposure, TractionTo};
use springline_syntax::ast::{
    BondedElsewhereLine, EveryWord, ExpanderLine, ExposeLine, ExposureWord, PatientLine, RatioPart,
    ToothSizeRatioLine, TractionAnchorPart, TractionLine,
};
use springline_text::Place;

impl LoweringContext<'_> {
    pub fn traction(&mut self, line: TractionLine<'_>) -> Option<ActKind> {
        let to = match line.traction_anchor {
            TractionAnchorPart::Wire => TractionTo::Wire,
            TractionAnchorPart::PalatalArch => TractionTo::PalatalArch,
            TractionAnchorPart::Screw(tooth) => TractionTo::Screw(self.tooth(tooth)?),
            TractionAnchorPart::Tooth(tooth) => TractionTo::Tooth(self.tooth(tooth)?),
        };
        let force = match line.force {
            Some(force) => Some(self.force(force, p::TRACTION_FORCE)?),
            None => None,
        };
        Some(ActKind::Traction {
            teeth: self.some_teeth(line.teeth)?,
            by: word_values::traction_by(line.traction_by),
            to,
            force,
            first: line.traction_first.map(word_values::traction_first),
            until: self.condition_if_said(line.condition)?,
        })
    }

    pub fn exposure(&mut self, line: ExposeLine<'_>, out: &mut ArchCase) {
        let (on, place) = (line.date.and_then(|date| self.date(date)), line.statement.place());
        let open = line.exposure.map(|word| word == ExposureWord::Open);
        for tooth in self.teeth(line.teeth) {
            out.exposures.entry(tooth).or_insert(Exposure { open, on, place });
        }
    }

    pub fn expander(&mut self, line: ExpanderLine<'_>) -> Option<Expander> {
        let turn = match line.turn {
            Some(turn) => Some(self.length(turn, p::TURN)?),
            None => None,
        };
        Some(Expander {
            teeth: self.some_teeth(line.teeth)?,
            on: line.date.and_then(|date| self.date(date)),
            width: self.length(line.length, p::EXPANSION)?,
            turns: line.turns.count()?,
            a_week: line.every == EveryWord::Week,
            turn,
            locked: self.period(line.time, p::LOCKED_TIME)?,
            place: line.statement.place(),
        })
    }

    pub fn tooth_size(&mut self, line: ToothSizeRatioLine<'_>) -> Option<ToothSizeRatio> {
        let place = line.statement.place();
        let mut out = ToothSizeRatio { anterior: None, overall: None, place };
        for part in line.ratios {
            let (field, slot, what) = match part {
                RatioPart::Anterior(field) => (field, &mut out.anterior, "The anterior ratio"),
                RatioPart::Overall(field) => (field, &mut out.overall, "The overall ratio"),
            };
            let value = self.percent(field, p::TOOTH_SIZE).map(|ratio| 100.0 * ratio.value);
            if slot.is_some() {
                self.said_twice(what, place, None);
            }
            *slot = slot.or(value);
        }
        Some(out)
    }

    /// Whole years; beyond what anyone reaches it is a slip of the pen.
    pub fn age(&mut self, line: PatientLine<'_>) -> Option<(u32, Place)> {
        let years = line.years?.count()?;
        let place = line.statement.place();
        if !(2..=110).contains(&years) {
            self.report(
                Finding::error(
                    "unit/impossible-age",
                    place,
                    format!("A patient of {years} years wears no fixed appliance."),
                )
                .note("The age is in whole years at the start, such as `age 13`."),
            );
            return None;
        }
        Some((years, place))
    }

    /// Brackets of which nothing is known but, perhaps, the slot: the practice's own stand for the rest, without
    /// what those ask of torque and tip.
    pub fn bonded_elsewhere(
        &mut self,
        line: BondedElsewhereLine<'_>,
        house: &House,
        out: &mut ArchCase,
    ) {
        let place = line.statement.place();
        let slot = match line.dims {
            Some(field) => match self.sizes(field, p::SLOT_SIZE) {
                Some(sizes) => Some((sizes, field.text().to_owned())),
                None => return,
            },
            None => None,
        };
        let elsewhere = Elsewhere {
            slot_known: slot.is_some(),
            on: line.date.and_then(|date| self.date(date)),
        };
        for tooth in self.teeth(line.teeth) {
            if out.states.get(&tooth).is_some_and(|(state, _)| state.is_absent()) {
                continue;
            }
            let own = house.first_bracket(!tooth.is_anterior() && tooth.position() > 5);
            let Some(own) = own.or_else(|| house.first_bracket(false)) else { continue };
            let mut bracket = Bracket {
                name: "bracket of another practice".into(),
                torque: ByTooth::default(),
                tip: ByTooth::default(),
                variants: Default::default(),
                slot_measured: None,
                ..own.clone()
            };
            if let Some(((height, depth), text)) = &slot {
                (bracket.slot_height, bracket.slot_depth) = (*height, *depth);
                bracket.slot_text.clone_from(text);
            }
            let bonding = Bonding {
                bracket: Arc::new(bracket),
                inverted: false,
                variant: None,
                elsewhere: Some(elsewhere),
                place,
            };
            if let Some(first) = out.bonded.insert(tooth, bonding) {
                let text = format!("What is bonded on {tooth}");
                self.said_twice(&text, place, Some(first.place));
            }
        }
    }
}
