//! Preview: the forces of one wire as a row of bars, tooth by tooth from the patient's right.

use maud::{Markup, html};

use crate::wording;
use springline_course::{Components, Phase, ToothLoad};
use springline_model::stand::InOut;
use springline_units::quantity::newtons_to_grams;
use springline_units::tooth::{Notation, Tooth};

/// Below it a force is negligible, and its direction is not shown.
const SLIGHT_G: f64 = 0.5;

/// A table with a column for each tooth; `None` where the wire has no figures.
pub fn table(phase: &Phase, notation: Notation, caption: &str) -> Option<Markup> {
    let teeth = &phase.insertion.teeth;
    if teeth.is_empty() {
        return None;
    }
    let largest = |t: &ToothLoad| newtons_to_grams(t.peak_n.max(t.sustained_n));
    let most = teeth.iter().map(largest).fold(1.0, f64::max);
    let bar = |newtons: f64| format!("--f:{:.3}", (newtons_to_grams(newtons) / most).min(1.0));
    Some(html! {
        // A table wider than the window is moved sideways, by keyboard too.
        div.scroll tabindex="0" role="region" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr {
                    th scope="col" { "tooth" }
                    @for load in teeth { th scope="col" { (load.tooth.write(notation)) } }
                } }
                tbody {
                    tr.bars aria-hidden="true" {
                        th { "g" }
                        @for load in teeth { td {
                            span.bar style=(bar(load.peak_n)) {}
                            span.bar.later style=(bar(load.sustained_n)) {}
                        } }
                    }
                    tr {
                        th scope="row" { span.key {} "on insertion, g" }
                        @for load in teeth { td { (grams(load.peak_n)) } }
                    }
                    tr {
                        th scope="row" { span.key.later {} "after 0.5 mm, g" }
                        @for load in teeth { td { (grams(load.sustained_n)) } }
                    }
                    tr {
                        th scope="row" { "way" }
                        @for load in teeth { td { (way(load)) } }
                    }
                }
            }
        }
    })
}

fn grams(newtons: f64) -> String {
    format!("{:.0}", newtons_to_grams(newtons))
}

/// Where the tooth is pushed: the larger of the two ways across the arch, both where they are alike.
pub(crate) fn way(load: &ToothLoad) -> String {
    let Components { lingual_n, gingival_n, .. } = load.at_insertion;
    let (across, up) = (newtons_to_grams(lingual_n), newtons_to_grams(gingival_n));
    let large = across.abs().max(up.abs());
    let counts = |grams: f64| grams.abs() >= SLIGHT_G && grams.abs() * 2.0 >= large;
    let mut words = Vec::new();
    if counts(across) {
        words.push(in_out(across, load.tooth));
    }
    if counts(up) {
        words.push(if up > 0.0 { "gingival" } else { "occlusal" });
    }
    words.join(", ")
}

fn in_out(lingual: f64, tooth: Tooth) -> &'static str {
    wording::in_out(if lingual > 0.0 { InOut::Lingual } else { InOut::Labial }, tooth)
}
