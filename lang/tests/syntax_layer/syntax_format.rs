//! The formatter on chosen texts; what holds for every text is among the properties.

use springline_lang::syntax::{FormatOptions, FormatRefusal, format};
use springline_lang::units::tooth::Notation;

use crate::common::read;

fn settle(source: &str) -> String {
    format(&read(source), &FormatOptions::default()).unwrap()
}

fn settle_in(source: &str, notation: Notation) -> String {
    format(&read(source), &FormatOptions { notation: Some(notation) }).unwrap()
}

#[test]
fn layout_words_and_values_are_settled() {
    let source = "CASE   “SM-0001”\r\nuse saltmarsh\r\n\r\n\r\nupper\r\n{\r\ntooth 12   palatal 2.4mm rotated 25° distal-out, space .16\"\r\nchange align { stops mesial 11 mesial of 21 } }\r\n";
    insta::assert_snapshot!(settle(source));
    let source = "house \"Saltmarsh\"\nwire a steel rect .016x.022 in edge 0.04 mm\ninterval 8 wk..10 wk\nclosed 2026-9-4, 2026-12-24..2027-1-2\nclinic Mon tue THU\nbook-on prediction at 50%\ntask review 20 minutes";
    insta::assert_snapshot!(settle(source));
}

#[test]
fn line_ends_stay_as_the_file_has_them() {
    let source = "springline 1\ncase   \"SM-0001\"\nupper {\n  tooth 12 lingual 2,4 mm,\n space 4 MM\n}\n// last\n";
    let (settled, two) = (settle(source), settle(&source.replace('\n', "\r\n")));
    assert_eq!(two, settled.replace('\n', "\r\n"));
    assert_eq!(settle(&two), two);
    assert!(!settled.contains('\r'));
}

#[test]
fn comments_stay_where_they_are() {
    let source = "// first\n\n\n// of the file\ncase \"SM-0001\" // chart\nupper { // above\n\n  // before a line\n  missing 12,  // why\n\n     // and this\n     22 // both\n  // before the brace\n} // after it\nlower // below\n{ // and after the brace\n}\n# not a comment\n// at the end";
    insta::assert_snapshot!(settle(source));
}

#[test]
fn long_lines_go_on_after_a_comma() {
    let source = "case \"SM-0001\"\nupper {\nstep realign as align after level, wire niti-14 tandem niti-14, ends turned-in slack 2 mm, until passive and 6 wk, next 8..10 wk {\n}\nbonded 17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27, 37, 36, 35, 34, 33, 32, 31, 41, 42, 43, 44 with twin\n}";
    insta::assert_snapshot!(settle(source));
}

#[test]
fn lines_with_findings_keep_their_words() {
    let source = "case \"SM-0001\"\nupper {\n      tooth   12 lingual   2,4 mm,\n space 4.1 MM // here\n bonded 15..25   with twin missing  12\n  folow  usual\n}";
    insta::assert_snapshot!(settle(source));
}

#[test]
fn sides_are_called_as_a_card_calls_them() {
    let source = "case \"SM-0001\"\nupper {\ntooth 12 lingual 1 mm, labial 1 mm\ntooth 15 lingual 1 mm, labial 1 mm\n}\nlower {\ntooth 42 palatal 1 mm, buccal 1 mm\ntooth 45 palatal 1 mm, labial 1 mm\ntooth 43..45 labial 1 mm\n}";
    insta::assert_snapshot!(settle(source));
}

#[test]
fn teeth_are_written_as_the_house_writes_them() {
    let source = "springline 1\ncase \"SM-0001\"\nupper {\n  missing UR2, #10\n  tie 13..UL3\n}\n";
    assert!(settle_in(source, Notation::Iso).contains("missing 12, 22"));
    assert!(settle_in(source, Notation::Quadrant).contains("missing UR2, UL2"));
    assert!(settle_in(source, Notation::Universal).contains("missing #7, #10"));
    // Two digits in a house that counts to 32 may mean either; the doctor has to say.
    let bare = "springline 1\ncase \"SM-0001\"\nupper {\n  missing 12\n}\n";
    assert_eq!(settle_in(bare, Notation::Universal), bare);
}

#[test]
fn a_file_that_is_not_understood_is_left_alone() {
    let refusal = |source: &str| format(&read(source), &FormatOptions::default()).unwrap_err();
    assert_eq!(refusal("case \"SM-0001\"\nupper {\n"), FormatRefusal::Braces);
    assert_eq!(refusal("case \"SM-0001\"\n}\n"), FormatRefusal::Braces);
    assert_eq!(refusal("springline 2\ncase \"SM-0001\"\n"), FormatRefusal::NewerEdition(2));
    assert_eq!(refusal(&"a {".repeat(200)), FormatRefusal::TooDeep);
    assert_eq!(refusal(&" ".repeat(9 << 20)), FormatRefusal::TooLarge);
}

#[test]
fn the_practice_s_own_files_are_settled_already_or_settle_in_one_run() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../examples");
    let mut files = 0;
    for folder in ["", "cases", "unsafe"] {
        for entry in std::fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|e| e != "spring") {
                continue;
            }
            let source = std::fs::read_to_string(&path).unwrap();
            let text = settle(&source);
            assert_eq!(settle(&text), text, "{}", path.display());
            files += 1;
        }
    }
    assert!(files > 20, "{files}");
}
