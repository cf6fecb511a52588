//! Every finding about points, from a sound file that one fault was put into: where it is said, why, and what to do.

use std::collections::BTreeSet;

use springline_finding::language::LANGUAGE_FINDINGS;
use springline_finding::{Finding, Severity};
use springline_measure::*;
use springline_mechanics::ArchLine;
use springline_text::FileId;
use springline_units::tooth::Tooth;

const SOUND: &str = include_str!("points/lateral-in.csv");
const ALL: [u32; 14] = [17, 16, 15, 14, 13, 12, 11, 21, 22, 23, 24, 25, 26, 27];
const PHOTOGRAPH: &str = include_str!("points/photograph.csv");

/// A fault, and how it is to be told.
struct BadFile {
    code: &'static str,
    severity: Severity,
    /// What stands at the place of the finding begins so.
    at: &'static str,
    teeth: &'static [u32],
    /// Of the sentence.
    says: &'static str,
    text: String,
}

fn error(
    code: &'static str,
    at: &'static str,
    teeth: &'static [u32],
    says: &'static str,
    text: String,
) -> BadFile {
    BadFile { code, severity: Severity::Error, at, teeth, says, text }
}

fn warning(
    code: &'static str,
    at: &'static str,
    teeth: &'static [u32],
    says: &'static str,
    text: String,
) -> BadFile {
    BadFile { code, severity: Severity::Warning, at, teeth, says, text }
}

/// The rows of the file that are wanted, each changed.
fn rows(each: impl Fn(&str) -> Option<String>) -> String {
    let (head, rows) = (SOUND.lines().take(2), SOUND.lines().skip(2));
    let kept = head.map(str::to_owned).chain(rows.filter_map(each));
    kept.map(|row| row + "\n").collect()
}

/// The file with one row in the place of another.
fn with(old: &str, new: &str) -> String {
    assert_eq!(SOUND.matches(old).count(), 1, "{old}");
    SOUND.replace(old, new)
}

/// The file with every coordinate changed.
fn moved(to: impl Fn(&str, [f64; 3]) -> [f64; 3]) -> String {
    rows(|row| {
        let cells: Vec<&str> = row.split(',').collect();
        let at = [2, 3, 4].map(|i| cells[i].parse().expect("a number"));
        let [x, y, z] = to(cells[0], at);
        Some(format!("{},{},{x:.5},{y:.5},{z:.5}", cells[0], cells[1]))
    })
}

/// The file with the first figures of all tooth numbers changed.
fn renumbered(names: [(&str, &str); 2]) -> String {
    rows(|row| {
        let by = names.iter().find(|(from, _)| row.starts_with(from))?;
        Some(row.replacen(by.0, by.1, 1))
    })
}

/// What is no table of points.
fn unreadable() -> Vec<BadFile> {
    let no_scale: String = PHOTOGRAPH
        .lines()
        .filter(|l| !l.starts_with("scale"))
        .map(|l| l.to_owned() + "\n")
        .collect();
    let one_end = PHOTOGRAPH.replacen("scale,30 mm,2821.9,999.3\n", "", 1);
    let no_length = PHOTOGRAPH.replacen("scale,30 mm,2821.9", "scale,long,2821.9", 1);
    let large = format!("{SOUND}{}", " ".repeat(9 << 20));
    let head = "tooth,point,x,y,z";
    let facial = "14,facial,-19.626,15.989,0.000";
    vec![
        error("points/size", "# unit mm", &[], "8 are read", large),
        error(
            "points/unit",
            "# unit furlongs",
            &[],
            "`furlongs`",
            with("# unit mm", "# unit furlongs"),
        ),
        error("points/header", "17,mesial", &[], "does not name", with(&format!("{head}\n"), "")),
        error("points/header", "", &[], "no points", String::new()),
        error("points/row", "14,facial", &[], "more values", with(facial, &format!("{facial},7"))),
        error("points/row", "14,front", &[], "`front`", with("14,facial", "14,front")),
        error(
            "points/number",
            "14,facial",
            &[],
            "`left`",
            with("14,facial,-19.626", "14,facial,left"),
        ),
        error(
            "points/number",
            "14,facial",
            &[],
            "value of x is missing",
            with("14,facial,-19.626", "14,facial,"),
        ),
        error("points/tooth", "19,facial", &[], "`19` is no tooth", with("14,facial", "19,facial")),
        error("points/tooth", "14-44,contact", &[], "`14-44`", with("14,mesial", "14-44,contact")),
        error(
            "points/twice",
            facial,
            &[14],
            "given twice",
            with(facial, &format!("{facial}\n{facial}")),
        ),
        error("points/scale", "# unit px", &[], "no scale", no_scale),
        error("points/scale", "scale,30 mm,2307.6", &[], "two ends", one_end),
        error("points/scale", "scale,long", &[], "`long`", no_length),
    ]
}

/// What is a table, of which nothing or not all can be true.
fn untrue() -> Vec<BadFile> {
    let but = |teeth: &'static [&'static str]| {
        rows(move |row| teeth.iter().any(|t| row.starts_with(t)).then(|| row.to_owned()))
    };
    let exchanged = rows(|row| {
        let turned = row.replace("mesial", "*").replace("distal", "mesial");
        Some(turned.replace('*', "distal"))
    });
    let wide = with("17,distal,-27.832,44.730", "17,distal,-29.811,51.652");
    let wider = with("17,distal,-27.832,44.730", "17,distal,-28.327,46.461");
    let outside = moved(|t, [x, y, z]| if t == "12" { [x, y - 14.0, z] } else { [x, y, z] });
    let neighbours = SOUND
        .replace("14,facial,", "*")
        .replace("15,facial,", "14,facial,")
        .replace('*', "15,facial,");
    let same = with("14,facial,-19.626,15.989,0.000", "14,facial,-15.822,14.108,-2.000");
    let lower = renumbered([("1", "4"), ("2", "3")]);
    vec![
        error("points/unit", "17,mesial", &[], "centimetres", moved(|_, p| p.map(|x| x / 10.0))),
        error("points/unit", "17,mesial", &[], "inches", moved(|_, p| p.map(|x| x / 25.4))),
        error(
            "points/unit",
            "17,mesial",
            &[],
            "tenths of a millimetre",
            moved(|_, p| p.map(|x| x * 10.0)),
        ),
        error("points/same", "14,facial", &[14], "the same point as its mesial", same),
        error("points/jaw", "47,mesial", &[], "teeth of the upper arch", lower),
        error("points/few", "12,mesial", &[], "both contacts", but(&["12", "11", "21"])),
        error(
            "points/few",
            "17,mesial",
            &[],
            "on one line",
            moved(|_, [x, y, _]| [x.signum() * x.hypot(y), 0.0, 0.0]),
        ),
        error("points/one-side", "17,mesial", &[], "one side", but(&["1"])),
        error("points/sides", "17,distal", &ALL, "most teeth", exchanged),
        warning(
            "points/incomplete",
            "14,mesial",
            &[14],
            "distal contact",
            with("14,distal,-19.243,20.215,-2.000\n", ""),
        ),
        warning("points/width", "17,mesial", &[17], "mm wide", wide),
        warning("points/width-pair", "17,mesial", &[17, 27], "differ in width", wider),
        warning("points/handed", "17,mesial", &[], "mirrored", moved(|_, [x, y, z]| [-x, y, z])),
        warning("points/far", "12,mesial", &[12], "from the line", outside),
        warning("points/facial", "14,facial", &[14], "where its face should be", neighbours),
    ]
}

fn options() -> MeasureOptions {
    let line = FormToLay::Given(ArchLine::Catenary { a_mm: 15.0 });
    MeasureOptions {
        upper: line,
        lower: line,
        loss: FitLoss::Cauchy,
        in_line: Vec::new(),
        error_mm: 0.2,
        anatomy: MeasureAnatomy::default(),
    }
}

fn of(text: &str, options: &MeasureOptions) -> Vec<Finding> {
    let (table, mut findings) = read_csv(FileId(0), text);
    if let Some(table) = table {
        findings.extend(measure_points(&table, options).1);
    }
    findings
}

/// The fault that was put in is among what is said, with all that belongs to it.
fn hold(bad: &BadFile, findings: &[Finding]) {
    let BadFile { code, at, says, text, .. } = bad;
    let own = findings.iter().find(|f| f.code.as_str() == *code && f.message.contains(says));
    let own = own.unwrap_or_else(|| panic!("{code}, {says}: {findings:#?}"));
    assert_eq!(own.severity, bad.severity, "{code}");
    let there = &text[own.place.span.range()];
    assert!(there.starts_with(at), "{code} stands at `{there}`, not at `{at}`");
    let teeth: Vec<u32> = own.teeth.iter().map(|t| t.code()).collect();
    assert_eq!(teeth, bad.teeth, "{code}");
    assert!(own.why.as_ref().is_some_and(|why| !why.is_empty()), "{code} has no reason");
    assert!(own.notes.iter().any(|note| !note.is_empty()), "{code} says nothing to do");
    // Nothing is refused for a doubt.
    let sure = findings.iter().filter(|f| f.severity == Severity::Error).count();
    let is_sure = bad.severity == Severity::Error;
    assert_eq!(sure > 0, is_sure, "{code}, {says}: {findings:#?}");
}

#[test]
fn the_sound_file_is_sound() {
    let findings = of(SOUND, &options());
    assert!(findings.iter().all(|f| f.severity != Severity::Error), "{findings:#?}");
}

#[test]
fn every_fault_is_told_with_place_reason_and_what_to_do() {
    for bad in unreadable().iter().chain(&untrue()) {
        hold(bad, &of(&bad.text, &options()));
    }
}

#[test]
fn what_the_options_ask_is_held_against_the_points() {
    let weak = MeasureOptions {
        upper: FormToLay::FittedCatenary,
        lower: FormToLay::FittedCatenary,
        error_mm: 1.0,
        ..options()
    };
    let text = SOUND.to_owned();
    hold(
        &warning("points/line-weak", "17,mesial", &[], "uncertain", text.clone()),
        &of(SOUND, &weak),
    );
    let wide = FormToLay::Given(ArchLine::Catenary { a_mm: 40.0 });
    let other = MeasureOptions { upper: wide, ..options() };
    let told = of(SOUND, &other);
    let about: Vec<_> = told.iter().filter(|f| f.code.as_str() == "points/form").collect();
    assert!(about.len() == 1 && about[0].why.is_some() && !about[0].notes.is_empty(), "{told:#?}");
    let absent = MeasureOptions { in_line: Tooth::iso(38).into_iter().collect(), ..options() };
    let own = error("points/in-line", "17,mesial", &[38], "no points", text);
    hold(&own, &of(SOUND, &absent));
}

/// `points/changed` and `points/missing` are of files beside a case, and tested with the command; labels of landmarks and of
/// viewers, and exchanged numbers or words of one tooth, with the made arches.
#[test]
fn no_finding_about_points_is_untried() {
    const ELSEWHERE: [&str; 5] = [
        "points/changed",
        "points/missing",
        "points/labels",
        "points/order",
        "points/mesial-distal",
    ];
    const OF_OPTIONS: [&str; 3] = ["points/form", "points/in-line", "points/line-weak"];
    let tried: BTreeSet<&str> = (unreadable().iter().chain(&untrue()).map(|bad| bad.code))
        .chain(ELSEWHERE)
        .chain(OF_OPTIONS)
        .collect();
    let all: BTreeSet<&str> =
        LANGUAGE_FINDINGS.iter().map(|f| f.code).filter(|c| c.starts_with("points/")).collect();
    assert_eq!(tried, all);
}
