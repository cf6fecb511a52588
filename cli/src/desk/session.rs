//! One tab: who it is, what it asks of the desk, and its own language server.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use axum::extract::ws::{CloseFrame, Message, WebSocket};
use futures::stream::{SplitSink, SplitStream};
use futures::{SinkExt as _, StreamExt as _};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use tokio::io::BufReader;
use tokio::sync::mpsc;

use super::buffers::TabNumber;
use super::messages::{
    AttachParams, CreateParams, EnterParams, Entered, PageMessage, PrintParams, SaveParams, answer,
    notice,
};
use super::picking::{self, MeasuredParams, PickedFor, PointsParams};
use super::sources::{FolderSources, SourceParams};
use super::state::{Desk, TabLines, WAITING};
use super::{framing, printing, rows, sources};
use crate::files;

/// How long a connection may say nothing before it says who it is.
const PATIENCE: Duration = Duration::from_secs(5);

/// Bytes under way to and from the language server.
const UNDER_WAY: usize = 1 << 20;

/// Closed because the program ends, as opposed to a broken line: the page does not try again.
const ENDED: u16 = 4001;

/// Closed because the word was wrong or used.
const REFUSED: u16 = 4003;

type ToPage = SplitSink<WebSocket, Message>;

pub async fn run(socket: WebSocket, desk: Arc<Desk>) {
    let (mut to_page, mut from_page) = socket.split();
    let Ok(Some((id, entered))) =
        tokio::time::timeout(PATIENCE, first(&mut from_page, &desk)).await
    else {
        return close(&mut to_page, REFUSED, "").await;
    };
    let Ok(entered) = entered else {
        let _ = to_page.send(Message::text(answer(&id, entered))).await;
        return close(&mut to_page, REFUSED, "").await;
    };
    let _ = to_page.send(Message::text(answer(&id, Ok(entered)))).await;
    let (page, messages) = mpsc::channel(WAITING);
    let (language, for_language) = mpsc::channel(WAITING);
    let lines = TabLines { page, language };
    let tab = desk.join(lines.clone());
    let writing = tokio::spawn(write_out(to_page, messages, desk.clone()));
    let server = tokio::spawn(run_language(for_language, lines.page.clone()));
    let mut session =
        TabSession { desk, tab, lines, docs: BTreeMap::new(), listing: Arc::default() };
    let mut ending = session.desk.ending.subscribe();
    loop {
        let message = tokio::select! {
            message = from_page.next() => message,
            _ = ending.wait_for(|ended| *ended) => break,
        };
        match message {
            Some(Ok(Message::Text(text))) => session.hear(&text).await,
            Some(Ok(Message::Close(_)) | Err(_)) | None => break,
            // Pings are answered below us; other kinds say nothing here.
            Some(Ok(_)) => {}
        }
    }
    session.end();
    server.abort();
    // Said last of all: that the program ends.
    let _ = tokio::time::timeout(Duration::from_secs(1), writing).await;
}

async fn close(to_page: &mut ToPage, code: u16, reason: &'static str) {
    let frame = CloseFrame { code, reason: reason.into() };
    let _ = to_page.send(Message::Close(Some(frame))).await;
}

/// The first message has to say who it is.
async fn first(
    from_page: &mut SplitStream<WebSocket>,
    desk: &Desk,
) -> Option<(Value, Result<Value, String>)> {
    let Some(Ok(Message::Text(text))) = from_page.next().await else { return None };
    let message: PageMessage = serde_json::from_str(&text).ok()?;
    let id = message.id.filter(|_| message.method.as_deref() == Some("desk/enter"))?;
    let params: EnterParams = serde_json::from_value(message.params).unwrap_or_default();
    let session = match desk.door.knows(&params.session) {
        true => Some(params.session),
        false => desk.door.enter(&params.word).map(|s| s.as_str().to_owned()),
    };
    let entered = session.map(|session| Entered {
        session,
        folder: desk.folder.name(),
        today: desk.today(),
        version: env!("CARGO_PKG_VERSION"),
        task: desk.task.clone(),
    });
    let refused = "This address was used already, or is older than half a minute.";
    Some((id, entered.ok_or(refused.to_owned()).and_then(as_json)))
}

async fn write_out(mut to_page: ToPage, mut messages: mpsc::Receiver<String>, desk: Arc<Desk>) {
    let mut ending = desk.ending.subscribe();
    loop {
        let message = tokio::select! {
            message = messages.recv() => message,
            _ = ending.wait_for(|ended| *ended) => break,
        };
        let Some(message) = message else { break };
        if to_page.send(Message::text(message)).await.is_err() {
            return;
        }
    }
    let ended = *desk.ending.borrow();
    close(&mut to_page, if ended { ENDED } else { 1000 }, "").await;
}

/// The same server as every editor's, without a process of its own.
async fn run_language(mut messages: mpsc::Receiver<String>, page: mpsc::Sender<String>) {
    let (near, far) = tokio::io::duplex(UNDER_WAY);
    let (input, output) = tokio::io::split(far);
    let (read, mut write) = tokio::io::split(near);
    let serving = springline_lsp::serve(input, output);
    let passing_in = async {
        while let Some(message) = messages.recv().await {
            if framing::put(&mut write, &message).await.is_err() {
                break;
            }
        }
    };
    let passing_out = async {
        let mut read = BufReader::new(read);
        while let Some(message) = framing::take(&mut read).await {
            if page.send(message).await.is_err() {
                break;
            }
        }
    };
    tokio::select! {
        _ = serving => {}
        () = passing_in => {}
        () = passing_out => {}
    }
}

struct TabSession {
    desk: Arc<Desk>,
    tab: TabNumber,
    lines: TabLines,
    /// What is open here, by its address towards the language server.
    docs: BTreeMap<String, String>,
    /// Counts the requests for the list: an older one stops.
    listing: Arc<AtomicU64>,
}

impl TabSession {
    async fn hear(&mut self, text: &str) {
        let Ok(message) = serde_json::from_str::<PageMessage>(text) else {
            return self.say(answer(&Value::Null, Err("That is no message.".to_owned()))).await;
        };
        let Some(method) = message.method else {
            // An answer to the language server.
            return self.pass_on(text.to_owned()).await;
        };
        match method.strip_prefix("desk/") {
            Some(asked) => {
                let result = self.own(asked, message.params, message.id.as_ref());
                if let (Some(id), Some(result)) = (message.id, result) {
                    self.say(answer(&id, result)).await;
                }
            }
            None => match self.checked(&method, message.params, message.id.as_ref()) {
                Ok(message) => self.pass_on(message).await,
                Err(why) => {
                    if let Some(id) = message.id {
                        self.say(answer(&id, Err(why))).await;
                    }
                }
            },
        }
    }

    async fn say(&self, message: String) {
        let _ = self.lines.page.send(message).await;
    }

    async fn pass_on(&self, message: String) {
        let _ = self.lines.language.send(message).await;
    }

    /// A message for the language server, if it is about what is open here.
    fn checked(
        &mut self,
        method: &str,
        mut params: Value,
        id: Option<&Value>,
    ) -> Result<String, String> {
        if self.desk.task.is_some() {
            return Err("Only points are picked here.".to_owned());
        }
        let is_known = matches!(
            method,
            "initialize"
                | "initialized"
                | "$/cancelRequest"
                | "completionItem/resolve"
                | "codeAction/resolve"
        ) || method.starts_with("textDocument/")
            || method.starts_with("springline/");
        if !is_known {
            return Err(format!(
                "The desk has no `{}`.",
                method.chars().take(60).collect::<String>()
            ));
        }
        if let Some(uri) = params.pointer("/textDocument/uri") {
            let doc = uri.as_str().and_then(|uri| self.docs.get(uri)).cloned();
            let doc = doc.ok_or(super::messages::NOT_OPEN)?;
            if method == "textDocument/didChange" {
                self.changed(&doc, &mut params)?;
            }
        } else if method.starts_with("textDocument/") {
            return Err("It does not say which plan.".to_owned());
        }
        if method == "initialize" {
            let root = springline_lsp::address_of(self.desk.folder.root());
            params["processId"] = Value::Null;
            params["rootUri"] = json!(root);
            params["workspaceFolders"] = json!([{"uri": root, "name": self.desk.folder.name()}]);
        }
        let mut message = json!({"jsonrpc": "2.0", "method": method, "params": params});
        if let Some(id) = id {
            message["id"] = id.clone();
        }
        Ok(message.to_string())
    }

    /// The whole text that the page has now stands beside the changes that the language server wants: what is
    /// saved is what the page shows, whatever was counted wrongly.
    fn changed(&mut self, doc: &str, params: &mut Value) -> Result<(), String> {
        let params = params.as_object_mut().ok_or("That is no change.")?;
        let Some(Value::String(text)) = params.remove("text") else {
            return Err("The whole text is missing.".to_owned());
        };
        let base = params.remove("base");
        let base = base.as_ref().and_then(Value::as_str);
        if let Some(others) = self.desk.buffers().change(doc, self.tab, &text, base) {
            self.desk.tell(&others, &notice("desk/text", json!({"doc": doc, "text": text})));
        }
        Ok(())
    }

    /// `None` where the answer comes later.
    fn own(
        &mut self,
        asked: &str,
        params: Value,
        id: Option<&Value>,
    ) -> Option<Result<Value, String>> {
        if let Some(task) = &self.desk.task
            && !task.allows(asked, &params)
        {
            return Some(Err("Only points of one file are picked here.".to_owned()));
        }
        let result = match asked {
            "sources" => self.sources(),
            "source" => read(params).and_then(|p: SourceParams| {
                tokio::task::block_in_place(|| sources::source(&self.desk, &p.doc))
                    .and_then(as_json)
            }),
            "points" => read(params).and_then(|p| self.points(&p)),
            "measured" => read(params).and_then(|p| self.measured(&p)),
            "cases" => self.cases(),
            "attach" => read(params).and_then(|p| self.attach(&p)),
            "detach" => read(params).and_then(|p: AttachParams| self.detach(&p.doc)),
            "save" => read(params).and_then(|p| self.save(&p)),
            "keep" => self.keep(&params),
            "create" => read(params).and_then(|p| self.create(&p)),
            "another" => self.another(),
            "print" => match read(params) {
                Ok(wanted) => {
                    self.print(wanted, id.cloned()?);
                    return None;
                }
                Err(why) => Err(why),
            },
            _ => Err("The desk has no such thing.".to_owned()),
        };
        Some(result)
    }

    fn sources(&self) -> Result<Value, String> {
        let found = tokio::task::block_in_place(|| FolderSources {
            sources: sources::sources(&self.desk),
            plans: rows::names(&self.desk),
        });
        as_json(found)
    }

    /// Keeps the points as the page has them, and says what they tell so far.
    fn points(&mut self, params: &PointsParams) -> Result<Value, String> {
        let PointsParams { doc, text, base, case } = params;
        if self.desk.buffers().text(doc, self.tab).is_none() {
            return Err(super::messages::NOT_OPEN.to_owned());
        }
        if let Some(others) = self.desk.buffers().change(doc, self.tab, text, base.as_deref()) {
            self.desk.tell(&others, &notice("desk/text", json!({"doc": doc, "text": text})));
        }
        tokio::task::block_in_place(|| {
            let case = case.as_deref().map(|case| self.desk.folder.plan(case)).transpose()?;
            let plan = case.map(|path| PickedFor::read(&path)).transpose();
            let plan = plan.map_err(|problem| problem.in_words())?;
            let reading = picking::reading(text, doc, plan.as_ref());
            reading.map_err(|problem| problem.in_words()).and_then(as_json)
        })
    }

    /// Writes what was measured into a plan; the points have to be saved, because the plan names their file.
    fn measured(&mut self, params: &MeasuredParams) -> Result<Value, String> {
        let MeasuredParams { doc, case } = params;
        if self.desk.buffers().is_unsaved(doc) || self.desk.buffers().is_unsaved(case) {
            return Err("Save the points and the plan first.".to_owned());
        }
        let text = self.desk.buffers().text(doc, self.tab).ok_or(super::messages::NOT_OPEN)?;
        let path = self.desk.folder.plan(case)?;
        let said = tokio::task::block_in_place(|| picking::write_into(&text, doc, &path));
        Ok(json!({"says": said.map_err(|problem| problem.in_words())?}))
    }

    /// Names at once; rows follow as they are known.
    fn cases(&mut self) -> Result<Value, String> {
        let number = self.listing.fetch_add(1, Ordering::SeqCst) + 1;
        let (desk, page, listing) =
            (self.desk.clone(), self.lines.page.clone(), self.listing.clone());
        let names = tokio::task::block_in_place(|| rows::names(&desk));
        tokio::task::spawn_blocking(move || {
            rows::compute(&desk, |rows| {
                let current = listing.load(Ordering::SeqCst) == number;
                let told = current && {
                    let message = notice("desk/rows", json!({"rows": rows, "done": false}));
                    page.blocking_send(message).is_ok()
                };
                if told { ControlFlow::Continue(()) } else { ControlFlow::Break(()) }
            });
            if listing.load(Ordering::SeqCst) == number {
                let _ = page.blocking_send(notice("desk/rows", json!({"rows": [], "done": true})));
            }
        });
        let mut unsaved = self.desk.buffers().unsaved();
        unsaved.extend(self.desk.journal.names());
        Ok(json!({"names": names, "unsaved": unsaved}))
    }

    fn attach(&mut self, params: &AttachParams) -> Result<Value, String> {
        let path = self.desk.folder.place(&params.doc)?;
        let (attached, before) = {
            let mut buffers = self.desk.buffers();
            buffers.attach(&params.doc, &path, (self.tab, params.take), &self.desk.journal)?
        };
        self.docs.insert(attached.uri.clone(), params.doc.clone());
        if let Some(before) = before {
            self.desk.tell(&[before], &notice("desk/taken", json!({"doc": params.doc})));
        }
        let history = self.desk.sitting.find(&params.doc);
        let mut out = as_json(attached)?;
        out["history"] = json!(history);
        Ok(out)
    }

    fn detach(&mut self, doc: &str) -> Result<Value, String> {
        self.docs.retain(|_, open| open != doc);
        self.desk.keep_unsaved();
        self.desk.buffers().leave(doc, self.tab);
        Ok(Value::Null)
    }

    fn save(&mut self, params: &SaveParams) -> Result<Value, String> {
        let path = self.desk.folder.place(&params.doc)?;
        let saved = tokio::task::block_in_place(|| {
            let by = (self.tab, params.base.as_str());
            self.desk.buffers().save(&params.doc, &path, by, &self.desk.journal)
        })?;
        let out = as_json(saved)?;
        if let Some(base) = out.get("base") {
            let others: Vec<TabNumber> = self
                .desk
                .buffers()
                .tabs(&params.doc)
                .into_iter()
                .filter(|t| *t != self.tab)
                .collect();
            let told = json!({"doc": params.doc, "base": base});
            self.desk.tell(&others, &notice("desk/saved", told));
        }
        Ok(out)
    }

    fn keep(&mut self, params: &Value) -> Result<Value, String> {
        let doc = params["doc"].as_str().ok_or("It does not say which plan.")?;
        if !self.desk.buffers().is_writer(doc, self.tab) {
            return Ok(Value::Null);
        }
        let kept =
            tokio::task::block_in_place(|| self.desk.sitting.keep(doc, params["history"].clone()));
        kept.map_err(|error| format!("Steps of undo cannot be kept: {error}."))?;
        Ok(Value::Null)
    }

    fn create(&mut self, params: &CreateParams) -> Result<Value, String> {
        let path = self.desk.folder.vacant(&params.doc)?;
        files::create(&path, params.text.as_bytes()).map_err(|problem| problem.in_words())?;
        Ok(json!({"doc": params.doc}))
    }

    /// A word for another tab.
    fn another(&self) -> Result<Value, String> {
        let word = self.desk.door.new_word().map_err(|e| e.to_string())?;
        Ok(json!({"word": word.as_str()}))
    }

    fn print(&self, wanted: PrintParams, id: Value) {
        let (desk, page) = (self.desk.clone(), self.lines.page.clone());
        tokio::task::spawn_blocking(move || {
            let result = printing::print(&desk, &wanted).and_then(as_json);
            let _ = page.blocking_send(answer(&id, result));
        });
    }

    fn end(&mut self) {
        self.listing.fetch_add(1, Ordering::SeqCst);
        self.desk.keep_unsaved();
        let mut buffers = self.desk.buffers();
        for doc in self.docs.values() {
            buffers.leave(doc, self.tab);
        }
        drop(buffers);
        self.desk.leave(self.tab);
    }
}

fn read<T: DeserializeOwned>(params: Value) -> Result<T, String> {
    serde_json::from_value(params).map_err(|e| format!("It cannot be read: {e}."))
}

fn as_json(value: impl serde::Serialize) -> Result<Value, String> {
    serde_json::to_value(value).map_err(|e| e.to_string())
}
