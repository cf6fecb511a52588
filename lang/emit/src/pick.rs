//! Selects part of the documents: one visit, one day, some kinds of page.

use jiff::civil::Date;

use super::pages::{self, Body, ListPage, Page, Papers};
use super::patient_texts::Catalogue;
use super::plan::Plan;
use super::practice::{day_listing, day_sheet, visits_on};
use super::{card, dates, masked, sheet};

/// Kinds of page that are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kinds {
    pub cards: bool,
    pub sheet: bool,
    pub repair: bool,
    pub course: bool,
}

impl Kinds {
    /// All that a case has.
    pub const ALL: Kinds = Kinds { cards: true, sheet: true, repair: true, course: true };
    /// What one visit needs: its card, and the sheet that the patient takes home.
    pub const VISIT: Kinds = Kinds { repair: false, course: false, ..Kinds::ALL };

    fn has(self, page: &Page) -> bool {
        match page.body {
            Body::Staff(_) => self.cards,
            Body::Patient(_) => self.sheet,
            Body::Repair(_) => self.repair,
            Body::Course(_) => self.course,
            // These have no default.
            Body::Hold(_) | Body::Nothing(_) | Body::List(_) => true,
        }
    }
}

/// A visit as the user names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// The first that is not recorded.
    Next,
    /// Its number in the whole course, from 1, as the course page has it.
    Number(usize),
    On(Date),
}

/// Why there is no such visit to print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoVisit {
    pub what: String,
    /// The visits that could have been meant.
    pub instead: String,
}

/// The number of a visit to come.
pub fn visit(plan: &Plan<'_>, which: Which) -> Result<usize, NoVisit> {
    let coming: Vec<(usize, Date)> = plan.coming().map(|(n, v)| (n, v.date)).collect();
    let found = coming.iter().find(|(number, date)| match which {
        Which::Next => true,
        Which::Number(wanted) => *number == wanted,
        Which::On(wanted) => *date == wanted,
    });
    if let Some((number, _)) = found {
        return Ok(*number);
    }
    let told =
        |(number, date): &(usize, Date)| format!("{number} on {} ({date})", dates::long(*date));
    if coming.is_empty() {
        let what = "There is no visit to come".to_owned();
        return Err(NoVisit {
            what,
            instead: format!("Nothing to print: {}.", plan.why_no_visit()),
        });
    }
    let mut near = coming.clone();
    let what = match which {
        Which::On(wanted) => {
            near.sort_by_key(|(_, date)| dates::days_between(*date, wanted).abs() as i64);
            format!("There is no visit to come on {} ({wanted})", dates::long(wanted))
        }
        Which::Number(wanted) if plan.visit(wanted).is_some() => {
            format!("Visit {wanted} has been")
        }
        Which::Number(wanted) => {
            near.sort_by_key(|(number, _)| number.abs_diff(wanted));
            format!("There is no visit {wanted}")
        }
        Which::Next => "There is no visit to come".to_owned(),
    };
    near.truncate(2);
    near.sort();
    let named: Vec<String> = near.iter().map(told).collect();
    let instead =
        format!("Nearest: visit {}. `springline schedule` lists all.", named.join("; visit "));
    Err(NoVisit { what, instead })
}

/// The papers of a case, as far as they are wanted.
pub fn of_case(plan: &Plan<'_>, words: &Catalogue, kinds: Kinds) -> Papers {
    let mut papers = pages::of_case(plan, words);
    papers.pages.retain(|page| kinds.has(page));
    papers
}

/// The papers of one visit: its card and the patient's sheet, and what else is wanted of the case; only a
/// hold card while the case is blocked.
pub fn of_visit(plan: &Plan<'_>, number: usize, words: &Catalogue, kinds: Kinds) -> Option<Papers> {
    let mut papers = pages::of_visit(plan, number)?;
    if !plan.blocking().is_empty() {
        return Some(papers);
    }
    let (_, visit) = plan.visit(number)?;
    let day = dates::long(visit.date);
    if let Some(sheet) = sheet::patient_sheet(plan, number, words) {
        let name = format!("Patient sheet, {day}");
        papers.pages.push(Page { name, body: Body::Patient(Box::new(sheet)) });
    }
    if kinds.repair
        && let Some(repair) = card::repair_card(plan)
    {
        papers.pages.push(Page { name: "Repair card".to_owned(), body: Body::Repair(repair) });
    }
    if kinds.course {
        let all = pages::of_case(plan, words).pages;
        papers.pages.extend(all.into_iter().filter(|p| matches!(p.body, Body::Course(_))));
    }
    papers.pages.retain(|page| kinds.has(page));
    Some(papers)
}

/// One day of the practice: its list, then each patient's pages in the order of the list.
pub fn of_day<'w>(
    plans: &[Plan<'_>],
    date: Date,
    words: impl Fn(&Plan<'_>) -> &'w Catalogue,
    kinds: Kinds,
    stamp: String,
) -> Papers {
    let listing = day_listing(&day_sheet(plans, date));
    let title = listing.title.clone();
    let page = ListPage { listing, stamp };
    let mut out = vec![Page { name: "Day list".to_owned(), body: Body::List(page) }];
    for (index, number) in visits_on(plans, date) {
        let plan = &plans[index];
        let Some(papers) = of_visit(plan, number, words(plan), kinds) else { continue };
        let chart = masked(&plan.case.chart);
        out.extend(papers.pages.into_iter().map(|page| {
            let kind = match page.body {
                Body::Staff(_) => "staff card",
                Body::Patient(_) => "patient sheet",
                Body::Hold(_) => "hold card",
                Body::Repair(_) => "repair card",
                _ => "course",
            };
            Page { name: format!("{chart}: {kind}"), body: page.body }
        }));
    }
    Papers { title, pages: out }
}
