//! All of a case's papers in one HTML file that needs nothing else.

use maud::Markup;

use super::{cards, course, document, sheet};
use crate::emit::pages::{self, Body, Page, Papers};
use crate::emit::plan::Plan;
use crate::emit::words::Catalogue;

/// The papers of a case, the patient's sheet in the language of the house.
pub fn case_document(plan: &Plan<'_>) -> String {
    papers(&pages::of_case(plan, pages::house_words(plan)))
}

/// The same with the patient's sheet in a language that the practice brings.
pub fn case_document_in(plan: &Plan<'_>, words: &Catalogue) -> String {
    papers(&pages::of_case(plan, words))
}

pub fn papers(papers: &Papers) -> String {
    let pages: Vec<(String, Markup)> =
        papers.pages.iter().map(|p| (p.name.clone(), page(p))).collect();
    document(&papers.title, "en", &pages)
}

fn page(page: &Page) -> Markup {
    match &page.body {
        // The drawing's names must be unique in the file; a visit has one card.
        Body::Staff(card) => cards::staff(card, &format!("v{}", card.head.number)),
        Body::Hold(card) => cards::hold(card),
        Body::Repair(card) => cards::repair(card),
        Body::Patient(paper) => sheet::patient(paper),
        Body::Course(page) => course::course(page),
        Body::Nothing(page) => course::nothing(page),
    }
}
