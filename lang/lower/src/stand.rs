//! Lowers tooth positions, from `tooth`, `reposition` and `bend` lines.

use super::plausible as p;
use super::read::LoweringContext;
use super::word_values;
use springline_model::stand::{Distance, InOut, Rotation, Stand, StandAxis, UpDown};
use springline_syntax::ast::{
    DirectionWord, GradedPart, LengthField, PartList, PositionPart, StandPart,
};
use springline_text::Span;

impl LoweringContext<'_> {
    /// The position details of a tooth, in figures or in words; a duplicate is a finding.
    pub fn position(&mut self, parts: PartList<'_, PositionPart<'_>>) -> Stand {
        self.stands(parts.spanned().collect())
    }

    /// The position details of a tooth, in figures.
    pub fn stand(&mut self, parts: PartList<'_, StandPart<'_>>) -> Stand {
        let parts = parts.spanned().map(|(span, part)| (span, PositionPart::Stand(part)));
        self.stands(parts.collect())
    }

    fn stands(&mut self, parts: Vec<(Span, PositionPart<'_>)>) -> Stand {
        let mut stand = Stand::default();
        let mut said: Vec<(StandAxis, Span)> = Vec::new();
        for (span, part) in parts {
            let axis = stand_axis(part);
            if let Some((_, first)) = said.iter().find(|(known, _)| *known == axis) {
                let first = self.place(*first);
                self.said_twice(axis.says(), self.place(span), Some(first));
                continue;
            }
            said.push((axis, span));
            stand = stand.updated(match part {
                PositionPart::Stand(part) => self.one_stand(part),
                PositionPart::Graded(part) => graded(part),
            });
        }
        stand
    }

    fn one_stand(&mut self, part: StandPart<'_>) -> Stand {
        let mut stand = Stand::default();
        match part {
            StandPart::Labial(length) => stand.in_out = self.in_out(length, InOut::Labial),
            StandPart::Lingual(length) => stand.in_out = self.in_out(length, InOut::Lingual),
            StandPart::Gingival(length) => stand.up_down = self.up_down(length, UpDown::Gingival),
            StandPart::Occlusal(length) => stand.up_down = self.up_down(length, UpDown::Occlusal),
            StandPart::Rotated { angle, turn } => {
                let angle = self.angle(angle, p::ROTATION);
                stand.rotated = angle.map(|a| (a.into(), word_values::turn(turn)));
            }
            StandPart::Tipped { angle, along } => {
                stand.tipped = self.angle(angle, p::TIP).map(|a| (a, word_values::along(along)));
            }
            StandPart::Torque { angle, crown } => {
                let angle = self.angle(angle, p::TORQUE_ANGLE);
                stand.torque = angle.map(|a| (a, word_values::crown_turn(crown)));
            }
            StandPart::Width(length) => stand.width = self.length(length, p::CROWN_WIDTH),
            StandPart::Space(length) => stand.space = self.length(length, p::SPACE),
        }
        stand
    }

    fn in_out(&mut self, length: LengthField<'_>, way: InOut) -> Option<(Distance, InOut)> {
        self.length(length, p::DISPLACEMENT).map(|l| (l.into(), way))
    }

    fn up_down(&mut self, length: LengthField<'_>, way: UpDown) -> Option<(Distance, UpDown)> {
        self.length(length, p::DISPLACEMENT).map(|l| (l.into(), way))
    }
}

/// `clearly palatal`, `rotated half mesial-in`.
fn graded(part: GradedPart) -> Stand {
    let mut stand = Stand::default();
    match part {
        GradedPart::Grade { grade, direction } => {
            let distance = Distance::Graded(word_values::grade(grade));
            match direction {
                DirectionWord::Labial => stand.in_out = Some((distance, InOut::Labial)),
                DirectionWord::Lingual => stand.in_out = Some((distance, InOut::Lingual)),
                DirectionWord::Gingival => stand.up_down = Some((distance, UpDown::Gingival)),
                DirectionWord::Occlusal => stand.up_down = Some((distance, UpDown::Occlusal)),
            }
        }
        GradedPart::Rotated { turn_grade, turn } => {
            let rotation = Rotation::Graded(word_values::turn_grade(turn_grade));
            stand.rotated = Some((rotation, word_values::turn(turn)));
        }
    }
    stand
}

/// What a part of a tooth's place is about.
pub fn stand_axis(part: PositionPart<'_>) -> StandAxis {
    match part {
        PositionPart::Stand(part) => match part {
            StandPart::Labial(_) | StandPart::Lingual(_) => StandAxis::InOut,
            StandPart::Gingival(_) | StandPart::Occlusal(_) => StandAxis::UpDown,
            StandPart::Rotated { .. } => StandAxis::Rotation,
            StandPart::Tipped { .. } => StandAxis::Tip,
            StandPart::Torque { .. } => StandAxis::Torque,
            StandPart::Width(_) => StandAxis::Width,
            StandPart::Space(_) => StandAxis::Space,
        },
        PositionPart::Graded(GradedPart::Grade { direction, .. }) => match direction {
            DirectionWord::Labial | DirectionWord::Lingual => StandAxis::InOut,
            DirectionWord::Gingival | DirectionWord::Occlusal => StandAxis::UpDown,
        },
        PositionPart::Graded(GradedPart::Rotated { .. }) => StandAxis::Rotation,
    }
}
