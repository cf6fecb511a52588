//! The commonest mistakes, each with its one finding: what is said, where, and how it is mended.

use springline_lang::syntax::Context;

use crate::common::{around, read, report};

/// The name of a mistake, where it is made, and the lines with it.
const MISTAKES: &[(&str, Context, &str)] = &[
    ("inch_mark", Context::House, "wire niti-14 superelastic-niti, round 0.014\""),
    ("decimal_comma", Context::Arch, "tooth 12 lingual 2,4 mm"),
    ("decimal_comma_without_unit", Context::Arch, "tooth 12 lingual 2,4"),
    ("dash_in_a_range", Context::House, "interval 8-10 wk"),
    ("dash_between_dates", Context::House, "closed 2026-12-24 – 2027-01-02"),
    ("dash_between_teeth", Context::Arch, "bonded UR5-UL5 with twin"),
    ("minus", Context::Arch, "tooth 12 lingual -1.5 mm"),
    ("minus_without_direction", Context::Bite, "overjet -1.5 mm"),
    ("date_in_another_order", Context::Case, "start 14/09/2026"),
    ("date_with_two_readings", Context::Case, "start 09/10/2026"),
    ("dates_in_another_order", Context::House, "closed 24.12.2026..2.1.2027"),
    ("no_such_day", Context::Case, "start 2026-02-30"),
    ("hash_comment", Context::Arch, "# the bad one\nbonded 15..25 with twin"),
    ("misspelt_statement", Context::Step, "bypas 12"),
    ("misspelt_block", Context::Case, "uper {\n  bonded 15..25 with twin\n}"),
    ("misspelt_word", Context::Step, "engage 15 mesial-wng"),
    ("stop_without_a_side", Context::Step, "stop 11"),
    ("second_stop_without_a_side", Context::Step, "stop mesial of 11, 21"),
    ("turned_which_way", Context::Arch, "tooth 12 rotated 25 deg"),
    ("turned_which_way_in_the_middle", Context::Arch, "tooth 12 rotated 25 deg, space 4 mm"),
    ("tipped_which_way", Context::Arch, "tooth 12 tipped 5 deg"),
    ("torque_of_what", Context::Step, "torque 11, 21 10 deg"),
    ("midline_to_which_side", Context::Arch, "midline 1.5 mm to right of face"),
    ("accepted_without_a_reason", Context::Arch, "accept force/sustained on 12 up to 90 g"),
    ("and_with_or", Context::Elastics, "until passive and 6 wk or decided"),
    ("wrong_block", Context::Arch, "overjet 6 mm"),
    ("wrong_block_for_a_tooth", Context::Case, "tooth 12 labial 1 mm"),
    ("not_yet", Context::Case, "scan \"before\""),
    ("unit_in_the_wrong_case", Context::House, "coil soft open, force 1 n"),
    ("no_such_unit", Context::Elastics, "longest 26 wkk"),
    ("two_on_a_line", Context::Bite, "overjet 6 mm overbite 4 mm"),
    ("comma_at_the_line_s_end", Context::Bite, "overjet 6 mm,\noverbite 4 mm"),
    ("comma_and_nothing", Context::Arch, "missing 12,"),
    ("comma_too_many", Context::Arch, "bonded 15..25, with twin"),
    ("comma_missing", Context::Arch, "missing 12 22"),
    ("and_in_a_list", Context::Arch, "tubes 16 and 26 with molar"),
    ("said_twice", Context::Arch, "tooth 12 labial 1 mm, space 4 mm, labial 2 mm"),
    ("said_twice_on_a_step", Context::Arch, "change align, ends flush, ends cinched"),
    ("open_text", Context::Case, "note \"check the gum"),
    ("name_in_quotes", Context::Case, "use \"saltmarsh\""),
    ("no_keyword", Context::Arch, "12 labial 1.5 mm"),
    ("no_braces", Context::Case, "goal"),
    ("braces_not_here", Context::Arch, "missing 12 {\n}"),
    ("braces_alone", Context::Arch, "{\n}"),
    ("semicolon", Context::Arch, "missing 12;"),
    ("sign", Context::Arch, "missing 12 €"),
    ("nul", Context::Arch, "missing 12 \0"),
    ("too_much", Context::Arch, "missing 12 because lost"),
    ("too_short", Context::Case, "doctor"),
    ("one_size_for_two", Context::House, "wire s16 steel, rect 0.016 in"),
    ("sizes_without_a_wire_name", Context::House, "wire 16x22 steel, rect 0.016 x 0.022 in"),
    ("name_with_x_and_a_digit", Context::House, "wire x1 steel, round 0.016 in"),
    ("three_sizes", Context::Fit, "slot 0.022 x 0.028 x 0.03 in"),
    ("closed_for_closing", Context::Step, "closed-col between 35 and 37"),
];

fn source_of(context: Context, lines: &str) -> String {
    let (before, after) = around(context);
    format!("{before}{lines}\n{after}")
}

#[test]
fn each_mistake_has_its_one_finding() {
    let mut gallery = String::new();
    for (name, context, lines) in MISTAKES {
        let parse = read(&source_of(*context, lines));
        let shown = lines.replace('\0', "␀").replace('\n', "\n| ");
        gallery.push_str(&format!("# {name}\n| {shown}\n{}\n", report(&parse)));
        assert_eq!(parse.findings.len(), 1, "{name}\n{}", report(&parse));
    }
    insta::assert_snapshot!("mistakes", gallery);
}

#[test]
fn every_fix_of_every_mistake_removes_its_finding() {
    let mut tried = 0;
    for (name, context, lines) in MISTAKES {
        let source = source_of(*context, lines);
        let parse = read(&source);
        for fix in parse.findings.iter().flat_map(|f| &f.fixes) {
            let mended = fix.apply(parse.file, &source).unwrap();
            assert_eq!(report(&read(&mended)), "", "{name}: {}\n{mended}", fix.title);
            tried += 1;
        }
    }
    assert!(tried > 50, "{tried}");
}

const BRACES: &[(&str, &str)] = &[
    (
        "a step is not closed before the next",
        "case \"SM-0001\"\nupper {\n  change align {\n    bypass 12\n  change level {\n    engage 12\n  }\n}\nlower {\n  follow usual\n}\n",
    ),
    (
        "an arch is not closed before the other",
        "case \"SM-0001\"\nupper {\n  follow usual\nlower {\n  follow usual\n}\n",
    ),
    (
        "a step is not closed before the other arch",
        "case \"SM-0001\"\nupper {\n  change align {\n    bypass 12\n  }\n  change level {\n    engage 12\n}\nlower {\n  follow usual\n}\n",
    ),
    (
        "a visit is not closed before the next",
        "case \"SM-0001\"\nseen 2026-10-12 {\n  upper passive, kept\nseen 2026-11-16 {\n  upper passive, kept\n}\n",
    ),
    ("the file ends in a block", "case \"SM-0001\"\nupper {\n  follow usual\n"),
    (
        "a bracket is not closed before a wire",
        "house \"Saltmarsh\"\nbracket twin {\n  slot 0.022 x 0.028 in\nwire niti-14 superelastic-niti, round 0.014 in\n",
    ),
    (
        "one brace too many inside",
        "case \"SM-0001\"\nupper {\n  change align {\n    bypass 12\n  }\n  }\n  follow usual\n}\nlower {\n  follow usual\n}\n",
    ),
    (
        "one brace too many without indentation",
        "case \"SM-0001\"\nupper {\nchange align {\nbypass 12\n}\n}\nfollow usual\n}\n",
    ),
    ("one brace too many at the end", "case \"SM-0001\"\nupper {\n  follow usual\n}\n}\n"),
];

#[test]
fn each_brace_that_is_missing_or_too_many_is_one_finding() {
    let mut gallery = String::new();
    for (name, source) in BRACES {
        let parse = read(source);
        gallery.push_str(&format!("# {name}\n{source}{}\n", report(&parse)));
        assert_eq!(parse.findings.len(), 1, "{name}\n{}", report(&parse));
        for fix in &parse.findings[0].fixes {
            let mended = fix.apply(parse.file, source).unwrap();
            assert_eq!(report(&read(&mended)), "", "{name}\n{mended}");
        }
    }
    insta::assert_snapshot!("braces", gallery);
}

const FILES: &[(&str, &str)] = &[
    ("newer edition", "springline 2\ncase \"SM-0001\"\nfrobnicate 12 {{{\n"),
    ("edition not first", "case \"SM-0001\"\nspringline 1\n"),
    ("edition twice", "springline 1\ncase \"SM-0001\"\nspringline 1\n"),
    ("two cases", "case \"SM-0001\"\ncase \"SM-0002\"\n"),
    ("no opening", "use saltmarsh\nupper {\n  follow usual\n}\n"),
    ("chart reference without quotes", "case SM-0001\nuse saltmarsh\n"),
];

#[test]
fn what_a_file_says_of_itself() {
    let mut gallery = String::new();
    for (name, source) in FILES {
        let parse = read(source);
        gallery.push_str(&format!("# {name}\n{source}{}\n", report(&parse)));
        assert_eq!(parse.findings.len(), 1, "{name}\n{}", report(&parse));
    }
    insta::assert_snapshot!("files", gallery);
}

const TEN: &str = "springline 1
case \"SM-0417\"
use saltmarsh
# from the old chart
start 14/09/2026
bite {
  overjet 6 mm overbite 3 mm
}
upper {
  bonded 15..25 with twin
  tooth 12 lingual 2,4 mm, space 4.1 mm
  tooth 13 rotated 25 deg
  folow usual
  change align {
    bypass 12 until passive and 6 wk or decided
    stop 11
  change level {
    overbite 3 mm
  }
}
lower {
  note \"not finished
}
";

#[test]
fn ten_mistakes_are_ten_findings_each_in_its_place() {
    let parse = read(TEN);
    let codes: Vec<(usize, &str)> = parse
        .findings
        .iter()
        .map(|f| {
            let line = TEN[..f.place.span.start as usize].matches('\n').count() + 1;
            (line, f.code.as_str())
        })
        .collect();
    assert_eq!(
        codes,
        [
            (4, "syntax/hash-comment"),
            (5, "syntax/date-form"),
            (7, "syntax/two-on-a-line"),
            (11, "syntax/decimal-comma"),
            (12, "syntax/which-way"),
            (13, "syntax/unknown-statement"),
            (14, "syntax/unclosed-brace"),
            (15, "syntax/and-with-or"),
            (16, "syntax/which-way"),
            (18, "syntax/wrong-block"),
            (22, "syntax/open-text"),
        ]
    );
    let read_lines = parse.all_lines().filter(|l| l.is_read()).count();
    assert_eq!((parse.all_lines().count(), read_lines), (19, 14));
}

/// Two words that look alike and do opposite things are never offered for each other.
#[test]
fn closed_and_closing_coils_are_never_mistaken() {
    for line in ["closing-coil between 35 and 37", "closed-coil 16 to 13"] {
        let parse = read(&source_of(Context::Step, line));
        let text = report(&parse);
        assert!(!text.contains("fix"), "{text}");
    }
}
