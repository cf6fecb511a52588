//! A draft in words, for staff. It never calls a sequence the best one: it says what was computed.

use serde::Serialize;

use super::draft_step::say_steps;
use super::{
    Among, AmongRow, ArchDraft, CaseDraft, NOTICED_WEEKS, NotDrafted, PairCost, PlanCost, Rejected,
    Steadiness, TriedPlan, TriedWire,
};
use springline_units::tooth::Arch;

/// Sequences that come out alike, named at most.
const MOST_NAMED: usize = 4;

/// How other readings differ.
const OFF: &str = "(each entry up to 0.25 mm and 2.5 deg off)";

/// Under every draft.
pub const DRAFT_CAUTION: &str = "A draft supports a licensed clinician\u{2019}s own judgement and decides nothing; its figures are estimates of a model.";

/// A sequence, for machines.
#[derive(Debug, Clone, Serialize)]
pub struct SequenceRow {
    pub wires: Vec<TriedWire>,
    pub booked_visits: u32,
    pub booked_weeks: f64,
    /// With those who are not ready on the booked day, on the mean.
    pub expected_visits: f64,
    pub expected_weeks: f64,
    pub cost: PlanCost,
    pub findings: Vec<DraftFindingRow>,
    pub poor_fits: Vec<super::PoorFit>,
}

#[derive(Debug, Clone, Serialize)]
pub struct DraftFindingRow {
    pub code: String,
    pub severity: String,
    pub message: String,
}

/// A draft of one arch, for machines.
#[derive(Debug, Clone, Serialize)]
pub struct ArchDraftRow {
    pub arch: Arch,
    pub usual_stands: bool,
    pub drafted: SequenceRow,
    pub usual: Option<SequenceRow>,
    pub alike: Vec<String>,
    pub why_not: Vec<Rejected>,
    pub steadiness: Steadiness,
    pub proven: bool,
    pub judged: usize,
    pub remarks: Vec<String>,
}

/// What came of the arches of a case, for machines; schema in `lang/docs/schemas/draft.json`.
#[derive(Debug, Clone, Serialize)]
pub struct DraftDocument {
    schema: &'static str,
    pub note: &'static str,
    case: String,
    arches: Vec<ArchDraftRow>,
    not_drafted: Vec<NotDraftedRow>,
    /// Both arches together; nothing where not both are drafted.
    together: Option<TogetherRow>,
    /// Of listed sequences, in their order, where that is asked for.
    among: Vec<AmongArchRow>,
    /// As a unified diff; empty where nothing changes.
    patch: String,
}

#[derive(Debug, Clone, Serialize)]
struct TogetherRow {
    #[serde(flatten)]
    cost: PairCost,
    /// What the sequences take together that come first in each arch alone, where others are drafted.
    instead_of: Option<PairCost>,
}

#[derive(Debug, Clone, Serialize)]
struct AmongArchRow {
    arch: Arch,
    readings: usize,
    sequences: Vec<AmongRow>,
}

#[derive(Debug, Clone, Serialize)]
struct NotDraftedRow {
    arch: Arch,
    why: String,
}

impl DraftDocument {
    fn of(case: &str, refused: Vec<NotDraftedRow>) -> DraftDocument {
        DraftDocument {
            schema: "springline.draft/1",
            note: DRAFT_CAUTION,
            case: case.to_owned(),
            arches: Vec::new(),
            not_drafted: refused,
            together: None,
            among: Vec::new(),
            patch: String::new(),
        }
    }

    pub fn new(case: &str, draft: &CaseDraft, patch: &str) -> DraftDocument {
        let together = draft.together.as_ref();
        DraftDocument {
            arches: drafted(&draft.arches).map(ArchDraft::row).collect(),
            together: together.map(|t| TogetherRow { cost: t.cost, instead_of: t.instead_of }),
            patch: patch.to_owned(),
            ..DraftDocument::of(case, refused(&draft.arches))
        }
    }

    pub fn among(case: &str, answers: &[(Arch, Result<Among, NotDrafted>)]) -> DraftDocument {
        let row = |among: &Among| AmongArchRow {
            arch: among.arch,
            readings: among.readings,
            sequences: among.rows(),
        };
        DraftDocument {
            among: drafted(answers).map(row).collect(),
            ..DraftDocument::of(case, refused(answers))
        }
    }
}

fn drafted<T>(answers: &[(Arch, Result<T, NotDrafted>)]) -> impl Iterator<Item = &T> {
    answers.iter().filter_map(|(_, answer)| answer.as_ref().ok())
}

fn refused<T>(answers: &[(Arch, Result<T, NotDrafted>)]) -> Vec<NotDraftedRow> {
    let why = |(arch, answer): &(Arch, Result<T, NotDrafted>)| {
        Some(NotDraftedRow { arch: *arch, why: answer.as_ref().err()?.to_string() })
    };
    answers.iter().filter_map(why).collect()
}

fn row(plan: &TriedPlan) -> SequenceRow {
    let tenth = |v: f64| (v * 10.0).round() / 10.0;
    let finding = |f: &springline_finding::Finding| DraftFindingRow {
        code: f.code.to_string(),
        severity: f.severity.to_string(),
        message: f.message.clone(),
    };
    let wires = plan.wires.iter().map(|w| TriedWire { weeks: tenth(w.weeks), ..w.clone() });
    SequenceRow {
        wires: wires.collect(),
        booked_visits: plan.booked_visits,
        booked_weeks: tenth(plan.booked_days / 7.0),
        expected_visits: tenth(plan.expected.visits),
        expected_weeks: tenth(plan.expected.days / 7.0),
        cost: plan.cost.shown(),
        findings: plan.findings.iter().map(finding).collect(),
        poor_fits: plan.poor_fits.clone(),
    }
}

impl ArchDraft {
    pub fn row(&self) -> ArchDraftRow {
        ArchDraftRow {
            arch: self.arch,
            usual_stands: self.stands,
            drafted: row(&self.drafted),
            usual: self.usual.as_deref().map(row),
            alike: self.alike.clone(),
            why_not: self.rejected.clone(),
            steadiness: self.steadiness,
            proven: self.proven,
            judged: self.judged,
            remarks: self.remarks.clone(),
        }
    }

    /// What is drafted, and whether the practice's sequence stands; one sentence a line.
    pub fn headline(&self) -> Vec<String> {
        let arch = springline_text::capital(&self.arch.to_string());
        let named = say_steps(&self.drafted.steps);
        let mut out = Vec::new();
        if self.drafted.cost.errors > 0 {
            out.push(format!(
                "{arch} arch: no sequence computed is without an error. The one with the least, as a comment and not as \
                 steps: {named}."
            ));
            out.push(self.drafted.time());
            out.extend(self.drafted.said_against());
            out.extend(self.remarks.iter().cloned());
            return out;
        }
        out.push(match self.stands {
            true => format!("{arch} arch: the practice's sequence stands ({named}). {}", self.how_far()),
            false if self.drafted.steps.is_empty() => format!(
                "{arch} arch, drafted: nothing before the working wire is left to draft; it goes in next."
            ),
            false => format!("{arch} arch, drafted: {named}, then the working wire."),
        });
        out.extend(self.quicker.iter().map(|quicker| match self.steadiness.readings {
            0 => format!("{quicker} There was no time for other readings of it."),
            _ => format!("{quicker} In most other readings of the mouth it was not, or there was no time for them."),
        }));
        out.push(self.drafted.time());
        if let Some(usual) = self.usual.as_deref().filter(|u| u.steps != self.drafted.steps) {
            let without = match self.usual_leaves_out.as_slice() {
                [] => String::new(),
                teeth => format!(" {} never comes in there.", teeth.join(", ")),
            };
            out.push(format!(
                "The practice's sequence ({}): {}{without}",
                say_steps(&usual.steps),
                usual.time()
            ));
        }
        out.extend(self.drafted.said_against());
        out.extend(self.remarks.iter().cloned());
        out
    }

    /// What can be said against every other sequence, never more than was computed.
    fn how_far(&self) -> String {
        let better = format!("a visit or {NOTICED_WEEKS} weeks better");
        match (self.proven, self.steadiness.readings) {
            (true, 1..) => format!(
                "Nothing in the drawer is {better} in this and in most other readings of the mouth."
            ),
            (true, 0) => {
                "There was no time to compare it with others in other readings of the mouth."
                    .to_owned()
            }
            (false, _) => format!(
                "The search was stopped before its end: whether another of the drawer is {better} is not known."
            ),
        }
    }

    /// Why not the neighbours, how steady it is over readings, and how far the search came.
    pub fn why(&self) -> Vec<String> {
        let mut out: Vec<String> = self.rejected.iter().map(say_rejected).collect();
        if self.alike.len() > 1 {
            let own = say_steps(&self.drafted.steps);
            let others: Vec<&str> =
                self.alike.iter().map(String::as_str).filter(|s| *s != own).collect();
            let more = others.len().saturating_sub(MOST_NAMED);
            let named = others[..others.len() - more].join("; ");
            let rest = if more > 0 { format!("; and {more} more") } else { String::new() };
            out.push(format!(
                "To the week alike in time and findings: {named}{rest}. Of these the one with less chair time, then fewer \
                 wires, then nearer to the practice's sequence is taken."
            ));
        }
        let Steadiness { readings, same_sequence, same_first_wire } = self.steadiness;
        out.push(match same_sequence == readings {
            _ if readings == 0 => {
                format!("There was no time for other readings of the same mouth {OFF}.")
            }
            true => format!("{readings} of {readings} other readings of the same mouth {OFF} give the same answer."),
            false => format!(
                "{same_sequence} of {readings} other readings of the same mouth {OFF} give the same answer, {same_first_wire} the \
                 same first wire. What changes is not decided by these figures: look."
            ),
        });
        out.push(match self.proven {
            true => format!(
                "{} sequences and beginnings computed; the rest have more errors, are farther past a limit or take longer.",
                self.judged
            ),
            false => format!(
                "Stopped after {} sequences and beginnings: the first of those the search had come to, not proven.",
                self.judged
            ),
        });
        out
    }
}

impl TriedPlan {
    /// What a sequence takes, as booked and with those who are not ready on the booked day.
    pub fn time(&self) -> String {
        let visits = match self.booked_visits {
            1 => "1 visit".to_owned(),
            n => format!("{n} visits"),
        };
        if self.steps.is_empty() {
            return "No visit before the one at which the working wire goes in.".to_owned();
        }
        let weeks = |days: f64| (days / 7.0).round();
        format!(
            "{visits} and {:.0} wk to the working wire if every wire is ready on the day it is booked for. With those who \
             are not and come again: {:.1} visits and {:.0} wk on the mean.",
            weeks(self.booked_days),
            self.expected.visits,
            weeks(self.expected.days)
        )
    }

    /// Teeth that a wire waits for, and findings.
    pub fn said_against(&self) -> Vec<String> {
        let mut out = Vec::new();
        out.extend(self.poor_fits.iter().map(|poor| match poor.waits() {
            n if n < 0.95 => format!(
                "{poor}: less than entries are exact, compared as if it came {n:.1} of a visit later."
            ),
            n if n < 1.5 => format!("{poor}: compared as if it came one visit later."),
            n => format!("{poor}: compared as if it came {n:.0} visits later."),
        }));
        let found = self.findings.iter();
        out.extend(found.map(|f| format!("It has this {}: {}", f.severity, f.message)));
        out
    }
}

/// A neighbour and what parts it, in a sentence.
pub fn say_rejected(other: &Rejected) -> String {
    let kind = other.neighbour.words();
    let wires = match other.wires.as_slice() {
        [] => "no further wire".to_owned(),
        wires => wires.join(", "),
    };
    format!("{kind} ({wires}): {}", ended(&other.because))
}

fn ended(text: &str) -> String {
    if text.ends_with('.') { text.to_owned() } else { format!("{text}.") }
}
