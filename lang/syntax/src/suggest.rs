//! "Did you mean": the words closest to a misspelt one, among those allowed at that place.

use super::context::Context;
use super::patterns::patterns;
use super::vocabulary::BlockRule;
use springline_text::nearest::distance;

/// Pairs that look alike and mean different things; neither is ever offered for the other.
const NEVER: &[(&str, &str)] = &[
    ("passive-coil", "closing-spring"),
    ("passive", "closing-spring"),
    ("rebond", "reposition"),
    ("mesial", "distal"),
    ("mesial-in", "mesial-out"),
    ("labial", "lingual"),
    ("upper", "lower"),
    ("under", "over"),
    ("right", "left"),
    ("patient-right", "patient-left"),
    ("gingival", "occlusal"),
    ("crown-labial", "crown-lingual"),
    ("root-labial", "root-lingual"),
    ("crown-labial", "root-labial"),
    ("crown-lingual", "root-lingual"),
    ("overbite", "open-bite"),
    ("overjet", "reverse-overjet"),
    ("overbite", "overjet"),
];

/// Words near to a misspelt one, nearest first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Near {
    pub words: Vec<&'static str>,
    /// Exactly one word is a single letter away: no other reading is likely.
    pub certain: bool,
}

fn are_opposed(a: &str, b: &str) -> bool {
    NEVER.iter().any(|(x, y)| (*x == a && *y == b) || (*y == a && *x == b))
}

/// The nearest of some words, at most three.
pub fn nearest(typed: &str, among: impl IntoIterator<Item = &'static str>) -> Near {
    let typed = typed.to_lowercase();
    let allowed = match typed.chars().count() {
        0..=2 => 0,
        3..=4 => 1,
        5..=8 => 2,
        _ => 3,
    };
    let mut found: Vec<(usize, &'static str)> = among
        .into_iter()
        .filter(|word| !are_opposed(word, &typed))
        .map(|word| (distance(&typed, word), word))
        .filter(|(far, _)| *far <= allowed)
        .collect();
    found.sort();
    found.dedup();
    // Of two opposites only the nearer one was meant.
    let nearer = found.clone();
    found.retain(|(far, word)| {
        !nearer.iter().any(|(near, other)| near < far && are_opposed(word, other))
    });
    let certain = found.iter().filter(|(far, _)| *far <= 1).count() == 1;
    found.truncate(3);
    Near { words: found.into_iter().map(|(_, word)| word).collect(), certain }
}

/// The keywords that can begin a statement in a context.
pub fn keywords(context: Context) -> impl Iterator<Item = &'static str> {
    patterns().inside(context).flat_map(|p| p.keywords.iter().copied())
}

/// The keyword of a block that a misspelt word was certainly meant to open.
pub fn opener(outer: Option<Context>, typed: &str) -> Option<&'static str> {
    let outer = outer?;
    let opening = patterns()
        .inside(outer)
        .filter(|p| p.row.block != BlockRule::None)
        .flat_map(|p| p.keywords.iter().copied());
    let near = nearest(typed, opening);
    match near.words.as_slice() {
        [word] => Some(word),
        [word, ..] if near.certain => Some(word),
        _ => None,
    }
}

/// "a", "a or b", "a, b or c".
pub fn either(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beside_a_nearer_word_its_opposite_is_not_offered() {
        assert_eq!(
            nearest("patient-rght", ["patient-right", "patient-left"]).words,
            ["patient-right"]
        );
        assert_eq!(nearest("openbite", ["open-bite", "overbite"]).words, ["open-bite"]);
        assert_eq!(nearest("mesial-ut", ["mesial-in", "mesial-out"]).words, ["mesial-out"]);
    }

    #[test]
    fn look_alikes_are_never_offered() {
        for (a, b) in NEVER {
            assert!(!nearest(a, [*b]).words.contains(b));
            assert!(!nearest(b, [*a]).words.contains(a));
        }
    }
}
