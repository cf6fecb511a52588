//! Source texts as bytes: files, spans and edits; near spellings; what must not be shown as typed.
//!
//! This is the lowest layer. It must not know teeth, units or the language: everything here would serve
//! any other language as well.

pub mod identity;
pub mod nearest;
mod span;
pub mod visible;

pub use span::{Edit, FileId, Place, SourceFile, Span};

/// "A wire section" from "a wire section".
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
