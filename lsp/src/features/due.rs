//! Action that records the visit that is due: inserts its block, with the wire not tested and kept until
//! somebody states what was found.

use springline_lang::record;
use springline_lang::record::{VisitEntry, VisitQuestion};

use super::edits::{TextEdit, between};
use crate::analysed_file::AnalysedFile;

/// What a menu shows, and the edits; `None` where no visit is due or the text has a fault that hides
/// where it belongs.
pub fn visit(analysed: AnalysedFile<'_>, offset: usize) -> Option<(String, Vec<TextEdit>)> {
    // Inside an arch the user is editing the plan.
    if analysed.arch_at(offset).is_some() {
        return None;
    }
    let (case, forecast) = (analysed.case()?, analysed.forecast()?);
    let next = forecast.next_visit()?;
    // Before its day there is nothing to write down, and after it the day is the one it is.
    let on = forecast.today.unwrap_or(next.date);
    if on < next.was_planned_for.unwrap_or(next.date).min(next.date) {
        return None;
    }
    let lines: Vec<String> = record::questions(case, forecast)
        .into_iter()
        .filter_map(|question| match question {
            // The last choice states that nothing was tested.
            VisitQuestion::Choose { choices, .. } => {
                choices.into_iter().next_back().map(|(_, line)| line)
            }
            VisitQuestion::Measure { .. } => None,
        })
        .collect();
    let entry = VisitEntry {
        on,
        by: case.doctor.as_ref().map(ToString::to_string),
        kind: Some(next.kind.word().to_owned()),
        lines,
    };
    let (text, _) = record::add(analysed.text(), &entry).ok()?;
    Some((format!("record the visit of {on}"), between(analysed.text(), &text)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    #[test]
    fn the_visit_due_is_put_in_its_place_and_claims_nothing() {
        let text = include_str!("../../../examples/cases/sm-0410-both-arches.spring");
        assert_eq!(visit(Sample::new(text).analysed(), text.find("elastics").unwrap()), None);
        let sample = Sample::on(text, jiff::civil::date(2027, 1, 12));
        let (title, edits) = visit(sample.analysed(), text.find("elastics").unwrap()).expect("due");
        assert!(title.starts_with("record the visit of 20"), "{title}");
        let [edit] = edits.as_slice() else { panic!("{edits:?}") };
        assert!(
            edit.text.starts_with("seen 20") && edit.text.contains("not-tested, kept"),
            "{edit:?}"
        );
        assert!(edit.span.start >= text.find("seen 2026-11-09").unwrap() as u32);
        assert_eq!(edit.span.start, edit.span.end);
        assert_eq!(visit(sample.analysed(), text.find("bonded").unwrap()), None);
    }

    #[test]
    fn a_text_with_a_fault_that_hides_the_place_is_left_alone() {
        let text = include_str!("../../../examples/cases/sm-0410-both-arches.spring");
        let sample = Sample::new(&text.replacen("upper {", "upper", 1));
        assert_eq!(visit(sample.analysed(), 0), None);
    }
}
