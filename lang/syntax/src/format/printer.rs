//! Formatter, second step: prints statements, blocks, blank lines and comments in source order.

use super::super::item::{Item, RecoverableTypo};
use super::super::token::{Token, TokenKind};
use super::super::tree::{Id, Parse, StatementRef};
use super::atoms::{Atom, atoms};
use super::{FormatOptions, WIDTH};
use springline_text::Span;

const INDENT: usize = 2;
/// Extra indentation of a continuation line.
const CONTINUED: usize = 4;

pub fn print(parse: &Parse, options: &FormatOptions) -> String {
    let comments = parse.tokens.iter().copied().filter(is_comment).collect();
    let mut printer = Printer {
        parse,
        options,
        comments,
        next: 0,
        out: String::new(),
        fresh: true,
        commented: false,
    };
    // Braces without a statement at the top would attach to the line before them.
    let headless = parse.lines().next().is_some_and(|l| l.items().is_empty());
    if !headless && !parse.lines().any(|l| l.keyword() == Some("springline")) {
        printer.out.push_str("springline 1\n");
        printer.fresh = false;
    }
    printer.body(&parse.top, 0);
    printer.comments_before(u32::MAX, 0);
    printer.out
}

fn is_comment(token: &Token) -> bool {
    matches!(token.kind, TokenKind::Comment | TokenKind::HashComment)
}

struct Printer<'a> {
    parse: &'a Parse,
    options: &'a FormatOptions,
    comments: Vec<Token>,
    /// The first comment that is not printed yet.
    next: usize,
    out: String,
    /// Nothing was printed yet in this block: no blank line comes first.
    fresh: bool,
    /// The last line ends in a comment; another one cannot follow on it.
    commented: bool,
}

impl Printer<'_> {
    fn body(&mut self, ids: &[Id], depth: usize) {
        let mut at = 0;
        while let Some(line) = ids.get(at).and_then(|id| self.parse.line(*id)) {
            let run = self.joined(ids, at);
            let last = ids.get(run).and_then(|id| self.parse.line(*id)).unwrap_or(line);
            self.begin(line.whole_span().start, depth);
            if last.items().is_empty() {
                // Braces without a statement.
            } else if run > at || last.is_faulty() || !last.is_read() {
                self.verbatim(line.span().to(last.span()), depth);
            } else {
                self.settled(last, depth);
            }
            self.block(last, depth);
            at = run + 1;
        }
    }

    /// The last of the statements that were typed as one line from here on.
    fn joined(&self, ids: &[Id], from: usize) -> usize {
        let mut last = from;
        while let [Some(a), Some(b)] =
            [last, last + 1].map(|i| ids.get(i).and_then(|id| self.parse.line(*id)))
        {
            let gap = Span { start: a.span().end, end: b.span().start };
            let tokens = self.tokens_in(gap);
            let apart = tokens.iter().any(|t| t.kind == TokenKind::Newline);
            let comma = tokens.iter().any(|t| t.kind == TokenKind::Comma);
            if a.block().is_some() || (apart && !comma) {
                break;
            }
            last += 1;
        }
        last
    }

    fn tokens_in(&self, span: Span) -> &[Token] {
        let tokens = &self.parse.tokens;
        let from = tokens.partition_point(|t| t.span.start < span.start);
        let to = tokens.partition_point(|t| t.span.start < span.end);
        tokens.get(from..to).unwrap_or_default()
    }

    /// Newlines between an offset and the text before it; `None` at the start of the file.
    fn newlines_before(&self, offset: u32) -> Option<usize> {
        let at = self.parse.tokens.partition_point(|t| t.span.start < offset);
        let mut newlines = 0;
        for token in self.parse.tokens[..at].iter().rev() {
            match token.kind {
                TokenKind::Newline => newlines += 1,
                TokenKind::Blank => {}
                _ => return Some(newlines),
            }
        }
        None
    }

    /// Comments before a line, a blank line if there was one, and the indentation.
    fn begin(&mut self, offset: u32, depth: usize) {
        self.comments_before(offset, depth);
        self.blank_line(offset);
        self.out.push_str(&" ".repeat(depth * INDENT));
        self.fresh = false;
    }

    fn blank_line(&mut self, offset: u32) {
        if !self.fresh && self.newlines_before(offset).is_some_and(|n| n > 1) {
            self.out.push('\n');
        }
    }

    fn comments_before(&mut self, offset: u32, depth: usize) {
        while let Some(comment) = self.comments.get(self.next).copied() {
            if comment.span.start >= offset {
                break;
            }
            self.next += 1;
            let text = self.parse.text(comment.span).trim_end();
            let follows = self.newlines_before(comment.span.start) == Some(0);
            if follows && !self.commented && self.out.ends_with('\n') {
                self.out.pop();
                self.out.push(' ');
            } else {
                self.blank_line(comment.span.start);
                self.out.push_str(&" ".repeat(depth * INDENT));
            }
            self.out.push_str(text);
            self.out.push('\n');
            self.fresh = false;
            self.commented = true;
        }
    }

    /// A statement with a finding: only its indentation is formatted.
    fn verbatim(&mut self, span: Span, depth: usize) {
        let text = self.parse.text(span);
        let ends = |c: char| matches!(c, '\n' | '\r' | '\u{85}' | '\u{2028}' | '\u{2029}');
        let mut lines = text.split(ends).map(str::trim).filter(|l| !l.is_empty());
        self.out.push_str(lines.next().unwrap_or_default());
        for line in lines {
            self.out.push('\n');
            self.out.push_str(&" ".repeat(depth * INDENT + CONTINUED));
            self.out.push_str(line);
        }
        self.next +=
            self.comments[self.next..].iter().take_while(|c| c.span.end <= span.end).count();
    }

    fn settled(&mut self, line: StatementRef<'_>, depth: usize) {
        let opens = if line.block().is_some() { " {".len() } else { 0 };
        let atoms = atoms(line.group(), self.options);
        let mut column = depth * INDENT;
        let mut at = 0;
        while at < atoms.len() {
            let end = atoms[at..].iter().position(|a| a.comma).map_or(atoms.len(), |n| at + n + 1);
            let segment = segment(&atoms[at..end]);
            let width = segment.chars().count();
            let needed = width + if end == atoms.len() { opens } else { 0 };
            let broken = at > 0 && self.comments_inside(&atoms[at], depth);
            if broken || (at > 0 && column + 1 + needed > WIDTH) {
                if !broken {
                    self.out.push('\n');
                }
                column = depth * INDENT + CONTINUED;
                self.out.push_str(&" ".repeat(column));
            } else if at > 0 {
                self.out.push(' ');
                column += 1;
            }
            self.out.push_str(&segment);
            column += width;
            at = end;
        }
    }

    /// Comments between the last segment and the one that begins with this atom.
    fn comments_inside(&mut self, atom: &Atom, depth: usize) -> bool {
        let Some(offset) = atom.at else { return false };
        let mut any = false;
        while let Some(comment) = self.comments.get(self.next).copied() {
            if comment.span.start >= offset {
                break;
            }
            self.next += 1;
            if self.newlines_before(comment.span.start) == Some(0) && !any {
                self.out.push(' ');
            } else {
                if !any {
                    self.out.push('\n');
                }
                self.out.push_str(&" ".repeat(depth * INDENT + CONTINUED));
            }
            self.out.push_str(self.parse.text(comment.span).trim_end());
            self.out.push('\n');
            any = true;
        }
        any
    }

    fn block(&mut self, line: StatementRef<'_>, depth: usize) {
        self.commented = false;
        let Some(block) = line.block() else {
            self.out.push('\n');
            return;
        };
        let open_text =
            line.items().last().is_some_and(|i: &Item| i.slip == Some(RecoverableTypo::OpenText));
        if open_text {
            // On the same line the brace would become part of the text.
            self.out.push('\n');
            self.out.push_str(&" ".repeat(depth * INDENT));
        } else if !line.items().is_empty() {
            self.out.push(' ');
        }
        self.out.push_str("{\n");
        self.fresh = true;
        self.body(&block.statements, depth + 1);
        self.comments_before(block.close.start, depth + 1);
        self.out.push_str(&" ".repeat(depth * INDENT));
        self.out.push_str("}\n");
        self.fresh = false;
        self.commented = false;
    }
}

/// Atoms on one line.
pub(super) fn segment(atoms: &[Atom]) -> String {
    let mut out = String::new();
    for (i, atom) in atoms.iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        out.push_str(&atom.text);
        if atom.comma {
            out.push(',');
        }
    }
    out
}
