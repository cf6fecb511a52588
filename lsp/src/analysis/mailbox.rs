//! A queue with at most one entry per document: newer work replaces older.

use std::collections::VecDeque;
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};

#[derive(Debug)]
pub struct Mailbox<T> {
    state: Mutex<MailboxState<T>>,
    filled: Condvar,
}

#[derive(Debug)]
struct MailboxState<T> {
    waiting: VecDeque<(String, T)>,
    closed: bool,
}

impl<T> Default for Mailbox<T> {
    fn default() -> Self {
        let state = MailboxState { waiting: VecDeque::new(), closed: false };
        Mailbox { state: Mutex::new(state), filled: Condvar::new() }
    }
}

impl<T> Mailbox<T> {
    /// `urgent` work goes to the front: the document being edited before those that only depend on it.
    pub fn put(&self, key: &str, value: T, urgent: bool) {
        let mut state = self.lock();
        state.waiting.retain(|(waiting, _)| waiting != key);
        if urgent {
            state.waiting.push_front((key.to_owned(), value));
        } else {
            state.waiting.push_back((key.to_owned(), value));
        }
        self.filled.notify_one();
    }

    /// The next piece of work; `None` when the box is closed.
    pub fn take(&self) -> Option<T> {
        let mut state = self.lock();
        loop {
            if state.closed {
                return None;
            }
            if let Some((_, value)) = state.waiting.pop_front() {
                return Some(value);
            }
            state = self.filled.wait(state).unwrap_or_else(PoisonError::into_inner);
        }
    }

    pub fn close(&self) {
        self.lock().closed = true;
        self.filled.notify_all();
    }

    fn lock(&self) -> MutexGuard<'_, MailboxState<T>> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn newer_work_takes_the_place_of_older_and_urgent_work_goes_first() {
        let mailbox = Mailbox::default();
        mailbox.put("a", 1, false);
        mailbox.put("b", 2, false);
        mailbox.put("a", 3, false);
        mailbox.put("c", 4, true);
        let got: Vec<i32> = (0..3).filter_map(|_| mailbox.take()).collect();
        assert_eq!(got, [4, 2, 3]);
        mailbox.close();
        assert_eq!(mailbox.take(), None);
    }
}
