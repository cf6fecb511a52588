//! `springline/moments` and `springline/picture`: what a course can be looked at, and one look at it.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::{Deserialize, Serialize};
use springline_emit::draw::{ToothFrame, list::Point, svg};
use springline_emit::interactive::{
    CourseMoment, MomentArch, MomentKind, MomentStanding, PictureFrom, PictureTooth, StandSource,
    course_moments, interactive_picture, moment_of, now,
};
use springline_lang::Checked;
use springline_lang::course::Basis;
use springline_lang::finding::Severity;
use springline_lang::model::Case;
use springline_lang::stand_edit::{ContactRoom, StandPlace, can_write_stand, mesial_contacts};
use springline_lang::units::tooth::{Arch, Tooth};
use tower_lsp::jsonrpc::{Error, Result};
use tower_lsp::ls_types::TextDocumentIdentifier;

use super::shapes::{ArchName, StandFigures, axis_name};
use crate::server::Server;
use crate::server::answer::{CheckDepth, DocumentView, on};

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct MomentsParams {
    pub text_document: TextDocumentIdentifier,
}

/// The moments of a case.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct MomentsAnswer {
    pub version: i32,
    /// `None` where the text is no case that could be read.
    pub chart: Option<String>,
    /// It is a practice file.
    pub house: bool,
    /// An earlier text is shown, because a line cannot be read at the moment.
    pub held: bool,
    pub today: Option<String>,
    pub moments: Vec<NamedMoment>,
    /// The `id` of the moment that holds today.
    pub now: Option<String>,
    pub findings: FindingsCount,
}

#[derive(Debug, Serialize)]
pub struct NamedMoment {
    pub id: String,
    pub kind: &'static str,
    pub date: Option<String>,
    pub standing: &'static str,
    /// Of a visit to come: the days between which it does no harm.
    pub earliest: Option<String>,
    pub latest: Option<String>,
    pub task: Option<&'static str>,
    pub arches: Vec<WireLeft>,
    pub says: String,
}

/// What an arch has as the patient leaves.
#[derive(Debug, Serialize)]
pub struct WireLeft {
    pub arch: ArchName,
    pub step: Option<String>,
    pub wire: Option<String>,
    pub changes: bool,
}

/// How many findings nobody has accepted.
#[derive(Debug, Default, Serialize)]
pub struct FindingsCount {
    pub errors: usize,
    pub warnings: usize,
    pub hints: usize,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PictureParams {
    pub text_document: TextDocumentIdentifier,
    pub moment: String,
    #[serde(default)]
    pub view: PictureView,
    pub arch: Option<ArchName>,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum PictureView {
    #[default]
    Occlusal,
    Frontal,
}

#[derive(Debug, Serialize)]
pub struct PictureAnswer {
    pub version: i32,
    pub held: bool,
    pub moment: PictureMoment,
    pub svg: String,
    pub width: f64,
    pub height: f64,
    pub edits: StandWritesTo,
    pub frames: Vec<NamedFrame>,
}

#[derive(Debug, Serialize)]
pub struct PictureMoment {
    pub id: String,
    pub date: Option<String>,
    pub standing: &'static str,
    pub says: String,
}

/// Where `springline/stand` writes at this moment.
#[derive(Debug, Serialize)]
#[serde(tag = "as", rename_all = "lowercase")]
pub enum StandWritesTo {
    Plan,
    /// `written`: its block is in the text; else it is a form's.
    Visit {
        visit: String,
        written: bool,
    },
    None {
        why: String,
    },
}

/// One tooth of the picture.
#[derive(Debug, Serialize)]
pub struct NamedFrame {
    pub tooth: String,
    pub shown: String,
    pub arch: ArchName,
    pub says: String,
    pub known: &'static str,
    pub editable: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    pub stand: StandFigures,
    /// The neighbour that `mesialGap` is measured to.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mesial: Option<String>,
    pub written: Vec<&'static str>,
    pub frame: FrameOnPaper,
}

/// See [`ToothFrame`].
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct FrameOnPaper {
    pub scale: f64,
    pub rest: PaperPoint,
    pub slot: PaperPoint,
    pub along: PaperPoint,
    pub inward: Option<PaperPoint>,
    pub gingival: Option<PaperPoint>,
    pub turn: f64,
    pub mesial_in: f64,
    pub mesial_up: f64,
    pub width: f64,
    pub depth: f64,
    pub middle: PaperPoint,
    pub mesial: PaperPoint,
    pub distal: PaperPoint,
}

/// A place or a direction on paper.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct PaperPoint {
    pub x: f64,
    pub y: f64,
}

impl From<Point> for PaperPoint {
    fn from(point: Point) -> PaperPoint {
        // Finer than the drawing itself: directions are multiplied.
        let round = |v: f64| (v * 1e4).round() / 1e4 + 0.0;
        PaperPoint { x: round(point.x), y: round(point.y) }
    }
}

impl Server {
    /// `null` for a document that is not open, or while its mechanics take too long.
    pub async fn moments(&self, params: MomentsParams) -> Result<Option<MomentsAnswer>> {
        on(&params.text_document.uri, CheckDepth::WHOLE, |view| {
            let checked = view.checked.as_ref()?;
            let (shown, held) = shown(view, checked);
            Some(moments(view, checked, &shown, held))
        })
        .await
    }

    /// The same, and for a text that is no case; a moment that there is not is an error of the client's.
    pub async fn picture(&self, params: PictureParams) -> Result<Option<PictureAnswer>> {
        let uri = params.text_document.uri.clone();
        let drawn = on(&uri, CheckDepth::WHOLE, move |view| {
            let checked = view.checked.as_ref()?;
            let (shown, held) = shown(view, checked);
            picture(view, &shown, held, &params)
        });
        drawn.await?.transpose()
    }
}

/// The text whose picture is drawn, and whether it is an earlier one.
pub(super) fn shown(view: &DocumentView, checked: &Arc<Checked>) -> (Arc<Checked>, bool) {
    let shown = view.snapshot.session.drawn.of(&view.snapshot.document.uri, checked);
    let held = !Arc::ptr_eq(&shown, checked);
    (shown, held)
}

fn moments(view: &DocumentView, checked: &Checked, shown: &Checked, held: bool) -> MomentsAnswer {
    let open = checked.findings.iter().filter(|f| f.accepted.is_none());
    let count = |severity| open.clone().filter(|f| f.severity == severity).count();
    let findings = FindingsCount {
        errors: count(Severity::Error),
        warnings: count(Severity::Warning),
        hints: count(Severity::Advice),
    };
    let mut out = MomentsAnswer {
        version: view.snapshot.document.version,
        chart: None,
        house: view.analysed().is_house(),
        held,
        today: None,
        moments: Vec::new(),
        now: None,
        findings,
    };
    if let Some((case, forecast)) = shown.course() {
        let all = course_moments(case, forecast);
        out.chart = Some(case.chart.clone());
        out.today = forecast.today.map(|d| d.to_string());
        out.now = now(&all, forecast).map(|m| m.id.clone());
        out.moments = all.iter().map(named).collect();
    }
    out
}

fn named(moment: &CourseMoment) -> NamedMoment {
    let wire = |a: &MomentArch| WireLeft {
        arch: a.arch.into(),
        step: a.step.clone(),
        wire: a.wire.clone(),
        changes: a.changes,
    };
    NamedMoment {
        id: moment.id.clone(),
        kind: match moment.kind {
            MomentKind::Entered => "entered",
            MomentKind::Visit => "visit",
            MomentKind::Day => "day",
            MomentKind::Undated => "undated",
        },
        date: moment.date.map(|d| d.to_string()),
        standing: standing(moment.standing),
        earliest: moment.window.map(|(from, _)| from.to_string()),
        latest: moment.window.map(|(_, to)| to.to_string()),
        task: moment.task.map(|t| t.word()),
        arches: moment.arches.iter().map(wire).collect(),
        says: moment.says(),
    }
}

fn standing(standing: MomentStanding) -> &'static str {
    match standing {
        MomentStanding::Entered => "entered",
        MomentStanding::Recorded => "recorded",
        MomentStanding::Predicted => "predicted",
    }
}

fn picture(
    view: &DocumentView,
    shown: &Checked,
    held: bool,
    params: &PictureParams,
) -> Option<Result<PictureAnswer>> {
    let (case, forecast) = shown.course()?;
    let all = course_moments(case, forecast);
    let Some(moment) = moment_of(&all, forecast, &params.moment) else {
        let message = format!("there is no moment `{}`", params.moment);
        return Some(Err(Error::invalid_params(message)));
    };
    let (from, view_name) = match params.view {
        PictureView::Occlusal => (PictureFrom::Bite, "occlusal"),
        PictureView::Frontal => (PictureFrom::Front, "frontal"),
    };
    let arch = params.arch.map(Arch::from);
    let found = interactive_picture(case, forecast, &moment, from, arch);
    let writes = writes_to(&found.source, held);
    let contacts: BTreeMap<Tooth, ContactRoom> = match writes {
        Ok(StandPlace::Plan) => case.arches.iter().flat_map(mesial_contacts).collect(),
        _ => BTreeMap::new(),
    };
    let frame = |tooth: &PictureTooth| {
        let contact = contacts.get(&tooth.frame.tooth).copied();
        named_frame(shown, case, &writes, tooth, contact)
    };
    let frames = found.teeth.iter().map(frame).collect();
    let id = format!("picture-{view_name}-{}", arch.map_or("both", Arch::word));
    Some(Ok(PictureAnswer {
        version: view.snapshot.document.version,
        held,
        moment: PictureMoment {
            id: moment.id.clone(),
            date: moment.date.map(|d| d.to_string()),
            standing: standing(moment.standing),
            says: moment.says(),
        },
        svg: svg::interactive(&found.drawing, &id),
        width: found.drawing.width,
        height: found.drawing.height,
        edits: match writes {
            Ok(StandPlace::Plan) => StandWritesTo::Plan,
            Ok(StandPlace::Visit(on)) => StandWritesTo::Visit {
                visit: on.to_string(),
                written: case.visits.iter().any(|v| v.on == on),
            },
            Err(why) => StandWritesTo::None { why },
        },
        frames,
    }))
}

/// Where a moved tooth is written, or why nowhere.
fn writes_to(source: &StandSource, held: bool) -> std::result::Result<StandPlace, String> {
    if held {
        return Err("A line cannot be read at the moment; mend it first.".to_owned());
    }
    match source {
        StandSource::Plan => Ok(StandPlace::Plan),
        StandSource::Visit(on) => Ok(StandPlace::Visit(*on)),
        StandSource::None(why) => Err((*why).to_owned()),
    }
}

fn named_frame(
    shown: &Checked,
    case: &Case,
    writes: &std::result::Result<StandPlace, String>,
    tooth: &PictureTooth,
    mesial: Option<ContactRoom>,
) -> NamedFrame {
    let frame = &tooth.frame;
    let stand = StandFigures::of(&tooth.stand);
    let why = match writes {
        Err(why) => Some(why.clone()),
        // What is not written down yet is answered with a line for its form.
        Ok(StandPlace::Visit(on)) if !case.visits.iter().any(|v| v.on == *on) => None,
        Ok(into) => {
            let can = can_write_stand(&shown.parse, case, frame.tooth, *into);
            can.err().map(|refusal| refusal.to_string())
        }
    };
    NamedFrame {
        tooth: frame.tooth.code().to_string(),
        shown: frame.tooth.write(case.house.notation.value),
        arch: frame.tooth.arch().into(),
        says: tooth.says.clone(),
        known: known(tooth.basis),
        editable: why.is_none(),
        why,
        stand: match mesial {
            Some(room) => stand.with_mesial_gap(room.mm),
            None => stand,
        },
        mesial: mesial.map(|room| room.neighbour.write(case.house.notation.value)),
        written: tooth.written.iter().map(|axis| axis_name(*axis)).collect(),
        frame: on_paper(frame),
    }
}

fn known(basis: Basis) -> &'static str {
    match basis {
        Basis::Assumed => "assumed",
        Basis::Entered => "entered",
        Basis::Measured(_) => "measured",
        Basis::TestedPassive(_) => "passive",
        Basis::Predicted => "predicted",
    }
}

fn on_paper(frame: &ToothFrame) -> FrameOnPaper {
    FrameOnPaper {
        scale: frame.scale,
        rest: frame.rest.into(),
        slot: frame.slot.into(),
        along: frame.along.into(),
        inward: frame.inward.map(PaperPoint::from),
        gingival: frame.gingival.map(PaperPoint::from),
        turn: (frame.turn_deg * 100.0).round() / 100.0 + 0.0,
        mesial_in: frame.mesial_in,
        mesial_up: frame.mesial_up,
        width: frame.width_mm,
        depth: frame.depth_mm,
        middle: frame.middle.into(),
        mesial: frame.mesial.into(),
        distal: frame.distal.into(),
    }
}
