//! The patient sheet, in plain words.
//!
//! Tests hold the English text to a reading age of eleven (Flesch-Kincaid) and the Spanish one to "easy"
//! (Fernandez Huerta).

use super::draw::{self, Drawing};
use super::masked;
use super::patient_texts::Catalogue;
use super::picture::MouthPicture;
use super::plan::{Plan, VisitToday};
use super::treatment_time;
use springline_model::house::Task;
use springline_model::step::{ActKind, Activation};
use springline_units::quantity::plain;
use springline_units::tooth::{Arch, Side, Tooth};

/// A heading with its content.
#[derive(Debug, Clone, PartialEq)]
pub struct SheetSection {
    pub heading: String,
    pub lines: Vec<String>,
    pub list: bool,
    pub picture: Option<Drawing>,
}

#[derive(Debug, Clone, PartialEq)]
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
    pub sections: Vec<SheetSection>,
    pub call: SheetSection,
    pub urgent: String,
    pub contact_heading: String,
    /// The practice's telephone or own words; where it has neither, the beginning of a line to fill in.
    pub contact: String,
    /// The line has to be filled in by hand.
    pub contact_blank: bool,
    pub notes: SheetSection,
    pub safety: String,
    pub stamp: String,
}

impl PatientSheet {
    /// All its words in reading order, a sentence a line.
    pub fn text(&self) -> String {
        let mut out = vec![format!("{}.", self.title)];
        out.extend(self.next.iter().cloned());
        out.push(self.next_other.clone());
        for section in self.sections.iter().chain([&self.call, &self.notes]) {
            out.push(format!("{}.", section.heading));
            // Items of a list may do without their full stop.
            out.extend(section.lines.iter().map(|l| format!("{}.", l.trim_end_matches('.'))));
        }
        out.extend([self.urgent.clone(), self.safety.clone()]);
        out.join("\n")
    }
}

/// The sheet for the visit of that number (from 1), in the language of the catalogue.
pub fn patient_sheet(plan: &Plan<'_>, number: usize, words: &Catalogue) -> Option<PatientSheet> {
    let today = VisitToday::of(plan, number)?;
    // The practice's own texts are used only in the sheet's language.
    let own = |key: &str| plan.house().patient_text(key, words.language()).map(masked);
    let worded =
        |key: &str, general: &str| own(key).unwrap_or_else(|| words.get(general).to_owned());
    let section = |key: &str, lines: Vec<String>| SheetSection {
        heading: words.get(&format!("sheet.{key}")).to_owned(),
        lines,
        list: false,
        picture: None,
    };
    let mut sections = vec![what_is_done(&today, words)];
    if today.visit.kind == Task::Debond || today.visit.kind == Task::RetainerCheck {
        sections.push(section("retainer", vec![worded("retainer", "sheet.retainer.text")]));
    } else {
        sections.push(section("why", vec![worded("wire-stays", "sheet.why.text")]));
        sections.push(section("feel", vec![worded("soreness", "sheet.feel.text")]));
        sections.extend(elastics(plan, &today, words));
        sections.push(section("care", vec![words.get("sheet.care.text").to_owned()]));
        sections.extend(how_long(plan, words));
    }
    let call: Vec<String> =
        (1..=4).map(|i| words.get(&format!("sheet.call.{i}")).to_owned()).collect();
    let contact = own("contact").or_else(|| {
        // A number that the practice gives its patients: nothing to be masked.
        let number = springline_text::visible::line(plan.house().telephone.as_deref()?);
        Some(words.fill("sheet.contact.phone", &[("number", &number)]))
    });
    Some(PatientSheet {
        language: words.language().to_owned(),
        direction: words.direction(),
        title: words.get("sheet.title").to_owned(),
        chart: masked(&plan.case.chart),
        practice: masked(&plan.house().title),
        next_heading: next_heading(&today, words),
        next: next(&today, words),
        next_other: words.get("sheet.next.other").to_owned(),
        sections,
        call: SheetSection { list: true, ..section("call", call) },
        urgent: words.get("sheet.call.now").to_owned(),
        contact_heading: words.get("sheet.contact").to_owned(),
        contact_blank: contact.is_none(),
        contact: contact.unwrap_or_else(|| words.get("sheet.contact.blank").to_owned()),
        notes: section("notes", vec![words.get("sheet.notes.text").to_owned()]),
        safety: words.get("sheet.safety").to_owned(),
        stamp: plan.stamp.line(),
    })
}

/// A sheet printed before its visit speaks of two days to come; the one after is said to be that.
fn next_heading(today: &VisitToday<'_>, words: &Catalogue) -> String {
    match today.visit.recorded {
        Some(_) => words.get("sheet.next").to_owned(),
        None => words.fill("sheet.next.after", &[("date", &words.date(today.visit.date))]),
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

/// What was done, as far as the patient sees it; what is planned, while no record says that it was.
fn what_is_done(today: &VisitToday<'_>, words: &Catalogue) -> SheetSection {
    let (heading, tense) = match today.visit.recorded {
        Some(_) => ("sheet.today", "sheet.done"),
        None => ("sheet.planned", "sheet.plan"),
    };
    let keys = done(today);
    let text = |key: &&str| match key.strip_prefix('.') {
        Some(key) => words.get(&format!("{tense}.{key}")).to_owned(),
        None => words.get(key).to_owned(),
    };
    SheetSection {
        heading: words.fill(heading, &[("date", &words.date(today.visit.date))]),
        lines: keys.iter().map(text).collect(),
        list: false,
        picture: None,
    }
}

/// Keys of what is said; those with a full stop first are said as planned or as done.
fn done(today: &VisitToday<'_>) -> Vec<&'static str> {
    match today.visit.kind {
        Task::Debond => return vec![".off"],
        Task::RetainerCheck => return vec!["sheet.retainer-check"],
        _ => {}
    }
    let mut out = Vec::new();
    if today.arches.iter().any(|a| a.now.is_none() && a.next.is_some()) {
        out.push(".bonded");
    }
    let changed = |arch: Arch| {
        today.arch(arch).is_some_and(|a| match (a.now, a.next) {
            (Some(now), Some(next)) => a.expected() && !now.state.wire.same_wires(&next.state.wire),
            _ => false,
        })
    };
    match (changed(Arch::Upper), changed(Arch::Lower)) {
        (true, true) => out.push(".new-wire.both"),
        (true, false) => out.push(".new-wire.upper"),
        (false, true) => out.push(".new-wire.lower"),
        (false, false) if out.is_empty() => out.push("sheet.same-wire"),
        (false, false) => {}
    }
    let acts = || today.arches.iter().flat_map(|a| a.acts_after());
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
    out
}

/// Which band goes from which tooth to which, in words and as a mirror shows it.
fn elastics(plan: &Plan<'_>, today: &VisitToday<'_>, words: &Catalogue) -> Option<SheetSection> {
    // Whether those whose measure is due go on is known only at the visit; the patient needs their way then.
    let worn = today.worn_or_undecided().filter_map(|(i, _)| plan.case.elastics.get(i));
    let mouth = MouthPicture::after(plan, today);
    let tooth = |tooth: &Tooth| {
        let arch = mouth.arches().find(|a| a.arch == tooth.arch())?;
        let number = draw::counted(arch, *tooth)?.to_string();
        let key = match tooth.arch() {
            Arch::Upper => "sheet.tooth.upper",
            Arch::Lower => "sheet.tooth.lower",
        };
        Some(words.fill(key, &[("number", &number)]))
    };
    let mut lines: Vec<String> = worn
        .flat_map(|e| &e.runs)
        .filter_map(|run| {
            let key = match run.side {
                Side::Right => "sheet.elastics.right",
                Side::Left => "sheet.elastics.left",
            };
            let teeth: Option<Vec<String>> = run.teeth.iter().map(tooth).collect();
            let teeth = teeth?.join(&format!(" {} ", words.get("sheet.elastics.to")));
            let hours = plain(run.hours_a_day);
            let size =
                run.elastic.size_text.clone().unwrap_or_else(|| run.elastic.name.to_string());
            Some(words.fill(key, &[("teeth", &teeth), ("hours", &hours), ("band", &size)]))
        })
        .collect();
    if lines.is_empty() {
        return None;
    }
    let told = draw::BandsLegend {
        title: words.get("sheet.elastics.picture"),
        description: lines.join(" "),
        right: words.get("sheet.side.right"),
        left: words.get("sheet.side.left"),
    };
    let picture = draw::bands(&mouth, told);
    lines.push(words.get("sheet.elastics.count").to_owned());
    lines.push(words.get("sheet.elastics.text").to_owned());
    let heading = words.get("sheet.elastics").to_owned();
    Some(SheetSection { heading, lines, list: true, picture })
}

/// The whole treatment as a range of months, where its end is foreseen.
fn how_long(plan: &Plan<'_>, words: &Catalogue) -> Option<SheetSection> {
    let (from, to) = treatment_time::months(plan)?;
    let (from, to) = (from.to_string(), to.to_string());
    let key = if from == to { "sheet.total.one" } else { "sheet.total.text" };
    Some(SheetSection {
        heading: words.get("sheet.total").to_owned(),
        lines: vec![words.fill(key, &[("from", &from), ("to", &to)])],
        list: false,
        picture: None,
    })
}
