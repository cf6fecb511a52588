//! Valid files, made from the patterns of the vocabulary themselves. A list of numbers decides
//! every choice, so that a failing file shrinks to a small one.

use springline_lang::syntax::Context;
use springline_lang::syntax::GRADES;
use springline_lang::syntax::pattern::{DAYS, PatternNode, PlaceholderKind};
use springline_lang::syntax::patterns::{Pattern, patterns};
use springline_lang::syntax::vocabulary::{ALIASES, BlockRule, SupportLevel};

pub struct Maker<'a> {
    choices: &'a [u16],
    at: usize,
    /// Comments, blank lines, breaks after commas, capitals and other spellings.
    pub untidy: bool,
}

impl<'a> Maker<'a> {
    pub fn new(choices: &'a [u16], untidy: bool) -> Self {
        Maker { choices, at: 0, untidy }
    }

    fn pick(&mut self, of: usize) -> usize {
        let choice = self.choices.get(self.at).copied().unwrap_or(0);
        self.at += 1;
        usize::from(choice) % of.max(1)
    }

    fn chance(&mut self, in_ten: usize) -> bool {
        self.pick(10) >= 10 - in_ten
    }

    fn one<'s>(&mut self, of: &[&'s str]) -> &'s str {
        of[self.pick(of.len())]
    }

    /// A whole file: a house or a case.
    pub fn file(&mut self) -> String {
        let mut out = String::new();
        if self.untidy && self.chance(2) {
            out.push('\u{feff}');
        }
        if !self.untidy || self.chance(7) {
            out.push_str("springline 1\n");
        }
        let house = self.chance(3);
        out.push_str(if house { "house \"Saltmarsh\"\n" } else { "case \"SM-0001\"\n" });
        let context = if house { Context::House } else { Context::Case };
        self.body(context, 0, &mut out);
        if self.untidy && self.chance(5) {
            out.push_str("\n\n\n// the end");
        }
        if self.untidy && self.chance(3) { out.replace('\n', "\r\n") } else { out }
    }

    fn body(&mut self, context: Context, depth: usize, out: &mut String) {
        let rows: Vec<&Pattern> =
            patterns().inside(context).filter(|p| p.row.stage != SupportLevel::Later).collect();
        let count = if depth == 0 { 1 + self.pick(12) } else { self.pick(5) };
        for _ in 0..count {
            if self.at >= self.choices.len() {
                break;
            }
            let pattern = rows[self.pick(rows.len())];
            self.statement(pattern, depth, out);
        }
    }

    fn statement(&mut self, pattern: &Pattern, depth: usize, out: &mut String) {
        self.clutter(depth, out);
        self.indent(depth, out);
        let mut words = Vec::new();
        self.node(&pattern.node, &mut words);
        self.line(&words, out);
        let inner = match pattern.row.block {
            BlockRule::None => None,
            BlockRule::Must(context) => Some(context),
            BlockRule::May(context) => self.chance(5).then_some(context),
        };
        if let Some(context) = inner {
            let (open, blank) = if self.untidy {
                (self.one(&[" {", "{", "\n{", " { // opened"]), self.one(&["", "\n", "\n\n\n"]))
            } else {
                (" {", "")
            };
            out.push_str(open);
            out.push('\n');
            out.push_str(blank);
            self.body(context, depth + 1, out);
            self.clutter(depth, out);
            self.indent(depth, out);
            out.push('}');
        }
        if self.untidy && self.chance(2) {
            out.push_str(self.one(&[" // said so", "  ", "//", "\t// ünder the gum \u{1F9B7}"]));
        }
        out.push('\n');
    }

    fn clutter(&mut self, depth: usize, out: &mut String) {
        while self.untidy && self.chance(2) {
            self.indent(depth, out);
            out.push_str(self.one(&["// a comment\n", "\n", "\n\n", "//\n", " \t\n"]));
        }
    }

    fn indent(&mut self, depth: usize, out: &mut String) {
        let blanks = if self.untidy { self.pick(5) } else { depth * 2 };
        out.push_str(&" ".repeat(blanks));
    }

    fn line(&mut self, words: &[String], out: &mut String) {
        for (i, word) in words.iter().enumerate() {
            if word == "," {
                out.push(',');
                if self.untidy && self.chance(2) {
                    let gap =
                        self.one(&["\n", "\n\n", " // why\n", "\n// alone\n", " \r\n", "\u{a0}"]);
                    out.push_str(gap);
                }
                continue;
            }
            if i > 0 {
                out.push(' ');
            }
            out.push_str(word);
        }
    }

    fn node(&mut self, node: &PatternNode, out: &mut Vec<String>) {
        match node {
            PatternNode::Word(word) => {
                let word = self.spelling(word);
                out.push(word);
            }
            PatternNode::Slot(slot) => self.value(slot.hole, out),
            PatternNode::Comma => out.push(",".to_owned()),
            PatternNode::Sequence(parts) => self.sequence(parts, out),
            PatternNode::Choice(choices) => {
                let choice = self.pick(choices.len());
                self.node(&choices[choice], out);
            }
            PatternNode::Optional(body) => {
                if self.chance(5) {
                    self.node(body, out);
                }
            }
            PatternNode::Repeat { body, once } => self.repeat(body, *once, None, out),
            PatternNode::Group(_, body) => self.node(body, out),
        }
    }

    fn sequence(&mut self, parts: &[PatternNode], out: &mut Vec<String>) {
        let mut first = None;
        for part in parts {
            if let PatternNode::Repeat { body, once } = part {
                self.repeat(body, *once, first.take(), out);
                continue;
            }
            let from = out.len();
            self.node(part, out);
            first = out[from..].iter().find(|w| !self.grades(w)).cloned();
            // A comma before parts that are all left out is not written.
            if out.len() == from && out.last().is_some_and(|w| w == ",") {
                out.pop();
            }
        }
    }

    fn repeat(
        &mut self,
        body: &PatternNode,
        once: bool,
        first: Option<String>,
        out: &mut Vec<String>,
    ) {
        let mut said: Vec<String> = first.map(|w| self.plain(&w)).into_iter().collect();
        for _ in 0..self.pick(3) {
            let mut one = Vec::new();
            self.node(body, &mut one);
            // `slightly occlusal` and `occlusal 2.4 mm` say the same of a tooth.
            let lead =
                one.iter().find(|w| *w != "," && !self.grades(w)).cloned().unwrap_or_default();
            let lead = self.plain(&lead);
            if once && said.contains(&lead) {
                continue;
            }
            said.push(lead);
            out.extend(one);
        }
    }

    /// Grades the direction that follows; it leads no part of its own.
    fn grades(&self, word: &str) -> bool {
        GRADES.contains(&self.plain(word).as_str())
    }

    fn plain(&self, word: &str) -> String {
        let lower = word.to_lowercase();
        let alias = ALIASES
            .iter()
            .find(|a| a.only_in.is_none() && a.read == lower)
            .map(|a| a.written.to_owned());
        alias.unwrap_or(lower)
    }

    fn spelling(&mut self, word: &str) -> String {
        if !self.untidy {
            return word.to_owned();
        }
        let also: Vec<&str> = ALIASES
            .iter()
            .filter(|a| a.only_in.is_none() && a.written == word)
            .map(|a| a.read)
            .collect();
        match self.pick(8) {
            1 => word.to_uppercase(),
            2 if !also.is_empty() => self.one(&also).to_owned(),
            _ => word.to_owned(),
        }
    }

    fn value(&mut self, hole: PlaceholderKind, out: &mut Vec<String>) {
        let text = match hole {
            PlaceholderKind::Tooth => {
                self.one(&["11", "13", "46", "UR3", "#6", "URC", "#T"]).to_owned()
            }
            PlaceholderKind::Teeth => return self.teeth(out),
            PlaceholderKind::Name => {
                self.one(&["usual", "niti-14", "steel-19x25", "KL", "ölig", "align"]).to_owned()
            }
            PlaceholderKind::Text => {
                self.one(&["\"a text\"", "\"\"", "“smart // not a comment”"]).to_owned()
            }
            PlaceholderKind::Date => self.one(&["2026-09-14", "2026-9-4"]).to_owned(),
            PlaceholderKind::Dates => {
                self.one(&["2026-09-14", "2026-12-24..2027-01-02"]).to_owned()
            }
            PlaceholderKind::Count => self.one(&["1", "41"]).to_owned(),
            PlaceholderKind::Length => {
                self.one(&["2.4 mm", "3/16 in", ".014\"", "0.5mm", "7"]).to_owned()
            }
            PlaceholderKind::Force => self.one(&["100 g", "3.5 oz", "50 grams"]).to_owned(),
            PlaceholderKind::Stress => self.one(&["60 GPa", "400 MPa"]).to_owned(),
            PlaceholderKind::Stresses => self.one(&["300..400 MPa", "400 MPa"]).to_owned(),
            PlaceholderKind::Angle => self.one(&["25 deg", "25°", "12.5 degrees"]).to_owned(),
            PlaceholderKind::Time => self.one(&["8 wk", "3 months", "22 h"]).to_owned(),
            PlaceholderKind::Times => {
                self.one(&["8..10 wk", "8 wk..10 wk", "8 wk .. 3 mo", "6 wk"]).to_owned()
            }
            PlaceholderKind::Dims => {
                self.one(&["0.016 x 0.022 in", "0.016x0.022 in", ".016 × .022 in"]).to_owned()
            }
            PlaceholderKind::Temperature => self.one(&["27 C", "27C"]).to_owned(),
            PlaceholderKind::Ratio => "1.21 times".to_owned(),
            PlaceholderKind::Percent => self.one(&["50 %", "50%"]).to_owned(),
            PlaceholderKind::Any => self.one(&["50 g", "0.8 times", "300 Nmm"]).to_owned(),
            PlaceholderKind::Rule => "force/sustained".to_owned(),
            PlaceholderKind::Day => DAYS[self.pick(7)].to_owned(),
        };
        out.push(text);
    }

    fn teeth(&mut self, out: &mut Vec<String>) {
        for i in 0..=self.pick(3) {
            if i > 0 {
                out.push(",".to_owned());
            }
            let one = self.one(&["12", "13..23", "UR3", "#6..#11", "36 .. 46", "ll6", "75"]);
            out.push(if one == "ll6" { "LL6".to_owned() } else { one.to_owned() });
        }
    }
}
