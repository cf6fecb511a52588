//! Stock of a practice: wires, brackets, tubes, coils, elastics, chains, stops, arch forms.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Serialize;

use crate::force_left::ForceLeft;
use springline_text::Place;
use springline_units::quantity::{Angle, Force, Length, Stress, mm};
use springline_units::tooth::Tooth;

/// A name as the practice writes it.
pub type Name = Arc<str>;

/// Archwire alloys, by the trade's names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Alloy {
    Steel,
    MultistrandSteel,
    CobaltChromium,
    BetaTitanium,
    SuperelasticNiti,
    ThermalNiti,
}

impl Alloy {
    pub const ALL: [Alloy; 6] = [
        Alloy::Steel,
        Alloy::MultistrandSteel,
        Alloy::CobaltChromium,
        Alloy::BetaTitanium,
        Alloy::SuperelasticNiti,
        Alloy::ThermalNiti,
    ];

    /// The keyword of the language.
    pub fn word(self) -> &'static str {
        match self {
            Alloy::Steel => "steel",
            Alloy::MultistrandSteel => "multistrand-steel",
            Alloy::CobaltChromium => "cobalt-chromium",
            Alloy::BetaTitanium => "beta-titanium",
            Alloy::SuperelasticNiti => "superelastic-niti",
            Alloy::ThermalNiti => "thermal-niti",
        }
    }

    pub fn from_word(word: &str) -> Option<Alloy> {
        Alloy::ALL.into_iter().find(|a| a.word() == word)
    }

    /// Superelastic: large recoverable strain with a force plateau; cannot be bent at the chair.
    pub fn is_niti(self) -> bool {
        matches!(self, Alloy::SuperelasticNiti | Alloy::ThermalNiti)
    }

    /// Short name for staff: "NiTi", "steel".
    pub fn short(self) -> &'static str {
        match self {
            Alloy::Steel => "steel",
            Alloy::MultistrandSteel => "multistrand steel",
            Alloy::CobaltChromium => "cobalt-chromium",
            Alloy::BetaTitanium => "beta-titanium",
            Alloy::SuperelasticNiti => "NiTi",
            Alloy::ThermalNiti => "thermal NiTi",
        }
    }
}

/// The cross-section of a wire. Rectangular: height along the slot's height, depth along its depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "shape")]
pub enum Section {
    Round { diameter: Length },
    Square { side: Length },
    Rect { height: Length, depth: Length },
}

impl Section {
    /// The dimension that has to fit the slot's height.
    pub fn height(self) -> Length {
        match self {
            Section::Round { diameter } => diameter,
            Section::Square { side } => side,
            Section::Rect { height, .. } => height,
        }
    }

    pub fn depth(self) -> Length {
        match self {
            Section::Round { diameter } => diameter,
            Section::Square { side } => side,
            Section::Rect { depth, .. } => depth,
        }
    }

    pub fn is_round(self) -> bool {
        matches!(self, Section::Round { .. })
    }
}

/// One point of a bending test.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BendPoint {
    pub deflection: Length,
    pub force: Force,
    pub unloading: bool,
}

/// A measured three-point bending curve.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredBend {
    pub span: Length,
    pub points: Vec<BendPoint>,
}

/// A wire in stock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wire {
    pub name: Name,
    pub alloy: Alloy,
    pub section: Section,
    /// The section as written: `0.016 x 0.022 in`.
    pub section_text: String,
    /// Radius of the corners of a square or rectangular section.
    pub edge: Option<Length>,
    pub strands: Option<u32>,
    pub modulus: Option<Stress>,
    pub yield_stress: Option<Stress>,
    /// Half-width of the section's size tolerance.
    pub tolerance: Option<Length>,
    pub loading_plateau: Option<(Stress, Stress)>,
    pub unloading_plateau: Option<(Stress, Stress)>,
    pub measured: Option<MeasuredBend>,
    /// Temperature at which nickel-titanium is austenite throughout, C: measured, or on the label.
    pub af_c: Option<f64>,
    /// The practice's temperature of a wire in the mouth, C.
    pub mouth_c: f64,
    pub place: Place,
}

/// Temperature of bending tests, of the figures of an alloy, and of the mouth where a practice says no other, C.
/// The default force limits were set at it. At a wire on an upper incisor and premolar medians of 34.9 and 35.6 C
/// were measured over a day (Moore RJ et al. Eur J Orthod 1999;21(3):249-261; values from memory), between teeth at
/// rest 35.2 C (Ernst CP et al. Clin Oral Investig 2004;8(3):130-138).
pub const BENCH_C: f64 = 37.0;

/// Sizes as printed; `x` is the typed form: "0.019 × 0.025 in".
pub fn printed(typed: &str) -> String {
    typed.replace(" x ", " \u{d7} ")
}

impl Wire {
    /// Label for staff: "niti-14 (NiTi 0.014 in)".
    pub fn label(&self) -> String {
        printed(&self.typed_label())
    }

    /// The same as it is typed, for machine-readable output.
    pub fn typed_label(&self) -> String {
        format!("{} ({} {})", self.name, self.alloy.short(), self.section_text)
    }

    /// Its Af, where that lies above the temperature of the mouth: it is not austenite throughout there, and soft.
    pub fn soft_in_mouth(&self) -> Option<f64> {
        self.af_c.filter(|af| *af > self.mouth_c)
    }
}

/// How a bracket retains the wire.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "closure")]
pub enum Closure {
    /// The slide only closes the slot.
    Passive,
    /// The clip presses wires deeper than `seats`.
    Active {
        seats: Option<Length>,
    },
    Ligated,
}

/// Towards where a torque turns the crown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CrownTurn {
    /// Crown towards the lip; root towards the tongue.
    CrownLabial,
    CrownLingual,
}

/// Towards the midline or away from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Along {
    Mesial,
    Distal,
}

impl Along {
    pub fn word(self) -> &'static str {
        match self {
            Along::Mesial => "mesial",
            Along::Distal => "distal",
        }
    }
}

/// A value for all teeth, with others for some.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ByTooth<T> {
    pub general: Option<T>,
    pub special: BTreeMap<Tooth, T>,
}

impl<T> Default for ByTooth<T> {
    fn default() -> Self {
        ByTooth { general: None, special: BTreeMap::new() }
    }
}

impl<T: Copy> ByTooth<T> {
    pub fn of(&self, tooth: Tooth) -> Option<T> {
        self.special.get(&tooth).copied().or(self.general)
    }

    /// `teeth` empty: for all.
    pub fn set(&mut self, teeth: &[Tooth], value: T) {
        if teeth.is_empty() {
            self.general = Some(value);
        }
        for tooth in teeth {
            self.special.insert(*tooth, value);
        }
    }
}

/// A bracket or a tube in stock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bracket {
    pub name: Name,
    pub is_tube: bool,
    pub on_band: bool,
    pub closure: Closure,
    /// The slot by its name; how high it truly is: [`Bracket::true_height_mm`].
    pub slot_height: Length,
    pub slot_depth: Length,
    /// Its height as measured by the practice.
    pub slot_measured: Option<Length>,
    /// As written: `0.022 x 0.028 in`.
    pub slot_text: String,
    pub width: ByTooth<Length>,
    pub torque: ByTooth<(Angle, CrownTurn)>,
    pub tip: ByTooth<(Angle, Along)>,
    pub hooks: Vec<Tooth>,
    /// Other torques, by name.
    pub variants: BTreeMap<Name, ByTooth<(Angle, CrownTurn)>>,
    pub place: Place,
}

/// How high a slot truly is, mm: least, taken, most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrueHeight {
    pub least_mm: f64,
    pub taken_mm: f64,
    pub most_mm: f64,
}

impl TrueHeight {
    /// Slots are cut higher than their name, so that wires go in: 0.7 to 9.7 % for nine bracket types named
    /// 0.022 (Brauchli LM, Steineck M, Wichelhaus A. Angle Orthod 2012;82(4):663-669); taken is about the
    /// middle. The same shares for other slots (common practice, no source).
    const OVER_THE_NAME: [f64; 3] = [0.007, 0.05, 0.097];
    /// A measured height is stated to hundredths of a millimetre (ISO 27020; value from memory).
    const MEASURED_WITHIN_MM: f64 = 0.005;

    /// Of a slot of which only the name is known.
    pub fn by_name(name: Length) -> TrueHeight {
        let [least_mm, taken_mm, most_mm] =
            TrueHeight::OVER_THE_NAME.map(|share| mm(name) * (1.0 + share));
        TrueHeight { least_mm, taken_mm, most_mm }
    }

    fn measured(height: Length) -> TrueHeight {
        let (taken_mm, off) = (mm(height), TrueHeight::MEASURED_WITHIN_MM);
        TrueHeight { least_mm: taken_mm - off, taken_mm, most_mm: taken_mm + off }
    }
}

impl Bracket {
    /// Height available to a wire: the nominal one, or less where the practice has measured less.
    pub fn room_mm(&self) -> f64 {
        mm(self.slot_height).min(self.slot_measured.map_or(f64::INFINITY, mm))
    }

    /// As measured, else what slots of that name are.
    pub fn true_height_mm(&self) -> TrueHeight {
        let by_name = || TrueHeight::by_name(self.slot_height);
        self.slot_measured.map_or_else(by_name, TrueHeight::measured)
    }
}

/// Three different devices that must never be confused.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum CoilKind {
    /// Makes space.
    Open,
    /// Keeps space.
    Closed,
    /// Pulls space shut.
    Closing,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Coil {
    pub name: Name,
    pub kind: CoilKind,
    /// The label's force.
    pub force: Option<Force>,
    /// The compression at which it has that force, where that is not its stroke.
    pub force_at: Option<Length>,
    /// Largest compression, or extension.
    pub stroke: Option<Length>,
    pub length: Option<Length>,
    pub lumen: Option<Length>,
    pub place: Place,
}

/// An elastic by its label: `1/4 in 3.5 oz`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Elastic {
    pub name: Name,
    pub size: Option<Length>,
    pub size_text: Option<String>,
    pub force: Force,
    pub force_text: String,
    /// The practice's own curve of what is left of it.
    pub left: Option<ForceLeft>,
    pub place: Place,
}

impl Elastic {
    pub fn force_left(&self) -> ForceLeft {
        self.left.clone().unwrap_or_else(ForceLeft::elastic)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum ChainKind {
    Closed,
    Short,
    Long,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chain {
    pub name: Name,
    pub kind: ChainKind,
    pub force: Option<Force>,
    /// The practice's own curve of what is left of it.
    pub left: Option<ForceLeft>,
    pub place: Place,
}

impl Chain {
    pub fn force_left(&self) -> ForceLeft {
        self.left.clone().unwrap_or_else(ForceLeft::chain)
    }
}

/// A crimpable stop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Stop {
    pub name: Name,
    pub length: Length,
    /// Round stops slip on rectangular wires.
    pub for_round: Option<bool>,
    pub place: Place,
}
