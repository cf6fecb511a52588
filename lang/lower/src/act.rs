//! The lines in a step's braces, and in an arch of a visit: what is done.

use std::sync::Arc;

use super::condition::one_line;
use super::names::{BRACKET, CHAIN, COIL, VARIANT, WIRE};
use super::plausible as p;
use super::read::LoweringContext;
use super::stand::crown_turn;
use springline_finding::Finding;
use springline_model::house::House;
use springline_model::provenance::Origin;
use springline_model::step::{Act, ActKind, Activation, Anchor, BiteMeasure, Spot, Wing};
use springline_model::stock::{Along, Bracket, Coil, CoilKind, Name};
use springline_syntax::format::written;
use springline_syntax::tree::{FragmentMatch, StatementRef};
use springline_units::tooth::Tooth;

impl LoweringContext<'_> {
    /// What a line does; `None` where it could not be read or is not an act.
    pub fn act(&mut self, line: StatementRef<'_>, house: &House, origin: Origin) -> Option<Act> {
        let kind = self.act_kind(line, house)?;
        Some(Act { kind, origin, place: line.place(), text: one_line(&written(line.group())) })
    }

    fn act_kind(&mut self, line: StatementRef<'_>, house: &House) -> Option<ActKind> {
        let group = line.group();
        Some(match line.keyword()? {
            "bypass" => ActKind::Bypass {
                teeth: self.all(group, "teeth")?,
                unbonded: line.has("unbonded"),
                until: self.optional_condition(group)?,
            },
            "engage" => ActKind::Engage {
                teeth: self.all(group, "teeth")?,
                wing: match () {
                    () if line.has("mesial-wing") => Wing::Mesial,
                    () if line.has("distal-wing") => Wing::Distal,
                    () => Wing::Both,
                },
            },
            "pick-up" => {
                let teeth = self.all(group, "teeth")?;
                let (bracket, inverted, variant) = self.bracket(group, house)?;
                ActKind::PickUp { teeth, bracket, inverted, variant }
            }
            "rebond" => ActKind::Rebond {
                teeth: self.all(group, "teeth")?,
                bracket: match line.hole("bracket") {
                    Some(hole) => {
                        Some(self.lookup(hole, BRACKET, &house.brackets, &house.title)?)
                    }
                    None => None,
                },
            },
            "reposition" => {
                ActKind::Reposition { teeth: self.all(group, "teeth")?, to: self.stand(group) }
            }
            "piggyback" => ActKind::Piggyback {
                wire: self.lookup(line.hole("wire")?, WIRE, &house.wires, &house.title)?,
                within: self.all(group, "in")?,
                over: line.hole("over").map(|h| self.teeth(h)).unwrap_or_default(),
            },
            "open-coil" => self.open_coil(group, house)?,
            "passive-coil" => {
                let (first, second) = self.between(group)?;
                let coil = self.coil(group, house, CoilKind::Closed)?;
                let hold = match line.hole("length") {
                    Some(hole) => Some(self.length(hole, p::GAP)?),
                    None => None,
                };
                ActKind::ClosedCoil { first, second, coil, hold }
            }
            "closing-spring" => {
                let pulls = self.pulls(group)?;
                let coil = self.coil(group, house, CoilKind::Closing)?;
                let force = match line.hole("force") {
                    Some(hole) => Some(self.figure(hole, p::COIL_FORCE)?.force()?),
                    None => None,
                };
                ActKind::ClosingCoil { pulls, coil, force }
            }
            "chain" => ActKind::Chain {
                teeth: self.all(group, "teeth")?,
                chain: match line.hole("chain") {
                    Some(hole) => Some(self.lookup(hole, CHAIN, &house.chains, &house.title)?),
                    None => None,
                },
                force: match line.hole("force") {
                    Some(hole) => Some(self.figure(hole, p::CHAIN_FORCE)?.force()?),
                    None => None,
                },
            },
            "tie" => ActKind::Tie {
                teeth: self.all(group, "teeth")?,
                figure_eight: line.has("figure-eight"),
            },
            "laceback" => ActKind::Laceback { pairs: self.pairs(group) },
            "sleeve" => {
                let spans: Vec<FragmentMatch<'_>> = line.groups("between").collect();
                ActKind::Sleeve {
                    spans: spans.into_iter().filter_map(|g| self.between(g)).collect(),
                }
            }
            "bite-raisers" => {
                // They stand where the other arch would bite a bracket off.
                let arch = self.arch.take();
                let teeth = self.all(group, "teeth");
                self.arch = arch;
                ActKind::BiteRaisers { teeth: teeth?, until: self.optional_condition(group)? }
            }
            "ipr" => {
                let amount = self.length(line.hole("length")?, p::REDUCTION)?;
                let (first, second) = self.between(group)?;
                ActKind::Reduce { amount, contacts: self.contacts(first, second, line)? }
            }
            "stop" => ActKind::Stop { spots: self.spots(line) },
            "post" => ActKind::Post { spots: self.spots(line) },
            "reverse-curve" => {
                ActKind::ReverseCurve { depth: self.length(line.hole("length")?, p::CURVE)? }
            }
            "bend" => ActKind::Bend { teeth: self.all(group, "teeth")?, by: self.stand(group) },
            "torque" => ActKind::Torque {
                teeth: self.all(group, "teeth")?,
                angle: self.angle(group, p::TORQUE_ANGLE)?,
                turn: crown_turn(group),
            },
            "coordinated" => ActKind::Coordinated,
            "trim" => ActKind::Trim { teeth: self.all(group, "teeth")? },
            "halt-if" => ActKind::HaltIf {
                measure: match () {
                    () if line.has("overjet") => BiteMeasure::Overjet,
                    () if line.has("reverse-overjet") => BiteMeasure::ReverseOverjet,
                    () => BiteMeasure::Overbite,
                },
                under: line.has("under"),
                length: self.length(line.hole("length")?, p::OVERJET)?,
            },
            "sectional" => ActKind::Sectional { teeth: self.all(group, "teeth")? },
            "records" => ActKind::Records {
                what: group.words().nth(1).unwrap_or("panoramic").into(),
                on: line.hole("date").and_then(|h| self.date(h)),
            },
            "separators" => ActKind::Separators {
                teeth: self.all(group, "teeth")?,
                on: line.hole("date").and_then(|h| self.date(h)),
            },
            "hold" => ActKind::Hold {
                teeth: self.all(group, "teeth")?,
                length: self.length(line.hole("length")?, p::SPACE)?,
            },
            "note" => ActKind::Note { text: line.hole("text")?.text().to_owned() },
            _ => return None,
        })
    }

    /// The teeth of a labelled hole; `None` when none of them could be read.
    fn all(&mut self, group: FragmentMatch<'_>, label: &str) -> Option<Vec<Tooth>> {
        let teeth = self.teeth(group.hole(label)?);
        (!teeth.is_empty()).then_some(teeth)
    }

    /// Outer `None`: there is a condition and it cannot be read.
    #[allow(clippy::option_option)]
    fn optional_condition(
        &mut self,
        group: FragmentMatch<'_>,
    ) -> Option<Option<springline_model::step::Condition>> {
        if group.groups("condition").next().is_none() {
            return Some(None);
        }
        self.condition(group).map(Some)
    }

    /// A bracket with what is said of how it is bonded.
    pub fn bracket(
        &mut self,
        group: FragmentMatch<'_>,
        house: &House,
    ) -> Option<(Arc<Bracket>, bool, Option<Name>)> {
        let bracket =
            self.lookup(group.hole("bracket")?, BRACKET, &house.brackets, &house.title)?;
        let variant = match group.hole("variant") {
            Some(hole) if bracket.variants.contains_key(hole.text()) => Some(hole.text().into()),
            Some(hole) => {
                let names: Vec<&str> = bracket.variants.keys().map(AsRef::as_ref).collect();
                self.unknown(hole, VARIANT, &names, &format!("`{}`", bracket.name));
                return None;
            }
            None => None,
        };
        Some((bracket, group.has("inverted"), variant))
    }

    fn open_coil(&mut self, group: FragmentMatch<'_>, house: &House) -> Option<ActKind> {
        let (first, second) = self.between(group)?;
        let coil = self.coil(group, house, CoilKind::Open)?;
        let activation = if let Some(hole) = group.hole("force") {
            Activation::Force { force: self.figure(hole, p::COIL_FORCE)?.force()? }
        } else if let Some(hole) = group.hole("length") {
            Activation::Pressed {
                by: self.length(hole, p::ACTIVATION)?,
                each_visit: group.has("each"),
            }
        } else if group.has("passive") {
            Activation::Passive
        } else {
            Activation::Unsaid
        };
        Some(ActKind::OpenCoil { first, second, coil, activation })
    }

    /// Outer `None`: a coil is named and is not one of this kind.
    #[allow(clippy::option_option)]
    fn coil(
        &mut self,
        group: FragmentMatch<'_>,
        house: &House,
        kind: CoilKind,
    ) -> Option<Option<Arc<Coil>>> {
        let Some(hole) = group.hole("coil") else { return Some(None) };
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

    fn pulls(&mut self, group: FragmentMatch<'_>) -> Option<Vec<(Anchor, Anchor)>> {
        let mut out = Vec::new();
        let pulls: Vec<FragmentMatch<'_>> = group.groups("pull").collect();
        for pull in pulls {
            let anchors: Vec<FragmentMatch<'_>> = pull.groups("anchor").collect();
            let mut ends = Vec::new();
            for anchor in anchors {
                let tooth = self.tooth(anchor.hole("tooth")?)?;
                ends.push(match anchor.word() {
                    Some("post") => Anchor::Post(tooth),
                    Some("screw") => Anchor::Screw(tooth),
                    _ => Anchor::Tooth(tooth),
                });
            }
            if let [from, to] = ends[..] {
                out.push((from, to));
            }
        }
        (!out.is_empty()).then_some(out)
    }

    fn pairs(&mut self, group: FragmentMatch<'_>) -> Vec<(Tooth, Tooth)> {
        let teeth = self.single_teeth(group);
        teeth.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
    }

    fn spots(&mut self, line: StatementRef<'_>) -> Vec<Spot> {
        let places: Vec<FragmentMatch<'_>> = line.groups("place").collect();
        let mut out: Vec<Spot> = Vec::new();
        for group in places {
            let along = if group.has("mesial") { Along::Mesial } else { Along::Distal };
            let Some(tooth) = group.hole("tooth").and_then(|h| self.tooth(h)) else { continue };
            let spot = Spot { along, tooth };
            if out.contains(&spot) {
                let text = format!("A stop {} of {tooth}", along.word());
                self.said_twice(&text, self.place(group.span()), None);
            } else {
                out.push(spot);
            }
        }
        out
    }

    /// The contacts of a stretch; more than one needs `each`.
    fn contacts(
        &mut self,
        first: Tooth,
        second: Tooth,
        line: StatementRef<'_>,
    ) -> Option<Vec<(Tooth, Tooth)>> {
        let stretch = first.stretch(second)?;
        let contacts: Vec<(Tooth, Tooth)> =
            stretch.windows(2).map(|pair| (pair[0], pair[1])).collect();
        if contacts.len() > 1 && !line.has("each") {
            let hole = line.hole("length")?;
            let text = hole.text();
            self.report(
                Finding::error(
                    "name/which-contact",
                    line.place(),
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
