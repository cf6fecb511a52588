//! `springline/newForm` and `springline/new`: the questions of a new case or practice file, and its text. Nothing is
//! written to disk.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use springline_emit::dates;
use springline_lang::lower::{self, Library as _};
use springline_lang::model::House;
use springline_lang::record::practice::{
    PracticeAnswers, PracticeQuestion, QuestionKey, RejectedAnswer, practice_name,
};
use springline_lang::record::{CaseQuestionKey, case_answers, case_question, file_stem, new_case};
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::Uri;

use super::shapes::{Refusable, RequestRefusal};
use crate::practice_files::{EXTENSION, OpenTexts, PracticeFiles};
use crate::server::Server;
use crate::server::answer::contain;
use crate::session::Session;

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct NewParams {
    pub kind: NewKind,
    /// Where it is to be; the first open folder if left out.
    pub folder: Option<Uri>,
    /// The practice file that a case uses; the only one there is if left out.
    pub practice: Option<String>,
    #[serde(default)]
    pub answers: BTreeMap<String, String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum NewKind {
    Case,
    Practice,
}

#[derive(Debug, Serialize)]
pub struct NewFormAnswer {
    pub kind: NewKind,
    pub questions: Vec<NewQuestion>,
    /// Practice files there are to choose from.
    pub practices: Vec<String>,
}

#[derive(Debug, Serialize)]
pub struct NewQuestion {
    pub id: String,
    pub text: String,
    #[serde(rename = "type")]
    pub kind: &'static str,
    pub choices: Vec<NewChoices>,
    /// What no answer means; an answer is needed where it is null.
    pub empty: Option<String>,
    pub remark: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<String>,
}

#[derive(Debug, Serialize)]
pub struct NewChoices {
    pub heading: String,
    pub items: Vec<NewChoice>,
}

#[derive(Debug, Serialize)]
pub struct NewChoice {
    pub shown: String,
    pub value: String,
}

/// Either `refused` or the others.
#[derive(Debug, Default, Serialize)]
pub struct NewAnswer {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
    /// The file's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uri: Option<Uri>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<RequestRefusal>,
}

impl Server {
    pub async fn new_form(&self, params: NewParams) -> Result<NewFormAnswer> {
        let session = self.session.clone();
        contain(move || form(&session, &params)).await
    }

    pub async fn new_text(&self, params: NewParams) -> Result<NewAnswer> {
        let session = self.session.clone();
        contain(move || {
            written(&session, &params).unwrap_or_else(|refusal| NewAnswer {
                refused: Some(refusal),
                ..NewAnswer::default()
            })
        })
        .await
    }
}

fn folder(session: &Session, params: &NewParams) -> Option<PathBuf> {
    let named = params.folder.as_ref().and_then(|uri| Some(uri.to_file_path()?.into_owned()));
    named.or_else(|| session.roots().first().cloned())
}

/// The name of the practice file that was asked for, or of the only one there is, and what it says.
fn practice(session: &Session, params: &NewParams) -> Refusable<Option<(String, Arc<House>)>> {
    let open = OpenTexts::default();
    let folder = folder(session, params);
    let files = PracticeFiles::new(folder, session.roots().to_vec(), &open, &session.disk);
    let refused = |why: String| RequestRefusal {
        id: Some("practice".to_owned()),
        ..RequestRefusal::new("answer", why)
    };
    let name = match (&params.practice, &files.present()[..]) {
        (Some(name), _) => name.trim_end_matches(".spring").to_owned(),
        (None, []) => return Ok(None),
        (None, [only]) => only.clone(),
        (None, several) => {
            let why = format!("There are several practice files: {}.", several.join(", "));
            return Err(refused(why));
        }
    };
    let Ok((shown, text)) = files.house(&name) else {
        return Err(refused(format!(
            "There is no practice file `{name}.{EXTENSION}` here or above."
        )));
    };
    match lower::load(shown, text, &files).house {
        Some(house) => Ok(Some((name, house))),
        None => Err(refused(format!("`{name}.{EXTENSION}` cannot be read as a practice file."))),
    }
}

fn form(session: &Session, params: &NewParams) -> NewFormAnswer {
    let open = OpenTexts::default();
    let files =
        PracticeFiles::new(folder(session, params), Vec::new(), &open, &session.disk).present();
    let questions = match params.kind {
        NewKind::Practice => practice_questions(params),
        NewKind::Case => case_questions(session, params),
    };
    NewFormAnswer { kind: params.kind, questions, practices: files }
}

fn named(id: &str, kind: &'static str, question: PracticeQuestion) -> NewQuestion {
    let group = |group: springline_lang::record::practice::MenuGroup| NewChoices {
        heading: group.heading,
        items: group.items.into_iter().map(|(shown, value)| NewChoice { shown, value }).collect(),
    };
    NewQuestion {
        id: id.to_owned(),
        text: question.text,
        kind,
        choices: question.choices.into_iter().map(group).collect(),
        empty: question.empty,
        remark: Vec::new(),
        refused: None,
    }
}

fn case_questions(session: &Session, params: &NewParams) -> Vec<NewQuestion> {
    let house = practice(session, params).ok().flatten();
    let house = house.as_ref().map(|(name, house)| (name.as_str(), &**house));
    let start = first_day(session, house.map(|(_, house)| house));
    let refused = case_answers(&case_said(params), house, start).err();
    let one = |key: CaseQuestionKey| {
        let kind = match key {
            CaseQuestionKey::Start => "date",
            CaseQuestionKey::Patient | CaseQuestionKey::Arches => "choose",
            _ => "text",
        };
        let question = case_question(key, house.map(|(_, house)| house), start);
        // An answer that nobody gave yet is not wrong.
        let is_said = params.answers.contains_key(key.word());
        let told = refused.as_ref().filter(|(about, _)| *about == key && is_said);
        NewQuestion {
            refused: told.map(|(_, why)| why.to_string()),
            ..named(key.word(), kind, question)
        }
    };
    CaseQuestionKey::ALL.into_iter().map(one).collect()
}

fn case_said(params: &NewParams) -> BTreeMap<CaseQuestionKey, String> {
    let said = |key: CaseQuestionKey| Some((key, params.answers.get(key.word())?.clone()));
    CaseQuestionKey::ALL.into_iter().filter_map(said).collect()
}

/// The next day on which patients are seen.
fn first_day(session: &Session, house: Option<&House>) -> jiff::civil::Date {
    let today = session.settings().today();
    house.map_or(today, |house| dates::next_open(house, today))
}

/// The name of the file is asked first.
const NAME: &str = "name";

fn practice_questions(params: &NewParams) -> Vec<NewQuestion> {
    let name = params.answers.get(NAME).map_or("", String::as_str);
    let first = PracticeQuestion {
        text: "Name of the practice file, such as brook".to_owned(),
        typed: None,
        choices: Vec::new(),
        empty: None,
        lines: false,
    };
    let told = practice_name(name).err().filter(|_| !name.is_empty());
    let first =
        NewQuestion { refused: told.map(|why| why.to_string()), ..named(NAME, "text", first) };
    let mut draft = PracticeAnswers::new(name);
    let mut out = vec![first];
    for key in QuestionKey::ALL {
        let question = draft.question(key);
        let kind = match key {
            QuestionKey::Prescription => "lines",
            QuestionKey::Wires | QuestionKey::Coils | QuestionKey::Elastics => "several",
            _ if question.choices.is_empty() => "text",
            _ => "choose",
        };
        let told = params.answers.get(key.flag()).and_then(|said| draft.take(key, said).err());
        out.push(NewQuestion {
            remark: draft.remark(key),
            refused: told.map(|why| why.to_string()),
            ..named(key.flag(), kind, question)
        });
    }
    out
}

fn written(session: &Session, params: &NewParams) -> Refusable<NewAnswer> {
    let (stem, text) = match params.kind {
        NewKind::Case => case(session, params)?,
        NewKind::Practice => practice_file(params)?,
    };
    let name = format!("{stem}.{EXTENSION}");
    let path = folder(session, params).map(|folder| folder.join(&name));
    if path.as_ref().is_some_and(|path| path.exists()) {
        return Err(RequestRefusal::new("exists", format!("{name} is there already.")));
    }
    let uri = path.and_then(Uri::from_file_path);
    Ok(NewAnswer { text: Some(text), name: Some(name), uri, refused: None })
}

fn of_answer(id: &str, why: &RejectedAnswer) -> RequestRefusal {
    RequestRefusal { id: Some(id.to_owned()), ..RequestRefusal::new("answer", why.to_string()) }
}

fn unknown(params: &NewParams, known: &[&str]) -> Refusable<()> {
    match params.answers.keys().find(|id| !known.contains(&id.as_str())) {
        Some(id) => Err(RequestRefusal {
            id: Some(id.clone()),
            ..RequestRefusal::new("answer", "There is no such question.")
        }),
        None => Ok(()),
    }
}

fn case(session: &Session, params: &NewParams) -> Refusable<(String, String)> {
    unknown(params, &CaseQuestionKey::ALL.map(CaseQuestionKey::word))?;
    let house = practice(session, params)?;
    let house = house.as_ref().map(|(name, house)| (name.as_str(), &**house));
    let start = first_day(session, house.map(|(_, house)| house));
    let answers = case_answers(&case_said(params), house, start)
        .map_err(|(key, why)| of_answer(key.word(), &why))?;
    Ok((file_stem(&answers.chart), new_case(&answers, house.map(|(_, house)| house))))
}

fn practice_file(params: &NewParams) -> Refusable<(String, String)> {
    let flags = QuestionKey::ALL.map(QuestionKey::flag);
    let known: Vec<&str> = flags.into_iter().chain([NAME]).collect();
    unknown(params, &known)?;
    let name = params.answers.get(NAME).map_or("", String::as_str);
    let stem = practice_name(name).map_err(|why| of_answer(NAME, &why))?;
    let mut draft = PracticeAnswers::new(name);
    for key in QuestionKey::ALL {
        if let Some(said) = params.answers.get(key.flag()) {
            draft.take(key, said).map_err(|why| of_answer(key.flag(), &why))?;
        }
    }
    let text = draft.write().ok_or_else(|| {
        let id = draft.missing().first().map(|key| key.flag().to_owned());
        RequestRefusal { id, ..RequestRefusal::new("answer", "An answer is needed here.") }
    })?;
    Ok((stem, text))
}
