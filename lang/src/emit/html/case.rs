//! One HTML file a case.

use maud::Markup;

use super::{document, hold, repair, staff};
use crate::emit::Plan;
use crate::emit::card::{hold_card, repair_card, staff_card};

/// Every page of a case that may be printed: a staff card for each visit to come and the repair
/// card; while an error stands that nobody accepted, the hold card alone.
pub fn case_document(plan: &Plan<'_>) -> String {
    let title = crate::emit::own_words(&plan.case.chart);
    if !plan.blocking().is_empty() {
        let pages = vec![("Hold".to_owned(), hold(&hold_card(plan)))];
        return document(&title, "en", &pages);
    }
    let mut pages: Vec<(String, Markup)> = Vec::new();
    for (number, visit) in plan.coming() {
        if let Some(card) = staff_card(plan, number) {
            let name = format!("Visit {number}, {}", visit.date);
            pages.push((name, staff(&card, &format!("v{number}"))));
        }
    }
    if let Some(card) = repair_card(plan) {
        pages.push(("Unplanned visit".to_owned(), repair(&card)));
    }
    document(&title, "en", &pages)
}
