//! Findings as JUnit XML: a case is a suite, a finding that blocks is a failure.
//!
//! No times and no time stamps, so the same plans give the same text.

use quick_junit::{NonSuccessKind, Report, TestCase, TestCaseStatus, TestSuite};

use super::{FilePositions, whole_message};
use crate::caution::CAUTION;
use crate::{masked, own_name};
use springline_finding::FindingReport;

pub fn text(checked: &[&impl FindingReport]) -> String {
    let mut report = Report::new("springline");
    for one in checked {
        let name = one.files().first().map(|f| own_name(&f.name)).unwrap_or_default();
        let mut suite = TestSuite::new(name.clone());
        suite.add_property(("note", CAUTION));
        let located = FilePositions::of(*one).located();
        for (i, located) in located.iter().enumerate() {
            let f = located.finding;
            let start = located.at.region.start;
            let mut status = match (f.blocks(), &f.accepted) {
                (true, _) => TestCaseStatus::non_success(NonSuccessKind::Failure),
                (false, Some(_)) => TestCaseStatus::skipped(),
                (false, None) => TestCaseStatus::success(),
            };
            let reason = match &f.accepted {
                Some(a) => format!("accepted by {}: {}", masked(&a.by), masked(&a.reason)),
                None => masked(&f.message),
            };
            if f.blocks() || f.accepted.is_some() {
                status.set_message(reason);
            }
            if f.blocks() {
                status.set_type(f.code.as_str());
                status.set_description(format!(
                    "{}:{}:{}: {}",
                    located.at.file,
                    start.line,
                    start.column,
                    whole_message(f)
                ));
            }
            let mut case =
                TestCase::new(format!("{} line {} ({})", f.code, start.line, i + 1), status);
            case.set_classname(name.clone());
            if !f.blocks() && f.accepted.is_none() {
                case.set_system_out(format!("{}: {}", f.severity, whole_message(f)));
            }
            suite.add_test_case(case);
        }
        if located.is_empty() {
            let mut case = TestCase::new("no findings", TestCaseStatus::success());
            case.set_classname(name);
            suite.add_test_case(case);
        }
        report.add_test_suite(suite);
    }
    report.to_string().unwrap_or_default()
}
