//! A new case from a few answers.

use jiff::civil::Date;

use crate::model::House;
use crate::model::tooth::Arch;

/// What is known on the first day.
#[derive(Debug, Clone)]
pub struct Answers {
    pub chart: String,
    /// The house file's name, if there is one.
    pub house: Option<String>,
    pub doctor: Option<String>,
    pub start: Date,
    /// `None`: not said.
    pub growing: Option<bool>,
    pub arches: Vec<Arch>,
}

/// The text of the case: what every case needs, and a place for the teeth that stand out of line.
pub fn new_case(answers: &Answers, house: Option<&House>) -> String {
    let mut out = String::from("springline 1\n");
    out.push_str(&format!("case \"{}\"\n", answers.chart.replace(['"', '\n', '\r'], "")));
    if let Some(name) = &answers.house {
        out.push_str(&format!("use {name}\n"));
    }
    if let Some(doctor) = &answers.doctor {
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
    let held: Vec<&str> = answers.arches.iter().map(|a| a.word()).collect();
    let worn = if held.len() == 2 { "both" } else { held.first().copied().unwrap_or("both") };
    out.push_str(&format!("retain {{\n  night-time {worn}\n  check 3 mo\n}}\n"));
    out
}

fn block(arch: Arch, house: Option<&House>) -> String {
    let quadrants = match arch {
        Arch::Upper => (1, 2),
        Arch::Lower => (4, 3),
    };
    let notation = house.map_or_else(Default::default, |h| h.notation.value);
    let tooth = |quadrant: u32, position: u32| {
        crate::model::Tooth::iso(quadrant * 10 + position)
            .map_or_else(String::new, |t| t.write(notation))
    };
    let first = |tube: bool| {
        house.and_then(|h| h.brackets.values().find(|b| b.is_tube == tube)).map(|b| b.name.clone())
    };
    let mut out = format!("{arch} {{\n");
    if let Some(bracket) = first(false) {
        out.push_str(&format!(
            "  bonded {}..{} with {bracket}\n",
            tooth(quadrants.0, 5),
            tooth(quadrants.1, 5)
        ));
    }
    if let Some(tube) = first(true) {
        out.push_str(&format!(
            "  tubes {}, {} with {tube}\n",
            tooth(quadrants.0, 6),
            tooth(quadrants.1, 6)
        ));
    }
    out.push_str("  // teeth out of line, for example:");
    out.push_str(&format!(
        "  // tooth {} {} 1.5 mm, rotated 20 deg mesial-in, space 5 mm\n",
        tooth(quadrants.0, 2),
        if arch == Arch::Upper { "palatal" } else { "lingual" }
    ));
    if let Some(sequence) = house.and_then(|h| h.sequences.keys().next()) {
        out.push_str(&format!("  follow {sequence}\n"));
    }
    out.push_str("}\n");
    out
}
