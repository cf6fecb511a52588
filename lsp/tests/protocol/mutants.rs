//! Careless edits of a plan, the same for the same seed: what typing, cutting and pasting leave behind.

use fastrand::Rng;

/// A text with one to four careless edits.
pub fn mutant(text: &str, seed: u64) -> String {
    let mut random = Rng::with_seed(seed);
    let mut out = text.to_owned();
    for _ in 0..=random.usize(..4) {
        edit(&mut out, &mut random);
    }
    out
}

/// Pieces that belong to the language, to another one, or to none.
const PIECES: [&str; 20] = [
    "{",
    "}",
    "\"",
    "//",
    ",",
    "..",
    " ",
    "\n",
    "12",
    "UR3",
    "#7",
    "2.5 mm",
    "until",
    "wire",
    "upper {",
    "\u{1F600}",
    "e\u{301}",
    "漢",
    "\u{feff}",
    "\0",
];

fn edit(text: &mut String, random: &mut Rng) {
    match random.usize(..7) {
        0 => insert(text, random),
        1 => cut(text, random),
        2 => lines(text, random, |all, at, _| drop(all.remove(at))),
        3 => lines(text, random, |all, at, _| all.insert(at, all[at].clone())),
        4 => lines(text, random, |all, at, other| all.swap(at, other)),
        5 => figure(text, random),
        _ => words(text, random),
    }
}

fn place(text: &str, random: &mut Rng) -> usize {
    text.floor_char_boundary(random.usize(..text.len() + 1))
}

fn insert(text: &mut String, random: &mut Rng) {
    let at = place(text, random);
    text.insert_str(at, PIECES[random.usize(..PIECES.len())]);
}

fn cut(text: &mut String, random: &mut Rng) {
    let from = place(text, random);
    let to = text.floor_char_boundary((from + random.usize(..40)).min(text.len()));
    text.replace_range(from..to.max(from), "");
}

fn lines(text: &mut String, random: &mut Rng, change: impl Fn(&mut Vec<String>, usize, usize)) {
    let mut all: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let (at, other) = (random.usize(..all.len()), random.usize(..all.len()));
    change(&mut all, at, other);
    *text = all.join("\n");
}

/// A digit is another one, or gone, or twice there.
fn figure(text: &mut String, random: &mut Rng) {
    let digits: Vec<usize> =
        text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
    if digits.is_empty() {
        return;
    }
    let at = digits[random.usize(..digits.len())];
    let new = ["", "0", "9", "77", "-1", "1e9"][random.usize(..6)];
    text.replace_range(at..=at, new);
}

/// Two words change places.
fn words(text: &mut String, random: &mut Rng) {
    let mut all: Vec<String> = text.split(' ').map(str::to_owned).collect();
    let (a, b) = (random.usize(..all.len()), random.usize(..all.len()));
    all.swap(a, b);
    *text = all.join(" ");
}
