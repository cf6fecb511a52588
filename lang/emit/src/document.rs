//! The frame of every HTML page: its head, its style, and a table of contents that is not printed.

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub(crate) const STYLE: &str = include_str!("html/style.css");

/// A page on its own, or several behind a table of contents that is not printed.
pub fn document(title: &str, language: &str, pages: &[(String, Markup)]) -> String {
    let page = html! {
        (DOCTYPE)
        html lang=(language) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="robots" content="noindex";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                @if pages.len() > 1 {
                    nav.contents aria-label="Pages" {
                        h1 { (title) }
                        ol { @for (i, (name, _)) in pages.iter().enumerate() {
                            li { a href={ "#p" (i + 1) } { (name) } }
                        } }
                    }
                }
                main {
                    @for (i, (_, page)) in pages.iter().enumerate() {
                        div id={ "p" (i + 1) } { (page) }
                    }
                }
            }
        }
    };
    page.into_string()
}
