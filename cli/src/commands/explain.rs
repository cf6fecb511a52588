//! `springline explain`: explains a finding, a term or a default.

use std::process::ExitCode;

use springline_emit::caution::CAUTION;
use springline_lang::finding::language::{LANGUAGE_FINDINGS, language_finding};
use springline_lang::glossary::{GlossaryTerm, TERMS, terms};
use springline_lang::meanings::{meaning, sketch};
use springline_lang::model::limits::Limit;
use springline_lang::rules;
use springline_lang::rules::FAMILIES;
use springline_lang::syntax::pattern::EXCEPT;
use springline_lang::syntax::patterns::{Pattern, patterns};
use springline_lang::syntax::vocabulary::{
    ALIASES, Alias, FRAGMENTS, ROWS, SupportLevel, aliases, is_by_the_tooth,
};
use springline_lang::units::quantity::plain;

use crate::args::ExplainArgs;
use crate::output::print;
use crate::problem::Problem;

pub fn run(explain: &ExplainArgs) -> Result<ExitCode, Problem> {
    let Some(what) = explain.what.as_deref() else {
        print(&format!("{}\n{CAUTION}\n", listing()));
        return Ok(ExitCode::SUCCESS);
    };
    let out = said(what);
    if out.is_empty() {
        let near = nearest(what);
        let help = if near.is_empty() {
            "`springline explain` alone lists what can be explained.".to_owned()
        } else {
            format!("Did you mean {}?", near.join(", "))
        };
        return Err(Problem::usage(format!("Nothing is called `{what}`."), help));
    }
    print(&format!("{}\n\n{CAUTION}\n", out.trim_end()));
    Ok(ExitCode::SUCCESS)
}

/// Everything of that name, and of what it is read as; empty where there is nothing.
fn said(what: &str) -> String {
    let mut out = of_this_name(what);
    for alias in aliases(what) {
        out.push_str(&format!("{}\n\n{}", read_as(alias), of_this_name(alias.written)));
    }
    out
}

fn read_as(alias: &Alias) -> String {
    let Alias { read, written, only_in } = alias;
    let place = only_in.map_or(String::new(), |word| format!("In a `{word}` line "));
    let end = if is_by_the_tooth(read) {
        "which of the two is written depends on the teeth"
    } else {
        "the formatter writes it so"
    };
    format!("{place}`{read}` is read as `{written}`; {end}.")
}

fn of_this_name(what: &str) -> String {
    let mut out: String = terms(what).map(term).collect();
    out.extend(rule(what));
    out.extend(language(what));
    out.extend(limit(what));
    out.push_str(&words(what));
    out
}

fn listing() -> String {
    let mut out = String::from("Findings\n");
    for (family, about) in FAMILIES {
        out.push_str(&format!("\n  {family}: {about}\n"));
        for rule in rules::register::RULES.iter().filter(|r| r.family() == *family) {
            out.push_str(&format!("    {:<34} {}\n", rule.code, rule.page().title));
        }
        for finding in
            LANGUAGE_FINDINGS.iter().filter(|f| f.code.starts_with(&format!("{family}/")))
        {
            out.push_str(&format!("    {:<34} {}\n", finding.code, finding.title));
        }
    }
    out.push_str("\nLimits (set in the practice file with `limit`)\n\n");
    for limit in Limit::ALL {
        out.push_str(&format!("    {:<34} {}\n", limit.word(), figures(limit)));
    }
    out.push_str("\nTerms\n\n");
    for term in TERMS {
        out.push_str(&format!("    {}\n", term.names.join(", ")));
    }
    out.push_str("\nAny word of the language can be explained too, such as `bypass` or `until`.\n");
    out
}

fn term(term: &GlossaryTerm) -> String {
    format!(
        "{}\n{}\n\nUse      {}\nSource   {}\n\n",
        term.names[0],
        term.means,
        term.here(),
        term.source
    )
}

fn rule(code: &str) -> Option<String> {
    let rule = rules::rule(code)?;
    let page = rule.page();
    Some(format!(
        "{} ({})\n{}\n\nFinds    {}\nWhy      {}\nTo do    {}\nAccept   {}\nSource   {}\n\nExample that is reported:\n\n{}\n",
        rule.code,
        rule.severity,
        page.title,
        page.finds,
        page.why,
        page.what_to_do,
        page.accept_when,
        page.source,
        indent(page.failing())
    ))
}

fn language(code: &str) -> Option<String> {
    let finding = language_finding(code)?;
    Some(format!("{}\n{}\n\nTo do    {}\n", finding.code, finding.title, finding.what_to_do))
}

fn indent(text: &str) -> String {
    text.trim().lines().map(|l| format!("    {l}\n")).collect()
}

fn figures(limit: Limit) -> String {
    let (warn, stop, _) = limit.default_figures();
    let stop =
        stop.map(|s| format!(", error at {} {}", plain(s), limit.unit())).unwrap_or_default();
    format!("warning at {} {}{stop}", plain(warn), limit.unit())
}

fn limit(word: &str) -> Option<String> {
    let limit = Limit::from_word(word)?;
    let (_, _, source) = limit.default_figures();
    Some(format!("limit {word}: {}\nSource   {source}\n\n", figures(limit)))
}

fn words(word: &str) -> String {
    let mut out = String::new();
    if let Some(meaning) = meaning("", word) {
        out.push_str(&format!("{word}\n{meaning}\n\n"));
        out.extend(sketch(word).map(|drawn| format!("{drawn}\n")));
    }
    let says = |pattern: &str| {
        pattern.split(|c: char| !(c.is_alphanumeric() || c == '-')).any(|w| w == word)
    };
    // A word that no statement has itself may belong to a shape that several share.
    if !ROWS.iter().any(|row| says(row.pattern)) {
        if FRAGMENTS.iter().any(|(_, pattern)| says(pattern)) || word == EXCEPT {
            out.push_str(&format!("Said in lines such as\n{}\n", said_in(word)));
        }
        return out;
    }
    for row in ROWS.iter().filter(|row| says(row.pattern)) {
        let places: Vec<&str> = row.inside.iter().map(|c| c.describe()).collect();
        let stage = match row.stage {
            SupportLevel::Computed => "",
            SupportLevel::Printed => " (printed, not computed)",
            SupportLevel::Later => " (not yet)",
        };
        out.push_str(&format!(
            "{}\n    in {}{stage}\n    example: {}\n\n",
            row.doc,
            places.join(", "),
            row.example
        ));
    }
    out
}

/// Lines in which a word may occur, from the examples of their statements.
fn said_in(word: &str) -> String {
    let holds = |pattern: &&Pattern| pattern.may_say(word);
    let all: Vec<&str> =
        patterns().all.iter().filter(holds).map(|p| p.row.example.trim_end_matches(" {")).collect();
    let own =
        all.iter().filter(|e| e.contains(word)).chain(all.iter().filter(|e| !e.contains(word)));
    own.take(3).map(|example| format!("    {example}\n")).collect()
}

fn nearest(word: &str) -> Vec<&'static str> {
    let codes = rules::register::RULES.iter().map(|r| r.code);
    let limits = Limit::ALL.into_iter().map(Limit::word);
    let named = TERMS.iter().flat_map(|t| t.names.iter().copied());
    let read = ALIASES.iter().map(|alias| alias.read);
    springline_lang::text::nearest::nearest(word, codes.chain(limits).chain(named).chain(read))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_finding_limit_term_and_word_is_explained() {
        let mut silent: Vec<String> = Vec::new();
        let mut ask = |what: &str| {
            if said(what).trim().is_empty() {
                silent.push(what.to_owned());
            }
        };
        rules::register::RULES.iter().for_each(|r| ask(r.code));
        LANGUAGE_FINDINGS.iter().for_each(|f| ask(f.code));
        Limit::ALL.into_iter().for_each(|l| ask(l.word()));
        TERMS.iter().flat_map(|t| t.names).for_each(|n| ask(n));
        let rows = ROWS.iter().map(|row| row.pattern);
        for pattern in rows.chain(FRAGMENTS.iter().map(|(_, pattern)| *pattern)) {
            // Placeholders are in angle brackets; everything else in a pattern is a word.
            let mut in_hole = false;
            let mut word = String::new();
            for c in pattern.chars().chain([' ']) {
                match c {
                    '<' => in_hole = true,
                    '>' => in_hole = false,
                    c if !in_hole && (c.is_alphanumeric() || c == '-') => word.push(c),
                    _ => {
                        let plain = word.trim_matches('-');
                        if plain.chars().any(char::is_alphabetic) {
                            ask(plain);
                        }
                        word.clear();
                    }
                }
            }
        }
        assert!(silent.is_empty(), "{silent:?}");
    }

    /// A synonym names the word that is written instead.
    #[test]
    fn every_word_that_is_read_as_another_is_explained_by_it() {
        for alias in ALIASES {
            let own = of_this_name(alias.written);
            assert!(!own.trim().is_empty(), "{}", alias.written);
            let out = said(alias.read);
            assert!(out.contains(&format!("is read as `{}`", alias.written)), "{out}");
            assert!(out.contains(&own), "{out}");
        }
    }

    /// Words of the trade that findings use have their own explanation.
    #[test]
    fn words_of_the_trade_in_findings_are_explained() {
        const TRADE: &[&str] = &[
            "abutment",
            "align",
            "anchorage",
            "bite-raisers",
            "bond",
            "bracket",
            "bypass",
            "chain",
            "cinched",
            "couple",
            "crossbite",
            "delivered",
            "engage",
            "extrusion",
            "figure-eight",
            "free",
            "gap",
            "give",
            "hook",
            "intrusion",
            "laceback",
            "level",
            "midline",
            "misfit",
            "open-coil",
            "overbite",
            "overjet",
            "passive",
            "peak",
            "pick-up",
            "piggyback",
            "play",
            "post",
            "rebond",
            "reposition",
            "retain",
            "settle",
            "sleeve",
            "slide",
            "slot",
            "stop",
            "strain",
            "sustained",
            "tandem",
            "tie",
            "torque",
            "travel",
            "tubes",
            "turned-in",
        ];
        let silent: Vec<&&str> = TRADE.iter().filter(|w| said(w).trim().is_empty()).collect();
        assert!(silent.is_empty(), "{silent:?}");
    }
}
