//! Short explanations of the language's words, for `explain` and hover.

/// What a word means in a statement, where the statement's own sentence does not say it.
pub fn meaning(statement: &str, word: &str) -> Option<&'static str> {
    // A coil says of itself what a wire says too, and means something else.
    match (statement, word) {
        ("coil", "open") => return Some("Makes a space: it pushes."),
        ("coil", "passive") => return Some("Holds a space: it neither pushes nor pulls."),
        ("coil", "closing-spring") => {
            return Some("Pulls a space closed; suppliers often sell it as a \"closed coil\".");
        }
        ("open-coil", "passive") => return Some("Placed without activation."),
        _ => {}
    }
    let found = MEANINGS.iter().find(|(known, _)| *known == word)?;
    Some(found.1)
}

/// A drawing in letters of what is hard to say, for `explain` and hover: a tooth of the patient's right side from the
/// bite, as the pictures show it.
pub fn sketch(word: &str) -> Option<&'static str> {
    match word {
        "mesial-in" | "distal-out" => Some(MESIAL_IN),
        "mesial-out" | "distal-in" => Some(MESIAL_OUT),
        _ => None,
    }
}

const MESIAL_IN: &str = "\
  a right upper tooth from the bite

       lip or cheek
  distal o.            :
           `-.         : midline
              `-.      :
                 `o mesial
    tongue or palate
";

const MESIAL_OUT: &str = "\
  a right upper tooth from the bite

       lip or cheek
                 .o mesial
              .-'      :
           .-'         : midline
  distal o'            :
    tongue or palate
";

const MEANINGS: &[(&str, &str)] = &[
    ("labial", "Towards the lip or cheek; `buccal` is read as the same."),
    ("lingual", "Towards the tongue; written `palatal` in the upper arch."),
    ("palatal", "Towards the palate: the upper arch's `lingual`."),
    ("gingival", "Towards the gingiva: a high tooth in the upper arch, a low one in the lower."),
    ("occlusal", "Towards the occlusal plane: an over-erupted tooth."),
    ("rotated", "Rotated about its long axis, seen from the occlusal side."),
    (
        "mesial-in",
        "Rotated with its mesial edge in: the edge next to the midline is towards the tongue or palate, the far \
         edge towards the lip or cheek. The same as distal-out.",
    ),
    (
        "mesial-out",
        "Rotated with its mesial edge out: the edge next to the midline is towards the lip or cheek, the far \
         edge towards the tongue or palate. The same as distal-in.",
    ),
    (
        "slightly",
        "For those who do not measure: about 1 mm out of line (0.5 to 1.5), or rotated by about 15 degrees (7.5 \
         to 22.5). Common practice, no source.",
    ),
    (
        "clearly",
        "For those who do not measure: about 2 mm out of line (1 to 3). Common practice, no source.",
    ),
    (
        "fully",
        "For those who do not measure: about 4 mm out of line (2.5 to 5.5), completely behind or in front of \
         the others. Common practice, no source.",
    ),
    (
        "half",
        "For those who do not measure: rotated by about 45 degrees (30 to 60). Common practice, no source.",
    ),
    (
        "across",
        "For those who do not measure: rotated right across the arch, about 90 degrees (70 to 110). Common \
         practice, no source.",
    ),
    (
        "crowding",
        "The space that an arch lacks. Where no single teeth are described, a typical pattern is spread over \
         the anterior teeth: laterals lingual or palatal with their mesial edge in, canines labial, centrals in \
         line (common practice, no source). It is a pattern, not this patient: all figures of such an arch have \
         wide ranges.",
    ),
    ("tipped", "Inclined along the arch, mesially or distally."),
    ("mesial", "Towards the midline."),
    ("distal", "Away from the midline."),
    ("torque", "Rotated about the line of the arch."),
    (
        "crown-labial",
        "The crown towards the lip, the root towards the tongue. A figure without a sign in prescription tables.",
    ),
    (
        "crown-lingual",
        "The crown towards the tongue, the root towards the lip. A figure with a minus sign in prescription \
         tables.",
    ),
    ("root-labial", "The root towards the lip: the same as crown-lingual."),
    ("root-lingual", "The root towards the tongue: the same as crown-labial."),
    (
        "overjet",
        "How far the upper incisors are in front of the lower incisors, measured along the occlusal plane.",
    ),
    (
        "reverse-overjet",
        "How far the lower incisors are in front of the upper incisors: an overjet below zero.",
    ),
    ("overbite", "How far the upper incisors overlap the lower incisors."),
    ("open-bite", "The vertical gap between upper and lower incisors: an overbite below zero."),
    (
        "class-1",
        "The lower first molar (or canine) meets the upper one as it should: half a tooth in front of it.",
    ),
    ("class-2", "The lower teeth are farther back than they should be; the amount is in mm."),
    ("class-3", "The lower teeth are farther forward than they should be; the amount is in mm."),
    ("patient-right", "The patient's own right, on the left of anyone facing them."),
    ("patient-left", "The patient's own left, on the right of anyone facing them."),
    ("except", "Leaves teeth out of those listed before: `15..25 except 12`."),
    (
        "limit",
        "A figure of the practice: a finding is a warning above the first figure and an error above the second.",
    ),
    ("width", "The size along the arch."),
    (
        "space",
        "The space available for a tooth between its two neighbours, along the arch; less than its width is a \
         shortage of space.",
    ),
    ("gap", "An open space between two neighbouring teeth."),
    (
        "overlap",
        "Two neighbouring crowns take the same place along the arch: their middles are so much nearer than half of both \
         widths.",
    ),
    ("within", "Within this distance of its place on the arch line."),
    ("wire", "The wire in place during the step; `keep` keeps the one already in place."),
    ("keep", "The wire of the previous step stays in place."),
    ("tandem", "A second wire in the same slots."),
    ("ends", "How the wire ends behind the last tooth."),
    ("free", "The end is left long and can slide."),
    ("flush", "Cut at the tube; it can slide."),
    ("turned-in", "Bent lightly towards the tongue; the wire still slides."),
    ("cinched", "Bent tight behind the tube: the wire does not slide forward."),
    ("slack", "Wire left between the tube and the bend."),
    ("trimmed", "The end is cut shorter than supplied."),
    ("until", "What must be true for the step to end."),
    ("passive", "The wire is no longer active and slides freely."),
    ("doctor-decides", "No condition: the doctor decides."),
    ("expressed", "The wire has had its time to express."),
    ("express", "How long a wire is in place before anything pulls on it."),
    ("next", "When the patient is seen next."),
    ("computed", "The forecast dates the visit."),
    ("unbonded", "Without a bracket for now."),
    ("kept", "The wire stayed in place."),
    ("same-wire", "Removed, cleaned and replaced."),
    ("now", "The step that starts at this visit, with the wire that was placed."),
    ("binds", "The wire does not slide freely at these teeth."),
    ("force", "The force as stated by the manufacturer or the practice."),
    ("stroke", "How far it works from its rest length."),
    ("activated", "How far it is compressed or stretched when placed."),
    ("edge", "Radius of the wire's corners."),
    (
        "inverted",
        "The bracket is bonded inverted (rotated 180 deg): its torque acts the other way.",
    ),
    ("figure-eight", "The ligature crosses between the teeth."),
];

#[cfg(test)]
mod tests {
    use super::*;
    use springline_model::stand::{Grade, TurnGrade};

    /// The sentences say the figures that the words are taken as.
    #[test]
    fn graded_words_tell_their_figures() {
        for grade in Grade::ALL {
            let (mm, error) = grade.mm();
            let text = meaning("", grade.word()).unwrap();
            assert!(
                text.contains(&format!("{mm} mm out of line ({} to {})", mm - error, mm + error)),
                "{text}"
            );
        }
        for grade in TurnGrade::ALL {
            let (deg, error) = grade.degrees();
            let text = meaning("", grade.word()).unwrap();
            assert!(
                text.contains(&format!("{deg} degrees ({} to {})", deg - error, deg + error)),
                "{text}"
            );
        }
    }

    #[test]
    fn every_meaning_is_a_sentence_and_no_word_has_two() {
        let mut words: Vec<&str> = MEANINGS.iter().map(|(word, _)| *word).collect();
        assert!(MEANINGS.iter().all(|(_, text)| text.ends_with('.')));
        words.sort_unstable();
        let count = words.len();
        words.dedup();
        assert_eq!(words.len(), count);
    }
}
