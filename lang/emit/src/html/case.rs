//! All documents of a case in one self-contained HTML file.

use maud::Markup;

use super::{cards, course, document, sheet};
use crate::pages;
use crate::pages::{Body, Page, Papers};
use crate::plan::Plan;
use crate::practice::listing::lists;

/// The papers of a case, the patient's sheet in the language of the house.
pub fn case_document(plan: &Plan<'_>) -> String {
    papers(&pages::of_case(plan, pages::house_words(plan)))
}

pub fn papers(papers: &Papers) -> String {
    let mut drawn: Vec<String> = Vec::new();
    let mut pages: Vec<(String, Markup)> = Vec::new();
    for (index, one) in papers.pages.iter().enumerate() {
        pages.push((one.name.clone(), page(one, index, &mut drawn)));
    }
    document(&papers.title, "en", &pages)
}

fn page(page: &Page, index: usize, drawn: &mut Vec<String>) -> Markup {
    match &page.body {
        // The drawing's names must be unique in the file: a visit has one card, a day those of many cases.
        Body::Staff(card) => {
            let mut name = format!("v{}", card.head.number);
            if drawn.contains(&name) {
                name = format!("{name}-{index}");
            }
            drawn.push(name.clone());
            cards::staff(card, &name)
        }
        Body::List(page) => lists(std::slice::from_ref(&page.listing), "Day list", &page.stamp),
        Body::Hold(card) => cards::hold(card),
        Body::Repair(card) => cards::repair(card),
        Body::Patient(paper) => sheet::patient(paper),
        Body::Course(page) => course::course(page),
        Body::Nothing(page) => course::nothing(page),
    }
}
