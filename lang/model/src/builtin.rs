//! The built-in practice, used where a case names none: documented defaults and no stock.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Weekday;

use super::form::{Form, FormCurve};
use super::house::{BookOn, House, PassiveRule};
use super::limits::Limits;
use super::provenance::Sourced;
use super::stock::BENCH_C;
use springline_units::quantity::{Period, Quantity, Unit, from_mm};
use springline_units::tooth::{Arch, Notation};

/// Its title; a practice file gives its own.
const TITLE: &str = "built-in defaults";

/// Prefix of every message about a case without a practice file.
pub const NO_PRACTICE_FILE: &str = "no practice file: run `springline new practice NAME`";

/// Working days; weekends only where the practice file opens them.
const WORKDAYS: [Weekday; 5] =
    [Weekday::Monday, Weekday::Tuesday, Weekday::Wednesday, Weekday::Thursday, Weekday::Friday];

/// The built-in practice, defaults edition 1.
///
/// Intervals: shortest 4 weeks between wire changes, longest 12 (common practice, no source).
/// Passive: a quarter of what the wire can still remove; see `lang/docs/course.md`.
pub fn house() -> House {
    House {
        title: TITLE.to_owned(),
        notation: Sourced::default_value(Notation::Iso),
        language: Sourced::default_value("en".into()),
        chart_form: None,
        doctor: None,
        clinic: Sourced::default_value(WORKDAYS.to_vec()),
        closed: Vec::new(),
        shortest: Sourced::default_value(Period::weeks(4.0)),
        longest: Sourced::default_value(Period::weeks(12.0)),
        minutes: BTreeMap::new(),
        chair_time: Vec::new(),
        limits: Limits::default(),
        passive_when: Sourced::default_value(PassiveRule::QuarterLeft),
        book_on: Sourced::default_value(BookOn::Prediction),
        book_at: Sourced::default_value(half()),
        prominence: BTreeMap::new(),
        slot_height: BTreeMap::new(),
        mouth_c: Sourced::default_value(BENCH_C),
        friction: BTreeMap::new(),
        forms: BTreeMap::new(),
        brackets: BTreeMap::new(),
        wires: BTreeMap::new(),
        coils: BTreeMap::new(),
        elastics: BTreeMap::new(),
        chains: BTreeMap::new(),
        stops: BTreeMap::new(),
        sequences: BTreeMap::new(),
        telephone: None,
        staff_texts: BTreeMap::new(),
        patient_texts: BTreeMap::new(),
        learned: Vec::new(),
        learned_chair: None,
        notes: Vec::new(),
    }
}

impl House {
    /// Whether no practice file was read and only the built-in defaults apply.
    pub fn is_built_in(&self) -> bool {
        self.title == TITLE && self.wires.is_empty() && self.brackets.is_empty()
    }
}

fn half() -> springline_units::quantity::Ratio {
    Quantity::new(50.0, Unit::Percent).percent().unwrap_or_default()
}

/// The slot line where neither case nor practice names a form: a catenary, wider in the upper jaw.
///
/// Source: medians of catenaries fitted to the slot lines of 60 pairs of arches before treatment, from points picked on
/// scans: 13.9 (robust standard deviation 1.2) and 12.7 mm (1.1); own measurement, unpublished. The catenary is the
/// commonest form in normal occlusion, 47 % of 520 upper and 41 % of lower arches (Aljayousi M et al. BMC Oral Health
/// 2021;21:105). It leaves real canines about 2 mm outside; a practice whose wires are wider there writes its own
/// form.
pub fn form(arch: Arch) -> Arc<Form> {
    let (name, a) = match arch {
        Arch::Upper => ("upper-default", 13.9),
        Arch::Lower => ("lower-default", 12.7),
    };
    Arc::new(Form { name: name.into(), curve: FormCurve::Catenary { a: from_mm(a) }, place: None })
}
