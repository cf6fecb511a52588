//! HTML parts that several pages share.

use maud::{Markup, html};

use crate::caution::CAUTION_IN_FULL;

pub fn bullets(items: &[String]) -> Markup {
    html! { ul { @for item in items { li { (item) } } } }
}

pub fn foot(stamp: &str) -> Markup {
    html! {
        footer.foot {
            (CAUTION_IN_FULL) br;
            span.stamp { (stamp) }
        }
    }
}

/// Space for the practice's own label, since the file holds no name but patients must not be confused.
pub fn label_box() -> Markup {
    html! { div.label-box { "Patient label here. Check it against the chart reference." } }
}
