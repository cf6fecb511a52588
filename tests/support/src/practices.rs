//! Practice files from memory.

use std::sync::Arc;

use springline_lower::{Library, NotLoaded};

/// The practice of `examples/`.
pub const SALTMARSH: &str = include_str!("../../../examples/saltmarsh.spring");

/// The practice of the rules' examples.
pub const RULES_SALTMARSH: &str = include_str!("../../../lang/rules/src/saltmarsh.spring");

/// Practice files by name.
#[derive(Debug, Clone, Default)]
pub struct Practices {
    named: Vec<(String, Arc<str>)>,
    any: Option<Arc<str>>,
}

impl Practices {
    /// `saltmarsh` as in `examples/`.
    pub fn saltmarsh() -> Self {
        Self::of(SALTMARSH)
    }

    /// `saltmarsh` with this text.
    pub fn of(text: impl Into<Arc<str>>) -> Self {
        Self::default().and("saltmarsh", text)
    }

    /// This text whatever is asked for.
    pub fn any(text: impl Into<Arc<str>>) -> Self {
        Self { any: Some(text.into()), ..Self::default() }
    }

    /// Another one beside those there are.
    #[must_use]
    pub fn and(mut self, name: &str, text: impl Into<Arc<str>>) -> Self {
        self.named.push((name.to_owned(), text.into()));
        self
    }
}

impl Library for Practices {
    fn house(&self, name: &str) -> Result<(String, Arc<str>), NotLoaded> {
        let file = format!("{name}.spring");
        let named = self.named.iter().find(|(own, _)| own == name).map(|(_, text)| text);
        match named.or(self.any.as_ref()) {
            Some(text) => Ok((file, text.clone())),
            None => Err(NotLoaded::Missing {
                looked_for: vec![file],
                present: self.named.iter().map(|(name, _)| name.clone()).collect(),
            }),
        }
    }
}
