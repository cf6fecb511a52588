//! Decodes bytes as UTF-8. Invalid bytes are never replaced; they give a finding with their place.

use springline_finding::Finding;
use springline_text::{FileId, Place, Span};

/// The text of a file, or the finding that says why it cannot be decoded. The finding's place is in
/// bytes.
pub fn decode(file: FileId, bytes: &[u8]) -> Result<String, Box<Finding>> {
    let error = match std::str::from_utf8(bytes) {
        Ok(text) => return Ok(text.to_owned()),
        Err(error) => error,
    };
    let at = error.valid_up_to();
    let length = error.error_len().unwrap_or(bytes.len() - at);
    let place = Place { file, span: Span::new(at, at + length) };
    let line = bytes[..at].iter().filter(|b| **b == b'\n').count() + 1;
    let byte = bytes.get(at).copied().unwrap_or_default();
    let finding = Finding::error(
        "syntax/not-utf-8",
        place,
        format!(
            "Line {line} contains a byte that is not UTF-8 text (0x{byte:02X}, byte {at} of the file)."
        ),
    )
    .why("Letters would have to be guessed, so the file is not read.");
    let advice = match bytes {
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => {
            "The file is saved as UTF-16; save it as UTF-8 in the editor."
        }
        _ => "Save the file as UTF-8 in the editor; it is probably in an older encoding.",
    };
    Err(Box::new(finding.note(advice)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn utf_8_is_taken_as_it_is() {
        assert_eq!(decode(FileId(0), "ä\r\n\u{feff}".as_bytes()).unwrap(), "ä\r\n\u{feff}");
    }

    #[test]
    fn the_first_other_byte_is_named_by_its_place() {
        let finding = decode(FileId(0), b"case \"SM\"\nnote \"M\xFCller\"").unwrap_err();
        assert_eq!((finding.place.span.start, finding.place.span.end), (17, 18));
        assert!(finding.message.contains("Line 2") && finding.message.contains("0xFC"));
        let finding = decode(FileId(0), b"\xFF\xFEc\0").unwrap_err();
        assert!(finding.notes[0].contains("UTF-16"));
    }
}
