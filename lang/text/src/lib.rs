//! Source texts: files, spans and edits, near spellings, invisible characters, and the masking of
//! identity.
//!
//! The lowest layer. It must not know teeth, units or the language; everything here would serve any other
//! language as well.

mod common;
pub mod identity;
mod line_index;
pub mod nearest;
mod span;
pub mod visible;

pub use common::{common_prefix, common_suffix};
pub use line_index::{LineIndex, floor_boundary};
pub use span::{Edit, FileId, Place, SourceFile, Span};

/// "A wire section" from "a wire section".
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}
