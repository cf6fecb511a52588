//! HTML back end: one self-contained file for screen and paper.

mod cards;
mod case;
mod course;
mod fit;
mod parts;
mod sheet;

use maud::{DOCTYPE, Markup, PreEscaped, html};

pub use cards::{hold, repair, staff};
pub use case::{case_document, case_document_in, papers};
pub use course::{course, nothing};
pub use sheet::patient;

const STYLE: &str = include_str!("style.css");

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

#[cfg(test)]
mod tests {
    use super::STYLE;

    /// Selector, size and unit of every size of type in the style sheet.
    fn sizes() -> Vec<(String, f64, String)> {
        let mut out = Vec::new();
        for rule in STYLE.split('}') {
            let Some((selector, body)) = rule.rsplit_once('{') else { continue };
            for declaration in body.split(';') {
                let Some(value) = declaration.trim().strip_prefix("font-size:") else { continue };
                let value = value.trim();
                let unit = value.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
                let size = value[..value.len() - unit.len()].parse().expect("a size of type");
                out.push((selector.trim().to_owned(), size, unit.to_owned()));
            }
        }
        out
    }

    #[test]
    fn nothing_in_the_style_sheet_is_too_small_to_be_read() {
        let all = sizes();
        assert!(all.len() > 25, "{all:?}");
        for (selector, size, unit) in &all {
            let least = match selector.as_str() {
                // The words of caution; what a patient reads at home, and what is done, is larger.
                ".foot" => 8.0,
                s if s.starts_with(".sheet") => 10.0,
                "ol.do" | ".first" => 10.0,
                _ => 8.5,
            };
            match unit.as_str() {
                "pt" => assert!(*size >= least, "{selector}: {size} pt"),
                // Relative to a text that keeps to this itself.
                "em" => assert!(*size >= 1.0, "{selector}: {size} em"),
                other => panic!("{selector}: {other}"),
            }
        }
    }
}
