//! The staff card: one visit on one page, in the order in which the chair works.

mod call;
mod doing;
mod examine;
mod finish;
mod hold;
mod lay_out;
mod record;
mod repair;
mod test;
mod today;

use jiff::civil::Date;
use serde::Serialize;

pub use hold::{HoldCard, hold_card, hold_card_unread};
pub use repair::{MAY, RepairCard, RepairRow, repair_card};

use super::draw::{self, Drawing};
use super::picture::MouthPicture;
use super::plan::{Plan, VisitToday};
use super::{own_words, worn};
use crate::model::house::Task;
use crate::model::tooth::Arch;

/// Everything on the card, in its order, as words: HTML and PDF are made of this.
#[derive(Debug, Clone, PartialEq)]
pub struct StaffCard {
    pub head: Head,
    /// One line an arch.
    pub today: Vec<String>,
    /// Why this step stands here, where the house sequence has none.
    pub unusual: Vec<String>,
    /// That it was printed before an earlier visit, and may not hold after it.
    pub ahead: Option<String>,
    pub lay_out: Vec<Tray>,
    pub ask: Vec<String>,
    pub look: Vec<String>,
    pub measure: Vec<Blank>,
    pub tests: Vec<Test>,
    pub drawing: Drawing,
    pub doing: Vec<ArchDoing>,
    pub ends: Vec<EndRow>,
    pub ends_note: Option<&'static str>,
    pub fit_check: Vec<String>,
    pub elastics: Vec<ElasticRow>,
    pub tell: Vec<String>,
    pub next: Vec<String>,
    pub record: Vec<RecordLine>,
    pub call: Vec<String>,
    pub accepted: Vec<String>,
    pub stamp: String,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Head {
    pub practice: String,
    pub chart: String,
    pub number: usize,
    pub of: usize,
    pub date: Date,
    pub minutes: f64,
    pub kind: String,
    pub doctor: Option<String>,
}

/// What is laid out together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Tray {
    /// "Upper", "Lower, only if the test is passed"; empty where it is for all.
    pub heading: String,
    pub items: Vec<String>,
}

/// Something to be measured and written in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Blank {
    pub what: String,
    pub unit: &'static str,
}

/// A question with two answers and what follows from each.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Test {
    pub arch: Arch,
    pub question: String,
    /// How it is done, whichever the arch.
    pub how: Vec<String>,
    /// Which teeth in this arch, and what to mind there.
    pub where_to: Vec<String>,
    pub yes: String,
    pub yes_do: Vec<String>,
    pub no: String,
    pub no_do: Vec<String>,
}

/// What is taken out and put in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchDoing {
    pub arch: Arch,
    pub heading: String,
    pub lines: Vec<DoLine>,
}

/// One action.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DoLine {
    pub text: String,
    /// Unlike the usual: what the house has instead.
    pub house: Option<String>,
}

impl DoLine {
    pub fn usual(text: impl Into<String>) -> DoLine {
        DoLine { text: text.into(), house: None }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EndRow {
    /// "Upper", "Lower", "Both arches".
    pub arches: String,
    pub right: String,
    pub left: String,
    pub unusual: bool,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ElasticRow {
    pub side: String,
    pub what: String,
    pub from_to: String,
    pub hours: String,
}

/// A line of the form, in the words that the record is written with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordLine(pub Vec<RecordPart>);

#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RecordPart {
    Word(String),
    /// A box to tick, with the word it stands for.
    Tick(String),
    /// Room to write, with its unit.
    Write(&'static str),
    /// What the words before it mean; nothing to fill in.
    Key(&'static str),
}

/// The card of one visit; `None` where the course has no such visit. `number` counts from 1.
pub fn staff_card(plan: &Plan<'_>, number: usize) -> Option<StaffCard> {
    let today = VisitToday::of(plan, number)?;
    let worn = worn::worn(plan, &today);
    let drawing = drawing(plan, &today, &worn);
    let tests = test::tests(plan, &today);
    Some(StaffCard {
        head: Head {
            practice: own_words(&plan.house().title),
            chart: own_words(&plan.case.chart),
            number,
            of: plan.forecast.visits.len(),
            date: today.visit.date,
            minutes: today.visit.minutes,
            kind: today::kind(today.visit.kind).to_owned(),
            doctor: plan.case.doctor.as_deref().map(own_words),
        },
        today: today::lines(plan, &today),
        unusual: today::unusual(plan, &today),
        ahead: today::ahead(plan, &today),
        lay_out: lay_out::list(plan, &today, &worn),
        ask: examine::ask(plan, &today),
        look: examine::look(plan, &today),
        measure: examine::measure(plan, &today, &worn),
        drawing,
        doing: doing::doing(plan, &today),
        ends: finish::ends(&today),
        ends_note: finish::ends_note(&today),
        fit_check: finish::fit_check(&today),
        elastics: finish::elastics(plan, &worn),
        tell: finish::tell(plan, &today),
        next: finish::next(plan, &today, &tests),
        record: record::form(plan, &today, &worn),
        call: call::list(plan, &today, !tests.is_empty()),
        tests,
        accepted: call::accepted(plan, &today),
        stamp: plan.stamp.line(),
    })
}

fn drawing(
    plan: &Plan<'_>,
    today: &VisitToday<'_>,
    worn: &[&crate::model::case::Elastics],
) -> Drawing {
    let state = |arch: Arch| today.arch(arch).and_then(|a| a.after()).map(|m| m.state);
    let on = |i: usize| {
        plan.case.elastics.get(i).is_some_and(|e| worn.iter().any(|w| std::ptr::eq(*w, e)))
    };
    let picture = MouthPicture::of(plan.case, Some(today.visit.date), state, on);
    let early = today.arches.iter().any(|a| a.now.is_some() && a.next.is_some() && !a.expected());
    let title = if today.visit.kind == Task::Debond {
        "In the mouth when the patient comes"
    } else if today.arches.iter().any(|a| a.next.is_some() && a.expected()) {
        "When the patient leaves, changed as planned"
    } else {
        "When the patient leaves, nothing changed"
    };
    let but = if early { "; steps \u{201c}only if\u{201d} are not drawn" } else { "" };
    draw::mouth(&picture, plan.notation(), &format!("{title}{but}"))
}
