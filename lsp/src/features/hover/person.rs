//! Hover on initials: their role in this case. The plan knows no names.

use crate::analysed_file::AnalysedFile;

pub fn hover(analysed: AnalysedFile<'_>, initials: &str) -> Option<String> {
    let case = analysed.case()?;
    let is = |name: &str| name == initials;
    let mut out = Vec::new();
    if case.doctor.as_ref().is_some_and(|d| is(d)) {
        out.push("the doctor of this case".to_owned());
    }
    let seen = case.visits.iter().filter(|v| v.by.as_ref().is_some_and(|by| is(by)));
    let days: Vec<String> = seen.map(|v| v.on.to_string()).collect();
    match days.as_slice() {
        [] => {}
        [day] => out.push(format!("saw the patient on {day}")),
        [.., last] => {
            out.push(format!("saw the patient {} times, the last time on {last}", days.len()));
        }
    }
    let accepted = case.accepts.iter().filter(|a| is(&a.by)).map(|a| format!("`{}`", a.code));
    let accepted: Vec<String> = accepted.collect();
    if !accepted.is_empty() {
        out.push(format!("accepted {}", accepted.join(", ")));
    }
    (!out.is_empty()).then(|| format!("**{initials}**: {}", out.join("; ")))
}
