//! Where the lines of a text begin. One index for the protocol, the terminal and the reports, so that a
//! line has one number everywhere.

use std::ops::Range;

/// Lines end as the language server protocol says: `\n`, `\r\n` or `\r`. They are counted from 0.
#[derive(Debug, Clone)]
pub struct LineIndex {
    starts: Vec<usize>,
    len: usize,
}

impl LineIndex {
    pub fn new(text: &str) -> LineIndex {
        let bytes = text.as_bytes();
        let mut starts = Vec::with_capacity(bytes.len() / 24 + 1);
        starts.push(0);
        for (i, byte) in bytes.iter().enumerate() {
            let ends = match byte {
                b'\n' => true,
                b'\r' => bytes.get(i + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends {
                starts.push(i + 1);
            }
        }
        LineIndex { starts, len: bytes.len() }
    }

    /// Lines of the text; a text that ends in a line end has an empty last one.
    pub fn lines(&self) -> usize {
        self.starts.len()
    }

    /// The line that holds an offset.
    pub fn line_of(&self, offset: usize) -> usize {
        self.starts.partition_point(|start| *start <= offset).saturating_sub(1)
    }

    /// A line's bytes with its line end.
    pub fn line(&self, line: usize) -> Option<Range<usize>> {
        let start = *self.starts.get(line)?;
        Some(start..self.starts.get(line + 1).copied().unwrap_or(self.len))
    }

    /// A line's bytes without its line end.
    pub fn content(&self, text: &str, line: usize) -> Option<Range<usize>> {
        let range = self.line(line)?;
        let body = text.get(range.clone())?;
        let body = body.strip_suffix('\n').unwrap_or(body);
        let body = body.strip_suffix('\r').unwrap_or(body);
        Some(range.start..range.start + body.len())
    }
}

/// The start of the character that holds a byte.
pub fn floor_boundary(text: &str, mut at: usize) -> usize {
    at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
