//! The staff card: one visit on one page, in the order in which the chair works.

use springline_lang::emit::card::{ArchDoing, DoLine, ElasticRow, EndRow, Head, StaffCard, Test};
use springline_lang::emit::{dates, say};
use springline_lang::model::quantity::plain;

use super::Size;
use crate::node::{
    Area, FrameKind, Ink, MM, Node, Role, Span, Text, Track, across, bold, columns, down, shares,
    soft, span,
};

pub fn card(card: &StaffCard, size: Size) -> Node {
    let mut parts = vec![head(&card.head, size), today(card, size), before(card, size)];
    if !card.tests.is_empty() {
        parts.push(tests(&card.tests, size));
    }
    parts.push(picture(card, size));
    if !card.doing.is_empty() {
        let each: Vec<Node> = card.doing.iter().map(|d| doing(d, size)).collect();
        let wide = shares(&vec![1.0; each.len()]);
        parts.push(columns(&wide, 5.0 * MM, each).node());
    }
    if !card.ends.is_empty() || !card.fit_check.is_empty() {
        let ends = down(0.5 * MM, ends(&card.ends, card.ends_note, size)).node();
        let fit = if card.fit_check.is_empty() {
            down(0.0, Vec::new()).node()
        } else {
            let line = |(i, l): (usize, &String)| if i == 1 { size.strong(l) } else { size.p(l) };
            size.part("Fit check", card.fit_check.iter().enumerate().map(line).collect())
        };
        parts.push(columns(&shares(&[1.0, 1.0]), 5.0 * MM, vec![ends, fit]).node());
    }
    parts.push(leaving(card, size));
    parts.push(size.form("Write down, in the words of the record", &card.record));
    parts.push(size.call("Call the doctor if:", &format!("{}.", card.call.join("; "))));
    if !card.accepted.is_empty() {
        let lines = format!("{}.", card.accepted.join(". "));
        let words = vec![bold("Accepted by the doctor. "), span(lines)];
        parts.push(size.text(words).role(Role::Paragraph).node());
    }
    size.sheet(parts, &format!("{} \u{b7} {}", card.head.practice, card.stamp))
}

fn head(head: &Head, size: Size) -> Node {
    let mut facts = vec![
        ("Date", dates::long(head.date)),
        ("Visit", format!("{} of {}", head.number, head.of)),
        ("Time", format!("{} min", plain(head.minutes))),
    ];
    facts.extend(head.doctor.clone().map(|d| ("Doctor", d)));
    size.head(&head.chart, &head.kind, &facts)
}

fn today(card: &StaffCard, size: Size) -> Node {
    let line =
        |l: &String| size.text(vec![bold(l.as_str())]).scaled(1.28).role(Role::Paragraph).node();
    let mut lines: Vec<Node> = card.today.iter().map(line).collect();
    lines.extend(card.unusual.iter().map(|l| size.p(l.as_str())));
    lines.extend(card.ahead.iter().map(|l| size.strong(l)));
    down(0.3 * MM, lines).node()
}

/// A heading an arch, so that what may not be needed lies apart.
fn lay_out(card: &StaffCard, size: Size) -> Vec<Node> {
    let mut out = Vec::new();
    for tray in &card.lay_out {
        if !tray.heading.is_empty() {
            let words = vec![bold(tray.heading.as_str())];
            out.push(size.text(words).role(Role::Paragraph).node());
        }
        out.push(size.bullets(&tray.items));
    }
    out
}

/// Lay out, ask and look, measure: before anything is opened.
fn before(card: &StaffCard, size: Size) -> Node {
    let all = |lines: &[String]| lines.iter().map(|l| size.p(l.as_str())).collect::<Vec<_>>();
    let asked =
        down(0.6 * MM, vec![size.part("Ask", all(&card.ask)), size.part("Look", all(&card.look))]);
    let mut sides = vec![size.part("Lay out", lay_out(card, size)), asked.node()];
    let mut wide = vec![1.25, 1.15];
    if !card.measure.is_empty() {
        let blank = |b: &springline_lang::emit::card::Blank| {
            let what = size.text(vec![span(b.what.as_str())]).node();
            let field = Area { min_height: 4.0 * MM, ..down(0.0, Vec::new()) };
            let field = field.frame(0.85, Ink::Black, FrameKind::Solid).node();
            let unit = size.text(vec![soft(b.unit)]).node();
            let tracks = [Track::Share(1.0), Track::Fixed(12.0 * MM), Track::Fixed(6.0 * MM)];
            Area { centred: true, ..columns(&tracks, 1.0 * MM, vec![what, field, unit]) }
                .role(Role::Paragraph)
                .node()
        };
        let blanks = down(0.6 * MM, card.measure.iter().map(blank).collect()).node();
        sides.push(size.part("Measure first", vec![blanks]));
        wide.push(0.8);
    }
    columns(&shares(&wide), 5.0 * MM, sides).node()
}

/// How the tests are done, said once; then a row an arch, its two answers side by side.
fn tests(tests: &[Test], size: Size) -> Node {
    let mut how: Vec<&str> = Vec::new();
    for line in tests.iter().flat_map(|t| &t.how) {
        if !how.contains(&line.as_str()) {
            how.push(line);
        }
    }
    let mut children = vec![size.h("Test, worst tooth first")];
    if !how.is_empty() {
        children.push(size.p(how.join(" ")));
    }
    for test in tests {
        let ask = format!("{}: {}", say::arch(test.arch), lower(&test.question));
        let ask = size.text(vec![bold(ask)]).scaled(1.06).role(Role::Paragraph).node();
        let question = down(0.3 * MM, vec![ask, size.p(test.where_to.join(" "))]).node();
        let answer = |word: &str, what: &[String], width, kind| {
            let words = vec![bold(format!("{word} \u{2192} ")), span(what.join(" "))];
            down(0.0, vec![size.text(words).role(Role::Paragraph).node()])
                .pad([1.2 * MM, 1.8 * MM, 1.2 * MM, 1.8 * MM])
                .frame(width, Ink::Black, kind)
                .node()
        };
        let yes = answer(&test.yes, &test.yes_do, 1.4, FrameKind::Solid);
        let no = answer(&test.no, &test.no_do, 3.0, FrameKind::Double);
        children
            .push(columns(&shares(&[1.15, 1.0, 1.0]), 2.0 * MM, vec![question, yes, no]).node());
    }
    down(0.8 * MM, children)
        .pad([1.0 * MM, 1.6 * MM, 1.3 * MM, 1.6 * MM])
        .frame(0.85, Ink::Line, FrameKind::Solid)
        .node()
}

fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

fn picture(card: &StaffCard, size: Size) -> Node {
    let caption = format!("{}, as you face the patient", card.drawing.title);
    let caption = size.text(vec![soft(caption)]).scaled(0.86).role(Role::Paragraph).node();
    let drawing = Node::Picture { drawing: Box::new(card.drawing.clone()), share: size.picture };
    down(0.6 * MM, vec![caption, drawing])
        .pad([0.9 * MM, 0.0, 0.9 * MM, 0.0])
        .frame(0.7, Ink::Line, FrameKind::AboveAndBelow)
        .node()
}

/// Numbered, one action a line; what is unlike the usual in a heavy frame.
fn doing(arch: &ArchDoing, size: Size) -> Node {
    let row = |(i, line): (usize, &DoLine)| {
        let number = Span { ink: Ink::Accent, ..bold((i + 1).to_string()) };
        let number = size.text(vec![number]).role(Role::Label).node();
        let mut words = vec![span(line.text.as_str())];
        if let Some(house) = &line.house {
            words.push(Span { italic: true, ..soft(format!(" {house}")) });
        }
        let body = size.text(words).role(Role::Body).node();
        let row = columns(&[Track::Fixed(5.0 * MM), Track::Share(1.0)], 0.0, vec![number, body])
            .role(Role::Item);
        match line.house {
            Some(_) => row
                .pad([0.6 * MM, 1.0 * MM, 0.7 * MM, 1.0 * MM])
                .frame(1.7, Ink::Black, FrameKind::Solid)
                .node(),
            None => row.node(),
        }
    };
    let list = down(0.55 * MM, arch.lines.iter().enumerate().map(row).collect()).role(Role::List);
    size.part(&arch.heading, vec![list.node()])
}

fn ends(rows: &[EndRow], note: Option<&str>, size: Size) -> Vec<Node> {
    if rows.is_empty() {
        return Vec::new();
    }
    let tracks = [Track::Fixed(19.0 * MM), Track::Share(1.0), Track::Share(1.0)];
    let head = ["", "Patient\u{2019}s right", "Patient\u{2019}s left"];
    let cells = |r: &EndRow| {
        let cell = |text: &str, role| {
            let words = if r.unusual { bold(text) } else { span(text) };
            size.text(vec![words]).role(role).node()
        };
        if r.right == r.left {
            let both = format!("Both: {}", r.right);
            vec![size.row_head(r.arches.as_str()), cell(&both, Role::WideCell)]
        } else {
            vec![
                size.row_head(r.arches.as_str()),
                cell(&r.right, Role::Cell),
                cell(&r.left, Role::Cell),
            ]
        }
    };
    let mut out = vec![
        size.h("Ends of the wire"),
        size.table(&tracks, &head, rows.iter().map(cells).collect()),
    ];
    out.extend(note.map(|n| size.text(vec![soft(n)]).role(Role::Paragraph).node()));
    out
}

fn leaving(card: &StaffCard, size: Size) -> Node {
    let tell = size.part("Tell the patient", vec![size.p(card.tell.join(" "))]);
    let mut right = Vec::new();
    if !card.elastics.is_empty() {
        right.push(elastics(&card.elastics, size));
    }
    let line = |(i, l): (usize, &String)| if i == 0 { size.strong(l) } else { size.p(l) };
    right.push(size.part("Next visit", card.next.iter().enumerate().map(line).collect()));
    let right = down(0.8 * MM, right).node();
    columns(&shares(&[1.0, 1.0]), 5.0 * MM, vec![tell, right]).node()
}

fn elastics(rows: &[ElasticRow], size: Size) -> Node {
    let tracks = [
        Track::Fixed(11.0 * MM),
        Track::Share(1.0),
        Track::Share(1.3),
        Track::Fixed(17.0 * MM),
        Track::Fixed(12.0 * MM),
    ];
    let cells = |r: &ElasticRow| {
        vec![
            size.row_head(r.side.as_str()),
            size.cell(r.from_to.as_str()),
            size.cell(r.what.as_str()),
            size.cell(r.hours.as_str()),
            write_in(size),
        ]
    };
    let head = ["Side", "From, to", "Elastic", "Wear", "Bags given"];
    let table = size.table(&tracks, &head, rows.iter().map(cells).collect());
    size.part("Elastics", vec![table])
}

/// An empty field of a table.
fn write_in(size: Size) -> Node {
    let blank: Text = size.text(vec![span(" ")]);
    across(0.0, vec![blank.node()])
        .role(Role::Cell)
        .frame(0.85, Ink::Black, FrameKind::Below)
        .node()
}
