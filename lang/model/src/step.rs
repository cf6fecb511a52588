//! A step of the plan: one wire, what is done with it, and the condition that ends it.

use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;

use super::form::Form;
use super::overjet::Overjet;
use super::provenance::{Origin, Sourced};
use super::stand::Stand;
use super::stock::{Along, Bracket, Chain, Coil, CrownTurn, Name, Wire};
use super::traction::{TractionBy, TractionFirst, TractionTo};
use springline_text::Place;
use springline_units::quantity::{Angle, Force, Length, Period};
use springline_units::tooth::{Arch, Side, Tooth};

/// Purpose of a step, in treatment order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum StepKind {
    Align,
    Level,
    Work,
    Finish,
}

impl StepKind {
    pub fn word(self) -> &'static str {
        match self {
            StepKind::Align => "align",
            StepKind::Level => "level",
            StepKind::Work => "work",
            StepKind::Finish => "finish",
        }
    }

    pub fn from_word(word: &str) -> Option<StepKind> {
        [StepKind::Align, StepKind::Level, StepKind::Work, StepKind::Finish]
            .into_iter()
            .find(|k| k.word() == word)
    }
}

/// The wire in the slots. `tandem` is a second wire in the same slots.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WireUse {
    pub wire: Arc<Wire>,
    pub tandem: Option<Arc<Wire>>,
    /// Written as `wire keep`: the wire of the preceding step stays in.
    pub kept: bool,
}

impl WireUse {
    pub fn label(&self) -> String {
        match &self.tandem {
            Some(second) => format!("{} + {}", self.wire.label(), second.label()),
            None => self.wire.label(),
        }
    }

    /// The same as it is typed, for machine-readable output.
    pub fn typed_label(&self) -> String {
        match &self.tandem {
            Some(second) => format!("{} + {}", self.wire.typed_label(), second.typed_label()),
            None => self.wire.typed_label(),
        }
    }

    pub fn names(&self) -> String {
        match &self.tandem {
            Some(second) => format!("{} tandem {}", self.wire.name, second.name),
            None => self.wire.name.to_string(),
        }
    }

    pub fn same_wires(&self, other: &WireUse) -> bool {
        self.wire.name == other.wire.name
            && self.tandem.as_ref().map(|w| &w.name) == other.tandem.as_ref().map(|w| &w.name)
    }
}

/// How a wire ends behind the last tooth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum EndKind {
    Free,
    Flush,
    /// Lightly turned in towards the tongue: the wire still slides.
    TurnedIn,
    /// Bent tight behind the tube: the wire does not slide forward.
    Cinched,
}

impl EndKind {
    pub fn word(self) -> &'static str {
        match self {
            EndKind::Free => "free",
            EndKind::Flush => "flush",
            EndKind::TurnedIn => "turned-in",
            EndKind::Cinched => "cinched",
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct End {
    pub kind: EndKind,
    /// Wire left between the tube and the turn.
    pub slack: Option<Length>,
    pub trimmed: bool,
}

/// Both ends of the wire.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ends {
    pub right: Sourced<End>,
    pub left: Sourced<End>,
}

impl Ends {
    pub fn of(&self, side: Side) -> &Sourced<End> {
        match side {
            Side::Right => &self.right,
            Side::Left => &self.left,
        }
    }
}

/// One term of a condition.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "term")]
pub enum Term {
    Passive,
    /// The doctor decides; the end is explicitly open.
    Decided,
    Settled,
    Time {
        period: Period,
    },
    /// Space for these teeth; empty: for the teeth the statement is about.
    Space {
        length: Length,
        teeth: Vec<Tooth>,
    },
    Gap {
        length: Length,
        first: Tooth,
        second: Tooth,
    },
    Overjet {
        #[serde(rename = "length")]
        overjet: Overjet,
    },
    Overbite {
        length: Length,
    },
    Midline {
        arch: Arch,
        midline: Midline,
    },
    OverTheBite {
        teeth: Vec<Tooth>,
    },
    Within {
        length: Length,
        teeth: Vec<Tooth>,
    },
}

/// A condition that halts a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BiteMeasure {
    Overjet,
    ReverseOverjet,
    Overbite,
}

impl BiteMeasure {
    pub fn words(self) -> &'static str {
        match self {
            BiteMeasure::Overjet => "overjet",
            BiteMeasure::ReverseOverjet => "reverse overjet",
            BiteMeasure::Overbite => "overbite",
        }
    }

    pub fn is_overjet(self) -> bool {
        self != BiteMeasure::Overbite
    }
}

impl Term {
    /// Elastics can bring it about; a doctor who decides waits for their end as well.
    pub fn may_wait_for_elastics(&self) -> bool {
        !matches!(
            self,
            Term::Passive
                | Term::Settled
                | Term::Time { .. }
                | Term::Space { .. }
                | Term::Gap { .. }
        )
    }
}

/// Only-`and` or only-`or`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Condition {
    pub terms: Vec<Term>,
    /// All must hold; otherwise one is enough.
    pub all: bool,
    /// As written, for cards and messages: `passive and 6 wk`.
    pub text: String,
}

/// What a midline is measured against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum MidlineReference {
    Face,
    Upper,
    Lower,
}

#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Midline {
    /// Zero: on the reference.
    pub off: Length,
    /// The patient's side it lies on; meaningless when `off` is zero.
    pub side: Side,
    pub reference: MidlineReference,
}

/// When the next visit is.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "next")]
pub enum NextVisit {
    Computed,
    Range { from: Period, to: Period },
    On { date: Date },
}

/// What an end of a coil or spring is attached to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase", tag = "anchor", content = "tooth")]
pub enum Anchor {
    Tooth(Tooth),
    /// The post on the wire beside that tooth.
    Post(Tooth),
    Screw(Tooth),
}

impl Anchor {
    pub fn tooth(self) -> Tooth {
        match self {
            Anchor::Tooth(t) | Anchor::Post(t) | Anchor::Screw(t) => t,
        }
    }
}

/// How a tooth is engaged by `engage`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wing {
    Both,
    Mesial,
    Distal,
}

/// A place on the wire against a bracket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Spot {
    pub along: Along,
    pub tooth: Tooth,
}

/// How an open coil is loaded.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "activation")]
pub enum Activation {
    /// Not said.
    Unsaid,
    Force {
        force: Force,
    },
    /// Compressed by this much at insertion.
    Pressed {
        by: Length,
        /// Compressed by the same amount again at every visit of its step.
        each_visit: bool,
    },
    /// Only keeps the space.
    Passive,
}

/// One thing done in a step.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "act")]
pub enum ActKind {
    Bypass {
        teeth: Vec<Tooth>,
        unbonded: bool,
        until: Option<Condition>,
    },
    Engage {
        teeth: Vec<Tooth>,
        wing: Wing,
    },
    PickUp {
        teeth: Vec<Tooth>,
        bracket: Arc<Bracket>,
        inverted: bool,
        variant: Option<Name>,
    },
    Rebond {
        teeth: Vec<Tooth>,
        bracket: Option<Arc<Bracket>>,
    },
    Reposition {
        teeth: Vec<Tooth>,
        to: Stand,
    },
    Piggyback {
        wire: Arc<Wire>,
        within: Vec<Tooth>,
        over: Vec<Tooth>,
    },
    /// Pulls unerupted teeth into their places.
    Traction {
        teeth: Vec<Tooth>,
        by: TractionBy,
        to: TractionTo,
        force: Option<Force>,
        first: Option<TractionFirst>,
        until: Option<Condition>,
    },
    OpenCoil {
        first: Tooth,
        second: Tooth,
        coil: Option<Arc<Coil>>,
        activation: Activation,
    },
    ClosedCoil {
        first: Tooth,
        second: Tooth,
        coil: Option<Arc<Coil>>,
        hold: Option<Length>,
    },
    ClosingCoil {
        pulls: Vec<(Anchor, Anchor)>,
        coil: Option<Arc<Coil>>,
        force: Option<Force>,
    },
    Chain {
        teeth: Vec<Tooth>,
        chain: Option<Arc<Chain>>,
        force: Option<Force>,
    },
    Tie {
        teeth: Vec<Tooth>,
        figure_eight: bool,
    },
    Laceback {
        pairs: Vec<(Tooth, Tooth)>,
    },
    Sleeve {
        spans: Vec<(Tooth, Tooth)>,
    },
    BiteRaisers {
        teeth: Vec<Tooth>,
        until: Option<Condition>,
    },
    /// Contacts as neighbouring pairs, each reduced by `amount`.
    Reduce {
        amount: Length,
        contacts: Vec<(Tooth, Tooth)>,
    },
    Stop {
        spots: Vec<Spot>,
    },
    Post {
        spots: Vec<Spot>,
    },
    /// On the brackets of these teeth, towards the gum: what pulls there acts at its tip.
    PowerArm {
        teeth: Vec<Tooth>,
        height: Length,
    },
    ReverseCurve {
        depth: Length,
    },
    Bend {
        teeth: Vec<Tooth>,
        by: Stand,
    },
    Torque {
        teeth: Vec<Tooth>,
        angle: Angle,
        turn: CrownTurn,
    },
    Coordinated,
    Trim {
        teeth: Vec<Tooth>,
    },
    HaltIf {
        measure: BiteMeasure,
        under: bool,
        length: Length,
    },
    Sectional {
        teeth: Vec<Tooth>,
    },
    Records {
        what: Name,
        on: Option<Date>,
    },
    Separators {
        teeth: Vec<Tooth>,
        on: Option<Date>,
    },
    Hold {
        teeth: Vec<Tooth>,
        length: Length,
    },
    Note {
        text: String,
    },
}

/// How long the effect of an act lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lasts {
    /// Done once, at the start of the step.
    Once,
    /// On teeth: as long as the step.
    Step,
    /// On the wire: as long as that wire is in.
    Wire,
    /// Until its own condition holds, across steps.
    Condition,
}

impl ActKind {
    pub fn lasts(&self) -> Lasts {
        match self {
            ActKind::Bypass { .. } => Lasts::Condition,
            ActKind::BiteRaisers { until: Some(_), .. } => Lasts::Condition,
            ActKind::Traction { .. } => Lasts::Condition,
            ActKind::OpenCoil { .. }
            | ActKind::ClosedCoil { .. }
            | ActKind::Stop { .. }
            | ActKind::Post { .. }
            | ActKind::ReverseCurve { .. }
            | ActKind::Bend { .. }
            | ActKind::Torque { .. }
            | ActKind::Sleeve { .. }
            | ActKind::Coordinated
            | ActKind::Sectional { .. } => Lasts::Wire,
            ActKind::PickUp { .. }
            | ActKind::Rebond { .. }
            | ActKind::Reposition { .. }
            | ActKind::Engage { .. }
            | ActKind::Reduce { .. }
            | ActKind::Trim { .. }
            | ActKind::Records { .. }
            | ActKind::Separators { .. } => Lasts::Once,
            _ => Lasts::Step,
        }
    }

    /// Put on anew at every look while its step lasts: it has lost its pull by then.
    pub fn is_renewed_at_looks(&self) -> bool {
        let pressed = |a: &Activation| matches!(a, Activation::Pressed { each_visit: true, .. });
        match self {
            ActKind::Chain { .. } | ActKind::Traction { .. } => true,
            ActKind::OpenCoil { activation, .. } => pressed(activation),
            _ => false,
        }
    }

    /// The keyword it was written with, also used after `no`.
    pub fn keyword(&self) -> &'static str {
        match self {
            ActKind::Bypass { .. } => "bypass",
            ActKind::Engage { .. } => "engage",
            ActKind::PickUp { .. } => "pick-up",
            ActKind::Rebond { .. } => "rebond",
            ActKind::Reposition { .. } => "reposition",
            ActKind::Piggyback { .. } => "piggyback",
            ActKind::Traction { .. } => "traction",
            ActKind::OpenCoil { .. } => "open-coil",
            ActKind::ClosedCoil { .. } => "passive-coil",
            ActKind::ClosingCoil { .. } => "closing-spring",
            ActKind::Chain { .. } => "chain",
            ActKind::Tie { .. } => "tie",
            ActKind::Laceback { .. } => "laceback",
            ActKind::Sleeve { .. } => "sleeve",
            ActKind::BiteRaisers { .. } => "bite-raisers",
            ActKind::Reduce { .. } => "ipr",
            ActKind::Stop { .. } => "stop",
            ActKind::Post { .. } => "post",
            ActKind::PowerArm { .. } => "power-arm",
            ActKind::ReverseCurve { .. } => "reverse-curve",
            ActKind::Bend { .. } => "bend",
            ActKind::Torque { .. } => "torque",
            ActKind::Coordinated => "coordinated",
            ActKind::Trim { .. } => "trim",
            ActKind::HaltIf { .. } => "halt-if",
            ActKind::Sectional { .. } => "sectional",
            ActKind::Records { .. } => "records",
            ActKind::Separators { .. } => "separators",
            ActKind::Hold { .. } => "hold",
            ActKind::Note { .. } => "note",
        }
    }
}

/// One thing done, with where it was written.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Act {
    pub kind: ActKind,
    pub origin: Origin,
    pub place: Place,
    /// The statement as written, on one line, for cards and messages.
    pub text: String,
}

/// Where a step comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "from")]
pub enum StepSource {
    /// As in the practice's sequence.
    Sequence { sequence: Name },
    /// In the sequence, altered by the case.
    Changed { sequence: Name },
    /// Added by the case.
    Added,
}

/// How a step differs from the sequence it follows; computed, never declared.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Departure {
    /// `wire`, `until`, `stop` ...
    pub what: Name,
    /// The practice's version; `None` where the case adds something.
    pub house: Option<String>,
    /// The case's version; `None` where the case removes something.
    pub here: Option<String>,
    pub place: Place,
}

/// One resolved step of one arch.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    pub name: Name,
    pub kind: StepKind,
    pub source: StepSource,
    /// Its line in the case, or in the practice file where the case does not mention it.
    pub place: Place,
    /// Its line in the practice file, where it follows a sequence.
    pub house_place: Option<Place>,
    pub wire: Sourced<WireUse>,
    pub form: Option<Sourced<Arc<Form>>>,
    pub ends: Ends,
    pub until: Sourced<Condition>,
    pub next: Sourced<NextVisit>,
    pub settle: Option<Sourced<Period>>,
    /// What is done in this step itself.
    pub acts: Vec<Act>,
    /// What is still in force from earlier steps: on the wire while it stays, on a tooth until its
    /// condition holds.
    pub carried: Vec<Act>,
    pub departures: Vec<Departure>,
    /// A line of the step or of its arch could not be read: its clinical rules report "not judged", and
    /// no course is computed from here on.
    pub incomplete: Option<Place>,
}

impl Step {
    /// Everything in force during this step, earlier things first.
    pub fn in_force(&self) -> impl Iterator<Item = &Act> {
        self.carried.iter().chain(self.acts.iter())
    }
}

impl ActKind {
    /// What a closing spring or a chain pulls together: the teeth at both ends, in order along the arch.
    pub fn pulled_stretches(&self) -> Vec<(Tooth, Tooth)> {
        let in_order = |a: Tooth, b: Tooth| if a.place() <= b.place() { (a, b) } else { (b, a) };
        match self {
            ActKind::ClosingCoil { pulls, .. } => {
                pulls.iter().map(|(a, b)| in_order(a.tooth(), b.tooth())).collect()
            }
            ActKind::Chain { teeth, .. } => {
                let ends = teeth.iter().min().zip(teeth.iter().max());
                ends.map(|(a, b)| in_order(*a, *b)).into_iter().collect()
            }
            _ => Vec::new(),
        }
    }

    /// Every tooth the act names.
    pub fn teeth(&self) -> Vec<Tooth> {
        match self {
            ActKind::Bypass { teeth, .. }
            | ActKind::Engage { teeth, .. }
            | ActKind::PickUp { teeth, .. }
            | ActKind::Rebond { teeth, .. }
            | ActKind::Reposition { teeth, .. }
            | ActKind::Chain { teeth, .. }
            | ActKind::Tie { teeth, .. }
            | ActKind::BiteRaisers { teeth, .. }
            | ActKind::Bend { teeth, .. }
            | ActKind::Torque { teeth, .. }
            | ActKind::Trim { teeth }
            | ActKind::Sectional { teeth }
            | ActKind::Separators { teeth, .. }
            | ActKind::PowerArm { teeth, .. }
            | ActKind::Hold { teeth, .. } => teeth.clone(),
            ActKind::Piggyback { within, over, .. } => within.iter().chain(over).copied().collect(),
            ActKind::Traction { teeth, to, .. } => {
                teeth.iter().copied().chain(to.tooth()).collect()
            }
            ActKind::OpenCoil { first, second, .. } | ActKind::ClosedCoil { first, second, .. } => {
                vec![*first, *second]
            }
            ActKind::ClosingCoil { pulls, .. } => {
                pulls.iter().flat_map(|(a, b)| [a.tooth(), b.tooth()]).collect()
            }
            ActKind::Laceback { pairs } => pairs.iter().flat_map(|(a, b)| [*a, *b]).collect(),
            ActKind::Sleeve { spans } => spans.iter().flat_map(|(a, b)| [*a, *b]).collect(),
            ActKind::Reduce { contacts, .. } => {
                contacts.iter().flat_map(|(a, b)| [*a, *b]).collect()
            }
            ActKind::Stop { spots } | ActKind::Post { spots } => {
                spots.iter().map(|s| s.tooth).collect()
            }
            ActKind::ReverseCurve { .. }
            | ActKind::Coordinated
            | ActKind::HaltIf { .. }
            | ActKind::Records { .. }
            | ActKind::Note { .. } => Vec::new(),
        }
    }
}
