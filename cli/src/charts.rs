//! Chart references of the files of one run, to report duplicates.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use springline_lang::charts;
use springline_lang::finding::Finding;
use springline_lang::text::{FileId, Place};

use crate::files;
use crate::find::PlanFile;

/// Chart references that occur in more than one file, with these files.
#[derive(Debug, Default)]
pub struct Charts {
    files: HashMap<String, Vec<PathBuf>>,
}

impl Charts {
    /// Reads the first lines of every file; unreadable files are reported when they are checked.
    pub fn of(plans: &[PlanFile]) -> Charts {
        if plans.len() < 2 {
            return Charts::default();
        }
        let chart = |plan: &PlanFile| {
            let head = files::head(&plan.path)?;
            let (chart, _) = charts::chart(&head)?;
            Some((same(chart), plan.path.clone()))
        };
        let said: Vec<Option<(String, PathBuf)>> = plans.par_iter().map(chart).collect();
        let mut files: HashMap<String, Vec<PathBuf>> = HashMap::new();
        for (chart, path) in said.into_iter().flatten() {
            files.entry(chart).or_default().push(path);
        }
        files.retain(|_, paths| paths.len() > 1);
        Charts { files }
    }

    /// The finding for this file, if any.
    pub fn finding(&self, path: &Path, text: &str) -> Option<Finding> {
        if self.files.is_empty() {
            return None;
        }
        let (chart, span) = charts::chart(text)?;
        // One file under two names is one plan.
        let place = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
        let own = place(path);
        let others: Vec<String> = self
            .files
            .get(&same(chart))?
            .iter()
            .filter(|other| place(other) != own)
            .map(|other| other.display().to_string())
            .collect();
        let at = Place { file: FileId(0), span };
        (!others.is_empty()).then(|| charts::twice(at, chart, &others))
    }
}

/// A chart is the same in small letters and with a blank too many.
fn same(chart: &str) -> String {
    chart.trim().to_lowercase()
}
