//! Arches by seed: two to six front teeth and now and then a premolar out of line.

use fastrand::Rng;
use springline_lang::units::tooth::Arch;

/// An arch as it is entered.
pub struct RandomArch {
    pub arch: Arch,
    /// Teeth out of line, as ISO numbers.
    pub teeth: Vec<u32>,
    lines: String,
    patient: &'static str,
}

impl RandomArch {
    pub fn new(seed: u64) -> RandomArch {
        let mut rng = Rng::with_seed(seed);
        let arch = if rng.bool() { Arch::Upper } else { Arch::Lower };
        let (quadrants, inside) = match arch {
            Arch::Upper => ([1, 2], "palatal"),
            Arch::Lower => ([3, 4], "lingual"),
        };
        let places = if rng.u8(..5) == 0 { 1..=5 } else { 1..=3 };
        let mut all: Vec<u32> =
            quadrants.iter().flat_map(|q| places.clone().map(move |n| q * 10 + n)).collect();
        rng.shuffle(&mut all);
        let teeth: Vec<u32> = all.into_iter().take(rng.usize(2..=6)).collect();
        let worst = *[1.0, 1.5, 2.0, 3.0].get(rng.usize(..4)).unwrap_or(&1.0);
        let mut lines = String::new();
        for tooth in &teeth {
            let mm = (rng.f64() * worst * 2.0).round() / 2.0;
            let way = if rng.bool() { "labial" } else { inside };
            let most = if rng.u8(..6) == 0 { 9 } else { 5 };
            let deg = 5 * rng.u32(1..=most);
            let turn = if rng.bool() { "mesial-in" } else { "mesial-out" };
            let mut parts = vec![format!("rotated {deg} deg {turn}")];
            if mm > 0.0 {
                parts.insert(0, format!("{way} {mm} mm"));
            }
            if rng.u8(..6) == 0 {
                let high = f64::from(rng.u32(1..=6)) / 2.0;
                parts.insert(0, format!("gingival {high} mm"));
            }
            lines += &format!("  tooth {tooth} {}\n", parts.join(", "));
        }
        let patient = if rng.bool() { "growing" } else { "adult" };
        RandomArch { arch, teeth, lines, patient }
    }

    /// A case of this arch whose plan has these lines.
    pub fn case(&self, plan: &str) -> String {
        let (name, bonded, tubes, fixed) = match self.arch {
            Arch::Upper => ("upper", "15..25", "16, 26", "13..23"),
            Arch::Lower => ("lower", "45..35", "46, 36", "43..33"),
        };
        format!(
            "springline 1\ncase \"SM-9700\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-30\npatient {}\n{name} {{\n  \
             bonded {bonded} with twin\n  tubes {tubes} with molar\n{}{plan}}}\nretain {{\n  fixed {fixed}\n}}\n",
            self.patient, self.lines
        )
    }
}
