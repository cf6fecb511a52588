//! The choices for a new practice file: wires by alloy and size, coils, chains, stops and elastics. Names
//! describe the item; no manufacturer's name is among them.

use springline_model::stock::Alloy;

/// Thousandths of an inch, as wires and slots are named.
type Mil = u16;

/// A section as it is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum WireSize {
    Round(Mil),
    /// Smaller side first; equal sides are a square wire.
    Rect(Mil, Mil),
}

impl WireSize {
    /// `14`, `014`, `0.014`, `14x25`, `0.014 x 0.025 in`.
    pub fn parse(text: &str) -> Option<WireSize> {
        let text = text.trim().trim_end_matches("in").trim().to_lowercase().replace('\u{d7}', "x");
        match text.split_once('x') {
            None => mil(&text).map(WireSize::Round),
            Some((a, b)) => Some(WireSize::Rect(mil(a)?, mil(b)?)),
        }
    }

    pub fn is_round(self) -> bool {
        matches!(self, WireSize::Round(_))
    }

    pub fn height(self) -> Mil {
        match self {
            WireSize::Round(d) | WireSize::Rect(d, _) => d,
        }
    }

    pub fn depth(self) -> Mil {
        match self {
            WireSize::Round(d) | WireSize::Rect(_, d) => d,
        }
    }

    /// `0.014 x 0.025 in`.
    pub fn text(self) -> String {
        match self {
            WireSize::Round(d) => format!("{} in", inches(d)),
            WireSize::Rect(a, b) => format!("{} x {} in", inches(a), inches(b)),
        }
    }

    fn short(self) -> String {
        match self {
            WireSize::Round(d) => format!("{d}"),
            WireSize::Rect(a, b) => format!("{a}x{b}"),
        }
    }
}

fn inches(mil: Mil) -> String {
    format!("0.{mil:03}")
}

/// `14`, `014`, `.014`, `0.014`.
fn mil(text: &str) -> Option<Mil> {
    let text = text.trim();
    let digits = match text.split_once('.') {
        Some((whole, digits)) if whole.chars().all(|c| c == '0') && digits.len() <= 3 => {
            format!("{digits:0<3}")
        }
        Some(_) => return None,
        None => text.to_owned(),
    };
    let plain = !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit());
    plain.then(|| digits.parse().ok()).flatten()
}

/// A slot as it is named: height by depth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SlotSize {
    pub height: Mil,
    pub depth: Mil,
}

impl SlotSize {
    pub const MENU: [SlotSize; 2] =
        [SlotSize { height: 18, depth: 25 }, SlotSize { height: 22, depth: 28 }];

    /// By both sides, or by its height alone where that is a usual one.
    pub fn parse(text: &str) -> Option<SlotSize> {
        let slot = match WireSize::parse(text)? {
            WireSize::Round(height) => SlotSize::MENU.into_iter().find(|s| s.height == height)?,
            WireSize::Rect(height, depth) => SlotSize { height, depth },
        };
        // Slots that the language takes without a question.
        let known = (16..=30).contains(&slot.height) && (16..=31).contains(&slot.depth);
        (known && slot.height <= slot.depth).then_some(slot)
    }

    pub fn text(self) -> String {
        WireSize::Rect(self.height, self.depth).text()
    }
}

/// A wire by what it is: alloy and size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct PlainWire {
    pub alloy: Alloy,
    pub size: WireSize,
}

/// The first part of a generated name.
fn prefix(alloy: Alloy) -> &'static str {
    match alloy {
        Alloy::ThermalNiti => "thermal",
        Alloy::SuperelasticNiti => "superelastic",
        Alloy::BetaTitanium => "beta",
        Alloy::Steel => "steel",
        Alloy::CobaltChromium => "cobalt",
        Alloy::MultistrandSteel => "multistrand",
    }
}

/// By which it is ticked: alloys with what they are usually stocked in (common practice, no source).
const WIRES: [(Alloy, &[Mil], &[(Mil, Mil)]); 4] = [
    (Alloy::ThermalNiti, &[12, 14, 16, 18], &[(14, 25), (16, 22), (16, 25), (18, 25), (19, 25)]),
    (
        Alloy::SuperelasticNiti,
        &[12, 14, 16, 18],
        &[(14, 25), (16, 22), (17, 25), (18, 25), (19, 25)],
    ),
    (Alloy::BetaTitanium, &[], &[(16, 22), (17, 25), (18, 25), (19, 25), (21, 25)]),
    (Alloy::Steel, &[14, 16, 18, 20], &[(16, 22), (16, 25), (17, 25), (18, 25), (19, 25)]),
];

impl PlainWire {
    /// `thermal-16`, `steel-18x25`.
    pub fn name(self) -> String {
        format!("{}-{}", prefix(self.alloy), self.size.short())
    }

    /// A name of this scheme, on the list or not.
    pub fn parse(text: &str) -> Option<PlainWire> {
        let (word, size) = text.trim().rsplit_once('-')?;
        let alloy = Alloy::ALL.into_iter().find(|a| prefix(*a).eq_ignore_ascii_case(word))?;
        let size = WireSize::parse(size)?;
        let drawn = (8..=29).contains(&size.height()) && (8..=29).contains(&size.depth());
        (drawn && size.height() <= size.depth()).then_some(PlainWire { alloy, size })
    }

    pub fn fits(self, slot: SlotSize) -> bool {
        self.size.height() <= slot.height && self.size.depth() <= slot.depth
    }

    /// Its line in the practice file.
    pub fn line(self) -> String {
        let shape = match self.size {
            WireSize::Round(_) => "round",
            WireSize::Rect(a, b) if a == b => {
                let side = WireSize::Round(a).text();
                return format!("wire {} {}, square {side}", self.name(), self.alloy.word());
            }
            WireSize::Rect(..) => "rect",
        };
        format!("wire {} {}, {shape} {}", self.name(), self.alloy.word(), self.size.text())
    }

    pub fn is_rectangular_niti(self) -> bool {
        self.alloy.is_niti() && !self.size.is_round()
    }
}

/// Things of one kind, under one heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MenuGroup {
    pub heading: String,
    /// What is shown, and the name that ticks it.
    pub items: Vec<(String, String)>,
}

/// The wires that go through that slot, alloy by alloy.
pub fn wires(slot: SlotSize) -> Vec<MenuGroup> {
    let group = |alloy: Alloy, shape: &str, sizes: Vec<WireSize>| {
        let wires = sizes.into_iter().map(|size| PlainWire { alloy, size });
        let shown = |w: PlainWire| (w.size.text().replace(" in", ""), w.name());
        MenuGroup {
            heading: format!("{}, {shape}", alloy.word()),
            items: wires.filter(|w| w.fits(slot)).map(shown).collect(),
        }
    };
    let both = |(alloy, round, rect): (Alloy, &[Mil], &[(Mil, Mil)])| {
        let round = round.iter().map(|d| WireSize::Round(*d)).collect();
        let rect = rect.iter().map(|(a, b)| WireSize::Rect(*a, *b)).collect();
        [group(alloy, "round", round), group(alloy, "rectangular", rect)]
    };
    WIRES.into_iter().flat_map(both).filter(|g| !g.items.is_empty()).collect()
}

/// One thing of the list that is no wire: name, what is shown, its line.
#[derive(Debug, Clone, Copy)]
struct Piece {
    heading: &'static str,
    name: &'static str,
    shown: &'static str,
    line: &'static str,
}

const fn piece(
    heading: &'static str,
    name: &'static str,
    shown: &'static str,
    line: &'static str,
) -> Piece {
    Piece { heading, name, shown, line }
}

/// Lengths and strokes: common practice, no source; the file says that they are to be compared with the
/// packet.
const PIECES: [Piece; 11] = [
    piece(
        "Open coils (make space)",
        "open-100",
        "100 g",
        "coil open-100 open, force 100 g, stroke 4 mm, length 15 mm",
    ),
    piece(
        "Open coils (make space)",
        "open-150",
        "150 g",
        "coil open-150 open, force 150 g, stroke 4 mm, length 15 mm",
    ),
    piece("Coil that keeps space", "keeper", "passive", "coil keeper passive, length 100 mm"),
    piece(
        "Closing springs (pull a space shut)",
        "closing-150",
        "150 g",
        "coil closing-150 closing-spring, force 150 g, stroke 12 mm, length 9 mm",
    ),
    piece(
        "Closing springs (pull a space shut)",
        "closing-200",
        "200 g",
        "coil closing-200 closing-spring, force 200 g, stroke 12 mm, length 9 mm",
    ),
    piece("Chain", "chain-closed", "closed", "chain chain-closed closed, force 200 g"),
    piece("Chain", "chain-short", "short", "chain chain-short short, force 200 g"),
    piece("Chain", "chain-long", "long", "chain chain-long long, force 150 g"),
    piece("Stops", "stop-round", "for round wires", "stop stop-round length 1.5 mm, for round"),
    piece(
        "Stops",
        "stop-rectangular",
        "for rectangular wires",
        "stop stop-rectangular length 2 mm, for rectangular",
    ),
    piece("Stops", "stop-any", "for any wire", "stop stop-any length 2 mm"),
];

/// Coils, chains and stops.
pub fn pieces() -> Vec<MenuGroup> {
    let mut out: Vec<MenuGroup> = Vec::new();
    for p in PIECES {
        let item = (p.shown.to_owned(), p.name.to_owned());
        match out.last_mut().filter(|c| c.heading == p.heading) {
            Some(group) => group.items.push(item),
            None => out.push(MenuGroup { heading: p.heading.to_owned(), items: vec![item] }),
        }
    }
    out
}

/// The line of a piece by its name.
pub fn piece_line(name: &str) -> Option<&'static str> {
    PIECES.iter().find(|p| p.name == name).map(|p| p.line)
}

/// Sizes and forces that elastics are sold in (common practice, no source).
const BANDS: [(&str, &str); 4] =
    [("1/8 in", "eighth"), ("3/16 in", "three-16"), ("1/4 in", "quarter"), ("5/16 in", "five-16")];
const PULLS: [(&str, &str); 4] =
    [("2.5 oz", "light"), ("3.5 oz", "medium"), ("4.5 oz", "strong"), ("6 oz", "heavy")];

pub fn elastics() -> Vec<MenuGroup> {
    let group = |(size, word): (&str, &str)| MenuGroup {
        heading: size.to_owned(),
        items: PULLS.iter().map(|(f, w)| ((*f).to_owned(), format!("{word}-{w}"))).collect(),
    };
    BANDS.into_iter().map(group).collect()
}

/// The line of an elastic by its name.
pub fn elastic_line(name: &str) -> Option<String> {
    BANDS.iter().find_map(|(size, word)| {
        let pull = name.strip_prefix(word)?.strip_prefix('-')?;
        let (force, _) = PULLS.iter().find(|(_, w)| *w == pull)?;
        Some(format!("elastic {name} size {size}, force {force}"))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wire_is_known_by_its_name() {
        for slot in SlotSize::MENU {
            for (_, name) in wires(slot).into_iter().flat_map(|g| g.items) {
                let wire = PlainWire::parse(&name).expect("on the list");
                assert_eq!(wire.name(), name);
                assert!(wire.fits(slot));
            }
        }
        assert_eq!(
            PlainWire::parse("steel-21x25").map(PlainWire::name).as_deref(),
            Some("steel-21x25")
        );
        for wrong in ["steel", "gold-14", "steel-25x14", "steel-99", "steel-14x"] {
            assert_eq!(PlainWire::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn sizes_are_read_in_every_usual_spelling() {
        for text in ["14x25", "0.014 x 0.025 in", ".014x.025", "014 \u{d7} 025"] {
            assert_eq!(WireSize::parse(text), Some(WireSize::Rect(14, 25)), "{text}");
        }
        assert_eq!(WireSize::parse("0.02"), Some(WireSize::Round(20)));
        assert_eq!(WireSize::parse("1.4"), None);
        assert_eq!(SlotSize::parse("0.018"), Some(SlotSize::MENU[0]));
        assert_eq!(
            SlotSize::parse("22 x 27").map(SlotSize::text).as_deref(),
            Some("0.022 x 0.027 in")
        );
        assert_eq!(SlotSize::parse("20"), None);
    }
}
