//! The outline of a file: arches and their steps, elastics, visits; the stock of a practice.

use springline_lang::syntax::ast::{ChangeLine, ClausePart, WireUsePart};
use springline_lang::syntax::tree::{Parse, StatementRef};
use springline_lang::syntax::{Context, PlaceholderKind};
use springline_lang::text::Span;

use crate::facts::Facts;

/// What a line of the outline is, for the editor's icons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SymbolKind {
    File,
    Arch,
    Step,
    Visit,
    Stock,
    Sequence,
    Group,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    pub name: String,
    pub detail: String,
    pub kind: SymbolKind,
    pub span: Span,
    /// The part to select; lies in `span`.
    pub name_span: Span,
    pub children: Vec<Symbol>,
}

pub fn symbols(facts: Facts<'_>) -> Vec<Symbol> {
    outline(facts.parse())
}

/// The outline of an unchecked text.
pub fn outline(parse: &Parse) -> Vec<Symbol> {
    parse.lines().filter_map(symbol).collect()
}

fn symbol(line: StatementRef<'_>) -> Option<Symbol> {
    let keyword = line.keyword()?;
    let kind = kind(keyword)?;
    // A stop on a wire is not a stock item.
    if kind == SymbolKind::Stock && line.context() != Some(Context::House) {
        return None;
    }
    let defined = line.holes(PlaceholderKind::Name).find(|name| name.slot.defines);
    let named = defined.or_else(|| ChangeLine::cast(line).map(|line| line.step.value()));
    let (name, name_span) = match (named, kind) {
        (Some(hole), _) => (hole.text().to_owned(), hole.span()),
        (None, SymbolKind::Visit | SymbolKind::Group | SymbolKind::File) => {
            (line.text().to_owned(), line.span())
        }
        (None, _) => {
            let first = line.items().first()?.span;
            (keyword.to_owned(), first)
        }
    };
    let detail = if named.is_some() { detail(line, keyword) } else { String::new() };
    Some(Symbol {
        name: shorten(&name),
        detail: shorten(&detail),
        kind,
        span: line.whole_span(),
        name_span,
        children: line.children().filter_map(symbol).collect(),
    })
}

fn kind(keyword: &str) -> Option<SymbolKind> {
    Some(match keyword {
        "case" | "practice" => SymbolKind::File,
        "upper" | "lower" => SymbolKind::Arch,
        "step" | "change" => SymbolKind::Step,
        "seen" | "missed" | "debond" => SymbolKind::Visit,
        "wire" | "bracket" | "tube" | "coil" | "elastic" | "chain" | "stop" | "form" => {
            SymbolKind::Stock
        }
        "sequence" => SymbolKind::Sequence,
        "in-place" | "bite" | "goal" | "elastics" | "retain" | "learned" => SymbolKind::Group,
        _ => return None,
    })
}

/// What follows the name on its line.
fn detail(line: StatementRef<'_>, keyword: &str) -> String {
    if keyword == "step" || keyword == "change" {
        let wire = line.step_clauses().into_iter().flatten().find_map(|clause| match clause {
            ClausePart::Wire(WireUsePart::Wire { wire, .. }) => {
                Some(format!("wire {}", wire.text()))
            }
            _ => None,
        });
        let prefix = if keyword == "change" { "change" } else { "" };
        return [prefix.to_owned(), wire.unwrap_or_default()]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(", ");
    }
    keyword.to_owned()
}

/// An outline is narrow, and a line may be as long as it likes.
fn shorten(text: &str) -> String {
    const MOST: usize = 80;
    let text = text.split(['\n', '\r']).next().unwrap_or_default();
    if text.chars().count() <= MOST {
        return if text.trim().is_empty() {
            "-".repeat(usize::from(!text.is_empty()))
        } else {
            text.to_owned()
        };
    }
    text.chars().take(MOST - 1).chain(['…']).collect()
}
