//! The preview: one arch beside the other at one moment of the course, with the forces of the wires,
//! for a browser or a panel of an editor. The page stays; what it shows is made anew by [`view`].

mod force;
mod moment;
mod view;

use maud::{DOCTYPE, PreEscaped, html};

pub use moment::{Moment, moments};
pub use view::{Choice, view};

const STYLE: &str = include_str!("preview.css");
const SCRIPT: &str = include_str!("preview.js");

/// The whole page around a [`view`]. `nonce` lets its one script run and no other; whoever serves the
/// page makes a new one each time.
pub fn page(title: &str, view: &str, nonce: &str) -> String {
    let policy = format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src 'nonce-{nonce}'; connect-src 'self'"
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="robots" content="noindex";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                p #state role="status" hidden {}
                main #view { (PreEscaped(view)) }
                footer { (super::SAFETY) }
                script nonce=(nonce) { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

#[cfg(test)]
mod tests;
