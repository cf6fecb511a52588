//! The page of the patient sheet.

use springline_emit::sheet::{PatientSheet, SheetSection};

use super::{CAUTION_FOR_PATIENTS, PageTypeSize};
use crate::node::{
    Ink, MM, PageArea, PageFrameKind, PageNode, PageSpan, Role, bold, columns, down, shares, soft,
};

pub fn sheet(sheet: &PatientSheet, size: PageTypeSize) -> PageNode {
    let title = PageSpan { ink: Ink::Accent, ..bold(sheet.title.as_str()) };
    let title = size.text(vec![title]).at(18.0).role(Role::Heading(1)).node();
    let chart =
        size.text(vec![soft(sheet.chart.as_str())]).at(10.5).end().role(Role::Paragraph).node();
    let title = columns(&shares(&[4.0, 1.0]), 4.0 * MM, vec![title, chart]);
    let title = PageArea { centred: true, ..title }
        .pad([0.0, 0.0, 1.2 * MM, 0.0])
        .frame(1.4, Ink::Accent, PageFrameKind::Below)
        .node();
    let mut next = vec![heading(&sheet.next_heading, size)];
    next.extend(sheet.next.iter().enumerate().map(|(i, line)| match i {
        0 => size.text(vec![bold(line.as_str())]).scaled(1.18).role(Role::Paragraph).node(),
        _ => size.p(line.as_str()),
    }));
    let other = vec![size.text(vec![soft(sheet.next_other.as_str())]).node(), rule()];
    next.push(columns(&shares(&[1.0, 2.0]), 2.0 * MM, other).node());
    let next = down(0.5 * MM, next)
        .pad([2.0 * MM, 3.5 * MM, 2.0 * MM, 3.5 * MM])
        .frame(1.4, Ink::Accent, PageFrameKind::Solid)
        .node();
    let mut parts = vec![title, next];
    for part in &sheet.sections {
        let picture = part.picture.iter().flat_map(|drawing| {
            let title = size.text(vec![soft(drawing.title.as_str())]);
            let title = title.role(Role::Paragraph).node();
            [title, PageNode::Picture { drawing: Box::new(drawing.clone()), share: 1.0 }]
        });
        parts.push(section(part, picture.collect(), size));
    }
    let mut contact = vec![
        heading(&sheet.contact_heading, size),
        size.strong(sheet.practice.as_str()),
        size.p(sheet.contact.as_str()),
    ];
    if sheet.contact_blank {
        contact.push(rule());
    }
    let contact = down(0.5 * MM, contact);
    let both = vec![section(&sheet.call, Vec::new(), size), contact.node()];
    parts.push(columns(&shares(&[1.0, 1.0]), 5.0 * MM, both).node());
    let urgent = down(0.0, vec![size.strong(sheet.urgent.as_str())])
        .pad([1.4 * MM, 3.0 * MM, 1.4 * MM, 3.0 * MM])
        .frame(1.7, Ink::Black, PageFrameKind::Solid);
    parts.push(urgent.node());
    parts.push(section(&sheet.notes, vec![rule(), rule()], size));
    let stamp = format!("{} \u{b7} {} \u{b7} {}", sheet.practice, sheet.chart, sheet.stamp);
    parts.push(size.foot(&sheet.safety, CAUTION_FOR_PATIENTS, &stamp));
    down(size.gap * MM, parts).node()
}

fn heading(text: &str, size: PageTypeSize) -> PageNode {
    let words = PageSpan { ink: Ink::Accent, ..bold(text) };
    size.text(vec![words]).role(Role::Heading(2)).node()
}

fn section(section: &SheetSection, more: Vec<PageNode>, size: PageTypeSize) -> PageNode {
    let mut parts = vec![heading(&section.heading, size)];
    match section.list {
        true => parts.push(size.bullets(&section.lines)),
        false => parts.push(size.p(section.lines.join(" "))),
    }
    parts.extend(more);
    down(0.5 * MM, parts).node()
}

/// A line to write on.
fn rule() -> PageNode {
    PageArea { min_height: 8.0 * MM, ..down(0.0, Vec::new()) }
        .frame(0.7, Ink::Line, PageFrameKind::Below)
        .node()
}
