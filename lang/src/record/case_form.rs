//! The questions of a new case as data, and their answers.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::new::NewCaseAnswers;
use super::practice::{MenuGroup, PracticeQuestion, RejectedAnswer};
use springline_model::House;
use springline_units::tooth::Arch;

/// The questions, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CaseQuestionKey {
    Chart,
    Start,
    Doctor,
    Patient,
    Arches,
}

impl CaseQuestionKey {
    pub const ALL: [CaseQuestionKey; 5] = [
        CaseQuestionKey::Chart,
        CaseQuestionKey::Start,
        CaseQuestionKey::Doctor,
        CaseQuestionKey::Patient,
        CaseQuestionKey::Arches,
    ];

    /// Its name in messages.
    pub fn word(self) -> &'static str {
        match self {
            CaseQuestionKey::Chart => "chart",
            CaseQuestionKey::Start => "start",
            CaseQuestionKey::Doctor => "doctor",
            CaseQuestionKey::Patient => "patient",
            CaseQuestionKey::Arches => "arches",
        }
    }
}

/// One question as it is put; `start` is the day taken without an answer.
pub fn case_question(key: CaseQuestionKey, house: Option<&House>, start: Date) -> PracticeQuestion {
    let form = house.and_then(|h| h.chart_form.as_ref()).map(|form| form.value.to_string());
    let (text, empty) = match key {
        CaseQuestionKey::Chart => (
            match form {
                Some(form) => format!("Chart reference, as {form}, # for a digit; never a name"),
                None => "Chart reference; never a name".to_owned(),
            },
            None,
        ),
        CaseQuestionKey::Start => {
            ("Day on which treatment starts".to_owned(), Some(start.to_string()))
        }
        CaseQuestionKey::Doctor => (
            "Initials of the doctor".to_owned(),
            Some(house.and_then(|h| h.doctor.as_deref()).unwrap_or("not said").to_owned()),
        ),
        CaseQuestionKey::Patient => {
            ("Does the patient still grow?".to_owned(), Some("not said".to_owned()))
        }
        CaseQuestionKey::Arches => {
            ("Which arches are treated?".to_owned(), Some("both".to_owned()))
        }
    };
    let items: &[(&str, &str)] = match key {
        CaseQuestionKey::Patient => &[("growing", "growing"), ("adult", "adult")],
        CaseQuestionKey::Arches => {
            &[("both", "both"), ("upper only", "upper"), ("lower only", "lower")]
        }
        _ => &[],
    };
    let items: Vec<(String, String)> =
        items.iter().map(|(shown, value)| ((*shown).to_owned(), (*value).to_owned())).collect();
    let choices = match items.is_empty() {
        true => Vec::new(),
        false => vec![MenuGroup { heading: String::new(), items }],
    };
    PracticeQuestion { text, typed: None, choices, empty, lines: false }
}

/// The answers of a new case; the first one that cannot be taken, with why.
pub fn case_answers(
    said: &BTreeMap<CaseQuestionKey, String>,
    practice: Option<(&str, &House)>,
    start: Date,
) -> Result<NewCaseAnswers, (CaseQuestionKey, RejectedAnswer)> {
    let of = |key| said.get(&key).map(|text| text.trim()).filter(|text| !text.is_empty());
    let rejected =
        |key, what: String, fix: &str| Err((key, RejectedAnswer { what, fix: fix.to_owned() }));
    let house = practice.map(|(_, house)| house);
    let chart = match of(CaseQuestionKey::Chart) {
        None => {
            let what = "A chart reference is needed.".to_owned();
            return rejected(CaseQuestionKey::Chart, what, "Write one; never a patient's name.");
        }
        Some(chart) if chart.contains(['"', '\n', '\r']) => {
            let what = format!("`{}` is not a chart reference.", chart.replace(['\n', '\r'], " "));
            return rejected(CaseQuestionKey::Chart, what, "Leave quotes and line ends out.");
        }
        Some(chart) => chart,
    };
    if let Some(form) =
        house.filter(|h| !h.accepts_chart(chart)).and_then(|h| h.chart_form.as_ref())
    {
        let what = format!("`{chart}` is not a chart reference of this practice.");
        let fix = format!(
            "Write it as {}, # for a digit; never a patient's name, which would stand on every page.",
            form.value
        );
        return rejected(CaseQuestionKey::Chart, what, &fix);
    }
    let start = match of(CaseQuestionKey::Start) {
        None => start,
        Some(text) => match text.parse() {
            Ok(day) => day,
            Err(_) => {
                let what = format!("`{text}` is not a date.");
                return rejected(CaseQuestionKey::Start, what, "Write it as year-month-day.");
            }
        },
    };
    let doctor = match of(CaseQuestionKey::Doctor) {
        Some(text) if !text.chars().all(|c| c.is_alphanumeric() || c == '-') => {
            let what = format!("`{text}` are no initials.");
            return rejected(CaseQuestionKey::Doctor, what, "Write letters only, such as KL.");
        }
        doctor => doctor.map(str::to_owned),
    };
    let growing = match of(CaseQuestionKey::Patient) {
        None => None,
        Some("growing") => Some(true),
        Some("adult") => Some(false),
        Some(other) => {
            let what = format!("`{other}` is neither.");
            return rejected(CaseQuestionKey::Patient, what, "Write growing or adult.");
        }
    };
    let arches = match of(CaseQuestionKey::Arches) {
        None | Some("both") => Arch::BOTH.to_vec(),
        Some("upper") => vec![Arch::Upper],
        Some("lower") => vec![Arch::Lower],
        Some(other) => {
            let what = format!("`{other}` is no arch.");
            return rejected(CaseQuestionKey::Arches, what, "Write both, upper or lower.");
        }
    };
    Ok(NewCaseAnswers {
        chart: chart.to_owned(),
        house: practice.map(|(name, _)| name.to_owned()),
        doctor,
        start,
        growing,
        arches,
    })
}

/// A file name made of the chart reference as it is typed: letters, digits and hyphens between them, so that
/// no program takes it for an option.
pub fn file_stem(chart: &str) -> String {
    let text: String =
        chart.chars().map(|c| if c.is_alphanumeric() || c == '-' { c } else { '-' }).collect();
    let text = text.trim_matches('-');
    if text.is_empty() { "case".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use springline_syntax::parse;
    use springline_text::FileId;

    #[test]
    fn answers_become_a_case_that_reads() {
        let start: Date = "2026-12-07".parse().expect("a day");
        let said = |pairs: &[(CaseQuestionKey, &str)]| -> BTreeMap<CaseQuestionKey, String> {
            pairs.iter().map(|(key, text)| (*key, (*text).to_owned())).collect()
        };
        let told = case_answers(&said(&[]), None, start).expect_err("a chart is needed");
        assert_eq!(told.0, CaseQuestionKey::Chart);
        let all = said(&[
            (CaseQuestionKey::Chart, "SM-0460"),
            (CaseQuestionKey::Patient, "growing"),
            (CaseQuestionKey::Arches, "upper"),
            (CaseQuestionKey::Doctor, "KL"),
        ]);
        let answers = case_answers(&all, None, start).expect("a case");
        let text = super::super::new_case(&answers, None);
        assert_eq!(parse(FileId(0), &text).findings, []);
        assert!(text.contains("start 2026-12-07\npatient growing\nupper {"), "{text}");
        for (key, text) in [
            (CaseQuestionKey::Start, "soon"),
            (CaseQuestionKey::Doctor, "K. L."),
            (CaseQuestionKey::Patient, "old"),
            (CaseQuestionKey::Arches, "left"),
            (CaseQuestionKey::Chart, "a \" b"),
        ] {
            let mut wrong = all.clone();
            wrong.insert(key, text.to_owned());
            assert_eq!(case_answers(&wrong, None, start).expect_err(text).0, key);
        }
        assert_eq!(file_stem("--SM 1/2"), "SM-1-2");
    }
}
