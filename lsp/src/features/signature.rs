//! Signature help: the pattern of the statement under the cursor, its parts, and which of them is being
//! written.

use springline_lang::syntax::vocabulary::{FRAGMENTS, Production};
use springline_lang::syntax::{Expected, expected};

use crate::analysed_file::AnalysedFile;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signature {
    /// `bypass TEETH [unbonded] [until CONDITION]`
    pub label: String,
    pub doc: &'static str,
    /// The parts after the keyword.
    pub parts: Vec<SignaturePart>,
    /// The part at the cursor, by index.
    pub active: Option<usize>,
}

/// A part of a statement.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SignaturePart {
    /// Its range in the label.
    pub start: usize,
    pub end: usize,
    /// Allowed values of a name in capitals: `CONDITION: passive, decided, ...`
    pub doc: String,
}

/// The shapes that the statement at an offset could have, the one it is read as first.
pub fn shapes(analysed: AnalysedFile<'_>, offset: usize) -> Vec<Signature> {
    let Some(line) = analysed.line_at(offset) else { return Vec::new() };
    let own = line.row();
    let same_keyword =
        line.keyword().zip(line.context()).into_iter().flat_map(|(word, context)| {
            springline_lang::syntax::patterns::patterns().at(context, word).map(|p| p.row)
        });
    let mut rows: Vec<&Production> = own.into_iter().collect();
    for row in same_keyword {
        if !rows.iter().any(|known| std::ptr::eq(*known, row)) {
            rows.push(row);
        }
    }
    let place = expected(analysed.parse(), offset);
    rows.into_iter().map(|row| shape(row, &place)).collect()
}

fn shape(row: &'static Production, place: &Expected) -> Signature {
    let (mut label, mut parts, mut active) = (String::new(), Vec::new(), None);
    for (i, part) in parts_of(row.pattern).into_iter().enumerate() {
        if i > 0 {
            label.push(' ');
        }
        let start = label.len();
        label.push_str(&readable(part));
        if i == 0 {
            continue;
        }
        if active.is_none() && takes(part, place) {
            active = Some(parts.len());
        }
        parts.push(SignaturePart { start, end: label.len(), doc: explained(part) });
    }
    Signature { label, doc: row.doc, parts, active }
}

/// The top-level parts of a pattern; a bracketed group is one part.
fn parts_of(pattern: &'static str) -> Vec<&'static str> {
    let (mut out, mut depth, mut start) = (Vec::new(), 0usize, 0);
    for (i, c) in pattern.char_indices() {
        match c {
            '[' | '(' | '{' => depth += 1,
            ']' | ')' | '}' => depth = depth.saturating_sub(1),
            ' ' if depth == 0 => {
                out.push(&pattern[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    out.push(&pattern[start..]);
    out
}

/// The words and placeholders of a part, including those of its fragments.
fn atoms(part: &'static str, out: &mut Vec<&'static str>) {
    for word in part.split(|c: char| " [](){}|,+".contains(c)).filter(|w| !w.is_empty()) {
        match word.strip_prefix('@').and_then(|name| FRAGMENTS.iter().find(|(n, _)| *n == name)) {
            Some((_, text)) => atoms(text, out),
            None => out.push(word),
        }
    }
}

/// What could be written at the place belongs to this part.
fn takes(part: &'static str, place: &Expected) -> bool {
    let mut all = Vec::new();
    atoms(part, &mut all);
    all.into_iter().any(|atom| {
        if atom.starts_with(|c: char| c.is_ascii_uppercase()) {
            let label = atom.split_once(':').map(|(_, label)| label.trim_end_matches('!'));
            let label = label.map_or_else(|| atom.to_lowercase(), str::to_owned);
            place.slots.iter().any(|slot| slot.label == label)
        } else {
            place.words.iter().any(|(word, _)| *word == atom)
        }
    })
}

/// The fragments of a part, written out.
fn explained(part: &'static str) -> String {
    let named = part.split(|c: char| " [](){}|,+".contains(c)).filter_map(|w| w.strip_prefix('@'));
    let found = named.filter_map(|name| FRAGMENTS.iter().find(|(n, _)| *n == name));
    let lines = found.map(|(name, text)| {
        let inner = text.strip_prefix('@').and_then(|t| t.split(' ').next());
        let inner = inner.and_then(|name| FRAGMENTS.iter().find(|(n, _)| *n == name));
        let text = inner.map_or(*text, |(_, t)| *t);
        // One of several fragments: each is written out in its turn.
        let each = if text.starts_with("(@") { explained(text) } else { String::new() };
        let line = format!("{}: {}", name.to_uppercase(), readable(text));
        if each.is_empty() { line } else { format!("{line}\n{each}") }
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// The table's notation without what only the program needs.
fn readable(pattern: &str) -> String {
    let mut out = String::with_capacity(pattern.len());
    for (i, word) in pattern.split(' ').enumerate() {
        if i > 0 {
            out.push(' ');
        }
        let core = word.trim_start_matches(['[', '(', '{', '+']);
        let (before, core) = word.split_at(word.len() - core.len());
        let end = core.find([']', ')', '}', ',']).unwrap_or(core.len());
        let (core, after) = core.split_at(end);
        out.push_str(&before.replace('+', ""));
        match (core.strip_prefix('@'), core.split_once(':')) {
            (Some(fragment), _) => out.push_str(&fragment.to_uppercase()),
            // A name is best described by its namespace.
            (None, Some(("NAME", label))) => {
                out.push_str(&label.trim_end_matches('!').to_uppercase());
            }
            (None, Some((hole, _))) => out.push_str(hole),
            (None, None) => out.push_str(core),
        }
        out.push_str(after);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn the_shape_is_written_for_people() {
        let sample = Sample::upper("  change align {\n    bypass ¦13\n  }");
        let shapes = shapes(sample.analysed(), sample.offset);
        assert_eq!(shapes[0].label, "bypass TEETH [unbonded] [until CONDITION]");
        let parts: Vec<&str> =
            shapes[0].parts.iter().map(|p| &shapes[0].label[p.start..p.end]).collect();
        assert_eq!(parts, ["TEETH", "[unbonded]", "[until CONDITION]"]);
        assert_eq!(
            readable("follow NAME:sequence [from NAME:step]"),
            "follow SEQUENCE [from STEP]"
        );
    }

    #[test]
    fn the_part_at_the_cursor_is_known_and_explained() {
        let active = |line: &str| {
            let sample = Sample::upper(line);
            let shape = shapes(sample.analysed(), sample.offset).remove(0);
            let part = shape.parts[shape.active.expect("a part")].clone();
            (shape.label[part.start..part.end].to_owned(), part.doc)
        };
        let (part, doc) = active("  tooth 13 ¦labial 1 mm");
        assert_eq!(part, "POSITIONS");
        assert!(doc.contains("labial LENGTH"), "{doc}");
        assert_eq!(
            active("  change align {\n    bypass 13 until ¦space 7 mm\n  }").0,
            "[until CONDITION]"
        );
        assert_eq!(active("  follow ¦usual").0, "SEQUENCE");
    }
}
