//! The staff card: one visit on one page, in the order of work at the chair.

mod action;
mod call;
mod comes_off;
mod condition;
mod debond;
mod examine;
mod expander;
mod finish;
mod first;
pub mod fit;
mod from_the_bite;
mod hold;
mod lay_out;
mod left_over;
pub(crate) mod record;
mod repair;
mod spaces;
mod test;
pub(crate) mod today;
mod wire_change;
mod wire_left_in;
mod wire_out;

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Serialize;

pub use hold::{HoldCard, hold_card, hold_card_unread};
pub use repair::{MAY, RepairCard, RepairRow, repair_card};

use super::draw::{self, Drawing};
use super::picture::MouthPicture;
use super::plan::{Plan, VisitToday};
use super::{dates, masked, wording};
use springline_course::teeth_bonded;
use springline_model::house::Task;
use springline_units::tooth::{Arch, Tooth};

/// Everything on the card, in its order, as words: HTML and PDF are made of this.
#[derive(Debug, Clone, PartialEq)]
pub struct StaffCard {
    pub head: Head,
    /// Before anything else: what the records left open.
    pub first: Vec<String>,
    /// One line an arch.
    pub today: Vec<String>,
    /// Reason for a step that the usual sequence does not have.
    pub unusual: Vec<String>,
    /// That it was printed before an earlier visit, and may not hold after it.
    pub ahead: Option<String>,
    pub lay_out: Vec<Tray>,
    pub ask: Vec<String>,
    pub look: Vec<String>,
    pub measure: Vec<Blank>,
    pub measure_how: Option<String>,
    pub tests: Vec<Test>,
    pub drawing: Drawing,
    /// The arches from the bite, where a wire goes in.
    pub from_the_bite: Option<Drawing>,
    pub doing: Vec<ArchActions>,
    pub fit_check: Vec<String>,
    pub elastics: Vec<ElasticRow>,
    pub elastics_doubt: Option<String>,
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
    /// With what is only done if a test is passed early.
    pub minutes_if: Option<f64>,
    pub kind: String,
    pub doctor: Option<String>,
}

/// What is laid out together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Tray {
    /// "Upper", "Lower, only if passive"; empty where it is for all.
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

/// What is removed and inserted.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ArchActions {
    pub arch: Arch,
    pub heading: String,
    pub lines: Vec<ActionLine>,
}

/// One action.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ActionLine {
    pub text: String,
    /// Unlike the usual: that it is, and what is usual.
    pub house: Option<String>,
}

impl ActionLine {
    pub fn usual(text: impl Into<String>) -> ActionLine {
        ActionLine { text: text.into(), house: None }
    }
}

#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ElasticRow {
    pub side: String,
    pub what: String,
    pub from_to: String,
    pub hours: String,
    pub until: String,
}

impl StaffCard {
    /// What is done, an arch together.
    pub fn by_arch(&self) -> Vec<Vec<&ArchActions>> {
        let mut out: Vec<Vec<&ArchActions>> = Vec::new();
        for arch in Arch::BOTH {
            let here: Vec<&ArchActions> = self.doing.iter().filter(|d| d.arch == arch).collect();
            if !here.is_empty() {
                out.push(here);
            }
        }
        out
    }

    /// Until when all elastics are worn, where that is the same for all of them.
    pub fn elastics_until(&self) -> Option<String> {
        let (first, rest) = self.elastics.split_first()?;
        let same = rest.iter().all(|row| row.until == first.until);
        same.then(|| format!("Wear them until {}.", first.until))
    }
}

impl ArchActions {
    /// What the frames mean, where there are any.
    pub fn key(&self) -> Option<&'static str> {
        self.lines.iter().any(|l| l.house.is_some()).then_some("Framed: not usual here.")
    }
}

/// A line of the form, in the words that the record is written with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecordLine(pub Vec<RecordPart>);

#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RecordPart {
    Word(String),
    /// A checkbox with its word.
    Tick(String),
    /// Room to write, with its unit.
    Write(&'static str),
    /// What the words before it mean; nothing to fill in.
    Key(String),
}

/// The card of one visit; `None` where the course has no such visit. `number` counts from 1.
pub fn staff_card(plan: &Plan<'_>, number: usize) -> Option<StaffCard> {
    let today = VisitToday::of(plan, number)?;
    let worn = today.worn(plan);
    let loose = today.loose(plan);
    let drawing = drawing(plan, &today, &loose);
    let measures = examine::measures(plan, &today);
    let tests = test::tests(plan, &today);
    let card = StaffCard {
        head: Head {
            practice: masked(&plan.house().title),
            chart: masked(&plan.case.chart),
            number,
            of: plan.visits_in_all(),
            date: today.visit.date,
            minutes: today.visit.minutes,
            minutes_if: today::minutes_if(plan, &today),
            kind: today::kind(today.visit.kind).to_owned(),
            doctor: plan.case.doctor.as_deref().map(masked),
        },
        first: first::lines(plan, &today, &loose),
        today: today::lines(plan, &today),
        unusual: today::unusual(plan, &today),
        ahead: today::ahead(plan, &today),
        lay_out: lay_out::list(plan, &today),
        ask: examine::ask(plan, &today),
        look: examine::look(plan, &today),
        measure: measures.blanks(plan),
        measure_how: examine::how_measured(plan, &measures),
        drawing,
        from_the_bite: None,
        doing: comes_off::comes_off(plan, &today)
            .into_iter()
            .chain(wire_change::wire_change(plan, &today, &loose))
            .chain(expander::lines(plan, &today))
            .collect(),
        fit_check: finish::fit_check(&today),
        elastics: finish::elastics(plan, &today),
        elastics_doubt: finish::elastics_doubt(plan, &worn),
        tell: finish::wire_end_sentences(plan, &today),
        next: finish::next(plan, &today, &tests),
        record: record::form(plan, &today),
        call: call::list(plan, &today, !tests.is_empty()),
        tests,
        accepted: call::accepted(plan, &today),
        stamp: plan.stamp.line(),
    };
    Some(from_the_bite::with_picture(card, plan, &today))
}

fn drawing(plan: &Plan<'_>, today: &VisitToday<'_>, loose: &BTreeMap<Tooth, Date>) -> Drawing {
    let mut picture = MouthPicture::after(plan, today);
    let mended: Vec<Tooth> = today
        .arches
        .iter()
        .filter(|a| a.expected())
        .filter_map(|a| a.next)
        .flat_map(|m| m.step.acts.iter().flat_map(teeth_bonded))
        .collect();
    picture.without_brackets(loose.keys().copied().filter(|t| !mended.contains(t)));
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
