//! Papers, pictures and meshes for a page: each has an address that is good once, for a minute.

use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use crate::secret::Secret;

const GOOD: Duration = Duration::from_secs(60);

/// Files that wait to be fetched; the oldest goes first.
const MOST: usize = 8;

/// What is sent under an address.
#[derive(Debug)]
pub struct SentFile {
    pub name: String,
    pub media_type: &'static str,
    pub bytes: Vec<u8>,
}

#[derive(Debug)]
struct WaitingPage {
    word: Secret,
    until: Instant,
    file: SentFile,
}

#[derive(Debug, Default)]
pub struct PrintedPages {
    waiting: Mutex<Vec<WaitingPage>>,
}

impl PrintedPages {
    pub fn put(&self, file: SentFile) -> std::io::Result<String> {
        let word = Secret::new()?;
        let address = format!("/print/{}", word.as_str());
        let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        waiting.retain(|page| page.until > Instant::now());
        if waiting.len() >= MOST {
            waiting.remove(0);
        }
        waiting.push(WaitingPage { word, until: Instant::now() + GOOD, file });
        Ok(address)
    }

    /// The page at an address; the second time there is none.
    pub fn take(&self, word: &str) -> Option<SentFile> {
        let mut waiting = self.waiting.lock().unwrap_or_else(PoisonError::into_inner);
        waiting.retain(|page| page.until > Instant::now());
        let at = waiting.iter().position(|page| page.word.is(word))?;
        Some(waiting.remove(at).file)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_good_once() {
        let pages = PrintedPages::default();
        let page =
            || SentFile { name: "a.pdf".into(), media_type: "application/pdf", bytes: vec![1] };
        let address = pages.put(page()).unwrap();
        let word = address.strip_prefix("/print/").unwrap();
        assert!(pages.take("0123456789abcdef0123456789abcdef").is_none());
        assert!(pages.take(word).is_some());
        assert!(pages.take(word).is_none());
        for _ in 0..20 {
            pages.put(page()).unwrap();
        }
        assert_eq!(pages.waiting.lock().unwrap().len(), MOST);
    }
}
