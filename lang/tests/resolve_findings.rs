//! What is said of names, units and teeth that cannot be: the message, and a fix that works.

use springline_lang::finding::Finding;
use springline_lang::text::FileId;
use springline_lang::{Checker, SourceText};
use springline_test_support::Practices;

const HOUSE: &str = r#"springline 1
house "Saltmarsh"
defaults 1
chart "SM-####"
clinic mon, tue, thu
interval 4..12 wk
limit chart 50 g over 14 mm span
bracket twin {
  slot 0.022 x 0.028 in
  width 3 mm
  variant high-torque torque 17 deg crown-labial on 11, 21
  hook on 13, 23, 33, 43
}
tube molar {
  slot 0.022 x 0.028 in
  width 4 mm
}
wire niti-14 superelastic-niti, round 0.014 in
wire niti-16x22 superelastic-niti, rect 0.016 x 0.022 in
wire steel-19x25 steel, rect 0.019 x 0.025 in
coil open-100 open, force 100 g
coil closing-150 closing, force 150 g
elastic light size 1/4 in, force 3.5 oz
sequence usual {
  step align wire niti-14, ends turned-in slack 2 mm, until passive, next 8..10 wk
  step level wire niti-16x22, until passive, next 8 wk
  step work wire steel-19x25, until decided, next 6 wk
}
"#;

fn houses() -> Practices {
    let universal = HOUSE
        .replace("defaults 1", "defaults 1\nnotation universal")
        .replace("on 11, 21", "on #8, #9")
        .replace("on 13, 23, 33, 43", "on #6, #11, #22, #27");
    Practices::of(HOUSE)
        .and("universal", universal)
        .and("broken", HOUSE.replace("round 0.014 in", "round 0.014 mm"))
        .and("circle", "springline 1\nhouse \"One\"\nuse circle-2\n")
        .and("circle-2", "springline 1\nhouse \"Two\"\nuse circle\n")
        .and("no-house", "springline 1\ncase \"SM-0001\"\n")
}

/// A whole case around the lines of one place, marked `*` in the template.
fn case(head: &str, upper: &str) -> String {
    format!(
        "springline 1\ncase \"SM-0392\"\nuse saltmarsh\n{head}upper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n{upper}  follow usual\n}}\n"
    )
}

fn findings(text: &str) -> Vec<Finding> {
    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
    Checker::new().read(&source, &houses()).findings
}

/// Findings as an editor's list would show them.
fn shown(text: &str) -> String {
    findings(text)
        .iter()
        .map(|f| {
            let at = text.get(f.place.span.range()).unwrap_or("?");
            let fixes: String = f.fixes.iter().map(|x| format!("\n    fix: {}", x.title)).collect();
            format!("{} {} at `{at}`\n    {}{fixes}\n", f.severity, f.code, f.message)
        })
        .collect()
}

fn with_line(line: &str) -> String {
    case("", &format!("  {line}\n"))
}

/// One mistake, one finding, and every fix that is offered removes it without making another.
fn one_mistake(text: &str, code: &str) -> String {
    let found = findings(text);
    let real: Vec<&Finding> =
        found.iter().filter(|f| f.code.as_str() != "syntax/not-judged").collect();
    assert_eq!(
        real.iter().map(|f| f.code.as_str()).collect::<Vec<_>>(),
        [code],
        "in:\n{text}\n{}",
        shown(text)
    );
    for fix in &real[0].fixes {
        let mended = fix.apply(FileId(0), text).expect("a fix fits its text");
        let left = findings(&mended);
        assert!(
            !left.iter().any(|f| f.code.as_str() == code),
            "`{}` leaves\n{}\nin:\n{mended}",
            fix.title,
            shown(&mended)
        );
    }
    shown(text)
}

#[test]
fn a_sound_case_has_no_finding() {
    assert_eq!(
        shown(&with_line("tooth 12 lingual 2.4 mm, rotated 25 deg mesial-in, space 4.1 mm")),
        ""
    );
}

#[test]
fn mistakes_in_one_line_of_an_arch() {
    let mut all = String::new();
    for (line, code) in [
        ("tooth 12 lingual 2.4", "unit/missing"),
        ("tooth 12 lingual 2.4 g", "unit/wrong"),
        ("tooth 12 lingual 24 in", "unit/implausible"),
        ("tooth 12 lingual 9 mm", "unit/unusual"),
        ("tooth 12 rotated 25 mm mesial-in", "unit/wrong"),
        ("tooth 19 lingual 1 mm", "name/no-such-tooth"),
        ("tooth 43 lingual 1 mm", "name/wrong-arch"),
        ("caution 13..43 because \"short roots\"", "name/stretch-leaves-arch"),
        ("tooth 12 lingual 1 mm, labial 2 mm", "name/said-twice"),
        ("extract 14, 14 before 2026-09-17", "name/tooth-twice"),
        ("tooth 12 lingual 1 mm\n  tooth 12 labial 2 mm", "name/said-twice"),
        ("missing 12\n  bonded 12 with twin", "name/absent-tooth-bonded"),
        ("tubes 17, 27 with twin", "name/wrong-attachment"),
        ("form wide", "name/unknown-form"),
        ("change algin, until 6 wk", "name/unknown-step"),
        ("change align, wire niti-41", "name/unknown-wire"),
        ("change align, until passive", "name/change-without-effect"),
        ("step align wire niti-14, until passive", "name/step-taken"),
        ("step realign as align, wire niti-14, until passive", "name/step-without-place"),
        ("step again after align, wire niti-14, until passive", "name/step-without-kind"),
        ("step align-2 after align, until passive", "name/step-without-wire"),
        ("step align-2 after align, wire niti-14", "name/step-without-end"),
        ("skip finish", "name/unknown-step"),
        ("change align {\n    reduce 0.2 mm between 13 and 23\n  }", "name/which-contact"),
        (
            "change align {\n    open-coil between 11 and 13 with closing-150\n  }",
            "name/wrong-coil",
        ),
        ("change align {\n    open-coil between 11 and 11 with open-100\n  }", "name/not-between"),
        ("change align {\n    pick-up 12 with twin low-torque\n  }", "name/unknown-variant"),
        ("change align, next 10..8 wk", "unit/range-backwards"),
    ] {
        all.push_str(&format!("{line}\n  {}\n", one_mistake(&with_line(line), code).trim_end()));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn mistakes_at_case_level() {
    let mut all = String::new();
    for (head, code) in [
        ("start 1905-01-01\n", "unit/implausible-date"),
        ("start 2026-09-14\nstart 2026-09-15\n", "name/said-twice"),
        ("note \"Mrs Example rang\"\n", "name/looks-like-identity"),
        (
            "elastics class-2 {\n  right 13 to 36 with light, wear 22 h\n  from work\n}\n",
            "name/crosses-the-mouth",
        ),
        (
            "elastics class-2 {\n  right 13 to 46 with lihgt, wear 22 h\n  from work\n}\n",
            "name/unknown-elastic",
        ),
        (
            "elastics class-2 {\n  right 13 to 46 with light, wear 22 h\n  from wrok\n}\n",
            "name/unknown-step",
        ),
        ("seen 2026-11-16 by MT {\n  pain 12 of 10\n}\n", "unit/score-over-scale"),
        ("accept unit/missing because \"so\" by KL\n", "name/cannot-accept"),
        ("accept force/nothing because \"so\" by KL\n", "name/unknown-finding"),
    ] {
        all.push_str(&format!("{}  {}\n", head, one_mistake(&case(head, ""), code).trim_end()));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_slot_measured_unlike_its_name() {
    let mut all = String::new();
    for measured in ["0.5 mm", "0.028 in"] {
        let house = format!(
            "springline 1\nhouse \"Other\"\nbracket own {{\n  slot 0.022 x 0.028 in measured {measured}\n}}\n"
        );
        all.push_str(&one_mistake(&house, "unit/slot-unlike-its-name"));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_house_that_cannot_be_had_is_one_finding() {
    let mut all = String::new();
    for (house, code) in [
        ("saltmash", "name/house-not-found"),
        ("broken", "name/house-has-errors"),
        ("circle", "name/house-has-errors"),
        ("no-house", "name/house-has-errors"),
    ] {
        let text = with_line("change align, wire niti-16x22")
            .replace("use saltmarsh", &format!("use {house}"));
        all.push_str(&one_mistake(&text, code));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn a_bare_number_is_no_tooth_in_a_house_that_counts_otherwise() {
    let text = with_line("tooth #7 lingual 1 mm")
        .replace("use saltmarsh", "use universal")
        .replace("bonded 15..25", "bonded #4..#13")
        .replace("tubes 16, 26", "tubes #3, 26");
    insta::assert_snapshot!(one_mistake(&text, "name/tooth-read-two-ways"));
}

#[test]
fn ten_mistakes_give_ten_findings() {
    let text = r#"springline 1
case "SM-0392"
use saltmarsh
start 14/09/2026
patient adlut
upper {
  bonded 15..25 with twn
  tubes 16, 26 with molar
  tooth 12 lingual 2.4
  tooth 43 labial 1 mm
  bypas 12
  follow usual
  change algin, until passive
  change level, wire niti-41
  stop mesial of 11
}
seen 2026-11-16 by MT {
  pain 12 of 10
}
"#;
    let real: Vec<Finding> =
        findings(text).into_iter().filter(|f| f.code.as_str() != "syntax/not-judged").collect();
    let lines: Vec<usize> = real
        .iter()
        .map(|f| text[..f.place.span.start as usize].matches('\n').count() + 1)
        .collect();
    assert_eq!(lines, [4, 5, 7, 9, 10, 11, 13, 14, 15, 18], "{}", shown(text));
}

/// A file that is no plan gives a list that can be read to its end.
#[test]
fn findings_are_bounded() {
    let found = findings(&format!("springline 1\ncase \"SM-0001\"\n{}", "upper {\n".repeat(4000)));
    assert!(found.len() <= 401, "{}", found.len());
    assert!(found.iter().any(|f| f.code.as_str() == "syntax/too-many"));
}

/// A house that is not named for a slip of the pen is one finding, not one for every name.
#[test]
fn a_misspelt_use_is_one_finding() {
    let text = case("", "  change align, wire niti-12\n");
    for slip in ["usse saltmarsh", "ues saltmarsh", "use \"saltmarsh\"", "use"] {
        let found = findings(&text.replacen("use saltmarsh", slip, 1));
        let told: Vec<_> = found.iter().map(|f| (f.code.as_str(), &f.message)).collect();
        assert_eq!(found.len(), 1, "{slip}: {told:#?}");
    }
}

/// While a line of an arch cannot be read its teeth are not as the doctor has them: nothing is computed or
/// judged from it, and nothing follows from what it may have said.
#[test]
fn an_arch_with_an_unread_line_is_not_judged() {
    let text = |line: &str| {
        format!(
            "springline 1\ncase \"SM-0001\"\nuse saltmarsh\ndoctor KL\nstart 2026-09-14\npatient adult\n\
             upper {{\n  bonded 15..25 with twin\n  tooth 12 palatal 4 mm\n{line}\n\
             \x20 change align, next 6 wk\n\
             \x20 step more as align after align, wire niti-14, until passive, next 6 wk\n}}\n"
        )
    };
    let codes = |line: &str| -> Vec<String> {
        findings(&text(line)).iter().map(|f| f.code.to_string()).collect()
    };
    for (line, own) in [
        ("  follow usual\n  tooth 13 labail 1 mm", "syntax/unknown-word"),
        ("  follow usual\n  tooth 13 labial 1", "unit/missing"),
        ("  follow usual\n  tooth 13 la", "syntax/unknown-unit"),
        ("  follow usual\n  bonded 17 with twni", "name/unknown-bracket"),
    ] {
        assert_eq!(codes(line), [own, "syntax/not-judged"], "{line}");
    }
    // The line may have been the one that follows a sequence.
    assert_eq!(codes("  folow usual"), ["syntax/unknown-statement"]);
}

/// Findings of a practice file with these lines in it.
fn of_practice(lines: &str) -> Vec<Finding> {
    let text = HOUSE.replace("defaults 1\n", &format!("defaults 1\n{lines}\n"));
    let source = SourceText { name: "saltmarsh.spring".to_owned(), text: text.into() };
    Checker::new().read(&source, &houses()).findings
}

#[test]
fn a_language_without_words_is_told_with_those_that_there_are() {
    let found = of_practice("language de");
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!(found[0].code.as_str(), "name/unknown-language");
    assert!(!found[0].blocks(), "the cards print all the same");
    let notes = format!("{:?}", found[0]);
    for word in ["`en` (English)", "`es` (Espa\u{f1}ol)", "--words"] {
        assert!(notes.contains(word), "{word}: {notes}");
    }
    for built_in in ["language es", "language en", "language es-MX"] {
        assert_eq!(of_practice(built_in), [], "{built_in}");
    }
}

#[test]
fn the_practices_telephone_is_nobodys_identity_and_a_text_no_page_has_is_told() {
    assert_eq!(of_practice("telephone \"555-0142\""), []);
    let found = of_practice("note \"555-0142\"");
    assert_eq!(
        found[0].code.as_str(),
        "name/looks-like-identity",
        "anywhere else it is: {found:?}"
    );
    assert_eq!(of_practice("text patient soreness \"Sore.\" in en"), []);
    let found = of_practice("text patient sorenes \"Sore.\"");
    assert_eq!(found[0].code.as_str(), "name/unknown-text");
    let twice = "text patient soreness \"Sore.\"\ntext patient soreness \"Duele.\" in es";
    assert_eq!(of_practice(twice), [], "one a language");
}

/// Suppliers call closing springs closed coils: read as a passive one, a force says that it is not.
#[test]
fn a_passive_coil_with_a_force_may_be_a_closing_spring() {
    for word in ["closed", "passive"] {
        let line = format!("coil pull {word}, force 150 g, length 9 mm");
        let found = of_practice(&line);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].code.as_str(), "name/passive-coil-with-force");
        let text = HOUSE.replace("defaults 1\n", &format!("defaults 1\n{line}\n"));
        let written: Vec<String> = found[0]
            .fixes
            .iter()
            .map(|fix| {
                let edit = &fix.edits[0];
                let range = edit.place.span.range();
                let new = format!("{}{}{}", &text[..range.start], edit.text, &text[range.end..]);
                new.lines().find(|l| l.starts_with("coil pull")).unwrap().to_owned()
            })
            .collect();
        assert_eq!(
            written,
            [
                "coil pull closing-spring, force 150 g, length 9 mm".to_owned(),
                format!("coil pull {word}, length 9 mm"),
            ]
        );
    }
    assert_eq!(of_practice("coil keep passive, length 100 mm"), []);
}
