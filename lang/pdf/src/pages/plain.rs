//! The pages of the hold card and the repair card.

use springline_emit::card::{HoldCard, MAY, RepairCard};
use springline_emit::dates;

use super::PageTypeSize;
use crate::node::{Ink, MM, PageFrameKind, PageNode, Role, Track, bold, down, soft, span};

/// Nothing of the plan: only what keeps the patient comfortable until the doctor has looked.
pub fn hold(card: &HoldCard, size: PageTypeSize) -> PageNode {
    let mut facts = vec![("Date", dates::long(card.date))];
    facts.extend(card.doctor.clone().map(|d| ("Doctor", d)));
    facts.push(("Practice", card.practice.clone()));
    let word = size.text(vec![bold("HOLD")]).at(40.0).role(Role::Paragraph).node();
    let why = vec![bold("Do not change a wire today."), span(format!(" {}", card.open))];
    let why = size.text(why).scaled(1.15).role(Role::Paragraph).node();
    let notice = down(1.0 * MM, vec![word, why])
        .pad([4.0 * MM, 5.0 * MM, 4.0 * MM, 5.0 * MM])
        .frame(1.2 * MM, Ink::Black, PageFrameKind::Solid)
        .node();
    let list = |heading: &str, items: &[String]| size.part(heading, vec![size.bullets(items)]);
    let parts = vec![
        size.head(&card.chart, "Hold", &facts, None),
        notice,
        list("Comfort: you may", &card.comfort),
        list(&format!("Repair. {MAY}"), &card.repair),
        list("Do not", &card.not),
        size.call("Call the doctor now:", &card.call),
        size.form("Visit record", &card.record),
    ];
    size.sheet(parts, &card.stamp)
}

/// For a patient who comes between visits.
pub fn repair(card: &RepairCard, size: PageTypeSize) -> PageNode {
    let mut facts: Vec<(&str, String)> =
        card.in_mouth.iter().map(|line| ("", line.clone())).collect();
    facts.extend(card.doctor.clone().map(|d| ("Doctor", d)));
    let caption = "In the mouth now, as you face the patient";
    let caption = size.text(vec![soft(caption)]).scaled(0.86).role(Role::Paragraph).node();
    let drawing = PageNode::Picture { drawing: Box::new(card.drawing.clone()), share: 1.0 };
    let picture = down(0.6 * MM, vec![caption, drawing])
        .pad([0.9 * MM, 0.0, 0.9 * MM, 0.0])
        .frame(0.7, Ink::Line, PageFrameKind::AboveAndBelow)
        .node();
    let tracks = [Track::Fixed(34.0 * MM), Track::Share(1.2), Track::Share(1.0)];
    let rows = card
        .rows
        .iter()
        .map(|r| vec![size.row_head(r.found), size.cell(r.may.as_str()), size.cell(r.ask.as_str())])
        .collect();
    let head = ["Found", MAY, "Ask the doctor"];
    let parts = vec![
        size.head(&card.chart, "Repair card", &facts, None),
        size.strong(format!("A repair does not change the next date{}.", card.next)),
        picture,
        size.table(&tracks, &head, rows),
        size.form("Visit record", &card.record),
        size.call("Call the doctor if:", &format!("{}.", card.call.join("; "))),
    ];
    size.sheet(parts, &card.stamp)
}
