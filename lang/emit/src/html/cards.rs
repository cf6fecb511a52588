//! Staff card, hold card and repair card as HTML.

use maud::{Markup, html};

use super::parts::{bullets, foot, label_box};
use crate::card::fit;
use crate::card::{
    ArchActions, Head, HoldCard, MAY, RecordLine, RecordPart, RepairCard, StaffCard, Test, Tray,
};
use crate::draw::svg;
use crate::{dates, wording};
use springline_units::quantity::plain;

/// One visit. `id` makes the drawing's names unique in the file.
pub fn staff(card: &StaffCard, id: &str) -> Markup {
    html! {
        section class={ "page " (fit::size(card).class) } aria-labelledby={ (id) "-h" } {
            (head(card, id))
            @if !card.first.is_empty() {
                div.first { @for line in &card.first { p { (line) } } }
            }
            div.three {
                div { h3 { "Set up" } @for tray in &card.lay_out { (lay_out(tray)) } }
                div {
                    h3 { "Ask" } @for line in &card.ask { p { (line) } }
                    h3 { "Look" } @for line in &card.look { p { (line) } }
                }
                @if !card.measure.is_empty() {
                    div {
                        h3 { "Measure first" }
                        div.measure { @for blank in &card.measure {
                            div { span { (blank.what) }
                                span { span.fill {} " " span.unit { (blank.unit) } } }
                        } }
                        @if let Some(how) = &card.measure_how { p { (how) } }
                    }
                }
            }
            @if !card.tests.is_empty() { (tests(&card.tests)) }
            figure.picture {
                figcaption { (card.drawing.title) ", as you face the patient" }
                (svg::inline(&card.drawing, &format!("{id}-d")))
            }
            @if let Some(bite) = &card.from_the_bite {
                figure.picture {
                    figcaption { (bite.title) }
                    (svg::inline(bite, &format!("{id}-b")))
                }
            }
            @let arches = card.by_arch();
            @if !arches.is_empty() {
                div.two {
                    @for arch in &arches { div { @for one in arch { (arch_actions(one)) } } }
                    @if arches.len() == 1 { div.beside { (leaving(card)) } }
                }
            }
            @if !card.elastics.is_empty() { (elastics(card)) }
            @if arches.len() != 1 {
                div class=(if card.fit_check.is_empty() { "two" } else { "three-even" }) {
                    (leaving(card))
                }
            }
            div.record {
                h3 { "Visit record" }
                @for line in &card.record { (record(line)) }
            }
            div.call {
                h3 { "Call the doctor if: " }
                p { (card.call.join("; ")) "." }
            }
            @if !card.accepted.is_empty() {
                div.accepted {
                    b { "Accepted by the doctor. " }
                    @for line in &card.accepted { span { (line) ". " } }
                }
            }
            (foot(&format!("{} \u{b7} {}", card.head.practice, card.stamp)))
        }
    }
}

fn leaving(card: &StaffCard) -> Markup {
    html! {
        @if !card.fit_check.is_empty() {
            div.fit {
                h3 { "Fit check" }
                @for (i, line) in card.fit_check.iter().enumerate() {
                    @if i == 1 { p { b { (line) } } } @else { p { (line) } }
                }
            }
        }
        div { h3 { "Tell the patient" } p { (card.tell.join(" ")) } }
        div {
            h3 { "Next visit" }
            @for (i, line) in card.next.iter().enumerate() {
                @if i == 0 { p { b { (line) } } } @else { p { (line) } }
            }
        }
    }
}

/// A heading an arch, so that what may not be needed is apart; a single item goes on the same line.
fn lay_out(tray: &Tray) -> Markup {
    html! {
        @match tray.items.as_slice() {
            [one] if !tray.heading.is_empty() => p { b { (tray.heading) ":" } " " (one) },
            items => {
                @if !tray.heading.is_empty() { p { b { (tray.heading) } } }
                (bullets(items))
            }
        }
    }
}

fn head(card: &StaffCard, id: &str) -> Markup {
    let head = &card.head;
    html! {
        header.head {
            (label_box())
            div.head-facts {
                div.head-top {
                    h2 id={ (id) "-h" } { (head.chart) }
                    span.kind { (head.kind) }
                }
                dl {
                    div { dt { "Date" } dd { (dates::long(head.date)) } }
                    div { dt { "Visit" } dd { (head.number) " of " (head.of) } }
                    div { dt { "Time" } dd { (minutes(head)) } }
                    @if let Some(doctor) = &head.doctor { div { dt { "Doctor" } dd { (doctor) } } }
                }
                div.today {
                    @for line in &card.today { p { (line) } }
                    @if !card.unusual.is_empty() || card.ahead.is_some() {
                        p.unusual-step {
                            @for line in &card.unusual { (line) " " }
                            @if let Some(line) = &card.ahead { b { (line) } }
                        }
                    }
                }
            }
        }
    }
}

/// "20 min", with what a test passed early would add.
fn minutes(head: &Head) -> String {
    match head.minutes_if {
        Some(more) => {
            format!("{} min ({} if passed early)", plain(head.minutes), plain(more))
        }
        None => format!("{} min", plain(head.minutes)),
    }
}

/// How the tests are done, said once; then a row an arch, its two answers side by side.
fn tests(tests: &[Test]) -> Markup {
    let mut how: Vec<&str> = Vec::new();
    for line in tests.iter().flat_map(|t| &t.how) {
        if !how.contains(&line.as_str()) {
            how.push(line);
        }
    }
    html! {
        div.test {
            div.run { h3 { "Test, worst tooth first" } @if !how.is_empty() { p { (how.join(" ")) } } }
            @for test in tests {
                div.test-arch {
                    div {
                        p.ask-line { (wording::arch(test.arch)) ": " (lower(&test.question)) }
                        p { (test.where_to.join(" ")) }
                    }
                    div.answer.yes { b { (test.yes) " \u{2192} " } p { (test.yes_do.join(" ")) } }
                    div.answer.no { b { (test.no) " \u{2192} " } p { (test.no_do.join(" ")) } }
                }
            }
        }
    }
}

/// A question after its arch: "Upper: is the wire passive?"
fn lower(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_lowercase().chain(chars).collect()).unwrap_or_default()
}

fn arch_actions(arch: &ArchActions) -> Markup {
    html! {
        div {
            h3 { (arch.heading) @if let Some(key) = arch.key() { " " span.frames { (key) } } }
            ol.do { @for line in &arch.lines {
                @match &line.house {
                    Some(house) => li.own { span { (line.text) " " span.house { (house) } } },
                    None => li { span { (line.text) } },
                }
            } }
        }
    }
}

fn elastics(card: &StaffCard) -> Markup {
    let until = card.elastics_until();
    html! {
        div {
        h3 { "Elastics" }
        @if let Some(doubt) = &card.elastics_doubt { p { b { (doubt) } } }
        @if let Some(until) = &until { p { (until) } }
        table {
            tr { th scope="col" { "Side" } th scope="col" { "From, to" } th scope="col" { "Elastic" }
                th scope="col" { "Wear" }
                @if until.is_none() { th scope="col" { "Until" } }
                th scope="col" { "Bags given" } }
            @for row in &card.elastics {
                tr {
                    th scope="row" { (row.side) }
                    td { (row.from_to) }
                    td { (row.what) }
                    td { (row.hours) }
                    @if until.is_none() { td { (row.until) } }
                    td { }
                }
            }
        }
        }
    }
}

fn record(line: &RecordLine) -> Markup {
    html! {
        div.line { @for part in &line.0 {
            @match part {
                RecordPart::Word(word) => span { (word) },
                RecordPart::Tick(word) => span.tick { (word) },
                RecordPart::Write("long") => span.write.long {},
                RecordPart::Write(unit) => span.write { (unit) },
                RecordPart::Key(words) => span.key { (words) },
            }
        } }
    }
}

/// Nothing of the plan: only what keeps the patient comfortable until the doctor has looked.
pub fn hold(card: &HoldCard) -> Markup {
    html! {
        section.page.plain {
            header.head {
                (label_box())
                div.head-facts {
                    div.head-top { h2 { (card.chart) } span.kind { "Hold" } }
                    dl {
                        div { dt { "Date" } dd { (dates::long(card.date)) } }
                        @if let Some(doctor) = &card.doctor { div { dt { "Doctor" } dd { (doctor) } } }
                        div { dt { "Practice" } dd { (card.practice) } }
                    }
                }
            }
            div.hold {
                span.big-word { "HOLD" }
                p { b { "Do not change a wire today." } " " (card.open) }
            }
            div { h3 { "Comfort: you may" } (bullets(&card.comfort)) }
            div { h3 { "Repair. " (MAY) } (bullets(&card.repair)) }
            div { h3 { "Do not" } (bullets(&card.not)) }
            div.call { h3 { "Call the doctor now: " } p { (card.call) } }
            div.record {
                h3 { "Visit record" }
                @for line in &card.record { (record(line)) }
            }
            (foot(&card.stamp))
        }
    }
}

/// For a patient who comes between visits.
pub fn repair(card: &RepairCard) -> Markup {
    html! {
        section.page.plain {
            header.head {
                (label_box())
                div.head-facts {
                    div.head-top { h2 { (card.chart) } span.kind { "Repair card" } }
                    dl {
                        @for line in &card.in_mouth { div { dd { (line) } } }
                        @if let Some(doctor) = &card.doctor { div { dt { "Doctor" } dd { (doctor) } } }
                    }
                }
            }
            div.today { p { "A repair does not change the next date" (card.next) "." } }
            figure.picture {
                figcaption { "In the mouth now, as you face the patient" }
                (svg::inline(&card.drawing, "repair-d"))
            }
            table {
                tr { th scope="col" { "Found" } th scope="col" { (MAY) }
                    th scope="col" { "Ask the doctor" } }
                @for row in &card.rows {
                    tr { th scope="row" { (row.found) } td { (row.may) } td { (row.ask) } }
                }
            }
            div.record {
                h3 { "Visit record" }
                @for line in &card.record { (record(line)) }
            }
            div.call { h3 { "Call the doctor if: " } p { (card.call.join("; ")) "." } }
            (foot(&card.stamp))
        }
    }
}
