//! Shared by the mechanics tests: the reference cases as set-ups for the public interface.

#![allow(dead_code, reason = "each test binary uses its own part")]

pub mod elastica;
pub mod published;
pub mod random;
pub mod sliding_interval;

use serde_json::Value;
use springline_mechanics::*;

/// The 20 reference cases, with their inputs, outputs, sources and tolerances.
pub fn cases() -> Vec<Value> {
    let text = include_str!("../data/cases.json");
    let all: Value = serde_json::from_str(text).unwrap();
    all["cases"].as_array().unwrap().clone()
}

pub fn case(id: &str) -> Value {
    cases().into_iter().find(|c| c["id"] == id).unwrap()
}

pub fn number(v: &Value) -> f64 {
    v.as_f64().unwrap()
}

pub fn numbers(v: &Value) -> Vec<f64> {
    v.as_array().unwrap().iter().map(number).collect()
}

/// A rigid knife edge that holds the wire both ways.
pub fn knife(id: usize, station_mm: f64, lingual_mm: f64) -> Slot {
    Slot {
        stand: SlotPose { lingual_mm, ..SlotPose::default() },
        play: Play::None,
        support: Support::RIGID,
        ..Slot::bracket(id as u16, station_mm, 0.0)
    }
}

/// Tight numbers for comparison with closed forms.
pub fn strict(kinematics: Kinematics) -> SolverSettings {
    SolverSettings {
        kinematics,
        force_tolerance_n: 1e-8,
        barrier_nmm: 1e-10,
        turn_limit_rad: 1.4,
        wire_turn_limit_rad: 1.5,
        refinement: 2,
        flag_strain_refused: 1.0,
        linear_strain_refused: 1.0,
        ..SolverSettings::default()
    }
}

pub fn straight(
    slots: Vec<Slot>,
    section: WireSection,
    law: Law,
    settings: SolverSettings,
) -> Setup {
    Setup {
        arch: ArchLine::Straight,
        slots,
        wire: ArchWire::new(section, law),
        loads: Vec::new(),
        settings,
        ties: Vec::new(),
    }
}

/// Linear elastic of a given modulus, Poisson's ratio 0.3.
pub fn elastic(modulus_mpa: f64) -> Law {
    Law::Linear(Linear {
        modulus_mpa,
        shear_modulus_mpa: modulus_mpa / 2.6,
        yield_mpa: None,
        strain_limit: 0.01,
    })
}

/// A round section and modulus with EI = 1 N mm^2, thin enough that strain means nothing.
pub fn unit_rigidity() -> (WireSection, Law) {
    let d = 0.4_f64;
    (WireSection::round(d), elastic(64.0 / (std::f64::consts::PI * d.powi(4))))
}

/// Force of each slot on the wire, lingual component.
pub fn on_wire(solution: &Solution) -> Vec<f64> {
    solution.teeth.iter().map(|t| -t.lingual_n).collect()
}

pub fn largest(v: &[f64]) -> f64 {
    v.iter().fold(0.0, |m, x| m.max(x.abs()))
}

/// Largest difference of two lists.
pub fn apart(a: &[f64], b: &[f64]) -> f64 {
    assert_eq!(a.len(), b.len());
    a.iter().zip(b).fold(0.0, |m, (x, y)| m.max((x - y).abs()))
}
