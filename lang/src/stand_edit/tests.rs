//! Every edit says what was asked of the tooth, and nothing else of anything else.

use super::*;
use crate::check::{Checker, LoweredFile, SourceText};
use springline_model::case::ArchCase;
use springline_syntax::token::TokenKind;
use springline_syntax::{FormatOptions, format, parse};
use springline_test_support::{Practices, SALTMARSH, example, examples_in};
use springline_text::FileId;

fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).expect("a tooth")
}

/// The practice of the examples, writing teeth that way.
fn practice(notation: Notation) -> Practices {
    let tree = parse(FileId(0), SALTMARSH);
    let text = format(&tree, &FormatOptions { notation: Some(notation) }).expect("it is laid out");
    let word = match notation {
        Notation::Iso => "iso",
        Notation::Quadrant => "quadrant",
        Notation::Universal => "universal",
    };
    Practices::of(text.replacen("notation iso", &format!("notation {word}"), 1))
}

struct Plan {
    practice: Practices,
    read: LoweredFile,
}

impl Plan {
    fn new(practice: Practices, text: &str) -> Plan {
        let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
        let read = Checker::new().read(&source, &practice);
        Plan { practice, read }
    }

    fn iso(text: &str) -> Plan {
        Plan::new(Practices::saltmarsh(), text)
    }

    fn upper(lines: &str) -> Plan {
        Plan::iso(&format!(
            "springline 1\ncase \"SM-0001\"\nuse saltmarsh\nupper {{\n{lines}\n}}\n"
        ))
    }

    fn case(&self) -> &Case {
        self.read.case.as_ref().expect("a case")
    }

    fn write(
        &self,
        tooth: Tooth,
        into: StandPlace,
        asked: &StandChange,
    ) -> Result<StandWritten, StandRefusal> {
        write_stand(&self.read.parse, self.case(), tooth, into, asked)
    }

    /// The lines of the upper arch afterwards.
    fn upper_after(
        &self,
        code: u32,
        asked: &[(StandAxis, Option<f64>)],
    ) -> Result<String, &'static str> {
        let asked = asked.iter().copied().collect();
        let written = self.write(tooth(code), StandPlace::Plan, &asked).map_err(|r| r.kind())?;
        let inside = written.text.split_once("upper {\n").expect("the block").1;
        Ok(inside.strip_suffix("}\n").expect("its end").to_owned())
    }
}

fn stands(case: &Case) -> Vec<(String, Tooth, Stand)> {
    let plan = case.arches.iter().flat_map(|a| a.stands.iter().map(|(t, s)| (*t, s.value)));
    let plan = plan.map(|(tooth, stand)| ("plan".to_owned(), tooth, stand));
    let seen = case.visits.iter().flat_map(|v| {
        v.stands.iter().map(move |(tooth, (stand, _))| (v.on.to_string(), *tooth, *stand))
    });
    plan.chain(seen).filter(|(.., stand)| !stand.is_empty()).collect()
}

fn remarks(text: &str) -> Vec<String> {
    let tree = parse(FileId(0), text);
    let is_remark = |kind: TokenKind| matches!(kind, TokenKind::Comment | TokenKind::HashComment);
    let mut out: Vec<String> = tree
        .tokens
        .iter()
        .filter(|t| is_remark(t.kind))
        .map(|t| tree.text(t.span).to_owned())
        .collect();
    out.sort();
    out
}

#[test]
fn on_its_own_line_only_the_clause_changes() {
    let plan = Plan::upper(
        "  tooth 12 palatal 2.4 mm, rotated 25 deg mesial-in, space 4.1 mm // the lateral\n  tooth 22 labial 1 mm",
    );
    let after = |axis, figure| plan.upper_after(12, &[(axis, figure)]).expect("written");
    let others = "  tooth 22 labial 1 mm\n";
    assert_eq!(
        after(StandAxis::InOut, Some(1.9)),
        format!(
            "  tooth 12 palatal 1.9 mm, rotated 25 deg mesial-in, space 4.1 mm // the lateral\n{others}"
        )
    );
    assert_eq!(
        after(StandAxis::Rotation, Some(-3.0)),
        format!(
            "  tooth 12 palatal 2.4 mm, rotated 3 deg mesial-out, space 4.1 mm // the lateral\n{others}"
        )
    );
    assert_eq!(
        after(StandAxis::UpDown, Some(0.5)),
        format!(
            "  tooth 12 palatal 2.4 mm, rotated 25 deg mesial-in, space 4.1 mm, gingival 0.5 mm // the lateral\n{others}"
        )
    );
    assert_eq!(
        after(StandAxis::InOut, Some(0.0)),
        format!("  tooth 12 rotated 25 deg mesial-in, space 4.1 mm // the lateral\n{others}")
    );
}

#[test]
fn with_its_last_clause_the_line_goes_and_its_remark_stays() {
    let plan = Plan::upper("  tooth 12 palatal 2.4 mm // the lateral\n  tooth 22 labial 1 mm");
    assert_eq!(
        plan.upper_after(12, &[(StandAxis::InOut, Some(0.0))]).unwrap(),
        "  // the lateral\n  tooth 22 labial 1 mm\n"
    );
    assert_eq!(
        plan.upper_after(22, &[(StandAxis::InOut, None)]).unwrap(),
        "  tooth 12 palatal 2.4 mm // the lateral\n"
    );
}

#[test]
fn a_tooth_is_taken_out_of_a_line_of_several() {
    let plan = Plan::upper(
        "  tooth 12, 22 rotated 15 deg mesial-out // both\n  tooth 15..13, 23 buccal 1 mm",
    );
    assert_eq!(
        plan.upper_after(12, &[(StandAxis::Rotation, Some(-10.0))]).unwrap(),
        "  tooth 22 rotated 15 deg mesial-out // both\n  tooth 12 rotated 10 deg mesial-out\n  tooth 15..13, 23 buccal 1 mm\n"
    );
    assert_eq!(
        plan.upper_after(14, &[(StandAxis::InOut, Some(0.0))]).unwrap(),
        "  tooth 12, 22 rotated 15 deg mesial-out // both\n  tooth 15, 13, 23 buccal 1 mm\n"
    );
    // What is new to a tooth goes onto a line of its own, and the line of several stays.
    assert_eq!(
        plan.upper_after(22, &[(StandAxis::InOut, Some(-1.0))]).unwrap(),
        "  tooth 12, 22 rotated 15 deg mesial-out // both\n  tooth 15..13, 23 buccal 1 mm\n  tooth 22 labial 1 mm\n"
    );
}

#[test]
fn a_new_line_stands_in_the_order_of_the_arch() {
    let plan = Plan::upper(
        "  bonded 15..25 with twin\n  tooth 13 labial 1 mm\n  // turned\n  tooth 22 rotated 9 deg mesial-in\n  follow usual",
    );
    let after = |code| plan.upper_after(code, &[(StandAxis::InOut, Some(0.5))]).unwrap();
    assert!(
        after(15).starts_with("  bonded 15..25 with twin\n  tooth 15 palatal 0.5 mm\n  tooth 13")
    );
    assert!(after(11).contains("tooth 13 labial 1 mm\n  tooth 11 palatal 0.5 mm\n  // turned\n"));
    assert!(after(24).ends_with("mesial-in\n  tooth 24 palatal 0.5 mm\n  follow usual\n"));
    let none = Plan::upper("  bonded 15..25 with twin\n  follow usual");
    let after = none.upper_after(21, &[(StandAxis::InOut, Some(-0.5))]).unwrap();
    assert_eq!(after, "  bonded 15..25 with twin\n  tooth 21 labial 0.5 mm\n  follow usual\n");
}

#[test]
fn what_cannot_be_written_is_refused_with_the_reason() {
    let refused = |lines: &str, code, figure| {
        Plan::upper(lines).upper_after(code, &[(StandAxis::InOut, Some(figure))]).unwrap_err()
    };
    let twice = "  tooth 12 palatal 1 mm\n  tooth 12 labial 2 mm";
    assert_eq!(refused(twice, 12, 0.5), "twice");
    assert_eq!(refused("  tooth 12 palatal 1 mm, palatal 2 mm", 12, 0.5), "twice");
    assert_eq!(refused("  tooth 12 palatl 1 mm\n  bondd 13", 12, 0.5), "unreadable");
    assert_eq!(refused("  missing 12", 12, 0.5), "tooth");
    assert_eq!(refused("  follow usual", 12, 40.0), "implausible");
    assert_eq!(refused("  follow usual", 12, f64::NAN), "implausible");
    assert_eq!(refused("  crowding 5 mm", 12, 0.5), "pattern");
    assert_eq!(refused("  tooth 12 labial 1 mm, // why\n    space 4 mm", 12, 0.0), "remark");
    assert_eq!(refused("  follow usual", 42, 0.5), "tooth");
    let open = Plan::iso("springline 1\ncase \"SM-1\"\nupper {\n  tooth 12 labial 1 mm\n");
    assert_eq!(open.upper_after(12, &[(StandAxis::InOut, Some(1.5))]).unwrap_err(), "unreadable");
}

/// The upper arch after a move along.
fn along(lines: &str, code: u32, mesial_mm: f64) -> String {
    let plan = Plan::upper(&format!("{}\n  follow usual", lines.trim_end()));
    let done = write_along(&plan.read.parse, plan.case(), tooth(code), mesial_mm).expect("written");
    let inside = done.text.split_once("upper {\n").expect("the block").1;
    inside.strip_suffix("  follow usual\n}\n").expect("its end").to_owned()
}

#[test]
fn a_tooth_moves_along_by_the_rooms_beside_it() {
    let bonded = "  bonded 15..25 with twin";
    let one = along(bonded, 12, 0.5);
    assert_eq!(
        one,
        "  bonded 15..25 with twin\n  gap 0.5 mm between 12 and 11\n  overlap 0.5 mm between 13 and 12\n"
    );
    // On by what the lines say; each keeps its remark, and its order of teeth.
    let two = along(&one.replace("12 and 11", "11 and 12 // seen"), 12, 0.8);
    assert_eq!(
        two,
        "  bonded 15..25 with twin\n  gap 0.8 mm between 11 and 12 // seen\n  overlap 0.8 mm between 13 and 12\n"
    );
    // And back: what is so by itself needs no line.
    assert_eq!(along(&one, 12, 0.0), "  bonded 15..25 with twin\n");
    // A gap that is there is divided; past it the crowns overlap.
    let gap = "  bonded 15..25 with twin\n  gap 1 mm between 22 and 23";
    assert_eq!(
        along(gap, 22, 0.4),
        "  bonded 15..25 with twin\n  gap 0.6 mm between 22 and 23\n  gap 0.4 mm between 21 and 22\n"
    );
    assert!(along(gap, 22, 1.5).contains("  overlap 0.5 mm between 22 and 23\n  gap 1.5 mm"));
}

#[test]
fn what_cannot_be_moved_along_is_refused() {
    let refused = |lines: &str, code, mm| {
        let plan = Plan::upper(&format!("  bonded 15..25 with twin\n{lines}\n  follow usual"));
        let found = write_along(&plan.read.parse, plan.case(), tooth(code), mm);
        found.map_err(|refusal| refusal.kind())
    };
    assert_eq!(refused("", 12, 40.0), Err("implausible"));
    assert_eq!(refused("", 12, f64::NAN), Err("implausible"));
    assert_eq!(refused("  missing 12", 12, 1.0), Err("tooth"));
    assert_eq!(refused("  crowding 5 mm", 12, 1.0), Err("pattern"));
    assert_eq!(
        refused("  gap 1 mm between 12 and 11\n  overlap 1 mm between 12 and 11", 12, 0.5),
        Err("twice")
    );
}

#[test]
fn neighbours_stay_where_they_are_in_every_example() {
    let mut draw = fastrand::Rng::with_seed(13);
    let mut written = 0;
    for (name, text) in examples_in("cases") {
        let plan = Plan::iso(&text);
        for arch in &plan.case().arches {
            let contacts: Vec<Tooth> = mesial_contacts(arch).into_keys().collect();
            for _ in 0..3 {
                let Some(tooth) = draw.choice(&contacts).copied() else { continue };
                let wanted = f64::from(draw.i32(-15..16)) / 10.0;
                let Ok(done) = write_along(&plan.read.parse, plan.case(), tooth, wanted) else {
                    continue;
                };
                let after = Plan::iso(&done.text);
                let now = after.case().arch(tooth.arch()).expect("the arch");
                let room = |arch: &ArchCase| {
                    let layout = springline_course::ArchLayout::entered(arch).expect("a layout");
                    let place = |t: Tooth| layout.tooth(t).expect("a tooth").crown_centre_mm;
                    let far = done
                        .distal
                        .map_or(0.0, |d| place(d.neighbour) - place(done.mesial.neighbour));
                    (far, mesial_contacts(arch)[&tooth].mm)
                };
                let ((before, _), (far, mesial)) = (room(arch), room(now));
                assert!(
                    (before - far).abs() < 0.011,
                    "{name} {tooth} {wanted}: {before} {far}\n{}",
                    done.text
                );
                assert!(
                    (mesial - wanted).abs() < 0.006,
                    "{name} {tooth} {wanted}: {mesial}\n{}",
                    done.text
                );
                written += 1;
            }
        }
    }
    assert!(written > 60, "{written} written");
}

#[test]
fn a_visit_keeps_what_was_measured_as_in_line() {
    let plan = Plan::iso(&example("cases/sm-0417-lateral-blocked-out.spring"));
    let on = "2026-11-16".parse().unwrap();
    let asked = |axis, figure| StandChange::from([(axis, Some(figure))]);
    let written =
        plan.write(tooth(12), StandPlace::Visit(on), &asked(StandAxis::InOut, 0.0)).unwrap();
    assert!(written.text.contains("\n  tooth 12 space 4.5 mm, palatal 0 mm\n"), "{}", written.text);
    let written =
        plan.write(tooth(33), StandPlace::Visit(on), &asked(StandAxis::UpDown, 0.5)).unwrap();
    assert!(
        written.text.contains("\n  tooth 12 space 4.5 mm\n  tooth 33 gingival 0.5 mm\n"),
        "{}",
        written.text
    );
    let none = plan.write(
        tooth(33),
        StandPlace::Visit("2026-11-17".parse().unwrap()),
        &asked(StandAxis::UpDown, 0.5),
    );
    assert_eq!(none.unwrap_err().kind(), "visit");
}

#[test]
fn a_word_stays_where_its_figure_is_asked_for() {
    let plan = Plan::upper("  tooth 12 clearly palatal, rotated half mesial-in");
    let after = |figure| plan.upper_after(12, &[(StandAxis::InOut, Some(figure))]).unwrap();
    assert_eq!(after(2.0), "  tooth 12 clearly palatal, rotated half mesial-in\n");
    assert_eq!(after(2.1), "  tooth 12 palatal 2.1 mm, rotated half mesial-in\n");
}

/// Lines that say where teeth stand, as somebody might type them.
fn drawn_lines(draw: &mut fastrand::Rng) -> String {
    let upper: Vec<u32> = vec![16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26];
    let mut out = String::new();
    for _ in 0..draw.usize(0..5) {
        let mut teeth = Vec::new();
        for _ in 0..draw.usize(1..4) {
            let (a, b) = (draw.usize(0..upper.len()), draw.usize(0..upper.len()));
            teeth.push(match draw.u8(0..3) {
                0 if a.abs_diff(b) > 1 => format!("{}..{}", upper[a], upper[b]),
                _ => upper[a].to_string(),
            });
        }
        let mut teeth = teeth.join(if draw.bool() { ", " } else { "," });
        if draw.u8(0..6) == 0 && teeth.contains("..") {
            teeth.push_str(" except 13");
        }
        let all = [
            "palatal 1.5 mm",
            "slightly labial",
            "gingival 0.5 mm",
            "rotated 20 deg mesial-out",
            "turned half mesial-in",
            "tipped 5 deg mesial",
            "torque 8 deg crown-labial",
            "space 5 mm",
            "width 7 mm",
            "labial 0.1 in",
        ];
        let clauses: Vec<&str> =
            (0..draw.usize(1..4)).map(|_| all[draw.usize(0..all.len())]).collect();
        let gap = if draw.u8(0..8) == 0 { ",\n      " } else { ", " };
        let remark = if draw.u8(0..3) == 0 { " // a remark" } else { "" };
        out.push_str(&format!("  tooth {teeth} {}{remark}\n", clauses.join(gap)));
    }
    out
}

fn drawn_change(draw: &mut fastrand::Rng) -> StandChange {
    let mut asked = StandChange::new();
    for _ in 0..draw.usize(1..3) {
        let axis = StandAxis::ALL[draw.usize(0..7)];
        let figure = match draw.u8(0..5) {
            0 => None,
            1 if !axis.is_room() => Some(0.0),
            _ if axis.is_room() => Some(3.0 + draw.f64() * 4.0),
            _ => Some((draw.f64() - 0.5) * 10.0),
        };
        asked.insert(axis, figure);
    }
    asked
}

/// Whether it was written.
fn says_what_was_asked(plan: &Plan, tooth: Tooth, into: StandPlace, asked: &StandChange) -> bool {
    let text = plan.read.parse.source.to_string();
    let context = || format!("{tooth} {into:?} {asked:?}\n{text}");
    let written = match plan.write(tooth, into, asked) {
        Ok(written) => written,
        Err(refusal) => {
            assert!(!refusal.to_string().is_empty());
            return false;
        }
    };
    let after = Plan::new(plan.practice.clone(), &written.text);
    let mine = |key: &str, t: Tooth| {
        t == tooth
            && key
                == match into {
                    StandPlace::Plan => "plan".to_owned(),
                    StandPlace::Visit(on) => on.to_string(),
                }
    };
    let (before, now) = (stands(plan.case()), stands(after.case()));
    let others = |all: &[(String, Tooth, Stand)]| -> Vec<(String, Tooth, Stand)> {
        all.iter().filter(|(key, t, _)| !mine(key, *t)).cloned().collect()
    };
    assert_eq!(others(&before), others(&now), "{}\n{}", context(), written.text);
    let stand = |all: &[(String, Tooth, Stand)]| {
        all.iter().find(|(key, t, _)| mine(key, *t)).map_or_else(Stand::default, |(.., s)| *s)
    };
    for axis in StandAxis::ALL {
        let (was, is) = (stand(&before).figure(axis), stand(&now).figure(axis));
        let wanted = match asked.get(&axis) {
            None => was,
            Some(figure) => *figure,
        };
        let parts = if axis.is_angle() { 10.0 } else { 100.0 };
        let round = |f: Option<f64>| (f.unwrap_or(0.0) * parts).round() as i64;
        assert_eq!(round(is), round(wanted), "{axis:?} {}\n{}", context(), written.text);
        assert_eq!(round(written.stand.figure(axis)), round(is), "{}", context());
    }
    assert_eq!(remarks(&text), remarks(&written.text), "{}\n{}", context(), written.text);
    let layout = FormatOptions { notation: Some(plan.case().house.notation.value) };
    if format(&plan.read.parse, &layout).is_ok_and(|t| t == text) {
        let laid_out = format(&after.read.parse, &layout).expect("it can be laid out");
        assert_eq!(laid_out, written.text, "{}", context());
    }
    true
}

#[test]
fn what_is_lowered_is_what_was_asked_in_drawn_lines() {
    let mut draw = fastrand::Rng::with_seed(7);
    let mut written = 0;
    for _ in 0..600 {
        let plan = Plan::upper(&format!("  bonded 15..25 with twin\n{}", drawn_lines(&mut draw)));
        let codes = [15, 14, 13, 12, 11, 21, 22, 23, 24, 25];
        let which = tooth(codes[draw.usize(0..codes.len())]);
        written += usize::from(says_what_was_asked(
            &plan,
            which,
            StandPlace::Plan,
            &drawn_change(&mut draw),
        ));
    }
    assert!(written > 250, "{written} written");
}

#[test]
fn what_is_lowered_is_what_was_asked_in_every_example_and_notation() {
    let mut draw = fastrand::Rng::with_seed(11);
    let mut written = 0;
    for notation in [Notation::Iso, Notation::Quadrant, Notation::Universal] {
        let practice = practice(notation);
        for (name, text) in examples_in("cases") {
            let laid_out =
                format(&parse(FileId(0), &text), &FormatOptions { notation: Some(notation) })
                    .unwrap_or_else(|e| panic!("{name}: {e}"));
            let plan = Plan::new(practice.clone(), &laid_out);
            let places: Vec<StandPlace> = std::iter::once(StandPlace::Plan)
                .chain(plan.case().visits.iter().map(|v| StandPlace::Visit(v.on)))
                .collect();
            for _ in 0..12 {
                let quadrant = [10, 20, 30, 40][draw.usize(0..4)];
                let which = tooth(quadrant + draw.u32(1..8));
                let into = places[draw.usize(0..places.len())];
                written +=
                    usize::from(says_what_was_asked(&plan, which, into, &drawn_change(&mut draw)));
            }
        }
    }
    assert!(written > 300, "{written} written");
}

/// What a tool wrote stays: a figure that somebody changes is a line of its own, which goes first.
#[test]
fn a_measured_tooth_is_changed_in_a_line_of_its_own() {
    let block = "  measured 2026-11-25 from scan \"sm-0001-upper.csv\" as \"7c1e09b2\", within 0.2 mm {\n    tooth 12 palatal 2.4 mm, rotated 25 deg mesial-in, width 6.8 mm\n    overlap 1.4 mm between 13 and 12\n  }\n";
    let plan = Plan::upper(block.trim_end());
    let after = plan.upper_after(12, &[(StandAxis::InOut, Some(2.1))]).expect("written");
    assert!(after.contains(block), "{after}");
    assert_eq!(after.replace(block, ""), "  tooth 12 palatal 2.1 mm\n");
    let plan = Plan::upper(after.trim_end());
    let stand = stands(plan.case())[0].2;
    assert_eq!(stand.figure(StandAxis::InOut), Some(2.1));
    assert_eq!(stand.figure(StandAxis::Rotation), Some(25.0), "the rest is as it was measured");
    // Once more: only the line.
    let again = plan.upper_after(12, &[(StandAxis::InOut, Some(1.8))]).expect("written");
    assert_eq!(again, after.replace("2.1 mm", "1.8 mm"));
}
