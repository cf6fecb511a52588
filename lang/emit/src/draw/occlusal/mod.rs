//! Drawing of arches as seen from the bite: crowns where they stand, the wire as it was computed, what lies on it.
//!
//! Places come from `course`; here is only paper. Recorded places are solid, the range of forecast ones dashed, where
//! a crown was before dotted.

mod crowns;
mod fittings;
mod frames;
mod height_figures;
mod page;
mod palate;

pub use frames::occlusal_frames;

use fittings::Occlusal;
use page::{OcclusalPage, scale_within};

use super::list::{Align, DrawItem, Drawing, Pen, Point, at, words_width};
use super::strip::WIDTH;
use crate::picture::ArchPicture;
use crate::wording;
use springline_course::on_demand::{OcclusalArch, OcclusalCrown};
use springline_units::tooth::{Arch, Notation};

/// How large the arches are drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OcclusalSize {
    /// As wide as half a page each.
    Large,
    /// Beside other things on a card.
    Small,
    /// One arch as large as that, on a drawing no wider than it.
    OneArch,
}

impl OcclusalSize {
    /// Millimetres of paper for one of the mouth, at most.
    fn scale(self) -> f64 {
        match self {
            OcclusalSize::Large | OcclusalSize::OneArch => 1.45,
            OcclusalSize::Small => 0.92,
        }
    }
}

const HEADER: f64 = 4.2;
const BETWEEN: f64 = 4.0;
/// Width for one arch.
const EACH: f64 = (WIDTH - BETWEEN) / 2.0;

/// One arch, what is on it, and the same arch at the visit before.
pub struct OcclusalView<'a> {
    pub arch: &'a OcclusalArch,
    pub picture: Option<&'a ArchPicture<'a>>,
    pub before: Option<&'a OcclusalArch>,
}

/// The arches beside each other, at one scale.
pub fn occlusal(
    views: &[OcclusalView<'_>],
    notation: Notation,
    title: &str,
    size: OcclusalSize,
) -> Drawing {
    let mut items = Vec::new();
    let mut height = 0.0_f64;
    for (view, (page, left)) in views.iter().zip(pages(views, size)) {
        items.push(one(view, page, left, notation));
        height = height.max(HEADER + page.height);
    }
    Drawing {
        width: if size == OcclusalSize::OneArch { EACH } else { WIDTH },
        height,
        title: title.to_owned(),
        description: says(views, notation),
        items,
    }
}

/// How each arch lies on the paper, and where its part of it begins.
fn pages(views: &[OcclusalView<'_>], size: OcclusalSize) -> Vec<(OcclusalPage, f64)> {
    let most = size.scale();
    let scale = views.iter().map(|v| scale_within(v.arch, EACH, most)).fold(most, f64::min);
    // An arch by itself stands in the middle.
    let from = match size {
        OcclusalSize::OneArch => 0.0,
        _ if views.len() == 1 => (WIDTH - EACH) / 2.0,
        _ => 0.0,
    };
    let page = |(i, view): (usize, &OcclusalView<'_>)| {
        let left = from + i as f64 * (EACH + BETWEEN);
        (OcclusalPage::of(view.arch, scale, at(left, HEADER), EACH), left)
    };
    views.iter().enumerate().map(page).collect()
}

fn one(view: &OcclusalView<'_>, page: OcclusalPage, left: f64, notation: Notation) -> DrawItem {
    let occlusal = Occlusal { page, arch: view.arch, picture: view.picture };
    let line: Vec<Point> = view.arch.line.iter().map(|p| page.put(*p)).collect();
    let mut items = vec![
        header(view.arch.arch, page, left),
        DrawItem::group("arch-line", vec![DrawItem::polyline(&line, Pen::soft(0.15))]),
    ];
    let crowns = &view.arch.crowns;
    let was = |tooth| view.before.and_then(|b| b.crown(tooth));
    items.extend(crowns.iter().filter_map(|c| crowns::before(&page, c, was(c.tooth)?)));
    items.extend(crowns.iter().filter_map(|c| crowns::band(&page, c)));
    for crown in crowns {
        let inside = vec![crowns::crown(&page, crown, notation)];
        let says = tooth_says(crown, notation);
        let group = DrawItem::said_group(format!("occlusal-{}", crown.tooth), says, inside);
        items.push(group.of_tooth(crown.tooth));
    }
    items.extend(occlusal.across());
    items.extend(crowns.iter().filter_map(|c| crowns::bracket(&page, c)));
    items.extend(occlusal.wire());
    items.extend(occlusal.overlay());
    items.extend(occlusal.ends());
    items.extend(occlusal.things());
    items.extend(occlusal.traction(notation));
    items.extend(occlusal.gaps());
    let figures = height_figures::height_figures(&page, crowns, &items);
    items.extend(figures);
    DrawItem::group(format!("occlusal-{}", view.arch.arch), items)
}

/// What it is, and which side is whose, on both ends.
fn header(arch: Arch, page: OcclusalPage, from: f64) -> DrawItem {
    let size = 3.0;
    let base = HEADER - 1.0;
    let right = "\u{25c4} patient\u{2019}s right";
    let left = "patient\u{2019}s left \u{25ba}";
    let title = match arch {
        Arch::Upper => "UPPER, from the bite",
        Arch::Lower => "LOWER, from the bite",
    };
    let middle = from + page.width / 2.0;
    let shift = (words_width(right, size, false) - words_width(left, size, false)) / 2.0;
    DrawItem::group(
        format!("occlusal-header-{arch}"),
        vec![
            DrawItem::words(at(from, base), size, Align::Start, right),
            DrawItem::bold(at(middle + shift, base), size, Align::Middle, title),
            DrawItem::words(at(from + page.width, base), size, Align::End, left),
        ],
    )
}

fn tooth_says(crown: &OcclusalCrown, notation: Notation) -> String {
    let stand = crown.pose.value.to_stand(crown.tooth);
    let place = wording::stand(&stand, crown.tooth);
    let place = if place.is_empty() { "in line".to_owned() } else { place };
    format!("{}: {place}", crown.tooth.write(notation))
}

fn says(views: &[OcclusalView<'_>], notation: Notation) -> String {
    let arch = |view: &OcclusalView<'_>| {
        let off = view.arch.crowns.iter().filter(|c| {
            let stand = c.pose.value.to_stand(c.tooth);
            !wording::stand(&stand, c.tooth).is_empty()
        });
        let off: Vec<String> = off.map(|c| tooth_says(c, notation)).collect();
        let gaps = view.arch.gaps.iter().map(|g| {
            let between = wording::pair(g.between.0, g.between.1, notation);
            format!("{between}: {:.1} mm open", g.length_mm)
        });
        let overlaps = view.arch.overlaps.iter().map(|((a, b), length_mm)| {
            format!("{}: {length_mm:.1} mm overlapping", wording::pair(*a, *b, notation))
        });
        let all: Vec<String> = off.into_iter().chain(gaps).chain(overlaps).collect();
        let all = if all.is_empty() { "all teeth in line".to_owned() } else { all.join("; ") };
        format!("{} arch seen from the bite: {all}.", wording::arch(view.arch.arch))
    };
    views.iter().map(arch).collect::<Vec<_>>().join(" ")
}
