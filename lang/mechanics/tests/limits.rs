//! Labelled arches of accepted and heavy practice: peak, delivered and sustained force of the worst tooth.

use crate::support::*;
use serde_json::Value;
use springline_mechanics::*;

fn labelled() -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("data/limits.json")).unwrap();
    all["cases"].as_array().unwrap().clone()
}

fn wire(case: &Value) -> ArchWire {
    let inches = numbers(&case["wire"]["section_in"]);
    let section = match inches[..] {
        [d] => WireSection::round(25.4 * d),
        [h, d] => WireSection::rectangular(25.4 * h, 25.4 * d, 0.0),
        _ => unreachable!(),
    };
    let law = match case["wire"]["alloy"].as_str().unwrap() {
        "superelastic-niti" => Law::superelastic(),
        "steel" => Law::steel(),
        _ => Law::beta_titanium(),
    };
    ArchWire::new(section, law)
}

fn setup(case: &Value, wire: ArchWire) -> Setup {
    let slots = case["teeth"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| {
            let get = |k: &str| number(&t[k]);
            Slot {
                stand: SlotPose {
                    lingual_mm: get("lingual_mm"),
                    gingival_mm: get("gingival_mm"),
                    along_mm: 0.0,
                    rotated_rad: get("rotated_deg").to_radians(),
                    tipped_rad: get("tipped_deg").to_radians(),
                    torque_rad: get("torque_deg").to_radians(),
                },
                ..Slot::bracket(
                    t["tooth"].as_str().unwrap().parse().unwrap(),
                    get("station_mm"),
                    get("bracket_mm"),
                )
            }
        })
        .collect();
    Setup {
        arch: ArchLine::Catenary { a_mm: number(&case["arch"]["parameter_mm"]) },
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}

fn grams(newton: f64) -> f64 {
    newton / 0.009_806_65
}

/// What `docs/second_opinion.py H04 0.019x0.025` gives in grams with 8 and with 14 pieces a span
/// (`--fine`): a chain of stiff pieces in space whose least energy a general optimiser finds.
const SECOND_OPINION: [(&str, &str, [f64; 2]); 3] = [
    ("H04", "peak_g", [971.0, 978.0]),
    ("H04", "after_02_g", [793.0, 802.0]),
    ("H04", "sustained_05_g", [549.0, 559.0]),
];

/// Its pieces are stiff, so its error falls with their length: what both counts say of endless ones.
fn endless([eight, fourteen]: [f64; 2]) -> f64 {
    fourteen + (fourteen - eight) * (1.0 / 14.0) / (1.0 / 8.0 - 1.0 / 14.0)
}

/// Forces within 5 % of a second opinion where there is one, and or 15 g of the prototype's, as
/// the cases themselves ask.
#[test]
fn peak_delivered_and_sustained_force() {
    let mut off = Vec::new();
    for case in labelled() {
        let id = case["id"].as_str().unwrap();
        let want = &case["prototype"];
        let own = march(&setup(&case, wire(&case)), &March::default()).unwrap();
        let light = ArchWire::new(WireSection::round(25.4 * 0.014), Law::superelastic());
        let light = march(&setup(&case, light), &March::default());
        if id == "H06" {
            // A lateral 3.5 mm inside, a millimetre of free wire between its slot and the next. The other code
            // holds on, its wire at 78 degrees: 301 g, and 307 g after half a millimetre, so the source's own
            // 54 g is that of a wire that has let go. In so short a gap the line through the slots turns too
            // sharply for a wire to be a curve over it, so the arch line's refusal stands.
            assert!(matches!(light, Err(Refusal::SnapThrough { .. })), "{light:?}");
        }
        let strain = own.inserted.strain;
        let mut figures = vec![
            (own.peak().1, "peak_g"),
            (own.delivered().1, "after_02_g"),
            (own.sustained().1, "sustained_05_g"),
        ];
        match light {
            Ok(light) => figures.extend([
                (light.peak().1, "peak_of_0014_g"),
                (light.sustained().1, "sustained_05_of_0014_g"),
            ]),
            Err(refusal) => assert_eq!(id, "H06", "{refusal}"),
        }
        for (have, key) in figures {
            let second = SECOND_OPINION.iter().find(|s| (s.0, s.1) == (id, key));
            let have = grams(have);
            if let Some((_, _, counts)) = second {
                let second = endless(*counts);
                println!("{id} {key:24} {have:7.1} {second:7.1} by other code");
                if (have / second - 1.0).abs() > 0.05 {
                    off.push(format!("{id} {key} {have:.0} against {second:.0} by other code"));
                }
            }
            let want = number(&want[key]);
            // Nearly passive arches: the source marched in steps of 0.1 mm along forces that were gone sooner,
            // and calls what it has for A15 overshoot noise itself. Nothing is left there to be sustained.
            let noise = ["A13", "A15"].contains(&id) && key == "sustained_05_g";
            let ok = noise || (have - want).abs() <= (0.15 * want).max(15.0);
            println!("{id} {key:24} {have:7.1} {want:7.1} {}", if ok { "" } else { "OFF" });
            if !ok {
                off.push(format!("{id} {key} {have:.0} against {want:.0}"));
            }
        }
        println!(
            "{id} peak {} ({}) sustained {} ({}) strain {:.2} ({}) steps {:?}",
            own.peak().0,
            want["peak_tooth"],
            own.sustained().0,
            want["sustained_tooth"],
            100.0 * strain,
            want["strain_pct"],
            own.steps.iter().map(|s| s.solution.iterations).collect::<Vec<_>>()
        );
    }
    assert!(off.is_empty(), "{off:#?}");
}
