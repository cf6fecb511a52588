//! Overview of the course as HTML, for doctor and patient.

use maud::{Markup, html};

use super::parts::foot;
use crate::draw::svg;
use crate::pages::{CoursePage, NothingPage};

pub fn course(page: &CoursePage) -> Markup {
    html! {
        section.page.plain {
            header.head-top {
                h2 { (page.chart) }
                span.kind { (page.title) }
            }
            p { (page.how_to_read) }
            figure.picture { (svg::inline(&page.drawing, "course")) }
            figure.picture {
                figcaption { (page.entered.title) }
                (svg::inline(&page.entered, "entered"))
            }
            table.band-table {
                tr { @for name in page.head { th scope="col" { (name) } } }
                @for [number, date, upper, lower, time] in &page.rows {
                    tr {
                        th scope="row" { (number) }
                        td { (date) }
                        td { (upper) }
                        td { (lower) }
                        td.num { (time) }
                    }
                }
            }
            @if let Some(note) = &page.note { p.note { (note) } }
            (foot(&page.stamp))
        }
    }
}

pub fn nothing(page: &NothingPage) -> Markup {
    html! {
        section.page.plain {
            header.head-top {
                h2 { (page.chart) }
                span.kind { (page.title) }
            }
            p { (page.text) }
            (foot(&page.stamp))
        }
    }
}
