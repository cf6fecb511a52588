//! Random words that open a page on this machine, so that other accounts on it cannot.

/// 128 bits, written as 32 digits.
#[derive(Debug, Clone)]
pub struct Secret(String);

impl Secret {
    /// A new one; an error where the system has no source of randomness.
    pub fn new() -> std::io::Result<Secret> {
        let mut bytes = [0u8; 16];
        getrandom::fill(&mut bytes).map_err(std::io::Error::other)?;
        Ok(Secret(bytes.iter().map(|b| format!("{b:02x}")).collect()))
    }

    /// As part of an address.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Compared without telling how much of it was right.
    pub fn is(&self, other: &str) -> bool {
        constant_time_eq::constant_time_eq(self.0.as_bytes(), other.as_bytes())
    }
}
