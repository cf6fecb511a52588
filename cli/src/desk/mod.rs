//! The desk: one folder of plans as a page on this machine, where doctor and assistant read, write and print
//! without an editor.
//!
//! `server` answers the browser: a fixed table of files, and one socket a tab. `door` lets in whoever has a
//! word, `guard` refuses other machines and other pages. On a socket `session` passes the language server's
//! messages on, and answers `desk/...` itself: texts that are open (`buffers`), saving, lists over the folder
//! (`rows`), papers (`papers`), points that are picked on a picture or mesh (`picking`, `sources`), which may be all that it
//! is asked for (`task`). Nothing is written outside the folder but the user's own state, which keeps
//! unsaved text (`journal`) and the steps of undo of a sitting (`sitting`).

mod assets;
mod bare;
mod buffers;
mod door;
mod folder;
mod framing;
mod guard;
mod journal;
mod line_ends;
mod messages;
mod papers;
mod picking;
mod point_rows;
mod printing;
mod rows;
mod server;
mod session;
mod sitting;
mod sources;
mod state;
mod task;
mod watch;

pub use bare::SourceKind;
pub use folder::PlansFolder;
pub use server::serve;
pub use state::{Desk, Running, address, leading_file, state_folder, word_for};
pub use task::PickTask;
pub use watch::follow;
