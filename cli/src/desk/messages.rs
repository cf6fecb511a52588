//! What page and program say to each other beside the language server's messages. Unknown fields are ignored.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::task::PickTask;

/// `desk/enter`: a word from the address, or the session of a tab that was in before.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct EnterParams {
    pub word: String,
    pub session: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Entered {
    pub session: String,
    /// Name of the folder, for a heading.
    pub folder: String,
    pub today: Date,
    pub version: &'static str,
    /// Points of this file alone are picked here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub task: Option<PickTask>,
}

/// `desk/attach`: a plan is opened, or read along where another tab writes in it.
#[derive(Debug, Deserialize)]
pub struct AttachParams {
    pub doc: String,
    /// Writing in it is taken from another tab.
    #[serde(default)]
    pub take: bool,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Attached {
    pub doc: String,
    /// Its address towards the language server.
    pub uri: String,
    pub text: String,
    /// Fingerprint of the file that the text began with.
    pub base: String,
    /// This tab writes.
    pub writer: bool,
    pub unsaved: bool,
    /// The text was kept from before the program ended.
    pub recovered: bool,
    /// The file was changed by someone else meanwhile.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub other: Option<OtherText>,
}

/// What the file holds now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OtherText {
    pub text: String,
    pub base: String,
    /// The file has been removed.
    pub gone: bool,
}

/// `desk/save`: writes a plan, if its file is still what `base` says.
#[derive(Debug, Deserialize)]
pub struct SaveParams {
    pub doc: String,
    pub base: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub enum Saved {
    Base(String),
    Conflict(OtherText),
}

/// `desk/create`: a new plan.
#[derive(Debug, Deserialize)]
pub struct CreateParams {
    pub doc: String,
    pub text: String,
}

/// `desk/print`: this visit, this day, or the patient's sheet.
#[derive(Debug, Deserialize)]
#[serde(tag = "what", rename_all = "camelCase")]
pub enum PrintParams {
    Visit { doc: String, visit: Option<String> },
    Sheet { doc: String },
    Day { day: Date },
}

#[derive(Debug, Serialize)]
pub struct PrintedAt {
    /// Good once, for a minute.
    pub address: String,
    pub name: String,
    /// Errors stand: it is the hold card alone.
    pub held: bool,
}

/// A message of the page.
#[derive(Debug, Deserialize)]
pub struct PageMessage {
    pub id: Option<Value>,
    pub method: Option<String>,
    #[serde(default)]
    pub params: Value,
}

/// What is answered where nothing can be done.
const REFUSED: i32 = -32000;
/// Of a question about a plan that the page has left meanwhile: the page takes it as no longer wanted.
const NOT_WANTED: i32 = -32602;

/// Why a question about a plan is refused that this page does not have open.
pub const NOT_OPEN: &str = "That plan is not open here.";

pub fn answer(id: &Value, result: Result<Value, String>) -> String {
    match result {
        Ok(result) => json!({"jsonrpc": "2.0", "id": id, "result": result}),
        Err(message) => {
            let code = if message == NOT_OPEN { NOT_WANTED } else { REFUSED };
            json!({"jsonrpc": "2.0", "id": id, "error": {"code": code, "message": message}})
        }
    }
    .to_string()
}

pub fn notice(method: &str, params: Value) -> String {
    json!({"jsonrpc": "2.0", "method": method, "params": params}).to_string()
}
