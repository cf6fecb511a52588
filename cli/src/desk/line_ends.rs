//! How a file ends its lines. The page has one kind; a file keeps its own.

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LineEnds {
    #[default]
    Feed,
    /// Carriage return and line feed at every end.
    Both,
}

impl LineEnds {
    /// A file with several kinds is written with line feeds alone when it is saved.
    pub fn of(text: &str) -> LineEnds {
        let feeds = text.matches('\n').count();
        let both = text.matches("\r\n").count();
        if both > 0 && both == feeds { LineEnds::Both } else { LineEnds::Feed }
    }

    /// As the page has it.
    pub fn on_page(text: &str) -> String {
        text.replace("\r\n", "\n").replace('\r', "\n")
    }

    pub fn in_file(self, text: &str) -> String {
        match self {
            LineEnds::Feed => text.to_owned(),
            LineEnds::Both => text.replace('\n', "\r\n"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_keeps_its_line_ends() {
        for text in ["a\nb\n", "a\r\nb\r\n", "a", ""] {
            assert_eq!(LineEnds::of(text).in_file(&LineEnds::on_page(text)), text);
        }
        assert_eq!(LineEnds::of("a\r\nb\n"), LineEnds::Feed);
        assert_eq!(LineEnds::on_page("a\rb\r\nc"), "a\nb\nc");
    }
}
