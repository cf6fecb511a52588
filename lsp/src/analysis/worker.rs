//! The two analysis threads: one parses and lowers, the other computes and judges.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::time::{Duration, Instant};

use springline_lang::{CheckOptions, Checked, JudgementCache};
use tokio::runtime::Handle;

use super::mailbox::Mailbox;
use super::publisher::CheckStage;
use crate::convert::diagnostic;
use crate::owner_message::{Owner, OwnerMessage};
use crate::snapshot::Snapshot;

/// How long the mechanics may take before the language's findings are shown without them. Most checks
/// are done sooner, and then findings do not flicker with every key.
const GRACE: Duration = Duration::from_millis(40);

/// After a check that took longer than this none is begun while keys still come in.
const LONG: Duration = Duration::from_millis(60);

/// A pause in typing: longer than the interval between two keystrokes.
const PAUSE: Duration = Duration::from_millis(30);

/// The sender. Dropping it ends both threads.
#[derive(Debug)]
pub struct Analysis {
    to_read: Arc<Mailbox<Arc<Snapshot>>>,
    to_judge: Arc<Mailbox<Arc<Snapshot>>>,
}

impl Drop for Analysis {
    fn drop(&mut self) {
        self.to_read.close();
        self.to_judge.close();
    }
}

impl Analysis {
    /// Starts the threads; the language thread reports a document's practice files to the owner.
    pub fn start(owner: Owner, refresh_requests: RefreshRequests) -> Analysis {
        let to_read = Arc::new(Mailbox::default());
        let to_judge = Arc::new(Mailbox::default());
        let reader = LanguageWorker {
            inbox: to_read.clone(),
            next: to_judge.clone(),
            owner,
            runtime: Handle::current(),
            refresh_requests: refresh_requests.clone(),
        };
        let judge = CheckWorker { inbox: to_judge.clone(), last: Duration::ZERO, refresh_requests };
        spawn("springline-read", move || reader.run());
        spawn("springline-judge", move || judge.run());
        Analysis { to_read, to_judge }
    }

    /// Looks at a snapshot; one that is `urgent` before all that wait.
    pub fn look(&self, snapshot: Arc<Snapshot>, urgent: bool) {
        let key = snapshot.document.uri.as_str().to_owned();
        self.to_read.put(&key, snapshot, urgent);
    }
}

/// Refresh requests to the client, sent when a check finishes after its request was answered.
#[derive(Debug, Clone)]
pub struct RefreshRequests {
    pub refresh: tokio::sync::mpsc::UnboundedSender<()>,
}

pub(super) fn spawn(name: &str, work: impl FnOnce() + Send + 'static) {
    // Without threads there would be no diagnostics, but the editor still has its document.
    if let Err(error) = std::thread::Builder::new().name(name.to_owned()).spawn(work) {
        crate::log(&format!("no thread for {name}: {error}"));
    }
}

/// Checks a text that a client is about to have, because it was just given the edit that leads there: while the edit is on
/// its way, the mechanics are at work already. Should another text come, only phases were remembered in vain.
pub fn foresee(snapshot: Arc<Snapshot>, text: String) {
    spawn("springline-foresee", move || {
        if snapshot.is_current()
            && catch_unwind(AssertUnwindSafe(|| snapshot.judge_trial(&text))).is_err()
        {
            crate::log("a check panicked on a text that was to come");
        }
    });
}

struct LanguageWorker {
    inbox: Arc<Mailbox<Arc<Snapshot>>>,
    next: Arc<Mailbox<Arc<Snapshot>>>,
    owner: Owner,
    runtime: Handle,
    refresh_requests: RefreshRequests,
}

impl LanguageWorker {
    fn run(self) {
        while let Some(snapshot) = self.inbox.take() {
            if !snapshot.is_current() {
                continue;
            }
            let reading = match catch_unwind(AssertUnwindSafe(|| snapshot.reading())) {
                Ok(reading) => reading,
                Err(_) => {
                    crate::log("a reading panicked; the document has no findings for now");
                    continue;
                }
            };
            self.owner.send(OwnerMessage::Uses {
                uri: snapshot.document.uri.clone(),
                houses: reading.asked.clone(),
            });
            if let Some(checked) = unchanged(&snapshot) {
                finish(&snapshot, checked, &self.refresh_requests);
                continue;
            }
            self.next.put(snapshot.document.uri.as_str(), snapshot.clone(), true);
            if !snapshot.session.client_features().pulls {
                self.runtime.spawn(publish_if_late(snapshot));
            }
        }
    }
}

/// The complete check where nothing that rules judge has changed. It is available at once, without
/// waiting for the other thread, unless that thread is busy.
fn unchanged(snapshot: &Snapshot) -> Option<Arc<Checked>> {
    let read = &snapshot.reading().read;
    let options = CheckOptions { today: Some(snapshot.session.settings().today()) };
    let carry = || {
        let unchanged = |cache: &mut JudgementCache| cache.judge_unchanged(read, &options);
        snapshot.session.with_judgements_if_free(unchanged).flatten()
    };
    catch_unwind(AssertUnwindSafe(carry)).ok().flatten().map(Arc::new)
}

/// A whole check has been made.
fn finish(snapshot: &Snapshot, checked: Arc<Checked>, refresh_requests: &RefreshRequests) {
    snapshot.set_judged(checked);
    if !snapshot.is_current() {
        return;
    }
    if !snapshot.session.client_features().pulls {
        publish(snapshot, CheckStage::Whole);
    }
    if snapshot.has_incomplete_reply() {
        let _ = refresh_requests.refresh.send(());
    }
}

async fn publish_if_late(snapshot: Arc<Snapshot>) {
    if snapshot.wait_judged_for(GRACE).await.is_none() && snapshot.is_current() {
        publish(&snapshot, CheckStage::Language);
    }
}

struct CheckWorker {
    inbox: Arc<Mailbox<Arc<Snapshot>>>,
    /// How long the last check took.
    last: Duration,
    refresh_requests: RefreshRequests,
}

impl CheckWorker {
    fn run(mut self) {
        while let Some(snapshot) = self.inbox.take() {
            if !snapshot.is_current() || !self.is_pause(&snapshot) {
                continue;
            }
            let begun = Instant::now();
            let checked = self.judge(&snapshot);
            self.last = begun.elapsed();
            if self.last > GRACE {
                // Pending requests have been answered without it.
                snapshot.mark_incomplete_reply();
            }
            finish(&snapshot, checked, &self.refresh_requests);
        }
    }

    /// Cheap checks run at every keystroke; expensive ones are debounced. If typing goes on, the newer
    /// text is queued already.
    fn is_pause(&self, snapshot: &Snapshot) -> bool {
        if self.last > LONG {
            std::thread::sleep(PAUSE);
        }
        snapshot.is_current()
    }

    fn judge(&self, snapshot: &Snapshot) -> Arc<Checked> {
        let read = snapshot.reading().read.clone();
        let options = CheckOptions { today: Some(snapshot.session.settings().today()) };
        let judging =
            || snapshot.session.with_judgements(|cache| cache.judge(read.clone(), &options));
        match catch_unwind(AssertUnwindSafe(judging)) {
            Ok(checked) => Arc::new(checked),
            Err(_) => {
                crate::log("a check panicked; the document shows the findings about its text only");
                Arc::new(Checked::without_judgement(read))
            }
        }
    }
}

/// Publishes the findings held back while the text was being edited.
pub fn publish_held_back(snapshot: &Snapshot, refresh_requests: &RefreshRequests) {
    if snapshot.session.client_features().pulls {
        let _ = refresh_requests.refresh.send(());
    } else if snapshot.judged().is_some() {
        publish(snapshot, CheckStage::Idle);
    }
}

fn publish(snapshot: &Snapshot, stage: CheckStage) {
    let document = &snapshot.document;
    let diagnostics = diagnostic::of(snapshot, stage);
    snapshot.session.publisher.offer(
        &document.uri,
        document.version,
        snapshot.stamp.revision,
        stage,
        diagnostics,
    );
}
