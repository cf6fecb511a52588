//! Random draws for one invented patient.

/// Numbers from a seed: the same on every machine.
pub struct Draw(fastrand::Rng);

impl Draw {
    pub fn new(seed: u64, number: u32) -> Draw {
        // Neighbouring numbers must not give neighbouring draws.
        let mixed = seed.rotate_left(32) ^ u64::from(number).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        Draw(fastrand::Rng::with_seed(mixed))
    }

    /// True with that probability in percent.
    pub fn chance(&mut self, percent: u32) -> bool {
        self.0.u32(0..100) < percent
    }

    pub fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.0.usize(0..of.len())]
    }

    /// One of several, by weight.
    pub fn weighted<T: Copy>(&mut self, of: &[(T, u32)]) -> T {
        let total: u32 = of.iter().map(|(_, w)| w).sum();
        let mut at = self.0.u32(0..total);
        for (value, weight) in of {
            if at < *weight {
                return *value;
            }
            at -= weight;
        }
        of[0].0
    }

    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        self.0.i64(low..=high)
    }

    /// A multiple of half a millimetre in a range, as written.
    pub fn halves(&mut self, low: f64, high: f64) -> String {
        let n = self.between((low * 2.0).round() as i64, (high * 2.0).round() as i64);
        format!("{}", n as f64 / 2.0)
    }

    /// Steps of five degrees.
    pub fn fives(&mut self, low: i64, high: i64) -> i64 {
        5 * self.between(low / 5, high / 5)
    }
}
