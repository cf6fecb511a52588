//! The patient sheet on paper.

use maud::{Markup, html};

use crate::emit::sheet::{PatientSheet, Section};

pub fn patient(sheet: &PatientSheet) -> Markup {
    html! {
        section.page.sheet lang=(sheet.language) dir=(sheet.direction) {
            div.head-top { h2 { (sheet.title) } span.kind dir="ltr" { (sheet.chart) } }
            div.next {
                h3 { (sheet.next_heading) }
                @for line in &sheet.next { p { (line) } }
                p.other { (sheet.next_other) " " span.blank {} }
            }
            @for section in &sheet.sections { (one(section)) }
            div.two {
                (one(&sheet.call))
                div {
                    h3 { (sheet.contact_heading) }
                    p.contact { (sheet.contact) }
                    div.ruled {}
                }
            }
            p.urgent { (sheet.urgent) }
            div {
                (one(&sheet.notes))
                div.ruled {}
                div.ruled {}
            }
            footer.foot {
                (sheet.safety) " " (sheet.reading) br;
                span.stamp dir="ltr" {
                    (sheet.practice) " \u{b7} " (sheet.chart) " \u{b7} " (sheet.stamp)
                }
            }
        }
    }
}

fn one(section: &Section) -> Markup {
    html! {
        div {
            h3 { (section.heading) }
            @if section.list {
                ul { @for line in &section.lines { li { (line) } } }
            } @else {
                p { (section.lines.join(" ")) }
            }
        }
    }
}
