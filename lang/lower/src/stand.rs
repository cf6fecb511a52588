//! Stands: where a tooth is against the arch line, from `tooth`, `reposition` and `bend` lines.

use super::plausible as p;
use super::read::LoweringContext;
use springline_model::stand::{Distance, Grade, InOut, Rotation, Stand, Turn, TurnGrade, UpDown};
use springline_model::stock::{Along, CrownTurn};
use springline_syntax::GRADES;
use springline_syntax::tree::FragmentMatch;
use springline_text::Span;

impl LoweringContext<'_> {
    /// All stands of a group; the same word twice is a finding.
    pub fn stand(&mut self, group: FragmentMatch<'_>) -> Stand {
        let mut stand = Stand::default();
        let mut said: Vec<(&'static str, Span)> = Vec::new();
        for part in parts(group) {
            let Some(word) = lead(part) else { continue };
            let key = axis(word);
            if let Some((_, first)) = said.iter().find(|(k, _)| *k == key) {
                let first = self.place(*first);
                self.said_twice(key_text(key), self.place(part.span()), Some(first));
                continue;
            }
            said.push((key, part.span()));
            stand = stand.updated(self.one_stand(part, word));
        }
        stand
    }

    fn one_stand(&mut self, part: FragmentMatch<'_>, word: &str) -> Stand {
        if part.name == "graded" {
            return graded(part, word);
        }
        let mut stand = Stand::default();
        match word {
            "labial" | "lingual" => {
                let way = if word == "labial" { InOut::Labial } else { InOut::Lingual };
                let length = part.hole("length").and_then(|h| self.length(h, p::DISPLACEMENT));
                stand.in_out = length.map(|l| (l.into(), way));
            }
            "gingival" | "occlusal" => {
                let way = if word == "gingival" { UpDown::Gingival } else { UpDown::Occlusal };
                let length = part.hole("length").and_then(|h| self.length(h, p::DISPLACEMENT));
                stand.up_down = length.map(|l| (l.into(), way));
            }
            "rotated" => {
                let way = if part.has("mesial-in") { Turn::MesialIn } else { Turn::MesialOut };
                stand.rotated = self.angle(part, p::ROTATION).map(|a| (a.into(), way));
            }
            "tipped" => {
                let way = if part.has("mesial") { Along::Mesial } else { Along::Distal };
                stand.tipped = self.angle(part, p::TIP).map(|a| (a, way));
            }
            "torque" => {
                stand.torque = self.angle(part, p::TORQUE_ANGLE).map(|a| (a, crown_turn(part)));
            }
            "width" => {
                stand.width = part.hole("length").and_then(|h| self.length(h, p::CROWN_WIDTH));
            }
            "space" => {
                stand.space = part.hole("length").and_then(|h| self.length(h, p::SPACE));
            }
            _ => {}
        }
        stand
    }

    pub fn angle(
        &mut self,
        part: FragmentMatch<'_>,
        place: p::Plausible,
    ) -> Option<springline_units::quantity::Angle> {
        let hole = part.hole("angle")?;
        self.figure(hole, place)?.angle()
    }
}

/// What a line says of one tooth's place, figures and words alike, in order.
pub(super) fn parts(group: FragmentMatch<'_>) -> Vec<FragmentMatch<'_>> {
    let mut parts: Vec<FragmentMatch<'_>> =
        group.groups("stand").chain(group.groups("graded")).collect();
    parts.sort_by_key(|p| p.span().start);
    parts
}

/// The word that says what a part is about, behind the one that grades it.
pub(super) fn lead(part: FragmentMatch<'_>) -> Option<&'static str> {
    part.words().find(|w| part.name != "graded" || !GRADES.contains(w))
}

/// `clearly palatal`, `rotated half mesial-in`.
fn graded(part: FragmentMatch<'_>, word: &str) -> Stand {
    let mut stand = Stand::default();
    let grade = Grade::ALL.into_iter().find(|g| part.has(g.word()));
    let distance = grade.map(Distance::Graded);
    match word {
        "labial" => stand.in_out = distance.map(|d| (d, InOut::Labial)),
        "lingual" => stand.in_out = distance.map(|d| (d, InOut::Lingual)),
        "gingival" => stand.up_down = distance.map(|d| (d, UpDown::Gingival)),
        "occlusal" => stand.up_down = distance.map(|d| (d, UpDown::Occlusal)),
        _ => {
            let way = if part.has("mesial-in") { Turn::MesialIn } else { Turn::MesialOut };
            let grade = TurnGrade::ALL.into_iter().find(|g| part.has(g.word()));
            stand.rotated = grade.map(|g| (Rotation::Graded(g), way));
        }
    }
    stand
}

/// Root to the tongue is crown to the lip.
pub fn crown_turn(group: FragmentMatch<'_>) -> CrownTurn {
    if group.has("crown-labial") || group.has("root-lingual") {
        CrownTurn::CrownLabial
    } else {
        CrownTurn::CrownLingual
    }
}

/// Labial and lingual are two directions of one stand.
pub(super) fn axis(word: &'static str) -> &'static str {
    match word {
        "lingual" => "labial",
        "occlusal" => "gingival",
        other => other,
    }
}

fn key_text(key: &str) -> &'static str {
    match key {
        "labial" => "How far the tooth is in or out",
        "gingival" => "How high the tooth is",
        "rotated" => "The rotation",
        "tipped" => "The tip",
        "torque" => "The torque",
        "width" => "The width",
        _ => "The space",
    }
}
