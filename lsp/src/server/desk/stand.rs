//! `springline/stand`: the edit that says where one tooth stands.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use springline_emit::wording;
use springline_lang::model::Case;
use springline_lang::model::stand::Stand;
use springline_lang::stand_edit::{
    AlongWritten, ContactRoom, StandChange, StandPlace, StandRefusal, visit_line, write_along,
    write_stand,
};
use springline_lang::text::FileId;
use springline_lang::units::quantity::plain;
use springline_lang::units::tooth::Tooth;
use tower_lsp::jsonrpc::Result;
use tower_lsp::ls_types::{TextDocumentIdentifier, WorkspaceEdit};

use super::shapes::{AskedStand, Refusable, RequestRefusal, tooth_named};
use crate::analysis::foresee;
use crate::convert::edit;
use crate::features::edits::{between, narrowed};
use crate::server::Server;
use crate::server::answer::{CheckDepth, DocumentView, on};
use crate::server::request_helpers::stamped;

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StandParams {
    pub text_document: TextDocumentIdentifier,
    /// The version that was looked at; where the text is another one, nothing is written.
    pub version: Option<i32>,
    pub tooth: String,
    pub moment: String,
    pub stand: AskedStand,
    /// The day of the visit whose form is open.
    pub visit: Option<String>,
}

/// Exactly one of `edit`, `line` and `refused` is there.
#[derive(Debug, Default, Serialize)]
pub struct StandAnswer {
    pub version: i32,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub edit: Option<WorkspaceEdit>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub unchanged: bool,
    /// For the form of a visit that is not written down yet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refused: Option<RequestRefusal>,
}

impl Server {
    /// `null` for a document that is not open.
    pub async fn stand(&self, params: StandParams) -> Result<Option<StandAnswer>> {
        let uri = params.text_document.uri.clone();
        let answer = on(&uri, CheckDepth::Language, move |view| {
            let answer = written(view, &params).unwrap_or_else(|refusal| StandAnswer {
                refused: Some(refusal),
                ..StandAnswer::default()
            });
            let version = view.snapshot.document.version;
            Some(stamped(view, StandAnswer { version, ..answer }))
        });
        self.still(&uri, answer.await?)
    }
}

fn written(view: &DocumentView, params: &StandParams) -> Refusable<StandAnswer> {
    if params.version.is_some_and(|asked| asked != view.snapshot.document.version) {
        return Err(RequestRefusal::version());
    }
    let analysed = view.analysed();
    let tooth = tooth_named(&params.tooth)?;
    let change = params.stand.change()?;
    let no_case = || RequestRefusal::new("unreadable", "The text cannot be read as a case.");
    let case = analysed.case().ok_or_else(no_case)?;
    let today = view.snapshot.session.settings().today();
    let into = match place(case, params, today)? {
        WritesTo::Text(into) => into,
        WritesTo::Form => return for_form(case, tooth, &change),
    };
    let positions = view.snapshot.positions();
    let refused = |refusal: StandRefusal| RequestRefusal::of_stand(&refusal, &positions);
    let (text, says) = match params.stand.mesial_gap() {
        Some(_) if !change.is_empty() || into != StandPlace::Plan => {
            let why = "Along the arch a tooth is moved by itself, and in the plan.";
            return Err(RequestRefusal::new("moment", why));
        }
        Some(gap) => {
            let done = write_along(analysed.parse(), case, tooth, gap).map_err(refused)?;
            let says = says_along(case, tooth, &done);
            (done.text, says)
        }
        None => {
            let done =
                write_stand(analysed.parse(), case, tooth, into, &change).map_err(refused)?;
            (done.text, says(case, tooth, &done.stand))
        }
    };
    let edits = narrowed(analysed.text(), between(analysed.text(), &text));
    let unchanged = edits.is_empty();
    if !unchanged {
        foresee(view.snapshot.clone(), text);
    }
    let edits: Vec<_> = edits.into_iter().map(|edit| (FileId(0), edit)).collect();
    let edit = edit::of_files(&edits, &view.snapshot, &view.reading).ok_or_else(no_case)?;
    let says = Some(says);
    Ok(StandAnswer { edit: Some(edit), unchanged, says, ..StandAnswer::default() })
}

enum WritesTo {
    Text(StandPlace),
    /// A visit that is still a form.
    Form,
}

/// Before treatment has begun, how the teeth stand today is how they were entered.
fn has_begun(case: &Case, today: Date) -> bool {
    let is_seen = case.visits.iter().any(|visit| visit.on <= today);
    is_seen || case.start.is_some_and(|(start, _)| start < today)
}

/// Where a moment is written. Between the plan and the record of a visit there are only predictions.
fn place(case: &Case, params: &StandParams, today: Date) -> Refusable<WritesTo> {
    let as_entered = params.moment == "today" && params.visit.is_none() && !has_begun(case, today);
    if params.moment == "entered" || as_entered {
        return Ok(WritesTo::Text(StandPlace::Plan));
    }
    let day = if params.moment == "today" { Some(today) } else { params.moment.parse().ok() };
    let no_day = || RequestRefusal::new("moment", "Only what is entered or seen can be written.");
    let day: Date = day.ok_or_else(no_day)?;
    let open: Option<Date> = match &params.visit {
        Some(said) => Some(
            said.parse()
                .map_err(|_| RequestRefusal::new("visit", format!("`{said}` is not a date.")))?,
        ),
        None => None,
    };
    let on = open.unwrap_or(day);
    let last = case.visits.iter().map(|v| v.on).max();
    let is_recorded = case.visits.iter().any(|v| v.on == on);
    if is_recorded && (last == Some(on) || on == today) {
        return Ok(WritesTo::Text(StandPlace::Visit(on)));
    }
    if open.is_some() && !is_recorded && last.is_none_or(|last| on > last) {
        return Ok(WritesTo::Form);
    }
    Err(if is_recorded {
        RequestRefusal::new("moment", format!("The visit of {on} is past."))
    } else if on > today {
        let why = "This is a prediction; it follows from how the teeth stand at the start.";
        RequestRefusal::new("moment", why)
    } else {
        let why = "How a tooth stands now is written in a visit: open its form first.";
        RequestRefusal::new("visit", why)
    })
}

fn for_form(case: &Case, tooth: Tooth, change: &StandChange) -> Refusable<StandAnswer> {
    let line = visit_line(tooth, case.house.notation.value, change)
        .map_err(|refusal| RequestRefusal::new(refusal.kind(), refusal.to_string()))?;
    let stand = change.iter().fold(Stand::default(), |s, (axis, f)| s.with_figure(*axis, *f));
    let says = Some(says(case, tooth, &stand));
    Ok(StandAnswer { line: Some(line), says, ..StandAnswer::default() })
}

fn says(case: &Case, tooth: Tooth, stand: &Stand) -> String {
    let place = wording::stand(stand, tooth);
    let place = if place.is_empty() { "in line".to_owned() } else { place };
    format!("{}: {place}", tooth.write(case.house.notation.value))
}

/// "12: touches 11, overlap with 13 0.4 mm".
fn says_along(case: &Case, tooth: Tooth, done: &AlongWritten) -> String {
    let notation = case.house.notation.value;
    let room = |room: ContactRoom| {
        let neighbour = room.neighbour.write(notation);
        match room.mm {
            0.0 => format!("touches {neighbour}"),
            mm if mm > 0.0 => format!("gap to {neighbour} {} mm", plain(mm)),
            mm => format!("overlap with {neighbour} {} mm", plain(-mm)),
        }
    };
    let rooms: Vec<String> =
        [Some(done.mesial), done.distal].into_iter().flatten().map(room).collect();
    format!("{}: {}", tooth.write(notation), rooms.join(", "))
}
