//! Writes a new case from a few answers.

use jiff::civil::Date;

use springline_model::House;
use springline_units::tooth::{Arch, Tooth};

/// What is known on the first day.
#[derive(Debug, Clone)]
pub struct NewCaseAnswers {
    pub chart: String,
    /// The practice file's name, if there is one.
    pub house: Option<String>,
    pub doctor: Option<String>,
    pub start: Date,
    /// `None`: not said.
    pub growing: Option<bool>,
    pub arches: Vec<Arch>,
}

/// The text of the case: what every case needs, the first brackets, tubes and sequence of the practice
/// file, and comments that show what else to write. Nothing clinical is in it that nobody said.
pub fn new_case(answers: &NewCaseAnswers, house: Option<&House>) -> String {
    let mut out = String::from("springline 1\n");
    out.push_str(&format!("case \"{}\"\n", answers.chart.replace(['"', '\n', '\r'], "")));
    if let Some(name) = &answers.house {
        out.push_str(&format!("use {name}\n"));
    }
    if let Some(doctor) = answers.doctor.as_deref().or(house.and_then(|h| h.doctor.as_deref())) {
        out.push_str(&format!("doctor {doctor}\n"));
    }
    out.push_str(&format!("start {}\n", answers.start));
    match answers.growing {
        Some(true) => out.push_str("patient growing\n"),
        Some(false) => out.push_str("patient adult\n"),
        None => {}
    }
    for arch in &answers.arches {
        out.push_str(&block(*arch, house));
    }
    let which = match answers.arches[..] {
        [arch] => arch.word(),
        _ => "both",
    };
    out.push_str("// No retainer is planned yet; for example:\n");
    out.push_str(&format!("// retain {{\n//   night-time {which}\n// }}\n"));
    out
}

fn block(arch: Arch, house: Option<&House>) -> String {
    let quadrants = match arch {
        Arch::Upper => (1, 2),
        Arch::Lower => (4, 3),
    };
    let notation = house.map_or_else(Default::default, |h| h.notation.value);
    let tooth = |quadrant: u32, position: u32| {
        Tooth::iso(quadrant * 10 + position).map_or_else(String::new, |t| t.write(notation))
    };
    let mut out = format!("{arch} {{\n");
    if let Some(bracket) = house.and_then(|h| h.first_bracket(false)) {
        let (from, to) = (tooth(quadrants.0, 5), tooth(quadrants.1, 5));
        out.push_str(&format!("  bonded {from}..{to} with {}\n", bracket.name));
    }
    if let Some(tube) = house.and_then(|h| h.first_bracket(true)) {
        let (right, left) = (tooth(quadrants.0, 6), tooth(quadrants.1, 6));
        out.push_str(&format!("  tubes {right}, {left} with {}\n", tube.name));
    }
    out.push_str("  // Teeth out of line, for example:\n");
    out.push_str(&format!(
        "  // tooth {} {} 1.5 mm, rotated 20 deg mesial-in, space 5 mm\n",
        tooth(quadrants.0, 2),
        if arch == Arch::Upper { "palatal" } else { "lingual" }
    ));
    if let Some(sequence) = house.and_then(House::first_sequence) {
        out.push_str(&format!("  follow {}\n", sequence.name));
    }
    out.push_str("}\n");
    out
}
