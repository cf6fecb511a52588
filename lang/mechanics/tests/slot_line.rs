//! Wires that stand upright to the arch line, measured from the slot line: solved cases, and the arch line for comparison.
//!
//! `data/steep.json`: a Kirchhoff rod by direct transcription (position, quaternion, curvature; lengths between slot
//! edges unknown) whose energy a general optimiser finds, mesh doubled twice; tolerances as given with each case.

use crate::support::*;
use serde_json::Value;
use springline_mechanics::*;

fn steep(id: &str) -> Value {
    let all: Value = serde_json::from_str(include_str!("data/steep.json")).unwrap();
    all["cases"].as_array().unwrap().iter().find(|c| c["id"] == id).unwrap().clone()
}

fn law(case: &Value) -> Law {
    let law = &case["law"];
    if law["kind"] == "linear" {
        return Law::Linear(Linear {
            modulus_mpa: number(&law["E_MPa"]),
            shear_modulus_mpa: number(&law["G_MPa"]),
            yield_mpa: None,
            strain_limit: 0.02,
        });
    }
    let Law::Flag(shipped) = Law::superelastic() else { unreachable!() };
    let (upper, lower) = (numbers(&law["upper_plateau_MPa"]), numbers(&law["lower_plateau_MPa"]));
    Law::Flag(Flag {
        austenite_mpa: number(&law["E_austenite_MPa"]),
        martensite_mpa: number(&law["E_martensite_MPa"]),
        loading_start_mpa: upper[0],
        loading_end_mpa: upper[1],
        unloading_start_mpa: lower[1],
        unloading_end_mpa: lower[0],
        transformation_strain: number(&law["transformation_strain"]),
        shear_modulus_mpa: number(&law["G_MPa"]),
        ..shipped
    })
}

fn steep_settings() -> SolverSettings {
    SolverSettings::default().over_the_slots()
}

/// The case's slots are straight and their centres lie on the arch line; here their edges do, so that an aligned
/// arch is passive. Each centre is moved by the difference.
fn setup(case: &Value) -> Setup {
    let input = &case["inputs"];
    let radius_mm = number(&input["arch"]["parameter_mm"]);
    let inches = numbers(&input["wire"]["section_in"]);
    let section = match inches[..] {
        [d] => WireSection::round(25.4 * d),
        [h, d] => WireSection::rectangular(25.4 * h, 25.4 * d, 0.0),
        _ => unreachable!(),
    };
    let play = &input["half_play_mm"];
    let held = number(&play["labiolingual"]) == 0.0;
    let slots = input["teeth"].as_array().unwrap().iter().map(|t| {
        let get = |k: &str| number(&t[k]);
        let width = get("bracket_mm");
        let sagitta = radius_mm * (1.0 - (0.5 * width / radius_mm).cos());
        let (turn, tip) = (get("rotated_deg").to_radians(), get("tipped_deg").to_radians());
        Slot {
            stand: SlotPose {
                lingual_mm: get("lingual_mm") - sagitta,
                gingival_mm: get("gingival_mm"),
                along_mm: 0.0,
                rotated_rad: turn,
                tipped_rad: tip,
                torque_rad: get("torque_deg").to_radians(),
            },
            play: if held { Play::None } else { Play::Geometric },
            support: Support::RIGID,
            ..Slot::bracket(t["tooth"].as_str().unwrap().parse().unwrap(), get("station_mm"), width)
        }
    });
    let mut wire = ArchWire::new(section, law(input));
    wire.shear = Shear::Off;
    Setup {
        arch: ArchLine::Circle { radius_mm },
        slots: slots.collect(),
        wire,
        loads: Vec::new(),
        settings: steep_settings(),
        ties: Vec::new(),
    }
}

/// Forces within the case's tolerance of its largest, couples within theirs.
#[test]
fn the_solved_cases_are_met() {
    for id in ["Q01", "Q03", "Q06", "Q08"] {
        let case = steep(id);
        let setup = setup(&case);
        let s = match solve(&setup, Start::Cold) {
            Ok(s) => s,
            Err(refusal) => panic!("{id}: {refusal}"),
        };
        let of = |f: &dyn Fn(&ToothForces) -> f64| s.teeth.iter().map(f).collect::<Vec<f64>>();
        let want = |key: &str| numbers(&case["outputs"][key]);
        let forces: [(&str, Vec<f64>); 3] = [
            ("tooth_force_lingual_N", of(&|t| t.lingual_n)),
            ("tooth_force_gingival_N", of(&|t| t.gingival_n)),
            ("tooth_force_along_N", of(&|t| t.along_n)),
        ];
        let couples = [
            ("tooth_couple_turn_Nmm", of(&|t| t.rotation_nmm)),
            ("tooth_couple_tip_Nmm", of(&|t| t.tip_nmm)),
        ];
        println!(
            "{id}: {} steps, energy {:.4} ({}), strain {:.2} ({}), taken in {:.3}",
            s.iterations,
            s.energy_nmm,
            case["outputs"]["energy_Nmm"],
            100.0 * s.strain,
            case["outputs"]["fibre_strain_max_pct"],
            s.taken_in_mm
        );
        let most = |all: &[(&str, Vec<f64>)]| {
            all.iter().map(|(key, _)| largest(&want(key))).fold(0.0, f64::max)
        };
        for (all, tolerance, floor) in [
            (&forces[..], number(&case["tolerance_rel"]), 0.05),
            (&couples[..], number(&case["tolerance_rel_couple"]), 0.15),
        ] {
            let scale = most(all);
            for (key, have) in all {
                // Under 0.05 N the two mirror shapes inside the play differ.
                let told = |(a, b): &(&f64, f64)| a.abs().max(b.abs()) > floor;
                let pairs = have.iter().zip(want(key)).filter(told);
                let off = pairs.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
                println!("{id} {key:24} off {off:.4} of {scale:.4}: {:.2} %", 100.0 * off / scale);
                assert!(off <= tolerance * scale, "{id} {key} {have:.4?}");
            }
        }
        if let Some(torques) = case["outputs"].get("edge_torque_Nmm") {
            let (have, want) =
                (of(&|t| t.edges.iter().map(|e| e.torque_nmm).sum()), numbers(torques));
            let sums: Vec<f64> = want.chunks(2).map(|p| p[0] + p[1]).collect();
            println!("{id} torque {have:.4?} {sums:.4?}");
            let have: Vec<f64> = have.iter().map(|t| -t).collect();
            assert!(apart(&have, &sums) < 0.08 * largest(&sums), "{id} torque {have:.4?}");
        }
    }
}

/// On a straight arch with parallel slots both readings are one geometry: the two base lines tell the same of it.
#[test]
fn both_base_lines_tell_the_same_of_one_wire() {
    let (round, rect) =
        (WireSection::round(0.3556), WireSection::rectangular(0.0254 * 19.0, 0.0254 * 25.0, 0.04));
    for wire in [
        ArchWire::new(round, Law::superelastic()),
        ArchWire::new(round, Law::steel()),
        ArchWire::new(rect, Law::beta_titanium()),
    ] {
        for (lingual_mm, gingival_mm) in [(0.4, 0.0), (0.9, 0.0), (0.0, 0.7), (-0.6, 0.5)] {
            let of = |settings: SolverSettings| {
                let slots = (0..5).map(|n| {
                    let stand = if n == 2 {
                        SlotPose { lingual_mm, gingival_mm, ..SlotPose::default() }
                    } else {
                        SlotPose::default()
                    };
                    Slot { stand, ..Slot::bracket(n, 7.0 * f64::from(n) - 14.0, 3.0) }
                });
                let setup = Setup {
                    arch: ArchLine::Straight,
                    slots: slots.collect(),
                    wire: wire.clone(),
                    loads: Vec::new(),
                    settings,
                    ties: Vec::new(),
                };
                solve(&setup, Start::Cold).unwrap()
            };
            let (slots, arch) = (of(steep_settings()), of(SolverSettings::default()));
            let forces = |s: &Solution| {
                let all = s.teeth.iter().flat_map(|t| [t.lingual_n, t.gingival_n, t.along_n]);
                all.collect::<Vec<f64>>()
            };
            let (a, b) = (forces(&slots), forces(&arch));
            let off = apart(&a, &b) / largest(&b).max(0.1);
            println!("{lingual_mm} {gingival_mm}: {:.2} % of {:.3}", 100.0 * off, largest(&b));
            assert!(off < 0.01, "{lingual_mm} {gingival_mm}: {a:.4?} {b:.4?}");
        }
    }
}
