//! Suggestions for a file that does not exist: another spelling, a missing extension, or the chart
//! reference in place of the file name.

use std::path::{Path, PathBuf};

use springline_lang::charts;
use walkdir::WalkDir;

use springline_lsp::practice_files::{EXTENSION, head};

/// Files looked into at most, and named at most.
const LOOKED_AT: usize = 2000;
const NAMED: usize = 3;

/// Plans below the folder of `path` that are called nearly so, or whose chart is called so.
pub fn near(path: &Path) -> Vec<PathBuf> {
    let Some(name) = path.file_name().map(|n| n.to_string_lossy().to_lowercase()) else {
        return Vec::new();
    };
    let stem = name.strip_suffix(&format!(".{EXTENSION}")).unwrap_or(&name).to_owned();
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let hidden =
        |e: &walkdir::DirEntry| e.depth() > 0 && e.file_name().to_string_lossy().starts_with('.');
    let entries = WalkDir::new(&folder).max_depth(3).into_iter().filter_entry(|e| !hidden(e));
    let plans = entries.flatten().map(|e| e.into_path());
    let plans = plans.filter(|p| p.extension().is_some_and(|e| e == EXTENSION)).take(LOOKED_AT);
    let mut found: Vec<(u8, PathBuf)> = Vec::new();
    for plan in plans {
        let own = plan.file_stem().map(|s| s.to_string_lossy().to_lowercase()).unwrap_or_default();
        let is_chart = || {
            let text = head(&plan).unwrap_or_default();
            charts::chart(&text).is_some_and(|(chart, _)| chart.to_lowercase() == stem)
        };
        let rank = match () {
            () if own == stem => 0,
            () if is_chart() => 1,
            () if own.starts_with(&format!("{stem}-")) => 2,
            () => continue,
        };
        let plan = plan.strip_prefix(".").map(Path::to_path_buf).unwrap_or(plan);
        found.push((rank, plan));
    }
    found.sort();
    let best = found.first().map_or(0, |(rank, _)| *rank);
    found.into_iter().filter(|(rank, _)| *rank == best).map(|(_, p)| p).take(NAMED).collect()
}

/// In a sentence; `None` where nothing is near.
pub fn meant(path: &Path) -> Option<String> {
    let found: Vec<String> = near(path).iter().map(|p| p.display().to_string()).collect();
    (!found.is_empty()).then(|| format!("Did you mean {}?", found.join(" or ")))
}
