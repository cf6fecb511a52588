//! What reading drafts of real plans taught: full-size steel, running cases, the doctor's own acts, and what is claimed.

use super::*;

/// Saltmarsh with three soft wires: its own of the `firm` sequence, and a light rectangular one.
fn firm() -> String {
    let kept = |line: &&str| {
        let name = line.strip_prefix("wire ").and_then(|l| l.split(' ').next());
        let soft = line.contains("superelastic-niti") || line.contains("thermal-niti");
        let own = ["thermal-16", "niti-16x22", "niti-18x25", "niti-14x25"];
        name.is_none_or(|n| !soft || own.contains(&n))
    };
    springline_test_support::SALTMARSH.lines().filter(kept).map(|l| format!("{l}\n")).collect()
}

fn changed(source: &SourceText, from: &str, to: &str) -> SourceText {
    assert!(source.text.contains(from), "{from}");
    SourceText { name: source.name.clone(), text: source.text.replace(from, to).into() }
}

pub fn with_frame<T>(
    source: &SourceText,
    arch: Arch,
    house: &str,
    ask: impl FnOnce(&mut PlanJudge<'_, '_, '_>) -> T,
) -> T {
    let library = Practices::of(house);
    let (mut checker, options) = (Checker::new(), options());
    let Checker { texts, judgements } = &mut checker;
    let mut read = |source: &SourceText| texts.read_trial(source, &library);
    let mut trial = Trial { read: &mut read, judgements, options: &options };
    let request = DraftRequest::of(arch);
    let frame = frame_of(&mut trial, source, &request, TODAY, RoomSaid::Here).expect("a frame");
    ask(&mut PlanJudge::new(&frame, &mut trial))
}

#[test]
fn a_full_size_soft_wire_stands_before_full_size_steel_where_the_practice_has_one() {
    let source = changed(&case(Arch::Lower, CROWDED), "follow usual", "follow firm");
    with_frame(&source, Arch::Lower, &firm(), |judge| {
        let drawer = &judge.frame.drawer;
        let step = |name: &str| drawer.wires().find(|s| &*s.wire.name == name).expect(name).clone();
        let wires = |names: &[&str]| names.iter().map(|n| step(n)).collect::<Vec<_>>();
        assert!(!drawer.allows(&wires(&["thermal-16", "niti-16x22"])));
        assert_eq!(drawer.missing(&wires(&["thermal-16", "niti-16x22"])), 1);
        assert!(drawer.allows(&wires(&["thermal-16", "niti-18x25"])));
        assert!(drawer.allows(&wires(&["thermal-16", "niti-16x22", "niti-18x25"])));
    });
    // Beta-titanium of that size is not steel, and its sequence levels once.
    with_frame(&case(Arch::Lower, CROWDED), Arch::Lower, &firm(), |judge| {
        let drawer = &judge.frame.drawer;
        assert!(drawer.allows(&judge.frame.usual_steps()));
    });
    let draft = drafted(&source, Arch::Lower, &firm()).expect("a draft");
    assert_eq!(wires(&draft).last().map(String::as_str), Some("niti-18x25"), "{}", draft.text);
}

#[test]
fn where_the_working_wire_comes_next_a_sentence_says_so() {
    let seen = |wire: &str, step: &str| {
        let source = changed(&case(Arch::Lower, CROWDED), "follow usual", "follow firm");
        let visit = format!(
            "seen 2026-11-24 by MT as wire-change {{\n  lower passive, now {step} with {wire}\n}}\n"
        );
        SourceText { text: format!("{}{visit}", source.text).into(), ..source }
    };
    let last = drafted(&seen("niti-18x25", "level-2"), Arch::Lower, &firm()).map(|d| d.text);
    assert_eq!(last.unwrap_err(), NotDrafted::NothingLeft(Arch::Lower));
    // One wire of the practice is left, which need not go in before beta-titanium.
    let beta = firm().replace("step work, wire steel-19x25", "step work, wire beta-19x25");
    let draft = drafted(&seen("niti-16x22", "level"), Arch::Lower, &beta).expect("a draft");
    let said = [draft.headline(), draft.why()].concat().join("\n");
    for words in ["drafted: ,", "-0 wk", "()"] {
        assert!(!said.contains(words), "{words}: {said}");
    }
    if draft.drafted.steps.is_empty() {
        assert!(said.contains("nothing before the working wire is left to draft"), "{said}");
    }
}

#[test]
fn a_step_that_cannot_be_read_is_not_left_out_in_silence() {
    let step =
        "follow usual\n  step more as level after level, wire nosuch, until passive, next 8 wk\n";
    let source = changed(&case(Arch::Lower, CROWDED), "follow usual\n", step);
    let refusal = drafted(&source, Arch::Lower, &firm()).map(|d| d.text).unwrap_err();
    assert!(refusal.to_string().contains("nosuch"), "{refusal}");
}

#[test]
fn a_sound_plan_with_elastics_has_no_findings_while_one_arch_is_drafted() {
    let text = include_str!("../../../../examples/cases/sm-0463-four-premolars.spring");
    let source = SourceText { name: "case.spring".to_owned(), text: text.into() };
    for arch in [Arch::Upper, Arch::Lower] {
        with_frame(&source, arch, springline_test_support::SALTMARSH, |judge| {
            let usual = judge.whole(&judge.frame.usual_steps()).expect("a plan");
            assert_eq!(usual.cost.errors + usual.cost.warnings, 0, "{:?}", usual.findings);
        });
    }
}

#[test]
fn enamel_that_the_doctor_plans_is_named_and_drives_no_choice() {
    let teeth = "  tooth 42 lingual 1 mm, rotated 25 deg mesial-in\n";
    let own = "follow usual\n  change align {\n    ipr 0.2 mm between 42 and 41\n  }\n";
    let source = changed(&case(Arch::Lower, teeth), "follow usual\n", own);
    with_frame(&source, Arch::Lower, &firm(), |judge| {
        let usual = judge.whole(&judge.frame.usual_steps()).expect("a plan");
        let codes: Vec<&str> = usual.of_doctors_acts.iter().map(|f| f.code.as_str()).collect();
        assert!(codes.contains(&"space/enamel-too-much"), "{codes:?}");
        assert!(usual.findings.iter().all(|f| f.code.family() != "space"), "{:?}", usual.findings);
    });
    let draft = drafted(&source, Arch::Lower, &firm()).expect("a draft");
    assert!(draft.remarks.iter().any(|r| r.contains("IPR is planned")), "{:?}", draft.remarks);
}

#[test]
fn the_practices_own_wire_takes_a_change_back() {
    let own = "follow usual\n  change level, wire niti-14x25\n";
    let source = changed(&case(Arch::Lower, CROWDED), "follow usual\n", own);
    let back = |source: &SourceText| {
        with_frame(source, Arch::Lower, &firm(), |judge| {
            let wire = |name: &str| {
                judge.frame.drawer.wires().find(|s| &*s.wire.name == name).expect(name).clone()
            };
            writing::written(judge.frame, &[wire("thermal-16"), wire("niti-16x22")], &[])
        })
        .expect("a text")
    };
    assert_eq!(back(&source), *case(Arch::Lower, CROWDED).text);
    let more = changed(&source, "wire niti-14x25", "wire niti-14x25, next 6 wk");
    assert!(back(&more).contains("  change level, next 6 wk\n"), "{}", back(&more));
}

#[test]
fn a_stopped_search_claims_no_more_than_was_computed() {
    let source = case(Arch::Lower, CROWDED);
    let library = Practices::of(firm());
    // The search is stopped at once; the neighbours are computed.
    let mut go_on = |stage: DraftStage, judged: usize| match stage {
        DraftStage::Search => judged < 1,
        DraftStage::Neighbours => true,
        DraftStage::Readings | DraftStage::Pairs => false,
    };
    let request = DraftRequest::of(Arch::Lower);
    let draft =
        Checker::new().draft_as(&source, &request, &library, &options(), &mut go_on).unwrap();
    let said = draft.headline().join("\n");
    assert!(!draft.proven && !said.contains("Nothing"), "{said}");
    if draft.rejected.iter().any(|r| r.because.contains("one visit less")) {
        assert!(said.contains("comes out before it"), "{said}");
    }
}
