//! Departures: how a step differs from the practice's sequence. Computed by comparison, never declared.

use crate::step::{Departure, End, NextVisit, Step};
use springline_text::Place;
use springline_units::tooth::Side;

/// All differences of the step `here` from the practice's `house`, in the order of a card.
pub fn departures(house: &Step, here: &Step) -> Vec<Departure> {
    let mut out = Vec::new();
    let mut differ = |what: &str, house: String, here_text: String, place: Place| {
        if house != here_text {
            out.push(Departure {
                what: what.into(),
                house: Some(house),
                here: Some(here_text),
                place,
            });
        }
    };
    differ("wire", house.wire.names(), here.wire.names(), here.wire.place.unwrap_or(here.place));
    differ(
        "until",
        house.until.text.clone(),
        here.until.text.clone(),
        here.until.place.unwrap_or(here.place),
    );
    differ(
        "next",
        next_text(&house.next),
        next_text(&here.next),
        here.next.place.unwrap_or(here.place),
    );
    for side in [Side::Right, Side::Left] {
        let (a, b) = (house.ends.of(side), here.ends.of(side));
        differ("ends", end_text(a, side), end_text(b, side), b.place.unwrap_or(here.place));
    }
    compare_acts(house, here, &mut out);
    out
}

/// Compares acts as written: what the case adds, and what it removes.
fn compare_acts(house: &Step, here: &Step, out: &mut Vec<Departure>) {
    for act in &here.acts {
        if !house.acts.iter().any(|a| a.kind == act.kind) {
            out.push(Departure {
                what: act.kind.keyword().into(),
                house: None,
                here: Some(act.text.clone()),
                place: act.place,
            });
        }
    }
    for act in &house.acts {
        if !here.acts.iter().any(|a| a.kind == act.kind) {
            out.push(Departure {
                what: act.kind.keyword().into(),
                house: Some(act.text.clone()),
                here: None,
                place: here.place,
            });
        }
    }
}

/// "turned-in, slack 2 mm, right".
pub fn end_text(end: &End, side: Side) -> String {
    let slack = end
        .slack
        .map(|l| {
            format!(
                " slack {} mm",
                springline_units::quantity::plain(springline_units::quantity::mm(l))
            )
        })
        .unwrap_or_default();
    let trimmed = if end.trimmed { " trimmed" } else { "" };
    format!("{}{slack}{trimmed} on {side}", end.kind.word())
}

/// "8..10 wk", a date, or "computed".
pub fn next_text(next: &NextVisit) -> String {
    match next {
        NextVisit::Computed => "computed".to_owned(),
        NextVisit::Range { from, to } if from == to => from.to_string(),
        NextVisit::Range { from, to } if from.unit == to.unit => {
            format!("{}..{to}", springline_units::quantity::plain(from.amount))
        }
        NextVisit::Range { from, to } => format!("{from}..{to}"),
        NextVisit::On { date } => date.to_string(),
    }
}
