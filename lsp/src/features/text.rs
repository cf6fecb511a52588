//! Small texts that several features share.

use springline_lang::course::TimeBand;
use springline_lang::model::quantity::{inches, mm, newtons_to_grams};
use springline_lang::model::stock::{Section, Wire};
use springline_lang::model::tooth::{Notation, Tooth};

/// What words inside statements mean, where the statement's own sentence does not say it.
pub fn meaning(statement: &str, word: &str) -> Option<&'static str> {
    // A coil says of itself what a wire says too, and means something else.
    match (statement, word) {
        ("coil", "open") => return Some("makes a space: it pushes"),
        ("coil", "passive") => return Some("keeps a space: it neither pushes nor pulls"),
        ("coil", "closing-spring") => {
            return Some("pulls a space closed; suppliers often call it a passive coil");
        }
        ("open-coil", "passive") => return Some("put in without being pressed"),
        _ => {}
    }
    let found = MEANINGS.iter().find(|(known, _)| *known == word)?;
    Some(found.1)
}

const MEANINGS: &[(&str, &str)] = &[
    ("labial", "towards the lip or cheek; `buccal` is read as the same"),
    ("lingual", "towards the tongue; written `palatal` in the upper arch"),
    ("palatal", "towards the palate: the upper arch's `lingual`"),
    ("gingival", "towards the gingiva: a high tooth, in either arch"),
    ("occlusal", "towards the occlusal plane"),
    ("rotated", "rotated about its long axis"),
    ("mesial-in", "the mesial edge is rotated inwards; the same as distal-out"),
    ("mesial-out", "the mesial edge is rotated outwards; the same as distal-in"),
    ("tipped", "inclined along the arch, mesially or distally"),
    ("mesial", "towards the midline"),
    ("distal", "away from the midline"),
    ("torque", "rotated about the line of the arch"),
    ("crown-labial", "the crown towards the lip, the root towards the tongue"),
    ("crown-lingual", "the crown towards the tongue, the root towards the lip"),
    ("root-labial", "the root towards the lip: the same as crown-lingual"),
    ("root-lingual", "the root towards the tongue: the same as crown-labial"),
    ("width", "the size along the arch"),
    ("space", "the space available for a tooth between its neighbours"),
    ("wire", "the wire in place during the step; `keep` keeps the one already in place"),
    ("keep", "the wire of the previous step stays in place"),
    ("tandem", "a second wire in the same slots"),
    ("ends", "how the wire ends behind the last tooth"),
    ("free", "the end is left long and can slide"),
    ("flush", "cut at the tube; it can slide"),
    ("turned-in", "bent lightly towards the tongue; the wire still slides"),
    ("cinched", "bent tight behind the tube: the wire does not slide forward"),
    ("slack", "wire left between the tube and the bend"),
    ("trimmed", "the end is cut shorter than supplied"),
    ("until", "what must be true for the step to end"),
    ("passive", "the wire is no longer active and slides freely"),
    ("doctor-decides", "no condition: the doctor decides"),
    ("expressed", "the wire has had its time to express"),
    ("express", "how long a wire is in place before anything pulls on it"),
    ("next", "when the patient is seen next"),
    ("computed", "the forecast dates the visit"),
    ("unbonded", "without a bracket for now"),
    ("kept", "the wire stayed in place"),
    ("same-wire", "removed, cleaned and replaced"),
    ("now", "the step that starts at this visit, with the wire that was placed"),
    ("binds", "the wire does not slide freely at these teeth"),
    ("force", "the force as stated by the manufacturer or the practice"),
    ("stroke", "how far it works from its rest length"),
    ("activated", "how far it is compressed or stretched when placed"),
    ("edge", "radius of the wire's corners"),
    ("inverted", "the bracket is bonded inverted (rotated 180 deg): its torque acts the other way"),
    ("figure-eight", "the ligature crosses between the teeth"),
];

/// "0.014 in (0.356 mm) round".
pub fn section(wire: &Wire) -> String {
    let two = |a, b| format!("{:.3} x {:.3} mm", mm(a), mm(b));
    match wire.section {
        Section::Round { diameter } => {
            format!(
                "{} round ({:.3} in, {:.3} mm)",
                wire.section_text,
                inches(diameter),
                mm(diameter)
            )
        }
        Section::Square { side } => {
            format!("{} square ({})", wire.section_text, two(side, side))
        }
        Section::Rect { height, depth } => {
            format!("{} ({})", wire.section_text, two(height, depth))
        }
    }
}

/// "43 g": whole grams, as nobody feels less.
pub fn grams(newtons: f64) -> String {
    format!("{:.0} g", newtons_to_grams(newtons))
}

/// "9 wk (6 to 14), about 2026-11-16".
pub fn band(band: &TimeBand) -> String {
    let mut out = band.weeks();
    if let Some([_, median, _]) = band.dates {
        out.push_str(&format!(", about {median}"));
    }
    out
}

/// Teeth as this practice writes them.
pub fn teeth(teeth: &[Tooth], notation: Notation) -> String {
    teeth.iter().map(|t| t.write(notation)).collect::<Vec<_>>().join(", ")
}
