//! Test support: a small practice and its cases, built field by field.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::{Date, Weekday, date};

use springline_model::Case;
use springline_model::case::{ArchCase, Bite, Bonding, Growth};
use springline_model::house::{BookOn, House, PassiveRule};
use springline_model::limits::Limits;
use springline_model::provenance::{Origin, Sourced};
use springline_model::stand::{InOut, Stand, Turn, UpDown};
use springline_model::step::{
    Act, ActKind, Condition, End, EndKind, Ends, NextVisit, Step, StepKind, StepSource, Term,
    WireUse,
};
use springline_model::stock::{Alloy, Bracket, ByTooth, Closure, Form, FormCurve, Section, Wire};
use springline_text::{FileId, Place, Span};
use springline_units::quantity::{Period, Quantity, Unit, from_degrees, from_mm};
use springline_units::tooth::{Arch, Tooth};

pub fn place() -> Place {
    Place { file: FileId(0), span: Span::default() }
}

pub fn written<T>(value: T) -> Sourced<T> {
    Sourced::written(value, Origin::Case, place())
}

pub fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

fn inch(value: f64) -> springline_units::quantity::Length {
    Quantity::new(value, Unit::In).length().expect("a length")
}

/// `niti-14`, `niti-14x25`, `steel-19x25`, `beta-19x25`.
pub fn wire(name: &str) -> Arc<Wire> {
    let (alloy, size) = name.split_once('-').expect("alloy-size");
    let alloy = match alloy {
        "niti" => Alloy::SuperelasticNiti,
        "beta" => Alloy::BetaTitanium,
        _ => Alloy::Steel,
    };
    let mils = |s: &str| inch(s.parse::<f64>().expect("mils") / 1000.0);
    let section = match size.split_once('x') {
        Some((h, d)) => Section::Rect { height: mils(h), depth: mils(d) },
        None => Section::Round { diameter: mils(size) },
    };
    Arc::new(Wire {
        name: name.into(),
        alloy,
        section,
        section_text: size.to_owned(),
        edge: None,
        strands: None,
        modulus: None,
        yield_stress: None,
        tolerance: None,
        loading_plateau: None,
        unloading_plateau: None,
        measured: None,
        place: place(),
    })
}

fn bracket(is_tube: bool) -> Arc<Bracket> {
    Arc::new(Bracket {
        name: if is_tube { "molar" } else { "twin" }.into(),
        is_tube,
        on_band: false,
        closure: Closure::Passive,
        slot_height: inch(0.022),
        slot_depth: inch(0.028),
        slot_measured: None,
        slot_text: "0.022 x 0.028 in".to_owned(),
        width: ByTooth::default(),
        torque: ByTooth::default(),
        tip: ByTooth::default(),
        hooks: Vec::new(),
        variants: BTreeMap::new(),
        place: place(),
    })
}

pub fn house() -> House {
    House {
        title: "Saltmarsh".to_owned(),
        notation: Sourced::default_value(Default::default()),
        language: Sourced::default_value("en".into()),
        chart_form: None,
        doctor: None,
        chair_time: Vec::new(),
        clinic: written(vec![Weekday::Monday, Weekday::Tuesday, Weekday::Thursday]),
        closed: vec![(date(2026, 12, 24), date(2027, 1, 2))],
        shortest: written(Period::weeks(4.0)),
        longest: written(Period::weeks(12.0)),
        minutes: BTreeMap::new(),
        limits: Limits::default(),
        passive_when: written(PassiveRule::QuarterLeft),
        book_on: written(BookOn::Prediction),
        book_at: written(Quantity::new(50.0, Unit::Percent).percent().expect("a share")),
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
        notes: Vec::new(),
    }
}

pub fn condition(term: Term) -> Condition {
    Condition { terms: vec![term], all: true, text: String::new() }
}

pub fn step(name: &str, kind: StepKind, wire_name: &str, until: Term) -> Step {
    let end = || written(End { kind: EndKind::TurnedIn, slack: None, trimmed: false });
    Step {
        name: name.into(),
        kind,
        source: StepSource::Added,
        place: place(),
        house_place: None,
        wire: written(WireUse { wire: wire(wire_name), tandem: None, kept: false }),
        form: None,
        ends: Ends { right: end(), left: end() },
        until: written(condition(until)),
        next: written(NextVisit::Computed),
        settle: None,
        acts: Vec::new(),
        carried: Vec::new(),
        departures: Vec::new(),
        incomplete: None,
    }
}

#[allow(dead_code)]
pub fn act(kind: ActKind) -> Act {
    Act { kind, origin: Origin::Case, place: place(), text: String::new() }
}

/// Align, level, work, finish.
pub fn usual_steps() -> Vec<Step> {
    vec![
        step("align", StepKind::Align, "niti-14", Term::Passive),
        step("level", StepKind::Level, "niti-14x25", Term::Passive),
        step("work", StepKind::Work, "niti-19x25", Term::Passive),
        step("finish", StepKind::Finish, "beta-19x25", Term::Time { period: Period::weeks(12.0) }),
    ]
}

/// Six to six bonded, everything in line.
pub fn arch_case(arch: Arch, steps: Vec<Step>) -> ArchCase {
    let a = if arch == Arch::Upper { 18.0 } else { 15.0 };
    let bonded = (2..14)
        .filter_map(|p| Tooth::at(arch, p))
        .map(|t| {
            let bonding = Bonding {
                bracket: bracket(t.is_molar()),
                inverted: false,
                variant: None,
                place: place(),
            };
            (t, bonding)
        })
        .collect();
    ArchCase {
        arch,
        place: place(),
        bonded,
        states: BTreeMap::new(),
        stands: BTreeMap::new(),
        hooks: BTreeSet::new(),
        buttons: Vec::new(),
        cautions: Vec::new(),
        gaps: Vec::new(),
        midline: None,
        crowding: None,
        form: written(Arc::new(Form {
            name: "ovoid".into(),
            curve: FormCurve::Catenary { a: from_mm(a) },
            place: None,
        })),
        start: None,
        anchorage: None,
        bars: Vec::new(),
        screws: Vec::new(),
        extras: Vec::new(),
        follows: None,
        skipped: Vec::new(),
        steps,
        notes: Vec::new(),
        unread: None,
    }
}

pub fn case(arches: Vec<ArchCase>) -> Case {
    Case {
        chart: "SM-0001".to_owned(),
        chart_place: place(),
        house: Arc::new(house()),
        doctor: None,
        start: Some((date(2026, 9, 14), place())),
        in_place: None,
        growth: Growth::Unknown,
        bite: Bite::default(),
        goal: None,
        arches,
        elastics: Vec::new(),
        debond: None,
        retention: None,
        visits: Vec::new(),
        missed: Vec::new(),
        accepts: Vec::new(),
        extras: Vec::new(),
        notes: Vec::new(),
    }
}

/// Signs as in the mechanics: lingual, gingival positive; degrees mesial-in positive.
pub fn stand(lingual_mm: f64, gingival_mm: f64, mesial_in_deg: f64) -> Stand {
    let in_out = if lingual_mm >= 0.0 { InOut::Lingual } else { InOut::Labial };
    let up = if gingival_mm >= 0.0 { UpDown::Gingival } else { UpDown::Occlusal };
    let turn = if mesial_in_deg >= 0.0 { Turn::MesialIn } else { Turn::MesialOut };
    Stand {
        in_out: Some((from_mm(lingual_mm.abs()).into(), in_out)),
        up_down: Some((from_mm(gingival_mm.abs()).into(), up)),
        rotated: Some((from_degrees(mesial_in_deg.abs()).into(), turn)),
        ..Stand::default()
    }
}

pub fn set_stand(arch: &mut ArchCase, code: u32, stand: Stand) {
    arch.stands.insert(tooth(code), written(stand));
}

#[allow(dead_code)]
pub fn day(year: i16, month: i8, day: i8) -> Date {
    date(year, month, day)
}

/// A moderately crowded lower front.
pub fn crowded_lower() -> ArchCase {
    let mut arch = arch_case(Arch::Lower, usual_steps());
    for (code, lingual, deg) in
        [(43, -0.6, 5.0), (42, 1.0, 12.0), (41, -0.6, -8.0), (31, 0.7, 10.0), (32, -0.7, -10.0)]
    {
        set_stand(&mut arch, code, stand(lingual, 0.0, deg));
    }
    arch
}
