//! Requests that are understood and not carried out, so that no rename is done by half.

use tower_lsp::jsonrpc::{Error, ErrorCode, Result};

use super::house_users::Users;

/// Refuses where some plan could not be looked at.
pub(super) fn whole(users: &Users, name: &str) -> Result<()> {
    let Some(first) = users.missed.first() else { return Ok(()) };
    let more = match users.missed.len() {
        1 => String::new(),
        n => format!(" and {} more", n - 1),
    };
    Err(refused(format!(
        "Nothing has been renamed: it is unknown whether `{name}` occurs in {first}{more}."
    )))
}

pub(super) fn refused(message: String) -> Error {
    Error { code: ErrorCode::ServerError(REFUSED), message: message.into(), data: None }
}

/// A request that is understood and not carried out (Language Server Protocol 3.17, `RequestFailed`).
const REFUSED: i64 = -32803;
