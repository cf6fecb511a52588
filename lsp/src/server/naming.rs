//! Names over all files: definition, references, highlight, rename.

use std::sync::Arc;

use springline_lang::finding::FileId;
use springline_lang::resolve::used;
use springline_lang::syntax::{FileKind, parse};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::*;

use super::answer::View;
use crate::convert::edit;
use crate::features::mentions;
use crate::features::names::{self, Name, Scope, Use};
use crate::owner::path_of;
use crate::project::{self, Text};

/// The name under the cursor, in every file that may know it.
struct Search {
    name: Name,
    here: Use,
    files: Vec<Text>,
}

/// The files that share names with the one at hand: it, its houses, and whatever uses those.
fn related(view: &View) -> Vec<Text> {
    let mut all = project::texts(&view.world, &view.snapshot.session);
    // Houses that lie outside the roots.
    for file in view.reading.files.iter().filter(|f| f.id != FileId(0)) {
        let Some(uri) = file.uri.clone() else { continue };
        if all.iter().all(|text| text.uri != uri) {
            let parse = Arc::new(parse(FileId(0), &file.text));
            let index = Arc::new(file.index.clone());
            all.push(Text { path: path_of(&uri), uri, version: None, parse, index });
        }
    }
    let here = &view.snapshot.document.uri;
    let is_house = |text: &Text| text.parse.kind == FileKind::House;
    let mut houses: Vec<String> = view.reading.asked.clone();
    houses.extend(all.iter().find(|t| t.uri == *here && is_house(t)).and_then(stem));
    let uses = |text: &Text, houses: &[String]| {
        used(&text.parse).is_some_and(|used| houses.contains(&used.name))
    };
    // Houses may build on one another.
    for _ in 0..4 {
        let built_on = all.iter().filter(|text| is_house(text) && uses(text, &houses));
        let more: Vec<String> = built_on.filter_map(stem).collect();
        houses.extend(more);
    }
    all.retain(|text| {
        let named = is_house(text) && stem(text).is_some_and(|name| houses.contains(&name));
        text.uri == *here || named || uses(text, &houses)
    });
    all
}

/// The name by which `use` asks for it.
fn stem(text: &Text) -> Option<String> {
    Some(text.path.as_ref()?.file_stem()?.to_str()?.to_owned())
}

impl Search {
    fn at(view: &View, offset: usize) -> Option<Search> {
        let parse = view.facts().parse();
        let here = names::at(parse, offset)?;
        let name = names::meaning(Scope { parse }, &here);
        Some(Search { name, here, files: related(view) })
    }

    /// A name that only one arch knows means nothing in another file.
    fn is_local(&self) -> bool {
        self.name.owner.as_deref().is_some_and(|owner| owner.starts_with("own "))
    }

    fn hits<'a>(&'a self, uri: &'a Uri) -> impl Iterator<Item = (&'a Text, Use)> {
        let searched = self.files.iter().filter(move |text| !self.is_local() || text.uri == *uri);
        searched.flat_map(|text| {
            let found = names::find(Scope { parse: &text.parse }, &self.name);
            found.into_iter().map(move |used| (text, used))
        })
    }
}

fn location(view: &View, text: &Text, found: &Use) -> Location {
    let positions = text.positions(view.snapshot.session.encoding());
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
    if let Some(tooth) = mentions::tooth_at(view.facts(), offset) {
        let (positions, uri) = (view.snapshot.positions(), &view.snapshot.document.uri);
        let found = mentions::of_tooth(view.facts(), tooth).into_iter();
        let one = |span| Location { uri: uri.clone(), range: positions.range(span) };
        return Some(found.map(one).collect());
    }
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
    if let Some(tooth) = mentions::tooth_at(view.facts(), positions.offset(position)) {
        let found = mentions::of_tooth(view.facts(), tooth).into_iter();
        let one = |span| DocumentHighlight {
            range: positions.range(span),
            kind: Some(DocumentHighlightKind::TEXT),
        };
        return Some(found.map(one).collect());
    }
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
        .any(|t| names::find(Scope { parse: &t.parse }, &target).iter().any(|u| u.defines));
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
