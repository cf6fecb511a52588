//! Writes what was measured from points into a case, as a block of its own: in an arch of the plan, or in a visit. A block
//! of the same arch that is there already is replaced; all other text is unchanged, and what the doctor wrote outside the
//! block goes first when the case is read.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use jiff::civil::Date;

use springline_course::{Crown, taken_overlap_mm};
use springline_measure::{FigureKey, MeasuredArch, MeasuredFigure};
use springline_model::Case;
use springline_model::case::ArchCase;
use springline_model::measured_block::PointsSource;
use springline_model::stand::StandAxis;
use springline_syntax::ast::StatementKind;
use springline_syntax::token::TokenKind;
use springline_syntax::{FileKind, InsertAt, Parse, StatementRef, TreeEditor, parse};
use springline_text::{Edit, FileId, Span};
use springline_units::anatomy::{SLOT_BEFORE_CONTACTS_MM, crown_width_mm};
use springline_units::quantity::{plain, tenth};
use springline_units::tooth::{Arch, Notation, Side, Tooth};

use super::{Refused, day_of};
use crate::settled::settled;
use crate::stand_edit::{StandPlace, stand_clause};

/// In-out and height are written from so many standard deviations.
const SURE: f64 = 2.0;
/// Turns and tips are written from here, deg (common practice, no source).
const LEAST_TURN_DEG: f64 = 5.0;
/// A contact is written, be it `overlap 0 mm`, where a plan without it would lay out the crowns otherwise by so much, mm:
/// distances of brackets in front are to be the measured ones within as much.
const LEAST_OFF_MM: f64 = 0.15;

/// Where points came from.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadingSource {
    pub on: Date,
    pub source: PointsSource,
    /// Name of the file, without folders.
    pub file: String,
    /// The first digits of its fingerprint.
    pub fingerprint: String,
    /// Standard deviation of each coordinate of a point, mm.
    pub error_mm: f64,
}

/// The lines of the block of one arch. `own` says which teeth are absent, so that no contact is written across a tooth
/// that was not picked; at a visit a tooth in line is told too, as it was elsewhere before.
pub fn measured_lines(
    measured: &MeasuredArch,
    own: Option<&ArchCase>,
    into: StandPlace,
    notation: Notation,
) -> Vec<String> {
    let tooth = |tooth: &Tooth| {
        let clauses: Vec<String> = written(measured, *tooth, into)
            .into_iter()
            .map(|(axis, figure)| stand_clause(axis, figure, *tooth))
            .collect();
        (!clauses.is_empty())
            .then(|| format!("tooth {} {}", tooth.write(notation), clauses.join(", ")))
    };
    let faced = measured.teeth.windows(2).filter(|pair| faces(own, pair[0], pair[1]));
    let laid: BTreeMap<Tooth, CrownLaidOut> =
        laid_out(measured, own, into).into_iter().map(|c| (c.crown.tooth, c)).collect();
    let contacts = faced.filter_map(|pair| {
        let gap = measured.figure(FigureKey::Gap(pair[0], pair[1]));
        contact(laid.get(&pair[0])?, laid.get(&pair[1])?, is_one_point(gap), notation)
    });
    measured.teeth.iter().filter_map(tooth).chain(contacts).collect()
}

/// Teeth of the plan's own lines among those that were measured.
pub fn own_lines_first(measured: &MeasuredArch, own: &ArchCase) -> Vec<Tooth> {
    let by_hand = |t: &&Tooth| {
        let place = own.stands.get(t).and_then(|s| s.place);
        let by_points = own.reading.as_ref().and_then(|r| r.stands.get(t)).map(|(_, place)| *place);
        place.is_some() && place != by_points
    };
    measured.teeth.iter().filter(by_hand).copied().collect()
}

/// Whether nothing stands between two teeth: a tooth that was not picked may.
fn faces(own: Option<&ArchCase>, a: Tooth, b: Tooth) -> bool {
    let absent = |t: &Tooth| {
        let state = own.and_then(|arch| arch.states.get(t));
        state.is_some_and(|(state, _)| state.is_absent())
    };
    let between = a.stretch(b).unwrap_or_default();
    between.iter().filter(|t| **t != a && **t != b).all(absent)
}

/// The figures that are written of a tooth, in tenths and whole degrees.
fn written(measured: &MeasuredArch, tooth: Tooth, into: StandPlace) -> Vec<(StandAxis, f64)> {
    let figure = |key| measured.figure(key);
    let sure = |f: &MeasuredFigure| f.value.abs() >= SURE * f.sd && tenth(f.value) != 0.0;
    let turned = |f: &MeasuredFigure| f.value.abs() >= LEAST_TURN_DEG;
    // A camera that is not square to the teeth misreads every width.
    let width = figure(FigureKey::Width(tooth)).filter(|_| !measured.is_flat);
    let is_found = into != StandPlace::Plan;
    // In-out and turn are always known, and are in line where they are not written; height and tip are said at a visit.
    let placed = |f: Option<MeasuredFigure>| f.filter(sure).map(|f| tenth(f.value));
    let angled = |f: Option<MeasuredFigure>| f.filter(turned).map(|f| f.value.round());
    let (height, tip) = (figure(FigureKey::Gingival(tooth)), figure(FigureKey::Tipped(tooth)));
    let found =
        |said: Option<f64>, f: Option<MeasuredFigure>| said.or(f.filter(|_| is_found).map(|_| 0.0));
    let all = [
        (StandAxis::InOut, placed(figure(FigureKey::Lingual(tooth)))),
        (StandAxis::UpDown, found(placed(height), height)),
        (StandAxis::Rotation, angled(figure(FigureKey::Rotated(tooth)))),
        (StandAxis::Tip, found(angled(tip), tip)),
        (StandAxis::Width, width.map(|f| tenth(f.value))),
    ];
    let said: Vec<_> = all.into_iter().filter_map(|(axis, by)| Some((axis, by?))).collect();
    // A tooth in line of which a photograph says no more was measured all the same.
    if said.is_empty() { vec![(StandAxis::InOut, 0.0)] } else { said }
}

/// A crown as the plan has it with what is written of it, and where its middle lies along the contact line, mm.
struct CrownLaidOut {
    crown: Crown,
    middle_mm: f64,
}

/// Crowns where a plan has to lay them out so that brackets stand as far apart as slots were measured.
fn laid_out(
    measured: &MeasuredArch,
    own: Option<&ArchCase>,
    into: StandPlace,
) -> Vec<CrownLaidOut> {
    let crown = |tooth: &Tooth| {
        let said = written(measured, *tooth, into);
        let value = |axis| said.iter().find(|(a, _)| *a == axis).map(|(_, figure)| *figure);
        let by_hand = own.and_then(|arch| arch.stands.get(tooth)?.value.figure(StandAxis::Width));
        let width_mm = value(StandAxis::Width).or(by_hand).unwrap_or(crown_width_mm(*tooth));
        let left_in = if tooth.side() == Side::Right { 1.0 } else { -1.0 };
        let crown = Crown {
            tooth: *tooth,
            width_mm,
            lingual_mm: value(StandAxis::InOut).unwrap_or(0.0),
            rotated_rad: left_in * value(StandAxis::Rotation).unwrap_or(0.0).to_radians(),
        };
        // A turned crown carries its slot on the side that it faces; one whose turn is not written in its middle.
        let beside = SLOT_BEFORE_CONTACTS_MM * crown.rotated_rad.sin();
        Some((crown, measured.stations.get(tooth)? - beside))
    };
    let crowns: Vec<(Crown, f64)> = measured.teeth.iter().filter_map(crown).collect();
    let middle_mm = |station: f64| measured.line.parallel_mm(station, SLOT_BEFORE_CONTACTS_MM);
    // A plan counts from the contact of the centrals, beside which the middle of a form may lie by a millimetre or two;
    // and slots lie the farther apart against their crowns, the nearer they are to the middle.
    let left = crowns.partition_point(|(c, _)| c.tooth.side() == Side::Right);
    let mut off = 0.0;
    if let (Some((a, at_a)), Some((b, at_b))) =
        (left.checked_sub(1).and_then(|right| crowns.get(right)), crowns.get(left))
    {
        for _ in 0..MIDLINE_STEPS {
            let (at_a, at_b) = (middle_mm(at_a - off), middle_mm(at_b - off));
            off += at_a + (at_b - at_a) * a.width_mm / (a.width_mm + b.width_mm);
        }
    }
    let laid = |(crown, at)| CrownLaidOut { crown, middle_mm: middle_mm(at - off) };
    crowns.into_iter().map(laid).collect()
}

/// Each step leaves less than a third of the one before.
const MIDLINE_STEPS: usize = 30;

/// Two crowns whose contact was picked as one point touch there.
fn is_one_point(gap: Option<MeasuredFigure>) -> bool {
    gap.is_some_and(|gap| gap.value.abs() < 1e-9)
}

/// Where the slots of two neighbours say otherwise than a plan would take it. Crowns that touch have no gap, and overlap
/// only where one of them stands out of line or is turned: what their slots say beyond that is the error of the points,
/// or of a width that a photograph does not tell.
fn contact(
    right: &CrownLaidOut,
    left: &CrownLaidOut,
    touch: bool,
    notation: Notation,
) -> Option<String> {
    let (a, b) = (&right.crown, &left.crown);
    let by_slots = left.middle_mm - right.middle_mm - 0.5 * (a.width_mm + b.width_mm);
    let in_line = [a, b].iter().all(|c| c.lingual_mm == 0.0 && c.rotated_rad == 0.0);
    let apart = match touch {
        true if in_line => 0.0,
        true => by_slots.min(0.0),
        false => by_slots,
    };
    // Across the place of an absent tooth nothing is taken to touch.
    let is_taken = a.tooth.place().abs_diff(b.tooth.place()) == 1;
    if is_taken && (apart + taken_overlap_mm(a, b)).abs() < LEAST_OFF_MM {
        return None;
    }
    let word = if tenth(apart) > 0.0 { "gap" } else { "overlap" };
    let [first, second] = [a, b].map(|c| c.tooth.write(notation));
    Some(format!("{word} {} mm between {first} and {second}", plain(tenth(apart.abs()))))
}

/// The text with this block in its arch, or in the visit, in the place of the one of this arch that was there. `case` is
/// what `text` was read as.
///
/// # Errors
/// Where the text cannot be read, has no such arch or visit, or there is nothing to write.
pub fn write_measured(
    text: &Parse,
    case: &Case,
    arch: Arch,
    into: StandPlace,
    from: &ReadingSource,
    lines: &[String],
) -> Result<String, Refused> {
    if text.unread.is_some() || text.braces_guessed {
        return Err(Refused::Unreadable);
    }
    if text.kind != FileKind::Case {
        return Err(Refused::NotACase);
    }
    if lines.is_empty() || from.file.contains(['"', '\n', '\r']) {
        return Err(Refused::Empty);
    }
    let block = block_of(text, arch, into).ok_or(Refused::Empty)?;
    let old = block.children().find(|l| is_of_arch(*l, case, arch, into));
    let mut editor = TreeEditor::new(text);
    match old {
        Some(line) => {
            let span = line.whole_span();
            let (indent, newline) = layout(text, line);
            let new = reading_block(from, &remarks(text, span), lines)
                .replace('\n', &format!("{newline}{indent}"));
            editor.replace(span, &new);
        }
        None => editor.insert(InsertAt::FirstIn(block.id), &reading_block(from, &[], lines)),
    }
    let edits = editor.finish().ok_or(Refused::Unreadable)?;
    let out = Edit::all_in(&edits, &text.source);
    let after = parse(FileId(0), &out);
    if after.braces_guessed || after.top.len() != text.top.len() {
        return Err(Refused::Unreadable);
    }
    Ok(settled(text, out, Some(case.house.notation.value)))
}

fn block_of(text: &Parse, arch: Arch, into: StandPlace) -> Option<StatementRef<'_>> {
    let kind = if arch == Arch::Upper { StatementKind::Upper } else { StatementKind::Lower };
    text.lines().find(|line| match into {
        StandPlace::Plan => line.is(kind),
        StandPlace::Visit(on) => line.is(StatementKind::Seen) && day_of(line) == Some(on),
    })
}

/// A block that was read from points of this arch.
fn is_of_arch(line: StatementRef<'_>, case: &Case, arch: Arch, into: StandPlace) -> bool {
    if !line.is(StatementKind::Measured) {
        return false;
    }
    let StandPlace::Visit(on) = into else { return true };
    let visits = case.visits.iter().filter(|v| v.on == on);
    let reading = visits.flat_map(|v| &v.readings).find(|r| r.place == line.place());
    let first = reading.and_then(|r| r.stands.keys().next());
    first.is_none_or(|tooth| tooth.arch() == arch)
}

/// The blanks before a line, and how lines end.
fn layout(text: &Parse, line: StatementRef<'_>) -> (String, &'static str) {
    let before = &text.source[..line.span().start as usize];
    let own = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    let indent = own.chars().take_while(|c| matches!(c, ' ' | '\t')).collect();
    (indent, if text.source.contains("\r\n") { "\r\n" } else { "\n" })
}

/// The block as it stands in a plan, with remarks before its lines.
pub fn reading_block(from: &ReadingSource, remarks: &[&str], lines: &[String]) -> String {
    let mut out = format!(
        "measured {} from {} \"{}\" as \"{}\", within {} mm {{\n",
        from.on,
        from.source.word(),
        from.file,
        from.fingerprint,
        plain(from.error_mm)
    );
    for line in remarks.iter().copied().chain(lines.iter().map(String::as_str)) {
        let _ = writeln!(out, "  {line}");
    }
    out.push('}');
    out
}

/// What somebody wrote beside the figures.
pub(super) fn remarks(parse: &Parse, span: Span) -> Vec<&str> {
    let inside = parse.tokens.iter().filter(|t| span.range().contains(&(t.span.start as usize)));
    inside.filter(|t| t.kind == TokenKind::Comment).map(|t| parse.text(t.span).trim_end()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checked::{LoweredFile, SourceText};
    use crate::text_database::TextDatabase;
    use jiff::civil::date;
    use springline_lower::NoLibrary;

    const CASE: &str = "springline 1\ncase \"SM-1\"\nstart 2026-09-14\nupper {\n  tooth 23 labial 1.5 mm // by eye\n}\nseen 2026-11-16 {\n  hygiene good\n}\n";

    fn read(text: &str) -> LoweredFile {
        let source = SourceText { name: "sm-1.spring".to_owned(), text: text.into() };
        TextDatabase::new().read(&source, &NoLibrary)
    }

    fn from(day: i8) -> ReadingSource {
        ReadingSource {
            on: date(2026, 11, day),
            source: PointsSource::Scan,
            file: "sm-1-upper.csv".to_owned(),
            fingerprint: "7c1e09b2".to_owned(),
            error_mm: 0.2,
        }
    }

    fn write(
        text: &str,
        arch: Arch,
        into: StandPlace,
        day: i8,
        lines: &[&str],
    ) -> Result<String, Refused> {
        let now = read(text);
        let lines: Vec<String> = lines.iter().map(|l| (*l).to_owned()).collect();
        write_measured(&now.parse, now.case.as_deref().unwrap(), arch, into, &from(day), &lines)
    }

    #[test]
    fn crowns_that_touch_have_no_gap_and_overlap_only_where_one_is_out_of_line() {
        let crown = |tooth: &str, rotated_rad: f64, middle_mm: f64| {
            let tooth = Tooth::parse(tooth).unwrap();
            let crown = Crown { tooth, width_mm: 7.0, lingual_mm: 0.0, rotated_rad };
            CrownLaidOut { crown, middle_mm }
        };
        let said = |turned: f64, by_slots: f64, touch: bool| {
            let (a, b) = (crown("14", 0.0, 0.0), crown("13", turned, 7.0 + by_slots));
            contact(&a, &b, touch, Notation::Iso)
        };
        assert_eq!(said(0.0, 0.8, true), None);
        assert_eq!(said(0.0, -0.6, true), None);
        assert_eq!(said(0.0, 0.8, false).as_deref(), Some("gap 0.8 mm between 14 and 13"));
        assert_eq!(said(0.5, -1.6, true).as_deref(), Some("overlap 1.6 mm between 14 and 13"));
        // A plan would take the turned crown to overlap.
        assert_eq!(said(0.5, 0.4, true).as_deref(), Some("overlap 0 mm between 14 and 13"));
    }

    const LINES: [&str; 2] =
        ["tooth 12 palatal 2.4 mm, width 6.8 mm", "overlap 1 mm between 13 and 12"];

    #[test]
    fn the_block_goes_to_the_beginning_of_its_arch_and_nothing_else_changes() {
        let text = write(CASE, Arch::Upper, StandPlace::Plan, 25, &LINES).unwrap();
        let block = "  measured 2026-11-25 from scan \"sm-1-upper.csv\" as \"7c1e09b2\", within 0.2 mm {\n    tooth 12 palatal 2.4 mm, width 6.8 mm\n    overlap 1 mm between 13 and 12\n  }\n";
        assert!(text.contains(&format!("upper {{\n{block}  tooth 23")), "{text}");
        assert_eq!(text.replace(block, ""), CASE);
        let now = read(&text);
        let upper = now.case.as_deref().unwrap().arch(Arch::Upper).unwrap().clone();
        assert_eq!(upper.stands.len(), 2, "{:?}", now.findings);
        assert_eq!(upper.overlaps.len(), 1);
    }

    #[test]
    fn a_later_block_takes_the_place_of_the_earlier_and_keeps_its_remarks() {
        let text = write(CASE, Arch::Upper, StandPlace::Plan, 25, &LINES).unwrap();
        let noted = text.replace("width 6.8 mm\n", "width 6.8 mm // a peg\n");
        let again = write(&noted, Arch::Upper, StandPlace::Plan, 27, &LINES).unwrap();
        let want = noted
            .replace("2026-11-25", "2026-11-27")
            .replace(" // a peg", "")
            .replace("0.2 mm {\n", "0.2 mm {\n    // a peg\n");
        assert_eq!(again, want);
        assert_eq!(
            write(&again, Arch::Upper, StandPlace::Plan, 27, &LINES).unwrap(),
            again,
            "twice is once"
        );
        let windows = noted.replace('\n', "\r\n");
        let again = write(&windows, Arch::Upper, StandPlace::Plan, 27, &LINES).unwrap();
        assert_eq!(again.matches('\n').count(), again.matches("\r\n").count());
    }

    #[test]
    fn a_visit_has_a_block_for_each_arch() {
        let on = StandPlace::Visit(date(2026, 11, 16));
        let upper = write(CASE, Arch::Upper, on, 16, &LINES).unwrap();
        let both = write(&upper, Arch::Lower, on, 16, &["tooth 42 width 5 mm"]).unwrap();
        let again = write(&both, Arch::Upper, on, 16, &["tooth 12 palatal 1 mm"]).unwrap();
        assert_eq!(again.matches("measured").count(), 2, "{again}");
        let now = read(&again);
        let visit = &now.case.as_deref().unwrap().visits[0];
        assert_eq!(visit.stands.len(), 2, "{:?}", now.findings);
        assert!(now.findings.iter().all(|f| f.code.as_str() != "name/said-twice"));
        // In line is a measurement: the tooth was elsewhere before.
        let lower = visit.stands[&Tooth::iso(42).unwrap()].0;
        assert_eq!(lower.figure(StandAxis::InOut), Some(0.0));
    }

    #[test]
    fn an_arch_or_visit_that_is_not_there_is_not_made() {
        let lines = ["tooth 42 width 5 mm"];
        assert_eq!(write(CASE, Arch::Lower, StandPlace::Plan, 25, &lines), Err(Refused::Empty));
        let day = StandPlace::Visit(date(2026, 11, 17));
        assert_eq!(write(CASE, Arch::Lower, day, 25, &lines), Err(Refused::Empty));
    }

    /// The doctor's own line goes first, part by part, and a width that points have stays.
    #[test]
    fn own_lines_go_first() {
        let lines = ["tooth 23 buccal 0.4 mm, width 7.9 mm", "overlap 1 mm between 13 and 12"];
        let own = CASE.replace("// by eye\n", "// by eye\n  gap 0.5 mm between 13 and 12\n");
        let text = write(&own, Arch::Upper, StandPlace::Plan, 25, &lines).unwrap();
        let now = read(&text);
        let upper = now.case.as_deref().unwrap().arch(Arch::Upper).unwrap();
        let stand = upper.stands[&Tooth::iso(23).unwrap()].value;
        assert_eq!(stand.figure(StandAxis::InOut), Some(-1.5));
        assert_eq!(stand.figure(StandAxis::Width), Some(7.9));
        assert_eq!(stand.error(StandAxis::InOut), None, "a written figure has no error of points");
        assert!(stand.error(StandAxis::Rotation).is_some(), "found straight by the points");
        assert!(upper.overlaps.is_empty() && upper.gaps.len() == 1);
    }
}
