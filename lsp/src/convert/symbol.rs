//! Document symbols, as a tree or flat.

use tower_lsp::ls_types::*;

use crate::features::symbols::{Symbol, SymbolKind as Kind};
use crate::position::Positions;

fn kind(kind: Kind) -> SymbolKind {
    match kind {
        Kind::File => SymbolKind::FILE,
        Kind::Arch => SymbolKind::CLASS,
        Kind::Step => SymbolKind::METHOD,
        Kind::Visit => SymbolKind::EVENT,
        Kind::Stock => SymbolKind::CONSTANT,
        Kind::Sequence => SymbolKind::ENUM,
        Kind::Group => SymbolKind::OBJECT,
    }
}

#[expect(deprecated, reason = "the protocol's structs still have their old field")]
pub fn tree(symbols: &[Symbol], positions: &Positions<'_>) -> Vec<DocumentSymbol> {
    symbols
        .iter()
        .map(|symbol| DocumentSymbol {
            name: symbol.name.clone(),
            detail: (!symbol.detail.is_empty()).then(|| symbol.detail.clone()),
            kind: kind(symbol.kind),
            tags: None,
            deprecated: None,
            range: positions.range(symbol.span),
            selection_range: positions.range(symbol.name_span),
            children: Some(tree(&symbol.children, positions)),
        })
        .collect()
}

/// For clients that know no tree, and for a search over all files.
#[expect(deprecated, reason = "the protocol's structs still have their old field")]
pub fn flat(
    symbols: &[Symbol],
    container: Option<&str>,
    uri: &Uri,
    positions: &Positions<'_>,
    out: &mut Vec<SymbolInformation>,
) {
    for symbol in symbols {
        out.push(SymbolInformation {
            name: symbol.name.clone(),
            kind: kind(symbol.kind),
            tags: None,
            deprecated: None,
            location: Location { uri: uri.clone(), range: positions.range(symbol.span) },
            container_name: container.map(str::to_owned),
        });
        // `SM-0417, upper`: steps of many cases have one name.
        let inside = match container {
            Some(container) => format!("{container}, {}", symbol.name),
            None => symbol.name.clone(),
        };
        flat(&symbol.children, Some(&inside), uri, positions, out);
    }
}
