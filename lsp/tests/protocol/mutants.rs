//! Careless edits of a plan, the same for the same seed: what typing, cutting and pasting leave behind.

use crate::dice::Dice;

/// A text with one to four careless edits.
pub fn mutant(text: &str, seed: u64) -> String {
    let mut dice = Dice::new(seed);
    let mut out = text.to_owned();
    for _ in 0..=dice.roll(4) {
        edit(&mut out, &mut dice);
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

fn edit(text: &mut String, dice: &mut Dice) {
    match dice.roll(7) {
        0 => insert(text, dice),
        1 => cut(text, dice),
        2 => lines(text, dice, |all, at, _| drop(all.remove(at))),
        3 => lines(text, dice, |all, at, _| all.insert(at, all[at].clone())),
        4 => lines(text, dice, |all, at, other| all.swap(at, other)),
        5 => figure(text, dice),
        _ => words(text, dice),
    }
}

fn place(text: &str, dice: &mut Dice) -> usize {
    text.floor_char_boundary(dice.roll(text.len() + 1))
}

fn insert(text: &mut String, dice: &mut Dice) {
    let at = place(text, dice);
    text.insert_str(at, PIECES[dice.roll(PIECES.len())]);
}

fn cut(text: &mut String, dice: &mut Dice) {
    let from = place(text, dice);
    let to = text.floor_char_boundary((from + dice.roll(40)).min(text.len()));
    text.replace_range(from..to.max(from), "");
}

fn lines(text: &mut String, dice: &mut Dice, change: impl Fn(&mut Vec<String>, usize, usize)) {
    let mut all: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let (at, other) = (dice.roll(all.len()), dice.roll(all.len()));
    change(&mut all, at, other);
    *text = all.join("\n");
}

/// A digit is another one, or gone, or twice there.
fn figure(text: &mut String, dice: &mut Dice) {
    let digits: Vec<usize> =
        text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
    if digits.is_empty() {
        return;
    }
    let at = digits[dice.roll(digits.len())];
    let new = ["", "0", "9", "77", "-1", "1e9"][dice.roll(6)];
    text.replace_range(at..=at, new);
}

/// Two words change places.
fn words(text: &mut String, dice: &mut Dice) {
    let mut all: Vec<String> = text.split(' ').map(str::to_owned).collect();
    let (a, b) = (dice.roll(all.len()), dice.roll(all.len()));
    all.swap(a, b);
    *text = all.join(" ");
}
