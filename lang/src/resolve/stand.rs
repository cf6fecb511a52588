//! Stands: where a tooth is against the arch line, from `tooth`, `reposition` and `bend` lines.

use super::plausible as p;
use super::read::Reader;
use crate::finding::Span;
use crate::model::stand::{InOut, Stand, Turn, UpDown};
use crate::model::stock::{Along, CrownTurn};
use crate::syntax::tree::Group;

impl Reader<'_> {
    /// All stands of a group; the same word twice is a finding.
    pub fn stand(&mut self, group: Group<'_>) -> Stand {
        let mut stand = Stand::default();
        let mut said: Vec<(&'static str, Span)> = Vec::new();
        for part in group.groups("stand") {
            let Some(word) = part.word() else { continue };
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

    fn one_stand(&mut self, part: Group<'_>, word: &str) -> Stand {
        let mut stand = Stand::default();
        match word {
            "labial" | "lingual" => {
                let way = if word == "labial" { InOut::Labial } else { InOut::Lingual };
                let length = part.hole("length").and_then(|h| self.length(h, p::DISPLACEMENT));
                stand.in_out = length.map(|l| (l, way));
            }
            "gingival" | "occlusal" => {
                let way = if word == "gingival" { UpDown::Gingival } else { UpDown::Occlusal };
                let length = part.hole("length").and_then(|h| self.length(h, p::DISPLACEMENT));
                stand.up_down = length.map(|l| (l, way));
            }
            "rotated" => {
                let way = if part.has("mesial-in") { Turn::MesialIn } else { Turn::MesialOut };
                stand.rotated = self.angle(part, p::ROTATION).map(|a| (a, way));
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

    pub fn angle(&mut self, part: Group<'_>, place: p::Plausible) -> Option<crate::model::Angle> {
        let hole = part.hole("angle")?;
        self.figure(hole, place)?.angle()
    }
}

/// Root to the tongue is crown to the lip.
pub fn crown_turn(group: Group<'_>) -> CrownTurn {
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
