//! Machine-readable findings: JSON with a schema of our own, SARIF 2.1.0, JUnit, and one line of text
//! each. Patient identity is masked here too, because build logs travel.

mod fix_id;
pub mod json;
pub mod junit;
pub mod line;
mod place;
pub mod rows;
pub mod sarif;

pub use fix_id::fix_id;
use place::region;
pub use place::{Position, Region};

use super::{masked, own_name};
use springline_finding::Finding;
use springline_finding::FindingReport;
use springline_text::LineIndex;
use springline_text::Place;
use springline_text::SourceFile;

/// A finding with its place in words that need no offsets.
struct Located<'a> {
    finding: &'a Finding,
    at: FileRegion,
}

/// File, lines and columns of a place.
#[derive(Debug, Clone)]
struct FileRegion {
    file: String,
    region: Region,
}

/// The file that a finding is in, and where it begins there.
pub fn starts_at(checked: &impl FindingReport, finding: &Finding) -> (String, Position) {
    let Some(file) = checked.file(finding.place.file) else {
        return (String::new(), Region::default().start);
    };
    (file.name.clone(), region(&LineIndex::new(&file.text), &file.text, finding.place.span).start)
}

/// Positions of one checked case's files.
struct FilePositions<'a> {
    files: &'a [SourceFile],
    findings: &'a [Finding],
    lines: Vec<LineIndex>,
}

impl<'a> FilePositions<'a> {
    fn of(checked: &'a impl FindingReport) -> FilePositions<'a> {
        let files = checked.files();
        let lines = files.iter().map(|f| LineIndex::new(&f.text)).collect();
        FilePositions { files, findings: checked.findings(), lines }
    }

    fn spot(&self, place: Place) -> FileRegion {
        let found = self.files.iter().zip(&self.lines).find(|(f, _)| f.id == place.file);
        match found {
            Some((file, lines)) => FileRegion {
                file: own_name(&file.name),
                region: region(lines, &file.text, place.span),
            },
            None => FileRegion { file: String::new(), region: Region::default() },
        }
    }

    fn located(&self) -> Vec<Located<'a>> {
        let at = |f: &'a Finding| Located { finding: f, at: self.spot(f.place) };
        self.findings.iter().map(at).collect()
    }
}

/// The message with its figure, limit and reason, on one line.
fn whole_message(finding: &Finding) -> String {
    let mut out = masked(&finding.message);
    for more in finding.why.iter().chain(&finding.notes) {
        out.push(' ');
        out.push_str(&masked(more));
    }
    out
}
