//! Whether the points that were measured are still the same.

use super::library::{Library, PointsFile};
use springline_finding::{Finding, Severity};
use springline_model::Case;
use springline_model::measured_block::MeasuredBlock;
use springline_units::tooth::Arch;

/// So many digits of a fingerprint tell two files apart.
const LEAST_DIGITS: usize = 8;

/// Reports readings whose points were changed since, or are not to be found.
pub fn check_points_files(case: &Case, library: &dyn Library, findings: &mut Vec<Finding>) {
    let plan = case.arches.iter().filter_map(|a| Some((a.reading.as_ref()?, Some(a.arch))));
    let seen = case.visits.iter().flat_map(|v| &v.readings).map(|r| (r, None));
    for (reading, arch) in plan.chain(seen) {
        findings.extend(of_reading(reading, arch, library));
    }
}

fn of_reading(
    reading: &MeasuredBlock,
    arch: Option<Arch>,
    library: &dyn Library,
) -> Option<Finding> {
    let shown = springline_text::visible::line(&reading.file).into_owned();
    let again = match arch {
        Some(_) => format!("Measure again: `springline measure {shown} --case FILE --write`."),
        None => "Measure the visit's points again, or put the file back.".to_owned(),
    };
    if !is_own_name(&reading.file) {
        let text = format!("`{shown}` is not the name of a file beside the case.");
        let finding = Finding::new("points/missing", Severity::Advice, reading.file_place, text);
        return Some(
            finding.why("Points are looked for in the folder of the case alone.").note(again),
        );
    }
    match library.points(&reading.file) {
        PointsFile::NotLookedFor => None,
        PointsFile::Missing => {
            let text = format!("The points `{shown}` are not beside the case.");
            let finding =
                Finding::new("points/missing", Severity::Advice, reading.file_place, text);
            let why = "Whether this block is what was picked last cannot be seen.";
            Some(
                finding
                    .why(why)
                    .note("Put the file back beside the case, if it is kept elsewhere."),
            )
        }
        PointsFile::There(now) if is_same(&now, &reading.fingerprint) => None,
        PointsFile::There(now) => {
            let digits: String = now.chars().take(LEAST_DIGITS).collect();
            let text = format!("The points `{shown}` were changed since they were measured.");
            let finding = Finding::warning("points/changed", reading.file_place, text);
            let why = format!(
                "This block was read from points with the fingerprint {}; the file's is {digits} now.",
                springline_text::visible::line(&reading.fingerprint)
            );
            Some(finding.why(why).note(again))
        }
    }
}

/// A name without folders: no request leaves the folder of the case.
fn is_own_name(name: &str) -> bool {
    let is_plain = |c: char| !matches!(c, '/' | '\\' | ':') && !c.is_control();
    !name.is_empty() && name != ".." && name != "." && name.chars().all(is_plain)
}

fn is_same(now: &str, written: &str) -> bool {
    written.len() >= LEAST_DIGITS
        && now.to_ascii_lowercase().starts_with(&written.to_ascii_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_files_own_name_is_asked_for() {
        assert!(is_own_name("sm-0392-upper.csv"));
        for name in ["", "..", "../x.csv", "a/b.csv", "c:x.csv", "a\\b"] {
            assert!(!is_own_name(name), "{name}");
        }
    }

    #[test]
    fn a_fingerprint_is_told_by_its_first_digits() {
        assert!(is_same("7c1e09b2aa", "7C1E09B2"));
        assert!(!is_same("7c1e09b2aa", "7c1e09b3") && !is_same("7c1e09b2aa", "7c"));
    }
}
