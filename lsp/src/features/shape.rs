//! The shape of the statement under the cursor, for whoever has forgotten what may follow.

use springline_lang::syntax::vocabulary::Row;

use crate::facts::Facts;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shape {
    /// `bypass TEETH [unbonded] [until CONDITION]`
    pub label: String,
    pub doc: &'static str,
}

/// The shapes that the statement at an offset could have, the one it is read as first.
pub fn shapes(facts: Facts<'_>, offset: usize) -> Vec<Shape> {
    let Some(line) = facts.line_at(offset) else { return Vec::new() };
    let own = line.row();
    let same_keyword =
        line.keyword().zip(line.context()).into_iter().flat_map(|(word, context)| {
            springline_lang::syntax::pattern::patterns().at(context, word).map(|p| p.row)
        });
    let mut rows: Vec<&Row> = own.into_iter().collect();
    for row in same_keyword {
        if !rows.iter().any(|known| std::ptr::eq(*known, row)) {
            rows.push(row);
        }
    }
    rows.into_iter().map(|row| Shape { label: readable(row.pattern), doc: row.doc }).collect()
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
            // A name says best by its namespace what it is.
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
        let shapes = shapes(sample.facts(), sample.offset);
        assert_eq!(shapes[0].label, "bypass TEETH [unbonded] [until CONDITION]");
        assert_eq!(
            readable("follow NAME:sequence [from NAME:step]"),
            "follow SEQUENCE [from STEP]"
        );
    }
}
