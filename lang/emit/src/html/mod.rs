//! HTML back end: one self-contained file for screen and paper.

mod cards;
mod case;
mod course;
mod parts;
mod sheet;

pub use crate::document::document;
pub use cards::{hold, repair, staff};
pub use case::{case_document, papers};
pub use course::{course, nothing};
pub use sheet::patient;

#[cfg(test)]
mod tests {
    use crate::document::STYLE;

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
