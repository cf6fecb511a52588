//! The same numbers on every machine.

pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Dice {
        // Seeds that lie side by side throw differently from the first throw on.
        let mut dice = Dice(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1);
        dice.roll(2);
        dice
    }

    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        ((self.0 >> 11) % sides.max(1) as u64) as usize
    }
}
