//! Arguments passed by git to its diff driver. Git puts file names where options could be, and a file may
//! be called `-x.spring`.

use std::ffi::OsString;

/// The arguments with a mark before those of git, so that none of its names is taken for an option.
pub fn arguments(mut all: Vec<OsString>) -> Vec<OsString> {
    let is_diff = all.get(1).is_some_and(|command| command == "diff");
    let first = [9, 7].into_iter().find_map(|count| {
        let first = all.len().checked_sub(count).filter(|first| *first >= 2)?;
        is_gits(&all[first..]).then_some(first)
    });
    if let (true, Some(first)) = (is_diff, first.or(unmerged(&all)))
        && !all[..first].iter().any(|argument| argument == "--")
    {
        all.insert(first, "--".into());
    }
    all
}

/// A path that is not merged is handed over alone.
fn unmerged(all: &[OsString]) -> Option<usize> {
    (is_called() && all.len() == 3).then_some(2)
}

/// Git tells its driver the index of this path and the number of paths.
pub fn is_called() -> bool {
    std::env::var_os("GIT_DIFF_PATH_TOTAL").is_some()
}

/// The path; file, hash and mode of the old version, and of the new one; of a renamed file its new path
/// and what was renamed (git documentation, "GIT_EXTERNAL_DIFF").
fn is_gits(arguments: &[OsString]) -> bool {
    let is = |at: usize, what: fn(&str) -> bool| {
        arguments.get(at).and_then(|a| a.to_str()).is_some_and(what)
    };
    let hash = |t: &str| t == "." || (t.len() >= 40 && t.bytes().all(|b| b.is_ascii_hexdigit()));
    let mode = |t: &str| t == "." || (t.len() == 6 && t.bytes().all(|b| b.is_ascii_digit()));
    is(2, hash) && is(3, mode) && is(5, hash) && is(6, mode)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn marked(text: &str) -> String {
        let all = text.split(' ').map(OsString::from).collect();
        let all: Vec<String> =
            arguments(all).into_iter().map(|a| a.to_string_lossy().into_owned()).collect();
        all.join(" ")
    }

    #[test]
    fn only_what_git_hands_over_is_marked() {
        let hash = "0123456789012345678901234567890123456789";
        let gits = format!("-x old {hash} 100644 -x {hash} 100644");
        assert_eq!(marked(&format!("s diff {gits}")), format!("s diff -- {gits}"));
        let with = format!("s diff --format json {gits}");
        assert_eq!(marked(&with), format!("s diff --format json -- {gits}"));
        let renamed = format!("-x old {hash} 100644 -y {hash} 100644 -y similarity");
        assert_eq!(marked(&format!("s diff {renamed}")), format!("s diff -- {renamed}"));
        let added = format!("-x /dev/null . . -x {hash} 100644");
        assert_eq!(marked(&format!("s diff {added}")), format!("s diff -- {added}"));
        for own in ["s diff a b", "s diff a b --format json", "s check -- a", "s diff"] {
            assert_eq!(marked(own), own);
        }
    }
}
