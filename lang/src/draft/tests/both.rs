//! Both arches together, and listed sequences.

use super::*;

fn both_arches() -> SourceText {
    let text = "springline 1\ncase \"SM-9803\"\nuse saltmarsh\nstart 2026-11-23\npatient adult\nupper {\n  \
                bonded 15..25 with twin\n  tubes 16, 26 with molar\n  tooth 12 palatal 1.5 mm\n  follow usual\n}\n\
                lower {\n  bonded 45..35 with twin\n  tubes 46, 36 with molar\n  \
                tooth 42 lingual 1.5 mm, rotated 15 deg mesial-in\n  follow usual\n}\n";
    SourceText { name: "case.spring".to_owned(), text: text.into() }
}

const WIRES: [&str; 4] = ["niti-16", "niti-12", "niti-18x25", "niti-16x22"];

fn case_draft(source: &SourceText) -> CaseDraft {
    let arches = vec![Arch::Upper, Arch::Lower];
    let request = CaseDraftRequest { arches, with: None };
    let library = Practices::of(practice(&WIRES));
    Checker::new().draft_case(source, &request, &library, &options(), &mut |_, _| true)
}

#[test]
fn both_arches_are_drafted_into_one_text_and_cost_no_more_than_alone() {
    let source = both_arches();
    let draft = case_draft(&source);
    let together = draft.together.as_ref().expect("both arches");
    if let Some(own) = &together.instead_of {
        assert!(together.cost.errors <= own.errors && together.cost.visits <= own.visits);
    }
    let library = Practices::of(practice(&WIRES));
    let written = SourceText { name: source.name.clone(), text: draft.text.clone().into() };
    let checked = crate::check(&written, &library, &options());
    for (arch, answer) in &draft.arches {
        let answer = answer.as_ref().expect("a draft");
        let plan = checked.case.as_ref().and_then(|c| c.arch(*arch)).expect("the arch");
        let planned: Vec<&str> = plan.steps.iter().map(|s| &*s.wire.wire.name).collect();
        assert_eq!(planned[..planned.len() - 2], wires(answer), "{}", draft.text);
        assert_eq!(plan.drafted.is_some(), answer.departs, "{}", draft.text);
    }
    // A patient comes once for both.
    let alone = draft.arches.iter().filter_map(|(_, d)| d.as_ref().ok());
    let alone: u32 = alone.map(|d| d.drafted.booked_visits).sum();
    assert!(together.cost.booked_visits <= alone, "{:?}", together.cost);
}

#[test]
fn what_was_said_of_a_sequence_goes_as_it_gives_way_to_another() {
    let house = practice(&["niti-12", "niti-14", "niti-14x25", "niti-16x22"]);
    let mut draft = drafted(&case(Arch::Lower, CROWDED), Arch::Lower, &house).expect("a draft");
    let alone = draft_step::say_steps(&draft.drafted.steps);
    let other = draft.finalists.iter().find(|p| p.steps != draft.drafted.steps).cloned();
    let other = other.expect("another sequence");
    draft.quicker = Some(format!("As entered {alone} comes out before it."));
    draft.give_way_to(&other);
    let named = draft_step::say_steps(&other.steps);
    assert!(draft.alike.contains(&named), "{:?}", draft.alike);
    assert!(draft.remarks.last().is_some_and(|r| r.starts_with(&format!("Alone {alone} comes"))));
    let first = &draft.finalists[0];
    let better = choice::is_noticed(&first.cost, &other.cost);
    assert_eq!(draft.quicker.is_some(), better, "{:?}", draft.quicker);
}

/// Elastics are worn from the practice's full-size level wire on; the drafted one is a lighter one.
#[test]
fn what_elastics_bring_is_named() {
    let elastics = "elastics class-2 {\n  right 13 to 46 with medium, wear 22 h\n  left 23 to 36 with medium, wear 22 h\n  \
                    from level\n  until overjet 2.5 mm\n  longest 26 wk\n}\n";
    let source = both_arches();
    let bite = "bite {\n  overjet 5 mm\n  overbite 3 mm\n  molars class-2 2 mm\n}\n";
    let text = source.text.replacen("upper {", &format!("{bite}upper {{"), 1) + elastics;
    let source = SourceText { name: source.name, text: text.into() };
    let draft = case_draft(&source);
    let drafts: Vec<&ArchDraft> =
        draft.arches.iter().map(|(_, d)| d.as_ref().expect("a draft")).collect();
    assert!(drafts.iter().any(|d| d.departs), "{}", draft.text);
    let library = Practices::of(practice(&WIRES));
    let open = |text: &str| -> Vec<Finding> {
        let text = SourceText { name: source.name.clone(), text: text.into() };
        let checked = crate::check(&text, &library, &options());
        let own =
            |f: &Finding| tried_plan::is_open(f) && f.code.as_str() != "order/draft-not-taken-on";
        checked.findings.into_iter().filter(own).collect()
    };
    let (before, after) = (open(&source.text), open(&draft.text));
    let codes = |list: &[Finding]| -> Vec<String> {
        list.iter().map(|f| f.code.to_string()).filter(|c| c.contains("elastics")).collect()
    };
    assert_ne!(codes(&before), codes(&after), "{}", draft.text);
    let said: String = drafts.iter().flat_map(|d| d.headline()).collect();
    for finding in after.iter().filter(|f| before.iter().all(|b| b.code != f.code)) {
        assert!(said.contains(&finding.message), "{}: {said}", finding.message);
    }
}

#[test]
fn of_listed_sequences_the_cheapest_comes_first() {
    let source = case(Arch::Lower, CROWDED);
    let tail = "  step work, wire steel-19x25, ends turned-in slack 1 mm, until doctor-decides, next 6 wk\n}\n";
    let step = |kind: &str, wire: &str| {
        format!(
            "  step {kind}, wire {wire}, ends turned-in slack 2 mm, until passive, next computed\n"
        )
    };
    let list = format!(
        "sequence heavy {{\n{}{}{tail}sequence light {{\n{}{}{tail}",
        step("align", "niti-18"),
        step("level", "niti-18x25"),
        step("align", "niti-12"),
        step("level", "niti-14x25"),
    );
    let library = Practices::saltmarsh();
    let among = |list: &str| {
        Checker::new()
            .draft_among(&source, Arch::Lower, list, &library, &options(), &mut |_, _| true)
    };
    let answer = among(&list).expect("an answer");
    let names: Vec<&str> = answer.plans.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["light", "heavy"]);
    assert!(answer.words()[0].contains("of these, light comes first"), "{:?}", answer.words());
    let costs: Vec<CostKey> =
        answer.plans.iter().filter_map(|p| Some(p.plan.as_ref().ok()?.cost.key())).collect();
    assert!(costs.len() == 2 && costs[0] <= costs[1]);
    assert_eq!(among("// nothing\n").map(|_| ()).unwrap_err(), NotDrafted::NoneListed);
    let taken = list.replace("sequence light", "sequence usual");
    assert_eq!(among(&taken).map(|_| ()).unwrap_err(), NotDrafted::NameTaken("usual".to_owned()));
}
