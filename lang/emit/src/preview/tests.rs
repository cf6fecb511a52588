use super::*;
use springline_lang::check::{CheckOptions, Checked, SourceText, check};
use springline_lang::step_at;
use springline_lang::syntax::FileKind;
use springline_test_support::Practices;
use springline_units::tooth::Arch;

fn checked(text: &str) -> Checked {
    let source = SourceText { name: "a.spring".into(), text: text.into() };
    let options = CheckOptions { today: Some("2026-11-24".parse().unwrap()) };
    check(&source, &Practices::saltmarsh(), &options)
}

fn previewed(checked: &Checked) -> Previewed<'_> {
    Previewed {
        course: checked.course(),
        findings: &checked.findings,
        is_practice_file: checked.parse.kind == FileKind::House,
    }
}

fn drawn(checked: &Checked, choice: PreviewChoice) -> String {
    view(&previewed(checked), choice)
}

fn both_arches() -> Checked {
    checked(include_str!("../../../../examples/cases/sm-0410-both-arches.spring"))
}

#[test]
fn every_wire_has_its_moment_and_days_do_not_go_back() {
    let checked = both_arches();
    let forecast = checked.forecast.as_ref().unwrap();
    let all = moments(forecast);
    for arch in &forecast.arches {
        for phase in 0..arch.phases.len() {
            assert!(all.iter().any(|m| m.phase(arch.arch) == Some(phase)), "{} {phase}", arch.arch);
        }
    }
    assert!(all.windows(2).all(|w| w[0].date <= w[1].date || w[1].date.is_none()), "{all:?}");
}

#[test]
fn the_step_under_the_cursor_is_the_one_that_is_shown() {
    let checked = both_arches();
    let shown = drawn(&checked, PreviewChoice::Step(Arch::Upper, 3));
    assert!(shown.contains("Upper, finish: forecast force of beta-18x25"), "{shown}");
    assert!(shown.contains("<svg") && shown.contains("<desc"));
    assert_eq!(shown.matches("aria-current").count(), 1);
    // Beyond the last there is the last.
    assert_eq!(drawn(&checked, PreviewChoice::Moment(9999)).matches("aria-current").count(), 1);
}

#[test]
fn the_cursor_chooses_the_step_around_it() {
    let checked = both_arches();
    let text = checked.parse.source.clone();
    let at = |what: &str| PreviewChoice::from(step_at(&checked, text.find(what).unwrap()));
    assert_eq!(at("ipr 0.2 mm"), PreviewChoice::Step(Arch::Lower, 3));
    assert_eq!(at("align, next"), PreviewChoice::Step(Arch::Lower, 0));
    assert_eq!(at("overjet 2.5"), PreviewChoice::Today);
}

#[test]
fn today_shows_what_is_in_today() {
    let shown = drawn(&both_arches(), PreviewChoice::Today);
    assert!(shown.contains("Upper, work: forecast force of beta-18x25"), "{shown}");
    assert!(shown.contains("Lower, level: forecast force of niti-16x22"), "{shown}");
}

#[test]
fn what_cannot_be_drawn_says_why() {
    assert!(
        drawn(&checked("springline 1\ncase \"SM-1\"\nupper {\n}\n"), PreviewChoice::Today)
            .contains("No arch has a step yet")
    );
    assert!(
        drawn(&checked("springline 1\nhouse \"x\"\n"), PreviewChoice::Today)
            .contains("a practice file")
    );
    assert!(drawn(&checked(""), PreviewChoice::Today).contains("Nothing to draw"));
}

/// The style follows the greys of the drawing by their figures.
#[test]
fn every_shade_of_the_drawing_is_one_that_the_page_knows() {
    use crate::draw::list::Shade;
    for shade in [Shade::Ink, Shade::Soft, Shade::Pale, Shade::Paper] {
        let g = shade.grey();
        let name = format!("#{g:02x}{g:02x}{g:02x}");
        assert!(STYLE.contains(&format!("[fill=\"{name}\"]")), "{name}");
    }
}

#[test]
fn the_page_runs_its_own_script_only_and_asks_nobody_else() {
    let page = page("SM-1 <b>", "<p>x</p>", "abc");
    assert!(page.contains("script-src 'nonce-abc'") && page.contains("<script nonce=\"abc\">"));
    assert!(page.contains("SM-1 &lt;b&gt;"));
    assert!(!page.contains("http://") && !page.contains("https://"), "{page}");
    assert!(page.contains("supports a licensed clinician"));
}
