//! Hover: describes the item under the cursor.

mod course;
mod date;
mod finding;
mod limit;
mod person;
mod quantity;
mod stock;
mod swap;
mod tooth;
mod word;

use springline_emit::caution::CAUTION;
use springline_lang::syntax::{ItemAt, ItemKind, PlaceholderKind, item_at};
use springline_lang::text::Span;

use crate::analysed_file::AnalysedFile;

/// An answer in Markdown, and the words it is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hover {
    pub span: Span,
    pub markdown: String,
}

/// The caution, once, under what the model says.
fn estimated(mut text: String) -> String {
    if !text.contains(CAUTION) {
        text.push_str(&format!("\n\n*{CAUTION}*"));
    }
    text
}

/// The hover at an offset; `None` where there is none.
pub fn hover(analysed: AnalysedFile<'_>, offset: usize) -> Option<Hover> {
    let at = item_at(analysed.parse(), offset)?;
    let known = answer(analysed, &at, offset);
    let found = finding::hover(analysed, at.item.span);
    let (span, markdown) = match (known, found) {
        (Some((span, text)), Some(found)) => (span, format!("{text}\n\n---\n\n{found}")),
        (Some(known), None) => known,
        (None, found) => (at.item.span, found?),
    };
    Some(Hover { span, markdown })
}

fn answer(analysed: AnalysedFile<'_>, at: &ItemAt<'_>, offset: usize) -> Option<(Span, String)> {
    let span = at.item.span;
    if let Some(slot) = at.slot {
        match slot.hole {
            PlaceholderKind::Tooth | PlaceholderKind::Teeth => {
                return tooth::hover(analysed, at, offset);
            }
            PlaceholderKind::Name => {
                let typed = analysed.parse().text(span);
                return name(analysed, slot.label, typed, offset).map(|text| (span, text));
            }
            PlaceholderKind::Rule => {
                return word::rule(analysed.parse().text(span)).map(|text| (span, text));
            }
            _ => {}
        }
    }
    match at.item.kind {
        ItemKind::Word(_) => word::hover(analysed, at, offset).map(|text| (span, text)),
        ItemKind::Measure(_) if at.slot.is_none() && at.item.measure()?.unit().is_none() => {
            tooth::hover(analysed, at, offset)
        }
        ItemKind::Measure(measure) => Some((span, quantity::hover(analysed, at, &measure)?)),
        ItemKind::Teeth(_) => tooth::hover(analysed, at, offset),
        ItemKind::Date(day) => date::hover(analysed, day.date?).map(|text| (span, text)),
        ItemKind::Dates(first, last) => {
            let text = date::range(analysed, first.date?, last.date?)?;
            Some((span, text))
        }
        _ => None,
    }
}

pub use word::{leading, rule, statement};

/// The definition of an offered name, with its effect at this place.
pub fn offered(
    analysed: AnalysedFile<'_>,
    label: &str,
    typed: &str,
    offset: usize,
) -> Option<String> {
    let text = name(analysed, label, typed, offset)?;
    let wire = analysed.house()?.wires.get(typed).filter(|_| label == "wire");
    Some(match wire.and_then(|wire| swap::predicted(analysed, wire, offset)) {
        Some(force) => estimated(format!("{force}\n\n{text}")),
        None => text,
    })
}

/// A name by its namespace; steps are those around the offset.
pub fn name(analysed: AnalysedFile<'_>, label: &str, name: &str, offset: usize) -> Option<String> {
    match label {
        "step" => course::step(analysed, name, offset),
        "person" => person::hover(analysed, name),
        _ => stock::hover(analysed, label, name),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::testing::Sample;

    fn says(lines: &str) -> String {
        let sample = Sample::upper(lines);
        hover(sample.analysed(), sample.offset).map(|h| h.markdown).unwrap_or_default()
    }

    #[test]
    fn a_tooth_is_named_in_all_notations_with_its_stand_and_its_force() {
        let text = says("  tooth ¦13 labial 1.5 mm, gingival 1 mm");
        for part in [
            "**13** = UR3 = #6",
            "upper right canine",
            "carries twin",
            "is 1.5 mm labial",
            "this case",
            " g**",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
        let assumed = says("  hook ¦14");
        assert!(assumed.contains("assumed in line"), "{assumed}");
    }

    #[test]
    fn a_wire_shows_section_play_and_forces() {
        let text = says("  change align, wire ¦niti-14");
        for part in
            ["superelastic-niti", "0.356 mm", "play in `twin`", "three-point", "saltmarsh.spring"]
        {
            assert!(text.contains(part), "{part}: {text}");
        }
        let snug = says("  change align, wire ¦steel-19x25");
        // The slot is taken 5 % higher than its name, and may be 0.7 to 9.7 % higher.
        for part in ["0.10 mm in height", "12 deg (9-15) of rotation"] {
            assert!(snug.contains(part), "{part}: {snug}");
        }
    }

    #[test]
    fn an_offered_wire_says_what_it_would_do_in_this_step() {
        let sample = Sample::upper("  change align, wire ¦niti-14");
        let force = |wire: &str| -> (String, f64) {
            let text = offered(sample.analysed(), "wire", wire, sample.offset).unwrap();
            let said = text.split("; with").next().unwrap();
            let first = said.split(" g after 0.5 mm").next().unwrap();
            let grams = first.rsplit(' ').next().unwrap().parse().unwrap();
            (text, grams)
        };
        let ((text, same), (_, light)) = (force("niti-14"), force("niti-12"));
        assert!(text.starts_with("forecast in `align` of the upper arch: "), "{text}");
        // The wire of the step itself: the figure that the course has, to the gram.
        let phase = &sample.analysed().forecast().unwrap().arches[0].phases[0];
        let course = phase.insertion.worst_sustained().unwrap().sustained_n;
        let course = course * 1000.0 / 9.80665;
        assert_eq!(same, course.round());
        assert!(light < same, "{light} {same}");
    }

    #[test]
    fn figures_are_shown_in_every_unit() {
        assert!(says("  tooth 13 labial ¦1.5 mm").contains("= 0.0591 in"));
        assert!(says("  change align, next ¦8..10 wk").contains("= 56..70 d"));
    }

    #[test]
    fn a_step_shows_its_source_and_its_course() {
        let text = says("  change ¦align, wire niti-12");
        for part in [
            "**align**, upper",
            "changed from the practice's sequence `usual`",
            "niti-12",
            "passive after",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
    }

    #[test]
    fn a_stop_says_what_it_does_and_a_step_how_its_wire_slides() {
        let one = says("  change align {\n    ¦stop mesial of 16\n  }");
        assert!(
            one.contains("no wire exits on the patient's right, all of it exits on the left"),
            "{one}"
        );
        let pair = says("  change align {\n    ¦stop mesial of 11, mesial of 21\n  }");
        assert!(pair.contains("two stops facing each other between 11 and 21"), "{pair}");
        let about = says("  change align {\n    ¦stop mesial of 13, distal of 13\n  }");
        assert!(about.contains("two stops around 13: the wire is fixed there"), "{about}");
        let step = says("  change ¦align, ends turned-in slack 2 mm");
        assert!(step.contains("to the patient's right it can shift 2 mm"), "{step}");
    }

    #[test]
    fn words_findings_and_limits_are_explained() {
        assert!(says("  ¦follow usual").contains("The practice's sequence that this arch follows"));
        assert!(says("  tooth 13 ¦buccal 1 mm").contains("written `labial`"));
        let limit = Sample::new("springline 1\nhouse \"x\"\ndefaults 1\nlimit ¦sustained 70 g\n");
        let text = hover(limit.analysed(), limit.offset).unwrap().markdown;
        assert!(text.contains("70 g") && text.contains("built in: warning above 120 g"), "{text}");
    }

    #[test]
    fn a_word_of_before_says_what_is_written_now() {
        for (line, written) in [
            ("  change work, ¦settle 4 wk", "`settle` is written `express`"),
            ("  ¦palatal-arch 16 to 26", ""),
            ("  ¦lingual-arch 16 to 26", "`lingual-arch` is written `palatal-arch`"),
            ("  change align {\n    ¦closing-coil 16 to 13\n  }", "is written `closing-spring`"),
        ] {
            let text = says(line);
            assert!(text.contains(written), "{line}: {text}");
            assert_eq!(text.contains("is written"), !written.is_empty(), "{line}: {text}");
        }
        for line in ["limit ¦turn 6 deg", "coil a ¦closed", "limit ¦chart 50 g over 14 mm span"]
        {
            let sample = Sample::new(&format!("springline 1\npractice \"x\"\n{line}\n"));
            let text = hover(sample.analysed(), sample.offset).unwrap().markdown;
            assert!(text.contains("is written `"), "{line}: {text}");
        }
    }

    #[test]
    fn an_assumed_stand_is_said_once() {
        let text = says("  hook ¦14");
        assert!(text.contains("assumed in line (not described)"), "{text}");
        assert!(!text.contains("in line (assumed"), "{text}");
    }

    #[test]
    fn initials_say_where_they_stand() {
        let sample = Sample::new(&format!(
            "springline 1\ncase \"SM-0001\"\nuse saltmarsh\ndoctor ¦KL\n{}",
            "seen 2026-11-16 by KL as review {\n  hygiene good\n}\n"
        ));
        let text = hover(sample.analysed(), sample.offset).unwrap().markdown;
        for part in ["**KL**", "the doctor of this case", "saw the patient on 2026-11-16"] {
            assert!(text.contains(part), "{part}: {text}");
        }
    }

    #[test]
    fn a_finding_about_the_word_is_named_with_what_to_do() {
        let (_, text) = crate::features::testing::unsafe_examples()
            .into_iter()
            .find(|(_, text)| {
                let sample = Sample::new(text);
                let findings = sample.analysed().findings();
                findings.iter().any(|f| !f.code.is_language() && f.place.file.0 == 0)
            })
            .unwrap();
        let sample = Sample::new(&text);
        let clinical =
            |f: &&springline_lang::finding::Finding| !f.code.is_language() && f.place.file.0 == 0;
        let found = sample.analysed().findings().iter().find(clinical).unwrap();
        let text = hover(sample.analysed(), found.place.span.start as usize).unwrap().markdown;
        assert!(text.contains(&format!("`{}`", found.code)), "{text}");
        assert!(text.contains("*What to do*"), "{text}");
    }

    #[test]
    fn there_is_nothing_to_say_of_nothing() {
        assert_eq!(says("  // a ¦remark"), "");
        assert_eq!(says("¦"), "");
    }
}
