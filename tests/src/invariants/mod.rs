//! What must hold for any input whatever. The fuzz targets feed these functions with bytes; the
//! ordinary tests feed them with the corpus, with every past crash, and with seeded draws.
//!
//! Each takes bytes and panics where the promise is broken.

mod compile;
mod draw;
mod format;
mod mechanics;
mod parse;
mod seen;
mod server;
mod text;

pub use compile::compile;
pub use draw::Draw;
pub use format::format;
pub use mechanics::mechanics;
pub use parse::parse;
pub use seen::seen;
pub use server::server;

/// Every check by its name: the name of its fuzz target and of its folder of inputs.
pub const CHECKS: [(&str, fn(&[u8])); 6] = [
    ("parse", parse),
    ("format", format),
    ("compile", compile),
    ("seen", seen),
    ("mechanics", mechanics),
    ("server", server),
];
