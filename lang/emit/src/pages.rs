//! All documents of a case as data, in print order. HTML and PDF render the same list, so that they
//! cannot differ.

use super::card::{self, HoldCard, RepairCard, StaffCard};
use super::draw::{self, Drawing, OcclusalSize};
use super::patient_texts::Catalogue;
use super::plan::{InMouth, Plan, PrintStamp, VisitToday};
use super::practice::listing::Listing;
use super::preview;
use super::sheet::{self, PatientSheet};
use super::{dates, masked, wording};
use springline_model::house::Task;
use springline_model::step::Term;
use springline_units::quantity::plain;
use springline_units::tooth::Arch;

/// What is printed in one go.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Papers {
    pub title: String,
    pub pages: Vec<Page>,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// In a table of contents.
    pub name: String,
    pub body: Body,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Body {
    Staff(Box<StaffCard>),
    Hold(HoldCard),
    Repair(RepairCard),
    Patient(Box<PatientSheet>),
    Course(CoursePage),
    /// A case whose course has no visit to come.
    Nothing(NothingPage),
    /// Who comes on a day.
    List(ListPage),
}

/// A list of the practice as a page.
#[derive(Debug, Clone, PartialEq)]
pub struct ListPage {
    pub listing: Listing,
    pub stamp: String,
}

/// The course at a glance, for doctor and patient together.
#[derive(Debug, Clone, PartialEq)]
pub struct CoursePage {
    pub chart: String,
    pub title: &'static str,
    pub how_to_read: &'static str,
    pub drawing: Drawing,
    /// The arches as the plan describes them, from the bite.
    pub entered: Drawing,
    /// Visit, date, upper, lower, time.
    pub head: [&'static str; 5],
    pub rows: Vec<[String; 5]>,
    pub note: Option<String>,
    pub stamp: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct NothingPage {
    pub chart: String,
    pub title: &'static str,
    pub text: String,
    pub stamp: String,
}

const HOW_TO_READ: &str = "Forecast by a model. Each bar is a wire, from placement to removal; a heavy outline \
    marks a wire that is or was in place. The dot below is when it is expected to be passive, the line the \
    range for 8 in 10 patients. Filled circles are recorded visits.";

/// Cards for every visit to come, a repair card, the patient's sheet for the next visit, and the
/// course at a glance. While an error stands that the doctor has not accepted: a hold card, and
/// nothing else of the case.
pub fn of_case(plan: &Plan<'_>, words: &Catalogue) -> Papers {
    let chart = masked(&plan.case.chart);
    if !plan.blocking().is_empty() {
        return hold(plan);
    }
    let mut pages = Vec::new();
    for (number, visit) in plan.coming() {
        let Some(card) = card::staff_card(plan, number) else { continue };
        let name = format!("Staff card, {}: {}", dates::long(visit.date), card.head.kind);
        pages.push(Page { name, body: Body::Staff(Box::new(card)) });
    }
    if let Some(repair) = card::repair_card(plan) {
        pages.push(Page { name: "Repair card".to_owned(), body: Body::Repair(repair) });
    }
    if let Some((number, visit)) = plan.coming().next()
        && let Some(sheet) = sheet::patient_sheet(plan, number, words)
    {
        let name = format!("Patient sheet, {}", dates::long(visit.date));
        pages.push(Page { name, body: Body::Patient(Box::new(sheet)) });
    }
    if let Some(page) = course(plan) {
        pages.push(Page { name: page.title.to_owned(), body: Body::Course(page) });
    }
    if pages.is_empty() {
        let name = "Nothing planned".to_owned();
        pages.push(Page { name, body: Body::Nothing(nothing(plan)) });
    }
    Papers { title: format!("{chart}: cards and sheet"), pages }
}

/// In the language of the house, or English where the tool does not have it.
pub fn house_words<'w>(plan: &Plan<'_>) -> &'w Catalogue {
    Catalogue::built_in(&plan.house().language.value).unwrap_or_else(Catalogue::english)
}

/// The staff card of one visit alone; a hold card while the case is blocked.
pub fn of_visit(plan: &Plan<'_>, number: usize) -> Option<Papers> {
    if !plan.blocking().is_empty() {
        return Some(hold(plan));
    }
    let card = card::staff_card(plan, number)?;
    let title = format!("{}: {}", card.head.chart, dates::long(card.head.date));
    let pages = vec![Page { name: title.clone(), body: Body::Staff(Box::new(card)) }];
    Some(Papers { title, pages })
}

fn hold(plan: &Plan<'_>) -> Papers {
    let title = format!("{}: hold", masked(&plan.case.chart));
    let pages = vec![Page { name: "Hold".to_owned(), body: Body::Hold(card::hold_card(plan)) }];
    Papers { title, pages }
}

/// The hold card of a file that could not be read as a case.
pub fn of_unread(chart: &str, stamp: &PrintStamp) -> Papers {
    let card = card::hold_card_unread(chart, stamp);
    let title = format!("{}: hold", card.chart);
    Papers { title, pages: vec![Page { name: "Hold".to_owned(), body: Body::Hold(card) }] }
}

fn course(plan: &Plan<'_>) -> Option<CoursePage> {
    let row = |i: usize| {
        let (visit, number) = (&plan.forecast.visits[i], plan.number_of(i));
        let seen = if visit.recorded.is_some() { ", seen" } else { "" };
        [
            format!("{number}{seen}"),
            dates::long(visit.date),
            what(plan, number, Arch::Upper),
            what(plan, number, Arch::Lower),
            format!("{} min", plain(visit.minutes)),
        ]
    };
    Some(CoursePage {
        chart: masked(&plan.case.chart),
        title: "Treatment forecast",
        how_to_read: HOW_TO_READ,
        drawing: draw::timeline(plan)?,
        entered: preview::entered(plan.case, OcclusalSize::Small),
        head: ["Visit", "Date", "Upper", "Lower", "Time"],
        rows: (0..plan.forecast.visits.len()).map(row).collect(),
        note: note(plan),
        stamp: plan.stamp.line(),
    })
}

fn what(plan: &Plan<'_>, number: usize, arch: Arch) -> String {
    let today = VisitToday::of(plan, number);
    match today.as_ref().map(|t| t.visit.kind) {
        Some(Task::Debond) if plan.case.arch(arch).is_none_or(|a| a.steps.is_empty()) => {
            return String::new();
        }
        Some(Task::Debond) if today.as_ref().is_some_and(|t| t.is_retained(arch)) => {
            return "debond, retainer".to_owned();
        }
        Some(Task::Debond) => return "debond".to_owned(),
        Some(Task::RetainerCheck) => return "check retainers".to_owned(),
        _ => {}
    }
    let Some(here) = today.as_ref().and_then(|t| t.arch(arch)) else { return String::new() };
    let name = |m: InMouth<'_>| m.state.wire.names();
    match (here.now, here.next) {
        (None, Some(next)) => format!("{} in", name(next)),
        (Some(now), Some(_)) if here.expected() && here.same_wire() => {
            format!("keep {}, next step", name(now))
        }
        (Some(now), Some(next)) if here.expected() => {
            format!("change {} to {}", name(now), name(next))
        }
        (Some(now), _) => format!("keep {}", name(now)),
        (None, None) => String::new(),
    }
}

fn nothing(plan: &Plan<'_>) -> NothingPage {
    NothingPage {
        chart: masked(&plan.case.chart),
        title: "No visit planned",
        text: format!("The plan has no visit to come: {}.", plan.why_no_visit()),
        stamp: plan.stamp.line(),
    }
}

/// What the picture takes for granted.
fn note(plan: &Plan<'_>) -> Option<String> {
    let assumed = assumed(plan).map(|teeth| format!("Not described, assumed in line: {teeth}."));
    let coarse = [wording::patterns(plan.case), wording::in_words(plan.case)];
    let notes = coarse.into_iter().flatten().chain(assumed).chain(chair_tests(plan));
    let notes: Vec<String> = notes.collect();
    (!notes.is_empty()).then(|| notes.join(" "))
}

/// The chair test as forecast for the next visit, arch by arch.
fn chair_tests(plan: &Plan<'_>) -> Option<String> {
    let (number, visit) = plan.coming().next()?;
    let today = VisitToday::of(plan, number)?;
    let on = dates::long(visit.date);
    let said: Vec<String> = today
        .arches
        .iter()
        .filter_map(|arch| {
            // Only a wire that waits until it is passive is tested.
            let now = arch.now.filter(|n| n.step.until.value.terms.contains(&Term::Passive))?;
            let said = now.phase.chair_says(plan.house(), visit.date, now.acts())?;
            Some(format!("{} chair test on {on}: {said}.", wording::arch(arch.arch.arch)))
        })
        .collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Teeth whose stand nobody described; they are taken as in line.
fn assumed(plan: &Plan<'_>) -> Option<String> {
    let mut teeth = Vec::new();
    for arch in &plan.case.arches {
        teeth.extend(arch.bonded.keys().filter(|t| !arch.stands.contains_key(t)).copied());
    }
    (!teeth.is_empty()).then(|| wording::list(&teeth, plan.notation()))
}
