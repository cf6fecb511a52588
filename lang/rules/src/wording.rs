//! Wording of findings: teeth in the practice's notation, figures rounded as a person would write them.

use springline_model::case::Case;
use springline_model::case::ElasticsKind;
use springline_model::stock::Along;
use springline_units::quantity::Force;
use springline_units::quantity::{grams, plain};
use springline_units::tooth::{Notation, Tooth};

/// Wording in the notation of one practice.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    notation: Notation,
}

impl Words {
    pub fn of(case: &Case) -> Words {
        Words { notation: case.house.notation.value }
    }

    pub fn tooth(self, tooth: Tooth) -> String {
        tooth.write(self.notation)
    }

    /// "13", "13 and 12", "13, 12 and 22".
    pub fn teeth(self, teeth: &[Tooth]) -> String {
        listed(&teeth.iter().map(|t| self.tooth(*t)).collect::<Vec<_>>())
    }

    /// As a statement lists them: "13, 12, 22".
    pub fn list(self, teeth: &[Tooth]) -> String {
        teeth.iter().map(|t| self.tooth(*t)).collect::<Vec<_>>().join(", ")
    }

    /// "mesial of 11", as a statement and as a sentence.
    pub fn spot(self, along: Along, tooth: Tooth) -> String {
        format!("{} of {}", along.word(), self.tooth(tooth))
    }
}

/// "a", "a and b", "a, b and c".
pub fn listed(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

pub use springline_units::quantity::tenth;

/// A figure and the limit it passed, with as few digits as tell them apart: never "75 g; the limit is 75 g".
pub fn apart(value: f64, limit: f64) -> (f64, f64) {
    let rounded = |digits: i32| {
        let scale = 10f64.powi(digits);
        ((value * scale).round() / scale, (limit * scale).round() / scale)
    };
    (0..3).map(rounded).find(|(value, limit)| value != limit).unwrap_or_else(|| rounded(3))
}

/// "2.5 mm".
pub fn say_mm(value: f64) -> String {
    format!("{} mm", plain(tenth(value)))
}

/// "120 g" of a force.
pub fn say_force(value: Force) -> String {
    format!("{} g", plain(grams(value).round()))
}

/// "20 deg".
pub fn say_deg(value: f64) -> String {
    format!("{} deg", plain(value.round()))
}

/// Days as weeks to a half: "9.5 wk".
pub fn say_weeks(days: f64) -> String {
    match weeks(days) {
        0.0 if days > 0.0 => "less than half a week".to_owned(),
        weeks => format!("{} wk", plain(weeks)),
    }
}

/// Weeks to a half.
pub fn weeks(days: f64) -> f64 {
    let rounded = (days / 7.0 * 2.0).round() / 2.0;
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// A ratio in words: "1.6 times".
pub fn say_times(value: f64) -> String {
    format!("{} times", plain(tenth(value)))
}

/// Elastics at the head of a sentence, as the trade writes their class: "Class II", "Triangle".
pub fn sentence_name(kind: ElasticsKind) -> String {
    match kind {
        ElasticsKind::Class2 => "Class II".to_owned(),
        ElasticsKind::Class3 => "Class III".to_owned(),
        other => springline_text::capital(other.word()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_sentences() {
        let of = |codes: &[u32]| codes.iter().filter_map(|c| Tooth::iso(*c)).collect::<Vec<_>>();
        let words = Words { notation: Notation::Iso };
        assert_eq!(words.teeth(&of(&[13])), "13");
        assert_eq!(words.teeth(&of(&[13, 12, 22])), "13, 12 and 22");
        let words = Words { notation: Notation::Universal };
        assert_eq!(words.teeth(&of(&[13, 23])), "#6 and #11");
    }

    #[test]
    fn a_figure_and_its_limit_never_read_the_same() {
        assert_eq!(apart(84.2, 75.0), (84.0, 75.0));
        assert_eq!(apart(75.3, 75.0), (75.3, 75.0));
        assert_eq!(apart(75.04, 75.0), (75.04, 75.0));
        assert_eq!(apart(299.6, 300.2), (299.6, 300.2));
    }

    #[test]
    fn figures_are_rounded_as_they_are_spoken() {
        assert_eq!(say_mm(2.4499), "2.4 mm");
        assert_eq!(say_mm(-0.01), "0 mm");
        assert_eq!(say_weeks(66.0), "9.5 wk");
        assert_eq!(say_weeks(-1.0), "0 wk");
    }
}
