//! Lowers acts: the lines in a step's block, and in an arch of a visit.

use std::sync::Arc;

use super::condition::one_line;
use super::names::{BRACKET, CHAIN, COIL, VARIANT, WIRE};
use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_finding::Finding;
use springline_model::house::House;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Activation, Anchor, Condition, Spot};
use springline_model::stock::{Bracket, Coil, CoilKind, Name};
use springline_syntax::ast::{
    ActivationPart, AnchorPart, BoundWord, ChoiceList, ConditionPart, FieldList, IprLine,
    MountingPart, NameField, OpenCoilLine, PartList, PlacePart, PullPart, StepStatement,
    TeethField, kind,
};
use springline_syntax::format::written;
use springline_syntax::tree::StatementRef;
use springline_units::tooth::Tooth;

impl LoweringContext<'_> {
    /// The act of a line; `None` where it could not be read or is not an act.
    pub fn act(
        &mut self,
        line: StatementRef<'_>,
        statement: StepStatement<'_>,
        house: &House,
        origin: Origin,
    ) -> Option<Act> {
        let kind = self.act_kind(statement, house)?;
        Some(Act { kind, origin, place: line.place(), text: one_line(&written(line.group())) })
    }

    fn act_kind(&mut self, statement: StepStatement<'_>, house: &House) -> Option<ActKind> {
        Some(match statement {
            StepStatement::Bypass(line) => ActKind::Bypass {
                teeth: self.some_teeth(line.teeth)?,
                unbonded: line.unbonded,
                until: self.condition_if_said(line.condition)?,
            },
            StepStatement::Engage(line) => {
                let teeth = self.some_teeth(line.teeth)?;
                ActKind::Engage { teeth, wing: word_values::wing(line.wing) }
            }
            StepStatement::PickUp(line) => {
                let teeth = self.some_teeth(line.teeth)?;
                let (bracket, inverted, variant) =
                    self.bracket(line.bracket, line.mounting, house)?;
                ActKind::PickUp { teeth, bracket, inverted, variant }
            }
            StepStatement::Rebond(line) => {
                let teeth = self.some_teeth(line.teeth)?;
                let stock = &house.brackets;
                let bracket = self.lookup_if_said(line.bracket, BRACKET, stock, &house.title)?;
                ActKind::Rebond { teeth, bracket }
            }
            StepStatement::Reposition(line) => {
                let teeth = self.some_teeth(line.teeth)?;
                ActKind::Reposition { teeth, to: self.stand(line.stands) }
            }
            StepStatement::Piggyback(line) => ActKind::Piggyback {
                wire: self.lookup(line.wire, WIRE, &house.wires, &house.title)?,
                within: self.some_teeth(line.in_teeth)?,
                over: self.teeth_if_said(line.over),
            },
            StepStatement::Traction(line) => self.traction(line)?,
            StepStatement::OpenCoil(line) => self.open_coil(line, house)?,
            StepStatement::PassiveCoil(line) => {
                let (first, second) = self.between(line.between)?;
                let coil = self.coil(line.coil, house, CoilKind::Closed)?;
                let hold = match line.length {
                    Some(length) => Some(self.length(length, p::GAP)?),
                    None => None,
                };
                ActKind::ClosedCoil { first, second, coil, hold }
            }
            StepStatement::ClosingSpring(line) => {
                let pulls = self.pulls(line.pulls)?;
                let coil = self.coil(line.coil, house, CoilKind::Closing)?;
                let force = match line.force {
                    Some(force) => Some(self.force(force, p::COIL_FORCE)?),
                    None => None,
                };
                ActKind::ClosingCoil { pulls, coil, force }
            }
            StepStatement::StepChain(line) => ActKind::Chain {
                teeth: self.some_teeth(line.teeth)?,
                chain: self.lookup_if_said(line.chain, CHAIN, &house.chains, &house.title)?,
                force: match line.force {
                    Some(force) => Some(self.force(force, p::CHAIN_FORCE)?),
                    None => None,
                },
            },
            StepStatement::Tie(line) => ActKind::Tie {
                teeth: self.some_teeth(line.teeth)?,
                figure_eight: line.figure_eight,
            },
            StepStatement::Laceback(line) => ActKind::Laceback { pairs: self.pairs(line.teeth) },
            StepStatement::Sleeve(line) => {
                let spans = line.stretches.into_iter().filter_map(|part| self.between(part));
                ActKind::Sleeve { spans: spans.collect() }
            }
            StepStatement::BiteRaisers(line) => {
                // Bite raisers belong where the opposing arch would otherwise hit a bracket.
                let arch = self.arch.take();
                let teeth = self.some_teeth(line.teeth);
                self.arch = arch;
                ActKind::BiteRaisers {
                    teeth: teeth?,
                    until: self.condition_if_said(line.condition)?,
                }
            }
            StepStatement::Ipr(line) => {
                let amount = self.length(line.length, p::REDUCTION)?;
                let (first, second) = self.between(line.between)?;
                ActKind::Reduce { amount, contacts: self.contacts(first, second, line)? }
            }
            StepStatement::StepStop(line) => ActKind::Stop { spots: self.spots(line.places) },
            StepStatement::Post(line) => ActKind::Post { spots: self.spots(line.places) },
            StepStatement::PowerArm(line) => ActKind::PowerArm {
                teeth: self.some_teeth(line.teeth)?,
                height: self.length(line.length, p::POWER_ARM)?,
            },
            StepStatement::ReverseCurve(line) => {
                ActKind::ReverseCurve { depth: self.length(line.length, p::CURVE)? }
            }
            StepStatement::Bend(line) => {
                ActKind::Bend { teeth: self.some_teeth(line.teeth)?, by: self.stand(line.stands) }
            }
            StepStatement::StepTorque(line) => ActKind::Torque {
                teeth: self.some_teeth(line.teeth)?,
                angle: self.angle(line.angle, p::TORQUE_ANGLE)?,
                turn: word_values::crown_turn(line.crown),
            },
            StepStatement::Coordinated(_) => ActKind::Coordinated,
            StepStatement::Trim(line) => ActKind::Trim { teeth: self.some_teeth(line.teeth)? },
            StepStatement::HaltIf(line) => ActKind::HaltIf {
                measure: word_values::measure(line.measure),
                under: line.bound == BoundWord::Under,
                length: self.length(line.length, p::OVERJET)?,
            },
            StepStatement::Sectional(line) => {
                ActKind::Sectional { teeth: self.some_teeth(line.teeth)? }
            }
            StepStatement::Records(line) => ActKind::Records {
                what: line.record_kind.word().into(),
                on: line.date.and_then(|date| self.date(date)),
            },
            StepStatement::Separators(line) => ActKind::Separators {
                teeth: self.some_teeth(line.teeth)?,
                on: line.date.and_then(|date| self.date(date)),
            },
            StepStatement::Hold(line) => ActKind::Hold {
                teeth: self.some_teeth(line.teeth)?,
                length: self.length(line.length, p::SPACE)?,
            },
            StepStatement::Note(line) => ActKind::Note { text: line.text.text().to_owned() },
            // What takes an act away, and the answer to a finding, are no acts.
            StepStatement::No(_) | StepStatement::Accept(_) => return None,
        })
    }

    /// The teeth of a field; `None` when none of them could be read.
    pub(super) fn some_teeth(&mut self, field: TeethField<'_>) -> Option<Vec<Tooth>> {
        let teeth = self.teeth(field);
        (!teeth.is_empty()).then_some(teeth)
    }

    /// Outer `None`: there is a condition and it cannot be read.
    #[allow(clippy::option_option)]
    pub(super) fn condition_if_said(
        &mut self,
        part: Option<ConditionPart<'_>>,
    ) -> Option<Option<Condition>> {
        match part {
            Some(part) => self.condition(part).map(Some),
            None => Some(None),
        }
    }

    /// A bracket with the details of its bonding.
    pub fn bracket(
        &mut self,
        field: NameField<'_>,
        mounting: Option<MountingPart<'_>>,
        house: &House,
    ) -> Option<(Arc<Bracket>, bool, Option<Name>)> {
        let bracket = self.lookup(field, BRACKET, &house.brackets, &house.title)?;
        match mounting {
            Some(MountingPart::Variant(field)) if bracket.variants.contains_key(field.text()) => {
                Some((bracket, false, Some(field.text().into())))
            }
            Some(MountingPart::Variant(field)) => {
                let names: Vec<&str> = bracket.variants.keys().map(AsRef::as_ref).collect();
                self.unknown(field, VARIANT, &names, &format!("`{}`", bracket.name));
                None
            }
            Some(MountingPart::Inverted) => Some((bracket, true, None)),
            None => Some((bracket, false, None)),
        }
    }

    fn open_coil(&mut self, line: OpenCoilLine<'_>, house: &House) -> Option<ActKind> {
        let (first, second) = self.between(line.between)?;
        let coil = self.coil(line.coil, house, CoilKind::Open)?;
        let activation = self.activation(line.activations)?;
        Some(ActKind::OpenCoil { first, second, coil, activation })
    }

    /// Of several the force counts before the length, and either before `passive`.
    fn activation(&mut self, said: ChoiceList<'_, ActivationPart<'_>>) -> Option<Activation> {
        let order = |part: &ActivationPart<'_>| match part {
            ActivationPart::Force(_) => 0,
            ActivationPart::Activated { .. } => 1,
            ActivationPart::Passive => 2,
        };
        Some(match said.iter().min_by_key(order) {
            Some(ActivationPart::Force(force)) => {
                Activation::Force { force: self.force(force, p::COIL_FORCE)? }
            }
            Some(ActivationPart::Activated { length, each }) => {
                Activation::Pressed { by: self.length(length, p::ACTIVATION)?, each_visit: each }
            }
            Some(ActivationPart::Passive) => Activation::Passive,
            None => Activation::Unsaid,
        })
    }

    /// Outer `None`: a coil is named and is not one of this kind.
    #[allow(clippy::option_option)]
    fn coil(
        &mut self,
        field: Option<NameField<'_>>,
        house: &House,
        kind: CoilKind,
    ) -> Option<Option<Arc<Coil>>> {
        let Some(hole) = field else { return Some(None) };
        let coil = self.lookup(hole, COIL, &house.coils, &house.title)?;
        if coil.kind == kind {
            return Some(Some(coil));
        }
        let word = |k| match k {
            CoilKind::Open => "an open coil, which makes space",
            CoilKind::Closed => "a passive coil, which keeps space",
            CoilKind::Closing => "a closing spring, which pulls a space closed",
        };
        // Never offered as each other's spelling: at the chair they are mixed up already.
        self.report(
            Finding::error(
                "name/wrong-coil",
                hole.place(),
                format!("`{}` is {}; this line needs {}.", coil.name, word(coil.kind), word(kind)),
            )
            .related(coil.place, "defined here"),
        );
        None
    }

    fn pulls(&mut self, pulls: PartList<'_, PullPart<'_>>) -> Option<Vec<(Anchor, Anchor)>> {
        let mut out = Vec::new();
        for pull in pulls {
            let mut ends = Vec::new();
            for anchor in pull.anchors {
                ends.push(match anchor {
                    AnchorPart::Post(tooth) => Anchor::Post(self.tooth(tooth)?),
                    AnchorPart::Screw(tooth) => Anchor::Screw(self.tooth(tooth)?),
                    AnchorPart::Tooth(tooth) => Anchor::Tooth(self.tooth(tooth)?),
                });
            }
            if let [from, to] = ends[..] {
                out.push((from, to));
            }
        }
        (!out.is_empty()).then_some(out)
    }

    fn pairs(&mut self, fields: FieldList<'_, kind::Tooth>) -> Vec<(Tooth, Tooth)> {
        let teeth = self.single_teeth(fields);
        teeth.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    }

    fn spots(&mut self, places: PartList<'_, PlacePart<'_>>) -> Vec<Spot> {
        let mut out: Vec<Spot> = Vec::new();
        for part in places {
            let Some(spot) = self.spot(part) else { continue };
            if out.contains(&spot) {
                let text = format!("A stop {} of {}", spot.along.word(), spot.tooth);
                self.said_twice(&text, self.place(part.fragment.span()), None);
            } else {
                out.push(spot);
            }
        }
        out
    }

    /// The contacts of a range of teeth; more than one needs `each`.
    fn contacts(
        &mut self,
        first: Tooth,
        second: Tooth,
        line: IprLine<'_>,
    ) -> Option<Vec<(Tooth, Tooth)>> {
        let stretch = first.stretch(second)?;
        let contacts: Vec<(Tooth, Tooth)> =
            stretch.windows(2).map(|pair| (pair[0], pair[1])).collect();
        if contacts.len() > 1 && !line.each {
            let hole = line.length;
            let text = hole.text();
            self.report(
                Finding::error(
                    "name/which-contact",
                    line.statement.place(),
                    format!(
                        "There are {} contacts between {first} and {second}: {text} at each, or \
                         at which one?",
                        contacts.len()
                    ),
                )
                .teeth([first, second])
                .clinical_fix(
                    format!("write `{text} each`"),
                    hole.place(),
                    format!("{text} each"),
                ),
            );
            return None;
        }
        Some(contacts)
    }
}
