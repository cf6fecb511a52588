//! What a feature may look at: one case or house as read, and as computed where that is done.

use springline_lang::Checked;
use springline_lang::check::Read;
use springline_lang::course::{ArchForecast, Forecast};
use springline_lang::finding::{FileId, Finding, Span};
use springline_lang::model::tooth::{Arch, Notation};
use springline_lang::model::{Case, House};
use springline_lang::syntax::tree::{Captured, Line, Parse};
use springline_lang::syntax::{Context, FileKind, Item};

/// A file at one moment. Features are functions of this and a byte offset.
#[derive(Debug, Clone, Copy)]
pub struct Facts<'a> {
    pub read: &'a Read,
    /// `None` while the mechanics are still at work.
    pub checked: Option<&'a Checked>,
}

impl<'a> Facts<'a> {
    pub fn parse(self) -> &'a Parse {
        &self.read.parse
    }

    pub fn text(self) -> &'a str {
        &self.read.parse.source
    }

    pub fn house(self) -> Option<&'a House> {
        self.read.house.as_deref()
    }

    pub fn case(self) -> Option<&'a Case> {
        self.read.case.as_deref()
    }

    pub fn forecast(self) -> Option<&'a Forecast> {
        self.checked?.forecast.as_deref()
    }

    pub fn arch_forecast(self, arch: Arch) -> Option<&'a ArchForecast> {
        self.forecast()?.arch(arch)
    }

    pub fn findings(self) -> &'a [Finding] {
        self.checked.map_or(&self.read.findings, |c| &c.findings)
    }

    /// How this practice writes teeth.
    pub fn notation(self) -> Notation {
        self.house().map_or(Notation::Iso, |h| h.notation.value)
    }

    pub fn is_house(self) -> bool {
        self.parse().kind == FileKind::House
    }

    /// The text of one of the files.
    pub fn text_of(self, file: FileId) -> Option<&'a str> {
        self.read.files.iter().find(|f| f.id == file).map(|f| &*f.text)
    }

    /// The name under which a file is spoken of.
    pub fn name_of(self, file: FileId) -> Option<&'a str> {
        self.read.files.iter().find(|f| f.id == file).map(|f| f.name.as_str())
    }

    /// The statement whose own words lie around an offset.
    pub fn line_at(self, offset: usize) -> Option<Line<'a>> {
        self.parse().all_lines().filter(|line| line.span().contains(offset)).last()
    }

    /// The innermost statement whose braces lie around an offset.
    pub fn block_at(self, offset: usize) -> Option<Line<'a>> {
        let inside = |line: &Line<'_>| {
            line.block().is_some_and(|block| {
                let end = if block.close.start == block.close.end {
                    self.text().len()
                } else {
                    block.close.start as usize
                };
                block.open.end as usize <= offset && offset <= end
            })
        };
        self.parse().all_lines().filter(inside).last()
    }

    /// Where a statement written at an offset would stand.
    pub fn context_at(self, offset: usize) -> Option<Context> {
        if let Some(outer) = self.block_at(offset) {
            return outer.block().and_then(|b| b.context);
        }
        let base = match self.parse().kind {
            FileKind::House => Context::House,
            FileKind::Case => Context::Case,
            FileKind::Unsaid => return Some(Context::File),
        };
        let opening = self
            .parse()
            .lines()
            .find(|line| matches!(line.keyword(), Some("house" | "case")))
            .map(|line| line.span().end as usize);
        Some(if opening.is_some_and(|end| offset <= end) { Context::File } else { base })
    }

    /// The arch whose braces, or whose line in a visit, lie around an offset.
    pub fn arch_at(self, offset: usize) -> Option<Arch> {
        let mut line = self.line_at(offset).or_else(|| self.block_at(offset));
        while let Some(at) = line {
            match at.keyword() {
                Some("upper") => return Some(Arch::Upper),
                Some("lower") => return Some(Arch::Lower),
                _ => line = at.parent(),
            }
        }
        None
    }

    /// The step or change around an offset.
    pub fn step_line_at(self, offset: usize) -> Option<Line<'a>> {
        let mut line = self.line_at(offset).or_else(|| self.block_at(offset));
        while let Some(at) = line {
            if matches!(at.keyword(), Some("step" | "change")) {
                return Some(at);
            }
            line = at.parent();
        }
        None
    }

    /// The word or figure at an offset, and the statement it is part of.
    pub fn item_at(self, offset: usize) -> Option<(Line<'a>, &'a Item)> {
        let line = self.line_at(offset)?;
        let touches = |item: &&Item| item.span.contains(offset);
        let mut found = line.items().iter().filter(touches);
        let first = found.next()?;
        // Between two parts without a blank, the one that begins here.
        Some((line, found.next().filter(|next| !next.is_comma()).unwrap_or(first)))
    }

    /// The hole that an offset lies in.
    pub fn hole_at(self, offset: usize) -> Option<Captured<'a>> {
        let line = self.line_at(offset)?;
        line.group().captured().find(|c| c.span().contains(offset))
    }
}

/// Whether a span is a proper part of a text.
pub fn fits(text: &str, span: Span) -> bool {
    text.get(span.range()).is_some()
}
