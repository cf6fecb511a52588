//! All of a case's papers in one HTML file that needs nothing else.

use super::{cards, course, document, sheet as sheet_page};
use crate::emit::draw::{self, svg};
use crate::emit::plan::Plan;
use crate::emit::say::list;
use crate::emit::words::Catalogue;
use crate::emit::{card, dates, own_words, sheet};

/// Cards for every visit to come, a repair card, the patient's sheet for the next visit, and the
/// course at a glance. While an error stands that the doctor has not accepted: a hold card, and
/// nothing else of the case.
pub fn case_document(plan: &Plan<'_>) -> String {
    let language = &plan.house().language.value;
    let words = Catalogue::built_in(language).unwrap_or_else(Catalogue::english);
    case_document_in(plan, words)
}

/// The same with the patient's sheet in a language that the practice brings.
pub fn case_document_in(plan: &Plan<'_>, words: &Catalogue) -> String {
    let chart = own_words(&plan.case.chart);
    if !plan.blocking().is_empty() {
        let page = cards::hold(&card::hold_card(plan));
        return document(&format!("{chart}: hold"), "en", &[("Hold".to_owned(), page)]);
    }
    let mut pages = Vec::new();
    for (number, visit) in plan.coming() {
        let Some(card) = card::staff_card(plan, number) else { continue };
        let name = format!("Staff card, {}: {}", dates::long(visit.date), card.head.kind);
        pages.push((name, cards::staff(&card, &format!("v{number}"))));
    }
    if let Some(repair) = card::repair_card(plan) {
        pages.push(("Repair card".to_owned(), cards::repair(&repair)));
    }
    if let Some((number, visit)) = plan.coming().next()
        && let Some(sheet) = sheet::patient_sheet(plan, number, words)
    {
        let name = format!("Patient sheet, {}", dates::long(visit.date));
        pages.push((name, sheet_page::patient(&sheet)));
    }
    if let Some(drawing) = draw::timeline(plan) {
        let page = course::course(plan, &svg::inline(&drawing, "course"));
        pages.push(("The course at a glance".to_owned(), page));
    }
    if pages.is_empty() {
        pages.push(("Nothing planned".to_owned(), course::nothing(plan)));
    }
    document(&format!("{chart}: cards and sheet"), "en", &pages)
}

/// The staff card of one visit alone; a hold card while the case is blocked.
pub fn visit_document(plan: &Plan<'_>, number: usize) -> Option<String> {
    if !plan.blocking().is_empty() {
        return Some(case_document(plan));
    }
    let card = card::staff_card(plan, number)?;
    let title = format!("{}: {}", card.head.chart, dates::long(card.head.date));
    Some(document(&title, "en", &[(title.clone(), cards::staff(&card, "v"))]))
}

/// Teeth whose stand nobody described; they are taken as in line.
pub(super) fn assumed(plan: &Plan<'_>) -> Option<String> {
    let mut teeth = Vec::new();
    for arch in &plan.case.arches {
        teeth.extend(arch.bonded.keys().filter(|t| !arch.stands.contains_key(t)).copied());
    }
    (!teeth.is_empty()).then(|| list(&teeth, plan.notation()))
}
