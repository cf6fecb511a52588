//! The sheet the patient takes home, in plain words.
//!
//! The English and Spanish texts are held by test to a reading age of twelve (Flesch-Kincaid) and
//! to "easy" (Fernandez Huerta).

use super::own_words;
use super::plan::{Plan, VisitToday};
use super::words::{Catalogue, reading};
use super::worn;
use crate::model::house::Task;
use crate::model::quantity::plain;
use crate::model::step::{ActKind, Activation};
use crate::model::tooth::{Arch, Side};

/// A heading with what stands under it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    pub heading: String,
    pub lines: Vec<String>,
    pub list: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PatientSheet {
    pub language: String,
    pub direction: &'static str,
    pub title: String,
    pub chart: String,
    pub practice: String,
    pub next_heading: String,
    pub next: Vec<String>,
    /// Room for another date, where the visit did not go as planned.
    pub next_other: String,
    pub sections: Vec<Section>,
    pub call: Section,
    pub urgent: String,
    pub contact_heading: String,
    /// The practice's own words, or a line to fill in.
    pub contact: String,
    pub notes: Section,
    pub safety: String,
    /// How easy the sheet is to read, measured on its own text; empty for a language without a formula.
    pub reading: String,
    pub stamp: String,
}

impl PatientSheet {
    /// All its words in reading order, a sentence a line.
    pub fn text(&self) -> String {
        let mut out = vec![format!("{}.", self.title)];
        out.extend(self.next.iter().cloned());
        out.push(self.next_other.clone());
        for section in self.sections.iter().chain([&self.call, &self.notes]) {
            let end = if section.list { "." } else { "" };
            out.push(format!("{}.", section.heading));
            out.extend(section.lines.iter().map(|l| format!("{l}{end}")));
        }
        out.extend([self.urgent.clone(), self.safety.clone()]);
        out.join("\n")
    }
}

/// The sheet for the visit of that number (from 1), in the language of the catalogue.
pub fn patient_sheet(plan: &Plan<'_>, number: usize, words: &Catalogue) -> Option<PatientSheet> {
    let today = VisitToday::of(plan, number)?;
    let written = |key: &str| plan.house().patient_texts.get(key).map(|t| own_words(t));
    // The house writes its texts in its own language; on a sheet in another they would stand foreign.
    let native = same_language(&plan.house().language.value, words.language());
    let own = |key: &str| written(key).filter(|_| native);
    let get = |key: &str| own(key).unwrap_or_else(|| words.get(key).to_owned());
    let section = |key: &str, lines: Vec<String>| Section {
        heading: words.get(&format!("sheet.{key}")).to_owned(),
        lines,
        list: false,
    };
    let mut did = section("today", done(&today, words));
    did.heading = words.fill("sheet.today", &[("date", &words.date(today.visit.date))]);
    let mut sections = vec![did];
    if today.visit.kind == Task::Debond || today.visit.kind == Task::RetainerCheck {
        sections.push(section("retainer", vec![get("sheet.retainer.text")]));
    } else {
        let why = own("wire-stays").unwrap_or_else(|| words.get("sheet.why.text").to_owned());
        let feel = own("soreness").unwrap_or_else(|| words.get("sheet.feel.text").to_owned());
        sections.push(section("why", vec![why]));
        sections.push(section("feel", vec![feel]));
        let elastics = elastics(plan, &today, words);
        if !elastics.is_empty() {
            sections.push(section("elastics", elastics));
        }
        sections.push(section("care", vec![get("sheet.care.text")]));
    }
    let call: Vec<String> =
        (1..=4).map(|i| words.get(&format!("sheet.call.{i}")).to_owned()).collect();
    let mut sheet = PatientSheet {
        language: words.language().to_owned(),
        direction: words.direction(),
        title: words.get("sheet.title").to_owned(),
        chart: own_words(&plan.case.chart),
        practice: own_words(&plan.house().title),
        next_heading: words.get("sheet.next").to_owned(),
        next: next(&today, words),
        next_other: words.get("sheet.next.other").to_owned(),
        sections,
        call: Section { list: true, ..section("call", call) },
        urgent: words.get("sheet.call.now").to_owned(),
        contact_heading: words.get("sheet.contact").to_owned(),
        contact: written("contact").unwrap_or_else(|| words.get("sheet.contact.blank").to_owned()),
        notes: section("notes", vec![words.get("sheet.notes.text").to_owned()]),
        safety: words.get("sheet.safety").to_owned(),
        reading: String::new(),
        stamp: plan.stamp.line(),
    };
    sheet.reading = reading(&sheet.text(), words);
    Some(sheet)
}

/// "en" and "en-GB" are read by the same people.
fn same_language(a: &str, b: &str) -> bool {
    let main = |tag: &str| tag.split('-').next().unwrap_or_default().to_lowercase();
    main(a) == main(b)
}

/// Stated on the page, so that nobody has to believe it: the formula is named.
fn reading(text: &str, words: &Catalogue) -> String {
    match words.get("formula") {
        // A catalogue that names no language of its own is judged by no formula.
        _ if words.own("formula").is_none() => String::new(),
        "flesch-kincaid" => {
            let age = format!("{:.0}", reading::age_english(text).max(5.0));
            words.fill("sheet.reading", &[("figure", &age)])
        }
        "fernandez-huerta" => {
            let ease = format!("{:.0}", reading::ease_spanish(text).clamp(0.0, 100.0));
            words.fill("sheet.reading", &[("figure", &ease)])
        }
        _ => String::new(),
    }
}

fn next(today: &VisitToday<'_>, words: &Catalogue) -> Vec<String> {
    match today.then {
        Some(then) => vec![
            words.fill("sheet.next.on", &[("date", &words.date(then.date))]),
            words.fill("sheet.next.length", &[("minutes", &plain(then.minutes))]),
        ],
        None => vec![words.get("sheet.next.none").to_owned()],
    }
}

/// What was done, as far as the patient sees it.
fn done(today: &VisitToday<'_>, words: &Catalogue) -> Vec<String> {
    if today.visit.kind == Task::Debond {
        return vec![words.get("sheet.off").to_owned()];
    }
    let mut out = Vec::new();
    if today.arches.iter().any(|a| a.now.is_none() && a.next.is_some()) {
        out.push("sheet.bonded");
    }
    let changed = |arch: Arch| {
        today.arch(arch).is_some_and(|a| match (a.now, a.next) {
            (Some(now), Some(next)) => a.expected() && !now.state.wire.same_wires(&next.state.wire),
            _ => false,
        })
    };
    match (changed(Arch::Upper), changed(Arch::Lower)) {
        (true, true) => out.push("sheet.new-wire.both"),
        (true, false) => out.push("sheet.new-wire.upper"),
        (false, true) => out.push("sheet.new-wire.lower"),
        (false, false) if out.is_empty() => out.push("sheet.same-wire"),
        (false, false) => {}
    }
    let acts = || today.arches.iter().filter_map(|a| a.after()).flat_map(|m| &m.state.acts);
    if acts().any(|a| {
        matches!(&a.kind, ActKind::OpenCoil { activation, .. } if *activation != Activation::Passive)
    }) {
        out.push("sheet.coil");
    }
    if acts().any(|a| matches!(a.kind, ActKind::Bypass { .. })) {
        out.push("sheet.not-in-wire");
    }
    if acts().any(|a| matches!(a.kind, ActKind::BiteRaisers { .. })) {
        out.push("sheet.raisers");
    }
    out.into_iter().map(|key| words.get(key).to_owned()).collect()
}

fn elastics(plan: &Plan<'_>, today: &VisitToday<'_>, words: &Catalogue) -> Vec<String> {
    let worn = worn::worn(plan, today);
    let mut out: Vec<String> = worn
        .iter()
        .flat_map(|e| &e.runs)
        .map(|run| {
            let key = match run.side {
                Side::Right => "sheet.elastics.line.right",
                Side::Left => "sheet.elastics.line.left",
            };
            words.fill(key, &[("hours", &plain(run.hours_a_day))])
        })
        .collect();
    if !out.is_empty() {
        out.push(words.get("sheet.elastics.text").to_owned());
    }
    out
}
