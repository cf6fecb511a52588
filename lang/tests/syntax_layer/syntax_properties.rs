//! What holds for every text, valid or not.

use proptest::prelude::*;
use springline_lang::finding::{Finding, Severity};
use springline_lang::syntax::token::TokenKind;
use springline_lang::syntax::{
    FormatOptions, FormatRefusal, Parse, classify, expected, folds, format, item_at, reparse,
    statement_path_at,
};

use crate::common::{read, report};
use crate::generate::Maker;

fn choices() -> impl Strategy<Value = Vec<u16>> {
    prop::collection::vec(any::<u16>(), 1..400)
}

/// Lines of words, values and signs of the language in no order.
fn soup() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        "upper",
        "lower",
        "{",
        "}",
        "\n",
        "\n",
        ",",
        "tooth",
        "12",
        "13..23",
        "2.4 mm",
        "lingual",
        "rotated",
        "25 deg",
        "mesial-in",
        "step",
        "align",
        "wire",
        "until",
        "passive",
        "and",
        "or",
        "seen",
        "2026-11-16",
        "14/09/2026",
        "\"text\"",
        "\"open",
        "//c",
        "#",
        "#6",
        "-",
        "x",
        "0.016",
        "..",
        "stop",
        "mesial",
        "of",
        "change",
        "sequence",
        "case",
        "house",
        "\0",
        "€",
        "2,4 mm",
        "8-10 wk",
        "-1.5 mm",
        "UR3",
        "bite",
        "overjet",
        "no",
        "accept",
        "force/sustained",
        " ",
        "\r\n",
        "\t",
        "\u{feff}",
        "MM",
        "16x22",
        "\u{2028}",
        "springline",
        "1",
        "“",
        "note",
        "kept",
        "by",
        "KL",
    ]);
    prop::collection::vec((bits, any::<bool>()), 0..80).prop_map(|bits| {
        bits.into_iter()
            .map(|(b, blank)| if blank { format!("{b} ") } else { b.to_owned() })
            .collect()
    })
}

/// Where, how much is cut, what is put there.
type Edit = (prop::sample::Index, usize, &'static str);

fn edit() -> impl Strategy<Value = Edit> {
    (
        any::<prop::sample::Index>(),
        0usize..12,
        prop::sample::select(vec![
            "", "", "}", "{", ",", "\n", "x", "\"", "#", "-", " and ", "12", "2,5", "\n\n", "tooth",
        ]),
    )
}

fn make(text: &mut String, (at, cut, insert): Edit) {
    let mut from = at.index(text.len() + 1);
    while !text.is_char_boundary(from) {
        from -= 1;
    }
    let mut to = (from + cut).min(text.len());
    while !text.is_char_boundary(to) {
        to += 1;
    }
    text.replace_range(from..to, insert);
}

/// A valid file after a few careless edits.
fn edited() -> impl Strategy<Value = String> {
    (choices(), any::<bool>(), prop::collection::vec(edit(), 1..5)).prop_map(
        |(choices, untidy, edits)| {
            let mut text = Maker::new(&choices, untidy).file();
            edits.into_iter().for_each(|edit| make(&mut text, edit));
            text
        },
    )
}

fn comments(parse: &Parse) -> Vec<String> {
    let tokens = parse.tokens.iter();
    let comments = tokens.filter(|t| matches!(t.kind, TokenKind::Comment | TokenKind::HashComment));
    comments.map(|t| parse.text(t.span).trim_end().to_owned()).collect()
}

/// Rows and words in order: what the formatter must leave.
fn outline(parse: &Parse) -> Vec<(Option<&'static str>, Vec<&'static str>, usize)> {
    let lines = parse.all_lines().filter(|l| l.keyword() != Some("springline"));
    lines
        .map(|l| {
            let words = l.group().words().collect();
            (l.row().map(|r| r.pattern), words, l.children().count())
        })
        .collect()
}

fn sound(source: &str) {
    let parse = read(source);
    let rebuilt: String = parse.tokens.iter().map(|t| parse.text(t.span)).collect();
    assert_eq!(rebuilt, source);
    for finding in &parse.findings {
        assert!(source.get(finding.place.span.range()).is_some(), "{finding:?}");
        for fix in &finding.fixes {
            assert!(fix.apply(parse.file, source).is_some(), "{fix:?}");
        }
    }
    let classes = classify(&parse);
    for pair in classes.windows(2) {
        assert!(pair[0].0.end <= pair[1].0.start, "{pair:?}");
    }
    folds(&parse);
    for offset in (0..=source.len()).step_by(1 + source.len() / 7) {
        expected(&parse, offset);
        item_at(&parse, offset);
        statement_path_at(&parse, offset);
    }
    match format(&parse, &FormatOptions::default()) {
        Err(refusal) => assert_ne!(refusal, FormatRefusal::WouldChange, "{source}"),
        Ok(text) => settled(&parse, &text),
    }
}

fn settled(before: &Parse, text: &str) {
    let after = read(text);
    assert_eq!(comments(before), comments(&after), "{text}");
    assert_eq!(outline(before), outline(&after), "{text}");
    assert!(text.ends_with('\n') && !text.ends_with("\n\n"), "{text:?}");
    assert!(!text.contains("\n\n\n"), "{text}");
    let again = format(&after, &FormatOptions::default()).unwrap();
    assert_eq!(again, text);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn valid_files_read_without_a_finding(choices in choices(), untidy in any::<bool>()) {
        let source = Maker::new(&choices, untidy).file();
        let mut parse = read(&source);
        parse.findings.retain(|f| f.severity != Severity::Advice);
        prop_assert_eq!(report(&parse), "", "{}", source);
        for line in parse.all_lines() {
            prop_assert!(line.is_read(), "{}", line.text());
        }
        sound(&source);
    }

    #[test]
    fn any_text_is_read(source in any::<String>()) {
        sound(&source);
    }

    #[test]
    fn any_bytes_are_answered(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        match springline_lang::syntax::decode(crate::common::FILE, &bytes) {
            Ok(source) => sound(&source),
            Err(finding) => prop_assert_eq!(finding.code.as_str(), "syntax/not-utf-8"),
        }
    }

    #[test]
    fn words_in_no_order_are_read(source in soup()) {
        sound(&source);
    }

    #[test]
    fn careless_edits_are_read(source in edited()) {
        sound(&source);
    }

    /// However a text came about, its tree is the one read from nothing.
    #[test]
    fn a_text_read_again_is_as_one_read_anew(
        choices in choices(),
        untidy in any::<bool>(),
        edits in prop::collection::vec(edit(), 1..12),
    ) {
        let mut text = Maker::new(&choices, untidy).file();
        let mut parse = read(&text);
        for edit in edits {
            make(&mut text, edit);
            parse = reparse(&parse, &text);
            prop_assert_eq!(format!("{parse:?}"), format!("{:?}", read(&text)), "{}", text);
        }
    }

    /// The one fault of a line is gone once its fix is applied. Where several braces are wrong the
    /// guess about one depends on the others, so those are tried only when there is one.
    #[test]
    fn a_fix_removes_its_finding(source in edited()) {
        let parse = read(&source);
        let is_brace = |f: &Finding| f.code.as_str().ends_with("-brace");
        let braces = parse.findings.iter().filter(|f| is_brace(f)).count();
        for finding in parse.findings.iter().filter(|f| braces < 2 || !is_brace(f)).take(20) {
            for fix in &finding.fixes {
                let mended = fix.apply(parse.file, &source).unwrap();
                let after = read(&mended);
                let start = finding.place.span.start;
                let same = |f: &&Finding| {
                    (&f.code, f.place.span.start, &f.message) == (&finding.code, start, &finding.message)
                };
                prop_assert!(
                    after.findings.iter().find(same).is_none(),
                    "{} by {}\n{}\n----\n{}\n{}", finding.code, fix.title, source, mended, report(&after)
                );
            }
        }
    }
}
