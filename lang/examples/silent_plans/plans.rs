//! Plans at random: any wires of the drawer in almost any order, ended in all ways, with acts nobody asked for.

use fastrand::Rng;

use crate::arches::RandomArch;

const SOFT: [&str; 9] = [
    "niti-12",
    "niti-14",
    "niti-16",
    "niti-18",
    "thermal-16",
    "niti-14x25",
    "niti-16x22",
    "niti-18x25",
    "niti-19x25",
];
const STIFF: [&str; 4] = ["steel-18", "steel-19x25", "beta-18x25", "beta-19x25"];

/// The steps of the plan of a seed, as lines of the arch.
pub fn at_random(seed: u64, arch: &RandomArch) -> String {
    let mut rng = Rng::with_seed(seed ^ 0x51E7);
    let mut wires: Vec<&str> =
        (0..rng.usize(1..=4)).map(|_| SOFT[rng.usize(..SOFT.len())]).collect();
    if rng.u8(..4) > 0 {
        wires.sort_by_key(|wire| SOFT.iter().position(|known| known == wire));
        wires.dedup();
    }
    let mut out = String::new();
    let number = wires.len();
    for (at, wire) in wires.into_iter().enumerate() {
        let role = match rng.u8(..12) {
            0 => "work",
            1 => "finish",
            n if n % 2 == 0 || wire.contains('x') => "level",
            _ => "align",
        };
        let until = until(&mut rng, arch);
        let acts =
            if rng.u8(..4) == 0 { acts(&mut rng, arch, at + 1 == number) } else { String::new() };
        out += &format!(
            "  step s{} as {role}, wire {wire}, ends {}, {until}{acts}\n",
            at + 1,
            ends(&mut rng)
        );
    }
    if rng.u8(..10) > 0 {
        let stiff = STIFF[rng.usize(..STIFF.len())];
        out += &format!(
            "  step work as work, wire {stiff}, ends turned-in slack 1 mm, express 4 wk, until doctor-decides, next 6 wk\n"
        );
        if rng.u8(..4) > 0 {
            out += "  step finish as finish, wire keep, ends turned-in slack 1 mm, until 12 wk, next 6 wk\n";
        }
    }
    out
}

fn ends(rng: &mut Rng) -> &'static str {
    ["turned-in slack 2 mm", "turned-in slack 2 mm", "turned-in slack 2 mm", "cinched", "free"]
        [rng.usize(..5)]
}

fn tooth(rng: &mut Rng, arch: &RandomArch) -> u32 {
    arch.teeth[rng.usize(..arch.teeth.len())]
}

fn until(rng: &mut Rng, arch: &RandomArch) -> String {
    match rng.u8(..10) {
        0 | 1 => {
            format!("until {} wk, next {} wk", [4, 6, 8, 12, 26][rng.usize(..5)], rng.u8(4..=12))
        }
        2 => format!("until within {} mm at {}, next 6 wk", rng.u8(1..=3), tooth(rng, arch)),
        3 => format!("until doctor-decides, next {} wk", rng.u8(4..=8)),
        _ => "until passive, next computed".to_owned(),
    }
}

fn acts(rng: &mut Rng, arch: &RandomArch, last: bool) -> String {
    let tooth = tooth(rng, arch);
    let act = match rng.u8(..5) {
        0 if !last => format!("bypass {tooth} until 8 wk"),
        0 | 1 => format!("engage {tooth} {}-wing", if rng.bool() { "mesial" } else { "distal" }),
        2 => format!("stop mesial of {tooth}"),
        3 => format!("bracket {tooth} gingival 0.5 mm"),
        _ => "note \"look at the gums\"".to_owned(),
    };
    format!(" {{\n    {act}\n  }}")
}
