//! Requests about names across files: definition, references, highlight, rename.

use std::path::PathBuf;

use springline_lang::lower::{Used, used};
use springline_lang::syntax::Parse;
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::*;

use super::answer::DocumentView;
use super::house;
use super::house_users::{HouseUsers, Users};
use super::refusal::whole;
use crate::convert::edit;
use crate::features::mentions;
use crate::features::names::{self, QualifiedName, Scope, Use};
use crate::project::{self, ProjectText};

/// The name under the cursor, and whose it is.
struct Search<'a> {
    name: QualifiedName,
    here: Use,
    text: ProjectText,
    reach: HouseUsers<'a>,
    /// The file whose definition counts here.
    definer: Option<PathBuf>,
}

impl<'a> Search<'a> {
    fn at(view: &'a DocumentView, offset: usize) -> Option<Search<'a>> {
        let parse = view.analysed().parse();
        let here = names::at(parse, offset)?;
        let name = names::meaning(Scope { parse }, &here);
        let mut reach = HouseUsers::new(&view.snapshots, &view.snapshot.session);
        let text = project::open_text(&view.snapshot);
        let definer = reach.definer(&text, &name);
        Some(Search { name, here, text, reach, definer })
    }

    /// A name that only one arch knows, or nobody, means nothing in another file.
    fn is_local(&self) -> bool {
        let own = self.name.owner.as_deref().is_some_and(|owner| owner.starts_with("own "));
        own || self.definer.is_none()
    }

    /// Every text in which the name means the same, with why there may be more.
    fn texts(&mut self) -> Users {
        let folder = self.definer.as_deref().and_then(std::path::Path::parent);
        let Some(folder) = folder.filter(|_| !self.is_local()) else {
            return Users { texts: vec![self.text.clone()], missed: Vec::new() };
        };
        let mut users = self.reach.users(folder, &self.name.text);
        let definer = self.definer.clone();
        users.texts.retain(|text| self.reach.definer(text, &self.name) == definer);
        users
    }

    fn uses(&self, text: &ProjectText) -> Vec<Use> {
        names::find(Scope { parse: &text.parse }, &self.name)
    }
}

fn location(view: &DocumentView, text: &ProjectText, found: &Use) -> Location {
    let positions = text.positions(view.snapshot.session.encoding());
    Location { uri: text.uri.clone(), range: positions.range(found.span) }
}

pub fn definition(view: &DocumentView, position: Position) -> Option<GotoDefinitionResponse> {
    let offset = view.snapshot.positions().offset(position);
    if let Some(house) = house_file(view, offset) {
        return Some(GotoDefinitionResponse::Scalar(house));
    }
    let search = Search::at(view, offset)?;
    let text = match &search.definer {
        Some(path) if !search.is_local() => search.reach.text(path)?,
        _ => search.text.clone(),
    };
    let uses = search.uses(&text).into_iter().filter(|u| u.defines);
    let found: Vec<Location> = uses.map(|u| location(view, &text, &u)).collect();
    (!found.is_empty()).then_some(GotoDefinitionResponse::Array(found))
}

/// `use NAME` leads to the first line of the house.
fn house_file(view: &DocumentView, offset: usize) -> Option<Location> {
    let links = crate::features::links::links(view.analysed());
    let link = links.into_iter().find(|l| l.span.contains(offset))?;
    let uri = view.reading.file(link.target)?.uri.clone()?;
    Some(Location { uri, range: Range::default() })
}

pub fn references(
    view: &DocumentView,
    position: Position,
    declaration: bool,
) -> Option<Vec<Location>> {
    let offset = view.snapshot.positions().offset(position);
    if let Some(tooth) = mentions::tooth_at(view.analysed(), offset) {
        let (positions, uri) = (view.snapshot.positions(), &view.snapshot.document.uri);
        let found = mentions::of_tooth(view.analysed(), tooth).into_iter();
        let one = |span| Location { uri: uri.clone(), range: positions.range(span) };
        return Some(found.map(one).collect());
    }
    let mut search = Search::at(view, offset)?;
    let users = search.texts();
    for missed in &users.missed {
        crate::log(&format!("not searched: {missed}"));
    }
    let mut found = Vec::new();
    for text in &users.texts {
        let uses = search.uses(text).into_iter().filter(|u| declaration || !u.defines);
        found.extend(uses.map(|u| location(view, text, &u)));
    }
    Some(found)
}

pub fn highlight(view: &DocumentView, position: Position) -> Option<Vec<DocumentHighlight>> {
    let positions = view.snapshot.positions();
    let tree = view.analysed().parse();
    let scope = Scope { parse: tree };
    if let Some(tooth) = mentions::tooth_at(view.analysed(), positions.offset(position)) {
        let found = mentions::of_tooth(view.analysed(), tooth).into_iter();
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

pub fn prepare_rename(view: &DocumentView, position: Position) -> Option<PrepareRenameResponse> {
    let positions = view.snapshot.positions();
    let (parse, offset) = (view.analysed().parse(), positions.offset(position));
    let (span, placeholder) = match names::at(parse, offset) {
        Some(found) => (found.span, found.name.text),
        None => {
            let used = house_at(parse, offset)?;
            (used.place.span, used.name)
        }
    };
    Some(PrepareRenameResponse::RangeWithPlaceholder { range: positions.range(span), placeholder })
}

/// The `use` whose name is at that place.
fn house_at(parse: &Parse, offset: usize) -> Option<Used> {
    used(parse).filter(|used| used.place.span.contains(offset))
}

/// Whole or refused: a plan that kept the old name would be broken without a word.
pub fn rename(view: &DocumentView, position: Position, new: &str) -> Result<Option<WorkspaceEdit>> {
    let offset = view.snapshot.positions().offset(position);
    if let Some(used) = house_at(view.analysed().parse(), offset) {
        return house::renamed(view, &used, new);
    }
    let Some(mut search) = Search::at(view, offset) else { return Ok(None) };
    names::check_new(new).map_err(Error::invalid_params)?;
    let users = search.texts();
    whole(&users, &search.name.text)?;
    // A name that is taken would make two things one.
    let target = QualifiedName { text: new.to_owned(), ..search.name.clone() };
    let is_taken =
        |text: &ProjectText, reach: &mut HouseUsers<'_>| match search.name.owner.as_deref() {
            Some(owner) if owner.starts_with("own ") => {
                names::find(Scope { parse: &text.parse }, &target).iter().any(|u| u.defines)
            }
            _ => reach.definer(text, &target).is_some(),
        };
    let mut files: Vec<(Uri, Option<i32>, Vec<TextEdit>)> = Vec::new();
    for text in &users.texts {
        let uses = names::find(Scope { parse: &text.parse }, &search.name);
        if uses.is_empty() {
            continue;
        }
        if new != search.here.name.text && is_taken(text, &mut search.reach) {
            let message = format!("A {} `{new}` already exists.", target.space);
            return Err(Error::invalid_params(message));
        }
        let edit =
            |u: &Use| TextEdit { range: location(view, text, u).range, new_text: new.to_owned() };
        files.push((text.uri.clone(), text.version, uses.iter().map(edit).collect()));
    }
    if files.is_empty() {
        return Ok(None);
    }
    Ok(Some(edit::workspace(files, view.snapshot.session.client_features())))
}
