//! Standard wording for teeth, wire ends, elastics and auxiliaries: one term for each thing, used by
//! cards, drawings and tables alike.

use springline_course::{FadingPull, traction_rates};
use springline_model::Case;
use springline_model::case::ToothState;
use springline_model::force_left::ForceLeft;
use springline_model::stand::{Distance, InOut, Rotation, Stand, Turn, TurnGrade, UpDown};
use springline_model::step::{ActKind, Activation, Anchor, End, EndKind, Spot, Wing};
use springline_model::stock::{CrownTurn, Elastic};
use springline_model::traction::{TractionFirst, TractionTo};
use springline_units::quantity::{Force, degrees, grams, mm, newtons_to_grams, plain};
use springline_units::tooth::{Arch, Notation, Tooth};

/// "15–13, 11, 21–25": runs of three or more of one side are drawn together, never across the
/// midline, where a range is easily misread.
pub fn list(teeth: &[Tooth], notation: Notation) -> String {
    let mut sorted = teeth.to_vec();
    sorted.sort();
    sorted.dedup();
    let mut parts: Vec<String> = Vec::new();
    let mut i = 0;
    while let Some(first) = sorted.get(i).copied() {
        let mut j = i;
        while let Some(next) = sorted.get(j + 1)
            && sorted.get(j).is_some_and(|last| follows(*last, *next))
        {
            j += 1;
        }
        if let Some(last) = sorted.get(j).filter(|_| j >= i + 2) {
            parts.push(format!("{}\u{2013}{}", first.write(notation), last.write(notation)));
        } else {
            parts.extend(sorted.iter().take(j + 1).skip(i).map(|t| t.write(notation)));
        }
        i = j + 1;
    }
    parts.join(", ")
}

fn follows(last: Tooth, next: Tooth) -> bool {
    last.arch() == next.arch()
        && last.side() == next.side()
        && last.is_deciduous() == next.is_deciduous()
        && next.place() == last.place() + 1
}

/// In the order given: "13, then 12".
pub fn in_order(teeth: &[Tooth], notation: Notation) -> String {
    teeth.iter().map(|t| t.write(notation)).collect::<Vec<_>>().join(", ")
}

/// "a, b and c".
pub fn and(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [one] => one.clone(),
        [init @ .., last] => format!("{} and {last}", init.join(", ")),
    }
}

/// A capital first and a full stop last.
pub fn sentence(text: &str) -> String {
    format!("{}.", springline_text::capital(text.trim_end_matches('.')))
}

pub fn arch(arch: Arch) -> &'static str {
    match arch {
        Arch::Upper => "Upper",
        Arch::Lower => "Lower",
    }
}

/// "turned in with 2 mm of slack".
pub fn end(end: &End) -> String {
    let slack = end.slack.map(mm).filter(|s| *s > 0.0).map(plain);
    let kind = match (end.kind, slack) {
        (EndKind::Free, Some(slack)) => format!("left free, {slack} mm beyond the tube"),
        (EndKind::Free, None) => "left free".to_owned(),
        (EndKind::Flush, _) => "cut flush with the tube".to_owned(),
        (EndKind::TurnedIn, Some(slack)) => {
            format!("turned in lightly, {slack} mm behind the tube")
        }
        (EndKind::TurnedIn, None) => "turned in lightly".to_owned(),
        (EndKind::Cinched, Some(slack)) => format!("cinched, {slack} mm behind the tube"),
        (EndKind::Cinched, None) => "cinched tight to the tube".to_owned(),
    };
    if end.trimmed { format!("{kind}, trimmed") } else { kind }
}

/// "3/16 in, 4.5 oz".
pub fn elastic(elastic: &Elastic) -> String {
    match &elastic.size_text {
        Some(size) => format!("{size}, {}", elastic.force_text),
        None => elastic.force_text.clone(),
    }
}

/// "75 % after 24 h, 50 % after 4 wk".
pub fn force_left(left: &ForceLeft) -> String {
    let one = |(hours, share): &(f64, f64)| {
        format!("{} % after {}", plain((100.0 * share).round()), hours_text(*hours))
    };
    left.points().iter().map(one).collect::<Vec<_>>().join(", ")
}

/// "24 h", "5 wk".
fn hours_text(hours: f64) -> String {
    let (days, weeks) = (hours / 24.0, hours / 168.0);
    match hours {
        _ if weeks >= 1.0 && weeks.fract() == 0.0 => format!("{} wk", plain(weeks)),
        _ if days >= 2.0 && days.fract() == 0.0 => format!("{} d", plain(days)),
        _ => format!("{} h", plain(hours)),
    }
}

/// "fresh 200 g, 101 g on average over 5 wk, 100 g at the end".
pub fn pull(pull: &FadingPull) -> String {
    let g = |n: f64| format!("{} g", plain(newtons_to_grams(n).round()));
    format!(
        "fresh {}, {} on average over {}, {} at the end",
        g(pull.fresh_n),
        g(pull.mean_n),
        hours_text(pull.hours),
        g(pull.last_n)
    )
}

pub fn spot(spot: &Spot, notation: Notation) -> String {
    format!("{} of {}", spot.along.word(), spot.tooth.write(notation))
}

pub fn spots(spots: &[Spot], notation: Notation) -> String {
    let words: Vec<String> = spots.iter().map(|s| spot(s, notation)).collect();
    and(&words)
}

pub fn pair(a: Tooth, b: Tooth, notation: Notation) -> String {
    format!("between {} and {}", a.write(notation), b.write(notation))
}

pub fn anchor(anchor: Anchor, notation: Notation) -> String {
    match anchor {
        Anchor::Tooth(t) => t.write(notation),
        Anchor::Post(t) => format!("the post at {}", t.write(notation)),
        Anchor::Screw(t) => format!("the mini-screw at {}", t.write(notation)),
    }
}

/// Towards lip or cheek, palate or tongue, by jaw and tooth: never two names for one way.
pub fn in_out(way: InOut, tooth: Tooth) -> &'static str {
    match (way, tooth.arch(), tooth.is_anterior()) {
        (InOut::Labial, _, true) => "labial",
        (InOut::Labial, _, false) => "buccal",
        (InOut::Lingual, Arch::Upper, _) => "palatal",
        (InOut::Lingual, Arch::Lower, _) => "lingual",
    }
}

/// "2 mm palatal", or "clearly palatal (about 2 mm)" where somebody said it in a word.
fn distance(by: Distance, way: &str) -> String {
    let figure = plain(mm(by.length()));
    match by {
        Distance::Measured(_) => format!("{figure} mm {way}"),
        Distance::Graded(grade) => format!("{} {way} (about {figure} mm)", grade.word()),
    }
}

/// Arches whose positions were spread from their crowding: said wherever a figure of theirs stands.
pub fn patterns(case: &Case) -> Option<String> {
    let spread: Vec<String> = case
        .arches
        .iter()
        .filter_map(|a| {
            let (by, _) = a.crowding?;
            Some(format!(
                "{} arch: positions spread from crowding {} mm",
                arch(a.arch),
                plain(mm(by))
            ))
        })
        .collect();
    (!spread.is_empty()).then(|| format!("{}: a pattern, not this patient.", spread.join("; ")))
}

/// Teeth whose place was said in words, with the figures that are taken for them.
pub fn in_words(case: &Case) -> Option<String> {
    let n = case.house.notation.value;
    let coarse = |s: &Stand| {
        let places = [s.in_out.map(|(d, _)| d), s.up_down.map(|(d, _)| d)];
        places.into_iter().flatten().any(|d| d.error_mm().is_some())
            || s.rotated.is_some_and(|(r, _)| r.error_deg().is_some())
    };
    let all = case.arches.iter().flat_map(|a| &a.stands).filter(|(_, s)| coarse(&s.value));
    let teeth: Vec<String> =
        all.map(|(t, s)| format!("{} {}", t.write(n), stand(&s.value, *t))).collect();
    (!teeth.is_empty())
        .then(|| format!("Positions given in words, with wide ranges: {}.", teeth.join("; ")))
}

/// "0.5 mm gingival, tipped 5 deg mesial".
pub fn stand(stand: &Stand, tooth: Tooth) -> String {
    let mut parts = Vec::new();
    if let Some((by, way)) = stand.in_out {
        parts.push(distance(by, in_out(way, tooth)));
    }
    if let Some((by, way)) = stand.up_down {
        let word = match way {
            UpDown::Gingival => "gingival",
            UpDown::Occlusal => "occlusal",
        };
        parts.push(distance(by, word));
    }
    if let Some((by, way)) = stand.rotated {
        let word = match way {
            Turn::MesialIn => "mesial edge in",
            Turn::MesialOut => "mesial edge out",
        };
        let figure = plain(degrees(by.angle()));
        parts.push(match by {
            Rotation::Measured(_) => format!("rotated {figure} deg, {word}"),
            Rotation::Graded(TurnGrade::Across) => {
                format!("rotated right across, {word} (about {figure} deg)")
            }
            Rotation::Graded(grade) => {
                format!("{} rotated, {word} (about {figure} deg)", grade.word())
            }
        });
    }
    if let Some((by, way)) = stand.tipped {
        parts.push(format!("tipped {} deg {}", plain(degrees(by)), way.word()));
    }
    if let Some((by, way)) = stand.torque {
        parts.push(format!("{} deg torque, {}", plain(degrees(by)), crown(way, tooth)));
    }
    parts.join(", ")
}

/// What an unerupted tooth is pulled to.
pub fn traction_to(to: TractionTo, n: Notation) -> String {
    match to {
        TractionTo::Wire => "the base wire".to_owned(),
        TractionTo::PalatalArch => "the palatal arch".to_owned(),
        TractionTo::Screw(tooth) => format!("the mini-screw beside {}", tooth.write(n)),
        TractionTo::Tooth(tooth) => tooth.write(n),
    }
}

/// Grams of traction, as said or as is usual.
pub fn traction_g(force: Option<Force>) -> String {
    let said = force.map_or(traction_rates::USUAL_TRACTION_G, grams);
    format!("{} g", plain(said.round()))
}

/// The way a tooth has to go before it can come down, as one says it of that tooth.
pub fn first_way(way: TractionFirst, tooth: Tooth) -> &'static str {
    match way {
        TractionFirst::Mesial => "mesially (forwards)",
        TractionFirst::Distal => "distally (backwards)",
        TractionFirst::Labial => in_out(InOut::Labial, tooth),
        TractionFirst::Lingual => in_out(InOut::Lingual, tooth),
        TractionFirst::Gingival => "towards the gum",
        TractionFirst::Occlusal => "towards the bite",
    }
}

/// The way of a tooth from under the gum to its arch.
pub fn onto_the_arch(tooth: Tooth) -> &'static str {
    match tooth.arch() {
        Arch::Upper => "down",
        Arch::Lower => "up",
    }
}

/// What became of a tooth.
pub fn tooth_state(state: ToothState) -> String {
    match state {
        ToothState::Missing => "missing".to_owned(),
        ToothState::Extracted { on: Some(on) } => format!("extracted {on}"),
        ToothState::Extracted { on: None } => "extracted".to_owned(),
        ToothState::Extract { date, before: true } => format!("to be extracted before {date}"),
        ToothState::Extract { date, before: false } => format!("to be extracted on {date}"),
        ToothState::Unerupted => "unerupted".to_owned(),
        ToothState::Implant => "an implant".to_owned(),
        ToothState::Ankylosed => "ankylosed".to_owned(),
    }
}

pub fn crown(turn: CrownTurn, tooth: Tooth) -> String {
    let way = match turn {
        CrownTurn::CrownLabial => in_out(InOut::Labial, tooth),
        CrownTurn::CrownLingual => in_out(InOut::Lingual, tooth),
    };
    format!("crown {way}")
}

/// What a thing on wire or teeth is, as a phrase; `None` for what is not there to be seen.
pub fn thing(kind: &ActKind, n: Notation) -> Option<String> {
    Some(match kind {
        ActKind::Bypass { .. }
        | ActKind::Engage { wing: Wing::Both, .. }
        | ActKind::PickUp { .. }
        | ActKind::Rebond { .. }
        | ActKind::Trim { .. }
        | ActKind::HaltIf { .. }
        | ActKind::Records { .. }
        | ActKind::Note { .. }
        | ActKind::Engage { .. } => return None,
        ActKind::Reposition { teeth, .. } => format!("Brackets repositioned on {}", list(teeth, n)),
        ActKind::Piggyback { wire, within, over } => {
            let over_words = if over.is_empty() {
                String::new()
            } else {
                format!(", tied over {}", list(over, n))
            };
            format!("Piggyback wire {} in {}{over_words}", wire.name, list(within, n))
        }
        ActKind::Traction { teeth, by, to, .. } => {
            format!("Traction on {}, {} to {}", list(teeth, n), by.words(), traction_to(*to, n))
        }
        ActKind::OpenCoil { first, second, activation, .. } => {
            let rest = match activation {
                Activation::Passive => ", passive".to_owned(),
                Activation::Pressed { by, each_visit: true } => {
                    format!(", activated by {} mm at each visit", plain(mm(*by)))
                }
                _ => String::new(),
            };
            format!("Open coil {}{rest}", pair(*first, *second, n))
        }
        ActKind::ClosedCoil { first, second, hold, .. } => {
            let hold = hold.map(|l| format!(", holding {} mm", plain(mm(l)))).unwrap_or_default();
            format!("Passive coil {}{hold}", pair(*first, *second, n))
        }
        ActKind::ClosingCoil { pulls, .. } => {
            let all: Vec<String> = pulls
                .iter()
                .map(|(a, b)| format!("{} to {}", anchor(*a, n), anchor(*b, n)))
                .collect();
            format!("Closing spring {}", and(&all))
        }
        ActKind::Chain { teeth, .. } => format!("Chain on {}", list(teeth, n)),
        ActKind::Tie { teeth, figure_eight } => {
            let how = if *figure_eight { ", figure-eight" } else { "" };
            format!("Tied together {}{how}", list(teeth, n))
        }
        ActKind::Laceback { pairs } => {
            let all: Vec<String> =
                pairs.iter().map(|(a, b)| format!("{} to {}", a.write(n), b.write(n))).collect();
            format!("Laceback {}", and(&all))
        }
        ActKind::Sleeve { spans } => {
            let all: Vec<String> = spans.iter().map(|(a, b)| pair(*a, *b, n)).collect();
            format!("Sleeve {}", and(&all))
        }
        ActKind::BiteRaisers { teeth, .. } => format!("Bite raisers on {}", list(teeth, n)),
        ActKind::Reduce { amount, contacts } => {
            let all: Vec<String> =
                contacts.iter().map(|(a, b)| format!("{}/{}", a.write(n), b.write(n))).collect();
            format!("Interproximal reduction (IPR) {} mm at {}", plain(mm(*amount)), and(&all))
        }
        ActKind::Stop { spots: s } => match s.len() {
            1 => format!("Stop {}", spots(s, n)),
            _ => format!("Stops {}", spots(s, n)),
        },
        ActKind::Post { spots: s } => match s.len() {
            1 => format!("Post on the wire {}", spots(s, n)),
            _ => format!("Posts on the wire {}", spots(s, n)),
        },
        ActKind::PowerArm { teeth, height } => {
            let word = if teeth.len() == 1 { "Power arm" } else { "Power arms" };
            format!("{word} {} mm on {}", plain(mm(*height)), list(teeth, n))
        }
        ActKind::ReverseCurve { depth } => format!("Reverse curve {} mm", plain(mm(*depth))),
        ActKind::Bend { teeth, by } => {
            let way = teeth.first().map(|t| stand(by, *t)).unwrap_or_default();
            format!("Bend at {}: {way}", list(teeth, n))
        }
        ActKind::Torque { teeth, angle, turn } => {
            let way = teeth.first().map(|t| crown(*turn, *t)).unwrap_or_default();
            format!("Torque {} deg at {}, {way}", plain(degrees(*angle)), list(teeth, n))
        }
        ActKind::Coordinated => "Wires coordinated upper to lower".to_owned(),
        ActKind::Sectional { teeth } => format!("Sectional wire on {} only", list(teeth, n)),
        ActKind::Separators { teeth, .. } => format!("Separators at {}", list(teeth, n)),
        ActKind::Hold { teeth, length } => {
            format!("Space of {} mm held for {}", plain(mm(*length)), list(teeth, n))
        }
    })
}

/// What a repair was, as a phrase; `None` for what nobody has to look at again.
pub fn repaired(kind: &ActKind, n: Notation) -> Option<String> {
    Some(match kind {
        ActKind::Rebond { teeth, .. } => format!("bracket back on {}", list(teeth, n)),
        ActKind::Trim { teeth } => format!("wire cut back behind {}", list(teeth, n)),
        ActKind::Bypass { teeth, .. } => format!("{} left out of the wire", list(teeth, n)),
        ActKind::Engage { teeth, .. } => format!("{} back in the wire", list(teeth, n)),
        ActKind::PickUp { teeth, .. } => format!("bracket on {}", list(teeth, n)),
        ActKind::Note { text } => crate::masked(text),
        other => {
            let text = thing(other, n)?;
            text.chars().next().map(|c| c.to_lowercase().collect::<String>()).unwrap_or_default()
                + text.get(1..).unwrap_or_default()
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn teeth(codes: &[u32]) -> Vec<Tooth> {
        codes.iter().filter_map(|c| Tooth::iso(*c)).collect()
    }

    #[test]
    fn runs_stop_at_the_midline() {
        let all = teeth(&[15, 14, 13, 11, 21, 22, 23, 24]);
        assert_eq!(list(&all, Notation::Iso), "15\u{2013}13, 11, 21\u{2013}24");
        assert_eq!(list(&teeth(&[12, 11]), Notation::Iso), "12, 11");
        assert_eq!(list(&teeth(&[33, 43]), Notation::Universal), "#27, #22");
    }

    #[test]
    fn ways_are_named_by_jaw_and_tooth() {
        let t = |c| Tooth::iso(c).unwrap();
        assert_eq!(in_out(InOut::Lingual, t(12)), "palatal");
        assert_eq!(in_out(InOut::Lingual, t(42)), "lingual");
        assert_eq!(in_out(InOut::Labial, t(15)), "buccal");
    }
}
