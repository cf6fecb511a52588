//! The outline of a file: arches and their steps, elastics, visits; the stock of a practice.

use springline_lang::syntax::PlaceholderKind;
use springline_lang::syntax::ast::{ChangeLine, ClausePart, StatementKind, WireUsePart};
use springline_lang::syntax::tree::{Parse, StatementRef};
use springline_lang::text::Span;

use crate::analysed_file::AnalysedFile;

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

pub fn symbols(analysed: AnalysedFile<'_>) -> Vec<Symbol> {
    outline(analysed.parse())
}

/// The outline of an unchecked text.
pub fn outline(parse: &Parse) -> Vec<Symbol> {
    parse.lines().filter_map(symbol).collect()
}

fn symbol(line: StatementRef<'_>) -> Option<Symbol> {
    let keyword = line.keyword()?;
    let kind = kind(line.kind()?)?;
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
    let detail = if named.is_some() { detail(line, kind, keyword) } else { String::new() };
    Some(Symbol {
        name: shorten(&name),
        detail: shorten(&detail),
        kind,
        span: line.whole_span(),
        name_span,
        children: line.children().filter_map(symbol).collect(),
    })
}

fn kind(statement: StatementKind) -> Option<SymbolKind> {
    use StatementKind as S;
    Some(match statement {
        S::Case | S::Practice => SymbolKind::File,
        S::Upper | S::Lower | S::InPlaceArch | S::BiteArch | S::SeenArch => SymbolKind::Arch,
        S::Step | S::Change => SymbolKind::Step,
        S::Seen | S::Missed | S::Debond => SymbolKind::Visit,
        S::Wire
        | S::Bracket
        | S::Tube
        | S::Coil
        | S::Elastic
        | S::HouseChain
        | S::HouseStop
        | S::HouseForm => SymbolKind::Stock,
        S::Sequence => SymbolKind::Sequence,
        S::InPlace | S::Bite | S::Goal | S::Elastics | S::Retain | S::Learned => SymbolKind::Group,
        _ => return None,
    })
}

/// What follows the name on its line.
fn detail(line: StatementRef<'_>, kind: SymbolKind, keyword: &str) -> String {
    if kind == SymbolKind::Step {
        let wire = line.step_clauses().into_iter().flatten().find_map(|clause| match clause {
            ClausePart::Wire(WireUsePart::Wire { wire, .. }) => {
                Some(format!("wire {}", wire.text()))
            }
            _ => None,
        });
        let prefix = if line.is(StatementKind::Change) { keyword } else { "" };
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
