//! What people type: what is said, what is offered, and what the plan means once an offer is taken.
//!
//! Each form is typed into a whole case (or its house file). Understood without a word, it is shown by what
//! the formatter writes.

use std::fmt::Write;
use std::sync::Arc;

use springline_lang::finding::Finding;
use springline_lang::model::Case;
use springline_lang::syntax::{Context, FormatOptions, format, parse};
use springline_lang::text::FileId;
use springline_lang::{Checker, SourceText};
use springline_test_support::Practices;

const HOUSE: &str = r#"springline 1
practice "Saltmarsh"
defaults 1
chart "SM-####"
bracket twin {
  slot 0.022 x 0.028 in
  width 3 mm
FIT  torque 12 deg crown-labial on 11, 21
  hook on 13, 23, 33, 43
}
tube molar {
  slot 0.022 x 0.028 in
  width 4 mm
}
wire th-14 thermal-niti, round 0.014 in
wire th-14x25 thermal-niti, rect 0.014 x 0.025 in
wire ss-19x25 steel, rect 0.019 x 0.025 in
HOUSEelastic light size 1/4 in, force 3.5 oz
sequence usual {
  step align, wire th-14, ends turned-in slack 2 mm, until passive, next 8..10 wk
  step level, wire th-14x25, ends turned-in slack 2 mm, until passive, next 8 wk
  step work, wire ss-19x25, ends turned-in slack 1 mm, until doctor-decides, next 6 wk
}
"#;

const CASE: &str = r#"springline 1
case "SM-0392"
use saltmarsh
start 2026-09-14
CASEbite {
BITE}
goal {
GOAL}
upper {
  bonded 15..25 with twin
  tubes 16, 26 with molar
UPPER  follow usual
  change level {
    note "as usual"
STEP  }
}
lower {
  bonded 45..35 with twin
  tubes 46, 36 with molar
LOWER  follow usual
}
elastics class-2 {
  right 13 to 46 with light, wear 22 h
ELASTICS}
retain {
  night-time upper
}
SEEN"#;

/// Where a form is typed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum At {
    Fit,
    House,
    Case,
    Bite,
    Goal,
    Upper,
    Step,
    Lower,
    Elastics,
    Seen,
}

const SLOTS: [(At, &str); 10] = [
    (At::Fit, "FIT"),
    (At::House, "HOUSE"),
    (At::Case, "CASE"),
    (At::Bite, "BITE"),
    (At::Goal, "GOAL"),
    (At::Upper, "UPPER"),
    (At::Step, "STEP"),
    (At::Lower, "LOWER"),
    (At::Elastics, "ELASTICS"),
    (At::Seen, "SEEN"),
];

/// The house file and the case with a line in its place.
fn texts(at: At, line: &str) -> (String, String) {
    let (mut house, mut case) = (HOUSE.to_owned(), CASE.to_owned());
    for (slot, mark) in SLOTS {
        let text = match slot == at {
            true if slot == At::Seen => format!("seen 2026-11-16 by MT {{\n  {line}\n}}\n"),
            true => format!("{line}\n"),
            false => String::new(),
        };
        // The marks are in capitals and stand before a line or a brace: nothing else is.
        let file = if matches!(slot, At::Fit | At::House) { &mut house } else { &mut case };
        *file = file.replacen(mark, &text, 1);
    }
    (house, case)
}

struct Read {
    findings: Vec<Finding>,
    case: Option<Arc<Case>>,
}

fn read(at: At, house: &str, case: &str) -> Read {
    if matches!(at, At::Fit | At::House) {
        // What is wrong in a house file is reported in that file.
        let own = Checker::new().read(
            &SourceText { name: "saltmarsh.spring".to_owned(), text: house.into() },
            &Practices::of(house),
        );
        return Read { findings: own.findings, case: None };
    }
    let source = SourceText { name: "case.spring".to_owned(), text: case.into() };
    let checked = Checker::new().read(&source, &Practices::of(house));
    Read { findings: checked.findings, case: checked.case }
}

/// The lines of a text that another does not have.
fn new_lines(before: &str, after: &str) -> String {
    let old: Vec<&str> = before.lines().map(str::trim).collect();
    let new: Vec<&str> =
        after.lines().map(str::trim).filter(|l| !old.contains(l) && !l.is_empty()).collect();
    new.join(" / ")
}

fn settled(text: &str) -> String {
    format(&parse(FileId(0), text), &FormatOptions::default()).unwrap_or_else(|e| e.to_string())
}

/// What a case means where a form was typed: the resolved value, as short as it can be said.
fn meaning(at: At, case: Option<&Case>) -> String {
    use springline_emit::wording;
    let Some(case) = case else { return String::new() };
    let teeth = |arch: springline_lang::units::tooth::Arch| {
        let arch = case.arch(arch).unwrap();
        let stands =
            arch.stands.iter().map(|(t, s)| format!("{t} {}", wording::stand(&s.value, *t)));
        stands.collect::<Vec<_>>().join("; ")
    };
    match at {
        At::Bite | At::Goal => {
            let bite = if at == At::Bite { &case.bite } else { &case.goal.as_ref().unwrap().bite };
            let mut out = Vec::new();
            out.extend(bite.overjet.map(|(o, _)| o.written()));
            let mm = springline_lang::units::quantity::mm;
            out.extend(bite.overbite.map(|(l, _)| format!("overbite {} mm", mm(l))));
            out.extend(bite.open_bite.map(|(l, _)| format!("open bite {} mm", mm(l))));
            out.extend(
                bite.molars
                    .iter()
                    .map(|(s, r)| format!("molars {s} {:?} {:?}", r.class, r.by.map(mm))),
            );
            out.extend(bite.midlines.iter().map(|(a, (m, _))| {
                format!(
                    "{a} midline {} mm to the patient's {} of {:?}",
                    mm(m.off),
                    m.side,
                    m.reference
                )
            }));
            if at == At::Goal {
                out.extend(
                    case.goal.as_ref().unwrap().extraction.map(|e| format!("extraction {e}")),
                );
            }
            out.join("; ")
        }
        At::Upper => {
            let arch = case.arch(springline_lang::units::tooth::Arch::Upper).unwrap();
            let midline = arch.midline.map(|(m, _)| {
                let mm = springline_lang::units::quantity::mm(m.off);
                format!("midline {mm} mm to the patient's {}", m.side)
            });
            let states = arch.states.iter().map(|(t, (s, _))| format!("{t} {s:?}"));
            let mut out = vec![format!("{} bonded", arch.bonded.len())];
            out.extend(midline);
            out.extend(states);
            out.push(teeth(springline_lang::units::tooth::Arch::Upper));
            out.join("; ")
        }
        At::Lower => teeth(springline_lang::units::tooth::Arch::Lower),
        At::Step => {
            let arch = case.arch(springline_lang::units::tooth::Arch::Upper).unwrap();
            let step = arch.steps.iter().find(|s| s.name.as_ref() == "level").unwrap();
            step.acts.iter().map(|a| a.text.clone()).collect::<Vec<_>>().join("; ")
        }
        At::Elastics => {
            let all = case.elastics.iter().flat_map(|e| &e.runs);
            let mut out: Vec<String> =
                all.map(|r| format!("{} {:?} {} h", r.side, r.teeth, r.hours_a_day)).collect();
            out.extend(
                case.elastics
                    .iter()
                    .filter_map(|e| e.until.as_ref())
                    .map(|(c, _)| format!("{:?}", c.terms)),
            );
            out.join("; ")
        }
        At::Case => format!(
            "{:?}; debond {:?}",
            case.growth,
            case.debond.as_ref().map(|d| (d.on, &d.because))
        ),
        At::Seen => {
            let visit = case.visits.last();
            let arches = visit.map(|v| {
                let arches = v.arches.iter().map(|a| {
                    let done = a.done.as_ref().map(|d| match d {
                        springline_lang::model::case::Done::Now { step, wire, .. } => {
                            format!("now {step} with {}", wire.name)
                        }
                        other => format!("{other:?}"),
                    });
                    format!("{}: {:?} {}", a.arch, a.found, done.unwrap_or_default())
                });
                let jet = v.bite.overjet.map(|(o, _)| o.written());
                arches.chain(jet).collect::<Vec<_>>().join("; ")
            });
            arches.unwrap_or_default()
        }
        At::Fit | At::House => String::new(),
    }
}

/// Every form, and where it is typed.
const FORMS: &[(At, &str)] = &[
    // Sides and directions.
    (At::Upper, "tooth 12 rotated 15 deg mesial in"),
    (At::Upper, "midline 2 mm to patient left of face"),
    (At::Upper, "midline 2 mm left"),
    (At::Bite, "upper midline 2 mm to the left"),
    (At::Upper, "13 high 5 mm"),
    (At::Upper, "tooth UL3 high 5 mm"),
    (At::Lower, "tooth 43 high 2 mm"),
    (At::Step, "post distal of 12, 22"),
    (At::Elastics, "23 to 36 with light, wear 22 h"),
    (At::Elastics, "13 to 33 with light, wear 22 h"),
    // Classes.
    (At::Bite, "molars class 1"),
    (At::Bite, "molars right class 2 4 mm, left class 1"),
    (At::Bite, "molars class II 2 mm"),
    (At::Bite, "molars class-2 3 mm left"),
    // Signs.
    (At::Bite, "overbite -2 mm"),
    (At::Bite, "open-bite -2 mm"),
    (At::Bite, "overjet -1 mm"),
    (At::Bite, "reverse overjet 1 mm"),
    (At::Bite, "reverse-overjet 1 mm"),
    (At::Goal, "overjet -1 mm"),
    (At::Elastics, "until overjet -1 mm"),
    (At::Elastics, "until overbite -1 mm"),
    (At::Step, "halt-if overjet under -1 mm"),
    (At::Fit, "torque -11 deg on 14"),
    (At::Fit, "torque -11 deg crown-labial on 14"),
    (At::Upper, "tooth 14 torque -11 deg"),
    (At::Step, "torque 11, 21 -10 deg"),
    (At::Fit, "tip 5 deg on 12"),
    (At::Fit, "tipped -5 deg on 12"),
    (At::Upper, "tooth 12 tipped -5 deg"),
    (At::Upper, "tooth 12 rotated -15 deg"),
    (At::Upper, "tooth 12 labial -1 mm"),
    (At::Upper, "tooth 12 space -1 mm"),
    (At::Upper, "midline -2 mm to patient-right of face"),
    (At::Elastics, "longest -26 wk"),
    // Brackets and wires.
    (At::Fit, "self-ligating passive"),
    (At::Fit, "self-ligating"),
    (At::House, "wire a SS, round 0.016 in"),
    (At::House, "wire a stainless steel, round 0.016 in"),
    (At::House, "wire a beta-ti, rect 0.017 x 0.025 in"),
    (At::House, "wire a thermal nickel titanium, round 0.014 in"),
    (At::House, "wire a thermal nickel-titanium, round 0.014 in"),
    (At::House, "wire a heat-activated niti, round 0.014 in"),
    (At::House, "wire a niti, round 0.014 in"),
    (At::House, "wire a nickel titanium, round 0.014 in"),
    (At::House, "wire a thermal-niti 27C, round 0.014 in"),
    (At::Step, "bite turbos 36, 46"),
    (At::Step, "bite-turbos 36, 46"),
    // Times.
    (At::Case, "in-place 2026-11-26 {\n  upper th-14 since 2026-08\n}"),
    (At::Case, "in-place 2026-11-26 {\n  upper th-14 since about August 2026\n}"),
    (At::Elastics, "longest six weeks"),
    (At::Elastics, "longest 6 weeks"),
    (At::Elastics, "longest 8 to 10 weeks"),
    (At::House, "interval 6-12 weeks"),
    (At::House, "interval four to twelve weeks"),
    (At::Case, "debond 2026-12-14 because \"moves abroad\""),
    // The patient, the goal, teeth.
    (At::Case, "patient age 13"),
    (At::Case, "patient 13 years"),
    (At::Goal, "no extraction"),
    (At::Upper, "impacted 13"),
    (At::Upper, "hook 15..25 except 12"),
    (At::Upper, "hook 13, 23 without 24"),
    (At::Upper, "crowding 5 mm"),
    (At::Step, "traction 13"),
    (At::Case, "transfer 2026-11-26 {\n  upper th-14 since 2026-08-20\n}"),
    (At::Seen, "upper passive, now level"),
    (At::Seen, "upper nearly passive, kept"),
    (At::Seen, "overjet -1 mm"),
    // Words for those who do not measure.
    (At::Upper, "tooth 12 clearly palatal, rotated half mesial-in"),
    (At::Upper, "tooth 12 turned a little mesial in"),
    (At::Upper, "tooth 12 turned right across mesial-out"),
    (At::Lower, "tooth 43 slightly buccal, fully occlusal"),
    (At::Upper, "tooth 12 slightly palatal, clearly labial"),
    (At::Step, "bend 12 slightly gingival"),
];

#[test]
fn each_typed_form_is_understood_or_answered_with_what_was_meant() {
    let mut out = String::new();
    for (at, line) in FORMS {
        let (house, case) = texts(*at, line);
        let text = if matches!(at, At::Fit | At::House) { &house } else { &case };
        let bare = texts(*at, "");
        let bare = settled(if matches!(at, At::Fit | At::House) { &bare.0 } else { &bare.1 });
        let read_as = read(*at, &house, &case);
        let _ = writeln!(out, "# {}", line.replace('\n', " / "));
        let own: Vec<&Finding> = read_as
            .findings
            .iter()
            .filter(|f| f.code.as_str() != "syntax/not-judged" && f.place.file == FileId(0))
            .collect();
        for finding in &own {
            let _ = writeln!(out, "{} {}: {}", finding.severity, finding.code, finding.message);
            for note in finding.why.iter().chain(&finding.notes) {
                let _ = writeln!(out, "  {note}");
            }
            assert!(!finding.message.contains(".."), "{}", finding.message);
            if finding.fixes.is_empty() {
                let _ = writeln!(out, "  nothing is offered");
            }
            for fix in &finding.fixes {
                let mended = fix.apply(FileId(0), text).unwrap();
                let (h, c) = match at {
                    At::Fit | At::House => (mended.clone(), case.clone()),
                    _ => (house.clone(), mended.clone()),
                };
                let then = read(*at, &h, &c);
                let errors: Vec<&str> = then
                    .findings
                    .iter()
                    .filter(|f| f.blocks() && f.place.file == FileId(0))
                    .map(|f| f.code.as_str())
                    .collect();
                let _ = writeln!(
                    out,
                    "  offered ({:?}): {}\n    then: {}\n    means: {}{}",
                    fix.kind,
                    fix.title,
                    new_lines(&bare, &settled(&mended)),
                    meaning(*at, then.case.as_deref()),
                    if errors.is_empty() { String::new() } else { format!(" ERRORS {errors:?}") }
                );
            }
        }
        if own.is_empty() {
            let _ = writeln!(
                out,
                "understood: {}\n    means: {}",
                new_lines(&bare, &settled(text)),
                meaning(*at, read_as.case.as_deref())
            );
        }
        out.push('\n');
    }
    insta::assert_snapshot!(out);
}

/// A word that says a side or a way, and the ways it must never be turned into.
const TURNED: &[(&str, &str)] = &[
    ("patient-right", "patient-left"),
    ("mesial-in", "mesial-out"),
    ("mesial of", "distal of"),
    ("tipped 5 deg mesial", "tipped 5 deg distal"),
    ("lingual", "labial"),
    ("gingival", "occlusal"),
    ("crown-labial", "crown-lingual"),
    ("overbite", "open-bite"),
    ("overjet", "reverse-overjet"),
    ("class-2", "class-3"),
    ("right", "left"),
    ("under", "over"),
];

/// Lines with a side or a way in them.
const SIDED: &[(Context, &str)] = &[
    (Context::Arch, "tooth 12 palatal 2 mm, rotated 15 deg mesial-in, tipped 5 deg mesial"),
    (Context::Arch, "tooth 13 gingival 3 mm, torque 5 deg crown-labial"),
    (Context::Arch, "midline 2 mm to patient-right of face"),
    (Context::Fit, "torque 11 deg crown-labial on 11, 21"),
    (Context::Fit, "tipped 5 deg mesial on 11, 21"),
    (Context::Bite, "overjet 2 mm"),
    (Context::Bite, "reverse-overjet 2 mm"),
    (Context::Bite, "overbite 2 mm"),
    (Context::Bite, "open-bite 2 mm"),
    (Context::Bite, "molars right class-2 4 mm, left class-1"),
    (Context::Elastics, "right 13 to 46 with light, wear 22 h"),
    (Context::Step, "stop mesial of 11, mesial of 21"),
    (Context::Step, "bend 12 gingival 0.5 mm"),
    (Context::Step, "halt-if overjet under 2 mm"),
    (Context::Seen, "wear right good, left partly"),
];

/// A line as somebody might mistype it, each with what was done to it.
fn mutants(line: &str) -> Vec<(String, String)> {
    let mut out = Vec::new();
    // A hyphen left out, or a blank in its place.
    for (i, _) in line.match_indices('-') {
        for with in ["", " "] {
            out.push((format!("hyphen {i}"), format!("{}{with}{}", &line[..i], &line[i + 1..])));
        }
    }
    // A minus before a figure.
    for (i, _) in line.match_indices(|c: char| c.is_ascii_digit()) {
        if line[..i].ends_with(' ') && line[i..].contains(" mm") | line[i..].contains(" deg") {
            out.push((format!("minus {i}"), format!("{}-{}", &line[..i], &line[i..])));
        }
    }
    // A letter of a word left out, doubled, or swapped with the next.
    let letters: Vec<(usize, char)> = line.char_indices().collect();
    for pair in letters.windows(2) {
        let ((i, a), (j, b)) = (pair[0], pair[1]);
        if a.is_alphabetic() && b.is_alphabetic() {
            out.push((format!("drop {i}"), format!("{}{}", &line[..i], &line[j..])));
            out.push((format!("swap {i}"), format!("{}{b}{a}{}", &line[..i], &line[j + 1..])));
            out.push((format!("double {i}"), format!("{}{a}{}", &line[..j], &line[j..])));
        }
    }
    // A word left out.
    let words: Vec<&str> = line.split(' ').collect();
    for i in 1..words.len() {
        let mut left = words.clone();
        left.remove(i);
        out.push((format!("without word {i}"), left.join(" ")));
    }
    // Something behind it.
    for more in ["left", "negative", "distal", "mesial-out", "reverse", "lower"] {
        out.push((format!("then {more}"), format!("{line} {more}")));
    }
    out
}

fn around(context: Context) -> (&'static str, &'static str) {
    match context {
        Context::Fit => ("house \"S\"\nbracket twin {\n", "\n}\n"),
        Context::Bite => ("case \"SM-0001\"\nbite {\n", "\n}\n"),
        Context::Elastics => ("case \"SM-0001\"\nelastics class-2 {\n", "\n}\n"),
        Context::Step => ("case \"SM-0001\"\nupper {\nchange align {\n", "\n}\n}\n"),
        Context::Seen => ("case \"SM-0001\"\nseen 2026-11-16 {\n", "\n}\n"),
        _ => ("case \"SM-0001\"\nupper {\n", "\n}\n"),
    }
}

/// How often each side or way is said, in the written form of the formatter.
fn said(line: &str) -> Vec<usize> {
    let line = &*line.replace("palatal", "lingual");
    let words: Vec<&str> = line.split([' ', ',']).collect();
    let count = |what: &str| match what.split_once(' ') {
        None => words.iter().filter(|w| **w == what).count(),
        Some(_) => line.matches(what).count(),
    };
    TURNED.iter().flat_map(|(a, b)| [count(a), count(b)]).collect()
}

/// Whatever is mistyped: an offer that turns a side or a sign about never stands alone. Either the same finding
/// offers the other way too, or the offer says what was written.
#[test]
fn a_help_never_turns_the_patient_round() {
    let mut tried = 0;
    for (context, line) in SIDED {
        let (before, after) = around(*context);
        for (how, mutant) in mutants(line) {
            let text = format!("{before}{mutant}{after}");
            let parse = parse(FileId(0), &text);
            for finding in &parse.findings {
                let mended: Vec<String> = finding
                    .fixes
                    .iter()
                    .map(|fix| {
                        let text = fix.apply(FileId(0), &text).unwrap();
                        text[before.len()..].trim_end_matches(after.trim_start()).trim().to_owned()
                    })
                    .collect();
                for after_fix in &mended {
                    tried += 1;
                    let (was, now) = (said(line), said(after_fix));
                    // A minus turns its figure about; an offer that keeps the word has dropped the sign.
                    let signed = how.starts_with("minus");
                    for (pair, (a, b)) in TURNED.iter().enumerate() {
                        let (i, j) = (2 * pair, 2 * pair + 1);
                        let turned = (now[i] > was[i] && now[j] < was[j])
                            || (now[j] > was[j] && now[i] < was[i]);
                        let lost = now[i] + now[j] < was[i] + was[j] && !how.starts_with("without");
                        // What was written is offered as well.
                        let both = mended.iter().any(|other| {
                            let other = said(other);
                            other[i] == was[i] && other[j] == was[j]
                        });
                        assert!(
                            !turned || signed || both,
                            "{a}/{b} turned about ({how})\n{mutant}\n{after_fix}"
                        );
                        assert!(!lost || both, "{a}/{b} lost ({how})\n{mutant}\n{after_fix}");
                    }
                    if signed && was == now {
                        let both = mended.iter().any(|other| said(other) != was);
                        assert!(both, "the sign is dropped ({how})\n{mutant}\n{after_fix}");
                    }
                }
            }
        }
    }
    assert!(tried > 300, "{tried}");
}
