//! The course at a glance, for doctor and patient together.

use maud::{Markup, html};

use super::parts::foot;
use crate::emit::plan::{InMouth, Plan, VisitToday};
use crate::emit::{dates, own_words, say};

pub fn course(plan: &Plan<'_>, drawing: &Markup) -> Markup {
    html! {
        section.page.plain {
            header.head-top {
                h2 { (own_words(&plan.case.chart)) }
                span.kind { "The course at a glance" }
            }
            p { "Predicted from textbook mechanics. A bar is a wire, from the day it goes in to the day "
                "it comes out; a heavy outline is a wire that is or was in the mouth. The dot below is "
                "when it is expected to have done its work, the line the span in which eight of ten "
                "patients lie. Filled circles are visits that were recorded." }
            figure.picture { (drawing) }
            table.band-table {
                tr { th scope="col" { "Visit" } th scope="col" { "Date" } th scope="col" { "Upper" }
                    th scope="col" { "Lower" } th scope="col" { "Time" } }
                @for (i, visit) in plan.forecast.visits.iter().enumerate() {
                    tr {
                        th scope="row" { (i + 1) @if visit.recorded.is_some() { ", seen" } }
                        td { (dates::long(visit.date)) }
                        @for arch in crate::model::tooth::Arch::BOTH {
                            td { (what(plan, i + 1, arch)) }
                        }
                        td.num { (crate::model::quantity::plain(visit.minutes)) " min" }
                    }
                }
            }
            @if let Some(teeth) = super::case::assumed(plan) {
                p.note { "Not described, taken as in line: " (teeth) "." }
            }
            (foot(&plan.stamp.line()))
        }
    }
}

fn what(plan: &Plan<'_>, number: usize, arch: crate::model::tooth::Arch) -> String {
    let today = VisitToday::of(plan, number);
    let Some(here) = today.as_ref().and_then(|t| t.arch(arch)) else { return String::new() };
    let name = |m: InMouth<'_>| m.state.wire.names();
    match (here.now, here.next) {
        (None, Some(next)) => format!("{} in", name(next)),
        (Some(now), Some(_)) if here.expected() && here.same_wire() => {
            format!("{} stays, next step", name(now))
        }
        (Some(now), Some(next)) if here.expected() => {
            format!("{} out, {} in", name(now), name(next))
        }
        (Some(now), _) => format!("{} stays", name(now)),
        (None, None) => String::new(),
    }
}

/// A case whose course has no visit to come.
pub fn nothing(plan: &Plan<'_>) -> Markup {
    let arches: Vec<String> =
        plan.case.arches.iter().map(|a| say::arch(a.arch).to_lowercase()).collect();
    html! {
        section.page.plain {
            header.head-top {
                h2 { (own_words(&plan.case.chart)) }
                span.kind { "No visit planned" }
            }
            p { "The plan has no visit to come"
                @if !arches.is_empty() { " in the " (say::and(&arches)) " arch" }
                ". A start date and at least one step make one." }
            (foot(&plan.stamp.line()))
        }
    }
}
