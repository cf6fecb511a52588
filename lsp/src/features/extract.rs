//! Action that extracts a case's own steps into a sequence of the practice file that other cases can
//! follow.

use springline_lang::syntax::ast::StatementKind;
use springline_lang::syntax::tree::StatementRef;
use springline_lang::syntax::{InsertAt, TreeEditor};
use springline_lang::text::FileId;

use super::edits::TextEdit;
use crate::analysed_file::AnalysedFile;

/// Steps of one arch worth a name, at least.
const STEPS: usize = 2;

/// The menu title, and the edits in case and practice file.
pub fn sequence(
    analysed: AnalysedFile<'_>,
    offset: usize,
) -> Option<(String, Vec<(FileId, TextEdit)>)> {
    let arch = analysed
        .around(offset)
        .find(|l| matches!(l.kind(), Some(StatementKind::Upper | StatementKind::Lower)))?;
    if analysed.is_house() || arch.children().any(|l| l.is(StatementKind::Follow)) {
        return None;
    }
    let steps: Vec<StatementRef<'_>> =
        arch.children().filter(|l| l.is(StatementKind::Step)).collect();
    let usable = steps.iter().all(|l| l.is_read() && !l.is_faulty());
    if steps.len() < STEPS || !usable {
        return None;
    }
    let house = analysed.read.house_trees.first()?;
    let name = free_name(analysed)?;
    let lines: String = steps.iter().map(|step| format!("  {}\n", one_line(*step))).collect();
    let mut sequence = TreeEditor::new(house);
    sequence.insert(InsertAt::End, &format!("\nsequence {name} {{\n{lines}}}"));
    let mut case = TreeEditor::new(analysed.parse());
    case.insert(InsertAt::Before(steps.first()?.id), &format!("follow {name}"));
    for step in &steps {
        match step.block() {
            // Its own doings stay in the case.
            Some(_) => case.replace(step.span(), &format!("change {}", step.step_name()?.text())),
            None => case.remove_but_remark(step.id),
        }
    }
    let edits = sequence.finish()?.into_iter().chain(case.finish()?);
    let edits = edits.map(|e| (e.place.file, TextEdit { span: e.place.span, text: e.text }));
    let title = format!("save these steps in the practice file as the sequence `{name}`");
    Some((title, edits.collect()))
}

/// The statement on one line, without its block.
fn one_line(step: StatementRef<'_>) -> String {
    step.text().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A name that no sequence of the practice has.
fn free_name(analysed: AnalysedFile<'_>) -> Option<String> {
    let house = analysed.house()?;
    (1..100).map(|n| format!("sequence-{n}")).find(|n| !house.sequences.contains_key(n.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;
    use springline_test_support::SALTMARSH;

    const CASE: &str = "springline 1\ncase \"SM-1\"\nuse saltmarsh\ndoctor KL\nstart 2026-11-23\n\
        patient adult\nupper {\n  bonded 15..25 with twin\n  tubes 16, 26 with molar\n\
        \x20 tooth 12 palatal 1 mm\n  step align, wire niti-14, until passive, next 8 wk {\n\
        \x20   stop mesial of 14 with tube-stop\n  }\n\
        \x20 step level, wire niti-14x25, until passive, next 8 wk // soon\n}\n";

    #[test]
    fn steps_go_to_the_house_and_their_doings_stay() {
        let sample = Sample::new(CASE);
        let at = CASE.find("step align").unwrap();
        let (title, edits) = sequence(sample.analysed(), at).expect("two steps");
        assert_eq!(title, "save these steps in the practice file as the sequence `sequence-1`");
        let (mut case, mut house) = (CASE.to_owned(), SALTMARSH.to_owned());
        for (file, edit) in edits.iter().rev() {
            let text = if *file == FileId(0) { &mut case } else { &mut house };
            text.replace_range(edit.span.range(), &edit.text);
        }
        assert!(house.ends_with("sequence sequence-1 {\n  step align, wire niti-14, until passive, next 8 wk\n  step level, wire niti-14x25, until passive, next 8 wk\n}\n"), "{house}");
        assert!(
            case.contains("  follow sequence-1\n  change align {\n    stop mesial of 14"),
            "{case}"
        );
        assert!(case.contains("  }\n  // soon\n}\n"), "{case}");
        // Read together they are the same steps.
        let before = steps(&sample);
        let after = Sample::with_house(&case, &house);
        assert_eq!(steps(&after), before);
        assert_eq!(language(&after), language(&sample));
    }

    fn language(sample: &Sample) -> Vec<String> {
        let findings = sample.analysed().findings().iter();
        findings.filter(|f| f.code.is_language()).map(|f| f.message.clone()).collect()
    }

    fn steps(sample: &Sample) -> Vec<(String, String, usize)> {
        let case = sample.analysed().case().unwrap();
        let one = |s: &springline_lang::model::step::Step| {
            (s.name.to_string(), s.wire.value.names(), s.acts.len())
        };
        case.arches[0].steps.iter().map(one).collect()
    }

    #[test]
    fn an_arch_that_follows_the_house_has_nothing_to_hand_over() {
        let sample = Sample::upper("  step mo¦re, wire niti-14\n  step again, wire niti-16");
        assert_eq!(sequence(sample.analysed(), sample.offset), None);
    }
}
