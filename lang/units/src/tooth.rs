//! Teeth, their three notations, and their order along the arch.

use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

/// Which jaw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Arch {
    Upper,
    Lower,
}

impl Arch {
    pub const BOTH: [Arch; 2] = [Arch::Upper, Arch::Lower];

    pub fn other(self) -> Arch {
        match self {
            Arch::Upper => Arch::Lower,
            Arch::Lower => Arch::Upper,
        }
    }

    pub const fn word(self) -> &'static str {
        match self {
            Arch::Upper => "upper",
            Arch::Lower => "lower",
        }
    }
}

impl fmt::Display for Arch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// The patient's own side, always.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    Right,
    Left,
}

impl Side {
    pub fn word(self) -> &'static str {
        match self {
            Side::Right => "right",
            Side::Left => "left",
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// How a practice writes teeth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Default)]
#[serde(rename_all = "lowercase")]
pub enum Notation {
    /// ISO 3950: quadrant digit, then position from the midline.
    #[default]
    Iso,
    /// UR3: quadrant letters, then position.
    Quadrant,
    /// #6: counted from the upper right third molar round to the lower right.
    Universal,
}

/// A tooth that exists: permanent 11-48, deciduous 51-85.
///
/// Ordered along the arch from the patient's right to left, upper arch first, so a sorted list
/// reads as the arch does on a card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tooth {
    /// 1-4 permanent, 5-8 deciduous; ISO 3950 quadrant.
    quadrant: u8,
    /// 1-8, or 1-5 deciduous; from the midline.
    position: u8,
}

impl Tooth {
    /// From the two digits of ISO 3950; `None` where no such tooth exists.
    pub fn iso(code: u32) -> Option<Tooth> {
        let (quadrant, position) = (code / 10, code % 10);
        let last = match quadrant {
            1..=4 => 8,
            5..=8 => 5,
            _ => return None,
        };
        if (1..=last).contains(&position) {
            Some(Tooth { quadrant: quadrant as u8, position: position as u8 })
        } else {
            None
        }
    }

    /// From the number after `#`, 1 to 32.
    pub fn universal(number: u32) -> Option<Tooth> {
        let (quadrant, position) = match number {
            1..=8 => (1, 9 - number),
            9..=16 => (2, number - 8),
            17..=24 => (3, 25 - number),
            25..=32 => (4, number - 24),
            _ => return None,
        };
        Tooth::iso(quadrant * 10 + position)
    }

    /// From the letter after `#`, A to T: deciduous teeth in the same order.
    pub fn universal_letter(letter: char) -> Option<Tooth> {
        let index = (letter as u32).checked_sub('A' as u32)?;
        let (quadrant, position) = match index {
            0..=4 => (5, 5 - index),
            5..=9 => (6, index - 4),
            10..=14 => (7, 15 - index),
            15..=19 => (8, index - 14),
            _ => return None,
        };
        Tooth::iso(quadrant * 10 + position)
    }

    /// Parses any notation: `13`, `UR3`, `URC`, `#6`, `#A`. Case is ignored.
    pub fn parse(text: &str) -> Option<Tooth> {
        if let Some(rest) = text.strip_prefix('#') {
            if let Ok(number) = rest.parse::<u32>() {
                return Tooth::universal(number);
            }
            let mut letters = rest.chars();
            return match (letters.next(), letters.next()) {
                (Some(c), None) => Tooth::universal_letter(c.to_ascii_uppercase()),
                _ => None,
            };
        }
        if text.len() == 2
            && let Ok(code) = text.parse::<u32>()
        {
            return Tooth::iso(code);
        }
        let upper = text.to_ascii_uppercase();
        let mut chars = upper.chars();
        let jaw = chars.next()?;
        let side = chars.next()?;
        let last = chars.next()?;
        if chars.next().is_some() {
            return None;
        }
        let quadrant = match (jaw, side) {
            ('U', 'R') => 1,
            ('U', 'L') => 2,
            ('L', 'L') => 3,
            ('L', 'R') => 4,
            _ => return None,
        };
        if let Some(position) = last.to_digit(10) {
            return Tooth::iso(quadrant * 10 + position);
        }
        let position = (last as u32).checked_sub('A' as u32)? + 1;
        if position > 5 {
            return None;
        }
        Tooth::iso((quadrant + 4) * 10 + position)
    }

    pub fn code(self) -> u32 {
        u32::from(self.quadrant) * 10 + u32::from(self.position)
    }

    pub fn arch(self) -> Arch {
        match self.quadrant {
            1 | 2 | 5 | 6 => Arch::Upper,
            _ => Arch::Lower,
        }
    }

    pub fn side(self) -> Side {
        match self.quadrant {
            1 | 4 | 5 | 8 => Side::Right,
            _ => Side::Left,
        }
    }

    /// 1 at the midline to 8.
    pub fn position(self) -> u8 {
        self.position
    }

    pub fn is_deciduous(self) -> bool {
        self.quadrant > 4
    }

    /// Incisors and canines.
    pub fn is_anterior(self) -> bool {
        self.position <= 3
    }

    pub fn is_incisor(self) -> bool {
        self.position <= 2
    }

    pub fn is_molar(self) -> bool {
        if self.is_deciduous() { self.position >= 4 } else { self.position >= 6 }
    }

    /// The same tooth on the other side of the mouth.
    pub fn mirror(self) -> Tooth {
        let quadrant = match self.quadrant {
            1 => 2,
            2 => 1,
            3 => 4,
            4 => 3,
            5 => 6,
            6 => 5,
            7 => 8,
            _ => 7,
        };
        Tooth { quadrant, ..self }
    }

    /// The permanent place in the arch, 0 (patient's right third molar) to 15.
    pub fn place(self) -> usize {
        let position = usize::from(self.position);
        match self.side() {
            Side::Right => 8 - position,
            Side::Left => 7 + position,
        }
    }

    /// The permanent tooth at a place, 0 to 15 from the patient's right.
    pub fn at(arch: Arch, place: usize) -> Option<Tooth> {
        let (side, position) = match place {
            0..=7 => (Side::Right, 8 - place),
            8..=15 => (Side::Left, place - 7),
            _ => return None,
        };
        let quadrant = match (arch, side) {
            (Arch::Upper, Side::Right) => 1,
            (Arch::Upper, Side::Left) => 2,
            (Arch::Lower, Side::Left) => 3,
            (Arch::Lower, Side::Right) => 4,
        };
        Tooth::iso(quadrant * 10 + position as u32)
    }

    /// Permanent teeth from one to the other along the arch, ends included, from the patient's
    /// right to left; `None` across jaws.
    pub fn stretch(self, other: Tooth) -> Option<Vec<Tooth>> {
        if self.arch() != other.arch() {
            return None;
        }
        let (from, to) = (self.place().min(other.place()), self.place().max(other.place()));
        Some((from..=to).filter_map(|place| Tooth::at(self.arch(), place)).collect())
    }

    pub fn write(self, notation: Notation) -> String {
        match notation {
            Notation::Iso => format!("{}", self.code()),
            Notation::Quadrant => {
                let quadrant = match (self.arch(), self.side()) {
                    (Arch::Upper, Side::Right) => "UR",
                    (Arch::Upper, Side::Left) => "UL",
                    (Arch::Lower, Side::Left) => "LL",
                    (Arch::Lower, Side::Right) => "LR",
                };
                if self.is_deciduous() {
                    format!("{quadrant}{}", char::from(b'A' + self.position - 1))
                } else {
                    format!("{quadrant}{}", self.position)
                }
            }
            Notation::Universal => {
                let position = u32::from(self.position);
                if self.is_deciduous() {
                    let index = match self.quadrant {
                        5 => 5 - position,
                        6 => 4 + position,
                        7 => 15 - position,
                        _ => 14 + position,
                    };
                    format!("#{}", char::from(b'A' + index as u8))
                } else {
                    let number = match self.quadrant {
                        1 => 9 - position,
                        2 => 8 + position,
                        3 => 25 - position,
                        _ => 24 + position,
                    };
                    format!("#{number}")
                }
            }
        }
    }

    /// In words, for hovers and the patient: "upper right canine".
    pub fn words(self) -> String {
        let kind = match (self.is_deciduous(), self.position) {
            (_, 1) => "central incisor",
            (_, 2) => "lateral incisor",
            (_, 3) => "canine",
            (true, 4) => "first molar",
            (true, _) => "second molar",
            (_, 4) => "first premolar",
            (_, 5) => "second premolar",
            (_, 6) => "first molar",
            (_, 7) => "second molar",
            _ => "third molar",
        };
        let first = if self.is_deciduous() { "deciduous " } else { "" };
        format!("{first}{} {} {kind}", self.arch(), self.side())
    }
}

impl Ord for Tooth {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        let key = |t: &Tooth| (t.arch(), t.place(), t.is_deciduous());
        key(self).cmp(&key(other))
    }
}

impl PartialOrd for Tooth {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl fmt::Display for Tooth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.code())
    }
}

impl Serialize for Tooth {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// As it is serialised: in ISO numbers.
impl<'de> Deserialize<'de> for Tooth {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Tooth, D::Error> {
        let text = String::deserialize(deserializer)?;
        let tooth = text.parse().ok().and_then(Tooth::iso);
        tooth.ok_or_else(|| de::Error::custom(format!("no tooth: {text}")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> Vec<Tooth> {
        (0..100).filter_map(Tooth::iso).collect()
    }

    #[test]
    fn there_are_32_permanent_and_20_deciduous_teeth() {
        assert_eq!(all().iter().filter(|t| !t.is_deciduous()).count(), 32);
        assert_eq!(all().iter().filter(|t| t.is_deciduous()).count(), 20);
    }

    #[test]
    fn every_notation_reads_back_what_it_writes() {
        for tooth in all() {
            for notation in [Notation::Iso, Notation::Quadrant, Notation::Universal] {
                assert_eq!(Tooth::parse(&tooth.write(notation)), Some(tooth), "{tooth}");
            }
        }
    }

    #[test]
    fn a_few_known_by_heart() {
        // ISO 3950:2016 designations against the universal count (value from memory).
        for (text, code) in
            [("#6", 13), ("#11", 23), ("#19", 36), ("UR3", 13), ("LL6", 36), ("#A", 55), ("#T", 85)]
        {
            assert_eq!(Tooth::parse(text).map(Tooth::code), Some(code), "{text}");
        }
    }

    #[test]
    fn a_stretch_runs_across_the_midline() {
        let teeth = Tooth::iso(12).unwrap().stretch(Tooth::iso(21).unwrap()).unwrap();
        assert_eq!(teeth.iter().map(|t| t.code()).collect::<Vec<_>>(), [12, 11, 21]);
    }
}
