//! The reference page of the rules and the gallery of their messages are made from the register.
//! `UPDATE_DOCS=1 cargo test -p springline-lang --test rules` writes them anew.

use std::fmt::Write as _;
use std::path::Path;

use crate::rules_common::line_of;
use crate::trials::TRIALS;
use springline_lang::finding::FixKind;
use springline_lang::finding::language::LANGUAGE_FINDINGS;
use springline_lang::glossary::TERMS;
use springline_lang::model::limits::Limit;
use springline_lang::rules::register::{FAMILIES, RULES};
use springline_lang::units::quantity::plain;

fn compare(name: &str, made: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs").join(name);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, made).unwrap();
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == made,
        "docs/{name} is stale: run UPDATE_DOCS=1 cargo test -p springline-lang --test rules"
    );
}

#[test]
fn the_reference_page_is_the_register() {
    let mut page = String::from(
        "# Rules\n\nGenerated from the register of rules; every example is run as a test. A finding is an error \
         (would do harm if printed), a warning (the doctor should check) or advice.\n",
    );
    for (family, what) in FAMILIES {
        let rules: Vec<_> = RULES.iter().filter(|r| r.family() == *family).collect();
        if rules.is_empty() {
            continue;
        }
        let _ = write!(page, "\n## {family}: {what}\n");
        for rule in rules {
            let said = rule.page();
            let _ = write!(
                page,
                "\n### {}\n\n{} ({} at worst)\n\n- **Finds**: {}\n- **Why it matters**: {}\n- **What to do**: \
                 {}\n- **Accept when**: {}\n- **Source**: {}\n",
                rule.code,
                capital(said.title),
                rule.severity,
                said.finds,
                said.why,
                said.what_to_do,
                said.accept_when,
                said.source,
            );
            for example in &said.examples {
                let text = example.failing;
                let _ = write!(page, "\nReported at the marked line:\n\n```text\n{text}```\n");
                for change in &example.changes {
                    let text = example.after(*change).unwrap();
                    let _ = write!(page, "\nNot reported:\n\n```text\n{text}```\n");
                }
            }
        }
    }
    page.push_str(
        "\n## Findings about the text\n\nThese are corrected in the text and cannot be accepted.\n\n| finding | meaning | what to do |\n| --- | --- | --- |\n",
    );
    for finding in LANGUAGE_FINDINGS {
        let _ =
            writeln!(page, "| `{}` | {} | {} |", finding.code, finding.title, finding.what_to_do);
    }
    page.push_str(
        "\n## Limits\n\nDefaults; a practice sets its own with `limit` (lang/docs/limits.md gives the reasons).\n\n| limit | warning | error | source |\n| --- | --- | --- | --- |\n",
    );
    for limit in Limit::ALL {
        let (warn, stop, source) = limit.default_figures();
        let stop = stop.map_or(String::new(), |s| format!("{} {}", plain(s), limit.unit()));
        let _ = writeln!(
            page,
            "| `{}` | {} {} | {stop} | {source} |",
            limit.word(),
            plain(warn),
            limit.unit()
        );
    }
    page.push_str("\n## Terms\n\n| term | meaning | use | source |\n| --- | --- | --- | --- |\n");
    for term in TERMS {
        let names = term.names.join(", ");
        let _ = writeln!(page, "| {names} | {} | {} | {} |", term.means, term.here(), term.source);
    }
    compare("rules.md", &page);
}

#[test]
fn the_gallery_shows_every_message() {
    let mut page = String::from(
        "# Gallery\n\nEvery rule's message as printed for its failing example, with the fixes that were recomputed and \
         resolve it. Read them aloud: calm, exact, no blame.\n",
    );
    for trial in &*TRIALS {
        for finding in trial.own() {
            let _ = write!(
                page,
                "\n## {} ({}, line {})\n\n{}\n",
                trial.rule.code,
                finding.severity,
                line_of(trial.example.failing, finding),
                finding.message
            );
            if let Some(why) = &finding.why {
                let _ = writeln!(page, "- {why}");
            }
            for note in &finding.notes {
                let _ = writeln!(page, "- {note}");
            }
            for fix in &finding.fixes {
                let outcome = fix.outcome.as_ref().map_or(String::new(), |o| format!(" - {o}"));
                let whose = match fix.kind {
                    FixKind::Safe => "",
                    FixKind::Clinical => " (needs doctor's approval)",
                };
                let _ = writeln!(page, "- Fix: {}{outcome}{whose}", fix.title);
            }
        }
    }
    compare("gallery.md", &page);
}

/// Textbook ranges beside the house's defaults: limit, what it is about, from, to, source as listed on the page.
const TEXTBOOK: &[(Limit, &str, f64, f64, &str)] = &[
    (Limit::Sustained, "tipping", 35.0, 60.0, "Proffit, current"),
    (Limit::Tipping, "tipping", 35.0, 60.0, "Proffit, current"),
    (Limit::Tipping, "tipping", 50.0, 75.0, "Proffit, 1993"),
    (Limit::Bodily, "bodily movement", 70.0, 120.0, "Proffit, current"),
    (Limit::Bodily, "bodily movement", 100.0, 150.0, "Proffit, 1993"),
    (Limit::Extrusion, "extrusion", 35.0, 60.0, "Proffit, current"),
    (Limit::Extrusion, "extrusion", 50.0, 75.0, "Proffit, 1993"),
    (Limit::Intrusion, "intrusion", 10.0, 20.0, "Proffit, current"),
    (Limit::Intrusion, "intrusion", 15.0, 25.0, "Proffit, 1993"),
    (Limit::Torque, "torque of an upper incisor", 5.0, 20.0, "Burstone 1982"),
    (Limit::Coil, "opening space for a lateral", 25.0, 200.0, "Steinbach 2006"),
];

/// The distance of the default limits from textbook forces, on the page that gives the reasons for them.
#[test]
fn the_page_of_limits_has_the_textbooks_beside_them() {
    const BEGIN: &str = "<!-- begin: made by tests/rules/docs.rs -->\n";
    const END: &str = "<!-- end -->";
    let mut table = String::from(
        "| limit | warning, error | textbook, for | range | warning at | error at | source |\n\
         | --- | --- | --- | --- | --- | --- | --- |\n",
    );
    for (limit, movement, from, to, source) in TEXTBOOK {
        let (warn, stop, _) = limit.default_figures();
        let stop = stop.expect("each of these stops");
        // Of the upper end and of the lower.
        let times = |figure: f64| format!("{:.1} to {:.1} times", figure / to, figure / from);
        let _ = writeln!(
            table,
            "| `{}` | {}, {} {unit} | {movement} | {} to {} {unit} | {} | {} | {source} |",
            limit.word(),
            plain(warn),
            plain(stop),
            plain(*from),
            plain(*to),
            times(warn),
            times(stop),
            unit = limit.unit()
        );
    }
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("docs/limits.md");
    let page = std::fs::read_to_string(&path).unwrap();
    for (.., source) in TEXTBOOK {
        assert!(page.contains(&format!("\n- **{source}**: ")), "{source} has no citation");
    }
    let (head, rest) = page.split_once(BEGIN).expect("the mark of the table");
    let (_, tail) = rest.split_once(END).expect("the end of the table");
    let fresh = format!("{head}{BEGIN}{table}{END}{tail}");
    compare("limits.md", &fresh);
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or(String::new(), |c| c.to_uppercase().collect::<String>() + chars.as_str())
}
