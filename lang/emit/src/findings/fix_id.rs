//! Identifiers of fixes: short names by which a fix is chosen, valid for one version of the text only.

use springline_finding::Fix;
use springline_text::SourceFile;

/// Characters that are not easily confused.
const LETTERS: &[u8; 28] = b"23456789bcdfghjkmnpqrstvwxyz";
const LENGTH: usize = 6;

/// Made of all texts that were checked and of what the fix writes where: if a file has changed since, or the
/// fix is another, so is the name.
pub fn fix_id(files: &[SourceFile], fix: &Fix) -> String {
    let mut bytes: Vec<u8> = Vec::new();
    for file in files {
        bytes.extend(file.text.as_bytes());
        bytes.push(0);
    }
    for edit in &fix.edits {
        let span = edit.place.span;
        bytes.extend(
            [edit.place.file.0, span.start, span.end].into_iter().flat_map(u32::to_le_bytes),
        );
        bytes.extend(edit.text.as_bytes());
        bytes.push(0);
    }
    let mut left = super::sarif::fnv(&bytes);
    let letters = std::iter::repeat_with(|| {
        let at = (left % LETTERS.len() as u64) as usize;
        left /= LETTERS.len() as u64;
        char::from(LETTERS[at])
    });
    letters.take(LENGTH).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_finding::FixKind;
    use springline_text::{FileId, Place, Span};

    #[test]
    fn another_text_or_another_edit_is_another_name() {
        let file = |text: &str| {
            vec![SourceFile { id: FileId(0), name: "a.spring".into(), text: text.into() }]
        };
        let fix = |text: &str| {
            let place = Place { file: FileId(0), span: Span::new(0, 1) };
            Fix::replace("", FixKind::Safe, place, text)
        };
        let name = fix_id(&file("a plan"), &fix("b"));
        assert_eq!(name.len(), LENGTH);
        assert_eq!(name, fix_id(&file("a plan"), &fix("b")));
        assert_ne!(name, fix_id(&file("a plan "), &fix("b")));
        assert_ne!(name, fix_id(&file("a plan"), &fix("c")));
    }
}
