//! Tasks beside the documents: detects that the editor is gone, and asks the client to refresh.

use std::sync::Arc;
use std::time::Duration;

use tokio::sync::mpsc;
use tower_lsp::Client;

use crate::session::Session;

/// How often the editor's process is looked for.
const LOOK: Duration = Duration::from_secs(3);

/// Refresh requests within this time are merged.
const TOGETHER: Duration = Duration::from_millis(30);

/// Ends when the editor's process has gone without closing its end of the line.
pub async fn editor_gone(session: Arc<Session>) {
    loop {
        tokio::time::sleep(LOOK).await;
        if session.editor().is_some_and(|id| !is_alive(id)) {
            crate::log("the editor is gone");
            return;
        }
    }
}

#[cfg(unix)]
fn is_alive(id: u32) -> bool {
    let Some(pid) = i32::try_from(id).ok().and_then(rustix::process::Pid::from_raw) else {
        return true;
    };
    // A permission error means that the process exists.
    !matches!(rustix::process::test_kill_process(pid), Err(rustix::io::Errno::SRCH))
}

/// Elsewhere the closed input has to do.
#[cfg(not(unix))]
fn is_alive(_id: u32) -> bool {
    true
}

/// Asks a client that pulls diagnostics, hints or lenses to refresh them. Each request runs on its own
/// task, so nothing here waits for the client.
pub async fn pass_on_refreshes(
    client: Client,
    session: Arc<Session>,
    mut asked: mpsc::UnboundedReceiver<()>,
) {
    while asked.recv().await.is_some() {
        tokio::time::sleep(TOGETHER).await;
        while asked.try_recv().is_ok() {}
        let abilities = session.client_features();
        if abilities.pulls && abilities.diagnostic_refresh {
            let client = client.clone();
            tokio::spawn(async move { client.workspace_diagnostic_refresh().await });
        }
        if abilities.hint_refresh {
            let client = client.clone();
            tokio::spawn(async move { client.inlay_hint_refresh().await });
        }
        if abilities.lens_refresh {
            let client = client.clone();
            tokio::spawn(async move { client.code_lens_refresh().await });
        }
    }
}
