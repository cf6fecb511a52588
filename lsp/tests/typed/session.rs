//! One plan at the keyboard, and what is counted meanwhile.

use std::collections::BTreeMap;
use std::fmt;

use serde_json::{Value, json};

use crate::client::{Client, pushing};
use crate::pen::{Pen, Stroke, position};
use crate::tokens::{Kind, Wanted, wanted};

/// So many of so many.
#[derive(Debug, Clone, Copy, Default)]
pub struct Share {
    pub have: usize,
    pub of: usize,
}

impl Share {
    fn note(&mut self, yes: bool) {
        self.of += 1;
        self.have += usize::from(yes);
    }

    fn add(&mut self, other: Share) {
        self.of += other.of;
        self.have += other.have;
    }

    pub fn share(self) -> f64 {
        self.have as f64 / (self.of as f64).max(1.0)
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{} {:.1} %", self.have, self.of, self.share() * 100.0))
    }
}

/// How well the menu knows what is wanted.
#[derive(Debug, Clone, Copy, Default)]
pub struct Menu {
    pub listed: Share,
    pub first: Share,
    /// After one letter of it, and what does not begin with that letter gone.
    pub begun: Share,
}

impl Menu {
    fn add(&mut self, other: Menu) {
        self.listed.add(other.listed);
        self.first.add(other.first);
        self.begun.add(other.begun);
    }
}

#[derive(Debug, Clone, Default)]
pub struct Figures {
    pub keys: usize,
    pub with_error: Share,
    pub elsewhere: Share,
    pub line_ends: Share,
    pub changes: Share,
    pub short_errors: usize,
    pub short_others: usize,
    pub all: Menu,
    pub words: Menu,
    pub teeth: Menu,
    pub figures: Menu,
}

impl Figures {
    pub fn add(&mut self, other: &Figures) {
        self.keys += other.keys;
        self.with_error.add(other.with_error);
        self.elsewhere.add(other.elsewhere);
        self.line_ends.add(other.line_ends);
        self.changes.add(other.changes);
        self.short_errors += other.short_errors;
        self.short_others += other.short_others;
        self.all.add(other.all);
        self.words.add(other.words);
        self.teeth.add(other.teeth);
        self.figures.add(other.figures);
    }

    fn of(&mut self, kind: Kind) -> [&mut Menu; 2] {
        let own = match kind {
            Kind::Word | Kind::Unit => &mut self.words,
            Kind::Tooth => &mut self.teeth,
            Kind::Figure | Kind::Date => &mut self.figures,
        };
        [&mut self.all, own]
    }
}

/// Findings by what they say, with the key at which each came.
#[derive(Default)]
struct Lives {
    since: BTreeMap<(String, String), (usize, bool)>,
}

impl Lives {
    /// Counts what came and went with this key.
    fn look(&mut self, key: usize, list: &[Value], figures: &mut Figures) {
        let now: BTreeMap<(String, String), bool> = list
            .iter()
            .map(|d| {
                let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
                let says = text(&d["message"]).lines().next().unwrap_or_default().to_owned();
                ((text(&d["code"]), says), d["severity"] == 1)
            })
            .collect();
        let gone: Vec<_> = self.since.keys().filter(|k| !now.contains_key(*k)).cloned().collect();
        let come: Vec<_> = now
            .iter()
            .filter(|(k, _)| !self.since.contains_key(*k))
            .map(|(k, e)| (k.clone(), *e))
            .collect();
        figures.changes.note(!gone.is_empty() || !come.is_empty());
        for what in gone {
            if let Some((since, is_error)) = self.since.remove(&what)
                && key - since <= 12
            {
                let count =
                    if is_error { &mut figures.short_errors } else { &mut figures.short_others };
                *count += 1;
            }
        }
        self.since.extend(come.into_iter().map(|(what, is_error)| (what, (key, is_error))));
    }
}

/// The practice without the plan that is typed: nothing is known of it but what others wrote.
fn practice(without: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join(".git")).unwrap();
    std::fs::create_dir(folder.path().join("cases")).unwrap();
    let from = crate::examples();
    std::fs::copy(from.join("saltmarsh.spring"), folder.path().join("saltmarsh.spring")).unwrap();
    for entry in std::fs::read_dir(from.join("cases")).unwrap().flatten() {
        if entry.path().file_stem().is_none_or(|stem| stem != without) {
            let to = folder.path().join("cases").join(entry.file_name());
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
    folder
}

/// What is looked at while a plan is typed: all of it, key by key, or only the menus, for which the text
/// between two places comes at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    All,
    Menus,
}

pub async fn type_plan(name: &str, look: Look) -> Figures {
    let path = crate::examples().join(format!("cases/{name}.spring"));
    let plan = std::fs::read_to_string(path).unwrap();
    let folder = practice(name);
    let mut client =
        Client::start_with(pushing(), Some(folder.path()), json!({"today": "2026-11-24"})).await;
    let uri = format!("file://{}/cases/{name}.spring", folder.path().display());
    client.open(&uri, 0, "").await;
    let (mut pen, mut figures, mut lives) = (Pen::new(&plan), Figures::default(), Lives::default());
    let mut places = wanted(&plan).into_iter().peekable();
    let mut begun = None;
    let mut version = 0;
    loop {
        if let Some(wanted) = begun.take() {
            let (Wanted { text, kind, .. }, letter) = wanted;
            let rank = menu(&mut client, &uri, pen.position(), letter, text).await;
            for menu in figures.of(kind) {
                menu.begun.note(rank.is_some_and(|r| r < 3));
            }
        }
        if let Some(place) = places.next_if(|p| p.at == pen.before) {
            if look == Look::Menus {
                version += 1;
                client.change(&uri, version, json!([{"text": pen.text()}])).await;
                if place.kind == Kind::Date {
                    told(&mut client, &uri, version).await;
                }
            }
            let rank = menu(&mut client, &uri, pen.position(), "", place.text).await;
            for menu in figures.of(place.kind) {
                menu.listed.note(rank.is_some());
                menu.first.note(rank.is_some_and(|r| r < 3));
            }
            tell(&pen, &place, rank);
            if place.text.len() > 1 && place.kind.is_word() && look == Look::All {
                begun = Some((place, &place.text[..1]));
            }
        }
        let (line, character) = pen.position();
        let ends_line = plan[pen.before..].starts_with('\n');
        let Some(stroke) = pen.stroke() else { break };
        let Stroke::Key(key) = stroke else { continue };
        if look == Look::Menus {
            continue;
        }
        version += 1;
        let at = json!({"line": line, "character": character});
        let change = json!([{"range": {"start": at, "end": at}, "text": key}]);
        client.change(&uri, version, change).await;
        let list = told(&mut client, &uri, version).await;
        figures.keys += 1;
        let here = position(pen.written()).0;
        let errors: Vec<&Value> = list.iter().filter(|d| d["severity"] == 1).collect();
        let on_line =
            |d: &&&Value| d["range"]["start"]["line"] == here || d["range"]["end"]["line"] == here;
        figures.with_error.note(!errors.is_empty());
        figures.elsewhere.note(errors.iter().any(|d| !on_line(&d)));
        if ends_line {
            figures.line_ends.note(!errors.is_empty());
        }
        if verbose() && (ends_line && !errors.is_empty())
            || std::env::var("SPRINGLINE_ERRORS").is_ok()
        {
            for error in &errors {
                println!(
                    "error at `{}`: {} {}",
                    last_line(pen.written()),
                    error["code"],
                    error["message"]
                );
            }
        }
        lives.look(figures.keys, &list, &mut figures);
    }
    assert_eq!(pen.text(), plan);
    figures
}

fn verbose() -> bool {
    std::env::var("SPRINGLINE_TYPED").is_ok()
}

fn last_line(text: &str) -> &str {
    text.trim_end_matches(['\n', ' ']).rsplit('\n').next().unwrap_or_default()
}

fn tell(pen: &Pen<'_>, place: &Wanted<'_>, rank: Option<usize>) {
    if verbose() && rank.is_none_or(|r| r >= 3) {
        let line = pen.written().rsplit('\n').next().unwrap_or_default();
        println!("{:?} {rank:?}: `{line}` wanted `{}`", place.kind, place.text);
    }
}

/// The list that an editor has after a key.
async fn told(client: &mut Client, uri: &str, version: i64) -> Vec<Value> {
    let zero = json!({"line": 0, "character": 0});
    let params = json!({"textDocument": {"uri": uri}, "range": {"start": zero, "end": zero}});
    // Hints wait for the whole check; its findings leave at the same moment.
    client.request("textDocument/inlayHint", params.clone()).await;
    client.request("textDocument/inlayHint", params).await;
    loop {
        match client.published.get(uri).and_then(|all| all.last()) {
            Some((Some(v), list)) if *v == version => return list.clone(),
            _ => client.receive().await,
        }
    }
}

/// The place of what is wanted in the menu, among what begins with what is typed of it.
async fn menu(
    client: &mut Client,
    uri: &str,
    (line, character): (usize, usize),
    typed: &str,
    wanted: &str,
) -> Option<usize> {
    let position = json!({"line": line, "character": character});
    let params = json!({"textDocument": {"uri": uri}, "position": position});
    let answer = client.request("textDocument/completion", params).await;
    let items = answer["items"].as_array().or(answer.as_array()).cloned().unwrap_or_default();
    let mut items: Vec<(String, String, String)> = items
        .iter()
        .map(|item| {
            let text = |v: &Value| v.as_str().unwrap_or_default().to_owned();
            let label = text(&item["label"]);
            let filter = item["filterText"].as_str().map_or(label.clone(), str::to_owned);
            let new = text(&item["textEdit"]["newText"]);
            let new = if item["insertTextFormat"] == 2 { format!("${new}") } else { new };
            (text(&item["sortText"]), filter, new)
        })
        .collect();
    items.sort();
    let mut left = items.iter().filter(|(_, filter, _)| filter.trim_start().starts_with(typed));
    left.position(|(_, _, new)| {
        let rest = new.trim_start().strip_prefix(wanted);
        rest.is_some_and(|rest| {
            let next = rest.chars().next();
            next.is_none_or(|c| !c.is_alphanumeric() && c != '-') && !is_point(rest)
        })
    })
}

/// `2.5` does not begin with the figure `2`; `15..25` begins with the tooth `15`.
fn is_point(rest: &str) -> bool {
    rest.starts_with('.') && !rest.starts_with("..")
}

/// Of each place of the list its last line, what is wanted there, and where the menu has it.
pub async fn at_places() -> Vec<(String, &'static str, Option<usize>)> {
    let folder = practice("");
    let options = json!({"today": "2026-11-24"});
    let mut client = Client::start_with(pushing(), Some(folder.path()), options).await;
    let uri = format!("file://{}/cases/sm-9999.spring", folder.path().display());
    client.open(&uri, 0, "").await;
    let mut out = Vec::new();
    for (version, place) in crate::places::places().into_iter().enumerate() {
        let at = place.text.find('¦').unwrap();
        let text = place.text.replace('¦', "");
        let version = version as i64 + 1;
        client.change(&uri, version, json!([{"text": &text}])).await;
        told(&mut client, &uri, version).await;
        let rank = menu(&mut client, &uri, position(&text[..at]), "", place.wanted).await;
        let line = text[..at].rsplit('\n').next().unwrap_or_default().to_owned();
        for (before, never) in crate::places::NEVER {
            if line.ends_with(before) {
                let found = menu(&mut client, &uri, position(&text[..at]), "", never).await;
                assert_eq!(found, None, "`{never}` at `{line}`");
            }
        }
        out.push((line, place.wanted, rank));
    }
    out
}
