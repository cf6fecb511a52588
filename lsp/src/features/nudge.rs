//! Actions that move one tooth a little: the figure under the cursor, or those of the tooth under it.

use springline_lang::lower::stand_axis;
use springline_lang::model::stand::{Stand, StandAxis};
use springline_lang::stand_edit::{StandChange, StandPlace, stand_clause, write_stand};
use springline_lang::syntax::ast::{
    ArchToothLine, PartList, PositionPart, SeenLine, SeenToothLine, TeethField,
};
use springline_lang::syntax::{StatementRef, item_at};
use springline_lang::units::tooth::Tooth;

use super::edits::{TextEdit, between, narrowed};
use crate::analysed_file::AnalysedFile;

/// As a hand sets them: what can just be told apart on a model (common practice, no source).
const STEP_MM: f64 = 0.1;
const STEP_DEG: f64 = 1.0;

/// What a menu shows, and the edits.
pub fn nudges(analysed: AnalysedFile<'_>, offset: usize) -> Vec<(String, Vec<TextEdit>)> {
    let Some(at) = at(analysed, offset) else { return Vec::new() };
    let both = at.axes.iter().flat_map(|axis| [(*axis, true), (*axis, false)]);
    both.filter_map(|(axis, more)| nudge(analysed, &at, axis, more)).collect()
}

/// What the cursor is on.
struct NudgePlace {
    tooth: Tooth,
    into: StandPlace,
    stand: Stand,
    axes: Vec<StandAxis>,
}

fn at(analysed: AnalysedFile<'_>, offset: usize) -> Option<NudgePlace> {
    let line = analysed.line_at(offset)?;
    let (teeth, positions) = said(line)?;
    let tooth = tooth(analysed, teeth, offset)?;
    let case = analysed.case()?;
    let seen = line.parent().and_then(SeenLine::cast);
    let (into, stand) = match seen {
        Some(seen) => {
            let on = seen.date.date()?.date?;
            let visit = case.visits.iter().find(|visit| visit.on == on)?;
            (StandPlace::Visit(on), visit.stands.get(&tooth)?.0)
        }
        None => (StandPlace::Plan, case.arch(tooth.arch())?.stands.get(&tooth)?.value),
    };
    let parts = || positions.spanned().map(|(span, part)| (span, stand_axis(part)));
    let under = parts().find(|(span, _)| span.contains(offset)).map(|(_, axis)| axis);
    let axes = match under {
        Some(axis) => vec![axis],
        None => parts().map(|(_, axis)| axis).filter(|axis| !axis.is_room()).take(2).collect(),
    };
    Some(NudgePlace { tooth, into, stand, axes })
}

fn said(line: StatementRef<'_>) -> Option<(TeethField<'_>, PartList<'_, PositionPart<'_>>)> {
    let plan = ArchToothLine::cast(line).map(|l| (l.teeth, l.positions));
    plan.or_else(|| SeenToothLine::cast(line).map(|l| (l.teeth, l.positions)))
}

/// The tooth under the cursor, or the only one of the line.
fn tooth(analysed: AnalysedFile<'_>, teeth: TeethField<'_>, offset: usize) -> Option<Tooth> {
    let under = item_at(analysed.parse(), offset).and_then(|at| at.item.teeth());
    let all: Vec<_> = teeth.teeth().collect();
    let span = match (under, all.as_slice()) {
        (Some(span), _) => span,
        (None, [only]) => *only,
        _ => return None,
    };
    match (span.last, analysed.teeth_of(span).as_slice()) {
        (None, [tooth]) => Some(*tooth),
        _ => None,
    }
}

fn nudge(
    analysed: AnalysedFile<'_>,
    at: &NudgePlace,
    axis: StandAxis,
    more: bool,
) -> Option<(String, Vec<TextEdit>)> {
    let step = if axis.is_angle() { STEP_DEG } else { STEP_MM };
    let now = at.stand.figure(axis)?;
    let away = if now < 0.0 { -step } else { step };
    let wanted = if more { now + away } else { now - away };
    // Less than nothing would be the other direction.
    if !more && now.abs() < step - 1e-9 {
        return None;
    }
    let change = StandChange::from([(axis, Some(wanted))]);
    let done = write_stand(analysed.parse(), analysed.case()?, at.tooth, at.into, &change).ok()?;
    let edits = narrowed(analysed.text(), between(analysed.text(), &done.text));
    if edits.is_empty() {
        return None;
    }
    let shown = at.tooth.write(analysed.notation());
    let clause = stand_clause(axis, now, at.tooth);
    let word = clause.split(' ').next().unwrap_or_default();
    let unit = if axis.is_angle() { "1 deg" } else { "0.1 mm" };
    let way = if more { "more" } else { "less" };
    Some((format!("{shown} {word} {unit} {way}"), edits))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn done(lines: &str) -> Vec<(String, String)> {
        let sample = Sample::upper(lines);
        let text = sample.analysed().text().to_owned();
        let apply = |(title, edits): (String, Vec<TextEdit>)| {
            let mut out = text.clone();
            for edit in edits.iter().rev() {
                out.replace_range(edit.span.range(), &edit.text);
            }
            (title, out)
        };
        nudges(sample.analysed(), sample.offset).into_iter().map(apply).collect()
    }

    fn titles(lines: &str) -> Vec<String> {
        done(lines).into_iter().map(|(title, _)| title).collect()
    }

    #[test]
    fn a_figure_goes_a_little_more_and_a_little_less() {
        let found = done("  tooth 13 labial ¦1.5 mm, rotated 20 deg mesial-in");
        assert_eq!(found[0].0, "13 labial 0.1 mm more");
        assert!(found[0].1.contains("  tooth 13 labial 1.6 mm, rotated 20 deg"), "{}", found[0].1);
        assert_eq!(found[1].0, "13 labial 0.1 mm less");
        assert!(found[1].1.contains("  tooth 13 labial 1.4 mm"), "{}", found[1].1);
        assert_eq!(found.len(), 2);
        let turned = titles("  tooth 13 labial 1.5 mm, rotated ¦20 deg mesial-in");
        assert_eq!(turned, ["13 rotated 1 deg more", "13 rotated 1 deg less"]);
        let both = titles("  tooth ¦13 labial 1.5 mm, rotated 20 deg mesial-in, space 6 mm");
        assert_eq!(both.len(), 4, "{both:?}");
        assert_eq!(
            titles("  tooth 13 space ¦6 mm"),
            ["13 space 0.1 mm more", "13 space 0.1 mm less"]
        );
    }

    #[test]
    fn of_several_teeth_only_the_one_under_the_cursor_moves() {
        let found = done("  tooth 13, 2¦3 labial 1.5 mm");
        let (title, text) = &found[0];
        assert_eq!(title, "23 labial 0.1 mm more");
        assert!(text.contains("  tooth 13 labial 1.5 mm\n  tooth 23 labial 1.6 mm\n"), "{text}");
        assert_eq!(titles("  tooth 13, 23 labial ¦1.5 mm"), [""; 0]);
        assert_eq!(titles("  tooth 15..1¦3 labial 1.5 mm"), [""; 0]);
        assert_eq!(titles("  change align, next ¦8 wk"), [""; 0]);
    }

    #[test]
    fn the_last_tenth_ends_in_line() {
        let found = done("  tooth 13 labial ¦0.1 mm");
        assert_eq!(found[1].0, "13 labial 0.1 mm less");
        assert!(!found[1].1.contains("tooth 13"), "{}", found[1].1);
    }
}
