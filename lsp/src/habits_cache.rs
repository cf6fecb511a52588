//! The habits of a folder's plans, kept for a while.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use jiff::civil::Date;

use crate::features::habits::Habits;

/// How long they count as current.
const AGE: Duration = Duration::from_secs(120);

/// Folders remembered at most.
const FOLDERS: usize = 16;

/// A folder and the name of its practice file.
pub type HabitsKey = (PathBuf, String);

/// Each with the moment at which it was counted.
#[derive(Debug, Default)]
pub struct HabitsCache {
    kept: Mutex<HashMap<HabitsKey, (Instant, Arc<Habits>)>>,
}

impl HabitsCache {
    pub fn known(&self, key: &HabitsKey, today: Option<Date>) -> Option<Arc<Habits>> {
        let kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        let (at, habits) = kept.get(key)?;
        (at.elapsed() < AGE && habits.today == today).then(|| habits.clone())
    }

    pub fn keep(&self, key: HabitsKey, habits: Arc<Habits>) {
        let mut kept = self.kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() >= FOLDERS {
            kept.clear();
        }
        kept.insert(key, (Instant::now(), habits));
    }
}
