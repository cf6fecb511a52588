//! `springline/visitForm` and `springline/visit`: the record form of a visit as data, and the block that its answers
//! make.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use springline_emit::visit_form::{
    FORM_KINDS, FieldType, FormAnswer, FormAnswers, FormPart, VisitForm, kind_label, visit_form,
};
use springline_lang::finding::{Finding, Severity};
use springline_lang::model::Case;
use springline_lang::model::house::Task;
use springline_lang::record::{self, Refused, VisitEntry, VisitQuestion};
use springline_lang::text::FileId;
use springline_lang::{Checked, course::Forecast};
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{TextDocumentIdentifier, WorkspaceEdit};

use super::shapes::{Refusable, RequestRefusal};
use crate::convert::edit;
use crate::features::edits::{between, narrowed};
use crate::server::Server;
use crate::server::answer::{CheckDepth, DocumentView, on};
use crate::server::request_helpers::stamped;

/// An appointment that was not kept.
const MISSED: &str = "missed";

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct VisitFormParams {
    pub text_document: TextDocumentIdentifier,
    pub on: String,
    pub kind: Option<String>,
}

#[derive(Debug, Default, Serialize)]
pub struct VisitFormAnswer {
    pub version: i32,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<RequestRefusal>,
    #[serde(flatten)]
    pub form: Option<NamedForm>,
}

#[derive(Debug, Serialize)]
pub struct NamedForm {
    pub on: String,
    pub kind: String,
    pub planned: Option<String>,
    /// Of those who saw the patient before, and the doctor's; the last first.
    pub initials: Vec<String>,
    pub kinds: Vec<VisitKind>,
    pub lines: Vec<NamedLine>,
    pub groups: Vec<TickGroup>,
    pub questions: Vec<NamedQuestion>,
}

#[derive(Debug, Serialize)]
pub struct VisitKind {
    pub word: &'static str,
    pub label: &'static str,
}

/// A line of the printed form.
#[derive(Debug, Serialize)]
pub struct NamedLine {
    pub parts: Vec<NamedPart>,
}

#[derive(Debug, Serialize)]
#[serde(tag = "part", rename_all = "lowercase")]
pub enum NamedPart {
    Word {
        text: String,
    },
    Tick {
        id: String,
        text: String,
        #[serde(skip_serializing_if = "Option::is_none")]
        group: Option<String>,
    },
    Write {
        id: String,
        #[serde(rename = "type")]
        kind: &'static str,
        label: String,
        /// What it can only be one of.
        #[serde(skip_serializing_if = "Vec::is_empty")]
        choices: Vec<String>,
    },
    Key {
        text: String,
    },
}

/// Boxes of which at most one is ticked.
#[derive(Debug, Serialize)]
pub struct TickGroup {
    pub id: String,
    pub members: Vec<String>,
}

/// What decides at this visit; answered by the line of a choice or its number from 0, or by a figure.
#[derive(Debug, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum NamedQuestion {
    Choose { id: String, text: String, choices: Vec<LineChoice> },
    Measure { id: String, text: String, unit: &'static str, line: String, below: Option<String> },
}

#[derive(Debug, Serialize)]
pub struct LineChoice {
    pub label: String,
    pub line: String,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct VisitParams {
    pub text_document: TextDocumentIdentifier,
    pub on: String,
    pub by: Option<String>,
    pub kind: Option<String>,
    #[serde(default)]
    pub answers: BTreeMap<String, Value>,
    /// Further lines in the words of the language.
    #[serde(default)]
    pub lines: Vec<String>,
    pub note: Option<String>,
}

/// Either `refused` or all of the others.
#[derive(Debug, Default, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct VisitAnswer {
    pub version: i32,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub block: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edit: Option<WorkspaceEdit>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub findings: Option<Vec<NewFinding>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<RequestRefusal>,
}

/// A finding that the text does not have yet.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct NewFinding {
    pub code: String,
    pub severity: &'static str,
    pub message: String,
    pub in_block: bool,
}

impl Server {
    /// `null` for a document that is not open, or while its mechanics take too long.
    pub async fn visit_form(&self, params: VisitFormParams) -> Result<Option<VisitFormAnswer>> {
        on(&params.text_document.uri.clone(), CheckDepth::WHOLE, move |view| {
            let checked = view.checked.as_ref()?;
            let version = view.snapshot.document.version;
            Some(match form(checked, &params) {
                Ok(form) => VisitFormAnswer { version, form: Some(form), refused: None },
                Err(refusal) => VisitFormAnswer { version, refused: Some(refusal), form: None },
            })
        })
        .await
    }

    /// The same.
    pub async fn visit(&self, params: VisitParams) -> Result<Option<VisitAnswer>> {
        let uri = params.text_document.uri.clone();
        let answer = on(&uri, CheckDepth::WHOLE, move |view| {
            let checked = view.checked.as_ref()?;
            let answer = written(view, checked, &params).unwrap_or_else(|refusal| VisitAnswer {
                refused: Some(refusal),
                ..VisitAnswer::default()
            });
            let version = view.snapshot.document.version;
            Some(stamped(view, VisitAnswer { version, ..answer }))
        });
        self.still(&uri, answer.await?)
    }
}

fn day(text: &str) -> Refusable<Date> {
    let wrong = || RequestRefusal::new("visit", format!("`{text}` is not a date."));
    text.parse().map_err(|_| wrong())
}

fn kind(word: Option<&str>) -> Refusable<Option<Task>> {
    let Some(word) = word else { return Ok(None) };
    let known = FORM_KINDS.into_iter().find(|task| task.word() == word);
    let wrong = || RequestRefusal::new("visit", format!("`{word}` is no kind of visit."));
    known.map(Some).ok_or_else(wrong)
}

fn course(checked: &Checked) -> Refusable<(&Case, &Forecast)> {
    let unread =
        || RequestRefusal::new("unreadable", "The text cannot be read far enough for a visit.");
    checked.course().ok_or_else(unread)
}

fn form(checked: &Checked, params: &VisitFormParams) -> Refusable<NamedForm> {
    let (case, forecast) = course(checked)?;
    let on = day(&params.on)?;
    if params.kind.as_deref() == Some(MISSED) {
        return Ok(missed(on, initials(case)));
    }
    let form = visit_form(case, forecast, on, kind(params.kind.as_deref())?);
    let questions = record::questions_at(case, forecast, Some(form.kind.word()));
    let lines = lines(&form);
    let questions = questions.iter().enumerate().filter(|(_, q)| !is_on(&lines, q));
    Ok(NamedForm {
        on: on.to_string(),
        kind: form.kind.word().to_owned(),
        planned: form.planned.map(|day| day.to_string()),
        initials: initials(case),
        kinds: kinds(),
        groups: groups(&form),
        questions: questions.map(|(i, q)| question(i, q)).collect(),
        lines,
    })
}

/// The form has a blank for that measure already.
fn is_on(lines: &[NamedLine], question: &VisitQuestion) -> bool {
    let VisitQuestion::Measure { line, .. } = question else { return false };
    let words = line.split('{').next().unwrap_or_default().trim();
    let mut parts = lines.iter().flat_map(|l| &l.parts);
    parts.any(|part| matches!(part, NamedPart::Word { text } if text.trim() == words))
}

fn kinds() -> Vec<VisitKind> {
    let of_task = |task: Task| VisitKind { word: task.word(), label: kind_label(task) };
    let missed = VisitKind { word: MISSED, label: "Not kept" };
    FORM_KINDS.into_iter().map(of_task).chain([missed]).collect()
}

/// As many as fit beside the field.
const INITIALS: usize = 4;

fn initials(case: &Case) -> Vec<String> {
    let seen = case.visits.iter().rev().filter_map(|visit| visit.by.as_deref());
    let mut out: Vec<String> = Vec::new();
    for name in seen.chain(case.doctor.as_deref()) {
        if out.len() < INITIALS && out.iter().all(|known| known != name) {
            out.push(name.to_owned());
        }
    }
    out
}

fn missed(on: Date, initials: Vec<String>) -> NamedForm {
    let text = format!("{MISSED} {on}");
    NamedForm {
        on: on.to_string(),
        kind: MISSED.to_owned(),
        planned: None,
        initials,
        kinds: kinds(),
        lines: vec![NamedLine { parts: vec![NamedPart::Word { text }] }],
        groups: Vec::new(),
        questions: Vec::new(),
    }
}

fn lines(form: &VisitForm) -> Vec<NamedLine> {
    let part = |part: &FormPart| match part.clone() {
        FormPart::Word(text) => NamedPart::Word { text },
        FormPart::Key(text) => NamedPart::Key { text },
        FormPart::Tick { id, text, group } => NamedPart::Tick { id, text, group },
        FormPart::Write { id, kind, label } => {
            let choices = match kind {
                FieldType::SideOfTooth => form.stops.clone(),
                _ => Vec::new(),
            };
            NamedPart::Write { id, kind: type_name(kind), label, choices }
        }
    };
    let line = |line: &Vec<springline_emit::visit_form::FormStatement>| NamedLine {
        parts: line.iter().flat_map(|s| &s.parts).map(part).collect(),
    };
    form.lines.iter().map(line).collect()
}

fn type_name(kind: FieldType) -> &'static str {
    match kind {
        FieldType::Teeth => "teeth",
        FieldType::Mm => "mm",
        FieldType::Initials => "initials",
        FieldType::Score => "score",
        FieldType::Text => "text",
        FieldType::SideOfTooth => "place",
    }
}

fn groups(form: &VisitForm) -> Vec<TickGroup> {
    let mut out: Vec<TickGroup> = Vec::new();
    for part in form.lines.iter().flatten().flat_map(|s| &s.parts) {
        let FormPart::Tick { id, group: Some(group), .. } = part else { continue };
        match out.iter_mut().find(|known| known.id == *group) {
            Some(known) => known.members.push(id.clone()),
            None => out.push(TickGroup { id: group.clone(), members: vec![id.clone()] }),
        }
    }
    out
}

fn question_id(index: usize) -> String {
    format!("question {}", index + 1)
}

fn question(index: usize, question: &VisitQuestion) -> NamedQuestion {
    let id = question_id(index);
    match question.clone() {
        VisitQuestion::Choose { text, choices } => {
            let choice = |(label, line)| LineChoice { label, line };
            NamedQuestion::Choose { id, text, choices: choices.into_iter().map(choice).collect() }
        }
        VisitQuestion::Measure { text, line, below, unit } => {
            NamedQuestion::Measure { id, text, unit, line, below }
        }
    }
}

fn written(view: &DocumentView, checked: &Checked, params: &VisitParams) -> Refusable<VisitAnswer> {
    let (case, forecast) = course(checked)?;
    let on = day(&params.on)?;
    let today = view.snapshot.session.settings().today();
    if on > today {
        let why = format!("{on} is still to come; a visit is written down after it has been.");
        return Err(RequestRefusal::new("future", why));
    }
    let source = view.analysed().text();
    let (text, block) = if params.kind.as_deref() == Some(MISSED) {
        (record::add_missed(source, on).map_err(refused)?, format!("{MISSED} {on}"))
    } else {
        let entry = entry(case, forecast, on, params)?;
        let mut read = |text: &str| view.snapshot.read_trial(text);
        let written = record::write_visit(source, &entry, &mut read).map_err(refused)?;
        (written.text, written.block)
    };
    let edits = narrowed(source, between(source, &text));
    let edits: Vec<_> = edits.into_iter().map(|edit| (FileId(0), edit)).collect();
    let no_place = || RequestRefusal::new("unreadable", "This text has no place to be written to.");
    let edit = edit::of_files(&edits, &view.snapshot, &view.reading).ok_or_else(no_place)?;
    let findings = brought(view, checked, &text, &block);
    let says = says(&findings);
    Ok(VisitAnswer {
        block: Some(block),
        edit: Some(edit),
        findings: Some(findings),
        says: Some(says),
        ..VisitAnswer::default()
    })
}

fn refused(refusal: Refused) -> RequestRefusal {
    let kind = match &refusal {
        Refused::NotACase | Refused::NotAHouse => "not-a-case",
        Refused::Unreadable => "unreadable",
        Refused::Empty => "empty",
        Refused::SameDay { .. } => "same-day",
        Refused::Lines(_) => "lines",
    };
    RequestRefusal::new(kind, refusal.to_string())
}

/// The lines of the answers; what was done in an arch goes into the braces of its line.
fn entry(
    case: &Case,
    forecast: &Forecast,
    on: Date,
    params: &VisitParams,
) -> Refusable<VisitEntry> {
    let form = visit_form(case, forecast, on, kind(params.kind.as_deref())?);
    let notation = case.house.notation.value;
    let of_field = |problem: springline_emit::visit_form::AnswerProblem| RequestRefusal {
        id: Some(problem.id),
        ..RequestRefusal::new("answer", problem.why)
    };
    let questions = record::questions_at(case, forecast, Some(form.kind.word()));
    let (answers, asked) = sorted(&params.answers, &questions)?;
    let mut all = form.lines_of(&answers, notation).map_err(of_field)?;
    for (id, line) in asked {
        all.push(line.clone());
        one_line_an_arch(&all)
            .map_err(|why| RequestRefusal { id: Some(id), ..RequestRefusal::new("answer", why) })?;
    }
    all.extend(params.lines.iter().map(|line| line.trim().to_owned()));
    if let Some(note) = params.note.as_deref().map(str::trim).filter(|note| !note.is_empty()) {
        all.push(format!("note \"{}\"", note.replace('"', "'").replace(['\n', '\r'], " ")));
    }
    let by = form.by(&answers, notation).map_err(of_field)?;
    let by = params.by.clone().filter(|by| !by.trim().is_empty()).or(by);
    let lines = gathered(&all)?;
    Ok(VisitEntry { on, by, kind: Some(form.kind.word().to_owned()), lines })
}

/// Answers to the form, and the lines that the questions' answers write.
fn sorted(
    said: &BTreeMap<String, Value>,
    questions: &[VisitQuestion],
) -> Refusable<(FormAnswers, Vec<(String, String)>)> {
    let mut answers = FormAnswers::new();
    let mut asked = Vec::new();
    for (id, value) in said {
        let wrong = |why: String| RequestRefusal {
            id: Some(id.clone()),
            ..RequestRefusal::new("answer", why)
        };
        let index = (0..questions.len()).find(|i| question_id(*i) == *id);
        if let Some(question) = index.and_then(|i| questions.get(i)) {
            let text = match (question, value) {
                (_, Value::Null) => continue,
                (VisitQuestion::Choose { choices, .. }, value) => match chosen(choices, value) {
                    // They are counted from one where a person types them.
                    Some(choice) => choice.saturating_add(1).to_string(),
                    None => {
                        let why = "Send the line of a choice, or its number from 0.";
                        return Err(wrong(why.to_owned()));
                    }
                },
                (_, Value::String(text)) => text.clone(),
                (_, value) => value.to_string(),
            };
            let line = question.take(&text).map_err(wrong)?;
            asked.extend(line.filter(|l| !l.is_empty()).map(|line| (id.clone(), line)));
            continue;
        }
        let answer = match value {
            // Neither was filled in.
            Value::Null | Value::Bool(false) => continue,
            Value::Bool(true) => FormAnswer::Ticked,
            Value::Number(figure) => FormAnswer::Figure(figure.as_f64().unwrap_or(f64::NAN)),
            Value::String(text) => FormAnswer::Written(text.clone()),
            Value::Array(list) => {
                let each: Vec<&str> = list.iter().filter_map(Value::as_str).collect();
                FormAnswer::Written(each.join(", "))
            }
            Value::Object(_) => return Err(wrong("This is no answer.".to_owned())),
        };
        answers.insert(id.clone(), answer);
    }
    Ok((answers, asked))
}

/// Which choice it is, by its line or by its number.
fn chosen(choices: &[(String, String)], value: &Value) -> Option<usize> {
    match value {
        Value::String(line) => choices.iter().position(|(_, known)| known == line),
        value => value.as_u64().and_then(|choice| usize::try_from(choice).ok()),
    }
}

/// The line that says what an arch was like and what became of its wire.
fn arch_line<'l>(lines: &'l [String], arch: &str) -> Vec<&'l str> {
    let said = lines.iter().filter_map(|line| line.strip_prefix(arch)?.strip_prefix(' '));
    let about = [
        "passive",
        "nearly-passive",
        "active",
        "binds",
        "not-tested",
        "kept",
        "same-wire",
        "out",
        "now",
    ];
    let is_seen = |line: &&str| line.split([' ', ',']).next().is_some_and(|w| about.contains(&w));
    said.filter(is_seen).collect()
}

fn one_line_an_arch(lines: &[String]) -> std::result::Result<(), String> {
    for arch in ["upper", "lower"] {
        if let [first, second, ..] = arch_line(lines, arch).as_slice() {
            return Err(format!(
                "The {arch} arch is said twice: `{arch} {first}` and `{arch} {second}`."
            ));
        }
    }
    Ok(())
}

fn gathered(all: &[String]) -> Refusable<Vec<String>> {
    one_line_an_arch(all).map_err(|why| RequestRefusal::new("lines", why))?;
    let of = |arch: &str| arch_line(all, arch).first().copied();
    let (upper, lower) = (of("upper"), of("lower"));
    let is_arch = |line: &String| {
        let said =
            |arch: &str, rest: Option<&str>| rest.is_some_and(|r| *line == format!("{arch} {r}"));
        said("upper", upper) || said("lower", lower)
    };
    let others: Vec<String> = all.iter().filter(|line| !is_arch(line)).cloned().collect();
    record::gather(upper, lower, &others).map_err(|why| RequestRefusal::new("lines", why))
}

/// What the text would be told with the visit in it and is not told now.
fn brought(view: &DocumentView, checked: &Checked, text: &str, block: &str) -> Vec<NewFinding> {
    let after = view.snapshot.judge_trial(text);
    let block = text.find(block).map(|start| start..start + block.len()).unwrap_or_default();
    let key = |f: &Finding| (f.code.as_str().to_owned(), f.message.clone());
    let mut before: Vec<(String, String)> = checked.findings.iter().map(key).collect();
    let mut out = Vec::new();
    for finding in after.findings.iter().filter(|f| f.accepted.is_none()) {
        match before.iter().position(|known| *known == key(finding)) {
            Some(at) => {
                before.swap_remove(at);
            }
            None => out.push(NewFinding {
                code: finding.code.as_str().to_owned(),
                severity: severity(finding.severity),
                message: finding.message.clone(),
                in_block: finding.place.file == FileId(0)
                    && block.contains(&(finding.place.span.start as usize)),
            }),
        }
    }
    out
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
        Severity::Advice => "hint",
    }
}

fn says(findings: &[NewFinding]) -> String {
    let errors = findings.iter().filter(|f| f.severity == "error").count();
    let warnings = findings.iter().filter(|f| f.severity == "warning").count();
    let some = |n: usize, what: &str| match n {
        1 => format!("1 {what}"),
        n => format!("{n} {what}s"),
    };
    match (errors, warnings) {
        (0, 0) => "The plan gets no new error or warning by it.".to_owned(),
        (errors, 0) => format!("The plan gets {} by it.", some(errors, "error")),
        (0, warnings) => format!("The plan gets {} by it.", some(warnings, "warning")),
        (errors, warnings) => {
            format!(
                "The plan gets {} and {} by it.",
                some(errors, "error"),
                some(warnings, "warning")
            )
        }
    }
}
