//! Fits a card to one page: estimates from its text the largest type size at which it fits.
//!
//! Only the browser knows the real layout, so the estimate errs on the safe side; a test with a real
//! browser checks it.

use super::{RecordPart, StaffCard};
use crate::draw::Drawing;
use crate::draw::list::words_width;

/// A size of type, with the class that sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TypeSize {
    pub class: &'static str,
    points: f64,
    line: f64,
    gap: f64,
}

/// From roomy to tight, never under 8.5 pt; the style sheet has the same figures.
const SIZES: [TypeSize; 4] = [
    TypeSize { class: "s0", points: 9.4, line: 1.26, gap: 2.1 },
    TypeSize { class: "s1", points: 9.0, line: 1.24, gap: 1.6 },
    TypeSize { class: "s2", points: 8.7, line: 1.2, gap: 1.2 },
    TypeSize { class: "s3", points: 8.5, line: 1.16, gap: 0.8 },
];
/// A card with more to say than one sheet holds runs on to a second one: small type would be worse.
const LONG: TypeSize = TypeSize { class: "long", points: 8.5, line: 1.16, gap: 0.8 };

/// What is done is set larger: it is read at arm's length.
const DOING: f64 = 10.0;

/// What a Letter sheet leaves between its margins, mm; A4 leaves more.
const HEIGHT: f64 = 262.0;
const WIDTH: f64 = 190.0;

/// The largest size at which the card fits; where none does, one that runs on.
pub fn size(card: &StaffCard) -> TypeSize {
    SIZES.into_iter().find(|s| height(card, *s) <= HEIGHT).unwrap_or(LONG)
}

/// Whether everything is on one sheet.
pub fn fits(card: &StaffCard) -> bool {
    size(card) != LONG
}

/// What other layouts of the same card, on paper by another program, may need more, mm.
const SPARE: f64 = 14.0;

/// Whether everything is on one sheet whatever lays it out.
pub fn fits_easily(card: &StaffCard) -> bool {
    let smallest = SIZES[SIZES.len() - 1];
    height(card, smallest) <= HEIGHT - SPARE
}

/// What a card has too much, mm, where no layout of it and no larger paper keeps it on one sheet.
const SURELY: f64 = 60.0;

/// Whether a card that goes overleaf anyway still does with two sheets when there is more on it. Parts are not broken, so
/// each sheet may end earlier by as much as the tallest of them.
pub fn has_room_overleaf(card: &StaffCard, with_more: &StaffCard) -> bool {
    const BREAK: f64 = 60.0;
    height(card, LONG) > HEIGHT + SURELY && height(with_more, LONG) <= 2.0 * HEIGHT - BREAK - SPARE
}

/// Estimated height, mm.
pub fn height(card: &StaffCard, size: TypeSize) -> f64 {
    let em = size.points * 0.3528;
    let line = em * size.line;
    let heading = line + 0.6;
    let lines =
        |text: &str, wide: f64| (words_width(text, em, false) * 0.95 / wide).ceil().max(1.0);
    let all = |texts: &[String], wide: f64| texts.iter().map(|t| lines(t, wide)).sum::<f64>();
    // Chart, facts and what is done today are on the label's line.
    let beside = WIDTH - 62.0;
    let small = card.unusual.iter().chain(&card.ahead).map(|t| lines(t, beside)).sum::<f64>();
    let today: f64 = card.today.iter().map(|t| lines(t, beside / 1.28) * 1.26).sum();
    let label: f64 = if size.class == "s0" { 19.0 } else { 15.5 };
    let head = label.max(14.5 + (today + small) * line);
    let first_line = 10.0 * 0.3528 * size.line;
    let first = match card.first.is_empty() {
        true => 0.0,
        false => {
            let wide = |t: &String| (words_width(t, 3.528, true) / (WIDTH - 6.0)).ceil();
            4.0 + card.first.iter().map(wide).sum::<f64>() * first_line
        }
    };
    // Three columns 1.15 : 1.05 : 1 with gaps of 5 mm.
    let unit = (WIDTH - 10.0) / 3.2;
    let trays = card.lay_out.iter().map(|t| match t.items.as_slice() {
        [one] => lines(&format!("{}: {one}", t.heading), unit * 1.15),
        items => {
            let heading = if t.heading.is_empty() { 0.0 } else { lines(&t.heading, unit * 1.15) };
            heading + all(items, unit * 1.15 - 4.0)
        }
    });
    let lay_out = heading + trays.sum::<f64>() * line;
    let asked = 2.0 * heading + (all(&card.ask, unit * 1.05) + all(&card.look, unit * 1.05)) * line;
    let blanks = card.measure.iter().map(|b| (lines(&b.what, unit - 20.0) * line).max(4.6));
    let how = card.measure_how.as_deref().map_or(0.0, |t| lines(t, unit) * line);
    let measured = heading + blanks.sum::<f64>() + how;
    let before = lay_out.max(asked).max(measured);
    let mut test = 0.0;
    if !card.tests.is_empty() {
        let how: std::collections::BTreeSet<&String> =
            card.tests.iter().flat_map(|t| &t.how).collect();
        let how: Vec<String> = how.into_iter().cloned().collect();
        let run = format!("TEST, WORST TOOTH FIRST    {}", how.join(" "));
        test = 3.0 + lines(&run, WIDTH - 6.0) * line;
        for t in &card.tests {
            let teeth = lines(&t.question, 52.0) + lines(&t.where_to.join(" "), 56.0);
            let yes = lines(&format!("{} > {}", t.yes, t.yes_do.join(" ")), 48.0);
            let no = lines(&format!("{} > {}", t.no, t.no_do.join(" ")), 63.0);
            test += 1.0 + (teeth * line).max(yes.max(no) * line + 1.8);
        }
    }
    let drawn = |drawing: &Drawing| drawing.height * WIDTH / drawing.width + line + 3.0;
    let picture = drawn(&card.drawing) + card.from_the_bite.as_ref().map_or(0.0, drawn);
    let large = DOING * 0.3528;
    let arches = card.by_arch();
    let column = |arch: &Vec<&super::ArchActions>| {
        let each = arch.iter().map(|d| {
            let each = d.lines.iter().map(|l| {
                let frame = if l.house.is_some() { 1.4 } else { 0.0 };
                let text = format!("{} {}", l.text, l.house.as_deref().unwrap_or_default());
                let lines = (words_width(&text, large, false) * 0.95 / 82.0).ceil().max(1.0);
                lines * large * size.line + frame + 0.6
            });
            heading + each.sum::<f64>()
        });
        each.sum::<f64>()
    };
    let tallest = arches.iter().map(column).fold(0.0, f64::max);
    let end = |wide: f64| {
        [all(&card.fit_check, wide), lines(&card.tell.join(" "), wide), all(&card.next, wide)]
            .map(|lines| if lines > 0.0 { heading + lines * line } else { 0.0 })
    };
    let (doing, end) = if arches.len() == 1 {
        (tallest.max(end(92.0).iter().sum::<f64>() + 2.8), 0.0)
    } else {
        let third = (WIDTH - 10.0) / if card.fit_check.is_empty() { 2.0 } else { 3.0 };
        (tallest, end(third).into_iter().fold(0.0, f64::max))
    };
    let worn = if card.elastics.is_empty() {
        0.0
    } else {
        let one = card.elastics_until();
        let rows = card.elastics.iter().map(|r| match &one {
            Some(_) => 1.0,
            None => lines(&r.until, 45.0),
        });
        let doubt = card.elastics_doubt.iter().chain(&one).count() as f64 * line;
        heading + doubt + (rows.sum::<f64>() + 1.0) * (line + 0.9)
    };
    let record = 3.0
        + heading
        + card
            .record
            .iter()
            .map(|l| {
                if let [RecordPart::Key(words)] = l.0.as_slice() {
                    let wide = words_width(words, 8.5 * 0.3528, false) * 0.95;
                    return (wide / (WIDTH - 5.0)).ceil() * 8.5 * 0.3528 * 1.2 + 0.8;
                }
                let wide: f64 =
                    l.0.iter()
                        .map(|p| match p {
                            RecordPart::Word(w) => words_width(w, em, false) + 1.5,
                            RecordPart::Tick(w) => words_width(w, em, false) + 5.2,
                            RecordPart::Write(what) => {
                                words_width(what, 8.5 * 0.3528, false).max(11.0) + 1.5
                            }
                            RecordPart::Key(w) => words_width(w, em, false) + 1.5,
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
        [head, first, before, test, picture, doing, worn, end, record, call, accepted, 11.0];
    let shown = parts.iter().filter(|p| **p > 0.0).count() as f64;
    parts.iter().sum::<f64>() + (shown - 1.0) * size.gap
}
