//! Fingerprints of texts.

/// A fingerprint by which a text is known again: 64 hexadecimal digits.
pub fn fingerprint(text: &str) -> String {
    blake3::hash(text.as_bytes()).to_hex().to_string()
}
