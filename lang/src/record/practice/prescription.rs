//! Parses a bracket prescription in the notation of tables, with signs. Nothing is guessed: an ambiguous
//! entry is rejected, with its place and what to write instead.

use std::collections::BTreeMap;

use springline_lower::plausible;
use springline_lower::plausible::{Plausible, Verdict};
use springline_syntax::vocabulary::direction_word;
use springline_units::quantity::{Quantity, Unit, plain};
use springline_units::tooth::{Arch, Notation, Tooth};

use super::RejectedAnswer;

/// Torque and tip of one tooth in degrees, signed as in every table: torque + turns the crown to the lip,
/// - to the tongue; tip + turns the crown mesially, - distally.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Angles {
    pub torque: f64,
    pub tip: Option<f64>,
}

/// Both sides of both arches, as far as the table goes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Prescription(pub BTreeMap<Tooth, Angles>);

/// Which figure comes first.
#[derive(Clone, Copy, PartialEq)]
enum Order {
    TorqueTip,
    TipTorque,
}

/// Reads a table: entries `tooth torque` or `tooth torque tip` on lines of their own, or with ` / `, `;`
/// or `, ` between them. A first line that names the columns is understood. What is written for one side
/// holds for the other.
pub fn read(text: &str, notation: Notation) -> Result<Prescription, RejectedAnswer> {
    let mut written: BTreeMap<Tooth, (Angles, usize)> = BTreeMap::new();
    let mut order = Order::TorqueTip;
    let mut number = 0;
    for entry in entries(text) {
        if let Some(named) = heading(&entry) {
            if !written.is_empty() {
                return Err(refused(
                    &entry,
                    "the columns are named after figures were read",
                    FIRST,
                ));
            }
            order = named;
            continue;
        }
        number += 1;
        let (teeth, angles) = one(&entry, notation, order)?;
        for tooth in teeth {
            if let Some((_, first)) = written.insert(tooth, (angles, number)) {
                let tooth = tooth.write(notation);
                let reason = format!("{tooth} is in the table already, as entry {first}");
                return Err(refused(&entry, &reason, "Leave it in once."));
            }
        }
    }
    let mut out = Prescription::default();
    for (tooth, (angles, _)) in &written {
        if let Some((other, _)) = written.get(&tooth.mirror())
            && other != angles
        {
            let (a, b) = (tooth.write(notation), tooth.mirror().write(notation));
            return Err(RejectedAnswer::new(
                format!(
                    "{a} and {b} have different figures, and a prescription is the same on both sides."
                ),
                format!("Correct one of them, or leave {b} out: it follows {a}."),
            ));
        }
        out.0.insert(*tooth, *angles);
        out.0.insert(tooth.mirror(), *angles);
    }
    Ok(out)
}

const FIRST: &str = "Put the line that names the columns first, or leave it out.";

/// The table cut into its entries, comments left out.
fn entries(text: &str) -> Vec<String> {
    let text = text.replace(['\u{2212}', '\u{2013}', '\u{2012}', '\u{2010}', '\u{2011}'], "-");
    let bare = text.lines().map(|l| l.split("//").next().unwrap_or_default());
    bare.flat_map(|line| {
        // `, ` parts entries; `,` between two digits is left for `one` to refuse.
        let line = line.replace(", ", "\n").replace(['/', ';', '|'], "\n");
        line.lines().map(|e| e.trim().trim_end_matches(',').trim().to_owned()).collect::<Vec<_>>()
    })
    .filter(|e| !e.is_empty())
    .collect()
}

/// A line such as `tooth torque tip`.
fn heading(entry: &str) -> Option<Order> {
    let words: Vec<String> = entry.split_whitespace().map(str::to_lowercase).collect();
    if !words.iter().all(|w| w.chars().all(|c| c.is_alphabetic() || c == '(' || c == ')')) {
        return None;
    }
    let at = |names: &[&str]| words.iter().position(|w| names.contains(&w.as_str()));
    let torque = at(&["torque"])?;
    match at(&["tip", "angulation"]) {
        Some(tip) if tip < torque => Some(Order::TipTorque),
        _ => Some(Order::TorqueTip),
    }
}

/// One entry: its teeth (two for `U1`) and what it asks of them.
fn one(
    entry: &str,
    notation: Notation,
    order: Order,
) -> Result<(Vec<Tooth>, Angles), RejectedAnswer> {
    let words: Vec<&str> = entry.split_whitespace().collect();
    let words: Vec<&str> =
        words.into_iter().filter(|w| !matches!(*w, "deg" | "\u{b0}" | "degrees")).collect();
    let Some((first, figures)) = words.split_first() else {
        return Err(refused(entry, "there is nothing in it", SHAPE));
    };
    let teeth = teeth(first, entry, notation)?;
    let mut read = Vec::new();
    for word in figures {
        read.push(figure(word, entry)?);
    }
    let angles = match (read[..].as_ref(), order) {
        ([], _) => {
            return Err(refused(entry, "the torque is missing", SHAPE));
        }
        ([torque], Order::TorqueTip) => Angles { torque: *torque, tip: None },
        ([_], Order::TipTorque) => {
            return Err(refused(entry, "two figures were announced and there is one", SHAPE));
        }
        ([torque, tip], Order::TorqueTip) | ([tip, torque], Order::TipTorque) => {
            Angles { torque: *torque, tip: Some(*tip) }
        }
        _ => return Err(refused(entry, "there are more than two figures", SHAPE)),
    };
    if let Some(word) = figures.first().filter(|w| could_be_tooth(w, &teeth, notation)) {
        let tooth = teeth.first().map_or_else(String::new, |t| t.write(notation));
        let fix = format!(
            "Each tooth has an entry of its own, and the other side follows by itself; if {tooth} has that torque, \
             write `{tooth} +{word}`."
        );
        return Err(refused(entry, &format!("`{word}` could be a tooth or a torque"), &fix));
    }
    plausible(angles.torque, "torque", plausible::TORQUE_ANGLE, entry)?;
    if let Some(tip) = angles.tip {
        plausible_tip(tip, entry)?;
    }
    Ok((teeth, angles))
}

/// `11 21`, `14 15`: a torque without a sign that is the tooth on the other side, or, where no prescription
/// has so much torque, a tooth of the same quadrant.
fn could_be_tooth(word: &str, teeth: &[Tooth], notation: Notation) -> bool {
    let bare = notation == Notation::Iso && word.chars().all(|c| c.is_ascii_digit());
    let Some(other) = Tooth::parse(word).filter(|_| bare) else { return false };
    let beside =
        |t: &Tooth| !t.is_anterior() && t.arch() == other.arch() && t.side() == other.side();
    teeth.iter().any(|t| t.mirror() == other || beside(t))
}

const SHAPE: &str =
    "An entry is a tooth, its torque and, if you like, its tip: `14 -7` or `14 -7 2`.";

fn teeth(word: &str, entry: &str, notation: Notation) -> Result<Vec<Tooth>, RejectedAnswer> {
    let upper = word.to_ascii_uppercase();
    let mut letters = upper.chars();
    // `U1`, `L6`: a row of a table that holds both sides.
    if let (Some(jaw @ ('U' | 'L')), Some(position), None) =
        (letters.next(), letters.next().and_then(|c| c.to_digit(10)), letters.next())
    {
        let quadrants = if jaw == 'U' { [1, 2] } else { [4, 3] };
        let both: Vec<Tooth> =
            quadrants.into_iter().filter_map(|q| Tooth::iso(q * 10 + position)).collect();
        if both.len() == 2 {
            return Ok(both);
        }
    }
    let Some(tooth) = Tooth::parse(word) else {
        let reason = format!("`{word}` is no tooth");
        return Err(refused(entry, &reason, SHAPE));
    };
    let bare = word.chars().all(|c| c.is_ascii_digit());
    if bare && notation != Notation::Iso {
        let quadrant = tooth.write(Notation::Quadrant);
        let reason = format!("`{word}` could be ISO {word}, which is {quadrant}, or #{word}");
        let fix = match notation {
            Notation::Universal => format!("Write `#{word}`, or `{}`.", tooth.write(notation)),
            _ => format!("Write `{quadrant}` if that is meant."),
        };
        return Err(refused(entry, &reason, &fix));
    }
    if tooth.is_deciduous() {
        let reason = format!("`{word}` is a deciduous tooth");
        return Err(refused(entry, &reason, "Prescriptions are for permanent teeth."));
    }
    Ok(vec![tooth])
}

/// A signed figure in degrees. A comma may be a decimal comma or part two figures: refused.
fn figure(word: &str, entry: &str) -> Result<f64, RejectedAnswer> {
    let bare = word.trim_end_matches('\u{b0}').trim_end_matches("deg");
    if bare == "-" || bare == "+" {
        let fix = "Write the sign and the figure together: `-7`.";
        return Err(refused(entry, &format!("`{bare}` stands alone"), fix));
    }
    if bare.contains(',') {
        let reason = format!("`{bare}` has a comma between figures");
        let fix = "Write decimals with a point and leave a blank between columns: `14 -7 2.5`.";
        return Err(refused(entry, &reason, fix));
    }
    let digits = bare.trim_start_matches(['+', '-']);
    let signs = bare.len() - digits.len();
    let number = digits.chars().all(|c| c.is_ascii_digit() || c == '.');
    match digits.parse::<f64>() {
        Ok(value) if number && signs <= 1 => {
            Ok(if bare.starts_with('-') && value != 0.0 { -value } else { value })
        }
        _ => Err(refused(entry, &format!("`{word}` is no figure"), SHAPE)),
    }
}

fn plausible(value: f64, what: &str, range: Plausible, entry: &str) -> Result<(), RejectedAnswer> {
    if range.judge(Quantity::new(value.abs(), Unit::Deg)) == Verdict::Fine {
        return Ok(());
    }
    let reason = format!("a {what} of {} degrees is in no prescription", plain(value));
    let fix = format!("Correct it; up to {} degrees are read.", plain(range.usual.1));
    Err(refused(entry, &reason, &fix))
}

/// More tip than this is a column taken for another (common practice, no source).
const MOST_TIP: f64 = 20.0;

fn plausible_tip(value: f64, entry: &str) -> Result<(), RejectedAnswer> {
    if value.abs() > MOST_TIP {
        let reason = format!("a tip of {} degrees is in no prescription", plain(value));
        let fix = "Torque comes first, then tip; a first line `tooth tip torque` turns that round.";
        return Err(refused(entry, &reason, fix));
    }
    plausible(value, "tip", plausible::TIP, entry)
}

fn refused(entry: &str, reason: &str, fix: &str) -> RejectedAnswer {
    RejectedAnswer::new(format!("In `{entry}`: {reason}."), fix.to_owned())
}

impl Prescription {
    /// Statements for the teeth of a bracket (front teeth and premolars) or of a tube (molars); the words
    /// for a side follow the teeth.
    pub fn lines(&self, molars: bool, notation: Notation) -> Vec<String> {
        let mut out = Vec::new();
        for (teeth, angle) in self.grouped(molars, |a| Some(a.torque)) {
            let turn = if angle > 0.0 { "crown-labial" } else { "crown-lingual" };
            let turn = direction_word(turn, &teeth);
            out.push(format!(
                "torque {} deg {turn} on {}",
                plain(angle.abs()),
                list(&teeth, notation)
            ));
        }
        for (teeth, angle) in self.grouped(molars, |a| a.tip) {
            let way = if angle > 0.0 { "mesial" } else { "distal" };
            out.push(format!(
                "tipped {} deg {way} on {}",
                plain(angle.abs()),
                list(&teeth, notation)
            ));
        }
        out
    }

    /// Teeth of one jaw and one part of it that share a figure, zero left out: a slot without torque is
    /// what no line says.
    fn grouped(
        &self,
        molars: bool,
        figure: impl Fn(&Angles) -> Option<f64>,
    ) -> Vec<(Vec<Tooth>, f64)> {
        let mut out: Vec<(Vec<Tooth>, f64)> = Vec::new();
        for arch in Arch::BOTH {
            for position in 1..=8 {
                let here = self.0.iter().filter(|(t, _)| {
                    t.arch() == arch && t.position() == position && t.is_molar() == molars
                });
                for (tooth, angles) in here {
                    let Some(value) = figure(angles).filter(|v| *v != 0.0) else { continue };
                    let alike = out.iter_mut().find(|(teeth, other)| {
                        let like =
                            |t: &Tooth| t.arch() == arch && t.is_anterior() == tooth.is_anterior();
                        *other == value && teeth.iter().all(like)
                    });
                    match alike {
                        Some((teeth, _)) => teeth.push(*tooth),
                        None => out.push((vec![*tooth], value)),
                    }
                }
            }
        }
        out
    }

    /// Teeth of the table whose torque is nought.
    pub fn without_torque(&self, molars: bool) -> Vec<Tooth> {
        let none = self.0.iter().filter(|(t, a)| a.torque == 0.0 && t.is_molar() == molars);
        none.map(|(t, _)| *t).collect()
    }
}

pub fn list(teeth: &[Tooth], notation: Notation) -> String {
    let mut teeth = teeth.to_vec();
    teeth.sort();
    teeth.iter().map(|t| t.write(notation)).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Invented figures: no system's table.
    const TABLE: &str =
        "11 +13 / 12 9 / 13 0 / 14 -6 / 15 -6 / 16 -10\n31 -3 / 33 -8 / 34 -16 / 36 -24";

    fn words(text: &str) -> Vec<String> {
        let table = read(text, Notation::Iso).expect("a table");
        [table.lines(false, Notation::Iso), table.lines(true, Notation::Iso)].concat()
    }

    #[test]
    fn signs_become_words_on_both_sides() {
        assert_eq!(
            words(TABLE),
            [
                "torque 13 deg crown-labial on 11, 21",
                "torque 9 deg crown-labial on 12, 22",
                "torque 6 deg crown-palatal on 15, 14, 24, 25",
                "torque 3 deg crown-lingual on 41, 31",
                "torque 8 deg crown-lingual on 43, 33",
                "torque 16 deg crown-lingual on 44, 34",
                "torque 10 deg crown-palatal on 16, 26",
                "torque 24 deg crown-lingual on 46, 36",
            ]
        );
        let table = read(TABLE, Notation::Iso).expect("a table");
        assert_eq!(list(&table.without_torque(false), Notation::Iso), "13, 23");
    }

    #[test]
    fn every_layout_of_one_table_reads_the_same() {
        let same = read("11 +13 5\n14 -6 -2.5", Notation::Iso);
        for text in [
            "tooth torque tip\n11 13 5\n14 \u{2212}6 \u{2212}2.5",
            "Tooth\tTip\tTorque\n11\t5\t13\n14\t-2.5\t-6",
            "11 13\u{b0} 5\u{b0} ; 14 \u{2013}6 -2.5",
            "U1 13 5 / U4 -6 -2.5",
            "21 13 5, 24 -6 -2.5",
            "11 13 5 / 21 13 5 / 14 -6 -2.5 // premolars",
        ] {
            assert_eq!(read(text, Notation::Iso), same, "{text}");
        }
        assert_eq!(read("#8 13 5\n#5 -6 -2.5", Notation::Universal), same);
        assert_eq!(read("UR1 13 5\nUL4 -6 -2.5", Notation::Quadrant), same);
    }

    #[test]
    fn what_could_mean_two_things_is_refused() {
        let refused = [
            "14",
            "14 15",
            "14, 15 -7",
            "11 21 5",
            "11 12,5",
            "14 - 7",
            "11 13 / 21 12",
            "11 13 / 11 12",
            "11 13 5 2",
            "11 130",
            "11 5 30",
            "51 10",
            "19 10",
            "eleven 10",
            "11 +-3",
            "tooth tip torque\n11 5",
        ];
        let told: Vec<String> = refused
            .iter()
            .map(|text| match read(text, Notation::Iso) {
                Err(r) => format!("{text:?}: {} {}", r.what, r.fix),
                Ok(table) => format!("{text:?} reads as {:?}", table.lines(false, Notation::Iso)),
            })
            .collect();
        insta::assert_snapshot!(told.join("\n"));
        assert!(read("11 13", Notation::Universal).is_err(), "#11 is another tooth");
    }
}
