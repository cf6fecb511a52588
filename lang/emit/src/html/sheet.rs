//! The patient sheet as HTML.

use maud::{Markup, html};

use crate::draw::svg;
use crate::sheet::{PatientSheet, SheetSection};

pub fn patient(sheet: &PatientSheet) -> Markup {
    html! {
        section.page.sheet lang=(sheet.language) dir=(sheet.direction) {
            div.head-top { h2 { (sheet.title) } span.kind dir="ltr" { (sheet.chart) } }
            div.next {
                h3 { (sheet.next_heading) }
                @for line in &sheet.next { p { (line) } }
                p.other { (sheet.next_other) " " span.blank {} }
            }
            @for (i, section) in sheet.sections.iter().enumerate() {
                (one(section))
                @if let Some(picture) = &section.picture {
                    figure.bands {
                        figcaption { (picture.title) }
                        (svg::inline(picture, &format!("bands-{i}")))
                    }
                }
            }
            div.two {
                (one(&sheet.call))
                div {
                    h3 { (sheet.contact_heading) }
                    p.contact { b { (sheet.practice) } br; (sheet.contact) }
                    @if sheet.contact_blank { div.ruled {} }
                }
            }
            p.urgent { (sheet.urgent) }
            div {
                (one(&sheet.notes))
                div.ruled {}
                div.ruled {}
            }
            footer.foot {
                (sheet.safety) br;
                span.stamp dir="ltr" {
                    (sheet.practice) " \u{b7} " (sheet.chart) " \u{b7} " (sheet.stamp)
                }
            }
        }
    }
}

fn one(section: &SheetSection) -> Markup {
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
