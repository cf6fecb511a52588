//! Writes a practice file from a few answers. Questions and answers are data, so that a terminal can ask
//! them one by one and a script can give them as flags. The result is free of findings and formatted.

mod menu;
mod prescription;
mod sequence;
mod write;

use std::fmt;

pub use menu::{MenuGroup, PlainWire, SlotSize};
pub use prescription::{Angles, Prescription};
pub use sequence::{Usual, usual};

use springline_syntax::pattern::DAYS;
use springline_syntax::{FileKind, parse};
use springline_units::quantity::plain;
use springline_units::tooth::{Notation, Tooth};

/// An answer that cannot be taken: what is wrong with it, and what to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RejectedAnswer {
    pub what: String,
    pub fix: String,
}

impl RejectedAnswer {
    fn new(what: impl Into<String>, fix: impl Into<String>) -> RejectedAnswer {
        RejectedAnswer { what: what.into(), fix: fix.into() }
    }
}

impl fmt::Display for RejectedAnswer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.what, self.fix)
    }
}

/// The questions, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum QuestionKey {
    Title,
    Notation,
    Clinic,
    ChairTime,
    Slot,
    Brackets,
    Prescription,
    Hooks,
    Wires,
    Coils,
    Elastics,
    Chart,
    Telephone,
    Doctor,
}

impl QuestionKey {
    pub const ALL: [QuestionKey; 14] = [
        QuestionKey::Title,
        QuestionKey::Notation,
        QuestionKey::Clinic,
        QuestionKey::ChairTime,
        QuestionKey::Slot,
        QuestionKey::Brackets,
        QuestionKey::Prescription,
        QuestionKey::Hooks,
        QuestionKey::Wires,
        QuestionKey::Coils,
        QuestionKey::Elastics,
        QuestionKey::Chart,
        QuestionKey::Telephone,
        QuestionKey::Doctor,
    ];

    /// The flag that answers it, without its hyphens.
    pub fn flag(self) -> &'static str {
        match self {
            QuestionKey::Title => "title",
            QuestionKey::Notation => "notation",
            QuestionKey::Clinic => "clinic",
            QuestionKey::ChairTime => "chair-time",
            QuestionKey::Slot => "slot",
            QuestionKey::Brackets => "brackets",
            QuestionKey::Prescription => "prescription",
            QuestionKey::Hooks => "hooks",
            QuestionKey::Wires => "wires",
            QuestionKey::Coils => "coils",
            QuestionKey::Elastics => "elastics",
            QuestionKey::Chart => "chart",
            QuestionKey::Telephone => "telephone",
            QuestionKey::Doctor => "doctor",
        }
    }
}

/// One question, as it is put.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PracticeQuestion {
    pub text: String,
    /// How it is answered where nothing can be ticked.
    pub typed: Option<&'static str>,
    /// What can be picked by number, numbered on through all groups.
    pub choices: Vec<MenuGroup>,
    /// What an empty answer means; `None` where one is needed.
    pub empty: Option<String>,
    /// The answer may have several lines.
    pub lines: bool,
}

/// How the brackets close.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Closing {
    Passive,
    Active,
    Ligated,
}

/// The answers so far.
#[derive(Debug, Clone, PartialEq)]
pub struct PracticeAnswers {
    title: String,
    notation: Notation,
    clinic: Vec<&'static str>,
    chair_minutes: Option<f64>,
    slot: Option<SlotSize>,
    closing: Option<Closing>,
    prescription: Prescription,
    hooks: Vec<Tooth>,
    wires: Vec<PlainWire>,
    coils: Vec<String>,
    elastics: Vec<String>,
    chart: Option<String>,
    telephone: Option<String>,
    doctor: Option<String>,
}

/// Canines: where elastics are hung on (common practice, no source).
const HOOKED: [u32; 4] = [13, 23, 33, 43];

impl PracticeAnswers {
    /// With the defaults, which an empty answer keeps; `name` is what the practice was called.
    pub fn new(name: &str) -> PracticeAnswers {
        PracticeAnswers {
            title: clean(name).unwrap_or_else(|_| "Practice".to_owned()),
            notation: Notation::Iso,
            clinic: DAYS[..5].to_vec(),
            chair_minutes: None,
            slot: None,
            closing: None,
            prescription: Prescription::default(),
            hooks: HOOKED.into_iter().filter_map(Tooth::iso).collect(),
            wires: Vec::new(),
            coils: Vec::new(),
            elastics: Vec::new(),
            chart: None,
            telephone: None,
            doctor: None,
        }
    }

    pub fn question(&self, key: QuestionKey) -> PracticeQuestion {
        let (text, empty): (&str, Option<&str>) = match key {
            QuestionKey::Title => ("Name of the practice, as it is printed", Some(&self.title)),
            QuestionKey::Notation => ("How do you write teeth?", Some("iso")),
            QuestionKey::Clinic => {
                ("Days on which you see patients, such as mon, tue, thu", Some("mon-fri"))
            }
            QuestionKey::ChairTime => (
                "Chair time on such a day, all chairs together, such as 480 min; the day list then flags a day \
                 booked for more",
                Some("not said"),
            ),
            QuestionKey::Slot => ("Slot of the brackets; another one as height x depth", None),
            QuestionKey::Brackets => ("What are the brackets?", None),
            QuestionKey::Prescription => (
                "Torque and tip of the brackets: a tooth, its torque and, if you like, its tip, such as \
                 `14 -7 2`. One side is enough; torque + turns the crown to the lip, - to the tongue; tip + is \
                 mesial. Type or paste the table",
                Some("no torque is written"),
            ),
            QuestionKey::Hooks => {
                ("Teeth whose brackets have a hook, or `none`", Some("the canines"))
            }
            QuestionKey::Wires => ("Which wires do you stock?", None),
            QuestionKey::Coils => ("Which coils, chains and stops?", Some("none")),
            QuestionKey::Elastics => ("Which elastics?", Some("none")),
            QuestionKey::Chart => ("Form of your chart references, such as BK-####", Some("any")),
            QuestionKey::Telephone => ("Telephone for the patient's sheet", Some("none")),
            QuestionKey::Doctor => {
                ("Initials of the doctor whom new cases are written for", Some("none"))
            }
        };
        let items = |pairs: &[(&str, &str)]| {
            let items = pairs.iter().map(|(a, b)| ((*a).to_owned(), (*b).to_owned())).collect();
            vec![MenuGroup { heading: String::new(), items }]
        };
        let choices = match key {
            QuestionKey::Notation => items(&[
                ("ISO (13)", "iso"),
                ("quadrant letters (UR3)", "quadrant"),
                ("universal (#6)", "universal"),
            ]),
            QuestionKey::Slot => {
                let slots = SlotSize::MENU.map(SlotSize::text);
                vec![MenuGroup {
                    heading: String::new(),
                    items: slots.into_iter().map(|s| (s.clone(), s)).collect(),
                }]
            }
            QuestionKey::Brackets => items(&[
                ("self-ligating, passive slide", "passive"),
                ("self-ligating, active clip", "active"),
                ("ligated", "ligated"),
            ]),
            QuestionKey::Wires => menu::wires(self.slot.unwrap_or(SlotSize::MENU[1])),
            QuestionKey::Coils => menu::pieces(),
            QuestionKey::Elastics => menu::elastics(),
            _ => Vec::new(),
        };
        let typed = (key == QuestionKey::Wires).then_some(
            "Numbers such as 1, 3-5, or names such as steel-21x25 for what is not listed",
        );
        PracticeQuestion {
            text: text.to_owned(),
            typed,
            choices,
            empty: empty.map(str::to_owned),
            lines: key == QuestionKey::Prescription,
        }
    }

    /// Takes an answer; one that cannot be taken changes nothing.
    pub fn take(&mut self, key: QuestionKey, said: &str) -> Result<(), RejectedAnswer> {
        let said = said.trim();
        let question = self.question(key);
        match key {
            QuestionKey::Title if said.is_empty() => {}
            QuestionKey::Title => self.title = clean(said)?,
            QuestionKey::Notation => {
                self.notation = match &*one_of(&question, said)? {
                    "quadrant" => Notation::Quadrant,
                    "universal" => Notation::Universal,
                    _ => Notation::Iso,
                };
            }
            QuestionKey::Clinic => self.clinic = days(said)?,
            QuestionKey::ChairTime => self.chair_minutes = minutes(said)?,
            QuestionKey::Slot => self.take_slot(&one_of(&question, said)?)?,
            QuestionKey::Brackets => self.closing = Some(closing(&one_of(&question, said)?)?),
            QuestionKey::Prescription => {
                self.prescription = prescription::read(said, self.notation)?
            }
            QuestionKey::Hooks => self.hooks = self.hooks_of(said)?,
            QuestionKey::Wires => self.wires = self.wires_of(&ticked(&question, said)?)?,
            QuestionKey::Coils => {
                let names = ticked(&question, said)?;
                known(&names, |n| menu::piece_line(n).is_some())?;
                self.coils = names;
            }
            QuestionKey::Elastics => {
                let names = ticked(&question, said)?;
                known(&names, |n| menu::elastic_line(n).is_some())?;
                self.elastics = names;
            }
            QuestionKey::Chart => self.chart = chart_form(said)?,
            QuestionKey::Telephone => self.telephone = telephone(said)?,
            QuestionKey::Doctor => self.doctor = initials(said)?,
        }
        Ok(())
    }

    fn take_slot(&mut self, said: &str) -> Result<(), RejectedAnswer> {
        let Some(slot) = SlotSize::parse(said) else {
            return Err(RejectedAnswer::new(
                format!("`{said}` is no slot."),
                "Write height x depth, such as 0.022 x 0.028 in.",
            ));
        };
        if let Some(wire) = self.wires.iter().find(|w| !w.fits(slot)) {
            return Err(too_thick(*wire, slot));
        }
        self.slot = Some(slot);
        Ok(())
    }

    fn hooks_of(&self, said: &str) -> Result<Vec<Tooth>, RejectedAnswer> {
        if said.is_empty() {
            return Ok(HOOKED.into_iter().filter_map(Tooth::iso).collect());
        }
        if said.eq_ignore_ascii_case("none") {
            return Ok(Vec::new());
        }
        let mut out = Vec::new();
        for word in said.split([',', ' ']).filter(|w| !w.is_empty()) {
            let bare = word.chars().all(|c| c.is_ascii_digit());
            let tooth = Tooth::parse(word).filter(|_| !bare || self.notation == Notation::Iso);
            match tooth.filter(|t| !t.is_deciduous()) {
                Some(tooth) if tooth.is_molar() => {
                    return Err(RejectedAnswer::new(
                        format!("{word} is a molar; it carries a tube."),
                        "Name teeth in front of the molars; tubes are written with hooks.",
                    ));
                }
                Some(tooth) if !out.contains(&tooth) => out.push(tooth),
                Some(_) => {}
                None => {
                    let canines: Vec<Tooth> = HOOKED.into_iter().filter_map(Tooth::iso).collect();
                    return Err(RejectedAnswer::new(
                        format!("`{word}` is no permanent tooth in your notation."),
                        format!(
                            "Write teeth such as {}.",
                            prescription::list(&canines, self.notation)
                        ),
                    ));
                }
            }
        }
        Ok(out)
    }

    fn wires_of(&self, names: &[String]) -> Result<Vec<PlainWire>, RejectedAnswer> {
        let mut out = Vec::new();
        for name in names {
            let Some(wire) = PlainWire::parse(name) else {
                return Err(RejectedAnswer::new(
                    format!("`{name}` is no wire of the list."),
                    "Write its number, or alloy and size: thermal-14, superelastic-16x22, beta-17x25, \
                     steel-19x25, cobalt-16x22, multistrand-16.",
                ));
            };
            if let Some(slot) = self.slot.filter(|s| !wire.fits(*s)) {
                return Err(too_thick(wire, slot));
            }
            if !out.contains(&wire) {
                out.push(wire);
            }
        }
        if out.is_empty() {
            return Err(RejectedAnswer::new(
                "A practice file without wires is of no use.",
                "Tick at least one, such as `1`.",
            ));
        }
        Ok(out)
    }

    /// What follows from an answer and should be looked at: the table in words, the sequence.
    pub fn remark(&self, key: QuestionKey) -> Vec<String> {
        match key {
            QuestionKey::Prescription => {
                let lines = |molars| self.prescription.lines(molars, self.notation);
                [lines(false), lines(true)].concat()
            }
            QuestionKey::Wires => match self.sequence() {
                Some(Ok(usual)) => vec![format!("Usual sequence: {}.", usual.shown())],
                Some(Err(missing)) => vec![no_sequence(&missing)],
                None => Vec::new(),
            },
            _ => Vec::new(),
        }
    }

    /// The usual sequence of the wires that were ticked, or what is missing for one; `None` before a slot
    /// is known.
    pub fn sequence(&self) -> Option<Result<Usual, Vec<&'static str>>> {
        Some(usual(&self.wires, self.slot?))
    }

    pub fn chart_form(&self) -> Option<&str> {
        self.chart.as_deref()
    }

    /// Answers without which nothing can be written.
    pub fn missing(&self) -> Vec<QuestionKey> {
        let mut out = Vec::new();
        if self.slot.is_none() {
            out.push(QuestionKey::Slot);
        }
        if self.closing.is_none() {
            out.push(QuestionKey::Brackets);
        }
        if self.wires.is_empty() {
            out.push(QuestionKey::Wires);
        }
        out
    }
}

/// Shown where no sequence can be made from the wires.
fn no_sequence(missing: &[&str]) -> String {
    format!("These wires make no usual sequence: there is not {}.", missing.join("; nor "))
}

fn too_thick(wire: PlainWire, slot: SlotSize) -> RejectedAnswer {
    RejectedAnswer::new(
        format!("{} does not go into a slot of {}.", wire.name(), slot.text()),
        "Leave it out, or correct the slot.",
    )
}

/// A choice by number, by word, or as it was typed.
fn one_of(question: &PracticeQuestion, said: &str) -> Result<String, RejectedAnswer> {
    let items: Vec<&(String, String)> = question.choices.iter().flat_map(|c| &c.items).collect();
    if said.is_empty() {
        return match &question.empty {
            Some(empty) => Ok(empty.clone()),
            None => Err(RejectedAnswer::new(
                "An answer is needed here.",
                format!("Type a number from 1 to {}.", items.len()),
            )),
        };
    }
    if let Some((_, name)) =
        said.parse::<usize>().ok().and_then(|n| items.get(n.checked_sub(1)?)).copied()
    {
        return Ok(name.clone());
    }
    let lower = said.to_lowercase();
    if let Some((_, name)) = items.iter().find(|(_, name)| lower.contains(name.as_str())) {
        return Ok(name.clone());
    }
    // A slot may be another one.
    if question.choices.iter().flat_map(|c| &c.items).any(|(_, n)| SlotSize::parse(n).is_some()) {
        return Ok(said.to_owned());
    }
    let names: Vec<&str> = items.iter().map(|(_, name)| name.as_str()).collect();
    Err(RejectedAnswer::new(
        format!("`{said}` is none of the answers."),
        format!("Type a number from 1 to {}, or one of: {}.", items.len(), names.join(", ")),
    ))
}

/// Names ticked: by number, by ranges of numbers, by name; each once.
fn ticked(question: &PracticeQuestion, said: &str) -> Result<Vec<String>, RejectedAnswer> {
    let items: Vec<&(String, String)> = question.choices.iter().flat_map(|c| &c.items).collect();
    let mut out: Vec<String> = Vec::new();
    let mut put = |name: &str| {
        if !out.iter().any(|n| n == name) {
            out.push(name.to_owned());
        }
    };
    if said.eq_ignore_ascii_case("none") {
        return Ok(Vec::new());
    }
    for word in said.split([',', ' ', '\n', ';']).filter(|w| !w.is_empty()) {
        let range = word.split_once("..").or_else(|| word.split_once('-')).unwrap_or((word, word));
        let (Ok(from), Ok(to)) = (range.0.parse::<usize>(), range.1.parse::<usize>()) else {
            let name = word.to_lowercase();
            put(&name);
            continue;
        };
        if from == 0 || to > items.len() || from > to {
            return Err(RejectedAnswer::new(
                format!("`{word}` is not on the list."),
                format!("Numbers go from 1 to {}.", items.len()),
            ));
        }
        items[from - 1..to].iter().for_each(|(_, name)| put(name));
    }
    Ok(out)
}

fn known(names: &[String], is_known: impl Fn(&str) -> bool) -> Result<(), RejectedAnswer> {
    match names.iter().find(|n| !is_known(n)) {
        Some(name) => Err(RejectedAnswer::new(
            format!("`{name}` is not on the list."),
            "Tick by number; what is not listed is added to the file afterwards.",
        )),
        None => Ok(()),
    }
}

/// A text that fits between quotes on one line.
fn clean(text: &str) -> Result<String, RejectedAnswer> {
    let text = text.trim();
    let quoted = |c: char| {
        matches!(c, '"' | '\u{201c}' | '\u{201d}' | '\u{201e}' | '\u{ab}' | '\u{bb}')
            || c.is_control()
            || matches!(c, '\u{2028}' | '\u{2029}')
    };
    if text.is_empty() || text.chars().count() > 80 || text.contains(quoted) {
        return Err(RejectedAnswer::new(
            format!("`{text}` cannot be the name of a practice."),
            "Write up to 80 characters without quotation marks.",
        ));
    }
    if let Some((_, looks)) = springline_text::identity::find(text).first() {
        return Err(RejectedAnswer::new(
            format!("In `{text}` stands what looks like {}.", looks.describe()),
            "It would be masked in print: name the practice otherwise; the telephone is asked for later.",
        ));
    }
    Ok(text.to_owned())
}

/// `mon, tue`, `Monday Tuesday`, `mon-fri`.
fn days(said: &str) -> Result<Vec<&'static str>, RejectedAnswer> {
    if said.is_empty() {
        return Ok(DAYS[..5].to_vec());
    }
    let day = |word: &str| {
        let word = word.trim().to_lowercase();
        let names = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"];
        names.iter().position(|n| word.len() >= 3 && n.starts_with(word.trim_end_matches('.')))
    };
    let mut seen = [false; 7];
    for word in said.split([',', ' ', ';']).filter(|w| !w.is_empty() && *w != "and") {
        let ends = word.split_once("..").or_else(|| word.split_once('-')).unwrap_or((word, word));
        match (day(ends.0), day(ends.1)) {
            (Some(from), Some(to)) if from <= to => (from..=to).for_each(|d| seen[d] = true),
            _ => {
                return Err(RejectedAnswer::new(
                    format!("`{word}` is no day of the week."),
                    "Write days such as mon, tue, thu, or mon-fri.",
                ));
            }
        }
    }
    Ok(DAYS.iter().zip(seen).filter(|(_, s)| *s).map(|(d, _)| *d).collect())
}

/// `480`, `480 min`, `8 h`.
fn minutes(said: &str) -> Result<Option<f64>, RejectedAnswer> {
    if said.is_empty() || said.eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let lower = said.to_lowercase();
    let digits = lower.trim_end_matches(char::is_alphabetic).trim();
    let per = match lower[digits.len()..].trim() {
        "" | "m" | "min" | "minutes" => 1.0,
        "h" | "hours" => 60.0,
        _ => f64::NAN,
    };
    match digits.parse::<f64>().map(|v| v * per) {
        Ok(minutes) if (120.0..=5760.0).contains(&minutes) => Ok(Some(minutes)),
        _ => Err(RejectedAnswer::new(
            format!("`{said}` is no chair time of a day."),
            "Write minutes from 120 to 5760, all chairs together, such as 480 min.",
        )),
    }
}

fn closing(said: &str) -> Result<Closing, RejectedAnswer> {
    match said {
        "passive" => Ok(Closing::Passive),
        "active" => Ok(Closing::Active),
        _ => Ok(Closing::Ligated),
    }
}

/// `BK-####`; the digits of an example are taken for what they stand for.
fn chart_form(said: &str) -> Result<Option<String>, RejectedAnswer> {
    if said.is_empty() || said.eq_ignore_ascii_case("any") {
        return Ok(None);
    }
    let form: String = said.chars().map(|c| if c.is_ascii_digit() { '#' } else { c }).collect();
    let fits = |c: char| c.is_alphanumeric() || matches!(c, '#' | '-' | '.' | '_' | '/' | ' ');
    if form.contains('#') && form.chars().all(fits) && form.chars().count() <= 24 {
        return Ok(Some(form));
    }
    Err(RejectedAnswer::new(
        format!("`{said}` is no form of a chart reference."),
        "Write it with # for each digit, such as BK-####.",
    ))
}

fn telephone(said: &str) -> Result<Option<String>, RejectedAnswer> {
    if said.is_empty() || said.eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let fits = |c: char| c.is_ascii_digit() || matches!(c, ' ' | '+' | '-' | '(' | ')' | '/' | '.');
    let digits = said.chars().filter(char::is_ascii_digit).count();
    if said.chars().all(fits) && (3..=20).contains(&digits) && said.len() <= 40 {
        return Ok(Some(said.to_owned()));
    }
    Err(RejectedAnswer::new(
        format!("`{said}` is no telephone number."),
        "Write digits, blanks, + - ( ) / and points.",
    ))
}

fn initials(said: &str) -> Result<Option<String>, RejectedAnswer> {
    if said.is_empty() || said.eq_ignore_ascii_case("none") {
        return Ok(None);
    }
    let reads = || {
        let text = format!("springline 1\ncase \"A\"\ndoctor {said}\n");
        parse(springline_text::FileId(0), &text).findings.is_empty()
    };
    if said.chars().count() <= 4 && said.chars().all(char::is_alphabetic) && reads() {
        return Ok(Some(said.to_owned()));
    }
    Err(RejectedAnswer::new(
        format!("`{said}` are no initials."),
        "Write two to four letters, such as KL; a name does not belong in the file.",
    ))
}

/// The name that cases give after `use`, and the file's own without its ending: of small letters, digits
/// and hyphens.
pub fn practice_name(name: &str) -> Result<String, RejectedAnswer> {
    let bare = name.trim();
    let bare = bare.strip_suffix(".spring").unwrap_or(bare).to_lowercase();
    let sign = |c: char| if c.is_alphanumeric() { c } else { '-' };
    let parts: String = bare.chars().map(sign).collect();
    let parts: Vec<&str> = parts.split('-').filter(|p| !p.is_empty()).collect();
    let made = parts.join("-");
    let text = format!("springline 1\ncase \"A\"\nuse {made}\n");
    let read = parse(springline_text::FileId(0), &text);
    let used = springline_lower::used(&read).map(|u| u.name);
    if read.kind == FileKind::Case && read.findings.is_empty() && used.as_deref() == Some(&made) {
        return Ok(made);
    }
    Err(RejectedAnswer::new(
        format!("`{name}` cannot be the name of a practice file."),
        "Begin with a letter, and write letters, digits and hyphens, such as brook.",
    ))
}

fn minutes_text(minutes: f64) -> String {
    format!("{} min", plain(minutes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_are_taken_in_the_ways_people_give_them() {
        let mut draft = PracticeAnswers::new("Brook");
        for (key, said) in [
            (QuestionKey::Notation, "2"),
            (QuestionKey::Clinic, "Monday, Wednesday thu-fri"),
            (QuestionKey::ChairTime, "8 h"),
            (QuestionKey::Slot, "0.022"),
            (QuestionKey::Brackets, "self-ligating passive"),
            (QuestionKey::Prescription, "UR1 12"),
            (QuestionKey::Hooks, "UR3, UL3"),
            (QuestionKey::Wires, "1-3, beta-18x25 STEEL-19x25"),
            (QuestionKey::Coils, ""),
            (QuestionKey::Elastics, "quarter-light"),
            (QuestionKey::Chart, "BK-0001"),
            (QuestionKey::Telephone, "+44 (0)20 7946 0000"),
            (QuestionKey::Doctor, "KL"),
        ] {
            draft.take(key, said).unwrap_or_else(|r| panic!("{key:?} {said}: {r}"));
        }
        assert_eq!(draft.clinic, ["mon", "wed", "thu", "fri"]);
        assert_eq!(draft.chart.as_deref(), Some("BK-####"));
        assert_eq!(draft.chair_minutes, Some(480.0));
        assert!(draft.missing().is_empty());
    }

    #[test]
    fn answers_that_say_nothing_are_refused_and_change_nothing() {
        let mut draft = PracticeAnswers::new("Brook");
        draft.take(QuestionKey::Slot, "0.018").expect("a slot");
        let before = draft.clone();
        for (key, said) in [
            (QuestionKey::Notation, "roman"),
            (QuestionKey::Clinic, "someday"),
            (QuestionKey::ChairTime, "all day"),
            (QuestionKey::Slot, "big"),
            (QuestionKey::Brackets, ""),
            (QuestionKey::Prescription, "11"),
            (QuestionKey::Hooks, "16"),
            (QuestionKey::Wires, "99"),
            (QuestionKey::Wires, "steel-19x25"),
            (QuestionKey::Wires, ""),
            (QuestionKey::Coils, "spring"),
            (QuestionKey::Chart, "BK"),
            (QuestionKey::Telephone, "call us"),
            (QuestionKey::Doctor, "Dr Who"),
            (QuestionKey::Title, "a \"b\""),
        ] {
            assert!(draft.take(key, said).is_err(), "{key:?} {said}");
        }
        assert_eq!(draft, before);
    }

    #[test]
    fn a_name_that_cases_can_give_is_made_of_any_other() {
        let made = |n: &str| practice_name(n).ok();
        assert_eq!(made("Brook").as_deref(), Some("brook"));
        assert_eq!(made("Brookfield Orthodontics").as_deref(), Some("brookfield-orthodontics"));
        assert_eq!(made("brook.spring").as_deref(), Some("brook"));
        assert_eq!(made("12"), None);
        assert_eq!(made("../x"), Some("x".to_owned()).filter(|_| made("x").is_some()));
    }
}
