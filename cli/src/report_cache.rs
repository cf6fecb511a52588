//! The report of a check: its findings and a summary of the course, without the data they were computed
//! from.
//!
//! A folder of ten thousand cases is checked one at a time and only the reports are kept.
//! [`StoredReport`] is the form on disk, without the source texts, which the reader has anyway.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use springline_emit::practice::steps::{PracticeStepRow, step_rows};
use springline_lang::check::{Checked, known_code};
use springline_lang::finding::{Finding, FindingReport};
use springline_lang::syntax::FileKind;
use springline_lang::text::FileId;
use springline_lang::text::SourceFile;

/// The findings of one file with the texts they are about.
#[derive(Debug, Clone)]
pub struct FileReport {
    pub files: Vec<SourceFile>,
    pub chart: Option<String>,
    pub may_print: bool,
    pub is_house: bool,
    pub findings: Vec<Finding>,
    /// The course in short: one row a step.
    pub steps: Vec<PracticeStepRow>,
}

impl FileReport {
    /// Adds a finding that needs knowledge of several files, in its order.
    pub fn add(&mut self, finding: Finding) {
        self.may_print &= !finding.blocks();
        self.findings.push(finding);
        springline_lang::check::sort(&mut self.findings);
    }
}

impl FindingReport for FileReport {
    fn files(&self) -> &[SourceFile] {
        &self.files
    }

    fn chart(&self) -> Option<&str> {
        self.chart.as_deref()
    }

    fn may_print(&self) -> bool {
        self.may_print
    }

    fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

impl From<Checked> for FileReport {
    fn from(checked: Checked) -> FileReport {
        FileReport {
            steps: step_rows(checked.course(), &checked.findings, checked.may_print()),
            chart: FindingReport::chart(&checked).map(str::to_owned),
            may_print: checked.may_print(),
            is_house: checked.parse.kind == FileKind::House,
            files: checked.files,
            findings: checked.findings,
        }
    }
}

/// The stored form of [`FileReport`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StoredReport {
    files: Vec<(FileId, String)>,
    chart: Option<String>,
    may_print: bool,
    is_house: bool,
    findings: Vec<Finding>,
    steps: Vec<PracticeStepRow>,
}

impl StoredReport {
    pub fn of(kept: &FileReport) -> StoredReport {
        StoredReport {
            files: kept.files.iter().map(|f| (f.id, f.name.clone())).collect(),
            chart: kept.chart.clone(),
            may_print: kept.may_print,
            is_house: kept.is_house,
            findings: kept.findings.clone(),
            steps: kept.steps.clone(),
        }
    }

    /// With its texts again, asked for by the name under which they were shown; `None` where a text is
    /// not to be had or something in it means nothing to this version: then it is computed anew.
    pub fn into_report(self, text: impl Fn(&str) -> Option<Arc<str>>) -> Option<FileReport> {
        let file = |(id, name): (FileId, String)| {
            let text = text(&name)?;
            Some(SourceFile { id, name, text })
        };
        let is_known = |f: &Finding| known_code(f.code.as_str()).is_some();
        if !self.findings.iter().all(is_known) {
            return None;
        }
        Some(FileReport {
            files: self.files.into_iter().map(file).collect::<Option<_>>()?,
            chart: self.chart,
            may_print: self.may_print,
            is_house: self.is_house,
            findings: self.findings,
            steps: self.steps,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_lang::text::{Place, Span};
    use springline_lang::units::quantity::Unit;
    use springline_lang::units::tooth::Tooth;

    fn kept(unit: Unit) -> FileReport {
        let place = Place { file: FileId(0), span: Span::new(0, 4) };
        let finding = Finding::warning("unit/implausible", place, "far too much")
            .figure(0.1 + 0.2, 0.3, unit)
            .why("it harms")
            .note("as written")
            .teeth(Tooth::iso(12))
            .step("align")
            .related(place, "here too")
            .safe_fix("write `1`", place, "1");
        FileReport {
            files: vec![SourceFile { id: FileId(0), name: "a".into(), text: "text".into() }],
            chart: Some("SM-0001".into()),
            may_print: true,
            is_house: false,
            findings: vec![finding],
            steps: Vec::new(),
        }
    }

    /// Put away as a file holds it, and taken out again.
    fn again(kept: &FileReport, change: impl Fn(String) -> String) -> Option<FileReport> {
        let file = change(serde_json::to_string(&StoredReport::of(kept)).unwrap());
        let stored: StoredReport = serde_json::from_str(&file).ok()?;
        stored.into_report(|n| (n == "a").then(|| "text".into()))
    }

    #[test]
    fn what_is_put_away_comes_out_again() {
        let kept = kept(Unit::Mm);
        let again = again(&kept, |file| file).expect("known");
        assert_eq!(again.findings, kept.findings);
        assert_eq!((again.chart, again.may_print, again.is_house), (kept.chart, true, false));
    }

    #[test]
    fn every_unit_a_figure_can_have_comes_out_again() {
        for unit in Unit::ALL {
            let kept = kept(unit);
            assert_eq!(again(&kept, |file| file).unwrap().findings, kept.findings);
        }
    }

    #[test]
    fn what_means_nothing_here_is_not_taken_out() {
        let kept = kept(Unit::Mm);
        assert!(again(&kept, |file| file.replace("\"mm\"", "\"furlong\"")).is_none());
        assert!(again(&kept, |file| file.replace("unit/implausible", "unit/no-such")).is_none());
        assert!(again(&kept, |file| file.replace("\"12\"", "\"99\"")).is_none());
        assert!(StoredReport::of(&kept).into_report(|_| None).is_none());
    }
}
