//! Detection and masking of patient identity.
//!
//! A plan must not contain a patient's identity. Anything that looks like one gives a finding and is
//! masked in every output, because logs and prints travel further than the file.

use std::ops::Range;

/// The kind of identity that a piece of text looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Looks {
    /// A title before a capitalised word.
    Name,
    Email,
    /// Seven digits or more.
    Number,
    /// A date that can only be somebody's birthday.
    Birth,
}

impl Looks {
    pub fn describe(self) -> &'static str {
        match self {
            Looks::Name => "a person's name",
            Looks::Email => "an e-mail address",
            Looks::Number => "a telephone or identity number",
            Looks::Birth => "a date of birth",
        }
    }
}

const TITLES: &[&str] = &["mr", "mrs", "ms", "miss", "master", "herr", "frau", "mme", "sig", "sra"];
const BIRTH: &[&str] = &["born", "dob", "birthday", "birthdate"];

/// Every range of `text` that looks like identity, in order and disjoint.
pub fn find(text: &str) -> Vec<(Range<usize>, Looks)> {
    let mut out: Vec<(Range<usize>, Looks)> = Vec::new();
    let words = words(text);
    for (i, range) in words.iter().enumerate() {
        let word = &text[range.clone()];
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
        let is_one_of = |list: &[&str]| list.iter().any(|w| w.eq_ignore_ascii_case(bare));
        let next = words.get(i + 1).map(|r| (r.clone(), &text[r.clone()]));
        if is_email(word) {
            out.push((range.clone(), Looks::Email));
        } else if is_one_of(BIRTH) {
            let end = next.as_ref().map_or(range.end, |(r, _)| r.end);
            out.push((range.start..end, Looks::Birth));
        } else if is_one_of(TITLES)
            && let Some((next_range, next_word)) = next
            && next_word.chars().next().is_some_and(char::is_uppercase)
        {
            out.push((range.start..next_range.end, Looks::Name));
        } else if let Some(end) = number_to(text, &words, i) {
            out.push((range.start..end, Looks::Number));
        }
    }
    out
}

/// `text` with everything that looks like identity replaced by dots.
pub fn mask(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for (range, _) in find(text) {
        if range.start < at {
            continue;
        }
        out.push_str(&text[at..range.start]);
        out.push('\u{2026}');
        at = range.end;
    }
    out.push_str(&text[at..]);
    out
}

fn words(text: &str) -> Vec<Range<usize>> {
    let mut out = Vec::new();
    let mut start = None;
    for (i, c) in text.char_indices() {
        match (c.is_whitespace(), start) {
            (false, None) => start = Some(i),
            (true, Some(s)) => {
                out.push(s..i);
                start = None;
            }
            _ => {}
        }
    }
    if let Some(s) = start {
        out.push(s..text.len());
    }
    // Quotes, slashes and stops around a word are not part of it.
    for range in &mut out {
        let word = &text[range.clone()];
        let outside = |c: char| !c.is_alphanumeric() && c != '+';
        let from = word.trim_start_matches(outside);
        let inner = from.trim_end_matches(outside);
        if !inner.is_empty() {
            let start = range.end - from.len();
            *range = start..start + inner.len();
        }
    }
    out
}

/// The end of a number of seven digits or more that begins with this word; its groups may be separated.
fn number_to(text: &str, words: &[Range<usize>], first: usize) -> Option<usize> {
    let begins = |c: char| c.is_ascii_digit() || "+-/().".contains(c);
    if !text[words.get(first)?.clone()].starts_with(begins) {
        return None;
    }
    let mut count = 0;
    let mut end = 0;
    for range in words.get(first..)? {
        let word = &text[range.clone()];
        // What is between two groups of one number is a blank, not a comma.
        let apart = end > 0 && text.get(end..range.start).is_none_or(|t| !t.trim().is_empty());
        let here = digits(word);
        // Three figures side by side are no telephone number unless each is a group of two or more.
        if here == 0 || is_date(word) || apart || (word.contains('.') && here < 7) || here < 2 {
            break;
        }
        count += here;
        end = range.end;
    }
    (count >= 7).then_some(end)
}

fn digits(word: &str) -> usize {
    let count = word.chars().filter(char::is_ascii_digit).count();
    let other = word.chars().any(|c| !c.is_ascii_digit() && !"+-/().".contains(c));
    if other { 0 } else { count }
}

fn is_date(word: &str) -> bool {
    let bytes = word.as_bytes();
    bytes.len() == 10 && bytes[4] == b'-' && bytes[7] == b'-'
}

fn is_email(word: &str) -> bool {
    let Some((user, host)) = word.split_once('@') else { return false };
    !user.is_empty() && host.contains('.') && host.len() > 3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_looks_like_identity_is_found_and_masked() {
        assert_eq!(mask("Mrs Example rang"), "\u{2026} rang");
        assert_eq!(mask("write to someone@clinic.example"), "write to \u{2026}");
        assert_eq!(mask("call 0123 4567890 now"), "call \u{2026} now");
        assert_eq!(mask("born 2011-02-03, shy"), "\u{2026}, shy");
        assert_eq!(mask("ring 01632 960123 first"), "ring \u{2026} first");
    }

    #[test]
    fn ordinary_notes_are_left_alone() {
        for text in [
            "space 12 4.5 mm",
            "seen 2026-11-16",
            "Take panoramic in 9 months",
            "SM-0392",
            "12, 22, 23, 24 tied",
            "bag 4 of 200 given",
        ] {
            assert_eq!(mask(text), text);
        }
    }
}
