//! The practice file, typed: everything that the cases of one practice share.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::{Date, Weekday};
use serde::Serialize;

use super::form::Form;
use super::limits::Limits;
use super::provenance::Sourced;
use super::step::Step;
use super::stock::{Alloy, Bracket, Chain, Coil, Elastic, Name, Stop, Wire};
use springline_text::Place;
use springline_units::quantity::{Force, Length, Period, Ratio};
use springline_units::tooth::{Notation, Tooth};

/// Work that takes chair time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Task {
    BondUp,
    WireChange,
    Review,
    Repair,
    Emergency,
    Reposition,
    Coil,
    Elastics,
    Debond,
    RetainerCheck,
}

impl Task {
    pub const ALL: [Task; 10] = [
        Task::BondUp,
        Task::WireChange,
        Task::Review,
        Task::Repair,
        Task::Emergency,
        Task::Reposition,
        Task::Coil,
        Task::Elastics,
        Task::Debond,
        Task::RetainerCheck,
    ];

    pub fn word(self) -> &'static str {
        match self {
            Task::BondUp => "bond-up",
            Task::WireChange => "wire-change",
            Task::Review => "review",
            Task::Repair => "repair",
            Task::Emergency => "emergency",
            Task::Reposition => "reposition",
            Task::Coil => "coil",
            Task::Elastics => "elastics",
            Task::Debond => "debond",
            Task::RetainerCheck => "retainer-check",
        }
    }

    pub fn from_word(word: &str) -> Option<Task> {
        Task::ALL.into_iter().find(|t| t.word() == word)
    }

    /// Default minutes: common practice, no source.
    pub fn default_minutes(self) -> f64 {
        match self {
            Task::BondUp => 60.0,
            Task::WireChange => 20.0,
            Task::Review => 10.0,
            Task::Repair => 20.0,
            Task::Emergency => 15.0,
            Task::Reposition => 10.0,
            Task::Coil => 5.0,
            Task::Elastics => 5.0,
            Task::Debond => 60.0,
            Task::RetainerCheck => 10.0,
        }
    }
}

/// What determines the date of a visit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PassiveRule {
    /// A quarter of what this wire can still remove is left, or every force is under the floor.
    QuarterLeft,
    /// No bend of the wire beside a slot is to be seen.
    NoBend,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum BookOn {
    Prediction,
    RuleOfThumb,
}

/// An estimate from the practice's own cases; factors on the predicted time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Learned {
    /// `None`: the whole practice.
    pub wire: Option<Name>,
    pub factor: Ratio,
    /// Geometric standard deviation, at least 1.
    pub spread: Ratio,
    pub cases: u32,
    pub on: Date,
    pub place: Place,
}

/// Where the practice draws the line between a wire that slides and one that binds, from its own records.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LearnedChair {
    /// Force at which half of its visits say that the wire binds, and the nine-in-ten interval of it.
    pub half: Force,
    pub low: Force,
    pub high: Force,
    /// Nine in ten say so at this factor over it; at least 1.
    pub spread: Ratio,
    pub visits: u32,
    pub on: Date,
    pub place: Place,
}

/// Available chair time per day, all chairs together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChairTime {
    /// `None`: every day without an entry of its own.
    pub on: Option<Weekday>,
    pub minutes: f64,
    pub place: Place,
}

/// What slides in the slots, as far as friction tells alloys apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SlidingAlloy {
    Steel,
    CobaltChromium,
    Niti,
    BetaTitanium,
}

impl SlidingAlloy {
    pub fn of(alloy: Alloy) -> SlidingAlloy {
        match alloy {
            Alloy::Steel | Alloy::MultistrandSteel => SlidingAlloy::Steel,
            Alloy::CobaltChromium => SlidingAlloy::CobaltChromium,
            Alloy::BetaTitanium => SlidingAlloy::BetaTitanium,
            Alloy::SuperelasticNiti | Alloy::ThermalNiti => SlidingAlloy::Niti,
        }
    }
}

/// A practice's own coefficient of friction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct OwnFriction {
    pub coefficient: f64,
    /// Lowest and highest believable, where they were said.
    pub range: Option<[f64; 2]>,
    pub place: Place,
}

/// The usual order of wires.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sequence {
    pub name: Name,
    pub steps: Vec<Step>,
    pub place: Place,
}

/// A practice: from its file, or built-in where a case uses none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct House {
    pub title: String,
    pub notation: Sourced<Notation>,
    pub language: Sourced<Name>,
    pub chart_form: Option<Sourced<String>>,
    /// Whom new cases are written for.
    pub doctor: Option<Name>,
    /// Weekdays on which patients are seen.
    #[serde(skip)]
    pub clinic: Sourced<Vec<Weekday>>,
    /// Closed ranges of days, both ends included.
    pub closed: Vec<(Date, Date)>,
    pub shortest: Sourced<Period>,
    pub longest: Sourced<Period>,
    pub minutes: BTreeMap<Task, Sourced<f64>>,
    #[serde(skip)]
    pub chair_time: Vec<ChairTime>,
    pub limits: Limits,
    pub passive_when: Sourced<PassiveRule>,
    pub book_on: Sourced<BookOn>,
    /// Share of patients whose wire should be passive by the booked day.
    pub book_at: Sourced<Ratio>,
    pub forms: BTreeMap<Name, Arc<Form>>,
    pub brackets: BTreeMap<Name, Arc<Bracket>>,
    pub wires: BTreeMap<Name, Arc<Wire>>,
    pub coils: BTreeMap<Name, Arc<Coil>>,
    pub elastics: BTreeMap<Name, Arc<Elastic>>,
    /// Before the line through the contacts of such a crown, and how far from its edge slots are placed: the practice's
    /// own, for what is measured from points.
    pub prominence: BTreeMap<Tooth, Length>,
    pub slot_height: BTreeMap<Tooth, Length>,
    /// Temperature of a wire in the mouth, C.
    pub mouth_c: Sourced<f64>,
    /// By what slides; the built-in coefficients where nothing is said.
    pub friction: BTreeMap<SlidingAlloy, OwnFriction>,
    pub chains: BTreeMap<Name, Arc<Chain>>,
    pub stops: BTreeMap<Name, Arc<Stop>>,
    pub sequences: BTreeMap<Name, Arc<Sequence>>,
    /// As patients dial it, including the prefix.
    pub telephone: Option<String>,
    /// The practice's wording for staff, by name.
    pub staff_texts: BTreeMap<Name, String>,
    /// The practice's wording for patients, by language and name.
    pub patient_texts: BTreeMap<Name, BTreeMap<Name, String>>,
    pub learned: Vec<Learned>,
    pub learned_chair: Option<LearnedChair>,
    pub notes: Vec<String>,
}

/// Languages with built-in patient wording, by their own names.
pub const LANGUAGES: [(&str, &str); 2] = [("en", "English"), ("es", "Espa\u{f1}ol")];

/// Texts whose wording a practice can replace.
pub const STAFF_TEXTS: [&str; 1] = ["passive-test"];
pub const PATIENT_TEXTS: [&str; 5] = ["wire-stays", "soreness", "call-us", "retainer", "contact"];

/// "en" of "en-GB": the two are read by the same people.
pub fn main_language(tag: &str) -> String {
    tag.split(['-', '_']).next().unwrap_or_default().to_lowercase()
}

impl House {
    /// Whether a chart reference has the practice's form, in which `#` is a digit. Without a form every
    /// reference is accepted.
    pub fn accepts_chart(&self, chart: &str) -> bool {
        let Some(form) = &self.chart_form else { return true };
        let fits =
            |(form, c): (char, char)| if form == '#' { c.is_ascii_digit() } else { form == c };
        form.value.chars().count() == chart.chars().count()
            && form.value.chars().zip(chart.chars()).all(fits)
    }

    /// The practice's wording of that name in that language.
    pub fn patient_text(&self, name: &str, language: &str) -> Option<&str> {
        let language = main_language(language);
        let own = self.patient_texts.iter().filter(|(tag, _)| main_language(tag) == language);
        own.filter_map(|(_, texts)| texts.get(name)).map(String::as_str).next()
    }

    pub fn minutes_for(&self, task: Task) -> f64 {
        self.minutes.get(&task).map_or(task.default_minutes(), |m| m.value)
    }

    /// Available chair time on that day; `None` where the practice file gives none.
    pub fn chair_minutes(&self, day: Date) -> Option<f64> {
        let of = |on: Option<Weekday>| self.chair_time.iter().rev().find(|c| c.on == on);
        of(Some(day.weekday())).or_else(|| of(None)).map(|c| c.minutes)
    }

    /// The first sequence in file order.
    pub fn first_sequence(&self) -> Option<&Sequence> {
        let order = |s: &&Arc<Sequence>| (s.place.file, s.place.span.start);
        self.sequences.values().min_by_key(order).map(|s| &**s)
    }

    /// The first bracket, or the first tube, in file order.
    pub fn first_bracket(&self, tube: bool) -> Option<&Bracket> {
        let of_kind = self.brackets.values().filter(|b| b.is_tube == tube);
        of_kind.min_by_key(|b| (b.place.file, b.place.span.start)).map(|b| &**b)
    }

    /// Whether patients are seen on that day.
    pub fn is_open(&self, day: Date) -> bool {
        self.clinic.value.contains(&day.weekday())
            && !self.closed.iter().any(|(from, to)| (*from..=*to).contains(&day))
    }
}
