//! One visit, one page: the size of type at which a card still fits, estimated from its words.
//!
//! A browser lays the page out later and nobody can ask it here, so the estimate errs on the full
//! side; a test with a real browser holds it to that.

use crate::emit::card::{RecordPart, StaffCard};
use crate::emit::draw::list::words_width;

/// A size of type, with the class that sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    pub class: &'static str,
    points: f64,
    line: f64,
    gap: f64,
    picture: f64,
}

/// From roomy to tight; the style sheet has the same figures.
const SIZES: [Size; 5] = [
    Size { class: "s0", points: 8.9, line: 1.26, gap: 2.1, picture: 1.0 },
    Size { class: "s1", points: 8.4, line: 1.26, gap: 1.7, picture: 1.0 },
    Size { class: "s2", points: 7.9, line: 1.22, gap: 1.3, picture: 1.0 },
    Size { class: "s3", points: 7.4, line: 1.18, gap: 1.0, picture: 0.94 },
    Size { class: "s4", points: 6.9, line: 1.15, gap: 0.7, picture: 0.86 },
];

/// What a Letter sheet leaves between its margins, mm; A4 leaves more.
const HEIGHT: f64 = 262.0;
const WIDTH: f64 = 190.0;

/// The largest size at which the card fits; the smallest where none does.
pub fn size(card: &StaffCard) -> Size {
    let fits = SIZES.into_iter().find(|s| height(card, *s) <= HEIGHT);
    fits.unwrap_or(SIZES[SIZES.len() - 1])
}

/// Estimated height, mm.
pub fn height(card: &StaffCard, size: Size) -> f64 {
    let em = size.points * 0.3528;
    let line = em * size.line;
    let heading = em * 0.9 * size.line + 0.6;
    let lines =
        |text: &str, wide: f64| (words_width(text, em, false) * 0.95 / wide).ceil().max(1.0);
    let all = |texts: &[String], wide: f64| texts.iter().map(|t| lines(t, wide)).sum::<f64>();
    let head = if size.class == "s0" { 19.0 } else { 15.5 };
    let small = card.unusual.len() + usize::from(card.ahead.is_some());
    let today = (card.today.len() as f64 * 1.32 + small as f64) * line;
    // Three columns 1.25 : 1.15 : 0.8 with gaps of 5 mm.
    let unit = (WIDTH - 10.0) / 3.2;
    let trays = card.lay_out.iter().map(|t| {
        let heading = if t.heading.is_empty() { 0.0 } else { lines(&t.heading, unit * 1.25) };
        heading + all(&t.items, unit * 1.25 - 4.0)
    });
    let lay_out = heading + trays.sum::<f64>() * line;
    let asked = 2.0 * heading + (all(&card.ask, unit * 1.15) + all(&card.look, unit * 1.15)) * line;
    let measured = heading + card.measure.len() as f64 * line.max(4.6);
    let before = lay_out.max(asked).max(measured);
    let mut test = 0.0;
    if !card.tests.is_empty() {
        let how: std::collections::BTreeSet<&String> =
            card.tests.iter().flat_map(|t| &t.how).collect();
        let how: f64 = how.iter().map(|t| lines(t, WIDTH - 6.0)).sum();
        test = 3.0 + heading + how * line;
        for t in &card.tests {
            let teeth = lines(&t.question, 58.0) + lines(&t.where_to.join(" "), 66.0);
            let yes = lines(&format!("{} > {}", t.yes, t.yes_do.join(" ")), 50.0);
            let no = lines(&format!("{} > {}", t.no, t.no_do.join(" ")), 49.0);
            test += 1.0 + (teeth * line).max(yes.max(no) * line + 1.8);
        }
    }
    let picture = card.drawing.height * WIDTH / card.drawing.width * size.picture + line + 3.0;
    let doing = card
        .doing
        .iter()
        .map(|d| {
            let wide = if card.doing.len() > 1 { 82.0 } else { 178.0 };
            let each = d.lines.iter().map(|l| {
                let frame = if l.house.is_some() { 1.4 } else { 0.0 };
                let text = format!("{} {}", l.text, l.house.as_deref().unwrap_or_default());
                lines(&text, wide) * line + frame + 0.6
            });
            heading + each.sum::<f64>()
        })
        .fold(0.0, f64::max);
    let mut ends = 0.0;
    if !card.ends.is_empty() {
        let rows = card.ends.iter().map(|r| {
            if r.right == r.left { 1.0 } else { lines(&r.right, 33.0).max(lines(&r.left, 33.0)) }
        });
        ends = heading
            + (rows.sum::<f64>() + 1.0) * (line + 0.9)
            + card.ends_note.map_or(0.0, |_| line);
    }
    let fit = heading + all(&card.fit_check, 91.0) * line;
    let ends = if card.fit_check.is_empty() { ends } else { ends.max(fit) };
    let tell = heading + lines(&card.tell.join(" "), 91.0) * line;
    let worn = if card.elastics.is_empty() {
        0.0
    } else {
        heading + (card.elastics.len() as f64 + 1.0) * (line + 0.9)
    };
    let tell = tell.max(worn + heading + card.next.len() as f64 * line);
    let record = 3.0
        + heading
        + card
            .record
            .iter()
            .map(|l| {
                let wide: f64 =
                    l.0.iter()
                        .map(|p| match p {
                            RecordPart::Word(w) => words_width(w, em * 0.96, false) + 1.5,
                            RecordPart::Tick(w) => words_width(w, em * 0.96, false) + 5.2,
                            RecordPart::Write(_) => 12.5,
                            RecordPart::Key(w) => words_width(w, em * 0.8, false) + 1.5,
                        })
                        .sum();
                (wide * 0.95 / (WIDTH - 5.0)).ceil().max(1.0) * (line.max(3.7) + 0.5) + 0.3
            })
            .sum::<f64>();
    let call =
        lines(&format!("CALL THE DOCTOR IF: {}", card.call.join("; ")), WIDTH - 6.0) * line + 0.4;
    let accepted = if card.accepted.is_empty() {
        0.0
    } else {
        lines(&format!("Accepted by the doctor. {}", card.accepted.join(". ")), WIDTH) * line
    };
    let parts =
        [head, today, before, test, picture, doing, ends, tell, record, call, accepted, 9.0];
    let shown = parts.iter().filter(|p| **p > 0.0).count() as f64;
    parts.iter().sum::<f64>() + (shown - 1.0) * size.gap
}
