//! The task that owns the documents. Every change reaches it as a message, in the order the client sent
//! it; requests get snapshots in that same order.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::Arc;

use springline_lang::charts::is_practice_opening;
use springline_lang::syntax::SIZE_LIMIT;
use tokio::sync::mpsc;
use tokio::time::Instant;
use tower_lsp::ls_types::{TextDocumentContentChangeEvent, Uri};

use crate::analysis::{Analysis, Closed, RefreshRequests, Revision, publish_held_back};
use crate::document::{self, Document};
use crate::features::while_typing::Typing;
use crate::owner_message::{OwnerMessage, Snapshots};
use crate::practice_files::{EXTENSION, OpenTexts};
use crate::session::Session;
use crate::snapshot::Snapshot;

/// The documents, and which of them depend on which practice file.
pub struct Documents {
    session: Arc<Session>,
    analysis: Analysis,
    refresh_requests: RefreshRequests,
    snapshots: Arc<Snapshots>,
    /// Handed to every snapshot as it was then: what two of them share is there once.
    shelf: OpenTexts,
    uses: BTreeMap<String, Vec<String>>,
    /// Documents being typed in, and when their typing pause will have elapsed.
    resting: BTreeMap<String, Instant>,
    /// The inverse: by practice file, the documents that asked for it.
    askers: BTreeMap<String, BTreeSet<String>>,
    closed: Closed,
    revision: u64,
}

impl Documents {
    pub fn new(
        session: Arc<Session>,
        analysis: Analysis,
        refresh_requests: RefreshRequests,
    ) -> Documents {
        Documents {
            session,
            analysis,
            refresh_requests,
            snapshots: Arc::default(),
            shelf: OpenTexts::default(),
            uses: BTreeMap::new(),
            resting: BTreeMap::new(),
            askers: BTreeMap::new(),
            closed: Closed::start(),
            revision: 0,
        }
    }

    /// Handles messages until all senders are gone.
    pub async fn run(mut self, mut messages: mpsc::UnboundedReceiver<OwnerMessage>) {
        loop {
            let due = self.resting.values().min().copied();
            let rested = async move {
                match due {
                    Some(due) => tokio::time::sleep_until(due).await,
                    None => std::future::pending().await,
                }
            };
            tokio::select! {
                biased;
                message = messages.recv() => match message {
                    Some(message) => self.handle(message),
                    None => return,
                },
                () = rested => self.rest(),
            }
        }
    }

    /// Publishes the findings held back in documents after a typing pause, and in those that use a
    /// practice file after one.
    fn rest(&mut self) {
        let now = Instant::now();
        self.resting.retain(|_, due| *due > now);
        for (uri, snapshot) in self.snapshots.iter() {
            let rests = match snapshot.typing {
                Typing::Away => false,
                Typing::At(_) => !self.resting.contains_key(uri),
                Typing::Elsewhere => self.resting.is_empty(),
            };
            if !rests || snapshot.is_rested() {
                continue;
            }
            if snapshot.rest() {
                publish_held_back(snapshot, &self.refresh_requests);
            }
            let path = snapshot.path.as_deref().filter(|_| opens_house(snapshot.text()));
            if let (Some(path), Typing::At(_)) = (path, snapshot.typing) {
                self.look_at_closed(path);
            }
        }
    }

    fn handle(&mut self, message: OwnerMessage) {
        match message {
            OwnerMessage::Open(document) => {
                let path = path_of(&document.uri);
                self.session.publisher.open(&document.uri, self.revision + 1);
                self.session.disk.forget_places();
                self.set_document(document, path, Typing::Away);
            }
            OwnerMessage::Change { uri, version, changes } => self.change(&uri, version, &changes),
            OwnerMessage::Close { uri } => self.close(&uri),
            OwnerMessage::Watched { uris } => self.watched(&uris),
            OwnerMessage::Reconsider => self.refresh(|_| true, Typing::Away),
            OwnerMessage::Uses { uri, houses } => {
                if self.snapshots.contains_key(uri.as_str()) {
                    self.set_uses(uri.as_str(), houses);
                }
            }
            OwnerMessage::Capture { reply } => drop(reply.send(self.snapshots.clone())),
        }
    }

    fn change(&mut self, uri: &Uri, version: i32, changes: &[TextDocumentContentChangeEvent]) {
        let Some(before) = self.snapshots.get(uri.as_str()) else {
            crate::log(&format!("a change of {} which is not open", uri.as_str()));
            return;
        };
        let (text, typing) = document::apply(before.text(), changes, self.session.encoding());
        let document = Document { uri: uri.clone(), version, text: text.into() };
        let path = before.path.clone();
        self.resting.remove(uri.as_str());
        if let (Typing::At(_), Some(pause)) = (typing, self.session.settings().pause()) {
            self.resting.insert(uri.as_str().to_owned(), Instant::now() + pause);
        }
        self.set_document(document, path, typing);
    }

    /// Makes a new snapshot of a document, and of those that depend on it.
    fn set_document(&mut self, document: Document, path: Option<PathBuf>, typing: Typing) {
        if let Some(path) = &path {
            self.shelf.insert_mut(path.clone(), document.text.clone());
        }
        let house = path.as_deref().and_then(house_name);
        let text = self.revision + 1;
        let is_house = opens_house(&document.text);
        if let Some(path) = path.as_deref().filter(|_| is_house && typing == Typing::Away) {
            self.look_at_closed(path);
        }
        self.snapshot(document, path, text, typing, true);
        if let Some(house) = house {
            let typing = if typing == Typing::Away { Typing::Away } else { Typing::Elsewhere };
            self.refresh_users_of(&house, typing);
        }
    }

    fn snapshot(
        &mut self,
        document: Document,
        path: Option<PathBuf>,
        text: u64,
        typing: Typing,
        urgent: bool,
    ) {
        self.revision += 1;
        let stamp = Revision { revision: self.revision, text };
        self.session.currents.set(&document.uri, stamp);
        let key = document.uri.as_str().to_owned();
        let snapshot = Arc::new(Snapshot::new(
            document,
            path,
            stamp,
            typing,
            self.session.clone(),
            self.shelf.clone(),
        ));
        Arc::make_mut(&mut self.snapshots).insert_mut(key, snapshot.clone());
        self.analysis.look(snapshot, urgent);
    }

    fn close(&mut self, uri: &Uri) {
        let Some(closed) = self.snapshots.get(uri.as_str()).cloned() else { return };
        Arc::make_mut(&mut self.snapshots).remove_mut(uri.as_str());
        self.set_uses(uri.as_str(), Vec::new());
        self.resting.remove(uri.as_str());
        self.session.published.remove(uri);
        self.session.currents.remove(uri);
        self.session.publisher.close(uri);
        if let Some(path) = &closed.path {
            self.shelf.remove_mut(path);
            // Its cases now see what is on disk.
            if let Some(house) = house_name(path) {
                self.refresh_users_of(&house, Typing::Away);
            }
        }
    }

    fn watched(&mut self, uris: &[Uri]) {
        self.session.disk.forget_places();
        for uri in uris {
            let open = self.snapshots.contains_key(uri.as_str());
            let path = path_of(uri);
            if let Some(house) = path.as_deref().and_then(house_name)
                && !open
            {
                self.refresh_users_of(&house, Typing::Away);
                if let Some(path) = path.as_deref().filter(|p| is_house_file(p)) {
                    self.look_at_closed(path);
                }
            }
        }
    }

    /// Closed cases are checked when their practice file has changed.
    fn look_at_closed(&self, house: &std::path::Path) {
        if self.session.settings().closed_files.0 {
            self.closed.look(house, self.shelf.clone(), self.session.clone());
        }
    }

    /// Checks documents again that asked for a practice file of that name.
    fn refresh_users_of(&mut self, house: &str, typing: Typing) {
        let Some(askers) = self.askers.get(house).cloned() else { return };
        self.refresh(|uri| askers.contains(uri), typing);
    }

    /// Sets the practice files a document asked for; none once it is closed.
    fn set_uses(&mut self, uri: &str, houses: Vec<String>) {
        for before in self.uses.remove(uri).into_iter().flatten() {
            if let Some(askers) = self.askers.get_mut(&before) {
                askers.remove(uri);
            }
        }
        for house in &houses {
            self.askers.entry(house.clone()).or_default().insert(uri.to_owned());
        }
        if !houses.is_empty() {
            self.uses.insert(uri.to_owned(), houses);
        }
    }

    fn refresh(&mut self, concerned: impl Fn(&str) -> bool, typing: Typing) {
        let again: Vec<Arc<Snapshot>> = self
            .snapshots
            .iter()
            .filter(|(uri, _)| concerned(uri))
            .map(|(_, s)| s.clone())
            .collect();
        if again.is_empty() {
            return;
        }
        for snapshot in again {
            let document = snapshot.document.clone();
            let (path, text) = (snapshot.path.clone(), snapshot.stamp.text);
            self.snapshot(document, path, text, typing, false);
        }
        // A client that pulls diagnostics would not request these.
        let _ = self.refresh_requests.refresh.send(());
    }
}

/// The address under which a client opens a file; the opposite of [`path_of`].
pub fn address_of(path: &std::path::Path) -> Option<String> {
    Uri::from_file_path(path).map(|uri| uri.as_str().to_owned())
}

/// The path of a file document. Its folder is resolved, as those are in which houses are looked for.
pub fn path_of(uri: &Uri) -> Option<PathBuf> {
    if uri.scheme().as_str() != "file" {
        return None;
    }
    let path = uri.to_file_path()?.into_owned();
    let folder = path.parent().and_then(|p| std::fs::canonicalize(p).ok());
    match (folder, path.file_name()) {
        (Some(folder), Some(name)) => Some(folder.join(name)),
        _ => Some(path),
    }
}

/// The name by which `use` would ask for this file.
fn house_name(path: &std::path::Path) -> Option<String> {
    if path.extension()? != EXTENSION {
        return None;
    }
    Some(path.file_stem()?.to_str()?.to_owned())
}

/// Whether a text opens as a practice file, in its first lines.
fn opens_house(text: &str) -> bool {
    text.lines().take(40).any(|line| is_practice_opening(line.trim_start()))
}

/// The same for a file on disk; a deleted one counts, because it may have been a practice file.
fn is_house_file(path: &std::path::Path) -> bool {
    match std::fs::symlink_metadata(path) {
        Ok(metadata) if metadata.is_file() && metadata.len() <= SIZE_LIMIT as u64 => {
            std::fs::read_to_string(path).is_ok_and(|text| opens_house(&text))
        }
        Ok(_) => false,
        Err(_) => true,
    }
}
