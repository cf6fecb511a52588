//! Cohorts of crowded lower arches, drawn from a seed, and what becomes of them.

use springline_lang::course::{Crown, Forecast, Phase, ToothPose, forecast, index_mm};
use springline_lang::units::anatomy::crown_width_mm;

use springline_test_support::{Seeded, case};

const TEETH: [u32; 12] = [46, 45, 44, 43, 42, 41, 31, 32, 33, 34, 35, 36];
const WIDTHS: [f64; 12] = [11.0, 7.0, 7.0, 7.0, 5.5, 5.0, 5.0, 5.5, 7.0, 7.0, 7.0, 11.0];

/// In-out (lingual positive), rotation (left edge lingual positive) of each tooth: the six front
/// ones at random, scaled to an irregularity; no tooth turned over 25 degrees or more than 2.2 mm off
/// its neighbours' line.
pub fn stands(seed: u64, index: f64) -> Vec<(f64, f64)> {
    let mut random = Seeded::new(seed);
    for _ in 0..10_000 {
        let mut t: Vec<(f64, f64)> = (0..12)
            .map(|i| {
                let spread = match i {
                    3..9 => 1.0,
                    0 | 11 => 0.0,
                    _ => 0.25,
                };
                (spread * random.normal(), spread * 10_f64.to_radians() * random.normal())
            })
            .collect();
        for _ in 0..20 {
            let now: f64 = (3..8)
                .map(|i| {
                    let right = t[i].0 + 0.5 * WIDTHS[i] * t[i].1.sin();
                    let left = t[i + 1].0 - 0.5 * WIDTHS[i + 1] * t[i + 1].1.sin();
                    (right - left).abs()
                })
                .sum();
            for tooth in &mut t[3..9] {
                tooth.0 *= index / now;
                tooth.1 *= index / now;
            }
        }
        let ordinary = (1..11).all(|i| {
            t[i].1.abs() < 25_f64.to_radians()
                && (t[i].0 - 0.5 * (t[i - 1].0 + t[i + 1].0)).abs() < 2.2
        });
        if ordinary {
            return t;
        }
    }
    vec![(0.0, 0.0); 12]
}

/// The words of a case with these stands and those wires, each until passive.
pub fn text(stands: &[(f64, f64)], wires: &[&str]) -> String {
    let mut text = "start 2026-09-14\nlower {\n  bonded 45..35 with twin\n".to_owned();
    text += "  tubes 46, 36 with molar\n";
    for (i, (in_out, turn)) in stands.iter().enumerate().take(11).skip(1) {
        let way = match (*in_out > 0.0, (3..9).contains(&i)) {
            (true, _) => "lingual",
            (false, true) => "labial",
            (false, false) => "buccal",
        };
        let turned = if (*turn > 0.0) == (i < 6) { "mesial-in" } else { "mesial-out" };
        text += &format!(
            "  tooth {} {way} {:.4} mm, rotated {:.3} deg {turned}\n",
            TEETH[i],
            in_out.abs(),
            turn.to_degrees().abs()
        );
    }
    for (i, wire) in wires.iter().enumerate() {
        text += &format!("  step wire-{i} as align, wire {wire}, until passive, next computed\n");
    }
    text + "}\n"
}

/// A case with that arch and those wires, each until passive.
pub fn arch(seed: u64, index: f64, wires: &[&str]) -> Forecast {
    forecast(&case(&text(&stands(seed, index), wires)), None)
}

fn index(phase: &Phase, poses: &[ToothPose]) -> f64 {
    let crowns: Vec<Crown> = phase
        .teeth
        .iter()
        .zip(poses)
        .filter(|(t, _)| t.status.is_in_wire())
        .map(|(t, p)| Crown {
            tooth: t.tooth,
            width_mm: crown_width_mm(t.tooth),
            lingual_mm: p.lingual_mm,
            rotated_rad: p.rotated_rad,
        })
        .collect();
    index_mm(&crowns)
}

/// Irregularity of the median patient after so many days, over all wires.
pub fn index_after(forecast: &Forecast, days: f64) -> f64 {
    let mut start = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for phase in &forecast.arches[0].phases {
        for (day, poses) in &phase.path {
            let (day, now) = (start + day, index(phase, poses));
            match before {
                Some((d, was)) if day >= days && day > d => {
                    return was + (now - was) * ((days - d) / (day - d)).clamp(0.0, 1.0);
                }
                _ => before = Some((day, now)),
            }
        }
        start += phase.booked_days;
    }
    before.map_or(0.0, |(_, now)| now)
}

pub fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let n = values.len();
    if n == 0 { f64::NAN } else { 0.5 * (values[(n - 1) / 2] + values[n / 2]) }
}
