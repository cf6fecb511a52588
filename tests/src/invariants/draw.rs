//! Choices from bytes: the same bytes are the same choices for ever.

/// Reads choices off bytes; when they are used up every choice is the first.
#[derive(Debug, Clone)]
pub struct Draw<'a> {
    bytes: &'a [u8],
}

impl<'a> Draw<'a> {
    pub fn new(bytes: &'a [u8]) -> Self {
        Draw { bytes }
    }

    pub fn byte(&mut self) -> u8 {
        let Some((first, rest)) = self.bytes.split_first() else { return 0 };
        self.bytes = rest;
        *first
    }

    pub fn is_empty(&self) -> bool {
        self.bytes.is_empty()
    }

    /// A number below `of`; 0 where `of` is 0.
    pub fn below(&mut self, of: usize) -> usize {
        let wide = usize::from(self.byte()) << 8 | usize::from(self.byte());
        wide % of.max(1)
    }

    pub fn one<'s, T: ?Sized>(&mut self, of: &[&'s T]) -> &'s T {
        of[self.below(of.len())]
    }

    /// A number of any size, sign and kind that a caller could pass; never NaN.
    pub fn wild(&mut self) -> f64 {
        let mut bits = [0u8; 8];
        bits.iter_mut().for_each(|b| *b = self.byte());
        let value = f64::from_le_bytes(bits);
        if value.is_nan() { 0.0 } else { value }
    }

    /// Mostly in a range, now and then anything at all.
    pub fn about(&mut self, low: f64, high: f64) -> f64 {
        match self.byte() {
            0 => self.wild(),
            _ => low + (high - low) * self.below(1 << 16) as f64 / f64::from(1u32 << 16),
        }
    }

    pub fn rest(self) -> &'a [u8] {
        self.bytes
    }
}
