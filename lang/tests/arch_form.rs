//! Arch forms as a practice writes them: by one number, or by two widths.

use springline_lang::finding::Finding;
use springline_lang::syntax::{FormatOptions, format, parse};
use springline_lang::text::FileId;
use springline_lang::{Checker, SourceText};
use springline_test_support::Practices;

fn house(form: &str) -> String {
    format!("springline 1\npractice \"Saltmarsh\"\ndefaults 1\nchart \"SM-####\"\n{form}\n")
}

fn findings(form: &str) -> Vec<Finding> {
    let text = house(form);
    let source = SourceText { name: "saltmarsh.spring".to_owned(), text: text.as_str().into() };
    Checker::new().read(&source, &Practices::of(text)).findings
}

#[test]
fn ordinary_forms_are_taken_as_written() {
    for form in [
        "form ovoid catenary 14 mm",
        "form round circle 24 mm",
        "form ovoid width 30 mm depth 6.5 mm, width 52 mm depth 28 mm",
        "form square width 33 mm depth 5.5 mm, width 52.5 mm depth 26.5 mm",
        "form tapered width 27 mm depth 7 mm, width 50 mm depth 28 mm",
    ] {
        let all = findings(form);
        assert!(all.is_empty(), "{form}: {all:?}");
        let text = house(form);
        assert_eq!(format(&parse(FileId(0), &text), &FormatOptions::default()).unwrap(), text);
    }
    let loose = house("FORM ovoid   width 30mm depth 6.5 mm ,width 52 mm  depth 28 mm");
    let tidy = format(&parse(FileId(0), &loose), &FormatOptions::default()).unwrap();
    assert_eq!(tidy, house("form ovoid width 30 mm depth 6.5 mm, width 52 mm depth 28 mm"));
}

#[test]
fn what_no_wire_can_be_is_an_error_at_its_line() {
    for (form, code, said) in [
        (
            "form ovoid width 52 mm depth 28 mm, width 30 mm depth 6.5 mm",
            "unit/arch-form",
            "wider apart and farther back",
        ),
        (
            "form ovoid width 26 mm depth 13 mm, width 44 mm depth 14 mm",
            "unit/arch-form",
            "26 mm wide at 13 mm and 44 mm wide at 14 mm",
        ),
        (
            "form ovoid width 30 in depth 6.5 mm, width 52 mm depth 28 mm",
            "unit/implausible",
            "30 in",
        ),
        ("form ovoid width 30 g depth 6.5 mm, width 52 mm depth 28 mm", "unit/wrong", "30 g"),
        ("form ovoid width 30 depth 6.5 mm, width 52 mm depth 28 mm", "unit/missing", "30"),
        (
            "form ovoid width 70 mm depth 6.5 mm, width 80 mm depth 28 mm",
            "unit/implausible",
            "70 mm",
        ),
    ] {
        let all = findings(form);
        let found = all.iter().find(|f| f.code.as_str() == code);
        let found = found.unwrap_or_else(|| panic!("{form}: {all:?}"));
        assert!(found.message.contains(said), "{}", found.message);
        let text = house(form);
        let line = text[..found.place.span.start as usize].matches('\n').count();
        assert_eq!(line, 4, "{}", found.message);
    }
}
