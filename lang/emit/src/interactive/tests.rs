//! What is drawn where.

use super::*;
use crate::draw::list::{DrawItem, Point, Segment};
use springline_lang::{CheckOptions, Checker, SourceText};
use springline_test_support::{Practices, example};

fn points(items: &[DrawItem], name: &str, out: &mut Vec<Point>) {
    for item in items {
        match item {
            DrawItem::Group { name: own, items, .. } if own == name => points(items, "", out),
            DrawItem::Group { items, .. } => points(items, name, out),
            DrawItem::Path { segments, .. } if name.is_empty() => {
                out.extend(segments.iter().filter_map(|s| match s {
                    Segment::Move(p) | Segment::Line(p) => Some(*p),
                    _ => None,
                }));
            }
            _ => {}
        }
    }
}

#[test]
fn from_the_front_a_high_canine_stands_high_and_the_wire_goes_up_to_it() {
    let source = SourceText {
        name: "case.spring".to_owned(),
        text: example("cases/sm-0430-high-canine.spring").into(),
    };
    let options = CheckOptions { today: Some("2026-11-24".parse().expect("a day")) };
    let checked = Checker::new().check(&source, &Practices::saltmarsh(), &options);
    let (case, forecast) = checked.course().expect("a course");
    let all = course_moments(case, forecast);
    let first = all.first().expect("as entered");
    let picture = interactive_picture(case, forecast, first, PictureFrom::Front, None);
    let canine = picture.teeth.iter().find(|t| t.frame.tooth.code() == 23).expect("23").frame;
    let high = canine.rest.y - canine.slot.y;
    assert!(high > 2.0 * canine.scale, "{canine:?}");
    let mut wire = Vec::new();
    points(&picture.drawing.items, "wire-round", &mut wire);
    let near = |at: Point| {
        let away = wire.iter().map(|p| (p.x - at.x).hypot(p.y - at.y));
        away.fold(f64::INFINITY, f64::min)
    };
    for tooth in picture.teeth.iter().filter(|t| t.frame.tooth.code() / 10 < 3) {
        let away = near(tooth.frame.slot);
        // Half the slot's height, and the points are half a millimetre apart.
        assert!(away < 1.0, "{}: {away}", tooth.frame.tooth);
    }
}

/// Names of groups that begin so.
fn named(items: &[DrawItem], start: &str) -> usize {
    let one = |item: &DrawItem| match item {
        DrawItem::Group { name, items, .. } => {
            usize::from(name.starts_with(start)) + named(items, start)
        }
        _ => 0,
    };
    items.iter().map(one).sum()
}

#[test]
fn the_picture_of_a_visit_shows_what_moved_since_the_visit_before() {
    let source = SourceText {
        name: "case.spring".to_owned(),
        text: example("cases/sm-0430-high-canine.spring").into(),
    };
    let options = CheckOptions { today: Some("2026-11-24".parse().expect("a day")) };
    let checked = Checker::new().check(&source, &Practices::saltmarsh(), &options);
    let (case, forecast) = checked.course().expect("a course");
    let was = |moment: &CourseMoment| {
        let picture = interactive_picture(case, forecast, moment, PictureFrom::Bite, None);
        named(&picture.drawing.items, "was-")
    };
    let all = course_moments(case, forecast);
    assert_eq!(was(&all[0]), 0, "as entered nothing has moved yet");
    assert!(all.iter().any(|moment| was(moment) > 0));
}
