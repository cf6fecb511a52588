//! The last complete check published for each open document.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use springline_lang::Checked;
use tower_lsp::ls_types::Uri;

#[derive(Debug, Default)]
pub struct PublishedChecks {
    last: Mutex<HashMap<String, PublishedCheck>>,
}

/// A complete check as published, and which of its findings later texts no longer had.
#[derive(Debug, Clone)]
pub struct PublishedCheck {
    pub checked: Arc<Checked>,
    pub gone: Vec<bool>,
}

impl PublishedChecks {
    pub fn set(&self, uri: &Uri, checked: Arc<Checked>) {
        let gone = vec![false; checked.findings.len()];
        self.lock().insert(uri.as_str().to_owned(), PublishedCheck { checked, gone });
    }

    pub fn last(&self, uri: &Uri) -> Option<PublishedCheck> {
        self.lock().get(uri.as_str()).cloned()
    }

    /// Marks findings of the last published check as gone.
    pub fn strike(&self, uri: &Uri, published: &Arc<Checked>, gone: &[usize]) {
        let mut last = self.lock();
        let Some(last) = last.get_mut(uri.as_str()).filter(|l| Arc::ptr_eq(&l.checked, published))
        else {
            return;
        };
        for index in gone {
            if let Some(gone) = last.gone.get_mut(*index) {
                *gone = true;
            }
        }
    }

    pub fn remove(&self, uri: &Uri) {
        self.lock().remove(uri.as_str());
    }

    fn lock(&self) -> MutexGuard<'_, HashMap<String, PublishedCheck>> {
        self.last.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
