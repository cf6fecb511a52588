//! Traction of an unerupted tooth, and its exposure.

use jiff::civil::Date;
use serde::Serialize;

use springline_text::Place;
use springline_units::tooth::Tooth;

/// What pulls.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TractionBy {
    Chain,
    GoldChain,
    ElasticThread,
}

impl TractionBy {
    pub fn word(self) -> &'static str {
        match self {
            TractionBy::Chain => "chain",
            TractionBy::GoldChain => "gold-chain",
            TractionBy::ElasticThread => "elastic-thread",
        }
    }

    /// As a card says it.
    pub fn words(self) -> &'static str {
        match self {
            TractionBy::Chain => "elastic chain",
            TractionBy::GoldChain => "gold chain",
            TractionBy::ElasticThread => "elastic thread",
        }
    }
}

/// What it pulls to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case", tag = "to", content = "tooth")]
pub enum TractionTo {
    /// The working wire over the tooth's place.
    Wire,
    PalatalArch,
    Screw(Tooth),
    Tooth(Tooth),
}

impl TractionTo {
    /// The tooth that the plan names for it.
    pub fn tooth(self) -> Option<Tooth> {
        match self {
            TractionTo::Wire | TractionTo::PalatalArch => None,
            TractionTo::Screw(tooth) | TractionTo::Tooth(tooth) => Some(tooth),
        }
    }
}

/// The way a tooth has to go before it can come down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TractionFirst {
    Mesial,
    Distal,
    Labial,
    Lingual,
    Gingival,
    Occlusal,
}

impl TractionFirst {
    pub fn word(self) -> &'static str {
        match self {
            TractionFirst::Mesial => "mesial",
            TractionFirst::Distal => "distal",
            TractionFirst::Labial => "labial",
            TractionFirst::Lingual => "lingual",
            TractionFirst::Gingival => "gingival",
            TractionFirst::Occlusal => "occlusal",
        }
    }
}

/// A surgeon lays the crown open, and bonds what traction takes hold of.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Exposure {
    /// Through the gum, or under a flap that is closed again; `None` where the surgeon decides.
    pub open: Option<bool>,
    pub on: Option<Date>,
    pub place: Place,
}
