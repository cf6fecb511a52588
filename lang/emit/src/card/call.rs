//! Staff card: when to stop and call the doctor, and which findings the doctor has accepted.

use crate::masked;
use crate::plan::{Plan, VisitToday};
use springline_finding::Finding;
use springline_model::house::Task;
use springline_model::step::ActKind;
use springline_units::quantity::{mm, plain};

/// `tested`: the card has a test.
pub fn list(plan: &Plan<'_>, today: &VisitToday<'_>, tested: bool) -> Vec<String> {
    let in_mouth = today.visit.kind != Task::RetainerCheck && today.visit.kind != Task::Debond;
    let wrong_way = match plan.case.is_reverse() {
        true => "the lower front teeth bite farther in front than before",
        false => "the overjet is reversed",
    };
    let doubts = [
        (tested, "the test leaves a doubt, or the wire is only nearly passive"),
        (in_mouth, "a wire is kinked"),
        (in_mouth, "two brackets are off"),
        (true, "a tooth is loose, dark or very sore"),
        (true, "there is swelling"),
        (in_mouth, wrong_way),
        (true, "card and mouth differ"),
    ];
    let applies = doubts.iter().filter(|(here, _)| *here);
    let mut out: Vec<String> = applies.map(|(_, what)| (*what).to_owned()).collect();
    for act in today.arches.iter().flat_map(|a| [a.now, a.next]).flatten().flat_map(|m| m.acts()) {
        if let ActKind::HaltIf { measure, under, length } = &act.kind {
            let what = measure.words();
            let way = if *under { "under" } else { "over" };
            let line = format!("{what} is {way} {} mm", plain(mm(*length)));
            if !out.contains(&line) {
                out.insert(0, line);
            }
        }
    }
    out
}

/// One line each, for the steps of this visit: what, why, and whose decision.
pub fn accepted(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<String> {
    plan.accepted().filter(|f| concerns(f, today)).filter_map(accepted_line).collect()
}

fn concerns(finding: &Finding, today: &VisitToday<'_>) -> bool {
    let Some(step) = &finding.step else { return true };
    today.arches.iter().flat_map(|a| [a.now, a.next]).flatten().any(|m| m.step.name == *step)
}

pub fn accepted_line(finding: &Finding) -> Option<String> {
    let accepted = finding.accepted.as_ref()?;
    let up_to = accepted.up_to.as_ref().map(|f| format!(", up to {f}")).unwrap_or_default();
    let until = accepted.until.as_ref().map(|u| format!(", until {u}")).unwrap_or_default();
    let message = masked(finding.message.trim_end_matches('.'));
    Some(format!(
        "{message}{up_to}{until}: \u{201c}{}\u{201d} ({})",
        masked(&accepted.reason),
        masked(&accepted.by)
    ))
}
