//! Random arches: crowded, with missing teeth, of every kind of wire.

use springline_mechanics::*;

/// SplitMix64, so that a seed is an arch for ever.
pub struct Random(pub u64);

impl Random {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.unit() * from.len() as f64) as usize % from.len()]
    }

    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }
}

const MIL: f64 = 0.0254;

/// Every kind of wire of a drawer.
pub fn wires() -> Vec<(&'static str, ArchWire)> {
    let round = |mil: f64| WireSection::round(MIL * mil);
    let rect = |h: f64, d: f64| WireSection::rectangular(MIL * h, MIL * d, 0.0);
    let mut tandem = ArchWire::new(round(14.0), Law::superelastic());
    tandem.tandem = Some(tandem.stock);
    vec![
        ("0.012 superelastic", ArchWire::new(round(12.0), Law::superelastic())),
        ("0.014 superelastic", ArchWire::new(round(14.0), Law::superelastic())),
        ("0.016 superelastic", ArchWire::new(round(16.0), Law::superelastic())),
        ("0.018 superelastic", ArchWire::new(round(18.0), Law::superelastic())),
        ("0.014 thermal", ArchWire::new(round(14.0), Law::thermal())),
        ("0.014 + 0.014 superelastic", tandem),
        ("14x25 superelastic", ArchWire::new(rect(14.0, 25.0), Law::superelastic())),
        ("16x22 superelastic", ArchWire::new(rect(16.0, 22.0), Law::superelastic())),
        ("19x25 superelastic", ArchWire::new(rect(19.0, 25.0), Law::superelastic())),
        ("16x16 thermal", ArchWire::new(WireSection::square(MIL * 16.0, 0.03), Law::thermal())),
        (
            "0.0175 multistrand steel",
            ArchWire::new(WireSection::multistrand(MIL * 17.5, 0.19), Law::steel()),
        ),
        ("0.016 steel", ArchWire::new(round(16.0), Law::steel())),
        ("0.016 cobalt-chromium", ArchWire::new(round(16.0), Law::cobalt_chromium())),
        ("17x25 beta-titanium", ArchWire::new(rect(17.0, 25.0), Law::beta_titanium())),
        ("19x25 steel", ArchWire::new(rect(19.0, 25.0), Law::steel())),
    ]
}

/// An arch of a given irregularity: the five front contacts' in-out steps sum to it, with vertical
/// steps and turns in proportion; up to three teeth missing or bypassed.
pub fn arch(random: &mut Random, irregularity: f64, wire: ArchWire) -> Setup {
    let upper = random.chance(0.5);
    let widths: [f64; 7] = if upper {
        [8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0]
    } else {
        [5.0, 5.5, 7.0, 7.0, 7.0, 11.0, 10.5]
    };
    let line = match (random.unit() * 3.0) as u32 {
        0 => ArchLine::Circle { radius_mm: random.between(20.0, 25.0) },
        _ => ArchLine::Catenary { a_mm: random.between(13.0, 20.0) },
    };
    let teeth = random.pick(&[5, 6, 6, 7]);
    let missing = random.pick(&[0, 0, 0, 1, 2, 3]);
    let mut stands: Vec<f64> = (0..6).map(|_| random.between(-1.0, 1.0)).collect();
    let steps: f64 = stands.windows(2).map(|w| (w[1] - w[0]).abs()).sum();
    stands.iter_mut().for_each(|s| *s *= irregularity / steps.max(0.5));
    let turn = irregularity.min(8.0) * 2.5;
    let mut slots = Vec::new();
    for side in [-1.0, 1.0] {
        let mut at = 0.0;
        for n in 0..teeth {
            at += if n == 0 { 0.5 * widths[0] } else { 0.5 * (widths[n - 1] + widths[n]) };
            let front = n < 3;
            let index = if side < 0.0 { 2 - n.min(2) } else { 3 + n.min(2) };
            let share = if front { 1.0 } else { 0.25 };
            let width = if n >= 5 {
                4.0
            } else if n < 2 && !upper {
                2.5
            } else {
                3.0
            };
            let stand = SlotPose {
                lingual_mm: if front {
                    stands[index]
                } else {
                    random.between(-0.1, 0.1) * irregularity.min(3.0)
                },
                gingival_mm: share * 0.12 * irregularity * random.between(-1.0, 1.0),
                along_mm: 0.0,
                rotated_rad: (share * turn * random.between(-1.0, 1.0)).to_radians(),
                tipped_rad: (share * 0.4 * turn * random.between(-1.0, 1.0)).to_radians(),
                torque_rad: (0.6 * turn * random.between(-1.0, 1.0)).to_radians(),
            };
            let base = if side < 0.0 { 40 } else { 30 };
            let mut slot = Slot { stand, ..Slot::bracket((base + n + 1) as u16, side * at, width) };
            if n >= 5 {
                slot.housing = Housing::Tube;
            }
            if random.chance(0.03) {
                slot.engagement = random.pick(&[Engagement::MesialWing, Engagement::DistalWing]);
            }
            if random.chance(0.1) {
                slot.clip = Clip::Active { depth_left_mm: random.between(0.3, 0.7) };
            }
            slots.push(slot);
        }
    }
    for _ in 0..missing {
        let out = (random.unit() * slots.len() as f64) as usize % slots.len();
        slots.remove(out);
    }
    Setup {
        arch: line,
        slots,
        wire,
        loads: Vec::new(),
        settings: SolverSettings::default(),
        ties: Vec::new(),
    }
}
