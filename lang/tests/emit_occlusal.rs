//! The arches from the bite: true sizes at true places, and the wire as it was solved.

use springline_emit::draw::list::{Align, DrawItem, Drawing, DrawnText, Segment, words_width};
use springline_emit::draw::{OcclusalSize, svg};
use springline_emit::preview::{at_day, entered, from_the_bite, moments};
use springline_lang::check::{CheckOptions, Checked, SourceText, check};
use springline_lang::course::on_demand::OcclusalArch;
use springline_lang::units::anatomy::crown_width_mm;
use springline_lang::units::tooth::{Arch, Tooth};
use springline_test_support::Practices;

fn checked(text: &str) -> Checked {
    let source = SourceText { name: "a.spring".into(), text: text.into() };
    let options = CheckOptions { today: Some("2026-11-24".parse().unwrap()) };
    check(&source, &Practices::saltmarsh(), &options)
}

fn plan(upper: &str) -> Checked {
    checked(&format!(
        "springline 1\ncase \"SM-1\"\nuse saltmarsh\nstart 2026-11-02\nupper {{\n  bonded 15..25 with twin\n  \
         tubes 16, 26 with molar\n  {upper}\n  follow usual\n}}\n"
    ))
}

fn upper(checked: &Checked) -> OcclusalArch {
    let (case, _) = checked.course().unwrap();
    OcclusalArch::entered(case.arch(Arch::Upper).unwrap()).unwrap()
}

fn tooth(code: u32) -> Tooth {
    Tooth::iso(code).unwrap()
}

/// The first shape inside a group of that name: its points on the page.
fn points(items: &[DrawItem], name: &str) -> Vec<[f64; 2]> {
    fn shape(items: &[DrawItem]) -> Vec<[f64; 2]> {
        items
            .iter()
            .map(|item| match item {
                DrawItem::Group { items, .. } => shape(items),
                DrawItem::Path { segments, .. } => segments.iter().flat_map(at).collect(),
                DrawItem::Words(_) => Vec::new(),
            })
            .find(|points| !points.is_empty())
            .unwrap_or_default()
    }
    fn at(segment: &Segment) -> Option<[f64; 2]> {
        match segment {
            Segment::Move(p) | Segment::Line(p) | Segment::Curve(_, _, p) => Some([p.x, p.y]),
            Segment::Close => None,
        }
    }
    items
        .iter()
        .find_map(|item| match item {
            DrawItem::Group { name: own, items, .. } if own == name => Some(shape(items)),
            DrawItem::Group { items, .. } => Some(points(items, name)).filter(|p| !p.is_empty()),
            _ => None,
        })
        .unwrap_or_default()
}

fn drawn(checked: &Checked) -> Drawing {
    let (case, forecast) = checked.course().unwrap();
    let all = moments(forecast);
    from_the_bite(case, forecast, all[at_day(&all, forecast.today)], None)
}

#[test]
fn crowns_of_an_aligned_arch_touch_and_do_not_overlap() {
    let arch = upper(&plan(""));
    for pair in arch.crowns.windows(2) {
        let ends = |i: usize, side: f64| {
            let crown = &pair[i];
            let placed = crown.placed(&crown.pose.value);
            let (sin, cos) = placed.turn_rad.sin_cos();
            // Contacts lie on the contact line, 3 mm inside the slots.
            let (along, inward) = (side * crown.width_mm / 2.0, 3.0);
            [
                placed.at_mm[0] + along * cos - inward * sin,
                placed.at_mm[1] + along * sin + inward * cos,
            ]
        };
        let (a, b) = (ends(0, 1.0), ends(1, -1.0));
        let apart = (a[0] - b[0]).hypot(a[1] - b[1]);
        // Straight crowns on a curved line stand off it by w^2 k / 8 at their contacts.
        assert!(apart < 0.6, "{} {}: {apart}", pair[0].tooth, pair[1].tooth);
    }
}

#[test]
fn a_tooth_is_drawn_as_wide_as_it_is_and_where_it_stands() {
    let arch = upper(&plan("tooth 12 palatal 2 mm, rotated 30 deg mesial-in"));
    let (straight, turned) = (upper(&plan("")), arch.crown(tooth(12)).unwrap());
    let before = straight.crown(tooth(12)).unwrap();
    let (a, b) = (before.placed(&before.pose.value), turned.placed(&turned.pose.value));
    // 12 is on the patient's right: turning its left edge in adds to the turn of its axis.
    assert!((b.turn_rad - a.turn_rad - 30_f64.to_radians()).abs() < 0.12);
    assert_eq!(turned.width_mm, crown_width_mm(tooth(12)));
    let drawing = drawn(&plan("tooth 12 palatal 2 mm, rotated 30 deg mesial-in"));
    let outline = points(&drawing.items, "occlusal-12");
    let ([ax, ay], [bx, by]) = (outline[0], outline[2]);
    let scale = {
        let outline = points(&drawing.items, "occlusal-21");
        let ([ax, ay], [bx, by]) = (outline[0], outline[2]);
        (bx - ax).hypot(by - ay) / crown_width_mm(tooth(21))
    };
    assert!(((bx - ax).hypot(by - ay) / scale - crown_width_mm(tooth(12))).abs() < 1e-6);
}

#[test]
fn the_patients_right_is_on_the_left_and_lower_incisors_are_at_the_bottom() {
    let text = include_str!("../../examples/cases/sm-0410-both-arches.spring");
    let drawing = drawn(&checked(text));
    let x = |name: &str| points(&drawing.items, name)[0][0];
    let y = |name: &str| points(&drawing.items, name)[0][1];
    assert!(x("occlusal-16") < x("occlusal-11") && x("occlusal-11") < x("occlusal-26"));
    assert!(x("occlusal-46") < x("occlusal-41") && x("occlusal-41") < x("occlusal-36"));
    assert!(y("occlusal-11") < y("occlusal-16") && y("occlusal-41") > y("occlusal-46"));
    let svg = svg::file(&drawing);
    assert_eq!(svg.matches("patient\u{2019}s right").count(), 2);
    assert_eq!(svg.matches("patient\u{2019}s left").count(), 2);
}

#[test]
fn the_wire_is_the_solved_one_and_bends_towards_a_tooth_that_stands_in() {
    let drawing = drawn(&plan("tooth 12 palatal 1 mm, space 6.5 mm"));
    let wire = points(&drawing.items, "wire");
    assert!(wire.len() > 100, "{}", wire.len());
    let straight = points(&drawn(&plan("")).items, "wire");
    let farthest = |points: &[[f64; 2]], from: &[[f64; 2]]| {
        let near = |p: &[f64; 2]| {
            from.iter().map(|q| (p[0] - q[0]).hypot(p[1] - q[1])).fold(f64::INFINITY, f64::min)
        };
        points.iter().map(near).fold(0.0, f64::max)
    };
    // Of the millimetre inside the wire takes most, at 1.45 to one on paper at most.
    let off = farthest(&wire, &straight);
    assert!((0.5..1.6).contains(&off), "{off}");
}

#[test]
fn what_has_no_step_is_drawn_as_it_was_entered() {
    let text = "springline 1\ncase \"SM-1\"\nuse saltmarsh\nupper {\n}\n";
    let checked = checked(text);
    let (case, _) = checked.course().unwrap();
    let drawing = entered(case, OcclusalSize::Large);
    assert!(drawing.items.is_empty() && drawing.height >= 0.0);
}

/// Every word of the drawing as a box: left, top, right, bottom.
fn boxes(drawing: &Drawing) -> Vec<(String, [f64; 4])> {
    let words = drawing.words().into_iter();
    let one = |w: &DrawnText| {
        let long = words_width(&w.text, w.size, w.bold);
        let left = match w.align {
            Align::Start => w.at.x,
            Align::Middle => w.at.x - long / 2.0,
            Align::End => w.at.x - long,
        };
        (w.text.clone(), [left, w.at.y - 0.75 * w.size, left + long, w.at.y + 0.1 * w.size])
    };
    words.map(one).collect()
}

#[test]
fn figures_of_high_and_low_teeth_cover_no_other_words() {
    let text = "springline 1\ncase \"SM-1\"\nuse saltmarsh\nstart 2026-11-02\nupper {\n  bonded 15..25 with twin\n  \
         tubes 16, 26 with molar\n  tooth 13 labial 1.5 mm, gingival 1.5 mm\n  tooth 14 gingival 0.6 mm\n  tooth 12 \
         gingival 0.8 mm\n  tooth 11 gingival 0.4 mm\n  follow usual\n}\nlower {\n  bonded 45..35 with twin\n  \
         tubes 46, 36 with molar\n  tooth 42 occlusal 1.5 mm\n  tooth 41 occlusal 1.2 mm\n  tooth 31 occlusal 1 mm\n  \
         tooth 32 lingual 1 mm, occlusal 1.3 mm\n  follow usual\n}\n";
    for size in [OcclusalSize::Large, OcclusalSize::Small] {
        let checked = checked(text);
        let boxes = boxes(&entered(checked.course().unwrap().0, size));
        let figures = boxes.iter().filter(|(text, _)| text.ends_with(" mm"));
        assert_eq!(figures.clone().count(), 8, "{boxes:?}");
        for figure in figures {
            for other in boxes.iter().filter(|other| *other != figure) {
                let ([al, at, ar, ab], [bl, bt, br, bb]) = (figure.1, other.1);
                let meet = al < br && bl < ar && at < bb && bt < ab;
                assert!(!meet, "{size:?}: {figure:?} over {other:?}");
            }
        }
    }
}
