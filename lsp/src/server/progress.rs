//! Progress reports for searches over many files, to clients that sent a token.

use std::future::Future;

use tower_lsp::ls_types::ProgressToken;

use super::Server;

impl Server {
    /// Runs work between a begin and an end report to the client.
    pub(super) async fn with_progress<T>(
        &self,
        token: Option<ProgressToken>,
        title: &str,
        work: impl Future<Output = T>,
    ) -> T {
        let Some(token) = token else { return work.await };
        let begun = self.client.progress(token, title).begin().await;
        let done = work.await;
        begun.finish().await;
        done
    }
}
