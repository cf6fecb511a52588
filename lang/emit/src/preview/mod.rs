//! The preview: both arches at one moment of the course, with the forces of the wires, for a browser or
//! an editor panel. The page is loaded once; its content is replaced by what [`view`] returns.

mod force;
mod look;
mod moment;
mod view;

use maud::{DOCTYPE, PreEscaped, html};

pub(crate) use force::way;
pub(crate) use look::{DrawnArch, arches_at, bite_views, entered_arches, mouth_at};
pub use look::{entered, from_the_bite, from_the_front};
pub use moment::{Moment, at_day, moments};
pub use view::{PreviewChoice, Previewed, view};

const STYLE: &str = include_str!("preview.css");
const SCRIPT: &str = include_str!("preview.js");

/// The whole page around a [`view`]. `nonce` lets its one script run and no other; whoever serves the
/// page makes a new one each time.
pub fn page(title: &str, view: &str, nonce: &str) -> String {
    let policy = policy(nonce);
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
                footer { (crate::caution::CAUTION_IN_FULL) }
                script nonce=(nonce) { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

/// What such a page may load and run; also for the header of whoever serves it.
pub fn policy(nonce: &str) -> String {
    format!(
        "default-src 'none'; style-src 'unsafe-inline'; script-src 'nonce-{nonce}'; connect-src 'self'; \
         base-uri 'none'; form-action 'none'"
    )
}

/// Whether the whole text can be drawn. While a line is being typed it cannot, and the last text that
/// could is better left on show, [`held`], than teeth that nobody described.
pub fn is_drawable(shown: &Previewed<'_>) -> bool {
    shown.course.is_some_and(|(case, _)| !case.arches.iter().any(|arch| arch.is_unread()))
}

/// The view of an earlier text, marked as such.
pub fn held(view: &str) -> String {
    let note = "A line cannot be read at the moment. This shows the plan before the change.";
    html! { p role="status" { (note) } (PreEscaped(view)) }.into_string()
}

#[cfg(test)]
mod tests;
