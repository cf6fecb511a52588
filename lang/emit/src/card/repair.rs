//! The repair card, for unplanned visits: what staff may repair without the doctor.

use std::collections::BTreeSet;

use super::RecordPart::{Tick, Word, Write};
use super::{RecordLine, call, masked};
use crate::draw;
use crate::draw::Drawing;
use crate::picture::MouthPicture;
use crate::plan::{InMouth, Plan, VisitToday, loose};
use crate::{dates, wording};
use springline_model::step::{ActKind, Spot};
use springline_units::tooth::{Arch, Notation, Tooth};

/// Over what an assistant may do: who allows it is the doctor, not this page.
pub const MAY: &str = "If the doctor has allowed it";

#[derive(Debug, Clone, PartialEq)]
pub struct RepairCard {
    pub chart: String,
    pub doctor: Option<String>,
    /// "Upper: niti-14 (NiTi 0.014 in)".
    pub in_mouth: Vec<String>,
    /// ", Mon 16 Nov 2026"; empty where none is planned.
    pub next: String,
    pub drawing: Drawing,
    pub rows: Vec<RepairRow>,
    pub record: Vec<RecordLine>,
    pub call: Vec<String>,
    pub stamp: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RepairRow {
    pub found: &'static str,
    pub may: String,
    pub ask: String,
}

/// `None` while nothing is in the mouth, or no visit is planned any more.
pub fn repair_card(plan: &Plan<'_>) -> Option<RepairCard> {
    let (number, next) = plan.coming().next()?;
    let today = VisitToday::of(plan, number)?;
    let now: Vec<(Arch, InMouth<'_>)> =
        today.arches.iter().filter_map(|a| Some((a.arch.arch, a.now?))).collect();
    if now.is_empty() {
        return None;
    }
    let state = |arch: Arch| {
        let here = now.iter().find(|(a, _)| *a == arch).map(|(_, m)| m)?;
        let moment = plan.forecast.moment(plan.case, arch, here.moment.phase, Some(plan.today))?;
        Some((here.phase, moment))
    };
    let worn = &today.moment.elastics_on_arrival;
    let mut picture = MouthPicture::of(plan.case, state, |i| worn.contains(&i))
        .on_day(plan.case, Some(plan.today));
    picture.without_brackets(loose(plan.forecast.timeline.open_on(plan.today)).into_keys());
    let done = |m: &InMouth<'_>, thing: &ActKind| {
        let mut ended = m.moment.acts().filter(|(_, d)| d.end_recorded);
        ended.any(|(_, d)| m.act(d.what).is_some_and(|act| act.kind == *thing))
    };
    picture.without(|thing| now.iter().any(|(_, m)| done(m, thing)));
    let n = plan.notation();
    Some(RepairCard {
        chart: masked(&plan.case.chart),
        doctor: plan.case.doctor.as_deref().map(masked),
        in_mouth: now
            .iter()
            .map(|(arch, m)| format!("{}: {}", wording::arch(*arch), m.state.wire.label()))
            .collect(),
        next: format!(", {}", dates::long(next.date)),
        drawing: draw::mouth(&picture, n, "In the mouth now"),
        rows: rows(&now, n),
        record: vec![
            RecordLine(vec![
                Word("seen".to_owned()),
                Write("date"),
                Word("by".to_owned()),
                Write("initials"),
                Word("as".to_owned()),
                Tick("emergency".to_owned()),
                Tick("repair".to_owned()),
                Word("upper".to_owned()),
                Tick("kept".to_owned()),
                Word("lower".to_owned()),
                Tick("kept".to_owned()),
            ]),
            RecordLine(vec![
                Word("loose".to_owned()),
                Write("brackets"),
                Word("lost stop".to_owned()),
                Write("place"),
                Word("out".to_owned()),
                Write("wire out of"),
                Word("poking".to_owned()),
                Write("teeth"),
                Word("slide-open".to_owned()),
                Write("teeth"),
                Word("pain".to_owned()),
                Write(""),
                Word("of 10".to_owned()),
            ]),
            RecordLine(vec![Word("note".to_owned()), Write("long")]),
        ],
        call: call::list(plan, &today, false),
        stamp: plan.stamp.line(),
    })
}

fn rows(now: &[(Arch, InMouth<'_>)], n: Notation) -> Vec<RepairRow> {
    let has = |f: fn(&ActKind) -> bool| now.iter().flat_map(|(_, m)| m.acts()).any(|a| f(&a.kind));
    let joined: BTreeSet<Tooth> = now
        .iter()
        .flat_map(|(_, m)| m.acts())
        .filter(|a| joins(&a.kind))
        .flat_map(|a| a.kind.teeth())
        .collect();
    let joined: Vec<Tooth> = joined.into_iter().collect();
    let call_first = match joined.as_slice() {
        [] => String::new(),
        teeth => format!(
            " At {}, tied or beside a coil: call before you touch it.",
            wording::in_order(teeth, n)
        ),
    };
    let mut out = vec![
        RepairRow {
            found: "Bracket off",
            may: "Take it off the wire and keep it in a marked bag; if stable, leave it on. Leave the wire."
                .to_owned(),
            ask: format!("It goes back today only if the doctor says so. Two off: call.{call_first}"),
        },
        RepairRow {
            found: "Wire end sticking out",
            may: "Turn it in; where that cannot be, cut it back to 1 mm behind the tube. Feel with a finger."
                .to_owned(),
            ask: "Wire long on one side, short on the other: it has shifted.".to_owned(),
        },
        RepairRow {
            found: "Wire out of a tube",
            may: "Slide it back with finger pressure.".to_owned(),
            ask: "It does not go back, or is too short.".to_owned(),
        },
        RepairRow {
            found: "Slide open",
            may: "Close it. If it will not close, tie with a steel ligature.".to_owned(),
            ask: "The wire stands away from the slot.".to_owned(),
        },
    ];
    let stops: Vec<Spot> = now.iter().flat_map(|(_, m)| m.stops()).collect();
    if !stops.is_empty() {
        out.push(RepairRow {
            found: "Stop lost",
            may: format!(
                "They belong {}. Shift the wire until both ends are alike. Write down which is lost.",
                wording::spots(&stops, n)
            ),
            ask: "A new stop goes on today only if the doctor says so.".to_owned(),
        });
    }
    if has(|k| {
        matches!(k, ActKind::OpenCoil { .. } | ActKind::ClosingCoil { .. } | ActKind::Chain { .. })
    }) {
        out.push(RepairRow {
            found: "Coil, spring or chain loose",
            may: "Take it off; one threaded on the wire stays. Do not press or stretch a new one."
                .to_owned(),
            ask: "Whether it goes on again before the next visit.".to_owned(),
        });
    }
    if has(|k| matches!(k, ActKind::Traction { .. })) {
        out.push(RepairRow {
            found: "Chain or thread of a buried tooth loose",
            may: "Tuck the end away so that it does not prick. Do not pull at it.".to_owned(),
            ask: "Call the same day: only the surgeon can put it back.".to_owned(),
        });
    }
    if has(|k| matches!(k, ActKind::BiteRaisers { .. })) {
        out.push(RepairRow {
            found: "Bite raiser off",
            may: "Look whether a bracket is bitten on.".to_owned(),
            ask: "Put back the same day if a bracket is bitten on.".to_owned(),
        });
    }
    out
}

/// A tie, a chain or a coil joins its teeth to others: a bracket off there is not taken out alone.
fn joins(act: &ActKind) -> bool {
    use ActKind::{Chain, ClosedCoil, ClosingCoil, Laceback, OpenCoil, Tie};
    matches!(
        act,
        Tie { .. }
            | Laceback { .. }
            | Chain { .. }
            | OpenCoil { .. }
            | ClosedCoil { .. }
            | ClosingCoil { .. }
    )
}
