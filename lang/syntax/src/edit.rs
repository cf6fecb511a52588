//! Syntax editor: computes text edits from operations on the tree (insert a statement, set a clause,
//! replace or remove a part).
//!
//! Comments, surrounding indentation and line endings are preserved. Nothing is guessed: where blocks
//! were recovered, or where an edit would merge with its neighbour, there are no edits at all.

use super::ast::kind::FieldKind;
use super::ast::{ClausePart, Field, PartList};
use super::item::{Item, RecoverableTypo};
use super::token::{Token, TokenKind};
use super::tree::{FieldValue, FragmentMatch, Id, Parse, StatementRef};
use springline_text::{Edit, Span};

/// Where a statement goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InsertAt {
    /// In the block of this statement, which is created if missing.
    FirstIn(Id),
    LastIn(Id),
    /// On a line of its own beside this statement.
    Before(Id),
    After(Id),
    /// Outside all braces, at the end of the file.
    End,
}

/// The clauses of a step's line, each of which occurs once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ClauseKind {
    Wire,
    Form,
    Ends,
    Express,
    Until,
    Next,
}

impl ClauseKind {
    pub const ALL: [ClauseKind; 6] = [
        ClauseKind::Wire,
        ClauseKind::Form,
        ClauseKind::Ends,
        ClauseKind::Express,
        ClauseKind::Until,
        ClauseKind::Next,
    ];

    pub fn of(said: &ClausePart<'_>) -> ClauseKind {
        match said {
            ClausePart::Wire(_) => ClauseKind::Wire,
            ClausePart::Form(_) => ClauseKind::Form,
            ClausePart::Ends(_) => ClauseKind::Ends,
            ClausePart::Express(_) => ClauseKind::Express,
            ClausePart::Until(_) => ClauseKind::Until,
            ClausePart::Next(_) => ClauseKind::Next,
        }
    }

    /// The keyword that opens it.
    pub fn word(self) -> &'static str {
        match self {
            ClauseKind::Wire => "wire",
            ClauseKind::Form => "form",
            ClauseKind::Ends => "ends",
            ClauseKind::Express => "express",
            ClauseKind::Until => "until",
            ClauseKind::Next => "next",
        }
    }
}

/// Anything that covers one range of the text.
pub trait HasSpan {
    fn span(&self) -> Span;
}

impl HasSpan for Span {
    fn span(&self) -> Span {
        *self
    }
}

impl HasSpan for Item {
    fn span(&self) -> Span {
        self.span
    }
}

impl HasSpan for FieldValue<'_> {
    fn span(&self) -> Span {
        FieldValue::span(*self)
    }
}

impl<K: FieldKind> HasSpan for Field<'_, K> {
    fn span(&self) -> Span {
        Field::span(*self)
    }
}

impl HasSpan for FragmentMatch<'_> {
    fn span(&self) -> Span {
        FragmentMatch::span(*self)
    }
}

/// Order of several edits at one offset: words of a statement, then its block, then the lines after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Rank {
    Words,
    Block,
    Lines,
}

/// Collects the edits of one text.
#[derive(Debug)]
pub struct TreeEditor<'p> {
    parse: &'p Parse,
    edits: Vec<(Rank, Edit)>,
    /// Statements for blocks that are still to be opened.
    opened: Vec<(Id, Vec<String>)>,
    /// One edit could not be made, so none is returned.
    refused: bool,
}

impl<'p> TreeEditor<'p> {
    pub fn new(parse: &'p Parse) -> Self {
        let refused = parse.braces_guessed || parse.unread.is_some();
        TreeEditor { parse, edits: Vec::new(), opened: Vec::new(), refused }
    }

    pub fn parse(&self) -> &'p Parse {
        self.parse
    }

    /// Adds a statement, with its block if it has one; the lines are given without indentation.
    pub fn insert(&mut self, at: InsertAt, statement: &str) {
        let done = match at {
            InsertAt::FirstIn(id) => self.insert_in(id, statement, true),
            InsertAt::LastIn(id) => self.insert_in(id, statement, false),
            InsertAt::Before(id) => self.insert_before(id, statement),
            InsertAt::After(id) => self.insert_after(id, statement),
            InsertAt::End => self.insert_at_end(statement),
        };
        self.note(done);
    }

    /// Sets a clause of a step's line, replacing the clause if it is present.
    pub fn set_clause(&mut self, of: Id, clause: ClauseKind, value: &str) {
        let written = self.line(of).map(|line| {
            let mut clauses = line.step_clauses().into_iter().flat_map(PartList::spanned);
            clauses.find(|(_, said)| ClauseKind::of(said) == clause).map(|(span, _)| span)
        });
        let text = format!("{} {value}", clause.word());
        match written {
            Some(Some(span)) => self.replace(span, &text),
            Some(None) => self.append(of, &format!(", {text}")),
            None => self.refused = true,
        }
    }

    /// Adds words to the statement, behind its last one.
    pub fn append(&mut self, to: Id, words: &str) {
        let end = self.line(to).and_then(own_end);
        match end {
            Some(end) => self.push(Rank::Words, Span { start: end, end }, words.to_owned()),
            None => self.refused = true,
        }
    }

    /// Replaces a part with other text; an empty span inserts.
    pub fn replace(&mut self, part: impl HasSpan, text: &str) {
        self.push(Rank::Words, part.span(), text.to_owned());
    }

    /// Removes a part of a statement, with the comma or the blanks before it.
    pub fn remove_part(&mut self, part: impl HasSpan) {
        let span = part.span();
        let blanks = self.before(span.start).rev().take_while(|t| t.kind == TokenKind::Blank);
        let comma = self.before(span.start).rev().find(|t| !is_gap(t));
        let comma = comma.filter(|t| t.kind == TokenKind::Comma);
        let start = comma.or(blanks.last()).map_or(span.start, |t| t.span.start);
        self.push(Rank::Words, Span { start, end: span.end }, String::new());
    }

    /// Removes a statement with its block; where it is alone on its line, the line and its comment go as
    /// well.
    pub fn remove(&mut self, of: Id) {
        let Some(line) = self.line(of) else {
            self.refused = true;
            return;
        };
        let span = match self.whole_lines(line) {
            Some(lines) => lines,
            None => line.whole_span(),
        };
        self.push(Rank::Words, span, String::new());
    }

    /// Takes a statement away with its block, and leaves a remark behind it where it is.
    pub fn remove_but_remark(&mut self, of: Id) {
        let whole = self.line(of).map(StatementRef::whole_span);
        let remark = whole.and_then(|whole| {
            let next = self.after(whole.end).find(|t| t.kind != TokenKind::Blank)?;
            let alone = self.begins_line(whole.start);
            (alone && is_comment(next)).then_some(Span { start: whole.start, end: next.span.start })
        });
        match remark {
            Some(span) => self.push(Rank::Words, span, String::new()),
            None => self.remove(of),
        }
    }

    /// Moves a statement with its lines to before another one of the same block.
    pub fn move_before(&mut self, of: Id, other: Id) {
        let spans = self.line(of).zip(self.line(other)).and_then(|(line, other)| {
            let beside = line.statement.parent == other.statement.parent && line.id != other.id;
            beside.then_some((self.whole_lines(line)?, self.whole_lines(other)?.start))
        });
        let Some((lines, at)) = spans else {
            self.refused = true;
            return;
        };
        let mut text = self.parse.text(lines).to_owned();
        if !text.ends_with(['\n', '\r']) {
            text.push_str(self.line_end());
        }
        self.push(Rank::Words, lines, String::new());
        self.push(Rank::Lines, Span { start: at, end: at }, text);
    }

    /// The edits in text order; `None` where one of them could not be made.
    pub fn finish(mut self) -> Option<Vec<Edit>> {
        for (id, statements) in std::mem::take(&mut self.opened) {
            let line = self.line(id)?;
            let (outer, nl) = (self.indent(line), self.line_end());
            let inner = self.inner_indent(line);
            let body: String =
                statements.iter().map(|s| format!("{}{nl}", self.indented(s, &inner))).collect();
            let end = own_end(line)?;
            let text = format!(" {{{nl}{body}{outer}}}");
            self.push(Rank::Block, Span { start: end, end }, text);
        }
        self.edits.sort_by_key(|(rank, edit)| (edit.place.span, *rank));
        let edits: Vec<Edit> = self.edits.into_iter().map(|(_, edit)| edit).collect();
        let apart = |pair: &[Edit]| pair[0].place.span.end <= pair[1].place.span.start;
        (!self.refused && edits.windows(2).all(apart)).then_some(edits)
    }

    fn insert_in(&mut self, id: Id, statement: &str, first: bool) -> Option<()> {
        let line = self.line(id)?;
        let Some(block) = line.block() else {
            match self.opened.iter_mut().find(|(of, _)| *of == id) {
                Some((_, lines)) if first => lines.insert(0, statement.to_owned()),
                Some((_, lines)) => lines.push(statement.to_owned()),
                None => self.opened.push((id, vec![statement.to_owned()])),
            }
            return Some(());
        };
        let (outer, inner, nl) = (self.indent(line), self.inner_indent(line), self.line_end());
        let text = self.indented(statement, &inner);
        if first && let Some(end) = self.rest_of_line(block.open.end) {
            self.push(Rank::Lines, Span { start: end, end }, format!("{nl}{text}"));
            return Some(());
        }
        if first {
            let after = Span { start: block.open.end, end: block.open.end };
            self.push(Rank::Lines, after, format!("{nl}{text}{nl}{inner}"));
            return Some(());
        }
        let close = block.close.start;
        if self.before(close).rev().find(|t| !is_gap(t)).is_some_and(|t| t.kind == TokenKind::Comma)
        {
            return None;
        }
        let start = self.line_start(close);
        if self.begins_line(close) && start > block.open.start {
            self.push(Rank::Lines, Span { start, end: start }, format!("{text}{nl}"));
        } else {
            let at = Span { start: close, end: close };
            self.push(Rank::Lines, at, format!("{nl}{text}{nl}{outer}"));
        }
        Some(())
    }

    fn insert_before(&mut self, id: Id, statement: &str) -> Option<()> {
        let line = self.line(id)?;
        let (indent, nl) = (self.indent(line), self.line_end());
        let text = self.indented(statement, &indent);
        let start = line.span().start;
        let at = if self.begins_line(start) { self.line_start(start) } else { start };
        self.push(Rank::Lines, Span { start: at, end: at }, format!("{text}{nl}"));
        Some(())
    }

    fn insert_after(&mut self, id: Id, statement: &str) -> Option<()> {
        let line = self.line(id)?;
        let (indent, nl) = (self.indent(line), self.line_end());
        let text = self.indented(statement, &indent);
        let end = line.whole_span().end;
        let at = match self.rest_of_line(end) {
            Some(line_end) => Some((line_end, format!("{nl}{text}"))),
            // The closing brace of its block is on the same line.
            None => self.closes_next(end).then(|| (end, format!("{nl}{text}{nl}"))),
        };
        let (at, text) = at?;
        self.push(Rank::Lines, Span { start: at, end: at }, text);
        Some(())
    }

    fn insert_at_end(&mut self, statement: &str) -> Option<()> {
        let tokens = &self.parse.tokens;
        if tokens.iter().rev().find(|t| !is_gap(t)).is_some_and(|t| t.kind == TokenKind::Comma) {
            return None;
        }
        let nl = self.line_end();
        let ended = tokens.iter().rev().find(|t| t.kind != TokenKind::Blank);
        let gap = if ended.is_none_or(|t| t.kind == TokenKind::Newline) { "" } else { nl };
        let end = u32::try_from(self.parse.source.len()).ok()?;
        let text = format!("{gap}{}{nl}", self.indented(statement, ""));
        self.push(Rank::Lines, Span { start: end, end }, text);
        Some(())
    }

    fn note(&mut self, done: Option<()>) {
        self.refused |= done.is_none();
    }

    fn push(&mut self, rank: Rank, span: Span, text: String) {
        self.refused |= self.parse.source.get(span.range()).is_none();
        self.edits.push((rank, Edit { place: self.parse.place(span), text }));
    }

    fn line(&self, id: Id) -> Option<StatementRef<'p>> {
        self.parse.line(id)
    }

    /// The lines of a statement, including comment and last line ending, where nothing else is on them.
    fn whole_lines(&self, line: StatementRef<'_>) -> Option<Span> {
        let whole = line.whole_span();
        let start = self.begins_line(whole.start).then(|| self.line_start(whole.start))?;
        let end = self.rest_of_line(whole.end)?;
        let next = self.after(end).next();
        let end = next.filter(|t| t.kind == TokenKind::Newline).map_or(end, |t| t.span.end);
        Some(Span { start, end })
    }

    /// The file's line ending.
    fn line_end(&self) -> &'static str {
        let first = self.parse.tokens.iter().find(|t| t.kind == TokenKind::Newline);
        match first.map(|t| self.parse.text(t.span)) {
            Some("\r\n") => "\r\n",
            _ => "\n",
        }
    }

    /// Every line of a statement with these blanks before it.
    fn indented(&self, statement: &str, indent: &str) -> String {
        let lines: Vec<String> = statement.lines().map(|l| format!("{indent}{l}")).collect();
        lines.join(self.line_end())
    }

    /// The indentation of the line on which the statement begins.
    fn indent(&self, line: StatementRef<'_>) -> String {
        let from = Span { start: self.line_start(line.span().start), end: line.span().start };
        self.parse.text(from).chars().take_while(|c| c.is_whitespace()).collect()
    }

    /// The indentation of the statements in its block: that of the last there, else two blanks more.
    fn inner_indent(&self, line: StatementRef<'_>) -> String {
        let last = line.children().filter(|l| self.begins_line(l.span().start)).last();
        last.map_or_else(|| format!("{}  ", self.indent(line)), |l| self.indent(l))
    }

    fn before(&self, offset: u32) -> impl DoubleEndedIterator<Item = &'p Token> + use<'p> {
        let parse: &'p Parse = self.parse;
        parse.tokens[..parse.tokens.partition_point(|t| t.span.start < offset)].iter()
    }

    fn after(&self, offset: u32) -> impl Iterator<Item = &'p Token> + use<'p> {
        let parse: &'p Parse = self.parse;
        parse.tokens[parse.tokens.partition_point(|t| t.span.start < offset)..].iter()
    }

    fn line_start(&self, offset: u32) -> u32 {
        self.before(offset).rev().find(|t| t.kind == TokenKind::Newline).map_or(0, |t| t.span.end)
    }

    /// Whether only blanks precede it on its line.
    fn begins_line(&self, offset: u32) -> bool {
        let mut earlier = self.before(offset).rev();
        earlier.find(|t| t.kind != TokenKind::Blank).is_none_or(|t| t.kind == TokenKind::Newline)
    }

    /// Where the line ends, if only a comment may stand on it from here on.
    fn rest_of_line(&self, offset: u32) -> Option<u32> {
        let mut rest = self.after(offset).filter(|t| !t.kind.is_trivia());
        match rest.next() {
            None => u32::try_from(self.parse.source.len()).ok(),
            Some(token) => (token.kind == TokenKind::Newline).then_some(token.span.start),
        }
    }

    fn closes_next(&self, offset: u32) -> bool {
        self.after(offset).find(|t| !t.kind.is_trivia()).is_some_and(|t| t.kind == TokenKind::Close)
    }
}

/// The end of a statement's own words; `None` where what is written there would become part of a text.
fn own_end(line: StatementRef<'_>) -> Option<u32> {
    let last = line.items().last()?;
    (last.slip != Some(RecoverableTypo::OpenText) && !last.is_comma()).then_some(last.span.end)
}

fn is_comment(token: &Token) -> bool {
    matches!(token.kind, TokenKind::Comment | TokenKind::HashComment)
}

fn is_gap(token: &Token) -> bool {
    token.kind.is_trivia() || token.kind == TokenKind::Newline
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse;
    use crate::vocabulary::FRAGMENTS;
    use springline_finding::{Fix, FixKind};
    use springline_text::FileId;

    const CASE: &str = "springline 1\ncase \"SM-1\"\nupper {\n";

    /// The text after edits at the statement that begins with these words.
    fn edited(text: &str, at: &str, edit: impl Fn(&mut TreeEditor<'_>, Id)) -> Option<String> {
        let text = format!("{CASE}{text}");
        let tree = parse(FileId(0), &text);
        let id = tree.all_lines().find(|l| l.text().starts_with(at)).expect("it is there").id;
        let mut editor = TreeEditor::new(&tree);
        edit(&mut editor, id);
        let fix = Fix {
            title: String::new(),
            kind: FixKind::Clinical,
            edits: editor.finish()?,
            outcome: None,
        };
        Some(fix.apply(FileId(0), &text)?.strip_prefix(CASE)?.to_owned())
    }

    fn inserted(text: &str, at: &str, place: fn(Id) -> InsertAt, what: &str) -> Option<String> {
        edited(text, at, |e, id| e.insert(place(id), what))
    }

    #[test]
    fn every_clause_of_a_step_has_its_kind() {
        let (_, pattern) = FRAGMENTS.iter().find(|(name, _)| *name == "clause").expect("there");
        let alternatives = pattern.trim_matches(['(', ')']).split(" | ");
        let words: Vec<&str> = alternatives
            .filter_map(|a| a.split(' ').next())
            .filter(|w| ClauseKind::ALL.iter().any(|k| k.word() == *w))
            .collect();
        assert_eq!(words, ClauseKind::ALL.map(ClauseKind::word));
        let text = "  change align, wire a, form b, ends free, express 4 wk, until passive, next 6 wk\n}\n";
        for kind in ClauseKind::ALL {
            let set = edited(text, "change", |e, id| e.set_clause(id, kind, "X")).unwrap();
            assert!(set.contains(&format!(", {} X", kind.word())), "{set}");
            assert_eq!(set.matches(',').count(), text.matches(',').count(), "{set}");
        }
    }

    #[test]
    fn a_block_is_opened_before_a_comment() {
        assert_eq!(
            inserted(
                "  change align, until 4 wk // soon\n}\n",
                "change",
                InsertAt::LastIn,
                "tie 13..23"
            )
            .unwrap(),
            "  change align, until 4 wk {\n    tie 13..23\n  } // soon\n}\n"
        );
    }

    #[test]
    fn a_block_is_opened_once() {
        let both = edited("  change align\n}\n", "change", |e, id| {
            e.insert(InsertAt::After(id), "skip level");
            e.insert(InsertAt::LastIn(id), "tie 13..23");
            e.insert(InsertAt::FirstIn(id), "hook 13");
            e.set_clause(id, ClauseKind::Next, "6 wk");
        });
        assert_eq!(
            both.unwrap(),
            "  change align, next 6 wk {\n    hook 13\n    tie 13..23\n  }\n  skip level\n}\n"
        );
    }

    #[test]
    fn a_block_gets_its_statement_first_or_last() {
        let text = "  change align { // the \"}\" in a note\n    note \"}\"\n  }\n}\n";
        assert_eq!(
            inserted(text, "change", InsertAt::LastIn, "hook 13").unwrap(),
            "  change align { // the \"}\" in a note\n    note \"}\"\n    hook 13\n  }\n}\n"
        );
        assert_eq!(
            inserted(text, "change", InsertAt::FirstIn, "hook 13").unwrap(),
            "  change align { // the \"}\" in a note\n    hook 13\n    note \"}\"\n  }\n}\n"
        );
        let short = "  change align { note \"a\" }\n}\n";
        assert_eq!(
            inserted(short, "change", InsertAt::LastIn, "hook 13").unwrap(),
            "  change align { note \"a\" \n    hook 13\n  }\n}\n"
        );
    }

    #[test]
    fn a_clause_is_found_between_its_neighbours() {
        let set = |text: &str, kind, value| {
            edited(text, text.trim().split(',').next().unwrap(), |e, id| {
                e.set_clause(id, kind, value)
            })
        };
        let step =
            "  step level-3 as level after level-2, wire niti-14x25, until passive, next 6 wk\n}\n";
        assert_eq!(
            set(step, ClauseKind::Wire, "niti-14").unwrap(),
            step.replace("niti-14x25", "niti-14")
        );
        assert_eq!(
            set(step, ClauseKind::Ends, "cinched").unwrap(),
            step.replace("6 wk", "6 wk, ends cinched")
        );
        // A step may be named like a clause, and a clause may hold a comma.
        let named = "  change wire, ends free on right, cinched on left, next 6 wk // why\n}\n";
        assert_eq!(
            set(named, ClauseKind::Wire, "niti-14").unwrap(),
            named.replace(" wk", " wk, wire niti-14")
        );
        assert_eq!(
            set(named, ClauseKind::Ends, "flush").unwrap(),
            "  change wire, ends flush, next 6 wk // why\n}\n"
        );
    }

    #[test]
    fn a_statement_goes_with_its_line() {
        let gone = |text, at| edited(text, at, |e, id| e.remove(id)).unwrap();
        assert_eq!(gone("  follow usual\n  skip level // why\n}\n", "skip"), "  follow usual\n}\n");
        assert_eq!(gone("  change align {\n    hook 13\n  }\n}\n", "change"), "}\n");
        assert_eq!(gone("  change align { hook 13 }\n}\n", "hook"), "  change align {  }\n}\n");
        let kept = |text| edited(text, "skip", |e, id| e.remove_but_remark(id)).unwrap();
        assert_eq!(
            kept("  follow usual\n  skip level  // why\n}\n"),
            "  follow usual\n  // why\n}\n"
        );
        assert_eq!(kept("  follow usual\n  skip level\n}\n"), "  follow usual\n}\n");
    }

    #[test]
    fn a_part_goes_with_its_comma() {
        let text =
            "  change align {\n    chain 13..23 with short-clear, force 200 g // light\n  }\n}\n";
        let gone = edited(text, "chain", |e, id| {
            let items = e.parse().line(id).expect("a line").items();
            let force = items.iter().find(|i| i.keyword() == Some("force")).expect("it is there");
            e.remove_part(force.span.to(items.last().expect("one").span));
        });
        assert_eq!(gone.unwrap(), text.replace(", force 200 g", ""));
    }

    #[test]
    fn lines_go_beside_a_statement() {
        let text = "    follow usual // ours\n    skip level\n}\n";
        let step = "step more, wire niti-14 {\n  hook 13\n}";
        let lines = "    step more, wire niti-14 {\n      hook 13\n    }\n";
        assert_eq!(
            inserted(text, "follow", InsertAt::After, step).unwrap(),
            format!("    follow usual // ours\n{lines}    skip level\n}}\n")
        );
        assert_eq!(
            inserted(text, "skip", InsertAt::Before, step).unwrap(),
            format!("    follow usual // ours\n{lines}    skip level\n}}\n")
        );
        // The tree is the same whether the brace stands on the line or not.
        assert_eq!(
            inserted("  follow usual }\n", "follow", InsertAt::After, "skip level").unwrap(),
            "  follow usual\n  skip level\n }\n"
        );
    }

    #[test]
    fn a_statement_moves_with_its_lines() {
        let text = "  follow usual\n  change align {\n    hook 13\n  } // why\n}\n";
        let tree_order = edited(text, "change", |e, id| {
            let first =
                e.parse().line(id).and_then(StatementRef::parent).and_then(|p| p.children().next());
            e.move_before(id, first.expect("a statement").id);
        });
        assert_eq!(
            tree_order.unwrap(),
            "  change align {\n    hook 13\n  } // why\n  follow usual\n}\n"
        );
    }

    #[test]
    fn line_ends_and_indentation_stay_as_they_are() {
        let text =
            format!("{CASE}\tchange align {{\n\t\t\thook 13\n\t}}\n}}").replace('\n', "\r\n");
        let tree = parse(FileId(0), &text);
        let id = tree.all_lines().find(|l| l.keyword() == Some("change")).expect("there").id;
        let mut editor = TreeEditor::new(&tree);
        editor.insert(InsertAt::LastIn(id), "hook 23");
        editor.insert(InsertAt::End, "note \"x\"");
        let edits = editor.finish().unwrap();
        let texts: Vec<&str> = edits.iter().map(|e| e.text.as_str()).collect();
        assert_eq!(texts, ["\t\t\thook 23\r\n", "\r\nnote \"x\"\r\n"]);
    }

    #[test]
    fn nothing_is_guessed() {
        let last = |text| inserted(text, "change", InsertAt::LastIn, "hook 13");
        assert_eq!(last("  change align {\n    hook 23\n"), None, "blocks were guessed");
        assert_eq!(last("  change align {\n    hook 23,\n  }\n}\n"), None, "the line runs on");
        let after = |text| inserted(text, "change", InsertAt::After, "skip level");
        assert_eq!(after("  change align {\n  } follow usual\n}\n"), None, "another one follows");
        let clause = edited("  note \"open\n}\n", "note", |e, id| e.append(id, " more"));
        assert_eq!(clause, None, "it would become part of the text");
    }
}
