//! Every page of every example on both papers, judged by structure: one visit is one page, or goes on
//! overleaf; no words leave it or lie on others, and the type stays readable.

use std::fs;
use std::path::PathBuf;

use jiff::civil::date;
use springline_demo as demo;
use springline_emit::card::Tray;
use springline_emit::caution::CAUTION_IN_FULL;
use springline_emit::draw::Drawing;
use springline_emit::draw::list::{Align, DrawItem, DrawnText, Segment, words_width};
use springline_emit::pages;
use springline_emit::pages::{Body, Papers};
use springline_emit::patient_texts::Catalogue;
use springline_emit::{Plan, PrintStamp};
use springline_lang::{CheckOptions, Checked, Checker, SourceText};
use springline_pdf::{PageMeasurements, Paper, measure, write};
use springline_test_support::{Practices, examples_in};

const TODAY: jiff::civil::Date = date(2026, 11, 25);
const DAY: (u16, u8, u8) = (2026, 11, 25);

fn stamp() -> PrintStamp {
    PrintStamp {
        case: "8d3276b933b38d32".into(),
        house: "3fac9505d0693fac".into(),
        tool: "springline 0.1.0".into(),
        printed: TODAY,
    }
}

/// All papers of all examples; the patient's sheets in Spanish, which is longer.
fn papers() -> Vec<Papers> {
    let mut checker = Checker::new();
    let files = ["cases", "unsafe"].into_iter().flat_map(examples_in);
    let out: Vec<Papers> =
        files.filter_map(|file| papers_of(file, &Practices::saltmarsh(), &mut checker)).collect();
    assert!(out.len() > 40, "{}", out.len());
    out
}

fn papers_of(
    (name, text): (String, String),
    house: &Practices,
    checker: &mut Checker,
) -> Option<Papers> {
    let stamp = stamp();
    let words = Catalogue::built_in("es").expect("comes with the tool");
    let source = SourceText { name, text: text.into() };
    let checked: Checked = checker.check(&source, house, &CheckOptions { today: Some(TODAY) });
    let plan = Plan::of(checked.course(), &checked.findings, TODAY, &stamp)?;
    Some(pages::of_case(&plan, words))
}

/// Points that two boxes may share: the ink of a line is lower than the line.
const TOUCH: f32 = 1.0;

fn faults(page: &PageMeasurements) -> Vec<String> {
    let mut out = Vec::new();
    for (place, text) in &page.words {
        let [l, t, r, b] = *place;
        if l < -0.5 || t < -0.5 || r > page.width + 0.5 || b > page.height + 0.5 {
            out.push(format!("{}: leaves the page: {text:?} {place:?}", page.name));
        }
    }
    for (i, (a, one)) in page.words.iter().enumerate() {
        for (b, other) in &page.words[i + 1..] {
            let wide = a[2].min(b[2]) - a[0].max(b[0]);
            let high = a[3].min(b[3]) - a[1].max(b[1]);
            if wide > TOUCH && high > TOUCH {
                out.push(format!("{}: {one:?} lies on {other:?}", page.name));
            }
        }
    }
    out
}

/// Nothing on paper is smaller, but for the words of caution at the foot.
const SMALLEST: f32 = 8.5;
const CAUTION: f32 = 8.0;
/// On the sheet that the patient takes home, and for what is done.
const LARGE: f32 = 10.0;

/// What is too small to be read on a page.
fn too_small(page: &PageMeasurements, body: &Body) -> Vec<String> {
    let least = |text: &str| match body {
        Body::Patient(sheet) if text.contains(&sheet.stamp) => SMALLEST,
        Body::Patient(_) => LARGE,
        Body::Staff(card) => {
            let done = |line: &str| {
                card.doing.iter().flat_map(|d| &d.lines).any(|l| {
                    let house = l.house.as_deref().map(|h| format!(" {h}")).unwrap_or_default();
                    line == format!("{}{house}", l.text)
                })
            };
            match text {
                CAUTION_IN_FULL => CAUTION,
                line if done(line) || card.first.iter().any(|f| f == line) => LARGE,
                _ => SMALLEST,
            }
        }
        _ if text == CAUTION_IN_FULL => CAUTION,
        _ => SMALLEST,
    };
    let small = page.sizes.iter().filter(|(size, text)| *size < least(text) - 0.01);
    small.map(|(size, text)| format!("{}: {size} pt: {text:?}", page.name)).collect()
}

#[test]
fn nothing_is_cut_nothing_overlaps_and_all_can_be_read() {
    let mut out = Vec::new();
    for papers in papers() {
        for paper in [Paper::A4, Paper::Letter] {
            let measured = measure(&papers, paper);
            for (i, page) in measured.iter().enumerate() {
                let body = papers.pages.iter().find(|p| p.name == page.name).expect("its paper");
                assert_eq!(page.shrink, 1.0, "{}: {} had to be shrunk", papers.title, page.name);
                if i > 0 && measured[i - 1].name == page.name && std::env::var_os("TELL").is_some()
                {
                    eprintln!("{paper:?} {}: {}", papers.title, page.name);
                }
                out.extend(faults(page).into_iter().map(|f| format!("{}: {f}", papers.title)));
                let small = too_small(page, &body.body);
                out.extend(small.into_iter().map(|f| format!("{}: {f}", papers.title)));
            }
            let names: Vec<&str> = measured.iter().map(|m| m.name.as_str()).collect();
            let missing: Vec<&str> = papers
                .pages
                .iter()
                .map(|p| p.name.as_str())
                .filter(|name| !names.contains(name))
                .collect();
            assert_eq!(missing, Vec::<&str>::new(), "{}", papers.title);
        }
    }
    assert!(out.is_empty(), "{} faults:\n{}", out.len(), out[..out.len().min(12)].join("\n"));
}

/// Of an invented practice: the examples are chosen for what is out of the ordinary. One in five is common sense, no
/// source.
#[test]
fn most_visits_of_a_practice_are_one_sheet() {
    let house = Practices::of(demo::house());
    let mut checker = Checker::new();
    let (mut cards, mut two_sheets) = (0, 0);
    for number in 0..20 {
        let case = demo::case(7, number, TODAY);
        let Some(papers) = papers_of((case.file, case.text), &house, &mut checker) else {
            continue;
        };
        let staff = |name: &str| {
            papers.pages.iter().any(|p| p.name == name && matches!(p.body, Body::Staff(_)))
        };
        let measured = measure(&papers, Paper::A4);
        for (i, page) in measured.iter().enumerate().filter(|(_, page)| staff(&page.name)) {
            let second = i > 0 && measured[i - 1].name == page.name;
            cards += usize::from(!second);
            two_sheets += usize::from(second);
        }
    }
    eprintln!("{two_sheets} of {cards} cards go on overleaf");
    assert!(cards > 100 && two_sheets * 5 <= cards, "{two_sheets} of {cards}");
}

/// Ends of every straight piece of the groups whose name begins so.
fn lines(items: &[DrawItem], name: &str, inside: bool, out: &mut Vec<([f64; 2], [f64; 2])>) {
    for item in items {
        match item {
            DrawItem::Group { name: own, items, .. } => {
                lines(items, name, inside || own.starts_with(name), out);
            }
            DrawItem::Path { segments, .. } if inside => {
                let points: Vec<[f64; 2]> = segments
                    .iter()
                    .filter_map(|s| match s {
                        Segment::Move(p) | Segment::Line(p) | Segment::Curve(_, _, p) => {
                            Some([p.x, p.y])
                        }
                        Segment::Close => None,
                    })
                    .collect();
                out.extend(points.windows(2).map(|w| (w[0], w[1])));
            }
            _ => {}
        }
    }
}

/// Whether a line touches a box, by points along it.
fn touches(line: ([f64; 2], [f64; 2]), area: [f64; 4]) -> bool {
    (0..=200).any(|i| {
        let k = f64::from(i) / 200.0;
        let x = line.0[0] + (line.1[0] - line.0[0]) * k;
        let y = line.0[1] + (line.1[1] - line.0[1]) * k;
        area[0] < x && x < area[2] && area[1] < y && y < area[3]
    })
}

#[test]
fn no_label_lies_on_the_line_of_an_elastic() {
    let (mut out, mut seen) = (Vec::new(), 0);
    for papers in papers() {
        for drawing in papers.pages.iter().filter_map(|p| drawing(&p.body)) {
            let mut elastics = Vec::new();
            lines(&drawing.items, "elastic-", false, &mut elastics);
            seen += elastics.len();
            for one in drawing.words() {
                // The numbers of the teeth are no labels: a band hangs on them.
                if one.text.chars().all(|c| c.is_ascii_digit()) {
                    continue;
                }
                for line in elastics.iter().filter(|l| touches(**l, span(one))) {
                    out.push(format!("{}: {:?} on {line:?}", papers.title, one.text));
                }
            }
        }
    }
    assert!(seen > 20, "the examples have elastics: {seen}");
    assert!(out.is_empty(), "{} faults:\n{}", out.len(), out[..out.len().min(12)].join("\n"));
}

fn span(one: &DrawnText) -> [f64; 4] {
    let wide = words_width(&one.text, one.size, one.bold);
    let left = match one.align {
        Align::Start => one.at.x,
        Align::Middle => one.at.x - wide / 2.0,
        Align::End => one.at.x - wide,
    };
    // From the height of capitals to the base line.
    [left, one.at.y - one.size * 0.72, left + wide, one.at.y]
}

fn drawing(body: &Body) -> Option<&Drawing> {
    match body {
        Body::Staff(card) => Some(&card.drawing),
        Body::Repair(card) => Some(&card.drawing),
        Body::Course(page) => Some(&page.drawing),
        Body::Patient(sheet) => sheet.sections.iter().find_map(|s| s.picture.as_ref()),
        _ => None,
    }
}

#[test]
fn words_of_a_drawing_stay_on_it_and_apart() {
    let mut out = Vec::new();
    for papers in papers() {
        for drawing in papers.pages.iter().filter_map(|p| drawing(&p.body)) {
            let all = drawing.words();
            for (i, one) in all.iter().enumerate() {
                let a = span(one);
                if a[0] < -0.5
                    || a[1] < -0.5
                    || a[2] > drawing.width + 0.5
                    || a[3] > drawing.height + 0.5
                {
                    out.push(format!("{}: leaves the drawing: {:?} {a:?}", papers.title, one.text));
                }
                for other in &all[i + 1..] {
                    let b = span(other);
                    let wide = a[2].min(b[2]) - a[0].max(b[0]);
                    let high = a[3].min(b[3]) - a[1].max(b[1]);
                    if wide > 0.3 && high > 0.3 {
                        out.push(format!("{}: {:?} on {:?}", papers.title, one.text, other.text));
                    }
                }
            }
        }
    }
    assert!(out.is_empty(), "{} faults:\n{}", out.len(), out[..out.len().min(12)].join("\n"));
}

#[test]
fn the_same_papers_give_the_same_bytes_and_keep_to_the_accessibility_standard() {
    let all = papers();
    for papers in &all[..3] {
        let first = write(papers, Paper::A4, DAY, &[]).expect("written");
        assert_eq!(first.not_accessible, Vec::<String>::new());
        let again = write(papers, Paper::A4, DAY, &[]).expect("written");
        assert!(first.bytes == again.bytes, "{}", papers.title);
    }
}

#[test]
fn letters_that_the_typeface_lacks_are_told_and_print_all_the_same() {
    let mut papers = papers().remove(0);
    papers.pages[0].name = "\u{4e2d}\u{6587}".to_owned();
    if let Body::Staff(card) = &mut papers.pages[0].body {
        card.tell = vec!["\u{4e2d}\u{6587}".to_owned()];
    }
    let written = write(&papers, Paper::A4, DAY, &[]).expect("written");
    assert!(!written.not_accessible.is_empty() && written.bytes.len() > 1000);
}

#[test]
fn a_sheet_from_right_to_left_begins_at_the_right() {
    let mut one = papers().into_iter().find(|p| p.pages.len() > 2).expect("a whole case");
    one.pages.retain(|p| matches!(p.body, Body::Patient(_)));
    let Body::Patient(sheet) = &mut one.pages[0].body else { panic!("a sheet") };
    sheet.direction = "rtl";
    sheet.language = "he".to_owned();
    sheet.title = "\u{5e9}\u{5dc}\u{5d5}\u{5dd}".to_owned();
    sheet.call.lines = vec!["\u{5e9}\u{5dc}\u{5d5}\u{5dd} 12".to_owned()];
    // Spanish has no business on a page from right to left: its lines would end in the wrong place.
    for section in &mut sheet.sections {
        section.lines = vec!["\u{5e9}\u{5dc}\u{5d5}\u{5dd} ".repeat(60)];
    }
    let written = write(&one, Paper::A4, DAY, &[]).expect("written");
    assert_eq!(written.not_accessible, Vec::<String>::new());
    let page = &measure(&one, Paper::A4)[0];
    assert_eq!(faults(page), Vec::<String>::new());
    let dot = page.words.iter().find(|(_, t)| t == "\u{2022}").expect("a bullet");
    let line = page.words.iter().find(|(_, t)| t.contains("12")).expect("its line");
    assert!(dot.0[0] > line.0[0], "the bullet stands at the right: {dot:?} {line:?}");
    if let Some(folder) = std::env::var_os("SPRINGLINE_LOOK").map(PathBuf::from) {
        fs::write(folder.join("rtl.pdf"), written.bytes).expect("written");
    }
}

#[test]
fn a_long_card_still_fits() {
    let mut one = papers().into_iter().find(|p| p.pages.len() > 2).expect("a whole case");
    one.pages.truncate(1);
    let Body::Staff(card) = &mut one.pages[0].body else { panic!("a card") };
    card.head.practice =
        "The Practice with the Longest Name on the Whole of the Marsh and Beyond".to_owned();
    card.accepted = (0..6).map(|i| format!("finding {i} that was accepted with a reason that goes on for a line or so, as reasons do, because the doctor explains it: \u{201c}it has to be\u{201d} (RB)")).collect();
    let items =
        (0..40).map(|i| format!("thing {i} to lay out, with a word on its length")).collect();
    card.lay_out = vec![Tray { heading: "Upper".to_owned(), items }];
    let sheets = measure(&one, Paper::Letter);
    assert!(sheets.len() > 1, "it goes on overleaf");
    for page in sheets {
        assert_eq!(faults(&page), Vec::<String>::new());
        assert_eq!(too_small(&page, &one.pages[0].body), Vec::<String>::new());
        assert_eq!(page.shrink, 1.0);
    }
}

/// Written for looking at: `SPRINGLINE_LOOK=folder cargo test`.
#[test]
fn pages_to_look_at() {
    let Some(folder) = std::env::var_os("SPRINGLINE_LOOK").map(PathBuf::from) else { return };
    for papers in papers() {
        for (paper, name) in [(Paper::A4, "a4"), (Paper::Letter, "letter")] {
            let written = write(&papers, paper, DAY, &[]).expect("written");
            let chart = papers.title.split(':').next().unwrap_or_default();
            fs::write(folder.join(format!("{chart}-{name}.pdf")), written.bytes).expect("written");
        }
    }
}
