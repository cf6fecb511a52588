//! The hold card. While there is an error that the doctor has not accepted, nothing of the plan is
//! printed; this card only lists what keeps the patient comfortable.

use jiff::civil::Date;

use super::RecordPart::{Tick, Word, Write};
use super::{RecordLine, masked};
use crate::plan::{Plan, PrintStamp};

#[derive(Debug, Clone, PartialEq)]
pub struct HoldCard {
    pub practice: String,
    pub chart: String,
    pub doctor: Option<String>,
    pub date: Date,
    /// "2 errors need the doctor's decision."
    pub open: String,
    pub comfort: Vec<String>,
    pub repair: Vec<String>,
    pub not: Vec<String>,
    pub call: String,
    pub record: Vec<RecordLine>,
    pub stamp: String,
}

pub fn hold_card(plan: &Plan<'_>) -> HoldCard {
    let count = plan.blocking().len();
    let open = match count {
        1 => "1 error needs the doctor\u{2019}s decision.".to_owned(),
        _ => format!("{count} errors need the doctor\u{2019}s decision."),
    };
    HoldCard {
        practice: masked(&plan.house().title),
        doctor: plan.case.doctor.as_deref().map(masked),
        call: answers(plan.case.doctor.as_deref()),
        ..card(&plan.case.chart, plan.today, open, plan.stamp)
    }
}

/// The hold card of a file that cannot be read as a case: the patient is in the chair all the same.
pub fn hold_card_unread(chart: &str, stamp: &PrintStamp) -> HoldCard {
    card(chart, stamp.printed, "The file has faults in its text.".to_owned(), stamp)
}

fn answers(doctor: Option<&str>) -> String {
    match doctor.map(masked) {
        Some(doctor) => {
            format!("{doctor} answers the findings in the case file; then print the card again.")
        }
        None => "the findings in the case file are answered; then print the card again.".to_owned(),
    }
}

fn card(chart: &str, today: Date, open: String, stamp: &PrintStamp) -> HoldCard {
    let words = |all: &[&str]| all.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>();
    HoldCard {
        practice: String::new(),
        chart: masked(chart),
        open,
        date: today,
        comfort: words(&[
            "Turn in or cover an end that pokes.",
            "Give wax; show how it is used.",
            "Clean, close every open slide, replace every lost ligature.",
            "Leave all wires in place.",
        ]),
        repair: words(&[
            "Take a loose bracket off the wire if it turns or hurts; keep it in a marked bag.",
            "Slide a wire back into a tube it has left, if it goes in with finger pressure.",
            "Take off a chain, spring or coil that has come loose.",
        ]),
        not: words(&[
            "Take out, put in or bend a wire.",
            "Put in a coil, spring, chain, stop or tie, or hand out elastics.",
            "Bond, rebond or move a bracket.",
        ]),
        call: answers(None),
        doctor: None,
        record: vec![
            RecordLine(vec![
                Word(format!("seen {today}")),
                Word("by".to_owned()),
                Write("initials"),
                Word("as".to_owned()),
                Tick("review".to_owned()),
                Tick("emergency".to_owned()),
                Tick("repair".to_owned()),
            ]),
            RecordLine(vec![
                Word("upper".to_owned()),
                Tick("kept".to_owned()),
                Word("lower".to_owned()),
                Tick("kept".to_owned()),
                Word("loose".to_owned()),
                Write("teeth"),
                Word("poking".to_owned()),
                Write("teeth"),
            ]),
            RecordLine(vec![Word("note".to_owned()), Write("long")]),
        ],
        stamp: stamp.line(),
    }
}
