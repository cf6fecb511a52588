//! The patient sheet, in plain words.
//!
//! Tests hold the English text to a reading age of eleven (Flesch-Kincaid) and the Spanish one to "easy"
//! (Fernandez Huerta).

use super::draw::{self, Drawing};
use super::elastics_today::WornIf;
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
    let mut sections = vec![what_is_done(plan, &today, words)];
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
        next: next(plan, &today, words),
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

fn next(plan: &Plan<'_>, today: &VisitToday<'_>, words: &Catalogue) -> Vec<String> {
    let off = matches!(today.visit.kind, Task::Debond | Task::RetainerCheck);
    let check = plan.case.retention.as_ref().and_then(|r| r.check).filter(|_| off);
    match (today.then, check) {
        (Some(then), _) => vec![
            words.fill("sheet.next.on", &[("date", &words.date(then.date))]),
            words.fill("sheet.next.length", &[("minutes", &plain(then.minutes))]),
        ],
        (None, Some(every)) if every.days() > SOON_DAYS => {
            let months = plain((every.days() / treatment_time::MONTH).round());
            vec![words.fill("sheet.next.check", &[("months", &months)])]
        }
        (None, _) => vec![words.get("sheet.next.none").to_owned()],
    }
}

/// A check sooner than this is not told in months: "1 months" would be read as a mistake.
const SOON_DAYS: f64 = 1.5 * treatment_time::MONTH;

/// What was done, as far as the patient sees it; what is planned, while no record says that it was.
fn what_is_done(plan: &Plan<'_>, today: &VisitToday<'_>, words: &Catalogue) -> SheetSection {
    let (heading, tense) = match today.visit.recorded {
        Some(_) => ("sheet.today", "sheet.done"),
        None => ("sheet.planned", "sheet.plan"),
    };
    let keys = done(plan, today);
    let text = |key: &&str| match key.strip_prefix('.') {
        Some(key) => words.get(&format!("{tense}.{key}")).to_owned(),
        None => words.get(key).to_owned(),
    };
    SheetSection {
        heading: words.fill(heading, &[("date", &words.date(today.visit.date))]),
        lines: keys.iter().map(text).chain(surgery(plan, today, words)).collect(),
        list: false,
        picture: None,
    }
}

/// A tooth that is laid open before the next visit.
fn surgery(plan: &Plan<'_>, today: &VisitToday<'_>, words: &Catalogue) -> Option<String> {
    let (on, _) = today.exposed_before_next(plan).into_iter().next()?;
    Some(words.fill("sheet.surgery", &[("date", &words.date(on))]))
}

/// Keys of what is said; those with a full stop first are said as planned or as done.
fn done(plan: &Plan<'_>, today: &VisitToday<'_>) -> Vec<&'static str> {
    match today.visit.kind {
        Task::Debond => return vec![".off"],
        Task::RetainerCheck => return vec!["sheet.retainer-check"],
        _ => {}
    }
    let mut out = Vec::new();
    let begins = |arch: Arch| today.arch(arch).is_some_and(|a| a.now.is_none() && a.next.is_some());
    let treated = plan.case.arches.iter().filter(|a| !a.steps.is_empty()).count();
    match (begins(Arch::Upper), begins(Arch::Lower)) {
        (false, false) => {}
        (true, false) if treated > 1 => out.push(".bonded.upper"),
        (false, true) if treated > 1 => out.push(".bonded.lower"),
        _ => out.push(".bonded"),
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
    let put_on = today.arches.iter().filter(|a| a.expected() && a.now.is_some());
    if put_on.flat_map(|a| a.put_on()).any(|a| matches!(a.kind, ActKind::PickUp { .. })) {
        out.push(".bracket");
    }
    let acts = || today.arches.iter().flat_map(|a| a.acts_after());
    for (is, key) in [
        ((|k| matches!(k, ActKind::ClosingCoil { .. })) as fn(&ActKind) -> bool, "sheet.closing"),
        (|k| matches!(k, ActKind::Traction { .. }), "sheet.traction"),
        (|k| matches!(k, ActKind::Piggyback { .. }), "sheet.overlay"),
    ] {
        if acts().any(|a| is(&a.kind)) {
            out.push(key);
        }
    }
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
    let worn = today.elastics_today(plan);
    let last = worn.iter().filter_map(|e| today.last_day_of(plan, e.index)).max();
    let worn = worn.iter().filter_map(|e| Some((e, plan.case.elastics.get(e.index)?)));
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
        .flat_map(|(here, e)| e.runs.iter().map(move |run| (here, run)))
        .filter_map(|(here, run)| {
            let key = match run.side {
                Side::Right => "sheet.elastics.right",
                Side::Left => "sheet.elastics.left",
            };
            let teeth: Option<Vec<String>> = run.teeth.iter().map(tooth).collect();
            let teeth = teeth?.join(&format!(" {} ", words.get("sheet.elastics.to")));
            let hours = plain(run.hours_a_day);
            let size =
                run.elastic.size_text.clone().unwrap_or_else(|| run.elastic.name.to_string());
            let what = words.fill(key, &[("teeth", &teeth), ("hours", &hours), ("band", &size)]);
            Some(match here.worn {
                WornIf::Passed(_) => words.fill("sheet.elastics.once", &[("what", &what)]),
                _ => what,
            })
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
    lines.extend(last.map(|day| words.fill("sheet.elastics.last", &[("date", &words.date(day))])));
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
