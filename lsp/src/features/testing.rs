//! Test support: marked text in which `¦` is the cursor.

use std::sync::Arc;

use springline_lang::check::{LoweredFile, SourceText};
use springline_lang::{CheckOptions, Checked, Checker};

use crate::analysed_file::AnalysedFile;
use springline_test_support::{Practices, SALTMARSH, examples_in};

/// A checked text with the place of its mark.
pub struct Sample {
    pub offset: usize,
    read: LoweredFile,
    checked: Checked,
}

impl Sample {
    pub fn new(marked: &str) -> Sample {
        Sample::with_house(marked, SALTMARSH)
    }

    /// The same on another day.
    pub fn on(marked: &str, today: jiff::civil::Date) -> Sample {
        Sample::with(marked, SALTMARSH, today)
    }

    /// The same with another house under the practice's name.
    pub fn with_house(marked: &str, house: &str) -> Sample {
        Sample::with(marked, house, jiff::civil::date(2026, 11, 24))
    }

    fn with(marked: &str, house: &str, today: jiff::civil::Date) -> Sample {
        let offset = marked.find('¦').unwrap_or(0);
        let text: Arc<str> = marked.replacen('¦', "", 1).into();
        let mut checker = Checker::new();
        let source = SourceText { name: "case.spring".to_owned(), text };
        let read = checker.read(&source, &Practices::of(house));
        let checked = checker.judge(read.clone(), &CheckOptions { today: Some(today) });
        Sample { offset, read, checked }
    }

    /// A case of the practice whose upper arch holds these lines.
    pub fn upper(lines: &str) -> Sample {
        Sample::new(&format!(
            "springline 1\ncase \"SM-9000\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-23\npatient adult\n\
             upper {{\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n\
             \x20 tooth 12, 22 palatal 1 mm, rotated 15 deg mesial-in\n  follow usual\n{lines}\n}}\n\
             retain {{\n  fixed 13..23\n}}\n"
        ))
    }

    pub fn analysed(&self) -> AnalysedFile<'_> {
        AnalysedFile { read: &self.read, checked: Some(&self.checked), habits: None }
    }
}

/// The unsafe examples, by name.
pub fn unsafe_examples() -> Vec<(String, String)> {
    let out = examples_in("unsafe");
    assert!(out.len() > 20);
    out
}
