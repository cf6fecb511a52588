//! Writes the typed tree of the vocabulary as Rust.

use std::fmt::Write as _;

use crate::model::{
    Alternative, Count, Lead, Member, Shape, Statement, What, camel, choices, fragments, is_later,
    statements,
};

const HEAD: &str = "//! Written from the vocabulary; do not edit. To write it anew:
//! `UPDATE_DOCS=1 cargo test -p springline-syntax --test typed_tree`.

// These live only while a statement is read.
#![allow(clippy::large_enum_variant)]

use super::found::{
    ChoiceList, FieldList, Lead, MatchScope, PartList, ReadChoice, ReadFragment, ReadWord,
};
use super::*;
use crate::tree::FragmentMatch;

";

/// The whole file, not yet laid out by rustfmt.
pub fn source() -> String {
    let statements = statements();
    let mut out = HEAD.to_owned();
    kinds(&statements, &mut out);
    blocks(&statements, &mut out);
    for statement in statements.iter().filter(|s| !is_later(s.row)) {
        line(statement, &mut out);
    }
    for (name, pattern, shape) in fragments() {
        fragment(name, pattern, &shape, &mut out);
    }
    for (name, text, shape) in choices() {
        choice(name, &text, &shape, &mut out);
    }
    out
}

// ---------------------------------------------------------------- statements

fn kinds(statements: &[Statement], out: &mut String) {
    let names: Vec<&str> = statements.iter().map(|s| s.name.as_str()).collect();
    for name in &names {
        let same = names.iter().filter(|other| *other == name).count();
        assert_eq!(same, 1, "two statements are called {name}");
    }
    let _ = writeln!(
        out,
        "/// A statement of the language: a row of the vocabulary.\n\
         #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]\npub enum StatementKind {{"
    );
    for statement in statements {
        let _ = writeln!(out, "{}\n{},", doc(statement.row.pattern), statement.name);
    }
    let all: Vec<String> = names.iter().map(|name| format!("StatementKind::{name}")).collect();
    let _ = writeln!(
        out,
        "}}\n\nimpl StatementKind {{\n/// In the order of the vocabulary.\n\
         pub(super) const ALL: [StatementKind; {}] = [{}];\n}}\n",
        names.len(),
        all.join(",")
    );
}

/// One enum for each block, of the statements that may stand in it.
fn blocks(statements: &[Statement], out: &mut String) {
    let mut contexts: Vec<_> = statements.iter().flat_map(|s| s.row.inside).collect();
    contexts.sort();
    contexts.dedup();
    for context in contexts {
        let may = |s: &&Statement| s.row.inside.contains(context) && !is_later(s.row);
        let names: Vec<&str> = statements.iter().filter(may).map(|s| s.name.as_str()).collect();
        let of = context.describe();
        let _ = writeln!(
            out,
            "/// A statement of {of}.\n#[derive(Debug, Clone, Copy)]\npub enum {context:?}Statement<'a> {{"
        );
        for name in &names {
            let _ = writeln!(out, "{name}({name}Line<'a>),");
        }
        let _ = writeln!(
            out,
            "}}\n\nimpl<'a> {context:?}Statement<'a> {{\n\
             /// `None` where it is another statement or could not be read.\n\
             pub fn cast(statement: StatementRef<'a>) -> Option<Self> {{\nSome(match statement.kind()? {{"
        );
        for name in names {
            let _ = writeln!(
                out,
                "StatementKind::{name} => Self::{name}({name}Line::cast(statement)?),"
            );
        }
        let _ = writeln!(out, "_ => return None,\n}})\n}}\n}}\n");
    }
}

fn line(statement: &Statement, out: &mut String) {
    let Statement { name, row, members } = statement;
    let _ = writeln!(
        out,
        "{}\n#[derive(Debug, Clone, Copy)]\npub struct {name}Line<'a> {{\npub statement: StatementRef<'a>,",
        doc(row.pattern)
    );
    fields(members, "pub ", out);
    let let_found = if members.is_empty() { "" } else { "let found = " };
    let _ = writeln!(
        out,
        "}}\n\nimpl<'a> {name}Line<'a> {{\n\
         /// `None` where it is another statement or could not be read.\n\
         pub fn cast(statement: StatementRef<'a>) -> Option<Self> {{\n\
         {let_found}MatchScope::in_statement(statement, StatementKind::{name})?;\nSome(Self {{ statement, {} }})\n}}\n}}\n",
        readers(members)
    );
}

fn doc(pattern: &str) -> String {
    format!("/// `{pattern}`")
}

// ---------------------------------------------------------------- members

fn fields(members: &[Member], visible: &str, out: &mut String) {
    for member in members {
        let _ = writeln!(out, "{visible}{}: {},", member.field(), type_of(member));
    }
}

fn readers(members: &[Member]) -> String {
    members.iter().map(|m| format!("{}: {},", m.field(), reader(m))).collect()
}

fn type_of(member: &Member) -> String {
    let (one, many) = match &member.what {
        What::Flag(_) => return "bool".to_owned(),
        What::Field { kind, .. } => (format!("{kind:?}Field<'a>"), format!("kind::{kind:?}")),
        What::Words(name) => {
            let name = format!("{}Word", camel(name));
            (name.clone(), name)
        }
        What::Choice(name) => both(format!("{}Part<'a>", camel(name))),
        What::Fragment(name) => both(fragment_type(name)),
        What::List { inner, .. } => both(fragment_type(inner)),
    };
    match (member.count, &member.what) {
        (Count::One, _) => one,
        (Count::Optional, _) => format!("Option<{one}>"),
        (Count::Many, What::Field { .. }) => format!("FieldList<'a, {many}>"),
        (Count::Many, What::Choice(_)) => format!("ChoiceList<'a, {many}>"),
        (Count::Many, What::Fragment(_) | What::List { .. }) => format!("PartList<'a, {many}>"),
        (Count::Many, what) => panic!("{what:?} several times"),
    }
}

fn both(name: String) -> (String, String) {
    (name.clone(), name)
}

/// Words alone are a type without a place in the text.
fn fragment_type(name: &str) -> String {
    let shape = fragments().into_iter().find(|(known, ..)| *known == name).map(|(.., s)| s);
    match shape.expect("a fragment") {
        Shape::Words(_) => format!("{}Word", camel(name)),
        Shape::Choice(alternatives) if alternatives.iter().all(|a| is_words(&a.members)) => {
            format!("{}Part", camel(name))
        }
        _ => format!("{}Part<'a>", camel(name)),
    }
}

fn is_words(members: &[Member]) -> bool {
    members.iter().all(|m| matches!(m.what, What::Words(_) | What::Flag(_)))
}

fn reader(member: &Member) -> String {
    let ask = match (&member.what, member.count) {
        (What::Flag(word), _) => return format!("found.says(\"{word}\")"),
        (What::Field { label, .. }, Count::Many) => return format!("found.fields(\"{label}\")"),
        (What::Choice(_), Count::Many) => return "found.choices()".to_owned(),
        (What::Fragment(_), Count::Many) => return "found.parts()".to_owned(),
        (What::List { outer, .. }, _) => return format!("found.list(\"{outer}\").parts()"),
        (What::Field { label, is_second: true, .. }, _) => {
            format!("found.second_field(\"{label}\")")
        }
        (What::Field { label, .. }, _) => format!("found.field(\"{label}\")"),
        (What::Words(_), _) => "found.word()".to_owned(),
        (What::Choice(_), _) => "found.choice()".to_owned(),
        (What::Fragment(_), _) => "found.part()".to_owned(),
    };
    if member.count == Count::One { format!("{ask}?") } else { ask }
}

// ---------------------------------------------------------------- fragments and choices

fn fragment(name: &str, pattern: &str, shape: &Shape, out: &mut String) {
    let doc = doc(pattern);
    match shape {
        Shape::List => {}
        Shape::Words(words) => {
            words_enum(name, &doc, words, out);
            let of = fragment_type(name);
            let _ = writeln!(
                out,
                "impl<'a> ReadFragment<'a> for {of} {{\nconst NAME: &'static str = \"{name}\";\n\n\
                 fn read(found: MatchScope<'a>) -> Option<Self> {{\nfound.word()\n}}\n}}\n"
            );
        }
        Shape::Struct(members) => {
            let of = fragment_type(name);
            let _ = writeln!(
                out,
                "{doc}\n#[derive(Debug, Clone, Copy)]\npub struct {of} {{\npub fragment: FragmentMatch<'a>,"
            );
            fields(members, "pub ", out);
            let _ = writeln!(
                out,
                "}}\n\nimpl<'a> ReadFragment<'a> for {of} {{\nconst NAME: &'static str = \"{name}\";\n\n\
                 fn read(found: MatchScope<'a>) -> Option<Self> {{\n\
                 Some(Self {{ fragment: found.group(Self::NAME), {} }})\n}}\n}}\n",
                readers(members)
            );
        }
        Shape::Choice(alternatives) => {
            let of = fragment_type(name);
            alternatives_enum(&of, &doc, alternatives, out);
            let head = format!(
                "impl<'a> ReadFragment<'a> for {of} {{\nconst NAME: &'static str = \"{name}\";\n"
            );
            read_alternatives(&head, alternatives, out);
        }
    }
}

fn choice(name: &str, text: &str, shape: &Shape, out: &mut String) {
    let doc = doc(text);
    match shape {
        Shape::Words(words) => words_enum(name, &doc, words, out),
        Shape::Choice(alternatives) => {
            let of = format!("{}Part<'a>", camel(name));
            alternatives_enum(&of, &doc, alternatives, out);
            read_alternatives(&format!("impl<'a> ReadChoice<'a> for {of} {{"), alternatives, out);
        }
        Shape::Struct(_) | Shape::List => panic!("`{text}` is no choice"),
    }
}

fn words_enum(name: &str, doc: &str, words: &[&str], out: &mut String) {
    let of = format!("{}Word", camel(name));
    let variants: String = words.iter().map(|word| format!("{},", camel(word))).collect();
    let written: String =
        words.iter().map(|word| format!("Self::{} => \"{word}\",", camel(word))).collect();
    let read: String =
        words.iter().map(|word| format!("\"{word}\" => Self::{},", camel(word))).collect();
    let _ = writeln!(
        out,
        "{doc}\n#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]\npub enum {of} {{ {variants} }}\n\n\
         impl {of} {{\n/// As the formatter writes it.\npub fn word(self) -> &'static str {{\n\
         match self {{ {written} }}\n}}\n}}\n\n\
         impl ReadWord for {of} {{\nfn from_word(word: &str) -> Option<Self> {{\n\
         Some(match word {{ {read} _ => return None, }})\n}}\n}}\n"
    );
}

fn alternatives_enum(of: &str, doc: &str, alternatives: &[Alternative], out: &mut String) {
    let _ = writeln!(out, "{doc}\n#[derive(Debug, Clone, Copy)]\npub enum {of} {{");
    for Alternative { name, members, .. } in alternatives {
        let name = camel(name);
        match &members[..] {
            [] => out.push_str(&format!("{name},\n")),
            [one] => out.push_str(&format!("{name}({}),\n", type_of(one))),
            _ => {
                let _ = writeln!(out, "{name} {{");
                fields(members, "", out);
                out.push_str("},\n");
            }
        }
    }
    out.push_str("}\n\n");
}

fn read_alternatives(head: &str, alternatives: &[Alternative], out: &mut String) {
    let _ = writeln!(
        out,
        "{head}\nfn read(found: MatchScope<'a>) -> Option<Self> {{\nSome(match found.lead()? {{"
    );
    for Alternative { name, leads, members } in alternatives {
        let leads: Vec<String> = leads.iter().map(lead).collect();
        let name = camel(name);
        let value = match &members[..] {
            [] => String::new(),
            [one] => format!("({})", reader(one)),
            _ => format!("{{ {} }}", readers(members)),
        };
        let _ = writeln!(out, "{} => Self::{name}{value},", leads.join(" | "));
    }
    out.push_str("_ => return None,\n})\n}\n}\n\n");
}

fn lead(lead: &Lead) -> String {
    let (kind, name) = match lead {
        Lead::Word(word) => ("Word", word),
        Lead::Field(label) => ("Field", label),
        Lead::Fragment(name) => ("Fragment", name),
    };
    format!("Lead::{kind}(\"{name}\")")
}
