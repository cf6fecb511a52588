//! Texts out of bytes: as they come, grown from the vocabulary, or an example after careless edits.

use super::Draw;
use crate::generate::Maker;
use springline_test_support::SALTMARSH;

const EXAMPLES: [&str; 4] = [
    include_str!("../../../examples/cases/sm-0410-both-arches.spring"),
    include_str!("../../../examples/cases/sm-0417-lateral-blocked-out.spring"),
    include_str!("../../../examples/cases/sm-0451-premolars-out.spring"),
    SALTMARSH,
];

const SCRAPS: [&str; 22] = [
    "",
    "{",
    "}",
    "\n",
    ",",
    "\"",
    "#",
    "-",
    "//",
    "\0",
    "😀",
    "\r\n",
    " mm",
    " 12",
    "2,5",
    " until passive",
    " 9999999999 wk",
    "13..23",
    " wire keep",
    "seen 2026-11-24 {",
    "upper {",
    "\u{feff}",
];

/// The first byte says which kind of text the rest is.
pub fn text(bytes: &[u8]) -> String {
    let mut draw = Draw::new(bytes);
    match draw.byte() % 4 {
        0 => String::from_utf8_lossy(draw.rest()).into_owned(),
        1 => {
            let choices: Vec<u16> = draw
                .rest()
                .chunks(2)
                .map(|c| u16::from_le_bytes([c[0], c.get(1).copied().unwrap_or(0)]))
                .collect();
            let untidy = choices.first().is_some_and(|c| c % 2 == 1);
            Maker::new(&choices, untidy).file()
        }
        _ => edited(draw),
    }
}

fn edited(mut draw: Draw<'_>) -> String {
    let mut text = draw.one(&EXAMPLES).to_owned();
    while !draw.is_empty() {
        let from = boundary(&text, draw.below(text.len() + 1));
        let to = boundary(&text, from + draw.below(14));
        let scrap = draw.one(&SCRAPS);
        text.replace_range(from..to.max(from), scrap);
    }
    text
}

/// The nearest place at or before an offset where a text may be cut.
pub fn boundary(text: &str, offset: usize) -> usize {
    let mut at = offset.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
