//! Writes what was measured from points into an arch of a case: lines for teeth and contacts that it does not describe
//! yet; all other text is unchanged, and what the doctor wrote goes first.

use springline_course::{Crown, contact_displacement_mm};
use springline_measure::{FigureKey, MeasuredArch, MeasuredFigure};
use springline_model::case::ArchCase;
use springline_syntax::ast::StatementKind;
use springline_syntax::{FileKind, InsertAt, TreeEditor, parse};
use springline_text::FileId;
use springline_units::quantity::plain;
use springline_units::tooth::{Arch, Notation, Side, Tooth};

use super::Refused;

/// In-out and height are written from so many standard deviations.
const SURE: f64 = 2.0;
/// Turns and tips are written from here, deg (common practice, no source).
const LEAST_TURN_DEG: f64 = 5.0;
/// A contact is written where it is open or overlaps by so much, or is so far displaced that the layout of a plan would
/// guess an overlap, mm.
const LEAST_SPACING_MM: f64 = 0.3;
const LEAST_DISPLACED_MM: f64 = 0.4;

/// The lines of one arch.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MeasuredLines {
    pub lines: Vec<String>,
    /// Teeth that the case describes already; nothing was written of them.
    pub kept: Vec<Tooth>,
}

/// The lines of what a plan of this arch does not say yet; of everything without a plan.
pub fn measured_lines(
    measured: &MeasuredArch,
    own: Option<&ArchCase>,
    notation: Notation,
) -> MeasuredLines {
    let mut out = MeasuredLines::default();
    for tooth in &measured.teeth {
        if own.is_some_and(|a| a.stands.contains_key(tooth)) {
            out.kept.push(*tooth);
            continue;
        }
        let parts = positions(measured, *tooth);
        if !parts.is_empty() {
            out.lines.push(format!("tooth {} {}", tooth.write(notation), parts.join(", ")));
        }
    }
    for pair in measured.teeth.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        if !faces(own, a, b) {
            continue;
        }
        let said = own.is_some_and(|arch| {
            let gaps = arch.gaps.iter().map(|g| (g.first, g.second));
            gaps.chain(arch.overlaps.iter().map(|o| (o.first, o.second))).any(|p| p == (a, b))
        });
        if !said {
            out.lines.extend(contact(measured, a, b, notation));
        }
    }
    out
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

fn positions(measured: &MeasuredArch, tooth: Tooth) -> Vec<String> {
    let sure = |f: &MeasuredFigure| f.value.abs() >= SURE * f.sd && tenth(f.value) != 0.0;
    let turned = |f: &MeasuredFigure| f.value.abs() >= LEAST_TURN_DEG;
    let mm = |f: MeasuredFigure| plain(tenth(f.value.abs()));
    let deg = |f: MeasuredFigure| plain(f.value.abs().round());
    let way = |f: MeasuredFigure, plus: &'static str, minus: &'static str| {
        if f.value > 0.0 { plus } else { minus }
    };
    let inner = if tooth.arch() == Arch::Upper { "palatal" } else { "lingual" };
    let outer = if tooth.is_anterior() { "labial" } else { "buccal" };
    let figure = |key| measured.figure(key);
    let mut out = Vec::new();
    if let Some(f) = figure(FigureKey::Lingual(tooth)).filter(sure) {
        out.push(format!("{} {} mm", way(f, inner, outer), mm(f)));
    }
    if let Some(f) = figure(FigureKey::Gingival(tooth)).filter(sure) {
        out.push(format!("{} {} mm", way(f, "gingival", "occlusal"), mm(f)));
    }
    if let Some(f) = figure(FigureKey::Rotated(tooth)).filter(turned) {
        out.push(format!("rotated {} deg {}", deg(f), way(f, "mesial-in", "mesial-out")));
    }
    if let Some(f) = figure(FigureKey::Tipped(tooth)).filter(turned) {
        out.push(format!("tipped {} deg {}", deg(f), way(f, "mesial", "distal")));
    }
    // A camera that is not square to the teeth misreads every width.
    if let Some(f) = figure(FigureKey::Width(tooth)).filter(|_| !measured.is_flat) {
        out.push(format!("width {} mm", mm(f)));
    }
    out
}

fn contact(measured: &MeasuredArch, a: Tooth, b: Tooth, notation: Notation) -> Option<String> {
    let apart = measured.figure(FigureKey::Spacing(a, b))?.value;
    let crown = |tooth: Tooth| {
        let value = |key| measured.figure(key).map_or(0.0, |f| f.value);
        let left_in = if tooth.side() == Side::Right { 1.0 } else { -1.0 };
        Crown {
            tooth,
            width_mm: value(FigureKey::Width(tooth)),
            lingual_mm: value(FigureKey::Lingual(tooth)),
            rotated_rad: left_in * value(FigureKey::Rotated(tooth)).to_radians(),
        }
    };
    let displaced = contact_displacement_mm(&crown(a), &crown(b));
    if apart.abs() < LEAST_SPACING_MM && displaced < LEAST_DISPLACED_MM {
        return None;
    }
    let length = tenth(apart.abs());
    let word = if apart > 0.0 && length > 0.0 { "gap" } else { "overlap" };
    Some(format!(
        "{word} {} mm between {} and {}",
        plain(length),
        a.write(notation),
        b.write(notation)
    ))
}

fn tenth(x: f64) -> f64 {
    (x * 10.0).round() / 10.0
}

/// The case's text with these lines at the beginning of the arch, under a remark that says where they come from.
pub fn write_measured(
    source: &str,
    arch: Arch,
    remark: &str,
    lines: &[String],
) -> Result<String, Refused> {
    let before = parse(FileId(0), source);
    if before.unread.is_some() || before.braces_guessed {
        return Err(Refused::Unreadable);
    }
    if before.kind != FileKind::Case {
        return Err(Refused::NotACase);
    }
    if lines.is_empty() {
        return Err(Refused::Empty);
    }
    let kind = if arch == Arch::Upper { StatementKind::Upper } else { StatementKind::Lower };
    let block = before.lines().find(|l| l.is(kind) && l.parent().is_none());
    let Some(block) = block else { return Err(Refused::Empty) };
    let mut editor = TreeEditor::new(&before);
    let mut all = vec![format!("// {}", remark.replace(['\n', '\r'], " "))];
    all.extend_from_slice(lines);
    editor.insert(InsertAt::FirstIn(block.id), &all.join("\n"));
    let edits = editor.finish().ok_or(Refused::Unreadable)?;
    let mut text = source.to_owned();
    for edit in edits.iter().rev() {
        text.replace_range(edit.place.span.range(), &edit.text);
    }
    let after = parse(FileId(0), &text);
    if after.braces_guessed || after.top.len() != before.top.len() {
        return Err(Refused::Unreadable);
    }
    Ok(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CASE: &str = "springline 1\ncase \"SM-1\"\nuse saltmarsh\nupper {\n  bonded 15..25 with twin // all\n  follow usual\n}\n";

    #[test]
    fn lines_go_to_the_beginning_of_their_arch_and_nothing_else_changes() {
        let lines =
            ["tooth 12 palatal 2.4 mm".to_owned(), "overlap 1 mm between 13 and 12".to_owned()];
        let text = write_measured(CASE, Arch::Upper, "measured 2026-11-25", &lines).unwrap();
        let want = "upper {\n  // measured 2026-11-25\n  tooth 12 palatal 2.4 mm\n  overlap 1 mm between 13 and 12\n  bonded 15..25 with twin // all\n";
        assert!(text.contains(want), "{text}");
        assert_eq!(text.replace("  // measured 2026-11-25\n  tooth 12 palatal 2.4 mm\n  overlap 1 mm between 13 and 12\n", ""), CASE);
    }

    #[test]
    fn an_arch_that_is_not_there_is_not_made() {
        let lines = ["tooth 42 width 5 mm".to_owned()];
        assert_eq!(write_measured(CASE, Arch::Lower, "x", &lines), Err(Refused::Empty));
        assert_eq!(
            write_measured("practice \"S\"\n", Arch::Upper, "x", &lines),
            Err(Refused::NotACase)
        );
    }
}
