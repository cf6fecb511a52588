//! The tree-sitter grammar: what stands in which block is written from the vocabulary, how words and
//! figures look is written here.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use springline_lang::syntax::context::Context;
use springline_lang::syntax::patterns::patterns;
use springline_lang::syntax::vocabulary::{ALIASES, BlockRule};
use springline_lang::units::quantity::Unit;

use super::word_lists::{check, lines, words};
use crate::project;

const CONTEXTS: [Context; 15] = [
    Context::House,
    Context::Fit,
    Context::Learned,
    Context::Sequence,
    Context::Case,
    Context::InPlace,
    Context::Bite,
    Context::Goal,
    Context::Elastics,
    Context::Retain,
    Context::Arch,
    Context::Measured,
    Context::Step,
    Context::Seen,
    Context::SeenArch,
];

/// `SeenArch` as tree-sitter names things: `seen_arch`.
fn snake(context: Context) -> String {
    let mut out = String::new();
    for c in format!("{context:?}").chars() {
        if c.is_ascii_uppercase() && !out.is_empty() {
            out.push('_');
        }
        out.push(c.to_ascii_lowercase());
    }
    out
}

/// The keywords of a context by the block that they open: none, one that may be left out, one that
/// may not.
type Statements = BTreeMap<(Option<Context>, bool), BTreeSet<&'static str>>;

fn statements(context: Context) -> Statements {
    let mut rules: BTreeMap<&str, (Option<Context>, bool)> = BTreeMap::new();
    for pattern in patterns().inside(context) {
        for keyword in &pattern.keywords {
            let (block, must) = match pattern.row.block {
                BlockRule::None => (None, false),
                BlockRule::May(inner) => (Some(inner), false),
                BlockRule::Must(inner) => (Some(inner), true),
            };
            let spelt = ALIASES.iter().filter(|a| a.written == *keyword && a.only_in.is_none());
            let spelt = spelt.map(|a| a.read);
            for word in spelt.chain([*keyword]) {
                // Where one shape of a statement has a block and another has none, it may have one.
                rules
                    .entry(word)
                    .and_modify(|rule| *rule = (rule.0.or(block), rule.1 && must))
                    .or_insert((block, must));
            }
        }
    }
    let mut out = Statements::new();
    for (word, rule) in rules {
        out.entry(rule).or_default().insert(word);
    }
    out
}

/// A keyword and what stands after it on its line.
fn head(keywords: &BTreeSet<&'static str>) -> String {
    let quoted: Vec<String> = keywords.iter().map(|k| format!("'{k}'")).collect();
    let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
    let list = lines(&quoted, "      ", ", ").replace("'\n", "',\n");
    let choice = match quoted.as_slice() {
        [one] => (*one).to_owned(),
        _ => format!("choice(\n{list}    )"),
    };
    format!("field('keyword', alias({choice}, $.keyword)), repeat($._item)")
}

/// The rules of one context: its kinds of statement, what stands in it, and its braces.
fn context_rules(context: Context) -> String {
    let name = snake(context);
    let all = statements(context);
    let alone: BTreeSet<&str> =
        all.iter().filter(|((_, must), _)| !must).flat_map(|(_, words)| words).copied().collect();
    let ended = format!("alias($._{name}_line, $.statement)");
    let mut out = format!("    _{name}_line: $ => seq({}),\n", head(&alone));
    let mut free = vec!["$._newline".to_owned(), format!("seq({ended}, $._newline)")];
    for ((block, _), keywords) in &all {
        let Some(inner) = block.map(snake) else { continue };
        out.push_str(&format!(
            "    _{name}_{inner}: $ => seq({}, repeat($._newline), alias($._{inner}_braces, $.block)),\n",
            head(keywords)
        ));
        free.push(format!("alias($._{name}_{inner}, $.statement)"));
    }
    let free = free.join(", ");
    out.push_str(&format!(
        "    _{name}_body: $ => choice(seq(repeat1(choice({free})), optional({ended})), {ended}),\n"
    ));
    if !matches!(context, Context::House | Context::Case) {
        out.push_str(&format!(
            "    _{name}_braces: $ => seq('{{', optional($._{name}_body), '}}'),\n"
        ));
    }
    out
}

/// Pairs of rules between which the parser has to look past the newlines.
fn conflicts() -> String {
    let mut out = String::new();
    for context in CONTEXTS {
        let name = snake(context);
        for ((block, must), _) in statements(context) {
            if let (Some(block), false) = (block, must) {
                out.push_str(&format!("    [$._{name}_line, $._{name}_{}],\n", snake(block)));
            }
        }
    }
    out
}

fn grammar() -> String {
    let units: Vec<String> = Unit::ALL.iter().map(|u| format!("'{}'", u.symbol())).collect();
    let units: Vec<&str> = units.iter().map(String::as_str).filter(|u| *u != "'%'").collect();
    let units = lines(&units, "      ", ", ").replace("'\n", "',\n");
    let rules: String = CONTEXTS.into_iter().map(context_rules).collect();
    GRAMMAR
        .replace("@CONFLICTS@", &conflicts())
        .replace("@RULES@", &rules)
        .replace("@UNITS@", &units)
}

/// What the vocabulary does not say: how things are spelt.
const GRAMMAR: &str = r#"// Written from the vocabulary: UPDATE_DOCS=1 cargo test -p springline-lsp --test editors
/// <reference types="tree-sitter-cli/dsl" />
// @ts-check

const LETTER = '\\p{L}';
const MORE = '[\\p{L}\\p{M}\\p{N}]';
const TAIL = `(-${MORE}+)*`;
// Never `x` and a digit, which is a section.
const WORD = `([\\p{L}--[xX]]${MORE}*|[xX]\\p{L}${MORE}*|[xX](-\\p{L}${MORE}*))${TAIL}`;

export default grammar({
  name: 'springline',

  word: $ => $.word,

  extras: $ => [
    new RustRegex('[ \\t\\x0B\\x0C\\u{A0}\\u{1680}\\u{2000}-\\u{200D}\\u{202F}\\u{205F}\\u{2060}\\u{3000}\\u{FEFF}]+'),
    $.comment,
  ],

  conflicts: $ => [
@CONFLICTS@  ],

  rules: {
    file: $ => seq(
      repeat($._newline),
      optional(seq(alias($._edition, $.statement), repeat1($._newline))),
      choice(
        seq(alias($._house_opening, $.statement), optional(seq($._newline, optional($._house_body)))),
        seq(alias($._case_opening, $.statement), optional(seq($._newline, optional($._case_body)))),
      ),
    ),
    _edition: $ => seq(field('keyword', alias('springline', $.keyword)), repeat($._item)),
    _house_opening: $ => seq(field('keyword', alias(choice('house', 'practice'), $.keyword)), repeat($._item)),
    _case_opening: $ => seq(field('keyword', alias('case', $.keyword)), repeat($._item)),

@RULES@
    _item: $ => choice($.word, $.finding, $.figure, $.text, $._comma),
    // A line goes on after a comma.
    _comma: $ => prec.right(seq(',', repeat($._newline))),
    // Numbers, teeth and dates, alone or as a stretch; a tooth's number is a number.
    figure: $ => prec.right(seq(optional('-'), $._end, repeat(seq(choice('..', '-', 'x'), $._end)))),
    _end: $ => choice($._amount, $.tooth, $.date),
    _amount: $ => prec.right(seq($.number, optional($.unit))),
    unit: $ => choice(
@UNITS@      '%', '\u00b0', '\u00ba',
    ),

    word: $ => new RustRegex(WORD),
    // The name of a finding: `force/sustained`.
    finding: $ => new RustRegex(`(${WORD})(/(${WORD}))+`),
    tooth: $ => choice(new RustRegex('[UL][RL][0-9A-Ea-e]'), new RustRegex('#([0-9]+|[A-Za-z])')),
    number: $ => new RustRegex('([0-9]+(\\.[0-9]+)?|\\.[0-9]+)(/[0-9]+)?"?'),
    date: $ => token(prec(1, new RustRegex('[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}'))),
    text: $ => new RustRegex('"[^"\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{201C}\\u{201D}]*["\\u{201C}\\u{201D}]|[\\u{201C}\\u{201D}\\u{201E}][^"\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{201C}\\u{201D}]*["\\u{201C}\\u{201D}]|\\u{AB}[^\\n\\r\\u{85}\\u{2028}\\u{2029}\\u{BB}]*\\u{BB}'),
    comment: $ => token(new RustRegex('//[^\\n\\r\\u{85}\\u{2028}\\u{2029}]*')),
    _newline: $ => new RustRegex('\\r\\n|\\n|\\r|\\u{85}|\\u{2028}|\\u{2029}'),
  },
});
"#;

fn highlights() -> String {
    let words = words();
    let quoted: Vec<String> = words.others.iter().map(|w| format!("\"{w}\"")).collect();
    let quoted: Vec<&str> = quoted.iter().map(String::as_str).collect();
    format!(
        "; Written from the vocabulary: UPDATE_DOCS=1 cargo test -p springline-lsp --test editors\n\
         (comment) @comment\n(keyword) @keyword\n(text) @string\n(number) @number\n(unit) @type\n\
         (date) @constant\n(tooth) @constant\n(finding) @constant\n\
         \"..\" @operator\n\"x\" @operator\n\",\" @punctuation.delimiter\n[\"{{\" \"}}\"] @punctuation.bracket\n\
         ((word) @property (#any-of? @property\n{}))\n",
        lines(&quoted, "  ", " ").trim_end()
    )
}

#[test]
fn the_grammar_is_that_of_the_vocabulary() {
    check("editors/tree-sitter/grammar.js", &grammar());
}

#[test]
fn the_queries_are_those_of_the_vocabulary() {
    let fixed = "; The braces of a statement.\n(block) @fold\n";
    for place in ["tree-sitter/queries", "neovim/queries/springline"] {
        check(&format!("editors/{place}/highlights.scm"), &highlights());
        check(&format!("editors/{place}/folds.scm"), fixed);
    }
}

/// The generated parser is committed: `tree-sitter generate` in its folder makes it anew.
#[test]
fn the_parser_is_made_from_this_grammar() {
    let path = project().join("editors/tree-sitter/src/grammar.json");
    let made = std::fs::read_to_string(&path).expect("the generated grammar");
    let made: Value = serde_json::from_str(&made).expect("JSON");
    let rules = made["rules"].as_object().expect("rules");
    let text = grammar();
    let (_, written) = text.split_once("  rules: {\n").expect("rules");
    let named = written.lines().filter_map(|line| line.strip_prefix("    ")?.split_once(": $ =>"));
    let named: BTreeSet<&str> = named.map(|(name, _)| name).collect();
    let stale =
        "editors/tree-sitter/src is older than grammar.js: run `tree-sitter generate` there";
    assert_eq!(rules.keys().map(String::as_str).collect::<BTreeSet<_>>(), named, "{stale}");
    for context in CONTEXTS {
        let name = snake(context);
        let all = statements(context);
        let mut wanted: BTreeMap<String, BTreeSet<&str>> = BTreeMap::new();
        for ((block, must), keywords) in &all {
            let blocks = block.map(|inner| format!("_{name}_{}", snake(inner)));
            let alone = (!must).then(|| format!("_{name}_line"));
            for rule in blocks.into_iter().chain(alone) {
                wanted.entry(rule).or_default().extend(keywords);
            }
        }
        for (rule, keywords) in wanted {
            let mut there = BTreeSet::new();
            strings(&rules[&rule], &mut there);
            assert_eq!(there, keywords, "{rule}: {stale}");
        }
    }
}

/// The words that a rule of the generated grammar reads literally.
fn strings<'v>(rule: &'v Value, out: &mut BTreeSet<&'v str>) {
    match rule {
        Value::Object(map) => {
            if map.get("type").is_some_and(|t| t == "STRING") {
                out.extend(map.get("value").and_then(Value::as_str));
            }
            map.values().for_each(|v| strings(v, out));
        }
        Value::Array(items) => items.iter().for_each(|v| strings(v, out)),
        _ => {}
    }
}
