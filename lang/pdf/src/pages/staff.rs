//! The page of the staff card.

use springline_emit::card::{ActionLine, ArchActions, ElasticRow, StaffCard, Test};
use springline_emit::draw::Drawing;
use springline_emit::{dates, wording};
use springline_units::quantity::plain;

use super::{DOING, PageTypeSize};
use crate::node::{
    Ink, MM, PageArea, PageFrameKind, PageNode, PageSpan, PageText, Role, Track, across, bold,
    columns, down, shares, soft, span,
};

pub fn card(card: &StaffCard, size: PageTypeSize) -> PageNode {
    size.sheet(parts(card, size), &stamp(card))
}

/// A visit with more to say than one sheet holds.
pub fn one_sheet(
    card: &StaffCard,
    size: PageTypeSize,
    number: usize,
    more: bool,
    parts: &[PageNode],
) -> PageNode {
    let mut all = Vec::new();
    if number > 1 {
        let date = dates::long(card.head.date);
        all.push(size.title(&card.head.chart, &format!("{date}, sheet {number}")));
    }
    all.extend(parts.iter().cloned());
    if more {
        all.push(size.strong("Goes on overleaf."));
    }
    size.sheet(all, &stamp(card))
}

fn stamp(card: &StaffCard) -> String {
    format!("{} \u{b7} {}", card.head.practice, card.stamp)
}

/// From the head to what the doctor accepted.
pub fn parts(card: &StaffCard, size: PageTypeSize) -> Vec<PageNode> {
    let mut parts = vec![head(card, size)];
    if !card.first.is_empty() {
        let line =
            |l: &String| size.text(vec![bold(l.as_str())]).at(DOING).role(Role::Paragraph).node();
        let first = down(0.4 * MM, card.first.iter().map(line).collect())
            .pad([1.0 * MM, 2.0 * MM, 1.0 * MM, 2.0 * MM])
            .frame(2.6, Ink::Black, PageFrameKind::Solid);
        parts.push(first.node());
    }
    parts.push(before(card, size));
    if !card.tests.is_empty() {
        parts.push(tests(&card.tests, size));
    }
    let facing = format!("{}, as you face the patient", card.drawing.title);
    parts.push(picture(&card.drawing, &facing, size));
    if let Some(bite) = &card.from_the_bite {
        parts.push(picture(bite, &bite.title, size));
    }
    let arches = card.by_arch();
    if !arches.is_empty() {
        let one = |arch: &Vec<&ArchActions>| {
            down(size.gap * MM, arch.iter().map(|d| arch_actions(d, size)).collect()).node()
        };
        let mut each: Vec<PageNode> = arches.iter().map(one).collect();
        // Beside one arch there is room for how the visit ends.
        if each.len() == 1 {
            each.push(down(1.2 * MM, leaving(card, size)).node());
        }
        parts.push(columns(&shares(&[1.0, 1.0]), 5.0 * MM, each).node());
    }
    if !card.elastics.is_empty() {
        parts.push(elastics(card, size));
    }
    if card.by_arch().len() != 1 {
        let leaving = leaving(card, size);
        parts.push(columns(&shares(&vec![1.0; leaving.len()]), 5.0 * MM, leaving).node());
    }
    parts.push(size.form("Visit record", &card.record));
    parts.push(size.call("Call the doctor if:", &format!("{}.", card.call.join("; "))));
    if !card.accepted.is_empty() {
        let lines = format!("{}.", card.accepted.join(". "));
        let words = vec![bold("Accepted by the doctor. "), span(lines)];
        parts.push(size.text(words).role(Role::Paragraph).node());
    }
    parts
}

fn head(card: &StaffCard, size: PageTypeSize) -> PageNode {
    let head = &card.head;
    let time = match head.minutes_if {
        Some(more) => {
            format!("{} min ({} if passed early)", plain(head.minutes), plain(more))
        }
        None => format!("{} min", plain(head.minutes)),
    };
    let mut facts = vec![
        ("Date", dates::long(head.date)),
        ("Visit", format!("{} of {}", head.number, head.of)),
        ("Time", time),
    ];
    facts.extend(head.doctor.clone().map(|d| ("Doctor", d)));
    size.head(&head.chart, &head.kind, &facts, Some(today(card, size)))
}

fn today(card: &StaffCard, size: PageTypeSize) -> PageNode {
    let line =
        |l: &String| size.text(vec![bold(l.as_str())]).scaled(1.2).role(Role::Paragraph).node();
    let mut lines: Vec<PageNode> = card.today.iter().map(line).collect();
    let mut small: Vec<PageSpan> = card.unusual.iter().map(|l| span(format!("{l} "))).collect();
    small.extend(card.ahead.iter().map(|l| bold(l.as_str())));
    if !small.is_empty() {
        lines.push(size.text(small).role(Role::Paragraph).node());
    }
    down(0.2 * MM, lines).node()
}

/// A heading an arch, so that what may not be needed lies apart.
fn lay_out(card: &StaffCard, size: PageTypeSize) -> Vec<PageNode> {
    let mut out = Vec::new();
    for tray in &card.lay_out {
        if let ([one], false) = (tray.items.as_slice(), tray.heading.is_empty()) {
            let words = vec![bold(format!("{}: ", tray.heading)), span(one.as_str())];
            out.push(size.text(words).role(Role::Paragraph).node());
            continue;
        }
        if !tray.heading.is_empty() {
            let words = vec![bold(tray.heading.as_str())];
            out.push(size.text(words).role(Role::Paragraph).node());
        }
        out.push(size.bullets(&tray.items));
    }
    out
}

/// Set up, ask and look, measure: before anything is opened.
fn before(card: &StaffCard, size: PageTypeSize) -> PageNode {
    let all = |lines: &[String]| lines.iter().map(|l| size.p(l.as_str())).collect::<Vec<_>>();
    let asked =
        down(0.6 * MM, vec![size.part("Ask", all(&card.ask)), size.part("Look", all(&card.look))]);
    let mut sides = vec![size.part("Set up", lay_out(card, size)), asked.node()];
    let mut wide = vec![1.15, 1.05];
    if !card.measure.is_empty() {
        let blank = |b: &springline_emit::card::Blank| {
            let what = size.text(vec![span(b.what.as_str())]).node();
            let field = PageArea { min_height: 4.0 * MM, ..down(0.0, Vec::new()) };
            let field = field.frame(0.85, Ink::Black, PageFrameKind::Solid).node();
            let unit = size.text(vec![soft(b.unit)]).node();
            let tracks = [Track::Share(1.0), Track::Fixed(12.0 * MM), Track::Fixed(6.0 * MM)];
            PageArea { centred: true, ..columns(&tracks, 1.0 * MM, vec![what, field, unit]) }
                .role(Role::Paragraph)
                .node()
        };
        let blanks = down(0.6 * MM, card.measure.iter().map(blank).collect()).node();
        let mut measure = vec![blanks];
        measure.extend(card.measure_how.as_deref().map(|how| size.p(how)));
        sides.push(size.part("Measure first", measure));
        wide.push(1.0);
    }
    columns(&shares(&wide), 5.0 * MM, sides).node()
}

/// How the tests are done, said once; then a row an arch, its two answers side by side.
fn tests(tests: &[Test], size: PageTypeSize) -> PageNode {
    let mut how: Vec<&str> = Vec::new();
    for line in tests.iter().flat_map(|t| &t.how) {
        if !how.contains(&line.as_str()) {
            how.push(line);
        }
    }
    let heading = size.h("Test, worst tooth first");
    let mut children = match how.is_empty() {
        true => vec![heading],
        false => vec![across(2.0 * MM, vec![heading, size.p(how.join(" "))]).node()],
    };
    for test in tests {
        let ask = format!("{}: {}", wording::arch(test.arch), lower(&test.question));
        let ask = size.text(vec![bold(ask)]).scaled(1.06).role(Role::Paragraph).node();
        let question = down(0.3 * MM, vec![ask, size.p(test.where_to.join(" "))]).node();
        let answer = |word: &str, what: &[String], width, kind| {
            let words = vec![bold(format!("{word} \u{2192} ")), span(what.join(" "))];
            down(0.0, vec![size.text(words).role(Role::Paragraph).node()])
                .pad([1.2 * MM, 1.8 * MM, 1.2 * MM, 1.8 * MM])
                .frame(width, Ink::Black, kind)
                .node()
        };
        let yes = answer(&test.yes, &test.yes_do, 1.4, PageFrameKind::Solid);
        let no = answer(&test.no, &test.no_do, 3.0, PageFrameKind::Double);
        children
            .push(columns(&shares(&[1.0, 0.95, 1.25]), 2.0 * MM, vec![question, yes, no]).node());
    }
    down(0.8 * MM, children)
        .pad([1.0 * MM, 1.6 * MM, 1.3 * MM, 1.6 * MM])
        .frame(0.85, Ink::Line, PageFrameKind::Solid)
        .node()
}

fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

fn picture(drawing: &Drawing, caption: &str, size: PageTypeSize) -> PageNode {
    let caption = size.text(vec![soft(caption)]).role(Role::Paragraph).node();
    let drawing = PageNode::Picture { drawing: Box::new(drawing.clone()), share: 1.0 };
    down(0.6 * MM, vec![caption, drawing])
        .pad([0.9 * MM, 0.0, 0.9 * MM, 0.0])
        .frame(0.7, Ink::Line, PageFrameKind::AboveAndBelow)
        .node()
}

/// Numbered, one action a line; what is unlike the usual in a heavy frame.
fn arch_actions(arch: &ArchActions, size: PageTypeSize) -> PageNode {
    let large = PageTypeSize { points: size.points.max(DOING), ..size };
    let row = |(i, line): (usize, &ActionLine)| {
        let number = PageSpan { ink: Ink::Accent, ..bold((i + 1).to_string()) };
        let number = large.text(vec![number]).role(Role::Label).node();
        let mut words = vec![span(line.text.as_str())];
        if let Some(house) = &line.house {
            words.push(PageSpan { italic: true, ..span(format!(" {house}")) });
        }
        let body = large.text(words).role(Role::Body).node();
        let row = columns(&[Track::Fixed(5.5 * MM), Track::Share(1.0)], 0.0, vec![number, body])
            .role(Role::Item);
        match line.house {
            Some(_) => row
                .pad([0.4 * MM, 1.0 * MM, 0.5 * MM, 1.0 * MM])
                .frame(1.7, Ink::Black, PageFrameKind::Solid)
                .node(),
            None => row.node(),
        }
    };
    let list = down(0.5 * MM, arch.lines.iter().enumerate().map(row).collect()).role(Role::List);
    let mut heading = vec![size.h(&arch.heading)];
    heading.extend(arch.key().map(|key| size.p(key)));
    down(0.5 * MM, vec![across(2.0 * MM, heading).node(), list.node()]).node()
}

fn leaving(card: &StaffCard, size: PageTypeSize) -> Vec<PageNode> {
    let strong_at = |lines: &[String], at: usize| -> Vec<PageNode> {
        let line = |(i, l): (usize, &String)| if i == at { size.strong(l) } else { size.p(l) };
        lines.iter().enumerate().map(line).collect()
    };
    let mut parts = Vec::new();
    if !card.fit_check.is_empty() {
        parts.push(size.part("Fit check", strong_at(&card.fit_check, 1)));
    }
    parts.push(size.part("Tell the patient", vec![size.p(card.tell.join(" "))]));
    parts.push(size.part("Next visit", strong_at(&card.next, 0)));
    parts
}

fn elastics(card: &StaffCard, size: PageTypeSize) -> PageNode {
    let until = card.elastics_until();
    let mut tracks = vec![
        Track::Fixed(13.0 * MM),
        Track::Share(1.0),
        Track::Share(1.0),
        Track::Share(1.2),
        Track::Fixed(20.0 * MM),
    ];
    let mut head = vec!["Side", "From, to", "Elastic", "Wear", "Bags given"];
    if until.is_none() {
        tracks.insert(4, Track::Share(1.9));
        head.insert(4, "Until");
    }
    let cells = |r: &ElasticRow| {
        let mut cells = vec![
            size.row_head(r.side.as_str()),
            size.cell(r.from_to.as_str()),
            size.cell(r.what.as_str()),
            size.cell(r.hours.as_str()),
        ];
        if until.is_none() {
            cells.push(size.cell(r.until.as_str()));
        }
        cells.push(write_in(size));
        cells
    };
    let mut parts: Vec<PageNode> = card.elastics_doubt.iter().map(|d| size.strong(d)).collect();
    parts.extend(until.as_deref().map(|until| size.p(until)));
    parts.push(size.table(&tracks, &head, card.elastics.iter().map(cells).collect()));
    size.part("Elastics", parts)
}

/// An empty field of a table.
fn write_in(size: PageTypeSize) -> PageNode {
    let blank: PageText = size.text(vec![span(" ")]);
    across(0.0, vec![blank.node()])
        .role(Role::Cell)
        .frame(0.85, Ink::Black, PageFrameKind::Below)
        .node()
}
