//! Merges the findings of one rule in one arch into one: the worst is named, the others are listed.

use super::wording::Words;
use springline_finding::{Finding, Fix};
use springline_units::quantity::plain;
use springline_units::tooth::Arch;

/// What a rule found in one step of one arch.
pub struct Candidate {
    pub arch: Arch,
    /// How bad, to compare within a severity: the figure over its limit.
    pub weight: f64,
    pub finding: Finding,
}

impl Candidate {
    pub fn new(arch: Arch, weight: f64, finding: Finding) -> Candidate {
        Candidate { arch, weight, finding }
    }
}

/// Adds one finding an arch to `out`.
pub fn merge_per_arch(words: Words, list: Vec<Candidate>, out: &mut Vec<Finding>) {
    for arch in Arch::BOTH {
        let mut here: Vec<&Candidate> = list.iter().filter(|c| c.arch == arch).collect();
        // Stable: of equals the earlier step stays first.
        here.sort_by(|a, b| {
            a.finding.severity.cmp(&b.finding.severity).then(b.weight.total_cmp(&a.weight))
        });
        let Some((worst, rest)) = here.split_first() else { continue };
        let mut finding = worst.finding.clone();
        for other in rest {
            finding.notes.push(also(words, &other.finding));
            for tooth in &other.finding.teeth {
                if !finding.teeth.contains(tooth) {
                    finding.teeth.push(*tooth);
                }
            }
            let place = other.finding.place;
            let is_marked =
                finding.place == place || finding.related.iter().any(|r| r.place == place);
            if !is_marked {
                let message = "the same here".to_owned();
                finding.related.push(springline_finding::Related { place, message });
            }
        }
        finding.fixes = together(&here);
        out.push(finding);
    }
}

fn nth_fix(finding: &Finding, n: usize) -> Option<&Fix> {
    finding.fixes.get(n).or_else(|| finding.fixes.first())
}

/// "The same in level: 22, 2.1 mm."
fn also(words: Words, finding: &Finding) -> String {
    let mut text = "The same".to_owned();
    if let Some(step) = &finding.step {
        text.push_str(&format!(" in {step}"));
    }
    let teeth = (!finding.teeth.is_empty()).then(|| words.teeth(&finding.teeth));
    let figure = finding.figure.as_ref().map(|f| format!("{} {}", plain(f.value), f.unit));
    let parts: Vec<String> = [teeth, figure].into_iter().flatten().collect();
    if !parts.is_empty() {
        text.push_str(&format!(": {}", parts.join(", ")));
    }
    text.push('.');
    text
}

/// Fixes for all places at once: the n-th fix of each, or its first, combined.
fn together(here: &[&Candidate]) -> Vec<Fix> {
    let Some((worst, rest)) = here.split_first() else { return Vec::new() };
    let mut out = Vec::new();
    for (n, fix) in worst.finding.fixes.iter().enumerate() {
        let Some(others) =
            rest.iter().map(|c| nth_fix(&c.finding, n)).collect::<Option<Vec<&Fix>>>()
        else {
            continue;
        };
        let mut whole = fix.clone();
        for other in &others {
            for edit in &other.edits {
                if !whole.edits.contains(edit) {
                    whole.edits.push(edit.clone());
                }
            }
        }
        if let (Some(other), true) = (others.first(), others.iter().any(|o| o.title != fix.title)) {
            whole.title = format!("{}; {}", fix.title, other.title);
            if others.len() > 1 {
                whole.title.push_str("; and so on");
            }
        }
        out.push(whole);
    }
    out
}
