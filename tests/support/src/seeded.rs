//! Draws from a seed.

/// Numbers from a seed: the same on every machine and in every year. The visits of `examples/year` and the
/// cohorts of `lang/docs/course.md` are its draws, so it stays as it is; tests whose draws nobody keeps use
/// `fastrand`.
#[derive(Debug, Clone)]
pub struct Seeded(u64);

impl Seeded {
    pub fn new(seed: u64) -> Seeded {
        let mut seeded = Seeded(0x9E37_79B9_7F4A_7C15 ^ seed.wrapping_mul(0xD1B5_4A32_D192_ED03));
        for _ in 0..8 {
            seeded.uniform();
        }
        seeded
    }

    pub fn uniform(&mut self) -> f64 {
        // Marsaglia's xorshift, 13-7-17.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn normal(&mut self) -> f64 {
        let (a, b) = (self.uniform().max(1e-12), self.uniform());
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}
