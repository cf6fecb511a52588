//! Where each crown of an occlusal drawing lies on the paper, so that a page can move it.

use super::crowns::{depth_mm, landmarks};
use super::page::OcclusalPage;
use super::{OcclusalSize, OcclusalView, pages};
use crate::draw::frame::ToothFrame;
use crate::draw::list::{Point, at};
use crate::picture::towards_left;
use springline_course::ToothPose;
use springline_course::on_demand::OcclusalCrown;
use springline_model::stock::Along;
use springline_units::tooth::Arch;

/// One frame for each crown of the drawing of the same views and size.
pub fn occlusal_frames(views: &[OcclusalView<'_>], size: OcclusalSize) -> Vec<ToothFrame> {
    let each = views.iter().zip(pages(views, size));
    each.flat_map(|(view, (page, _))| {
        view.arch.crowns.iter().map(move |crown| frame(page, view.arch.arch, crown))
    })
    .collect()
}

fn frame(page: OcclusalPage, arch: Arch, crown: &OcclusalCrown) -> ToothFrame {
    let pose = crown.pose.value;
    let placed = crown.placed(&pose);
    let in_line = ToothPose { along_mm: pose.along_mm, ..ToothPose::default() };
    let rest = crown.placed(&in_line);
    let origin = page.put(rest.at_mm);
    let towards = |along: f64, inward: f64| unit(origin, page.beside(&rest, along, inward));
    let [middle, right, left] = landmarks(&page, crown, &placed);
    let mesial_left = towards_left(crown.tooth, Along::Mesial);
    let mesial = if mesial_left { 1.0 } else { -1.0 };
    // The lower arch is drawn upside down, so that what turns one way turns the other on paper.
    let sense = if arch == Arch::Upper { 1.0 } else { -1.0 };
    ToothFrame {
        tooth: crown.tooth,
        scale: page.scale,
        rest: origin,
        slot: page.put(placed.at_mm),
        along: towards(1.0, 0.0),
        inward: Some(towards(0.0, 1.0)),
        gingival: None,
        turn_deg: sense * pose.rotated_rad.to_degrees(),
        mesial_in: sense * mesial,
        mesial_up: 0.0,
        width_mm: crown.width_mm,
        depth_mm: depth_mm(crown),
        middle,
        mesial: if mesial_left { left } else { right },
        distal: if mesial_left { right } else { left },
    }
}

fn unit(from: Point, to: Point) -> Point {
    let (x, y) = (to.x - from.x, to.y - from.y);
    let length = x.hypot(y).max(1e-9);
    at(x / length, y / length)
}
