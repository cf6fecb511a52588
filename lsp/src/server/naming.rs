//! Names over all files: definition, references, highlight, rename.

use springline_lang::finding::FileId;
use springline_lang::resolve::used;
use springline_lang::syntax::tree::Parse;
use springline_lang::syntax::{FileKind, parse};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::*;

use super::answer::View;
use crate::convert::edit;
use crate::features::names::{self, Name, Scope, Use};
use crate::position::Positions;
use crate::project::{self, Text};

/// The name under the cursor, in every file that may know it.
struct Search {
    name: Name,
    here: Use,
    files: Vec<(Text, Parse)>,
}

/// The files that share names with the one at hand: it, its houses, and whatever uses those.
fn related(view: &View) -> Vec<(Text, Parse)> {
    let roots = view.snapshot.session.roots();
    let texts = project::texts(&view.world, roots);
    let mut all: Vec<(Text, Parse)> = Vec::new();
    for text in texts {
        let tree = parse(FileId(0), &text.text);
        all.push((text, tree));
    }
    // Houses that lie outside the roots.
    for file in view.reading.files.iter().filter(|f| f.id != FileId(0)) {
        let Some(uri) = file.uri.clone() else { continue };
        if !all.iter().any(|(text, _)| text.uri == uri) {
            let tree = parse(FileId(0), &file.text);
            let (text, index) = (file.text.clone(), file.index.clone());
            let path = crate::owner::path_of(&uri);
            all.push((Text { uri, version: None, path, text, index }, tree));
        }
    }
    let mut houses: Vec<String> = Vec::new();
    let stem = |text: &Text| {
        let stem = text.path.as_ref()?.file_stem()?.to_str()?;
        Some(stem.to_owned())
    };
    houses.extend(view.reading.asked.iter().cloned());
    let here = &view.snapshot.document.uri;
    let own = all.iter().find(|(text, tree)| text.uri == *here && tree.kind == FileKind::House);
    houses.extend(own.and_then(|(text, _)| stem(text)));
    // Houses that build on these.
    for _ in 0..4 {
        for (text, tree) in &all {
            let uses = used(tree).is_some_and(|u| houses.contains(&u.name));
            if tree.kind == FileKind::House && uses {
                houses.extend(stem(text).filter(|s| !houses.contains(s)));
            }
        }
    }
    all.retain(|(text, tree)| {
        text.uri == *here
            || used(tree).is_some_and(|u| houses.contains(&u.name))
            || (tree.kind == FileKind::House && stem(text).is_some_and(|s| houses.contains(&s)))
    });
    all
}

impl Search {
    fn at(view: &View, offset: usize) -> Option<Search> {
        let tree = view.facts().parse();
        let here = names::at(tree, offset)?;
        let name = names::meaning(Scope { parse: tree }, &here);
        Some(Search { name, here, files: related(view) })
    }

    /// A name that only one arch knows means nothing in another file.
    fn is_local(&self) -> bool {
        self.name.owner.as_deref().is_some_and(|owner| owner.starts_with("own "))
    }

    fn hits<'a>(&'a self, uri: &'a Uri) -> impl Iterator<Item = (&'a Text, Use)> {
        self.files.iter().filter(move |(text, _)| !self.is_local() || text.uri == *uri).flat_map(
            |(text, tree)| {
                names::find(Scope { parse: tree }, &self.name).into_iter().map(move |u| (text, u))
            },
        )
    }
}

fn location(view: &View, text: &Text, found: &Use) -> Location {
    let positions = Positions::new(&text.text, &text.index, view.snapshot.session.encoding());
    Location { uri: text.uri.clone(), range: positions.range(found.span) }
}

pub fn definition(view: &View, position: Position) -> Option<GotoDefinitionResponse> {
    let offset = view.snapshot.positions().offset(position);
    if let Some(house) = house_file(view, offset) {
        return Some(GotoDefinitionResponse::Scalar(house));
    }
    let search = Search::at(view, offset)?;
    let here = &view.snapshot.document.uri;
    let found: Vec<Location> = search
        .hits(here)
        .filter(|(_, u)| u.defines)
        .map(|(text, u)| location(view, text, &u))
        .collect();
    (!found.is_empty()).then_some(GotoDefinitionResponse::Array(found))
}

/// `use NAME` leads to the first line of the house.
fn house_file(view: &View, offset: usize) -> Option<Location> {
    let links = crate::features::links::links(view.facts());
    let link = links.into_iter().find(|l| l.span.contains(offset))?;
    let uri = view.reading.file(link.target)?.uri.clone()?;
    Some(Location { uri, range: Range::default() })
}

pub fn references(view: &View, position: Position, declaration: bool) -> Option<Vec<Location>> {
    let offset = view.snapshot.positions().offset(position);
    let search = Search::at(view, offset)?;
    let found = search
        .hits(&view.snapshot.document.uri)
        .filter(|(_, u)| declaration || !u.defines)
        .map(|(text, u)| location(view, text, &u));
    Some(found.collect())
}

pub fn highlight(view: &View, position: Position) -> Option<Vec<DocumentHighlight>> {
    let positions = view.snapshot.positions();
    let tree = view.facts().parse();
    let scope = Scope { parse: tree };
    let here = names::at(tree, positions.offset(position))?;
    let wanted = names::meaning(scope, &here);
    let found = names::find(scope, &wanted).into_iter().map(|u| DocumentHighlight {
        range: positions.range(u.span),
        kind: Some(if u.defines {
            DocumentHighlightKind::WRITE
        } else {
            DocumentHighlightKind::READ
        }),
    });
    Some(found.collect())
}

pub fn prepare_rename(view: &View, position: Position) -> Option<PrepareRenameResponse> {
    let positions = view.snapshot.positions();
    let found = names::at(view.facts().parse(), positions.offset(position))?;
    Some(PrepareRenameResponse::RangeWithPlaceholder {
        range: positions.range(found.span),
        placeholder: found.name.text,
    })
}

pub fn rename(view: &View, position: Position, new: &str) -> Result<Option<WorkspaceEdit>> {
    let offset = view.snapshot.positions().offset(position);
    let Some(search) = Search::at(view, offset) else { return Ok(None) };
    names::check_new(new).map_err(Error::invalid_params)?;
    let here = &view.snapshot.document.uri;
    // A name that is taken would make two things one.
    let target = Name { text: new.to_owned(), ..search.name.clone() };
    let taken = search
        .files
        .iter()
        .any(|(_, tree)| names::find(Scope { parse: tree }, &target).iter().any(|u| u.defines));
    if taken && new != search.here.name.text {
        return Err(Error::invalid_params(format!("There is a {} `{new}` already.", target.space)));
    }
    let mut files: Vec<(Uri, Option<i32>, Vec<TextEdit>)> = Vec::new();
    for (text, found) in search.hits(here) {
        let range = location(view, text, &found).range;
        let edit = TextEdit { range, new_text: new.to_owned() };
        match files.iter_mut().find(|(uri, ..)| *uri == text.uri) {
            Some((.., edits)) => edits.push(edit),
            None => files.push((text.uri.clone(), text.version, vec![edit])),
        }
    }
    if files.is_empty() {
        return Ok(None);
    }
    Ok(Some(edit::workspace(files, view.snapshot.session.abilities())))
}
