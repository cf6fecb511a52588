//! The drawing of the arches, judged by where things stand, not by bytes.

mod emit_support;

use emit_support::*;
use springline_emit::draw::list::{DrawItem, Drawing, DrawnText, Segment};
use springline_emit::draw::{mouth, svg};
use springline_emit::picture::MouthPicture;
use springline_lang::model::Case;
use springline_lang::units::tooth::Notation;

fn draw(case: &Case, step: usize, elastics: bool) -> Drawing {
    let forecast = forecast(case, jiff::civil::date(2026, 9, 14));
    let state = |arch| {
        let phases = &forecast.arch(arch)?.phases;
        let index = step.min(phases.len() - 1);
        Some((&phases[index], forecast.moment(case, arch, index, None)?))
    };
    let picture = MouthPicture::of(case, state, |_| elastics);
    mouth(&picture, Notation::Iso, "When the patient leaves")
}

/// Every group of that name, with all paths and words inside.
fn groups<'d>(items: &'d [DrawItem], name: &str, out: &mut Vec<&'d [DrawItem]>) {
    for item in items {
        if let DrawItem::Group { name: own, items, .. } = item {
            if own == name {
                out.push(items);
            }
            groups(items, name, out);
        }
    }
}

fn find<'d>(drawing: &'d Drawing, name: &str) -> Vec<&'d [DrawItem]> {
    let mut out = Vec::new();
    groups(&drawing.items, name, &mut out);
    out
}

fn extent(items: &[DrawItem]) -> (f64, f64, f64, f64) {
    let mut e = (f64::MAX, f64::MIN, f64::MAX, f64::MIN);
    fn walk(items: &[DrawItem], e: &mut (f64, f64, f64, f64)) {
        for item in items {
            match item {
                DrawItem::Group { items, .. } => walk(items, e),
                DrawItem::Path { segments, .. } => {
                    for s in segments {
                        if let Segment::Move(p) | Segment::Line(p) | Segment::Curve(_, _, p) = s {
                            e.0 = e.0.min(p.x);
                            e.1 = e.1.max(p.x);
                            e.2 = e.2.min(p.y);
                            e.3 = e.3.max(p.y);
                        }
                    }
                }
                DrawItem::Words(_) => {}
            }
        }
    }
    walk(items, &mut e);
    e
}

fn middle(drawing: &Drawing, name: &str) -> f64 {
    let all = find(drawing, name);
    let (l, r, _, _) = extent(all.first().unwrap_or_else(|| panic!("no {name}")));
    (l + r) / 2.0
}

fn words<'d>(items: &'d [DrawItem], out: &mut Vec<&'d DrawnText>) {
    for item in items {
        match item {
            DrawItem::Group { items, .. } => words(items, out),
            DrawItem::Words(w) => out.push(w),
            DrawItem::Path { .. } => {}
        }
    }
}

fn all_words(drawing: &Drawing) -> Vec<&DrawnText> {
    let mut out = Vec::new();
    words(&drawing.items, &mut out);
    out
}

#[test]
fn the_patients_right_is_on_the_left_in_both_arches_and_says_so() {
    let d = draw(&plain(), 0, false);
    for (right, left) in [(16, 26), (11, 21), (46, 36), (41, 31), (13, 11), (21, 23), (43, 41)] {
        let (a, b) = (middle(&d, &format!("tooth-{right}")), middle(&d, &format!("tooth-{left}")));
        assert!(a < b, "{right} at {a} is not to the left of {left} at {b}");
    }
    for arch in ["upper", "lower"] {
        let mut w = Vec::new();
        words(find(&d, &format!("header-{arch}"))[0], &mut w);
        let x =
            |part: &str| w.iter().find(|w| w.text.contains(part)).expect("marked in words").at.x;
        assert!(x("RIGHT") < x("LEFT"));
    }
    let upper = extent(find(&d, "arch-upper")[0]);
    let lower = extent(find(&d, "arch-lower")[0]);
    assert!(upper.3 <= lower.2 + 1.0, "upper arch {upper:?} above lower {lower:?}");
}

#[test]
fn teeth_are_to_scale() {
    let d = draw(&plain(), 0, false);
    let width = |code: u32| {
        let e = extent(find(&d, &format!("tooth-{code}"))[0]);
        e.1 - e.0
    };
    assert!((width(11) / width(31) - 8.5 / 5.0).abs() < 0.05);
    assert!((width(16) / width(46) - 10.0 / 11.0).abs() < 0.03);
}

#[test]
fn a_tooth_not_bonded_has_no_bracket_and_the_coil_runs_past_it() {
    let d = draw(&lateral_blocked_out(), 1, false);
    assert!(find(&d, "on-12").is_empty());
    let coil = extent(find(&d, "open-coil")[0]);
    let x = |code: u32| middle(&d, &format!("tooth-{code}"));
    assert!(x(13) < coil.0 && coil.0 < x(12) && x(12) < coil.1 && coil.1 < x(11));
    let texts: Vec<&str> = all_words(&d).iter().map(|w| w.text.as_str()).collect();
    assert!(texts.contains(&"not bonded") && texts.contains(&"open coil"), "{texts:?}");
}

#[test]
fn stops_sit_against_their_own_bracket_on_the_side_that_was_written() {
    let d = draw(&lateral_blocked_out(), 0, false);
    let x = |code: u32| middle(&d, &format!("on-{code}"));
    let (a, b) = (middle(&d, "stop-mesial-of-11"), middle(&d, "stop-mesial-of-21"));
    assert!(x(11) < a && a < b && b < x(21), "11 {} stop {a} stop {b} 21 {}", x(11), x(21));
    assert!(a - x(11) < b - x(11), "each against its own");
    assert!(all_words(&d).iter().any(|w| w.text == "2 stops"));
}

#[test]
fn filled_open_half_and_overlay_slots_differ_in_shape() {
    let d = draw(&premolars_out(), 0, false);
    let half = find(&d, "slot-half-mesial");
    assert_eq!(half.len(), 1);
    // 15 lies on the patient's right: its mesial half faces the middle, to the right on paper.
    let (open, full) = (extent(&half[0][..1]), extent(&half[0][1..]));
    assert!(open.1 <= full.0 + 0.01, "open {open:?} full {full:?}");
    let d = draw(&premolars_out(), 1, true);
    assert_eq!(find(&d, "slot-open").len(), 1, "35 is bypassed");
    assert!(find(&d, "wire-rectangular").len() == 2);
    let d = draw(&lateral_blocked_out(), 2, false);
    assert_eq!(find(&d, "slot-overlay").len(), 1);
    assert_eq!(find(&d, "wire-overlay").len(), 1);
    assert_eq!(find(&d, "bite-raiser").len(), 2, "written in the upper arch, on lower teeth");
}

#[test]
fn the_base_wire_runs_straight_past_a_tooth_that_the_light_wire_holds() {
    let d = draw(&lateral_blocked_out(), 2, false);
    let mut base = Vec::new();
    groups(find(&d, "arch-upper")[0], "wire-round", &mut base);
    let (base, slot) = (extent(base[0]), extent(find(&d, "slot-overlay")[0]));
    assert!((base.3 - base.2).abs() < 0.01, "one height from end to end: {base:?}");
    assert!(slot.3 + 0.6 < base.2, "the bracket stands beside the base wire: {slot:?} {base:?}");
    let light = extent(find(&d, "wire-overlay")[0]);
    assert!(light.2 <= slot.3 && slot.2 <= light.3, "the light wire goes into its slot");
    let neighbours = (extent(find(&d, "on-13")[0]), extent(find(&d, "on-11")[0]));
    assert!(light.0 < neighbours.0.1 && light.1 > neighbours.1.0, "and over its neighbours");
}

#[test]
fn ends_posts_and_springs_are_on_their_own_side() {
    let d = draw(&premolars_out(), 1, true);
    let upper = find(&d, "arch-upper")[0];
    let mut right = Vec::new();
    groups(upper, "end-right", &mut right);
    let mut left = Vec::new();
    groups(upper, "end-left", &mut left);
    assert!(extent(right[0]).1 <= middle(&d, "on-16"));
    assert!(extent(left[0]).0 >= middle(&d, "on-26"));
    let mut cinched = Vec::new();
    groups(right[0], "end-cinched", &mut cinched);
    assert_eq!(cinched.len(), 1, "the right end is the cinched one");
    let post = middle(&d, "post-distal-of-12");
    assert!(middle(&d, "on-13") < post && post < middle(&d, "on-12"));
    let springs = find(&d, "closing-coil");
    assert_eq!(springs.len(), 2);
    assert!(extent(springs[0]).1 < extent(springs[1]).0);
    let mut elastic = Vec::new();
    groups(&d.items, "elastic-right", &mut elastic);
    assert!(extent(elastic[0]).1 < 93.0, "the right elastic stays left of the middle of the paper");
}

#[test]
fn nothing_leaves_the_paper_and_words_do_not_overlap() {
    use springline_emit::draw::list::{Align, words_width};
    for (case, steps) in [(plain(), 4), (lateral_blocked_out(), 6), (premolars_out(), 2)] {
        for step in 0..steps {
            let d = draw(&case, step, true);
            let (l, r, t, b) = extent(&d.items);
            assert!(l >= 0.0 && r <= d.width && t >= 0.0 && b <= d.height, "{l} {r} {t} {b}");
            let boxes: Vec<(f64, f64, f64, f64, &str)> = all_words(&d)
                .iter()
                .map(|w| {
                    let wide = words_width(&w.text, w.size, w.bold);
                    let x = match w.align {
                        Align::Start => w.at.x,
                        Align::Middle => w.at.x - wide / 2.0,
                        Align::End => w.at.x - wide,
                    };
                    (x, x + wide, w.at.y - w.size * 0.75, w.at.y + 0.1, w.text.as_str())
                })
                .collect();
            for (i, a) in boxes.iter().enumerate() {
                assert!(a.0 >= -0.5 && a.1 <= d.width + 0.5, "{} leaves the paper", a.4);
                for b in &boxes[i + 1..] {
                    let apart = a.1 <= b.0 || b.1 <= a.0 || a.3 <= b.2 || b.3 <= a.2;
                    assert!(apart, "{} step {step}: '{}' over '{}'", case.chart, a.4, b.4);
                }
            }
        }
    }
}

#[test]
fn the_text_alternative_tells_all_of_it() {
    let d = draw(&lateral_blocked_out(), 1, false);
    insta::assert_snapshot!(d.description);
    let svg = svg::file(&d);
    assert!(svg.contains("<desc id=\"d\">Upper arch, wire niti-18"));
}

/// Written for looking at: `SPRINGLINE_LOOK=folder cargo test`.
#[test]
fn drawings_to_look_at() {
    let Some(folder) = std::env::var_os("SPRINGLINE_LOOK") else { return };
    let folder = std::path::PathBuf::from(folder);
    for (case, steps) in [(plain(), 4), (lateral_blocked_out(), 6), (premolars_out(), 2)] {
        for step in 0..steps {
            let d = draw(&case, step, true);
            let path = folder.join(format!("{}-{step}.svg", case.chart));
            std::fs::write(path, svg::file(&d)).expect("written");
        }
    }
}
