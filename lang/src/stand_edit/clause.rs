//! One part of a tooth's stand in the words of the language.

use springline_model::stand::StandAxis;
use springline_syntax::vocabulary::direction_word;
use springline_units::quantity::plain;
use springline_units::tooth::Tooth;

/// "palatal 2.4 mm", "rotated 25 deg mesial-in", as the formatter writes it of that tooth. `figure` is signed (see
/// [`springline_model::stand::Stand::figure`]).
pub fn stand_clause(axis: StandAxis, figure: f64, tooth: Tooth) -> String {
    let size = plain(figure.abs());
    let pick = |plus, minus| if figure >= 0.0 { plus } else { minus };
    let by_tooth = |word| direction_word(word, &[tooth]);
    match axis {
        StandAxis::InOut => format!("{} {size} mm", by_tooth(pick("lingual", "labial"))),
        StandAxis::UpDown => format!("{} {size} mm", pick("gingival", "occlusal")),
        StandAxis::Rotation => format!("rotated {size} deg {}", pick("mesial-in", "mesial-out")),
        StandAxis::Tip => format!("tipped {size} deg {}", pick("mesial", "distal")),
        StandAxis::Torque => {
            format!("torque {size} deg {}", by_tooth(pick("crown-lingual", "crown-labial")))
        }
        StandAxis::Width => format!("width {size} mm"),
        StandAxis::Space => format!("space {size} mm"),
    }
}
