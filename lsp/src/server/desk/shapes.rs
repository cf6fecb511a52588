//! What several of the requests send.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use springline_lang::model::stand::{Stand, StandAxis};
use springline_lang::stand_edit::{StandChange, StandRefusal};
use springline_lang::units::tooth::{Arch, Tooth};
use tower_lsp::ls_types::Range;

use crate::position::Positions;

/// Why something was not done: a word for the program, and a sentence for a person.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RequestRefusal {
    pub kind: String,
    pub why: String,
    /// What is in the way.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<Range>,
    /// The answer that cannot be taken, where one of several was the reason.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
}

/// What was asked for, or why not.
pub type Refusable<T> = Result<T, RequestRefusal>;

impl RequestRefusal {
    pub fn new(kind: &str, why: impl Into<String>) -> RequestRefusal {
        RequestRefusal { kind: kind.to_owned(), why: why.into(), range: None, id: None }
    }

    pub fn of_stand(refusal: &StandRefusal, positions: &Positions<'_>) -> RequestRefusal {
        let range = refusal.place().map(|place| positions.range(place.span));
        RequestRefusal { range, ..RequestRefusal::new(refusal.kind(), refusal.to_string()) }
    }

    /// The text has moved on since the question was put.
    pub fn version() -> RequestRefusal {
        RequestRefusal::new("version", "The text has changed meanwhile; ask again.")
    }
}

/// A part of a stand by its name in messages.
const AXES: [(&str, StandAxis); 7] = [
    ("inOut", StandAxis::InOut),
    ("height", StandAxis::UpDown),
    ("rotated", StandAxis::Rotation),
    ("tipped", StandAxis::Tip),
    ("torque", StandAxis::Torque),
    ("width", StandAxis::Width),
    ("space", StandAxis::Space),
];

pub fn axis_name(axis: StandAxis) -> &'static str {
    AXES.iter().find(|(_, known)| *known == axis).map_or("", |(name, _)| name)
}

/// Where it stands along the arch: the gap to its mesial neighbour, mm, less than nothing where they overlap.
const MESIAL_GAP: &str = "mesialGap";

/// Parts of a stand with their signed figures, mm or degrees.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StandFigures(BTreeMap<&'static str, f64>);

impl StandFigures {
    /// Every direction, zero where it is in line; width and space where they are known.
    pub fn of(stand: &Stand) -> StandFigures {
        let figure = |(name, axis): (&'static str, StandAxis)| {
            let known = stand.figure(axis).map(|f| (f * 100.0).round() / 100.0 + 0.0);
            let known = if axis.is_room() { known } else { Some(known.unwrap_or(0.0)) };
            Some((name, known?))
        };
        StandFigures(AXES.into_iter().filter_map(figure).collect())
    }

    /// With the room at its mesial contact.
    pub fn with_mesial_gap(mut self, mm: f64) -> StandFigures {
        self.0.insert(MESIAL_GAP, (mm * 100.0).round() / 100.0 + 0.0);
        self
    }
}

/// What is to change: a part that is not there stays, one that is null goes.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(transparent)]
pub struct AskedStand(BTreeMap<String, serde_json::Value>);

impl AskedStand {
    /// What is no part of a stand is ignored; what is no figure is refused by its name.
    pub fn change(&self) -> Refusable<StandChange> {
        let mut out = StandChange::new();
        for (name, value) in &self.0 {
            let Some((_, axis)) = AXES.iter().find(|(known, _)| known == name) else { continue };
            let figure = value.as_f64();
            if figure.is_none() && !value.is_null() {
                let why = format!("`{name}` is a number or null.");
                return Err(RequestRefusal::new("implausible", why));
            }
            out.insert(*axis, figure);
        }
        Ok(out)
    }

    /// The room asked for at its mesial contact.
    pub fn mesial_gap(&self) -> Option<f64> {
        self.0.get(MESIAL_GAP)?.as_f64()
    }
}

/// A tooth in a message: its ISO number, or as anybody writes one.
pub fn tooth_named(name: &str) -> Refusable<Tooth> {
    let none = || RequestRefusal::new("tooth", format!("`{name}` is not a tooth."));
    Tooth::parse(name).ok_or_else(none)
}

/// An arch by its word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ArchName {
    Upper,
    Lower,
}

impl From<ArchName> for Arch {
    fn from(word: ArchName) -> Arch {
        match word {
            ArchName::Upper => Arch::Upper,
            ArchName::Lower => Arch::Lower,
        }
    }
}

impl From<Arch> for ArchName {
    fn from(arch: Arch) -> ArchName {
        match arch {
            Arch::Upper => ArchName::Upper,
            Arch::Lower => ArchName::Lower,
        }
    }
}
