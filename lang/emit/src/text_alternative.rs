//! Text alternative of a drawing, for readers who cannot see it and for tests.

use super::picture::{self, ArchPicture, Hold, MouthPicture, ToothPicture};
use super::wording::{self, list};
use springline_units::tooth::{Notation, Tooth};

/// The whole mouth, upper arch first, each from the patient's right to left.
pub fn mouth(mouth: &MouthPicture<'_>, notation: Notation) -> String {
    let mut out: Vec<String> = mouth.arches().map(|a| arch(a, notation)).collect();
    for worn in &mouth.elastics {
        let teeth: Vec<String> = worn.run.teeth.iter().map(|t| t.write(notation)).collect();
        out.push(format!(
            "Elastic on the patient\u{2019}s {}: {}, {}.",
            worn.run.side,
            teeth.join(" to "),
            wording::elastic(&worn.run.elastic),
        ));
    }
    out.join(" ")
}

fn arch(picture: &ArchPicture<'_>, notation: Notation) -> String {
    let mut out = Vec::new();
    let name = if picture.arch == springline_units::tooth::Arch::Upper { "Upper" } else { "Lower" };
    match picture.wire {
        Some(wire) => out.push(format!("{name} arch, wire {}.", wire.label())),
        None => out.push(format!("{name} arch, no wire.")),
    }
    let held: Vec<Tooth> =
        picture.teeth.iter().filter(|t| t.hold == Hold::In).map(|t| t.tooth).collect();
    if !held.is_empty() {
        let word = if picture.wire.is_some() { "In the wire" } else { "Bonded" };
        out.push(format!("{word}, patient\u{2019}s right to left: {}.", list(&held, notation)));
    }
    for tooth in picture.teeth.iter().filter(|t| t.hold != Hold::In) {
        if let Some(words) = picture::words(tooth.hold) {
            out.push(format!("{}: {words}.", tooth.tooth.write(notation)));
        }
    }
    for thing in &picture.things {
        if let Some(line) = wording::thing(thing, notation) {
            out.push(format!("{line}."));
        }
    }
    if let Some(expander) = picture.expander {
        out.push(format!("Expander on {}.", list(&expander.teeth, notation)));
    }
    if let Some(ends) = picture.ends {
        let (right, left) = (wording::end(&ends.right.value), wording::end(&ends.left.value));
        if right == left {
            out.push(format!("Both ends {right}."));
        } else {
            out.push(format!("Right end {right}, left end {left}."));
        }
    }
    out.join(" ")
}

/// One tooth, in a phrase.
pub fn tooth(tooth: &ToothPicture, notation: Notation) -> String {
    let what = match (tooth.attachment, tooth.hold) {
        (_, Hold::NotBonded | Hold::Absent(_)) | (None, _) => "",
        (Some(a), _) if a.band => ", band",
        (Some(a), _) if a.tube => ", tube",
        (Some(_), _) => ", bracket",
    };
    let state = picture::words(tooth.hold).unwrap_or("in the wire");
    format!("{}{what}, {state}", tooth.tooth.write(notation))
}
