//! Plans and visits as HL7 FHIR R4 (4.0.1): a collection with one `CarePlan` per case and one
//! `Appointment` per coming visit, for import into a practice system.
//!
//! Source: HL7 FHIR R4, hl7.org/fhir/R4/careplan.html and appointment.html (read from the published
//! definitions in a registry package; a test validates against them). A patient is identified by the
//! chart reference only. Times of day are up to the front desk: a coming appointment is `proposed` with
//! the range of possible days; a recorded visit is an activity of the plan.

use serde_json::{Value, json};
use uuid::Uuid;

use super::schedule::{Schedule, VisitRow};
use crate::caution::{CAUTION, CAUTION_IN_FULL};
use crate::masked;
use crate::plan::Plan;

/// Names of things that FHIR wants named by a URI. They resolve to nothing, and need not: the domain is one
/// that nobody can own (RFC 2606), as long as the project has none of its own.
const CHART: &str = "https://springline.invalid/fhir/chart";
const VISIT: &str = "https://springline.invalid/fhir/visit";
const KIND: &str = "https://springline.invalid/fhir/visit-kind";
const FINGERPRINT: &str = "https://springline.invalid/fhir/plan-fingerprint";

/// One bundle of all the plans, each with its visits.
pub fn bundle(plans: &[(Schedule, &Plan<'_>)]) -> Value {
    let entries: Vec<Value> = plans.iter().flat_map(|(s, plan)| entries(s, plan)).collect();
    let today = plans.iter().map(|(_, plan)| plan.today).max();
    let mut out = json!({ "resourceType": "Bundle", "type": "collection" });
    if let Some(today) = today {
        out["timestamp"] = json!(format!("{today}T00:00:00Z"));
    }
    // A list without anything in it is none.
    if !entries.is_empty() {
        out["entry"] = json!(entries);
    }
    out
}

fn entries(schedule: &Schedule, plan: &Plan<'_>) -> Vec<Value> {
    let coming = schedule.visits.iter().filter(|v| !v.recorded);
    let mut entries = vec![entry(&care_plan(schedule, plan), &schedule.chart, "care-plan")];
    for visit in coming {
        entries.push(entry(&appointment(visit, schedule, plan), &schedule.chart, &visit.key));
    }
    entries
}

pub fn text(plans: &[(Schedule, &Plan<'_>)]) -> String {
    serde_json::to_string_pretty(&bundle(plans)).unwrap_or_default() + "\n"
}

fn entry(resource: &Value, chart: &str, key: &str) -> Value {
    json!({ "fullUrl": url(chart, key), "resource": resource })
}

/// The same plan gives the same names, so that a second import updates the first.
fn id(chart: &str, key: &str) -> String {
    let name = format!("springline/{chart}/{key}");
    Uuid::new_v5(&Uuid::NAMESPACE_URL, name.as_bytes()).to_string()
}

fn url(chart: &str, key: &str) -> String {
    format!("urn:uuid:{}", id(chart, key))
}

fn patient(chart: &str) -> Value {
    json!({ "type": "Patient", "identifier": { "system": CHART, "value": chart }, "display": chart })
}

fn care_plan(schedule: &Schedule, plan: &Plan<'_>) -> Value {
    let activities: Vec<Value> = schedule
        .visits
        .iter()
        .map(|v| match v.recorded {
            true => json!({ "detail": {
                "status": "completed",
                "description": masked(&words(v)),
                "scheduledPeriod": { "start": v.date.to_string(), "end": v.date.to_string() },
            } }),
            false => json!({ "reference": {
                "reference": url(&schedule.chart, &v.key),
                "type": "Appointment",
            } }),
        })
        .collect();
    // While an error stands that the doctor has not accepted, nobody works from the plan.
    let status = if plan.blocking().is_empty() { "active" } else { "on-hold" };
    let mut out = json!({
        "resourceType": "CarePlan",
        "id": id(&schedule.chart, "care-plan"),
        "identifier": [{ "system": FINGERPRINT, "value": plan.stamp.case }],
        "status": status,
        "intent": "plan",
        "title": format!("Orthodontic plan {}", schedule.chart),
        "description": CAUTION_IN_FULL,
        "subject": patient(&schedule.chart),
        "created": plan.today.to_string(),
        "note": [{ "text": schedule.note }],
    });
    if let (Some(first), Some(last)) = (schedule.visits.first(), schedule.visits.last()) {
        out["period"] = json!({ "start": first.date.to_string(), "end": last.date.to_string() });
    }
    if !activities.is_empty() {
        out["activity"] = json!(activities);
    }
    if let Some(doctor) = &plan.case.doctor {
        out["author"] = json!({ "type": "Practitioner", "display": masked(doctor) });
    }
    out
}

fn appointment(visit: &VisitRow, schedule: &Schedule, plan: &Plan<'_>) -> Value {
    let mut participants = vec![
        json!({ "actor": patient(&schedule.chart), "required": "required", "status": "needs-action" }),
    ];
    if let Some(doctor) = &plan.case.doctor {
        participants.push(json!({
            "actor": { "type": "Practitioner", "display": masked(doctor) },
            "status": "needs-action",
        }));
    }
    json!({
        "resourceType": "Appointment",
        "id": id(&schedule.chart, &visit.key),
        "identifier": [{ "system": VISIT, "value": visit.key }],
        "status": "proposed",
        "serviceType": [{
            "coding": [{ "system": KIND, "code": visit.kind.word() }],
            "text": masked(&words(visit)),
        }],
        "description": masked(&format!("{}: {}", visit.kind.word(), visit.reason)),
        "minutesDuration": visit.minutes.max(1.0).round() as u64,
        "requestedPeriod": [{ "start": visit.earliest.to_string(), "end": visit.latest.to_string() }],
        "comment": format!("Planned for {}. {CAUTION}", visit.date),
        "participant": participants,
    })
}

/// "Upper: wire niti-16 in. Lower: kept."
fn words(visit: &VisitRow) -> String {
    let said = visit.arches.iter().filter(|a| !a.words.is_empty());
    let arches: Vec<String> =
        said.map(|a| format!("{}: {}", crate::wording::arch(a.arch), a.words)).collect();
    if arches.is_empty() { visit.kind.word().to_owned() } else { arches.join(" ") }
}
