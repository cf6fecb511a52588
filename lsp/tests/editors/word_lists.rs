//! The editors' lists of words are written from the vocabulary. `UPDATE_DOCS=1` writes them anew.

use std::collections::BTreeSet;

use serde_json::json;
use springline_lang::syntax::patterns::patterns;
use springline_lang::syntax::vocabulary::ALIASES;
use springline_lang::units::quantity::Unit;
use springline_lsp::features::complete::snippets::{SNIPPETS, Snippet};

use crate::project;

/// Words that begin a statement, the others, and units; each in order.
pub struct Words {
    pub statements: Vec<&'static str>,
    pub others: Vec<&'static str>,
    pub units: Vec<&'static str>,
}

pub fn words() -> Words {
    let all = &patterns().all;
    let mut statements: BTreeSet<&str> =
        all.iter().flat_map(|p| p.keywords.iter().copied()).collect();
    let read = ALIASES.iter().filter(|a| a.only_in.is_none() && statements.contains(a.written));
    statements.extend(read.map(|a| a.read).collect::<Vec<_>>());
    let others: BTreeSet<&str> = patterns().words().filter(|w| !statements.contains(w)).collect();
    // A percent sign is no word.
    let units = Unit::ALL.iter().map(|u| u.symbol()).filter(|u| *u != "%");
    Words {
        statements: statements.into_iter().collect(),
        others: others.into_iter().collect(),
        units: units.collect(),
    }
}

pub fn check(path: &str, wanted: &str) {
    let path = project().join(path);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, wanted).unwrap();
        return;
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        there == wanted,
        "{} is not what the vocabulary says; UPDATE_DOCS=1 cargo test -p springline-lsp --test editors",
        path.display()
    );
}

/// Words in lines of a readable width, each line begun with the same text.
pub fn lines(words: &[&str], begin: &str, between: &str) -> String {
    let mut out = String::new();
    let mut line = String::new();
    for word in words {
        if !line.is_empty() && line.len() + word.len() > 90 {
            out.push_str(&format!("{begin}{line}\n"));
            line.clear();
        }
        if !line.is_empty() {
            line.push_str(between);
        }
        line.push_str(word);
    }
    out.push_str(&format!("{begin}{line}\n"));
    out
}

#[test]
fn neovim() {
    let words = words();
    let keyword = |group: &str| format!("syntax keyword {group} ");
    // A keyword wins over every match, so statements are matched where a line begins.
    let statements = words.statements.join("\\|");
    let text = format!(
        "\" Written from the vocabulary by `UPDATE_DOCS=1 cargo test -p springline-lsp --test editors`.\n\
         if exists(\"b:current_syntax\")\n  finish\nendif\n\
         syntax iskeyword @,48-57,-,192-255\n\
         {}{}\
         syntax match springlineStatement \"^\\s*\\zs\\<\\%({statements}\\)\\>\"\n\
         syntax match springlineNumber \"\\<\\d\\+\\%(\\.\\d\\+\\)\\?\\>\\|#\\w\\+\"\n\
         syntax match springlineDate \"\\<\\d\\{{4}}-\\d\\d\\?-\\d\\d\\?\\>\"\n\
         syntax region springlineText start=+\"+ end=+\"+ oneline\n\
         syntax match springlineComment \"//.*$\" contains=@Spell\n\
         highlight default link springlineStatement Statement\n\
         highlight default link springlineWord Identifier\n\
         highlight default link springlineUnit Type\n\
         highlight default link springlineNumber Number\n\
         highlight default link springlineDate Constant\n\
         highlight default link springlineText String\n\
         highlight default link springlineComment Comment\n\
         let b:current_syntax = \"springline\"\n",
        lines(&words.others, &keyword("springlineWord"), " "),
        lines(&words.units, &keyword("springlineUnit"), " "),
    );
    check("editors/neovim/syntax/springline.vim", &text);
}

#[test]
fn vscode() {
    let words = words();
    let any = |words: &[&str]| words.join("|");
    let end = "(?![\\p{L}\\p{N}-])";
    let grammar = json!({
        "comment": "Written from the vocabulary: UPDATE_DOCS=1 cargo test -p springline-lsp --test editors",
        "name": "Springline",
        "scopeName": "source.springline",
        "patterns": [
            {"name": "comment.line.double-slash.springline", "match": "//.*$"},
            {"name": "string.quoted.double.springline", "match": "[\"“„][^\"”“]*[\"”“]?"},
            {
                "match": format!("^\\s*({}){end}", any(&words.statements)),
                "captures": {"1": {"name": "keyword.control.springline"}}
            },
            {"name": "constant.other.date.springline", "match": "\\b[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}\\b"},
            {
                "match": format!("([0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)(?:\\s*({}|%){end})?", any(&words.units)),
                "captures": {
                    "1": {"name": "constant.numeric.springline"},
                    "2": {"name": "keyword.other.unit.springline"}
                }
            },
            {"name": "constant.other.tooth.springline", "match": "#[0-9A-Za-z]+\\b"},
            {
                "name": "support.type.property-name.springline",
                "match": format!("(?<![\\p{{L}}\\p{{N}}-])({}){end}", any(&words.others))
            }
        ]
    });
    let text = serde_json::to_string_pretty(&grammar).unwrap() + "\n";
    check("editors/vscode/syntaxes/springline.tmLanguage.json", &text);
}

/// Those that the server offers, with common names where it puts the house's; for the moments when it is
/// not there. Typing `new` lists them.
#[test]
fn vscode_snippets() {
    let names = [
        ("$date", "2026-09-14"),
        ("$doctor", "KL"),
        ("$bracket", "twin"),
        ("$tube", "molar"),
        ("$sequence", "usual"),
        ("$elastic", "light"),
        ("$open-coil", "open-100"),
        ("$wire", "niti-14"),
    ];
    let one = |snippet: &Snippet| {
        let body =
            names.iter().fold(snippet.body.to_owned(), |b, (mark, name)| b.replace(mark, name));
        let word = snippet.label.trim_end_matches(" ...");
        let body: Vec<&str> = body.lines().collect();
        let said = json!({
            "prefix": format!("new {word}"), "body": body, "description": snippet.detail
        });
        (word.to_owned(), said)
    };
    let all: serde_json::Map<String, serde_json::Value> = SNIPPETS.iter().map(one).collect();
    let text = serde_json::to_string_pretty(&all).unwrap() + "\n";
    check("editors/vscode/snippets/springline.json", &text);
}

#[test]
fn emacs() {
    let words = words();
    let list = |name: &str, words: &[&str], what: &str| {
        let quoted: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
        let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
        let body = lines(&quoted, "    ", " ");
        format!("(defconst {name}\n  '(\n{body}    )\n  \"{what}\")\n\n")
    };
    let text = format!(
        ";;; springline-words.el --- The words of the language -*- lexical-binding: t -*-\n\n\
         ;;; Commentary:\n\n;; Written from the vocabulary by\n\
         ;; UPDATE_DOCS=1 cargo test -p springline-lsp --test editors\n\n;;; Code:\n\n{}{}{}\
         (provide 'springline-words)\n;;; springline-words.el ends here\n",
        list("springline-statements", &words.statements, "Words that begin a statement."),
        list("springline-words", &words.others, "Other words of the language."),
        list("springline-units", &words.units, "Units."),
    );
    check("editors/emacs/springline-words.el", &text);
}

#[test]
fn kakoune() {
    let words = words();
    let any = |words: &[&str]| words.join("|");
    let text = format!(
        "# Springline in Kakoune. Written from the vocabulary by\n\
         # UPDATE_DOCS=1 cargo test -p springline-lsp --test editors\n\n\
         hook global BufCreate .*[.]spring %{{\n    set-option buffer filetype springline\n}}\n\n\
         hook global WinSetOption filetype=springline %{{\n\
         \x20   require-module springline\n\
         \x20   set-option buffer comment_line '//'\n\
         \x20   set-option buffer indentwidth 2\n\
         \x20   add-highlighter window/springline ref springline\n\
         \x20   hook -once -always window WinSetOption filetype=.* %{{ remove-highlighter window/springline }}\n\
         }}\n\n\
         provide-module springline %{{\n\n\
         add-highlighter shared/springline regions\n\
         add-highlighter shared/springline/text region '\"' '\"|$' fill string\n\
         add-highlighter shared/springline/comment region '//' '$' fill comment\n\
         add-highlighter shared/springline/code default-region group\n\
         add-highlighter shared/springline/code/ regex '(?<![\\w-])({})(?![\\w-])' 0:variable\n\
         add-highlighter shared/springline/code/ regex '^\\h*({})(?![\\w-])' 1:keyword\n\
         add-highlighter shared/springline/code/ regex '(?<![\\w-])\\d+(\\.\\d+)?\\h*({}|%)?(?![\\w-])' 0:value 2:type\n\
         add-highlighter shared/springline/code/ regex '(?<![\\w-])\\d{{4}}-\\d\\d?-\\d\\d?(?![\\w-])' 0:value\n\
         add-highlighter shared/springline/code/ regex '#\\w+' 0:value\n\n\
         }}\n",
        any(&words.others),
        any(&words.statements),
        any(&words.units),
    );
    check("editors/kakoune/springline.kak", &text);
}

#[test]
fn every_editor_knows_the_ending_and_the_command() {
    for (file, says) in [
        ("editors/neovim/ftdetect/springline.vim", "*.spring"),
        ("editors/neovim/lua/springline/init.lua", "\"springline\", \"lsp\""),
        ("editors/vscode/package.json", "\".spring\""),
        ("editors/vscode/src/extension.js", "[\"lsp\"]"),
        ("editors/emacs/springline-mode.el", "\"springline\" \"lsp\""),
        ("editors/helix/languages.toml", "args = [\"lsp\"]"),
        ("editors/kakoune/springline.kak", "[.]spring"),
    ] {
        let text = std::fs::read_to_string(project().join(file)).unwrap_or_default();
        assert!(text.contains(says), "{file} does not say {says}");
    }
}
