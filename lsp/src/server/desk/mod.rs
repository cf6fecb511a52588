//! Custom requests for a page beside the text: pictures that teeth can be moved on, the edits that follow, and the
//! forms of a visit. Each finds its document, calls the core, and names what comes back; `lsp/docs/requests.md` has
//! the shapes.

mod draft;
mod forces;
mod new;
mod picture;
mod shapes;
mod stand;
mod visit;

pub use shapes::ArchName;
