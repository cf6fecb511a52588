//! What the typed tree has for each pattern of the vocabulary: its fields, choices and parts.

use springline_syntax::pattern::{PatternNode, PlaceholderKind, parse_pattern};
use springline_syntax::vocabulary::{CHOICES, FRAGMENTS, Production, ROWS, SupportLevel};

/// How often something may be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    One,
    Optional,
    Many,
}

/// What is said.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// A value; the second of its label is called by the word before it.
    Field {
        kind: PlaceholderKind,
        label: &'static str,
        is_second: bool,
    },
    /// A word that may be left out.
    Flag(&'static str),
    /// A choice between words, by its name.
    Words(&'static str),
    /// A choice between longer alternatives, by its name.
    Choice(&'static str),
    Fragment(&'static str),
    /// The fragments of a fragment that is nothing but their list.
    List {
        outer: &'static str,
        inner: &'static str,
    },
}

#[derive(Debug, Clone)]
pub struct Member {
    pub what: What,
    pub count: Count,
    /// The word just before it.
    after: Option<&'static str>,
}

/// An alternative of a choice.
#[derive(Debug, Clone)]
pub struct Alternative {
    pub name: String,
    pub leads: Vec<Lead>,
    pub members: Vec<Member>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lead {
    Word(&'static str),
    Field(&'static str),
    Fragment(&'static str),
}

/// A fragment, or a choice that has a name.
#[derive(Debug, Clone)]
pub enum Shape {
    Struct(Vec<Member>),
    Words(Vec<&'static str>),
    Choice(Vec<Alternative>),
    /// Only its parts have a type.
    List,
}

/// A statement.
pub struct Statement {
    pub name: String,
    pub row: &'static Production,
    pub members: Vec<Member>,
}

pub fn node(pattern: &'static str) -> PatternNode {
    parse_pattern(pattern).unwrap_or_else(|e| panic!("{}", e.0))
}

// ---------------------------------------------------------------- members

pub fn members(node: &PatternNode) -> Vec<Member> {
    let one = |what| vec![Member { what, count: Count::One, after: None }];
    match node {
        PatternNode::Word(_) | PatternNode::Comma => Vec::new(),
        PatternNode::Slot(slot) => {
            one(What::Field { kind: slot.hole, label: slot.label, is_second: false })
        }
        PatternNode::Group(name, body) => match list_of(body) {
            Some(inner) => {
                let what = What::List { outer: name, inner };
                vec![Member { what, count: Count::Many, after: None }]
            }
            None => one(What::Fragment(name)),
        },
        PatternNode::Optional(body) => match (members(body), first_word(body)) {
            (none, Some(word)) if none.is_empty() => one(What::Flag(word)),
            (all, _) => all.into_iter().map(optional).collect(),
        },
        PatternNode::Repeat { body, .. } => {
            members(body).into_iter().map(|m| Member { count: Count::Many, ..m }).collect()
        }
        PatternNode::Sequence(parts) => sequence(parts),
        PatternNode::Choice(choices) => match choice_name(choices) {
            Some(name) if words_of(choices).is_some() => one(What::Words(name)),
            Some(name) => one(What::Choice(name)),
            None => flattened(choices),
        },
    }
}

fn optional(member: Member) -> Member {
    let count = if member.count == Count::One { Count::Optional } else { member.count };
    Member { count, ..member }
}

fn sequence(parts: &[PatternNode]) -> Vec<Member> {
    let mut out: Vec<Member> = Vec::new();
    let mut before = None;
    for part in parts {
        let mut new = members(part);
        if let (Some(word), Some(first)) = (before, new.first_mut()) {
            first.after.get_or_insert(word);
        }
        new.into_iter().for_each(|member| add(&mut out, member));
        before = if let PatternNode::Word(word) = part { Some(*word) } else { None };
    }
    out
}

/// The same said again makes several of it; but a second name has one of its own.
fn add(out: &mut Vec<Member>, mut member: Member) {
    let Some(same) = out.iter_mut().find(|m| m.what == member.what) else {
        out.push(member);
        return;
    };
    match &mut member.what {
        What::Field { kind: PlaceholderKind::Name, is_second, .. }
            if member.after.is_some()
                && same.count != Count::Many
                && member.count != Count::Many =>
        {
            *is_second = true;
            out.push(member);
        }
        _ => same.count = Count::Many,
    }
}

/// A choice without a name: each alternative's members, which all of them need not have.
fn flattened(choices: &[PatternNode]) -> Vec<Member> {
    let all: Vec<Vec<Member>> = choices.iter().map(members).collect();
    if let Some(bare) = choices.iter().zip(&all).find(|(_, members)| members.is_empty()) {
        panic!("a choice with words alone needs a name in CHOICES: {}", written(bare.0));
    }
    let mut out: Vec<Member> = Vec::new();
    for member in all.iter().flatten() {
        if out.iter().any(|m| m.what == member.what) {
            continue;
        }
        let in_all = all.iter().all(|members| members.iter().any(|m| m.what == member.what));
        out.push(if in_all { member.clone() } else { optional(member.clone()) });
    }
    out
}

/// The one fragment of which this is nothing but a list.
fn list_of(body: &PatternNode) -> Option<&'static str> {
    if !has_repeat(body) {
        return None;
    }
    match &members(body)[..] {
        [Member { what: What::Fragment(name), count: Count::Many, .. }] => Some(name),
        _ => None,
    }
}

fn has_repeat(node: &PatternNode) -> bool {
    match node {
        PatternNode::Repeat { .. } => true,
        PatternNode::Optional(body) => has_repeat(body),
        PatternNode::Sequence(parts) => parts.iter().any(has_repeat),
        _ => false,
    }
}

fn first_word(node: &PatternNode) -> Option<&'static str> {
    match node {
        PatternNode::Word(word) => Some(word),
        PatternNode::Sequence(parts) => parts.iter().find_map(first_word),
        _ => None,
    }
}

// ---------------------------------------------------------------- choices

fn words_of(choices: &[PatternNode]) -> Option<Vec<&'static str>> {
    let word =
        |node: &PatternNode| if let PatternNode::Word(word) = node { Some(*word) } else { None };
    choices.iter().map(word).collect()
}

fn choice_name(choices: &[PatternNode]) -> Option<&'static str> {
    let text = written(&PatternNode::Choice(choices.to_vec()));
    let names: Vec<_> = CHOICES.iter().filter(|(_, known)| says(known, &text)).collect();
    assert!(names.len() < 2, "`{text}` has several names: {names:?}");
    names.first().map(|(name, _)| *name)
}

fn says(known: &str, text: &str) -> bool {
    known.strip_suffix("...").map_or(known == text, |start| text.starts_with(start))
}

/// A node in the notation of the vocabulary.
fn written(node: &PatternNode) -> String {
    match node {
        PatternNode::Word(word) => (*word).to_owned(),
        PatternNode::Comma => ",".to_owned(),
        PatternNode::Slot(slot) => {
            let kind = format!("{:?}", slot.hole).to_uppercase();
            match slot.label == slot.hole.label() {
                true => kind,
                false => format!("{kind}:{}", slot.label),
            }
        }
        PatternNode::Group(name, _) => format!("@{name}"),
        PatternNode::Optional(body) => format!("[{}]", written(body)),
        PatternNode::Repeat { body, once } => {
            format!("{{{}{}}}", if *once { "" } else { "+ " }, written(body))
        }
        PatternNode::Sequence(parts) => parts.iter().map(written).collect::<Vec<_>>().join(" "),
        PatternNode::Choice(choices) => choices.iter().map(written).collect::<Vec<_>>().join(" | "),
    }
}

fn leads(node: &PatternNode) -> Vec<Lead> {
    match node {
        PatternNode::Word(word) => vec![Lead::Word(word)],
        PatternNode::Slot(slot) => vec![Lead::Field(slot.label)],
        PatternNode::Group(name, _) => vec![Lead::Fragment(name)],
        PatternNode::Comma => Vec::new(),
        PatternNode::Optional(body) | PatternNode::Repeat { body, .. } => leads(body),
        PatternNode::Sequence(parts) => parts.first().map(leads).unwrap_or_default(),
        PatternNode::Choice(choices) => choices.iter().flat_map(leads).collect(),
    }
}

fn alternative(node: &PatternNode) -> Alternative {
    let leads = leads(node);
    let name = match &leads[..] {
        [Lead::Word(name) | Lead::Field(name) | Lead::Fragment(name)] => (*name).to_owned(),
        _ => first_choice(node).expect("a choice with a name at the start").to_owned(),
    };
    Alternative { name, leads, members: members(node) }
}

fn first_choice(node: &PatternNode) -> Option<&'static str> {
    match node {
        PatternNode::Choice(choices) => choice_name(choices),
        PatternNode::Sequence(parts) => first_choice(parts.first()?),
        _ => None,
    }
}

fn shape(node: &PatternNode) -> Shape {
    match node {
        PatternNode::Choice(choices) => match words_of(choices) {
            Some(words) => Shape::Words(words),
            None => Shape::Choice(choices.iter().map(alternative).collect()),
        },
        _ => Shape::Struct(members(node)),
    }
}

/// Every fragment with its pattern and what it is.
pub fn fragments() -> Vec<(&'static str, &'static str, Shape)> {
    let one = |(name, pattern): &(&'static str, &'static str)| {
        let node = node(pattern);
        let shape = if list_of(&node).is_some() { Shape::List } else { shape(&node) };
        (*name, *pattern, shape)
    };
    FRAGMENTS.iter().map(one).collect()
}

/// Every choice that has a name, as it stands in the patterns.
pub fn choices() -> Vec<(&'static str, String, Shape)> {
    let mut out: Vec<(&'static str, String, PatternNode)> = Vec::new();
    let fragments = FRAGMENTS.iter().map(|(_, pattern)| match node(pattern) {
        // The fragment's own choice is the fragment's.
        PatternNode::Choice(choices) => PatternNode::Sequence(choices),
        other => other,
    });
    for node in ROWS.iter().map(|row| node(row.pattern)).chain(fragments) {
        named(&node, &mut out);
    }
    let order = |name: &str| CHOICES.iter().position(|(known, _)| *known == name);
    out.sort_by_key(|(name, ..)| order(name));
    for (name, _) in CHOICES {
        assert!(out.iter().any(|(used, ..)| used == name), "no pattern has the choice `{name}`");
    }
    out.into_iter().map(|(name, text, node)| (name, text, shape(&node))).collect()
}

fn named(node: &PatternNode, out: &mut Vec<(&'static str, String, PatternNode)>) {
    match node {
        PatternNode::Choice(choices) => {
            if let Some(name) = choice_name(choices) {
                match out.iter().find(|(known, ..)| *known == name) {
                    Some((_, text, known)) => {
                        assert!(known == node, "`{name}` is not `{text}` everywhere")
                    }
                    None => out.push((name, written(node), node.clone())),
                }
            }
            choices.iter().for_each(|choice| named(choice, out));
        }
        PatternNode::Sequence(parts) => parts.iter().for_each(|part| named(part, out)),
        PatternNode::Optional(body) | PatternNode::Repeat { body, .. } => named(body, out),
        PatternNode::Word(_)
        | PatternNode::Slot(_)
        | PatternNode::Comma
        | PatternNode::Group(..) => {}
    }
}

// ---------------------------------------------------------------- statements

/// Every row of the vocabulary; its name begins with its block where several rows have one keyword.
pub fn statements() -> Vec<Statement> {
    let base = |row: &Production| {
        let node = node(row.pattern);
        match &leads(&node)[..] {
            [Lead::Word(word)] => ((*word).to_owned(), false),
            [Lead::Fragment(name)] => ((*name).to_owned(), false),
            _ => (first_choice(&node).expect("a named choice of keywords").to_owned(), true),
        }
    };
    let all: Vec<(String, bool)> = ROWS.iter().map(base).collect();
    let name = |(base, several): &(String, bool), row: &Production| {
        let is_shared = *several || all.iter().filter(|(other, _)| other == base).count() > 1;
        let block = if is_shared { format!("{:?}", row.inside[0]) } else { String::new() };
        format!("{block}{}", camel(base))
    };
    let rows = ROWS.iter().zip(&all);
    rows.map(|(row, base)| Statement {
        name: name(base, row),
        row,
        members: members(&node(row.pattern)),
    })
    .collect()
}

pub fn is_later(row: &Production) -> bool {
    row.stage == SupportLevel::Later
}

// ---------------------------------------------------------------- names

pub fn camel(name: &str) -> String {
    let capital = |word: &str| {
        let (first, rest) = word.split_at(1);
        first.to_uppercase() + rest
    };
    name.split('-').map(capital).collect()
}

fn snake(name: &str) -> String {
    name.replace('-', "_")
}

fn plural(name: &str) -> String {
    match name {
        "tooth" => "teeth".to_owned(),
        "between" => "stretches".to_owned(),
        "worn" => "told".to_owned(),
        _ if name.ends_with('s') => name.to_owned(),
        _ => format!("{name}s"),
    }
}

impl Member {
    /// The name of its field.
    pub fn field(&self) -> String {
        let own = match &self.what {
            What::Field { is_second: true, .. } => self.after.unwrap_or_default(),
            // A word of Rust.
            What::Field { label: "in", .. } => "in_teeth",
            What::Field { label, .. } => label,
            What::Flag(word) => word,
            What::Words(name) | What::Choice(name) | What::Fragment(name) => name,
            What::List { outer, .. } => return snake(outer),
        };
        let own = snake(own);
        if self.count == Count::Many { plural(&own) } else { own }
    }
}
