//! Completion of figures: those that plans of this practice use at such a place, and round ones.

use springline_lang::syntax::pattern::Placeholder;
use springline_lang::syntax::{Expected, PlaceholderKind};

use super::{CompletionSite, Offer, OfferKind, OfferSubject};
use springline_lang::text::Span;

/// Figures of a place, with their units. Of one that is begun only those that begin so.
pub fn offers(
    scene: &CompletionSite<'_>,
    place: &Expected,
    replace: Span,
    typed: &str,
    out: &mut Vec<Offer>,
) {
    let mut found: Vec<String> = Vec::new();
    for slot in
        place.slots.iter().filter(|s| s.hole.is_figure() || s.hole == PlaceholderKind::Count)
    {
        if slot.hole.is_figure() {
            let fits = |text: &String| unit_of(text).is_some_and(|unit| fits(*slot, unit));
            found.extend(scene.figures().into_iter().filter(fits));
        }
        found.extend(round(*slot, scene.last_word()));
    }
    let mut seen = Vec::new();
    for label in found {
        if !label.starts_with(typed) || label == typed || seen.contains(&label) {
            continue;
        }
        seen.push(label.clone());
        out.push(Offer {
            insert: label.clone(),
            label,
            kind: OfferKind::Figure,
            detail: String::new(),
            is_snippet: false,
            replace,
            about: OfferSubject::Nothing,
        });
    }
}

/// The upper end of a range of times: `8..` goes on as `8..10 wk`.
pub fn ends(scene: &CompletionSite<'_>, place: &Expected, typed: &str, out: &mut Vec<Offer>) {
    let Some((_, begun)) = typed.rsplit_once("..") else { return };
    let (from, replace) = (out.len(), place.replace);
    let whole = Span { start: replace.start - begun.len() as u32, end: replace.end };
    offers(scene, place, whole, typed, out);
    for offer in &mut out[from..] {
        let rest = offer.insert.rsplit_once("..").map(|(_, rest)| rest.to_owned());
        if let Some(rest) = rest {
            (offer.label, offer.insert) = (rest.clone(), rest);
        }
    }
}

fn unit_of(text: &str) -> Option<&str> {
    text.rsplit(' ').next()
}

fn fits(slot: Placeholder, unit: &str) -> bool {
    let Some(dimension) = slot.hole.dimension() else { return true };
    let hours = slot.label == "hours";
    dimension.units().iter().any(|u| u.symbol() == unit) && (!hours || unit == "h")
}

/// Round figures in ascending order, as people write them.
fn round(slot: Placeholder, after: &str) -> Vec<String> {
    let halves = |from: u32, to: u32| {
        (from..=to).map(|n| format!("{} mm", f64::from(n) / 2.0)).collect::<Vec<_>>()
    };
    let whole = |list: &[&str], unit: &str| list.iter().map(|n| format!("{n} {unit}")).collect();
    match slot.hole {
        PlaceholderKind::Count if slot.label == "edition" => vec!["1".to_owned()],
        PlaceholderKind::Count if slot.label == "scale" => vec!["10".to_owned()],
        PlaceholderKind::Count => (0..=10).map(|n| n.to_string()).collect(),
        PlaceholderKind::Length if after == "ipr" => {
            whole(&["0.1", "0.2", "0.3", "0.4", "0.5"], "mm")
        }
        PlaceholderKind::Length => {
            let mut out = halves(1, 24);
            out.push("0 mm".to_owned());
            out
        }
        PlaceholderKind::Angle => (1..=12).map(|n| format!("{} deg", n * 5)).collect(),
        PlaceholderKind::Time if slot.label == "hours" => {
            whole(&["12", "14", "22", "10", "8", "16", "18", "20", "24"], "h")
        }
        PlaceholderKind::Times => {
            whole(&["6", "8", "6..8", "8..10", "10..12", "4", "5", "10", "12"], "wk")
        }
        PlaceholderKind::Time => {
            let mut out: Vec<String> =
                whole(&["6", "8", "4", "5", "10", "12", "16", "20", "26", "52"], "wk");
            out.extend(["3 mo", "6 mo", "12 mo"].map(str::to_owned));
            out
        }
        PlaceholderKind::Force => whole(&["100", "150", "50", "60", "70", "80", "90", "200"], "g"),
        PlaceholderKind::Percent if slot.label == "left" => whole(&["75", "50", "60", "40"], "%"),
        PlaceholderKind::Percent => vec!["50 %".to_owned()],
        PlaceholderKind::Temperature if slot.label == "mouth" => {
            whole(&["37", "36", "35.5", "35"], "C")
        }
        PlaceholderKind::Temperature => whole(&["27", "35", "40", "22"], "C"),
        _ => Vec::new(),
    }
}
